"""The spindle of a rotating adapter on posts: it carries both registers and the pilot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.chain import Chain
from kb.model.lineup import Feature
from kb.model.parts import Counterbore, Fit, Part, PartHole, Pilot
from kb.model.record import Sides
from kb.quantity import Thread, read_thread
from wizard.engine.faces import material_of
from wizard.engine.parts import fasteners
from wizard.engine.parts.fixing import COUNT, clear_turn, ring_of
from wizard.engine.parts.outline import hull_of_discs
from wizard.engine.parts.ring import pilot_bore, registers

FLANGE = 10.0  # mm, least thickness of the spindle's flange: common practice, no source
LEAST = 30.0  # mm, least waist of a spindle: common practice, no source
WALL = 6.0  # mm round a recess or a pilot's bush: common practice, no source


def sized(sides: Sides, pilot: Pilot | None) -> tuple[tuple[Fit, ...], dict[str, float]]:
    """The registers of disc and spindle with their fits, the pilot's bore and the waist [mm].

    Raises:
        OutOfScope: what the spindle must carry leaves no room for the heads of the driver's screws.
    """
    fits, size = registers(sides)
    bore = (pilot_bore(pilot) or 0.0) if pilot and pilot.carried_by == "spacer" else 0.0
    if bore:
        size["bore"] = bore
    carried = size.get("driven_spigot", 0.0)
    least = max(carried, size.get("driven_recess", 0.0) + 2 * WALL, bore + 2 * WALL)
    wished = max(1.5 * bore, size.get("spigot", 0.0), LEAST, least)
    room = _between_screws(sides)
    if room is not None and least > room:
        raise OutOfScope(
            "choices.rotating_style", "posts", f"spindles up to {room:.1f} mm thick",
            f"{least:.1f} mm would cover the heads of the driver's screws",
        )  # fmt: skip
    size["waist"] = float(math.ceil(wished)) if room is None else min(math.ceil(wished), room)
    return fits, size


def _between_screws(sides: Sides) -> float | None:
    """Diameter free between the heads of the driver's screws [mm]; ``None`` without screws."""
    holes = [one for one in sides.driving.holes if one.screw] if sides.driving else []
    if not holes:
        return None
    return 2 * min(math.hypot(one.x, one.y) - one.keepout / 2 for one in holes)


def flange_outside(sides: Sides) -> float:
    """Outside of the spindle's flange: over the driver's screws, which hold it [mm]."""
    assert sides.driving is not None
    reach = max(math.hypot(one.x, one.y) + one.keepout / 2 for one in sides.driving.holes)
    return float(math.ceil(2 * (reach + LAND)))


LAND = 3.0  # mm of flange left outside the heads of its screws: common practice, no source


def spindle(
    sides: Sides, chain: Chain, *, disc: float, sizes: dict[str, float], holes: tuple[PartHole, ...]
) -> Part:
    """The spindle: through the disc into the driver's register, and back to the driven end.

    Args:
        disc: Thickness of the carrier disc it goes through [mm].
        sizes: As `sized`. holes: Those of the driver's screws, which hold it with the disc.
    """
    assert chain.spacer is not None
    asked = sides.value("choices.spindle_length")
    body = (asked or chain.spacer) - disc
    flange = flange_thickness(sides, chain, disc=disc)
    nose = disc + sizes["spigot_length"] if "spigot" in sizes else 0.0
    ends = {key: sizes[key] for key in sizes if key.startswith("driven_")}
    size = {
        "thickness": body, "outside": flange_outside(sides), "flange": flange,
        "length": nose + body + ends.get("driven_spigot_length", 0.0), "waist": sizes["waist"],
        **ends,
    }  # fmt: skip
    if "spigot" in sizes:
        size |= {"spigot": sizes["spigot"], "spigot_length": nose}
    if "bore" in sizes:
        size["bore"] = sizes["bore"]
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    return Part(
        name="spindle", material=sides.chosen.spacer_material, size=size,
        mass_kg=round(_volume(size, holes) * stuff.density_kg_m3 * 1e-9, 3), holes=holes,
        outline=hull_of_discs([(0.0, 0.0)], [size["outside"] / 2]),
        notes=("Turn register, face and pilot bore in one chucking: turned round in a three-jaw "
               "chuck they come out of true.", "Held with the disc by the driver's own screws."
               + (" Its own screws hold both together off the engine." if own_screws(sides) else "")),
    )  # fmt: skip


def flange_thickness(sides: Sides, chain: Chain, *, disc: float) -> float:
    """Thickness of the spindle's flange [mm]."""
    assert chain.spacer is not None
    body = (sides.value("choices.spindle_length") or chain.spacer) - disc
    return min(max(FLANGE, disc), body)


def sunk_in(sides: Sides, screw: Thread, flange: float) -> Counterbore | None:
    """Seat for a socket head in the flange; ``None`` where it is too thin or the head not tabled."""
    try:
        seat = fasteners.counterbore(screw)
    except NotTabulated:
        return None
    floor = sides.rules["head-sunk.steel_fail"] * screw.major
    return seat if flange - seat.depth >= floor else None


# ── screws of its own ───────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class OwnScrews:
    """Screws that hold the spindle to its disc off the engine: their circle's diameter [mm]."""

    count: int
    circle: float
    thread: Thread


def own_screws(sides: Sides) -> OwnScrews | None:
    """The spindle's own screws as asked for, what is left open filled in; ``None`` if not asked."""
    asked = sides.request.choices.spindle_screws
    if asked is None:
        return None
    assert sides.driving is not None
    middle = [2 * math.hypot(one.x, one.y) for one in sides.driving.holes]
    return OwnScrews(
        count=asked.count or COUNT,
        circle=sides.value("choices.spindle_screws.circle") or sum(middle) / len(middle),
        thread=asked.thread or read_thread(OWN[sides.request.units], key="choices.spindle_screws"),
    )


OWN = {"in": "1/4-20", "mm": "M6"}  # common practice, no source


def own_holes(
    sides: Sides, driver: Sequence[Feature], *, flange: float, waist: float
) -> tuple[PartHole, ...]:
    """Holes of the spindle's own screws in its flange, turned clear of the driver's.

    Raises:
        InputError: the circle does not lie on the flange, or no turn of it is clear.
    """
    asked = own_screws(sides)
    if asked is None:
        return ()
    seat, radius = sunk_in(sides, asked.thread, flange), asked.circle / 2
    clear = fasteners.clearance(asked.thread, sides.chosen.layout)
    across = seat.diameter if seat else clear
    text, field = f"{asked.circle:g} mm", "choices.spindle_screws.circle"
    least, most = waist / 2 + across / 2, flange_outside(sides) / 2 - across / 2
    if not least <= radius <= most:
        accepted = f"the flange takes circles from {2 * least:.1f} to {2 * most:.1f} mm"
        raise InputError(field, text, accepted)
    turn, wall = clear_turn(driver, count=asked.count, radius=radius, across=across)
    if wall < LAND:
        raise InputError(field, text, f"no turn leaves {LAND:g} mm beside the driver's screws")
    return tuple(
        PartHole(id=f"S{number + 1}", x=x, y=y, kind="clearance", diameter=clear, side="gearbox",
                 counterbore=seat, thread=asked.thread.designation, purpose="fixing")
        for number, (x, y) in enumerate(ring_of(asked.count, radius=radius, start=turn))
    )  # fmt: skip


def tapped_for(hole: PartHole) -> PartHole:
    """The hole of the disc that takes one of the spindle's own screws."""
    drill = fasteners.tap_drill(read_thread(hole.thread, key="choices.spindle_screws.thread"))
    return replace(hole, kind="tapped", diameter=drill, counterbore=None)


def _volume(size: dict[str, float], holes: tuple[PartHole, ...]) -> float:
    """Metal of the spindle, bored right through [mm³]."""
    pieces = [
        (size["outside"], size["flange"]), (size["waist"], size["thickness"] - size["flange"]),
        (size.get("spigot", 0.0), size.get("spigot_length", 0.0)),
        (size.get("driven_spigot", 0.0), size.get("driven_spigot_length", 0.0)),
        (size.get("driven_recess", 0.0), -size.get("driven_recess_depth", 0.0)),
    ]  # fmt: skip
    bore = size.get("bore", 0.0)
    metal = sum((across**2 - bore**2) * length for across, length in pieces if across > bore)
    drilled = sum(hole.diameter**2 for hole in holes) * size["flange"]
    drilled += sum(
        (hole.counterbore.diameter**2 - hole.diameter**2) * hole.counterbore.depth
        for hole in holes
        if hole.counterbore
    )
    return math.pi / 4 * (metal - drilled)
