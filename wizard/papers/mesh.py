"""A body as triangles, every edge shared by two: for the screen and for STL.

The plan of all its columns is cut into cells once; a cell is triangulated once and stands in a
layer or does not. Round edges are chords; cones are steps.
"""

from __future__ import annotations

import itertools
import math
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wizard.papers.bodies import Body, Column
from wizard.papers.shapes import trace

Array = NDArray[np.float64]
ROUND = 96  # chords of a circle
STEPS = 6  # of a cone
_SNAP = 6  # decimals to which corners are one [mm]


@dataclass(frozen=True)
class Mesh:
    """Corners, shape (n, 3) [mm]; triangles, shape (m, 3), anticlockwise seen from outside."""

    corners: Array
    triangles: NDArray[np.int64]

    @property
    def volume(self) -> float:
        """Volume enclosed [mm³]."""
        a, b, c = (self.corners[self.triangles[:, n]] for n in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def mesh(body: Body) -> Mesh:
    """The body in triangles."""
    cuts = [step for cut in body.cuts for step in _stepped(cut)]
    levels = sorted({round(z, _SNAP) for one in (*body.stands, *cuts) for z in (one.low, one.high)})
    flat, places, neighbours = _triangulated([*body.stands, *cuts])
    layers = list(itertools.pairwise(levels))
    there = np.zeros((len(layers), len(flat)), dtype=bool)
    middles = places[flat].mean(axis=1)
    for number, (low, high) in enumerate(layers):
        z = (low + high) / 2
        stands, gone = (np.zeros(len(flat), dtype=bool) for _ in range(2))
        for one in body.stands:
            if one.low < z < one.high:
                stands |= _covers(one, middles)
        for one in cuts:
            if one.low < z < one.high:
                gone |= _covers(one, middles)
        there[number] = stands & ~gone
    return _built(flat, places, neighbours, levels, there)


def _stepped(one: Column) -> Iterator[Column]:
    """A cone as straight steps, each as wide as the cone at its middle."""
    if one.top is None:
        yield one
        return
    for n in range(STEPS):
        share = (n + 0.5) / STEPS
        low = one.low + (one.high - one.low) * n / STEPS
        high = one.low + (one.high - one.low) * (n + 1) / STEPS
        yield replace(one, low=low, high=high, top=None, diameter=one.diameter + share * (one.top - one.diameter))  # fmt: skip


def _ring(one: Column) -> list[tuple[float, float]]:
    """The edge of a column in plan. Chords of a circle lie so that its area is the circle's."""
    if one.pieces:
        return list(trace(one.pieces))
    swell = math.sqrt(2 * math.pi / ROUND / math.sin(2 * math.pi / ROUND))
    radius = one.diameter / 2 * swell
    turns = [2 * math.pi * n / ROUND for n in range(ROUND)]
    return [(one.centre[0] + radius * math.cos(t), one.centre[1] + radius * math.sin(t)) for t in turns]  # fmt: skip


def _triangulated(
    columns: Sequence[Column],
) -> tuple[NDArray[np.int64], Array, dict[tuple[int, int], list[int]]]:
    """Triangles of the whole plan, their corners, and the triangles at every edge."""
    import shapely
    from shapely.geometry import LinearRing

    rings = {tuple((round(x, _SNAP), round(y, _SNAP)) for x, y in _ring(one)) for one in columns}
    noded = shapely.unary_union([LinearRing(ring) for ring in sorted(rings)])
    cells = shapely.polygonize([noded]).geoms
    index: dict[tuple[float, float], int] = {}
    flat: list[tuple[int, int, int]] = []
    for cell in cells:
        for triangle in shapely.constrained_delaunay_triangles(cell).geoms:
            spots = list(triangle.exterior.coords)[:3]
            corners = [index.setdefault((float(x), float(y)), len(index)) for x, y in spots]
            (ax, ay), (bx, by), (cx, cy) = spots
            if (bx - ax) * (cy - ay) - (cx - ax) * (by - ay) < 0:
                corners.reverse()
            flat.append((corners[0], corners[1], corners[2]))
    neighbours: dict[tuple[int, int], list[int]] = {}
    for number, corners_ in enumerate(flat):
        for a, b in zip(corners_, (*corners_[1:], corners_[0]), strict=True):
            neighbours.setdefault((min(a, b), max(a, b)), []).append(number)
    return np.array(flat), np.array(list(index)), neighbours


def _covers(one: Column, points: Array) -> NDArray[np.bool_]:
    """Which points lie inside the edge of a column in plan."""
    import shapely

    edge = shapely.Polygon([(round(x, _SNAP), round(y, _SNAP)) for x, y in _ring(one)])
    shapely.prepare(edge)
    return np.asarray(shapely.contains_xy(edge, points[:, 0], points[:, 1]))


def _built(
    flat: NDArray[np.int64],
    places: Array,
    neighbours: dict[tuple[int, int], list[int]],
    levels: Sequence[float],
    there: NDArray[np.bool_],
) -> Mesh:
    """Floors where a layer begins, ceilings where it ends, walls where a neighbour is missing."""
    many = len(places)
    corners = np.vstack([np.column_stack([places, np.full(many, z)]) for z in levels])
    triangles: list[tuple[int, int, int]] = []
    void = np.zeros(there.shape[1], dtype=bool)
    for level in range(len(levels)):
        below = there[level - 1] if level else void
        above = there[level] if level < len(there) else void
        base = level * many
        for a, b, c in flat[below & ~above] + base:
            triangles.append((a, b, c))
        for a, b, c in flat[above & ~below] + base:
            triangles.append((a, c, b))
    for (low, high), at in neighbours.items():
        for layer in range(len(there)):
            inside = [number for number in at if there[layer][number]]
            if len(inside) == 1:
                a, b = _along(flat[inside[0]], low, high)
                bottom, top = layer * many, (layer + 1) * many
                triangles += [(a + bottom, b + bottom, b + top), (a + bottom, b + top, a + top)]
    used = np.unique(np.array(triangles, dtype=np.int64))
    renumbered = np.searchsorted(used, np.array(triangles, dtype=np.int64))
    return Mesh(corners[used], renumbered)


def _along(triangle: NDArray[np.int64], low: int, high: int) -> tuple[int, int]:
    """The edge in the sense the triangle goes round."""
    ring = [int(n) for n in triangle]
    return (low, high) if (ring.index(low) + 1) % 3 == ring.index(high) else (high, low)


def stl(made: Mesh, *, title: str) -> bytes:
    """Binary STL, mm; the same mesh gives the same bytes.

    Args:
        title: What the heading says, at most 80 signs of it.
    """
    a, b, c = (made.corners[made.triangles[:, n]] for n in range(3))
    normals = np.cross(b - a, c - a)
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    rows = np.zeros(len(made.triangles), dtype=[("figures", "<f4", (4, 3)), ("rest", "<u2")])
    rows["figures"] = np.stack([normals, a, b, c], axis=1)
    head = f"mm {title}".encode("ascii", "replace")[:80].ljust(80)
    return head + struct.pack("<I", len(rows)) + rows.tobytes()
