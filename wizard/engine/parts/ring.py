"""The rotating adapter as one solid ring: two registers, two circles, the bore between."""

from __future__ import annotations

import math

from kb.errors import NotTabulated
from kb.model.chain import Chain, Length
from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.parts import Counterbore, Fit, Joint, Part, PartHole, Pilot, Segment
from kb.model.record import Sides
from kb.model.unit import Register
from kb.standards.materials import Material
from wizard.engine.axial.needs import goes_over
from wizard.engine.faces import material_of
from wizard.engine.parts import fasteners
from wizard.engine.parts.fits import Tight, located, pressed
from wizard.engine.parts.opening import PASSES_THROUGH, REGISTERS, adapter_outside
from wizard.engine.parts.plate_holes import turned

SPIGOT = 6.0  # mm long where the depth it may enter is not measured: common practice, no source
CLEAR_OF_BOTTOM = 1.5  # mm between a spigot and the bottom of its bore: common practice, no source


def ring(
    sides: Sides, rotating: LineUp | None, chain: Chain | None, pilot: Pilot | None
) -> tuple[Part | None, tuple[Fit, ...], tuple[Joint, ...]]:
    """The ring, its located joints and its bolted joints; nothing when no length is left for one."""
    if chain is None or not chain.spacer or chain.spacer <= 0 or sides.driving is None:
        return None, (), ()
    outside = adapter_outside(sides)
    if outside is None:
        return None, (), ()
    length = chain.spacer
    fits, size = _over_spigot(sides) if goes_over(sides, length) else registers(sides)
    holes = _holes(sides, rotating, length)
    bore = size.get("bore") or _bore(sides, pilot)
    size |= {"thickness": length, "outside": outside}
    size["length"] = length + size.get("spigot_length", 0.0) + size.get("driven_spigot_length", 0.0)
    if bore is not None:
        size["bore"] = bore
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    part = Part(
        name="spacer ring", material=sides.chosen.spacer_material, size=size,
        mass_kg=_mass(size, holes, stuff.density_kg_m3), holes=holes, outline=_round(outside / 2),
        notes=_notes(sides, length),
    )  # fmt: skip
    return part, tuple(tight(sides, fit, size) for fit in fits), _joints(sides, rotating, chain)


def _round(radius: float) -> tuple[Segment, ...]:
    right, left = (radius, 0.0), (-radius, 0.0)
    return tuple(
        Segment(kind="arc", start=a, end=b, centre=(0.0, 0.0), radius=radius)
        for a, b in ((right, left), (left, right))
    )


def _notes(sides: Sides, length: float) -> tuple[str, ...]:
    notes = ["Turn both registers and both faces in one setting where the machine allows."]
    if goes_over(sides, length):
        return (*notes, "Goes right over the driver's spigot, which locates what is behind it.")
    if driven_register(sides)[2]:
        notes.append("The driven register repeats the engine's own: no other was measured.")
    return tuple(notes)


# ── registers ───────────────────────────────────────────────────────────────


def driven_register(sides: Sides) -> tuple[Register | None, Length | None, bool]:
    """Register of what is bolted behind the ring, its size, and whether it was taken over.

    A flywheel or flexplate without one of its own sat on the engine's spigot; ours repeats it.
    """
    request = sides.request
    parts = {
        "flexplate": request.flexplate,
        "flywheel": request.flywheel,
        "driven flange": request.gearbox.driven if request.gearbox else None,
    }
    keys = {"flexplate": "flexplate", "flywheel": "flywheel", "driven flange": "gearbox.driven"}
    part = parts.get(sides.driven_part)
    if part is not None and part.register is not None:
        return part.register, sides.lengths[f"{keys[sides.driven_part]}.register.diameter"], False
    drive = request.engine.drive if request.engine else None
    taken = sides.driven_part in ("flexplate", "flywheel")
    if (
        taken
        and drive is not None
        and drive.register is not None
        and drive.register.form == "spigot"
    ):
        return Register(form="bore"), sides.lengths["engine.drive.register.diameter"], True
    return None, None, False


def _over_spigot(sides: Sides) -> tuple[tuple[Fit, ...], dict[str, float]]:
    """A thin ring bored right through to go over the driver's spigot."""
    size = sides.lengths["engine.drive.register.diameter"]
    fit = located("spacer on crank", "shaft", size, duty=sides.chosen.fit)
    return ((fit,), {"bore": sum(fit.hole) / 2}) if fit is not None else ((), {})


def registers(sides: Sides) -> tuple[tuple[Fit, ...], dict[str, float]]:
    """Located joints at both ends of the rotating adapter, and the sizes of their registers [mm]."""
    fits: list[Fit] = []
    size: dict[str, float] = {}
    drive = sides.request.engine.drive if sides.request.engine else None
    if drive is not None and drive.register is not None:
        existing = "hole" if drive.register.form == "bore" else "shaft"
        where = "flywheel" if drive.kind == "flywheel" else "crank"
        joint = f"spacer in {where}" if existing == "hole" else f"spacer on {where}"
        fit = located(joint, existing, sides.lengths["engine.drive.register.diameter"],
                      duty=sides.chosen.fit)  # fmt: skip
        if fit is not None:
            fits.append(fit)
            size |= _register_size(
                sides, "", existing, fit, sides.value("engine.drive.register.depth")
            )
    register, diameter, taken = driven_register(sides)
    if register is not None and diameter is not None:
        # taken over: what sat on the engine's spigot fits the same spigot of ours
        existing = "hole" if register.form == "bore" else "shaft"
        fit = located(f"{sides.driven_part} on spacer", existing, diameter, duty=sides.chosen.fit)
        if fit is not None:
            fits.append(fit)
            depth = register.depth.first.value if register.depth else None
            depth = sides.value("engine.drive.register.depth") if taken else depth
            size |= _register_size(sides, "driven_", existing, fit, depth)
    return tuple(fits), size


def _register_size(
    sides: Sides, end: str, existing: str, fit: Fit, depth: float | None
) -> dict[str, float]:
    if existing == "hole":
        length = SPIGOT if depth is None else min(SPIGOT, depth - CLEAR_OF_BOTTOM)
        return {f"{end}spigot": sum(fit.shaft) / 2, f"{end}spigot_length": max(1.0, length)}
    return {f"{end}recess": sum(fit.hole) / 2, f"{end}recess_depth": (depth or SPIGOT) + 0.5}


def tight(sides: Sides, fit: Fit, size: dict[str, float]) -> Fit:
    """The fit with its press force; the other part is taken as solid steel where nothing is said."""
    own = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    other, steel = _stuff_behind(sides, fit), material_of("steel", key="drive")
    end = "" if fit.joint.startswith("spacer") else "driven_"
    length = size.get(f"{end}spigot_length", size.get(f"{end}recess_depth", size["thickness"]))
    if fit.existing == "hole":
        outside = sides.value("engine.drive.outside" if not end else _outside_key(sides))
        made = Tight(hub=other or steel, shaft=own, length=length, outside=outside,
                     bore=size.get("bore", 0.0))  # fmt: skip
    else:
        made = Tight(hub=own, shaft=other or steel, length=length, outside=size["outside"])
    return pressed(fit, made)


def _outside_key(sides: Sides) -> str:
    part = "gearbox.driven" if sides.driven_part == "driven flange" else sides.driven_part
    return f"{part}.outside"


def _stuff_behind(sides: Sides, fit: Fit) -> Material | None:
    """What the driver, or the flywheel on the ring, is made of; ``None`` where nobody said."""
    drive = sides.request.engine.drive if sides.request.engine else None
    wheel = sides.request.flywheel
    if fit.joint.startswith("spacer"):
        name, key = (drive.material if drive else ""), "engine.drive.material"
    else:
        name, key = (wheel.material if wheel else ""), "flywheel.material"
    return material_of(name, key=key) if name else None


# ── holes and joints ────────────────────────────────────────────────────────


def _holes(sides: Sides, rotating: LineUp | None, length: float) -> tuple[PartHole, ...]:
    assert sides.driving is not None
    if sides.through or rotating is None or sides.driven is None:
        kind = "through screw" if sides.through else "clearance"
        return tuple(_driver_hole(sides, one, kind, length) for one in sides.driving.holes)
    driven = turned(sides.driven, rotating.clocking)
    return (
        *(_driver_hole(sides, one, "clearance", length) for one in sides.driving.holes),
        *(_driven_hole(sides, one) for one in driven.holes),
    )


def _driver_hole(sides: Sides, one: Feature, kind: str, length: float) -> PartHole:
    if one.kind != "tapped" or one.screw is None:
        return _driven_hole(sides, one)
    return PartHole(
        id=f"D{one.id}", x=one.x, y=one.y, kind=kind, side="gearbox", purpose="driver",
        counterbore=None if sides.through else _seat(sides, one, length),
        diameter=fasteners.clear_hole(one, sides.chosen.layout),
    )  # fmt: skip


def _seat(sides: Sides, one: Feature, length: float) -> Counterbore | None:
    assert one.screw is not None
    try:
        shallow = fasteners.counterbore(one.screw)
    except NotTabulated:
        return None
    found = _sunk(sides, one, length)
    return shallow if found is None else Counterbore(diameter=shallow.diameter, depth=found.seat)


def _sunk(sides: Sides, one: Feature, length: float) -> fasteners.Sunk | None:
    """The socket screw sunk in the ring at one tapped hole of the driver."""
    assert one.screw is not None
    try:
        return fasteners.sunk(
            one.screw, thickness=length, floor=sides.rules["head-sunk.steel_fail"] * one.screw.major,
            wanted=sides.rules["critical-thread.share"] * one.screw.major, room=_room(sides, one),
        )  # fmt: skip
    except NotTabulated:
        return None


def _room(sides: Sides, one: Feature) -> float | None:
    """How deep a screw may reach into the driver without bottoming [mm]."""
    if one.depth is None or one.screw is None:
        return None
    return one.depth - sides.rules["screw-length.bottom_pitches"] * fasteners.pitch(one.screw)


def _driven_hole(sides: Sides, one: Feature) -> PartHole:
    if one.screw is not None and one.kind == "clear":
        return PartHole(
            id=f"F{one.id}", x=one.x, y=one.y, kind="tapped", thread=one.screw.designation,
            diameter=fasteners.tap_drill(one.screw), side="gearbox", purpose="driven",
        )  # fmt: skip
    size = one.diameter or one.keepout
    if one.screw is not None:
        size = fasteners.clear_hole(one, sides.chosen.layout)
    return PartHole(
        id=f"F{one.id}", x=one.x, y=one.y, kind="clearance", diameter=size, side="gearbox",
        purpose="driven",
    )  # fmt: skip


def _joints(sides: Sides, rotating: LineUp | None, chain: Chain) -> tuple[Joint, ...]:
    joints = []
    for pattern, name in (
        (sides.driving, "spacer to engine"),
        (sides.driven, f"{sides.driven_part} to spacer"),
    ):
        if pattern is None or (name.endswith("spacer") and sides.through):
            continue
        ones = [one for one in pattern.holes if one.screw]
        for thread in dict.fromkeys(one.screw.designation for one in ones if one.screw):
            same = [one for one in ones if one.screw and one.screw.designation == thread]
            joints.append(_joint(sides, chain, name, pattern, same))
    return tuple(joints)


def _joint(sides: Sides, chain: Chain, name: str, pattern: Pattern, ones: list[Feature]) -> Joint:
    one = ones[0]
    assert one.screw is not None
    length, engagement = None, None
    if pattern is sides.driving and one.kind == "tapped":
        length, engagement = _bought(sides, chain, ones)
    return fasteners.joint(
        name, one.screw, len(ones), grade=one.grade or sides.chosen.screw_grade, length=length,
        friction=sides.chosen.thread_friction, engagement=engagement,
        head="hexagon" if sides.through or pattern is sides.driven else "socket",
    )  # fmt: skip


def _bought(sides: Sides, chain: Chain, ones: list[Feature]) -> tuple[float | None, float | None]:
    """Length of screw to buy and its engagement in the driver [mm], where they can be known."""
    assert chain.spacer is not None
    if not sides.through:
        found = [_sunk(sides, one, chain.spacer) for one in ones]
        kept = [one for one in found if one is not None]
        if len(kept) < len(found):
            return None, None
        return kept[0].length, min(one.engagement for one in kept)
    clamped, screw = sides.value(clamped_key(sides)), ones[0].screw
    if clamped is None or screw is None:
        return None, None
    rooms = [room for one in ones if (room := _room(sides, one)) is not None]
    grip = chain.spacer + clamped
    length = fasteners.bought_length(
        screw.system, grip=grip, room=min(rooms) if rooms else None,
        engagement=sides.rules["critical-thread.share"] * screw.major,
    )  # fmt: skip
    return length, None if length is None else length - grip


def clamped_key(sides: Sides) -> str:
    """Key of the thickness a screw through both circles clamps besides the ring."""
    part = "gearbox.driven" if sides.driven_part == "driven flange" else sides.driven_part
    return f"{part}.thickness"


# ── bore and mass ───────────────────────────────────────────────────────────


def _bore(sides: Sides, pilot: Pilot | None) -> float | None:
    """The ring's bore: the pilot's own when the ring carries it; else what must pass, or lightness."""
    if pilot is not None and pilot.carried_by == "spacer" and pilot.bore is not None:
        return pilot_bore(pilot)
    passing = [
        size
        for key in PASSES_THROUGH
        if (size := sides.value(key)) is not None
    ]  # fmt: skip
    if passing:
        return float(math.ceil(max(passing) + 2 * PASSING))
    return _light_bore(sides)


def pilot_bore(pilot: Pilot) -> float | None:
    """Bore that carries a pilot: its own, or the one its bush is pressed into [mm]."""
    if pilot.bore is None:
        return None
    middle = sum(pilot.bore) / 2
    return bush_outside(middle) if pilot.style == "bush" else middle


PASSING = 2.0  # mm all round what passes through without touching: common practice, no source
LAND = 8.0  # mm of ring left inside its screws and registers: common practice, no source


def _light_bore(sides: Sides) -> float | None:
    """A ring that carries nothing in its middle is bored out, short of screws and registers."""
    inner = [
        2 * math.hypot(one.x, one.y) - one.keepout
        for pattern in (sides.driving, sides.driven)
        if pattern
        for one in pattern.holes
    ]
    for key in REGISTERS:
        if (size := sides.value(key)) is not None:
            inner.append(size)
    bore = math.floor(min(inner) - 2 * LAND) if inner else 0
    return float(bore) if bore >= 2 * LAND else None


def bush_outside(bore: float) -> float:
    """Outside of a pilot bush: a wall of at least 2.5 mm, to the next whole millimetre."""
    return float(math.ceil(bore + 2 * max(2.5, 0.15 * bore)))


def _mass(size: dict[str, float], holes: tuple[PartHole, ...], density_kg_m3: float) -> float:
    def disc(diameter: float, depth: float) -> float:
        return math.pi / 4 * diameter**2 * depth

    bore = size.get("bore", 0.0)
    volume = disc(size["outside"], size["thickness"]) - disc(bore, size["thickness"])
    for end in ("", "driven_"):
        spigot, recess = size.get(f"{end}spigot", 0.0), size.get(f"{end}recess", 0.0)
        if spigot > bore:
            length = size[f"{end}spigot_length"]
            volume += disc(spigot, length) - disc(bore, length)
        if recess > bore:
            depth = min(size[f"{end}recess_depth"], size["thickness"])
            volume -= disc(recess, depth) - disc(bore, depth)
    for hole in holes:
        volume -= disc(hole.diameter, size["thickness"])
        if hole.counterbore:
            seat = hole.counterbore
            volume -= disc(seat.diameter, seat.depth) - disc(hole.diameter, seat.depth)
    return round(max(volume, 0.0) * density_kg_m3 * 1e-9, 3)
