"""Unknown is never pass: what a check rests on, taken out of a whole job, leaves it no pass.

What each check rests on is typed here from the chains and criteria, and joined by what the
program itself says a check rests on. A key with a stated default is not unknown without it.
Law: the project's own; the chains are closed form.
"""

from __future__ import annotations

from typing import Any

import pytest

from kb.errors import InputError
from tests.engine.altered import KINDS, check_of, design_of, whole

CLOSES = {
    "converter": "engine.drive.standoff gearbox.converter.seat_depth flexplate.offset",
    "shaft": "engine.drive.standoff gearbox.release.retracted flywheel.height clutch.fingers",
    "flange": "engine.drive.standoff gearbox.driven.position",
}
HOLES = "engine.face.circle gearbox.face.circle"
ANY = {  # every kind of drive
    "tail-shift": "installation.allowance",
    "hole-clash": HOLES,
    "least-wall": HOLES,
    "edge-distance": HOLES,
    "wrench-access": "gearbox.face.circle.socket_room gearbox.face.circle",
    "thread-engagement": f"{HOLES} engine.face.circle.depth",
    "head-sunk": "engine.face.circle",
    "screw-length": "engine.face.circle engine.face.circle.depth",
    "joint-slip-fixed": f"{HOLES} engine.peak_torque gearbox.lowest_gear gearbox.reverse_gear",
    "overhang": "gearbox.face.circle gearbox.mass gearbox.centre_of_mass",
    "flatness": "engine.face.flatness engine.face.step gearbox.face.flatness gearbox.face.step",
    "rotating-wall": "engine.drive.circle",
    "register-present": "engine.drive.register",
    "register-fit": "engine.drive.register engine.drive",
    "joint-slip": "engine.peak_torque engine.drive.circle",
    "critical-thread": "engine.drive.circle engine.drive.circle.depth",
    "predicted-runout": "engine.drive.register engine.drive.register_tir",
    "who-locates": "engine.drive.register engine.drive.circle",
    "bolts-go-in": HOLES,
    "overspeed": "engine.max_speed",
    "balance": "engine.max_speed",
    "bolt-shear": "engine.peak_torque engine.drive.circle",
    "rotation": "engine.rotation gearbox.rotation",
    "torque-rating": "engine.peak_torque gearbox.torque_limit",
    "speed-rating": "engine.max_speed gearbox.max_speed",
    "shield": "answers.shield",
    "shop-questions": "answers answers.access_hole answers.galleries answers.shifter answers.mount "
    "answers.driveshaft answers.breather answers.sump_rail answers.electrics",
}
SPANNED = ("spacer-length", "opening-clears")
STARTED = "engine.starter.engaged engine.starter.home"
OWN = {
    "converter": {
        "converter-gap": CLOSES["converter"],
        "nose-engagement": f"{CLOSES['converter']} gearbox.converter.hub.reach "
        "gearbox.converter.hub.diameter",
        "nose-bottoming": f"{CLOSES['converter']} gearbox.converter.hub.reach",
        "pump-lug-overlap": f"{CLOSES['converter']} gearbox.converter.pump_lug "
        "gearbox.converter.pump_lug.seated gearbox.converter.pump_lug.gear",
        "hub-covers-seal": f"{CLOSES['converter']} gearbox.converter.hub.land gearbox.pump.bush "
        "gearbox.pump.lip",
        "fastener-clears": f"{CLOSES['converter']} flexplate.bolt_heads flexplate.thickness",
        "pinion-overlap": f"{CLOSES['converter']} {STARTED} engine.starter.pinion_width "
        "flexplate.ring flexplate.ring.standoff flexplate.ring.face",
        "pinion-rest-gap": f"{CLOSES['converter']} {STARTED} flexplate.ring.standoff",
        "starter-hand": f"{STARTED} engine.rotation engine.starter.hand flexplate.ring.chamfer",
        "ring-pitch": "engine.starter.pitch engine.starter.pinion_teeth engine.starter.centre "
        "flexplate.ring.teeth",
        "opening-clears": "engine.drive.outside",
        "thermal-growth": "use.temperature_rise engine.face.material",
        "joint-slip-fixed": "gearbox.converter.stall_ratio",
        "register-present": "gearbox.converter.hub",
        "speed-rating": "flexplate.max_speed",
        "balance-kind": "engine.balance flexplate.balance",
        "converter-circle": "gearbox.converter.circle flexplate.converter_circle",
        "shop-questions": "answers.cooler_lines",
    },
    "shaft": {
        "release-gap": CLOSES["shaft"],
        "release-travel": f"{CLOSES['shaft']} gearbox.release.stroke gearbox.release.travel",
        "tip-engagement": f"{CLOSES['shaft']} gearbox.shaft.reach gearbox.shaft.tip.length pilot",
        "tip-bottoming": f"{CLOSES['shaft']} gearbox.shaft.reach pilot pilot.depth",
        "tip-shoulder": f"{CLOSES['shaft']} gearbox.shaft.reach gearbox.shaft.tip.length pilot",
        "spline-overlap": f"{CLOSES['shaft']} gearbox.shaft.reach gearbox.shaft.spline.from_tip "
        "gearbox.shaft.spline.length clutch.disc_hub.front clutch.disc_hub.rear",
        "disc-hub-clears": "flywheel.height flywheel.bolt_heads clutch.disc_hub.front",
        "pinion-overlap": f"{CLOSES['shaft']} {STARTED} engine.starter.pinion_width flywheel.ring "
        "flywheel.ring.standoff flywheel.ring.face",
        "pinion-rest-gap": f"{CLOSES['shaft']} {STARTED} flywheel.ring.standoff flywheel.ring.face",
        "starter-hand": f"{STARTED} engine.rotation engine.starter.hand flywheel.ring.chamfer",
        "opening-clears": "engine.drive.outside",
        "thermal-growth": "use.temperature_rise engine.face.material",
        "critical-thread": "flywheel.thickness",
        "retainer-fit": "gearbox.shaft.retainer.diameter gearbox.shaft.retainer.bore",
        "clutch-clears": "clutch.outside gearbox.face.opening",
        "speed-rating": "flywheel.max_speed clutch.max_speed",
        "balance-kind": "engine.balance flywheel.balance",
        "spline-identity": "gearbox.shaft.spline.count gearbox.shaft.spline.diameter "
        "clutch.disc_hub.count clutch.disc_hub.diameter",
    },
    "flange": {
        "flange-position": CLOSES["flange"],
        "rotating-wall": "gearbox.driven.circle",
        "register-present": "gearbox.driven.register",
    },
}
# Keys the program says a check rests on and that have a default, or are one of several ways.
DEFAULTED = {
    "pilot.mouth": "flush", "pilot.bush_width": "the depth of the hole, said in the answer",
    "engine.face.cast_in": "bolt holes were measured on the joint face, said in the answer",
    "engine.drive.register.depth": "no recess before the bore, the shorter way",
    "flexplate.ring.pitch": "by its diameter and teeth", "flexplate.ring.diameter": "by its pitch",
    "flywheel.ring.diameter": "by its pitch",
    "clutch.wear": "not asked of a new disc", "choices.plate": "the thinnest that works",
    "choices.layout": "mill", "choices.plate_material": "6061-T6", "choices.screw_grade": "8.8", "engine.face.dowels": "none", "gearbox.face.dowels": "none",
    "installation.tail_before": "the same gearbox as it stood before",
    "gearbox.driven.outside": "its spigot, where that is wider than its holes",
}  # fmt: skip
SEVERAL = ("identified-by-measurement",)  # of what is there, each by itself


def rests_on(kind: str) -> dict[str, set[str]]:
    """For every check of a whole job that passes: what it rests on, by hand and by its own word."""
    made = design_of(kind)
    found: dict[str, set[str]] = {}
    for id, keys in (*ANY.items(), *((id, CLOSES[kind]) for id in SPANNED), *OWN[kind].items()):
        found.setdefault(id, set()).update(keys.split())
    for check in made.checks:
        if check.id not in SEVERAL:
            said = {key for key in check.because if key not in DEFAULTED and stands(kind, key)}
            found.setdefault(check.id, set()).update(said)
    return found


def stands(kind: str, key: str) -> bool:
    """Whether a whole job has that key."""
    node: Any = whole(kind)
    for name in key.split("."):
        if not isinstance(node, dict) or name not in node:
            return False
        node = node[name]
    return True


def removals(kind: str) -> list[Any]:
    """Each key with the checks that rest on it."""
    by_key: dict[str, list[str]] = {}
    for id, keys in rests_on(kind).items():
        for key in keys:
            by_key.setdefault(key, []).append(id)
    return [pytest.param(kind, key, ids, id=f"{kind}-{key}") for key, ids in sorted(by_key.items())]


@pytest.mark.parametrize(("kind", "key", "ids"), [one for kind in KINDS for one in removals(kind)])
def test_never_a_pass_without_it(kind: str, key: str, ids: list[str]) -> None:
    assert stands(kind, key), "the whole job must have what is taken out of it"
    try:
        made = design_of(kind, {key: None})
    except InputError as refused:
        assert key.rpartition(".")[2] in str(refused)  # noqa: PT017 (a refusal is one of two fair ends)
        return
    for id in ids:
        found = check_of(made, id)
        assert found is None or found.status != "pass", f"{id}: {found.says}"


@pytest.mark.parametrize("kind", KINDS)
def test_every_check_that_ran_rests_on_something(kind: str) -> None:
    """Only what compares two whole patterns, or the way of making, names no key that may lack."""
    bare = {one.id for one in design_of(kind).checks} - {
        id for id, keys in rests_on(kind).items() if keys
    }
    chosen = {"head-bearing"}  # by material and grade, which are chosen
    assert bare <= {"dowels", "fill-angle", "input-cast-in", "plate-thickness", *chosen, *SEVERAL}


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_passes_where_nothing_is_known(kind: str) -> None:
    """Both units named and nothing else: no check of a dimension passes."""
    empty = {key: None for key in whole(kind) if key not in ("engine", "gearbox", "units", "title")}
    made = design_of(kind, empty | {"engine": {"name": "One"}, "gearbox": {"name": "Other"}})
    assert [one.id for one in made.checks if one.status == "pass"] == []
