"""Holes that clash: which, the fewest to leave out, and the gap that opens between bolts."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from kb.model.lineup import Clash, Feature

Array = NDArray[np.float64]
_FLAT = 1e-9  # mm: walls closer to nought than this only touch


def find_clashes(fixed: Sequence[Feature], turned: Sequence[Feature], walls: Array) -> list[Clash]:
    """The pairs that overlap, worst first; ``walls`` as `Pairs.walls` gives them."""
    table = walls.reshape(len(fixed), len(turned))
    found = [
        Clash(engine=fixed[i].id, gearbox=turned[j].id, wall=float(table[i, j]))
        for i, j in np.argwhere(table < -_FLAT)
    ]
    return sorted(found, key=lambda one: one.wall)


def fewest_to_leave_out(clashes: Sequence[Clash]) -> tuple[tuple[str, str], ...]:
    """The fewest holes that, left out, end every clash, as (side, id).

    The clash graph has two sides, so the least vertex cover equals the greatest matching
    (Kőnig's theorem) and is found exactly by augmenting paths.
    """
    edges: dict[str, list[str]] = {}
    for clash in clashes:
        edges.setdefault(clash.engine, []).append(clash.gearbox)
    match: dict[str, str] = {}

    def augment(hole: str, seen: set[str]) -> bool:
        for other in edges[hole]:
            if other not in seen:
                seen.add(other)
                if other not in match or augment(match[other], seen):
                    match[other] = hole
                    return True
        return False

    matched = {hole for hole in edges if augment(hole, set())} & set(match.values())
    reached, covered = {hole for hole in edges if hole not in matched}, set[str]()
    queue = list(reached)
    while queue:
        for other in edges[queue.pop()]:
            if other not in covered:
                covered.add(other)
                if (back := match.get(other)) is not None and back not in reached:
                    reached.add(back)
                    queue.append(back)
    left = [("engine", hole) for hole in edges if hole not in reached]
    return (*left, *(("gearbox", hole) for hole in sorted(covered)))


def fewest_covers(clashes: Sequence[Clash]) -> tuple[tuple[tuple[str, str], ...], ...]:
    """Every choice of the fewest holes that ends all clashes, each as (side, id) pairs."""
    size = len(fewest_to_leave_out(clashes))
    nodes = sorted(
        {("engine", one.engine) for one in clashes} | {("gearbox", one.gearbox) for one in clashes}
    )
    return tuple(
        chosen
        for chosen in itertools.combinations(nodes, size)
        if all(("engine", c.engine) in chosen or ("gearbox", c.gearbox) in chosen for c in clashes)
    )


def opened_gap(kept: Sequence[Feature], gone: Sequence[Feature]) -> float:
    """Widest angle between remaining neighbours in which a left-out hole stood [°]; 0 if none."""
    if not gone:
        return 0.0
    if len(kept) < 2:
        return 360.0
    angles = sorted(_clock(one) for one in kept)
    widest = 0.0
    for a, b in itertools.pairwise([*angles, angles[0] + 360]):
        if any(a < angle < b or a < angle + 360 < b for angle in map(_clock, gone)):
            widest = max(widest, b - a)
    return widest


def _clock(one: Feature) -> float:
    return math.degrees(math.atan2(one.y, one.x)) % 360
