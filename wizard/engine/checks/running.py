"""Checks of how true it runs, whether it goes together, and what speed does to it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kb.errors import NotTabulated
from kb.model.lineup import Pattern
from kb.model.parts import Part, PartHole
from kb.rules.loader import layout, turning_offset
from kb.standards.bolts import grade as bolt_grade
from kb.standards.housings import housing, names
from kb.standards.materials import Material
from kb.standards.threads import sizes
from wizard.engine.checks.case import Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.faces import undrawn
from wizard.engine.faces import material_of
from wizard.engine.formulas.balance import grade_reached, offset_unbalance, permissible_unbalance
from wizard.engine.formulas.fastening import (
    chance_screws_enter,
    most_play_tapped,
    most_play_through,
    position_zone,
)
from wizard.engine.formulas.inertia import rim_load_mean_hoop, rim_load_peak_hoop
from wizard.engine.formulas.joints import screws_friction_radius, shear_force, shear_strength
from wizard.engine.formulas.rotating import mean_hoop_stress, peak_hoop_stress
from wizard.engine.parts.post_layout import Strength, lay_out, outward_pull, strength
from wizard.engine.parts.truth import DRAWS, dowelled, offsets

TURNING = ("spacer ring", "carrier disc", "spindle")
SAME_BORE = 1.0  # mm, apart at most: a bore measured and the SAE bore it is
MATING_ZONE = 0.2  # mm, position zone of a part's own machined holes: common practice, no source


def _turning(case: Case) -> Part | None:
    """The largest part that turns: the ring, or the disc the posts stand on."""
    parts = [one for one in case.adapter.parts if one.name in TURNING]
    return max(parts, key=lambda one: one.size["outside"], default=None)


def predicted_runout(case: Case) -> Answer:
    """The expected runout is within the limit, at the adapter and at the housing."""
    expected = case.adapter.predicted_tir
    if not expected:
        return NotRun(("engine.drive.register", "engine.face.dowels"))
    limits = {
        "driven_register": case.limit("register-tir.drive"),
        "housing": _housing_limit(case),
    }
    margin, worst = min((limits[name] - tir, name) for name, tir in expected.items())
    if margin >= 0 and "driven_register" in expected and (lacks := _driver_runout_lacks(case)):
        says = f"At least {case.shown(expected['driven_register'])} TIR at the adapter's driven register."
        return unknown("predicted-runout", lacks, says)
    where = {"driven_register": "the adapter's driven register", "housing": "the gearbox's housing"}
    says = "; ".join(
        f"{where[name]} {case.shown(tir)} TIR, allowed {case.shown(limits[name])}"
        for name, tir in expected.items()
    )
    says = f"Expected of 95 in 100 made this way: {says}."
    status = graded(margin, fail=-1e9, warn=0.0)
    if status == "warn" and worst == "housing" and not case.sides.chosen.dial_in:
        says += " Bolt the plate up, indicate the bore from the crank, shift it, then ream for the dowels."
    elif status == "warn":
        says += " Turn both registers in one chucking, or choose a closer fit."
    return answer(
        "predicted-runout", status, says, margin=margin, because=("choices.layout", "choices.turning"),
        source=case.source("register-tir.housing"),
    )  # fmt: skip


def _driver_runout_lacks(case: Case) -> tuple[str, ...]:
    """What is not known of how true the driver's own register runs."""
    if case.value("engine.drive.register.diameter") is None:
        return ("engine.drive.register",)
    key = "engine.drive.register_tir"
    return (key,) if case.value(key) is None else ()


def _housing_limit(case: Case) -> float:
    """Runout allowed at the housing: the rule set's, or for heavy drives that of the SAE housing."""
    bore = case.value("engine.face.register.diameter")
    if case.sides.rules.name == "heavy industrial" and bore is not None:
        for name in names("housing"):
            held = housing(name)
            if abs(held.bore[0] - bore) <= SAME_BORE:
                return held.tir
    return case.limit("register-tir.housing")


def who_locates(case: Case) -> Answer:
    """The register locates, wherever it sits in its play; no screw touches first."""
    plays = [fit.play[1] for fit in case.adapter.fits if fit.joint.startswith("spacer")]
    ring, driving = _turning(case), case.sides.driving
    if not plays or ring is None or driving is None:
        return NotRun(("engine.drive.register",))
    zone = position_zone(error=layout(case.sides.chosen.layout).hole * 2)
    margins = [
        (_most_play(case, hole.diameter, screw, zone) - max(plays), hole.id)
        for hole, screw in _screwed(ring, driving)
    ]
    if not margins:
        return NotRun(("engine.drive.circle.thread",))
    margin, id = min(margins)
    says = (
        f"The register has {case.shown(max(plays))} of play; the screws leave {case.shown(margin + max(plays))}."
        if margin >= 0
        else f"At hole {id} the screw touches before the register does, by {case.shown(-margin)}: open the holes."
    )
    return answer(
        "who-locates", graded(margin, fail=0.0), says, margin=margin,
        because=("choices.layout", "engine.drive.register"), source="ASME Y14.5-2009, position tolerance zone",
    )  # fmt: skip


def _most_play(case: Case, hole: float, screw: float, zone: float) -> float:
    """Largest play of the register at which the screws still do not locate [mm]."""
    driving = case.sides.driving
    tapped = driving is not None and driving.holes[0].kind == "tapped"
    most = most_play_tapped if tapped else most_play_through
    return float(most(hole=hole, screw=screw, first_zone=zone, second_zone=MATING_ZONE))


def _screwed(part: Part, pattern: Pattern):  # type: ignore[no-untyped-def]
    """Clear holes of a part with the screw that goes through each."""
    screws = {f"D{one.id}": one.screw.major for one in pattern.holes if one.screw}
    return [(hole, screws[hole.id]) for hole in part.holes if hole.id in screws and not hole.thread]


def bolts_go_in(case: Case) -> Answer:
    """Every screw enters its hole with the way the holes are laid out."""
    if found := undrawn(case, "bolts-go-in"):
        return found
    method = layout(case.sides.chosen.layout)
    chances = []
    ring, driving = _turning(case), case.sides.driving
    mating = MATING_ZONE / 4  # two standard deviations are the radius of the zone
    spread = (method.hole**2 + mating**2) ** 0.5
    if ring is not None and driving is not None and (rows := _screwed(ring, driving)):
        plays = [fit.play[1] for fit in case.adapter.fits if fit.joint.startswith("spacer")]
        room = min((hole.diameter - screw) / 2 for hole, screw in rows)
        chances.append(
            (_enters(len(rows), room, spread, max(plays, default=0.0)), "the rotating adapter")
        )
    for side, face in (("engine", case.sides.engine_face), ("gearbox", case.sides.gearbox_face)):
        rooms = _fixed_rooms(case, side)
        if face is not None and rooms:
            play = method.play if dowelled(face) else 0.0
            chances.append((_enters(len(rooms), min(rooms), spread, play), f"the {side} joint"))
    if not chances:
        return NotRun(("engine.drive.circle", "engine.face.holes"))
    chance, where = min(chances)
    wanted = case.sides.chosen.confidence
    says = f"Laid out by {case.sides.chosen.layout}, all screws of {where} go in with a chance of {chance:.0%}."
    return answer(
        "bolts-go-in", graded(chance, fail=0.5, warn=wanted), says, margin=chance - wanted,
        unit="chance", because=("choices.layout",),
    )  # fmt: skip


SURE = 6.0


def _enters(screws: int, room: float, spread: float, play: float) -> float:
    if room - max(play, 0.0) / 2 > SURE * spread:
        return 1.0  # beyond six standard deviations sampling sees nothing
    return chance_screws_enter(
        screws=screws, room=max(room, 1e-6), spread=spread, play=max(play, 0.0), draws=DRAWS
    )


def _fixed_rooms(case: Case, side: str) -> list[float]:
    """Half the play of each screw in its clear hole, in the plate or in the casting [mm]."""
    face = case.sides.engine_face if side == "engine" else case.sides.gearbox_face
    rooms = []
    plates = {hole.id: hole for part in case.plates for hole in part.holes}
    letter = "E" if side == "engine" else "G"
    for one in face.holes if face else ():
        if one.screw is None:
            continue
        made = plates.get(f"{letter}{one.id}")
        clear = one.diameter if one.kind == "clear" else (made.diameter if made else None)
        if clear is not None and clear > one.screw.major:
            rooms.append((clear - one.screw.major) / 2)
    return rooms


def overspeed(case: Case) -> Answer:
    """The ring stands a quarter more than the engine's speed, with strength to spare."""
    engine, ring = case.sides.request.engine, _turning(case)
    if engine is None or ring is None:
        return NotRun(("choices.spacer",))
    if engine.max_speed is None:
        return unknown("overspeed", ("engine.max_speed",))
    stuff = material_of(case.sides.chosen.spacer_material, key="choices.spacer_material")
    if stuff.yield_mpa is None or stuff.ultimate_mpa is None:
        return unknown(
            "overspeed", ("choices.spacer_material",), f"No strength is tabled for {stuff.name}."
        )
    speed = case.limit("overspeed.share") * engine.max_speed.value
    bore = max(ring.size.get("bore", 0.0), 1e-3)
    shape = {
        "bore": bore,
        "outside": ring.size["outside"],
        "density_kg_m3": stuff.density_kg_m3,
        "speed_rpm": speed,
    }
    hung_peak, hung_mean = _hung(case, ring, stuff, speed)
    peak = float(peak_hoop_stress(**shape, poisson=stuff.nu)) + hung_peak
    burst = stuff.ultimate_mpa / (float(mean_hoop_stress(**shape)) + hung_mean)
    allowed = stuff.yield_mpa / case.limit("overspeed.yield_factor")
    margin = min(allowed - peak, (burst - case.limit("overspeed.burst_factor")) * 1.0)
    says = (
        f"At {speed:.0f} rpm the ring's bore sees {peak:.1f} MPa, allowed {allowed:.0f}; it would burst at "
        f"{burst:.0f} times the mean stress. Holes raise the stress beside them about threefold."
    )
    if hung_peak:
        says += f" The posts that hang on it add {hung_peak:.1f} MPa of that."
    return answer(
        "overspeed", graded(margin, fail=0.0), says, margin=allowed - peak, unit="MPa",
        because=("engine.max_speed",), source=case.source("overspeed.yield_factor"),
    )  # fmt: skip


def _hung(case: Case, disc: Part, stuff: Material, speed_rpm: float) -> tuple[float, float]:
    """Hoop stress at the bore and on the mean that posts add to the disc they hang on [MPa]."""
    post = case.part("post")
    if post is None or case.chain is None:
        return 0.0, 0.0
    laid = lay_out(case.sides, case.rotating, case.chain)
    force = post.quantity * outward_pull(laid, stuff, speed_rpm)
    load = {"force_n": force, "thickness": laid.disc, "bore": max(disc.size.get("bore", 0.0), 1e-3)}
    peak = rim_load_peak_hoop(**load, outside=2 * laid.radius)
    return float(peak), float(rim_load_mean_hoop(**load, outside=disc.size["outside"]))


def balance(case: Case) -> Answer:
    """What unbalance the adapter brings in, against the grade for the engine's speed."""
    engine, ring = case.sides.request.engine, _turning(case)
    if engine is None or ring is None or not ring.mass_kg:
        return NotRun(("choices.spacer",))
    if engine.max_speed is None:
        return unknown("balance", ("engine.max_speed",))
    speed = engine.max_speed.value
    wanted = case.limit("balance.grade")
    parts = [one for one in case.adapter.parts if one.name in (*TURNING, "post")]
    mass = sum((one.mass_kg or 0.0) * one.quantity for one in parts)
    offset = max(offsets(case.sides, case.adapter.fits)[:2], default=0.0) + turning_offset(
        case.sides.chosen.turning
    )
    drilled = _drilled_unbalance(case, parts)
    unbalance = float(offset_unbalance(mass_kg=mass, offset=offset)) + drilled
    allowed = float(permissible_unbalance(grade_mm_s=wanted, mass_kg=mass, speed_rpm=speed))
    reached = float(grade_reached(unbalance_gmm=unbalance, mass_kg=mass, speed_rpm=speed))
    says = (
        f"The adapter may come out {unbalance:.0f} g·mm off, {drilled:.0f} of it from misplaced holes"
        f"{' and posts' if case.part('post') else ''}: G{reached:.1f} at {speed:.0f} rpm; "
        f"G{wanted:g} allows {allowed:.0f} g·mm."
        + (" Have it balanced once it is drilled." if unbalance > allowed else "")
    )
    return answer(
        "balance", graded(allowed - unbalance, fail=-1e9, warn=0.0), says, margin=allowed - unbalance,
        unit="g·mm", because=("engine.max_speed", "choices.turning"), source="ISO 21940-11:2016",
    )  # fmt: skip


def _drilled_unbalance(case: Case, parts: Sequence[Part]) -> float:
    """Unbalance of misplaced holes and posts together, kept by 95 in 100 [g·mm].

    Each errs by itself as the layout places holes; errors of many add as a Rayleigh-spread sum.
    """
    density = material_of(
        case.sides.chosen.spacer_material, key="choices.spacer_material"
    ).density_kg_m3
    missing = [
        math.pi / 4 * hole.diameter**2 * _depth(one, hole) * density * 1e-9
        for one in parts
        for hole in one.holes
    ]
    standing = [one.mass_kg for one in parts if one.name == "post" for _ in range(one.quantity)]
    masses = math.sqrt(math.fsum((mass or 0.0) ** 2 for mass in (*missing, *standing)))
    spread = layout(case.sides.chosen.layout).hole
    return float(offset_unbalance(mass_kg=masses, offset=RAYLEIGH_95 * spread)) if masses else 0.0


RAYLEIGH_95 = math.sqrt(-2 * math.log(0.05))  # of a Rayleigh spread, closed form


def _depth(part: Part, hole: PartHole) -> float:
    """How deep a hole goes into its part [mm]."""
    through = part.size.get("flange", part.size.get("thickness", 0.0))
    return min(hole.depth, through) if hole.depth else through


def posts_bending(case: Case) -> Answer:
    """The posts stand torque and spin together: feet shut and not sliding, skin below yield / 2."""
    if case.part("post") is None or case.chain is None:
        return NotRun(("choices.rotating_style",))
    found = strength(case.sides, lay_out(case.sides, case.rotating, case.chain))
    if found is None:
        return unknown(
            "posts-bending", ("engine.peak_torque", "engine.max_speed", "choices.screw_grade")
        )
    soft, hard = case.limit("posts-bending.warn"), case.limit("posts-bending.fail")
    worst = min(found.share, found.kept)
    status = graded(worst, fail=hard, warn=soft)
    if found.stress_mpa > found.allowed_mpa:
        status = "fail"
    says = (
        f"The posts' feet stay shut up to {found.share:.1f} times the moment of torque and spin, wanted "
        f"{soft:g}; their skin sees {found.stress_mpa:.0f} MPa, allowed {found.allowed_mpa:.0f}. "
        f"{_feet(found)} The driven end was taken as {found.end} and turns {found.wind_up:.3f}° at "
        "peak torque."
    )
    return answer(
        "posts-bending", status, says, margin=worst - hard, unit="times",
        because=("engine.peak_torque", "engine.max_speed"), source=case.source("posts-bending.warn"),
    )  # fmt: skip


def _feet(found: Strength) -> str:
    """What keeps the posts' feet from sliding, in words."""
    says = f"Friction holds a foot {found.grip:.1f} times against sliding."
    if found.dowel is not None:
        return f"{says[:-1]}, its dowel {found.dowel:.1f} times."
    return says


def bolt_shear(case: Case) -> Answer:
    """What the driver's screws would carry in shear if the joint slipped."""
    engine, driving = case.sides.request.engine, case.sides.driving
    joints = [one for one in case.adapter.joints if one.name == "spacer to engine"]
    if engine is None or driving is None or not joints:
        return NotRun(("engine.drive.circle",))
    screws = [one for one in driving.holes if one.screw]
    if engine.peak_torque is None or not screws or screws[0].screw is None:
        return NotRun(("engine.peak_torque",))
    try:
        strength = bolt_grade(joints[0].grade, screws[0].screw.major)
        area = sizes(screws[0].screw).stress_area_mm2
    except NotTabulated:
        return unknown("bolt-shear", ("choices.screw_grade",))
    radius = screws_friction_radius(centres=[(one.x, one.y) for one in screws])
    held = shear_force(
        pins=len(screws), area_mm2=area, strength_mpa=shear_strength(yield_mpa=strength.yield_mpa)
    )
    share = held * radius / engine.peak_torque.value
    says = f"If the joint slipped, the screws would stand {share:.1f} times the peak torque in shear through the thread."
    return answer(
        "bolt-shear", graded(share, fail=-1e9, warn=1.0), says, margin=share - 1.0, unit="times",
        because=("engine.peak_torque",), source=strength.source,
    )  # fmt: skip


CHECKS = {
    "predicted-runout": predicted_runout,
    "who-locates": who_locates,
    "bolts-go-in": bolts_go_in,
    "overspeed": overspeed,
    "balance": balance,
    "posts-bending": posts_bending,
    "bolt-shear": bolt_shear,
}
