"""Checks of the input shaft, the clutch and its release."""

from __future__ import annotations

from wizard.engine.axial.needs import wanted_band
from wizard.engine.checks.case import FLAT, Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.measure import clearance, measure, missing_sizes, over, rests, spread


def tip_engagement(case: Case) -> Answer:
    """The shaft's tip reaches far enough into its bush."""
    if case.sides.request.pilot is None and case.chain and "tip_engagement" in case.chain.lacks:
        return unknown(
            "tip-engagement", ("pilot",),
            "What takes the shaft's tip is not given: bush or bearing, its place and width.",
        )  # fmt: skip
    reach = measure(case, "tip-engagement", "tip_engagement", "gearbox.shaft.tip")
    if not isinstance(reach, float):
        return reach
    width = case.value("pilot.bush_width") or case.value("pilot.depth") or 0.0
    wanted = case.limit("tip-engagement.bush_share") * width
    taken = (
        ""
        if case.value("pilot.bush_width")
        else " (bush width not given: the depth of the hole was taken)"
    )
    shown = case.shown(reach, spread(case, "tip_engagement"))
    says = f"The tip sits in its bush over {shown}, wanted {case.shown(wanted)}{taken}."
    if reach <= 0:
        says = f"The tip does not reach its bush: {case.shown(-reach)} short. Extend the bush or move it back."
    return answer(
        "tip-engagement", graded(reach, fail=wanted), says, margin=reach - wanted,
        because=rests(case, "tip_engagement"), source=case.source("tip-engagement.bush_share"),
    )  # fmt: skip


def tip_bottoming(case: Case) -> Answer:
    """The shaft does not touch the bottom of the hole in front of it."""
    return clearance(
        case, "tip-bottoming", "tip_bottom", "gearbox.shaft.tip",
        noun="Before the shaft's end is left", fail="tip-bottoming.fail", warn="tip-bottoming.warn",
    )  # fmt: skip


def tip_shoulder(case: Case) -> Answer:
    """The shoulder behind the tip clears the bush."""
    return clearance(
        case, "tip-shoulder", "tip_shoulder", "gearbox.shaft.tip",
        noun="Between the tip's shoulder and the bush is left",
        fail="tip-shoulder.fail", warn="tip-shoulder.warn",
    )  # fmt: skip


def spline_overlap(case: Case) -> Answer:
    """The disc's hub sits on full splines over its length."""
    overlap = measure(case, "spline-overlap", "spline_overlap", "clutch.disc_hub")
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
        because=rests(case, "spline_overlap"), source=case.source("spline-overlap.fail"),
    )  # fmt: skip


def disc_hub_clears(case: Case) -> Answer:
    """The disc's hub clears the flywheel's screw heads."""
    if case.sides.request.clutch is None or case.sides.request.clutch.disc_hub is None:
        return NotRun(("clutch.disc_hub",))
    if case.value("flywheel.bolt_heads") is None:
        return unknown("disc-hub-clears", ("flywheel.bolt_heads",))
    return clearance(
        case, "disc-hub-clears", "disc_hub_clearance", "flywheel.bolt_heads",
        noun="Between the disc's hub and the screw heads is left",
        fail="disc-hub-clears.least", warn="disc-hub-clears.least",
    )  # fmt: skip


def release_gap(case: Case) -> Answer:
    """Room between the release bearing fully back and the clutch's fingers."""
    gap = measure(case, "release-gap", "release_gap", "gearbox.release")
    if not isinstance(gap, float):
        return gap
    band = wanted_band(case.sides)
    assert band is not None
    low, high = band[1]
    release = case.sides.request.gearbox.release if case.sides.request.gearbox else None
    constant = release is not None and release.kind == "constant contact"
    shown = case.shown(-gap if constant else gap, spread(case, "release_gap"))
    edges = (-high, -low) if constant else (low, high)
    noun = "bearing is pressed together by" if constant else "gap to the fingers is"
    status = graded(over(gap, low=low, high=high), fail=low - high, warn=0.0)
    if gap <= FLAT and not constant:
        status = "fail"
    says = f"The release {noun} {shown}, wanted {case.shown(edges[0])} to {case.shown(edges[1])}."
    clutch = case.sides.request.clutch
    wear = case.value("clutch.wear")
    margin = over(gap, low=low, high=high)
    if wear is not None and clutch is not None and clutch.acts == "push" and not constant:
        margin = min(margin, gap - wear)
        if gap <= wear + FLAT:
            status = "fail"
            says += f" Wear of the disc takes {case.shown(wear)}: no gap is left."
    return answer(
        "release-gap", status, says, margin=margin,
        because=rests(case, "release_gap"), source=case.source("release-gap.single"),
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
        return unknown("release-travel", lacks or missing_sizes(case))
    stroke, travel = (
        case.value("gearbox.release.stroke") or 0.0,
        case.value("gearbox.release.travel") or 0.0,
    )
    room = travel - case.limit("release-travel.reserve") - max(gap, 0.0) - stroke
    says = f"Of the bearing's travel {case.shown(room)} is left after gap, stroke and reserve."
    return answer(
        "release-travel", graded(room, fail=0.0), says, margin=room,
        because=("gearbox.release.stroke", "gearbox.release.travel", *rests(case, "release_gap")),
        source=case.source("release-travel.reserve"),
    )  # fmt: skip


CHECKS = {
    "tip-engagement": tip_engagement,
    "tip-bottoming": tip_bottoming,
    "tip-shoulder": tip_shoulder,
    "spline-overlap": spline_overlap,
    "disc-hub-clears": disc_hub_clears,
    "release-gap": release_gap,
    "release-travel": release_travel,
}
