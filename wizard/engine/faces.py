"""Faces and drives → hole patterns in frame P, each hole with the disc the plate must leave it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kb.errors import InputError, NotTabulated
from kb.model.chain import Assumption
from kb.model.lineup import Feature, Pattern
from kb.model.measured import Measured, Point
from kb.model.request import Request, Settled
from kb.model.unit import Circle, Dowel, Drive, Face, Hole
from kb.quantity import Thread, both
from kb.standards.clearance import hole as clearance_hole
from kb.standards.clearance import largest_thread_for
from kb.standards.heads import washer
from kb.standards.materials import Material, material
from wizard.engine.housed import housed

SAME_CIRCLE = 0.05  # mm on diameter: two circles closer than this take one screw through both

TRANSFER = "transfer punch"  # the instrument, as readings name it


@dataclass(frozen=True)
class Drawn:
    """A pattern, or what is lacking to draw it."""

    pattern: Pattern | None
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Drives:
    """The two patterns that meet the rotating adapter."""

    driving: Drawn
    driven: Drawn
    driven_part: str
    through: bool


@dataclass(frozen=True)
class _View:
    """How a face was looked at: from where, about which axis, and what holds it."""

    side: str
    key: str
    mirror: bool
    origin: tuple[float, float]
    own: str  # how the adapter takes a clear hole's screw: "tapped" or "through"
    heads: str


def material_of(name: str, *, key: str) -> Material:
    """A material by name, the error naming the key."""
    try:
        return material(name)
    except NotTabulated as missing:
        raise InputError(key, name, f"materials held: {missing.held}") from None


def limits_of(name: str, *, key: str) -> str:
    """The family whose limits a material takes, ``steel`` or ``aluminium``.

    Iron takes the more careful ones of aluminium where it has none of its own.
    """
    return "steel" if material_of(name, key=key).family == "steel" else "aluminium"


def face_pattern(
    face: Face | None, *, side: str, chosen: Settled, assumed: list[Assumption]
) -> Drawn:
    """A housing face in frame P; the gearbox's is measured looking at its front, so x flips."""
    if face is None:
        return Drawn(None)
    view = _View(
        side=side, key=f"{side}.face", mirror=side == "gearbox", origin=_xy(face.origin),
        own=chosen.plate_joint if side == "gearbox" else "tapped", heads=chosen.heads,
    )  # fmt: skip
    drawn = _pattern(face.circle, face.holes, face.dowels, view, assumed)
    if drawn.pattern is None:
        return drawn
    left = {id for where, id in chosen.leave_out if where == side}
    every = drawn.pattern.holes
    return Drawn(
        Pattern(
            side=side, holes=tuple(one for one in every if one.id not in left),
            dowels=drawn.pattern.dowels, left_out=tuple(one for one in every if one.id in left),
        )
    )  # fmt: skip


def drive_patterns(request: Request, kind: str, assumed: list[Assumption]) -> Drives:
    """The engine's driving holes and those of what is bolted to the adapter's driven face."""
    drive = request.engine.drive if request.engine else None
    driving = _rotating(drive, "engine.drive", mirror=False, assumed=assumed)
    part, key, mirror, noun = _driven(request, kind)
    if part is not None and not _has_holes(part) and drive is not None and key in _OWN:
        assumed.append(
            Assumption(key=f"{key}.circle", value="the drive's own circle", why="not given")
        )
        return Drives(driving, driving, noun, driving.pattern is not None)
    driven = _rotating(part, key, mirror=mirror, assumed=assumed)
    return Drives(driving, driven, noun, _same_circle(drive, part))


_OWN = ("flexplate", "flywheel")


def _driven(request: Request, kind: str) -> tuple[object, str, bool, str]:
    """The part on the adapter's driven face: itself, its key, whether its view is flipped."""
    box = request.gearbox
    if kind == "converter" and box is not None:
        if request.flexplate is not None:
            return request.flexplate, "flexplate", False, "flexplate"
        return box.converter, "gearbox.converter", True, "converter"
    if kind == "flange" and box is not None:
        return box.driven, "gearbox.driven", True, "driven flange"
    if request.flywheel is not None:
        return request.flywheel, "flywheel", False, "flywheel"
    return None, "", False, ""


def _has_holes(part: object) -> bool:
    return bool(getattr(part, "circle", None) or getattr(part, "holes", ()))


def _same_circle(drive: Drive | None, part: object) -> bool:
    one, other = getattr(drive, "circle", None), getattr(part, "circle", None)
    if not isinstance(one, Circle) or not isinstance(other, Circle) or one.count != other.count:
        return False
    apart = abs(one.diameter.first.value - other.diameter.first.value)
    return apart <= SAME_CIRCLE and other.thread is None and one.thread is not None


def _rotating(part: object, key: str, *, mirror: bool, assumed: list[Assumption]) -> Drawn:
    if part is None or not _has_holes(part):
        return Drawn(None, (f"{key}.circle",) if part is not None else ())
    side = "engine" if key == "engine.drive" else "gearbox"
    origin = _xy(getattr(part, "origin", None))
    view = _View(
        side=side, key=key, mirror=mirror, origin=origin, own="tapped", heads="counterbored"
    )
    return _pattern(getattr(part, "circle", None), getattr(part, "holes", ()), (), view, assumed)


def _pattern(
    circle: Circle | None,
    holes: tuple[Hole, ...],
    dowels: tuple[Dowel, ...],
    view: _View,
    assumed: list[Assumption],
) -> Drawn:
    if circle is None and not holes:
        return Drawn(None, (f"{view.key}.holes",))
    placed = _on_circle(circle, view) if circle is not None else [
        (hole.id, hole, *_place(hole.x.first.value, hole.y.first.value, view)) for hole in holes
    ]  # fmt: skip
    said: set[str] = set()
    features, lacks = [], []
    for id, hole, x, y in placed:
        feature = _feature(id, hole, x, y, view, assumed, said)
        if feature is None:
            where = "circle" if circle is not None else f"holes[{id}]"
            lacks.append(f"{view.key}.{where}.keepout")
        else:
            features.append(feature)
    if lacks:
        return Drawn(None, tuple(dict.fromkeys(lacks)))
    pins = tuple(_dowel(dowel, view) for dowel in dowels)
    return Drawn(Pattern(side=view.side, holes=tuple(features), dowels=pins))


def _on_circle(circle: Circle, view: _View) -> list[tuple[str, Circle, float, float]]:
    """Hole 1 at the start angle, numbered on anticlockwise as measured, about the axis itself."""
    radius = circle.diameter.first.value / 2
    placed = []
    for number in range(circle.count):
        angle = math.radians(circle.start + 360 * number / circle.count)
        x, y = radius * math.cos(angle), radius * math.sin(angle)
        placed.append((str(number + 1), circle, -x if view.mirror else x, y))
    return placed


def _place(x: float, y: float, view: _View) -> tuple[float, float]:
    """Origin off first, mirror after."""
    x, y = x - view.origin[0], y - view.origin[1]
    return (-x if view.mirror else x), y


def _xy(origin: Point | None) -> tuple[float, float]:
    return (origin.x.value, origin.y.value) if origin is not None else (0.0, 0.0)


def _feature(
    id: str,
    hole: Hole | Circle,
    x: float,
    y: float,
    view: _View,
    assumed: list[Assumption],
    said: set[str],
) -> Feature | None:
    kind = "tapped" if hole.thread is not None else "clear"
    clear = hole.hole.first.value if hole.hole is not None else None
    screw = hole.thread or hole.bolt or _screw_for(hole, view, assumed, said)
    if hole.keepout is not None:
        keepout: float | None = hole.keepout.first.value
    else:
        keepout = _keepout(kind, screw, clear, view)
    if keepout is None:
        return None
    planes = None if hole.keepout is not None else _planes(kind, screw, view, seat=keepout)
    return Feature(
        side=view.side, id=id, kind=kind, x=x, y=y, keepout=keepout, screw=screw, diameter=clear,
        planes=planes,
        depth=hole.depth.first.value if hole.depth else None, grade=hole.grade,
        socket_room=hole.socket_room.first.value if hole.socket_room else None,
        punched=_punched(hole), source=_source(hole.diameter if isinstance(hole, Circle) else hole.x),
    )  # fmt: skip


def _source(place: Measured) -> str:
    """How a place was come by: with which instrument, or from where."""
    return place.first.how or place.first.source


def _punched(hole: Hole | Circle) -> str:
    """The transfer tool of a hole whose place was taken with a transfer punch; else nothing."""
    if not isinstance(hole, Hole) or TRANSFER not in (hole.x.first.how, hole.y.first.how):
        return ""
    if hole.thread is not None:
        return f"transfer screw {hole.thread.designation}"
    if hole.hole is None:
        return TRANSFER
    size = hole.hole.first
    return f"{TRANSFER} ⌀ {both(size.value, first=size.unit)}"


def _screw_for(
    hole: Hole | Circle, view: _View, assumed: list[Assumption], said: set[str]
) -> Thread | None:
    """The largest coarse thread whose close clearance hole a clear hole still is."""
    if hole.hole is None:
        return None
    size = hole.hole.first
    try:
        screw = largest_thread_for(size.value, "inch" if size.unit == "in" else "metric")
    except NotTabulated:
        return None
    note = f"{size.value:.4f} {screw.designation}"
    if note not in said:
        said.add(note)
        why = f"largest coarse thread a {both(size.value, first=size.unit)} hole passes closely"
        assumed.append(Assumption(key=f"{view.key}.bolt", value=screw.designation, why=why))
    return screw


def _keepout(kind: str, screw: Thread | None, clear: float | None, view: _View) -> float | None:
    """Diameter the plate must keep clear through its full thickness (geometry of the screw)."""
    if screw is None:
        return clear
    try:
        if kind == "tapped":
            return housed(screw, view.heads).width
        if view.own == "tapped":
            return screw.major
        return washer(screw).outside
    except NotTabulated:
        return clearance_hole(screw, "normal").diameter if kind == "clear" else None


def _planes(
    kind: str, screw: Thread | None, view: _View, *, seat: float
) -> tuple[float, float] | None:
    """Keep-outs at the engine's and at the gearbox's face, where a head or nut is at one only.

    It is on the far side of the casting the screw holds; elsewhere there is the screw's hole.
    """
    if screw is None or (kind == "clear" and view.own == "tapped"):
        return None
    try:
        hole = clearance_hole(screw, "normal").diameter
    except NotTabulated:
        return None
    return (hole, seat) if view.side == "engine" else (seat, hole)


def _dowel(dowel: Dowel, view: _View) -> Feature:
    x, y = _place(dowel.x.first.value, dowel.y.first.value, view)
    size = dowel.diameter.first.value
    return Feature(
        side=view.side, id=dowel.id, kind="dowel", x=x, y=y, diameter=size,
        keepout=dowel.keepout.first.value if dowel.keepout else size,
        depth=dowel.depth.first.value if dowel.depth else None,
        stands_out=dowel.stands_out.first.value if dowel.stands_out else None,
        source=_source(dowel.x),
    )  # fmt: skip
