"""First places for a network of distances: circle on circle, every choice kept that may be right.

A distance does not say on which side a hole lies; two points leave two places. The choices that
fit the other distances are carried on together, the best few at a time.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from kb.errors import InputError
from kb.model.measured import Stretch
from wizard.bench.adjustment import Array
from wizard.bench.network import EDGES, Network

CARRIED = 48  # choices carried on together
FAR = 10.0  # standard deviations beyond which a reading cannot count against a place any more
APART = 1.0  # mm: places nearer than this are one choice

Known = dict[int, tuple[float, float]]


def starts(network: Network) -> list[Array]:
    """Places of all spots to start from, the likeliest first, shape (n, 2) [mm] each.

    Raises:
        InputError: nothing is held fast, or a spot that too few distances reach.
    """
    choices = [(0.0, _given(network))]
    while len(choices[0][1]) < len(network.spots):
        place = _next(network, choices[0][1])
        grown = [
            (cost + more, known | {place: spot})
            for cost, known in choices
            for more, spot in _choices(network, known, place)
        ]
        grown.sort(key=lambda choice: choice[0])
        choices = grown[:CARRIED]
    return [np.array([known[k] for k in range(len(network.spots))]) for _, known in choices]


def _given(network: Network) -> Known:
    """Spots whose place is known, or roughly known."""
    known: Known = {}
    for place, spot in enumerate(network.spots):
        if spot.about is not None:
            known[place] = tuple(
                spot.about[axis] if value is None else value.middle
                for axis, value in enumerate((spot.x, spot.y))
            )  # type: ignore[assignment]
        elif spot.x is not None and spot.y is not None:
            known[place] = (spot.x.middle, spot.y.middle)
    if not known:
        raise InputError(
            "points", "(none known)", "hold one point at 0, 0 and the y of another at 0"
        )
    return known


def _next(network: Network, known: Known) -> int:
    """The spot that most distances reach from what is placed already."""
    waiting = [k for k in range(len(network.spots)) if k not in known]
    reached = {k: len(list(_reaching(network, known, k))) for k in waiting}
    best = max(waiting, key=lambda k: reached[k] + _half_known(network, k))
    if reached[best] + _half_known(network, best) < 2:
        name = network.spots[best].name
        text = "1 distance" if reached[best] else "no distance"
        raise InputError(f"points.{name}", text, "measure it from two points that are placed, or say roughly where it is")  # fmt: skip
    return best


def _half_known(network: Network, place: int) -> int:
    spot = network.spots[place]
    return (spot.x is not None) + (spot.y is not None)


def _reaching(network: Network, known: Known, place: int) -> Iterator[tuple[int, float, float]]:
    """Placed spots a spot is measured from: which, the centre distance, its deviation [mm]."""
    for row, one in enumerate(network.stretches):
        ends = (network.at[one.start], network.at[one.end])
        other = ends[0] if ends[1] == place else ends[1]
        if place in ends and other in known:
            yield other, _centres(network, one), float(network.deviations[row])


def _centres(network: Network, one: Stretch) -> float:
    """The distance between the centres [mm], at least nought."""
    sizes = [network.spots[network.at[name]].size for name in (one.start, one.end)]
    edges = sum(size.middle for size in sizes if size is not None)
    return max(one.reading.middle - EDGES[one.edges] * edges, 0.0)


def _choices(network: Network, known: Known, place: int) -> list[tuple[float, tuple[float, float]]]:
    """Places a spot may have with what they cost, no two of them the same."""
    reaching = list(_reaching(network, known, place))
    found: list[tuple[float, tuple[float, float]]] = []
    for spot in _meetings(network, known, place, reaching):
        off = [
            min(abs(math.dist(spot, known[other]) - far) / spread, FAR) ** 2
            for other, far, spread in reaching
        ]
        found.append((sum(off), spot))
    found.sort(key=lambda choice: choice[0])
    kept: list[tuple[float, tuple[float, float]]] = []
    for cost, spot in found:
        if all(math.dist(spot, other) > APART for _, other in kept):
            kept.append((cost, spot))
    return kept[:4]


def _meetings(
    network: Network, known: Known, place: int, reaching: Sequence[tuple[int, float, float]]
) -> Iterator[tuple[float, float]]:
    """Where circles about the placed spots meet each other, or the line a spot lies on."""
    spot = network.spots[place]
    if (spot.x is None) != (spot.y is None):
        axis = 0 if spot.y is not None else 1
        held = spot.y if spot.y is not None else spot.x
        assert held is not None
        for other, far, _ in reaching:
            middle = known[other]
            half = math.sqrt(max(far**2 - (held.middle - middle[1 - axis]) ** 2, 0.0))
            for side in (half, -half):
                along = middle[axis] + side
                yield (along, held.middle) if axis == 0 else (held.middle, along)
        return
    for (a, r, _), (b, s, _) in combinations(reaching, 2):
        yield from _two_circles(known[a], r, known[b], s)


def _two_circles(
    a: tuple[float, float], r: float, b: tuple[float, float], s: float
) -> Iterator[tuple[float, float]]:
    """Both points where two circles meet; the nearest there is where they do not."""
    apart = math.dist(a, b)
    if apart < APART:
        return
    along = (apart**2 + r**2 - s**2) / (2 * apart)
    half = math.sqrt(max(r**2 - along**2, 0.0))
    x, y = (b[0] - a[0]) / apart, (b[1] - a[1]) / apart
    for side in (half, -half):
        yield a[0] + along * x - side * y, a[1] + along * y + side * x
