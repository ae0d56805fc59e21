"""Screw threads: pitch and minor diameters, stress areas, tap drills.

Inch threads are UNC and UNF (ASME B1.1), metric ones ISO 724 with the stress areas of
ISO 898-1. A thread that is not tabulated is worked out from the basic profile of ISO 68-1
and ASME B1.1, and says so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import NoReturn

from kb.errors import InputError, NotTabulated
from kb.quantity import Thread, read_thread
from kb.standards import drills
from kb.standards.loader import MATCH, Row, table

SYSTEMS = ("inch", "metric")

PITCH_DEPTH = 3 * math.sqrt(3) / 8  # 0.6495: (D − pitch diameter) / P
MINOR_DEPTH = 5 * math.sqrt(3) / 8  # 1.0825: (D − minor diameter of the internal thread) / P
ROOT_DEPTH = {  # (D − minor diameter of the external thread) / P, as the stress area takes it
    "inch": 3 * math.sqrt(3) / 4,  # 1.2990: ASME B1.1
    "metric": 17 * math.sqrt(3) / 24,  # 1.2269: ISO 898-1, d3 = d1 − H/6
}


@dataclass(frozen=True, kw_only=True)
class ThreadSizes:
    """The diameters of one thread.

    Attributes:
        thread: The thread, with its pitch filled in.
        pitch: Pitch [mm].
        pitch_diameter: Basic pitch diameter [mm].
        minor_internal: Basic minor diameter of the internal thread [mm].
        minor_external: Minor diameter of the external thread the stress area rests on [mm].
        stress_area_mm2: Tensile stress area [mm²].
        tap_drill: Tap drill, about three quarters of full thread [mm].
        tap_drill_name: Its name, ``"5/16"``, ``"#7"``, ``"8.5 mm"``, or ``"bored 34.50 mm"``
            where no drill held will do.
        tabulated: ``False`` when worked out from the basic profile.
        source: Who says so.
    """

    thread: Thread
    pitch: float
    pitch_diameter: float
    minor_internal: float
    minor_external: float
    stress_area_mm2: float
    tap_drill: float
    tap_drill_name: str
    tabulated: bool
    source: str


@cache
def sizes(thread: Thread) -> ThreadSizes:
    """The diameters of a thread; coarse pitch for a metric thread written without one.

    Raises:
        NotTabulated: a metric thread without a pitch whose coarse pitch is not held.
    """
    for row, held in _rows(thread.system):
        if _same(thread, row=row, held=held):
            return _tabulated(held, row)
    if thread.pitch is None:
        _refuse(thread)
    return _computed(thread, thread.pitch)


@cache
def coarse(system: str) -> tuple[Thread, ...]:
    """Every coarse thread held, smallest first; metric ones as ``M10``, without their pitch.

    Args:
        system: ``"inch"`` or ``"metric"``.
    """
    rows = (row for row, _ in _rows(system) if row.text("series") == "coarse")
    return tuple(read_thread(row.text("thread").split("x")[0], key="thread") for row in rows)


def check_system(system: str) -> str:
    """The system of sizes, if it is one.

    Raises:
        InputError: neither ``"inch"`` nor ``"metric"``.
    """
    if system not in SYSTEMS:
        raise InputError("system", system, "write inch or metric")
    return system


@cache
def _rows(system: str) -> tuple[tuple[Row, Thread], ...]:
    rows = table(f"threads_{check_system(system)}")
    return tuple((row, read_thread(row.text("thread"), key="thread")) for row in rows)


def _same(thread: Thread, *, row: Row, held: Thread) -> bool:
    if abs(thread.major - held.major) > MATCH:
        return False
    if thread.pitch is None or held.pitch is None:
        return thread.pitch is None and row.text("series") == "coarse"
    return abs(thread.pitch - held.pitch) < MATCH


def _tabulated(thread: Thread, row: Row) -> ThreadSizes:
    pitch = _pitch(thread)
    drill = drills.named(_drill_name(row))
    return ThreadSizes(
        thread=thread,
        pitch=pitch,
        pitch_diameter=row.value("pitch_diameter"),
        minor_internal=row.value("minor_internal"),
        minor_external=thread.major - ROOT_DEPTH[thread.system] * pitch,
        stress_area_mm2=row.value("stress_area"),
        tap_drill=drill.diameter,
        tap_drill_name=drill.name,
        tabulated=True,
        source=row.passport.source,
    )


def _drill_name(row: Row) -> str:
    unit = row.passport.columns["tap_drill"].unit
    return f"{row.text('tap_drill')} mm" if unit == "mm" else row.text("tap_drill")


def _computed(thread: Thread, pitch: float) -> ThreadSizes:
    pitch_diameter = thread.major - PITCH_DEPTH * pitch
    minor_external = thread.major - ROOT_DEPTH[thread.system] * pitch
    sets = ("metric",) if thread.system == "metric" else ("number", "letter", "fraction")
    bore, drill_name = _tap_bore(thread.major, full_thread=2 * PITCH_DEPTH * pitch, sets=sets)
    return ThreadSizes(
        thread=thread,
        pitch=pitch,
        pitch_diameter=pitch_diameter,
        minor_internal=thread.major - MINOR_DEPTH * pitch,
        minor_external=minor_external,
        stress_area_mm2=stress_area(pitch_diameter=pitch_diameter, minor_external=minor_external),
        tap_drill=bore,
        tap_drill_name=drill_name,
        tabulated=False,
        source="basic profile of ISO 68-1 and ASME B1.1, not tabulated",
    )


def _tap_bore(major: float, *, full_thread: float, sets: tuple[str, ...]) -> tuple[float, str]:
    """The drill that leaves about 75 per cent of thread, or a bore of 75 where none leaves 60 to 85."""
    wanted = major - 0.75 * full_thread
    try:
        drill = drills.nearest(wanted, sets=sets)
    except NotTabulated:
        drill = None
    if drill is None or not 0.60 <= (major - drill.diameter) / full_thread <= 0.85:
        return wanted, f"bored {wanted:.2f} mm"
    return drill.diameter, drill.name


def stress_area(*, pitch_diameter: float, minor_external: float) -> float:
    """Area of the circle on the mean of the pitch and minor diameters.

    Args:
        pitch_diameter: Basic pitch diameter [mm].
        minor_external: Minor diameter of the external thread [mm].
    Returns:
        Tensile stress area [mm²].
    Source:
        ISO 898-1:2013; ASME B1.1 (the same with its own minor diameter).
    Example:
        >>> round(stress_area(pitch_diameter=10.863, minor_external=9.853), 1)
        84.3
    """
    return math.pi / 4 * ((pitch_diameter + minor_external) / 2) ** 2


def _pitch(thread: Thread) -> float:
    assert thread.pitch is not None  # every row of the tables names its pitch
    return thread.pitch


def _refuse(thread: Thread) -> NoReturn:
    held = ", ".join(str(each) for each in coarse(thread.system))
    title = table(f"threads_{thread.system}").passport.title
    raise NotTabulated(title, thread, f"the coarse pitch of {held}; write the pitch")
