"""The turn with the greatest wall.

Checked against halving of intervals that misses nothing (tests/engine/facing.py), a dense scan
polished by scipy.optimize, and closed forms: for equally spaced circles of n₁ and n₂ holes the
largest angle between nearest holes is 180°/lcm(n₁, n₂) (elementary number theory).
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from scipy.optimize import minimize_scalar

from kb.model.lineup import Feature
from tests.engine.facing import (
    NEAR,
    Disc,
    circle,
    greatest_by_halving,
    least_wall,
    lined_up,
    patterns,
    ranges,
    turned,
)
from wizard.engine import clocking

EQUAL = 1e-6  # mm: turns whose walls differ by less are equally good, by the program's own words


def polished(fixed: list[Disc], other: list[Disc]) -> float:
    """Greatest least wall of a whole turn: every peak of a scan, each polished by itself."""
    step = 0.02
    turns = np.arange(-180 - step, 180 + 2 * step, step)
    walls = least_wall(fixed, other, turns)
    peaks = np.flatnonzero((walls[1:-1] >= walls[:-2]) & (walls[1:-1] >= walls[2:])) + 1
    best = -math.inf
    for place in peaks[walls[peaks] >= walls.max() - 3 * step]:
        found = minimize_scalar(  # about the peak itself: its tolerance grows with the figure
            lambda off, peak=turns[place]: -float(least_wall(fixed, other, peak + off)[0]),
            bounds=(-step, step),
            method="bounded",
            options={"xatol": 1e-12},
        )
        best = max(best, -float(found.fun))
    return best


# ── against a second method ─────────────────────────────────────────────────


@settings(max_examples=120, deadline=None)
@given(fixed=patterns(), other=patterns(), clocking=ranges())
@example(fixed=[(120, 0, 10), (0, 0, 10)], other=[(120, 0, 10)], clocking=(0.0, 0.0))
def test_greatest_wall_of_any_range(
    fixed: list[Disc], other: list[Disc], clocking: tuple[float, float]
) -> None:
    low, high = clocking
    found = lined_up(fixed, other, clocking=clocking)
    assert found.best_wall is not None
    assert found.best_wall == pytest.approx(
        greatest_by_halving(fixed, other, low=low, high=high), abs=NEAR
    )
    assert low - 1e-9 <= found.best_clocking <= high + 1e-9
    there = least_wall(fixed, other, found.best_clocking)[0]
    assert there == pytest.approx(found.best_wall, abs=2 * EQUAL)
    if not found.windows:
        assert found.wall == pytest.approx(there, abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_twelve_holes_against_twelve(seed: int) -> None:
    """Mixed sizes, unevenly spaced, near one circle: the hard case."""
    draw = np.random.default_rng(seed)
    fixed, other = (
        [
            (r * math.cos(a), r * math.sin(a), d)
            for r, a, d in zip(
                draw.uniform(190, 210, 12),
                draw.uniform(-math.pi, math.pi, 12),
                draw.choice((10.5, 17.5, 20.0), 12),
                strict=True,
            )
        ]
        for _ in range(2)
    )
    found = lined_up(fixed, other, clocking=(-180, 180))
    assert found.best_wall == pytest.approx(polished(fixed, other), abs=NEAR)
    assert found.best_wall == pytest.approx(
        greatest_by_halving(fixed, other, low=-180, high=180), abs=NEAR
    )


@pytest.mark.parametrize("shift", [-720, -360, 0, 360, 720])
def test_a_range_a_whole_turn_away_is_the_same_range(shift: int) -> None:
    fixed = circle(count=5, diameter=200, disc=12)
    other = turned(circle(count=3, diameter=204, disc=9), 7)
    here = lined_up(fixed, other, clocking=(10, 60))
    there = lined_up(fixed, other, clocking=(10 + shift, 60 + shift))
    assert there.best_wall == pytest.approx(here.best_wall, abs=1e-9)
    assert least_wall(fixed, other, there.best_clocking)[0] == pytest.approx(
        here.best_wall, abs=2 * EQUAL
    )


# ── closed forms ────────────────────────────────────────────────────────────


def nearest(*, angle: float, one: float, two: float) -> float:
    """Distance of two points an angle apart on two circles: law of cosines [mm]."""
    a, b = one / 2, two / 2
    return math.sqrt((a - b) ** 2 + 4 * a * b * math.sin(math.radians(angle) / 2) ** 2)


@pytest.mark.parametrize(
    ("one", "two"), list(itertools.combinations_with_replacement((1, 2, 3, 4, 5, 6, 8, 12), 2))
)
@pytest.mark.parametrize("diameters", [(266.7, 266.7), (400.0, 406.0)])
def test_equally_spaced_circles(one: int, two: int, diameters: tuple[float, float]) -> None:
    """Best turns lie at odd multiples of 180°/lcm from a turn where two holes are in line."""
    angle = 180 / math.lcm(one, two)
    found = lined_up(
        circle(count=one, diameter=diameters[0]),
        circle(count=two, diameter=diameters[1]),
        clocking=(-180, 180),
    )
    wall = nearest(angle=angle, one=diameters[0], two=diameters[1]) - 10
    assert found.best_wall == pytest.approx(wall, abs=1e-9)
    assert found.best_clocking == pytest.approx(angle, abs=1e-3)


@pytest.mark.parametrize(("start", "best"), [(0, 15), (3, 12), (-3, -12), (20, -5), (15, 0)])
def test_the_best_turn_follows_the_start_of_the_circle(start: float, best: float) -> None:
    """Twelve on twelve: best midway between two holes, 15° on from a hole in line, every 30°."""
    found = lined_up(
        circle(count=12, diameter=400),
        circle(count=12, diameter=400, start=start),
        clocking=(-180, 180),
    )
    assert found.best_clocking == pytest.approx(best, abs=1e-6)
    assert found.best_wall == pytest.approx(400 * math.sin(math.radians(7.5)) - 10, abs=1e-9)


def test_one_hole_each_comes_to_lie_opposite() -> None:
    """Both radii added, less 5 and 5; +180° of the two that are the same turn."""
    found = lined_up([(0, 120, 10)], [(0, 150, 10)], clocking=(-180, 180))
    assert found.best_wall == pytest.approx(260, abs=1e-9)
    assert found.best_clocking == pytest.approx(180, abs=1e-3)
    assert found.best_clocking > 0


@pytest.mark.parametrize(
    ("clocking", "best"), [((-6, 9), 9), ((-9, 6), -9), ((-9, 9), 9), ((-200, 9), -180)]
)
def test_one_hole_each_within_a_range(clocking: tuple[float, float], best: float) -> None:
    """The farther end; the positive of two that are as far; opposite, where the range has it."""
    found = lined_up([(120, 0, 10)], [(120, 0, 10)], clocking=clocking)
    assert found.best_clocking == pytest.approx(best, abs=1e-3)
    apart = 240 * math.sin(math.radians(abs(best)) / 2)
    assert found.best_wall == pytest.approx(apart - 10, abs=1e-9)


def test_best_opposite_a_pair_inside_the_range() -> None:
    """Where a wall is greatest of itself it is flat; only one pair stands there."""
    found = lined_up([(-120, 0, 10)], turned([(120, 0, 10)], -30), clocking=(20, 100))
    assert found.best_wall == pytest.approx(240 - 10, abs=1e-9)
    assert found.best_clocking == pytest.approx(30, abs=1e-4)


def test_best_where_two_walls_are_equal() -> None:
    """Between holes of different size the turn is not midway: each keeps the same wall.

    Gearbox hole (disc 10) between engine discs of 10 at +10° and 30 at −10°, radius 100:
    200·sin((10 − θ)/2) − 10 = 200·sin((10 + θ)/2) − 20 ⇒ 400·cos(5°)·sin(θ/2) = 10.
    """
    fixed = [*turned([(100, 0, 10)], 10), *turned([(100, 0, 30)], -10)]
    found = lined_up(fixed, [(100, 0, 10)], clocking=(-9, 9))
    turn = 2 * math.degrees(math.asin(10 / (400 * math.cos(math.radians(5)))))
    assert found.best_clocking == pytest.approx(turn, abs=1e-7)
    assert found.best_wall == pytest.approx(
        200 * math.sin(math.radians(10 - turn) / 2) - 10, abs=1e-9
    )


def test_ties_go_to_the_turn_nearest_upright() -> None:
    """Six on six from 10°: best turns at −40, 20, 80 …: 20 is nearest; from −10° it is −20."""
    six = circle(count=6, diameter=300)
    assert lined_up(six, turned(six, 10), clocking=(-180, 180)).best_clocking == pytest.approx(20)
    assert lined_up(six, turned(six, -10), clocking=(-180, 180)).best_clocking == pytest.approx(-20)
    assert lined_up(six, six, clocking=(-180, 180)).best_clocking == pytest.approx(30)
    assert lined_up(six, six, clocking=(-180, 29)).best_clocking == pytest.approx(-30)
    assert lined_up(six, six, clocking=(31, 180)).best_clocking == pytest.approx(90)


def test_a_flat_stretch_keeps_the_gearbox_as_near_upright_as_it_can_be() -> None:
    """The hole on the axis binds at every turn but where the other two come too close."""
    fixed = [(0, 0, 100), (90, 0, 10)]
    other = [(90, 0, 10)]
    found = lined_up(fixed, other, clocking=(-180, 180))
    assert found.best_wall == pytest.approx(90 - 55, abs=1e-9)
    edge = 2 * math.degrees(math.asin(45 / 180))  # 35 + 10 = 2·90·sin(edge/2)
    assert found.best_clocking == pytest.approx(edge, abs=1e-5)
    away = lined_up(fixed, other, clocking=(50, 170))
    assert away.best_clocking == pytest.approx(50, abs=1e-9)


@pytest.mark.parametrize("count", [2, 3, 6, 8, 12])
def test_identical_patterns_do_best_half_a_step_on(count: int) -> None:
    same = circle(count=count, diameter=266.7, start=13.0, disc=11.0)
    found = lined_up(same, same, clocking=(-180, 180), least=0.0)
    step = 180 / count
    assert found.best_clocking == pytest.approx(step, abs=1e-4)
    assert found.best_wall == pytest.approx(266.7 * math.sin(math.radians(step) / 2) - 11, abs=1e-9)


@pytest.mark.parametrize("hand", [1, -1])
def test_upright_is_found_in_a_stretch_that_reaches_far_to_one_side(hand: int) -> None:
    """A flat stretch from −94° to 14° holds upright; another, from 26° to 54°, is no nearer.

    The disc on the axis leaves 90 − 83 − 5 = 2 mm at every turn; each hole closes an arc of
    2·asin(9/180) = 5.73° either side of itself.
    """
    fixed = [
        (0, 0, 166),
        *(spot for a in (20, 60, -100) for spot in turned([(90, 0, 4)], hand * a)),
    ]
    found = lined_up(fixed, [(90, 0, 10)], clocking=(-180, 180), least=0)
    assert found.best_wall == pytest.approx(2, abs=1e-9)
    assert found.best_clocking == 0
    away = lined_up(fixed, [(90, 0, 10)], clocking=(-180, 180), least=3)
    assert (away.windows, away.clocking) == ((), 0)


@pytest.mark.parametrize(("fixed", "turned"), [(6, 8), (5, 5), (4, 6), (7, 3)])
def test_halving_finds_what_leaping_finds(fixed: int, turned: int) -> None:
    """Two even circles on one radius: the greatest least angle between holes is 180°/lcm, its
    chord 2·R·sin of half of it, less the two discs."""
    sides = [
        [Feature(side="engine", id=f"{n}", kind="tapped", keepout=10,
                 x=100 * math.cos(2 * math.pi * n / count), y=100 * math.sin(2 * math.pi * n / count))
         for n in range(count)]
        for count in (fixed, turned)
    ]  # fmt: skip
    every = clocking.pairs(*sides)
    wall = 200 * math.sin(math.radians(90 / math.lcm(fixed, turned))) - 10
    floor = float(every.walls(0.0).min())
    assert clocking._halved(every, floor, low=-180, high=180) == pytest.approx(wall, abs=1e-9)
    assert clocking.greatest_wall(every, low=-180, high=180)[1] == pytest.approx(wall, abs=1e-9)
