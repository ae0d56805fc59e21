"""Holes on a circle, and the circle through three of them, at the figures printed.

Sources: Machinery's Handbook, 31st ed. (2020), p.709 (hole-circle coordinates, tables for five
holes, read) and p.711 (example 3 and lengths of chords, read); chord constants sin(180°/N) to five
places (read for neighbouring holes, computed for the others); extracts of SAE J617C (how its holes
stand to the vertical read, coordinates computed apart from this program).
"""

from __future__ import annotations

import numpy as np
import pytest

from kb.plane.circle import circle_through, fit_circle
from kb.plane.points import holes_on_circle
from tests.published.digits import half_digit
from tests.published.printed import printed

HOLES = printed("hole_circles")
CHORDS = printed("formulas_chords")
# p.711, example 3: hole circle 10 in about (7.5, 6.0); its holes at 30°, 90° and 150°
EXAMPLE_3 = [(float(r["x"]), float(r["y"])) for r in HOLES if r["table"] == "example 3"]


@pytest.mark.parametrize("row", HOLES, ids=lambda row: f"{row['table']}, hole {row['hole']}")
def test_coordinates_of_a_hole(row: dict[str, str]) -> None:
    """The handbook's tables count y downward; both count holes anticlockwise as we look at them."""
    centres = holes_on_circle(
        count=int(row["holes"]), diameter=float(row["circle"]), start=float(row["start"])
    )
    up = -1 if row["y_axis"] == "down" else 1
    x, y = centres[int(row["hole"]) - 1] * (1, up) + (
        float(row["centre_x"]),
        float(row["centre_y"]),
    )
    assert x == pytest.approx(float(row["x"]), abs=1.001 * half_digit(row["x"]))
    assert y == pytest.approx(float(row["y"]), abs=1.001 * half_digit(row["y"]))


@pytest.mark.parametrize("row", CHORDS, ids=lambda row: f"{row['holes']}/{row['step']}")
def test_chord_between_two_holes(row: dict[str, str]) -> None:
    centres = holes_on_circle(count=int(row["holes"]), diameter=1, start=17.0)
    chord = np.hypot(*(centres[int(row["step"]) % len(centres)] - centres[0]))
    assert chord == pytest.approx(float(row["factor"]), abs=1.001 * half_digit(row["factor"]))


def test_circle_through_the_holes_of_the_example() -> None:
    """Figures printed to 0.0001 in give the circle back to about that."""
    circle = circle_through(*EXAMPLE_3)
    assert circle.centre == pytest.approx((7.5, 6.0), abs=1e-4)
    assert circle.diameter == pytest.approx(10, abs=2e-4)
    fitted = fit_circle(EXAMPLE_3)
    assert fitted.centre == pytest.approx(circle.centre, abs=1e-9)
    assert fitted.radius == pytest.approx(circle.radius, abs=1e-9)


def test_circle_through_three_points_worked_by_hand() -> None:
    """A right angle stands on a diameter (Thales): the longest side of 3-4-5 is one.

    Second set: centre (2.90000, 7.90000), radius 2.10238, worked out apart from this program.
    """
    right = circle_through((0, 0), (4, 0), (0, 3))
    assert right.centre == pytest.approx((2, 1.5), abs=1e-12)
    assert right.diameter == pytest.approx(5, abs=1e-12)
    other = circle_through((1, 7), (2, 6), (5, 8))
    assert other.centre == pytest.approx((2.9, 7.9), abs=1e-12)
    assert other.radius == pytest.approx(2.10238, abs=0.5e-5)
