"""A dial sweep of a face: its tilt, and what the tilt does to a part that hangs behind it.

Angles are clock degrees seen from behind. The dial turns with the crank, its plunger along the
axis; behind the face it looks forward at it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.quantity import Dimension
from wizard.bench.adjustment import Explanation, reach
from wizard.bench.clock import opposite, shown
from wizard.bench.readings import assumed, claims, small
from wizard.bench.sweep import DIAL, LEAST, DialReading, Sweep, fit_turn, turn_of
from wizard.engine.formulas import runout

STANDS = ("behind", "ahead")


@dataclass(frozen=True, kw_only=True, eq=False)
class FaceSweep:
    """What a sweep of a face tells.

    Attributes:
        tir: Twice the amplitude of the tilt at the dial's radius [mm]. raw_tir: Highest less
            lowest reading [mm].
        within: ± of the TIR, 95 % [mm].
        slope: Tilt of the face, and ``slope_within`` its ± [mm per mm].
        rearmost: Clock position where the face stands farthest back [°].
        leans_to: Clock position toward which a part bolted to it leans as it goes back [°].
        flatness: Highest less lowest of what tilt does not explain [mm]; ``None`` with three.
        distance: How far behind the face (− ahead of it) the lean is wanted [mm], if it is.
        drift: How far the part's axis is off there by the lean alone [mm].
        agrees: Whether a flat face explains the readings; ``None`` with three.
        radius: Radius at which the dial ran. readings: As taken.
        allowed: Greatest TIR allowed [mm], if one was given.
        explained: What would bring the readings into agreement.
        assumed: Every ± that was not written.
    """

    tir: float
    raw_tir: float
    within: float
    slope: float
    slope_within: float
    rearmost: float
    flatness: float | None
    distance: float | None
    drift: float | None
    agrees: bool | None
    radius: Dimension
    readings: tuple[DialReading, ...]
    allowed: float | None
    explained: tuple[Explanation, ...]
    assumed: tuple[Assumption, ...]

    @property
    def leans_to(self) -> float:
        """The side opposite to where the face stands farthest back [°]."""
        return opposite(self.rearmost)

    @property
    def drift_to(self) -> float:
        """Clock position toward which the part's axis is off at the distance [°]."""
        return self.rearmost if (self.distance or 0.0) < 0 else self.leans_to

    @property
    def passes(self) -> bool | None:
        """Whether the TIR keeps the limit; ``None`` without one, or where the ± spans it."""
        if self.allowed is None or abs(self.tir - self.allowed) <= self.within:
            return None
        return self.tir < self.allowed

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def sweep_face(
    readings: Sequence[DialReading],
    *,
    radius: Dimension,
    sense: str,
    stands: str = "behind",
    distance: Dimension | None = None,
    allowed: float | None = None,
) -> FaceSweep:
    """Tilt of a face against the axis the dial turns about.

    Args:
        readings: Three or more, round the turn.
        radius: At which the dial ran.
        sense: Whether the dial reads + as its plunger goes ``in`` or comes ``out``.
        stands: Whether the dial stands ``behind`` the face or ``ahead`` of it.
        distance: How far behind the face the lean is wanted, − ahead of it, where the pilot is.
        allowed: Greatest TIR allowed [mm].
    Raises:
        InputError: fewer than three places, another word, or a size nobody can mean.
    Source:
        Least squares fit of one turn (`runout.sweep_offset`); `runout.face_tilt`.
    """
    if sense not in runout.SENSES:
        raise InputError("sense", sense, "write in or out: which way of the plunger reads +")
    if stands not in STANDS:
        raise InputError("stands", stands, "write behind or ahead: where the dial stands")
    if len(readings) < LEAST:
        raise InputError("face", f"{len(readings)} given", "take three or more round the turn")
    if radius.middle <= 0:
        raise InputError("radius", radius.typed, "write the radius the dial ran at, above 0")
    angles = np.array([one.at for one in readings])
    values = np.array([one.reading.middle for one in readings])
    taken = claims((one.reading for one in readings), usual=DIAL)
    finding = fit_turn(angles, values, np.array([one.deviation for one in taken]))
    fit = finding.best
    amplitude, farthest = runout.sweep_offset(
        readings=turn_of(angles) @ fit.values[:3], angles=angles, sense=sense
    )
    tir = runout.tir_of_offset(offset=amplitude)
    slope = runout.face_tilt(tir=tir, radius=radius.middle)
    within = 2 * reach(fit.covariance[1:3, 1:3]) * fit.scale
    drift = None
    if distance is not None:
        drift = runout.tilt_offset(slope=slope, distance=abs(distance.middle))
    return FaceSweep(
        tir=tir, within=within, slope=slope, slope_within=within / (2 * radius.middle),
        raw_tir=runout.raw_tir(readings=values),
        rearmost=opposite(farthest) if stands == "behind" else farthest,
        flatness=float(np.ptp(finding.whole.residuals)) if finding.whole.freedom else None,
        distance=None if distance is None else distance.middle, drift=drift,
        agrees=finding.whole.agrees, radius=radius, readings=tuple(readings), allowed=allowed,
        explained=finding.explained,
        assumed=assumed("face readings", [one.reading for one in readings], usual=DIAL),
    )  # fmt: skip


def together(bore: Sweep, face: FaceSweep) -> tuple[float, float] | None:
    """Where a part centred in the bore and bolted to the face has its axis, at the distance.

    Returns:
        How far off [mm] and toward which clock position [°]; ``None`` without a distance.
    """
    if face.drift is None:
        return None
    parts = ((bore.offset, bore.toward), (face.drift, face.drift_to))
    right = math.fsum(size * math.sin(math.radians(at)) for size, at in parts)
    up = math.fsum(size * math.cos(math.radians(at)) for size, at in parts)
    return math.hypot(right, up), math.degrees(math.atan2(right, up)) % 360


def _sentences(found: FaceSweep) -> Iterator[str]:
    unit = found.readings[0].reading.unit
    yield (
        f"Face TIR {small(found.tir, unit)} ± {small(found.within, unit)} at radius "
        f"{small(found.radius.middle, unit)}: {found.slope:.6f} mm per mm."
    )
    if found.tir > found.within:
        yield f"It stands farthest back at {shown(found.rearmost)}; a part bolted to it leans toward {shown(found.leans_to)}."
    else:
        yield "That is no more than the readings' own ±: its direction says nothing."
    if found.drift is not None and found.distance is not None:
        side = "ahead of" if found.distance < 0 else "behind"
        off = f"{small(found.drift, unit)} toward {shown(found.drift_to)}"
        yield f"{small(found.distance, unit)} {side} the face the axis is off {off} by it."
    if found.allowed is not None:
        limit = small(found.allowed, unit)
        says = {True: "keeps", False: "is over", None: "is too near to"}[found.passes]
        yield f"It {says} the limit of {limit} TIR."
    if found.agrees is False:
        yield "The readings are no flat face: it is bent or burred, one is misread, or the crank floated. Sweep again."
