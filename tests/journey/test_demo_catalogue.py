"""The invented catalogue: every engine with every gearbox, and the three jobs of the demo.

What the sheets alone say is worked out a second time, with pencil and paper (`by_hand`), and
the program must find the same. Which parts go between two units follows the desk's rule.
"""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from kb.model.unit import Clutch, Engine, Face, Flexplate, Flywheel, Gearbox
from kb.quantity import SOURCES
from kb.rules.loader import instruments, rule_set_for, rule_set_names
from kb.sheets.reading import read_units
from tests.journey.by_hand import must_fail, uneven
from tests.journey.pairings import (
    Pair,
    Units,
    WorkOut,
    between,
    catalogue,
    dimensions,
    job,
    kind_of,
    measured,
    named,
    request_of,
    texts,
    workers,
)
from wizard.desk import demo
from wizard.desk.pairing import EXIT, Worked, companions, work_out
from wizard.desk.place import open_store
from wizard.engine.remedies import changed

Works = Mapping[Pair, Worked]

# What goes wrong in this trade; each must go wrong somewhere in the catalogue.
MAIN_FAILURES = frozenset((
    "rotation", "torque-rating", "speed-rating", "input-cast-in", "register-present",
    "spline-identity", "balance-kind", "converter-circle", "retainer-fit", "clutch-clears",
    "dimension-agreement", "spacer-length", "plate-thickness", "nose-engagement",
    "tip-engagement", "tip-bottoming", "tip-shoulder", "spline-overlap", "release-gap",
    "pinion-overlap", "pinion-rest-gap", "hole-clash", "least-wall", "rotating-wall",
    "edge-distance", "opening-clears", "thread-engagement", "screw-length", "critical-thread",
    "joint-slip", "joint-slip-fixed",
))  # fmt: skip


@pytest.fixture(scope="module")
def units() -> Units:
    return catalogue()


@pytest.fixture(scope="module")
def pairs(units: Units) -> list[Pair]:
    return [(engine, box) for engine in named(units, "engine") for box in named(units, "gearbox")]


@pytest.fixture(scope="module")
def work() -> Iterator[WorkOut]:
    with workers() as work_out_all:
        yield work_out_all


@pytest.fixture(scope="module")
def works(units: Units, pairs: list[Pair], work: WorkOut) -> Works:
    done = work([request_of(units, pair) for pair in pairs])
    return dict(zip(pairs, done, strict=True))


@pytest.fixture(scope="module")
def jobs(units: Units) -> dict[str, Worked]:
    return {name: work_out(job(units, text)) for name, text in demo.jobs().items()}


def statuses(worked: Worked) -> dict[str, str]:
    return {check["id"]: check["status"] for check in worked.answer["checks"]}


def failing(worked: Worked) -> set[str]:
    return {check for check, status in statuses(worked).items() if status == "fail"}


# ── the sheets themselves ───────────────────────────────────────────────────


def test_every_file_says_that_it_is_invented_and_holds_one_unit() -> None:
    for name, text in texts("units").items():
        (unit,) = read_units(text, origin=name)
        assert text.startswith("# Invented for the demo"), name
        assert name.startswith(f"{kind_of(unit)}-"), name
        assert unit.name, name
    assert len(texts("jobs")) == 3
    for name, text in texts("jobs").items():
        assert text.startswith("# Invented for the demo"), name


def test_no_two_names_clash_and_every_part_belongs_to_one_unit(units: Units) -> None:
    assert len({name.casefold() for _, name in units}) == len(texts("units"))
    owners = {name for kind, name in units if kind in ("engine", "gearbox")}
    for sort in (Flexplate, Flywheel, Clutch):
        belonging = [one.belongs_to for one in units.values() if isinstance(one, sort)]
        assert belonging
        assert len(set(belonging)) == len(belonging)
        assert set(belonging) <= owners


def test_there_is_enough_of_every_sort(units: Units) -> None:
    engines = [one for one in units.values() if isinstance(one, Engine)]
    boxes = [one for one in units.values() if isinstance(one, Gearbox)]
    assert len(engines) >= 8
    assert len(boxes) >= 10
    assert {one.rotation for one in engines} == {"ccw", "cw"}
    assert {one.balance for one in engines} == {"internal", "external"}
    assert {one.starter.mounts_on for one in engines if one.starter} == {"engine", "gearbox"}
    assert sum(one.converter is not None for one in boxes) >= 3
    assert sum(one.shaft is not None for one in boxes) >= 3
    assert sum(one.driven is not None for one in boxes) >= 3
    standard = [text for text in texts("units").values() if '"standard:SAE J6' in text]
    assert sum("[engine]" in text for text in standard) >= 2
    assert sum("[gearbox]" in text for text in standard) >= 2


def test_readings_come_in_all_the_ways_a_shop_writes_them(units: Units) -> None:
    lengths = [one for unit in units.values() for one in dimensions(unit)]
    assert {one.source for one in lengths} == set(SOURCES)
    assert {one.unit for one in lengths} == {"in", "mm"}
    assert len({one.how for one in lengths} - {""}) >= 6
    assert {one.how for one in lengths} - {""} <= set(instruments())
    assert len({one.by for one in lengths if one.source == "measured"} - {""}) >= 3
    assert {one.on.year for one in lengths if one.on is not None} == {2026}
    assert any(re.search(r"\d/\d", one.typed) for one in lengths)
    assert any(one.limits for one in lengths)
    several = [one for unit in units.values() for one in measured(unit) if len(one.readings) > 1]
    assert len(several) >= 3
    faces = [one.face for one in units.values() if isinstance(one, Engine | Gearbox) and one.face]
    assert sum(face.origin is not None for face in faces) >= 2  # measured from a dowel


# ── what pencil and paper find ──────────────────────────────────────────────


def test_the_program_finds_what_pencil_and_paper_find(works: Works) -> None:
    missed = {
        pair: left
        for pair, worked in works.items()
        if (left := must_fail(worked.request) - failing(worked))
    }
    assert not missed


def test_half_of_the_pairings_are_uneven_of_mixed_units_and_fail_on_paper(works: Works) -> None:
    telling = [
        pair
        for pair, worked in works.items()
        if all(uneven(face) for face in faces_of(worked))
        and {one.unit for one in dimensions(worked.request)} == {"in", "mm"}
        and must_fail(worked.request)
    ]
    assert len(telling) >= len(works) / 2


def faces_of(worked: Worked) -> list[Face | None]:
    units = (worked.request.engine, worked.request.gearbox)
    return [unit.face if unit else None for unit in units]


# ── what the pairings show ──────────────────────────────────────────────────


def test_every_verdict_and_every_main_failure_occurs(works: Works) -> None:
    assert {worked.answer["verdict"] for worked in works.values()} == set(EXIT)
    seen = set[str]().union(*(failing(worked) for worked in works.values()))
    assert seen >= MAIN_FAILURES, MAIN_FAILURES - seen


def test_clashes_are_cured_by_a_turn_by_fewer_bolts_by_one_screw_and_by_nothing(
    works: Works,
) -> None:
    ways = {way for worked in works.values() for way in ways_out(worked)}
    assert ways == {"a turn", "fewer bolts", "one screw", "nothing"}


def ways_out(worked: Worked) -> Iterator[str]:
    """What ends the clash of a pairing, if it has one."""
    if "hole-clash" not in failing(worked):
        return
    cures = [
        set(remedy["change"])
        for remedy in worked.answer["remedies"]
        if "hole-clash" in remedy["cures"]
    ]
    keys = set[str]().union(*cures)
    if {"choices.clocking"} in cures:
        yield "a turn"
    elif "choices.leave_out" in keys:
        yield "fewer bolts"
    if "choices.share" in keys:
        yield "one screw"
    if not cures:
        assert worked.answer["verdict"] == "does not go"
        yield "nothing"


@pytest.mark.parametrize("kind", ["converter", "shaft", "flange"])
def test_plate_and_adapter_follow_where_the_sheet_leaves_them_out(works: Works, kind: str) -> None:
    going = [
        worked.answer["axial"]
        for worked in works.values()
        if worked.answer["kind"] == kind and worked.answer["verdict"] in ("goes", "goes with work")
    ]
    assert going
    assert all(axial["plate"] > 0 and axial["spacer"] >= 0 for axial in going)


def test_no_figure_of_any_answer_is_endless_or_none_at_all(works: Works) -> None:
    for pair, worked in works.items():
        assert all(math.isfinite(figure) for figure in figures(worked.answer)), pair


def figures(node: object) -> Iterator[float]:
    """Every figure of a document."""
    if isinstance(node, float):
        yield node
    for item in node.values() if isinstance(node, Mapping) else ():
        yield from figures(item)
    for item in node if isinstance(node, list | tuple) else ():
        yield from figures(item)


# ── rule sets ───────────────────────────────────────────────────────────────

SAMPLE = tuple(
    (engine, box)
    for engine in ("Lumbrast Traction Motor", "Ostrewold Diesel Four", "Quarlend V8")
    for box in (
        "Corstrey Generator End", "Drumlow Pump Drive", "Saltrone Marine Reverse",
        "Kestrow Four-Speed", "Sorrelgate Three-Speed",
    )
)  # fmt: skip


def test_every_rule_set_changes_answers(works: Works, work: WorkOut) -> None:
    asked = [
        (rules, pair)
        for rules in rule_set_names()
        for pair in SAMPLE
        if rules != rule_set_for(works[pair].answer["kind"])
    ]
    again = work([changed(works[pair].request, {"choices.rules": rules}) for rules, pair in asked])
    differ = dict.fromkeys(rule_set_names(), 0)
    for (rules, pair), worked in zip(asked, again, strict=True):
        assert worked.answer["rules"] == rules
        differ[rules] += statuses(worked) != statuses(works[pair])
    assert min(differ.values()) >= 5, differ


# ── the desk and the jobs ───────────────────────────────────────────────────


def test_the_desk_chooses_the_same_parts(units: Units, pairs: list[Pair], tmp_path: Path) -> None:
    with open_store(f"sqlite:///{(tmp_path / 'demo.sqlite').as_posix()}") as store:
        counts = demo.load(store).counts
        assert sum(counts.values()) == len(units)
        for engine, box in pairs[:: len(named(units, "gearbox")) + 1]:
            chosen = dataclasses.asdict(companions(store, engine=engine, gearbox=box))
            assert {kind: name for kind, name in chosen.items() if name} == between(
                units, (engine, box)
            )


def test_the_main_job_goes_once_the_gearbox_is_turned(jobs: dict[str, Worked]) -> None:
    name, worked = next(iter(jobs.items()))
    answer, found = worked.answer, worked.answer["lineup"]["fixed"]
    assert (name, answer["kind"], answer["shop_units"]) == ("automatic", "converter", "in")
    assert all(uneven(face) for face in faces_of(worked))
    assert not must_fail(worked.request)
    assert answer["verdict"] == "goes"
    assert not failing(worked)
    assert found["windows"]
    assert not any(low <= 0 <= high for low, high in found["windows"])  # upright it does not go
    assert found["wall"] >= found["required"] - 1e-6
    assert statuses(worked)["converter-circle"] == "warn"  # three lugs, four holes: to be drilled
    assert 3.2 <= answer["axial"]["gap"] <= 4.8  # mm; common practice, no source
    assert {part["name"] for part in answer["parts"]} >= {"adapter plate", "spacer ring"}


def test_the_main_job_kept_upright_goes_with_work(jobs: dict[str, Worked]) -> None:
    upright = work_out(changed(next(iter(jobs.values())).request, {"choices.clocking": [0, 0]}))
    assert upright.answer["verdict"] == "goes with work"
    assert failing(upright) == {"hole-clash", "least-wall"}
    cures = [one for one in upright.answer["remedies"] if "hole-clash" in one["cures"]]
    assert set(cures[0]["change"]) == {"choices.clocking"}
    assert cures[0]["verdict"] == "goes"


def test_the_manual_job_waits_for_a_measurement(jobs: dict[str, Worked]) -> None:
    answer = jobs["manual"].answer
    assert (answer["kind"], answer["shop_units"]) == ("shaft", "mm")
    assert answer["verdict"] == "measure first"
    assert answer["measure"][0] == "flywheel.height"
    assert not failing(jobs["manual"])


def test_the_industrial_job_goes(jobs: dict[str, Worked]) -> None:
    answer = jobs["standard-housings"].answer
    assert (answer["kind"], answer["rules"]) == ("flange", "heavy industrial")
    assert answer["verdict"] == "goes"
    # Both faces stand 1.56 in inside their housings (SAE J620D, 11-1/2, dimension G; an extract),
    # so the ring is as long as the plate is thick (closed form).
    assert answer["axial"]["spacer"] == pytest.approx(answer["axial"]["plate"], abs=0.01)
