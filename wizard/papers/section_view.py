"""A half section on paper: the cut parts, their names beside it, a ladder of dimensions below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.papers.frames import FINE, LETTERS, THICK, THIN, Frame, Projection, measured, projection
from wizard.papers.paper import BLACK, GREY, PALE, Paper, fitted, width
from wizard.papers.shapes import Area, Girth, Line, Shape, Span, Spot, Words, spread

ROW = 3.9  # from one row of the ladder to the next
NAMES = 27.0  # width of the column of part names
WIDEST = 0.62  # of the frame, for figures and what they measure on one line
BETWEEN = 2.5  # figures to what they measure


def section_view(
    paper: Paper, shapes: Sequence[Shape], frame: Frame, *, reserved: float = 0.0
) -> str:
    """Draw a half section with part names beside it and its dimensions below.

    Args:
        reserved: Width at the upper right that stays free for something else [mm].
    Returns:
        The scale it is drawn to, ``1:2``.
    """
    spans = [shape for shape in shapes if isinstance(shape, Span)]
    girths = [shape for shape in shapes if isinstance(shape, Girth)]
    text = _column([*spans, *girths], frame)
    named = not girths  # a part on its own needs no name beside it
    view = Frame(
        frame.left + (NAMES if named else 2.0),
        frame.bottom + text.pitch * len(spans) + 3,
        min(text.left - 4, frame.right - reserved - NAMES - 6 if reserved else frame.right),
        frame.top - 6,
    )
    to = projection(shapes, view, from_bottom=True)
    for shape in shapes:
        _in_section(paper, shape, to)
    _ladder(paper, spans, to, base=view.bottom - 1, text=text)
    _girths(paper, girths, to, view, text=text)
    if named:
        _part_names(
            paper, [s for s in shapes if isinstance(s, Area)], to, frame.right - reserved, view
        )
    return to.says


def _in_section(paper: Paper, shape: Shape, to: Projection) -> None:
    match shape:
        case Area():
            _area(paper, shape, [to(point) for point in shape.points])
        case Line(tag="axis"):
            paper.pen(THIN, dash=(6, 1.2, 1, 1.2))
            paper.line(to(shape.start), to(shape.end))
        case Line():
            paper.pen(FINE, colour=GREY, dash=(0.6, 0.9))
            paper.line(to(shape.start), to(shape.end))
        case Words():
            x, y = to(shape.at)
            paper.text((x, y + 1.6), shape.text, size=LETTERS, bold=True, anchor=shape.anchor)
        case _:
            pass


def _area(paper: Paper, area: Area, points: list[Spot]) -> None:
    paper.pen(THICK if area.known else THIN, dash=() if area.known else (1.6, 0.9))
    paper.polygon(points, fill=PALE if area.side == "adapter" else None)
    if area.known or area.side == "adapter":
        paper.pen(FINE, colour=GREY)
        paper.hatch(points, apart=1.6 if area.side == "adapter" else 2.6, rising=area.side != "gearbox")  # fmt: skip
        paper.pen(THICK if area.known else THIN, dash=() if area.known else (1.6, 0.9))
        paper.polygon(points)


@dataclass(frozen=True)
class _Text:
    """The column of figures, with what they measure beside them, or below where that is too wide."""

    left: float
    right: float
    says_at: float
    says_below: float
    pitch: float

    def put(self, paper: Paper, y: float, one: Span | Girth) -> None:
        base = y - 0.7 + self.says_below / 2
        paper.text((self.left, base), one.figure, size=LETTERS)
        says = fitted(one.says, size=LETTERS, room=self.right - self.says_at)
        paper.text((self.says_at, base - self.says_below), says, size=LETTERS)


def _column(rows: Sequence[Span | Girth], frame: Frame) -> _Text:
    figures = max((width(row.figure, size=LETTERS) for row in rows), default=0.0)
    says = max((width(row.says, size=LETTERS) for row in rows), default=0.0)
    one_line = figures + BETWEEN + says + 1
    if one_line <= WIDEST * frame.across:
        left = frame.right - max(one_line, NAMES)
        return _Text(left, frame.right, left + figures + BETWEEN, 0.0, ROW)
    left = frame.right - max(figures, min(says, WIDEST * frame.across), NAMES) - 1
    return _Text(left, frame.right, left, 2.3, ROW + 2.3)


def _ladder(
    paper: Paper, spans: Sequence[Span], to: Projection, *, base: float, text: _Text
) -> None:
    """Every dimension on a row of its own, its figures in a column at the right."""
    for span in spans:
        y = base - text.pitch * (span.row + 0.6)
        ends = sorted((to(span.start)[0], to(span.end)[0]))
        paper.pen(FINE, colour=GREY)
        for x in ends:
            paper.line((x, base + 0.8), (x, y - 0.8))
        paper.line((ends[1] + 0.5, y), (text.left - 1, y))
        paper.pen(THIN)
        measured(paper, (ends[0], y), (ends[1], y))
        text.put(paper, y, span)


def _girths(
    paper: Paper, girths: Sequence[Girth], to: Projection, view: Frame, *, text: _Text
) -> None:
    edges = [to(girth.at) for girth in girths]
    heights = spread(
        [edge[1] for edge in edges], apart=text.pitch, low=view.bottom + 2, high=view.top + 3
    )  # fmt: skip
    for girth, edge, y in zip(girths, edges, heights, strict=True):
        paper.pen(THIN)
        paper.line(edge, (text.left - 4, y))
        paper.line((text.left - 4, y), (text.left - 1, y))
        paper.arrow(edge, toward=(text.left - 4, y))
        text.put(paper, y, girth)


def _part_names(
    paper: Paper, areas: Sequence[Area], to: Projection, right: float, view: Frame
) -> None:
    """Names in two columns beside the view, each with a line to a dot inside its part."""
    if not areas:
        return
    dots = [to(_inside(area)) for area in areas]
    edges = [to(point)[0] for area in areas for point in area.points]
    top = max(to(point)[1] for area in areas for point in area.points) - 1
    middle = (min(edges) + max(edges)) / 2
    for at, is_left in ((min(edges) - 6, True), (max(edges) + 6, False)):
        side = [n for n, dot in enumerate(dots) if (dot[0] < middle) == is_left]
        wanted = [dots[n][1] for n in side]
        heights = spread(wanted, apart=ROW, low=view.bottom + 2, high=top)
        for n, y in zip(side, heights, strict=True):
            room = at - view.left + NAMES - 2 if is_left else right - at
            text = fitted(areas[n].name, size=LETTERS, room=room)
            anchor = "right" if is_left else "left"
            paper.text((at, y - 0.7), text, size=LETTERS, anchor=anchor)
            paper.pen(FINE)
            paper.line((at + (0.8 if is_left else -0.8), y), dots[n])
            paper.circle(dots[n], 0.9, fill=BLACK)


def _inside(area: Area) -> Spot:
    """A place inside the cut, near its outer edge, to point at."""
    top = max(point[1] for point in area.points)
    low = min(point[1] for point in area.points)
    edge = [point[0] for point in area.points if point[1] > top - 1e-6]
    across = (min(edge) + max(edge)) / 2
    return across, top - 0.15 * (top - low)
