"""The adapter plate: outline, opening, registers, and a hole for every screw and dowel."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from kb.errors import NotTabulated
from kb.model.chain import Chain
from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.parts import Counterbore, Fit, Joint, Part, PartHole, Segment
from kb.model.record import Sides
from kb.model.unit import Face
from kb.standards.dowels import pin
from kb.standards.fits import zone
from wizard.engine.axial.needs import RECESS_RELIEF, recess_depth, stuff
from wizard.engine.faces import material_of
from wizard.engine.parts import fasteners
from wizard.engine.parts.fits import located
from wizard.engine.parts.opening import EDGE, opening_needed
from wizard.engine.parts.outline import area, bounding_box, from_points, hull_of_discs

RIM = 8.0  # mm of plate left round the opening where nothing else is: common practice, no source


def turned(pattern: Pattern, turn: float) -> Pattern:
    """A pattern turned about the axis, anticlockwise [°]."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def move(one: Feature) -> Feature:
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
    holes = _holes(sides, features, chain.plate)
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
        notes=_notes(sides),
    )  # fmt: skip
    return part, fits, _joints(sides, chain.plate)


def _notes(sides: Sides) -> tuple[str, ...]:
    notes = ["Seen from behind, gearbox side up; y up; origin on the crank axis."]
    notes += [
        f"Depth of the {side}'s register was not measured: ours is kept to {SHALLOW:g} mm."
        for side in ("engine", "gearbox")
        if f"{side}.face.register.diameter" in sides.lengths
        and f"{side}.face.register.depth" not in sides.lengths
    ]
    return tuple(notes)


SHALLOW = (
    4.0  # mm of register where the other part's depth is not known: common practice, no source
)


# ── holes ───────────────────────────────────────────────────────────────────


def _holes(sides: Sides, features: Sequence[Feature], thickness: float) -> tuple[PartHole, ...]:
    merged = {hole for _, hole in sides.chosen.share}
    made = [
        _hole(sides, one, thickness)
        for one in features
        if not (one.side == "gearbox" and one.kind != "dowel" and one.id in merged)
    ]
    return tuple(sorted(made, key=lambda hole: (hole.purpose != "engine", hole.purpose, hole.id)))


def _hole(sides: Sides, one: Feature, thickness: float) -> PartHole:
    letter = "E" if one.side == "engine" else "G"
    if one.kind == "dowel":
        return _dowel_hole(one, f"{letter}-{one.id}")
    if one.kind == "tapped":
        return _screw_hole(sides, one, f"{letter}{one.id}", thickness)
    return _taken_hole(sides, one, f"{letter}{one.id}")


def _screw_hole(sides: Sides, one: Feature, id: str, thickness: float) -> PartHole:
    """Clear hole with a sunk head, worked from the far side of the face that is tapped."""
    assert one.screw is not None
    shared = one.side == "engine" and any(one.id == hole for hole, _ in sides.chosen.share)
    return PartHole(
        id=id, x=one.x, y=one.y, kind="through screw" if shared else "clearance",
        diameter=fasteners.clearance(one.screw, sides.chosen.layout),
        counterbore=None if shared else _seat_of(sides, one, thickness),
        side="gearbox" if one.side == "engine" else "engine", purpose=one.side,
    )  # fmt: skip


def _seat_of(sides: Sides, one: Feature, thickness: float) -> Counterbore | None:
    assert one.screw is not None
    try:
        shallow = fasteners.counterbore(one.screw)
    except NotTabulated:
        return None
    found = sunk_screw(sides, one, thickness)
    return shallow if found is None else Counterbore(diameter=shallow.diameter, depth=found.seat)


def sunk_screw(sides: Sides, one: Feature, thickness: float) -> fasteners.Sunk | None:
    """The socket screw that holds the plate at one tapped hole, or ``None`` when none does."""
    assert one.screw is not None
    family = stuff(material_of(sides.chosen.plate_material, key="choices.plate_material").family)
    pitch = fasteners.pitch(one.screw)
    room = None
    if one.depth is not None:
        room = one.depth - sides.rules["screw-length.bottom_pitches"] * pitch
    try:
        return fasteners.sunk(
            one.screw, thickness=thickness - recess_depth(sides, one),
            floor=sides.rules[f"head-sunk.{family}_fail"] * one.screw.major,
            wanted=wanted_engagement(sides, one), room=room,
        )  # fmt: skip
    except NotTabulated:
        return None


def wanted_engagement(sides: Sides, one: Feature) -> float:
    """Thread engagement wanted in the casting a screw goes into [mm]."""
    assert one.screw is not None
    casting = "aluminium" if "alum" in _casting(sides, one.side) else "iron"
    return sides.rules[f"thread-engagement.{casting}"] * one.screw.major


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
        length = SHALLOW if depth is None else max(1.0, depth - 1.5)
        return {names[0]: sum(fit.shaft) / 2, names[1]: length}
    names = ("recess", "recess_depth") if side == "engine" else ("register", "register_depth")
    return {names[0]: sum(fit.hole) / 2, names[1]: (depth or SHALLOW) + RECESS_RELIEF}


# ── opening and outline ─────────────────────────────────────────────────────


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


def _joints(sides: Sides, thickness: float) -> tuple[Joint, ...]:
    joints = []
    for side, pattern in (("engine", sides.engine_face), ("gearbox", sides.gearbox_face)):
        ones = [one for one in (pattern.holes if pattern else ()) if one.screw]
        for sort in dict.fromkeys(_sort(sides, one, thickness) for one in ones):
            alike = [one for one in ones if _sort(sides, one, thickness) == sort]
            joints.append(_joint(sides, side, alike, thickness))
    return tuple(joints)


def _sort(sides: Sides, one: Feature, thickness: float) -> tuple[object, ...]:
    """What screws must share to be one line of the bolt table."""
    assert one.screw is not None
    found = sunk_screw(sides, one, thickness) if one.kind == "tapped" else None
    return (one.kind, one.screw.designation, one.grade, found.length if found else None)


def _joint(sides: Sides, side: str, ones: Sequence[Feature], thickness: float) -> Joint:
    one = ones[0]
    assert one.screw is not None
    grade, friction = one.grade or sides.chosen.screw_grade, sides.chosen.thread_friction
    if (
        one.kind == "clear"
    ):  # the other casting's flange is under the head: its thickness is not asked
        tapped = side == "engine" or sides.chosen.plate_joint == "tapped"
        name = "gearbox to plate" if side == "gearbox" else "plate from the engine's side"
        return fasteners.joint(
            name, one.screw, len(ones), grade=grade, friction=friction, length=None,
            head="hexagon", engagement=thickness if tapped else None,
        )  # fmt: skip
    found = [sunk_screw(sides, hole, thickness) for hole in ones]
    kept = [screw for screw in found if screw is not None]
    whole = len(kept) == len(found)
    return fasteners.joint(
        f"plate to {side}", one.screw, len(ones), grade=grade, friction=friction, head="socket",
        length=kept[0].length if whole else None,
        engagement=min(screw.engagement for screw in kept) if whole else None,
        wanted=wanted_engagement(sides, one),
    )  # fmt: skip


def _casting(sides: Sides, side: str) -> str:
    unit = sides.request.engine if side == "engine" else sides.request.gearbox
    return unit.face.material.lower() if unit and unit.face else ""
