"""Everything that is made: plate, ring, bush, with their fits and joints."""

from __future__ import annotations

from kb.model.chain import Chain
from kb.model.lineup import LineUp
from kb.model.parts import Adapter
from kb.model.record import Sides
from wizard.engine.parts.pilot import bush, pilot
from wizard.engine.parts.plate import plate
from wizard.engine.parts.ring import ring


def adapter(
    sides: Sides, fixed: LineUp | None, rotating: LineUp | None, chain: Chain | None
) -> Adapter:
    """The parts of the job, as they are to be made."""
    pilot_made, pilot_fits = pilot(sides, chain)
    plate_part, plate_fits, plate_joints = plate(sides, fixed, chain)
    ring_part, ring_fits, ring_joints = ring(sides, rotating, chain, pilot_made)
    parts = (plate_part, ring_part, bush(sides, pilot_made))
    return Adapter(
        parts=tuple(part for part in parts if part is not None),
        fits=(*plate_fits, *ring_fits, *pilot_fits), joints=(*plate_joints, *ring_joints),
        pilot=pilot_made,
    )  # fmt: skip
