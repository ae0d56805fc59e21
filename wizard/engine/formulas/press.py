"""Press and shrink fits: pressure, stress, what they hold, and the heat to put them together."""

from __future__ import annotations

import math

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number


def press_pressure(
    *,
    interference: Number,
    diameter: float,
    hub_outside: float,
    hub_e_mpa: float,
    hub_poisson: float,
    shaft_e_mpa: float,
    shaft_poisson: float,
    shaft_bore: float = 0.0,
) -> Number:
    """Pressure between a shaft and the hub pressed or shrunk on it.

    Assumptions: elastic, both of one length, clean and round; roughness not smoothed down.

    Args:
        interference: Shaft less hub bore, on the diameter [mm].
        diameter: Diameter of the joint [mm].
        hub_outside: Outside diameter of the hub [mm].
        hub_e_mpa: Young's modulus of the hub [MPa].
        hub_poisson: Poisson's ratio of the hub, 0 … 0.5 [-].
        shaft_e_mpa: Young's modulus of the shaft [MPa].
        shaft_poisson: Poisson's ratio of the shaft, 0 … 0.5 [-].
        shaft_bore: Bore of the shaft or bush, 0 if solid [mm].
    Returns:
        δ/d / ((1/E_o)·((D²+d²)/(D²−d²) + ν_o) + (1/E_i)·((d²+b²)/(d²−b²) − ν_i)) [MPa].
    Raises:
        InputError: a negative interference, a size not above 0, or diameters not rising from
        shaft bore to hub outside.
    Source:
        Mechanical Engineering Design, 9th ed., p.116, Eq. 3-56.
    Example:
        >>> round(press_pressure(interference=0.059, diameter=40, hub_outside=80, hub_e_mpa=207e3,
        ...     hub_poisson=0.292, shaft_e_mpa=207e3, shaft_poisson=0.292), 1)
        114.5
    """
    arguments.not_below_zero(interference=interference, shaft_bore=shaft_bore)
    arguments.above_zero(diameter=diameter, hub_outside=hub_outside)
    arguments.above_zero(hub_e_mpa=hub_e_mpa, shaft_e_mpa=shaft_e_mpa)
    arguments.ascending(shaft_bore=shaft_bore, diameter=diameter, hub_outside=hub_outside)
    arguments.between((0, 0.5), hub_poisson=hub_poisson, shaft_poisson=shaft_poisson)
    joint, outer, inner = diameter**2, hub_outside**2, shaft_bore**2
    hub_give = ((outer + joint) / (outer - joint) + hub_poisson) / hub_e_mpa
    shaft_give = ((joint + inner) / (joint - inner) - shaft_poisson) / shaft_e_mpa
    return interference / (diameter * (hub_give + shaft_give))


def hub_hoop_stress(*, pressure_mpa: Number, diameter: float, hub_outside: float) -> Number:
    """Greatest hoop stress in a hub, tension at its bore.

    Assumptions: elastic thick cylinder.

    Args:
        pressure_mpa: Pressure in the joint [MPa].
        diameter: Diameter of the joint [mm].
        hub_outside: Outside diameter of the hub [mm].
    Returns:
        p·(D² + d²)/(D² − d²) [MPa].
    Raises:
        InputError: a negative pressure, a size not above 0, or a hub not larger than its bore.
    Source:
        Mechanical Engineering Design, 9th ed., p.116, outer member.
    Example:
        >>> hub_hoop_stress(pressure_mpa=60, diameter=30, hub_outside=60)
        100.0
    """
    arguments.not_below_zero(pressure_mpa=pressure_mpa)
    arguments.above_zero(diameter=diameter, hub_outside=hub_outside)
    arguments.ascending(diameter=diameter, hub_outside=hub_outside)
    return (hub_outside**2 + diameter**2) / (hub_outside**2 - diameter**2) * pressure_mpa


def shaft_hoop_stress(*, pressure_mpa: Number, diameter: float, shaft_bore: float) -> Number:
    """Hoop stress at the outside of a shaft or bush under a press fit, compression.

    Assumptions: elastic thick cylinder.

    Args:
        pressure_mpa: Pressure in the joint [MPa].
        diameter: Diameter of the joint [mm].
        shaft_bore: Bore of the shaft or bush, 0 if solid [mm].
    Returns:
        −p·(d² + b²)/(d² − b²) [MPa].
    Raises:
        InputError: a negative pressure or bore, or a bore not smaller than the joint.
    Source:
        Mechanical Engineering Design, 9th ed., p.116, inner member.
    Example:
        >>> shaft_hoop_stress(pressure_mpa=60, diameter=40, shaft_bore=20)
        -100.0
    """
    arguments.not_below_zero(pressure_mpa=pressure_mpa, shaft_bore=shaft_bore)
    arguments.above_zero(diameter=diameter)
    arguments.ascending(shaft_bore=shaft_bore, diameter=diameter)
    return -(diameter**2 + shaft_bore**2) / (diameter**2 - shaft_bore**2) * pressure_mpa


def bore_closing(*, pressure_mpa: Number, diameter: float, bore: float, e_mpa: float) -> Number:
    """How much the bore of a bush closes when it is pressed in.

    Assumptions: elastic thick cylinder pressed all over its outside.

    Args:
        pressure_mpa: Pressure on the outside of the bush [MPa].
        diameter: Outside diameter of the bush [mm].
        bore: Bore of the bush before pressing [mm].
        e_mpa: Young's modulus of the bush [MPa].
    Returns:
        Closing of the bore, on the diameter, 2·p·d²·b/(E·(d² − b²)) [mm].
    Raises:
        InputError: a negative pressure, a size not above 0, or a bore not smaller than the outside.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 3-49, thick cylinder pressed from outside.
    Example:
        >>> round(bore_closing(pressure_mpa=40, diameter=25, bore=15, e_mpa=100e3), 4)
        0.0187
    """
    arguments.not_below_zero(pressure_mpa=pressure_mpa)
    arguments.above_zero(diameter=diameter, bore=bore, e_mpa=e_mpa)
    arguments.ascending(bore=bore, diameter=diameter)
    return 2 * diameter**2 * bore / (e_mpa * (diameter**2 - bore**2)) * pressure_mpa


def push_out_force(
    *, pressure_mpa: Number, diameter: float, length: float, friction: float
) -> Number:
    """Force that pushes a press fit apart.

    Assumptions: pressure even along the fit.

    Args:
        pressure_mpa: Pressure in the joint [MPa].
        diameter: Diameter of the joint [mm].
        length: Length of the joint [mm].
        friction: Friction coefficient [-].
    Returns:
        μ·p·π·d·L [N].
    Raises:
        InputError: a negative pressure, a value not above 0, or friction over 1.
    Source:
        Coulomb friction, closed form.
    Example:
        >>> round(push_out_force(pressure_mpa=48.75, diameter=50, length=40, friction=0.15))
        45946
    """
    arguments.not_below_zero(pressure_mpa=pressure_mpa)
    arguments.above_zero(diameter=diameter, length=length, friction=friction)
    arguments.between((0, 1), friction=friction)
    return friction * math.pi * diameter * length * pressure_mpa


def press_torque(
    *, pressure_mpa: Number, diameter: float, length: float, friction: float
) -> Number:
    """Torque at which a press fit turns.

    Assumptions: pressure even along the fit.

    Args:
        pressure_mpa: Pressure in the joint [MPa].
        diameter: Diameter of the joint [mm].
        length: Length of the joint [mm].
        friction: Friction coefficient [-].
    Returns:
        μ·p·π·d²·L/2 [N·mm].
    Raises:
        InputError: a negative pressure, a value not above 0, or friction over 1.
    Source:
        Coulomb friction, closed form.
    Example:
        >>> round(press_torque(pressure_mpa=48.75, diameter=50, length=40, friction=0.15) / 1000)
        1149
    """
    force = push_out_force(
        pressure_mpa=pressure_mpa, diameter=diameter, length=length, friction=friction
    )
    return diameter / 2 * force


def fitting_temperature(
    *, interference: Number, clearance: float, diameter: float, cte_per_k: float
) -> Number:
    """How much to heat a hub (or cool a shaft) to drop it on with a wanted clearance.

    Assumptions: only the one part changes temperature; its expansion is even over the range.

    Args:
        interference: Shaft less hub bore when cold, on the diameter [mm].
        clearance: Clearance wanted while fitting, on the diameter [mm].
        diameter: Diameter of the joint [mm].
        cte_per_k: Coefficient of expansion of the part heated or cooled [1/K].
    Returns:
        Change of temperature (δ + c)/(α·d) [K].
    Raises:
        InputError: a negative interference or clearance, or a value not above 0.
    Source:
        Linear expansion, closed form.
    Example:
        >>> round(fitting_temperature(interference=0.06, clearance=0.04, diameter=50,
        ...                           cte_per_k=11.7e-6))
        171
    """
    arguments.not_below_zero(interference=interference, clearance=clearance)
    arguments.above_zero(diameter=diameter, cte_per_k=cte_per_k)
    return (interference + clearance) / (cte_per_k * diameter)
