"""Checks of the housings: what turns inside them, how they sit, how flat and how hot."""

from __future__ import annotations

import itertools
import math

from kb.model.parts import Part
from wizard.engine.checks.case import Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.faces import both_faces
from wizard.engine.faces import material_of
from wizard.engine.parts.opening import turning_in_housing, turning_inside, unmeasured_inside


def opening_clears(case: Case) -> Answer:
    """Everything that turns within the plate clears its opening and the housing's bore."""
    chain = case.chain
    if not case.plates or chain is None:
        return NotRun(("engine.face", "gearbox.face"))
    if not case.sides.kind and case.sides.driving is None:
        return NotRun(("engine.drive", "gearbox.converter"))
    if chain.spacer is None and case.sides.kind:
        return unknown("opening-clears", _where_lacks(case))
    inside = turning_inside(case.sides, chain)
    housing = case.value("engine.face.opening")
    deep = turning_in_housing(case.sides, chain) if housing is not None else {}
    lacks = unmeasured_inside(case.sides, chain)
    lacks += tuple(key for key, size in deep.items() if size is None and key not in lacks)
    if lacks:
        return unknown("opening-clears", lacks)
    wanted = case.limit("opening-clears.radial")
    rooms = [
        (*_smallest_room(part, size), key, size)
        for part in case.plates
        for key, size in inside.items()
    ]
    rooms += [
        ((housing - size) / 2, "the engine's housing", key, size)
        for key, size in deep.items()
        if housing is not None and size is not None
    ]
    if not rooms:
        return answer("opening-clears", "pass", "Nothing turns within the plate's thickness.")
    room, where, key, widest = min(rooms)
    says = f"The widest part turning there ({case.shown(widest)}) clears {where} by {case.shown(room)} all round."
    return answer(
        "opening-clears",
        graded(room, fail=wanted),
        says,
        margin=room - wanted,
        because=(key,),
        source=case.source("opening-clears.radial"),
    )


def _where_lacks(case: Case) -> tuple[str, ...]:
    assert case.chain is not None
    lacks = (key for lacks in case.chain.lacks.values() for key in lacks)
    return tuple(dict.fromkeys(lacks)) or ("choices.spacer",)


def _smallest_room(part: Part, widest: float) -> tuple[float, str]:
    """Radial room against the nearest hole the opening may not reach."""
    edges = [
        (
            math.hypot(hole.x, hole.y) - hole.widest / 2,
            f"hole {hole.id}",
        )
        for hole in part.holes
    ]
    edges.append((part.size.get("bore", 0.0) / 2, "the plate's opening"))
    near, where = min(edges)
    return near - widest / 2, where


def input_cast_in(case: Case) -> Answer:
    """The engine's bell part is not cast in one with the block."""
    engine = case.sides.request.engine
    if engine is None or engine.face is None:
        return NotRun(("engine.face",))
    if engine.face.cast_in:
        return answer(
            "input-cast-in",
            "fail",
            "The bell is cast in one with the block: a plain plate does not go.",
            because=("engine.face.cast_in",),
        )
    says = (
        "The bell comes off the block."
        if engine.face.cast_in is False
        else "Bolt holes were measured on the joint face, so it was taken to come apart there."
    )
    return answer("input-cast-in", "pass", says, because=("engine.face.cast_in",))


def retainer_fit(case: Case) -> Answer:
    """The front bearing retainer sits in its bore with little play."""
    shaft = case.sides.request.gearbox.shaft if case.sides.request.gearbox else None
    if shaft is None or shaft.retainer is None:
        return NotRun(("gearbox.shaft.retainer",))
    outside, bore = (
        case.value("gearbox.shaft.retainer.diameter"),
        case.value("gearbox.shaft.retainer.bore"),
    )
    if outside is None or bore is None:
        return unknown(
            "retainer-fit",
            tuple(
                f"gearbox.shaft.retainer.{k}"
                for k, v in (("diameter", outside), ("bore", bore))
                if v is None
            ),
        )
    play, most = bore - outside, case.limit("retainer-fit.play")
    status = "pass" if 0 <= play <= most else "fail"
    says = (
        f"The retainer has {case.shown(play)} of play in its bore, at most {case.shown(most)}."
        if play >= 0
        else f"The retainer is {case.shown(-play)} too large for its bore."
    )
    return answer(
        "retainer-fit",
        status,
        says,
        margin=min(play, most - play),
        because=("gearbox.shaft.retainer.diameter", "gearbox.shaft.retainer.bore"),
        source=case.source("retainer-fit.play"),
    )


def clutch_clears(case: Case) -> Answer:
    """The clutch turns clear of the housing and the plate."""
    if case.sides.request.clutch is None:
        return NotRun(("clutch",))
    outside, opening = case.value("clutch.outside"), case.value("gearbox.face.opening")
    if outside is None or opening is None:
        return unknown(
            "clutch-clears",
            tuple(
                k
                for k, v in (("clutch.outside", outside), ("gearbox.face.opening", opening))
                if v is None
            ),
        )
    room, wanted = (opening - outside) / 2, case.limit("clutch-clears.radial")
    says = f"The clutch clears the housing by {case.shown(room)} all round."
    return answer(
        "clutch-clears",
        graded(room, fail=wanted),
        says,
        margin=room - wanted,
        because=("clutch.outside", "gearbox.face.opening"),
        source=case.source("clutch-clears.radial"),
    )


def fill_angle(case: Case) -> Answer:
    """The gearbox is not turned further from upright than its oil and shifter allow."""
    if case.fixed is None:
        return both_faces(case) or NotRun(("engine.face", "gearbox.face"))
    turn, most = abs(case.fixed.clocking), case.limit("fill-angle.most")
    says = f"The gearbox stands {case.fixed.clocking:+.2f}° from upright, usual at most {most:g}°: watch oil level, lines and shifter."
    return answer(
        "fill-angle",
        graded(most - turn, fail=-math.inf, warn=0.0),
        says,
        margin=most - turn,
        unit="°",
        because=("choices.clocking",),
        source=case.source("fill-angle.most"),
    )


def thermal_growth(case: Case) -> Answer:
    """Plate and block grow alike between the dowels, or nearly."""
    face, use = case.sides.engine_face, case.sides.request.use
    if face is None or len(face.dowels) < 2:
        return NotRun(("engine.face.dowels",))
    engine = case.sides.request.engine
    casting = engine.face.material if engine and engine.face else ""
    if use is None or use.temperature_rise is None or not casting:
        lacks = [
            k
            for k, v in (
                ("use.temperature_rise", use.temperature_rise if use else None),
                ("engine.face.material", casting),
            )
            if not v
        ]
        return unknown("thermal-growth", lacks)
    apart = max(
        math.dist((a.x, a.y), (b.x, b.y)) for a, b in itertools.combinations(face.dowels, 2)
    )
    plate = material_of(case.sides.chosen.plate_material, key="choices.plate_material")
    block = material_of(casting, key="engine.face.material")
    growth = apart * abs(plate.cte_per_k - block.cte_per_k) * use.temperature_rise.value
    most = case.limit("thermal-growth.warn")
    says = f"Hot, plate and block differ by {case.shown(growth)} across the dowels."
    if growth > most:
        says += " Let one dowel slide."
    return answer(
        "thermal-growth",
        "warn" if growth > most else "pass",
        says,
        margin=most - growth,
        because=("use.temperature_rise",),
        source=case.source("thermal-growth.warn"),
    )


def flatness(case: Case) -> Answer:
    """Both joint faces were inspected and are flat."""
    units = (("engine", case.sides.request.engine), ("gearbox", case.sides.request.gearbox))
    faces = [name for name, unit in units if unit is not None and unit.face is not None]
    if not faces:
        return NotRun(("engine.face", "gearbox.face"))
    lacks, worst = [], math.inf
    for name in faces:
        for key, limit in (
            (f"{name}.face.flatness", "flatness.overall"),
            (f"{name}.face.step", "flatness.step"),
        ):
            value = case.value(key)
            if value is None:
                lacks.append(key)
            else:
                worst = min(worst, case.limit(limit) - value)
    if lacks and worst >= 0:
        return unknown(
            "flatness", lacks, "The faces have not been inspected: check them with a straight-edge."
        )
    says = (
        "The faces are flat."
        if worst >= 0
        else f"A face is out by {case.shown(-worst)} more than is usual: skim it."
    )
    return answer(
        "flatness",
        "pass" if worst >= 0 else "warn",
        says,
        margin=worst,
        because=tuple(f"{n}.face.flatness" for n in faces),
        source=case.source("flatness.overall"),
    )


CHECKS = {
    "opening-clears": opening_clears,
    "input-cast-in": input_cast_in,
    "retainer-fit": retainer_fit,
    "clutch-clears": clutch_clears,
    "fill-angle": fill_angle,
    "thermal-growth": thermal_growth,
    "flatness": flatness,
}
