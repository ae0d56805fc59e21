"""The cut file looked over: closed, without gaps or doubles, and what each cutting process can pierce."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from kb.model.record import Record
from kb.rules.loader import PRACTICE, processes
from wizard.making.stuff import family, outline
from wizard.papers.cut import circles
from wizard.papers.document import Document, numbered

GAP = 1e-4  # mm: ends nearer than this meet


def cut_report(record: Record, part: Mapping[str, Any]) -> bytes:
    """What the cut file of a plate holds and whether it can be cut, as text.

    Args:
        record: The record the plate belongs to. part: The plate, a row of the answer's parts.
    """
    doc = Document(record.answer)
    chosen = ((record.content.get("making") or {}).get("shop") or {}).get("process") or "not chosen"
    lines = [
        f"{numbered(record)}: {record.title}",
        f"{part['name']}: the cut file looked over; process: {chosen}",
        "",
    ]
    return "\n".join([*lines, *_loop(part, doc), "", *_holes(part, doc), ""]).encode("utf-8")


def gaps(part: Mapping[str, Any]) -> list[float]:
    """How far each piece of the outline begins from where the last one ended [mm]."""
    pieces = outline(part)
    return [
        math.dist(one.end, two.start)
        for one, two in zip(pieces, (*pieces[1:], *pieces[:1]), strict=True)
    ]


def _loop(part: Mapping[str, Any], doc: Document) -> Iterator[str]:
    pieces = outline(part)
    widest = max(gaps(part), default=0.0)
    arcs = sum(piece.kind != "line" for piece in pieces)
    yield f"outer edge: 1 loop of {len(pieces) - arcs} lines and {arcs} arcs, " + (
        "closed" if widest <= GAP else f"OPEN by {doc.both(widest)}"
    )
    keys = [
        (round(p.start[0], 4), round(p.start[1], 4), round(p.end[0], 4), round(p.end[1], 4))
        for p in pieces
    ]
    yield f"pieces drawn twice: {len(keys) - len(set(keys))}"
    found = list(circles(part))
    yield f"circles: {len(found)}, one at each centre; all true circles, no splines"
    yield f"thickness: {doc.both(float(part['size']['thickness']))}, {part['material']}"


def _holes(part: Mapping[str, Any], doc: Document) -> Iterator[str]:
    """Which holes each process cannot cut true: leave them a pilot, or drill them."""
    thick = float(part["size"]["thickness"])
    cut = [(diameter, centre) for centre, diameter, layer in circles(part) if layer == "OPENINGS"]
    marks = {
        (round(float(h["x"]), 2), round(float(h["y"]), 2)): str(h["id"]) for h in part["holes"]
    }
    if carried := [str(hole["id"]) for hole in part["holes"] if hole.get("punched")]:
        yield f"left out, punched through the mating part: {' '.join(carried)}"
    stuff = family(part)
    for name, process in processes().items():
        if stuff and stuff not in process.cuts:
            yield f"{name}: not for {stuff}"
            continue
        if thick > process.most:
            yield f"{name}: plate thicker than the usual {doc.both(process.most)}; ask the cutter"
            continue
        least = process.least_hole(thick)
        small = [
            marks.get((round(x, 2), round(y, 2)), "opening")
            for diameter, (x, y) in cut
            if diameter < least - 1e-9
        ]
        says = "all clear holes can be cut" if not small else f"drill instead: {' '.join(small)}"
        yield f"{name}: smallest hole about {doc.both(least)} ({PRACTICE}); {says}"
