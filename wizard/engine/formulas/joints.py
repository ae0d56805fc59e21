"""Bolted joints: what they carry by friction and in shear, what bears on them, when they tip."""

from __future__ import annotations

import math

import numpy as np

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number, Row

GRAVITY = 9.80665  # m/s², standard; N per kg

# ── friction ────────────────────────────────────────────────────────────────


def friction_torque(*, screws: int, friction: float, preload_n: Number, radius: float) -> Number:
    """Torque a bolted joint carries by friction alone.

    Assumptions: every screw holds the same preload; the faces slip together about the axis.

    Args:
        screws: Number of screws [-].
        friction: Friction coefficient between the faces, μ [-].
        preload_n: Preload of one screw [N].
        radius: Effective radius of the friction [mm].
    Returns:
        Torque at which the joint slips, n·μ·F·r [N·mm].
    Raises:
        InputError: no screw, a value not above 0, or friction over 1.
    Source:
        Coulomb friction, closed form.
    Example:
        >>> round(friction_torque(screws=6, friction=0.15, preload_n=40000, radius=40) / 1000)
        1440
    """
    arguments.counted(1, screws=screws)
    arguments.above_zero(friction=friction, preload_n=preload_n, radius=radius)
    arguments.between((0, 1), friction=friction)
    return screws * friction * radius * preload_n


def annulus_friction_radius(*, bore: float, outside: float) -> float:
    """Effective radius of friction on an annular face.

    Assumptions: pressure spread evenly over the face.

    Args:
        bore: Inside diameter of the face, 0 for a full disc [mm].
        outside: Outside diameter of the face [mm].
    Returns:
        Effective radius (D³ − d³)/(3·(D² − d²)) [mm].
    Raises:
        InputError: a negative diameter, or a bore not smaller than the outside.
    Source:
        Mechanical Engineering Design, 9th ed., section 16-5, uniform pressure.
    Example:
        >>> round(annulus_friction_radius(bore=60, outside=100), 3)
        40.833
    """
    arguments.not_below_zero(bore=bore)
    arguments.above_zero(outside=outside)
    arguments.ascending(bore=bore, outside=outside)
    return (outside**2 + outside * bore + bore**2) / (3 * (outside + bore))


def screws_friction_radius(*, centres: arguments.Rows) -> float:
    """Effective radius of friction of screws anywhere on a face.

    Assumptions: equal preloads; the clamping of each screw acts near its own hole; slip is
    about the axis, which is the origin.

    Args:
        centres: Screw centres from the axis, shape (n, 2) [mm].
    Returns:
        Mean distance of the screws from the axis; the radius itself on a bolt circle [mm].
    Raises:
        InputError: no centre, or not pairs of numbers.
    Source:
        Coulomb friction, closed form.
    Example:
        >>> screws_friction_radius(centres=[(30, 40), (-100, 0)])
        75.0
    """
    place = arguments.points("centres", centres)
    return float(np.hypot(place[:, 0], place[:, 1]).mean())


def reaction_torque(*, torque_nmm: float, ratio: float, stall_ratio: float = 1.0) -> float:
    """Torque the housing joint must hold back while the gearbox multiplies the engine's.

    Assumptions: steady running; the gearbox is held by its housing joint alone.

    Args:
        torque_nmm: Peak engine torque [N·mm].
        ratio: Gear ratio, negative in reverse [-].
        stall_ratio: Torque multiplication of a converter at stall, 1 without one [-].
    Returns:
        Reaction |ratio·stall − 1|·torque [N·mm].
    Raises:
        InputError: a torque not above 0, a ratio of 0, or a stall ratio below 1.
    Source:
        Balance of torques on the gearbox housing, closed form.
    Example:
        >>> reaction_torque(torque_nmm=400e3, ratio=-2.0, stall_ratio=2.0)
        2000000.0
    """
    arguments.above_zero(torque_nmm=torque_nmm, stall_ratio=stall_ratio)
    arguments.between((1, 10), stall_ratio=stall_ratio)
    arguments.above_zero(ratio=abs(ratio) if arguments.numbers("ratio", ratio) < 0 else ratio)
    return abs(ratio * stall_ratio - 1) * torque_nmm


# ── shear and bearing ───────────────────────────────────────────────────────


def shear_strength(*, yield_mpa: float) -> float:
    """Shear yield strength of a ductile material.

    Assumptions: ductile; distortion energy.

    Args:
        yield_mpa: Yield strength in tension [MPa].
    Returns:
        Shear yield strength, yield/√3 [MPa].
    Raises:
        InputError: a strength not above 0.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 5-21.
    Example:
        >>> round(shear_strength(yield_mpa=640), 1)
        369.5
    """
    arguments.above_zero(yield_mpa=yield_mpa)
    return yield_mpa / math.sqrt(3)


def shear_force(*, pins: int, area_mm2: float, strength_mpa: float, planes: int = 1) -> float:
    """Force that screws or dowels carry in shear.

    Assumptions: all share alike, as fitted pins do and screws in clear holes do not.

    Args:
        pins: Number of screws or dowels [-].
        area_mm2: Area of one that shears [mm²].
        strength_mpa: Shear strength [MPa].
        planes: Planes across which each is sheared [-].
    Returns:
        Force n·planes·A·τ [N].
    Raises:
        InputError: no pin or plane, or a value not above 0.
    Source:
        Mechanical Engineering Design, 9th ed., section 8-12, direct shear.
    Example:
        >>> round(shear_force(pins=1, area_mm2=78.54, strength_mpa=1050))
        82467
    """
    arguments.counted(1, pins=pins, planes=planes)
    arguments.above_zero(area_mm2=area_mm2, strength_mpa=strength_mpa)
    return pins * planes * area_mm2 * strength_mpa


def dowel_diameter(*, dowels: int, torque_nmm: float, radius: float, strength_mpa: float) -> float:
    """Diameter of the dowels that carry a whole torque in single shear.

    Assumptions: solid dowels on one circle, sharing alike.

    Args:
        dowels: Number of dowels [-].
        torque_nmm: Torque to carry [N·mm].
        radius: Radius of their circle [mm].
        strength_mpa: Shear stress allowed [MPa].
    Returns:
        Least diameter √(4·T/(π·n·r·τ)) [mm].
    Raises:
        InputError: no dowel, or a value not above 0.
    Source:
        Mechanical Engineering Design, 9th ed., section 8-12, direct shear.
    Example:
        >>> round(dowel_diameter(dowels=2, torque_nmm=1e6, radius=40, strength_mpa=350), 2)
        6.74
    """
    arguments.counted(1, dowels=dowels)
    arguments.above_zero(torque_nmm=torque_nmm, radius=radius, strength_mpa=strength_mpa)
    return math.sqrt(4 * torque_nmm / (math.pi * dowels * radius * strength_mpa))


def head_pressure(*, preload_n: Number, bearing_outside: float, hole: float) -> Number:
    """Pressure of a screw head on the part under it.

    Assumptions: spread evenly over the ring between hole and bearing face.

    Args:
        preload_n: Preload [N].
        bearing_outside: Outside diameter of the face the head bears on [mm].
        hole: Diameter of the clear hole [mm].
    Returns:
        Pressure F/(π/4·(d_w² − d_h²)) [MPa].
    Raises:
        InputError: a value not above 0, or a hole as wide as the head.
    Source:
        VDI 2230 Part 1:2003, surface pressure under the head.
    Example:
        >>> round(head_pressure(preload_n=31600, bearing_outside=14.6, hole=11), 1)
        436.6
    """
    arguments.above_zero(preload_n=preload_n, bearing_outside=bearing_outside, hole=hole)
    arguments.ascending(hole=hole, bearing_outside=bearing_outside)
    return preload_n / (math.pi / 4 * (bearing_outside**2 - hole**2))


def floor_shear(*, preload_n: Number, head: float, floor: float) -> Number:
    """Shear stress in the floor of a counterbore, round the edge of the head.

    Assumptions: the head punches straight through; bending of the floor is left out.

    Args:
        preload_n: Preload [N].
        head: Diameter of the head or washer on the floor [mm].
        floor: Thickness left under the head [mm].
    Returns:
        Shear stress F/(π·d·floor) [MPa].
    Raises:
        InputError: a value not above 0.
    Source:
        Mean shear on a punched ring, closed form.
    Example:
        >>> round(floor_shear(preload_n=31600, head=16, floor=8), 1)
        78.6
    """
    arguments.above_zero(preload_n=preload_n, head=head, floor=floor)
    return preload_n / (math.pi * head * floor)


# ── overhang ────────────────────────────────────────────────────────────────


def overhang_moment(*, mass_kg: float, distance: float, shock: float = 3.0) -> float:
    """Moment of a gearbox hanging behind a joint.

    Assumptions: no support at the rear; shock multiplies its weight.

    Args:
        mass_kg: Mass behind the joint [kg].
        distance: From the joint to the centre of mass [mm].
        shock: Multiple of its weight that it is taken to pull with [-].
    Returns:
        Moment m·k·g·x [N·mm].
    Raises:
        InputError: a value not above 0.
    Source:
        Weight on an arm, closed form; three times its weight is common practice, no source.
    Example:
        >>> round(overhang_moment(mass_kg=80, distance=350) / 1000, 1)
        823.8
    """
    arguments.above_zero(mass_kg=mass_kg, distance=distance, shock=shock)
    return mass_kg * shock * GRAVITY * distance


def overhang_capacity(*, preloads_n: Row, heights: Row) -> float:
    """Moment that opens a joint about its lowest screw.

    Assumptions: the faces are rigid and tip about the lowest screw, so that each screw is
    loaded in proportion to its height.

    Args:
        preloads_n: Least preload of each screw [N].
        heights: Height of each screw above the lowest, in the same order [mm].
    Returns:
        Moment Σ F·y²/y_max [N·mm].
    Raises:
        InputError: rows of unequal length, a preload not above 0, a negative height, or all
        heights 0.
    Source:
        Rigid joint about its edge, closed form; common practice, no source.
    Example:
        >>> overhang_capacity(preloads_n=[10000, 10000, 10000, 10000], heights=[0, 0, 200, 200])
        4000000.0
    """
    forces = arguments.row("preloads_n", preloads_n)
    arms = arguments.row("heights", heights)
    arguments.above_zero(preloads_n=forces)
    arguments.not_below_zero(heights=arms)
    arguments.same_length(preloads_n=forces, heights=arms)
    arguments.above_zero(heights=arms.max())
    return float((forces * arms**2).sum() / arms.max())
