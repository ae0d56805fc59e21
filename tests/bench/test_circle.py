"""Circle and axis from probed points.

Sources: the six points and their geometric circle published in BIT 34 (1994), p.558 (from memory,
recomputed); everything else true circles probed again. Readings are invented.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.errors import InputError
from kb.model.measured import Point
from tests.bench.readings import point
from wizard.bench.circle import circle

PUBLISHED = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]


def round_points(count: int, *, centre: tuple[float, float] = (12.0, -7.0), radius: float = 60.0, to: float = 0.01) -> list[Point]:  # fmt: skip
    return [
        point(centre[0] + radius * math.cos(2 * math.pi * k / count + 0.3),
              centre[1] + radius * math.sin(2 * math.pi * k / count + 0.3), to=to)
        for k in range(count)
    ]  # fmt: skip


def test_the_published_circle() -> None:
    found = circle([point(x, y) for x, y in PUBLISHED])
    assert (found.x, found.y) == pytest.approx((4.73978, 2.98353), abs=6e-6)
    assert found.diameter == pytest.approx(2 * 4.71423, abs=1.2e-5)


def test_centre_diameter_and_roundness_of_a_probed_bore() -> None:
    found = circle(round_points(8))
    assert (found.x, found.y) == pytest.approx((12, -7), abs=0.006)
    assert found.diameter == pytest.approx(120, abs=0.012)
    assert found.out_of_round is not None
    assert found.out_of_round < 0.02
    assert found.agrees


@pytest.mark.parametrize(("side", "size"), [("inside", 123.0), ("outside", 117.0)])
def test_the_probe_s_tip_is_taken_into_account(side: str, size: float) -> None:
    """The middle of a 3 mm tip runs half its diameter off the wall."""
    assert circle(round_points(8), tip=3.0, side=side).diameter == pytest.approx(size, abs=0.012)


@pytest.mark.parametrize("wrong", range(8))
def test_a_misread_point_is_named_and_left_out(wrong: int) -> None:
    points = round_points(8)
    points[wrong] = point(points[wrong].x.value + 0.6, points[wrong].y.value + 0.6)
    found = circle(points)
    if abs(math.cos(2 * math.pi * wrong / 8 + 0.3) + math.sin(2 * math.pi * wrong / 8 + 0.3)) < 0.5:
        return  # moved along the circle: no circle can tell
    assert [one.places for one in found.explained] == [(wrong,)]
    assert (found.x, found.y) == pytest.approx((12, -7), abs=0.02)


def test_x_and_y_written_in_each_other_s_place_are_set_right() -> None:
    points = round_points(8)
    points[2] = Point(points[2].y, points[2].x)
    found = circle(points)
    assert [one.kind for one in found.explained] == ["x and y exchanged"]
    assert (found.x, found.y) == pytest.approx((12, -7), abs=0.006)


def test_an_oval_bore_is_not_called_round() -> None:
    """Half a millimetre between the axes: out of round by that."""
    points = [point(60.25 * math.cos(t), 59.75 * math.sin(t)) for t in np.linspace(0, 6, 12)]
    found = circle(points)
    assert found.out_of_round == pytest.approx(0.5, abs=0.03)


def test_the_stated_width_holds() -> None:
    """Seven points of an arc read anew 300 times: 95 in 100 centres lie as near as is said."""
    random = np.random.default_rng(9)
    held = 0
    turns = np.radians(np.linspace(0, 200, 7))
    for _ in range(300):
        places = np.column_stack((np.cos(turns), np.sin(turns))) * 50 + random.normal(
            0, 0.02, (7, 2)
        )
        found = circle([point(x, y, to=0.001) for x, y in places])
        assert found.centre_within is not None
        held += math.hypot(found.x, found.y) <= found.centre_within
    assert held >= 0.95 * 300 - 9


@pytest.mark.parametrize("points", [[(0, 0), (1, 0)], [(0, 0), (1, 1), (2, 2)], [(5, 5)] * 4, []])
def test_no_circle_is_refused(points: list[tuple[float, float]]) -> None:
    with pytest.raises(InputError, match="point"):
        circle([point(x, y) for x, y in points])


@pytest.mark.parametrize(("tip", "side"), [(-1.0, "inside"), (200.0, "outside"), (1.0, "left")])
def test_a_probe_nobody_has_is_refused(tip: float, side: str) -> None:
    with pytest.raises(InputError):
        circle(round_points(6), tip=tip, side=side)
