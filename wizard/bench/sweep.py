"""A dial sweep of a bore: how far and which way its axis is off, and what would cure it.

Angles are clock degrees seen from behind, looking forward. The dial turns with the crank and
reads the fixed bore.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.quantity import Dimension, both
from wizard.bench.adjustment import (
    Array,
    Explanation,
    Finding,
    Fit,
    Guess,
    examine_linear,
    fitted,
    reach,
)
from wizard.bench.clock import opposite, shown
from wizard.bench.readings import assumed, claim, claims, small
from wizard.engine.formulas import runout

DIAL = "dial"
LEAST = 3
TELLING = 6  # readings from which a swapped pair or an oval bore can be told
SAG_ON = ("bar", "ring")
STOCK = (0.1778, 0.3556, 0.5334)  # offset dowels of .007, .014, .021 in: common practice, no source
CAUTIONS = (
    "Turn the crank by hand only, starter and ignition disconnected; nobody turns it while "
    "fingers are near the dial or the flywheel.",
    "Push the crank the same way before every reading, and see that the dial comes back to its "
    "first reading.",
)


@dataclass(frozen=True, kw_only=True)
class DialReading:
    """One reading, and the clock position it was taken at [°]."""

    at: float
    reading: Dimension


@dataclass(frozen=True, kw_only=True)
class Corrections:
    """What is known to falsify a sweep.

    Attributes:
        sag: What this very dial and arm read at 6 o'clock on a true round, set to 0 at 12, with
            its sign.
        sag_on: Whether that round was a ``bar``, touched from outside, or a ``ring``, touched
            from inside as the bore is.
        lift: How far the crank can be lifted in its bearings; it is taken to run in the middle.
    """

    sag: Dimension | None = None
    sag_on: str = "bar"
    lift: Dimension | None = None


@dataclass(frozen=True, kw_only=True)
class DowelPick:
    """The offset dowels that leave least.

    Attributes:
        size: Their offset [mm]; 0 where none in stock betters leaving it alone.
        toward: Clock position their offset is set toward, both alike [°].
        tir: TIR they leave [mm]; ``tir_most``: as much as it may be, by the ± of the sweep [mm].
    """

    size: float
    toward: float
    tir: float
    tir_most: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Sweep:
    """What a sweep of a bore tells.

    Attributes:
        offset: Distance between bore and crank axis [mm].
        within: Radius round the fitted axis that holds the true one with 95 % [mm].
        toward: Clock position toward which the bore is off [°]. toward_within: its ± [°]; 180
            where the offset cannot be told from nought.
        tir: Twice the offset [mm]. raw_tir: Highest less lowest reading [mm].
        rms: Root mean square of what the offset does not explain [mm].
        out_of_round: Highest less lowest of that [mm]; ``None`` with three readings.
        closure: (12 + 6 o'clock) − (3 + 9 o'clock) [mm]; ``None`` without those four.
        returns: Last less first reading, where both were taken at one place [mm].
        closes: Whether nothing contradicts a round bore and a dial that held; ``None`` with
            three readings, which contradict nothing.
        readings: As taken. corrected: After sag and lift [mm].
        allowed: Greatest TIR allowed [mm], if one was given.
        explained: What would bring the readings into agreement.
        dowels: The offset dowels to take.
        assumed: Every ± that was not written.
    """

    offset: float
    within: float
    toward: float
    toward_within: float
    tir: float
    raw_tir: float
    rms: float
    out_of_round: float | None
    closure: float | None
    returns: float | None
    closes: bool | None
    readings: tuple[DialReading, ...]
    corrected: tuple[float, ...]
    allowed: float | None
    explained: tuple[Explanation, ...]
    dowels: DowelPick
    assumed: tuple[Assumption, ...]

    @property
    def move_to(self) -> float:
        """Clock position toward which the housing must move [°]."""
        return opposite(self.toward)

    @property
    def passes(self) -> bool | None:
        """Whether the TIR keeps the limit; ``None`` without one, or where the ± spans it."""
        if self.allowed is None or abs(self.tir - self.allowed) <= 2 * self.within:
            return None
        return self.tir < self.allowed

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def sweep_bore(
    readings: Sequence[DialReading],
    *,
    sense: str,
    corrections: Corrections | None = None,
    allowed: float | None = None,
    stock: Sequence[float] = STOCK,
) -> Sweep:
    """Offset of a bore's axis from the axis the dial turns about.

    Args:
        readings: Three or more, round the turn; the last may repeat the first.
        sense: Whether the dial reads + as its plunger goes ``in`` or comes ``out``.
        corrections: Sag of the arm and lift of the crank, where they were proved.
        allowed: Greatest TIR allowed [mm].
        stock: Offsets the dowels come in [mm].
    Raises:
        InputError: fewer than three places, another sense, or a size nobody can mean.
    Source:
        Least squares fit of one turn (`runout.sweep_offset`); JCGM 100:2008 for its ±.
    """
    _refuse(readings, sense, allowed)
    known = corrections or Corrections()
    angles = np.array([one.at for one in readings])
    values = _corrected(readings, sense, known)
    taken = claims((one.reading for one in readings), usual=DIAL)
    finding = fit_turn(angles, values, np.array([one.deviation for one in taken]))
    fit = finding.best
    turning = turn_of(angles) @ fit.values[:3]
    offset, toward = runout.sweep_offset(readings=turning, angles=angles, sense=sense)
    cov = fit.covariance[1:3, 1:3] * fit.scale**2
    cov[0, 0] += sum(
        (claim(one, usual=DIAL).deviation / 2) ** 2 for one in (known.sag, known.lift) if one
    )
    within = reach(cov)
    used = np.isfinite(fit.deviations)
    left = finding.whole.residuals
    closure, returns = _closure(readings, values), _returns(readings)
    width = max(one.within for one in taken)
    return Sweep(
        offset=offset, within=within, toward=toward,
        toward_within=math.degrees(math.asin(within / offset)) if offset > within else 180.0,
        tir=runout.tir_of_offset(offset=offset),
        raw_tir=runout.raw_tir(readings=[one.reading.middle for one in readings]),
        rms=math.sqrt(float(np.mean(fit.residuals[used] ** 2))),
        out_of_round=float(np.ptp(left)) if finding.whole.freedom else None, closure=closure,
        returns=returns, closes=_closes(finding.whole, closure, returns, width),
        readings=tuple(readings), corrected=tuple(values.tolist()), allowed=allowed,
        explained=finding.explained, dowels=_pick(offset, toward, within, stock),
        assumed=assumed("dial readings", [one.reading for one in readings], usual=DIAL),
    )  # fmt: skip


def _refuse(readings: Sequence[DialReading], sense: str, allowed: float | None) -> None:
    if sense not in runout.SENSES:
        raise InputError("sense", sense, "write in or out: which way of the plunger reads +")
    if len(readings) < LEAST:
        raise InputError(
            "readings", f"{len(readings)} given", "take three or more, better eight, round the turn"
        )
    for one in readings:
        if not -360 <= one.at <= 720:
            raise InputError("readings", f"{one.at:g}", "write clock degrees, 0 to 360")
    if allowed is not None and not allowed > 0:
        raise InputError("limit", allowed, "write the greatest TIR allowed, above 0")


def turn_of(angles: Array) -> Array:
    """The columns 1, cos θ, sin θ of a turn, shape (n, 3)."""
    turn = np.radians(angles)
    return np.column_stack((np.ones_like(turn), np.cos(turn), np.sin(turn)))


def fit_turn(angles: Array, values: Array, deviations: Array) -> Finding:
    """One turn fitted to readings, and what may be wrong with them.

    Raises:
        InputError: readings at fewer than three places.
    """
    design = turn_of(angles)
    oval = np.column_stack((design, np.cos(np.radians(2 * angles)), np.sin(np.radians(2 * angles))))
    many = len(values) >= TELLING
    finding = examine_linear(
        design, values, deviations, alike=[0] * len(values) if many else (),
        others=[Guess(kind="oval", places=(), refit=partial(fitted, oval, values, deviations))]
        if many else (),
    )  # fmt: skip
    if finding is None:
        raise InputError(
            "readings", ", ".join(f"{at:g}°" for at in angles), "take them at three places or more"
        )
    return finding


def _corrected(readings: Sequence[DialReading], sense: str, known: Corrections) -> Array:
    """Readings without what sag and lift put into them [mm]."""
    if known.sag_on not in SAG_ON:
        raise InputError("sag-on", known.sag_on, "write bar or ring: what the sag was proved on")
    cosine = np.cos(np.radians([one.at for one in readings]))
    values = np.array([one.reading.middle for one in readings])
    if known.sag is not None:
        # an arm that droops away from a bar droops toward the wall of a bore
        turned = -1.0 if known.sag_on == "bar" else 1.0
        values = values - turned * known.sag.middle * (1 - cosine) / 2
    if known.lift is not None:
        if known.lift.middle < 0:
            raise InputError("lift", known.lift.typed, "it cannot be below 0")
        # running in the middle of its bearings, the crank stands half the lift higher
        values = values + (1.0 if sense == "in" else -1.0) * known.lift.middle / 2 * cosine
    return np.asarray(values, dtype=np.float64)


def _closure(readings: Sequence[DialReading], values: Array) -> float | None:
    """What the four readings at right angles fail to close by [mm]; the first at each counts."""
    first: dict[int, float] = {}
    for one, value in zip(readings, values.tolist(), strict=True):
        if one.at % 90 == 0:
            first.setdefault(int(one.at) % 360, value)
    if len(first) < 4:
        return None
    return runout.four_point_closure(
        top=first[0], right=first[90], bottom=first[180], left=first[270]
    )


def _returns(readings: Sequence[DialReading]) -> float | None:
    """How far the dial came back from its first reading [mm]."""
    if (readings[-1].at - readings[0].at) % 360:
        return None
    return readings[-1].reading.middle - readings[0].reading.middle


def _closes(whole: Fit, closure: float | None, returns: float | None, width: float) -> bool | None:
    """Whether the readings agree with a round bore, and the dial with itself."""
    proofs = [whole.agrees]
    if closure is not None:
        proofs.append(abs(closure) <= 2 * width + 1e-9)  # four readings, each ± width
    if returns is not None:
        proofs.append(abs(returns) <= math.sqrt(2) * width + 1e-9)
    if False in proofs:
        return False
    return True if True in proofs else None


def _pick(offset: float, toward: float, within: float, stock: Sequence[float]) -> DowelPick:
    size = runout.nearest_offset_dowel(offset=offset, sizes=stock)
    against = opposite(toward)
    tir = runout.dowel_residual_tir(offset=offset, toward=toward, dowel=size, dowel_toward=against)
    return DowelPick(size=size, toward=against, tir=tir, tir_most=tir + 2 * within)


# ── in words ────────────────────────────────────────────────────────────────


def _sentences(found: Sweep) -> Iterator[str]:
    unit = found.readings[0].reading.unit
    offset = both(found.offset, within=found.within, first=unit)
    if found.offset > found.within:
        yield f"The bore is off {offset} toward {shown(found.toward)}; move the housing toward {shown(found.move_to)}."
    else:
        yield f"The bore is off {offset}: no more than the readings' own ±, so its direction says nothing."
    yield f"TIR {small(found.tir, unit)}; offset is half of it. The dial ran over {small(found.raw_tir, unit)}."
    yield from _limit(found, unit)
    yield from _closing(found, unit)
    yield from _dowels(found, unit)


def _limit(found: Sweep, unit: str) -> Iterator[str]:
    if found.allowed is None:
        return
    limit = small(found.allowed, unit)
    if found.passes is None:
        yield f"Too near the limit of {limit} TIR to say: take more readings."
    else:
        yield f"It {'keeps' if found.passes else 'is over'} the limit of {limit} TIR."


def _closing(found: Sweep, unit: str) -> Iterator[str]:
    if found.closes is None:
        yield "Three readings check nothing: take four or more."
        return
    if found.closes:
        yield "The readings close: round bore, nothing slipped."
        return
    yield "The readings do not close: the bore is out of round, one is misread, or something slipped. Sweep again."
    if found.returns is not None and found.returns:
        yield f"The dial came back {small(found.returns, unit)} off its first reading."
    if 0 < len(found.explained) <= 3:
        for one in found.explained:
            yield _blamed(found, one, unit)


def _blamed(found: Sweep, one: Explanation, unit: str) -> str:
    names = [f"{found.readings[k].at:g}° {found.readings[k].reading.typed}" for k in one.places]
    if one.kind == "oval":
        size = 2 * math.hypot(*one.fit.values[3:])
        return f"An oval bore explains it, {small(size, unit)} between long and short radius."
    if one.kind == "swapped":
        return f"{names[0]} and {names[1]} may have been written in each other's place."
    off = ", ".join(small(one.fit.residuals[k], unit) for k in one.places)
    return f"It fits without {' and '.join(names)}, off by {off}."


def _dowels(found: Sweep, unit: str) -> Iterator[str]:
    if found.passes:
        return
    if not found.dowels.size or found.offset <= found.within:
        yield "Offset dowels in stock would not better it."
        return
    size, tir = small(found.dowels.size, unit), small(found.dowels.tir, unit)
    yield (
        f"Offset dowels of {size}, both set toward {shown(found.dowels.toward)}, would leave a TIR of "
        f"{tir}, {small(found.dowels.tir_most, unit)} at most. Loose dowel holes first: re-bush them."
    )
