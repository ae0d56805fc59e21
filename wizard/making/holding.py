"""Holding the work: fixing holes for the faceplate, the corners' swing, the throat of a drill press."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kb.model.parts import Segment
from wizard.engine.parts.outline import bounding_box, distance_to_edge, sample
from wizard.making.stuff import outline

Row = Mapping[str, Any]
Array = NDArray[np.float64]
FIXING = 8.4  # mm: clearance of an M8 screw, ISO 273 fine series (from memory)
TOOLING = 6.0  # mm: diameter of a tooling hole (common practice, no source)
WALL = 6.0  # mm left round a fixing hole (common practice, no source)
GRID = 4.0  # mm between the places tried; wider on a large plate
WIDEST_GAP = 150.0  # ° between neighbours, so that the work cannot tip (common practice)
ARC_STEP = 2.0  # mm along an arc between points of an edge


def corners(part: Row) -> Array:
    """Points all along the edge of a part, shape (n, 2) [mm]; none where its outline is not known."""
    pieces = outline(part)
    return sample(pieces, ARC_STEP) if pieces else np.zeros((0, 2))


def swing(part: Row, *, sawn: float | None = None) -> float:
    """Diameter a part needs over the bed, turning about the crank axis [mm].

    Args:
        part: A row of the answer's parts.
        sawn: Stock left all round when it is a sawn rectangle; ``None``: cut to its outline.
    """
    points = corners(part)
    if sawn is None:
        return 2 * float(np.hypot(*points.T).max(initial=0.0))
    far = np.abs(points).max(axis=0, initial=0.0) + sawn
    return 2 * math.hypot(*far)


def throat(part: Row) -> float:
    """Least room from spindle to column with which a drill press reaches every hole [mm].

    The plate may be turned any way round: for each hole the way with least overhang counts.
    """
    holes = np.array([[hole["x"], hole["y"]] for hole in part.get("holes") or ()]).reshape(-1, 2)
    if not len(holes) or not len(corners(part)):
        return 0.0
    turns = np.radians(np.arange(0.0, 360.0, 1.0))
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    reach = (corners(part) @ ways.T).max(axis=0)
    return float((reach - holes @ ways.T).min(axis=1).max())


def fixing(part: Row) -> dict[str, Any]:
    """How a plate is screwed to the faceplate or chuck: through its own holes, or extra ones.

    Returns:
        ``own``: marks of its own holes to use, three or more all round; or ``extra``: places
        (x, y) of holes of ``diameter`` that clear every hole, the opening and the edge [mm]; both
        empty where there is no room.
    """
    if own := _own(part):
        return {"own": own, "extra": [], "diameter": 0.0}
    return {"own": [], "extra": _extra(part), "diameter": FIXING}


def tooling(part: Row) -> list[list[float]]:
    """Two places for tooling holes, far apart and clear of holes, opening and edge [mm].

    Returns:
        Two pairs (x, y) for holes of ``TOOLING``; empty where there is no room for two.
    """
    pieces = outline(part)
    if not pieces:
        return []
    least, most = np.array(bounding_box(pieces)).reshape(2, 2)
    step = max(GRID, float((most - least).max()) / 120)
    grid = np.stack(np.meshgrid(np.arange(least[0], most[0], step), np.arange(least[1], most[1], step)), -1)  # fmt: skip
    places = grid.reshape(-1, 2)
    free = places[_room(places, part, pieces, diameter=TOOLING) >= 0]
    if len(free) < 2:
        return []
    turns = np.radians(np.arange(0.0, 180.0, 2.0))
    along = free @ np.stack([np.cos(turns), np.sin(turns)])
    way = int(np.ptp(along, axis=0).argmax())
    pair = free[[int(along[:, way].argmin()), int(along[:, way].argmax())]]
    return [[float(x), float(y)] for x, y in pair]


def _own(part: Row) -> list[str]:
    """Three of its own plain holes right through, as evenly round as they come."""
    plain = [
        hole for hole in part.get("holes") or ()
        if hole["kind"] in ("clearance", "through screw") and hole.get("depth") is None
        and not hole.get("counterbore") and not hole.get("countersink")
    ]  # fmt: skip
    if len(plain) < 3:
        return []
    turns = np.array([math.degrees(math.atan2(hole["y"], hole["x"])) % 360 for hole in plain])
    best: list[int] = []
    for first in range(len(plain)):
        wanted = (turns[first] + np.array([0.0, 120.0, 240.0])) % 360
        off = np.abs((turns[:, None] - wanted + 180) % 360 - 180)
        chosen = list(dict.fromkeys(int(n) for n in off.argmin(axis=0)))
        if len(chosen) == 3 and (not best or _gap(turns[chosen]) < _gap(turns[best])):
            best = chosen
    if not best or _gap(turns[best]) > WIDEST_GAP:
        return []
    return [str(plain[n]["id"]) for n in best]


def _gap(turns: Array) -> float:
    """The widest angle between neighbours [°]."""
    order = np.sort(turns)
    return float(np.diff(np.append(order, order[0] + 360)).max())


def _extra(part: Row) -> list[list[float]]:
    """Three places a third of a turn apart that clear everything, the widest such circle."""
    pieces = outline(part)
    if not pieces:
        return []
    bore = ((part.get("size") or {}).get("bore") or 0.0) / 2
    turns = np.radians(np.arange(0.0, 120.0, 2.0))
    third = np.array([0.0, 2.0, 4.0]) * math.pi / 3
    least, most = bore + FIXING / 2 + WALL, float(np.hypot(*corners(part).T).max())
    for radius in np.arange(most, least, -max(2.0, most / 120)):
        places = radius * np.stack([np.cos(turns[:, None] + third), np.sin(turns[:, None] + third)], -1)  # fmt: skip
        room = (
            _room(places.reshape(-1, 2), part, pieces, diameter=FIXING)
            .reshape(places.shape[:2])
            .min(axis=1)
        )
        if room.max() >= 0:
            return [[round(float(x), 2), round(float(y), 2)] for x, y in places[room.argmax()]]
    return []


def _room(places: Array, part: Row, pieces: Sequence[Segment], *, diameter: float) -> Array:
    """How much more than its wall a hole at each place has, to edge, opening and holes [mm]."""
    clear = diameter / 2 + WALL
    bore = ((part.get("size") or {}).get("bore") or 0.0) / 2
    room = np.minimum(distance_to_edge(tuple(pieces), places), np.hypot(*places.T) - bore) - clear
    for hole in part.get("holes") or ():
        seat = hole.get("counterbore") or hole.get("countersink") or {}
        half = max(hole["diameter"], seat.get("diameter", 0.0)) / 2
        apart = np.hypot(places[:, 0] - hole["x"], places[:, 1] - hole["y"])
        room = np.minimum(room, apart - half - clear)
    return np.asarray(room)


def holes_across(holes: Sequence[Row]) -> tuple[float, float]:
    """Table travel that reaches every hole: across and up [mm]."""
    if not holes:
        return 0.0, 0.0
    places = np.array([[hole["x"], hole["y"]] for hole in holes])
    across, up = np.ptp(places, axis=0)
    return float(across), float(up)
