"""The pairing sheet: read, refused, written, read again.

Sources: the format is TOML 1.0.0 (toml.io specification, read by the standard library); lengths by exact fractions
(see `test_quantity`); housings and flywheels by the metric columns of SAE J617 and SAE J620 in
`tests/published/data`, which the program does not hold; hole patterns straddle the vertical by ISO 7648:1987;
normal clearance holes by ASME B18.2.8-1999 (R2017), Table 1a. The grammar of a sheet is the project's own.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from kb.errors import InputError
from kb.model.measured import Measured
from kb.model.request import Request
from kb.model.unit import Circle, Engine, Flexplate, Gearbox, Unit
from kb.quantity import Dimension
from kb.sheets import values, writing
from kb.sheets.declared import UNIT_NOUNS, keys_of
from kb.sheets.reading import load, read, read_key, read_units
from kb.sheets.writing import write, write_unit
from tests.kb.examples import EVERY_KEY, SHEETS, sheet
from tests.kb.requests import DRAWN, drawn, requests

UNHURRIED = settings(  # a whole request takes minutes to shrink; a unit is small enough as drawn
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def first(measured: Measured | None) -> Dimension:
    assert measured is not None
    return measured.first


def nouns(noun: type[Any] = Request) -> Iterator[type[Any]]:
    """A noun and every noun under it."""
    yield noun
    for key in keys_of(noun).values():
        if key.noun is not None:
            yield from nouns(key.noun)


# ── the declarations are the grammar ────────────────────────────────────────


def test_every_kind_of_key_is_read_written_and_drawn() -> None:
    kinds = {key.kind for noun in nouns() for key in keys_of(noun).values()} - {"part", "parts"}
    assert kinds == set(values._READERS)
    assert kinds - {"open_table"} == set(writing._WRITERS)  # a heading of its own
    assert kinds == set(DRAWN)


EITHER_OR = """
    units = "mm"
    [engine.drive]
    circle = { count = 6, diameter = 80 }
    [gearbox.driven]
    holes = [{ x = 1, y = 2, hole = 9 }]
    [flywheel]
    holes = [{ x = 1, y = 2, hole = 9 }]
"""


def test_every_key_of_every_noun_is_read() -> None:
    """One sheet has them all, save what contradicts it; so a key that is lost on the way is found out."""
    missing = {(noun, name) for noun in nouns() for name in keys_of(noun)}
    for part in [*parts(load(EVERY_KEY)), *parts(read(EITHER_OR))]:
        for name, key in keys_of(type(part)).items():
            if getattr(part, name) != key.default or name in ("units", "kind", "start", "hold"):
                missing.discard((type(part), name))
    assert not {f"{noun.__name__}.{name}" for noun, name in missing}


def parts(value: Any) -> Iterator[Any]:
    """Every noun in a request."""
    if isinstance(value, tuple):
        for item in value:
            yield from parts(item)
    elif type(value) in set(nouns()):
        yield value
        for item in dataclasses.fields(value):
            yield from parts(getattr(value, item.name))


# ── write and read are each other's inverse ─────────────────────────────────


@UNHURRIED
@given(requests())
def test_what_is_written_reads_back_equal(request_: Request) -> None:
    found = read(write(request_))
    assert found == request_
    again = write(found)
    assert write(read(again)) == again


@UNHURRIED
@given(st.sampled_from(UNIT_NOUNS).flatmap(drawn))
def test_a_unit_reads_back_equal(unit: Unit) -> None:
    assert read_units(write_unit(unit)) == [unit]


@pytest.mark.parametrize("path", [*SHEETS, EVERY_KEY], ids=lambda path: path.stem)
def test_sheets_of_people_read_back_equal(path: Path) -> None:
    request = load(path)
    text = write(request)
    assert read(text) == request
    assert max(map(len, text.splitlines())) < 320


def test_what_was_typed_is_written_again() -> None:
    """Texts of a sheet stand in the written one, figure by figure."""
    written = write(load(SHEETS[0]))
    for text in (
        "x = -6.250",
        'diameter = "1/2"',
        '"0.750 ± 0.004"',
        '"2.2500 +0.0010/-0"',
        "gap = [0.125, 0.1875]",
    ):
        assert text in written


def test_an_inch_unit_in_a_metric_sheet_keeps_its_inches() -> None:
    inches = load(SHEETS[0])
    mixed = Request(units="mm", engine=inches.engine)
    text = write(mixed)
    assert '"0.750 ± 0.004 in"' in text
    assert read(text) == mixed


def test_a_unit_is_written_in_the_unit_it_was_typed_in() -> None:
    engine = load(SHEETS[0]).engine
    assert engine is not None
    assert 'units = "in"' in write_unit(engine)
    assert ' in"' not in write_unit(engine)


@pytest.mark.parametrize(
    "unit", [noun() for noun in UNIT_NOUNS], ids=lambda unit: type(unit).__name__
)
def test_a_unit_nobody_has_measured_yet_reads_back(unit: Unit) -> None:
    assert read_units(write_unit(unit)) == [unit]


# ── hand cases ──────────────────────────────────────────────────────────────


def test_readings_with_who_how_and_when() -> None:
    text = """
        [engine.drive]
        standoff = ["18.00 ± 0.10", { value = "18.04", within = 0.02, how = "depth micrometer", by = "J",
                    on = 2026-03-02, from = "drawing" }, 18.1]
    """.replace(",\n", ",")
    drive = read(sheet(text, "mm")).engine.drive  # type: ignore[union-attr]
    one, two, three = drive.standoff.readings  # type: ignore[union-attr]
    assert (one.value, one.below, one.above, one.source) == (18.0, 0.1, 0.1, "measured")
    assert (two.value, two.above, two.how, two.by) == (18.04, 0.02, "depth micrometer", "J")
    assert (two.on, two.source, two.typed) == (date(2026, 3, 2), "drawing", "18.04")
    assert (three.value, three.within, three.typed) == (18.1, None, "18.1")


def test_bare_numbers_keep_their_noughts_and_take_the_sheets_unit() -> None:
    inches = read(sheet("[engine.drive]\nstandoff = 0.750")).engine.drive.standoff.first
    assert (inches.value, inches.typed, inches.unit) == (19.05, "0.750", "in")
    metric = read(sheet("[engine.drive]\nstandoff = 0.750", "mm")).engine.drive.standoff.first
    assert metric.value == 0.75


def test_a_list_is_a_band_where_the_key_is_one() -> None:
    gap = read(sheet("[gearbox.converter]\ngap = [0.125, 0.1875]")).gearbox.converter.gap
    assert (gap.low.value, gap.high.value) == (3.175, 4.7625)


def test_answers_are_kept_in_their_order() -> None:
    found = read(
        sheet('[answers]\nshield = true\naccess_hole = false\nmount = "rubber"\ncount = 2')
    )
    assert found.answers == (
        ("shield", "yes"), ("access_hole", "no"), ("mount", "rubber"), ("count", "2"),
    )  # fmt: skip


def test_defaults_stand_where_nothing_is_said() -> None:
    found = read(sheet("[engine.drive]\n[gearbox.release]\n[clutch]\n[pilot]"))
    assert found.engine.drive.kind == "crank flange"
    assert found.gearbox.release.kind == "fork"
    assert found.clutch.acts == "push"
    assert found.pilot.carried_by == "spacer"
    assert found.flywheel is None
    assert found.choices == Request().choices


def test_holes_without_an_id_take_their_place() -> None:
    face = load(EVERY_KEY).gearbox.face
    assert [hole.id for hole in face.holes] == ["1", "2"]
    assert [dowel.id for dowel in face.dowels] == ["D1", "D2"]


def test_words_and_units_forgive_capitals() -> None:
    found = read('units = "IN"\n[engine]\nrotation = "CCW"')
    assert (found.units, found.engine.rotation) == ("in", "ccw")


def test_one_key_alone_is_read_as_a_form_hands_it_over() -> None:
    found = read_key(Circle, "diameter", "3 1/2", key="circle", units="in")
    assert found.first.value == 88.9
    assert read_key(Circle, "count", "8", key="count", units="in") == 8
    with pytest.raises(InputError, match=r"^bolt circle: cannot use “-3”; it must be above 0"):
        read_key(Circle, "diameter", "-3", key="bolt circle", units="in")


# ── catalogue ───────────────────────────────────────────────────────────────

KNOWN: dict[tuple[str, str], Unit] = {
    ("engine", "Hollin 3"): Engine(name="Hollin 3"),
    ("gearbox", "Sallow 5"): Gearbox(name="Sallow 5"),
    ("flexplate", "Sallow plate"): Flexplate(name="Sallow plate"),
    ("clutch", "Sallow plate"): Flexplate(name="Sallow plate"),
}


def catalogue(kind: str, name: str) -> Unit:
    if (kind, name) not in KNOWN:
        raise InputError(kind, name, "the catalogue holds no such unit")
    return KNOWN[kind, name]


def test_units_by_their_name_in_the_catalogue() -> None:
    text = sheet(
        'engine = "catalogue:Hollin 3"\ngearbox = "catalogue: Sallow 5"\nflexplate = "catalogue:Sallow plate"'
    )
    found = read(text, catalogue=catalogue)
    assert found.engine is KNOWN["engine", "Hollin 3"]
    assert found.gearbox is KNOWN["gearbox", "Sallow 5"]
    assert found.flexplate is KNOWN["flexplate", "Sallow plate"]


@pytest.mark.parametrize("key", ["engine", "gearbox", "flywheel", "clutch", "flexplate"])
def test_without_a_catalogue_a_name_in_it_is_refused(key: str) -> None:
    with pytest.raises(
        InputError, match=rf"^{key}: cannot use “catalogue:Hollin 3”; there is no cat"
    ):
        read(sheet(f'{key} = "catalogue:Hollin 3"'))


def test_a_name_the_catalogue_does_not_hold_is_refused() -> None:
    with pytest.raises(InputError, match=r"^engine: cannot use “Hollin 4”; the catalogue holds no"):
        read(sheet('engine = "catalogue:Hollin 4"'), catalogue=catalogue)


def test_another_kind_of_unit_under_the_name_is_refused() -> None:
    with pytest.raises(InputError, match=r"^clutch: cannot use “catalogue:Sallow plate”"):
        read(sheet('clutch = "catalogue:Sallow plate"'), catalogue=catalogue)


def test_the_units_a_sheet_carries() -> None:
    found = read_units(EVERY_KEY.read_text(encoding="utf-8"))
    request = load(EVERY_KEY)
    assert found == [
        request.engine,
        request.gearbox,
        request.flywheel,
        request.clutch,
        request.flexplate,
    ]
    assert read_units(sheet('engine = "catalogue:Hollin 3"\n[gearbox]\nname = "Sallow 5"')) == [
        Gearbox(name="Sallow 5")
    ]
    assert read_units(sheet("[choices]\nplate = 1")) == []
