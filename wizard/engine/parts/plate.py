"""The adapter plate: outline, opening, registers, and a hole for every screw and dowel."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from kb.errors import NotTabulated
from kb.model.chain import Chain
from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.parts import Fit, Joint, Part, PartHole, Segment
from kb.model.record import Sides
from kb.model.unit import Face
from kb.standards.dowels import pin
from kb.standards.fits import zone
from wizard.engine.axial.needs import RECESS_RELIEF
from wizard.engine.faces import material_of
from wizard.engine.parts import fasteners
from wizard.engine.parts.fits import located
from wizard.engine.parts.outline import area, bounding_box, from_points, hull_of_discs

EDGE = 1.5  # hole diameters from centre to edge: common practice, no source
RIM = 8.0  # mm of plate left round the opening where nothing else is: common practice, no source


def turned(pattern: Pattern, turn: float) -> Pattern:
    """A pattern turned about the axis, anticlockwise [°]."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def move(one: Feature) -> Feature:
        from dataclasses import replace

        return replace(one, x=one.x * cos - one.y * sin, y=one.x * sin + one.y * cos)

    return Pattern(
        side=pattern.side, holes=tuple(map(move, pattern.holes)),
        dowels=tuple(map(move, pattern.dowels)),
    )  # fmt: skip


def placed(sides: Sides, fixed: LineUp | None) -> tuple[Feature, ...]:
    """Every hole and dowel of both faces where the plate meets it."""
    turn = fixed.clocking if fixed else 0.0
    found: list[Feature] = []
    if sides.engine_face:
        found += [*sides.engine_face.holes, *sides.engine_face.dowels]
    if sides.gearbox_face:
        upright = turned(sides.gearbox_face, turn)
        found += [*upright.holes, *upright.dowels]
    return tuple(found)


def plate(
    sides: Sides, fixed: LineUp | None, chain: Chain | None
) -> tuple[Part | None, tuple[Fit, ...], tuple[Joint, ...]]:
    """The plate, how it is located, and its two bolted joints."""
    if sides.engine_face is None and sides.gearbox_face is None:
        return None, (), ()
    features = placed(sides, fixed)
    if chain is None or chain.plate is None:
        return None, (), ()
    holes = _holes(sides, features)
    fits, registers = _registers(sides)
    opening = opening_needed(sides, chain)
    outline = _outline(sides, features, holes, opening)
    stuff = material_of(sides.chosen.plate_material, key="choices.plate_material")
    left, bottom, right, top = bounding_box(outline)
    size = {
        "thickness": chain.plate, "length": right - left, "height": top - bottom,
        "outside": max(right - left, top - bottom), **registers,
    }  # fmt: skip
    if opening is not None:
        size["bore"] = opening
    part = Part(
        name="adapter plate", material=sides.chosen.plate_material, size=size, outline=outline,
        holes=holes, mass_kg=_mass(outline, holes, opening, chain.plate, stuff.density_kg_m3),
        notes=("Frame: seen from behind, gearbox side up, y up, origin on the crank axis.",),
    )  # fmt: skip
    return part, fits, _joints(sides, chain, holes)


# ── holes ───────────────────────────────────────────────────────────────────


def _holes(sides: Sides, features: Sequence[Feature]) -> tuple[PartHole, ...]:
    shared = {id for pair in sides.chosen.share for id in (f"gearbox {pair[1]}",)}
    made = [_hole(sides, one) for one in features if f"{one.side} {one.id}" not in shared]
    return tuple(sorted(made, key=lambda hole: (hole.purpose != "engine", hole.purpose, hole.id)))


def _hole(sides: Sides, one: Feature) -> PartHole:
    letter = "E" if one.side == "engine" else "G"
    if one.kind == "dowel":
        return _dowel_hole(one, f"{letter}-{one.id}")
    if one.kind == "tapped":
        return _screw_hole(sides, one, f"{letter}{one.id}")
    return _taken_hole(sides, one, f"{letter}{one.id}")


def _screw_hole(sides: Sides, one: Feature, id: str) -> PartHole:
    """Clear hole with a sunk head, worked from the far side of the face that is tapped."""
    assert one.screw is not None
    far = "gearbox" if one.side == "engine" else "engine"
    shared = any(one.id == a for a, _ in sides.chosen.share) and one.side == "engine"
    try:
        seat = None if shared else fasteners.counterbore(one.screw)
    except NotTabulated:
        seat = None
    return PartHole(
        id=id, x=one.x, y=one.y, kind="through screw" if shared else "clearance",
        diameter=fasteners.clearance(one.screw, sides.chosen.layout), counterbore=seat,
        side=far, purpose=one.side,
    )  # fmt: skip


def _taken_hole(sides: Sides, one: Feature, id: str) -> PartHole:
    """Where the other part's clear hole is: tapped in the plate, or clear for a through bolt."""
    tapped = one.side == "engine" or sides.chosen.plate_joint == "tapped"
    if one.screw is None or not tapped:
        size = (
            one.diameter
            if one.screw is None
            else fasteners.clearance(one.screw, sides.chosen.layout)
        )
        return PartHole(
            id=id, x=one.x, y=one.y, kind="clearance", diameter=size or one.keepout,
            side=one.side, purpose=one.side,
        )  # fmt: skip
    return PartHole(
        id=id, x=one.x, y=one.y, kind="tapped", diameter=fasteners.tap_drill(one.screw),
        thread=one.screw.designation, side=one.side, purpose=one.side,
    )  # fmt: skip


def _dowel_hole(one: Feature, id: str) -> PartHole:
    """Hole for a dowel: the pin table's hole where the size is one of its own, else H7."""
    size = one.diameter or one.keepout
    try:
        found = pin(size, "inch" if _inch_size(size) else "metric")
        limits = found.hole or zone("H7", size).limits
    except NotTabulated:
        limits = zone("H7", size).limits
    return PartHole(
        id=id, x=one.x, y=one.y, kind="dowel", diameter=size, side=one.side, purpose="dowel",
        limits=limits,
    )  # fmt: skip


def _inch_size(size: float) -> bool:
    return abs(size / 25.4 * 32 - round(size / 25.4 * 32)) < 1e-3


# ── registers ───────────────────────────────────────────────────────────────


def _registers(sides: Sides) -> tuple[tuple[Fit, ...], dict[str, float]]:
    """Registers of the plate where no two dowels already locate that joint."""
    fits: list[Fit] = []
    size: dict[str, float] = {}
    for side, face, pattern in (
        ("engine", sides.request.engine.face if sides.request.engine else None, sides.engine_face),
        (
            "gearbox",
            sides.request.gearbox.face if sides.request.gearbox else None,
            sides.gearbox_face,
        ),
    ):
        if face is None or pattern is None or len(pattern.dowels) >= 2 or face.register is None:
            continue
        key = f"{side}.face.register.diameter"
        existing = "hole" if face.register.form == "bore" else "shaft"
        joint = "plate in the engine's housing" if side == "engine" else "gearbox in the plate"
        fit = located(joint, existing, sides.lengths[key], duty=sides.chosen.fit)
        if fit is None:
            continue
        fits.append(fit)
        size |= _register_size(sides, side, face, fit)
    return tuple(fits), size


def _register_size(sides: Sides, side: str, face: Face, fit: Fit) -> dict[str, float]:
    assert face.register is not None
    depth = sides.value(f"{side}.face.register.depth")
    if face.register.form == "bore":  # ours is a spigot, short of the bottom
        names = (
            ("spigot", "spigot_length")
            if side == "engine"
            else ("gearbox_spigot", "gearbox_spigot_length")
        )
        length = 4.0 if depth is None else max(1.0, depth - 1.5)
        return {names[0]: sum(fit.shaft) / 2, names[1]: length}
    names = ("recess", "recess_depth") if side == "engine" else ("register", "register_depth")
    return {names[0]: sum(fit.hole) / 2, names[1]: (depth or 4.0) + RECESS_RELIEF}


# ── opening and outline ─────────────────────────────────────────────────────


def turning_inside(sides: Sides, chain: Chain) -> dict[str, float]:
    """Outside diameter of every turning part that stands within the plate's thickness [mm]."""
    where = chain.stations
    plate = chain.plate or 0.0
    spans: list[tuple[str, float | None, float | None, float | None]] = []
    driving, driven = where.get("driving_face"), where.get("driven_face")
    if driving is not None:
        thick = sides.value("engine.drive.thickness") or 0.0
        spans.append(
            ("engine.drive.outside", driving - thick, driving, sides.value("engine.drive.outside"))
        )
    if driving is not None and driven is not None and driven > driving:
        spans.append(("spacer", driving, driven, adapter_outside(sides)))
    contact = where.get("contact")
    if sides.request.flexplate is not None and driven is not None and contact is not None:
        low = min(driven, contact) - (sides.value("flexplate.thickness") or 0.0)
        spans.append(
            ("flexplate.outside", low, max(driven, contact), sides.value("flexplate.outside"))
        )
    if sides.kind == "converter" and contact is not None:
        spans.append(
            (
                "gearbox.converter.outside",
                contact,
                plate + 1.0,
                sides.value("gearbox.converter.outside"),
            )
        )
    if sides.kind == "flange" and contact is not None:
        spans.append(("gearbox.driven.outside", contact, plate + 1.0, driven_outside(sides)))
    face = where.get("clutch_face")
    if face is not None and driven is not None:
        spans.append(("flywheel.outside", driven, face, sides.value("flywheel.outside")))
        spans.append(
            (
                "clutch.outside",
                face,
                face + (sides.value("clutch.fingers") or 0.0),
                sides.value("clutch.outside"),
            )
        )
    inside = {}
    for key, low, high, outside in spans:
        if low is not None and high is not None and low < plate - 1e-9 and high > 1e-9:
            inside[key] = math.nan if outside is None else outside
    return inside


def driven_outside(sides: Sides) -> float | None:
    """Outside of a rigid driven part; its spigot where no outside was measured [mm]."""
    stated = sides.value("gearbox.driven.outside")
    driven = sides.request.gearbox.driven if sides.request.gearbox else None
    if stated is None and driven is not None and driven.register is not None:
        return sides.value("gearbox.driven.register.diameter")
    return stated


def adapter_outside(sides: Sides) -> float | None:
    """Outside of the rotating adapter: round its holes and registers, to the next millimetre."""
    reach = [
        2 * (math.hypot(one.x, one.y) + max(one.keepout / 2 + 3.0, EDGE * _screw(one)))
        for pattern in (sides.driving, sides.driven)
        if pattern
        for one in pattern.holes
    ]
    for key in ("engine.drive.register.diameter", "gearbox.driven.register.diameter",
                "flexplate.register.diameter", "flywheel.register.diameter"):  # fmt: skip
        if (size := sides.value(key)) is not None:
            reach.append(size + 2 * 5.0)
    return float(math.ceil(max(reach))) if reach else None


def _screw(one: Feature) -> float:
    return one.screw.major if one.screw else one.keepout


def opening_needed(sides: Sides, chain: Chain) -> float | None:
    """Bore that clears everything turning within the plate, to the next millimetre.

    ``None`` when a part that turns there has no measured outside.
    """
    inside = turning_inside(sides, chain)
    if any(math.isnan(size) for size in inside.values()):
        return None
    widest = max(inside.values(), default=0.0)
    if sides.kind == "shaft":  # the shaft at least must pass
        widest = max(widest, sides.value("gearbox.shaft.spline.diameter") or 0.0)
    if not widest:
        return sides.value("engine.face.opening")
    return float(math.ceil(widest + 2 * sides.rules["opening-clears.radial"]))


def _outline(
    sides: Sides, features: Sequence[Feature], holes: Sequence[PartHole], opening: float | None
) -> tuple[Segment, ...]:
    """Hull of a disc round every hole; or the outline measured on the engine's face."""
    face = sides.request.engine.face if sides.request.engine else None
    if face is not None and face.outline:
        origin = face.origin
        dx, dy = (origin.x.value, origin.y.value) if origin else (0.0, 0.0)
        return from_points([(p.x.value - dx, p.y.value - dy) for p in face.outline])
    centres = [(one.x, one.y) for one in holes]
    radii = [max(EDGE * _bored(one), _seat(one) / 2 + 3.0) for one in holes]
    if opening is not None:
        centres.append((0.0, 0.0))
        radii.append(opening / 2 + RIM)
    return hull_of_discs(np.array(centres), np.array(radii))


def _bored(hole: PartHole) -> float:
    return hole.diameter


def _seat(hole: PartHole) -> float:
    return hole.counterbore.diameter if hole.counterbore else hole.diameter


def _mass(
    outline: tuple[Segment, ...], holes: Sequence[PartHole], opening: float | None,
    thickness: float, density_kg_m3: float,
) -> float:  # fmt: skip
    face = area(outline) - math.pi / 4 * ((opening or 0.0) ** 2 + sum(h.diameter**2 for h in holes))
    seats = sum(
        math.pi
        / 4
        * (h.counterbore.diameter**2 - h.diameter**2)
        * min(h.counterbore.depth, thickness)
        for h in holes
        if h.counterbore
    )
    return round((face * thickness - seats) * density_kg_m3 * 1e-9, 3)


# ── joints ──────────────────────────────────────────────────────────────────


def _joints(sides: Sides, chain: Chain, holes: Sequence[PartHole]) -> tuple[Joint, ...]:
    joints = []
    for side, pattern in (("engine", sides.engine_face), ("gearbox", sides.gearbox_face)):
        for kind in ("tapped", "clear"):
            ones = [
                one for one in (pattern.holes if pattern else ()) if one.kind == kind and one.screw
            ]
            for thread in dict.fromkeys(one.screw.designation for one in ones if one.screw):
                same = [one for one in ones if one.screw and one.screw.designation == thread]
                joints.append(_joint(sides, chain, side, kind, same))
    return tuple(joints)


def _joint(sides: Sides, chain: Chain, side: str, kind: str, ones: Sequence[Feature]) -> Joint:
    screw = ones[0].screw
    assert screw is not None and chain.plate is not None
    grade = ones[0].grade or sides.chosen.screw_grade
    common = {"grade": grade, "friction": sides.chosen.thread_friction}
    if kind == "clear":  # the other casting's flange is under the head: its thickness is not asked
        where = "gearbox to plate" if side == "gearbox" else "plate from the engine's side"
        return fasteners.joint(
            where, screw, len(ones), length=None, head="hexagon", engagement=chain.plate, **common
        )  # type: ignore[arg-type]
    name = "plate to engine" if side == "engine" else "plate to gearbox"
    family = "iron" if "iron" in _casting(sides, side) else "aluminium"
    wanted = sides.rules[f"thread-engagement.{family}"] * screw.major
    depths = [one.depth for one in ones if one.depth is not None]
    pitch = screw.pitch or fasteners.sizes(screw).pitch
    room = min(depths) - sides.rules["screw-length.bottom_pitches"] * pitch if depths else None
    try:
        grip = chain.plate - fasteners.counterbore(screw).depth
    except NotTabulated:
        return fasteners.joint(name, screw, len(ones), length=None, head="socket", **common)  # type: ignore[arg-type]
    length = fasteners.bought_length(screw.system, grip=grip, engagement=wanted, room=room)
    return fasteners.joint(
        name, screw, len(ones), length=length, head="socket",
        engagement=None if length is None else length - grip, **common,  # type: ignore[arg-type]
    )  # fmt: skip


def _casting(sides: Sides, side: str) -> str:
    unit = sides.request.engine if side == "engine" else sides.request.gearbox
    return unit.face.material.lower() if unit and unit.face else ""
