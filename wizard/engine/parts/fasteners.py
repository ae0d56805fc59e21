"""Screws: the holes they need, how long they must be, how tight they are drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.lineup import Feature
from kb.model.parts import Counterbore, Joint
from kb.quantity import Thread
from kb.standards.bolts import grade as bolt_grade
from kb.standards.clearance import hole as clearance_hole
from kb.standards.heads import lengths, next_length
from kb.standards.materials import material
from kb.standards.threads import sizes
from wizard.engine.formulas.thread_limits import (
    external_major_least,
    external_pitch_least,
    internal_minor_most,
    internal_pitch_most,
)
from wizard.engine.formulas.threads import required_engagement
from wizard.engine.formulas.tightening import preload_at_yield, torque_by_friction
from wizard.engine.housed import FLUSH, RELIEF, WORDS, housed

ROOM = {
    "hand": "loose",
    "drill press": "normal",
    "mill": "normal",
    "waterjet": "normal",
    "cnc": "close",
}


@dataclass(frozen=True)
class Tightening:
    """How tight: torque [N·m], preload [N] and who says so."""

    torque_nm: float
    preload_n: float
    source: str


def clearance(screw: Thread, layout: str) -> float:
    """Clear hole for a screw [mm], as large as the layout needs.

    Raises:
        NotTabulated: a size the standard has no row for.
    """
    return clearance_hole(screw, ROOM[layout]).diameter


def clear_hole(one: Feature, layout: str) -> float:
    """Clear hole for the screw of one hole of a face or drive [mm].

    Raises:
        InputError: a screw the standard has no clear hole for.
    """
    assert one.screw is not None
    try:
        return clearance(one.screw, layout)
    except NotTabulated as missing:
        where = f"hole {one.id} on the {one.side}'s side"
        raise InputError(where, one.screw, f"clear holes are tabled for {missing.held}") from None


def counterbore(screw: Thread) -> Counterbore:
    """Seat that sinks the head of a socket screw.

    Raises:
        NotTabulated: a head that is not tabled.
    """
    seat = housed(screw)
    return Counterbore(diameter=seat.width, depth=seat.depth)


def pitch(screw: Thread) -> float:
    """Pitch of a thread [mm], the coarse one where it was written without."""
    return sizes(screw).pitch


def tap_drill(screw: Thread) -> float:
    """Drill for about three quarters of full thread [mm]."""
    return sizes(screw).tap_drill


REDUCED = 0.8  # what a countersunk socket head carries: ISO 10642, 80 % of ISO 898-1, from memory


def tightening(
    screw: Thread, grade: str, *, friction: float, heads: str = "counterbored"
) -> Tightening | None:
    """Preload at 90 % of yield and the torque that gives it, or ``None`` without table values.

    A countersunk head takes four fifths of it, and its cone wedges: the friction under it counts
    1 / sin(half its angle) times.
    """
    try:
        strength = bolt_grade(grade, screw.major)
        head = housed(screw, heads)
        size = sizes(screw)
        hole = clearance_hole(screw, "normal").diameter
        wedge = 1.0 if head.angle is None else 1 / math.sin(math.radians(head.angle / 2))
        if friction * wedge > 1:
            return None
        preload = preload_at_yield(
            major=screw.major, pitch=size.pitch, system=screw.system,
            yield_mpa=strength.yield_mpa, thread_friction=friction,
        ) * (1.0 if head.angle is None else REDUCED)  # fmt: skip
        torque = torque_by_friction(
            preload_n=preload, major=screw.major, pitch=size.pitch, thread_friction=friction,
            head_friction=friction * wedge, bearing_outside=head.bearing, hole=hole,
        )  # fmt: skip
    except (NotTabulated, OutOfScope):
        return None
    share = (
        "" if head.angle is None else f", {REDUCED:.0%} of it for a countersunk head (ISO 10642)"
    )
    return Tightening(
        torque_nm=round(float(torque) / 1000, 1), preload_n=round(preload, -1),
        source=f"VDI 2230 Part 1:2003, 90 % of yield{share}, friction {friction:g}; {strength.source}",
    )  # fmt: skip


def full_strength(screw: Thread, grade: str, tapped_in: str) -> float | None:
    """Engagement at which the screw breaks before a thread strips [mm], or ``None`` without values."""
    try:
        strength, size = bolt_grade(grade, screw.major), sizes(screw)
        stuff = material(tapped_in)
        if stuff.ultimate_mpa is None:
            return None
        d, p, kind = screw.major, size.pitch, screw.system
        return required_engagement(
            stress_area_mm2=size.stress_area_mm2, pitch=p,
            internal_minor=internal_minor_most(major=d, pitch=p, system=kind),
            external_pitch=external_pitch_least(major=d, pitch=p, system=kind),
            external_major=external_major_least(major=d, pitch=p, system=kind),
            internal_pitch=internal_pitch_most(major=d, pitch=p, system=kind),
            external_tensile_mpa=strength.tensile_mpa, internal_tensile_mpa=stuff.ultimate_mpa,
        )  # fmt: skip
    except (NotTabulated, OutOfScope):
        return None


@dataclass(frozen=True)
class Sunk:
    """A screw sunk in the plate: the seat's depth, the length to buy or cut, its engagement [mm]."""

    seat: float
    length: float
    engagement: float


def sunk(
    screw: Thread, *, thickness: float, floor: float, wanted: float, room: float | None,
    heads: str = "counterbored",
) -> Sunk | None:  # fmt: skip
    """The standard screw that engages enough and does not bottom with the shallowest seat.

    A flat seat is cut deeper than the head only where that lets a standard length engage enough;
    a countersink is as deep as its head; a stud is cut to length.

    Args:
        screw: Its thread.
        heads: How its head lies in the plate, as `housed` takes it.
        thickness: Plate where the seat is cut [mm].
        floor: Least plate left below the head [mm].
        wanted: Wanted engagement [mm].
        room: Deepest the screw may reach below the plate [mm]; ``None`` when not measured.
    Raises:
        NotTabulated: a head that is not tabled.
    """
    if heads == "studs":
        return _stud(screw, thickness=thickness, floor=floor, wanted=wanted, room=room)
    head, found = housed(screw, heads), []
    for length in lengths(screw.system):
        if head.angle is not None:  # its length counts from the top of the head
            seat, engagement = head.depth, length - (thickness - FLUSH)
            if engagement < wanted - 1e-9:
                continue
        else:
            seat = max(head.depth, thickness + wanted - length)
            engagement = length - (thickness - seat)
        bottoms = room is not None and engagement > room + 1e-9
        if thickness - seat >= floor - 1e-9 and not bottoms:
            found.append(Sunk(seat=round(seat, 3), length=length, engagement=engagement))
    return min(found, key=lambda one: (one.seat, one.length), default=None)


def _stud(
    screw: Thread, *, thickness: float, floor: float, wanted: float, room: float | None
) -> Sunk | None:
    """A stud as deep in the casting as wanted, or as far as its hole allows, and flush with its nut."""
    seat = housed(screw, "studs").depth
    engagement = wanted if room is None else min(wanted, room)
    if thickness - seat < floor - 1e-9 or engagement <= 0:
        return None
    length = round(engagement + thickness - RELIEF, 1)
    return Sunk(seat=seat, length=length, engagement=length - thickness + RELIEF)


def bought_length(
    system: str, *, grip: float, engagement: float, room: float | None
) -> float | None:
    """The next standard length that engages enough and does not bottom [mm], or ``None``.

    Args:
        system: ``inch`` or ``metric``.
        grip: What is clamped under the head [mm].
        engagement: Wanted thread engagement [mm].
        room: Deepest the screw may reach below the joint [mm]; ``None`` when not measured.
    """
    try:
        length = next_length(system, grip + engagement)
    except NotTabulated:
        return None
    return length if room is None or length <= grip + room + 1e-9 else None


def joint(
    name: str, screw: Thread, count: int, *, grade: str, friction: float, length: float | None,
    head: str, engagement: float | None = None, wanted: float | None = None,
) -> Joint:  # fmt: skip
    """One bolted joint with its tightening."""
    heads = next((name for name, word in WORDS.items() if word == head), "counterbored")
    tight = tightening(screw, grade, friction=friction, heads=heads)
    return Joint(
        name=name, count=count, thread=_designation(screw), grade=grade, length=length, head=head,
        engagement=engagement, wanted=wanted, torque_nm=tight.torque_nm if tight else None,
        preload_n=tight.preload_n if tight else None,
        source=tight.source if tight else "no table value for this screw and grade",
    )  # fmt: skip


def _designation(screw: Thread) -> str:
    try:
        return sizes(screw).thread.designation
    except NotTabulated:
        return screw.designation
