"""The sheet of single parts: the plate from the engine's side, each turned part, the control frames."""

from __future__ import annotations

import itertools

from kb import quantity
from wizard.papers.control import Control, controls, datums, strokes
from wizard.papers.document import Document
from wizard.papers.frames import FINE, THIN, Frame
from wizard.papers.paper import Paper, fitted, width
from wizard.papers.parts_view import engine_side, named, turned_parts
from wizard.papers.plan_view import plan_view
from wizard.papers.section_view import section_view
from wizard.papers.titleblock import TITLE_BLOCK

HIGH = 5.2  # mm, a control frame
SIZE = 5.8  # pt
GAP = 2.5


def parts_sheet(paper: Paper, doc: Document, frame: Frame, *, beside: float) -> None:
    """Fill a sheet inside its border; the turned part of the first sheet is not shown again.

    Args:
        frame: The whole of it. beside: Left edge of the column at the right [mm].
    """
    column = Frame(beside, frame.bottom + TITLE_BLOCK + GAP, frame.right, frame.top)
    _frames(paper, doc, column)
    views = [(part, cut) for part, cut in turned_parts(doc.answer) if part != doc.turned]
    shapes = engine_side(doc.answer, plate=doc.plate)
    left = Frame(frame.left, frame.bottom, beside - GAP, frame.top)
    split = left.left
    if shapes:
        split = left.left + (0.55 if views else 1.0) * left.across
        across, up = doc.size(doc.plate, "length"), doc.size(doc.plate, "height")
        both = (quantity.both(across, first=doc.first), quantity.both(up, first=doc.first)) if across and up else None  # fmt: skip
        view = Frame(left.left, left.bottom, split - GAP, left.top - 5)
        scale = plan_view(paper, shapes, view, overall=both)
        _head(paper, view, f"{doc.plate.upper()}, ENGINE SIDE, scale {scale}")
    room = (left.top - left.bottom) / max(len(views), 1)
    for number, (part, cut) in enumerate(views):
        top = left.top - number * room
        view = Frame(split, top - room + 3, left.right, top - 5)
        scale = section_view(paper, cut, view)
        _head(paper, view, f"{named(part)}, scale {scale}")


def _head(paper: Paper, frame: Frame, text: str) -> None:
    paper.text((frame.left, frame.top + 1.5), fitted(text, size=7, room=frame.across, bold=True), size=7, bold=True)  # fmt: skip


def _frames(paper: Paper, doc: Document, column: Frame) -> None:
    """Every control frame with what it is put to, then what its datums are."""
    paper.text((column.left, column.top - 4), "CONTROL FRAMES (ISO 1101, ASME Y14.5)", size=7, bold=True)  # fmt: skip
    y = column.top - 7
    for one in controls(doc):
        paper.text((column.left, y - 3.2), fitted(one.of, size=SIZE, room=58), size=SIZE)
        _frame(paper, one, column.left + 60, y)
        y -= HIGH + 1.8
    y -= 2
    for line in datums(doc):
        paper.text((column.left, y - 3), f"DATUM {line}", size=SIZE)
        y -= 3.6


def _frame(paper: Paper, one: Control, left: float, top: float) -> None:
    cells = [HIGH, width(one.zone, size=SIZE) + 3, *(HIGH for _ in one.datums)]
    x = left
    paper.pen(THIN)
    for number, across in enumerate(cells):
        paper.rectangle((x, top - HIGH), across=across, up=HIGH)
        if number:
            text = one.zone if number == 1 else one.datums[number - 2]
            paper.text((x + across / 2, top - 3.6), text, size=SIZE, anchor="middle")
        x += across
    paper.pen(FINE)
    for line in strokes(one.symbol):
        spots = [(left + HIGH * u, top - HIGH + HIGH * v) for u, v in line]
        for start, end in itertools.pairwise(spots):
            paper.line(start, end)
