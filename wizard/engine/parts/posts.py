"""The rotating adapter as carrier disc, spindle and posts, for a long gap.

The disc bolts to the driver; the spindle goes through it into the driver's register and carries
the pilot; one post for each driven screw stands on the disc and meets the driven lugs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from kb.errors import NotTabulated, OutOfScope
from kb.model.chain import Chain
from kb.model.lineup import Feature, LineUp
from kb.model.parts import Counterbore, Fit, Joint, Part, PartHole, Pilot
from kb.model.record import Sides
from kb.quantity import Thread
from wizard.engine.faces import material_of
from wizard.engine.formulas.inertia import centrifugal_force, ring_inertia, ring_mass
from wizard.engine.formulas.posts import (
    base_moment,
    base_opening_moment,
    bending_stress,
    post_force,
)
from wizard.engine.parts import fasteners
from wizard.engine.parts.fits import located
from wizard.engine.parts.outline import hull_of_discs
from wizard.engine.parts.plate_holes import turned
from wizard.engine.parts.ring import CLEAR_OF_BOTTOM, SPIGOT

DISC = {"in": 9.525, "mm": 10.0}
DIAMETERS = {"in": (15.875, 19.05, 22.225, 25.4, 31.75), "mm": (16.0, 20.0, 22.0, 25.0, 30.0, 35.0)}
SLENDER = (
    8.0  # length over diameter beyond which a post is no longer one: common practice, no source
)
LAND = 3.0  # mm of disc left outside a post: common practice, no source
EQUAL = 0.02  # mm, posts alike within this: common practice, no source


@dataclass(frozen=True)
class Posts:
    """What a set of posts must be: where they stand, how long and thick, and their screw."""

    places: tuple[Feature, ...]
    length: float
    diameter: float
    disc: float
    screw: Thread

    @property
    def radius(self) -> float:
        """Mean distance of the posts from the axis [mm]."""
        return float(np.hypot([p.x for p in self.places], [p.y for p in self.places]).mean())

    @property
    def hole(self) -> float:
        """Tapped hole in the post's ends [mm]."""
        return fasteners.tap_drill(self.screw)


def wanted(sides: Sides, rotating: LineUp | None, chain: Chain) -> bool:
    """Whether the adapter is to be made of posts.

    ``auto`` takes posts where the span is long, a post stands beside the driver's screws, and
    posts of a usual size hold.
    """
    if not chain.spacer or sides.driving is None or sides.driven is None:
        return False
    style = sides.chosen.rotating_style
    if style != "auto" or sides.through or chain.spacer < sides.rules["posts.span"]:
        return style == "posts"
    inner = max(math.hypot(one.x, one.y) + one.keepout / 2 for one in sides.driving.holes)
    outer = min(math.hypot(one.x, one.y) for one in sides.driven.holes)
    try:
        laid = lay_out(sides, rotating, chain)
    except OutOfScope:
        return False
    found = strength(sides, laid)
    beside = outer - laid.diameter / 2 - LAND > inner
    return beside and found is not None and found.holds


def lay_out(sides: Sides, rotating: LineUp | None, chain: Chain) -> Posts:
    """Posts at the driven holes; their length is the span less the disc.

    The diameter is the one asked for, else the thinnest usual one that holds, else the thickest.

    Raises:
        OutOfScope: no room for a disc, posts inside the driver's register or too slender, or no
            screw known for them.
    """
    assert sides.driven is not None
    assert chain.spacer is not None
    disc = sides.value("choices.disc") or DISC[sides.request.units]
    length = chain.spacer - disc
    if length <= disc:
        raise OutOfScope(
            "choices.rotating_style", "posts", f"spans of more than {2 * disc:g} mm",
            "a disc and posts of any use, common practice, no source",
        )  # fmt: skip
    places = turned(sides.driven, rotating.clocking if rotating else 0.0).holes
    taken = sides.value("engine.drive.register.diameter") or 0.0
    if min(math.hypot(one.x, one.y) for one in places) <= taken / 2 + LAND:
        raise OutOfScope(
            "choices.rotating_style", "posts", f"post circles wider than {taken + 2 * LAND:g} mm",
            "inside it the driver's register leaves no disc to stand on",
        )  # fmt: skip
    screw = sides.request.choices.post_thread or next((p.screw for p in places if p.screw), None)
    if screw is None:
        raise OutOfScope(
            "choices.post_thread",
            "(none)",
            "driven holes whose screw is known",
            "the driven circle",
        )
    asked = sides.value("choices.post_diameter")
    sizes = (
        (asked,)
        if asked
        else tuple(d for d in DIAMETERS[sides.request.units] if d >= 1.6 * screw.major)
    )
    tried = [
        Posts(places=places, length=length, diameter=size, disc=disc, screw=screw)
        for size in sizes
        if length / size <= SLENDER
    ]
    if not tried:
        raise OutOfScope(
            "choices.post_diameter", f"{max(sizes, default=0.0):g} mm",
            f"posts no longer than {SLENDER:g} diameters", "common practice, no source",
        )  # fmt: skip
    holding = [laid for laid in tried if (found := strength(sides, laid)) and found.holds]
    return holding[0] if holding else tried[-1]


@dataclass(frozen=True)
class Strength:
    """What posts stand.

    Attributes:
        share: Moment at which a foot opens over the moment that acts.
        stress_mpa, allowed_mpa: Bending stress at the skin, and what is allowed.
        end: How the driven end was taken, ``free`` or ``clamped``.
        holds: Both are kept.
    """

    share: float
    stress_mpa: float
    allowed_mpa: float
    end: str
    holds: bool


def strength(sides: Sides, laid: Posts) -> Strength | None:
    """Torque and spin together on one post, at a quarter over the engine's speed.

    ``None`` where torque, speed or a table value is not known.
    """
    engine, use = sides.request.engine, sides.request.use
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    tight = fasteners.tightening(
        laid.screw, sides.chosen.screw_grade, friction=sides.chosen.thread_friction
    )
    if engine is None or engine.peak_torque is None or engine.max_speed is None:
        return None
    if tight is None or stuff.yield_mpa is None:
        return None
    speed = sides.rules["overspeed.share"] * engine.max_speed.value
    factor = (use.torque_factor or 1.0) if use else 1.0
    mass = (
        math.pi / 4 * (laid.diameter**2 - laid.hole**2) * laid.length * stuff.density_kg_m3 * 1e-9
    )
    end = "clamped" if sides.kind == "flange" else "free"
    moment = base_moment(
        tangential_n=post_force(
            torque_nmm=engine.peak_torque.value * factor, posts=len(laid.places), radius=laid.radius
        ),
        centrifugal_n=float(centrifugal_force(mass_kg=mass, radius=laid.radius, speed_rpm=speed)),
        length=laid.length, driven_end=end,
    )  # fmt: skip
    opening = base_opening_moment(
        preload_n=tight.preload_n / sides.rules["joint-slip.tightening"], diameter=laid.diameter,
        hole=laid.hole,
    )  # fmt: skip
    stress = bending_stress(moment_nmm=moment, diameter=laid.diameter, hole=laid.hole)
    allowed = stuff.yield_mpa / sides.rules["posts-bending.yield_factor"]
    share = opening / moment
    return Strength(
        share=share, stress_mpa=stress, allowed_mpa=allowed, end=end,
        holds=share >= sides.rules["posts-bending.warn"] and stress <= allowed,
    )  # fmt: skip


def posts(
    sides: Sides, rotating: LineUp | None, chain: Chain, pilot: Pilot | None
) -> tuple[tuple[Part, ...], tuple[Fit, ...], tuple[Joint, ...]]:
    """Disc, spindle and posts, how they are located and screwed.

    Raises:
        OutOfScope: the span or the screws do not suit posts.
    """
    laid = lay_out(sides, rotating, chain)
    fits, sizes = _registers(sides)
    parts = (
        _disc(sides, laid, sizes),
        _spindle(sides, laid, chain, sizes, pilot),
        _post(sides, laid),
    )
    return parts, fits, _joints(sides, laid, chain)


def _registers(sides: Sides) -> tuple[tuple[Fit, ...], dict[str, float]]:
    """The spindle's register in the driver, or the disc's over the driver's spigot."""
    drive = sides.request.engine.drive if sides.request.engine else None
    size = sides.lengths.get("engine.drive.register.diameter")
    if drive is None or drive.register is None or size is None:
        return (), {}
    existing = "hole" if drive.register.form == "bore" else "shaft"
    joint = "spacer in crank" if existing == "hole" else "spacer on crank"
    fit = located(joint, existing, size, duty=sides.chosen.fit)
    if fit is None:
        return (), {}
    depth = sides.value("engine.drive.register.depth")
    if existing == "hole":
        nose = SPIGOT if depth is None else min(SPIGOT, depth - CLEAR_OF_BOTTOM)
        return (fit,), {"spigot": sum(fit.shaft) / 2, "spigot_length": max(1.0, nose)}
    return (fit,), {"recess": sum(fit.hole) / 2, "recess_depth": (depth or SPIGOT) + 0.5}


def flange_outside(sides: Sides) -> float:
    """Outside of the spindle's flange: over the driver's screws, which hold it [mm]."""
    assert sides.driving is not None
    reach = max(math.hypot(one.x, one.y) + one.keepout / 2 for one in sides.driving.holes)
    return float(math.ceil(2 * (reach + LAND)))


def _disc(sides: Sides, laid: Posts, sizes: dict[str, float]) -> Part:
    assert sides.driving is not None
    outside = float(math.ceil(2 * (laid.radius + laid.diameter / 2 + LAND)))
    bore = sizes.get("spigot") or 0.75 * sizes.get("recess", outside / 3)
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    mass = ring_mass(
        bore=bore, outside=outside, length=laid.disc, density_kg_m3=stuff.density_kg_m3
    )
    holes = (
        *(_driver_hole(sides, one) for one in sides.driving.holes if one.screw),
        *(PartHole(id=f"P{one.id}", x=one.x, y=one.y, kind="clearance", side="engine",
                   diameter=fasteners.clearance(laid.screw, sides.chosen.layout),
                   counterbore=_seat(laid.screw), purpose="driven") for one in laid.places),
    )  # fmt: skip
    size = {"thickness": laid.disc, "outside": outside, "bore": bore,
            "inertia_kg_mm2": ring_inertia(mass_kg=mass, bore=bore, outside=outside)}  # fmt: skip
    size |= {key: sizes[key] for key in ("recess", "recess_depth") if key in sizes}
    return Part(
        name="carrier disc", material=sides.chosen.spacer_material, size=size,
        mass_kg=round(mass, 3), holes=holes, outline=hull_of_discs([(0.0, 0.0)], [outside / 2]),
        notes=("Bore the middle and face both sides in one setting.",
               "Screw the posts on from the engine's side before the disc goes on the driver."),
    )  # fmt: skip


def _driver_hole(sides: Sides, one: Feature) -> PartHole:
    assert one.screw is not None
    return PartHole(
        id=f"D{one.id}", x=one.x, y=one.y, kind="clearance", side="gearbox", purpose="driver",
        diameter=fasteners.clearance(one.screw, sides.chosen.layout),
    )  # fmt: skip


def _seat(screw: Thread) -> Counterbore | None:
    try:
        return fasteners.counterbore(screw)
    except NotTabulated:
        return None


def _spindle(
    sides: Sides, laid: Posts, chain: Chain, sizes: dict[str, float], pilot: Pilot | None
) -> Part:
    assert chain.spacer is not None
    assert sides.driving is not None
    reach = sides.value("choices.spindle_length") or chain.spacer
    body = reach - laid.disc
    nose = sizes.get("spigot_length", 0.0)
    bore = sum(pilot.bore) / 2 if pilot and pilot.carried_by == "spacer" and pilot.bore else 0.0
    waist = float(math.ceil(max(1.5 * bore, sizes.get("spigot", 0.0), 30.0)))
    flange = flange_outside(sides)
    size = {
        "thickness": body, "length": laid.disc + nose + body, "outside": flange,
        "flange": max(FLANGE, laid.disc), "waist": waist,
    }  # fmt: skip
    if "spigot" in sizes:
        size |= {"spigot": sizes["spigot"], "spigot_length": laid.disc + nose}
    if bore:
        size["bore"] = bore
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    mass = ring_mass(
        bore=bore, outside=flange, length=size["flange"], density_kg_m3=stuff.density_kg_m3
    )
    mass += ring_mass(
        bore=bore,
        outside=waist,
        length=max(body - size["flange"], 1e-6),
        density_kg_m3=stuff.density_kg_m3,
    )
    holes = tuple(_driver_hole(sides, one) for one in sides.driving.holes if one.screw)
    return Part(
        name="spindle", material=sides.chosen.spacer_material, size=size, mass_kg=round(mass, 3),
        holes=holes, outline=hull_of_discs([(0.0, 0.0)], [flange / 2]),
        notes=("Turn register, face and pilot bore in one chucking: turned round in a three-jaw "
               "chuck they come out of true.", "Held with the disc by the driver's own screws."),
    )  # fmt: skip


FLANGE = 10.0  # mm, least thickness of the spindle's flange: common practice, no source


def _post(sides: Sides, laid: Posts) -> Part:
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    volume = math.pi / 4 * laid.diameter**2 * laid.length
    size = {"length": laid.length, "outside": laid.diameter, "bore": laid.hole}
    if (pin := sides.value("choices.post_dowel")) is not None:
        size["dowel"] = pin
    return Part(
        name="post", material=sides.chosen.spacer_material, size=size, quantity=len(laid.places),
        mass_kg=round(volume * stuff.density_kg_m3 * 1e-9, 3),
        notes=(f"All {len(laid.places)} alike within {EQUAL:g} mm; face them together last.",
               f"Tapped {laid.screw.designation} at both ends."),
    )  # fmt: skip


def _joints(sides: Sides, laid: Posts, chain: Chain) -> tuple[Joint, ...]:
    assert sides.driving is not None
    driver = [one for one in sides.driving.holes if one.screw]
    seat = _seat(laid.screw)
    grip = laid.disc - (seat.depth if seat is not None and seat.depth < laid.disc else 0.0)
    count = len(laid.places)
    joints = [
        _joint(sides, "posts to disc", laid.screw, count, grip=grip, room=laid.length / 2,
               engagement=1.5 * laid.screw.major),
        _joint(sides, f"{sides.driven_part} to posts", laid.screw, count),
    ]  # fmt: skip
    if driver and driver[0].screw is not None:
        screw = driver[0].screw
        depths = [one.depth for one in driver if one.depth is not None]
        joints.insert(0, _joint(
            sides, "spacer to engine", screw, len(driver), grip=laid.disc + max(FLANGE, laid.disc),
            room=min(depths) - 2 * fasteners.pitch(screw) if depths else None,
            engagement=sides.rules["critical-thread.share"] * screw.major,
        ))  # fmt: skip
    return tuple(joints)


def _joint(
    sides: Sides, name: str, screw: Thread, count: int, *, grip: float | None = None,
    room: float | None = None, engagement: float = 0.0,
) -> Joint:  # fmt: skip
    length = None
    if grip is not None:
        length = fasteners.bought_length(screw.system, grip=grip, engagement=engagement, room=room)
    return fasteners.joint(
        name, screw, count, grade=sides.chosen.screw_grade, friction=sides.chosen.thread_friction,
        length=length, head="socket" if name == "posts to disc" else "hexagon",
        engagement=None if length is None or grip is None else length - grip,
    )  # fmt: skip
