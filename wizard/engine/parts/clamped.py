"""What a drawn-up screw does to what it clamps: its share of an outside load, and its head's seat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kb.errors import NotTabulated
from kb.model.parts import Joint, Part
from kb.model.record import Sides
from kb.quantity import Thread, read_thread
from kb.standards.clearance import hole as clearance_hole
from kb.standards.heads import hex_bolt, socket_screw
from kb.standards.materials import Material
from kb.standards.threads import sizes
from wizard.engine.faces import material_of
from wizard.engine.formulas.joints import head_pressure
from wizard.engine.formulas.stiffness import load_share, member_stiffness, screw_stiffness

# length of thread on a bought screw: ISO 4762 and ASME B18.3, coarse and fine alike (from memory)
THREADED = {"metric": (2.0, 12.0), "inch": (2.0, 12.7)}


def clamped(sides: Sides, joint: Joint, parts: Sequence[Part]) -> Joint:
    """The joint with its load share and the pressure under its heads, where they can be known.

    What it clamps is the part under the head and, half a screw's diameter deep, what it is
    tapped into (Mechanical Engineering Design, 9th ed., section 8-5).
    """
    stuff = _between(sides, joint, parts)
    if stuff is None or joint.length is None or joint.engagement is None:
        return joint
    screw, grip = read_thread(joint.thread, key="thread"), joint.length - joint.engagement
    try:
        hole, bearing = clearance_hole(screw, "normal").diameter, _bearing(screw, joint.head)
        share = _share(screw, joint.length, grip, bearing=bearing, stuff=stuff)
    except NotTabulated:
        return joint
    pressed = None
    if joint.preload_n is not None:
        pressed = round(
            float(head_pressure(preload_n=joint.preload_n, bearing_outside=bearing, hole=hole)), 1
        )
    return replace(
        joint,
        load_share=round(share, 3),
        head_mpa=pressed,
        bears_mpa=stuff[0].yield_mpa or stuff[0].ultimate_mpa,
    )


def _share(
    screw: Thread, length: float, grip: float, *, bearing: float, stuff: tuple[Material, Material]
) -> float:
    size = sizes(screw)
    times, more = THREADED[screw.system]
    shank = min(max(0.0, length - times * screw.major - more), grip)
    own = screw_stiffness(
        shank_length=shank, shank=screw.major, threaded_length=grip - shank,
        stress_area_mm2=size.stress_area_mm2, e_mpa=material_of("steel", key="screw").e_mpa,
    )  # fmt: skip
    members = member_stiffness(
        hole=screw.major, head=bearing, thicknesses=[grip, screw.major / 2],
        moduli_mpa=[one.e_mpa for one in stuff],
    )  # fmt: skip
    return load_share(screw_n_per_mm=own, members_n_per_mm=members)


def _bearing(screw: Thread, head: str) -> float:
    """Diameter of the face a head bears on [mm]."""
    if head == "hexagon":
        found = hex_bolt(screw)
        return found.bearing or found.across_flats
    held = socket_screw(screw)
    return held.bearing or held.head_diameter


def _between(sides: Sides, joint: Joint, parts: Sequence[Part]) -> tuple[Material, Material] | None:
    """What lies under the head and what the screw is tapped into; ``None`` where that is not made."""
    plate = next((one.material for one in parts if one.name.endswith("plate")), None)
    request, own = sides.request, sides.chosen.spacer_material
    engine, box = request.engine, request.gearbox
    block = engine.face.material if engine and engine.face else ""
    case = box.face.material if box and box.face else ""
    crank = engine.drive.material if engine and engine.drive else ""
    pairs = {
        "plate to engine": (plate, block, "engine.face.material"),
        "plate to gearbox": (plate, case, "gearbox.face.material"),
        "spacer to engine": (own, crank, "engine.drive.material"),
        "posts to disc": (own, own, "choices.spacer_material"),
        "spindle to disc": (own, own, "choices.spacer_material"),
    }
    if joint.name not in pairs:
        return None
    under, into, key = pairs[joint.name]
    if under is None:
        return None
    # the softest usual casting where nobody said: it makes the joint softer, not stiffer
    behind = into or ("aluminium" if joint.name.startswith("plate") else "steel")
    return material_of(under, key="choices.plate_material"), material_of(behind, key=key)
