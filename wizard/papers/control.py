"""Feature control frames: what is asked of form, place and run, with its datums.

Symbols as in ISO 1101 and ASME Y14.5, drawn by strokes in a box one unit wide and high, so that
paper and drawing file show the same without a special lettering.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kb import quantity
from wizard.making.held import (
    BOLT_PLACE,
    DOWEL_PLACE,
    FLAT,
    PROFILE,
    RING_PARALLEL,
    RING_TRUE,
)
from wizard.papers.document import Document

Stroke = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Control:
    """One frame: what it is put to, its symbol, the width of its zone in words, its datums."""

    of: str
    symbol: str
    zone: str
    datums: tuple[str, ...]


def controls(doc: Document) -> tuple[Control, ...]:
    """The frames of a drawing, in the order they are looked at."""
    return (*_of_plate(doc), *_of_turned(doc))


def _of_plate(doc: Document) -> Iterator[Control]:
    part = doc.part(doc.plate)
    if part is None:
        return
    yield Control("face toward the engine", "flatness", _zone(doc, FLAT), ())
    yield Control("face toward the gearbox", "parallelism", _zone(doc, FLAT), ("A",))
    kinds: dict[str, list[str]] = {}
    for hole in part.get("holes") or ():
        kinds.setdefault("dowel" if hole["kind"] == "dowel" else "bolt", []).append(str(hole["id"]))
    if "dowel" in kinds:
        yield Control(f"dowel holes {' '.join(kinds['dowel'])}", "position", f"⌀ {_zone(doc, DOWEL_PLACE)}", ("A", "B"))  # fmt: skip
    if "bolt" in kinds:
        yield Control(f"{len(kinds['bolt'])} bolt holes", "position", f"⌀ {_zone(doc, BOLT_PLACE)} (M)", ("A", "B", "C"))  # fmt: skip
    if part.get("outline"):
        yield Control("outline", "profile", _zone(doc, PROFILE), ("A", "B", "C"))


def _of_turned(doc: Document) -> Iterator[Control]:
    if doc.part(doc.turned) is None:
        return
    yield Control(f"{doc.turned}, second face", "parallelism", _zone(doc, RING_PARALLEL), ("D",))
    if _register(doc, "driven_spigot", "driven_recess"):
        yield Control(f"{doc.turned}, second register", "runout", _zone(doc, RING_TRUE), ("D", "E"))


def datums(doc: Document) -> tuple[str, ...]:
    """What each datum letter is, a line each."""
    lines = []
    if doc.part(doc.plate) is not None:
        lines += [
            "A: plate's face toward the engine",
            "B: crankshaft axis",
            f"C: {clocked_by(doc)}",
        ]
    if doc.part(doc.turned) is not None:
        axis = "register there" if _register(doc, "spigot", "recess") else "bore"
        lines += [f"D: {doc.turned}'s face toward the engine", f"E: axis of its {axis}"]
    return tuple(lines)


def clocked_by(doc: Document) -> str:
    """What datum C is: how the plate stands about the crankshaft axis."""
    holes = (doc.part(doc.plate) or {}).get("holes") or ()
    dowels = [str(hole["id"]) for hole in holes if hole["kind"] == "dowel"]
    return f"the line through dowels {dowels[0]} and {dowels[1]}" if len(dowels) > 1 else "the Y axis"  # fmt: skip


def _register(doc: Document, *names: str) -> bool:
    """Whether the turned part has one of these."""
    return any(doc.size(doc.turned, name) for name in names)


def _zone(doc: Document, width: float) -> str:
    return quantity.both(width, first=doc.first, places=3 if doc.first == "mm" else 4)


def strokes(symbol: str) -> tuple[Stroke, ...]:
    """A symbol as open lines in a box of one by one.

    Args:
        symbol: flatness, parallelism, position, profile or runout.
    """
    match symbol:
        case "flatness":
            return (((0.1, 0.25), (0.65, 0.25), (0.9, 0.75), (0.35, 0.75), (0.1, 0.25)),)
        case "parallelism":
            return ((0.2, 0.15), (0.5, 0.85)), ((0.5, 0.15), (0.8, 0.85))
        case "position":
            return _arc(0.3, 0, 360), ((0.05, 0.5), (0.95, 0.5)), ((0.5, 0.05), (0.5, 0.95))
        case "profile":
            return ((*_arc(0.38, 0, 180), (0.88, 0.5)),)
        case _:
            return ((0.2, 0.15), (0.8, 0.85)), ((0.5, 0.8), (0.8, 0.85), (0.75, 0.5))


def _arc(radius: float, first: float, last: float) -> Stroke:
    turns = [math.radians(first + (last - first) * n / 24) for n in range(25)]
    return tuple((0.5 + radius * math.cos(turn), 0.5 + radius * math.sin(turn)) for turn in turns)
