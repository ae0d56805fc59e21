"""Flywheels for industrial clutches.

Source: SAE J620, Table 1 (inches and millimetres, read), its millimetres against its inches, and against SAE
J617 housings (E is the same depth; the clutch's driving ring goes through the housing's bore).
"""

from __future__ import annotations

import pytest

from kb.standards import clearance, housings
from kb.standards.loader import table
from tests.published.printed import printed

FITS_IN = {  # smallest housing usual for a clutch (common practice, no source)
    "6-1/2": "5", "7-1/2": "5", "8": "4", "10": "4", "11-1/2": "3", "14": "1",
}  # fmt: skip


@pytest.mark.parametrize("row", printed("sae_j620_millimetres"), ids=lambda row: row["size"])
def test_inches_agree_with_the_metric_column(row: dict[str, str]) -> None:
    held = next(each for each in table("sae_j620") if each.text("size") == row["size"])
    for column in (
        "a",
        "pilot",
        "bolt_circle",
        "d",
        "stop_depth",
        "f",
        "ring_depth",
        "h",
        "j",
        "k",
    ):
        places = 0.0101 if column in ("pilot", "bolt_circle") else 0.06  # printed to 0.01 and 0.1
        if row[column]:
            assert held.value(column) == pytest.approx(float(row[column]), abs=places), column
        else:
            assert held.optional(column) is None, column


@pytest.mark.parametrize("name", housings.names("flywheel"))
def test_screws_lie_inside_the_pilot(name: str) -> None:
    """The ring piloted in B is screwed down on C: a screw's clearance hole has metal outside it."""
    wheel = housings.flywheel(name)
    assert wheel.bolt_circle + clearance.hole(wheel.thread, "close").diameter < wheel.pilot


@pytest.mark.parametrize(("wheel", "housing"), FITS_IN.items())
def test_the_flywheel_goes_in_its_housing(wheel: str, housing: str) -> None:
    turning, standing = housings.flywheel(wheel), housings.housing(housing)
    assert turning.pilot < standing.bore[0]
    assert turning.stop_depth == pytest.approx(standing.depth, abs=0.07)  # 3.94 for 3 15/16 in


def test_eleven_and_a_half() -> None:
    """11-1/2: pilot 352.42, bolt circle 333.38, 8 × 3/8-16, G 39.6 mm, bearing 72 mm."""
    wheel = housings.flywheel("11-1/2")
    assert wheel.pilot == pytest.approx(352.42, abs=0.006)
    assert wheel.bolt_circle == pytest.approx(333.38, abs=0.006)
    assert (wheel.holes, wheel.thread.designation, wheel.bearing_bore) == (8, "3/8-16", 72.0)
    assert wheel.ring_depth == pytest.approx(39.6, abs=0.05)
