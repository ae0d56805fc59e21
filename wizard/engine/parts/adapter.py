"""Everything that is made: plate, ring, bush, with their fits and joints."""

from __future__ import annotations

from kb.errors import OutOfScope
from kb.model.chain import Chain
from kb.model.lineup import LineUp
from kb.model.parts import Adapter, Fit, Joint, Part, Pilot
from kb.model.record import Sides
from wizard.engine.formulas.inertia import ring_inertia
from wizard.engine.parts.pilot import bush, pilot
from wizard.engine.parts.plate import plate
from wizard.engine.parts.post_layout import wanted as posts_wanted
from wizard.engine.parts.posts import posts
from wizard.engine.parts.ring import ring
from wizard.engine.parts.stack import stack
from wizard.engine.parts.truth import predicted_tir


def adapter(
    sides: Sides, fixed: LineUp | None, rotating: LineUp | None, chain: Chain | None
) -> Adapter:
    """The parts of the job, as they are to be made.

    Raises:
        OutOfScope: two plates are asked for and cannot be joined or split.
    """
    pilot_made, pilot_fits = pilot(sides, chain)
    plates, plate_fits, plate_joints = _plates(sides, fixed, chain)
    turning, turning_fits, turning_joints = _rotating(sides, rotating, chain, pilot_made)
    made = (*plates, *turning, bush(sides, pilot_made, pilot_fits))
    parts = tuple(part for part in made if part is not None)
    fits = (*plate_fits, *turning_fits, *pilot_fits)
    return Adapter(
        parts=parts, fits=fits, joints=(*plate_joints, *turning_joints), pilot=pilot_made,
        predicted_tir=predicted_tir(sides, parts, fits),
        compared=_compared(sides, rotating, chain, pilot_made),
    )  # fmt: skip


Made = tuple[tuple[Part, ...], tuple[Fit, ...], tuple[Joint, ...]]


def _rotating(
    sides: Sides, rotating: LineUp | None, chain: Chain | None, pilot_made: Pilot | None
) -> Made:
    """The part that turns, in the style asked for or the one that suits the span."""
    if chain is not None and posts_wanted(sides, rotating, chain):
        return posts(sides, rotating, chain, pilot_made)
    part, fits, joints = ring(sides, rotating, chain, pilot_made)
    return ((part,) if part is not None else ()), fits, joints


def _compared(
    sides: Sides, rotating: LineUp | None, chain: Chain | None, pilot_made: Pilot | None
) -> dict[str, dict[str, float]]:
    """Mass, turning moment of inertia and settings of both styles, where both can be made."""
    if chain is None or sides.through or not chain.spacer:
        return {}
    if sides.driving is None or sides.driven is None:
        return {}
    part, _, _ = ring(sides, rotating, chain, pilot_made)
    try:
        others, _, _ = posts(sides, rotating, chain, pilot_made)
    except OutOfScope:
        return {}
    if part is None:
        return {}
    return {
        "ring": _figures((part,), SETTINGS["ring"]),
        "posts": _figures(others, SETTINGS["posts"]),
    }


SETTINGS = {"ring": 2, "posts": 5}  # set-ups on lathe and drill: common practice, no source


def _figures(parts: tuple[Part, ...], settings: int) -> dict[str, float]:
    mass = sum((part.mass_kg or 0.0) * part.quantity for part in parts)
    inertia = sum(
        ring_inertia(
            mass_kg=part.mass_kg,
            bore=part.size.get("bore", 0.0) or 1e-3,
            outside=part.size["outside"],
        )
        for part in parts
        if part.mass_kg and part.quantity == 1
    )
    return {"mass_kg": round(mass, 3), "inertia_kg_mm2": round(inertia, 1), "settings": settings}


def _plates(
    sides: Sides, fixed: LineUp | None, chain: Chain | None
) -> tuple[tuple[Part, ...], tuple[Fit, ...], tuple[Joint, ...]]:
    """One plate or two; none without a face to bolt it to."""
    if chain is None or chain.plate is None:
        return (), (), ()
    if sides.engine_face is None and sides.gearbox_face is None:
        return (), (), ()
    make = stack if sides.chosen.plates == 2 else plate
    return make(sides, fixed, chain)
