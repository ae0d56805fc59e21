"""A pocket in the edge of an outline, such as a starter wants, with rounded corners."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from kb.errors import InputError
from kb.model.parts import Segment
from kb.plane.points import TOUCH, Array, Point, above_nought, plane_points
from wizard.engine.parts.edge import FULL, JOIN, Outline, arc, cross, edge_of, far, left, pair, welded
from wizard.engine.parts.outline import area, distance_to_edge


@dataclass(frozen=True, kw_only=True)
class _Bite:
    """The circle to be cleared, and the radius of the corners it leaves [mm]."""

    centre: Array
    radius: float
    fillet: float


@dataclass(frozen=True, kw_only=True)
class _Corner:
    """A fillet that touches the edge from within and the cleared circle from without.

    Attributes:
        piece: Index of the piece of the edge it touches. along: How far along that [mm].
        touch: Where. centre: Its own [mm].
        enters: Whether the edge, followed anticlockwise, runs into the circle there.
    """

    piece: int
    along: float
    touch: Array
    centre: Array
    enters: bool


def with_clearance(
    outline: Outline, *, centre: Point, radius: float, fillet: float = 3.0
) -> Outline:
    """The outline cut back to a circle where that reaches over the edge, both corners rounded.

    Args:
        outline: The outline.
        centre: Of the circle to be cleared [mm].
        radius: Of that circle, play included [mm].
        fillet: Radius of the two corners [mm].
    Returns:
        The outline with a concave arc between two fillets, tangent to each other and to the
        edge; the outline itself where the circle does not reach it.
    Raises:
        InputError: the circle lies wholly inside, or does not leave one part with room for its
            corners.
    Source:
        Elementary geometry: a fillet's centre lies its radius within the edge, and both radii
        from the circle's centre.
    """
    bite = _Bite(
        centre=plane_points((centre,), key="clearance")[0],
        radius=above_nought(radius, "clearance"),
        fillet=above_nought(fillet, "fillet"),
    )
    depth = float(distance_to_edge(outline, (bite.centre,))[0])
    if depth <= TOUCH - bite.radius:
        return outline
    x, y = bite.centre
    text = f"a circle of radius {bite.radius:g} mm about {x:g}, {y:g}"
    if depth >= bite.radius:
        raise InputError("clearance", text, "a circle wholly inside is a hole, not a pocket")
    corners = _corners(outline, bite)
    if [corner.enters for corner in corners] == [False, True]:
        cut = _cut(outline, *corners, bite)
        clear = -float(distance_to_edge(cut, (bite.centre,))[0])
        if abs(clear - bite.radius) <= JOIN and area(cut) < area(outline):
            return cut
    accepted = f"it must leave one part, with room for corners of {bite.fillet:g} mm"
    raise InputError("clearance", text, accepted)


def _cut(outline: Outline, leaving: _Corner, entering: _Corner, bite: _Bite) -> Outline:
    """What is left between the two corners, then the pocket."""
    share = bite.radius / (bite.radius + bite.fillet)
    on, off = (bite.centre + share * (c.centre - bite.centre) for c in (entering, leaving))
    pocket = (
        arc(entering.centre, bite.fillet, start=entering.touch, end=on),
        arc(bite.centre, bite.radius, start=on, end=off, ccw=False),
        arc(leaving.centre, bite.fillet, start=off, end=leaving.touch),
    )
    return welded((*_kept(outline, leaving, entering), *pocket))


def _kept(outline: Outline, leaving: _Corner, entering: _Corner) -> Iterator[Segment]:
    """The pieces of the edge from the corner where it leaves the circle to where it enters."""
    count = len(outline)
    steps = (entering.piece - leaving.piece) % count
    if not steps and entering.along < leaving.along:
        steps = count  # all the way round, back to the piece it began on
    for step in range(steps + 1):
        piece = outline[(leaving.piece + step) % count]
        if step == 0:
            piece = replace(piece, start=pair(leaving.touch))
        if step == steps:
            piece = replace(piece, end=pair(entering.touch))
        yield piece


def _corners(outline: Outline, bite: _Bite) -> list[_Corner]:
    """Every fillet that fits, those where the edge leaves the circle first."""
    edge = edge_of(outline)
    corners: list[_Corner] = []
    for number in range(len(outline)):
        on_piece = _on_arc if edge.arc[number] else _on_line
        piece = edge.piece(number)
        for corner in on_piece(edge, number, bite):
            twice = any(far(corner.centre - other.centre) <= JOIN for other in corners)
            if not twice and distance_to_edge(outline, (corner.centre,))[0] >= bite.fillet - JOIN:
                corners.append(corner)
    return sorted(corners, key=lambda corner: corner.enters)
