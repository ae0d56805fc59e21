"""Will it bolt up as drilled? From the finished part's measured holes: how to shift and turn it.

Every pair of holes has a room, how far its two centres may be apart before the screw touches; the
part is shifted inside its register's play and turned until the worst hole is short by least.
Where that is not enough: the least opening, and what it leaves of the wall, of the head's seat and
of the register's say.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kb.model.chain import Assumption
from kb.plane.points import mirror_x
from kb.quantity import both
from wizard.bench.clock import clock_words
from wizard.bench.misfit import Placing, least_opening, least_worst
from wizard.bench.pairs import (
    Blank,
    Pair,
    all_assumed,
    centres,
    refuse,
    refuse_places,
    room,
    within,
)
from wizard.bench.readings import claim, small

Array = NDArray[np.float64]

SEAT = 0.5  # mm of head left all round its hole: common practice, no source
_FITS = 1e-5  # mm: what touches fits


# ── what comes out ──────────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Hole:
    """One hole with the part shifted and turned as well as can be.

    Attributes:
        id: Its name.
        apart: Distance of its centre from the mating one, and ``room`` what it may be [mm].
        short: ``apart − room``: above 0 the screw does not enter, below 0 it has that to spare [mm].
        toward: Direction from its centre to the mating one, clockwise from 12 o'clock in the
            part's own coordinates [°]; ``None`` where the two coincide.
    """

    id: str
    apart: float
    room: float
    short: float
    toward: float | None


@dataclass(frozen=True, kw_only=True)
class Opening:
    """One hole to be opened.

    Attributes:
        id: Its name. was, to: Its diameter before, and the least after, opened round [mm].
        by: What must go on one side, where it is filed instead [mm].
        toward: On which side, clockwise from 12 o'clock in the part's own coordinates [°].
        wall: Least wall left round it [mm], and ``beside`` what: a hole's name, outside or bore.
        seat: Least width left under the head, all round [mm]; ``None`` where no head was given.
    """

    id: str
    was: float
    to: float
    by: float
    toward: float
    wall: float | None
    beside: str
    seat: float | None


@dataclass(frozen=True, kw_only=True)
class BoltUp:
    """Whether it goes together, and what it takes.

    Attributes:
        pairs: As measured. play: Diametral play of the register [mm]; ``None`` without one.
        wall: Wall wanted [mm]; ``None`` where none was given.
        shift: x and y to move the part by [mm]; turn: Anticlockwise seen as its holes were [°].
        holes: Every hole, placed so. worst: What the worst is short by [mm].
        within: How far ``worst`` may be off by the readings' ±, 95 % for each hole [mm].
        locates: What every screw has to spare wherever the register sits in its play [mm]; below
            0 a screw touches first. ``None`` without a register.
        openings: The least opening, where it does not go; none where it does.
        locates_opened: As ``locates``, once opened so.
        for_register: Diameter of every hole to be opened for the register to locate [mm].
        assumed: Every ± that was not written.
    """

    pairs: tuple[Pair, ...]
    play: float | None
    wall: float | None
    shift: tuple[float, float]
    turn: float
    holes: tuple[Hole, ...]
    worst: float
    within: float
    locates: float | None
    openings: tuple[Opening, ...]
    locates_opened: float | None
    for_register: tuple[tuple[str, float], ...]
    assumed: tuple[Assumption, ...]

    @property
    def goes(self) -> bool:
        """Whether every screw enters as it is drilled, at the readings as they are."""
        return self.worst <= _FITS

    @property
    def sure(self) -> bool:
        """Whether the readings' ± could not turn that answer."""
        return abs(self.worst) > self.within

    @cached_property
    def tightest(self) -> Hole:
        """The hole with least to spare."""
        return max(self.holes, key=lambda one: one.short)

    @property
    def wall_holds(self) -> bool | None:
        """Whether every opened hole keeps the wanted wall; ``None`` where none was given."""
        if self.wall is None:
            return None
        return all(one.wall is None or one.wall >= self.wall - _FITS for one in self.openings)

    @property
    def seats_hold(self) -> bool | None:
        """Whether every head still bears all round; ``None`` where a head was not given."""
        seats = [one.seat for one in self.openings]
        if any(seat is None for seat in seats):
            return None
        return all(seat is not None and seat >= SEAT - _FITS for seat in seats)

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def bolt_up(
    pairs: Sequence[Pair], *, play: float | None, blank: Blank | None = None, mirrored: bool = False
) -> BoltUp:
    """Whether a finished part bolts up as drilled, and the least opening where it does not.

    Assumptions: holes square to the face; the part may turn freely about its register. Two dowels
    that locate it are pairs like the others, with little room.

    Args:
        pairs: Its holes and what they must meet, two or more.
        play: Diametral play of its register [mm]; ``None`` where nothing but the screws holds it.
        blank: What bounds it round the holes, for the wall that an opening leaves.
        mirrored: The mating holes were measured looking at their own face, and are turned round.
    Returns:
        The answer.
    Raises:
        InputError: holes of one place, no room for a screw, or a size nobody can mean.
        OutOfScope: one pair, which leaves the turn open.
    Source:
        Minimax over shift and turn (`wizard.bench.misfit`); the register's say as the fixed and
        floating fastener rules of ASME Y14.5-2009, appendix B, with the measured places for zones.
    """
    refuse(pairs, play, blank)
    made, mating = centres([one.made for one in pairs]), centres([one.mating for one in pairs])
    if mirrored:
        mating = mirror_x(mating)
    refuse_places(pairs, made, "made")
    refuse_places(pairs, mating, "mating")
    work = _Work(pairs=tuple(pairs), made=made, mating=mating, play=play, blank=blank)
    best = least_worst(made, mating, work.rooms, play=play)
    worst = float((best.apart - work.rooms).max())
    opened = None if worst <= _FITS else least_opening(made, mating, work.rooms, play=play)
    locates = work.locates(work.rooms)
    opened_locates = locates
    if opened is not None:
        opened_locates = work.locates(np.maximum(work.rooms, opened.apart))
    return BoltUp(
        pairs=work.pairs, play=play, wall=None if blank is None else blank.wall,
        shift=best.shift, turn=best.turn, holes=work.holes(best), worst=worst,
        within=float(work.within.max()), locates=locates,
        openings=() if opened is None else work.openings(opened),
        locates_opened=opened_locates,
        for_register=() if locates is None or locates >= -_FITS else work.for_register(),
        assumed=tuple(all_assumed(pairs)),
    )  # fmt: skip


# ── working it out ──────────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True, eq=False)
class _Work:
    """The pairs as numbers."""

    pairs: tuple[Pair, ...]
    made: Array
    mating: Array
    play: float | None
    blank: Blank | None

    @cached_property
    def sizes(self) -> Array:
        """Diameters of the part's own holes [mm]."""
        return np.array([claim(one.hole, usual="caliper").value for one in self.pairs])

    @cached_property
    def rooms(self) -> Array:
        """How far each pair of centres may be apart [mm]."""
        return np.array([room(one) for one in self.pairs])

    @cached_property
    def within(self) -> Array:
        """± of what each pair has to spare [mm].

        No placing's worst changes by more than the greatest of these: moving one hole by so much
        changes its own distance by no more.
        """
        return np.array([within(one) for one in self.pairs])

    def holes(self, placing: Placing) -> tuple[Hole, ...]:
        return tuple(
            Hole(id=pair.id, apart=float(apart), room=float(room), short=float(apart - room),
                 toward=_clock(unit))
            for pair, apart, room, unit in zip(
                self.pairs, placing.apart, self.rooms, placing.toward, strict=True
            )
        )  # fmt: skip

    def openings(self, placing: Placing) -> tuple[Opening, ...]:
        """Holes the placing asks to be opened, with what that leaves of the part."""
        by = np.maximum(placing.apart - self.rooms, 0.0)
        to = self.sizes + 2 * by
        return tuple(
            self._opening(int(place), by=float(by[place]), to=to, toward=placing.toward[place])
            for place in np.flatnonzero(by > _FITS)
        )

    def _opening(self, place: int, *, by: float, to: Array, toward: Array) -> Opening:
        pair, size = self.pairs[place], float(to[place])
        wall, beside = self._wall(place, to)
        return Opening(
            id=pair.id, was=float(self.sizes[place]), to=size, by=by, toward=_clock(toward) or 0.0,
            wall=wall, beside=beside,
            seat=None if pair.head is None else pair.head / 2 - (size - pair.screw / 2),
        )  # fmt: skip

    def _wall(self, place: int, to: Array) -> tuple[float | None, str]:
        """Least wall round one hole with all holes as opened, and what it stands beside."""
        apart = np.hypot(*(self.made - self.made[place]).T)
        found = [
            (float(apart[other] - (to[place] + to[other]) / 2), self.pairs[other].id)
            for other in range(len(self.pairs))
            if other != place
        ]
        out, radius = float(np.hypot(*self.made[place])), float(to[place]) / 2
        if self.blank is not None and self.blank.outside is not None:
            found.append((self.blank.outside / 2 - out - radius, "the outside"))
        if self.blank is not None and self.blank.bore is not None:
            found.append((out - radius - self.blank.bore / 2, "the bore"))
        return min(found)

    def locates(self, rooms: Array) -> float | None:
        """What every screw has to spare wherever the register sits in its play [mm]."""
        if self.play is None:
            return None
        held = least_worst(self.made, self.mating, rooms, play=0.0)
        return -float((held.apart - rooms).max()) - self.play / 2

    def for_register(self) -> tuple[tuple[str, float], ...]:
        """Holes to be opened, and to what, for no screw to touch before the register does."""
        rooms = self.rooms - (self.play or 0.0) / 2
        held = least_opening(self.made, self.mating, rooms, play=0.0)
        by = np.maximum(held.apart - rooms, 0.0)
        return tuple(
            (self.pairs[place].id, float(self.sizes[place] + 2 * by[place]))
            for place in np.flatnonzero(by > _FITS)
        )


def _clock(unit: Array) -> float | None:
    """Clockwise from 12 o'clock [°]; ``None`` for no direction."""
    if not unit.any():
        return None
    return float(math.degrees(math.atan2(unit[0], unit[1])) % 360.0)


# ── words ───────────────────────────────────────────────────────────────────


def _sentences(made: BoltUp) -> Iterator[str]:
    first = made.pairs[0].hole.unit
    tight = made.tightest
    if made.goes:
        yield (
            f"It goes as drilled: {_moved(made, first)}, and every screw enters; hole {tight.id}"
            f" has least to spare, {small(tight.short, first)} all round."
        )
    else:
        yield (
            f"It does not go as drilled: {_moved(made, first)}, hole {tight.id} is still"
            f" {small(tight.short, first)} short."
        )
        yield from _opened(made, first)
    if not made.sure:
        yield (
            f"The readings are good to {small(made.within, first)}, so it may turn out otherwise: "
            "measure the holes closer, or offer it up."
        )
    yield from _register(made, first)


def _moved(made: BoltUp, first: str) -> str:
    x, y = made.shift
    size = math.hypot(x, y)
    parts = []
    if size > _FITS:
        toward = clock_words(math.degrees(math.atan2(x, y)) % 360.0)
        parts.append(f"shifted {small(size, first)} toward {toward}")
    if abs(made.turn) > 5e-4:
        way = "anticlockwise" if made.turn > 0 else "clockwise"
        parts.append(f"turned {abs(made.turn):.3f}° {way}")
    return " and ".join(parts) or "as it sits"


def _opened(made: BoltUp, first: str) -> Iterator[str]:
    for one in made.openings:
        yield (
            f"Open hole {one.id} from {small(one.was, first)} to {small(one.to, first)}, or file"
            f" {small(one.by, first)} off it toward {clock_words(one.toward)}."
        )
        if one.wall is not None:
            wanted = "" if made.wall is None else f", wanted {both(made.wall, first=first)}"
            what = one.beside if one.beside.startswith("the ") else f"hole {one.beside}"
            yield f"That leaves a wall of {_signed(one.wall, first)} to {what}{wanted}."
        yield _seat(one, first)


def _seat(one: Opening, first: str) -> str:
    if one.seat is None:
        return (
            f"Whether its head still bears is not known: the head at hole {one.id} was not given."
        )
    if one.seat >= SEAT - _FITS:
        return f"Its head still bears {small(one.seat, first)} wide all round."
    return (
        f"Its head no longer bears all round hole {one.id}: put a hard washer under it, or file it."
    )


def _signed(length: float, first: str) -> str:
    return ("-" if length < 0 else "") + small(length, first)


def _register(made: BoltUp, first: str) -> Iterator[str]:
    if made.locates is None or made.locates_opened is None:
        yield "No register holds it: the screws alone say where it sits."
        return
    opened = made.locates_opened
    if opened >= -_FITS:
        yield f"The register locates: every screw has {small(opened, first)} more than its play."
        return
    sizes = ", ".join(f"{id} to {small(size, first)}" for id, size in made.for_register)
    yield (
        f"A screw touches {small(opened, first)} before the register has used its play: for the"
        f" register to locate open {sizes}."
    )
