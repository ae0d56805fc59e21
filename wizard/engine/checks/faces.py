"""What the checks of the fixed joint share: its plate, its material, its two faces."""

from __future__ import annotations

from kb.model.check import Check
from kb.model.lineup import Feature
from wizard.engine.checks.case import Answer, Case, NotRun, unknown
from wizard.engine.faces import limits_of


def family(case: Case) -> str:
    """The family of the plate's material whose limits it takes."""
    name = case.sides.chosen.plate_material
    return limits_of(name, key="choices.plate_material")


def hole_key(case: Case, one: Feature, entry: str) -> str:
    """Key of an entry of one hole of a face, or of the circle that it is on."""
    unit = case.sides.request.engine if one.side == "engine" else case.sides.request.gearbox
    circle = unit is not None and unit.face is not None and unit.face.circle is not None
    return f"{one.side}.face.{'circle' if circle else f'holes[{one.id}]'}.{entry}"


def hole_lists(case: Case, *, dowels: bool) -> tuple[str, ...]:
    """Keys of the lists of holes of the two faces or of their circles, and of their dowels."""
    entries = ("circle", "holes", "dowels") if dowels else ("circle", "holes")
    units = (("engine", case.sides.request.engine), ("gearbox", case.sides.request.gearbox))
    return tuple(
        f"{side}.face.{entry}"
        for side, unit in units
        if unit is not None and unit.face is not None
        for entry in entries
        if getattr(unit.face, entry)
    )


def both_faces(case: Case) -> NotRun | None:
    """Why a check of both faces is not run, or ``None`` when both are there."""
    missing = [
        key
        for key, face in (
            ("engine.face", case.sides.engine_face),
            ("gearbox.face", case.sides.gearbox_face),
        )
        if face is None
    ]
    return NotRun(tuple(missing)) if missing else None


def undrawn(case: Case, id: str) -> Check | None:
    """Why a check of the plate's holes is unknown: a face that is there cannot be drawn."""
    sides = case.sides
    for unit, name in (
        (sides.request.engine, "engine.face"),
        (sides.request.gearbox, "gearbox.face"),
    ):
        if unit is not None and unit.face is not None and sides.lacks.get(name):
            return unknown(id, sides.lacks[name])
    return None


def lacking(case: Case, id: str) -> Answer:
    """A face that is there but cannot be drawn is unknown; one that is not there is not run."""
    return undrawn(case, id) or both_faces(case) or NotRun(("engine.face", "gearbox.face"))
