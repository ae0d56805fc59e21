"""Checks of what holds the fixed joint: threads, heads, lengths, dowels, friction."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from kb.model.unit import Gearbox
from kb.quantity import torque
from wizard.engine.axial.needs import (
    plate_floors,
    tapped_in_plate,
)
from wizard.engine.checks.case import FLAT, Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.faces import family, hole_key, undrawn
from wizard.engine.checks.sunk import floors, head_sunk, untabled_head
from wizard.engine.formulas.joints import (
    friction_torque,
    overhang_capacity,
    overhang_moment,
    reaction_torque,
    screws_friction_radius,
)
from wizard.engine.housed import WORDS
from wizard.engine.parts import fasteners


def thread_engagement(case: Case) -> Answer:
    """Screws engage enough in the plate and in the castings."""
    if not case.plates:
        return NotRun(("engine.face", "gearbox.face"))
    if found := undrawn(case, "thread-engagement"):
        return found
    if lacks := _unmeasured_depths(case):
        return unknown("thread-engagement", lacks)
    if odd := untabled_head(case, "thread-engagement"):
        return odd
    rooms = [
        (case.plates[-1].size["thickness"] - floor, "the plate")
        for floor in floors(case, "thread-engagement", warn=False)
    ]
    for one in case.adapter.joints:
        where = f"the {one.name.removeprefix('plate to ')}"
        if one.wanted is not None and one.engagement is not None:
            rooms.append((one.engagement - one.wanted, where))
        elif one.wanted is not None:
            says = f"No standard screw engages enough in {where}."
            return answer(
                "thread-engagement", "fail", says, source=case.source("thread-engagement.iron")
            )
    if not rooms:
        return NotRun(("engine.face.holes",))
    room, where = min(rooms)
    longer = "longer" if room >= -1e-9 else "shorter"
    says = f"The least thread, in {where}, is {case.shown(abs(room))} {longer} than wanted."
    status = graded(room, fail=0.0)
    if status == "pass" and (weak := _strips(case)):
        status, says = "warn", f"{says} {weak}"
    return answer(
        "thread-engagement", status, says, margin=room, because=("choices.plate",),
        source=case.source(f"thread-engagement.{family(case)}"),
    )  # fmt: skip


def _strips(case: Case) -> str:
    """A thread in the plate that would strip before its screw breaks, in words; or nothing."""
    thickness = case.plates[-1].size["thickness"]
    for one in tapped_in_plate(case.sides):
        assert one.screw is not None
        grade = one.grade or case.sides.chosen.screw_grade
        needed = fasteners.full_strength(one.screw, grade, case.sides.chosen.plate_material)
        if needed is not None and thickness < needed:
            return (
                f"A {one.screw} screw of grade {grade} pulled too hard strips the plate before it "
                f"breaks: that takes {case.shown(needed)} of thread."
            )
    return ""


def screw_length(case: Case) -> Answer:
    """A standard length engages enough and stays clear of the bottom."""
    if found := undrawn(case, "screw-length"):
        return found
    ones = [one for one in case.adapter.joints if one.head in WORDS.values()]
    if not ones:
        return NotRun(("engine.face.holes.thread",))
    short = [one for one in ones if one.length is None]
    lacks = _unmeasured_depths(case)
    if lacks:
        return unknown("screw-length", lacks)
    if odd := untabled_head(case, "screw-length"):
        return odd
    if short:
        names = ", ".join(f"{one.name} ({one.thread})" for one in short)
        return answer(
            "screw-length", "fail", f"No standard screw length fits: {names}.", margin=None
        )
    names = ", ".join(
        f"{one.thread} × {case.shown(one.length or 0.0)} ({one.name})" for one in ones
    )
    return answer(
        "screw-length",
        "pass",
        f"Lengths to buy: {names}.",
        source=case.source("screw-length.bottom_pitches"),
    )


def _unmeasured_depths(case: Case) -> tuple[str, ...]:
    """Keys of tapped holes whose depth was not measured; one key for a whole circle."""
    found = [
        hole_key(case, one, "depth")
        for face in (case.sides.engine_face, case.sides.gearbox_face)
        for one in (face.holes if face else ())
        if one.kind == "tapped" and one.depth is None
    ]
    return tuple(dict.fromkeys(found))


def dowels(case: Case) -> Answer:
    """Two dowels, far apart, locate each side unless a register does."""
    if found := undrawn(case, "dowels"):
        return found
    if case.sides.engine_face is None and case.sides.gearbox_face is None:
        return NotRun(("engine.face", "gearbox.face"))
    apart_least = case.limit("dowels.apart")
    answers: list[tuple[str, str, float | None]] = []
    for side, face in (("engine", case.sides.engine_face), ("gearbox", case.sides.gearbox_face)):
        if face is None:
            continue
        pins = face.dowels
        joint = "plate in the engine's housing" if side == "engine" else "gearbox in the plate"
        if len(pins) < 2:
            located = any(fit.joint == joint for fit in case.adapter.fits)
            if located:
                answers.append(("pass", f"the {side} side is located by its register", None))
            else:
                answers.append(
                    (
                        "warn",
                        f"the {side} side has {len(pins)} dowel{'s' * (len(pins) != 1)} and no register: nothing locates it",
                        None,
                    )
                )
            continue
        apart = max(math.dist((a.x, a.y), (b.x, b.y)) for a, b in itertools.combinations(pins, 2))
        answers.append(
            (
                graded(apart, fail=0.0, warn=apart_least),
                f"the {side}'s dowels stand {case.shown(apart)} apart",
                apart - apart_least,
            )
        )
    worst = max((status for status, *_ in answers), key=("pass", "warn", "fail").index)
    thick = [floor for check, floor, _ in plate_floors(case.sides, warn=False) if check == "dowels"]
    plate = case.chain.plate if case.chain else None
    says = "; ".join(text for _, text, _ in answers)
    if thick and plate is not None and plate < thick[0]:
        worst, says = (
            "fail",
            f"{says}; the plate is too thin to hold a dowel ({case.shown(thick[0])} wanted)",
        )
    elif short := _short_dowels(case):
        worst, says = "warn", f"{says}; {short}"
    margins = [margin for *_, margin in answers if margin is not None]
    return answer(
        "dowels",
        worst,
        says[0].upper() + says[1:] + ".",
        margin=min(margins, default=None),
        source=case.source("dowels.apart"),
    )


def _short_dowels(case: Case) -> str:
    """Dowels that reach into the plate less than they must, or do not fit, in words; or nothing."""
    least, share = case.limit("dowels.least"), case.limit("dowels.share")
    short = [
        f"{one.side} {one.id} stands out {case.shown(one.stands_out)}, wanted {case.shown(wanted)}: fit longer ones"
        for face in (case.sides.engine_face, case.sides.gearbox_face)
        for one in (face.dowels if face else ())
        if one.stands_out is not None
        and one.stands_out < (wanted := max(least, share * (one.diameter or 0.0))) - FLAT
    ]
    return ", ".join([*short, *_planned_dowels(case, least=least, share=share)])


def _planned_dowels(case: Case, *, least: float, share: float) -> Iterator[str]:
    """What is wrong with the dowels the job means to put into the plate for the gearbox."""
    size, reach = case.value("choices.dowel.diameter"), case.value("choices.dowel.engagement")
    face = case.sides.gearbox_face
    for one in face.dowels if face else ():
        hole = one.diameter or size or 0.0
        if size is not None and abs(size - hole) > DOWEL_MATCH:
            yield f"a dowel of {case.shown(size)} does not fit the gearbox's {one.id} of {case.shown(hole)}"
        wanted = max(least, share * (size or hole))
        if reach is not None and reach < wanted - FLAT:
            yield f"the plate's dowels reach {case.shown(reach)} into the gearbox, wanted {case.shown(wanted)}"
            return


DOWEL_MATCH = 0.1  # mm between a dowel's nominal size and its hole's: common practice, no source


def joint_slip_fixed(case: Case) -> Answer:
    """The housing joint holds the gearbox's reaction by friction."""
    box, engine = case.sides.request.gearbox, case.sides.request.engine
    if box is None or engine is None or not case.plates:
        return NotRun(("engine.face", "gearbox.face"))
    if found := undrawn(case, "joint-slip-fixed"):
        return found
    joints = [one for one in case.adapter.joints if one.name.startswith(("gearbox", "plate"))]
    if engine.peak_torque is None:
        torque_lacks = ("engine.peak_torque",)
        if case.sides.whole:
            return unknown("joint-slip-fixed", torque_lacks)
        return NotRun(torque_lacks)
    if not joints or any(one.preload_n is None for one in joints):
        return unknown("joint-slip-fixed", ("choices.screw_grade",))
    faces = (("engine", case.sides.engine_face), ("gearbox", case.sides.gearbox_face))
    held = min(_held(case, side) for side, face in faces if face is not None)
    ratios = [ratio for ratio in (box.lowest_gear, box.reverse_gear) if ratio]
    stall = (box.converter.stall_ratio or 1.0) if box.converter else 1.0
    worst = max(
        (
            reaction_torque(torque_nmm=engine.peak_torque.value, ratio=r, stall_ratio=stall)
            for r in ratios
        ),
        default=0.0,
    )
    if lacks := _ratios_lacking(box):
        says = f"Not known without the gear ratios; the joint holds at least {torque(held)} by friction."
        return unknown("joint-slip-fixed", lacks, says)
    because = ("engine.peak_torque", "gearbox.lowest_gear", "gearbox.reverse_gear")
    if worst == 0:
        says = "Driven straight through, the gearbox's housing holds no torque back."
        return answer("joint-slip-fixed", "pass", says, because=because)
    share = held / worst
    soft, hard = case.limit("joint-slip.warn"), case.limit("joint-slip.fail")
    pinned = all(
        len(face.dowels) >= 2 for face in (case.sides.engine_face, case.sides.gearbox_face) if face
    )
    status = graded(share, fail=hard, warn=soft)
    says = f"Friction holds {share:.1f} times the reaction of {torque(worst)}."
    if status == "fail" and pinned:
        status, says = "warn", says + " Below that the dowels carry it in shear."
    return answer(
        "joint-slip-fixed",
        status,
        says,
        margin=share - hard,
        unit="times",
        because=because,
        source=case.source("joint-slip.warn"),
    )


def _ratios_lacking(box: Gearbox) -> tuple[str, ...]:
    """What the reaction on the housing needs to know of the gearbox; a reverse of 0 is none."""
    given: list[tuple[str, float | None]] = [
        ("gearbox.lowest_gear", box.lowest_gear),
        ("gearbox.reverse_gear", box.reverse_gear),
    ]
    if box.converter is not None:
        given.append(("gearbox.converter.stall_ratio", box.converter.stall_ratio))
    return tuple(key for key, value in given if value is None)


def _held(case: Case, side: str) -> float:
    """Friction torque of the joint on one side of the plate [N·mm]."""
    face = case.sides.engine_face if side == "engine" else case.sides.gearbox_face
    words = (
        ("plate to engine", "plate from the engine's side")
        if side == "engine"
        else ("gearbox to plate", "plate to gearbox")
    )
    total = 0.0
    for one in case.adapter.joints:
        if one.name in words and one.preload_n and face:
            same = [h for h in face.holes if h.screw]
            radius = screws_friction_radius(centres=[(h.x, h.y) for h in same])
            if radius <= 0:  # one screw on the axis holds no torque
                continue
            total += float(friction_torque(screws=one.count, friction=case.sides.chosen.joint_friction,
                                           preload_n=one.preload_n / case.limit("joint-slip.tightening"), radius=radius))  # fmt: skip
    return total


def overhang(case: Case) -> Answer:
    """The joint carries the gearbox hanging behind it, bumps included."""
    box = case.sides.request.gearbox
    face = case.sides.gearbox_face
    if box is None or face is None:
        return NotRun(("gearbox.face",))
    lacks = [
        key
        for key, value in (
            ("gearbox.mass", box.mass),
            ("gearbox.centre_of_mass", box.centre_of_mass),
        )
        if value is None
    ]
    joints = [
        one for one in case.adapter.joints if one.name in ("gearbox to plate", "plate to gearbox")
    ]
    if lacks:
        return unknown("overhang", lacks)
    preloads = [one.preload_n for one in joints if one.preload_n]
    if not preloads or len(preloads) < len(joints):
        return unknown("overhang", ("choices.screw_grade",))
    least = min(preloads) / case.limit("joint-slip.tightening")
    heights = [one.y for one in face.holes]
    heights = [height - min(heights) for height in heights]
    assert box.mass is not None
    moment = overhang_moment(
        mass_kg=box.mass.value,
        distance=max(case.value("gearbox.centre_of_mass") or 0.0, 1e-6),
        shock=case.limit("overhang.shock"),
    )
    share = 0.0  # screws all at one height do not keep the joint from tipping
    if max(heights) > 0:
        share = overhang_capacity(preloads_n=[least] * len(heights), heights=heights) / moment
    says = f"The bolts hold {share:.1f} times the moment of the hanging gearbox with bumps of {case.limit('overhang.shock'):g} g."
    status = "pass" if share >= case.limit("overhang.least") else "warn"
    return answer(
        "overhang",
        status,
        says,
        margin=share - case.limit("overhang.least"),
        unit="times",
        because=("gearbox.mass", "gearbox.centre_of_mass"),
        source=case.source("overhang.shock"),
    )


CHECKS = {
    "thread-engagement": thread_engagement,
    "head-sunk": head_sunk,
    "screw-length": screw_length,
    "dowels": dowels,
    "joint-slip-fixed": joint_slip_fixed,
    "overhang": overhang,
}
