"""Neutral shapes: what a view shows, before anyone decides how to draw it [mm].

A view is a tuple of shapes in one plane, to scale. A shape says what it is by its `tag`; pen,
colour, hatching and lettering belong to the paper or the screen that draws it. Two things are
left to whoever draws, because they depend on the size of the letters: how far below the view the
`row` of a `Span` lies, and where the name of an `Area` or `Hole` finds room (`spread`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kb.model.parts import Segment

Spot = tuple[float, float]
ARC_STEP = 4.0  # degrees between points of a traced arc


@dataclass(frozen=True, kw_only=True)
class Line:
    """A straight line. Tags: axis · level · shown (an edge) · reach (a place that is not an edge)."""

    start: Spot
    end: Spot
    tag: str
    says: str = ""


@dataclass(frozen=True, kw_only=True)
class Area:
    """The cut through one part, a closed polygon.

    ``tag`` is the part (a word of `wizard.words`); ``side`` says whose it is: engine, gearbox or
    adapter. ``known`` is false where a size was not given and the part is drawn for orientation.
    """

    points: tuple[Spot, ...]
    name: str
    tag: str
    side: str
    known: bool = True
    says: str = ""


@dataclass(frozen=True, kw_only=True)
class Outline:
    """A closed chain of lines and arcs."""

    pieces: tuple[Segment, ...]
    tag: str
    name: str = ""


@dataclass(frozen=True, kw_only=True)
class Circle:
    """A circle that is no hole: opening, register, bolt circle, keep-out."""

    centre: Spot
    diameter: float
    tag: str
    says: str = ""


@dataclass(frozen=True, kw_only=True)
class Hole:
    """One hole or dowel of a face or a part.

    ``tag`` is its side or use: engine, gearbox, dowel, driver, driven. ``kind`` is tapped, clear,
    clearance, dowel or through screw. ``made`` tells a hole of the part from one of the face
    behind it; ``keepout`` is the diameter that must stay clear around it.
    """

    id: str
    centre: Spot
    diameter: float
    tag: str
    kind: str
    made: bool
    keepout: float | None = None
    says: str = ""


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A place that wants attention, told by its shape and by its word. Tags: clash · shared · left out."""

    at: Spot
    size: float
    tag: str
    says: str


@dataclass(frozen=True, kw_only=True)
class Words:
    """A statement that stands at a place of the view. ``anchor`` is middle, left or right."""

    at: Spot
    text: str
    tag: str
    anchor: str = "middle"


@dataclass(frozen=True, kw_only=True)
class Span:
    """A dimension along the axis, from one station to another, on a row of its own below the view.

    ``start`` and ``end`` are the points it is taken from; ``row`` counts from 0 downward; ``key``
    is what `wizard.words` calls it and ``figure`` its value in both unit systems.
    """

    start: Spot
    end: Spot
    row: int
    key: str
    figure: str
    says: str


@dataclass(frozen=True, kw_only=True)
class Girth:
    """A diameter of a turned part: the point on its edge, and what it measures."""

    at: Spot
    key: str
    figure: str
    says: str


Shape = Line | Area | Outline | Circle | Hole | Mark | Words | Span | Girth


def trace(pieces: Iterable[Segment], *, step: float = ARC_STEP) -> tuple[Spot, ...]:
    """The points of a closed chain, arcs taken every ``step`` degrees at most."""
    points: list[Spot] = []
    for piece in pieces:
        points.append(piece.start)
        if piece.kind == "arc" and piece.centre is not None and piece.radius:
            points += _arc_points(piece, step)
    return tuple(points)


def swept(piece: Segment) -> float:
    """The angle an arc goes through, + anticlockwise [°]; 0 for a line."""
    if piece.kind != "arc" or piece.centre is None:
        return 0.0
    turn = math.degrees(_bearing(piece.centre, piece.end) - _bearing(piece.centre, piece.start))
    turn %= 360.0
    if math.isclose(turn, 0.0, abs_tol=1e-9):
        turn = 360.0
    return turn if piece.ccw else turn - 360.0 if turn < 360.0 else -360.0


def extent(shapes: Iterable[Shape]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of everything drawn to scale; all 0 for an empty view [mm]."""
    points = [point for shape in shapes for point in _corners(shape)]
    if not points:
        return 0.0, 0.0, 0.0, 0.0
    across, up = zip(*points, strict=True)
    return min(across), min(up), max(across), max(up)


def spread(places: Sequence[float], *, apart: float, low: float, high: float) -> tuple[float, ...]:
    """Move places along a line as little as needed until they stand ``apart``, inside low…high.

    The order is kept. Where there is no room for all, they are set as far apart as the room
    allows.
    """
    if not places:
        return ()
    order = sorted(range(len(places)), key=lambda index: places[index])
    room = (high - low) / max(len(places) - 1, 1)
    gap = min(apart, room)
    rank_free = [places[index] - rank * gap for rank, index in enumerate(order)]
    level = _non_decreasing(rank_free)
    top = high - (len(places) - 1) * gap
    moved = [0.0] * len(places)
    for rank, index in enumerate(order):
        moved[index] = min(max(level[rank], low), max(top, low)) + rank * gap
    return tuple(moved)


def _non_decreasing(values: Sequence[float]) -> list[float]:
    """The nearest non-decreasing row (least squares, pool adjacent violators)."""
    pools: list[tuple[float, int]] = []
    for value in values:
        pools.append((value, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (first, many), (second, more) = pools[-2:]
            pools[-2:] = [((first * many + second * more) / (many + more), many + more)]
    return [value for value, many in pools for _ in range(many)]


def _bearing(centre: Spot, point: Spot) -> float:
    return math.atan2(point[1] - centre[1], point[0] - centre[0])


def _arc_points(piece: Segment, step: float) -> list[Spot]:
    assert piece.centre is not None
    assert piece.radius is not None
    turn, start = swept(piece), _bearing(piece.centre, piece.start)
    steps = max(1, math.ceil(abs(turn) / step))
    angles = (start + math.radians(turn) * index / steps for index in range(1, steps))
    return [
        (piece.centre[0] + piece.radius * math.cos(at), piece.centre[1] + piece.radius * math.sin(at))
        for at in angles
    ]  # fmt: skip


def _extremes(piece: Segment) -> Iterable[Spot]:
    """Where an arc reaches furthest left, right, up or down, if it goes through there."""
    if piece.kind != "arc" or piece.centre is None or not piece.radius:
        return
    turn, first = swept(piece), math.degrees(_bearing(piece.centre, piece.start))
    for quarter in (0.0, 90.0, 180.0, 270.0):
        past = (quarter - first) % 360.0 if turn >= 0 else (first - quarter) % 360.0
        if past <= abs(turn):
            at = math.radians(quarter)
            yield piece.centre[0] + piece.radius * math.cos(at), piece.centre[1] + piece.radius * math.sin(at)  # fmt: skip


def _corners(shape: Shape) -> tuple[Spot, ...]:
    match shape:
        case Line():
            return shape.start, shape.end
        case Area():
            return shape.points
        case Outline():
            bulging = (spot for piece in shape.pieces for spot in _extremes(piece))
            return (*trace(shape.pieces), *bulging)
        case Circle():
            return _round(shape.centre, shape.diameter)
        case Hole():
            return _round(shape.centre, max(shape.diameter, shape.keepout or 0.0))
        case _:
            return ()


def _round(centre: Spot, diameter: float) -> tuple[Spot, ...]:
    (x, y), half = centre, diameter / 2
    return (x - half, y - half), (x + half, y + half)
