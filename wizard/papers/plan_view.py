"""A plan on paper: outline and openings, holes with their marks, clashes, overall sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from wizard.papers.frames import FINE, LETTERS, THICK, THIN, Frame, Projection, measured, projection
from wizard.papers.paper import BLACK, GREY, POINT, RED, Lettering, Paper, fitted, width
from wizard.papers.shapes import (
    Circle,
    Hole,
    Line,
    Mark,
    Outline,
    Shape,
    Spot,
    Words,
    extent,
    trace,
)

_TURNS = 640


@dataclass
class _Labels:
    """Finds room for letters beside what they name, clear of holes and of other letters.

    ``curves`` are points along edges that letters should rather not stand on.
    """

    paper: Paper
    frame: Frame
    discs: list[tuple[Spot, float]] = field(default_factory=list)
    curves: list[Spot] = field(default_factory=list)
    missed: int = 0

    def put(self, at: Spot, reach: float, text: str, *, size: float, bold: bool = False) -> None:
        """Set a text as near to ``at`` as there is room, with a line to it where it is far."""
        high = size * POINT
        for turn in range(2 * _TURNS):
            ring, step = divmod(turn % _TURNS, 16)
            distance = reach + (0.4 + 0.3 * ring) * high
            angle = math.radians(45 + 22.5 * step)
            x, y = at[0] + distance * math.cos(angle), at[1] + distance * math.sin(angle)
            lean = math.cos(angle)
            anchor = "left" if lean > 0.3 else "right" if lean < -0.3 else "middle"
            base = (x, y - 0.3 * high + 0.5 * high * math.sin(angle))
            box = self.paper.box(base, text, size=size, bold=bold, anchor=anchor)
            if self._free(box, clear_of_edges=turn < _TURNS):
                break
        else:
            self.missed += 1
            return
        if distance > reach + 1.2 * high:
            self.paper.pen(FINE)
            edge = (at[0] + reach * math.cos(angle), at[1] + reach * math.sin(angle))
            self.paper.line(edge, (x, y))
        self.paper.text(base, text, size=size, bold=bold, anchor=anchor, ground=True)

    def _free(self, box: Lettering, *, clear_of_edges: bool) -> bool:
        frame = self.frame
        inside = (
            box.left >= frame.left and box.right <= frame.right
            and box.bottom >= frame.bottom and box.top <= frame.top
        )  # fmt: skip
        if not inside or any(box.meets(other, slack=-0.3) for other in self.paper.lettering):
            return False
        if any(_touches(box, centre, radius) for centre, radius in self.discs):
            return False
        return not clear_of_edges or not self._on_an_edge(box)

    def _on_an_edge(self, box: Lettering) -> bool:
        x, y = self._edges
        inside = (box.left < x) & (x < box.right) & (box.bottom < y) & (y < box.top)
        return bool(inside.any())

    @cached_property
    def _edges(self) -> NDArray[np.float64]:
        return np.array(self.curves).reshape(-1, 2).T


def _touches(box: Lettering, centre: Spot, radius: float) -> bool:
    near_x = min(max(centre[0], box.left), box.right)
    near_y = min(max(centre[1], box.bottom), box.top)
    return math.dist((near_x, near_y), centre) < radius


def plan_view(
    paper: Paper,
    shapes: Sequence[Shape],
    frame: Frame,
    *,
    overall: tuple[str, str] | None = None,
    diameters: bool = True,
) -> str:
    """Draw a plan with its hole marks, its clashes and its overall sizes.

    Args:
        overall: Width and height in words; drawn as dimensions outside the view.
        diameters: Write the diameters of circles beside them.
    Returns:
        The scale it is drawn to, ``1:2``.
    """
    view = Frame(frame.left + 9, frame.bottom + 11, frame.right - 3, frame.top - 6)
    to = projection(shapes, view)
    for shape in sorted(shapes, key=_last_drawn):
        _in_plan(paper, shape, to)
    _statements(paper, shapes, to, frame)
    if overall is not None:
        _overall(paper, shapes, to, frame, overall)
    _letter(paper, shapes, to, frame, diameters=diameters)
    return to.says


def _last_drawn(shape: Shape) -> int:
    if isinstance(shape, Hole):
        return 1 + shape.made
    return 3 if isinstance(shape, Mark) else 0


def _in_plan(paper: Paper, shape: Shape, to: Projection) -> None:
    match shape:
        case Outline():
            paper.pen(THICK)
            paper.polygon([to(point) for point in trace(shape.pieces)])
        case Circle():
            hidden = shape.tag == "hidden"
            paper.pen(THIN if hidden else THICK, dash=(1.6, 0.9) if hidden else ())
            paper.circle(to(shape.centre), shape.diameter * to.scale)
        case Line():
            paper.pen(FINE, dash=(6, 1.2, 1, 1.2))
            paper.line(to(shape.start), to(shape.end))
        case Hole():
            _hole(paper, shape, to)
        case Mark():
            _mark(paper, shape, to)
        case _:
            pass


def _hole(paper: Paper, hole: Hole, to: Projection) -> None:
    """A hole of the part in full line; one of the face behind it fine, with its keep-out dashed."""
    at, size = to(hole.centre), hole.diameter * to.scale
    if hole.keepout:
        paper.pen(FINE, colour=BLACK if hole.made else GREY, dash=() if hole.made else (1.0, 0.7))
        paper.circle(at, hole.keepout * to.scale)
    if not hole.made:
        paper.pen(FINE, colour=GREY)
        paper.circle(at, size)
        return
    paper.pen(0.3)
    paper.circle(at, size)
    paper.pen(FINE)
    if hole.kind == "tapped":
        paper.pen(FINE, dash=(0.8, 0.4))
        paper.circle(at, size * 1.18)
    elif hole.kind == "dowel":
        half = size / 2 * math.sqrt(0.5)
        paper.line((at[0] - half, at[1] - half), (at[0] + half, at[1] + half))
        paper.line((at[0] - half, at[1] + half), (at[0] + half, at[1] - half))
    reach = max(size * 0.7, 0.8)
    paper.line((at[0] - reach, at[1]), (at[0] + reach, at[1]))
    paper.line((at[0], at[1] - reach), (at[0], at[1] + reach))


def _mark(paper: Paper, mark: Mark, to: Projection) -> None:
    """A triangle for a clash, a ring for a shared hole, a cross for one left out."""
    x, y = to(mark.at)
    size = _mark_size(mark, to)
    paper.pen(0.4, colour=RED if mark.tag == "clash" else BLACK)
    if mark.tag == "clash":
        base = y - 0.5 * size
        paper.polygon([(x, y + 0.9 * size), (x - 0.85 * size, base), (x + 0.85 * size, base)])
    elif mark.tag == "shared":
        paper.circle((x, y), size)
    else:
        half = 0.5 * size
        paper.line((x - half, y - half), (x + half, y + half))
        paper.line((x - half, y + half), (x + half, y - half))


def _statements(paper: Paper, shapes: Sequence[Shape], to: Projection, frame: Frame) -> None:
    """TOP above the view and the view statement below it, held inside the frame."""
    middle = to((0.0, 0.0))[0]
    for shape in shapes:
        if isinstance(shape, Words):
            half = width(shape.text, size=LETTERS, bold=True) / 2
            x = min(max(middle, frame.left + half), frame.right - half)
            top = shape.tag == "top"
            y = min(to(shape.at)[1] + 1, frame.top - 3) if top else frame.bottom + 1
            paper.text((x, y), shape.text, size=LETTERS, bold=True, anchor="middle")


def _overall(
    paper: Paper, shapes: Sequence[Shape], to: Projection, frame: Frame, says: tuple[str, str]
) -> None:
    solid = [shape for shape in shapes if isinstance(shape, Outline | Circle)]
    left, bottom, right, top = extent(solid)
    (x0, y0), (x1, y1) = to((left, bottom)), to((right, top))
    y, x = max(frame.bottom + 7, y0 - 9), max(frame.left + 4.5, x0 - 9)
    paper.pen(FINE, colour=GREY)
    for edge in (x0, x1):
        paper.line((edge, (y0 + y1) / 2), (edge, y - 1))
    for edge in (y0, y1):
        paper.line(((x0 + x1) / 2, edge), (x - 1, edge))
    paper.pen(THIN)
    measured(paper, (x0, y), (x1, y))
    measured(paper, (x, y0), (x, y1))
    paper.text(((x0 + x1) / 2, y - 3), says[0], size=LETTERS, anchor="middle")
    paper.text((x - 1, (y0 + y1) / 2), says[1], size=LETTERS, anchor="middle", upright=True)


def _letter(
    paper: Paper, shapes: Sequence[Shape], to: Projection, frame: Frame, *, diameters: bool
) -> None:
    """The words of clashes, the marks of holes and the diameters of circles, where there is room."""
    holes = [shape for shape in shapes if isinstance(shape, Hole)]
    marks = [shape for shape in shapes if isinstance(shape, Mark)]
    circles = [shape for shape in shapes if isinstance(shape, Circle)]
    labels = _Labels(paper, Frame(frame.left + 7, frame.bottom + 9, frame.right, frame.top - 4.2))
    labels.discs = [(to(hole.centre), _reach(hole) * to.scale) for hole in holes]
    labels.discs += [(to(mark.at), _mark_size(mark, to)) for mark in marks]
    labels.curves = list(_edge_points(shapes, to))
    for mark in marks:
        labels.put(to(mark.at), _mark_size(mark, to), mark.says, size=5, bold=True)
    for hole in [hole for hole in holes if hole.made] or holes:
        text = fitted(hole.id, size=5, room=12)
        labels.put(to(hole.centre), _reach(hole) * to.scale, text, size=5)
    for number, circle in enumerate(circles if diameters else ()):
        slant = math.radians(-58 - 12 * number)
        half = circle.diameter / 2
        at = to((half * math.cos(slant), half * math.sin(slant)))
        labels.put(at, 0.2, circle.says, size=5)
    if labels.missed:
        says = f"no room here for {labels.missed} marks: see the hole table"
        paper.text((frame.left, frame.top - 3), says, size=5)


def _reach(hole: Hole) -> float:
    return max(hole.diameter, (hole.keepout or 0.0) if hole.made else 0.0) / 2


def _mark_size(mark: Mark, to: Projection) -> float:
    return max(mark.size * to.scale, 4.0)


def _edge_points(shapes: Sequence[Shape], to: Projection) -> Iterator[Spot]:
    """Points every millimetre or so along outlines and circles, on the page."""
    for shape in shapes:
        if isinstance(shape, Circle):
            many = max(24, int(math.pi * shape.diameter * to.scale))
            for step in range(many):
                turn, half = 2 * math.pi * step / many, shape.diameter / 2
                yield to((half * math.cos(turn), half * math.sin(turn)))
        elif isinstance(shape, Outline):
            corners = [to(point) for point in trace(shape.pieces)]
            for one, two in zip(corners, corners[1:] + corners[:1], strict=True):
                many = max(1, int(math.dist(one, two)))
                for step in range(many):
                    part = step / many
                    yield one[0] + (two[0] - one[0]) * part, one[1] + (two[1] - one[1]) * part
