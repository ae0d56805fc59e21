"""Views of single parts: the plate on its engine side, and every turned part cut in half."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from kb.model.parts import Segment
from wizard import words
from wizard.papers.document import PLATE, RING, SPINDLE, Document, size_words
from wizard.papers.plan import plan
from wizard.papers.section import ring_section
from wizard.papers.shapes import Area, Circle, Girth, Hole, Line, Outline, Shape, Span, Words
from wizard.papers.turned import ends, half, solid

FROM_ENGINE = "SEEN FROM THE ENGINE / ENGINE SIDE UP: X POINTS LEFT"
_BEHIND = {"hidden": "register", "register": "hidden"}  # what was behind is before, turned over


def engine_side(answer: Mapping[str, Any], *, plate: str = PLATE) -> tuple[Shape, ...]:
    """The plate alone as the engine sees it: the plan turned over, X to the left.

    Returns:
        Empty where there is no plate. Seats worked from the gearbox side are left out.
    """
    part = Document(answer, plate).part(plate)
    sides = {str(hole["id"]): hole.get("side") for hole in (part or {}).get("holes") or ()}
    if part is None:
        return ()
    return tuple(_turned_over(shape, sides) for shape in plan(answer, plate=plate) if _of_part(shape))  # fmt: skip


def _of_part(shape: Shape) -> bool:
    return isinstance(shape, Outline | Circle | Line | Words) or (isinstance(shape, Hole) and shape.made)  # fmt: skip


def _turned_over(shape: Shape, sides: Mapping[str, Any]) -> Shape:
    match shape:
        case Outline():
            return replace(shape, pieces=tuple(_piece(one) for one in shape.pieces))
        case Circle():
            return replace(shape, centre=_flip(shape.centre), tag=_BEHIND.get(shape.tag, shape.tag))
        case Hole():
            seat = shape.keepout if sides.get(shape.id) == "engine" else None
            return replace(shape, centre=_flip(shape.centre), keepout=seat)
        case Line():
            return replace(shape, start=_flip(shape.start), end=_flip(shape.end))
        case Words(tag="view"):
            return replace(shape, text=FROM_ENGINE)
        case _:
            return shape


def _flip(at: tuple[float, float]) -> tuple[float, float]:
    return -at[0], at[1]


def _piece(one: Segment) -> Segment:
    centre = None if one.centre is None else _flip(one.centre)
    return replace(one, start=_flip(one.start), end=_flip(one.end), centre=centre, ccw=not one.ccw)


def turned_parts(answer: Mapping[str, Any]) -> Iterator[tuple[str, tuple[Shape, ...]]]:
    """Every turned part by name, each cut in half with its lengths and diameters."""
    doc = Document(answer)
    for part in doc.rows("parts"):
        name = str(part["name"])
        if name.endswith("plate"):
            continue
        shapes = ring_section(answer) if name == doc.turned else half_section(doc, name)
        if shapes:
            yield name, shapes


def half_section(doc: Document, name: str) -> tuple[Shape, ...]:
    """Half a turned part from its named sizes; empty where outside or length is not known."""
    length = doc.size(name, "thickness") or doc.size(name, "length")
    outside = doc.size(name, "outside")
    if not length or not outside:
        return ()
    area = solid(
        name, "adapter", left=0.0, right=length, outside=outside / 2, bore=half(doc.size(name, "bore")) or 0.0,
        left_steps=ends(doc, name, proud="spigot", sunk="recess"),
        right_steps=ends(doc, name, proud="driven_spigot", sunk="driven_recess"),
    )  # fmt: skip
    if not isinstance(area, Area):
        return ()
    low, high = min(p[0] for p in area.points), max(p[0] for p in area.points)
    over = 0.1 * (high - low)
    axis = Line(start=(low - over, 0.0), end=(high + over, 0.0), tag="axis", says="axis")
    return (area, axis, *_spans(doc, name, length), *_girths(doc, name, length))


def _spans(doc: Document, name: str, length: float) -> Iterator[Span]:
    rows = [("length" if doc.size(name, "thickness") is None else "thickness", 0.0, length)]
    for key, start, way in (("spigot_length", 0.0, -1.0), ("recess_depth", 0.0, 1.0), ("driven_spigot_length", length, 1.0), ("driven_recess_depth", length, -1.0)):  # fmt: skip
        if size := doc.size(name, key):
            rows.append((key, start, start + way * size))
    for row, (key, start, end) in enumerate(rows):
        yield Span(
            start=(min(start, end), 0.0), end=(max(start, end), 0.0), row=row, key=key,
            figure=doc.figure(key, abs(end - start)), says=size_words(key),
        )  # fmt: skip


def _girths(doc: Document, name: str, length: float) -> Iterator[Girth]:
    for key, at in (("outside", length), ("bore", length), ("spigot", 0.0), ("recess", 0.0), ("driven_spigot", length), ("driven_recess", length)):  # fmt: skip
        if size := doc.size(name, key):
            yield Girth(at=(at, size / 2), key=key, figure=doc.girth(name, key), says=size_words(key))  # fmt: skip


def named(part: str) -> str:
    """Heading of a part's view."""
    kind = "HALF SECTION" if part in (RING, SPINDLE) else "HALF SECTION, ALONE"
    return f"{words.label(part).upper()}, {kind}"
