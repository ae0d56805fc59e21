"""A ruled table on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.papers.paper import GREY, PALE, POINT, Paper, printable, width

PAD = 0.9  # beside the text of a cell
LINE = 1.16  # from line to line, of the lettering's size


@dataclass(frozen=True)
class Column:
    """A heading (one line each) and one cell for every row; a cell holds one or more lines."""

    heading: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]

    def across(self, size: float) -> float:
        """Width it needs at a size of lettering [mm]."""
        head = max(width(line, size=size, bold=True) for line in self.heading)
        body = (width(line, size=size) for cell in self.cells for line in cell)
        return max(head, *body, 0.0) + 2 * PAD

    def filled(self) -> bool:
        """Whether any cell says something."""
        return any(line for cell in self.cells for line in cell)


def column(heading: Sequence[str], cells: Sequence[Sequence[str]]) -> Column:
    """A column of printable text."""
    shown = tuple(tuple(printable(line) for line in cell) for cell in cells)
    return Column(tuple(printable(line) for line in heading), shown)


def across(columns: Sequence[Column], *, size: float) -> float:
    """Width of a table [mm]."""
    return sum(one.across(size) for one in columns)


def row_height(columns: Sequence[Column], *, size: float) -> float:
    """Height of one row [mm]."""
    lines = max((len(cell) for one in columns for cell in one.cells), default=1)
    return lines * size * POINT * LINE + 0.35


def heading_height(columns: Sequence[Column], *, size: float) -> float:
    """Height of the heading [mm]."""
    return max(len(one.heading) for one in columns) * size * POINT * LINE + 0.7


def height(columns: Sequence[Column], *, size: float) -> float:
    """Height of a table with its heading [mm]."""
    rows = len(columns[0].cells)
    return heading_height(columns, size=size) + rows * row_height(columns, size=size)


def draw(
    paper: Paper, columns: Sequence[Column], *, left: float, top: float, size: float,
    first: int = 0, last: int | None = None,
) -> float:  # fmt: skip
    """Draw rows ``first`` to ``last`` with the heading above; returns where the table ends [mm]."""
    right = left + across(columns, size=size)
    head, pitch = heading_height(columns, size=size), row_height(columns, size=size)
    rows = range(first, len(columns[0].cells) if last is None else last)
    bottom = top - head - pitch * len(rows)
    paper.pen(0.12, colour=GREY)
    paper.rectangle((left, top - head), across=right - left, up=head, fill=PALE)
    for step in range(len(rows) + 1):
        y = top - head - step * pitch
        paper.line((left, y), (right, y))
    x = left
    for one in columns:
        paper.line((x, top), (x, bottom))
        _cell(paper, one.heading, x, top, size, bold=True)
        for step, row in enumerate(rows):
            _cell(paper, one.cells[row], x, top - head - step * pitch, size)
        x += one.across(size)
    paper.line((right, top), (right, bottom))
    return bottom


def _cell(
    paper: Paper, lines: Sequence[str], left: float, top: float, size: float, *, bold: bool = False
) -> None:
    for number, line in enumerate(lines):
        y = top - (number + 0.82) * size * POINT * LINE
        paper.text((left + PAD, y), line, size=size, bold=bold)
