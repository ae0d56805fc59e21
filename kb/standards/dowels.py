"""Hardened dowel pins: limits of the pin, the hole suggested for it, and its shear strength.

Suggested holes are for a press fit in mild steel and cast iron; the half that slides is opened
to suit (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from kb.errors import NotTabulated
from kb.standards.loader import MATCH, Row, table
from kb.standards.threads import check_system

_TABLES = {"inch": ("dowels_inch",), "metric": ("dowels_metric", "dowels_iso")}


@dataclass(frozen=True, kw_only=True)
class Pin:
    """A dowel pin.

    Attributes:
        nominal: Basic diameter [mm].
        pin: Least and largest diameter [mm].
        hole: Least and largest hole for a press fit [mm]; ``None`` where none is suggested.
        single_shear_n: Strength in single shear [N]; ``None`` where none is given.
        source: Who says so.
    """

    nominal: float
    pin: tuple[float, float]
    hole: tuple[float, float] | None
    single_shear_n: float | None
    source: str


@cache
def pin(nominal: float, system: str) -> Pin:
    """The dowel pin of a basic diameter.

    Inch pins are ASME B18.8.2, metric ones ASME B18.8.5M; 14 mm, which it lacks, is ISO 8734.

    Args:
        nominal: Basic diameter [mm].
        system: ``"inch"`` or ``"metric"``.
    Raises:
        NotTabulated: a diameter not held.
    """
    for name in _TABLES[check_system(system)]:
        if found := _find(name, nominal):
            return found
    held = ", ".join(f"{size:g}" for size in sizes(system))
    raise NotTabulated(_title(system), f"{nominal:g} mm", f"{held} mm")


def iso_pin(nominal: float) -> Pin:
    """The parallel pin of ISO 8734, tolerance m6, 3 to 20 mm.

    Raises:
        NotTabulated: a diameter not held.
    """
    if found := _find("dowels_iso", nominal):
        return found
    held = ", ".join(row.text("size") for row in table("dowels_iso"))
    raise NotTabulated(table("dowels_iso").passport.title, f"{nominal:g} mm", f"{held} mm")


def sizes(system: str) -> tuple[float, ...]:
    """Basic diameters held [mm], smallest first."""
    names = _TABLES[check_system(system)]
    return tuple(sorted({row.value("nominal") for name in names for row in table(name)}))


def _find(name: str, nominal: float) -> Pin | None:
    for row in table(name):
        if abs(row.value("nominal") - nominal) <= MATCH:
            return _pin(row)
    return None


def _pin(row: Row) -> Pin:
    suggested = "hole_min" in row.cells
    return Pin(
        nominal=row.value("nominal"),
        pin=(row.value("pin_min"), row.value("pin_max")),
        hole=(row.value("hole_min"), row.value("hole_max")) if suggested else None,
        single_shear_n=row.value("single_shear") if suggested else None,
        source=row.passport.source,
    )


def _title(system: str) -> str:
    return table(_TABLES[system][0]).passport.title
