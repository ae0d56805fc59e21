"""Three whole sheets against numbers that were worked out without this program.

Source of every expected number: tests/data/sheets/expected.json, as its README says; the turns
come from a scan in steps of 0.002°, hence 0.01° and 0.02 mm.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.journey.command import SHEETS
from wizard.desk import pairing
from wizard.engine.remedies import changed

EXPECTED: dict[str, dict[str, Any]] = json.loads(
    (SHEETS / "expected.json").read_text(encoding="utf-8")
)
WALL = 0.02  # mm
TURN = 0.01  # °
LENGTH = 1e-4  # mm; the file's last figure
IN_AXIAL = (
    "plate", "spacer", "gap", "release_gap", "tip_engagement", "tip_bottom", "tip_shoulder",
)  # fmt: skip
STATIONS = ("shaft_end", "clutch_face")
ALONE = ("chance_these", "engagement_in_spacer", "engagement_in_crank", "worst_case_robust")


@pytest.fixture(scope="module", params=sorted(EXPECTED))
def name(request: Any) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def expected(name: str) -> dict[str, Any]:
    return EXPECTED[name]


@pytest.fixture(scope="module")
def answer(name: str) -> dict[str, Any]:
    return dict(pairing.read_job(SHEETS / name).answer)


@pytest.fixture(scope="module")
def upright(name: str) -> dict[str, Any]:
    """The answer with the gearbox held upright."""
    request = pairing.read_job(SHEETS / name).request
    held = pairing.work_out(changed(request, {"choices.clocking": [0, 0]}))
    return dict(held.answer["lineup"]["fixed"])


def test_every_sheet_has_numbers_and_every_number_is_looked_at() -> None:
    assert {path.name for path in SHEETS.glob("*.toml")} == set(EXPECTED)
    known = {*IN_AXIAL, *STATIONS, *ALONE}
    for numbers in EXPECTED.values():
        assert set(numbers) == {"lineup", "axial"}
        assert set(numbers["axial"]) <= known
        assert set(numbers["lineup"]) <= {"fixed", "rotating"}
        assert set(numbers["lineup"]["fixed"]) == {"wall_at_0", "best", "clashes_at_0"}


def test_best_turn(answer: dict[str, Any], expected: dict[str, Any]) -> None:
    best, wanted = answer["lineup"]["fixed"]["best"], expected["lineup"]["fixed"]["best"]
    assert best["clocking"] == pytest.approx(wanted["clocking"], abs=TURN)
    assert best["wall"] == pytest.approx(wanted["wall"], abs=WALL)


def test_wall_upright(upright: dict[str, Any], expected: dict[str, Any]) -> None:
    assert upright["clocking"] == 0
    assert upright["wall"] == pytest.approx(expected["lineup"]["fixed"]["wall_at_0"], abs=WALL)


def test_clashes_upright(upright: dict[str, Any], expected: dict[str, Any]) -> None:
    found = sorted([one["engine"], one["gearbox"], one["wall"]] for one in upright["clashes"])
    wanted = sorted(expected["lineup"]["fixed"]["clashes_at_0"])
    assert [pair[:2] for pair in found] == [pair[:2] for pair in wanted]
    walls = [pair[2] for pair in wanted]
    assert [pair[2] for pair in found] == pytest.approx(walls, abs=WALL)


def test_rotating_circles(answer: dict[str, Any], expected: dict[str, Any]) -> None:
    if "rotating" in expected["lineup"]:
        assert answer["lineup"]["rotating"] == expected["lineup"]["rotating"]


def test_lengths_along_the_axis(answer: dict[str, Any], expected: dict[str, Any]) -> None:
    axial, wanted = answer["axial"], expected["axial"]
    looked_at = [key for key in IN_AXIAL if key in wanted]
    assert {"plate", "spacer"} <= set(looked_at)
    for key in looked_at:
        assert axial[key] == pytest.approx(wanted[key], abs=LENGTH), key
    for key in STATIONS:
        if key in wanted:
            assert axial["stations"][key] == pytest.approx(wanted[key], abs=LENGTH), key


def test_what_the_kind_of_drive_does_not_have_is_left_out(
    answer: dict[str, Any], expected: dict[str, Any]
) -> None:
    drives = {"gap": "converter", "release_gap": "shaft", "tip_engagement": "shaft"}
    for key, kind in drives.items():
        assert (key in answer["axial"]) == (answer["kind"] == kind)
        assert (key in expected["axial"]) == (answer["kind"] == kind)


def test_chance_of_the_converter_job() -> None:
    """The expected chance has four figures; a sampled one is off by its own error."""
    axial = pairing.read_job(SHEETS / "automatic-inch.toml").answer["axial"]
    wanted = EXPECTED["automatic-inch.toml"]["axial"]["chance_these"]
    assert axial["chance_these_error"] < 0.001
    assert axial["chance_these"] == pytest.approx(wanted, abs=0.0001 + axial["chance_these_error"])


def test_nose_in_the_spacer_and_in_the_crank() -> None:
    """A bore left in the crank has its mouth a spacer's length further away from the nose."""
    answer = pairing.read_job(SHEETS / "automatic-inch.toml").answer
    axial, wanted = answer["axial"], EXPECTED["automatic-inch.toml"]["axial"]
    assert answer["pilot"]["carried_by"] == "spacer"
    engaged = axial["nose_engagement"]
    assert engaged == pytest.approx(wanted["engagement_in_spacer"], abs=LENGTH)
    assert engaged - axial["spacer"] == pytest.approx(wanted["engagement_in_crank"], abs=LENGTH)


def test_worst_case_of_the_gap() -> None:
    """Every ± added up, as `worst_case_robust` says, against the band the sheet wants."""
    answer = pairing.read_job(SHEETS / "automatic-inch.toml").answer
    axial = answer["axial"]
    off, (least, most) = axial["uncertain"]["gap"], (0.125 * 25.4, 0.1875 * 25.4)
    assert off == pytest.approx((0.015 + 0.004 + 0.005) * 25.4, abs=LENGTH)  # as the sheet says
    robust = least <= axial["gap"] - off and axial["gap"] + off <= most
    assert robust is EXPECTED["automatic-inch.toml"]["axial"]["worst_case_robust"]
    corners = axial["robust_region"]
    assert bool(corners) is robust
