"""Clearance holes for screws: ISO 273 for metric ones, ASME B18.2.8 for inch ones."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from kb.errors import InputError, NotTabulated
from kb.quantity import Thread
from kb.standards import drills, fits
from kb.standards.loader import MATCH, Row, table
from kb.standards.threads import check_system, coarse

FITS = ("close", "normal", "loose")
ISO_273_GRADE = {"close": "H12", "normal": "H13", "loose": "H14"}


@dataclass(frozen=True, kw_only=True)
class Clearance:
    """A clearance hole.

    Attributes:
        diameter: The hole as drilled [mm].
        lower, upper: Its limits of size [mm].
        drill_name: The drill that makes it.
        source: Who says so.
    """

    diameter: float
    lower: float
    upper: float
    drill_name: str
    source: str


@cache
def hole(thread: Thread, fit: str) -> Clearance:
    """The clearance hole of a thread; its pitch does not matter.

    Inch limits are printed to 0.001 in, so a least hole may stand a little over its own drill;
    the smaller of the two is given.

    Args:
        thread: The screw's thread.
        fit: ``"close"``, ``"normal"`` or ``"loose"`` (ISO 273 fine, medium, coarse).
    Raises:
        InputError: another fit. NotTabulated: a size the standard has no row for.
    """
    if fit not in FITS:
        raise InputError("fit", fit, "write close, normal or loose")
    row = _row(thread)
    return _metric(row, fit) if thread.system == "metric" else _inch(row, fit)


@cache
def largest_thread_for(hole_diameter: float, system: str) -> Thread:
    """The largest coarse thread whose close clearance hole is not larger than a hole.

    Args:
        hole_diameter: The hole as measured [mm]; a micrometre is forgiven.
        system: ``"inch"`` or ``"metric"``.
    Raises:
        NotTabulated: smaller than the least hole held, or larger than the loosest.
    """
    rows = {row.value("nominal"): row for row in table(f"clearance_{check_system(system)}")}
    held = [thread for thread in coarse(system) if any(_is(thread, size) for size in rows)]
    passing = [each for each in held if hole(each, "close").diameter <= hole_diameter + MATCH]
    loosest = hole(held[-1], "loose").diameter
    if not passing or hole_diameter > loosest + MATCH:
        least = hole(held[0], "close").diameter
        reach = f"holes from {least:g} mm ({held[0]} close) to {loosest:g} mm ({held[-1]} loose)"
        raise NotTabulated(_title(system), f"a hole of {hole_diameter:g} mm", reach)
    return passing[-1]


def _metric(row: Row, fit: str) -> Clearance:
    diameter = row.value(fit)
    upper = fits.zone(ISO_273_GRADE[fit], diameter).limits[1]
    return Clearance(
        diameter=diameter,
        lower=diameter,
        upper=upper,
        drill_name=f"{diameter:g} mm",
        source=f"ISO 273, {ISO_273_GRADE[fit]}",
    )


def _inch(row: Row, fit: str) -> Clearance:
    drill = drills.named(row.text(f"{fit}_drill"))
    return Clearance(
        diameter=drill.diameter,
        lower=min(drill.diameter, row.value(f"{fit}_min")),
        upper=row.value(f"{fit}_max"),
        drill_name=drill.name,
        source="ASME B18.2.8-1999 (R2017), Table 1a",
    )


def _row(thread: Thread) -> Row:
    rows = table(f"clearance_{check_system(thread.system)}")
    for row in rows:
        if _is(thread, row.value("nominal")):
            return row
    held = ", ".join(row.text("size") for row in rows)
    raise NotTabulated(_title(thread.system), thread, held)


def _is(thread: Thread, nominal: float) -> bool:
    return abs(thread.major - nominal) <= MATCH


def _title(system: str) -> str:
    return table(f"clearance_{system}").passport.title
