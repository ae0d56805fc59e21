"""Walls between two hole patterns.

Checked against points of the complex plane (tests.engine.facing.py, a second method), Shapely
(a general-purpose geometry library), closed forms, and what turning, mirroring and renumbering
both faces cannot change.
"""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.model.lineup import LineUp
from tests.engine.facing import (
    NEAR,
    RULES,
    Disc,
    circle,
    least_wall,
    lined_up,
    mirrored,
    pattern,
    patterns,
    ranges,
    turned,
    walls_at,
)
from wizard.engine.clocking import pairs
from wizard.engine.lineup import line_up

HELD = settings(max_examples=60, deadline=None)


def names(found: LineUp) -> set[tuple[str, str]]:
    return {(one.engine, one.gearbox) for one in found.clashes}


def worst(found: LineUp) -> list[float]:
    return [one.wall for one in found.clashes]


# ── against a second method ─────────────────────────────────────────────────


@HELD
@given(fixed=patterns(), other=patterns(), turn=st.floats(-400, 400))
def test_every_wall_is_that_of_the_complex_plane(
    fixed: list[Disc], other: list[Disc], turn: float
) -> None:
    every = pairs(pattern("engine", fixed).holes, pattern("gearbox", other).holes)
    expected = walls_at(fixed, other, turn)[0]
    assert every.walls(turn).reshape(expected.shape) == pytest.approx(expected, abs=1e-9)
    for row in range(len(fixed)):
        one = every.one(row * len(other))
        assert one.walls(turn) == pytest.approx(expected[row, :1], abs=1e-9)


def test_many_turns_at_once_are_one_turn_after_another() -> None:
    every = pairs(
        pattern("engine", circle(count=5, diameter=200)).holes,
        pattern("gearbox", circle(count=3, diameter=190)).holes,
    )
    column = np.array([[-20.0], [0.0], [7.5]])
    assert every.walls(column) == pytest.approx(
        np.array([every.walls(float(turn)) for turn in column[:, 0]]), abs=1e-12
    )


@HELD
@given(fixed=patterns(), other=patterns(), turn=st.floats(-60, 60))
def test_wall_and_clashes_at_a_held_turn(fixed: list[Disc], other: list[Disc], turn: float) -> None:
    """A range of one turn leaves no choice: what is reported is what stands there."""
    found = lined_up(fixed, other, clocking=(turn, turn))
    table = walls_at(fixed, other, turn)[0]
    assert (found.clocking, found.best_clocking) == pytest.approx((turn, turn), abs=1e-9)
    assert found.wall == pytest.approx(table.min(), abs=1e-9)
    assert found.best_wall == pytest.approx(table.min(), abs=1e-9)
    clear_of_touching = {
        (str(i + 1), str(j + 1)) for i, j in np.argwhere(table < 0) if table[i, j] < -1e-7
    }
    touching = {(str(i + 1), str(j + 1)) for i, j in np.argwhere(np.abs(table) <= 1e-7)}
    assert clear_of_touching <= names(found) <= clear_of_touching | touching
    for one in found.clashes:
        assert one.wall == pytest.approx(table[int(one.engine) - 1, int(one.gearbox) - 1], abs=1e-9)
    assert worst(found) == sorted(worst(found))


# ── against Shapely ─────────────────────────────────────────────────────────


@pytest.mark.parametrize("seed", range(8))
def test_walls_are_distances_between_discs_of_a_general_library(seed: int) -> None:
    """Shapely's discs are polygons inside the true ones: never nearer, and by two sagittas at most.

    A chord of a disc of radius ρ in 4·512 parts lies ρ·(1 − cos(π/2048)) within it.
    """
    draw = random.Random(seed)
    fixed, other = (
        [
            (r * math.cos(a), r * math.sin(a), draw.choice((8.0, 14.0, 20.0)))
            for _ in range(6)
            for r, a in [(draw.uniform(110, 130), draw.uniform(-math.pi, math.pi))]
        ]
        for _ in range(2)
    )
    found = lined_up(fixed, other, clocking=(-15, 15))
    angle = found.clocking
    a, b = (
        [shapely.Point(x, y).buffer(d / 2, quad_segs=512) for x, y, d in side]
        for side in (fixed, other)
    )
    b = [shapely.affinity.rotate(disc, angle, origin=(0, 0)) for disc in b]
    sagittas = 20 * (1 - math.cos(math.pi / 2048))
    overlapping = set()
    for i, one in enumerate(a):
        for j, two in enumerate(b):
            wall = walls_at([fixed[i]], [other[j]], angle)[0, 0, 0]
            apart = one.distance(two)
            assert -1e-9 <= apart - max(wall, 0.0) <= sagittas
            if one.intersects(two):
                overlapping.add((str(i + 1), str(j + 1)))
    assert names(found) == overlapping
    if not overlapping:
        least = min(one.distance(two) for one in a for two in b)
        assert found.wall == pytest.approx(least, abs=sagittas)


# ── closed forms ────────────────────────────────────────────────────────────


def test_two_holes_by_pythagoras() -> None:
    """Sides 30 and 40, so 50 apart; less the radii 5 and 9: 36 mm."""
    found = lined_up([(30, 0, 10)], [(0, 40, 18)], clocking=(0, 0))
    assert found.wall == pytest.approx(36, abs=1e-12)
    assert found.clashes == ()


def test_turning_is_anticlockwise_seen_from_behind() -> None:
    """A gearbox hole on the right comes up to twelve o'clock when the gearbox turns by +90°."""
    up = lined_up([(0, 100, 10)], [(100, 0, 10)], clocking=(90, 90))
    assert up.wall == pytest.approx(-10, abs=1e-9)
    down = lined_up([(0, 100, 10)], [(100, 0, 10)], clocking=(-90, -90))
    assert down.wall == pytest.approx(190, abs=1e-9)


def test_coincident_holes_overlap_by_both_radii_exactly() -> None:
    """Same place: distance nought, so the wall is −(10 + 18)/2, to the last figure."""
    place = (123.4567, -89.0123)
    found = lined_up([(*place, 10)], [(*place, 18)], clocking=(0, 0))
    assert found.wall == -14.0
    assert [(one.engine, one.gearbox, one.wall) for one in found.clashes] == [("1", "1", -14.0)]


@pytest.mark.parametrize("count", [1, 3, 6, 8, 12])
def test_identical_patterns_overlap_exactly(count: int) -> None:
    same = circle(count=count, diameter=266.7, start=17.0, disc=11.0)
    found = lined_up(same, same, clocking=(0, 0))
    assert found.wall == -11.0
    assert {(a, b) for a, b in names(found) if a == b} == {
        (str(n + 1), str(n + 1)) for n in range(count)
    }
    assert all(one.wall == -11.0 for one in found.clashes if one.engine == one.gearbox)


def test_touching_discs_do_not_clash() -> None:
    """24 mm apart, radii 10 and 14: wall 0, which is a touch and no overlap."""
    found = lined_up([(100, 0, 20)], [(124, 0, 28)], clocking=(0, 0))
    assert found.wall == 0.0
    assert found.clashes == ()
    assert len(lined_up([(100, 0, 20)], [(124, 0, 28.001)], clocking=(0, 0)).clashes) == 1


def test_hole_on_the_axis_keeps_its_distance_at_every_turn() -> None:
    found = lined_up([(0, 0, 30)], [(60, 0, 10), (0, -90, 10)], clocking=(-180, 180))
    assert found.wall == pytest.approx(60 - 20, abs=1e-12)
    assert found.best_wall == pytest.approx(40, abs=1e-9)
    assert (found.clocking, found.best_clocking) == (0, 0)
    assert found.windows == ((-180, 180),)
    on_axis = lined_up([(0, 0, 30)], [(0, 0, 10)], clocking=(-5, 5))
    assert (on_axis.wall, on_axis.best_wall, on_axis.windows) == (-20, -20, ())


# ── what cannot matter ──────────────────────────────────────────────────────


def same(one: LineUp, other: LineUp) -> None:
    assert one.best_wall == pytest.approx(other.best_wall, abs=NEAR)
    assert one.wall == pytest.approx(other.wall, abs=NEAR)
    assert one.required == other.required
    assert sum(b - a for a, b in one.windows) == pytest.approx(
        sum(b - a for a, b in other.windows), abs=1e-5
    )


@HELD
@given(fixed=patterns(), other=patterns(), clocking=ranges(), both=st.floats(-360, 360))
def test_turning_both_faces_changes_nothing(
    fixed: list[Disc], other: list[Disc], clocking: tuple[float, float], both: float
) -> None:
    found = lined_up(fixed, other, clocking=clocking)
    moved = lined_up(turned(fixed, both), turned(other, both), clocking=clocking)
    assert moved.best_wall == pytest.approx(found.best_wall, abs=NEAR)
    level = least_wall(turned(fixed, both), turned(other, both), found.best_clocking)
    assert level == pytest.approx(found.best_wall, abs=NEAR)
    assert worst(lined_up(turned(fixed, both), turned(other, both), clocking=(3, 3))) == (
        pytest.approx(worst(lined_up(fixed, other, clocking=(3, 3))), abs=NEAR)
    )


@HELD
@given(fixed=patterns(), other=patterns(), clocking=ranges())
def test_mirroring_both_faces_turns_the_answer_round(
    fixed: list[Disc], other: list[Disc], clocking: tuple[float, float]
) -> None:
    low, high = clocking
    found = lined_up(fixed, other, clocking=(low, high), least=2.0)
    seen = lined_up(mirrored(fixed), mirrored(other), clocking=(-high, -low), least=2.0)
    assert seen.best_wall == pytest.approx(found.best_wall, abs=NEAR)
    opened = [(-b, -a) for a, b in reversed(found.windows) if b - a > 1e-6]
    assert [pair for pair in seen.windows if pair[1] - pair[0] > 1e-6] == [
        pytest.approx(pair, abs=1e-6) for pair in opened
    ]


@HELD
@given(fixed=patterns(), other=patterns(), clocking=ranges())
def test_the_other_face_turning_instead_turns_the_other_way(
    fixed: list[Disc], other: list[Disc], clocking: tuple[float, float]
) -> None:
    low, high = clocking
    found = lined_up(fixed, other, clocking=(low, high))
    swapped = lined_up(other, fixed, clocking=(-high, -low))
    assert swapped.best_wall == pytest.approx(found.best_wall, abs=NEAR)


@HELD
@given(
    fixed=patterns(least=2),
    other=patterns(least=2),
    clocking=ranges(),
    order=st.randoms(use_true_random=False),
)
def test_renumbering_changes_nothing_but_the_numbers(
    fixed: list[Disc],
    other: list[Disc],
    clocking: tuple[float, float],
    order: random.Random,
) -> None:
    found = lined_up(fixed, other, clocking=clocking, least=1.5)
    places = [order.sample(range(len(side)), len(side)) for side in (fixed, other)]
    mixed = line_up(
        pattern("engine", [fixed[k] for k in places[0]], ids=[f"e{k + 1}" for k in places[0]]),
        pattern("gearbox", [other[k] for k in places[1]], ids=[f"g{k + 1}" for k in places[1]]),
        clocking=clocking,
        family="steel",
        rules=RULES,
        least=1.5,
    )
    same(mixed, found)
    assert mixed.clocking == pytest.approx(found.clocking, abs=1e-9)
    assert names(mixed) == {(f"e{a}", f"g{b}") for a, b in names(found)}
    assert len(mixed.leave_out) == len(found.leave_out)
