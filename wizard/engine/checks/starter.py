"""Checks of the starter and its ring gear."""

from __future__ import annotations

import math
import re

import numpy as np

from kb.model.measured import Point
from wizard.engine.axial.measures import ring_key
from wizard.engine.checks.case import FLAT, Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.measure import measure, rests
from wizard.engine.parts.outline import distance_to_edge


def pinion_overlap(case: Case) -> Answer:
    """The starter's pinion meets the ring gear over enough of its face."""
    if case.sides.request.engine is None or case.sides.request.engine.starter is None:
        return NotRun(("engine.starter",))
    overlap = measure(case, "pinion-overlap", "pinion_overlap", "engine.drive.ring")
    if isinstance(overlap, NotRun):
        return unknown("pinion-overlap", overlap.lacks)
    if not isinstance(overlap, float):
        return overlap
    face = case.value(f"{ring_key(case.sides)}.face") or 0.0
    wanted = case.limit("pinion-overlap.face_share") * face
    says = f"Fully out, the pinion covers {case.shown(max(overlap, 0.0))} of a {case.shown(face)} ring."
    return answer(
        "pinion-overlap", graded(overlap, fail=wanted), says, margin=overlap - wanted,
        because=rests(case, "pinion_overlap"), source=case.source("pinion-overlap.face_share"),
    )  # fmt: skip


def pinion_rest_gap(case: Case) -> Answer:
    """At rest the pinion stands clear of the ring, and not too far."""
    gap = measure(case, "pinion-rest-gap", "pinion_rest_gap", "engine.starter")
    if not isinstance(gap, float):
        return gap
    low, high = case.limit("pinion-rest-gap.low"), case.limit("pinion-rest-gap.high")
    hard = case.limit("pinion-rest-gap.fail")
    inside = low - FLAT <= gap <= high + FLAT
    status = "pass" if inside else graded(gap, fail=hard, warn=math.inf)
    says = f"At rest the pinion stands {case.shown(gap)} off the ring, usual {case.shown(low)} to {case.shown(high)}."
    return answer(
        "pinion-rest-gap", status, says, margin=gap - hard, because=rests(case, "pinion_rest_gap"),
        source=case.source("pinion-rest-gap.low"),
    )  # fmt: skip


def starter_hand(case: Case) -> Answer:
    """The starter turns the engine the right way and meets the chamfered side of the ring."""
    engine = case.sides.request.engine
    if engine is None or engine.starter is None:
        return NotRun(("engine.starter",))
    starter = engine.starter
    if starter.hand is None or engine.rotation is None:
        return unknown(
            "starter-hand",
            tuple(
                k
                for k, v in (
                    ("engine.starter.hand", starter.hand),
                    ("engine.rotation", engine.rotation),
                )
                if v is None
            ),
        )
    if starter.hand != engine.rotation:
        return answer(
            "starter-hand",
            "fail",
            "The starter turns the engine the wrong way.",
            because=("engine.starter.hand", "engine.rotation"),
        )
    ring = _ring(case)
    if ring is None:
        return unknown("starter-hand", ("engine.drive.ring",))
    home, out = case.value("engine.starter.home"), case.value("engine.starter.engaged")
    chamfer = f"{ring_key(case.sides)}.chamfer"
    given = (
        (chamfer, ring.chamfer),
        ("engine.starter.home", home),
        ("engine.starter.engaged", out),
    )
    lacks = tuple(key for key, value in given if value is None)
    if lacks or home is None or out is None:
        return unknown("starter-hand", lacks)
    enters = "front" if out > home else "rear"
    because = ("engine.starter.hand", "engine.starter.home", "engine.starter.engaged", chamfer)
    if ring.chamfer != enters:
        says = f"The pinion enters from the {enters}, the ring's teeth are chamfered at the {ring.chamfer}."
        return answer("starter-hand", "fail", says, because=because)
    says = f"The starter turns the engine the right way and enters from the chamfered {enters}."
    return answer("starter-hand", "pass", says, because=because)


def _ring(case: Case):  # type: ignore[no-untyped-def]
    request = case.sides.request
    carriers = {
        "engine.drive.ring": request.engine.drive if request.engine else None,
        "flexplate.ring": request.flexplate, "flywheel.ring": request.flywheel,
    }  # fmt: skip
    carrier = carriers.get(ring_key(case.sides))
    return carrier.ring if carrier is not None else None


def ring_pitch(case: Case) -> Answer:
    """Pinion and ring gear are of one pitch, at the right centre distance."""
    engine = case.sides.request.engine
    ring = _ring(case)
    if engine is None or engine.starter is None or ring is None:
        return NotRun(("engine.starter", "engine.drive.ring"))
    starter = engine.starter
    key = ring_key(case.sides)
    own, other = _module(starter.pitch), _module(ring.pitch)
    outside = case.value(f"{key}.diameter")
    if other is None and outside is not None and ring.teeth:
        other = outside / (ring.teeth + 2)
    if (
        own is None
        and (tip := case.value("engine.starter.pinion_outside")) is not None
        and starter.pinion_teeth
    ):
        own = tip / (starter.pinion_teeth + 2)
    if own is None or other is None:
        keys = (("engine.starter.pitch", own), (f"{key}.pitch", other))
        return unknown("ring-pitch", tuple(k for k, v in keys if v is None))
    because = ("engine.starter.pitch", f"{key}.diameter")
    if abs(own - other) / own > 0.03:  # standard pitches lie further apart than this
        says = f"Pinion and ring are of different pitch: module {own:.2f} and {other:.2f} mm ({25.4 / own:.1f} and {25.4 / other:.1f} DP)."
        return answer("ring-pitch", "fail", says, because=because)
    return _root_clearance(case, own, ring.teeth, starter.pinion_teeth, starter.centre, because)


def _root_clearance(
    case: Case,
    module: float,
    teeth: int | None,
    pinion: int | None,
    centre: object,
    because: tuple[str, ...],
) -> Answer:
    if teeth is None or pinion is None or not isinstance(centre, Point):
        given = (
            (f"{ring_key(case.sides)}.teeth", teeth),
            ("engine.starter.pinion_teeth", pinion),
            ("engine.starter.centre", centre),
        )
        says = f"Pinion and ring are of one pitch, module {module:.2f} mm; their root clearance is not known."
        return unknown("ring-pitch", tuple(key for key, value in given if value is None), says)
    distance = _from_axis(case, centre)
    # ring tip to pinion root: standard depth has 1.25 modules of dedendum, 1 of addendum
    clearance = distance - (teeth + 2) * module / 2 - (pinion - 2.5) * module / 2
    low, high = case.limit("ring-pitch.low"), case.limit("ring-pitch.high")
    status = "pass" if low - FLAT <= clearance <= high + FLAT else "warn"
    says = f"One pitch; from the ring's tips to the pinion's roots {case.shown(clearance)}, usual {case.shown(low)} to {case.shown(high)}."
    return answer(
        "ring-pitch",
        status,
        says,
        margin=min(clearance - low, high - clearance),
        because=(*because, "engine.starter.centre"),
        source=case.source("ring-pitch.low"),
    )


def starter_clears(case: Case) -> Answer:
    """The plate's edge leaves the starter's body its room."""
    engine = case.sides.request.engine
    starter, body = engine.starter if engine else None, case.value("engine.starter.body")
    plates = [part for part in case.plates if part.outline]
    if starter is None or not plates:
        return NotRun(("engine.starter",) if starter is None else ("engine.face", "gearbox.face"))
    given = (("engine.starter.centre", starter.centre), ("engine.starter.body", body))
    if lacks := tuple(key for key, value in given if value is None):
        return NotRun(lacks)
    assert starter.centre is not None
    assert body is not None
    middle = np.array([_on_axis(case, starter.centre)])
    room = min(-float(distance_to_edge(part.outline, middle)[0]) for part in plates) - body / 2
    wanted = case.limit("starter-clears.all_round")
    says = f"The plate's edge clears the starter's body by {case.shown(room)}, wanted {case.shown(wanted)}."
    if room < 0:
        says = f"The plate reaches {case.shown(-room)} into the starter's body."
    return answer(
        "starter-clears", graded(room, fail=0.0, warn=wanted - 1e-6), says, margin=room,
        because=tuple(key for key, _ in given), source=case.source("starter-clears.all_round"),
    )  # fmt: skip


def _from_axis(case: Case, centre: Point) -> float:
    """Distance of a point of the engine's face from the crank's axis [mm]."""
    return math.hypot(*_on_axis(case, centre))


def _on_axis(case: Case, place: Point) -> tuple[float, float]:
    """A point of the engine's face, from the crank's axis [mm]."""
    engine = case.sides.request.engine
    origin = engine.face.origin if engine is not None and engine.face is not None else None
    if origin is None:
        return place.x.value, place.y.value
    return place.x.value - origin.x.value, place.y.value - origin.y.value


def _module(pitch: str) -> float | None:
    """Module [mm] from ``12 DP``, ``module 2.5`` or ``M2.5``."""
    text = pitch.strip().lower()
    if (found := re.fullmatch(rf"({_FIGURE})\s*dp", text)) and float(found[1]) > 0:
        return 25.4 / float(found[1])
    if (found := re.fullmatch(rf"(?:module|m)\s*({_FIGURE})", text)) and float(found[1]) > 0:
        return float(found[1])
    return None


_FIGURE = r"\d+(?:\.\d*)?|\.\d+"


CHECKS = {
    "pinion-overlap": pinion_overlap,
    "pinion-rest-gap": pinion_rest_gap,
    "starter-hand": starter_hand,
    "ring-pitch": ring_pitch,
    "starter-clears": starter_clears,
}
