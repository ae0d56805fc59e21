"""Posts laid out: where they stand, how long and thick they are, and what they stand.

Their length is the span less the disc; their feet must stay shut and must not slide under torque
and spin together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from kb.errors import NotTabulated, OutOfScope
from kb.model.chain import Chain
from kb.model.lineup import Feature, LineUp
from kb.model.parts import Counterbore
from kb.model.record import Sides
from kb.quantity import Thread
from kb.standards.dowels import pin
from kb.standards.materials import Material
from wizard.engine.faces import limits_of, material_of
from wizard.engine.formulas.inertia import centrifugal_force
from wizard.engine.formulas.posts import (
    base_moment,
    base_opening_moment,
    base_shear,
    bending_stress,
    greatest_tilt,
    post_force,
    wind_up,
)
from wizard.engine.parts import fasteners
from wizard.engine.parts.plate_holes import turned
from wizard.engine.parts.spindle import flange_outside

DISC = {  # stock a disc is cut from [mm]
    "in": (9.525, 12.7, 15.875, 19.05, 22.225, 25.4, 31.75),
    "mm": (10.0, 12.0, 15.0, 20.0, 25.0, 30.0),
}
DIAMETERS = {"in": (15.875, 19.05, 22.225, 25.4, 31.75), "mm": (16.0, 20.0, 22.0, 25.0, 30.0, 35.0)}
SLENDER = (
    8.0  # length over diameter beyond which a post is no longer one: common practice, no source
)
CLEAR = 1.0  # mm between a post and the spindle's flange: common practice, no source
LAND = 3.0  # mm of disc left outside a post: common practice, no source
THREAD_WALL = 1.25  # post over thread, at least: common practice, no source
PIN_WALL = 1.5  # mm on both sides of a dowel in a post's foot: common practice, no source
EQUAL = 0.02  # mm, posts alike within this: common practice, no source
PLANE = 3  # posts from which their tops span a plane
TAPPED = 2.0  # thread diameters a post is drilled from either end: common practice, no source


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

    @property
    def pin_arm(self) -> float:
        """How far from the post's middle a dowel in its foot stands, midway in the wall [mm]."""
        return (self.diameter + self.screw.major) / 4

    @property
    def drilled(self) -> float:
        """Length over which a post is hollow, from both ends together [mm]."""
        return min(self.length, 2 * TAPPED * self.screw.major)

    def mass_kg(self, stuff: Material) -> float:
        """Mass of one post [kg]."""
        volume = self.diameter**2 * self.length - self.hole**2 * self.drilled
        return math.pi / 4 * volume * stuff.density_kg_m3 * 1e-9


WITHOUT_MILL = ("hand", "drill press")


def wanted(
    sides: Sides, rotating: LineUp | None, chain: Chain, *, ring_kg: float | None = None
) -> bool:
    """Whether the adapter is to be made of posts.

    ``auto`` takes posts where the span is long (without a mill less long: posts need a lathe and
    a drill press only) or a ring would be heavy, and posts of a usual size find room and hold.

    Args:
        ring_kg: Mass of the ring that would do instead.
    """
    if not chain.spacer or sides.driving is None or sides.driven is None:
        return False
    style, rules = sides.chosen.rotating_style, sides.rules
    heavy = ring_kg is not None and ring_kg > rules["posts.mass"]
    milled = sides.chosen.layout not in WITHOUT_MILL
    long = chain.spacer >= rules["posts.span" if milled else "posts.span_without_mill"]
    if style != "auto" or sides.through or not (long or heavy):
        return style == "posts"
    try:
        laid = lay_out(sides, rotating, chain)
    except OutOfScope:
        return False
    found = strength(sides, laid)
    return found is not None and found.holds


def lay_out(sides: Sides, rotating: LineUp | None, chain: Chain) -> Posts:
    """Posts at the driven holes; their length is the span less the disc.

    The diameter is the one asked for, else the thinnest usual one that holds, else the thickest.

    Raises:
        OutOfScope: no room for a disc or a disc too thin, no room for the posts beside the
            spindle, posts too slender or too thin, or no screw known for them.
    """
    assert sides.driven is not None
    assert chain.spacer is not None
    places = turned(sides.driven, rotating.clocking if rotating else 0.0).holes
    screw = sides.request.choices.post_thread or next((p.screw for p in places if p.screw), None)
    if screw is None:
        raise OutOfScope(
            "choices.post_thread", "(none)", "driven holes whose screw is known",
            "the driven circle",
        )  # fmt: skip
    disc = _disc(sides, screw)
    length = chain.spacer - disc
    if length <= disc:
        raise OutOfScope(
            "choices.rotating_style", "posts", f"spans of more than {2 * disc:g} mm",
            "a disc and posts of any use, common practice, no source",
        )  # fmt: skip
    tried = [
        Posts(places=places, length=length, diameter=size, disc=disc, screw=screw)
        for size in _sizes(sides, screw, length=length, places=places)
    ]
    holding = [laid for laid in tried if (found := strength(sides, laid)) and found.holds]
    return holding[0] if holding else tried[-1]


def _sizes(
    sides: Sides, screw: Thread, *, length: float, places: tuple[Feature, ...]
) -> list[float]:
    """Diameters that take the screw, stand clear of what lies on the disc, and are not slender.

    Raises:
        OutOfScope: none does.
    """
    asked = sides.value("choices.post_diameter")
    if asked is not None and asked < THREAD_WALL * screw.major:
        raise OutOfScope(
            "choices.post_diameter", f"{asked:g} mm",
            f"posts of {THREAD_WALL * screw.major:g} mm and more",
            f"a wall round the {screw.designation} thread in their ends, common practice, no source",
        )  # fmt: skip
    usual = (size for size in DIAMETERS[sides.request.units] if size >= 1.6 * screw.major)
    sizes = [asked] if asked is not None else list(usual)
    register = sides.value("engine.drive.register.diameter") or 0.0
    middle = max(flange_outside(sides) / 2 + CLEAR, register / 2 + LAND)
    inner = min(math.hypot(one.x, one.y) for one in places)
    beside = [size for size in sizes if inner - size / 2 >= middle]
    if not beside:
        raise OutOfScope(
            "choices.rotating_style", "posts",
            f"post circles of {2 * middle + min(sizes, default=0.0):.1f} mm and wider",
            "inside it stand the spindle's flange, over the driver's screws, and the register",
        )  # fmt: skip
    pin = sides.value("choices.post_dowel")
    if pin is not None:
        beside = _with_room(beside, pin=pin, screw=screw)
    stout = [size for size in beside if length / size <= SLENDER]
    if not stout:
        raise OutOfScope(
            "choices.post_diameter", f"{max(beside):g} mm",
            f"posts no longer than {SLENDER:g} diameters", "common practice, no source",
        )  # fmt: skip
    return stout


def _with_room(sizes: list[float], *, pin: float, screw: Thread) -> list[float]:
    """Diameters whose wall takes a dowel beside the screw.

    Raises:
        OutOfScope: none does.
    """
    roomy = [size for size in sizes if (size - screw.major) / 2 >= pin + 2 * PIN_WALL]
    if not roomy:
        most = (max(sizes) - screw.major) / 2 - 2 * PIN_WALL
        raise OutOfScope(
            "choices.post_dowel", f"{pin:g} mm", f"dowels up to {max(most, 0.0):.2f} mm",
            f"{PIN_WALL:g} mm of wall on both sides of it, between screw and skin of the post",
        )  # fmt: skip
    return roomy


def _disc(sides: Sides, screw: Thread) -> float:
    """Thickness of the disc: as asked for, else the thinnest stock that sinks the posts' screws.

    Raises:
        OutOfScope: one asked for that the heads would go right through.
    """
    sunk = seat(screw)
    family = limits_of(sides.chosen.spacer_material, key="choices.spacer_material")
    floor = sides.rules[f"head-sunk.{family}_fail"] * screw.major
    least = 0.0 if sunk is None else sunk.depth + floor
    asked, stock = sides.value("choices.disc"), DISC[sides.request.units]
    if asked is None:
        return next((size for size in stock if size >= least), stock[-1])
    if asked < least:
        raise OutOfScope(
            "choices.disc", f"{asked:g} mm", f"discs of {least:.2f} mm and more",
            f"the heads of {screw.designation} screws are sunk in it, with a floor below",
        )  # fmt: skip
    return asked


def seat(screw: Thread) -> Counterbore | None:
    """Seat in the disc for the head of a post's screw; ``None`` for a head that is not tabled."""
    try:
        return fasteners.counterbore(screw)
    except NotTabulated:
        return None


@dataclass(frozen=True)
class Strength:
    """What posts stand.

    Attributes:
        share: Moment at which a foot opens over the moment that acts.
        stress_mpa, allowed_mpa: Bending stress at the skin, and what is allowed.
        end: How the driven end was taken, ``free`` or ``clamped``.
        grip: Friction of a foot over the shear that acts on it.
        dowel: Shear strength of a foot's dowel over that shear; ``None`` without a dowel, or
            without a tabled one.
        wind_up: Turn of the driven end against the driving end at peak torque [°].
        outward_n: What one post pulls outward at that speed [N].
        wanted: What the shares of opening and sliding should be at least.
    """

    share: float
    stress_mpa: float
    allowed_mpa: float
    end: str
    grip: float
    dowel: float | None
    wind_up: float
    outward_n: float
    wanted: float

    @property
    def holds(self) -> bool:
        """Opening, sliding and stress are all kept."""
        enough = min(self.share, self.kept) >= self.wanted
        return enough and self.stress_mpa <= self.allowed_mpa

    @property
    def kept(self) -> float:
        """How many times over a foot is kept from sliding, by friction or by its dowel."""
        return max(self.grip, self.dowel or 0.0)


def strength(sides: Sides, laid: Posts) -> Strength | None:
    """Torque and spin together on one post, at a quarter over the engine's speed.

    What is bolted to the posts carries itself. ``None`` where torque, speed or a table value is
    not known.
    """
    engine, use, rules = sides.request.engine, sides.request.use, sides.rules
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    tight = fasteners.tightening(
        laid.screw, sides.chosen.screw_grade, friction=sides.chosen.thread_friction
    )
    if engine is None or engine.peak_torque is None or engine.max_speed is None:
        return None
    if tight is None or stuff.yield_mpa is None:
        return None
    torque_nmm = engine.peak_torque.value * ((use.torque_factor or 1.0) if use else 1.0)
    end = "clamped" if sides.kind == "flange" else "free"
    tangential = post_force(torque_nmm=torque_nmm, posts=len(laid.places), radius=laid.radius)
    outward = outward_pull(laid, stuff, rules["overspeed.share"] * engine.max_speed.value)
    moment = base_moment(
        tangential_n=tangential, centrifugal_n=outward, length=laid.length, driven_end=end
    )
    shear = base_shear(tangential_n=tangential, centrifugal_n=outward, driven_end=end)
    preload = tight.preload_n / rules["joint-slip.tightening"]
    share = base_opening_moment(preload_n=preload, diameter=laid.diameter, hole=laid.hole) / moment
    stress = bending_stress(moment_nmm=moment, diameter=laid.diameter, hole=laid.hole)
    allowed = stuff.yield_mpa / rules["posts-bending.yield_factor"]
    turn = wind_up(
        tangential_n=tangential, length=laid.length, radius=laid.radius, diameter=laid.diameter,
        e_mpa=stuff.e_mpa, poisson=stuff.nu, driven_end=end,
    )  # fmt: skip
    return Strength(
        share=share, stress_mpa=stress, allowed_mpa=allowed, end=end,
        grip=sides.chosen.joint_friction * preload / shear, dowel=_dowel(sides, shear),
        wind_up=turn, outward_n=outward, wanted=rules["posts-bending.warn"],
    )  # fmt: skip


def lug_tilt(laid: Posts) -> float:
    """Greatest tilt of the lugs that posts alike within their tolerance leave [mm per mm]."""
    return greatest_tilt(within=EQUAL / 2, posts=len(laid.places), radius=laid.radius)


def lug_tir(laid: Posts) -> float:
    """What that tilt makes of it at the lugs, as an axial TIR [mm]."""
    return 2 * laid.radius * lug_tilt(laid)


def outward_pull(laid: Posts, stuff: Material, speed_rpm: float) -> float:
    """What one post pulls outward at a speed [N]."""
    force = centrifugal_force(
        mass_kg=laid.mass_kg(stuff), radius=laid.radius, speed_rpm=speed_rpm
    )  # fmt: skip
    return float(force)


def _dowel(sides: Sides, shear_n: float) -> float | None:
    """Single shear strength of the dowel asked for in each foot, over what acts."""
    size = sides.value("choices.post_dowel")
    if size is None:
        return None
    for system in ("metric", "inch"):
        try:
            held = pin(size, system).single_shear_n
        except NotTabulated:
            continue
        if held is not None:
            return held / shear_n
    return None
