"""Checks of identity: are these parts what the job takes them for, and do they suit each other?"""

from __future__ import annotations

import math

from kb.quantity import both, torque
from wizard.engine.checks.case import Answer, Case, NotRun, answer, unknown


def rotation(case: Case) -> Answer:
    """Engine and gearbox turn the same way."""
    engine, box = case.sides.request.engine, case.sides.request.gearbox
    if engine is None or box is None:
        return NotRun(("engine", "gearbox"))
    given = (("engine.rotation", engine.rotation), ("gearbox.rotation", box.rotation))
    lacks = [key for key, value in given if value is None]
    if len(lacks) == 2 and not case.sides.whole:
        return NotRun(tuple(lacks))
    if lacks:
        return unknown("rotation", lacks)
    words = {"ccw": "anticlockwise", "cw": "clockwise"}
    same = engine.rotation == box.rotation
    says = (
        f"Both turn {words[engine.rotation or '']}, seen from behind."
        if same
        else f"The engine turns {words[engine.rotation or '']} seen from behind, the gearbox was built for {words[box.rotation or '']}."
    )
    return answer(
        "rotation",
        "pass" if same else "fail",
        says,
        because=("engine.rotation", "gearbox.rotation"),
    )


def torque_rating(case: Case) -> Answer:
    """The gearbox and the clutch stand the engine's torque."""
    engine, box = case.sides.request.engine, case.sides.request.gearbox
    if engine is None or box is None:
        return NotRun(("engine", "gearbox"))
    lacks = [
        key
        for key, value in (
            ("engine.peak_torque", engine.peak_torque),
            ("gearbox.torque_limit", box.torque_limit),
        )
        if value is None
    ]
    if len(lacks) == 2 and not case.sides.whole:
        return NotRun(tuple(lacks))
    if lacks or engine.peak_torque is None or box.torque_limit is None:
        return unknown("torque-rating", lacks)
    use = case.sides.request.use
    factor = max(case.limit("torque-rating.factor"), (use.torque_factor or 1.0) if use else 1.0)
    limits = {"gearbox": box.torque_limit.value}
    clutch = case.sides.request.clutch
    if clutch is not None and clutch.torque_limit is not None:
        limits["clutch"] = clutch.torque_limit.value
    part, least = min(limits.items(), key=lambda one: one[1])
    peak = engine.peak_torque.value
    status = "pass" if least >= factor * peak else ("warn" if least >= peak else "fail")
    says = f"The engine gives {torque(peak)}; the {part} stands {torque(least)}"
    says += f", {least / peak:.2f} times it, wanted {factor:g}."
    return answer(
        "torque-rating", status, says, margin=(least - factor * peak) / 1000, unit="N·m",
        because=("engine.peak_torque", f"{part}.torque_limit"), source=case.source("torque-rating.factor"),
    )  # fmt: skip


def speed_rating(case: Case) -> Answer:
    """Every turning part stands the engine's speed."""
    request = case.sides.request
    if request.engine is None or request.engine.max_speed is None:
        lacks = ("engine.max_speed",)
        return unknown("speed-rating", lacks) if case.sides.whole else NotRun(lacks)
    parts = {
        "gearbox": request.gearbox.max_speed if request.gearbox else None,
        "flywheel": request.flywheel.max_speed if request.flywheel else None,
        "clutch": request.clutch.max_speed if request.clutch else None,
        "flexplate": request.flexplate.max_speed if request.flexplate else None,
    }
    present = {
        "gearbox": request.gearbox,
        "flywheel": request.flywheel,
        "clutch": request.clutch,
        "flexplate": request.flexplate,
    }
    unrated = [
        f"{name}.max_speed"
        for name, part in present.items()
        if part is not None and parts[name] is None
    ]
    known = {name: limit.value for name, limit in parts.items() if limit is not None}
    speed = request.engine.max_speed.value
    slow = {name: limit for name, limit in known.items() if limit < speed}
    if slow:
        name, limit = min(slow.items(), key=lambda one: one[1])
        says = f"The {name} is good for {limit:.0f} rpm, the engine runs to {speed:.0f}."
        return answer(
            "speed-rating",
            "fail",
            says,
            margin=limit - speed,
            unit="rpm",
            because=(f"{name}.max_speed",),
        )
    if unrated:
        return unknown("speed-rating", unrated)
    return answer(
        "speed-rating",
        "pass",
        f"Every part stands {speed:.0f} rpm.",
        margin=min(known.values(), default=speed) - speed,
        unit="rpm",
        because=("engine.max_speed",),
    )


def balance_kind(case: Case) -> Answer:
    """Weights that belong to the engine stay on it."""
    request = case.sides.request
    key, part = (
        ("flexplate", request.flexplate) if request.flexplate else ("flywheel", request.flywheel)
    )
    if request.engine is None or part is None:
        return NotRun(("engine.balance", "flexplate.balance"))
    lacks = [
        name
        for name, value in (
            ("engine.balance", request.engine.balance),
            (f"{key}.balance", part.balance),
        )
        if value is None
    ]
    if lacks:
        return unknown("balance-kind", lacks)
    wanted = "weighted" if request.engine.balance == "external" else "neutral"
    matched = part.balance == wanted
    says = f"The engine is balanced {'with' if wanted == 'weighted' else 'without'} weights on its {key}; this one is {part.balance}."
    return answer(
        "balance-kind",
        "pass" if matched else "fail",
        says,
        because=("engine.balance", f"{key}.balance"),
    )


def spline_identity(case: Case) -> Answer:
    """The disc's splines are the shaft's: count, diameter and, where given, form."""
    request = case.sides.request
    shaft = request.gearbox.shaft if request.gearbox else None
    spline, hub = (
        shaft.spline if shaft else None,
        request.clutch.disc_hub if request.clutch else None,
    )
    if spline is None or hub is None:
        return NotRun(("gearbox.shaft.spline", "clutch.disc_hub"))
    pairs = {
        "gearbox.shaft.spline.count": spline.count, "clutch.disc_hub.count": hub.count,
        "gearbox.shaft.spline.diameter": case.value("gearbox.shaft.spline.diameter"),
        "clutch.disc_hub.diameter": case.value("clutch.disc_hub.diameter"),
    }  # fmt: skip
    lacks = [key for key, value in pairs.items() if value is None]
    if lacks:
        return unknown("spline-identity", lacks)
    a, b = pairs["gearbox.shaft.spline.diameter"] or 0.0, pairs["clutch.disc_hub.diameter"] or 0.0
    apart = abs(a - b)
    if spline.count != hub.count:
        says = f"The shaft has {spline.count} splines, the disc {hub.count}: fit a disc with the gearbox's hub."
        return answer("spline-identity", "fail", says, because=tuple(pairs))
    if (
        apart > 0.5
    ):  # mm: more than two readings of one spline can differ; common practice, no source
        says = f"Same count, but the diameters differ by {case.shown(apart)}: another spline."
        return answer("spline-identity", "fail", says, margin=0.5 - apart, because=tuple(pairs))
    if spline.form and hub.form and spline.form.strip().lower() != hub.form.strip().lower():
        return answer(
            "spline-identity",
            "fail",
            f"Forms differ: {spline.form} and {hub.form}.",
            because=tuple(pairs),
        )
    says = f"{spline.count} splines on {case.shown(a)} both." + (
        "" if spline.form and hub.form else " Try the disc on the shaft: the form was not given."
    )
    return answer("spline-identity", "pass", says, margin=0.5 - apart, because=tuple(pairs))


def converter_circle(case: Case) -> Answer:
    """The converter's lugs match the flexplate, or the flexplate can be drilled for them."""
    request = case.sides.request
    converter = request.gearbox.converter if request.gearbox else None
    if converter is None or request.flexplate is None:
        return NotRun(("gearbox.converter", "flexplate"))
    lugs, plate = converter.circle, request.flexplate.converter_circle
    if lugs is None and plate is None:
        return NotRun(("gearbox.converter.circle", "flexplate.converter_circle"))
    if lugs is None or plate is None:
        keys = (("gearbox.converter.circle", lugs), ("flexplate.converter_circle", plate))
        return unknown("converter-circle", tuple(key for key, value in keys if value is None))
    because = ("gearbox.converter.circle", "flexplate.converter_circle")
    apart = abs(lugs.diameter.first.value - plate.diameter.first.value)
    if lugs.count == plate.count and apart <= 0.5:  # mm on diameter: two readings of one circle
        return answer(
            "converter-circle",
            "pass",
            f"The {lugs.count} lugs meet the flexplate's holes.",
            margin=0.5 - apart,
            because=because,
        )
    size = lugs.hole.first.value if lugs.hole else (lugs.thread.major if lugs.thread else None)
    old = plate.hole.first.value if plate.hole else (plate.thread.major if plate.thread else None)
    if size is None or old is None:
        sizes = (("gearbox.converter.circle.hole", size), ("flexplate.converter_circle.hole", old))
        return unknown("converter-circle", tuple(key for key, one in sizes if one is None))
    web = (
        _best_web(
            lugs.count, lugs.diameter.first.value / 2, plate.count, plate.diameter.first.value / 2
        )
        - (size + old) / 2
    )
    wanted = case.limit("converter-circle.web") * size
    if (outside := case.value("flexplate.outside")) is not None:
        web = min(web, outside / 2 - lugs.diameter.first.value / 2 - size / 2)
    first = f"The lugs ({lugs.count} on {case.shown(lugs.diameter.first.value)}) miss the flexplate's holes ({plate.count} on {case.shown(plate.diameter.first.value)})"
    if web >= wanted:
        return answer(
            "converter-circle",
            "warn",
            f"{first}; it can be drilled for them with a web of {case.shown(web)}. Balance it afterwards.",
            margin=web - wanted,
            because=because,
            source=case.source("converter-circle.web"),
        )
    return answer(
        "converter-circle",
        "fail",
        f"{first}, and drilling it leaves a web of {case.shown(web)}, wanted {case.shown(wanted)}.",
        margin=web - wanted,
        because=because,
        source=case.source("converter-circle.web"),
    )


def _best_web(lugs: int, lug_radius: float, holes: int, hole_radius: float) -> float:
    """Greatest least distance between centres of two equally spaced circles [mm]."""
    angle = math.pi / math.lcm(lugs, holes)
    return math.sqrt(
        lug_radius**2 + hole_radius**2 - 2 * lug_radius * hole_radius * math.cos(angle)
    )


def dimension_agreement(case: Case) -> Answer:
    """Two readings of one dimension agree within their instruments."""
    several = [one for one in case.sides.lengths.values() if one.readings > 1]
    if not several:
        return NotRun(("a second reading of any dimension",))
    apart = [one for one in several if one.disagree]
    if not apart:
        return answer(
            "dimension-agreement",
            "pass",
            f"{len(several)} dimensions read more than once agree.",
            because=tuple(o.key for o in several),
        )
    names = ", ".join(
        f"{one.key} (± {both(one.within, first=one.unit)} as it stands)" for one in apart
    )
    if all(one.chosen for one in apart):
        return answer(
            "dimension-agreement",
            "warn",
            f"Readings differ by more than their instruments, one was chosen by hand: {names}.",
            because=tuple(o.key for o in apart),
        )
    return answer(
        "dimension-agreement",
        "fail",
        f"Readings differ by more than their instruments: {names}. Measure again.",
        because=tuple(o.key for o in apart),
    )


KEY_DIMENSIONS = (
    "engine.drive.standoff", "gearbox.converter.seat_depth", "flexplate.offset", "flywheel.height",
    "clutch.fingers", "gearbox.release.retracted", "gearbox.shaft.reach", "gearbox.driven.position",
)  # fmt: skip


def identified_by_measurement(case: Case) -> Answer:
    """The key dimensions were measured on the parts, not copied."""
    present = [case.sides.lengths[key] for key in KEY_DIMENSIONS if key in case.sides.lengths]
    if not present:
        return NotRun(KEY_DIMENSIONS[:2])
    copied = [one for one in present if one.source in ("guess", "catalogue", "drawing")]
    if copied:
        names = ", ".join(f"{one.key} ({one.source})" for one in copied)
        return answer(
            "identified-by-measurement",
            "warn",
            f"Measure on the parts before cutting: {names}.",
            because=tuple(o.key for o in copied),
        )
    return answer(
        "identified-by-measurement",
        "pass",
        "The key dimensions were measured.",
        because=tuple(o.key for o in present),
    )


CHECKS = {
    "rotation": rotation,
    "torque-rating": torque_rating,
    "speed-rating": speed_rating,
    "balance-kind": balance_kind,
    "spline-identity": spline_identity,
    "converter-circle": converter_circle,
    "dimension-agreement": dimension_agreement,
    "identified-by-measurement": identified_by_measurement,
}
