"""Tracing and spreading against closed forms and against exhaustive search."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.model.parts import Segment
from wizard.papers.shapes import Circle, Hole, Line, extent, spread, swept, trace


def arc(start: float, end: float, *, ccw: bool, radius: float = 10.0) -> Segment:
    ends = [(radius * math.cos(math.radians(a)), radius * math.sin(math.radians(a))) for a in (start, end)]  # fmt: skip
    return Segment(kind="arc", start=ends[0], end=ends[1], centre=(0.0, 0.0), radius=radius, ccw=ccw)  # fmt: skip


@pytest.mark.parametrize(
    ("start", "end", "ccw", "turn"),
    [(0, 90, True, 90), (0, 90, False, -270), (350, 10, True, 20), (10, 350, False, -20), (90, 90, True, 360)],
)  # fmt: skip
def test_an_arc_sweeps_its_angle(start: float, end: float, ccw: bool, turn: float) -> None:
    assert swept(arc(start, end, ccw=ccw)) == pytest.approx(turn)


def test_two_half_circles_trace_a_circle() -> None:
    """Every point lies on the circle; the area is a regular polygon's, n/2·r²·sin(2π/n)."""
    points = trace([arc(0, 180, ccw=True), arc(180, 0, ccw=True)], step=4.0)
    assert len(points) == 90
    assert all(math.hypot(*point) == pytest.approx(10.0) for point in points)
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True)) / 2  # fmt: skip
    assert area == pytest.approx(45 * 100 * math.sin(2 * math.pi / 90))


def test_extent_takes_in_circles_and_keepouts() -> None:
    hole = Hole(id="1", centre=(5.0, 0.0), diameter=2.0, tag="engine", kind="tapped", made=False, keepout=8.0)  # fmt: skip
    circle = Circle(centre=(0.0, 0.0), diameter=6.0, tag="opening")
    line = Line(start=(-4.0, -1.0), end=(0.0, 1.0), tag="axis")
    assert extent([hole, circle, line]) == (-4.0, -4.0, 9.0, 4.0)
    assert extent([]) == (0.0, 0.0, 0.0, 0.0)


places = st.lists(st.floats(-50, 150), min_size=1, max_size=12)


@settings(deadline=None)
@given(places, st.floats(0.1, 20))
def test_spread_places_stand_apart_in_their_order(wanted: list[float], apart: float) -> None:
    moved = spread(wanted, apart=apart, low=0.0, high=100.0)
    order = sorted(range(len(wanted)), key=lambda n: wanted[n])
    gap = min(apart, 100.0 / max(len(wanted) - 1, 1))
    steps = [moved[b] - moved[a] for a, b in itertools.pairwise(order)]
    assert all(step >= gap - 1e-9 for step in steps)
    assert all(-1e-9 <= place <= 100 + 1e-9 for place in moved)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.integers(0, 12), min_size=2, max_size=3))
def test_spread_moves_as_little_as_can_be(wanted: list[int]) -> None:
    """Against every placing on a grid of quarters: none is nearer in the sum of squares."""
    moved = spread([float(one) for one in wanted], apart=2.0, low=-50.0, high=50.0)
    cost = sum((a - b) ** 2 for a, b in zip(moved, wanted, strict=True))
    order = sorted(range(len(wanted)), key=lambda n: wanted[n])
    for shift in itertools.product(range(-8, 9), repeat=len(wanted)):
        tried = [wanted[n] + shift[n] * 0.75 for n in range(len(wanted))]
        if all(tried[b] - tried[a] >= 2.0 for a, b in itertools.pairwise(order)):
            assert cost <= sum((a - b) ** 2 for a, b in zip(tried, wanted, strict=True)) + 1e-6
