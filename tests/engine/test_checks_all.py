"""All checks together: none without its table, stable names, each due when the criteria say so.

Identifiers, stages and printed limits are typed here from the project's criteria of the trade
(common practice, no source, where no standard is named), not read from the program.
"""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest

from kb.model.check import STATUSES, VERDICTS
from kb.model.request import STAGES
from kb.rules.loader import rule_set, rule_set_for, rule_set_names
from tests.engine.altered import KINDS, NOT_RUN, Rows, assert_well_formed, design_of
from wizard.engine.checks.case import due
from wizard.engine.checks.run import CHECKS

QUOTE = [
    "converter-gap",
    "spacer-length",
    "nose-engagement",
    "tip-engagement",
    "tip-bottoming",
    "tip-shoulder",
    "spline-overlap",
    "spline-identity",
    "release-gap",
    "plate-thickness",
    "hole-clash",
    "least-wall",
    "bolt-gap",
    "rotating-wall",
    "register-present",
    "converter-circle",
    "opening-clears",
    "rotation",
    "torque-rating",
    "input-cast-in",
    "joint-slip",
    "pinion-overlap",
    "flange-position",
]
START = ["predicted-runout", "balance", "shield", "flatness", "fill-angle"]
CUT = [
    "nose-bottoming",
    "pump-lug-overlap",
    "hub-covers-seal",
    "fastener-clears",
    "disc-hub-clears",
    "release-travel",
    "pinion-rest-gap",
    "tail-shift",
    "edge-distance",
    "thread-engagement",
    "head-sunk",
    "screw-length",
    "dowels",
    "wrench-access",
    "joint-slip-fixed",
    "overhang",
    "retainer-fit",
    "clutch-clears",
    "thermal-growth",
    "register-fit",
    "who-locates",
    "bolts-go-in",
    "bolt-shear",
    "head-bearing",
    "posts-bending",
    "overspeed",
    "critical-thread",
    "starter-hand",
    "starter-clears",
    "speed-rating",
    "balance-kind",
    "ring-pitch",
    "dimension-agreement",
    "identified-by-measurement",
    "shop-questions",
]
DUE = {
    **dict.fromkeys(QUOTE, "quote"),
    **dict.fromkeys(CUT, "cut"),
    **dict.fromkeys(START, "start"),
}

# Every limit as the criteria print it [mm where no other unit is natural].
PRINTED = {
    "converter-gap.low": 3.2, "converter-gap.high": 4.8, "converter-gap.close": 1.6,
    "converter-gap.wide": 6.4, "converter-gap.preset": 0.38, "spacer-length.least": 6,
    "nose-engagement.least": 3.2, "nose-bottoming.warn": 1.5, "nose-bottoming.fail": 0.5,
    "pump-lug-overlap.gear_share": 0.75, "pump-lug-overlap.least": 6,
    "tip-engagement.bush_share": 2 / 3, "tip-bottoming.warn": 3.2, "tip-bottoming.fail": 3,
    "tip-shoulder.warn": 1, "tip-shoulder.fail": 0, "fastener-clears.least": 2,
    "spline-overlap.warn": 1, "spline-overlap.fail": 0.8, "disc-hub-clears.least": 2,
    "release-gap.single": 3.8, "release-gap.twin": 5.1, "release-gap.either_side": 0.8,
    "release-gap.preload_low": 12.7, "release-gap.preload_high": 15.2,
    "release-travel.reserve": 2, "pinion-overlap.face_share": 2 / 3, "pinion-rest-gap.low": 1.5,
    "pinion-rest-gap.high": 3.5, "pinion-rest-gap.fail": 1, "least-wall.steel": 3,
    "least-wall.steel_share": 0.5, "least-wall.aluminium": 5, "least-wall.aluminium_share": 1,
    "least-wall.dowel": 6, "least-wall.dowel_share": 0.5, "edge-distance.warn": 1.5,
    "edge-distance.fail": 1, "thread-engagement.steel": 1, "thread-engagement.iron": 1.5,
    "thread-engagement.aluminium": 1.5, "head-sunk.above": 0.5, "head-sunk.steel_warn": 0.6,
    "head-sunk.steel_fail": 0.4, "head-sunk.aluminium_warn": 1, "head-sunk.aluminium_fail": 0.5,
    "screw-length.bottom_pitches": 2, "dowels.apart": 100, "dowels.least": 8, "dowels.share": 1,
    "opening-clears.radial": 3, "clutch-clears.radial": 3, "wrench-access.beyond_socket": 1,
    "bolt-gap.warn": 60, "bolt-gap.fail": 90, "joint-slip.warn": 1.5, "joint-slip.fail": 1,
    "joint-slip.tightening": 1.6, "overhang.shock": 3, "retainer-fit.play": 0.25,
    "fill-angle.most": 5, "thermal-growth.warn": 0.3, "flatness.step": 0.05,
    "flatness.overall": 0.1, "register-tir.drive": 0.13, "ring-pitch.low": 0.5,
    "ring-pitch.high": 1.5, "converter-circle.web": 1.5, "critical-thread.share": 1,
    "overspeed.share": 1.25, "overspeed.yield_factor": 2, "overspeed.burst_factor": 4,
    "balance.grade": 6.3, "head-bearing.share": 1.4, "posts-bending.warn": 1.5, "posts-bending.fail": 1,
    "posts-bending.yield_factor": 2, "verdict.low": 0.05, "verdict.high": 0.95,
}  # fmt: skip
ANSWERED_OR_OPEN = {"shield", "shop-questions"}  # a question is never answered wrongly


def tables() -> list[tuple[str, Rows]]:
    """The table of every family's test."""
    found = []
    for path in sorted(Path(__file__).parent.glob("test_checks_*.py")):
        module = importlib.import_module(f"tests.engine.{path.stem}")
        if hasattr(module, "ROWS"):
            found.append((path.stem, module.ROWS))
    return found


def test_every_check_has_one_table() -> None:
    named = [id for _, table in tables() for id in table]
    assert sorted(named) == sorted(CHECKS)


def test_names_are_those_of_the_criteria() -> None:
    assert set(CHECKS) == set(DUE)
    assert len(QUOTE) + len(CUT) + len(START) == len(DUE)


@pytest.mark.parametrize("id", CHECKS)
def test_each_table_shows_good_bad_and_missing(id: str) -> None:
    (table,) = [table[id] for _, table in tables() if id in table]
    shown = {row.status for row in table}
    assert "pass" in shown
    assert shown & {"warn", "fail"} or id in ANSWERED_OR_OPEN
    assert shown & {"unknown", NOT_RUN}
    assert shown <= {*STATUSES, NOT_RUN}


def test_words_are_stable() -> None:
    assert STATUSES == ("pass", "warn", "fail", "unknown")
    assert VERDICTS == ("goes", "goes with work", "measure first", "does not go")
    assert STAGES == ("quote", "cut", "start")


def test_due_when_the_criteria_say() -> None:
    assert {id: due(id) for id in CHECKS} == DUE


@pytest.mark.parametrize("kind", KINDS)
def test_every_check_of_a_whole_job_is_well_formed(kind: str) -> None:
    """Each is answered once or not run with what it lacks, in the order people read them."""
    made = design_of(kind)
    ran, skipped = [one.id for one in made.checks], [id for id, _ in made.not_run]
    assert sorted((*ran, *skipped)) == sorted(CHECKS)
    assert [id for id in CHECKS if id in ran] == ran
    assert all(lacks for _, lacks in made.not_run)
    for found in made.checks:
        assert_well_formed(found)
        assert found.due == DUE[found.id]
        assert found.status == "pass" or found.id in ("balance", "predicted-runout"), found.says


def test_limits_are_the_printed_ones() -> None:
    held = rule_set("automatic road car")
    assert {name: held[name] for name in PRINTED} == pytest.approx(PRINTED, abs=1e-12)


def test_every_limit_names_its_source() -> None:
    for name in rule_set_names():
        for limit in rule_set(name).limits.values():
            assert limit.source
            assert limit.source != "CP"
            assert limit.unit


def test_each_kind_of_drive_has_its_rules() -> None:
    assert rule_set_names() == ("light manual", "automatic road car", "heavy industrial")
    by_kind = {kind: rule_set_for(kind) for kind in ("shaft", "converter", "flange")}
    assert by_kind == {
        "shaft": "light manual", "converter": "automatic road car", "flange": "heavy industrial",
    }  # fmt: skip
