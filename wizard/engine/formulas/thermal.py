"""Growth with temperature."""

from __future__ import annotations

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number


def growth(*, length: float, cte_per_k: float, rise_k: Number) -> Number:
    """How much longer a part grows.

    Assumptions: free to grow; expansion even over the range.

    Args:
        length: Length when cold [mm].
        cte_per_k: Coefficient of linear expansion [1/K].
        rise_k: Rise of temperature, − for cooling [K].
    Returns:
        α·L·ΔT [mm].
    Raises:
        InputError: a length or coefficient below 0, or not a number.
    Source:
        Definition of the coefficient of linear expansion.
    Example:
        >>> round(growth(length=400, cte_per_k=23.6e-6, rise_k=80), 3)
        0.755
    """
    arguments.not_below_zero(length=length, cte_per_k=cte_per_k)
    arguments.finite(rise_k=rise_k)
    return cte_per_k * length * rise_k


def growth_difference(
    *, length: float, first_cte_per_k: float, second_cte_per_k: float, rise_k: Number
) -> Number:
    """How much further one of two joined parts grows than the other, across their dowels.

    Assumptions: both free to grow and equally warm; expansion even over the range.

    Args:
        length: Distance between the dowels when cold [mm].
        first_cte_per_k: Coefficient of expansion of the one part [1/K].
        second_cte_per_k: Coefficient of expansion of the other [1/K].
        rise_k: Rise of temperature, − for cooling [K].
    Returns:
        (α₁ − α₂)·L·ΔT, + where the first outgrows the second [mm].
    Raises:
        InputError: a length or coefficient below 0, or not a number.
    Source:
        Definition of the coefficient of linear expansion.
    Example:
        >>> round(growth_difference(length=400, first_cte_per_k=23.6e-6, second_cte_per_k=11.6e-6,
        ...                         rise_k=80), 2)
        0.38
    """
    arguments.not_below_zero(first_cte_per_k=first_cte_per_k, second_cte_per_k=second_cte_per_k)
    first = growth(length=length, cte_per_k=first_cte_per_k, rise_k=rise_k)
    return first - growth(length=length, cte_per_k=second_cte_per_k, rise_k=rise_k)


def warm_play(
    *,
    play: Number,
    diameter: float,
    hole_cte_per_k: float,
    shaft_cte_per_k: float,
    hole_rise_k: float,
    shaft_rise_k: float,
) -> Number:
    """Play of a register or bush when its parts are warm.

    Assumptions: both free to grow, each at one temperature.

    Args:
        play: Hole less shaft when cold, negative for interference [mm].
        diameter: Diameter of the joint [mm].
        hole_cte_per_k: Coefficient of expansion of the part with the hole [1/K].
        shaft_cte_per_k: Coefficient of expansion of the part inside it [1/K].
        hole_rise_k: Rise of temperature of the part with the hole [K].
        shaft_rise_k: Rise of temperature of the part inside it [K].
    Returns:
        c + d·(α_h·ΔT_h − α_s·ΔT_s), negative for interference [mm].
    Raises:
        InputError: a diameter or coefficient below 0, or not a number.
    Source:
        Definition of the coefficient of linear expansion.
    Example:
        >>> round(warm_play(play=0.02, diameter=100, hole_cte_per_k=23.6e-6,
        ...     shaft_cte_per_k=11.7e-6, hole_rise_k=80, shaft_rise_k=80), 4)
        0.1152
    """
    arguments.finite(play=play, hole_rise_k=hole_rise_k, shaft_rise_k=shaft_rise_k)
    arguments.not_below_zero(diameter=diameter)
    arguments.not_below_zero(hole_cte_per_k=hole_cte_per_k, shaft_cte_per_k=shaft_cte_per_k)
    hole = growth(length=diameter, cte_per_k=hole_cte_per_k, rise_k=hole_rise_k)
    shaft = growth(length=diameter, cte_per_k=shaft_cte_per_k, rise_k=shaft_rise_k)
    return play + (hole - shaft)
