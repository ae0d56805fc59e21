"""The plate's outline as the job gives it: corners joined by straight lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from kb.errors import InputError
from kb.model.parts import PartHole, Segment
from kb.model.request import OutlineCorner
from kb.plane.points import TOUCH, Point
from wizard.engine.parts.crossing import first_meeting
from wizard.engine.parts.edge import JOIN, Outline
from wizard.engine.parts.outline import area, distance_to_edge

KEY = "choices.plate_outline"
ROUNDING = 0.05  # mm an arc's centre may be nearer one end than the other: a drawing's rounding
MOST = 2000  # corners: more is a scan, not an outline


@lru_cache(maxsize=8)
def from_corners(corners: tuple[OutlineCorner, ...]) -> Outline:
    """The outline through the corners of a sheet, whichever way round they were written.

    Args:
        corners: As the sheet has them, in frame P [mm]; the last joins the first.
    Returns:
        The outline, anticlockwise.
    Raises:
        InputError: too few or too many corners, two of them at one place, a centre that is not
            as far from one end as from the other, no area, or an edge that meets another.
    """
    if not 2 <= len(corners) <= MOST:
        accepted = f"write 3 to {MOST} corners, or 2 that arcs join"
        raise InputError(KEY, f"{len(corners)} corners", accepted)
    spots = [(one.x.first.value, one.y.first.value) for one in corners]
    pieces = tuple(
        _piece(corner, start, spots[(place + 1) % len(spots)], place)
        for place, (corner, start) in enumerate(zip(corners, spots, strict=True))
    )
    if (met := first_meeting(pieces)) is not None:
        text = " and ".join(f"the edge after corner {place + 1}" for place in met)
        raise InputError(KEY, text, "an outline must not cross or touch itself")
    whole = area(pieces)
    if abs(whole) <= TOUCH:
        raise InputError(KEY, "corners that enclose nothing", "write an outline with an area")
    return pieces if whole > 0 else _other_way(pieces)


def _piece(corner: OutlineCorner, start: Point, end: Point, place: int) -> Segment:
    """The edge from one corner to the next."""
    if math.dist(start, end) <= JOIN:
        accepted = "each corner must stand apart from the next; a full circle is two arcs"
        raise InputError(f"{KEY}[{place + 1}]", f"{start[0]:g}, {start[1]:g} twice", accepted)
    if corner.centre is None:
        return Segment(kind="line", start=start, end=end)
    centre = (corner.centre.x.value, corner.centre.y.value)
    near, far = math.dist(centre, start), math.dist(centre, end)
    if abs(near - far) > ROUNDING:
        text = f"{near:.3f} mm from its first end, {far:.3f} mm from its second"
        accepted = f"the centre of an arc must be as far from both, within {ROUNDING:g} mm"
        raise InputError(f"{KEY}[{place + 1}].centre", text, accepted)
    centre = _midway(centre, start, end)
    return Segment(
        kind="arc", start=start, end=end, centre=centre, radius=math.dist(centre, start),
        ccw=corner.turn == "left",
    )  # fmt: skip


def _midway(centre: Point, start: Point, end: Point) -> Point:
    """The place nearest a centre that is just as far from both ends."""
    run = (end[0] - start[0], end[1] - start[1])
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    off = (centre[0] - middle[0]) * run[0] + (centre[1] - middle[1]) * run[1]
    share = off / (run[0] ** 2 + run[1] ** 2)
    return centre[0] - share * run[0], centre[1] - share * run[1]


def _other_way(pieces: Outline) -> Outline:
    return tuple(
        replace(piece, start=piece.end, end=piece.start, ccw=not piece.ccw)
        for piece in reversed(pieces)
    )


def refuse_outside(outline: Outline, holes: Sequence[PartHole], opening: float | None) -> None:
    """Refuse an outline of the job's own that does not hold every hole and the opening.

    Args:
        outline: The outline, in frame P.
        holes: The plate's holes. opening: Diameter of its opening about the axis [mm].
    Raises:
        InputError: one of them reaches over the edge; it says which, where, and how far.
    """
    discs = [(f"hole {one.id}", one.x, one.y, one.diameter) for one in holes]
    if opening is not None:
        discs.append(("the opening", 0.0, 0.0, opening))
    if not discs:
        return
    places = np.array([(x, y) for _, x, y, _ in discs])
    rooms = distance_to_edge(outline, places) - np.array([size / 2 for *_, size in discs])
    worst = int(np.argmin(rooms))
    if rooms[worst] < -JOIN:
        name, x, y, size = discs[worst]
        text = f"{name}, {size:g} mm at {x:.2f}, {y:.2f}"
        accepted = f"the outline must hold it; it reaches {-rooms[worst]:.2f} mm over the edge"
        raise InputError(KEY, text, accepted)
