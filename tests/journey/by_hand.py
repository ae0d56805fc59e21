"""What a fitter finds on two sheets with pencil and paper: sums of lengths, single comparisons.

Closed form: the lengths between two faces add up, whichever way round they are taken. Limits
are common practice, no source, where none is named.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kb.model.measured import Measured
from kb.model.request import Request
from kb.model.unit import Engine, Face, Gearbox
from kb.quantity import Amount

THICKEST = 25.4  # mm, the thickest usual plate of an inch sheet
CLEARLY = 2.0  # mm: further off than any ± or place inside a wanted band can take back
RETAINER_PLAY = 0.25  # mm
LEAST_NOSE = 3.2  # mm


@dataclass(frozen=True)
class Two:
    """The two units of a job and what is between them."""

    job: Request
    engine: Engine
    box: Gearbox


def must_fail(request: Request) -> set[str]:
    """Checks that have to fail, found without the program's own working."""
    assert request.engine is not None
    assert request.gearbox is not None
    two = Two(request, request.engine, request.gearbox)
    found = {
        "rotation": two.engine.rotation != two.box.rotation,
        "torque-rating": least(torques(two)) < least([two.engine.peak_torque]),
        "speed-rating": least(speeds(two)) < least([two.engine.max_speed]),
        "input-cast-in": two.engine.face is not None and two.engine.face.cast_in is True,
        "register-present": two.engine.drive is not None and two.engine.drive.register is None,
        "balance-kind": balance_differs(two),
        "spline-identity": splines_differ(two),
        "retainer-fit": retainer_play(two) > RETAINER_PLAY,
        "nose-engagement": nose(two) < LEAST_NOSE,
        "spacer-length": room_for_adapter(two) < -CLEARLY,
    }
    return {check for check, fails in found.items() if fails}


def mm(given: Measured | None) -> float:
    """A dimension [mm]: the mean where it was read more than once, 0 where there is none."""
    if given is None:
        return 0.0
    return math.fsum(one.value for one in given.readings) / len(given.readings)


def least(amounts: list[Amount | None]) -> float:
    """The least of the amounts that are known; endless where none is."""
    return min((one.value for one in amounts if one is not None), default=math.inf)


def torques(two: Two) -> list[Amount | None]:
    clutch = two.job.clutch
    return [two.box.torque_limit, clutch.torque_limit if clutch else None]


def speeds(two: Two) -> list[Amount | None]:
    parts = (two.box, two.job.flexplate, two.job.flywheel, two.job.clutch)
    return [part.max_speed for part in parts if part is not None]


def balance_differs(two: Two) -> bool:
    part = two.job.flexplate or two.job.flywheel
    wanted = "weighted" if two.engine.balance == "external" else "neutral"
    return part is not None and part.balance is not None and part.balance != wanted


def splines_differ(two: Two) -> bool:
    hub = two.job.clutch.disc_hub if two.job.clutch else None
    shaft = two.box.shaft.spline if two.box.shaft else None
    return hub is not None and shaft is not None and hub.count != shaft.count


def retainer_play(two: Two) -> float:
    retainer = two.box.shaft.retainer if two.box.shaft else None
    return mm(retainer.bore) - mm(retainer.diameter) if retainer else 0.0


def nose(two: Two) -> float:
    """Nose that stands forward of the flexplate's seat on the adapter [mm]."""
    hub = two.box.converter.hub if two.box.converter else None
    offset = mm(two.job.flexplate.offset) if two.job.flexplate else 0.0
    return mm(hub.reach) - offset if hub else math.inf


def room_for_adapter(two: Two) -> float:
    """Length left for the rotating adapter behind the thickest usual plate [mm].

    The gap of converter or release bearing is not taken off: it would only make it less.
    """
    job, box = two.job, two.box
    room = THICKEST - mm(two.engine.drive.standoff if two.engine.drive else None)
    if box.converter is not None:
        offset = mm(job.flexplate.offset) if job.flexplate else 0.0
        return room + mm(box.converter.seat_depth) - offset
    if box.driven is not None:
        return room + mm(box.driven.position)
    if job.flywheel is None or job.clutch is None or box.release is None:
        return math.inf
    # a bearing that always touches is pressed together: that much more room, at the most
    pressed = box.release.preload.high.value if box.release.preload else 0.0
    taken = mm(job.flywheel.height) + mm(job.clutch.fingers)
    return room + mm(box.release.retracted) + pressed - taken


def uneven(face: Face | None) -> bool:
    """Whether a face's holes lie on no even circle about its axis: radii and angles differ."""
    if face is None or not face.holes:
        return False
    spots = list(_about_the_axis(face))
    radii = [math.hypot(x, y) for x, y in spots]
    angles = sorted(math.degrees(math.atan2(y, x)) for x, y in spots)
    steps = [b - a for a, b in zip(angles, [*angles[1:], angles[0] + 360], strict=True)]
    return max(radii) - min(radii) > 1.0 and max(steps) - min(steps) > 1.0  # mm, °


def _about_the_axis(face: Face) -> Iterator[tuple[float, float]]:
    x0, y0 = (face.origin.x.value, face.origin.y.value) if face.origin else (0.0, 0.0)
    for hole in face.holes:
        yield mm(hole.x) - x0, mm(hole.y) - y0
