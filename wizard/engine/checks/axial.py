"""Axial checks: does everything meet, reach and clear along the shaft?"""

from __future__ import annotations

from wizard.engine.axial.measures import ring_key
from wizard.engine.axial.needs import CHECK_OF, plate_floors, wanted_band
from wizard.engine.checks.case import Answer, Case, NotRun, answer, graded, unknown


def _axial(case: Case, id: str, name: str, part: str) -> float | Answer:
    """The measure a check is about, or why it cannot be judged."""
    chain = case.chain
    if chain is None or (name not in chain.values and name not in chain.lacks):
        if chain is not None and name in chain.rests_on:
            return unknown(id, _missing_sizes(case))
        return NotRun((part,))
    if name in chain.lacks:
        return unknown(id, chain.lacks[name])
    return chain.values[name]


def _missing_sizes(case: Case) -> tuple[str, ...]:
    """Why no adapter length is at hand: what the chain that closes it lacks."""
    band = wanted_band(case.sides)
    if case.chain is not None and band is not None and band[0] in case.chain.lacks:
        return case.chain.lacks[band[0]]
    return ("choices.spacer",)


def _rests(case: Case, name: str) -> tuple[str, ...]:
    return case.chain.rests_on.get(name, ()) if case.chain else ()


def _spread(case: Case, name: str) -> float:
    return case.chain.uncertain.get(name, 0.0) if case.chain else 0.0


def _over(value: float, low: float, high: float) -> float:
    """Distance to the nearest edge of a band, + inside."""
    return min(value - low, high - value)


def converter_gap(case: Case) -> Answer:
    """Gap between the seated lugs and the flexplate before bolting up."""
    if case.sides.kind != "converter":
        return NotRun(("gearbox.converter",))
    gap = _axial(case, "converter-gap", "gap", "gearbox.converter")
    if not isinstance(gap, float):
        return gap
    band = wanted_band(case.sides)
    assert band is not None
    low, high = band[1]
    shown = case.shown(gap, _spread(case, "gap"))
    box = case.sides.request.gearbox
    preset = bool(box and box.converter and box.converter.hold == "preset")
    noun = "deflection of the rim" if preset else "gap of the seated converter"
    status, says = "pass", f"The {noun} is {shown}, wanted {case.shown(low)} to {case.shown(high)}."
    if gap <= 0:
        status = "fail"
        says = f"No gap is left ({shown}): bolting up would press the converter into the pump."
    elif preset:
        status = graded(gap, fail=0.0, warn=low)
    elif gap < case.limit("converter-gap.close") and case.sides.chosen.stage == "start":
        status = "fail"
    elif gap > case.limit("converter-gap.wide") and not _lugs_hold(case):
        status = "fail"
        says = f"The gap is {shown}: too wide unless the lugs are proven to stay in the pump gear."
    elif not low - 1e-9 <= gap <= high + 1e-9:
        status = "warn"
    return answer(
        "converter-gap", status, says, margin=_over(gap, low, high),
        because=_rests(case, "gap"), source=case.source("converter-gap.low"),
    )  # fmt: skip


def _lugs_hold(case: Case) -> bool:
    found = pump_lug_overlap(case)
    return not isinstance(found, NotRun) and found.status == "pass"


def flange_position(case: Case) -> Answer:
    """Where the adapter's driven face comes against a rigid driven flange."""
    if case.sides.kind != "flange":
        return NotRun(("gearbox.driven",))
    off = _axial(case, "flange-position", "flange_offset", "gearbox.driven")
    if not isinstance(off, float):
        return off
    band = wanted_band(case.sides)
    assert band is not None
    low, high = band[1]
    status = graded(_over(off, low, high), fail=0.0)
    says = (
        f"The driven face stands {case.shown(off, _spread(case, 'flange_offset'))} from where the "
        f"driven flange wants it, allowed {case.shown(low)} to {case.shown(high)}."
    )
    return answer(
        "flange-position", status, says, margin=_over(off, low, high),
        because=_rests(case, "flange_offset"), source="the allowance of the driven part",
    )  # fmt: skip


def spacer_length(case: Case) -> Answer:
    """The rotating adapter is either not needed or long enough to be made."""
    chain = case.chain
    if chain is None or (not case.sides.kind and case.sides.driving is None):
        return NotRun(("engine.drive",))
    if chain.spacer is None:
        return unknown("spacer-length", _missing_sizes(case))
    length, least = chain.spacer, case.limit("spacer-length.least")
    if abs(length) < 1e-9:
        return answer("spacer-length", "pass", "No rotating adapter is needed.", margin=0.0)
    status = "fail" if length < 0 or length > case.limit("spacer-length.most") else graded(
        length, fail=0.0, warn=least
    )  # fmt: skip
    says = f"The rotating adapter comes out {case.shown(length)} long."
    if length < 0:
        says = f"The driving face stands {case.shown(-length)} too far back: no adapter can be that short."
    elif status == "warn":
        says += f" Under {case.shown(least)} there is no room for register and screw lead."
    return answer(
        "spacer-length", status, says, margin=length - (least if length >= 0 else 0.0),
        because=_rests(case, (wanted_band(case.sides) or ("",))[0]),
        source=case.source("spacer-length.least"),
    )  # fmt: skip


def nose_engagement(case: Case) -> Answer:
    """The converter's nose stays in its pilot, bolted up and seated."""
    reach = _axial(case, "nose-engagement", "nose_engagement", "gearbox.converter.hub")
    if not isinstance(reach, float):
        return reach
    assert case.chain is not None
    if case.adapter.pilot is None:
        lacks = (
            ["gearbox.converter.hub.diameter"]
            if case.value("gearbox.converter.hub.diameter") is None
            else []
        )
        if lacks:
            return unknown("nose-engagement", lacks)
        return answer(
            "nose-engagement", "fail",
            "Nothing takes the converter's nose: the crank has no bore of its own and no adapter "
            "carries one. Give the crank's bore, or make a sleeve.", margin=-reach,
            because=("engine.drive.pilot",),
        )  # fmt: skip
    least = case.limit("nose-engagement.least")
    seated = case.chain.values.get("nose_seated")
    by = case.adapter.pilot.carried_by
    says = f"The nose enters its bore in the {by} by {case.shown(reach, _spread(case, 'nose_engagement'))}"
    status, margin = graded(reach, fail=least), reach - least
    if seated is not None:
        says += f", {case.shown(seated)} while the converter is still home"
        if seated <= 0:
            status, margin = "fail", min(margin, seated)
    says += "." if status == "pass" else (
        f"; it needs {case.shown(least)}. Bore the adapter for it, sleeve it, or lengthen the nose."
    )  # fmt: skip
    return answer(
        "nose-engagement", status, says, margin=margin, because=_rests(case, "nose_engagement"),
        source=case.source("nose-engagement.least"),
    )  # fmt: skip


def _clearance(
    case: Case, id: str, name: str, part: str, *, noun: str, fail: str, warn: str
) -> Answer:
    """A clearance with a level to warn at and one to fail at."""
    room = _axial(case, id, name, part)
    if not isinstance(room, float):
        return room
    hard, soft = case.limit(fail), case.limit(warn)
    status = graded(room, fail=hard, warn=soft)
    if hard == 0 and room <= 0:
        status = "fail"
    wanted = "" if status == "pass" else f", wanted {case.shown(soft)}"
    says = f"{noun} {case.shown(room, _spread(case, name))}{wanted}."
    return answer(
        id, status, says, margin=room - hard, because=_rests(case, name), source=case.source(warn)
    )


def nose_bottoming(case: Case) -> Answer:
    """The nose does not touch the bottom of its bore."""
    return _clearance(
        case, "nose-bottoming", "nose_bottom", "gearbox.converter.hub",
        noun="Below the nose is left", fail="nose-bottoming.fail", warn="nose-bottoming.warn",
    )  # fmt: skip


def pump_lug_overlap(case: Case) -> Answer:
    """The converter's lugs stay in the pump gear when it comes forward."""
    overlap = _axial(case, "pump-lug-overlap", "pump_lug_overlap", "gearbox.converter.pump_lug")
    if not isinstance(overlap, float):
        return overlap
    least = case.limit("pump-lug-overlap.least")
    gear = case.value("gearbox.converter.pump_lug.gear")
    if gear is None:
        return unknown("pump-lug-overlap", ("gearbox.converter.pump_lug.gear",))
    wanted = max(least, case.limit("pump-lug-overlap.gear_share") * gear)
    says = f"Bolted up, the lugs overlap the pump gear by {case.shown(overlap)}, wanted {case.shown(wanted)}."
    return answer(
        "pump-lug-overlap", graded(overlap, fail=wanted), says, margin=overlap - wanted,
        because=_rests(case, "pump_lug_overlap"), source=case.source("pump-lug-overlap.least"),
    )  # fmt: skip


def hub_covers_seal(case: Case) -> Answer:
    """The hub's land covers bush and seal lip from fully home to pulled forward.

    The land is measured from the lug faces, + toward the gearbox.
    """
    request = case.sides.request
    box = request.gearbox
    if box is None or box.pump is None or box.converter is None:
        return NotRun(("gearbox.pump",))
    needed = {
        "gearbox.converter.hub.land": ("gearbox.converter.hub.land.low", "gearbox.converter.hub.land.high"),
        "gearbox.pump.bush": ("gearbox.pump.bush.low", "gearbox.pump.bush.high"),
        "gearbox.pump.lip": ("gearbox.pump.lip",),
        "gearbox.converter.seat_depth": ("gearbox.converter.seat_depth",),
    }  # fmt: skip
    lacks = [name for name, keys in needed.items() if any(case.value(key) is None for key in keys)]
    gap = case.chain.values.get("gap") if case.chain else None
    if lacks or gap is None:
        return unknown("hub-covers-seal", lacks or _missing_sizes(case))
    seat = case.value("gearbox.converter.seat_depth") or 0.0
    front = seat + (case.value("gearbox.converter.hub.land.low") or 0.0)
    rear = seat - gap + (case.value("gearbox.converter.hub.land.high") or 0.0)
    edges = [
        case.value(key) or 0.0
        for key in ("gearbox.pump.bush.low", "gearbox.pump.bush.high", "gearbox.pump.lip")
    ]
    margin = min(min(edges) - front, rear - max(edges))
    says = (
        f"The hub's land covers bush and lip with {case.shown(margin)} to spare."
        if margin >= 0
        else f"The hub's land misses bush or lip by {case.shown(-margin)} somewhere between home and bolted up."
    )
    return answer(
        "hub-covers-seal", graded(margin, fail=0.0), says, margin=margin,
        because=("gearbox.converter.hub.land", "gearbox.pump.bush", "gearbox.pump.lip"),
    )  # fmt: skip


def tip_engagement(case: Case) -> Answer:
    """The shaft's tip reaches far enough into its bush."""
    if case.sides.request.pilot is None and case.chain and "tip_engagement" in case.chain.lacks:
        return unknown(
            "tip-engagement", ("pilot",),
            "What takes the shaft's tip is not given: bush or bearing, its place and width.",
        )  # fmt: skip
    reach = _axial(case, "tip-engagement", "tip_engagement", "gearbox.shaft.tip")
    if not isinstance(reach, float):
        return reach
    width = case.value("pilot.bush_width") or case.value("pilot.depth") or 0.0
    wanted = case.limit("tip-engagement.bush_share") * width
    taken = (
        ""
        if case.value("pilot.bush_width")
        else " (bush width not given: the depth of the hole was taken)"
    )
    shown = case.shown(reach, _spread(case, "tip_engagement"))
    says = f"The tip sits in its bush over {shown}, wanted {case.shown(wanted)}{taken}."
    if reach <= 0:
        says = f"The tip does not reach its bush: {case.shown(-reach)} short. Extend the bush or move it back."
    return answer(
        "tip-engagement", graded(reach, fail=wanted), says, margin=reach - wanted,
        because=_rests(case, "tip_engagement"), source=case.source("tip-engagement.bush_share"),
    )  # fmt: skip


def tip_bottoming(case: Case) -> Answer:
    """The shaft does not touch the bottom of the hole in front of it."""
    return _clearance(
        case, "tip-bottoming", "tip_bottom", "gearbox.shaft.tip",
        noun="Before the shaft's end is left", fail="tip-bottoming.fail", warn="tip-bottoming.warn",
    )  # fmt: skip


def tip_shoulder(case: Case) -> Answer:
    """The shoulder behind the tip clears the bush."""
    return _clearance(
        case, "tip-shoulder", "tip_shoulder", "gearbox.shaft.tip",
        noun="Between the tip's shoulder and the bush is left",
        fail="tip-shoulder.fail", warn="tip-shoulder.warn",
    )  # fmt: skip


def fastener_clears(case: Case) -> Answer:
    """Heads and nuts on the flexplate's engine side clear plate and block."""
    block = _axial(case, "fastener-clears", "heads_to_block", "flexplate.bolt_heads")
    if not isinstance(block, float):
        return block
    assert case.chain is not None
    room = block
    where = "block"
    if not _inside_opening(case):
        plate = case.chain.values.get("heads_to_plate", block)
        room, where = min((block, "block"), (plate, "plate"))
    least = case.limit("fastener-clears.least")
    says = f"Behind the flexplate its heads or nuts clear the {where} by {case.shown(room)}."
    return answer(
        "fastener-clears", graded(room, fail=least), says, margin=room - least,
        because=_rests(case, "heads_to_block"), source=case.source("fastener-clears.least"),
    )  # fmt: skip


def _inside_opening(case: Case) -> bool:
    """The lug circle's heads turn inside the plate's opening."""
    plate = case.part("adapter plate")
    flexplate = case.sides.request.flexplate
    circle = flexplate.converter_circle if flexplate else None
    if plate is None or circle is None or "bore" not in plate.size:
        return plate is None
    head = 2 * (circle.hole.first.value if circle.hole else 0.0)
    return plate.size["bore"] >= circle.diameter.first.value + head


def spline_overlap(case: Case) -> Answer:
    """The disc's hub sits on full splines over its length."""
    overlap = _axial(case, "spline-overlap", "spline_overlap", "clutch.disc_hub")
    if not isinstance(overlap, float):
        return overlap
    front, rear = case.value("clutch.disc_hub.front"), case.value("clutch.disc_hub.rear")
    assert front is not None
    assert rear is not None
    hub = rear - front
    share = overlap / hub if hub > 0 else 0.0
    hard, soft = case.limit("spline-overlap.fail"), case.limit("spline-overlap.warn")
    says = f"{max(share, 0):.0%} of the disc's hub ({case.shown(hub)}) is on the splines."
    return answer(
        "spline-overlap", graded(share, fail=hard, warn=soft), says, margin=overlap - hard * hub,
        because=_rests(case, "spline_overlap"), source=case.source("spline-overlap.fail"),
    )  # fmt: skip


def disc_hub_clears(case: Case) -> Answer:
    """The disc's hub clears the flywheel's screw heads."""
    if case.sides.request.clutch is None or case.sides.request.clutch.disc_hub is None:
        return NotRun(("clutch.disc_hub",))
    if case.value("flywheel.bolt_heads") is None:
        return unknown("disc-hub-clears", ("flywheel.bolt_heads",))
    return _clearance(
        case, "disc-hub-clears", "disc_hub_clearance", "flywheel.bolt_heads",
        noun="Between the disc's hub and the screw heads is left",
        fail="disc-hub-clears.least", warn="disc-hub-clears.least",
    )  # fmt: skip


def release_gap(case: Case) -> Answer:
    """Room between the release bearing fully back and the clutch's fingers."""
    gap = _axial(case, "release-gap", "release_gap", "gearbox.release")
    if not isinstance(gap, float):
        return gap
    band = wanted_band(case.sides)
    assert band is not None
    low, high = band[1]
    release = case.sides.request.gearbox.release if case.sides.request.gearbox else None
    constant = release is not None and release.kind == "constant contact"
    shown = case.shown(-gap if constant else gap, _spread(case, "release_gap"))
    edges = (-high, -low) if constant else (low, high)
    noun = "bearing is pressed together by" if constant else "gap to the fingers is"
    status = graded(_over(gap, low, high), fail=low - high, warn=0.0)
    if gap <= 0 and not constant:
        status = "fail"
    says = f"The release {noun} {shown}, wanted {case.shown(edges[0])} to {case.shown(edges[1])}."
    clutch = case.sides.request.clutch
    wear = case.value("clutch.wear")
    worn_out = wear is not None and clutch is not None and clutch.acts == "push" and gap <= wear
    if worn_out and not constant:
        status = "fail"
        says += f" Wear of the disc takes {case.shown(wear or 0.0)}: no gap is left."
    return answer(
        "release-gap", status, says, margin=_over(gap, low, high),
        because=_rests(case, "release_gap"), source=case.source("release-gap.single"),
    )  # fmt: skip


def release_travel(case: Case) -> Answer:
    """Gap and stroke together fit into the release bearing's travel."""
    release = case.sides.request.gearbox.release if case.sides.request.gearbox else None
    if release is None:
        return NotRun(("gearbox.release",))
    lacks = [
        key
        for key in ("gearbox.release.stroke", "gearbox.release.travel")
        if case.value(key) is None
    ]
    gap = case.chain.values.get("release_gap") if case.chain else None
    if lacks or gap is None:
        return unknown("release-travel", lacks or _missing_sizes(case))
    stroke, travel = (
        case.value("gearbox.release.stroke") or 0.0,
        case.value("gearbox.release.travel") or 0.0,
    )
    room = travel - case.limit("release-travel.reserve") - max(gap, 0.0) - stroke
    says = f"Of the bearing's travel {case.shown(room)} is left after gap, stroke and reserve."
    return answer(
        "release-travel", graded(room, fail=0.0), says, margin=room,
        because=("gearbox.release.stroke", "gearbox.release.travel", *_rests(case, "release_gap")),
        source=case.source("release-travel.reserve"),
    )  # fmt: skip


def pinion_overlap(case: Case) -> Answer:
    """The starter's pinion meets the ring gear over enough of its face."""
    if case.sides.request.engine is None or case.sides.request.engine.starter is None:
        return NotRun(("engine.starter",))
    overlap = _axial(case, "pinion-overlap", "pinion_overlap", "engine.drive.ring")
    if isinstance(overlap, NotRun):
        return unknown("pinion-overlap", overlap.lacks)
    if not isinstance(overlap, float):
        return overlap
    face = case.value(f"{ring_key(case.sides)}.face") or 0.0
    wanted = case.limit("pinion-overlap.face_share") * face
    says = f"Fully out, the pinion covers {case.shown(max(overlap, 0.0))} of a {case.shown(face)} ring."
    return answer(
        "pinion-overlap", graded(overlap, fail=wanted), says, margin=overlap - wanted,
        because=_rests(case, "pinion_overlap"), source=case.source("pinion-overlap.face_share"),
    )  # fmt: skip


def pinion_rest_gap(case: Case) -> Answer:
    """At rest the pinion stands clear of the ring, and not too far."""
    gap = _axial(case, "pinion-rest-gap", "pinion_rest_gap", "engine.starter")
    if not isinstance(gap, float):
        return gap
    low, high = case.limit("pinion-rest-gap.low"), case.limit("pinion-rest-gap.high")
    hard = case.limit("pinion-rest-gap.fail")
    status = "fail" if gap < hard else ("pass" if low <= gap <= high else "warn")
    says = f"At rest the pinion stands {case.shown(gap)} off the ring, usual {case.shown(low)} to {case.shown(high)}."
    return answer(
        "pinion-rest-gap", status, says, margin=gap - hard, because=_rests(case, "pinion_rest_gap"),
        source=case.source("pinion-rest-gap.low"),
    )  # fmt: skip


def plate_thickness(case: Case) -> Answer:
    """The plate's thickness lies in the range that works."""
    chain = case.chain
    if chain is None or chain.plate is None:
        return NotRun(("engine.face", "gearbox.face"))
    if chain.limits is None:
        names = " against ".join(dict.fromkeys(one.check for one in chain.conflict))
        short = chain.conflict[0].short_by if chain.conflict else 0.0
        return answer(
            "plate-thickness", "fail",
            f"No plate does: {names or 'the requirements'} contradict by {case.shown(short)}.",
            margin=-short, because=tuple(dict.fromkeys(k for one in chain.conflict for k in one.cures)),
        )  # fmt: skip
    low, high = chain.limits.least, chain.limits.most
    margin = min(chain.plate - low, high - chain.plate)
    says = (
        f"A {case.shown(chain.plate)} plate; what works runs from {case.shown(low)} "
        f"({chain.limits.binds_least}) to {case.shown(high)} ({chain.limits.binds_most})."
    )
    return answer(
        "plate-thickness", graded(margin, fail=0.0), says, margin=margin,
        because=tuple(name for name, *_ in plate_floors(case.sides, warn=False)),
    )  # fmt: skip


def tail_shift(case: Case) -> Answer:
    """How far the output flange moves."""
    shift = _axial(case, "tail-shift", "tail_shift", "installation")
    if not isinstance(shift, float):
        return shift
    allowed = case.value("installation.allowance")
    says = f"The output flange moves back by {case.shown(shift)}."
    if allowed is None:
        return answer(
            "tail-shift",
            "warn",
            says + " No allowance of the driveshaft was given.",
            because=("installation.allowance",),
        )
    margin = allowed - abs(shift)
    return answer(
        "tail-shift", graded(margin, fail=0.0), f"{says} The driveshaft allows {case.shown(allowed)}.",
        margin=margin, because=("installation.allowance", *_rests(case, "tail_shift")),
    )  # fmt: skip


CHECKS = {
    "converter-gap": converter_gap, "flange-position": flange_position,
    "spacer-length": spacer_length, "nose-engagement": nose_engagement,
    "nose-bottoming": nose_bottoming, "pump-lug-overlap": pump_lug_overlap,
    "hub-covers-seal": hub_covers_seal, "tip-engagement": tip_engagement,
    "tip-bottoming": tip_bottoming, "tip-shoulder": tip_shoulder,
    "fastener-clears": fastener_clears, "spline-overlap": spline_overlap,
    "disc-hub-clears": disc_hub_clears, "release-gap": release_gap,
    "release-travel": release_travel, "pinion-overlap": pinion_overlap,
    "pinion-rest-gap": pinion_rest_gap, "plate-thickness": plate_thickness,
    "tail-shift": tail_shift,
}  # fmt: skip
assert set(CHECK_OF.values()) <= set(CHECKS)
