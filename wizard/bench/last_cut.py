"""The last cut: parts that must come out alike, measured, and what each still has to lose."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from kb.errors import InputError
from kb.figures import FACTOR
from kb.model.chain import Assumption
from kb.quantity import Dimension, both, number
from kb.standards import runout as limits
from wizard.bench.adjustment import Array
from wizard.bench.clock import plan_angle, shown
from wizard.bench.readings import assumed, claim, claims, small
from wizard.engine.formulas import runout
from wizard.engine.formulas.posts import greatest_tilt, tops_tilt

PLACES = {"in": 4, "mm": 3}  # figures a machine's dial or readout shows
PLANE = 3  # parts from which their tops span a plane
FOLLOWS = {"spacer": 0.0, "crank": 1.0}  # how an engagement grows as the adapter gets shorter


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """A quantity that hangs on the parts' length.

    Attributes:
        name: ``gap`` or ``engagement``.
        planned: What it would be at the target length.
        low, high: What it must keep [mm]; ``None`` where there is no such limit.
        grows: How much it grows for each millimetre the parts are too short.
    """

    name: str
    planned: Dimension
    low: float | None
    high: float | None
    grows: float


@dataclass(frozen=True, kw_only=True)
class Becomes:
    """What becomes of a wanted quantity at the length that can be had.

    Attributes:
        name: ``gap`` or ``engagement``.
        value, within: What it will be, and its ± [mm].
        chance: That it keeps its limits; ``None`` where it has none.
    """

    name: str
    value: float
    within: float
    chance: float | None


@dataclass(frozen=True, kw_only=True, eq=False)
class LastCut:
    """What to take off each part.

    Attributes:
        target: Length wanted. measured: Length of each part, as taken.
        length: Length all can have: the target, or the shortest part's own where one is short.
        within: ± of that length, 95 %: the reading's and the cut's [mm].
        cuts: What comes off each [mm], in their order; never below 0.
        short: Parts already shorter than the target by more than their ±, counted from 0.
        doubtful: Parts that may be, within their ±.
        machine: Unit the machine reads in, ``"in"`` or ``"mm"``.
        spread: Longest less shortest, as measured [mm].
        tilt: TIR of the plane through their tops over their own circle, as measured [mm];
            ``None`` with fewer than three parts.
        high_at: Clock position where that plane stands highest [°].
        tilt_after: The same after the cut, at worst [mm].
        slope: Tilt as measured [mm per mm]; ``None`` without the circle's diameter.
        limit: Greatest TIR allowed at the lugs [mm], and ``limit_by`` who says so.
        becomes: What becomes of gap and engagement.
        assumed: Every ± that was not written.
    """

    target: Dimension
    measured: tuple[Dimension, ...]
    length: float
    within: float
    cuts: tuple[float, ...]
    short: tuple[int, ...]
    doubtful: tuple[int, ...]
    machine: str
    spread: float
    tilt: float | None
    high_at: float | None
    tilt_after: float | None
    slope: float | None
    limit: float
    limit_by: str
    becomes: tuple[Becomes, ...]
    assumed: tuple[Assumption, ...]

    @property
    def machine_cuts(self) -> tuple[str, ...]:
        """The cuts as figures of the machine's own unit."""
        places = PLACES[self.machine]
        return tuple(number(cut, unit=self.machine, places=places) for cut in self.cuts)

    @property
    def shortage(self) -> float:
        """How much shorter than the target they come out [mm]."""
        return self.target.middle - self.length

    @property
    def says(self) -> tuple[str, ...]:
        """What to do, in sentences."""
        return tuple(_sentences(self))


def last_cut(
    target: Dimension,
    measured: Sequence[Dimension],
    *,
    cut_within: float | None = None,
    machine: str = "mm",
    at: Sequence[float] | None = None,
    circle: Dimension | None = None,
    limit: float | None = None,
    wanted: Sequence[Wanted] = (),
) -> LastCut:
    """What to take off each of several parts that must come out at one length.

    Args:
        target: The length wanted.
        measured: The length of each part, in the order they stand, clockwise seen from behind.
        cut_within: How true the machine takes the cut, 95 % [mm]; by default as true as the parts
            are measured.
        machine: Unit the machine reads in, ``"in"`` or ``"mm"``.
        at: Clock position of each part [°]; evenly from 12 o'clock without it.
        circle: Diameter of the circle they stand on.
        limit: Greatest TIR at the lugs [mm]; by default that of a drive plate.
        wanted: What hangs on their length.
    Raises:
        InputError: no part, another unit, places that do not match, or a length nobody can mean.
    Source:
        Closed forms; plane through the tops by least squares (`posts.tops_tilt`).
    """
    _refuse(target, measured, machine, at)
    taken = claims(measured)
    lengths = np.array([one.value for one in taken])
    widths = np.array([one.within for one in taken])
    goal = target.middle
    allowed = target.within or 0.0
    lacking = goal - allowed - lengths
    short = [k for k, lack in enumerate(lacking.tolist()) if lack > widths[k]]
    doubtful = [
        k for k, lack in enumerate((goal - lengths).tolist()) if lack > 0 and k not in short
    ]
    length = float(lengths.min()) if short else goal
    cutting = float(widths.max()) if cut_within is None else cut_within
    within = math.hypot(float(widths.max()), cutting)
    tilt = _tilt(lengths, at, circle)
    stated = _limit(limit)
    return LastCut(
        target=target, measured=tuple(measured), length=length, within=within,
        cuts=tuple(np.maximum(lengths - length, 0.0).tolist()), short=tuple(short),
        doubtful=tuple(doubtful), machine=machine, spread=float(np.ptp(lengths)),
        tilt=None if tilt is None else tilt[0], high_at=None if tilt is None else tilt[1],
        tilt_after=_tilt_after(within, len(lengths)),
        slope=_slope(tilt, circle), limit=stated[0], limit_by=stated[1],
        becomes=tuple(_becomes(one, goal - length, within) for one in wanted),
        assumed=assumed("lengths", measured),
    )  # fmt: skip


def _refuse(
    target: Dimension, measured: Sequence[Dimension], machine: str, at: Sequence[float] | None
) -> None:
    if machine not in FACTOR:
        raise InputError("machine", machine, "write in or mm: what its dial or readout shows")
    if not measured:
        raise InputError("measured", "(none)", "give the length of each part")
    for field, one in (("target", target), *(("measured", one) for one in measured)):
        if one.middle <= 0:
            raise InputError(field, one.typed, "it must be above 0")
    if at is not None and len(at) != len(measured):
        raise InputError("at", f"{len(at)} places", f"give one for each of {len(measured)} parts")


def _limit(limit: float | None) -> tuple[float, str]:
    if limit is not None:
        if not limit > 0:
            raise InputError("limit", limit, "write the greatest TIR allowed, above 0")
        return limit, "as given"
    (plate,) = limits.limits("drive plate")
    assert plate.tir is not None
    return plate.tir, f"drive plate, {plate.by} ({plate.source})"


def _tilt(
    lengths: Array, at: Sequence[float] | None, circle: Dimension | None
) -> tuple[float, float] | None:
    """TIR of the plane through the tops over their circle [mm], and where it is highest [°]."""
    if len(lengths) < PLANE:
        return None
    if circle is not None and circle.middle <= 0:
        raise InputError("circle", circle.typed, "it must be above 0")
    clocks = at if at is not None else [360.0 * k / len(lengths) for k in range(len(lengths))]
    turn = np.radians([plan_angle(clock) for clock in clocks])
    # on a circle of radius 1 the slope is the height of the tilt itself
    slope, toward = tops_tilt(
        centres=np.column_stack((np.cos(turn), np.sin(turn))), heights=lengths
    )
    return runout.tir_of_offset(offset=slope), plan_angle(toward)


def _slope(tilt: tuple[float, float] | None, circle: Dimension | None) -> float | None:
    if tilt is None or circle is None:
        return None
    return runout.face_tilt(tir=tilt[0], radius=circle.middle / 2)


def _tilt_after(within: float, count: int) -> float | None:
    """TIR that the ± of the cut may leave at worst [mm]."""
    if count < PLANE:
        return None
    return runout.tir_of_offset(offset=greatest_tilt(within=within, posts=count, radius=1.0))


def _becomes(one: Wanted, shortage: float, within: float) -> Becomes:
    """A wanted quantity when the parts are so much too short."""
    from scipy.special import ndtr

    own = claim(one.planned)
    value = own.value + one.grows * shortage
    width = math.hypot(own.within, one.grows * within)
    chance = None
    if one.low is not None or one.high is not None:
        spread = max(width / 2, 1e-9)
        under = 0.0 if one.low is None else float(ndtr((one.low - value) / spread))
        over = 0.0 if one.high is None else float(ndtr((value - one.high) / spread))
        chance = max(0.0, 1 - under - over)
    return Becomes(name=one.name, value=value, within=width, chance=chance)


def _sentences(found: LastCut) -> Iterator[str]:
    unit = found.machine
    if found.short:
        numbers = ", ".join(str(k + 1) for k in found.short)
        yield (
            f"Part {numbers} is already short of {both(found.target.middle, first=unit)}: all come to "
            f"{both(found.length, within=found.within, first=unit)}, {small(found.shortage, unit)} less."
        )
    elif found.doubtful:
        numbers = ", ".join(str(k + 1) for k in found.doubtful)
        yield f"Part {numbers} may be short within its ±: it is left uncut. Measure it again before cutting the others."
    cuts = ", ".join(f"{k + 1}: {cut}" for k, cut in enumerate(found.machine_cuts))
    yield f"Take off [{unit}]: {cuts}."
    yield f"As measured they differ by {small(found.spread, unit)}."
    yield from _tilt_says(found, unit)
    for one in found.becomes:
        chance = (
            "" if one.chance is None else f", chance to keep its limits {100 * one.chance:.0f} %"
        )
        yield f"The {one.name} becomes {both(one.value, within=one.within, first=unit)}{chance}."


def _tilt_says(found: LastCut, unit: str) -> Iterator[str]:
    if found.tilt is None or found.tilt_after is None or found.high_at is None:
        yield "Fewer than three parts span no plane: no tilt is told."
        return
    over = "over" if found.tilt > found.limit else "within"
    yield (
        f"Uncut the lugs would run out by {small(found.tilt, unit)} TIR, high at {shown(found.high_at)}: "
        f"{over} the limit of {small(found.limit, unit)} ({found.limit_by})."
    )
    keeps = "within" if found.tilt_after <= found.limit else "OVER"
    yield f"After the cut at most {small(found.tilt_after, unit)}, {keeps} the limit."


def _percent(chance: float) -> str:
    if 0.005 <= chance < 0.995:
        return f"{100 * chance:.0f} %"
    return "over 99 %" if chance > 0.5 else "under 1 %"
