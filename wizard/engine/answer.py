"""The answer: a design and its verdict as one stable document (lengths mm, angles °, frame P)."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from importlib import metadata
from typing import Any

from kb.model.chain import Assumption, Chain, Length
from kb.model.check import Check, Remedy
from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.parts import Adapter, Joint, Part, PartHole, Pilot, Segment, Style
from kb.model.record import Advice, Design, Sides
from kb.model.request import STAGES
from wizard.engine.axial.needs import wanted_band
from wizard.engine.checks.installation import questions
from wizard.engine.parts.plate_holes import turned

FORMAT = 1
Document = dict[str, Any]

CAUTIONS = (
    "Confirm every dimension on the actual parts before metal is cut.",
    "Never pull converter or gearbox home with the bolts; never run without its dowels or registers.",
    "Rotating parts: guard them, stand clear of the plane of rotation, and balance what was drilled.",
    "Lifting: support engine and gearbox separately; never work under a load held by a hoist alone.",
    "Machining: clamp the work, wear eye protection, and keep hands and sleeves from chucks.",
    "For road, race or marine use local codes and licensed practice decide; this is no approval.",
)


def answer(advice: Advice) -> Document:
    """The whole answer; what the job does not have is left out and named under ``not_asked``."""
    made = advice.design
    sides = made.sides
    document: Document = {
        "format": FORMAT, "units": "mm, deg", "title": sides.request.title,
        "stage": sides.chosen.stage, "shop_units": sides.request.units, "kind": sides.kind,
        "not_asked": _not_asked(made), "verdict": advice.verdict.word,
        "because": list(advice.verdict.because), "verdict_lines": list(advice.verdict.lines),
        "measure": list(advice.verdict.measure),
        "assumed": [dataclasses.asdict(one) for one in _assumed(made)],
        "program": f"trialfit {metadata.version('trialfit')}", "rules": sides.rules.name,
        **_who(sides), "patterns": _patterns(made), "lineup": _lineups(made),
        "predicted_tir": dict(made.adapter.predicted_tir),
        "compared": {name: _style(row) for name, row in made.adapter.compared.items()},
        "parts": [_part(one) for one in made.adapter.parts],
        "fits": _fits(made.adapter), "joints": [_joint(one) for one in made.adapter.joints],
        "checks": [_check(one) for one in made.checks],
        "remedies": [_remedy(one) for one in advice.remedies],
        "not_run": [{"check": id, "lacks": list(lacks)} for id, lacks in made.not_run],
        "settle": _settle(made), "cautions": list(CAUTIONS),
        "questions": [dataclasses.asdict(one) for one in questions(sides)],
        "lengths": [_length(one) for one in sides.lengths.values()],
    }  # fmt: skip
    if made.chain is not None:
        document["axial"] = _axial(made.chain)
    if made.adapter.pilot is not None:
        document["pilot"] = _pilot(made.adapter.pilot)
    for key in ("predicted_tir", "compared"):
        if not document[key]:
            del document[key]
    return document


def _assumed(made: Design) -> tuple[Assumption, ...]:
    """Everything the sheet left open and what was taken for it, the wanted band last."""
    band = wanted_band(made.sides)
    asked = (*made.chain.rests_on, *made.chain.lacks) if made.chain is not None else ()
    if band is None or band[2] is None or band[0] not in asked:
        return made.sides.assumed
    return (*made.sides.assumed, band[2])


def _not_asked(made: Design) -> list[str]:
    """What the job left out, in the words of its sheet."""
    request = made.sides.request
    found = []
    if made.fixed is None:
        found.append("lineup.fixed")
    if made.rotating is None:
        found.append("lineup.rotating")
    if made.chain is None or not made.chain.values:
        found.append("axial")
    for name in ("engine", "gearbox"):
        if getattr(request, name) is None:
            found.append(name)
    if request.engine is not None and request.engine.starter is None:
        found.append("engine.starter")
    return found


def _who(sides: Sides) -> Document:
    request = sides.request
    found: Document = {}
    if request.engine is not None:
        engine = request.engine
        found["engine"] = _without_none({
            "name": engine.name, "rotation": engine.rotation,
            "max_speed_rpm": engine.max_speed.value if engine.max_speed else None,
            "peak_torque_nm": engine.peak_torque.value / 1000 if engine.peak_torque else None,
        })  # fmt: skip
    if request.gearbox is not None:
        box = request.gearbox
        found["gearbox"] = _without_none({
            "name": box.name, "rotation": box.rotation,
            "torque_limit_nm": box.torque_limit.value / 1000 if box.torque_limit else None,
        })  # fmt: skip
    for name in ("flexplate", "flywheel", "clutch"):
        part = getattr(request, name)
        if part is not None:
            found[name] = {"name": part.name}
    return found


# ── line-up ─────────────────────────────────────────────────────────────────


def _patterns(made: Design) -> Document:
    sides = made.sides
    turns = {
        "gearbox": made.fixed.clocking if made.fixed else 0.0,
        "driven": made.rotating.clocking if made.rotating else 0.0,
    }
    shown: dict[str, Pattern | None] = {
        "engine": sides.engine_face, "gearbox": sides.gearbox_face, "driving": sides.driving,
        "driven": sides.driven,
    }  # fmt: skip
    return {
        name: [_feature(one) for one in (*placed.holes, *placed.dowels)]
        for name, pattern in shown.items()
        if pattern is not None and (placed := turned(pattern, turns.get(name, 0.0)))
    }


def _feature(one: Feature) -> Document:
    return _without_none({
        "id": one.id, "kind": one.kind, "x": one.x, "y": one.y, "keepout": one.keepout,
        "diameter": one.diameter, "thread": one.screw.designation if one.screw else None,
        "depth": one.depth,
    })  # fmt: skip


def _lineups(made: Design) -> Document:
    found: Document = {}
    if made.fixed is not None:
        found["fixed"] = _lineup(made.fixed) | {
            "clashes": [dataclasses.asdict(one) for one in made.fixed.clashes],
            "shared": [list(pair) for pair in made.fixed.shared],
            "leave_out": [{"side": side, "id": id} for side, id in made.fixed.leave_out],
        }
    if made.rotating is not None:
        found["rotating"] = {"through": True} if made.rotating.through else _lineup(made.rotating)
    return found


def _lineup(one: LineUp) -> Document:
    return _without_none({
        "clocking": one.clocking, "wall": one.wall, "dowel_wall": one.dowel_wall,
        "required": one.required, "windows": [list(window) for window in one.windows],
        "best": _without_none({"clocking": one.best_clocking, "wall": one.best_wall}),
    })  # fmt: skip


# ── axial ───────────────────────────────────────────────────────────────────


def _axial(chain: Chain) -> Document:
    found: Document = {
        "plate": chain.plate, "spacer": chain.spacer, "spacer_within": chain.spacer_within,
        "packing": chain.packing, "why_plate": chain.why_plate,
    }  # fmt: skip
    found |= dict(chain.values)
    found["uncertain"] = dict(chain.uncertain)
    found["stations"] = dict(chain.stations)
    if chain.limits is not None:
        found["plate_limits"] = dataclasses.asdict(chain.limits)
    if chain.requirements:
        found["region"] = [list(corner) for corner in chain.region]
        found["region_binds"] = list(chain.binds)
        found["robust_region"] = [list(corner) for corner in chain.robust_region]
        found["conflict"] = [
            {"check": one.check, "short_by": one.short_by, "cures": dict(one.cures)}
            for one in chain.conflict
        ]
    if chain.odds is not None:
        odds = chain.odds
        found |= {
            "chance_any": odds.chance_any, "chance_any_error": odds.chance_any_error,
            "chance_these": odds.chance_these, "chance_these_error": odds.chance_these_error,
            "draws": odds.draws,
            "measure_next": [dataclasses.asdict(row) for row in odds.measure_next],
        }  # fmt: skip
    return _without_none(found)


def _length(one: Length) -> Document:
    found = dataclasses.asdict(one)
    shown = ["key", "value", "low", "high", "spread", "source", "how", "unit"]
    if one.readings > 1:
        shown += ["readings", "chosen", "disagree"]
    return {key: found[key] for key in shown}


# ── parts ───────────────────────────────────────────────────────────────────


def _part(one: Part) -> Document:
    stiff = {"stiffness": dict(one.stiffness)} if one.stiffness else {}
    return stiff | {
        "name": one.name, "material": one.material, "size": dict(one.size),
        "mass_kg": one.mass_kg, "quantity": one.quantity,
        "outline": [_segment(piece) for piece in one.outline],
        "holes": [_part_hole(hole) for hole in one.holes], "notes": list(one.notes),
    }  # fmt: skip


def _segment(piece: Segment) -> Document:
    found: Document = {"kind": piece.kind, "start": list(piece.start), "end": list(piece.end)}
    if piece.centre is not None:
        found |= {"centre": list(piece.centre), "radius": piece.radius, "ccw": piece.ccw}
    return found


def _part_hole(hole: PartHole) -> Document:
    return {
        "id": hole.id, "x": hole.x, "y": hole.y, "kind": hole.kind, "diameter": hole.diameter,
        "thread": hole.thread, "depth": hole.depth,
        "counterbore": dataclasses.asdict(hole.counterbore) if hole.counterbore else None,
        "countersink": dataclasses.asdict(hole.countersink) if hole.countersink else None,
        "side": hole.side, "for": hole.purpose,
        "limits": list(hole.limits) if hole.limits else None,
        "punched": hole.punched, "source": hole.source,
    }  # fmt: skip


def _fits(adapter: Adapter) -> list[Document]:
    return [
        _without_none({
            "joint": one.joint, "class": one.fit_class, "hole": list(one.hole),
            "shaft": list(one.shaft), "play": list(one.play), "existing": one.existing,
            "source": one.source, "press_n": one.press_n, "warm_k": one.warm_k,
        })
        for one in adapter.fits
    ]  # fmt: skip


def _style(one: Style) -> Document:
    """One style of rotating adapter: what is known of it, or why it cannot be made."""
    row = _without_none(dataclasses.asdict(one) | {"machines": list(one.machines)})
    return {key: value for key, value in row.items() if value not in ("", [])}


def _joint(one: Joint) -> Document:
    return _without_none(dataclasses.asdict(one))


def _pilot(one: Pilot) -> Document:
    bore = list(one.bore) if one.bore is not None else None
    return _without_none(dataclasses.asdict(one) | {"bore": bore})


# ── checks ──────────────────────────────────────────────────────────────────


def _check(one: Check) -> Document:
    found = dataclasses.asdict(one)
    found["because"] = list(one.because)
    return _without_none(found)


def _remedy(one: Remedy) -> Document:
    return dataclasses.asdict(one) | {"cures": list(one.cures), "change": dict(one.change)}


def _settle(made: Design) -> Mapping[str, Sequence[Document]]:
    """What is still to be settled before cutting and before the first start."""
    reached = STAGES.index(made.sides.chosen.stage)
    return {
        stage: [
            {"id": one.id, "status": one.status, "says": one.says}
            for one in made.checks
            if one.due == stage
            and one.status in ("unknown", "fail")
            and STAGES.index(stage) > reached
        ]
        for stage in STAGES[1:]
    }


def _without_none(found: Mapping[str, Any]) -> Document:
    return {key: value for key, value in found.items() if value is not None}
