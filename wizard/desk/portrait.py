"""A unit looked at: its faces to scale as they were measured, and its dimensions one by one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from kb import quantity
from kb.model.measured import Measured
from kb.model.unit import (
    Circle,
    Clutch,
    Converter,
    Dowel,
    Drive,
    Driven,
    Engine,
    Face,
    Flexplate,
    Flywheel,
    Gearbox,
    Hole,
    Register,
    Unit,
)  # fmt: skip
from kb.quantity import Dimension
from kb.store.catalogue import UnitSummary as UnitSummary
from kb.store.flat import Fact, flatten
from wizard import words
from wizard.engine.formulas.circle import hole_coordinates
from wizard.engine.normalise import disagreement, each_reading, taken
from wizard.papers import shapes
from wizard.papers.shapes import Line, Shape, Spot, extent

_ENGINE_SIDE = "Looking straight at it from behind the engine; X right, Y up, from the shaft axis."
_GEARBOX_SIDE = "Looking straight at the gearbox's front, as it was measured; X right, Y up, from the shaft axis."  # fmt: skip
_TURNS = {"ccw": "anticlockwise", "cw": "clockwise"}


@dataclass(frozen=True, kw_only=True)
class View:
    """One face of a unit, to scale [mm].

    Attributes:
        key: The face's key in a sheet. says: From where it is looked at.
        shapes: Holes, dowels, registers and openings, the shaft axis at the origin.
    """

    key: str
    says: str
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One reading of one dimension, ready to be shown.

    Attributes:
        key, label: Its key in a sheet, and the trade's words for it.
        figure: In both unit systems, with its ±. typed: As it was written down.
        how, by, on: Instrument, hand and day, where they were noted. source: Where it is from.
    """

    key: str
    label: str
    figure: str
    typed: str
    how: str
    by: str
    on: date | None
    source: str


def views(unit: Unit, *, first: str) -> tuple[View, ...]:
    """The faces of a unit that have holes, a register or an opening to draw.

    Args:
        unit: As it was measured; nothing is turned over here.
        first: The unit named first in what a shape says, ``"in"`` or ``"mm"``.
    """
    found = (
        View(key=key, says=says, shapes=_finished(drawn))
        for key, says, drawn in _drawn(unit, first)
        if drawn
    )
    return tuple(found)


def readings(unit: Unit, *, first: str) -> tuple[Reading, ...]:
    """Every reading of every dimension of a unit, in the order of its sheet.

    Args:
        unit: As it was measured.
        first: The unit named first, ``"in"`` or ``"mm"``.
    """
    flat = flatten(unit)
    return tuple(
        Reading(
            key=f"{_kind(unit)}.{key}", label=_label(unit, key, flat.facts),
            figure=shown(one, first=first), typed=one.typed, how=one.how, by=one.by, on=one.on,
            source=one.source,
        )
        for key, taken in flat.lengths.items()
        for one in taken
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Several:
    """A dimension that was read more than once.

    Attributes:
        key: Its key. label: The trade's words for it.
        figure: What a pairing takes, with its ±. each: Every reading as shown, with who and how.
        count: How many readings. agree: They differ no more than their instruments may.
        chance: Of readings differing so much by chance alone.
        chosen: Number of the reading chosen by hand, from 1; 0 where they are combined.
    """

    key: str
    each: tuple[str, ...]
    chosen: int
    label: str
    figure: str
    count: int
    agree: bool
    chance: float | None

    @property
    def says(self) -> str:
        """In one sentence."""
        odds = "" if self.chance is None else f" (such a spread has a chance of {self.chance:.1%})"
        verdict = "they agree" if self.agree else "THEY DISAGREE beyond their instruments: read it again"  # fmt: skip
        taken = f", reading {self.chosen} of {self.count} is taken, chosen by hand" if self.chosen else f" from {self.count} readings"  # fmt: skip
        return f"{self.label}: {self.figure}{taken}, {verdict}{odds}."


def several(unit: Unit, *, first: str) -> tuple[Several, ...]:
    """The dimensions of a unit that were read more than once, those that disagree first."""
    flat, found = flatten(unit), []
    for key, readings in flat.lengths.items():
        if len(readings) > 1:
            full, measured = f"{_kind(unit)}.{key}", Measured(readings=readings)
            one = taken(full, measured)
            found.append(
                Several(
                    key=full, chosen=measured.chosen,
                    each=tuple(_one_of(number, reading, first) for number, reading in enumerate(readings, 1)),
                    label=_label(unit, key, flat.facts), count=len(readings), agree=not one.disagree,
                    figure=quantity.both(one.value, within=one.within, first=first),
                    chance=disagreement(each_reading(full, measured)),
                )
            )  # fmt: skip
    return tuple(sorted(found, key=lambda one: one.agree))


def _one_of(number: int, reading: Dimension, first: str) -> str:
    """One of several readings: its number, its figure, the instrument, the hand, the day."""
    day = reading.on.isoformat() if reading.on else ""
    said = ", ".join(word for word in (reading.how or reading.source, reading.by, day) if word)
    return f"{number}: {shown(reading, first=first)}, {said}"


def facts(unit: Unit) -> tuple[tuple[str, str], ...]:
    """What else is known of a unit: its key in words, and what stands there."""
    flat = flatten(unit)
    return tuple(
        (_label(unit, key, flat.facts), _in_words(fact))
        for key, fact in flat.facts.items()
        if key not in ("name", "notes") and not key.endswith(".id")
    )


def shown(dimension: Dimension, *, first: str) -> str:
    """A dimension in both unit systems, the one asked for first."""
    if dimension.limits and dimension.below is not None and dimension.above is not None:
        low, high = dimension.value - dimension.below, dimension.value + dimension.above
        return quantity.limits(low=low, high=high, first=first)
    return quantity.both(dimension.value, within=dimension.within, first=first)


def _kind(unit: Unit) -> str:
    return type(unit).__name__.lower()


def _label(unit: Unit, key: str, facts: Mapping[str, Fact]) -> str:
    """The trade's words for a key; a hole or dowel is named by its own mark, not its place."""
    place, bracket, rest = key.partition("]")
    mark = facts.get(f"{place}{bracket}.id")
    if bracket and mark is not None:
        key = f"{place.partition('[')[0]}[{mark.value}]{rest}"
    return words.heading(f"{_kind(unit)}.{key}")


def _in_words(fact: Fact) -> str:
    if fact.kind == "word" and fact.value in _TURNS:
        return _TURNS[str(fact.value)]
    if fact.kind == "torque" and isinstance(fact.value, float):
        return quantity.torque(fact.value)
    if isinstance(fact.value, bool):
        return "yes" if fact.value else "no"
    if isinstance(fact.value, float):
        return fact.typed or f"{fact.value:g}"
    return str(fact.value)


# ── drawing ─────────────────────────────────────────────────────────────────


def _drawn(unit: Unit, first: str) -> Iterator[tuple[str, str, list[Shape]]]:
    """Key, point of view and shapes of each face of a unit."""
    match unit:
        case Engine():
            yield "engine.face", _ENGINE_SIDE, [*_face(unit.face, "engine", first)]
            yield "engine.drive", _ENGINE_SIDE, [*_turned(unit.drive, "driver", first)]
        case Gearbox():
            yield "gearbox.face", _GEARBOX_SIDE, [*_face(unit.face, "gearbox", first)]
            yield "gearbox.converter", _GEARBOX_SIDE, [*_turned(unit.converter, "driven", first)]
            yield "gearbox.driven", _GEARBOX_SIDE, [*_turned(unit.driven, "driven", first)]
        case Flexplate():
            both_sides = [
                *_turned(unit, "driver", first), *_holes(unit.converter_circle, (), (), "driven"),
            ]  # fmt: skip
            yield "flexplate", _ENGINE_SIDE, both_sides
        case Flywheel():
            yield "flywheel", _ENGINE_SIDE, [*_turned(unit, "driver", first)]
        case Clutch():
            return


def _face(face: Face | None, side: str, first: str) -> Iterator[Shape]:
    if face is None:
        return
    if face.origin is None:
        across, up = 0.0, 0.0
    else:
        across, up = face.origin.x.value, face.origin.y.value
    corners = [(point.x.value - across, point.y.value - up) for point in face.outline]
    for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
        yield Line(start=start, end=end, tag="outline", says=words.label("outline"))
    yield from _round(face.opening, "opening", words.label("opening"), first)
    yield from _register(face.register, first)
    yield from _holes(face.circle, face.holes, face.dowels, side, origin=(across, up))


def _turned(
    part: Drive | Driven | Converter | Flexplate | Flywheel | None, side: str, first: str
) -> Iterator[Shape]:
    """The face of a part that turns."""
    if part is None:
        return
    yield from _round(part.outside, "outline", words.label("outside"), first)
    if not isinstance(part, Converter):
        yield from _register(part.register, first)
    if isinstance(part, Drive) and part.pilot is not None:
        yield from _round(part.pilot.diameter, "hidden", words.label("engine.drive.pilot"), first)
    holes = part.holes if isinstance(part, Drive | Driven | Flywheel) else ()
    origin = part.origin if isinstance(part, Drive) else None
    at = (origin.x.value, origin.y.value) if origin is not None else (0.0, 0.0)
    yield from _holes(part.circle, holes, (), side, origin=at)


def _register(register: Register | None, first: str) -> Iterator[Shape]:
    if register is not None:
        name = f"register, {register.form}"
        yield from _round(register.diameter, "register", name, first)


def _round(size: Measured | None, tag: str, name: str, first: str) -> Iterator[Shape]:
    if size is not None:
        says = f"{name} ⌀ {shown(size.first, first=first)}"
        yield shapes.Circle(centre=(0.0, 0.0), diameter=size.first.value, tag=tag, says=says)


def _holes(
    circle: Circle | None, holes: Sequence[Hole], dowels: Sequence[Dowel], side: str,
    *, origin: Spot = (0.0, 0.0),
) -> Iterator[Shape]:  # fmt: skip
    if circle is not None:
        places = hole_coordinates(
            holes=circle.count, diameter=circle.diameter.first.value, start=circle.start
        )
        for number, (x, y) in enumerate(places, start=1):
            yield _hole(str(number), (float(x), float(y)), circle, side)
    for one in holes:
        at = (one.x.first.value - origin[0], one.y.first.value - origin[1])
        yield _hole(one.id, at, one, side)
    for pin in dowels:
        at = (pin.x.first.value - origin[0], pin.y.first.value - origin[1])
        size = pin.diameter.first
        yield shapes.Hole(
            id=pin.id, centre=at, diameter=size.value, tag="dowel", kind="dowel", made=True,
            says=f"{pin.id}: dowel ⌀ {shown(size, first=size.unit)}",
        )  # fmt: skip


def _hole(id: str, at: Spot, hole: Hole | Circle, side: str) -> shapes.Hole:
    kind = "tapped" if hole.thread is not None else "clear"
    size = f" {hole.thread}" if hole.thread is not None else ""
    diameter = hole.thread.major if hole.thread is not None else 0.0
    if hole.thread is None and hole.hole is not None:
        diameter = hole.hole.first.value
        size = f" ⌀ {shown(hole.hole.first, first=hole.hole.first.unit)}"
    return shapes.Hole(
        id=id, centre=at, diameter=diameter, tag=side, kind=kind, made=True,
        says=f"{id}: {words.label(kind)}{size}",
    )  # fmt: skip


def _finished(drawn: Sequence[Shape]) -> tuple[Shape, ...]:
    """The view with its two axes."""
    axis = shapes.Circle(centre=(0.0, 0.0), diameter=0.0, tag="axis")
    left, bottom, right, top = extent((*drawn, axis))
    over = 0.04 * max(right - left, top - bottom)
    return (
        *drawn,
        Line(start=(left - over, 0.0), end=(right + over, 0.0), tag="axis", says="X"),
        Line(start=(0.0, bottom - over), end=(0.0, top + over), tag="axis", says="Y"),
    )
