"""Holes that hold a part while it is turned, or one part to another: clear of everything else."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from kb.errors import InputError
from kb.model.lineup import Feature
from kb.model.parts import Part, PartHole
from kb.model.record import Sides
from wizard.engine.clocking import greatest_wall, pairs, windows
from wizard.engine.faces import material_of
from wizard.engine.parts.outline import distance_to_edge

COUNT = 3  # common practice, no source
HOLE = {"in": 10.31875, "mm": 10.5}  # mm, clear of a 3/8 or M10 clamp screw
WALL = 6.0  # mm left all round: common practice, no source
EDGE = 1.5  # of a hole's diameter, from its middle to an edge: common practice, no source
STEP = 1.0  # mm between the circles tried


def held(sides: Sides, plate: Part) -> Part:
    """The plate with the holes that hold it on faceplate or chuck, where the job asks for them.

    The circle is the one asked for, else the one that leaves most metal round its holes.

    Raises:
        InputError: no turn of the circle asked for, or of any, keeps the holes clear.
    """
    asked = sides.request.choices.fixing_holes
    if asked is None:
        return plate
    count = asked.count or COUNT
    hole = sides.value("choices.fixing_holes.hole") or HOLE[sides.request.units]
    circle = sides.value("choices.fixing_holes.circle")
    found = [
        place
        for radius in ([circle / 2] if circle else _radii(plate, hole))
        for place in _places(plate, radius=radius, count=count, hole=hole)
    ]
    if not found:
        field = "choices.fixing_holes" + (".circle" if circle else "")
        text = f"{circle:g} mm" if circle else f"{count} holes of {hole:g} mm"
        raise InputError(field, text, f"no turn of it leaves {WALL:g} mm round the holes")
    _, radius, turn = max(found)
    ids = (f"H{number + 1}" for number in range(count))
    more = tuple(
        PartHole(id=id, x=x, y=y, kind="clearance", diameter=hole, side="engine", purpose="fixing")
        for id, (x, y) in zip(ids, ring_of(count, radius=radius, start=turn), strict=True)
    )
    stuff = material_of(plate.material, key="choices.plate_material")
    lost = count * math.pi / 4 * hole**2 * plate.size["thickness"] * stuff.density_kg_m3 * 1e-9
    left = None if plate.mass_kg is None else round(plate.mass_kg - lost, 3)
    return replace(plate, holes=(*plate.holes, *more), mass_kg=left)


def ring_of(count: int, *, radius: float, start: float) -> list[tuple[float, float]]:
    """Places evenly round a circle, the first at an angle [mm, °]."""
    turns = [math.radians(start + 360 * place / count) for place in range(count)]
    return [(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]


def _radii(plate: Part, hole: float) -> Iterator[float]:
    """Radii of circles between the bore and the farthest corner [mm]."""
    inner = plate.size.get("bore", 0.0) / 2 + hole / 2 + WALL
    outer = max(plate.size["length"], plate.size["height"]) / 2
    yield from np.arange(inner, outer, STEP).tolist()


def _places(
    plate: Part, *, radius: float, count: int, hole: float
) -> Iterator[tuple[float, float, float]]:
    """Turns of one circle that keep clear: least metal left [mm], radius [mm], turn [°]."""
    if radius - hole / 2 - WALL < plate.size.get("bore", 0.0) / 2 - 1e-9:
        return
    if count > 1 and 2 * radius * math.sin(math.pi / count) < hole + WALL:
        return
    others = [_disc(one.id, one.x, one.y, _across(one)) for one in plate.holes]
    own = [_disc(str(k), x, y, hole) for k, (x, y) in
           enumerate(ring_of(count, radius=radius, start=0.0))]  # fmt: skip
    every = pairs(others, own)
    for low, high in windows(every, WALL, low=-180 / count, high=180 / count):
        for turn in {low, high, (low + high) / 2}:
            spots = np.array(ring_of(count, radius=radius, start=turn))
            to_edge = float(distance_to_edge(plate.outline, spots).min())
            if to_edge >= max(EDGE * hole, hole / 2 + WALL) - 1e-9:
                wall = float(every.walls(turn).min())
                yield min(wall, to_edge - hole / 2), radius, turn


def _across(hole: PartHole) -> float:
    """Widest the hole is, its seat included [mm]."""
    return max(hole.diameter, hole.counterbore.diameter if hole.counterbore else 0.0)


def _disc(id: str, x: float, y: float, across: float) -> Feature:
    return Feature(side="engine", id=id, kind="clear", x=x, y=y, keepout=across)


def clear_turn(
    others: Sequence[Feature], *, count: int, radius: float, across: float
) -> tuple[float, float]:
    """The turn at which a circle of holes stands farthest from others, and the wall left [°, mm]."""
    own = [_disc(str(k), x, y, across) for k, (x, y) in
           enumerate(ring_of(count, radius=radius, start=0.0))]  # fmt: skip
    return greatest_wall(pairs(others, own), low=-180 / count, high=180 / count)
