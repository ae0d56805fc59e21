"""An earlier design for a new job, against differences put in by hand.

z is the difference over the root of the summed variances of both readings (JCGM 100:2008, 5.1.2,
independent quantities); a ± is two standard deviations wide.
"""

from __future__ import annotations

import copy
import math
from pathlib import Path
from typing import Any

import pytest

from wizard.desk import pairing
from wizard.search.reuse import compare, rank

SHEETS = Path(__file__).parents[1] / "data" / "sheets"


@pytest.fixture(scope="module")
def answer() -> dict[str, Any]:
    return dict(pairing.read_job(SHEETS / "automatic-inch.toml").answer)


def test_the_same_job_is_used_as_it_is(answer: dict[str, Any]) -> None:
    found = compare(answer, answer)
    assert found is not None
    assert (found.how, found.changes, found.differs) == ("as it is", (), ())
    assert found.stays == ("adapter plate", "rotating adapter")
    assert found.same == ("engine", "gearbox", "driving", "driven")


def test_a_dimension_beyond_its_spread_is_named_with_its_z(answer: dict[str, Any]) -> None:
    then = copy.deepcopy(answer)
    row = next(one for one in then["lengths"] if one["key"] == "flexplate.offset")
    sigma = (row["high"] - row["low"]) / 4
    for name in ("value", "low", "high"):
        row[name] += 5 * sigma
    found = compare(answer, then)
    assert found is not None
    (differs,) = found.differs
    assert differs.key == "flexplate.offset"
    assert differs.z == pytest.approx(5 / math.sqrt(2))


def test_within_the_spread_nothing_is_said(answer: dict[str, Any]) -> None:
    then = copy.deepcopy(answer)
    row = next(one for one in then["lengths"] if one["key"] == "flexplate.offset")
    for name in ("value", "low", "high"):
        row[name] += (row["high"] - row["low"]) / 4
    found = compare(answer, then)
    assert found is not None
    assert found.differs == ()


def test_another_length_of_spacer_is_a_listed_change(answer: dict[str, Any]) -> None:
    then = copy.deepcopy(answer)
    then["axial"]["spacer"] = answer["axial"]["spacer"] + 10
    found = compare(answer, then)
    assert found is not None
    assert found.how == "with changes"
    assert found.stays == ("adapter plate",)
    assert found.changes == (f"rotating adapter {answer['axial']['spacer']:.2f} mm long, not {then['axial']['spacer']:.2f}",)  # fmt: skip


def test_a_spacer_inside_what_works_stays(answer: dict[str, Any]) -> None:
    """At the plate's thickness the corners of what works give the gap's own band by hand."""
    then = copy.deepcopy(answer)
    gap = answer["axial"]["gap"]
    # a shorter spacer opens the gap by as much: here to its most, 0.1875 in, less a hair
    then["axial"]["spacer"] = answer["axial"]["spacer"] - (4.7625 - gap - 0.01)
    found = compare(answer, then)
    assert found is not None
    assert "rotating adapter" in found.stays
    then["axial"]["spacer"] = answer["axial"]["spacer"] - (4.7625 - gap + 0.01)
    found = compare(answer, then)
    assert found is not None
    assert "rotating adapter" not in found.stays


@pytest.mark.parametrize(("side", "how"), [("gearbox", "with changes"), ("driven", "with changes")])
def test_another_pattern_means_that_part_is_made_anew(answer: dict[str, Any], side: str, how: str) -> None:  # fmt: skip
    then = copy.deepcopy(answer)
    then["patterns"][side][0]["x"] += 3
    found = compare(answer, then)
    assert found is not None
    assert found.how == how
    assert side not in found.same
    part = "plate" if side == "gearbox" else "rotating adapter"
    assert any(change.startswith(f"{part} made anew") for change in found.changes)


def test_one_side_is_said_to_be_one_side(answer: dict[str, Any]) -> None:
    then = copy.deepcopy(answer)
    for side in ("gearbox", "driving", "driven"):
        then["patterns"][side] = then["patterns"][side][1:]
    found = compare(answer, then)
    assert found is not None
    assert (found.how, found.stays, found.same) == ("one side", (), ("engine",))


def test_a_job_that_shares_nothing_is_not_offered(answer: dict[str, Any]) -> None:
    other = pairing.read_job(SHEETS / "manual-metric.toml").answer
    assert compare(answer, other) is None
    assert compare(answer, {}) is None


def test_what_serves_best_stands_first(answer: dict[str, Any]) -> None:
    longer = copy.deepcopy(answer)
    longer["axial"]["spacer"] += 10
    same, changed = compare(answer, answer), compare(answer, longer)
    assert same is not None
    assert changed is not None
    assert rank(same) < rank(changed)


@pytest.mark.parametrize(
    ("key", "what"), [("peak_torque_nm", "torque"), ("max_speed_rpm", "speed")]
)
def test_what_was_worked_out_for_less_is_not_used_as_it_is(answer: dict[str, Any], key: str, what: str) -> None:  # fmt: skip
    then = copy.deepcopy(answer)
    then["engine"][key] = answer["engine"][key] * 0.9
    found = compare(answer, then)
    assert found is not None
    assert found.how == "with changes"
    assert any(change.startswith(what) and "worked out again" in change for change in found.changes)
    then["engine"][key] = answer["engine"][key] * 1.1
    stronger = compare(answer, then)
    assert stronger is not None
    assert stronger.how == "as it is"


def test_what_is_not_known_is_never_taken_for_the_same(answer: dict[str, Any]) -> None:
    then = copy.deepcopy(answer)
    then["lengths"] = [row for row in then["lengths"] if row["key"] != "engine.drive.register.diameter"]  # fmt: skip
    found = compare(answer, then)
    assert found is not None
    assert found.how == "with changes"
    assert any("engine.drive.register.diameter" in change for change in found.changes)
    for gone in ("peak_torque_nm", "max_speed_rpm"):
        then = copy.deepcopy(answer)
        del then["engine"][gone]
        found = compare(answer, then)
        assert found is not None
        assert any("known of one job only" in change for change in found.changes)


def test_a_plate_alone_asks_for_no_rotating_adapter(answer: dict[str, Any]) -> None:
    bare = copy.deepcopy(answer)
    bare["patterns"] = {name: bare["patterns"][name] for name in ("engine", "gearbox")}
    found = compare(bare, bare)
    assert found is not None
    assert not any("rotating adapter made anew" in change for change in found.changes)
