"""Closed outlines of straight lines and arcs: drawn round discs or points, and measured exactly.

An outline is a chain of segments, each beginning where the last one ended, anticlockwise round
the material. A full circle is two arcs, for an arc that ends where it starts has no length.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kb.errors import InputError
from kb.plane.points import (
    TOUCH,
    Array,
    Point,
    above_nought,
    direction,
    numbers,
    plane_points,
    wrap,
)
from wizard.engine.parts.edge import (
    JOIN,
    Outline,
    arc,
    circle,
    cross,
    edge_of,
    far,
    left,
    line,
    pair,
    welded,
)

BLOCK = 200_000  # distances of point to piece worked out at a time
COARSEST = np.pi / 6  # rad between drawn points of an arc


@dataclass(frozen=True, kw_only=True)
class SecondMoment:
    """Second moments of area about axes parallel to x and y [mm⁴].

    Attributes:
        about_x: ∫ y² dA. about_y: ∫ x² dA. product: ∫ x·y dA.
    """

    about_x: float
    about_y: float
    product: float

    @property
    def polar(self) -> float:
        """∫ (x² + y²) dA [mm⁴]."""
        return self.about_x + self.about_y


# ── drawing ─────────────────────────────────────────────────────────────────


def hull_of_discs(centres: ArrayLike, radii: ArrayLike) -> Outline:
    """The tightest band round discs: common outer tangents, and arcs of the discs they touch.

    Args:
        centres: Shape (n, 2) [mm].
        radii: One for each, 0 for a bare point [mm].
    Returns:
        The outline; of a disc alone two half circles.
    Raises:
        InputError: no disc, not one radius for each, a radius below nought, or no area.
    Source:
        Gift wrapping (Jarvis, Information Processing Letters 2 (1973), pp. 18–21, from memory),
        carried from points to discs: a disc reaches centre · u + radius in direction u.
    """
    middles, sizes = _own_discs(centres, radii)
    tangents = _tangents(middles, sizes) if len(sizes) > 1 else []
    pieces = [] if tangents else circle(middles[0], float(sizes[0]))
    for (_, disc, comes), (_, after, goes) in zip(
        tangents, tangents[1:] + tangents[:1], strict=True
    ):
        on, off = middles[disc] + sizes[disc] * direction((comes, goes))
        pieces.append(arc(middles[disc], float(sizes[disc]), start=on, end=off))
        pieces.append(line(off, middles[after] + sizes[after] * direction(goes)))
    outline = welded(pieces)
    if not outline or area(outline) <= TOUCH:
        raise InputError("radii", "points on one straight line", "give discs that cover an area")
    return outline


def from_points(polygon: ArrayLike, *, key: str = "outline") -> Outline:
    """An outline of straight lines from corner to corner, whichever way round they were taken.

    Args:
        polygon: Corners in order, shape (n, 2) [mm]; the first may be repeated at the end.
        key: Name of the field, for the error.
    Returns:
        The outline, anticlockwise.
    Raises:
        InputError: fewer than three corners, no area, or an edge that meets another.
    """
    taken = plane_points(polygon, key=key, least=3)
    corner = np.flatnonzero(far(taken - np.roll(taken, -1, axis=0)) > JOIN)
    if len(corner) < 3:
        raise InputError(key, f"{len(corner)} different corners", "give at least 3")
    corners = taken[corner]
    if meeting := _meeting(corners):
        text = " and ".join(f"{a} to {b}" for a, b in corner[np.array(meeting)] + 1)
        raise InputError(
            key, f"edges from point {text}", "an outline must not cross or touch itself"
        )
    if np.sum(cross(corners, np.roll(corners, -1, axis=0))) < 0:
        corners = corners[::-1]
    return tuple(map(line, corners, np.roll(corners, -1, axis=0)))


# ── measuring ───────────────────────────────────────────────────────────────


def area(outline: Outline) -> float:
    """Area inside [mm²].

    Raises:
        InputError: the pieces do not make a closed chain.
    """
    return edge_of(outline).moments()[0]


def centroid(outline: Outline) -> Point:
    """Centre of the area [mm].

    Raises:
        InputError: the pieces do not make a closed chain.
    """
    whole, first, _ = edge_of(outline).moments()
    return pair(np.array(outline[0].start) + first / whole)


def second_moment(outline: Outline, *, about: Point | None = None) -> SecondMoment:
    """Second moments of the area [mm⁴].

    Args:
        outline: The outline.
        about: Where the axes cross [mm]; without it the centroid.
    Returns:
        About both axes, and their product [mm⁴].
    Raises:
        InputError: the pieces do not make a closed chain, or ``about`` is no point.
    """
    whole, first, second = edge_of(outline).moments()
    centre = first / whole
    own = second - whole * np.outer(centre, centre)
    if about is not None:
        away = np.array(outline[0].start) + centre - plane_points((about,), key="about")[0]
        own = own + whole * np.outer(away, away)
    return SecondMoment(
        about_x=float(own[1, 1]), about_y=float(own[0, 0]), product=float(own[0, 1])
    )


def length(outline: Outline) -> float:
    """Length of the edge [mm].

    Raises:
        InputError: the pieces do not make a closed chain.
    """
    return float(np.sum(edge_of(outline).runs))


def bounding_box(outline: Outline) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y [mm].

    Raises:
        InputError: the pieces do not make a closed chain.
    """
    edge = edge_of(outline)
    ways = np.repeat(direction((0.0, 90.0, 180.0, 270.0))[:, None], len(outline), axis=1)
    tops = edge.centre + edge.radius[:, None] * ways
    points = np.vstack((edge.start, tops[edge.faces(ways)]))
    return *pair(points.min(axis=0)), *pair(points.max(axis=0))


def contains(outline: Outline, points: ArrayLike) -> NDArray[np.bool_]:
    """Whether points lie inside; the edge itself counts as inside.

    Args:
        outline: The outline.
        points: Shape (n, 2) [mm].
    Returns:
        Shape (n,).
    Raises:
        InputError: no points of the plane, or the pieces do not make a closed chain.
    """
    return np.asarray(distance_to_edge(outline, points) >= -TOUCH)


def distance_to_edge(outline: Outline, points: ArrayLike) -> Array:
    """How far points lie from the nearest piece of the edge.

    Args:
        outline: The outline.
        points: Shape (n, 2) [mm].
    Returns:
        Shape (n,), + inside, − outside [mm].
    Raises:
        InputError: no points of the plane, or the pieces do not make a closed chain.
    """
    edge, spots = edge_of(outline), plane_points(points)
    blocks = np.array_split(spots, 1 + len(spots) * len(outline) // BLOCK)
    return np.concatenate([edge.distance(block) for block in blocks])


def sample(outline: Outline, step: float) -> Array:
    """The outline as a closed line of points, for drawings.

    Args:
        outline: The outline.
        step: How far apart the points on an arc may be, measured along it [mm]; they are never
            more than 30° apart.
    Returns:
        Shape (n, 2) [mm]; of straight pieces only the ends, the first point again at the end.
    Raises:
        InputError: the step is not above nought, or the pieces do not make a closed chain.
    """
    edge, most = edge_of(outline), above_nought(step, "step")
    counts = np.ceil(np.maximum(edge.runs / most, np.abs(edge.sweep) / COARSEST))
    points: list[Array] = []
    for index, count in enumerate(np.where(edge.arc, counts, 1).astype(int)):
        turn = edge.sweep[index] * np.arange(1, count) / count
        reach = edge.start[index] - edge.centre[index]
        around = np.outer(np.cos(turn), reach) + np.outer(np.sin(turn), left(reach))
        points += (edge.start[index : index + 1], edge.centre[index] + around)
    return np.vstack((*points, edge.start[:1]))


# ── round discs ─────────────────────────────────────────────────────────────


def _own_discs(centres: ArrayLike, radii: ArrayLike) -> tuple[Array, Array]:
    """The discs that do not lie within another, largest first."""
    middles, sizes = plane_points(centres, key="centres"), numbers(radii, "radii")
    if sizes.shape != middles.shape[:1]:
        raise InputError("radii", f"{sizes.size} for {len(middles)} centres", "give one for each")
    if sizes.min() < 0:
        raise InputError("radii", f"{sizes.min():g}", "give radii of 0 or more")
    kept: list[int] = []
    for disc in np.argsort(-sizes, kind="stable"):
        apart = far(middles[kept] - middles[disc])
        if not np.any(apart + sizes[disc] <= sizes[kept] + TOUCH):
            kept.append(int(disc))
    return middles[kept], sizes[kept]


def _tangents(middles: Array, sizes: Array) -> list[tuple[int, int, float]]:
    """Once round, anticlockwise: the disc left, the disc reached, the way the band faces there [°].

    Two discs have one such tangent in each order, so the first one met again closes the round.
    """
    here, facing = int(np.argmax(middles[:, 0] + sizes)), 0.0
    met: dict[tuple[int, int], float] = {}
    while True:
        there, facing = _next_tangent(middles, sizes, here, facing)
        if (here, there) in met:
            round_ = list(met).index((here, there))
            return [(a, b, met[a, b]) for a, b in list(met)[round_:]]
        met[here, there] = facing
        here = there


def _next_tangent(middles: Array, sizes: Array, here: int, facing: float) -> tuple[int, float]:
    """The disc that next reaches beyond this one as the band turns, and the way it then faces."""
    others = np.flatnonzero(np.arange(len(sizes)) != here)
    apart = middles[others] - middles[here]
    lead = np.degrees(np.arccos(np.clip((sizes[here] - sizes[others]) / far(apart), -1.0, 1.0)))
    ways = np.degrees(np.arctan2(apart[:, 1], apart[:, 0])) - lead
    turns = wrap(ways - facing)
    nearest = int(np.argmin(turns))
    way = direction(ways[nearest])
    reach = apart @ way + sizes[others]
    # of all discs on that tangent the one farthest along it, so that it is one straight line
    along = np.where(reach >= reach[nearest] - TOUCH, apart @ left(way), -np.inf)
    best = int(np.argmax(along))
    return int(others[best]), wrap(float(ways[best]))


# ── round points ────────────────────────────────────────────────────────────


def _meeting(corners: Array) -> tuple[tuple[int, int], tuple[int, int]] | None:
    """Two edges that meet where they should not, each by the two corners it joins."""
    number = np.arange(len(corners))
    after = np.roll(number, -1)
    ends = corners[after]
    along = ends - corners
    square = np.sum(along**2, axis=1)
    for edge, corner in enumerate(corners):
        # a corner on any edge it does not belong to
        part = np.clip(np.sum((corner - corners) * along, axis=1) / square, 0.0, 1.0)
        touched = far(corners + part[:, None] * along - corner) <= JOIN
        touched &= (number != edge) & (after != edge)
        # the ends of each edge on different sides of the other
        mine = cross(along[edge], corners - corner) * cross(along[edge], ends - corner)
        yours = cross(along, corner - corners) * cross(along, ends[edge] - corners)
        found = np.flatnonzero(touched | ((mine < 0) & (yours < 0)))
        if len(found):
            other = int(found[0])
            return (edge, int(after[edge])), (other, int(after[other]))
    return None
