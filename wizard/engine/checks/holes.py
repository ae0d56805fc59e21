"""Checks of the holes of the fixed joint: walls, edges, gaps, room for a wrench."""

from __future__ import annotations

import itertools
import math

import numpy as np

from kb.errors import NotTabulated
from kb.model.parts import Part, PartHole
from kb.standards.heads import hex_bolt
from wizard.engine.checks.case import FLAT, Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.faces import family, hole_key, hole_lists, lacking, undrawn
from wizard.engine.clashes import opened_gap
from wizard.engine.housed import BETWEEN_SEATS
from wizard.engine.parts.outline import distance_to_edge

APART = "The two patterns are in two plates; the screws between them keep every wanted wall."


def hole_clash(case: Case) -> Answer:
    """No two bolt holes of the two faces overlap."""
    found = case.fixed
    if found is None:
        return lacking(case, "hole-clash")
    if case.sides.chosen.plates == 2:
        return answer("hole-clash", "pass", APART, because=hole_lists(case, dowels=False))
    if strangers := [pair for pair in case.sides.chosen.share if pair not in found.shared]:
        names = ", ".join(f"engine {a} and gearbox {b}" for a, b in strangers)
        says = f"One screw cannot go through both where holes do not coincide: {names}."
        return answer("hole-clash", "fail", says, because=("choices.share",))
    if found.wall is None:
        says = "Every pair of holes near each other shares its screw."
        return answer("hole-clash", "pass", says, because=hole_lists(case, dowels=False))
    if found.wall >= -FLAT:
        says = f"No holes overlap with the gearbox turned {found.clocking:+.2f}°: the least wall is {case.shown(found.wall)}."
        return answer(
            "hole-clash", "pass", says, margin=found.wall, because=hole_lists(case, dowels=False)
        )
    pairs = ", ".join(f"engine {c.engine} with gearbox {c.gearbox}" for c in found.clashes[:4])
    more = f" and {len(found.clashes) - 4} more" if len(found.clashes) > 4 else ""
    says = f"Holes overlap: {pairs}{more}; the worst by {case.shown(-found.wall)}."
    if len(found.shared) == len(found.clashes) >= 3:
        says += " The two faces are one pattern: where the spans allow they bolt straight together."
    return answer(
        "hole-clash", "fail", says, margin=found.wall, because=hole_lists(case, dowels=False)
    )


def least_wall(case: Case) -> Answer:
    """The wall left between holes, and beside dowels, is the wanted one."""
    found = case.fixed
    if found is None:
        return lacking(case, "least-wall")
    if case.sides.chosen.plates == 2:
        return answer("least-wall", "pass", APART, because=hole_lists(case, dowels=True))
    if meeting := _seats_that_meet(case):
        return answer("least-wall", "fail", meeting, because=("choices.keepout", "choices.plate"))
    wall, pin = found.wall, found.dowel_wall
    if wall is None and pin is None:
        says = "No two holes stand near each other."
        return answer("least-wall", "pass", says, because=hole_lists(case, dowels=True))
    bolts = math.inf if wall is None else wall
    # the line-up tried every turn for the wanted walls: an open window means all are kept here
    kept = any(a - 1e-9 <= found.clocking <= b + 1e-9 for a, b in found.windows)
    pins = math.inf if pin is None else pin
    wanted_beside = _wanted_beside_dowels(case)
    margin = min(bolts - found.required, pins - wanted_beside)
    if kept:
        status = "pass"
        margin = max(margin, 0.0)
    else:
        hard = case.limit("least-wall.fail_share") * found.required
        beside = case.limit("least-wall.fail_share") * wanted_beside
        status = "fail" if bolts < hard or pins < beside else "warn"
    where, least = ("beside a dowel", pins) if pins < bolts else ("between holes", bolts)
    says = (
        f"The least wall {where} is {case.shown(least)}, wanted {case.shown(found.required)} between "
        f"screws and {case.shown(wanted_beside)} beside a dowel."
    )
    return answer(
        "least-wall", status, says, margin=margin, because=hole_lists(case, dowels=True),
        source=case.source(f"least-wall.{family(case)}"),
    )  # fmt: skip


def _seats_that_meet(case: Case) -> str:
    """Seats cut from both faces that reach each other inside the plate, in words; or nothing.

    Keep-outs by plane hold only while seats from the two sides leave plate between them.
    """
    if case.sides.chosen.keepout != "by plane" or not case.plates:
        return ""
    plate = case.plates[0]
    seats = [hole for hole in plate.holes if hole.seat_depth > 0]
    for one, other in itertools.combinations(seats, 2):
        between = plate.size["thickness"] - one.seat_depth - other.seat_depth
        apart = math.dist((one.x, one.y), (other.x, other.y)) - (one.widest + other.widest) / 2
        if one.side != other.side and between < BETWEEN_SEATS - FLAT and apart < -FLAT:
            left = f"{case.shown(max(between, 0.0))} of plate"
            return f"The seats of {one.id} and {other.id} overlap, with {left} between them, wanted {case.shown(BETWEEN_SEATS)}."
    return ""


def _wanted_beside_dowels(case: Case) -> float:
    """The wall wanted beside the widest dowel of the two faces [mm]."""
    if case.sides.chosen.least_wall is not None:
        return case.sides.chosen.least_wall
    faces = (case.sides.engine_face, case.sides.gearbox_face)
    sizes = [one.diameter or one.keepout for face in faces if face for one in face.dowels]
    share = case.limit("least-wall.dowel_share")
    return max(case.limit("least-wall.dowel"), share * max(sizes, default=0.0))


def edge_distance(case: Case) -> Answer:
    """Every hole stands far enough from the edge of its plate and from the opening."""
    if found := undrawn(case, "edge-distance"):
        return found
    shares = [share for part in case.plates for share in _edge_shares(part)]
    if not shares:
        return NotRun(("engine.face.holes", "gearbox.face.holes"))
    share, worst = min(shares, key=lambda one: one[0])
    soft, hard = case.limit("edge-distance.warn"), case.limit("edge-distance.fail")
    says = f"Hole {worst.id} stands {share:.2f} of its diameter from the nearest edge, wanted {soft:g}."
    return answer(
        "edge-distance", graded(share, fail=hard, warn=soft - 1e-6), says,
        margin=(share - hard) * worst.diameter, source=case.source("edge-distance.warn"),
    )  # fmt: skip


def _edge_shares(part: Part) -> list[tuple[float, PartHole]]:
    """Distance of each hole's centre from the nearest edge, in diameters of that hole."""
    if not part.holes:
        return []
    bore = part.size.get("bore", 0.0) / 2
    away = distance_to_edge(part.outline, np.array([(hole.x, hole.y) for hole in part.holes]))
    inner = [math.hypot(hole.x, hole.y) - bore if bore else math.inf for hole in part.holes]
    return [
        (min(float(edge), inward) / hole.diameter, hole)
        for edge, inward, hole in zip(away, inner, part.holes, strict=True)
    ]


def wrench_access(case: Case) -> Answer:
    """A socket swings over the gearbox's bolt heads."""
    face = case.sides.gearbox_face
    measured = (
        [one for one in face.holes if one.socket_room is not None and one.screw] if face else []
    )
    if not measured:
        return NotRun(("gearbox.face.holes.socket_room",))
    rooms = []
    for one in measured:
        assert one.screw is not None
        try:
            socket = hex_bolt(one.screw).socket_outside
        except NotTabulated:
            return unknown("wrench-access", (hole_key(case, one, "bolt"),))
        assert one.socket_room is not None
        rooms.append((one.socket_room - socket - case.limit("wrench-access.beyond_socket"), one.id))
    room, id = min(rooms)
    says = f"Round bolt {id} a socket has {case.shown(room)} to spare."
    return answer(
        "wrench-access",
        graded(room, fail=0.0),
        says,
        margin=room,
        source=case.source("wrench-access.beyond_socket"),
    )


def bolt_gap(case: Case) -> Answer:
    """No wide gap is opened where holes are left out; the casting's own gaps do not count."""
    left = case.sides.chosen.leave_out
    faces = (case.sides.engine_face, case.sides.gearbox_face)
    if bare := [face for face in faces if face and len(face.holes) == 1]:
        names = " and ".join(f"the {face.side}'s" for face in bare)
        says = (
            f"One bolt alone holds {names} joint: none of its checks reaches a joint of one bolt."
        )
        keys = tuple(f"{face.side}.face.holes" for face in bare)
        return answer("bolt-gap", "fail", says, because=keys)
    if not left:
        return NotRun(("choices.leave_out",))
    worst = max(opened_gap(face.holes, face.left_out) for face in faces if face)
    soft, hard = case.limit("bolt-gap.warn"), case.limit("bolt-gap.fail")
    status = "fail" if worst > hard else ("warn" if worst > soft else "pass")
    says = (
        f"Leaving holes out opens a gap of {worst:.0f}° between bolts, usual at most {soft:.0f}°."
    )
    return answer(
        "bolt-gap",
        status,
        says,
        margin=hard - worst,
        unit="°",
        because=("choices.leave_out",),
        source=case.source("bolt-gap.warn"),
    )


CHECKS = {
    "hole-clash": hole_clash,
    "least-wall": least_wall,
    "edge-distance": edge_distance,
    "wrench-access": wrench_access,
    "bolt-gap": bolt_gap,
}
