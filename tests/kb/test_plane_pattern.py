"""Laying one pattern of holes on another, and how a pattern repeats.

Best fit: scipy.spatial.transform.Rotation.align_vectors (a general-purpose second method), moves
known beforehand, and the closed form for two points. Symmetry: regular polygons and rectangles
(elementary geometry), and exact counting on holes that stand only at whole steps of a circle.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from kb.errors import InputError
from kb.plane.pattern import best_rigid_fit, symmetry
from kb.plane.points import from_polar, holes_on_circle, mirror_x, rotate

UNEVEN = [(0, 0), (120, 10), (80, 95), (-40, 60), (-70, -30)]  # no symmetry at all


@given(
    turn=st.floats(-180, 179.9),
    x=st.floats(-500, 500),
    y=st.floats(-500, 500),
    mirror=st.booleans(),
)
def test_a_known_move_is_found(turn: float, x: float, y: float, mirror: bool) -> None:
    aim = rotate(mirror_x(UNEVEN) if mirror else UNEVEN, turn) + np.array((x, y))
    fit = best_rigid_fit(UNEVEN, aim, mirror=mirror)
    assert math.remainder(fit.angle - turn, 360) == pytest.approx(0, abs=1e-9)
    assert fit.shift == pytest.approx((x, y), abs=1e-9)
    assert fit.rms < 1e-9
    assert fit.move(UNEVEN) == pytest.approx(aim, abs=1e-9)
    assert fit.move([(7, 11)]) == pytest.approx(
        rotate(mirror_x([(7, 11)]) if mirror else [(7, 11)], turn) + np.array((x, y)), abs=1e-9
    )


@pytest.mark.parametrize("seed", range(20))
def test_best_fit_is_that_of_a_general_library(seed: int) -> None:
    draw = np.random.default_rng(seed)
    start = draw.uniform(-200, 200, (3 + seed, 2))
    aim = rotate(start, draw.uniform(-180, 180)) + draw.normal(0, 3, start.shape) + (50, 60)
    fit = best_rigid_fit(start, aim)
    flat = np.zeros((len(start), 1))
    wanted, apart = Rotation.align_vectors(
        np.hstack((aim - aim.mean(axis=0), flat)), np.hstack((start - start.mean(axis=0), flat))
    )
    assert fit.angle == pytest.approx(wanted.as_euler("xyz", degrees=True)[2], abs=1e-6)
    assert fit.rms == pytest.approx(apart / math.sqrt(len(start)), abs=1e-8)
    assert fit.residuals == pytest.approx(aim - fit.move(start), abs=1e-9)
    assert fit.residuals.sum(axis=0) == pytest.approx([0, 0], abs=1e-9)


def test_two_points_share_what_is_too_long() -> None:
    """Closed form: the middles coincide, the directions agree, each end is off by half the rest."""
    fit = best_rigid_fit([(0, 0), (10, 0)], [(5, 5), (5, 16)])
    assert fit.angle == pytest.approx(90)
    assert fit.residuals == pytest.approx(np.array([(0, -0.5), (0, 0.5)]), abs=1e-12)
    assert fit.rms == pytest.approx(0.5)


def test_a_pattern_taken_from_the_wrong_side_shows() -> None:
    """A pattern without mirror symmetry fits its mirror image only mirrored."""
    seen_from_behind = rotate(mirror_x(UNEVEN), 30)
    assert best_rigid_fit(UNEVEN, seen_from_behind, mirror=True).rms < 1e-9
    assert best_rigid_fit(UNEVEN, seen_from_behind).rms > 20


@pytest.mark.parametrize(
    ("a", "b", "field"),
    [
        ([(0, 0)], [(1, 1)], "a"),
        ([(0, 0), (1, 0)], [(0, 0)], "b"),
        ([(0, 0), (1, 0)], [(0, 0), (1, 0), (2, 0)], "b"),
        ([(3, 3), (3, 3)], [(0, 0), (1, 0)], "a"),
        ([(0, 0), (1, 0)], [(4, 4), (4, 4)], "a"),
        ([(1, 0), (0, 1), (-1, 0), (0, -1)], [(1, 0), (0, -1), (-1, 0), (0, 1)], "a"),
        ([(0, 0), (math.nan, 0)], [(0, 0), (1, 0)], "a"),
    ],
    ids=["one", "fewer", "more", "together", "aim together", "mirror image", "nan"],
)
def test_pairs_that_tell_no_move(
    a: list[tuple[float, float]], b: list[tuple[float, float]], field: str
) -> None:
    """The mirror image of a square, corner by corner, fits equally badly at every turn."""
    with pytest.raises(InputError) as caught:
        best_rigid_fit(a, b)
    assert caught.value.field == field


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 6, 8, 12, 16])
def test_a_bolt_circle_repeats_as_a_regular_polygon(count: int) -> None:
    found = symmetry(holes_on_circle(count=count, diameter=240, start=20))
    assert found.order == count
    assert found.mirror
    lines = sorted((20 + k * 180 / count) % 180 for k in range(count))
    assert found.axes == pytest.approx(lines, abs=1e-9)


def test_a_rectangle_repeats_twice() -> None:
    corners = [(90, 50), (-90, 50), (-90, -50), (90, -50)]
    assert symmetry(corners) == symmetry([*corners, (0, 0)])
    assert symmetry(corners).order == 2
    assert symmetry(corners).axes == pytest.approx((0, 90))


def test_a_pinwheel_turns_but_has_a_hand() -> None:
    arms = np.vstack([rotate([(60, 0), (80, 25)], 90 * k) for k in range(4)])
    found = symmetry(arms)
    assert (found.order, found.axes, found.mirror) == (4, (), False)


def test_no_symmetry_at_all() -> None:
    found = symmetry(UNEVEN, about=(20, 20))
    assert (found.order, found.axes) == (1, ())


def test_hole_sizes_count() -> None:
    holes = holes_on_circle(count=4, diameter=100)
    assert symmetry(holes).order == 4
    assert symmetry(holes, [4, 5, 4, 5]).order == 2
    assert symmetry(holes, [4, 5, 4, 5]).axes == pytest.approx((0, 90))
    assert symmetry(holes, [4, 4, 5, 5]).order == 1
    assert symmetry(holes, [4, 4, 5, 5]).axes == pytest.approx((45,))
    assert symmetry(holes, [4, 4.05, 4, 4.05]).order == 4  # within the default 0.1


def test_the_axis_counts() -> None:
    """A bolt circle off the axis still has the mirror line through both, and no other."""
    holes = holes_on_circle(count=6, diameter=100) + np.array((3.0, 0.0))
    assert symmetry(holes, about=(3, 0)).order == 6
    off = symmetry(holes)
    assert (off.order, off.axes) == (1, pytest.approx((0,)))


def test_how_far_a_hole_may_stray() -> None:
    holes = holes_on_circle(count=6, diameter=100)
    holes[2] += (0.0, 0.3)
    assert symmetry(holes, within=0.2).order == 1
    assert symmetry(holes, within=0.31).order == 6


def test_two_holes_do_not_share_one_place() -> None:
    """Half a turn lays both close holes on the one opposite: three holes are not four."""
    assert symmetry([(50, 2), (50, -2), (-50, 0)], within=3).order == 1


def test_a_pattern_hardly_wider_than_the_margin() -> None:
    with np.errstate(all="raise"):
        found = symmetry([(0, 0), (0.08, 0)], within=0.1)
    assert (found.order, found.axes) == (1, pytest.approx((0,)))


slots = st.lists(st.integers(0, 2), min_size=12, max_size=12).filter(any)


@settings(max_examples=80)
@given(sizes=slots, turn=st.floats(0, 360))
def test_symmetry_by_counting(sizes: list[int], turn: float) -> None:
    """Second method: holes of two sizes in twelve places are a ring of twelve whole numbers, and
    a turn or a mirroring of the ring either gives the same ring or does not."""
    shifts = [k for k in range(12) if sizes[k:] + sizes[:k] == sizes]
    mirrors = [k for k in range(12) if [sizes[(k - i) % 12] for i in range(12)] == sizes]
    places = [k for k in range(12) if sizes[k]]
    holes = from_polar(radius=150, angle=turn + 30.0 * np.array(places))
    found = symmetry(holes, [4.0 * sizes[k] for k in places])
    assert found.order == len(shifts)
    assert len(found.axes) == len(mirrors)
    # place i falls on place k − i: the line halves their angle
    lines = np.array([turn + 15.0 * k for k in mirrors])
    for axis in found.axes:
        assert 0 <= axis < 180
        assert np.min(np.abs(np.sin(np.radians(lines - axis)))) < 1e-9


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"points": []}, "points"),
        ({"points": [(0, 0)]}, "points"),
        ({"points": [(0, 5), (5, 0)], "radii": [1]}, "radii"),
        ({"points": [(0, 5), (5, 0)], "radii": [1, math.nan]}, "radii"),
        ({"points": [(0, 5), (5, 0)], "within": 0}, "within"),
        ({"points": [(0, 5), (5, 0)], "about": (0, math.inf)}, "about"),
    ],
)
def test_patterns_nobody_can_mean(asked: dict[str, object], field: str) -> None:
    with pytest.raises(InputError) as caught:
        symmetry(**asked)  # type: ignore[arg-type]
    assert caught.value.field == field


def test_a_small_rectangle_has_two_mirror_lines() -> None:
    """Symmetry group of the rectangle, 2mm; smaller than the slack's reciprocal."""
    found = symmetry([(8, 5), (-8, 5), (-8, -5), (8, -5)], within=0.1)
    assert found.order == 2
    assert found.axes == pytest.approx((0, 90))


def test_a_hole_within_half_the_slack_is_on_the_axis() -> None:
    with pytest.raises(InputError, match="on the axis"):
        symmetry([(0.05, 0)], within=0.1)
    assert symmetry([(0.0501, 0)], within=0.1).order == 1


def test_points_taken_against_each_other_s_order_tell_no_turn() -> None:
    """A square against itself numbered the other way round: Σ conj(p)·q cancels, to rounding."""
    square = rotate(holes_on_circle(count=4, diameter=200.0), 17.0)
    with pytest.raises(InputError, match="how they are turned"):
        best_rigid_fit(square, rotate(mirror_x(square), 11.0), mirror=False)


def test_holes_alike_to_the_slack_are_alike() -> None:
    """Sizes an eighth apart, exact in binary, with a slack of an eighth, and of less."""
    spots, sizes = [(40, 0), (-40, 0)], [5, 5.125]
    assert symmetry(spots, sizes, within=0.125).order == 2
    assert symmetry(spots, sizes, within=0.1249).order == 1
