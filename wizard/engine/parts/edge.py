"""The edge of an outline as arrays, one row to a piece: the arithmetic under `outline`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError
from kb.model.parts import Segment
from kb.plane.points import TOUCH, Array, Point, direction

Outline = tuple[Segment, ...]

JOIN = 1e-6  # mm: ends nearer than this are one corner
FULL = 2 * np.pi
CLOSED = "give a closed chain of lines and arcs, each beginning where the last one ended"


@dataclass(frozen=True)
class Edge:
    """Pieces in order, m of them.

    Attributes:
        start, end, centre: Shape (m, 2); a line has its centre at the origin [mm].
        radius: Shape (m,), 0 for a line [mm].
        arc: Whether it is an arc. ccw: Whether it turns to the left.
    """

    start: Array
    end: Array
    centre: Array
    radius: Array
    arc: NDArray[np.bool_]
    ccw: NDArray[np.bool_]

    @cached_property
    def sweep(self) -> Array:
        """Angle each arc turns through, + anticlockwise, 0 for a line [rad].

        An end that falls a hair behind its start is rounding, not a whole turn.
        """
        from_start, from_end = self.start - self.centre, self.end - self.centre
        turn = np.arctan2(cross(from_start, from_end), np.sum(from_start * from_end, axis=-1))
        hair = TOUCH / np.maximum(self.radius, TOUCH)
        turn = np.where(self.ccw & (turn < -hair), turn + FULL, turn)
        turn = np.where(~self.ccw & (turn > hair), turn - FULL, turn)
        return np.where(self.arc, turn, 0.0)

    @cached_property
    def runs(self) -> Array:
        """Length of each piece [mm]."""
        straight = np.where(self.arc, 0.0, far(self.end - self.start))
        return np.asarray(straight + self.radius * np.abs(self.sweep))

    def faces(self, ways: Array) -> NDArray[np.bool_]:
        """Whether each arc is met going from its centre along ways, shape (…, m, 2)."""
        reach = self.start - self.centre
        turn = np.arctan2(cross(reach, ways), np.sum(reach * ways, axis=-1))
        turn = np.where(self.ccw, turn, -turn)
        met = np.where(turn < 0, turn + FULL, turn) <= np.abs(self.sweep)
        return np.asarray(met & self.arc)

    def moments(self) -> tuple[float, Array, Array]:
        """Area [mm²], ∫ r dA [mm³] and ∫ r rᵀ dA [mm⁴] about the start of the first piece.

        The polygon through the ends, and for each arc the circular segment on its chord.
        """
        a, b, c = (points - self.start[0] for points in (self.start, self.end, self.centre))
        twice, both = cross(a, b), a + b
        whole = float(np.sum(twice)) / 2
        first = twice @ both / 6
        second = (_outer(both, both) + _outer(a, a) + _outer(b, b)).T @ twice / 24

        half = self.sweep / 2
        sine, cosine = np.sin(half), np.cos(half)
        bulge = self.radius**2 * (half - sine * cosine)
        middle = (a - c) * cosine[:, None] + left(a - c) * sine[:, None]  # radius to mid-arc
        lever = middle * (2 / 3 * self.radius**2 * sine**3)[:, None]
        across = self.radius**2 / 12 * (3 * (half - sine * cosine) - 2 * sine**3 * cosine)
        along = self.radius**2 / 4 * (half - sine * cosine + 2 * sine**3 * cosine)
        own = _outer(middle, middle).T @ along + _outer(left(middle), left(middle)).T @ across
        second = second + own + _outer(c, c).T @ bulge
        second = second + np.sum(_outer(c, lever) + _outer(lever, c), axis=0)
        return whole + float(np.sum(bulge)), first + bulge @ c + np.sum(lever, axis=0), second

    def distance(self, points: Array) -> Array:
        """How far each point lies from the nearest piece, + inside [mm]."""
        spots = points[:, None]
        ends = np.minimum(far(spots - self.start), far(spots - self.end))
        run = self.end - self.start
        square = np.sum(run * run, axis=-1)
        part = np.sum((spots - self.start) * run, axis=-1) / np.where(square > 0, square, 1.0)
        beside = (part > 0) & (part < 1) & ~self.arc
        off_line = np.abs(cross(run, spots - self.start)) / np.sqrt(
            np.where(square > 0, square, 1.0)
        )
        off_arc = np.abs(far(spots - self.centre) - self.radius)
        facing = self.faces(spots - self.centre)
        apart = np.where(beside, off_line, np.where(facing, off_arc, ends)).min(axis=1)
        return np.asarray(np.where(self.winding(points) != 0, apart, -apart))

    def winding(self, points: Array) -> NDArray[np.intp]:
        """How many times the edge goes round each point, anticlockwise.

        A ray to the right counts the chords it meets; a point between an arc and its chord is
        gone round once more or once less. A point on a chord counts as just to the right of
        it, or just above a level one, in both counts alike.
        """
        spots = points[:, None]
        run, y = self.end - self.start, spots[..., 1]
        side = cross(run, spots - self.start)
        up = (self.start[:, 1] <= y) & (self.end[:, 1] > y) & (side > 0)
        down = (self.start[:, 1] > y) & (self.end[:, 1] <= y) & (side < 0)
        rightward = np.where(run[:, 1] == 0, run[:, 0] < 0, run[:, 1] > 0)
        right = (side < 0) | ((side == 0) & rightward)
        disc = (far(spots - self.centre) < self.radius) & self.arc
        more, less = disc & self.ccw & right, disc & ~self.ccw & ~right
        counts = up.astype(np.intp) - down + more - less
        return np.asarray(counts.sum(axis=1))


def edge_of(outline: Sequence[Segment]) -> Edge:
    """The pieces of an outline as arrays.

    Raises:
        InputError: a piece is neither line nor arc, leaves its circle, or does not begin where
            the one before it ended.
    """
    edge = _arrays(outline)
    gaps = far(np.roll(edge.end, 1, axis=0) - edge.start) > JOIN
    radii = np.stack((far(edge.start - edge.centre), far(edge.end - edge.centre)))
    strays = edge.arc & (np.abs(radii - edge.radius) > JOIN).any(axis=0)
    for fault, faulty in (("begins elsewhere", gaps), ("leaves its circle", strays)):
        if faulty.any():
            raise InputError("outline", f"piece {int(np.argmax(faulty)) + 1} {fault}", CLOSED)
    return edge


def _arrays(outline: Sequence[Segment]) -> Edge:
    if not outline:
        raise InputError("outline", "nothing", CLOSED)
    for number, piece in enumerate(outline, start=1):
        arc = piece.centre is not None and piece.radius is not None
        if piece.kind != ("arc" if arc else "line"):
            raise InputError("outline", f"piece {number} of kind {piece.kind}", CLOSED)
    return Edge(
        start=np.array([piece.start for piece in outline], dtype=np.float64),
        end=np.array([piece.end for piece in outline], dtype=np.float64),
        centre=np.array([piece.centre or (0.0, 0.0) for piece in outline], dtype=np.float64),
        radius=np.array([piece.radius or 0.0 for piece in outline], dtype=np.float64),
        arc=np.array([piece.kind == "arc" for piece in outline]),
        ccw=np.array([piece.ccw for piece in outline]),
    )


def pair(point: Array) -> Point:
    """A point as two plain numbers [mm]."""
    return float(point[0]), float(point[1])


def line(start: Array, end: Array) -> Segment:
    """A straight piece between two points [mm]."""
    return Segment(kind="line", start=pair(start), end=pair(end))


def arc(centre: Array, radius: float, *, start: Array, end: Array, ccw: bool = True) -> Segment:
    """An arc about a centre, from one point to another [mm]."""
    return Segment(
        kind="arc", start=pair(start), end=pair(end), centre=pair(centre), radius=radius, ccw=ccw
    )


def circle(centre: Array, radius: float) -> list[Segment]:
    """A full circle as two half circles [mm]."""
    right, west = centre + radius * direction((0.0, 180.0))
    return [
        arc(centre, radius, start=right, end=west), arc(centre, radius, start=west, end=right)
    ]  # fmt: skip


def welded(pieces: Sequence[Segment]) -> Outline:
    """The pieces as one closed chain: those without length left out, ends brought together."""
    held = [piece for piece, run in zip(pieces, _arrays(pieces).runs, strict=True) if run > TOUCH]
    return tuple(
        replace(piece, start=before.end)
        for before, piece in zip(held[-1:] + held[:-1], held, strict=True)
    )


def cross(a: Array, b: Array) -> Array:
    """a × b of vectors on the last axis."""
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def far(vectors: Array) -> Array:
    """Lengths of vectors on the last axis."""
    return np.asarray(np.hypot(vectors[..., 0], vectors[..., 1]))


def left(vectors: Array) -> Array:
    """Vectors on the last axis turned a quarter to the left."""
    return np.stack((-vectors[..., 1], vectors[..., 0]), axis=-1)


def _outer(a: Array, b: Array) -> Array:
    return np.asarray(a[..., :, None] * b[..., None, :])
