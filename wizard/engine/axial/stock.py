"""Plates as they are bought: one piece of stock, or two bolted to each other."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from kb.errors import NotTabulated, OutOfScope
from kb.model.chain import Linear, Requirement
from kb.model.record import Sides
from kb.quantity import Thread
from kb.standards.heads import socket_screw
from wizard.engine.axial.needs import head_floor_of, plate_floors
from wizard.engine.faces import limits_of


def thickness_needs(sides: Sides) -> Iterator[Requirement]:
    """Least thickness by thread, sunk head and dowel; most by the stock at hand."""
    plate = Linear(plate=1.0)
    yield Requirement(
        check="plate-thickness", line=plate, low=0.0, high=most_plate(sides),
        source="the thickest stock at hand",
    )  # fmt: skip
    if sides.chosen.plates == 2:
        source = "two plates, each with its own heads and threads"
        yield Requirement(
            check="head-sunk", line=plate, low=sum(floors_of_two(sides)), source=source
        )
        return
    for check, least, limit in plate_floors(sides, warn=False):
        yield Requirement(check=check, line=plate, low=least, source=sides.rules.source(limit))


def most_plate(sides: Sides) -> float:
    """The thickest plate worth a thought: the thickest stock, or the one the job fixes [mm]."""
    return max(*thicknesses(sides), sides.value("choices.plate") or 0.0)


def thicknesses(sides: Sides) -> tuple[float, ...]:
    """Thicknesses that can be had, thinnest first: of stock, or of two pieces of it [mm]."""
    if sides.chosen.plates == 1:
        return sides.chosen.plate_stock
    front, rear = floors_of_two(sides)
    sums = {
        round(a + b, 6)
        for a, b in itertools.product(sides.chosen.plate_stock, repeat=2)
        if a >= front and b >= rear
    }
    return tuple(sorted(sums)) or (2 * max(sides.chosen.plate_stock),)


def floors_of_two(sides: Sides) -> tuple[float, float]:
    """Least engine-side and gearbox-side plate of two [mm]."""
    family = limits_of(sides.chosen.plate_material, key="choices.plate_material")
    single = {check: floor for check, floor, _ in plate_floors(sides, warn=False)}
    screw = joining_screw(sides)
    engaged = sides.rules[f"thread-engagement.{family}"] * screw.major
    sunk = head_floor_of(sides, screw, family, warn=False)
    front = max(single.get("head-sunk", 0.0), engaged, single.get("dowels", 0.0))
    rear = max(single.get("thread-engagement", 0.0), sunk, single.get("dowels", 0.0))
    return front, rear


def split(sides: Sides, total: float) -> tuple[float, float]:
    """The engine-side and the gearbox-side plate of a total thickness [mm].

    Raises:
        OutOfScope: the total leaves one of them too thin.
    """
    front, rear = floors_of_two(sides)
    for size in sides.chosen.plate_stock:
        if size >= front and total - size >= rear - 1e-9:
            return size, round(total - size, 6)
    if total >= front + rear:
        return front, round(total - front, 6)
    raise OutOfScope(
        "choices.plate", f"{total:g} mm", f"two plates of {front:.1f} and {rear:.1f} mm at the least",
        "the heads and threads in them",
    )  # fmt: skip


def joining_screw(sides: Sides) -> Thread:
    """The screw that joins two plates: the smallest of the job's own that has a tabled head.

    Raises:
        OutOfScope: none of them has.
    """
    faces = (sides.engine_face, sides.gearbox_face)
    screws = {one.screw for face in faces if face for one in face.holes if one.screw}
    for screw in sorted(screws, key=lambda one: one.major):
        try:
            socket_screw(screw)
        except NotTabulated:
            continue
        return screw
    raise OutOfScope(
        "choices.plates", 2, "jobs with a screw whose head is tabled", "the table of socket screws"
    )
