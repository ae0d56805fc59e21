"""A circle and its axis from points probed round a bore, a register or a ring of holes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.model.measured import Point
from kb.plane.circle import fit_circle
from kb.quantity import both
from wizard.bench.adjustment import (
    FALSE_ALARM,
    RIVAL,
    Array,
    Explanation,
    Finding,
    Fit,
    Guess,
    examine,
    fitted,
    reach,
)  # fmt: skip
from wizard.bench.readings import assumed, claims, small

SIDES = ("inside", "outside")
LEAST = 3
TELLING = 6  # points below which their own scatter does not tell which one is misread
SLIPS = {  # how one point may have been written wrongly: what was meant by x and y
    "x and y exchanged": ((0.0, 1.0), (1.0, 0.0)),
    "sign of x": ((-1.0, 0.0), (0.0, 1.0)),
    "sign of y": ((1.0, 0.0), (0.0, -1.0)),
}


@dataclass(frozen=True, kw_only=True, eq=False)
class Circle:
    """A circle through probed points.

    Attributes:
        x, y: Its centre, in the coordinates typed [mm].
        centre_within: Radius round it that holds the true centre with 95 % [mm]; ``None`` with
            three points whose ± is not known.
        diameter, within: Its diameter, the probe's tip taken into account, and its ± [mm].
        rms: Root mean square of the points' distances from it [mm].
        out_of_round: Farthest outside less farthest inside, seen from the centre [mm]; ``None``
            with three points, which tell nothing of it.
        points: As taken. tip: Diameter of the probe's tip [mm].
        residuals: How far each point stands off, + outside [mm].
        agrees: Whether the points lie on a circle within their ±; ``None`` where nothing checks.
        explained: What would bring them on to one.
        assumed: Every ± that was not written.
    """

    x: float
    y: float
    centre_within: float | None
    diameter: float
    within: float | None
    rms: float
    out_of_round: float | None
    points: tuple[Point, ...]
    tip: float
    residuals: tuple[float, ...]
    agrees: bool | None
    explained: tuple[Explanation, ...]
    assumed: tuple[Assumption, ...]

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def circle(points: Sequence[Point], *, tip: float = 0.0, side: str = "inside") -> Circle:
    """The circle the points stand off least, and the point that does not belong to it.

    Args:
        points: Where the middle of the probe stood, three or more.
        tip: Diameter of the probe's tip [mm]; 0 where the points are on the surface itself.
        side: Which side of the surface the probe touched: ``inside`` of a bore or ``outside``.
    Returns:
        The circle; where one point alone does not belong, it is set right or left out. The ±
        rests on the points' own where one is written or an instrument named, else on how they
        scatter.
    Raises:
        InputError: fewer than three points, points at one place or on one line, or a tip that
            leaves no circle.
    Source:
        Geometric least squares (`kb.plane.circle.fit_circle`); ISO 12181-1:2011, least squares
        reference circle, for out-of-round (from memory).
    """
    if side not in SIDES:
        raise InputError("side", side, "write inside or outside")
    if not 0 <= tip < math.inf:
        raise InputError("tip", tip, "write the diameter of the probe's tip, 0 or more")
    typed = np.array([(one.x.value, one.y.value) for one in points], dtype=np.float64)
    fit_circle(typed)  # refuses what is no circle, in words about the points
    deviation = _deviation(points)
    finding = _examined(typed, deviation) if deviation else _scattered(typed)
    places, gone = _set_right(typed, finding.fault)
    kept = np.delete(places, gone, axis=0)
    spread = None if deviation is None else 2 * deviation * finding.best.scale
    found = fit_circle(kept, within=spread)
    free = len(kept) - LEAST
    cov = found.covariance
    apart = np.hypot(*(places - found.centre).T) - found.radius
    return Circle(
        x=found.centre[0], y=found.centre[1],
        centre_within=None if cov is None else reach(cov[:2, :2], None if spread else free),
        diameter=_over_tip(found.diameter, tip, side), within=found.diameter_within,
        rms=found.rms, out_of_round=float(np.ptp(found.residuals)) if free else None,
        points=tuple(points), tip=tip, residuals=tuple(apart.tolist()),
        agrees=_judged(finding, len(points), deviation), explained=finding.explained,
        assumed=() if deviation is None else assumed("points", [one.x for one in points]),
    )  # fmt: skip


def _deviation(points: Sequence[Point]) -> float | None:
    """Standard deviation of a point [mm]; ``None`` where only their scatter can tell it.

    Three points scatter about no circle, so they take the ± of their instrument or the usual one.
    """
    readings = [reading for one in points for reading in (one.x, one.y)]
    known = any(one.within is not None or one.how for one in readings)
    if not known and len(points) > LEAST:
        return None
    return max(one.deviation for one in claims(readings))


def _over_tip(diameter: float, tip: float, side: str) -> float:
    if side == "inside":
        return diameter + tip
    if diameter <= tip:
        raise InputError("tip", tip, f"it must be smaller than the circle, {diameter:.3f} mm")
    return diameter - tip


def _fit(places: Array, deviation: float | None, gone: Sequence[int] = ()) -> Fit | None:
    """The circle through all points but some, as a fit of x, y and radius."""
    kept = np.delete(places, list(gone), axis=0)
    try:
        found = fit_circle(kept)
    except InputError:  # what is left is no circle
        return None
    apart = places - found.centre
    far = np.hypot(*apart.T)
    free = len(kept) - LEAST
    own = math.sqrt(float(np.sum(found.residuals**2)) / free) if free else 0.0
    spread = np.full(len(places), max(own, 1e-9) if deviation is None else deviation)
    spread[list(gone)] = np.inf
    outward = np.column_stack((apart / np.where(far > 0, far, 1.0)[:, None], np.ones(len(far))))
    near = fitted(outward, far - found.radius, spread)
    return None if near is None else replace(near, values=np.array((*found.centre, found.radius)))


def _examined(places: Array, deviation: float) -> Finding:
    """The point that does not belong, by the ± the points are known to."""
    whole = _fit(places, deviation)
    assert whole is not None  # the points were found to be a circle
    guesses = (
        Guess(kind="misread", places=(k,), refit=partial(_fit, places, deviation, (k,)))
        for k in range(len(places))
    )
    return _named(places, examine(whole, guesses))


def _scattered(places: Array) -> Finding:
    """The point that does not belong, by how the others scatter.

    Source:
        Externally studentised residuals with Bonferroni's bound (Cook & Weisberg, Residuals
        and Influence in Regression, 1982, 2.2.2, from memory).
    """
    from scipy.special import stdtrit

    whole = _fit(places, None)
    assert whole is not None
    if len(places) < TELLING:
        return Finding(whole=whole, explained=())
    fits = {k: fit for k in range(len(places)) if (fit := _fit(places, None, (k,))) is not None}
    farthest = float(stdtrit(len(places) - 4, 1 - FALSE_ALARM / (2 * len(places))))
    far = {k: fit for k, fit in fits.items() if _off(places[k], k, fit) > farthest}
    if not far:
        return Finding(whole=whole, explained=())
    sums = {k: float(np.sum(np.delete(fit.residuals, k) ** 2)) for k, fit in far.items()}
    least = min(sums.values())
    close = least * (1 + RIVAL / (len(places) - 4))
    explained = tuple(
        Explanation(kind="misread", places=(k,), fit=fit)
        for k, fit in sorted(far.items(), key=lambda pair: sums[pair[0]])
        if sums[k] <= close
    )
    return _named(places, Finding(whole=whole, explained=explained))


def _off(point: Array, place: int, fit: Fit) -> float:
    """How far a point left out stands off the circle, over what that distance scatters."""
    apart = point - fit.values[:2]
    slope = np.append(apart / np.hypot(*apart), 1.0)
    scatter = float(fit.deviations[np.isfinite(fit.deviations)][0])
    return abs(float(fit.residuals[place])) / math.hypot(
        scatter, math.sqrt(float(slope @ fit.covariance @ slope))
    )


def _named(places: Array, finding: Finding) -> Finding:
    """The slip of the pen that puts a misread point on the circle of the others, if there is one."""
    fault = finding.fault
    if fault is None:
        return finding
    (place,) = fault.places
    scatter = float(fault.fit.deviations[np.isfinite(fault.fit.deviations)][0])
    for kind, turn in SLIPS.items():
        meant = np.array(turn) @ places[place]
        apart = np.hypot(*(meant - fault.fit.values[:2])) - fault.fit.values[2]
        if abs(apart) <= 3 * scatter:
            return replace(finding, explained=(replace(fault, kind=kind),))
    return finding


def _set_right(places: Array, fault: Explanation | None) -> tuple[Array, list[int]]:
    """The points with the slip put right, and those to be left out."""
    if fault is None:
        return places, []
    if fault.kind not in SLIPS:
        return places, list(fault.places)
    right = places.copy()
    right[list(fault.places)] = places[list(fault.places)] @ np.array(SLIPS[fault.kind]).T
    return right, []


def _judged(finding: Finding, count: int, deviation: float | None) -> bool | None:
    """Whether the points agree; their own scatter tells it from six points on."""
    if deviation is not None:
        return finding.whole.agrees
    return None if count < TELLING else not finding.explained


def _sentences(found: Circle) -> Iterator[str]:
    unit = found.points[0].x.unit
    yield f"Diameter {both(found.diameter, within=found.within, first=unit)}."
    place = ", ".join(
        both(value, within=found.centre_within, first=unit) for value in (found.x, found.y)
    )
    yield f"Centre at x, y = {place}."
    if found.agrees is None:
        yield "So few points do not tell whether one is misread: probe six or more, well spread."
    if found.out_of_round is not None:
        yield (
            f"Out of round by {small(found.out_of_round, unit)}, "
            f"points off it by {small(found.rms, unit)} in the mean."
        )
    if found.agrees is False and not found.explained:
        yield "The points do not lie on one circle within their ±: probe it again."
    for one in found.explained:
        yield from _fault(found, one, unit)


def _fault(found: Circle, one: Explanation, unit: str) -> Iterator[str]:
    sure = len(found.explained) == 1
    for place in one.places:
        typed = f"{found.points[place].x.typed}, {found.points[place].y.typed}"
        off = float(one.fit.residuals[place])
        way = "outside" if off > 0 else "inside"
        lead = f"Point {place + 1} ({typed})"
        if one.kind in SLIPS:
            yield f"{lead} fits once set right: {one.kind}. It was taken so."
        else:
            stands = f"{small(off, unit)} {way} the circle of the others"
            yield f"{lead} {'is' if sure else 'may be'} misread: it stands {stands}. Probe it again."
