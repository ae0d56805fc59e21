"""Everything that is made: plate, ring, bush, with their fits and joints."""

from __future__ import annotations

from dataclasses import replace

from kb.model.chain import Chain
from kb.model.lineup import LineUp
from kb.model.parts import Adapter, Fit, Joint, Part, Pilot
from kb.model.record import Sides
from wizard.engine.parts.clamped import clamped
from wizard.engine.parts.compared import compared
from wizard.engine.parts.fixing import held
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
    plates = tuple(held(sides, one) for one in plates)
    made = (*plates, *turning, bush(sides, pilot_made, pilot_fits))
    parts = tuple(_cautioned(sides, part) for part in made if part is not None)
    fits = (*plate_fits, *turning_fits, *pilot_fits)
    joints = tuple(clamped(sides, one, parts) for one in (*plate_joints, *turning_joints))
    return Adapter(
        parts=parts, fits=fits, joints=joints, pilot=pilot_made,
        predicted_tir=predicted_tir(sides, parts, fits),
        compared=compared(sides, rotating, chain, pilot_made, pilot_fits),
    )  # fmt: skip


def _cautioned(sides: Sides, part: Part) -> Part:
    """The part, with a word about lifting where it is heavy."""
    if part.mass_kg is None or part.mass_kg <= sides.rules["lifting.mass"]:
        return part
    weight = f"{part.mass_kg:.0f} kg ({part.mass_kg / POUND:.0f} lb)"
    says = f"{weight}: lift it with a hoist or by two; never alone by hand on to a machine."
    return replace(part, notes=(*part.notes, says))


POUND = 0.45359237  # kg, exact by definition

Made = tuple[tuple[Part, ...], tuple[Fit, ...], tuple[Joint, ...]]


def _rotating(
    sides: Sides, rotating: LineUp | None, chain: Chain | None, pilot_made: Pilot | None
) -> Made:
    """The part that turns, in the style asked for or the one that suits the span."""
    part, fits, joints = ring(sides, rotating, chain, pilot_made)
    heavy = part.mass_kg if part is not None else None
    if chain is not None and posts_wanted(sides, rotating, chain, ring_kg=heavy):
        return posts(sides, rotating, chain, pilot_made)
    return ((part,) if part is not None else ()), fits, joints


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
