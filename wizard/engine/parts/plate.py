"""The adapter plate: outline, opening, registers, and a hole for every screw and dowel."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from kb.model.chain import Chain
from kb.model.lineup import Feature, LineUp
from kb.model.parts import Fit, Joint, Part, PartHole
from kb.model.record import Sides
from kb.model.unit import Face
from wizard.engine.axial.needs import RECESS_RELIEF
from wizard.engine.faces import material_of
from wizard.engine.formulas.stiffness import flexural_rigidity
from wizard.engine.housed import WORDS
from wizard.engine.parts import fasteners
from wizard.engine.parts.edge import Outline
from wizard.engine.parts.fits import located
from wizard.engine.parts.imported import from_corners, refuse_outside
from wizard.engine.parts.opening import EDGE, opening_needed
from wizard.engine.parts.outline import (
    area,
    bounding_box,
    from_points,
    hull_of_discs,
    second_moment,
)
from wizard.engine.parts.plate_holes import holes_for, placed, sunk_screw, wanted_engagement
from wizard.engine.parts.relief import with_clearance

RIM = 8.0  # mm of plate left round the opening where nothing else is: common practice, no source


def plate(
    sides: Sides, fixed: LineUp | None, chain: Chain
) -> tuple[tuple[Part, ...], tuple[Fit, ...], tuple[Joint, ...]]:
    """The plate, how it is located, and its two bolted joints."""
    assert chain.plate is not None
    holes = holes_for(sides, placed(sides, fixed), chain.plate)
    fits, sizes = registers(sides)
    opening = opening_needed(sides, chain)
    outline = outline_round(sides, holes, opening)
    part = plate_part(
        "adapter plate", sides, outline, holes, opening=opening, thickness=chain.plate,
        sizes=sizes, notes=_notes(sides),
    )  # fmt: skip
    return (part,), fits, face_joints(sides, {"engine": chain.plate, "gearbox": chain.plate})


def plate_part(
    name: str, sides: Sides, outline: Outline, holes: tuple[PartHole, ...], *,
    opening: float | None, thickness: float, sizes: Mapping[str, float], notes: tuple[str, ...],
) -> Part:  # fmt: skip
    """A plate with its sizes and mass."""
    left, bottom, right, top = bounding_box(outline)
    size = {
        "thickness": thickness, "length": right - left, "height": top - bottom,
        "outside": max(right - left, top - bottom), **sizes,
    }  # fmt: skip
    if opening is not None:
        size["bore"] = opening
    stuff = material_of(sides.chosen.plate_material, key="choices.plate_material")
    rigidity = flexural_rigidity(thickness=thickness, e_mpa=stuff.e_mpa, poisson=stuff.nu)
    return Part(
        name=name, material=sides.chosen.plate_material, size=size, outline=outline, holes=holes,
        mass_kg=_mass(outline, holes, opening, size, stuff.density_kg_m3), notes=notes,
        stiffness={"rigidity_nm": round(rigidity / 1000, 1), "polar_mm4": round(second_moment(outline).polar)},
    )  # fmt: skip


def _notes(sides: Sides) -> tuple[str, ...]:
    notes = view_notes(sides)
    notes += [
        f"Depth of the {side}'s register was not measured: ours is kept to {SHALLOW:g} mm."
        for side in ("engine", "gearbox")
        if f"{side}.face.register.diameter" in sides.lengths
        and f"{side}.face.register.depth" not in sides.lengths
    ]
    return tuple(notes)


def view_notes(sides: Sides) -> list[str]:
    """How a plate is looked at, and whose its outline is."""
    notes = ["Seen from behind, gearbox side up; y up; origin on the crank axis."]
    if sides.request.choices.plate_outline:
        notes.append("The outline is the job's own: it was not drawn round the holes.")
    return notes


SHALLOW = (
    4.0  # mm of register where the other part's depth is not known: common practice, no source
)


# ── registers ───────────────────────────────────────────────────────────────


def registers(sides: Sides) -> tuple[tuple[Fit, ...], dict[str, float]]:
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


# ── outline and mass ────────────────────────────────────────────────────────


def outline_round(sides: Sides, holes: Sequence[PartHole], opening: float | None) -> Outline:
    """The outline the job gives; else the engine's, where measured; else one drawn round the holes.

    The drawn one is the hull of a disc round every hole and the opening, clear of the starter.

    Raises:
        InputError: an outline of the job's own that is none, or does not hold what it must.
    """
    given = given_outline(sides)
    if given is not None:
        refuse_outside(given, holes, opening)
        return given
    face = sides.request.engine.face if sides.request.engine else None
    origin = face.origin if face is not None else None
    dx, dy = (origin.x.value, origin.y.value) if origin else (0.0, 0.0)
    if face is not None and face.outline:
        return from_points([(p.x.value - dx, p.y.value - dy) for p in face.outline])
    centres = [(one.x, one.y) for one in holes]
    radii = [max(EDGE * one.diameter, one.widest / 2 + 3.0) for one in holes]
    if opening is not None:
        centres.append((0.0, 0.0))
        radii.append(opening / 2 + RIM)
    outline = hull_of_discs(np.array(centres), np.array(radii))
    starter = sides.request.engine.starter if sides.request.engine else None
    body = sides.value("engine.starter.body")
    if starter is None or starter.centre is None or body is None:
        return outline
    centre = (starter.centre.x.value - dx, starter.centre.y.value - dy)
    radius = body / 2 + sides.rules["starter-clears.all_round"]
    return with_clearance(outline, centre=centre, radius=radius)


def given_outline(sides: Sides) -> Outline | None:
    """The outline the job gives, or ``None``.

    Raises:
        InputError: it is none.
    """
    corners = sides.request.choices.plate_outline
    return from_corners(corners) if corners else None


def _mass(
    outline: Outline, holes: Sequence[PartHole], opening: float | None,
    size: Mapping[str, float], density_kg_m3: float,
) -> float:  # fmt: skip
    thickness, bore = size["thickness"], opening or 0.0
    face = area(outline) - math.pi / 4 * (bore**2 + sum(h.diameter**2 for h in holes))
    seats = sum(hole.seat_volume_mm3(thickness) for hole in holes)
    volume = face * thickness - seats + _registers_mm3(size, holes, bore)
    return round(max(volume, 0.0) * density_kg_m3 * 1e-9, 3)


def _registers_mm3(size: Mapping[str, float], holes: Sequence[PartHole], bore: float) -> float:
    """Metal a spigot adds, less what recess and register take, holes within them left out [mm³]."""
    metal = 0.0
    for across, along, sign in (
        ("spigot", "spigot_length", 1), ("recess", "recess_depth", -1), ("register", "register_depth", -1),
    ):  # fmt: skip
        wide, deep = size.get(across, 0.0), size.get(along, 0.0)
        if wide > bore:
            inside = (h.diameter**2 for h in holes if math.hypot(h.x, h.y) < wide / 2)
            metal += sign * math.pi / 4 * (wide**2 - bore**2 - sum(inside)) * deep
    return metal


# ── joints ──────────────────────────────────────────────────────────────────


def face_joints(sides: Sides, thickness: Mapping[str, float]) -> tuple[Joint, ...]:
    """The bolted joints of both faces; ``thickness`` of the plate on each side [mm]."""
    joints = []
    for side, pattern in (("engine", sides.engine_face), ("gearbox", sides.gearbox_face)):
        ones = [one for one in (pattern.holes if pattern else ()) if one.screw]
        for sort in dict.fromkeys(_sort(sides, one, thickness[side]) for one in ones):
            alike = [one for one in ones if _sort(sides, one, thickness[side]) == sort]
            joints.append(_joint(sides, side, alike, thickness[side]))
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
        f"plate to {side}", one.screw, len(ones), grade=grade, friction=friction,
        head=WORDS[sides.chosen.heads],
        length=kept[0].length if whole else None,
        engagement=min(screw.engagement for screw in kept) if whole else None,
        wanted=wanted_engagement(sides, one),
    )  # fmt: skip
