"""Points of the plane: turning, mirroring, polar places.

Checked against complex arithmetic and exact fractions of the standard library (second methods) and
against the identities a turn and a mirror obey (elementary geometry). Frame P and its flip
x → −x, angle → 180 − angle: the project's own definition of how a face is looked at.
"""

from __future__ import annotations

import cmath
import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kb.errors import InputError
from kb.plane.points import (
    direction,
    from_polar,
    holes_on_circle,
    mirror_angle,
    mirror_x,
    plane_points,
    rotate,
    to_polar,
    wrap,
)

lengths = st.floats(-500, 500)
angles = st.floats(-1080, 1080)
points = st.lists(st.tuples(lengths, lengths), min_size=1, max_size=8)


@given(angle=st.floats(-1e6, 1e6), start=st.sampled_from((0.0, -180.0, 37.5)))
@example(angle=math.nextafter(180.0, 0.0), start=-180.0)
@example(angle=math.nextafter(0.0, -1.0), start=0.0)
def test_wrap_is_the_remainder(angle: float, start: float) -> None:
    turned = wrap(angle, start=start)
    assert start <= turned < start + 360
    exact = (Fraction(angle) - Fraction(start)) % 360 + Fraction(start)
    apart = abs(Fraction(turned) - exact)
    assert min(apart, 360 - apart) < Fraction(1, 10**9)


@pytest.mark.parametrize(
    ("angle", "start", "turned"),
    [(0.1, -180, 0.1), (360, 0, 0), (-1e-17, 0, 0), (180, -180, -180), (-90, 0, 270), (725, 0, 5)],
)
def test_wrap_at_the_seams(angle: float, start: float, turned: float) -> None:
    """An angle within the turn stays as it is; the seam belongs to the start."""
    assert wrap(angle, start=start) == turned
    assert wrap(np.array([angle, angle]), start=start).tolist() == [turned, turned]


def test_quarter_turns_are_exact() -> None:
    found = direction([0, 90, 180, 270, 360, -90, 7290])
    assert found.tolist() == [[1, 0], [0, 1], [-1, 0], [0, -1], [1, 0], [0, -1], [0, 1]]
    assert not np.signbit(found[found == 0]).any()
    assert rotate([(3, 4)], 90).tolist() == [[-4, 3]]


@given(angle=angles)
def test_direction_is_the_complex_exponential(angle: float) -> None:
    assert complex(*direction(angle)) == pytest.approx(
        cmath.exp(1j * math.radians(angle)), abs=1e-12
    )


@given(pairs=points, angle=angles, about=st.tuples(lengths, lengths))
def test_turning_is_multiplying_complex_numbers(
    pairs: list[tuple[float, float]], angle: float, about: tuple[float, float]
) -> None:
    pivot, turn = complex(*about), cmath.exp(1j * math.radians(angle))
    wanted = [pivot + (complex(*pair) - pivot) * turn for pair in pairs]
    found = [complex(*pair) for pair in rotate(pairs, angle, about=about)]
    assert found == pytest.approx(wanted, abs=1e-9)


@given(pairs=points)
def test_mirroring_twice_is_nothing(pairs: list[tuple[float, float]]) -> None:
    assert mirror_x(mirror_x(pairs)).tolist() == plane_points(pairs).tolist()
    assert mirror_x(pairs)[:, 0].tolist() == [0.0 - x for x, _ in pairs]
    assert mirror_x(pairs)[:, 1].tolist() == [y for _, y in pairs]


@given(radius=st.floats(0.1, 500), angle=angles)
def test_mirroring_a_direction(radius: float, angle: float) -> None:
    mirrored = from_polar(radius=radius, angle=mirror_angle(angle))
    assert mirrored == pytest.approx(mirror_x(from_polar(radius=radius, angle=angle)), abs=1e-9)


@given(pairs=points)
def test_polar_places_are_those_of_complex_numbers(pairs: list[tuple[float, float]]) -> None:
    radius, angle = to_polar(pairs)
    assert radius == pytest.approx([abs(complex(*pair)) for pair in pairs], abs=1e-12)
    assert ((angle >= 0) & (angle < 360)).all()
    assert from_polar(radius=radius, angle=angle) == pytest.approx(np.array(pairs), abs=1e-9)


def test_polar_places_on_the_axes() -> None:
    """Closed form; the origin has no direction and is given 0."""
    radius, angle = to_polar([(2, 0), (0, 2), (-2, 0), (0, -2), (0, 0), (-2, -0.0)])
    assert radius.tolist() == [2, 2, 2, 2, 0, 2]
    assert angle.tolist() == [0, 90, 180, 270, 0, 180]


@given(count=st.integers(1, 40), diameter=st.floats(1, 900), start=angles)
def test_holes_are_the_roots_of_unity(count: int, diameter: float, start: float) -> None:
    turn = cmath.exp(1j * math.radians(start))
    wanted = [diameter / 2 * turn * cmath.exp(2j * math.pi * k / count) for k in range(count)]
    found = [
        complex(*hole) for hole in holes_on_circle(count=count, diameter=diameter, start=start)
    ]
    assert found == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("given_", "says"),
    [
        ([(1, 2), (math.nan, 3)], "nan, 3 (point 2)"),
        ([(math.inf, 2)], "inf, 2 (point 1)"),
        ([(1e12, 2)], "1e+12, 2 (point 1)"),
        ([1, 2], "numbers of shape (2,)"),
        ([(1, 2, 3)], "numbers of shape (1, 3)"),
        ([(1, 2), (3,)], "what is no number"),
        ([("a", "b")], "what is no number"),
        ([], "0 points"),
    ],
)
def test_what_are_no_points(given_: object, says: str) -> None:
    with pytest.raises(InputError) as caught:
        plane_points(given_, key="holes")  # type: ignore[arg-type]
    assert caught.value.field == "holes"
    assert caught.value.text == says


def test_points_are_a_copy() -> None:
    taken = np.ones((2, 2))
    plane_points(taken)[0] = 5
    assert taken.tolist() == [[1, 1], [1, 1]]


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"count": 0, "diameter": 10}, "count"),
        ({"count": 2.5, "diameter": 10}, "count"),
        ({"count": True, "diameter": 10}, "count"),
        ({"count": 4, "diameter": 0}, "diameter"),
        ({"count": 4, "diameter": -10}, "diameter"),
        ({"count": 4, "diameter": math.nan}, "diameter"),
        ({"count": 4, "diameter": 10, "start": math.inf}, "start"),
    ],
)
def test_circles_nobody_can_mean(asked: dict[str, float], field: str) -> None:
    with pytest.raises(InputError) as caught:
        holes_on_circle(**asked)  # type: ignore[arg-type]
    assert caught.value.field == field


@pytest.mark.parametrize("angle", [math.nan, math.inf, "north", None])
def test_angles_nobody_can_mean(angle: object) -> None:
    for use in (wrap, direction, mirror_angle, lambda a: rotate([(1, 2)], a)):
        with pytest.raises(InputError, match="angle"):
            use(angle)  # type: ignore[operator]


def test_nought_flipped_is_nought() -> None:
    """Written without a sign: a drawing shows 0, not −0."""
    flipped = mirror_x([(0.0, 1.0)])
    assert math.copysign(1, flipped[0, 0]) == 1


def test_a_figure_beyond_all_measure_is_refused_from_there_on() -> None:
    assert plane_points([(1e9, -1e9)]).tolist() == [[1e9, -1e9]]
    with pytest.raises(InputError, match="up to 1e"):
        plane_points([(1.000001e9, 0)])
