"""What turns: mass, inertia, energy, centrifugal force, and what hangs on a rim."""

from __future__ import annotations

import math

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number
from wizard.engine.formulas.rotating import angular_speed


def centrifugal_force(*, mass_kg: float, radius: float, speed_rpm: Number) -> Number:
    """Centrifugal force of a mass on a radius.

    Args:
        mass_kg: Mass [kg].
        radius: Distance of its centre from the axis [mm].
        speed_rpm: Speed [rpm].
    Returns:
        m·r·ω² [N].
    Raises:
        InputError: a negative value.
    Source:
        Newton's second law.
    Example:
        >>> round(centrifugal_force(mass_kg=0.25, radius=120, speed_rpm=5000))
        8225
    """
    arguments.not_below_zero(mass_kg=mass_kg, radius=radius)
    return mass_kg * radius * 1e-3 * angular_speed(speed_rpm=speed_rpm) ** 2


def ring_mass(*, bore: float, outside: float, length: float, density_kg_m3: float) -> float:
    """Mass of a ring or disc.

    Args:
        bore: Bore diameter, 0 for a full disc [mm].
        outside: Outside diameter [mm].
        length: Length along the axis [mm].
        density_kg_m3: Density [kg/m³].
    Returns:
        ρ·π/4·(D² − d²)·L [kg].
    Raises:
        InputError: a negative size, or a bore not smaller than the outside.
    Source:
        Volume of a ring, closed form.
    Example:
        >>> round(ring_mass(bore=50, outside=120, length=30, density_kg_m3=7850), 3)
        2.201
    """
    arguments.not_below_zero(bore=bore)
    arguments.above_zero(outside=outside, length=length, density_kg_m3=density_kg_m3)
    arguments.ascending(bore=bore, outside=outside)
    return density_kg_m3 * 1e-9 * math.pi / 4 * (outside**2 - bore**2) * length


def ring_inertia(*, mass_kg: float, bore: float, outside: float) -> float:
    """Moment of inertia of a ring or disc about its axis.

    Args:
        mass_kg: Mass [kg].
        bore: Bore diameter, 0 for a full disc [mm].
        outside: Outside diameter [mm].
    Returns:
        m/8·(D² + d²) [kg·mm²].
    Raises:
        InputError: a negative value, or a bore not smaller than the outside.
    Source:
        Mechanical Engineering Design, 9th ed., Table A-18, hollow cylinder.
    Example:
        >>> ring_inertia(mass_kg=2.0, bore=60, outside=100)
        3400.0
    """
    arguments.not_below_zero(bore=bore)
    arguments.above_zero(mass_kg=mass_kg, outside=outside)
    arguments.ascending(bore=bore, outside=outside)
    return mass_kg / 8 * (outside**2 + bore**2)


def kinetic_energy(*, inertia_kg_mm2: float, speed_rpm: Number) -> Number:
    """Energy of a turning part, which a shield must hold if it bursts.

    Args:
        inertia_kg_mm2: Moment of inertia about the axis [kg·mm²].
        speed_rpm: Speed [rpm].
    Returns:
        I·ω²/2 [J].
    Raises:
        InputError: a negative value.
    Source:
        Closed form.
    Example:
        >>> round(kinetic_energy(inertia_kg_mm2=3400, speed_rpm=6000), 1)
        671.1
    """
    arguments.not_below_zero(inertia_kg_mm2=inertia_kg_mm2)
    return 0.5e-6 * inertia_kg_mm2 * angular_speed(speed_rpm=speed_rpm) ** 2


def rim_load_peak_hoop(*, force_n: Number, thickness: float, bore: float, outside: float) -> Number:
    """Greatest hoop stress that loads hung on a ring's rim add; it stands at the bore.

    Assumptions: the loads pull outward, spread evenly round the outside; elastic.

    Args:
        force_n: Sum of the outward forces, n·F_c for n posts [N].
        thickness: Thickness of the ring [mm].
        bore: Bore diameter [mm].
        outside: Diameter on which the loads act [mm].
    Returns:
        2·p·D²/(D² − d²) with p = F/(π·D·t) [MPa].
    Raises:
        InputError: a size not above 0, a negative force, or a bore not smaller than the outside.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 3-49, thick cylinder pulled at its outside.
    Example:
        >>> round(rim_load_peak_hoop(force_n=40000, thickness=15, bore=60, outside=240), 2)
        7.55
    """
    arguments.not_below_zero(force_n=force_n)
    arguments.above_zero(thickness=thickness, bore=bore, outside=outside)
    arguments.ascending(bore=bore, outside=outside)
    pull = 2 * outside**2 / (outside**2 - bore**2) / (math.pi * outside * thickness)
    return pull * force_n


def rim_load_mean_hoop(*, force_n: Number, thickness: float, bore: float, outside: float) -> Number:
    """Hoop stress that loads hung on a ring's rim add, averaged over the section.

    Assumptions: the loads pull outward, spread evenly round the ring.

    Args:
        force_n: Sum of the outward forces, n·F_c for n posts [N].
        thickness: Thickness of the ring [mm].
        bore: Bore diameter, 0 for a full disc [mm].
        outside: Outside diameter [mm].
    Returns:
        F/(2π)/(t·(D − d)/2) [MPa].
    Raises:
        InputError: a negative value, or a bore not smaller than the outside.
    Source:
        Balance of forces on half the ring, closed form.
    Example:
        >>> round(rim_load_mean_hoop(force_n=40000, thickness=15, bore=60, outside=240), 2)
        4.72
    """
    arguments.not_below_zero(force_n=force_n, bore=bore)
    arguments.above_zero(thickness=thickness, outside=outside)
    arguments.ascending(bore=bore, outside=outside)
    return force_n / (math.pi * thickness * (outside - bore))
