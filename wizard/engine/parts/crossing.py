"""Whether an outline of lines and arcs crosses or touches itself, found exactly, piece by piece."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from kb.model.parts import Segment
from kb.plane.points import Array, Point, direction
from wizard.engine.parts.edge import FULL, JOIN, Outline, edge_of

CORNER = 0.1  # mm: nearer to a corner they share, two pieces meet by the rounding of a drawing


def first_meeting(outline: Outline) -> tuple[int, int] | None:
    """The first two pieces that meet anywhere but at a corner they share, or ``None``.

    Args:
        outline: The outline.
    Returns:
        Places of the two pieces, from 0.
    Raises:
        InputError: the pieces do not make a closed chain.
    Source:
        Elementary geometry: two lines, a line and a circle, two circles.
    """
    count = len(outline)
    for one, other in _near_each_other(outline):
        corners = []
        if other == one + 1:
            corners.append(outline[one].end)
        if (other + 1) % count == one:
            corners.append(outline[one].start)
        for point in _shared(outline[one], outline[other]):
            if all(math.dist(point, corner) > CORNER for corner in corners):
                return one, other
    return None


def _near_each_other(outline: Outline) -> Iterator[tuple[int, int]]:
    """Pairs of pieces whose boxes overlap, in order."""
    low, high = _boxes(outline)
    for place in range(len(outline)):
        beside = (low[place + 1 :] <= high[place] + JOIN) & (high[place + 1 :] >= low[place] - JOIN)
        for further in np.flatnonzero(beside.all(axis=1)).tolist():
            yield place, place + 1 + further


def _boxes(outline: Outline) -> tuple[Array, Array]:
    """Least and greatest x and y of every piece [mm]."""
    edge = edge_of(outline)
    low, high = np.minimum(edge.start, edge.end), np.maximum(edge.start, edge.end)
    for angle in (0.0, 90.0, 180.0, 270.0):
        ways = np.repeat(direction((angle,)), len(outline), axis=0)
        top = edge.centre + edge.radius[:, None] * ways
        met = edge.faces(ways)[:, None]
        low, high = (
            np.where(met, np.minimum(low, top), low), np.where(met, np.maximum(high, top), high)
        )  # fmt: skip
    return low, high


def _shared(a: Segment, b: Segment) -> Iterator[Point]:
    """Points both pieces have: where they cross, and ends of one that lie on the other."""
    for ends_of, piece in ((a, b), (b, a)):
        yield from (end for end in (ends_of.start, ends_of.end) if _lies_on(piece, end))
    for point in _crossings(a, b):
        if _within(a, point) and _within(b, point):
            yield point


def _lies_on(piece: Segment, point: Point) -> bool:
    if piece.centre is not None and piece.radius is not None:
        off = abs(math.dist(point, piece.centre) - piece.radius)
    else:
        (x, y), run = _from(piece.start, point), _from(piece.start, piece.end)
        off = abs(run[0] * y - run[1] * x) / math.hypot(*run)
    return off <= JOIN and _within(piece, point)


def _within(piece: Segment, point: Point) -> bool:
    """Whether a point of a piece's line or circle lies between its ends."""
    if piece.centre is None or piece.radius is None:
        run, along = _from(piece.start, piece.end), _from(piece.start, point)
        size = math.hypot(*run)
        return -JOIN <= (run[0] * along[0] + run[1] * along[1]) / size <= size + JOIN
    begin, end, here = (
        math.atan2(*reversed(_from(piece.centre, one))) for one in (piece.start, piece.end, point)
    )
    hand, hair = (1.0 if piece.ccw else -1.0), JOIN / piece.radius
    sweep = (hand * (end - begin) - hair) % FULL + hair  # what ends where it begins is a whole turn
    return (hand * (here - begin) + hair) % FULL <= sweep + 2 * hair


def _crossings(a: Segment, b: Segment) -> tuple[Point, ...]:
    """Where the whole line or circle of one meets that of the other."""
    if a.centre is None or a.radius is None:
        if b.centre is None or b.radius is None:
            return _two_lines(a, b)
        return _line_and_circle(a, b.centre, b.radius)
    if b.centre is None or b.radius is None:
        return _line_and_circle(b, a.centre, a.radius)
    return _two_circles(a.centre, a.radius, b.centre, b.radius)


def _two_lines(a: Segment, b: Segment) -> tuple[Point, ...]:
    one, other, apart = _from(a.start, a.end), _from(b.start, b.end), _from(a.start, b.start)
    across = one[0] * other[1] - one[1] * other[0]
    if abs(across) <= 1e-12 * math.hypot(*one) * math.hypot(*other):
        return ()  # side by side: only ends of one on the other can meet
    share = (apart[0] * other[1] - apart[1] * other[0]) / across
    return ((a.start[0] + share * one[0], a.start[1] + share * one[1]),)


def _line_and_circle(line: Segment, centre: Point, radius: float) -> tuple[Point, ...]:
    run, to = _from(line.start, line.end), _from(line.start, centre)
    size = math.hypot(*run)
    way = (run[0] / size, run[1] / size)
    ahead, aside = way[0] * to[0] + way[1] * to[1], way[0] * to[1] - way[1] * to[0]
    if abs(aside) > radius:
        return ()
    half = math.sqrt(radius**2 - aside**2)
    return tuple(
        (line.start[0] + along * way[0], line.start[1] + along * way[1])
        for along in (ahead - half, ahead + half)
    )


def _two_circles(
    one: Point, one_radius: float, other: Point, other_radius: float
) -> tuple[Point, ...]:
    apart = math.dist(one, other)
    if apart <= JOIN or not abs(one_radius - other_radius) <= apart <= one_radius + other_radius:
        return ()
    along = (apart**2 + one_radius**2 - other_radius**2) / (2 * apart)
    half = math.sqrt(max(one_radius**2 - along**2, 0.0))
    way = ((other[0] - one[0]) / apart, (other[1] - one[1]) / apart)
    foot = (one[0] + along * way[0], one[1] + along * way[1])
    return tuple(
        (foot[0] - side * half * way[1], foot[1] + side * half * way[0]) for side in (1.0, -1.0)
    )


def _from(start: Point, end: Point) -> tuple[float, float]:
    return end[0] - start[0], end[1] - start[1]
