"""The holes of a plate: one for every screw and dowel of the two faces, where it meets them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from kb.errors import InputError, NotTabulated
from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.parts import Counterbore, Countersink, PartHole
from kb.model.record import Sides
from kb.standards.dowels import pin
from kb.standards.fits import zone
from wizard.engine.axial.needs import recess_depth
from wizard.engine.faces import limits_of
from wizard.engine.housed import housed
from wizard.engine.parts import fasteners


def turned(pattern: Pattern, turn: float) -> Pattern:
    """A pattern turned about the axis, anticlockwise [°]."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def move(one: Feature) -> Feature:
        return replace(one, x=one.x * cos - one.y * sin, y=one.x * sin + one.y * cos)

    return Pattern(
        side=pattern.side, holes=tuple(map(move, pattern.holes)),
        dowels=tuple(map(move, pattern.dowels)),
    )  # fmt: skip


def placed(sides: Sides, fixed: LineUp | None) -> tuple[Feature, ...]:
    """Every hole and dowel of both faces where the plate meets it, the gearbox turned."""
    turn = fixed.clocking if fixed else 0.0
    found: list[Feature] = []
    if sides.engine_face:
        found += [*sides.engine_face.holes, *sides.engine_face.dowels]
    if sides.gearbox_face:
        upright = turned(sides.gearbox_face, turn)
        found += [*upright.holes, *upright.dowels]
    return tuple(found)


def holes_for(sides: Sides, features: Sequence[Feature], thickness: float) -> tuple[PartHole, ...]:
    """The holes of a plate of that thickness, the engine's first; a shared screw has one hole."""
    merged = {hole for _, hole in sides.chosen.share}
    made = [
        _hole(sides, one, thickness)
        for one in features
        if not (one.side == "gearbox" and one.kind != "dowel" and one.id in merged)
    ]
    return tuple(sorted(made, key=lambda hole: (hole.purpose != "engine", hole.purpose, hole.id)))


def _hole(sides: Sides, one: Feature, thickness: float) -> PartHole:
    letter = {"engine": "E", "gearbox": "G"}.get(one.side, "P")
    if one.kind == "dowel":
        return _dowel_hole(one, f"{letter}-{one.id}")
    if one.kind == "tapped":
        return _screw_hole(sides, one, f"{letter}{one.id}", thickness)
    return _taken_hole(sides, one, f"{letter}{one.id}")


def _screw_hole(sides: Sides, one: Feature, id: str, thickness: float) -> PartHole:
    """Clear hole with a sunk head, worked from the far side of the face that is tapped."""
    assert one.screw is not None
    shared = one.side == "engine" and any(one.id == hole for hole, _ in sides.chosen.share)
    return PartHole(
        id=id, x=one.x, y=one.y, kind="through screw" if shared else "clearance",
        diameter=fasteners.clear_hole(one, sides.chosen.layout),
        side="gearbox" if one.side == "engine" else "engine", purpose=one.side, punched=one.punched, source=one.source,
        **({} if shared else _seat_of(sides, one, thickness)),
    )  # fmt: skip


def _seat_of(sides: Sides, one: Feature, thickness: float) -> dict[str, Any]:
    """The seat of a sunk head, under the name of its kind; nothing where the head is not tabled."""
    assert one.screw is not None
    try:
        head = housed(one.screw, sides.chosen.heads)
    except NotTabulated:
        return {}
    if head.angle is not None:
        return {"countersink": Countersink(diameter=head.width, angle=head.angle)}
    found = sunk_screw(sides, one, thickness)
    depth = head.depth if found is None else found.seat
    return {"counterbore": Counterbore(diameter=head.width, depth=depth)}


def sunk_screw(sides: Sides, one: Feature, thickness: float) -> fasteners.Sunk | None:
    """The screw or stud that holds the plate at one tapped hole, or ``None`` when none does."""
    assert one.screw is not None
    family = limits_of(sides.chosen.plate_material, key="choices.plate_material")
    pitch = fasteners.pitch(one.screw)
    room = None
    if one.depth is not None:
        room = one.depth - sides.rules["screw-length.bottom_pitches"] * pitch
    try:
        return fasteners.sunk(
            one.screw, thickness=thickness - recess_depth(sides, one),
            floor=sides.rules[f"head-sunk.{family}_fail"] * one.screw.major,
            wanted=wanted_engagement(sides, one), room=room, heads=sides.chosen.heads,
        )  # fmt: skip
    except NotTabulated:
        return None


def wanted_engagement(sides: Sides, one: Feature) -> float:
    """Thread engagement wanted in the casting a screw goes into [mm]."""
    assert one.screw is not None
    stuff_of = "aluminium" if "alum" in casting(sides, one.side) else "iron"
    return sides.rules[f"thread-engagement.{stuff_of}"] * one.screw.major


def _taken_hole(sides: Sides, one: Feature, id: str) -> PartHole:
    """Where the other part's clear hole is: tapped in the plate, or clear for a through bolt."""
    tapped = one.side == "engine" or sides.chosen.plate_joint == "tapped"
    if one.screw is None or not tapped:
        size = one.diameter if one.screw is None else fasteners.clear_hole(one, sides.chosen.layout)
        return PartHole(
            id=id, x=one.x, y=one.y, kind="clearance", diameter=size or one.keepout,
            side=one.side, purpose=one.side, punched=one.punched, source=one.source,
        )  # fmt: skip
    return PartHole(
        id=id, x=one.x, y=one.y, kind="tapped", diameter=fasteners.tap_drill(one.screw),
        thread=one.screw.designation, side=one.side, purpose=one.side,
        punched=one.punched, source=one.source,
    )  # fmt: skip


def _dowel_hole(one: Feature, id: str) -> PartHole:
    """Hole for a dowel: the pin table's hole where the size is one of its own, else H7."""
    size = one.diameter or one.keepout
    try:
        found = pin(size, "inch" if _inch_size(size) else "metric")
        limits = found.hole or _reamed(one, size)
    except NotTabulated:
        limits = _reamed(one, size)
    return PartHole(
        id=id, x=one.x, y=one.y, kind="dowel", diameter=size, side=one.side, purpose="dowel",
        limits=limits, source=one.source,
    )  # fmt: skip


def _reamed(one: Feature, size: float) -> tuple[float, float]:
    """Limits of a reamed hole, H7.

    Raises:
        InputError: a size the tables do not reach.
    """
    try:
        return zone("H7", size).limits
    except NotTabulated as missing:
        where = f"dowel {one.id} on the {one.side}'s side"
        raise InputError(where, f"{size:g} mm", f"the table holds {missing.held}") from None


def _inch_size(size: float) -> bool:
    return abs(size / 25.4 * 32 - round(size / 25.4 * 32)) < 1e-3


def casting(sides: Sides, side: str) -> str:
    """What the casting on a side is made of, in lower case; ``""`` when not said."""
    unit = sides.request.engine if side == "engine" else sides.request.gearbox
    return unit.face.material.lower() if unit and unit.face else ""
