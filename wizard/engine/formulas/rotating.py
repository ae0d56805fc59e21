"""Rotating rings and discs: stress, centrifugal force, mass and inertia."""

from __future__ import annotations

import math

from kb.errors import OutOfScope
from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number

_MM_TO_MPA = 1e-12  # kg/m³ · (rad/s)² · mm² in MPa
THIN = 0.1  # wall over mean radius up to which a ring counts as thin


def angular_speed(*, speed_rpm: Number) -> Number:
    """Angular speed.

    Args:
        speed_rpm: Speed [rpm].
    Returns:
        ω = 2π·n/60 [rad/s].
    Raises:
        InputError: a negative speed.
    Source:
        Definition.
    Example:
        >>> round(angular_speed(speed_rpm=6000), 3)
        628.319
    """
    arguments.not_below_zero(speed_rpm=speed_rpm)
    return 2 * math.pi / 60 * speed_rpm


def _inertia_pressure(*, density_kg_m3: float, speed_rpm: Number) -> Number:
    """ρ·ω² as stress per radius squared [MPa/mm²]."""
    arguments.above_zero(density_kg_m3=density_kg_m3)
    return _MM_TO_MPA * density_kg_m3 * angular_speed(speed_rpm=speed_rpm) ** 2


def _ring(*, bore: float, outside: float, poisson: float) -> None:
    arguments.above_zero(bore=bore, outside=outside)
    arguments.ascending(bore=bore, outside=outside)
    arguments.between((0, 0.5), poisson=poisson)


def _within(*, radius: Number, bore: float, outside: float) -> None:
    arguments.between((bore / 2 * (1 - 1e-12), outside / 2 * (1 + 1e-12)), radius=radius)


# ── stress ──────────────────────────────────────────────────────────────────


def hoop_stress(
    *, radius: Number, bore: float, outside: float, speed_rpm: float, density_kg_m3: float,
    poisson: float,
) -> Number:  # fmt: skip
    """Hoop stress in a rotating flat ring, at a radius.

    Assumptions: uniform thickness small beside the diameter, elastic, no load but its own mass,
    no holes.

    Args:
        radius: Where, from the bore's edge to the outside [mm].
        bore: Bore diameter, 2·r_i [mm].
        outside: Outside diameter, 2·r_o [mm].
        speed_rpm: Speed [rpm].
        density_kg_m3: Density [kg/m³].
        poisson: Poisson's ratio, 0 … 0.5 [-].
    Returns:
        ρω²·(3+ν)/8·(r_i² + r_o² + r_i²r_o²/r² − (1+3ν)/(3+ν)·r²) [MPa].
    Raises:
        InputError: a size not above 0, a bore not smaller than the outside, a radius outside the
        ring, a negative speed, or ν outside 0 … 0.5.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 3-55.
    Example:
        >>> round(hoop_stress(radius=50, bore=100, outside=300, speed_rpm=6000,
        ...                   density_kg_m3=7850, poisson=0.3), 2)
        58.88
    """
    _ring(bore=bore, outside=outside, poisson=poisson)
    _within(radius=radius, bore=bore, outside=outside)
    inner, outer = (bore / 2) ** 2, (outside / 2) ** 2
    scale = _inertia_pressure(density_kg_m3=density_kg_m3, speed_rpm=speed_rpm) * (3 + poisson) / 8
    share = (1 + 3 * poisson) / (3 + poisson)
    return scale * (inner + outer + inner * outer / radius**2 - share * radius**2)


def radial_stress(
    *, radius: Number, bore: float, outside: float, speed_rpm: float, density_kg_m3: float,
    poisson: float,
) -> Number:  # fmt: skip
    """Radial stress in a rotating flat ring, at a radius.

    Assumptions: uniform thickness small beside the diameter, elastic, no load but its own mass,
    no holes.

    Args:
        radius: Where, from the bore's edge to the outside [mm].
        bore: Bore diameter, 2·r_i [mm].
        outside: Outside diameter, 2·r_o [mm].
        speed_rpm: Speed [rpm].
        density_kg_m3: Density [kg/m³].
        poisson: Poisson's ratio, 0 … 0.5 [-].
    Returns:
        ρω²·(3+ν)/8·(r_i² + r_o² − r_i²r_o²/r² − r²) [MPa].
    Raises:
        InputError: a size not above 0, a bore not smaller than the outside, a radius outside the
        ring, a negative speed, or ν outside 0 … 0.5.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 3-55.
    Example:
        >>> round(radial_stress(radius=86.6, bore=100, outside=300, speed_rpm=6000,
        ...                     density_kg_m3=7850, poisson=0.3), 2)
        12.78
    """
    _ring(bore=bore, outside=outside, poisson=poisson)
    _within(radius=radius, bore=bore, outside=outside)
    inner, outer = (bore / 2) ** 2, (outside / 2) ** 2
    scale = _inertia_pressure(density_kg_m3=density_kg_m3, speed_rpm=speed_rpm) * (3 + poisson) / 8
    return scale * (inner + outer - inner * outer / radius**2 - radius**2)


def peak_hoop_stress(
    *, bore: float, outside: float, speed_rpm: Number, density_kg_m3: float, poisson: float
) -> Number:
    """Greatest hoop stress of a rotating flat ring; it stands at the bore.

    Assumptions: uniform thickness small beside the diameter, elastic, no load but its own mass,
    no holes (a small hole may double or treble the stress at its edge).

    Args:
        bore: Bore diameter, 2·r_i [mm].
        outside: Outside diameter, 2·r_o [mm].
        speed_rpm: Speed [rpm].
        density_kg_m3: Density [kg/m³].
        poisson: Poisson's ratio, 0 … 0.5 [-].
    Returns:
        (3+ν)/4·ρω²·(r_o² + (1−ν)/(3+ν)·r_i²) [MPa].
    Raises:
        InputError: a size not above 0, a bore not smaller than the outside, a negative speed, or
        ν outside 0 … 0.5.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 3-55 at the bore.
    Example:
        >>> round(peak_hoop_stress(bore=100, outside=300, speed_rpm=6000, density_kg_m3=7850,
        ...                        poisson=0.3), 2)
        58.88
    """
    _ring(bore=bore, outside=outside, poisson=poisson)
    inner, outer = (bore / 2) ** 2, (outside / 2) ** 2
    shape = (3 + poisson) / 4 * outer + (1 - poisson) / 4 * inner
    return shape * _inertia_pressure(density_kg_m3=density_kg_m3, speed_rpm=speed_rpm)


def peak_radial_stress(
    *, bore: float, outside: float, speed_rpm: Number, density_kg_m3: float, poisson: float
) -> Number:
    """Greatest radial stress of a rotating flat ring; it stands at √(r_i·r_o).

    Assumptions: uniform thickness small beside the diameter, elastic, no load but its own mass,
    no holes.

    Args:
        bore: Bore diameter, 2·r_i [mm].
        outside: Outside diameter, 2·r_o [mm].
        speed_rpm: Speed [rpm].
        density_kg_m3: Density [kg/m³].
        poisson: Poisson's ratio, 0 … 0.5 [-].
    Returns:
        (3+ν)/8·ρω²·(r_o − r_i)² [MPa].
    Raises:
        InputError: a size not above 0, a bore not smaller than the outside, a negative speed, or
        ν outside 0 … 0.5.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 3-55 where it is greatest.
    Example:
        >>> round(peak_radial_stress(bore=100, outside=300, speed_rpm=6000, density_kg_m3=7850,
        ...                          poisson=0.3), 2)
        12.78
    """
    _ring(bore=bore, outside=outside, poisson=poisson)
    shape = (3 + poisson) / 8 * ((outside - bore) / 2) ** 2
    return shape * _inertia_pressure(density_kg_m3=density_kg_m3, speed_rpm=speed_rpm)


def mean_hoop_stress(
    *, bore: float, outside: float, speed_rpm: Number, density_kg_m3: float
) -> Number:
    """Hoop stress of a rotating ring averaged over its section, which decides when it bursts.

    Assumptions: uniform thickness; ductile, so that yielding evens the stress out before it bursts.

    Args:
        bore: Bore diameter, 2·r_i; 0 for a full disc [mm].
        outside: Outside diameter, 2·r_o [mm].
        speed_rpm: Speed [rpm].
        density_kg_m3: Density [kg/m³].
    Returns:
        ρω²·(r_o² + r_o·r_i + r_i²)/3 [MPa].
    Raises:
        InputError: a negative size or speed, or a bore not smaller than the outside.
    Source:
        Balance of forces on half the ring, closed form.
    Example:
        >>> round(mean_hoop_stress(bore=100, outside=300, speed_rpm=6000, density_kg_m3=7850), 2)
        33.57
    """
    arguments.not_below_zero(bore=bore)
    arguments.above_zero(outside=outside)
    arguments.ascending(bore=bore, outside=outside)
    inner, outer = bore / 2, outside / 2
    shape = (outer**2 + outer * inner + inner**2) / 3
    return shape * _inertia_pressure(density_kg_m3=density_kg_m3, speed_rpm=speed_rpm)


def thin_ring_stress(
    *, bore: float, outside: float, speed_rpm: Number, density_kg_m3: float
) -> Number:
    """Hoop stress of a thin rotating ring.

    Assumptions: wall at most a tenth of the mean radius, the same stress all through it.

    Args:
        bore: Bore diameter [mm].
        outside: Outside diameter [mm].
        speed_rpm: Speed [rpm].
        density_kg_m3: Density [kg/m³].
    Returns:
        ρω²·r² at the mean radius [MPa].
    Raises:
        InputError: a size not above 0, a negative speed, or a bore not smaller than the outside.
        OutOfScope: the wall is thicker than a tenth of the mean radius.
    Source:
        Mechanical Engineering Design, 9th ed., section 3-15.
    Example:
        >>> round(thin_ring_stress(bore=299, outside=301, speed_rpm=6000, density_kg_m3=7850), 2)
        69.73
    """
    arguments.above_zero(bore=bore, outside=outside)
    arguments.ascending(bore=bore, outside=outside)
    middle, wall = (bore + outside) / 4, (outside - bore) / 2
    if wall > THIN * middle:
        reach = f"thin rings, walls up to a tenth of the mean radius {middle:g} mm"
        raise OutOfScope("wall", wall, reach, "Mechanical Engineering Design, 9th ed., 3-15")
    return middle**2 * _inertia_pressure(density_kg_m3=density_kg_m3, speed_rpm=speed_rpm)
