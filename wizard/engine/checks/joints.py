"""Checks of what every drawn-up screw does to the part under its head."""

from __future__ import annotations

import math

from kb.model.parts import Joint
from wizard.engine.checks.case import Answer, Case, NotRun, answer, graded, unknown


def head_bearing(case: Case) -> Answer:
    """No head sinks into the part under it."""
    joints = [one for one in case.adapter.joints if one.length is not None]
    known = [one for one in joints if one.head_mpa is not None and one.bears_mpa is not None]
    if not joints:
        return NotRun(("engine.face.holes", "engine.drive.circle"))
    if not known:
        says = "No preload or strength is tabled for these screws and what they bear on."
        return unknown("head-bearing", ("choices.screw_grade", "choices.plate_material"), says)
    worst = max(known, key=_share)
    share = _share(worst)
    limit = case.limit("head-bearing.share")
    says = (
        f"Drawn up, the heads of {worst.name} press with {worst.head_mpa:.0f} MPa on what yields at "
        f"{worst.bears_mpa:.0f} MPa; a seat bears {limit:g} times that."
    )
    if share > limit:
        says += " Put hardened washers under them, or draw them less."
    return answer(
        "head-bearing", graded(limit - share, fail=-1e9, warn=0.0), says, margin=limit - share,
        unit="times the yield", because=("choices.screw_grade", "choices.plate_material"),
        source=case.source("head-bearing.share"),
    )  # fmt: skip


def _share(one: Joint) -> float:
    """Pressure under the heads of a joint over the strength of what is under them."""
    return (one.head_mpa or 0.0) / (one.bears_mpa or math.inf)


CHECKS = {"head-bearing": head_bearing}
