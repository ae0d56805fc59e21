"""The opening of the plate: what turns inside it, and how wide it must be."""

from __future__ import annotations

import math
from collections.abc import Iterator

from kb.model.chain import Chain
from kb.model.lineup import Feature
from kb.model.record import Sides

REGISTERS = (
    "engine.drive.register.diameter",
    "gearbox.driven.register.diameter",
    "flexplate.register.diameter",
    "flywheel.register.diameter",
)
PASSES_THROUGH = (
    "gearbox.converter.hub.diameter",
    "gearbox.shaft.tip.diameter",
    "gearbox.shaft.spline.diameter",
)
ROUND_BORE = 10.0  # mm of adapter at the least round what passes it: common practice, no source
EDGE = 1.5  # hole diameters from centre to edge: common practice, no source


def turning_inside(sides: Sides, chain: Chain) -> dict[str, float]:
    """Outside diameter of every turning part that stands within the plate's thickness [mm].

    A part whose outside was not measured is in `unmeasured_inside` instead.
    """
    return {key: size for key, size in _inside(sides, chain).items() if size is not None}


def unmeasured_inside(sides: Sides, chain: Chain) -> tuple[str, ...]:
    """Keys of the turning parts within the plate whose outside was not measured."""
    return tuple(key for key, size in _inside(sides, chain).items() if size is None)


def turning_in_housing(sides: Sides, chain: Chain) -> dict[str, float | None]:
    """Outside of every turning part of ours that reaches in front of the engine's face [mm].

    The crank's own flange turns there already; ``None`` where an outside was not measured.
    """
    return {
        key: outside
        for key, low, _, outside in _spans(sides, chain)
        if key != "engine.drive.outside" and low is not None and low < -1e-9
    }


def _inside(sides: Sides, chain: Chain) -> dict[str, float | None]:
    plate = chain.plate or 0.0
    return {
        key: outside
        for key, low, high, outside in _spans(sides, chain)
        if low is not None and high is not None and low < plate - 1e-9 and high > 1e-9
    }


Span = tuple[str, float | None, float | None, float | None]


def _spans(sides: Sides, chain: Chain) -> Iterator[Span]:
    """Every turning part: key of its outside, from where to where it stands, its outside [mm]."""
    where, behind = chain.stations, (chain.plate or 0.0) + 1.0
    driving, driven = where.get("driving_face"), where.get("driven_face")
    contact, face = where.get("contact"), where.get("clutch_face")
    if driving is not None:
        # the crank comes from within the engine: all in front of its face is taken by it
        front = min(driving, 0.0) - 1.0
        yield "engine.drive.outside", front, driving, sides.value("engine.drive.outside")
    if driving is not None and driven is not None and driven > driving:
        yield "rotating adapter", driving, driven, adapter_outside(sides)
    if sides.request.flexplate is not None and driven is not None and contact is not None:
        front = min(driven, contact) - (sides.value("flexplate.thickness") or 0.0)
        yield "flexplate.outside", front, max(driven, contact), sides.value("flexplate.outside")
    if sides.kind == "converter":
        outside = sides.value("gearbox.converter.outside")
        yield "gearbox.converter.outside", contact, behind, outside
    if sides.kind == "flange":
        yield "gearbox.driven.outside", contact, behind, driven_outside(sides)
    if face is not None:
        fingers = face + (sides.value("clutch.fingers") or 0.0)
        yield "flywheel.outside", driven, face, sides.value("flywheel.outside")
        yield "clutch.outside", face, fingers, sides.value("clutch.outside")


def driven_outside(sides: Sides) -> float | None:
    """Outside of a rigid driven part; not measured, its spigot where that is wider than its holes [mm]."""
    stated = sides.value("gearbox.driven.outside")
    driven = sides.request.gearbox.driven if sides.request.gearbox else None
    if stated is not None or driven is None or driven.register is None or sides.driven is None:
        return stated
    size = driven.register.diameter.first.value
    holes = max(2 * math.hypot(one.x, one.y) for one in sides.driven.holes)
    return size if driven.register.form == "spigot" and size > holes else None


def adapter_outside(sides: Sides) -> float | None:
    """Outside of the rotating adapter: round its holes and registers, to the next millimetre."""
    reach = [
        2 * (math.hypot(one.x, one.y) + max(one.keepout / 2 + 3.0, EDGE * _screw(one)))
        for pattern in (sides.driving, sides.driven)
        if pattern
        for one in pattern.holes
    ]
    for key in REGISTERS:
        if (size := sides.value(key)) is not None:
            reach.append(size + 2 * 5.0)
    for key in PASSES_THROUGH:
        if (size := sides.value(key)) is not None:
            reach.append(size + 2 * ROUND_BORE)
    return float(math.ceil(max(reach))) if reach else None


def _screw(one: Feature) -> float:
    return one.screw.major if one.screw else one.keepout


def opening_needed(sides: Sides, chain: Chain) -> float | None:
    """Bore that clears everything turning within the plate, to the next millimetre.

    ``None`` when a part that turns there has no measured outside.
    """
    if unmeasured_inside(sides, chain):
        return None
    widest = max(turning_inside(sides, chain).values(), default=0.0)
    if sides.kind == "shaft":  # the shaft at least must pass
        widest = max(widest, sides.value("gearbox.shaft.spline.diameter") or 0.0)
    if not widest:
        return sides.value("engine.face.opening")
    return float(math.ceil(widest + 2 * sides.rules["opening-clears.radial"]))
