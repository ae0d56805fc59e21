"""How closely a printed figure can be met: half a unit of its last digit."""

from __future__ import annotations


def half_digit(text: str) -> float:
    """Half a unit in the last place of a figure as printed.

    Example:
        >>> half_digit("31.6"), half_digit("51")
        (0.05, 0.5)
    """
    _, point, decimals = text.partition(".")
    return 0.5 * 10.0 ** -len(decimals) if point else 0.5
