"""The plan view, to scale: the plate with the holes of both sides, and the rotating adapter.

Frame P throughout: seen from behind the engine, looking forward, x to the right, y up, origin on
the crankshaft axis. So the plate is seen on its gearbox side.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kb import quantity
from wizard import words
from wizard.making.stuff import outline
from wizard.papers.document import PLATE, Document, size_words
from wizard.papers.shapes import Circle, Hole, Line, Mark, Outline, Shape, Spot, Words, extent

VIEW = "Seen from behind the engine, looking forward; X right, Y up, from the crankshaft axis."
SIDE_UP = "SEEN FROM BEHIND / GEARBOX SIDE UP"


def plan(answer: Mapping[str, Any], *, plate: str = PLATE) -> tuple[Shape, ...]:
    """The fixed joint: outline, opening, holes of both faces with their keep-outs, clashes.

    Args:
        answer: The agreed answer; lengths in mm, gearbox already turned by the clocking used.
        plate: Name of the plate to show, where there are two.
    Returns:
        Empty when the answer holds neither a plate nor a face. Holes of the faces come with
        ``made`` false and their keep-out; holes of the plate with ``made`` true.
    """
    doc = Document(answer, plate)
    patterns = doc.table("patterns")
    part = doc.part(doc.plate)
    drawn = (
        *_plate(doc, part),
        *_pattern(patterns.get("engine") or (), "engine", doc.first),
        *_pattern(patterns.get("gearbox") or (), "gearbox", doc.first),
        *_made(part, doc.first),
    )
    return _finished(drawn, _marks(doc, patterns))


def ring_plan(answer: Mapping[str, Any]) -> tuple[Shape, ...]:
    """The spacer ring, or the carrier disc, on its driven side: outside, bore, registers and both hole circles.

    Returns:
        Empty when the design has neither and neither circle is known.
    """
    doc = Document(answer)
    ring = doc.part(doc.faced)
    patterns = doc.table("patterns")
    drawn: tuple[Shape, ...] = (*_ring(doc, ring), *_made(ring, doc.first))
    if ring is None or not ring.get("holes"):
        drawn = (
            *drawn,
            *_pattern(patterns.get("driving") or (), "driver", doc.first),
            *_pattern(patterns.get("driven") or (), "driven", doc.first),
        )
    return _finished(drawn, ())


def _finished(drawn: tuple[Shape, ...], marks: Sequence[Shape]) -> tuple[Shape, ...]:
    """The view with its axes, its TOP and the side it is seen from."""
    if not drawn:
        return ()
    left, bottom, right, top = extent(drawn)
    over = 0.04 * max(right - left, top - bottom)
    return (
        *drawn,
        *marks,
        Line(start=(left - over, 0.0), end=(right + over, 0.0), tag="axis", says="X"),
        Line(start=(0.0, bottom - over), end=(0.0, top + over), tag="axis", says="Y"),
        Words(at=(0.0, top + over), text="TOP", tag="top"),
        Words(at=(0.0, bottom - over), text=SIDE_UP, tag="view"),
    )


def _plate(doc: Document, plate: Mapping[str, Any] | None) -> Iterator[Shape]:
    if plate is None:
        return
    if pieces := outline(plate):
        yield Outline(pieces=pieces, tag="outline", name=words.label(doc.plate))
    for key, tag in (("bore", "opening"), ("register", "register"), ("recess", "hidden"), ("spigot", "hidden")):  # fmt: skip
        yield from _round(doc, doc.plate, key, tag)


def _ring(doc: Document, ring: Mapping[str, Any] | None) -> Iterator[Shape]:
    if ring is None:
        return
    for key, tag in (
        ("outside", "outline"), ("bore", "opening"), ("driven_spigot", "register"),
        ("driven_recess", "register"), ("spigot", "hidden"), ("recess", "hidden"),
    ):  # fmt: skip
        yield from _round(doc, doc.faced, key, tag)


def _round(doc: Document, part: str, key: str, tag: str) -> Iterator[Circle]:
    size = doc.size(part, key)
    if size:
        name = size_words(key, of_plate=part == doc.plate)
        says = f"{name} ⌀ {quantity.both(size, first=doc.first)}"
        yield Circle(centre=(0.0, 0.0), diameter=size, tag=tag, says=says)


def _pattern(rows: Sequence[Mapping[str, Any]], side: str, first: str) -> Iterator[Hole]:
    """The holes of a face behind the part, with what must stay clear around them."""
    for row in rows:
        keepout = row.get("keepout")
        diameter = row.get("diameter") or keepout or 0.0
        yield Hole(
            id=str(row["id"]), centre=(row["x"], row["y"]), diameter=diameter, made=False,
            tag="dowel" if row["kind"] == "dowel" else side, kind=row["kind"], keepout=keepout,
            says=_face_says(row, side, first),
        )  # fmt: skip


def _face_says(row: Mapping[str, Any], side: str, first: str) -> str:
    pieces = [f"{words.label(side)} {row['id']}: {words.label(row['kind'])}"]
    if row.get("thread"):
        pieces.append(str(row["thread"]))
    if row.get("diameter"):
        pieces.append(f"⌀ {quantity.both(row['diameter'], first=first)}")
    if row.get("keepout"):
        pieces.append(f"keep clear ⌀ {quantity.both(row['keepout'], first=first)}")
    return ", ".join(pieces)


def _made(part: Mapping[str, Any] | None, first: str) -> Iterator[Hole]:
    """The holes the part is given."""
    for row in (part or {}).get("holes") or ():
        bore = row.get("counterbore") or row.get("countersink") or {}
        yield Hole(
            id=str(row["id"]), centre=(row["x"], row["y"]), diameter=row["diameter"], made=True,
            tag="dowel" if row["kind"] == "dowel" else (row.get("for") or row.get("side") or ""),
            kind=row["kind"], keepout=bore.get("diameter"), says=_made_says(row, first),
        )  # fmt: skip


def _made_says(row: Mapping[str, Any], first: str) -> str:
    pieces = [f"{row['id']}: {words.label(row['kind'])}"]
    if row.get("thread"):
        pieces.append(str(row["thread"]))
    pieces.append(f"⌀ {quantity.both(row['diameter'], first=first)}")
    depth = row.get("depth")
    pieces.append(f"{quantity.both(depth, first=first)} deep" if depth else "right through")
    if bore := row.get("counterbore"):
        pieces.append(
            f"counterbore ⌀ {quantity.both(bore['diameter'], first=first)},"
            f" {quantity.both(bore['depth'], first=first)} deep"
        )
    if sink := row.get("countersink"):
        pieces.append(
            f"countersink ⌀ {quantity.both(sink['diameter'], first=first)} × {sink['angle']:g}°"
        )
    return ", ".join(pieces)


def _marks(doc: Document, patterns: Mapping[str, Any]) -> tuple[Mark, ...]:
    """Clashes, holes shared by both sides and holes left out, at the turn used."""
    fixed = doc.table("lineup").get("fixed") or {}
    engine = {str(row["id"]): row for row in patterns.get("engine") or ()}
    gearbox = {str(row["id"]): row for row in patterns.get("gearbox") or ()}
    marks: list[Mark] = []
    for clash in fixed.get("clashes") or ():
        pair = engine.get(str(clash["engine"])), gearbox.get(str(clash["gearbox"]))
        overlap = quantity.both(-clash["wall"], first=doc.first)
        says = f"CLASH engine {clash['engine']} / gearbox {clash['gearbox']}: overlap {overlap}"
        marks += _between(pair, "clash", says)
    for one, other in fixed.get("shared") or ():
        pair = engine.get(str(one)), gearbox.get(str(other))
        marks += _between(pair, "shared", f"SHARED engine {one} / gearbox {other}")
    for row in fixed.get("leave_out") or ():
        hole = (engine if row["side"] == "engine" else gearbox).get(str(row["id"]))
        marks += _between((hole, hole), "left out", f"COULD BE LEFT OUT: {row['side']} {row['id']}")
    return tuple(marks)


def _between(
    pair: tuple[Mapping[str, Any] | None, Mapping[str, Any] | None], tag: str, says: str
) -> list[Mark]:
    one, other = pair
    if one is None or other is None:
        return []
    at: Spot = ((one["x"] + other["x"]) / 2, (one["y"] + other["y"]) / 2)
    size = max(one.get("keepout") or 0.0, other.get("keepout") or 0.0) or 10.0
    return [Mark(at=at, size=size, tag=tag, says=says)]
