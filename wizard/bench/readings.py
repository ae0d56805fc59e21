"""What a reading may claim: its ± as written, or the usual one of its instrument, said so."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kb.model.chain import Assumption
from kb.quantity import Dimension, both
from kb.rules.loader import instruments, within_by_source

_FINEST = 1e-6  # mm: a reading said to be exact still weighs no more than this


@dataclass(frozen=True, kw_only=True)
class Claim:
    """What one reading claims.

    Attributes:
        value: The reading, in the middle of its limits [mm].
        within: Its ±, 95 % half-width [mm].
        deviation: Its standard deviation, above 0 [mm].
        why: Where a ± that was not written comes from; empty where it was.
    """

    value: float
    within: float
    deviation: float
    why: str


def claim(reading: Dimension, *, usual: str = "") -> Claim:
    """What a reading claims: the ± written with it, else that of its instrument, else 0.10 mm.

    Args:
        reading: The reading.
        usual: The instrument it was taken with where it names none itself.
    """
    within, why = _width(reading, usual)
    spread = math.sqrt(3) if reading.limits or reading.source in ("drawing", "standard") else 2.0
    return Claim(
        value=reading.middle, within=within, deviation=max(within / spread, _FINEST), why=why
    )


def _width(reading: Dimension, usual: str) -> tuple[float, str]:
    if reading.within is not None:
        return reading.within, ""
    how = reading.how or usual
    if reading.source != "measured":
        return within_by_source(reading.source), f"usual for a {reading.source} value"
    if how in instruments():
        return instruments()[how].within, f"usual with “{how}”"
    stated = f"instrument “{how}” is not on the list" if how else "instrument not stated"
    return within_by_source("measured"), stated


def claims(readings: Iterable[Dimension], *, usual: str = "") -> tuple[Claim, ...]:
    """What each of several readings claims, as `claim`."""
    return tuple(claim(one, usual=usual) for one in readings)


def assumed(key: str, readings: Sequence[Dimension], *, usual: str = "") -> tuple[Assumption, ...]:
    """Every ± that was not written, once, with how many readings took it.

    Args:
        key: What the readings are called.
        readings: The readings.
        usual: As in `claim`.
    """
    taken: dict[tuple[float, str], int] = {}
    for one in claims(readings, usual=usual):
        if one.why:
            taken[one.within, one.why] = taken.get((one.within, one.why), 0) + 1
    first = readings[0].unit if readings else "mm"
    return tuple(
        Assumption(
            key=key if count == 1 else f"{key} ({count} readings)",
            value=f"± {small(within, first)}", why=why,
        )
        for (within, why), count in taken.items()
    )  # fmt: skip


def small(length: float, first: str) -> str:
    """A small length without its sign, in both systems: to 0.001 mm and 0.0001 in.

    Args:
        length: [mm].
        first: The unit named first, ``"in"`` or ``"mm"``.
    """
    return both(abs(length), first=first, places=4 if first == "in" else 3)
