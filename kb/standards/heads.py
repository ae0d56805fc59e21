"""Screw heads, washers, the sockets that turn them, and standard lengths."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from kb.errors import NotTabulated
from kb.quantity import Thread
from kb.standards.loader import MATCH, Row, table
from kb.standards.threads import check_system


@dataclass(frozen=True, kw_only=True)
class SocketScrew:
    """The head of a socket head cap screw.

    Attributes:
        head_diameter: Largest diameter of a plain head [mm].
        head_height: Largest height of the head [mm].
        key: Hexagon key, across flats [mm].
        counterbore: Diameter of its counterbore [mm].
        bearing: Least diameter of the bearing face [mm]; ``None`` where no table gives it.
        source: Who says so. how: read or memory, the counterbore apart in ``counterbore_how``.
    """

    head_diameter: float
    head_height: float
    key: float
    counterbore: float
    bearing: float | None
    source: str
    how: str
    counterbore_how: str


@dataclass(frozen=True, kw_only=True)
class CountersunkScrew:
    """The head of a socket screw with a countersunk head.

    Attributes:
        head_diameter: Largest diameter, the cone drawn out to a sharp edge [mm].
        head_height: Height of the head, from there to where the cone meets the shank [mm].
        angle: Included angle of the cone [°].
        key: Hexagon key, across flats [mm].
        source: Who says so. how: read or memory.
    """

    head_diameter: float
    head_height: float
    angle: float
    key: float
    source: str
    how: str


@dataclass(frozen=True, kw_only=True)
class HexBolt:
    """The head of a hexagon bolt and the socket that turns it.

    Attributes:
        across_flats: Width across flats [mm].
        head_height: Head height [mm], the largest for inch bolts.
        bearing: Least diameter of the bearing face [mm]; ``None`` where no table gives it.
        socket_outside: Largest outside diameter of a hand socket for it [mm], from memory.
        source: Who says so. how: read or memory, the socket apart.
    """

    across_flats: float
    head_height: float
    bearing: float | None
    socket_outside: float
    source: str
    how: str


@dataclass(frozen=True, kw_only=True)
class Washer:
    """A plain washer.

    Attributes:
        inside, outside: Diameters [mm]; the outside is the largest the tolerance allows.
        thickness, thickness_max: Nominal and largest thickness [mm].
        source: Who says so. how: read or memory.
    """

    inside: float
    outside: float
    thickness: float
    thickness_max: float
    source: str
    how: str


@cache
def socket_screw(thread: Thread) -> SocketScrew:
    """The head of the socket head cap screw of that thread, #10 to 3/4 in (without 9/16) and M5 to M20.

    Raises:
        NotTabulated: another size.
    """
    row = _row("socket_screws", thread)
    return SocketScrew(
        head_diameter=row.value("head_diameter"),
        head_height=row.value("head_height"),
        key=row.value("key"),
        counterbore=row.value("counterbore"),
        bearing=_bearing(row),
        source=row.passport.source,
        how=row.how("head_height"),
        counterbore_how=row.how("counterbore"),
    )


CONE = {"inch": 82.0, "metric": 90.0}  # °: ASME B18.3-2003; ISO 10642


@cache
def countersunk_screw(thread: Thread) -> CountersunkScrew:
    """The head of the countersunk socket screw of that thread, #10 to 3/4 in (without 9/16) and M5 to M20 (without M18).

    Raises:
        NotTabulated: another size.
    """
    row = _row("countersunk_screws", thread)
    return CountersunkScrew(
        head_diameter=row.value("head_diameter"),
        head_height=row.value("head_height"),
        angle=CONE[thread.system],
        key=row.value("key"),
        source=row.passport.source,
        how=row.how("head_diameter"),
    )


@cache
def hex_bolt(thread: Thread) -> HexBolt:
    """The head of the hexagon bolt of that thread, #10 to 3/4 in and M5 to M20.

    Raises:
        NotTabulated: another size.
    """
    row = _row("hex_bolts", thread)
    flats = row.value("across_flats")
    return HexBolt(
        across_flats=flats,
        head_height=row.value("head_height"),
        bearing=_bearing(row),
        socket_outside=socket_outside(flats),
        source=row.text("source") if "source" in row.cells else row.passport.source,
        how=row.how("across_flats"),
    )


@cache
def washer(thread: Thread) -> Washer:
    """The plain washer of that thread, #10 to 3/4 in (narrow series) and M5 to M20.

    Raises:
        NotTabulated: another size.
    """
    row = _row("washers", thread)
    plus = row.value("outside_plus") if "outside_plus" in row.cells else 0.0
    return Washer(
        inside=row.value("inside"),
        outside=row.value("outside") + plus,
        thickness=row.value("thickness"),
        thickness_max=row.value("thickness_max"),
        source=row.passport.source,
        how=row.how("outside"),
    )


def socket_outside(across_flats: float) -> float:
    """Largest outside diameter of a hand socket, 12.5 mm square drive, at its nut end.

    Args:
        across_flats: Width across flats [mm], 7 to 30.
    Returns:
        Outside diameter [mm]; between the widths tabled the rule they all follow, 1.25 s + 3 mm.
    Raises:
        NotTabulated: a width the table does not reach.
    Source:
        ISO 2725-1, from memory.
    Example:
        >>> socket_outside(19)
        26.7
    """
    held = table("wrench_sockets")
    widths = {row.value("across_flats"): row.value("outside") for row in held}
    if across_flats in widths:
        return widths[across_flats]
    if not min(widths) <= across_flats <= max(widths):
        reach = f"{min(widths):g} to {max(widths):g} mm across flats"
        raise NotTabulated(held.passport.title, f"{across_flats:g} mm", reach)
    return 1.25 * across_flats + 3


@cache
def lengths(system: str) -> tuple[float, ...]:
    """Standard lengths of screws [mm], shortest first: 10 to 200 mm, 3/8 to 8 in.

    Not every diameter is made in every length.
    """
    return tuple(row.value("length") for row in table(f"screw_lengths_{check_system(system)}"))


def next_length(system: str, least: float) -> float:
    """The shortest standard length not shorter than ``least`` [mm], to a micrometre.

    Raises:
        NotTabulated: longer than any length held.
    """
    held = lengths(system)
    for length in held:
        if length >= least - MATCH:
            return length
    title = table(f"screw_lengths_{system}").passport.title
    raise NotTabulated(title, f"{least:g} mm", f"{held[0]:g} to {held[-1]:g} mm")


def _bearing(row: Row) -> float | None:
    return row.optional("bearing") if "bearing" in row.cells else None


def _row(family: str, thread: Thread) -> Row:
    rows = table(f"{family}_{check_system(thread.system)}")
    for row in rows:
        if abs(row.value("nominal") - thread.major) <= MATCH:
            return row
    held = ", ".join(row.text("size") for row in rows)
    raise NotTabulated(rows.passport.title, thread, held)
