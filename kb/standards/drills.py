"""Twist drills: number, letter, fraction and metric sizes.

Numbers, letters and fractions stand in a table; metric drills follow a rule of the trade
(common practice, no source): 1 to 14 mm by 0.1 mm, 14 to 32 mm by 0.5 mm.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

from kb.errors import InputError, NotTabulated
from kb.quantity import plain
from kb.standards.loader import MATCH, table

SETS = ("number", "letter", "fraction", "metric")

_TITLE = "Twist drills"
_HELD = "#80 to #1, A to Z, 1/64 to 1 1/4 in by 64ths and 1 to 32 mm"
_METRIC = re.compile(r"(\d+(?:\.\d+)?)\s*mm")


@dataclass(frozen=True, kw_only=True)
class Drill:
    """A drill: its name, its set and its diameter [mm]."""

    name: str
    set: str
    diameter: float


@cache
def named(name: str) -> Drill:
    """The drill of that name: ``"#7"``, ``"F"``, ``"13/32"``, ``"1 1/32"`` or ``"8.5 mm"``.

    Raises:
        NotTabulated: no drill has that name.
    """
    wanted = _plain(name)
    for drill in _held():
        if _plain(drill.name) == wanted:
            return drill
    raise NotTabulated(_TITLE, name, _HELD)


def nearest(diameter: float, sets: Sequence[str] = SETS) -> Drill:
    """The drill nearest to a diameter [mm]; the smaller of two as near.

    Raises:
        InputError: a set that is none. NotTabulated: the diameter lies outside the sets.
    """
    either = (at_or_below(diameter, sets), at_or_above(diameter, sets))
    return min(either, key=lambda drill: abs(drill.diameter - diameter))


def at_or_above(diameter: float, sets: Sequence[str] = SETS) -> Drill:
    """The smallest drill not smaller than a diameter [mm], to a micrometre.

    Raises:
        InputError: a set that is none. NotTabulated: no drill is so large.
    """
    return _fitting(sets, lambda size: size >= diameter - MATCH, diameter)[0]


def at_or_below(diameter: float, sets: Sequence[str] = SETS) -> Drill:
    """The largest drill not larger than a diameter [mm], to a micrometre.

    Raises:
        InputError: a set that is none. NotTabulated: no drill is so small.
    """
    return _fitting(sets, lambda size: size <= diameter + MATCH, diameter)[-1]


def _fitting(sets: Sequence[str], fits: Callable[[float], bool], diameter: float) -> list[Drill]:
    for each in sets:
        if each not in SETS:
            raise InputError("sets", each, "write some of " + ", ".join(SETS))
    fitting = [drill for drill in _held() if drill.set in sets and fits(drill.diameter)]
    if not fitting:
        raise NotTabulated(_TITLE, f"{diameter:g} mm in {', '.join(sets)}", _HELD)
    return fitting


@cache
def _held() -> tuple[Drill, ...]:
    """Every drill by size."""
    inch = (
        Drill(name=row.text("size"), set=row.text("set"), diameter=row.value("diameter"))
        for row in table("drills")
    )
    tenths = (*range(10, 140), *range(140, 321, 5))
    metric = (Drill(name=f"{size / 10:g} mm", set="metric", diameter=size / 10) for size in tenths)
    return tuple(sorted((*inch, *metric), key=lambda drill: drill.diameter))


def _plain(name: str) -> str:
    text = " ".join(plain(name).replace("-", " ").split()).upper().removesuffix(" IN")
    if found := _METRIC.fullmatch(text.lower()):
        return f"{float(found[1]):g} MM"
    return re.sub(r"^(NO\.?|NUMBER)\s*(?=\d)", "#", text)
