"""A pocket in the edge of an outline, such as a starter wants, with rounded corners."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from kb.errors import InputError
from kb.model.parts import Segment
from kb.plane.points import TOUCH, Array, Point, above_nought, plane_points
from wizard.engine.parts.edge import (
    FULL,
    JOIN,
    Edge,
    Outline,
    arc,
    cross,
    edge_of,
    far,
    left,
    pair,
    welded,
)
from wizard.engine.parts.outline import distance_to_edge


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
        edge (a corner of the edge that points inward stays one); what is cut off and too thin to
        hold a fillet falls away. The outline itself where the circle does not reach it.
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
        leaving, entering = corners
        cut = _cut(outline, leaving, entering, bite)
        clear = -float(distance_to_edge(cut, (bite.centre,))[0])
        if clear >= bite.radius - JOIN:  # else a fin too thin for a fillet reaches into it
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
        along_piece = _on_arc if edge.arc[number] else _on_line
        for corner in (*_on_joint(edge, number, bite), *along_piece(edge, number, bite)):
            twice = any(far(corner.centre - other.centre) <= JOIN for other in corners)
            if not twice and edge.distance(corner.centre[None])[0] >= bite.fillet - JOIN:
                corners.append(corner)
    return sorted(corners, key=lambda corner: corner.enters)


def _on_line(edge: Edge, number: int, bite: _Bite) -> Iterator[_Corner]:
    """Fillets on a straight piece: within it by their radius, on a circle about the bite."""
    start, run = edge.start[number], float(edge.runs[number])
    way = (edge.end[number] - start) / run
    ahead = float(way @ (bite.centre - start))
    aside = float(cross(way, bite.centre - start))
    square = (bite.radius + bite.fillet) ** 2 - (aside - bite.fillet) ** 2
    if square <= 0:
        return
    for enters, along in ((True, ahead - math.sqrt(square)), (False, ahead + math.sqrt(square))):
        if -TOUCH <= along <= run + TOUCH:
            touch = start + min(max(along, 0.0), run) * way
            centre = start + along * way + bite.fillet * left(way)
            yield _Corner(piece=number, along=along, touch=touch, centre=centre, enters=enters)


def _on_arc(edge: Edge, number: int, bite: _Bite) -> Iterator[_Corner]:
    """Fillets on an arc: within a convex one, outside a concave one, by their radius."""
    middle, radius = edge.centre[number], float(edge.radius[number])
    hand = 1.0 if edge.ccw[number] else -1.0
    begin, most, hair = _angle(edge.start[number] - middle), abs(edge.sweep[number]), TOUCH / radius
    for enters, angle in _ways(middle, radius - hand * bite.fillet, hand, bite):
        turn = (hand * (angle - begin) + hair) % FULL - hair
        if turn <= most + hair:
            touch = middle + radius * _unit(begin + hand * min(max(turn, 0.0), most))
            centre = middle + (radius - hand * bite.fillet) * _unit(angle)
            along = radius * turn
            yield _Corner(piece=number, along=along, touch=touch, centre=centre, enters=enters)


def _on_joint(edge: Edge, number: int, bite: _Bite) -> Iterator[_Corner]:
    """Fillets that touch the start of a piece, where the edge has a corner that points inward."""
    joint = edge.start[number]
    for enters, angle in _ways(joint, bite.fillet, -1.0, bite):
        centre = joint + bite.fillet * _unit(angle)
        yield _Corner(piece=number, along=0.0, touch=joint, centre=centre, enters=enters)


def _ways(middle: Array, offset: float, hand: float, bite: _Bite) -> Iterator[tuple[bool, float]]:
    """Directions from a middle to where fillets stand at an offset from it, entering first [rad]."""
    apart = float(far(bite.centre - middle))
    if offset <= 0 or apart <= TOUCH:
        return
    cosine = (apart**2 + offset**2 - (bite.radius + bite.fillet) ** 2) / (2 * apart * offset)
    if abs(cosine) >= 1:
        return
    spread, toward = hand * math.acos(cosine), _angle(bite.centre - middle)
    yield from ((True, toward - spread), (False, toward + spread))


def _angle(vector: Array) -> float:
    return math.atan2(vector[1], vector[0])


def _unit(angle: float) -> Array:
    return np.array((math.cos(angle), math.sin(angle)))
