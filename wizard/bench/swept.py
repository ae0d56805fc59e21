"""Parts of a turning stack as they were swept, and their sweeps as vectors.

Vectors are complex: 12 o'clock is real, clockwise seen from behind positive.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kb.errors import InputError, OutOfScope
from kb.quantity import Dimension
from wizard.bench.clock import clock
from wizard.bench.readings import claim
from wizard.engine.formulas.runout import face_tilt, offset_of_tir, tilt_offset

KINDS = ("tir", "offset")
ONTO = ("part before", "driver")
MOST_POSITIONS = 60  # of one bolt circle
MOST_TURNED = 3  # parts that can be turned
MOST_TOGETHER = 5000  # positions of all of them


@dataclass(frozen=True, kw_only=True)
class Runout:
    """A register swept with a dial.

    Attributes:
        reading: Total indicator reading, or the offset of axis itself.
        of: ``"tir"`` or ``"offset"``.
        toward: Clock position toward which the register's middle lies off: the high place of an
            outside, the place opposite of a bore [°].
        toward_within: ± of that direction, besides what the dial leaves open [°].
    """

    reading: Dimension
    toward: float
    of: str = "tir"
    toward_within: float = 0.0


@dataclass(frozen=True, kw_only=True)
class FaceSweep:
    """A face swept with a dial from behind.

    Attributes:
        reading: Total indicator reading on the face.
        radius: Radius at which the dial ran [mm].
        high: Clock position of its high place, nearest to the gearbox [°].
        distance: From the face back to where it must run true, the pump's bush or the tip [mm].
        high_within: ± of that clock position, besides what the dial leaves open [°].
    """

    reading: Dimension
    radius: float
    high: float
    distance: float
    high_within: float = 0.0


@dataclass(frozen=True, kw_only=True)
class HeavySide:
    """A part's own unbalance [g·mm] and the clock position of its heavy side [°]."""

    amount_gmm: float
    toward: float


@dataclass(frozen=True, kw_only=True)
class Part:
    """A part of the turning stack, as it stands now.

    Attributes:
        name: What it is called.
        runout: Its register, the one the next part sits on or the last one that must run true.
        face: Its rear face, if it was swept.
        heavy: Its own unbalance about the register it sits on, if it was found.
        mass_kg: Its mass, which its seat carries off the axis [kg].
    """

    name: str
    runout: Runout
    face: FaceSweep | None = None
    heavy: HeavySide | None = None
    mass_kg: float | None = None


@dataclass(frozen=True, kw_only=True)
class Turned(Part):
    """A part that can be bolted on another way round.

    Attributes:
        positions: Ways its bolt pattern lets it go on, equally spaced round the turn.
        step: What one of them is called: bolt, lug, hole.
        onto: What its bolts go into: the ``part before`` it, which carries it round, or the
            ``driver``, through that part.
    """

    positions: int
    step: str = "bolt"
    onto: str = "part before"


# ── sweeps as vectors ───────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Vector:
    """A vector, and its standard deviations along and across it [mm]."""

    value: complex
    direction: complex
    along: float
    across: float


@dataclass(frozen=True, kw_only=True)
class Swept:
    """What a part's sweeps amount to where it must run true."""

    vectors: tuple[Vector, ...]

    @property
    def value(self) -> complex:
        """Register and tilt together [mm]."""
        return sum((one.value for one in self.vectors), 0j)

    @classmethod
    def of(cls, part: Part) -> Swept:
        """What was swept of a part."""
        found = [register(part.runout)]
        if part.face is not None:
            found.append(_tilt(part.face))
        return cls(vectors=tuple(found))


def unit(angle: float) -> complex:
    """A clock position as a vector of length 1."""
    return complex(math.cos(math.radians(angle)), math.sin(math.radians(angle)))


def register(runout: Runout) -> Vector:
    """A register's offset of axis."""
    claimed = claim(runout.reading, usual="dial")
    size, spread = claimed.value, claimed.deviation
    if runout.of == "tir":
        size, spread = offset_of_tir(tir=size), offset_of_tir(tir=spread)
    return _vector(size, spread, toward=runout.toward, within=runout.toward_within)


def _tilt(face: FaceSweep) -> Vector:
    """The face's tilt carried along the axis: what stands on it leans away from its high place."""
    claimed = claim(face.reading, usual="dial")
    size, spread = (
        tilt_offset(slope=face_tilt(tir=tir, radius=face.radius), distance=face.distance)
        for tir in (claimed.value, claimed.deviation)
    )
    return _vector(size, spread, toward=face.high + 180.0, within=face.high_within)


def _vector(size: float, spread: float, *, toward: float, within: float) -> Vector:
    direction = unit(toward)
    return Vector(
        value=size * direction, direction=direction, along=spread,
        across=math.hypot(spread, size * math.radians(within) / 2),
    )  # fmt: skip


# ── what nobody can mean ────────────────────────────────────────────────────


def refuse(parts: Sequence[Part], turned: Sequence[Turned], *, bolted: bool) -> None:
    """Refuse parts nobody can mean.

    Raises:
        InputError: a part, position or reading nobody can mean.
        OutOfScope: more positions than anyone would go through.
    """
    if not 1 <= len(turned) <= MOST_TURNED:
        raise InputError(
            "parts", len(turned), f"give one to {MOST_TURNED} parts that can be turned"
        )
    names = [part.name.strip() for part in parts]
    if not all(names) or len(set(names)) < len(names):
        raise InputError("parts", ", ".join(names), "give every part a name of its own")
    for part in parts:
        _refuse_part(part)
    for one in turned:
        _refuse_positions(one)
    if bolted and any(part.face for part in parts) and not all(part.face for part in parts):
        lacks = next(part.name for part in parts if part.face is None)
        raise InputError(
            f"{lacks}.face", "(nothing)", "sweep every face of a stack as bolted up, or none"
        )
    together = math.prod(one.positions for one in turned)
    if together > MOST_TOGETHER:
        raise OutOfScope(
            "positions", together, f"up to {MOST_TOGETHER} positions together",
            "common practice, no source",
        )  # fmt: skip


def _refuse_part(part: Part) -> None:
    name, runout, face = part.name, part.runout, part.face
    if runout.of not in KINDS:
        raise InputError(f"{name}.of", runout.of, "write one of " + ", ".join(KINDS))
    _reading(f"{name}.{runout.of}", runout.reading)
    clock(runout.toward, key=f"{name}.toward")
    _between(f"{name}.toward", runout.toward_within, 0.0, 180.0, "a ± of 0 to 180 degrees")
    if face is not None:
        _reading(f"{name}.face", face.reading)
        clock(face.high, key=f"{name}.face.high")
        _between(f"{name}.face.high", face.high_within, 0.0, 180.0, "a ± of 0 to 180 degrees")
        _between(f"{name}.face.radius", face.radius, 1e-3, 1e4, "a radius above 0")
        _between(f"{name}.face.distance", face.distance, 0.0, 1e4, "a distance of 0 or more")
    if part.heavy is not None:
        _between(f"{name}.unbalance", part.heavy.amount_gmm, 0.0, 1e9, "g·mm, 0 or more")
        clock(part.heavy.toward, key=f"{name}.unbalance.toward")
    if part.mass_kg is not None:
        _between(f"{name}.mass", part.mass_kg, 1e-6, 1e5, "a mass above 0")


def _refuse_positions(one: Turned) -> None:
    whole = isinstance(one.positions, int) and not isinstance(one.positions, bool)
    if not whole or not 1 <= one.positions <= MOST_POSITIONS:
        raise InputError(
            f"{one.name}.positions", one.positions,
            f"write how many ways round it goes on, 1 to {MOST_POSITIONS}",
        )  # fmt: skip
    if one.onto not in ONTO:
        raise InputError(f"{one.name}.onto", one.onto, "write one of " + ", ".join(ONTO))
    if not one.step.strip():
        raise InputError(f"{one.name}.step", one.step, "name one step: bolt, lug or hole")


def _reading(key: str, reading: Dimension) -> None:
    if reading.middle < 0:
        raise InputError(key, reading.typed or reading.value, "a total reading is 0 or more")


def _between(key: str, value: float, low: float, high: float, accepted: str) -> None:
    if not low <= value <= high:  # what is no number is not within them either
        raise InputError(key, value, f"write {accepted}")
