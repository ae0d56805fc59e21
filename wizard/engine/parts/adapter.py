"""Everything that is made: plate, ring, bush, with their fits and joints."""

from __future__ import annotations

from kb.model.chain import Chain
from kb.model.lineup import LineUp
from kb.model.parts import Adapter, Fit, Joint, Part
from kb.model.record import Sides
from wizard.engine.parts.pilot import bush, pilot
from wizard.engine.parts.plate import plate
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
    ring_part, ring_fits, ring_joints = ring(sides, rotating, chain, pilot_made)
    made = (*plates, ring_part, bush(sides, pilot_made))
    parts = tuple(part for part in made if part is not None)
    fits = (*plate_fits, *ring_fits, *pilot_fits)
    return Adapter(
        parts=parts, fits=fits, joints=(*plate_joints, *ring_joints), pilot=pilot_made,
        predicted_tir=predicted_tir(sides, parts, fits),
    )  # fmt: skip


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
