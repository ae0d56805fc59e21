"""Two units of the catalogue paired: the same answer as from a sheet that says the same.

The sheet is the second way to each answer. What belongs between two units is common practice,
no source: a converter bolts to a flexplate, an input shaft runs in a clutch on a flywheel.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from kb.errors import InputError
from kb.model.parts import Segment
from kb.model.record import canonical
from kb.store.place import Store, open_store
from tests.journey.command import SHEETS
from tests.journey.sheets import GOES
from wizard.desk import jobs, pairing, units


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite") as opened:
        yield opened


def add(store: Store, text: str) -> None:
    units.add_from_text(store, 'units = "mm"\n' + text)


def named(sheet: str) -> str:
    """The units of a whole sheet, those without a name given one."""
    text = (SHEETS / sheet).read_text(encoding="utf-8").partition("[pilot]")[0]
    text = text.partition("[choices]")[0]
    for kind in ("flexplate", "flywheel", "clutch"):
        text = text.replace(f"[{kind}]\n", f'[{kind}]\nname = "The {kind}"\n')
    return text


CHOSEN = {
    "automatic-inch.toml": (
        "in", {"choices.plate": "0.750", "choices.plate_material": "6061-T6",
               "choices.spacer_material": "1045", "choices.clocking": [-8, 8]},
    ),
    "manual-metric.toml": (
        "mm", {"choices.plate": 15, "choices.spacer": 5, "choices.clocking": [-10, 10],
               "pilot.mouth": 0, "pilot.depth": 28, "pilot.bore": "15.05",
               "pilot.bush_width": 18},
    ),
    "standard-housings.toml": (
        "in", {"choices.plate_stock": [0.5, 0.625, 0.75, 1.0], "choices.plate": "1.0",
               "choices.clocking": [0, 0]},
    ),
}  # fmt: skip
BETWEEN = {
    "automatic-inch.toml": {"flexplate": "The flexplate"},
    "manual-metric.toml": {"flywheel": "The flywheel", "clutch": "The clutch"},
    "standard-housings.toml": {},
}


@pytest.mark.parametrize("sheet", sorted(CHOSEN))
def test_two_units_give_the_answer_of_their_sheet(sheet: str, store: Store) -> None:
    units.add_from_text(store, named(sheet))
    whole = pairing.read_job(SHEETS / sheet)
    in_units, changes = CHOSEN[sheet]
    assert whole.request.engine is not None
    assert whole.request.gearbox is not None
    paired = pairing.pair(
        store, engine=whole.request.engine.name, gearbox=whole.request.gearbox.name,
        changes=changes, title=whole.request.title, units=in_units, **BETWEEN[sheet],
    )  # fmt: skip
    for name in BETWEEN[sheet]:
        assert paired.answer[name] == {"name": f"The {name}"}
    same = [key for key in whole.answer if key not in BETWEEN[sheet]]
    assert {key: paired.answer[key] for key in same} == {key: whole.answer[key] for key in same}
    kinds = {"engine", "gearbox", *BETWEEN[sheet]}
    assert {(ref.kind, ref.revision) for ref in paired.units} == {(kind, 1) for kind in kinds}


def test_a_title_made_of_the_two_names(store: Store) -> None:
    units.add_from_text(store, named("automatic-inch.toml"))
    worked = pairing.pair(store, engine="brindlow v6", gearbox="OSKETT 4A")
    assert worked.answer["title"] == "Brindlow V6 to Oskett 4A"
    assert worked.request.flexplate is None  # none belongs to either


# ── what goes between ───────────────────────────────────────────────────────


@pytest.fixture
def stocked(store: Store) -> Store:
    """Gearboxes of every kind of drive, and parts that belong to one side, both or none."""
    add(store, '[engine]\nname = "Äpfel 3"\n[gearbox]\nname = "Auto"\n[gearbox.converter]\nseat_depth = 20\n')  # fmt: skip
    add(store, '[gearbox]\nname = "Stick"\n[gearbox.shaft]\nreach = 150\n')
    add(store, '[gearbox]\nname = "Pump"\n[gearbox.driven]\nkind = "flange"\nposition = 10\n')
    for name, owner in (
        ("A of nobody", ""), ("B of the engine", "apfel 3"), ("C of the engine", "Äpfel 3"),
    ):  # fmt: skip
        for kind in ("flexplate", "flywheel"):
            add(store, f'[{kind}]\nname = "{name}"\nbelongs_to = "{owner}"\n')
    add(store, '[flexplate]\nname = "D of the gearbox"\nbelongs_to = "AUTO"\n')
    return store


@pytest.mark.parametrize(
    ("gearbox", "usual"),
    [
        ("Auto", {"flexplate": "D of the gearbox"}),
        ("Stick", {"flywheel": "B of the engine"}),
        ("Pump", {}),
    ],
)
def test_what_usually_goes_between(gearbox: str, usual: dict[str, str], stocked: Store) -> None:
    """The first that belongs to the gearbox, else to the engine; of the kinds it needs only."""
    found = pairing.companions(stocked, engine="Äpfel 3", gearbox=gearbox)
    assert found == pairing.Companions(**usual)


def test_a_part_named_takes_the_place_of_the_usual_one(stocked: Store) -> None:
    worked = pairing.pair(stocked, engine="Äpfel 3", gearbox="Auto", flexplate="a OF nobody")
    assert worked.answer["flexplate"] == {"name": "A of nobody"}


@pytest.mark.parametrize(
    "names",
    [{"engine": "Nobody"}, {"gearbox": "Nobody"}, {"flexplate": "Nobody"}],
    ids=lambda names: next(iter(names)),
)
def test_a_unit_that_is_not_there(names: dict[str, str], stocked: Store) -> None:
    with pytest.raises(InputError, match=r"cannot use “Nobody”"):
        pairing.pair(stocked, **({"engine": "Äpfel 3", "gearbox": "Auto"} | names))


@pytest.mark.parametrize("changes", [{"choices.plat": 10}, {"choices.plate": "thick"}, {"": 1}])
def test_a_change_that_cannot_be_meant(changes: dict[str, object], stocked: Store) -> None:
    with pytest.raises(InputError):
        pairing.pair(stocked, engine="Äpfel 3", gearbox="Auto", changes=changes)


# ── keeping ─────────────────────────────────────────────────────────────────


def test_kept_under_another_title(store: Store) -> None:
    worked = pairing.read_job(GOES)
    record = pairing.keep(store, worked, by="R. Quist", on=date(2026, 3, 2), title="Ferry ✓")
    assert (record.number, record.issue, record.title) == (1, "A", "Ferry ✓")
    assert (record.made_on, record.made_by) == ("2026-03-02", "R. Quist")
    assert record.answer["title"] == record.content["title"] == "Ferry ✓"
    again = pairing.read_text(record.content["sheet"])
    assert json.loads(canonical(dict(again.answer))) == record.answer
    assert worked.answer["title"] != "Ferry ✓"


def test_a_job_that_does_not_go_can_be_kept(store: Store) -> None:
    """The chain closes on an adapter shorter than nothing: 12 + 20 - 160 - 4 = -132, by hand."""
    worked = pairing.read_text(
        """
        title = "No room"
        units = "mm"
        [engine.drive]
        standoff = 160
        [gearbox.converter]
        seat_depth = 20
        gap = [3.2, 4.8]
        [choices]
        plate = 12
        """
    )
    assert worked.answer["verdict"] == "does not go"
    assert worked.answer["axial"]["spacer"] == pytest.approx(-132)
    record = pairing.keep(store, worked)
    assert record.answer["axial"]["spacer"] == pytest.approx(-132)
    (row,) = jobs.rows(store)
    assert (row.plate, row.spacer, row.verdict) == (12, None, "does not go")


def test_the_kept_rules_are_those_it_was_judged_by(store: Store) -> None:
    content = pairing.keep(store, pairing.read_job(GOES)).content
    assert content["rules"]["name"] == content["answer"]["rules"]
    for limit in content["rules"]["limits"].values():
        assert set(limit) == {"value", "unit", "source"}
        assert limit["source"]


def test_the_unkept_record_is_the_kept_one_but_for_its_number(store: Store) -> None:
    worked = pairing.read_job(GOES)
    day = date(2026, 3, 2)
    free, kept = pairing.unkept(worked, by="A", on=day), pairing.keep(store, worked, by="A", on=day)
    assert (free.number, free.issue) == (0, "")
    assert (free.document, free.digest) == (kept.document, kept.digest)


def test_a_verdict_nobody_gives_has_no_status() -> None:
    with pytest.raises(KeyError):
        pairing.exit_status("perhaps")


def test_an_outline_drawn_elsewhere_goes_into_the_record(tmp_path: Path) -> None:
    """A disc of 800 mm, two half circles: the plate's area and length are its own, and the sheet
    that the record keeps gives them again."""
    disc = tuple(
        Segment(kind="arc", start=(x, 0.0), end=(-x, 0.0), centre=(0.0, 0.0), radius=400.0)
        for x in (400.0, -400.0)
    )
    sheet = tmp_path / "job.toml"
    sheet.write_text(PLATE, encoding="utf-8")
    worked = pairing.read_job(sheet, outline=disc)
    (plate,) = [one for one in worked.answer["parts"] if one["name"] == "adapter plate"]
    assert plate["size"]["length"] == pytest.approx(800)
    assert [piece["radius"] for piece in plate["outline"]] == pytest.approx([400, 400])
    kept = pairing.unkept(worked)
    again = pairing.read_text(str(kept.content["sheet"]))
    assert again.answer["parts"] == worked.answer["parts"]


PLATE = """units = "mm"
[engine.face]
holes = [
  { x = 150, y = 150, thread = "M10", depth = 25 }, { x = -150, y = 150, thread = "M10", depth = 25 },
  { x = 0, y = -200, thread = "M10", depth = 25 },
]
[gearbox.face]
holes = [{ x = 180, y = 0, hole = 11 }, { x = -180, y = 0, hole = 11 }, { x = 0, y = 180, hole = 11 }]
[choices]
plate = 25
"""
