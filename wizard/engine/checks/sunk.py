"""Whether screw heads lie in the plate, and what they leave below them."""

from __future__ import annotations

import math

from kb.model.check import Check
from wizard.engine.axial.needs import head_floor, plate_floors, recess_depth, sunk_in_plate
from wizard.engine.checks.case import Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.checks.faces import family, hole_key, undrawn
from wizard.engine.faces import material_of
from wizard.engine.formulas.joints import floor_shear
from wizard.engine.housed import housed
from wizard.engine.parts import fasteners
from wizard.engine.parts.plate_holes import sunk_screw


def head_sunk(case: Case) -> Answer:
    """Sunk heads leave enough plate below them."""
    if case.plates and (found := undrawn(case, "head-sunk")):
        return found
    ones = sunk_in_plate(case.sides)
    if not case.plates or not ones:
        return NotRun(("engine.face.holes",))
    if odd := untabled_head(case, "head-sunk"):
        return odd
    stuff_of = family(case)
    needed, wished = (max(floors(case, "head-sunk", warn=warn)) for warn in (False, True))
    thickness = case.plates[0].size["thickness"]
    says = f"Sunk heads need a plate of {case.shown(needed)}, better {case.shown(wished)}; it is {case.shown(thickness)}."
    status = graded(thickness, fail=needed, warn=wished)
    if status != "fail" and (share := _floor_holds(case)) is not None:
        soft, hard = case.limit("head-sunk.shear_warn"), case.limit("head-sunk.shear_fail")
        sheared = graded(share, fail=hard, warn=soft)
        if sheared != "pass":
            says += f" The floor holds {share:.1f} times the preload in shear, wanted {soft:g}."
            status = max(status, sheared, key=("pass", "warn", "fail").index)
    return answer(
        "head-sunk", status, says, margin=thickness - needed,
        because=("choices.plate",), source=case.source(f"head-sunk.{stuff_of}_warn"),
    )  # fmt: skip


def _floor_holds(case: Case) -> float | None:
    """How many times its preload the weakest floor under a head holds in shear before it yields.

    Yield in shear is 1/√3 of the plate's (von Mises). A cone punches out half way down its flank.
    ``None`` where the plate's yield or the screw's preload is not tabled.
    """
    sides = case.sides
    stuff = material_of(sides.chosen.plate_material, key="choices.plate_material")
    shares = []
    for one in sunk_in_plate(sides):
        assert one.screw is not None
        grade, heads = one.grade or sides.chosen.screw_grade, sides.chosen.heads
        tight = fasteners.tightening(
            one.screw, grade, friction=sides.chosen.thread_friction, heads=heads
        )
        if tight is None or stuff.yield_mpa is None:
            return None
        plate = case.plates[0 if one.side == "engine" else -1].size["thickness"]
        head, local = housed(one.screw, heads), plate - recess_depth(sides, one)
        found = sunk_screw(sides, one, plate)
        deep = found.seat if found else head.depth
        ring = head.bearing
        if head.angle is not None:
            ring, deep = (head.bearing + one.screw.major) / 2, head.depth / 2
        stress = floor_shear(preload_n=tight.preload_n, head=ring, floor=max(local - deep, 0.01))
        shares.append(stuff.yield_mpa / math.sqrt(3) / float(stress))
    return min(shares, default=None)


def floors(case: Case, check: str, *, warn: bool) -> list[float]:
    """Least plate thickness by one check, if it sets one [mm]."""
    return [floor for name, floor, _ in plate_floors(case.sides, warn=warn) if name == check]


def untabled_head(case: Case, id: str) -> Check | None:
    """Why a check of sunk heads is unknown: the head of one of the screws is not tabled."""
    for one in sunk_in_plate(case.sides):
        if head_floor(case.sides, one, family(case), warn=False) is None:
            says = f"The head of a {one.screw} socket screw is not tabled: measure one."
            return unknown(id, (hole_key(case, one, "bolt"),), says)
    return None
