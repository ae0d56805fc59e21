"""Balance: what unbalance is allowed, what an offset or a hole makes, and what it does."""

from __future__ import annotations

import math

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number, Row, Rows
from wizard.engine.formulas.rotating import angular_speed

POINT_ANGLE = 118.0  # of a common twist drill [°]
GRAVITY = 9806.65  # mm/s², standard fall
_TIP = 1 / (2 * math.tan(math.radians(POINT_ANGLE / 2)))  # height of its point per diameter


def permissible_unbalance(*, grade_mm_s: float, mass_kg: float, speed_rpm: Number) -> Number:
    """Residual unbalance a rotor may keep.

    Assumptions: rigid rotor; the whole of it in one plane.

    Args:
        grade_mm_s: Balance quality grade, the figure after G [mm/s].
        mass_kg: Mass of the rotor [kg].
        speed_rpm: Greatest service speed [rpm].
    Returns:
        U_per = 9549·G·m/n [g·mm].
    Raises:
        InputError: a value not above 0.
    Source:
        ISO 21940-11:2016, permissible residual unbalance.
    Example:
        >>> round(permissible_unbalance(grade_mm_s=6.3, mass_kg=2, speed_rpm=10000), 2)
        12.03
    """
    arguments.above_zero(grade_mm_s=grade_mm_s, mass_kg=mass_kg, speed_rpm=speed_rpm)
    return 1000 * grade_mm_s * mass_kg / angular_speed(speed_rpm=speed_rpm)


def permissible_offset(*, grade_mm_s: float, speed_rpm: Number) -> Number:
    """How far a rotor's centre of mass may lie off the axis it turns about.

    Assumptions: rigid rotor.

    Args:
        grade_mm_s: Balance quality grade, the figure after G [mm/s].
        speed_rpm: Greatest service speed [rpm].
    Returns:
        e_per = G/ω [mm].
    Raises:
        InputError: a value not above 0.
    Source:
        ISO 21940-11:2016, balance quality grades.
    Example:
        >>> round(permissible_offset(grade_mm_s=6.3, speed_rpm=6000), 5)
        0.01003
    """
    arguments.above_zero(grade_mm_s=grade_mm_s, speed_rpm=speed_rpm)
    return grade_mm_s / angular_speed(speed_rpm=speed_rpm)


def grade_reached(*, unbalance_gmm: Number, mass_kg: float, speed_rpm: float) -> Number:
    """Balance quality a residual unbalance amounts to.

    Assumptions: rigid rotor; the whole of it in one plane.

    Args:
        unbalance_gmm: Residual unbalance [g·mm].
        mass_kg: Mass of the rotor [kg].
        speed_rpm: Greatest service speed [rpm].
    Returns:
        G = U·ω/m, to be at most the figure after G [mm/s].
    Raises:
        InputError: a negative unbalance, or a value not above 0.
    Source:
        ISO 21940-11:2016, balance quality grades.
    Example:
        >>> round(grade_reached(unbalance_gmm=150, mass_kg=3, speed_rpm=6000), 1)
        31.4
    """
    arguments.not_below_zero(unbalance_gmm=unbalance_gmm)
    arguments.above_zero(mass_kg=mass_kg, speed_rpm=speed_rpm)
    return angular_speed(speed_rpm=speed_rpm) / (1000 * mass_kg) * unbalance_gmm


def offset_unbalance(*, mass_kg: float, offset: Number) -> Number:
    """Unbalance of a part, itself in balance, that is held off the axis.

    Assumptions: the part turns about the axis, not its own centre.

    Args:
        mass_kg: Mass of the part [kg].
        offset: Its centre from the axis; half its register's TIR [mm].
    Returns:
        U = m·e [g·mm].
    Raises:
        InputError: a negative value.
    Source:
        ISO 21940-11:2016, definition of unbalance.
    Example:
        >>> round(offset_unbalance(mass_kg=3, offset=0.05), 1)
        150.0
    """
    arguments.not_below_zero(mass_kg=mass_kg, offset=offset)
    return 1000 * mass_kg * offset


def resultant_unbalance(*, masses_kg: Row, centres: Rows) -> tuple[float, float]:
    """Unbalance of several masses, or of holes given as negative masses.

    Assumptions: all in one plane.

    Args:
        masses_kg: Each mass, negative for metal taken away [kg].
        centres: Its centre from the axis, shape (n, 2) [mm].
    Returns:
        Size of the vector sum of m·r [g·mm], and the direction of the heavy side [°].
    Raises:
        InputError: rows of unequal length or not numbers.
    Source:
        ISO 21940-11:2016, definition of unbalance; vector sum.
    Example:
        >>> size, heavy = resultant_unbalance(masses_kg=[-0.01], centres=[(0, 80)])
        >>> round(size, 6), round(heavy, 6)
        (800.0, -90.0)
    """
    masses = arguments.row("masses_kg", masses_kg)
    place = arguments.points("centres", centres)
    arguments.same_length(masses_kg=masses, centres=place)
    x, y = 1000 * masses @ place
    return math.hypot(x, y), math.degrees(math.atan2(y, x))


def drilled_mass(*, diameter: float, depth: float, density_kg_m3: float) -> float:
    """Mass a drilled hole takes away.

    Assumptions: flat face, drill point of 118°.

    Args:
        diameter: Drill diameter [mm].
        depth: Depth at full diameter, without the point [mm].
        density_kg_m3: Density [kg/m³].
    Returns:
        ρ·π·d²/4·(h + 0.1·d) [kg].
    Raises:
        InputError: a value not above 0, or a negative depth.
    Source:
        Volume of a cylinder and a cone, closed form.
    Example:
        >>> round(1000 * drilled_mass(diameter=10, depth=5, density_kg_m3=7850), 1)
        3.7
    """
    arguments.above_zero(diameter=diameter, density_kg_m3=density_kg_m3)
    arguments.not_below_zero(depth=depth)
    area = math.pi / 4 * diameter**2
    return density_kg_m3 * 1e-9 * area * (depth + _TIP * diameter / 3)


def drill_depth(
    *, unbalance_gmm: float, radius: float, diameter: float, density_kg_m3: float
) -> float:
    """How deep to drill at the heavy side to take an unbalance away.

    Assumptions: flat face, drill point of 118°, the hole all at one radius.

    Args:
        unbalance_gmm: Unbalance to take away [g·mm].
        radius: Radius of the hole's centre [mm].
        diameter: Drill diameter [mm].
        density_kg_m3: Density [kg/m³].
    Returns:
        Depth at full diameter, without the point; 0 where the point alone is enough [mm].
    Raises:
        InputError: a value not above 0.
    Source:
        Volume of a cylinder and a cone, closed form.
    Example:
        >>> round(drill_depth(unbalance_gmm=370, radius=100, diameter=10, density_kg_m3=7850), 1)
        5.0
    """
    arguments.above_zero(unbalance_gmm=unbalance_gmm, radius=radius)
    arguments.above_zero(diameter=diameter, density_kg_m3=density_kg_m3)
    volume = unbalance_gmm / radius / (density_kg_m3 * 1e-6)
    return max(0.0, volume / (math.pi / 4 * diameter**2) - _TIP * diameter / 3)


def unbalance_force(*, unbalance_gmm: Number, speed_rpm: float) -> Number:
    """Force with which an unbalance whirls.

    Args:
        unbalance_gmm: Unbalance [g·mm].
        speed_rpm: Speed [rpm].
    Returns:
        U·ω² [N].
    Raises:
        InputError: a negative value.
    Source:
        Newton's second law.
    Example:
        >>> round(unbalance_force(unbalance_gmm=150, speed_rpm=6000), 1)
        59.2
    """
    arguments.not_below_zero(unbalance_gmm=unbalance_gmm)
    return 1e-6 * angular_speed(speed_rpm=speed_rpm) ** 2 * unbalance_gmm


def swing_unbalance(*, inertia_kg_mm2: float, period_s: float) -> float:
    """Unbalance of a part from the time of one small swing about its heavy side's lowest place.

    Assumptions: swings of 15° or less to either side, little friction; the inertia is about the
    line it turns or rolls on, so a part rolling on a journal of radius r has m·r² more.

    Args:
        inertia_kg_mm2: Moment of inertia about that line [kg·mm²].
        period_s: Time of one whole swing, there and back [s].
    Returns:
        U = 4π²·I/(g·T²) [g·mm].
    Raises:
        InputError: a value not above 0.
    Source:
        Physical pendulum, T = 2π·√(I/(m·g·e)), closed form.
    Example:
        >>> round(swing_unbalance(inertia_kg_mm2=25000, period_s=20))
        252
    """
    arguments.above_zero(inertia_kg_mm2=inertia_kg_mm2, period_s=period_s)
    return 1000 * 4 * math.pi**2 * inertia_kg_mm2 / (GRAVITY * period_s**2)
