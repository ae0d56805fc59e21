"""The full-size template of a plate: tiled on the shop's own paper, and on one sheet for a plotter."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from kb.model.record import Record
from wizard.making.stuff import outline
from wizard.papers.cut import corner
from wizard.papers.cut_svg import far_corner
from wizard.papers.document import Document, numbered
from wizard.papers.paper import GREY, PORTRAIT, Paper, fitted
from wizard.papers.plan import SIDE_UP
from wizard.papers.shapes import trace

MARGIN = 12.0  # mm that no printer reaches, and the words
OVERLAP = 12.0  # mm each sheet shares with the next
CHECK = 100.0  # mm, to be measured on every sheet, both ways
CROSS = 4.0  # mm
Box = tuple[float, float, float, float]


def template(record: Record, part: Mapping[str, Any]) -> Paper:
    """The template of a plate on as many sheets as it takes, each marked to be joined."""
    doc = Document(record.answer)
    across, up = PORTRAIT[doc.first]
    box = _bounds(part)
    wide, high = across - 2 * MARGIN, up - 2 * MARGIN
    columns, rows = (_tiles(box[2] - box[0], wide), _tiles(box[3] - box[1], high))
    paper = Paper((across, up), title=f"template, {record.title}", by=record.made_by)
    for number, (column, row) in enumerate((c, r) for r in range(rows) for c in range(columns)):
        if number:
            paper.next_page()
        corner_at = (box[0] + column * (wide - OVERLAP), box[3] - row * (high - OVERLAP) - high)
        name = f"{'ABCDEFGHIJKLMNOPQRSTUVWXYZ'[row % 26]}{column + 1}"
        _tile(
            paper,
            record,
            part,
            corner_at,
            wide,
            high,
            f"sheet {name} of {columns} across and {rows} down",
        )
    return paper


def one_sheet(record: Record, part: Mapping[str, Any]) -> Paper:
    """The template of a plate on one sheet of its own size, for a plotter."""
    left, bottom, right, top = _bounds(part)
    across, up = right - left + 2 * MARGIN, top - bottom + 2 * MARGIN
    across = max(across, CHECK + 4 * MARGIN)
    paper = Paper(
        (across, max(up, CHECK + 4 * MARGIN)), title=f"template, {record.title}", by=record.made_by
    )
    _tile(
        paper,
        record,
        part,
        (left, bottom),
        across - 2 * MARGIN,
        paper.height - 2 * MARGIN,
        "one sheet",
    )
    return paper


def _tiles(length: float, page: float) -> int:
    return max(1, math.ceil((length - OVERLAP) / (page - OVERLAP)))


def _bounds(part: Mapping[str, Any]) -> Box:
    """Everything the template shows, with room round it."""
    pieces = outline(part)
    (left, bottom), (right, top) = corner(pieces), far_corner(pieces)
    return left - 3, bottom - 3, right + 3, top + 3


def _tile(
    paper: Paper, record: Record, part: Mapping[str, Any], at: tuple[float, float], wide: float, high: float, name: str
) -> None:  # fmt: skip
    """One sheet: what of the part lies in it, its frame, register crosses and check lengths."""

    def placed(x: float, y: float) -> tuple[float, float]:
        return x - at[0] + MARGIN, y - at[1] + MARGIN

    frame = [
        (MARGIN, MARGIN),
        (MARGIN + wide, MARGIN),
        (MARGIN + wide, MARGIN + high),
        (MARGIN, MARGIN + high),
    ]
    with paper.clipped(frame):
        paper.pen(0.25)
        paper.polygon([placed(x, y) for x, y in trace(outline(part), step=0.5)])
        for x, y, diameter, _ in _circles(part):
            paper.pen(0.2)
            paper.circle(placed(x, y), diameter)
            paper.pen(0.1)
            cx, cy = placed(x, y)
            reach = diameter / 2 + 3
            paper.line((cx - reach, cy), (cx + reach, cy))
            paper.line((cx, cy - reach), (cx, cy + reach))
        paper.pen(0.1, colour=GREY, dash=(4, 1, 1, 1))
        paper.line(placed(-1e4, 0), placed(1e4, 0))
        paper.line(placed(0, -1e4), placed(0, 1e4))
    paper.pen(0.15, colour=GREY, dash=(2, 2))
    paper.polygon(frame)
    paper.pen(0.15)
    for x in (MARGIN + OVERLAP / 2, MARGIN + wide - OVERLAP / 2):
        for y in (MARGIN + OVERLAP / 2, MARGIN + high - OVERLAP / 2):
            paper.line((x - CROSS, y), (x + CROSS, y))
            paper.line((x, y - CROSS), (x, y + CROSS))
    _marks(paper, part, placed, wide, high)
    _check_lengths(paper)
    says = f"{name}: {part['name']}, {numbered(record)}. {SIDE_UP}. Full size: measure both {CHECK:g} mm lines."
    paper.text(
        (MARGIN, paper.height - MARGIN + 3),
        fitted(says, size=7, room=paper.width - 2 * MARGIN),
        size=7,
    )


def _check_lengths(paper: Paper) -> None:
    """A line of 100 mm along the foot and one up the side."""
    low = MARGIN - 5
    paper.pen(0.2)
    paper.line((MARGIN, low), (MARGIN + CHECK, low))
    paper.line((low, MARGIN), (low, MARGIN + CHECK))
    for n in range(11):
        tick = 2.0 if n % 5 == 0 else 1.2
        paper.line((MARGIN + 10 * n, low), (MARGIN + 10 * n, low + tick))
        paper.line((low, MARGIN + 10 * n), (low + tick, MARGIN + 10 * n))
    paper.text((MARGIN + CHECK + 2, low - 0.8), f"{CHECK:g} mm", size=6)


def _marks(paper: Paper, part: Mapping[str, Any], placed: Any, wide: float, high: float) -> None:
    """The mark of every hole whose middle lies on this sheet, beside it."""
    taken: list[Any] = []
    for x, y, diameter, mark in _circles(part):
        cx, cy = placed(x, y)
        if (
            not (MARGIN + 8 < cx < MARGIN + wide - 8 and MARGIN + 5 < cy < MARGIN + high - 5)
            or not mark
        ):
            continue
        for dx, dy in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
            spot = (
                cx + dx * (diameter * 0.36 + 1),
                cy + dy * (diameter * 0.36 + 1) - (2.2 if dy < 0 else 0),
            )
            anchor = "left" if dx > 0 else "right"
            box = paper.box(spot, mark, size=6, anchor=anchor)
            if not any(box.meets(other) for other in taken):
                taken.append(paper.text(spot, mark, size=6, anchor=anchor))
                break


def _circles(part: Mapping[str, Any]) -> Iterator[tuple[float, float, float, str]]:
    """Opening and holes: centre, diameter and mark."""
    if bore := part["size"].get("bore"):
        yield 0.0, 0.0, float(bore), ""
    for hole in part["holes"]:
        yield float(hole["x"]), float(hole["y"]), float(hole["diameter"]), str(hole["id"])
