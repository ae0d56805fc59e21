"""The best turn and the open windows of 12 × 12 uneven holes, beside a fine scan and an optimiser."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from tests.engine.patterns import pattern
from tests.speed.conftest import Beside
from wizard.engine.clocking import Pairs, greatest_wall, pairs, windows

Array = NDArray[np.float64]
STEP = 0.01  # °
WANTED = 6.0  # mm


def uneven(count: int, *, seed: int) -> list[tuple[float, float, float]]:
    """Holes as radius, angle and diameter [mm, °, mm]."""
    random = np.random.default_rng(seed)
    return [
        (float(r), float(a), float(d))
        for r, a, d in zip(
            random.uniform(120, 180, count), random.uniform(-180, 180, count),
            random.uniform(8, 16, count), strict=True,
        )
    ]  # fmt: skip


def places(holes: list[tuple[float, float, float]]) -> Array:
    return np.array([(r * math.cos(math.radians(a)), r * math.sin(math.radians(a))) for r, a, _ in holes])  # fmt: skip


def scanned(a: list[tuple[float, float, float]], b: list[tuple[float, float, float]], turns: Array) -> Array:  # fmt: skip
    """Least wall at every turn, by Shapely [mm]."""
    cosine, sine = np.cos(np.radians(turns)), np.sin(np.radians(turns))
    fixed = shapely.points(places(a))
    least = np.full(len(turns), np.inf)
    for (x, y), (*_, second) in zip(places(b), b, strict=True):
        moved = shapely.points(np.column_stack((x * cosine - y * sine, x * sine + y * cosine)))
        for place, (*_, first) in zip(fixed, a, strict=True):
            least = np.minimum(least, shapely.distance(place, moved) - (first + second) / 2)
    return least


def twelve() -> tuple[list[tuple[float, float, float]], list[tuple[float, float, float]], Pairs]:
    a, b = uneven(12, seed=7), uneven(12, seed=8)
    return a, b, pairs(pattern(a, "engine").holes, pattern(b, "gearbox").holes)


def test_best_turn(beside: Beside) -> None:
    from scipy.optimize import differential_evolution

    a, b, every = twelve()
    turn, wall = beside.ours("best turn, 12 × 12 holes", lambda: greatest_wall(every, low=-180, high=180))  # fmt: skip
    turns = np.arange(-180, 180, STEP)
    least = beside.other("Shapely at every 0.01°", lambda: scanned(a, b, turns), aim="≥ 1 000×")
    beside.accuracy(f"ours better by {1000 * (wall - least.max()):.2f} µm of wall")

    def optimised() -> float:
        found = differential_evolution(
            lambda at: -float(every.walls(at[0]).min()), [(-180, 180)], seed=1, tol=1e-10, polish=True,
        )  # fmt: skip
        return -float(found.fun)

    best = beside.other("SciPy, whole range, polished", optimised, aim="≥ 20×")
    beside.accuracy(f"ours better by {1000 * (wall - best):.4f} µm of wall")
    assert wall >= max(least.max(), best) - 1e-9
    assert every.walls(turn).min() == pytest.approx(wall, abs=2e-6)


def test_windows(beside: Beside) -> None:
    a, b, every = twelve()
    found = beside.ours("windows for a wanted wall", lambda: windows(every, WANTED, low=-180, high=180))  # fmt: skip
    turns = np.arange(-180, 180, STEP)

    def by_scan() -> Array:
        good = scanned(a, b, turns) >= WANTED
        return turns[np.flatnonzero(np.diff(good.astype(int)))]

    edges = beside.other("the same scan", by_scan, aim="≥ 500×")
    mine = np.array([end for window in found for end in window])
    off = max(float(np.abs(mine - edge).min()) for edge in edges)
    beside.accuracy(f"edges of the scan off by up to {off:.4f}°; ours exact")
    assert off <= STEP


@pytest.mark.parametrize("count", [6, 12, 24, 48])
def test_growth_with_holes(beside: Beside, count: int) -> None:
    every = pairs(
        pattern(uneven(count, seed=7), "engine").holes, pattern(uneven(count, seed=8), "gearbox").holes
    )  # fmt: skip
    beside.ours(
        f"best turn, {count} × {count} holes", lambda: greatest_wall(every, low=-180, high=180),
        curve="holes a side", size=count,
    )  # fmt: skip
