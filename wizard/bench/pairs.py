"""Holes of a finished part and what each must meet, as they were measured."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError, OutOfScope
from kb.model.chain import Assumption
from kb.model.measured import Point
from kb.quantity import Dimension
from wizard.bench.readings import assumed, claim

Array = NDArray[np.float64]

ROUND_95 = math.sqrt(-2 * math.log(0.05))  # radius that holds 95 % of a plane normal scatter
APART = 0.5  # mm: centres of one part nearer than this are one hole
MOST_HOLES = 60


@dataclass(frozen=True, kw_only=True)
class Pair:
    """A hole of the finished part and what it must meet.

    Attributes:
        id: What both are called.
        made: Its measured centre, from the middle of the part's register.
        hole: Its measured diameter.
        mating: Centre of the mating hole, from the middle of the mating register.
        screw: Largest diameter of the screw, stud or dowel [mm].
        clear: Diameter of the mating hole where it is clear; ``None`` where it is tapped, a stud
            or a dowel, so that the screw stands at its middle.
        head: Diameter of the bearing face under the head or washer [mm], if it sits on this part.
    """

    id: str
    made: Point
    hole: Dimension
    mating: Point
    screw: float
    clear: Dimension | None = None
    head: float | None = None


@dataclass(frozen=True, kw_only=True)
class Blank:
    """What bounds the finished part round its holes.

    Attributes:
        wall: Wall wanted between holes and to the edges [mm].
        outside, bore: Its outside and bore about the register's middle, where it is round [mm].
    """

    wall: float
    outside: float | None = None
    bore: float | None = None


def centres(points: Sequence[Point]) -> Array:
    """Places as numbers, shape (n, 2) [mm]."""
    return np.array([(claim(one.x).value, claim(one.y).value) for one in points])


def room(pair: Pair) -> float:
    """How far the two centres may be apart before the screw touches [mm]."""
    play = claim(pair.hole, usual="caliper").value - pair.screw
    if pair.clear is not None:
        play += claim(pair.clear, usual="caliper").value - pair.screw
    return play / 2


def within(pair: Pair) -> float:
    """± of what the screw has to spare, 95 % [mm]."""
    spread = [
        claim(one).deviation for point in (pair.made, pair.mating) for one in (point.x, point.y)
    ]
    place = math.hypot(max(spread[0], spread[1]), max(spread[2], spread[3]))
    sizes = [claim(one, usual="caliper").within / 2 for one in (pair.hole, pair.clear) if one]
    return math.hypot(ROUND_95 * place, *sizes)


def all_assumed(pairs: Sequence[Pair]) -> Iterator[Assumption]:
    """Every ± that was not written."""
    yield from assumed("holes", [axis for one in pairs for axis in (one.made.x, one.made.y)])
    yield from assumed(
        "mating holes", [axis for one in pairs for axis in (one.mating.x, one.mating.y)]
    )
    sizes = [size for one in pairs for size in (one.hole, one.clear) if size is not None]
    yield from assumed("hole sizes", sizes, usual="caliper")


# ── what nobody can mean ────────────────────────────────────────────────────


def refuse(pairs: Sequence[Pair], play: float | None, blank: Blank | None) -> None:
    """Refuse what nobody can mean.

    Raises:
        InputError: no two holes, one name twice, no room for a screw, or a size of nothing.
        OutOfScope: one hole.
    """
    if len(pairs) == 1:
        raise OutOfScope("holes", "one hole", "two holes or more", "one hole leaves the turn open")
    if not 2 <= len(pairs) <= MOST_HOLES:
        raise InputError("holes", len(pairs), f"give 2 to {MOST_HOLES} holes with what they meet")
    ids = [one.id.strip() for one in pairs]
    if not all(ids) or len(set(ids)) < len(ids):
        raise InputError("holes", ", ".join(ids), "give every hole a name of its own")
    for one in pairs:
        _refuse_pair(one)
    _size("play", play, least=0.0)
    if blank is not None:
        _size("wall", blank.wall, least=0.0)
        _size("outside", blank.outside, least=1e-3)
        _size("bore", blank.bore, least=0.0)


def _refuse_pair(one: Pair) -> None:
    _size(f"{one.id}.screw", one.screw, least=1e-3)
    _size(f"{one.id}.head", one.head, least=one.screw)
    for key, hole in (("hole", one.hole), ("clear", one.clear)):
        if hole is not None and hole.middle < one.screw:
            raise InputError(
                f"{one.id}.{key}", hole.typed or hole.middle,
                f"it must let its screw through, {one.screw:g} mm",
            )  # fmt: skip


def _size(key: str, value: float | None, *, least: float) -> None:
    if value is not None and not least <= value <= 1e4:
        raise InputError(key, value, f"write a length of {least:g} mm or more")


def refuse_places(pairs: Sequence[Pair], places: Array, key: str) -> None:
    """Two holes of one part at one place: one of them was written twice."""
    for one in range(len(places)):
        for other in range(one):
            if math.dist(places[one], places[other]) < APART:
                raise InputError(
                    f"{pairs[one].id}.{key}", f"the place of hole {pairs[other].id}",
                    "two holes cannot stand at one place",
                )  # fmt: skip
