"""Inch clearance holes: the limits against the tolerance grades they were rounded from.

Source: ASME B18.2.8-1999 (R2017), Table 1a (drills and loose limits read, other limits from memory); it gives
close, normal and loose holes the grades H12, H13 and H14 of ISO 286, as ISO 273 does (from memory), rounded
to 0.001 in; its loose holes stray up to 0.005 in from them.
"""

from __future__ import annotations

import pytest

from kb.quantity import Thread, read_thread
from kb.standards import clearance, fits, threads

INCH = 25.4
SIZES = [each for each in threads.coarse("inch") if each.designation != "9/16-12"]


@pytest.mark.parametrize("thread", SIZES, ids=str)
@pytest.mark.parametrize(
    ("fit", "grade", "apart_in"),
    [("close", "H12", 0.0015), ("normal", "H13", 0.0016), ("loose", "H14", 0.005)],
)
def test_holes_are_as_wide_as_their_grade(
    thread: Thread, fit: str, grade: str, apart_in: float
) -> None:
    hole = clearance.hole(thread, fit)
    assert hole.upper - hole.lower == pytest.approx(
        fits.zone(grade, hole.diameter).upper, abs=apart_in * INCH
    )


def test_three_eighths() -> None:
    """3/8: 25/64, 13/32 and 27/64 in."""
    made = [clearance.hole(read_thread("3/8-16", key="thread"), fit) for fit in clearance.FITS]
    assert [hole.drill_name for hole in made] == ["25/64", "13/32", "27/64"]
    assert [hole.diameter * 64 / INCH for hole in made] == pytest.approx([25, 26, 27])
