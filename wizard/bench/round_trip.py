"""An axial round trip: several routes to one dimension, held against their instruments.

A route is a sum of readings, each with its sign. A reading that two routes share (the same
straight-edge, the same plate) carries its error into both, and is counted so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.quantity import Dimension, both
from wizard.bench.adjustment import Array
from wizard.bench.readings import assumed, claim, small

ENDS = ("forward", "back")
SAME = 1e-9  # of a variance: two routes that differ by less are one route
EDGE_ANSWERS = ("none used", "taken off")
FACE_ANSWERS = ("bare", "taken off")


@dataclass(frozen=True, kw_only=True)
class Leg:
    """One reading of a route.

    Attributes:
        reading: As taken; − takes it off.
        name: What it is; two legs of one name are one and the same reading.
    """

    reading: Dimension
    name: str = ""


@dataclass(frozen=True, kw_only=True)
class Route:
    """One way to the dimension.

    Attributes:
        name: What it is called.
        legs: Its readings, added with their signs.
        crank: Which end the crank was pushed to, ``forward`` or ``back``; ``""`` where it plays
            no part.
    """

    name: str
    legs: tuple[Leg, ...]
    crank: str = ""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What a fitter is asked beside the readings; ``""`` is not answered yet.

    Attributes:
        straight_edge: ``none used``, or its thickness ``taken off`` as a leg of its own.
        faces: ``bare`` of block plate, gasket and paint, or what was on them ``taken off`` as a
            leg of its own.
        end_float: The crank's end float, where routes were measured with it pushed both ways.
        grows: How the dimension changes as the crank goes back: +1 grows, −1 shrinks, 0 not;
            ``None`` is not answered yet.
    """

    straight_edge: str = ""
    faces: str = ""
    end_float: Dimension | None = None
    grows: int | None = None


@dataclass(frozen=True, kw_only=True)
class Apart:
    """Two routes held against each other.

    Attributes:
        first, second: Their names.
        by: First less second [mm]. within: What their instruments allow, 95 % [mm].
    """

    first: str
    second: str
    by: float
    within: float

    @property
    def agree(self) -> bool:
        """Whether they differ by no more than their instruments allow."""
        return abs(self.by) <= self.within + 1e-9


@dataclass(frozen=True, kw_only=True, eq=False)
class RoundTrip:
    """One dimension by all its routes.

    Attributes:
        value, within: The dimension, crank pushed forward where it matters, and its ± [mm].
        lengths: What each route comes to [mm].
        withins: Its ± by its own instruments [mm].
        apart: Every pair of routes held against each other.
        agrees: Whether all routes agree; ``None`` with one route.
        alone: The route that disagrees with all the others, which agree; ``""`` without one.
        routes: As given.
        asks: What must still be answered before the dimension can be trusted.
        assumed: Every ± that was not written.
    """

    value: float
    within: float
    lengths: tuple[float, ...]
    withins: tuple[float, ...]
    apart: tuple[Apart, ...]
    agrees: bool | None
    alone: str
    routes: tuple[Route, ...]
    asks: tuple[str, ...]
    assumed: tuple[Assumption, ...]

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def round_trip(routes: Sequence[Route], asked: Asked | None = None) -> RoundTrip:
    """Hold several routes to one dimension against each other.

    Args:
        routes: One or more.
        asked: What else was asked and answered.
    Returns:
        The dimension by weighted least squares, without a route that stands alone against two
        or more. Where they disagree otherwise the ± spans them all.
    Raises:
        InputError: no route, an empty one, one name for two different readings, or routes of
            the very same readings.
    Source:
        Correlated readings by generalised least squares (JCGM 100:2008, 5.2); pairs by the
        normalised difference E_n ≤ 1 (ISO 13528:2015, from memory).
    """
    known = asked or Asked()
    _refuse(routes, known)
    lengths, shares, spread = _summed(routes, known)
    cov = (shares * spread**2) @ shares.T
    apart = tuple(_pairs(routes, lengths, cov))
    agrees = all(pair.agree for pair in apart) if apart else None
    alone = "" if agrees is not False else _alone(routes, apart)
    value, within = _mean(lengths, cov, [one.name != alone for one in routes])
    if agrees is False and not alone:
        within = max(within, float(np.abs(lengths - value).max()))
    return RoundTrip(
        value=value, within=within, lengths=tuple(lengths.tolist()),
        withins=tuple((2 * np.sqrt(np.diag(cov))).tolist()), apart=apart, agrees=agrees, alone=alone,
        routes=tuple(routes), asks=tuple(_questions(routes, known)),
        assumed=assumed("routes", [leg.reading for one in routes for leg in one.legs]),
    )  # fmt: skip


def _refuse(routes: Sequence[Route], asked: Asked) -> None:
    if not routes:
        raise InputError("routes", "(none)", "give a route, better two or three")
    if asked.grows not in (None, -1, 0, 1):
        raise InputError("grows", asked.grows, "write +1, −1 or 0")
    for field, answer, known in (
        ("straight-edge", asked.straight_edge, EDGE_ANSWERS), ("faces", asked.faces, FACE_ANSWERS),
    ):  # fmt: skip
        if answer not in ("", *known):
            raise InputError(field, answer, "write " + " or ".join(known))
    names = [one.name for one in routes]
    if len(set(names)) < len(names):
        raise InputError("routes", ", ".join(names), "give each route a name of its own")
    for one in routes:
        if not one.legs:
            raise InputError(f"route {one.name}", "(empty)", "give its readings")
        if one.crank not in ("", *ENDS):
            raise InputError("crank", one.crank, "write forward or back")


def _summed(routes: Sequence[Route], asked: Asked) -> tuple[Array, Array, Array]:
    """What each route comes to, how each reading enters it, and the readings' deviations."""
    found: dict[str, Dimension] = {}
    rows: list[dict[str, float]] = []
    lengths = []
    for number, one in enumerate(routes):
        entries: dict[str, float] = {}
        total = 0.0
        for place, leg in enumerate(one.legs):
            name = leg.name or f"({number + 1}.{place + 1})"
            first = found.setdefault(name, leg.reading)
            if abs(abs(first.middle) - abs(leg.reading.middle)) > 1e-9:
                accepted = f"another reading is called {name}: give it another name"
                raise InputError(f"route {one.name}", leg.reading.typed, accepted)
            sign = math.copysign(1.0, leg.reading.middle)
            entries[name] = entries.get(name, 0.0) + sign
            total += leg.reading.middle
        if asked.end_float is not None and one.crank == "back" and asked.grows:
            found.setdefault("end float", asked.end_float)
            entries["end float"] = entries.get("end float", 0.0) - asked.grows
            total -= asked.grows * asked.end_float.middle
        rows.append(entries)
        lengths.append(total)
    shares = np.array([[entries.get(name, 0.0) for name in found] for entries in rows])
    spread = np.array([claim(reading).deviation for reading in found.values()])
    return np.array(lengths), shares, spread


def _mean(lengths: Array, cov: Array, used: Sequence[bool]) -> tuple[float, float]:
    """The length that fits correlated routes best, and its ± [mm]."""
    kept = np.flatnonzero(used)
    inner = cov[np.ix_(kept, kept)]
    scale = np.sqrt(np.diag(inner))
    if np.linalg.eigvalsh(inner / np.outer(scale, scale))[0] < SAME:
        raise InputError("routes", f"{len(kept)} routes", "two of them rest on the same readings")
    pull = np.linalg.solve(inner, np.ones(len(kept)))
    return float(pull @ lengths[kept] / pull.sum()), 2 / math.sqrt(float(pull.sum()))


def _alone(routes: Sequence[Route], apart: Sequence[Apart]) -> str:
    """The one route that disagrees with all the others, which agree among themselves."""
    for one in routes:
        with_it = [pair for pair in apart if one.name in (pair.first, pair.second)]
        others = [pair for pair in apart if pair not in with_it]
        if others and not any(pair.agree for pair in with_it) and all(o.agree for o in others):
            return one.name
    return ""


def _pairs(routes: Sequence[Route], lengths: Array, cov: Array) -> Iterator[Apart]:
    for a, b in combinations(range(len(routes)), 2):
        spread = math.sqrt(max(cov[a, a] + cov[b, b] - 2 * cov[a, b], 0.0))
        yield Apart(
            first=routes[a].name, second=routes[b].name, by=float(lengths[a] - lengths[b]),
            within=2 * spread,
        )  # fmt: skip


def _questions(routes: Sequence[Route], asked: Asked) -> Iterator[str]:
    """What a fitter must still say."""
    if not asked.straight_edge:
        yield "Was a depth taken from a straight-edge? Its thickness comes off, as a leg of its own."
    if not asked.faces:
        yield "Were block plate, gasket and paint off both faces? What was on them comes off."
    pushed = {one.crank for one in routes}
    if asked.grows is None:
        yield "Does it get longer or shorter as the crank goes back, or not at all?"
    if asked.grows != 0 and "" in pushed:
        yield "Which way was the crank pushed, forward or back, for each route?"
    if asked.grows != 0 and "back" in pushed and asked.end_float is None:
        yield "How much is the crank's end float? It lies between forward and back."


def _sentences(found: RoundTrip) -> Iterator[str]:
    unit = found.routes[0].legs[0].reading.unit
    for one, length, within in zip(found.routes, found.lengths, found.withins, strict=True):
        yield f"{one.name}: {both(length, within=within, first=unit)}."
    for pair in found.apart:
        verb = "agree" if pair.agree else "do not agree"
        yield (
            f"{pair.first} and {pair.second} {verb}: {small(pair.by, unit)} apart, "
            f"their instruments allow {small(pair.within, unit)}."
        )
    if found.agrees is None:
        yield "One route checks nothing: measure it a second way."
    elif found.agrees is False:
        if found.alone:
            yield f"{found.alone} stands alone against the others and is left out: take it again."
        else:
            yield "Nothing tells which is wrong: take every reading again, or add a third route."
    yield f"The dimension: {both(found.value, within=found.within, first=unit)}."
    yield from found.asks
