"""What a pairing sheet may not say: each refused in one line that names the key and the text.

Sources: TOML 1.0.0 for what is no TOML at all; otherwise the grammar of a sheet, which is the project's own.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kb.errors import InputError
from kb.model.unit import Hole
from kb.sheets.reading import load, read
from tests.kb.examples import EVERY_KEY, sheet

# ── files ───────────────────────────────────────────────────────────────────


def test_a_file_with_byte_order_mark_and_carriage_returns(tmp_path: Path) -> None:
    """As a text editor of another system leaves it."""
    place = tmp_path / "sheet.toml"
    text = EVERY_KEY.read_text(encoding="utf-8").replace("\n", "\r\n")
    place.write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert load(place) == load(str(EVERY_KEY))


def refused_file(place: Path) -> str:
    with pytest.raises(InputError) as refused:
        load(place)
    assert str(place) in str(refused.value)
    return str(refused.value)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    assert "no such file" in refused_file(tmp_path / "missing.toml")
    assert "this is a folder" in refused_file(tmp_path)
    (tmp_path / "wide.toml").write_text('units = "mm"', encoding="utf-16")
    assert "byte 1 is not UTF-8" in refused_file(tmp_path / "wide.toml")
    (tmp_path / "latin.toml").write_bytes('units = "mm"\ntitle = "Größe"'.encode("latin-1"))
    assert "byte 25 is not UTF-8; save the sheet as UTF-8 text" in refused_file(
        tmp_path / "latin.toml"
    )
    (tmp_path / "a.toml").write_text("", encoding="utf-8")
    assert "cannot be opened" in refused_file(tmp_path / "a.toml" / "b.toml")


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ('units = "mm"\n\n[engine\nname = "x"', "line 3: [engine"),
        ('units = "mm"\nunits = "in"', "line 2: units = "),
        ('units = "mm"\ntitle = "one\ntwo"', "line 2: title = "),
        ('units = "mm"\n[engine]\nname = x', "line 3: name = x"),
        ('units = "mm"\n[engine]\nmax_speed = 1,5', "line 3: max_speed"),
        ('units = "mm"\n[engine.face]\nholes = [', "line 3: holes = ["),
        ('units = "mm"\n[engine.face]\nholes = [{ x = 1,\ny = 2 }]', "line 3: holes"),
        ("x = " + "[" * 3000, "lists in lists"),
        ("x = " + "9" * 5000, "x = 999"),
    ],
)
def test_what_is_no_toml_is_refused_with_its_line(text: str, place: str) -> None:
    with pytest.raises(InputError) as refused:
        read(text, origin="river.toml")
    assert str(refused.value).startswith(f"river.toml: cannot use “{place}")
    assert len(str(refused.value)) < 300


# ── refusing ────────────────────────────────────────────────────────────────

BORE = 'form = "bore", diameter = 314'
BAD: list[tuple[str, str, str, str]] = [
    # body of the sheet, the key named, the text repeated, what is said to be accepted
    ("titel = 1", "titel", "titel", "did you mean “title”?"),
    ("[engin]", "engin", "engin", "did you mean “engine”?"),
    ("[engine]\nRotation = 'cw'", "engine.Rotation", "Rotation", "did you mean “rotation”?"),
    ("[engine.face]\nhole = []", "engine.face.hole", "hole", "did you mean “holes”?"),
    ("[engine.face]\nzzz = 1", "engine.face.zzz", "zzz", "accepted are material, origin"),
    ("[engine.drive]\nstand_off = 1", "engine.drive.stand_off", "stand_off", "did you mean “standoff”?"),
    ("[gearbox.converter]\nseat = 1", "gearbox.converter.seat", "seat", "no such key"),
    ("[choices]\nplate_thickness = 1", "choices.plate_thickness", "plate_thickness", "no such key"),
    ("[engine.drive]\nstandoff = { valu = 1 }", "engine.drive.standoff.valu", "valu", "did you mean “value”?"),
    ("[engine.drive]\nstandoff = { within = 1 }", "engine.drive.standoff.value", "(nothing)", "write a length"),
    ("[engine.drive]\nstandoff = { value = 1, from = 'rumour' }", "engine.drive.standoff.from", "rumour", "measured"),
    ("[engine.drive]\nstandoff = { value = 1, on = 'May' }", "engine.drive.standoff.on", "May", "2026-03-02"),
    ("[engine.drive]\nstandoff = { value = 1, on = 2026-03-02T10:00:00 }", "engine.drive.standoff.on", "2026-03-02 10", "a day"),
    ("[engine.drive]\nstandoff = { value = 1, how = true }", "engine.drive.standoff.how", "true", "a text"),
    ("[engine.drive]\nstandoff = { value = 1, within = -0.1 }", "engine.drive.standoff.within", "-0.1", "positive"),
    ("[engine.drive]\nstandoff = { value = '1 ± 0.1', within = 0.1 }", "engine.drive.standoff.within", "0.1", "already"),
    ("[engine.drive]\nstandoff = { value = [1] }", "engine.drive.standoff.value", "[1]", "write a length"),
    ("[engine.drive]\nstandoff = 'about 18'", "engine.drive.standoff", "about 18", "write a length such as"),
    ("[engine.drive]\nstandoff = '1,5'", "engine.drive.standoff", "1,5", "write a length such as"),
    ("[engine.drive]\nstandoff = nan", "engine.drive.standoff", "NaN", "write a length such as"),
    ("[engine.drive]\nstandoff = -inf", "engine.drive.standoff", "-Infinity", "write a length such as"),
    ("[engine.drive]\nstandoff = 1e9", "engine.drive.standoff", "1000000000", "over 100 m"),
    ("[engine.drive]\nstandoff = 1e99999", "engine.drive.standoff", "1E+99999", "write a length such as"),
    ("[engine.drive]\nstandoff = true", "engine.drive.standoff", "true", "write a length such as"),
    ("[engine.drive]\nstandoff = []", "engine.drive.standoff", "[]", "at least one"),
    ("[engine.drive]\nstandoff = [1, 'x']", "engine.drive.standoff[2]", "x", "write a length such as"),
    ("[engine.drive]\nstandoff = [[1, 2]]", "engine.drive.standoff[1]", "[1, 2]", "write a length such as"),
    ("[engine.drive]\noutside = 0", "engine.drive.outside", "0", "above 0"),
    ("[engine.drive]\noutside = '-4.6 in'", "engine.drive.outside", "-4.6 in", "above 0"),
    ("[engine.drive]\noutside = [110, -110]", "engine.drive.outside[2]", "-110", "above 0"),
    ("[engine]\ndrive = 5", "engine.drive", "5", "[engine.drive], or name a published one"),
    ("[engine]\nface = []", "engine.face", "[]", "write it as a table, [engine.face]"),
    ("engine = 'Hollin'", "engine", "Hollin", "write it as a table, [engine], or name one in the catalogue"),
    ("[gearbox]\nshaft = 'standard:SAE J620 14'", "gearbox.shaft", "standard:SAE J620 14", "as a table"),
    ("engine.face = 'standard:SAE J617 No. 9'", "engine.face", "SAE J617 No. 9", "00, 0, 1/2, 1, 2, 3"),
    ("engine.face = 'standard:SAE J620 14'", "engine.face", "SAE J620 14", "such as “SAE J617 No. 3”"),
    ("engine.drive = 'standard:SAE J617 No. 3'", "engine.drive", "SAE J617 No. 3", "such as “SAE J620 11-1/2”"),
    ("engine.drive = 'standard:SAE J620 12'", "engine.drive", "SAE J620 12", "11-1/2"),
    ("engine.face = 'standard:'", "engine.face", "", "such as “SAE J617 No. 3”"),
    ("[engine]\nrotation = 'left'", "engine.rotation", "left", "write one of ccw, cw"),
    ("[engine]\nrotation = 1", "engine.rotation", "1", "write one of ccw, cw"),
    ("[engine]\nbalance = 'intern'", "engine.balance", "intern", "did you mean “internal”?"),
    ("[engine]\nname = true", "engine.name", "true", "write a text"),
    ("[engine]\nname = ['x']", "engine.name", "[x]", "write a text"),
    ("[engine]\npeak_torque = 300", "engine.peak_torque", "300", "a torque with its unit"),
    ("[engine]\npeak_torque = '300 kg'", "engine.peak_torque", "300 kg", "a torque with its unit"),
    ("[engine]\nmax_speed = 1e9", "engine.max_speed", "1000000000", "a speed in rpm"),
    ("[engine]\nmax_speed = [4200]", "engine.max_speed", "[4200]", "a speed in rpm"),
    ("[gearbox]\nmass = '-78 kg'", "gearbox.mass", "-78 kg", "a mass with its unit"),
    ("[gearbox]\nlowest_gear = 'low'", "gearbox.lowest_gear", "low", "a number from 0.2 to 40"),
    ("[gearbox]\nreverse_gear = 2.1", "gearbox.reverse_gear", "2.1", "a number from -40 to 0"),
    ("[gearbox.converter]\nstall_ratio = nan", "gearbox.converter.stall_ratio", "NaN", "a number from 1 to 6"),
    ("[use]\ntemperature_rise = '80'", "use.temperature_rise", "80", "a temperature rise with its unit"),
    ("[gearbox.converter]\nstuds = 'maybe'", "gearbox.converter.studs", "maybe", "true or false"),
    ("[gearbox.converter]\nstuds = 1", "gearbox.converter.studs", "1", "true or false"),
    ("[gearbox.converter]\ngap = [4.8, 3.2]", "gearbox.converter.gap", "[4.8, 3.2]", "the smaller first"),
    ("[gearbox.converter]\ngap = [3.2]", "gearbox.converter.gap", "[3.2]", "as two lengths"),
    ("[gearbox.converter]\ngap = 4", "gearbox.converter.gap", "4", "as two lengths"),
    ("[gearbox.converter]\ngap = ['a', 3]", "gearbox.converter.gap[1]", "a", "write a length such as"),
    ("[clutch]\nrelease_gap = ['1 in', '2 mm']", "clutch.release_gap", "[1 in, 2 mm]", "the smaller first"),
    ("[engine.starter]\ncentre = [1, 2, 3]", "engine.starter.centre", "[1, 2, 3]", "[x, y]"),
    ("[engine.face]\norigin = 0", "engine.face.origin", "0", "[x, y]"),
    ("[engine.face]\norigin = [0, 'up']", "engine.face.origin[2]", "up", "write a length such as"),
    ("[engine.face]\noutline = [[0, 0], [1, 0]]", "engine.face.outline", "[[0, 0], [1, 0]]", "at least three points"),
    ("[engine.face]\noutline = [[0, 0], [1, 0], [1]]", "engine.face.outline[3]", "[1]", "[x, y]"),
    ("[choices]\nplate = [10, 12]", "choices.plate", "[10, 12]", "choose one length"),
    ("[choices]\ndowel = { diameter = ['1/2 in', '12'] }", "choices.dowel.diameter", "[1/2 in, 12]", "choose one length"),
    ("[choices]\nleast_wall = -3", "choices.least_wall", "-3", "cannot be below 0"),
    ("[engine.face]\nflatness = [0.1, '-0.05']", "engine.face.flatness[2]", "-0.05", "cannot be below 0"),
    ("[engine]\nname = nan", "engine.name", "NaN", "write a text"),
    ("[answers]\nshield = inf", "answers.shield", "Infinity", "a text, yes or no"),
    ("[engine.face]\nregister = {}", "engine.face.register.form", "(nothing)", "one of spigot, bore"),
    ("[engine]\nname = {}", "engine.name", "{}", "write a text"),
    ("[choices]\nplate_stock = []", "choices.plate_stock", "[]", "a list of lengths"),
    ("[choices]\nplate_stock = [10, 0]", "choices.plate_stock[2]", "0", "above 0"),
    ("[choices]\nplate_stock = 10", "choices.plate_stock", "10", "a list of lengths"),
    ("[choices]\nclocking = [5, -5]", "choices.clocking", "[5, -5]", "the smaller first"),
    ("[choices]\nclocking = [-200, 200]", "choices.clocking", "[-200, 200]", "at most 360 apart"),
    ("[choices]\nclocking = [0, inf]", "choices.clocking[2]", "Infinity", "an angle in degrees"),
    ("[choices]\nclocking = 5", "choices.clocking", "5", "two angles"),
    ("[choices]\nstage = 'soon'", "choices.stage", "soon", "quote, cut, start"),
    ("[choices]\nconfidence = 95", "choices.confidence", "95", "a number from 0.5 to 0.9999"),
    ("[choices]\nleave_out = 'gearbox:2'", "choices.leave_out", "gearbox:2", "a list of texts"),
    ("[choices]\nleave_out = ['2']", "choices.leave_out[1]", "2", "such as gearbox:2"),
    ("[choices]\nleave_out = ['gearbox:2', 'crank:1']", "choices.leave_out[2]", "crank:1", "such as gearbox:2"),
    ("[choices]\nshare = ['1-7']", "choices.share[1]", "1-7", "such as 1=7"),
    ("[choices]\nshare = [['1', '7']]", "choices.share[1]", "[1, 7]", "a text"),
    ("[choices]\nplates = 3", "choices.plates", "3", "a whole number from 1 to 2"),
    ("[choices]\npost_thread = 12", "choices.post_thread", "12", "a thread such as"),
    ("[choices]\nplate = { value = 10 }\nplat = 1", "choices.plat", "plat", "did you mean “plate”?"),
    ("[engine.drive]\ncircle = { count = 6 }", "engine.drive.circle.diameter", "(nothing)", "“diameter” must be given"),
    ("[engine.drive]\ncircle = { diameter = 80 }", "engine.drive.circle.count", "(nothing)", "“count” must be given"),
    ("[engine.drive]\ncircle = { count = 0, diameter = 80 }", "engine.drive.circle.count", "0", "from 1 to 500"),
    ("[engine.drive]\ncircle = { count = 6.5, diameter = 80 }", "engine.drive.circle.count", "6.5", "a whole number"),
    ("[engine.drive]\ncircle = { count = true, diameter = 80 }", "engine.drive.circle.count", "true", "a whole number"),
    ("[engine.drive]\ncircle = { count = 'six', diameter = 80 }", "engine.drive.circle.count", "six", "a whole number"),
    ("[engine.drive]\ncircle = { count = 1e99999, diameter = 80 }", "engine.drive.circle.count", "1E+99999", "whole number"),
    ("[engine.drive]\ncircle = { count = 6, diameter = -80 }", "engine.drive.circle.diameter", "-80", "above 0"),
    ("[engine.drive]\ncircle = { count = 6, diameter = 80, start = inf }", "engine.drive.circle.start", "Infinity", "degrees"),
    ("[engine.drive]\ncircle = { count = 6, diameter = 80, start = 1e9 }", "engine.drive.circle.start", "1E+9", "-360 to 360"),
    ("[engine.drive]\ncircle = { count = 6, diameter = 80, thread = 'M10', hole = 11 }", "engine.drive.circle.hole", "11", "not both"),
    ("[engine.drive]\ncircle = { count = 6, diameter = 80, thread = '3/8' }", "engine.drive.circle.thread", "3/8", "a thread such as"),
    ("[engine.drive]\ncircle = { count = 6, diameter = 80 }\nholes = [{ x = 1, y = 1, hole = 9 }]", "engine.drive.circle", "circle beside holes", "not both"),
    ("[engine.drive]\nregister = { diameter = 48 }", "engine.drive.register.form", "(nothing)", "one of spigot, bore"),
    ("[engine.drive]\nregister = { form = 'hole', diameter = 48 }", "engine.drive.register.form", "hole", "spigot, bore"),
    ("[engine.drive]\nregister = { form = 'bore' }", "engine.drive.register.diameter", "(nothing)", "must be given"),
    ("[engine.face]\nholes = []", "engine.face.holes", "[]", "at least one"),
    ("[engine.face]\nholes = { x = 1, y = 2 }", "engine.face.holes", "{ x = 1, y = 2 }", "a list of tables"),
    ("[engine.face]\nholes = [5]", "engine.face.holes[1]", "5", "{ x = 1, y = 2"),
    ("[engine.face]\nholes = [{ x = 1, y = 2 }]", "engine.face.holes[1]", "hole without any", "thread, hole, bolt or keepout"),
    ("[engine.face]\nholes = [{ id = 'c', y = 2, hole = 9 }]", "engine.face.holes[1].x (id “c”)", "(nothing)", "“x” must be given"),
    ("[engine.face]\nholes = [{ id = 'a', x = 1, y = 2, hole = 9 }, { id = 'c', x = 'far', y = 2, hole = 9 }]", "engine.face.holes[2].x (id “c”)", "far", "write a length"),
    ("[engine.face]\nholes = [{ x = 1, y = 2, hole = 9 }, { x = 9, y = 2, hole = -9 }]", "engine.face.holes[2].hole", "-9", "above 0"),
    ("[engine.face]\nholes = [{ id = 'a', x = 1, y = 2, hole = 9, thread = 'M8' }]", "engine.face.holes[1].hole (id “a”)", "9", "not both"),
    ("[engine.face]\nholes = [{ id = 'a', x = 1, y = 2, hole = 9 }, { id = 'a', x = 5, y = 5, hole = 9 }]", "engine.face.holes[2].id", "a", "once only"),
    ("[engine.face]\nholes = [{ x = 1, y = 2, hole = 9 }, { id = '1', x = 5, y = 5, hole = 9 }]", "engine.face.holes[2].id", "1", "once only"),
    ("[engine.face]\nholes = [{ id = 'a', x = 1, y = 2, hole = 9 }, { id = 'b', x = '1.006', y = 2.007, hole = 9 }]", "engine.face.holes[2]", "b", "same place as “a”"),
    ("[engine.face]\nholes = [{ id = 'a', x = 1, y = 2, hole = 9, colour = 'red' }]", "engine.face.holes[1].colour (id “a”)", "colour", "no such key"),
    ("[engine.face]\ndowels = [{ x = 1, y = 2 }]", "engine.face.dowels[1].diameter", "(nothing)", "must be given"),
    ("[engine.face]\ndowels = [{ x = 1, y = 2, diameter = 8 }, { x = 1, y = 2, diameter = 8 }]", "engine.face.dowels[2]", "D2", "same place as “D1”"),
    ("answers = 'yes'", "answers", "yes", "[answers]"),
    ("[answers]\nshield = [1]", "answers.shield", "[1]", "a text, yes or no"),
    ("[answers.shield]\nmade = 'yes'", "answers.shield", "{ made = yes }", "a text, yes or no"),
    (f"[engine.face]\nregister = {{ {BORE} }}\nregistr = 1", "engine.face.registr", "registr", "did you mean “register”?"),
    ("[engine.face]\nholes = [{ id = '1', x = 1, y = 2, hole = 9 }]\n[choices]\nleave_out = ['engine:7']", "choices.leave_out[1]", "7", "the engine's holes are 1"),
    ("[gearbox.face]\ncircle = { count = 3, diameter = 90 }\n[choices]\nshare = ['1=4']", "choices.share[1]", "4", "the gearbox's holes are 1, 2, 3"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("body", "key", "text", "accepted"), BAD, ids=[f"{one[1]}-{one[2][:20]}" for one in BAD]
)
def test_bad_input_is_one_line_that_names_key_and_text(
    body: str, key: str, text: str, accepted: str
) -> None:
    tomllib.loads(body)  # it is the value that is refused, not its writing
    with pytest.raises(InputError) as refused:
        read(sheet(body, "mm"))
    message = str(refused.value)
    assert message.startswith(f"{key}: cannot use “")
    assert text in refused.value.text
    assert accepted in refused.value.accepted
    assert len(message.splitlines()) == 1
    assert len(message) < 900


JUNK = (
    "nan", "-inf", "[]", "{}", '""', "true", "-1", "0", "1e9", "1e400", "9999999999999999999999", '"x"', "[[]]", "[{}]",
    "2026-01-01", "07:00:00", '"1/0"', "[nan, inf]", "{ value = 1, within = nan }", "{ value = [], on = 12 }",
    '"\\n"', "[1, 2, 3, 4]", '"catalogue:x"', '"standard:SAE J620 14"', "[[[[1]]]]", '"-0"',
)  # fmt: skip
LINES = EVERY_KEY.read_text(encoding="utf-8").splitlines()
GIVEN = [place for place, line in enumerate(LINES) if " = " in line and line[0] not in "# {"]


@settings(deadline=None)
@given(st.sampled_from(GIVEN), st.sampled_from(JUNK))
def test_any_value_anywhere_is_read_or_refused_in_one_line(place: int, junk: str) -> None:
    name = LINES[place].partition(" = ")[0]
    assume(not LINES[place].endswith("["))
    text = "\n".join([*LINES[:place], f"{name} = {junk}", *LINES[place + 1 :]])
    try:
        read(text)
    except InputError as error:
        message = str(error)
    else:
        message = ""
    assert len(message.splitlines()) <= 1
    assert "Decimal" not in message
    assert "<" not in message


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("title = 'x'", "(nothing)"),
        ("units = 'cm'", "cm"),
        ("units = 25.4", "25.4"),
        ("", "(nothing)"),
    ],
)
def test_the_unit_of_bare_numbers_must_be_said(text: str, said: str) -> None:
    with pytest.raises(
        InputError, match=rf"^units: cannot use “{said.replace('(', '.').replace(')', '.')}”; write"
    ):
        read(text)


def test_holes_a_hundredth_apart_are_two() -> None:
    body = "[engine.face]\nholes = [{ x = 1, y = 2, hole = 9 }, { x = 1, y = 2.011, hole = 9 }]"
    assert len(read(sheet(body, "mm")).engine.face.holes) == 2


def test_holes_of_many_are_told_apart_quickly() -> None:
    """Five thousand holes on a line: nothing is compared with everything."""
    rows = ",".join(f"{{ x = {number}, y = 0, hole = 9 }}" for number in range(5000))
    face = read(sheet(f"[engine.face]\nholes = [{rows}]", "mm")).engine.face
    assert isinstance(face.holes[-1], Hole)
    assert face.holes[-1].id == "5000"
