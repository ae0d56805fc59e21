"""Checks of the span between the two sides: plate, rotating adapter, driven flange, tail."""

from __future__ import annotations

from kb.model.chain import Chain
from wizard.engine.axial.measures import span_asked
from wizard.engine.axial.needs import plate_floors, room_behind_recess, wanted_band
from wizard.engine.checks.case import FLAT, Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.measure import measure, missing_sizes, over, rests, spread


def flange_position(case: Case) -> Answer:
    """Where the adapter's driven face comes against a rigid driven flange."""
    if case.sides.kind != "flange" or not span_asked(case.sides):
        return NotRun(("gearbox.driven",))
    off = measure(case, "flange-position", "flange_offset", "gearbox.driven")
    if not isinstance(off, float):
        return off
    band = wanted_band(case.sides)
    assert band is not None
    low, high = band[1]
    status = graded(over(off, low=low, high=high), fail=0.0)
    says = (
        f"The driven face stands {case.shown(off, spread(case, 'flange_offset'))} from where the "
        f"driven flange wants it, allowed {case.shown(low)} to {case.shown(high)}."
    )
    return answer(
        "flange-position", status, says, margin=over(off, low=low, high=high),
        because=rests(case, "flange_offset"), source="the allowance of the driven part",
    )  # fmt: skip


def spacer_length(case: Case) -> Answer:
    """The rotating adapter is either not needed or long enough to be made."""
    chain = case.chain
    if chain is None or (not case.sides.kind and case.sides.driving is None):
        return NotRun(("engine.drive",))
    if chain.spacer is None:
        return unknown("spacer-length", missing_sizes(case))
    length, least = chain.spacer, case.limit("spacer-length.least")
    if abs(length) < FLAT:
        return answer("spacer-length", "pass", "No rotating adapter is needed.", margin=0.0)
    most, behind = case.limit("spacer-length.most"), room_behind_recess(case.sides, length)
    margin = min(length - least, most - length)
    status = "fail" if length < 0 or length > most else graded(length, fail=0.0, warn=least)
    says = f"The rotating adapter comes out {case.shown(length)} long."
    if length > 0 and behind is not None:
        margin = min(margin, behind)
        if behind < -FLAT:
            status = "fail"
            says += " The recess over the driver's spigot would cut through it."
    if length < 0:
        says = f"The driving face stands {case.shown(-length)} too far back: no adapter can be that short."
    elif status == "warn":
        says += f" Under {case.shown(least)} there is no room for register and screw lead."
    return answer(
        "spacer-length", status, says, margin=length if length < 0 else margin,
        because=rests(case, (wanted_band(case.sides) or ("",))[0]),
        source=case.source("spacer-length.least"),
    )  # fmt: skip


def _contradiction(case: Case, chain: Chain) -> str:
    """What contradicts, by how much, and the least change of one dimension that would end it."""
    names = list(dict.fromkeys(one.check for one in chain.conflict))
    short = case.shown(chain.conflict[0].short_by if chain.conflict else 0.0)
    if len(names) == 1:
        says = f"No plate does: {names[0]} falls short by {short}, whatever it is"
    else:
        says = (
            f"No plate does: {' against '.join(names) or 'the requirements'} contradict by {short}"
        )
    cures = {key: change for one in chain.conflict for key, change in one.cures.items()}
    if not cures:
        return f"{says}."
    key = min(cures, key=lambda one: (abs(cures[one]), one))
    way = "more" if cures[key] > 0 else "less"
    return f"{says}; {case.shown(abs(cures[key]))} {way} of {key} would cure it."


def plate_thickness(case: Case) -> Answer:
    """The plate's thickness lies in the range that works."""
    chain = case.chain
    if chain is None or chain.plate is None:
        return NotRun(("engine.face", "gearbox.face"))
    if chain.limits is None:
        short = chain.conflict[0].short_by if chain.conflict else 0.0
        return answer(
            "plate-thickness", "fail", _contradiction(case, chain), margin=-short, because=tuple(dict.fromkeys(k for one in chain.conflict for k in one.cures)),
        )  # fmt: skip
    low, high = chain.limits.least, chain.limits.most
    margin = min(chain.plate - low, high - chain.plate)
    least = f"from {case.shown(low)} ({chain.limits.binds_least}) " if low > 0 else ""
    says = (
        f"A {case.shown(chain.plate)} plate; what works runs {least}"
        f"to {case.shown(high)} ({chain.limits.binds_most})."
    )
    return answer(
        "plate-thickness", graded(margin, fail=0.0), says, margin=margin,
        because=tuple(name for name, *_ in plate_floors(case.sides, warn=False)),
    )  # fmt: skip


def tail_shift(case: Case) -> Answer:
    """How far the output flange moves."""
    shift = measure(case, "tail-shift", "tail_shift", "installation")
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
        margin=margin, because=("installation.allowance", *rests(case, "tail_shift")),
    )  # fmt: skip


CHECKS = {
    "flange-position": flange_position,
    "spacer-length": spacer_length,
    "plate-thickness": plate_thickness,
    "tail-shift": tail_shift,
}
