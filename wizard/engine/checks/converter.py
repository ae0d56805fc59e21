"""Checks of the converter: gap, nose, pump."""

from __future__ import annotations

from wizard.engine.axial.measures import span_asked
from wizard.engine.axial.needs import wanted_band
from wizard.engine.checks.case import FLAT, Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.measure import clearance, measure, missing_sizes, over, rests, spread


def converter_gap(case: Case) -> Answer:
    """Gap between the seated lugs and the flexplate before bolting up."""
    if case.sides.kind != "converter" or not span_asked(case.sides):
        return NotRun(("gearbox.converter",))
    gap = measure(case, "converter-gap", "gap", "gearbox.converter")
    if not isinstance(gap, float):
        return gap
    band = wanted_band(case.sides)
    assert band is not None
    low, high = band[1]
    shown = case.shown(gap, spread(case, "gap"))
    box = case.sides.request.gearbox
    preset = bool(box and box.converter and box.converter.hold == "preset")
    noun = "deflection of the rim" if preset else "gap of the seated converter"
    status, says = "pass", f"The {noun} is {shown}, wanted {case.shown(low)} to {case.shown(high)}."
    if gap <= FLAT:
        status = "fail"
        says = f"No gap is left ({shown}): bolting up would press the converter into the pump."
    elif preset:
        status = graded(gap, fail=0.0, warn=low)
    elif gap < case.limit("converter-gap.close") - FLAT and case.sides.chosen.stage == "start":
        status = "fail"
    elif gap > case.limit("converter-gap.wide") + FLAT and not _lugs_hold(case):
        status = "fail"
        says = f"The gap is {shown}: too wide unless the lugs are proven to stay in the pump gear."
    elif not low - FLAT <= gap <= high + FLAT:
        status = "warn"
    return answer(
        "converter-gap", status, says, margin=gap - low if preset else over(gap, low=low, high=high),
        because=rests(case, "gap"), source=case.source("converter-gap.low"),
    )  # fmt: skip


def _lugs_hold(case: Case) -> bool:
    found = pump_lug_overlap(case)
    return not isinstance(found, NotRun) and found.status == "pass"


def nose_engagement(case: Case) -> Answer:
    """The converter's nose stays in its pilot, bolted up and seated."""
    reach = measure(case, "nose-engagement", "nose_engagement", "gearbox.converter.hub")
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
        if case.chain.spacer is None:
            return unknown("nose-engagement", missing_sizes(case))
        return answer(
            "nose-engagement", "fail",
            "Nothing takes the converter's nose: the crank has no bore of its own and no adapter "
            "carries one. Give the crank's bore, or make a sleeve.",
            because=("engine.drive.pilot",),
        )  # fmt: skip
    least = case.limit("nose-engagement.least")
    seated = case.chain.values.get("nose_seated")
    by = case.adapter.pilot.carried_by
    how_far = case.shown(abs(reach), spread(case, "nose_engagement"))
    says = f"The nose enters its bore in the {by} by {how_far}"
    if reach < 0:
        says = f"The nose stops {how_far} short of its bore in the {by}"
    status, margin = graded(reach, fail=least), reach - least
    if seated is not None:
        deep = f"{case.shown(abs(seated))}{' short' if seated < 0 else ''}"
        says += f", {deep} while the converter is still home"
        if seated <= FLAT:
            status, margin = "fail", min(margin, seated)
    says += "." if status == "pass" else (
        f"; it needs {case.shown(least)}. Bore the adapter for it, sleeve it, or lengthen the nose."
    )  # fmt: skip
    return answer(
        "nose-engagement", status, says, margin=margin, because=rests(case, "nose_engagement"),
        source=case.source("nose-engagement.least"),
    )  # fmt: skip


def nose_bottoming(case: Case) -> Answer:
    """The nose does not touch the bottom of its bore."""
    return clearance(
        case, "nose-bottoming", "nose_bottom", "gearbox.converter.hub",
        noun="Below the nose is left", fail="nose-bottoming.fail", warn="nose-bottoming.warn",
    )  # fmt: skip


def pump_lug_overlap(case: Case) -> Answer:
    """The converter's lugs stay in the pump gear when it comes forward."""
    overlap = measure(case, "pump-lug-overlap", "pump_lug_overlap", "gearbox.converter.pump_lug")
    if isinstance(overlap, NotRun) and case.sides.kind == "converter" and span_asked(case.sides):
        return unknown("pump-lug-overlap", ("gearbox.converter.pump_lug.seated",))
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
        because=rests(case, "pump_lug_overlap"), source=case.source("pump-lug-overlap.least"),
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
        return unknown("hub-covers-seal", lacks or missing_sizes(case))
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


def fastener_clears(case: Case) -> Answer:
    """Heads and nuts on the flexplate's engine side clear plate and block."""
    block = measure(case, "fastener-clears", "heads_to_block", "flexplate.bolt_heads")
    if isinstance(block, NotRun) and _flexplate_behind(case):
        return unknown("fastener-clears", block.lacks)
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
        because=rests(case, "heads_to_block"), source=case.source("fastener-clears.least"),
    )  # fmt: skip


def _flexplate_behind(case: Case) -> bool:
    """A flexplate carries a converter whose place along the shaft is asked for."""
    sides = case.sides
    return sides.kind == "converter" and sides.request.flexplate is not None and span_asked(sides)


def _inside_opening(case: Case) -> bool:
    """The lug circle's heads turn inside the plate's opening."""
    plate = case.plates[-1] if case.plates else None
    flexplate = case.sides.request.flexplate
    circle = flexplate.converter_circle if flexplate else None
    if plate is None or circle is None or "bore" not in plate.size:
        return plate is None
    head = 2 * (circle.hole.first.value if circle.hole else 0.0)
    return plate.size["bore"] >= circle.diameter.first.value + head


CHECKS = {
    "converter-gap": converter_gap,
    "nose-engagement": nose_engagement,
    "nose-bottoming": nose_bottoming,
    "pump-lug-overlap": pump_lug_overlap,
    "hub-covers-seal": hub_covers_seal,
    "fastener-clears": fastener_clears,
}
