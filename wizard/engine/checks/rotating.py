"""Checks of the rotating adapter."""

from __future__ import annotations

from kb.errors import NotTabulated
from kb.model.parts import Fit
from kb.quantity import Thread, limits, torque
from kb.standards.heads import socket_screw
from wizard.engine.checks.case import Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.faces import limits_of, material_of
from wizard.engine.formulas.joints import (
    dowel_diameter,
    friction_torque,
    screws_friction_radius,
    shear_strength,
)
from wizard.engine.parts.ring import clamped_key, driven_register


def rotating_wall(case: Case) -> Answer:
    """The wall left between the two circles of the rotating adapter."""
    sides, found = case.sides, case.rotating
    if found is None:
        lacks = tuple(dict.fromkeys((*sides.lacks["driving"], *sides.lacks["driven"])))
        drawable = sides.driving is not None or sides.driven is not None
        if lacks and (drawable or any(key.endswith("keepout") for key in lacks)):
            return unknown("rotating-wall", lacks)
        return NotRun(lacks or ("engine.drive.circle",))
    if found.through:
        return answer(
            "rotating-wall", "pass", "Both circles are the same: one long screw goes through both."
        )
    if case.chain is not None and case.chain.spacer is not None and abs(case.chain.spacer) < 1e-9:
        return NotRun(("choices.spacer",))
    if found.wall is None:
        return answer("rotating-wall", "pass", "Every pair of screws is one and the same.")
    status = "fail" if found.wall < 0 else ("pass" if found.windows else "warn")
    says = (
        f"Turned {found.clocking:+.2f}° the two circles leave a wall of {case.shown(found.wall)}, "
        f"wanted {case.shown(found.required)}."
    )
    family = limits_of(sides.chosen.spacer_material, key="choices.spacer_material")
    return answer(
        "rotating-wall", status, says, margin=found.wall - found.required,
        because=("engine.drive.circle",), source=case.source(f"least-wall.{family}"),
    )  # fmt: skip


def register_present(case: Case) -> Answer:
    """The rotating adapter is centred by registers; bolts only clamp."""
    drive = case.sides.request.engine.drive if case.sides.request.engine else None
    if drive is None or (drive.register is None and drive.circle is None and not drive.holes):
        return NotRun(("engine.drive.register",))
    if drive.register is None:
        says = "Nothing centres the adapter on the engine: bolts clamp, they do not locate."
        return answer("register-present", "fail", says, because=("engine.drive.register",))
    part = case.sides.driven_part
    if not part:
        return answer(
            "register-present",
            "pass",
            "The adapter is centred by the engine's register.",
            because=("engine.drive.register",),
        )
    register, _, taken = driven_register(case.sides)
    if register is not None:
        how = "as it sat on the engine" if taken else "by its register"
        return answer(
            "register-present",
            "pass",
            f"The {part} is centred {how}.",
            because=("engine.drive.register",),
        )
    if case.adapter.pilot is not None and case.sides.kind == "converter":
        says = "The converter is centred by its nose in the pilot; the flexplate follows it."
        return answer("register-present", "pass", says, because=("gearbox.converter.hub",))
    key = {
        "flexplate": "flexplate",
        "flywheel": "flywheel",
        "converter": "gearbox.converter.hub",
    }.get(part, "gearbox.driven")
    says = f"What centres the {part} on the adapter is not given."
    return unknown("register-present", (f"{key}.register" if "hub" not in key else key,), says)


def joint_slip(case: Case) -> Answer:
    """The rotating joint carries the engine's torque by friction alone."""
    engine = case.sides.request.engine
    driving = case.sides.driving
    if engine is None or driving is None:
        return NotRun(("engine.drive.circle",))
    if engine.peak_torque is None:
        lacks = ("engine.peak_torque",)
        return unknown("joint-slip", lacks) if case.sides.whole else NotRun(lacks)
    joints = [one for one in case.adapter.joints if one.name == "spacer to engine"]
    if not joints:
        return NotRun(("choices.spacer",))
    if any(one.preload_n is None for one in joints):
        return unknown(
            "joint-slip",
            ("choices.screw_grade",),
            f"No table value for {joints[0].thread}, grade {joints[0].grade}.",
        )
    radius = screws_friction_radius(centres=[(one.x, one.y) for one in driving.holes])
    held = sum(
        float(friction_torque(
            screws=one.count, friction=case.sides.chosen.joint_friction, radius=radius,
            preload_n=(one.preload_n or 0.0) / case.limit("joint-slip.tightening"),
        ))
        for one in joints
        if radius > 0  # a screw on the axis holds no torque
    )  # fmt: skip
    factor = case.sides.request.use.torque_factor if case.sides.request.use else None
    peak = engine.peak_torque.value * (factor or 1.0)
    share = held / peak
    soft, hard = case.limit("joint-slip.warn"), case.limit("joint-slip.fail")
    says = f"Friction carries {torque(held)}, {share:.1f} times the peak torque, wanted {soft:g}."
    if share < hard:
        size = _dowel(case, radius=radius, torque_nmm=peak)
        says += f" {DOWELS} dowels of {case.shown(size)} on their circle would carry it all."
    return answer(
        "joint-slip", graded(share, fail=hard, warn=soft), says, margin=share - hard, unit="times",
        because=("engine.peak_torque", "engine.drive.circle"), source=case.source("joint-slip.warn"),
    )  # fmt: skip


def _dowel(case: Case, *, radius: float, torque_nmm: float) -> float:
    """Diameter of the dowels that carry the whole torque in shear, as strong as the adapter [mm]."""
    stuff = material_of(case.sides.chosen.spacer_material, key="choices.spacer_material")
    strength = shear_strength(yield_mpa=stuff.yield_mpa or WEAK_MPA)
    return dowel_diameter(
        dowels=DOWELS, torque_nmm=torque_nmm, radius=radius, strength_mpa=strength
    )  # fmt: skip


DOWELS = 2
WEAK_MPA = 200.0  # yield of mild steel at its weakest: common practice, no source


def register_fit(case: Case) -> Answer:
    """Every register's play is that of its class."""
    fits = [one for one in case.adapter.fits if _register(one)]
    if not fits or case.value("engine.drive.register.diameter") is None:
        return NotRun(("engine.drive.register",))
    worst = max(fits, key=lambda one: one.play[1])
    low = min(one.play[0] for one in fits)
    says = f"{worst.joint}: {worst.fit_class}, play {limits(low=worst.play[0], high=worst.play[1], first=case.sides.request.units)}."
    loose = (
        worst.play[1] - 0.15
    )  # mm: above it a register no longer locates; common practice, no source
    status = "warn" if loose > 0 else "pass"
    if case.sides.chosen.fit == "locating" and low < 0:
        status = "warn"
        says += " It may come out tight: measure before turning to size."
    return answer(
        "register-fit",
        status,
        says,
        margin=-loose,
        because=("engine.drive.register",),
        source=worst.source,
    )


def _register(fit: Fit) -> bool:
    """Whether a fit is one of the adapter's registers, not a bush pressed into it."""
    return "spacer" in fit.joint and not fit.joint.startswith("bush")


def critical_thread(case: Case) -> Answer:
    """Enough thread is left in the crank once the adapter is under the screws."""
    joints = [one for one in case.adapter.joints if one.name == "spacer to engine"]
    driving = case.sides.driving
    if not joints or driving is None or any(one.kind != "tapped" for one in driving.holes):
        return NotRun(("engine.drive.circle.thread",))
    if any(one.depth is None for one in driving.holes):
        return unknown("critical-thread", ("engine.drive.circle.depth",))
    if any(one.length is None for one in joints):
        if case.sides.through and case.value(clamped_key(case.sides)) is None:
            says = "The screw's length needs the thickness it clamps."
            return unknown("critical-thread", (clamped_key(case.sides),), says)
        if not _head_tabled(driving.holes[0].screw) and not case.sides.through:
            says = (
                f"The head of a {driving.holes[0].screw} socket screw is not tabled: measure one."
            )
            return unknown("critical-thread", ("engine.drive.circle.thread",), says)
        says = "No standard screw engages enough without bottoming in the crank."
        return answer("critical-thread", "fail", says)
    screw = driving.holes[0].screw
    assert screw is not None
    share = min((one.engagement or 0.0) for one in joints) / screw.major
    least = case.limit("critical-thread.share")
    says = f"The screws engage {share:.1f} diameters in the crank, wanted {least:g}."
    return answer(
        "critical-thread", graded(share, fail=least), says, margin=(share - least) * screw.major,
        because=("engine.drive.circle.depth",), source=case.source("critical-thread.share"),
    )  # fmt: skip


def _head_tabled(screw: Thread | None) -> bool:
    try:
        return screw is not None and bool(socket_screw(screw))
    except NotTabulated:
        return False


CHECKS = {
    "rotating-wall": rotating_wall, "register-present": register_present,
    "joint-slip": joint_slip, "register-fit": register_fit, "critical-thread": critical_thread,
}  # fmt: skip
