"""Two plates bolted to each other, for faces whose holes cannot share one plate.

The engine-side plate takes the engine's sunk screws, the gearbox-side plate the gearbox's;
screws and dowels of their own hold the two together and stay clear of both patterns.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kb.errors import NotTabulated, OutOfScope
from kb.model.chain import Chain
from kb.model.lineup import Feature, LineUp
from kb.model.parts import Fit, Joint, Part, PartHole
from kb.model.record import Sides
from kb.plane.points import direction
from kb.quantity import Thread
from kb.standards.heads import socket_screw
from wizard.engine.axial.stock import joining_screw, split
from wizard.engine.clocking import pairs, windows
from wizard.engine.faces import limits_of
from wizard.engine.lineup import FULL_TURN, wanted_walls
from wizard.engine.parts import fasteners
from wizard.engine.parts.edge import Outline
from wizard.engine.parts.opening import EDGE, opening_needed
from wizard.engine.parts.outline import distance_to_edge
from wizard.engine.parts.plate import (
    face_joints,
    given_outline,
    outline_round,
    plate_part,
    registers,
    view_notes,
)
from wizard.engine.parts.plate_holes import holes_for, placed

JOINING = 6  # screws between the plates, at the least: common practice, no source
PINS = 2
SPREAD = 8  # radii tried between the innermost and the outermost hole


@dataclass(frozen=True)
class Joining:
    """Screws and dowels that hold the two plates to each other, in frame P."""

    screws: tuple[Feature, ...]
    dowels: tuple[Feature, ...]


def stack(
    sides: Sides, fixed: LineUp | None, chain: Chain
) -> tuple[tuple[Part, ...], tuple[Fit, ...], tuple[Joint, ...]]:
    """Both plates, how they are located, and every bolted joint.

    Raises:
        OutOfScope: no place is left for the screws that join them.
    """
    assert chain.plate is not None
    front, rear = split(sides, chain.plate)
    features = placed(sides, fixed)
    joined = joining(sides, features)
    holes = {
        "engine": _holes_of("engine", sides, features, joined, front),
        "gearbox": _holes_of("gearbox", sides, features, joined, rear),
    }
    fits, sizes = registers(sides)
    opening = opening_needed(sides, chain)
    outline = outline_round(sides, (*holes["engine"], *holes["gearbox"]), opening)
    plates = tuple(
        plate_part(
            f"{side}-side plate", sides, outline, holes[side], opening=opening,
            thickness=thickness, sizes=_own(sizes, side),
            notes=(*view_notes(sides), f"One of two plates: this one goes on the {side}."),
        )
        for side, thickness in (("engine", front), ("gearbox", rear))
    )  # fmt: skip
    joints = (
        *face_joints(sides, {"engine": front, "gearbox": rear}),
        _between(sides, joined, front, rear),
    )
    return plates, fits, joints


def _holes_of(
    side: str, sides: Sides, features: Sequence[Feature], joined: Joining, thickness: float
) -> tuple[PartHole, ...]:
    """Holes of one plate: those of its own face, and the joining ones as they are worked there.

    A joining screw is tapped into the engine-side plate and sunk in the gearbox-side one.
    """
    own = [one for one in features if one.side == side]
    sort = "clear" if side == "engine" else "tapped"
    between = [replace(one, kind=sort) for one in joined.screws]
    return tuple(
        sorted(
            (*holes_for(sides, [*own, *joined.dowels], thickness),
             *(_joining_hole(sides, one, side) for one in between)),
            key=lambda hole: (hole.purpose, hole.id),
        )
    )  # fmt: skip


def _joining_hole(sides: Sides, one: Feature, side: str) -> PartHole:
    assert one.screw is not None
    if side == "engine":
        return PartHole(
            id=f"P{one.id}", x=one.x, y=one.y, kind="tapped", thread=one.screw.designation,
            diameter=fasteners.tap_drill(one.screw), side="gearbox", purpose="plate to plate",
        )  # fmt: skip
    return PartHole(
        id=f"P{one.id}", x=one.x, y=one.y, kind="clearance", side="gearbox",
        diameter=fasteners.clearance(one.screw, sides.chosen.layout),
        counterbore=fasteners.counterbore(one.screw), purpose="plate to plate",
    )  # fmt: skip


def _own(sizes: Mapping[str, float], side: str) -> dict[str, float]:
    """Registers toward the engine belong to its plate, the others to the gearbox's."""
    return {
        key: size
        for key, size in sizes.items()
        if key.startswith(("spigot", "recess")) == (side == "engine")
    }


def _between(sides: Sides, joined: Joining, front: float, rear: float) -> Joint:
    screw = joined.screws[0].screw
    assert screw is not None
    seat = fasteners.counterbore(screw).depth
    room = front - 0.5  # the tip stays inside the front plate
    length = fasteners.bought_length(
        screw.system, grip=rear - seat, engagement=_engaged(sides, screw), room=room
    )
    return fasteners.joint(
        "plate to plate", screw, len(joined.screws), grade=sides.chosen.screw_grade,
        friction=sides.chosen.thread_friction, length=length, head="socket",
        engagement=None if length is None else length - (rear - seat),
        wanted=_engaged(sides, screw),
    )  # fmt: skip


def _engaged(sides: Sides, screw: Thread) -> float:
    family = limits_of(sides.chosen.plate_material, key="choices.plate_material")
    return sides.rules[f"thread-engagement.{family}"] * screw.major


# ── where the joining screws go ─────────────────────────────────────────────


def joining(sides: Sides, features: Sequence[Feature]) -> Joining:
    """Places for the joining screws and two dowels: clear of every hole, spread round the plate.

    On each of a few radii the open angles are found exactly, as in the line-up of two faces.

    Raises:
        OutOfScope: fewer open places than a joint needs.
    """
    screw = joining_screw(sides)
    radii = [math.hypot(one.x, one.y) for one in features]
    tried = [min(radii) + (max(radii) - min(radii)) * step / (SPREAD - 1) for step in range(SPREAD)]
    best: tuple[float, float, list[float]] | None = None
    for radius in tried:
        angles = _spread(_open_angles(sides, features, _probe(screw, radius)), JOINING + PINS)
        gap = _closest(angles)
        if len(angles) == JOINING + PINS and (best is None or gap > best[0]):
            best = (gap, radius, angles)
    if best is None:
        raise OutOfScope(
            "choices.plates", 2, "plates with room for six joining screws and two dowels",
            "common practice, no source",
        )  # fmt: skip
    _, radius, angles = best
    pins = {0, len(angles) // 2}
    screws = [a for place, a in enumerate(angles) if place not in pins]
    return Joining(
        screws=tuple(_feature(screw, radius, a, f"{n + 1}") for n, a in enumerate(screws)),
        dowels=tuple(
            _pin(screw, radius, angles[p], f"{n + 1}") for n, p in enumerate(sorted(pins))
        ),
    )


def _probe(screw: Thread, radius: float) -> Feature:
    return _feature(screw, radius, 0.0, "probe")


def _feature(screw: Thread, radius: float, angle: float, id: str) -> Feature:
    try:
        keepout = socket_screw(screw).counterbore
    except NotTabulated:
        keepout = 2 * screw.major
    return Feature(
        side="between", id=id, kind="tapped", screw=screw, keepout=keepout,
        x=radius * math.cos(math.radians(angle)), y=radius * math.sin(math.radians(angle)),
    )  # fmt: skip


def _pin(screw: Thread, radius: float, angle: float, id: str) -> Feature:
    return Feature(
        side="between", id=id, kind="dowel", diameter=screw.major, keepout=screw.major,
        x=radius * math.cos(math.radians(angle)), y=radius * math.sin(math.radians(angle)),
    )  # fmt: skip


def _open_angles(
    sides: Sides, features: Sequence[Feature], probe: Feature
) -> tuple[tuple[float, float], ...]:
    family = limits_of(sides.chosen.plate_material, key="choices.plate_material")
    wanted = wanted_walls(
        features, [probe], family=family, rules=sides.rules, least=sides.chosen.least_wall
    )
    free = windows(pairs(features, [probe]), wanted, low=FULL_TURN[0], high=FULL_TURN[1])
    outline = given_outline(sides)
    return free if outline is None else tuple(_inside(outline, probe, free))


def _inside(
    outline: Outline, probe: Feature, free: Sequence[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """What of the open windows lies inside an outline, the hole's edge distance kept.

    The windows are walked in small steps, so that one may come out a step short, never long.
    """
    away = max(EDGE * probe.screw.major if probe.screw else 0.0, probe.keepout / 2 + BESIDE_SEAT)
    radius = math.hypot(probe.x, probe.y)
    for left, right in free:
        count = 1 + math.ceil((right - left) / STEP)
        angles = np.linspace(left, right, count)
        kept = distance_to_edge(outline, radius * direction(angles)) >= away
        for inside, run in itertools.groupby(zip(kept, angles.tolist(), strict=True), _first):
            if inside:
                turns = [angle for _, angle in run]
                yield turns[0], turns[-1]


def _first(pair: tuple[bool, float]) -> bool:
    return bool(pair[0])


STEP = 0.25  # °
BESIDE_SEAT = 3.0  # mm of plate beside a seat: common practice, no source


def _spread(free: Sequence[tuple[float, float]], count: int) -> list[float]:
    """Up to ``count`` angles inside the open windows, each nearest its even share of the turn."""
    taken: list[float] = []
    for place in range(count):
        aim = -180 + 360 * (place + 0.5) / count
        near = [min(max(aim, left), right) for left, right in free]
        if not near:
            return []
        angle = min(near, key=lambda one: abs(one - aim))
        if abs(angle - aim) <= 180 / count:
            taken.append(angle)
    return taken


def _closest(angles: Sequence[float]) -> float:
    if len(angles) < 2:
        return 0.0
    ordered = sorted(angles)
    return min(
        (b - a for a, b in zip(ordered, [*ordered[1:], ordered[0] + 360], strict=True)), default=0.0
    )
