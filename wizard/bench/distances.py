"""Holes placed by distances: from known points and from hole to hole, mixed and redundant.

Every distance is one reading; places, hole sizes and coordinates that have a ± of their own are
adjusted together by weighted least squares, and the reading that does not belong is named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.model.measured import Stretch
from wizard.bench.adjustment import (
    Array,
    Explanation,
    Finding,
    Fit,
    examine,
    one_by_one,
    reach,
    together,
)
from wizard.bench.network import EDGES, Network, Spot, huber, rejecting
from wizard.bench.placing import starts
from wizard.bench.readings import assumed, small

TRIED = 8  # starts that are followed to their end
ANOTHER = 25.0  # of a sum of squares: no one reading counts for more between two sets of places
SAME = 0.01  # mm: two searches that end nearer than this ended at one place
ASTRAY = 3.5  # standard deviations off the places most readings agree on


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A spot where it was found.

    Attributes:
        name: What it is called. x, y: Its place, in the coordinates typed [mm].
        within: Radius round it that holds the true place with 95 % [mm]; 0 where it was held fast.
        size: Diameter, where distances rest on it [mm].
    """

    name: str
    x: float
    y: float
    within: float
    size: float | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Distances:
    """Places from distances.

    Attributes:
        holes: Every point and hole, in the order given.
        stretches: The distances as taken.
        residuals: Reading less what the places give, one for each distance [mm].
        checked: Share of each distance that the others check, 0 … 1.
        weights: What the robust fit lets each distance count, 0 … 1; all 1 without it.
        agrees: Whether all readings agree within their ±; ``None`` where nothing checks them.
        explained: What would bring them into agreement.
        assumed: Every ± that was not written.
    """

    holes: tuple[Placed, ...]
    stretches: tuple[Stretch, ...]
    residuals: tuple[float, ...]
    checked: tuple[float, ...]
    weights: tuple[float, ...]
    agrees: bool | None
    explained: tuple[Explanation, ...]
    assumed: tuple[Assumption, ...]

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def place_by_distances(
    spots: Sequence[Spot], stretches: Sequence[Stretch], *, robust: bool = False
) -> Distances:
    """Where holes are, from distances between them and to points that are known.

    Args:
        spots: Points and holes; at least three coordinates between them must be held, such as
            one at 0, 0 and the y of another.
        stretches: Distances between them.
        robust: Let readings that stand far off count for less, instead of leaving the misread
            one out.
    Returns:
        Their places. Without ``robust``, where one reading alone does not belong it is set
        right or left out of them.
    Raises:
        InputError: names that do not match, a hole that too few distances reach, or two sets of
            places that fit alike.
    Source:
        Weighted least squares (JCGM 100:2008, H.3, in several unknowns); the misread reading by
        Baarda's test (`Fit.standing`).
    """
    _refuse(spots, stretches)
    network = Network(spots, stretches)
    values = _start(network)
    weights = np.ones(len(network.readings))
    if robust:
        finding = Finding(whole=_whole(network, values), explained=())
        values, weights = network.forgiving(values, huber) or (values, weights)
        best = network.fit(values, weights=weights) or finding.whole
    else:
        finding = _examined(network, values)
        best = finding.best
    count = len(stretches)
    return Distances(
        holes=tuple(_placed(network, best)), stretches=tuple(stretches),
        residuals=tuple(best.residuals[:count].tolist()),
        checked=tuple(best.checked[:count].tolist()), weights=tuple(weights[:count].tolist()),
        agrees=finding.whole.agrees, explained=finding.explained,
        assumed=assumed("distances", [one.reading for one in stretches]),
    )  # fmt: skip


def _refuse(spots: Sequence[Spot], stretches: Sequence[Stretch]) -> None:
    names = Counter(spot.name for spot in spots)
    twice = next((name for name, times in names.items() if times > 1), None)
    if twice is not None:
        raise InputError("points", twice, "give each point a name of its own")
    if not stretches:
        raise InputError("distances", "(none)", "give distances between the points")
    for one in stretches:
        if one.edges not in EDGES:
            raise InputError("distances", one.edges, "write one of " + ", ".join(EDGES))
        for name in (one.start, one.end):
            if name not in names:
                held = ", ".join(names) or "(none)"
                raise InputError("distances", f"{one.start} to {one.end}", f"the points are {held}")
        if one.start == one.end:
            raise InputError("distances", f"{one.start} to {one.end}", "name two points")
        if not one.reading.value > 0:
            raise InputError("distances", f"{one.name}: {one.reading.typed}", "it must be above 0")


def _start(network: Network) -> Array:
    """The places most readings agree on; refuses where two sets of places fit alike."""
    found = []
    for places in starts(network)[:TRIED]:
        start = network.start(places)
        ended = network.forgiving(start, rejecting)
        if ended is None:
            raise _open(network, start)
        cost = float(np.sum(np.minimum(network.off(ended[0]) ** 2, ANOTHER)))
        found.append((cost, ended[0]))
    found.sort(key=lambda one: one[0])
    cost, values = found[0]
    for other_cost, other in found[1:]:
        if other_cost <= cost + ANOTHER / 2:
            _refuse_another(network, values, other)
    return values


def _refuse_another(network: Network, values: Array, other: Array) -> None:
    """Refuse other places that fit about as well and are no matter of one misread distance.

    Two starts that all readings together pull to the same places are one choice.
    """
    ends = [network.fit(each) for each in (values, other)]
    if ends[0] is None or ends[1] is None:
        return
    places, others = (network.places(end.values) for end in ends if end is not None)
    apart = np.hypot(*(places - others).T)
    if float(apart.max()) <= SAME:
        return
    k = int(np.argmax(apart))
    two = " and ".join(f"{x:.1f}, {y:.1f}" for x, y in (places[k], others[k]))
    raise InputError(
        f"points.{network.spots[k].name}", f"{two} fit alike",
        "say roughly where it is, or measure it from one more point off their line",
    )  # fmt: skip


def _open(network: Network, values: Array) -> InputError:
    """The spot that the distances leave free to move."""
    _, slope = network.foretold(values)
    free = np.linalg.svd(slope / network.deviations[:, None])[2][-1]
    pulls = [
        float(np.abs(free[columns[columns >= 0]]).sum()) if (columns >= 0).any() else 0.0
        for columns in network.column
    ]
    name = network.spots[int(np.argmax(pulls))].name
    return InputError(
        f"points.{name}",
        "free to move",
        "hold a coordinate more, or measure it from one more point",
    )


def _whole(network: Network, values: Array) -> Fit:
    """The fit to all readings."""
    whole = network.fit(values)
    if whole is None:
        raise _open(network, values)
    return whole


def _examined(network: Network, values: Array) -> Finding:
    """The fit to all readings and, where they disagree, what went wrong."""
    whole = _whole(network, values)

    def without(gone: Sequence[int]) -> Fit | None:
        return network.fit(values, gone=gone)

    def changed_about(pair: Sequence[int]) -> Fit | None:
        readings = network.readings.copy()
        readings[list(pair)] = network.readings[list(pair[::-1])]
        return network.fit(values, readings=readings)

    astray = [int(k) for k in np.flatnonzero(network.off(values) > ASTRAY)]
    near = _near(network, astray)
    taken = range(len(network.readings))
    alike = [0 if k in near else -1 - k for k in taken]
    finding = examine(whole, one_by_one(len(taken), alike, without, changed_about))
    if finding.explained or whole.agrees is not False:
        return finding
    return examine(whole, together(whole, astray, without))


def _near(network: Network, astray: Sequence[int]) -> set[int]:
    """Distances that stand off, and those of the holes they lead to: what may have been swapped."""
    moving = {spot.name for spot in network.spots if spot.x is None or spot.y is None}
    ends = [{one.start, one.end} & moving for one in network.stretches]
    touched = set().union(*(ends[k] for k in astray if k < len(ends)))
    return {k for k, names in enumerate(ends) if names & touched}


def _placed(network: Network, fit: Fit) -> Iterator[Placed]:
    places = network.places(fit.values)
    for k, spot in enumerate(network.spots):
        cov = network.covariance(fit, k)
        sized = network.sized.get(k)
        yield Placed(
            name=spot.name, x=float(places[k, 0]), y=float(places[k, 1]),
            within=fit.scale * reach(cov), size=None if sized is None else float(fit.values[sized]),
        )  # fmt: skip


def _sentences(found: Distances) -> Iterator[str]:
    unit = found.stretches[0].reading.unit
    moved = [one for one in found.holes if one.within > 0]
    if moved:
        worst = max(moved, key=lambda one: one.within)
        yield (
            f"{len(moved)} places found from {len(found.stretches)} distances; "
            f"the least sure is {worst.name}, within {small(worst.within, unit)}."
        )
    if found.agrees is None:
        yield "Nothing checks these distances: measure each hole from one point more."
    elif found.agrees:
        off = max(map(abs, found.residuals))
        yield f"The distances agree within their ±; the farthest stands {small(off, unit)} off."
    else:
        yield from _faults(found, unit)
    bare = [
        one.name for one, share in zip(found.stretches, found.checked, strict=True) if share < 0.01
    ]
    if bare and found.agrees is not None:
        yield "Checked by no other: " + ", ".join(bare) + "."


def _faults(found: Distances, unit: str) -> Iterator[str]:
    yield "The distances do not agree within their ±."
    names = [one.name for one in found.stretches]
    for one in found.explained:
        if one.kind == "swapped":
            first, second = (f"{names[k]} {found.stretches[k].reading.typed}" for k in one.places)
            yield f"{first} and {second} may have been written in each other's place."
            continue
        for k in one.places:
            if k >= len(names):
                yield "A coordinate or hole size given with its ± does not fit the distances."
                continue
            lead = "Misread" if len(found.explained) == 1 else "Perhaps misread"
            off = float(one.fit.residuals[k])
            way = "too long" if off > 0 else "too short"
            said = f"{names[k]} {found.stretches[k].reading.typed}, {small(off, unit)} {way}"
            yield f"{lead}: {said}. Take it again."
    low = [names[k] for k, weight in enumerate(found.weights) if weight < 0.5]
    if low:
        yield "Counted for less than half: " + ", ".join(low) + "."
    if not found.explained and not low:
        yield "No one reading explains it: every ± was widened to what they scatter."
