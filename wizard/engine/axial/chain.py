"""The axial stage: what works, the thickness and length taken, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from kb.model.chain import Chain, Length, Linear, Measure, Odds, PlateLimits, Requirement
from kb.model.record import Sides
from kb.quantity import both
from wizard.engine.axial.measures import measures, span_asked, stations
from wizard.engine.axial.needs import cut_through, requirements, wanted_band
from wizard.engine.axial.odds import DRAWS, odds
from wizard.engine.axial.region import (
    Certificates,
    HalfPlanes,
    certificates,
    conflict,
    half_planes,
    lengths_at,
    polygon,
)
from wizard.engine.axial.stock import most_plate, thickness_needs, thicknesses

Array = NDArray[np.float64]
Corners = tuple[tuple[float, float], ...]
_Z95 = 1.959963984540054


@dataclass(frozen=True)
class _Works:
    """What works: half-planes, their certificates, and the two polygons."""

    planes: HalfPlanes
    found: Certificates
    lengths: tuple[Length, ...]
    nominal: Array
    region: Corners
    robust: Corners


def chain(sides: Sides, *, draws: int = DRAWS) -> Chain | None:
    """The axial side of the job, or ``None`` when it has neither plate nor drive.

    The bore left in the crank takes the nose where it still reaches it; else the adapter does.
    """
    if sides.engine_face is None and sides.gearbox_face is None and not span_asked(sides):
        return _adapter_only(sides)
    carriers = ("crank", "spacer") if _crank_bore_fits(sides) else ("spacer",)
    made = None
    for carried_by in carriers:
        made = _chain(sides, carried_by, draws)
        if _nose_held(sides, made):
            return made
    return made


def _nose_held(sides: Sides, made: Chain) -> bool:
    """The nose reaches its bore far enough bolted up, and stays in it while the converter is home."""
    bolted = made.values.get("nose_engagement", math.inf)
    seated = made.values.get("nose_seated", math.inf)
    return bolted >= sides.rules["nose-engagement.least"] - 1e-9 and seated > 1e-9


def carrier(sides: Sides, made: Chain) -> str:
    """What the chain takes the nose to be centred by."""
    mouth, driven = made.stations.get("pilot_mouth"), made.stations.get("driven_face")
    if sides.kind == "shaft":
        return sides.request.pilot.carried_by if sides.request.pilot else "spacer"
    borne = mouth == driven or "choices.spindle_length" in sides.lengths
    return "spacer" if mouth is not None and borne and made.spacer else "crank"


def _crank_bore_fits(sides: Sides) -> bool:
    """The crank's own bore takes the nose with the play the rules allow."""
    bore, nose = (
        sides.value("engine.drive.pilot.diameter"),
        sides.value("gearbox.converter.hub.diameter"),
    )
    if bore is None or nose is None:
        return False
    return sides.rules["nose-play.least"] <= bore - nose <= sides.rules["nose-play.most"]


def _adapter_only(sides: Sides) -> Chain | None:
    """A rotating adapter for a known span: nothing to close, nothing to check against."""
    spacer = sides.value("choices.spacer")
    if spacer is None:
        return None
    values: dict[str, float] = {}
    where = {}
    if (standoff := sides.value("engine.drive.standoff")) is not None:
        where = {"driving_face": standoff, "driven_face": standoff + spacer}
    return Chain(
        plate=None, spacer=spacer, spacer_within=_within(sides, "choices.spacer"), packing=0.0,
        values=values, uncertain={}, lacks={}, rests_on={}, stations=where, requirements=(),
        why_plate="",
    )  # fmt: skip


def _chain(sides: Sides, carried_by: str, draws: int) -> Chain:
    found = measures(sides, carried_by=carried_by)
    rows = (*thickness_needs(sides), *requirements(sides, found))
    works = _works(sides, rows)
    closing = _closing(sides, found)
    plate, spacer, why = _take(sides, works, closing)
    nominal = {key: one.value for key, one in sides.lengths.items()}
    values = _values(found, plate, spacer, nominal)
    return Chain(
        plate=plate, spacer=spacer, spacer_within=_spacer_within(sides, spacer),
        packing=sides.value("choices.packing") or 0.0, values=values,
        uncertain={name: _uncertain(sides, found[name].lines) for name in values},
        lacks={name: one.lacks for name, one in found.items() if one.lacks},
        rests_on={name: _keys(one.lines) for name, one in found.items() if one.lines},
        stations=_values(stations(sides, carried_by=carried_by), plate, spacer, nominal),
        requirements=rows, limits=_limits(works, rows), region=works.region,
        robust_region=works.robust, binds=_binds(works),
        conflict=conflict(works.planes, works.found, works.planes.reach(works.nominal),
                          least=_least_changes(works.lengths)),
        odds=_odds(sides, works, plate, spacer, closing, draws),
        why_plate=why,
    )  # fmt: skip


def _keys(lines: Sequence[Linear]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(key for line in lines for key in line.terms))


def _least_changes(lengths: Sequence[Length]) -> dict[str, float]:
    """How far each measured dimension may be changed downward: a size stays above nought [mm]."""
    return {
        one.key: -one.value if one.above_zero else -math.inf
        for one in lengths
        if one.spread != "exact"
    }


def _within(sides: Sides, key: str) -> float:
    return sides.lengths[key].within if key in sides.lengths else 0.0


def _values(
    found: Mapping[str, Measure], plate: float | None, spacer: float | None,
    nominal: Mapping[str, float],
) -> dict[str, float]:  # fmt: skip
    """Every quantity that can be worked out with the plate and the adapter at hand."""
    values = {}
    for name, one in found.items():
        needs_plate = any(line.plate for line in one.lines)
        needs_spacer = any(line.spacer for line in one.lines)
        if not one.lines or (needs_plate and plate is None) or (needs_spacer and spacer is None):
            continue
        values[name] = min(
            line.at(plate=plate or 0.0, spacer=spacer or 0.0, values=nominal) for line in one.lines
        )
    return values


def _uncertain(sides: Sides, lines: Sequence[Linear]) -> float:
    """± of a quantity, worst case or statistical, of its widest line [mm]."""
    return max(_spread(sides, line) for line in lines)


def _spread(sides: Sides, line: Linear) -> float:
    widths = [abs(factor) * sides.lengths[key].within for key, factor in line.terms.items()]
    if sides.chosen.uncertainty == "statistical":
        return math.sqrt(math.fsum(w * w for w in widths)) * _quantile(sides) / _Z95
    return math.fsum(widths)


def _quantile(sides: Sides) -> float:
    return NormalDist().inv_cdf((1 + sides.chosen.confidence) / 2)


# ── what works ──────────────────────────────────────────────────────────────


def _works(sides: Sides, rows: Sequence[Requirement]) -> _Works:
    keys = tuple(dict.fromkeys(key for row in rows for key in row.line.terms))
    lengths = tuple(sides.lengths[key] for key in keys)
    planes = half_planes(rows, keys)
    nominal = np.array([one.value for one in lengths], dtype=float)
    box = (most_plate(sides), sides.rules["spacer-length.most"])
    reach = planes.reach(nominal)
    return _Works(
        planes=planes, found=certificates(planes), lengths=lengths, nominal=nominal,
        region=polygon(planes, reach, box=box),
        robust=polygon(planes, _robust(sides, planes, lengths), box=box),
    )  # fmt: skip


def _robust(sides: Sides, planes: HalfPlanes, lengths: Sequence[Length]) -> Array:
    """The half-planes drawn in by the ± of their own sums."""
    low = np.array([one.low for one in lengths])
    high = np.array([one.high for one in lengths])
    if sides.chosen.uncertainty == "statistical":
        half = (high - low) / 2 * _quantile(sides) / _Z95
        width = np.sqrt((planes.coefficients**2 * half**2).sum(axis=1))
        return np.asarray(planes.reach((low + high) / 2) - width)
    positive, negative = (
        np.clip(planes.coefficients, 0, None),
        np.clip(planes.coefficients, None, 0),
    )
    return np.asarray(planes.constants + positive @ low + negative @ high)


def _limits(works: _Works, rows: Sequence[Requirement]) -> PlateLimits | None:
    """Least and most thickness, with the check that binds each."""
    if not works.region:
        return None
    ends = [min(works.region), max(works.region)]
    binds = [_binding(works, corner, rows) for corner in ends]
    return PlateLimits(least=ends[0][0], binds_least=binds[0], most=ends[1][0], binds_most=binds[1])


def _binds(works: _Works) -> tuple[str, ...]:
    """The check whose line each edge of what works lies on; the sizes looked at where none does."""
    if len(works.region) < 3:
        return ()
    corners = np.array(works.region)
    middles = (corners + np.roll(corners, -1, axis=0)) / 2
    slack = np.abs(works.planes.reach(works.nominal) - middles @ works.planes.normals.T)
    slack[:, ~np.any(works.planes.normals, axis=1)] = np.inf
    if not slack.shape[1]:
        return ("plate-thickness",) * len(corners)
    return tuple(
        works.planes.checks[int(row.argmin())] if row.min() < 1e-6 else "plate-thickness"
        for row in slack
    )


def _binding(works: _Works, corner: tuple[float, float], rows: Sequence[Requirement]) -> str:
    """The check whose line runs through a corner, one on the plate alone before the others."""
    slack = works.planes.reach(works.nominal) - works.planes.normals @ np.array(corner)
    steep = works.planes.normals[:, 0] != 0
    tight = [place for place in np.flatnonzero(steep) if abs(slack[place]) < 1e-6]
    if not tight:
        return "plate-thickness"
    tight.sort(key=lambda place: works.planes.normals[place][1] != 0)
    return works.planes.checks[tight[0]]


# ── the plate and the adapter taken ─────────────────────────────────────────


def _closing(sides: Sides, found: Mapping[str, Measure]) -> Linear | None:
    """The adapter's length that puts the closing quantity on the middle of its band."""
    band = wanted_band(sides)
    if band is None or band[0] not in found or not found[band[0]].lines:
        return None
    line = found[band[0]].lines[0]
    middle = (band[1][0] + band[1][1]) / 2
    rest = Linear(line.plate, 0.0, line.terms, line.constant - middle)
    return rest * (-1.0 / line.spacer)


def _take(
    sides: Sides, works: _Works, closing: Linear | None
) -> tuple[float | None, float | None, str]:
    """Thickness, length and why: fixed by the job, else the thinnest stock that works."""
    nominal = {key: one.value for key, one in sides.lengths.items()}
    fixed_plate, fixed_spacer = sides.value("choices.plate"), sides.value("choices.spacer")

    def length(plate: float) -> float | None:
        if fixed_spacer is not None:
            return fixed_spacer
        return None if closing is None else closing.at(plate=plate, spacer=0.0, values=nominal)

    if fixed_plate is not None:
        return fixed_plate, length(fixed_plate), "fixed by the job"
    plate, why = _thinnest(sides, works, {size: length(size) for size in thicknesses(sides)})
    return plate, length(plate), why


def _thinnest(
    sides: Sides, works: _Works, lengths: Mapping[float, float | None]
) -> tuple[float, str]:
    """The thinnest stock inside what works even if the readings are off; else inside what works."""
    makeable = {size: length for size, length in lengths.items() if _makeable(sides, length)}
    first = sides.request.units
    for corners, among, why in (
        (works.robust, makeable, "thinnest stock that works even if the readings are off"),
        (works.region, makeable, "thinnest stock that works with the readings as they stand"),
        (works.robust, lengths, "thinnest stock that works; the adapter comes out thin"),
        (works.region, lengths, "thinnest stock that works; the adapter comes out thin"),
    ):
        for size, length in among.items():
            span = lengths_at(corners, size)
            if span and (length is None or span[0] - 1e-9 <= length <= span[1] + 1e-9):
                passed = [s for s in lengths if s < size]
                note = f"; {both(passed[-1], first=first)} does not do" if passed else ""
                return size, why + note
    slack = {size: _slack(works, size, length) for size, length in lengths.items()}
    best = max(slack, key=lambda size: slack[size])
    return best, "no stock works; this one comes nearest"


def _makeable(sides: Sides, length: float | None) -> bool:
    if length is None or abs(length) < 1e-9:
        return True
    return length >= sides.rules["spacer-length.least"] and not cut_through(sides, length)


def _slack(works: _Works, plate: float, spacer: float | None) -> tuple[float, float]:
    """How near a plate comes: first by what it must be of itself, then by everything [mm]."""
    room = works.planes.reach(works.nominal) - works.planes.normals @ np.array(
        [plate, spacer or 0.0]
    )
    own = (works.planes.normals[:, 1] == 0) & (works.planes.normals[:, 0] != 0)
    return float(room[own].min(initial=0.0)), float(room.min())


def _spacer_within(sides: Sides, spacer: float | None) -> float | None:
    """How closely to hold the adapter's length: a twentieth of the band, 0.02 to 0.10 mm."""
    band = wanted_band(sides)
    if spacer is None or band is None:
        return None if spacer is None else 0.05
    return round(min(0.10, max(0.02, (band[1][1] - band[1][0]) / 20)), 2)


def _odds(
    sides: Sides,
    works: _Works,
    plate: float | None,
    spacer: float | None,
    closing: Linear | None,
    draws: int,
) -> Odds:
    needs_spacer = bool(np.any(works.planes.normals[:, 1]))
    chosen = None
    if plate is not None and (spacer is not None or not needs_spacer):
        chosen = (plate, spacer or 0.0)
    return odds(
        works.planes,
        works.found,
        works.lengths,
        chosen=chosen,
        closing=None if "choices.spacer" in sides.lengths else closing,
        best_within=sides.best_within,
        draws=draws,
    )
