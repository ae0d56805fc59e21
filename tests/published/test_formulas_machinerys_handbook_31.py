"""Bolt circles.

Sources: Machinery's Handbook, 31st ed. (2020), p.709 (hole-circle coordinates, N = 5, read) and
p.711 (examples and lengths of chords, read); chord constants sin(180°/N) to five places (read for
neighbouring holes, computed for the others); SAE J617 and J620 circles (read, chords computed).
Circles from edges: closed form, figures computed apart from this program.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.published.printed import printed
from wizard.engine.formulas import circle

PROVES = {
    "circle.hole_coordinates",
    "circle.chord",
    "circle.circle_from_chord",
    "circle.circle_from_gap",
    "circle.circle_from_span",
    "circle.widest_clear_angle",
}
CHORDS = printed("formulas_chords")
EDGES = printed("formulas_bolt_circles")
ASKED = {"gap": circle.circle_from_gap, "span": circle.circle_from_span}


@pytest.mark.parametrize("row", CHORDS, ids=lambda row: f"{row['holes']}/{row['step']}")
def test_chord_constants(row: dict[str, str]) -> None:
    worked = circle.chord(diameter=1, holes=int(row["holes"]), step=int(row["step"]))
    assert worked == pytest.approx(float(row["factor"]), abs=0.5e-5)
    back = circle.circle_from_chord(
        chord=float(row["factor"]), holes=int(row["holes"]), step=int(row["step"])
    )
    assert back == pytest.approx(1, abs=5e-5)


@pytest.mark.parametrize(
    ("circle_mm", "holes", "chord"),
    [(333.38, 8, 127.58), (438.15, 8, 167.67), (428.625, 12, 110.94)],
    ids=["J620 11-1/2", "J620 14", "J617 No. 3"],
)
def test_chords_of_standard_circles(circle_mm: float, holes: int, chord: float) -> None:
    assert circle.chord(diameter=circle_mm, holes=holes) == pytest.approx(chord, abs=0.0051)


@pytest.mark.parametrize("row", EDGES, ids=lambda row: f"{row['holes']} {row['measured']}")
def test_circle_from_the_edges_of_two_holes(row: dict[str, str]) -> None:
    worked = ASKED[row["measured"]](
        **{row["measured"]: float(row["value_mm"])},
        hole=float(row["hole_mm"]), holes=int(row["holes"]),
    )  # fmt: skip
    assert worked == pytest.approx(float(row["circle_mm"]), abs=1e-4 / math.sin(math.pi / 8))


def test_straight_across_the_span_less_one_hole_is_the_circle() -> None:
    """Measure over two opposite holes and take one hole off (common practice, no source)."""
    assert circle.circle_from_span(span=110, hole=10, holes=6, step=3) == pytest.approx(100)


@pytest.mark.parametrize(("hole", "x", "y"), [(1, 11.8301, 8.5), (2, 7.5, 11.0), (3, 3.1699, 8.5)])
def test_handbook_example_3(hole: int, x: float, y: float) -> None:
    """D = 10, N = 6, centre (7.5, 6), first hole at 30°."""
    place = circle.hole_coordinates(holes=6, diameter=10, start=30, x=7.5, y=6.0)
    assert place[hole - 1] == pytest.approx([x, y], abs=0.5e-4)


@pytest.mark.parametrize(
    ("hole", "x", "y"),
    [
        (1, 0.0, -0.5), (2, -0.47553, -0.15451), (3, -0.29389, 0.40451), (4, 0.29389, 0.40451),
        (5, 0.47553, -0.15451),
    ],
)  # fmt: skip
def test_handbook_table_of_five_holes(hole: int, x: float, y: float) -> None:
    """Hole 1 at the top, numbered anticlockwise; the table's y points down."""
    place = circle.hole_coordinates(holes=5, diameter=1, start=90)
    assert place[hole - 1] * (1, -1) == pytest.approx([x, y], abs=0.6e-5)


@pytest.mark.parametrize(("first", "second"), [(6, 8), (5, 6), (4, 6), (8, 12), (3, 3), (1, 7)])
def test_widest_clear_angle_by_turning(first: int, second: int) -> None:
    """Second method: turn one circle in small steps and see how near its holes ever keep away."""
    steps = 360 * math.gcd(first, second) * 20
    turn = np.linspace(0, 360, steps, endpoint=False)[:, None, None]
    one = np.arange(first)[None, :, None] * 360 / first
    other = np.arange(second)[None, None, :] * 360 / second
    apart = np.abs((one - other + turn + 180) % 360 - 180).min(axis=(1, 2))
    assert circle.widest_clear_angle(first=first, second=second) == pytest.approx(
        apart.max(), abs=360 / steps
    )
