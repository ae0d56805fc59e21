"""What a finished part is held to: general limits, places, trueness, and the half of a fit it belongs to.

Drawing and inspection sheet both read it here, so that they cannot ask for different things.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

Row = Mapping[str, Any]
Limits = tuple[float, float]

# ISO 2768-1:1989, table 1, class m: up to 3, 6, 30, 120, 400, 1000, 2000 mm (from memory).
GENERAL = ((3.0, 0.1), (6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8), (2000.0, 1.2))  # fmt: skip
STANDARD = "ISO 2768-1:1989 m"
# Diameters a hole's middle stays within, flatness and profile, registers true to each other (TIR),
# faces parallel [mm]: what a shop holds where nothing else is said.
PRACTICE = "common practice, no source"
BOLT_PLACE, DOWEL_PLACE, FLAT, PROFILE, RING_TRUE, RING_PARALLEL = (
    0.25,
    0.05,
    0.05,
    0.5,
    0.02,
    0.015,
)
# Roughness of registers and bores, faces, and the rest: Ra [µm].
RA_FITTED, RA_FACE, RA_REST = 1.6, 3.2, 6.3
LOCATING = (
    "register", "spigot", "recess", "driven_spigot", "driven_recess", "bore", "outside",
)  # fmt: skip
_MEETS = 1e-6  # mm


def general(nominal: float) -> Limits:
    """General limits of a length without limits of its own [mm].

    Source: ISO 2768-1:1989, table 1, class m (from memory).
    """
    within = next((within for most, within in GENERAL if nominal <= most), GENERAL[-1][1])
    return nominal - within, nominal + within


def place(hole: Row) -> float:
    """Diameter the middle of a hole stays within [mm]."""
    return DOWEL_PLACE if hole["kind"] == "dowel" else BOLT_PLACE


def apart(one: Row, other: Row, nominal: float) -> Limits:
    """Limits of the distance between two holes: each may lie half its zone off, toward or away [mm]."""
    within = (place(one) + place(other)) / 2
    return nominal - within, nominal + within


def fit_of(fits: Sequence[Row], name: str, size: float) -> tuple[Row, Limits] | None:
    """The fit a locating size is part of, and the limits of the half that is made [mm].

    Args:
        fits: Of an answer. name: Of the size. size: [mm].
    """
    if name not in LOCATING:
        return None
    for fit in fits:
        for low, high in _made(fit) if fit.get("class") else ():
            if min(low, high) - _MEETS <= size <= max(low, high) + _MEETS:
                return fit, (low, high)
    return None


def _made(fit: Row) -> Sequence[Limits]:
    """The limits of the half of a fit that is made here, or of both."""
    hole, shaft = tuple(fit["hole"]), tuple(fit["shaft"])
    return {"hole": (shaft,), "shaft": (hole,)}.get(fit.get("existing", "shaft"), (hole, shaft))
