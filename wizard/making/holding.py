"""Holding the work: fixing holes for the faceplate, the corners' swing, the throat of a drill press."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Row = Mapping[str, Any]
Array = NDArray[np.float64]
FIXING = 8.4  # mm: clearance of an M8 screw, ISO 273 fine series (from memory)
TOOLING = 6.0  # mm: diameter of a tooling hole (common practice, no source)
WALL = 6.0  # mm left round a fixing hole (common practice, no source)
GRID = 4.0  # mm between the places tried; wider on a large plate
WIDEST_GAP = 150.0  # ° between neighbours, so that the work cannot tip (common practice)
_ARC_STEP = math.radians(3)


def corners(part: Row) -> Array:
    """Points all along the outline of a part, or round its circle, shape (n, 2) [mm]."""
    points: list[tuple[float, float]] = []
    for piece in part.get("outline") or ():
        points += _along(piece)
    if points:
        return np.array(points)
    size = part.get("size") or {}
    half = (size.get("outside") or size.get("diameter") or 0.0) / 2
    turns = np.radians(np.arange(0, 360, 3))
    return half * np.column_stack([np.cos(turns), np.sin(turns)])


def _along(piece: Row) -> list[tuple[float, float]]:
    start = (float(piece["start"][0]), float(piece["start"][1]))
    if piece["kind"] != "arc" or piece.get("centre") is None:
        return [start]
    cx, cy = piece["centre"]
    first = math.atan2(start[1] - cy, start[0] - cx)
    last = math.atan2(piece["end"][1] - cy, piece["end"][0] - cx)
    turn = (last - first) % (2 * math.pi) or 2 * math.pi
    if not piece.get("ccw", True):
        turn -= 2 * math.pi
    many = max(1, math.ceil(abs(turn) / _ARC_STEP))
    radius = piece["radius"]
    return [
        (cx + radius * math.cos(first + turn * n / many), cy + radius * math.sin(first + turn * n / many))
        for n in range(many)
    ]  # fmt: skip


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
    if not len(holes):
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
    edge = corners(part)
    least, most = edge.min(axis=0), edge.max(axis=0)
    step = max(GRID, float((most - least).max()) / 120)
    grid = np.stack(np.meshgrid(np.arange(least[0], most[0], step), np.arange(least[1], most[1], step)), -1)  # fmt: skip
    places = grid.reshape(-1, 2)
    bore = ((part.get("size") or {}).get("bore") or 0.0) / 2
    room = np.minimum(_room(places, part, edge), np.hypot(*places.T) - bore - FIXING / 2 - WALL)
    free = places[room >= 0]
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
    edge = corners(part)
    bore = ((part.get("size") or {}).get("bore") or 0.0) / 2
    turns = np.radians(np.arange(0.0, 120.0, 2.0))
    third = np.array([0.0, 2.0, 4.0]) * math.pi / 3
    least, most = bore + FIXING / 2 + WALL, float(np.hypot(*edge.T).max(initial=0.0))
    for radius in np.arange(most, least, -max(2.0, most / 120)):
        places = radius * np.stack([np.cos(turns[:, None] + third), np.sin(turns[:, None] + third)], -1)  # fmt: skip
        room = _room(places.reshape(-1, 2), part, edge).reshape(places.shape[:2]).min(axis=1)
        if room.max() >= 0:
            return [[round(float(x), 2), round(float(y), 2)] for x, y in places[room.argmax()]]
    return []


def _room(places: Array, part: Row, edge: Array) -> Array:
    """How much more than its wall each place has, to holes and edge [mm]."""
    room = _inside(places, edge) - FIXING / 2 - WALL
    for hole in part.get("holes") or ():
        seat = hole.get("counterbore") or hole.get("countersink") or {}
        half = max(hole["diameter"], seat.get("diameter", 0.0)) / 2
        apart = np.hypot(places[:, 0] - hole["x"], places[:, 1] - hole["y"])
        room = np.minimum(room, apart - half - FIXING / 2 - WALL)
    return np.asarray(room)


def _inside(places: Array, edge: Array) -> Array:
    """Distance to the edge of a closed polygon, below nought outside it [mm]."""
    one, two = edge, np.roll(edge, -1, axis=0)
    way = two - one
    along = ((places[:, None] - one) * way).sum(-1) / np.maximum((way**2).sum(-1), 1e-12)
    nearest = one + np.clip(along, 0, 1)[..., None] * way
    far = np.hypot(*np.moveaxis(places[:, None] - nearest, -1, 0)).min(axis=1)
    x, y = places[:, None, 0], places[:, None, 1]
    straddles = (one[:, 1] > y) != (two[:, 1] > y)
    height = np.where(way[:, 1] == 0, 1.0, way[:, 1])
    left = x < one[:, 0] + (y - one[:, 1]) * way[:, 0] / height
    inside = (straddles & left).sum(axis=1) % 2 == 1
    return np.asarray(np.where(inside, far, -far))


def holes_across(holes: Sequence[Row]) -> tuple[float, float]:
    """Table travel that reaches every hole: across and up [mm]."""
    if not holes:
        return 0.0, 0.0
    places = np.array([[hole["x"], hole["y"]] for hole in holes])
    across, up = np.ptp(places, axis=0)
    return float(across), float(up)
