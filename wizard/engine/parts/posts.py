"""The rotating adapter as carrier disc, spindle and posts, for a long gap.

The disc bolts to the driver; the spindle goes through it into the driver's register and carries
the driven register and the pilot; one post for each driven screw stands on the disc and meets the
driven lugs.
"""

from __future__ import annotations

import math
from dataclasses import replace

from kb.model.chain import Chain
from kb.model.lineup import Feature, LineUp
from kb.model.parts import Fit, Joint, Part, PartHole, Pilot
from kb.model.record import Sides
from kb.quantity import Thread, both
from kb.standards.fits import zone
from wizard.engine.faces import material_of
from wizard.engine.parts import fasteners
from wizard.engine.parts.outline import hull_of_discs
from wizard.engine.parts.post_layout import (
    EQUAL,
    LAND,
    PLANE,
    TAPPED,
    Posts,
    lay_out,
    lug_tir,
    seat,
)
from wizard.engine.parts.ring import tight
from wizard.engine.parts.spindle import (
    flange_thickness,
    own_holes,
    own_screws,
    sized,
    spindle,
    sunk_in,
    tapped_for,
)


def posts(
    sides: Sides, rotating: LineUp | None, chain: Chain, pilot: Pilot | None
) -> tuple[tuple[Part, ...], tuple[Fit, ...], tuple[Joint, ...]]:
    """Disc, spindle and posts, how they are located and screwed.

    Raises:
        OutOfScope: the span, the screws or the registers do not suit posts.
    """
    assert sides.driving is not None
    laid = lay_out(sides, rotating, chain)
    fits, sizes = sized(sides, pilot)
    screwed = [one for one in sides.driving.holes if one.screw]
    flange = flange_thickness(sides, chain, disc=laid.disc)
    own_screws = own_holes(sides, screwed, flange=flange, waist=sizes["waist"])
    held = spindle(
        sides, chain, disc=laid.disc, sizes=sizes,
        holes=(*(_flange_hole(sides, one, flange) for one in screwed), *own_screws),
    )  # fmt: skip
    disc = _disc(sides, laid, sizes, (
        *(_driver_hole(sides, one) for one in screwed), *map(tapped_for, own_screws),
    ))  # fmt: skip
    over = disc if "recess" in sizes else held  # what goes over the driver's spigot, if it has one
    own = {**sizes, "thickness": laid.disc, "outside": over.size["outside"]}
    located = tuple(tight(sides, fit, own) for fit in fits)
    return (disc, held, _post(sides, laid)), located, _joints(sides, laid, chain)


def _disc(sides: Sides, laid: Posts, sizes: dict[str, float], driver: tuple[PartHole, ...]) -> Part:
    outside = float(math.ceil(2 * (laid.radius + laid.diameter / 2 + LAND)))
    bore = sizes.get("spigot") or 0.75 * sizes.get("recess", outside / 3)
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    posts = tuple(
        PartHole(id=f"P{one.id}", x=one.x, y=one.y, kind="clearance", side="engine",
                 diameter=fasteners.clearance(laid.screw, sides.chosen.layout),
                 counterbore=seat(laid.screw), purpose="driven")
        for one in laid.places
    )  # fmt: skip
    posts += _pins(sides, laid)
    size = {"thickness": laid.disc, "outside": outside, "bore": bore}
    size |= {key: sizes[key] for key in ("recess", "recess_depth") if key in sizes}
    mass = _disc_volume(size, (*driver, *posts)) * stuff.density_kg_m3 * 1e-9
    return Part(
        name="carrier disc", material=sides.chosen.spacer_material, size=size,
        mass_kg=round(mass, 3), holes=(*driver, *posts),
        outline=hull_of_discs([(0.0, 0.0)], [outside / 2]),
        notes=("Bore the middle and face both sides in one setting.",
               "Screw the posts on from the engine's side before the disc goes on the driver."),
    )  # fmt: skip


def _disc_volume(size: dict[str, float], holes: tuple[PartHole, ...]) -> float:
    """Metal of the disc [mm³]."""
    thick, bore = size["thickness"], size["bore"]
    metal = (size["outside"] ** 2 - bore**2) * thick
    if (recess := size.get("recess", 0.0)) > bore:
        metal -= (recess**2 - bore**2) * min(size["recess_depth"], thick)
    for hole in holes:
        metal -= hole.diameter**2 * thick
        if hole.counterbore:
            sunk = hole.counterbore
            metal -= (sunk.diameter**2 - hole.diameter**2) * sunk.depth
    return math.pi / 4 * metal


def _driver_hole(sides: Sides, one: Feature) -> PartHole:
    assert one.screw is not None
    return PartHole(
        id=f"D{one.id}", x=one.x, y=one.y, kind="clearance", side="gearbox", purpose="driver",
        diameter=fasteners.clearance(one.screw, sides.chosen.layout),
    )  # fmt: skip


def _flange_hole(sides: Sides, one: Feature, flange: float) -> PartHole:
    """The spindle's hole for one of the driver's screws, its head sunk where the flange allows."""
    assert one.screw is not None
    return replace(_driver_hole(sides, one), counterbore=sunk_in(sides, one.screw, flange))


def _pins(sides: Sides, laid: Posts) -> tuple[PartHole, ...]:
    """Dowel holes of the posts' feet in the disc, on the side of the axis."""
    pin = sides.value("choices.post_dowel")
    if pin is None:
        return ()
    return tuple(
        PartHole(
            id=f"Q{one.id}", kind="dowel", diameter=pin, side="gearbox", purpose="dowel",
            x=one.x * (1 - laid.pin_arm / far), y=one.y * (1 - laid.pin_arm / far),
            limits=zone("H7", pin).limits,
        )
        for one in laid.places
        if (far := math.hypot(one.x, one.y))
    )  # fmt: skip


def _post(sides: Sides, laid: Posts) -> Part:
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    size = {
        "length": laid.length, "outside": laid.diameter, "bore": laid.hole,
        "stands_on": 2 * laid.radius, "bore_depth": laid.drilled / 2,
    }  # fmt: skip
    notes = [
        f"All {len(laid.places)} alike within {EQUAL:g} mm; face them together last.",
        f"Tapped {laid.screw.designation} at both ends, {TAPPED * laid.screw.major:.0f} mm deep.",
    ]
    if len(laid.places) >= PLANE:
        tir = lug_tir(laid)
        notes.append(
            f"Unequal by so much, they let the lugs run out by up to {both(tir, first=sides.request.units)} TIR."
        )
    if (pin := sides.value("choices.post_dowel")) is not None:
        size |= {"dowel": pin, "dowel_arm": laid.pin_arm}
        notes.append("Ream the dowel hole of foot and disc together, post screwed on.")
    return Part(
        name="post", material=sides.chosen.spacer_material, size=size, quantity=len(laid.places),
        mass_kg=round(laid.mass_kg(stuff), 3),
        notes=tuple(notes),
    )  # fmt: skip


def _joints(sides: Sides, laid: Posts, chain: Chain) -> tuple[Joint, ...]:
    assert sides.driving is not None
    driver = [one for one in sides.driving.holes if one.screw]
    sunk = seat(laid.screw)
    grip = laid.disc - (sunk.depth if sunk is not None else 0.0)
    count = len(laid.places)
    joints = [
        _joint(sides, "posts to disc", laid.screw, count, grip=grip, room=laid.length / 2,
               engagement=1.5 * laid.screw.major),
        _joint(sides, f"{sides.driven_part} to posts", laid.screw, count),
    ]  # fmt: skip
    flange = flange_thickness(sides, chain, disc=laid.disc)
    if driver and driver[0].screw is not None:
        screw = driver[0].screw
        depths = [one.depth for one in driver if one.depth is not None]
        head = sunk_in(sides, screw, flange)
        joints.insert(0, _joint(
            sides, "spacer to engine", screw, len(driver), head="socket" if head else "hexagon",
            grip=laid.disc + flange - (head.depth if head else 0.0),
            room=min(depths) - 2 * fasteners.pitch(screw) if depths else None,
            engagement=sides.rules["critical-thread.share"] * screw.major,
        ))  # fmt: skip
    if (asked := own_screws(sides)) is not None:
        head = sunk_in(sides, asked.thread, flange)
        joints.append(_joint(
            sides, "spindle to disc", asked.thread, asked.count,
            head="socket" if head else "hexagon", grip=flange - (head.depth if head else 0.0),
            room=laid.disc, engagement=asked.thread.major,
        ))  # fmt: skip
    return tuple(joints)


def _joint(
    sides: Sides, name: str, screw: Thread, count: int, *, grip: float | None = None,
    room: float | None = None, engagement: float = 0.0, head: str = "",
) -> Joint:  # fmt: skip
    length = None
    if grip is not None:
        length = fasteners.bought_length(screw.system, grip=grip, engagement=engagement, room=room)
    return fasteners.joint(
        name, screw, count, grade=sides.chosen.screw_grade, friction=sides.chosen.thread_friction,
        length=length, head=head or ("socket" if name == "posts to disc" else "hexagon"),
        engagement=None if length is None or grip is None else length - grip,
    )  # fmt: skip
