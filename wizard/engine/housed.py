"""How a screw's head lies in the plate: counterbored, flush in a countersink, or a stud's nut.

* ``counterbored``: a socket head cap screw in a flat seat.
* ``flush``: a countersunk socket screw. Wider at the face than a counterbore, but not much more
  than half as deep, and with four fifths of the strength.
* ``studs``: a stud in the casting, and on it a sleeve nut, turned to go into a narrower flat seat.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kb.quantity import Thread
from kb.standards.heads import countersunk_screw, socket_screw

RELIEF = 0.5  # mm a head or nut lies below the face: common practice, no source
FLUSH = 0.2  # mm a countersunk head lies below the face: common practice, no source
SLEEVE = 1.5  # screw diameters across the seat of a sleeve nut: common practice, no source
NUT = 1.0  # screw diameters of thread in it: common practice, no source
BETWEEN_SEATS = 3.0  # mm of plate between seats cut from both sides: common practice, no source
PLAY = 0.5  # mm its seat is wider than the nut: common practice, no source
WORDS = {
    "counterbored": "socket", "flush": "countersunk", "studs": "stud and sleeve nut",
}  # fmt: skip


@dataclass(frozen=True)
class Housed:
    """The room one head takes in the plate.

    Attributes:
        width: Across the seat, at the face [mm].
        depth: From the face to where the head bears lowest [mm].
        angle: Of a countersink [°]; ``None`` for a flat seat.
        bearing: Outside of the face the head bears on [mm].
    """

    width: float
    depth: float
    angle: float | None
    bearing: float


def housed(screw: Thread, heads: str = "counterbored") -> Housed:
    """The room the head of a screw takes.

    Args:
        screw: Its thread.
        heads: ``counterbored``, ``flush`` or ``studs``.
    Raises:
        NotTabulated: a head that is not tabled.
    """
    if heads == "flush":
        sunk = countersunk_screw(screw)
        flare = 2 * FLUSH * math.tan(math.radians(sunk.angle / 2))
        return Housed(
            round(sunk.head_diameter + flare, 2), round(sunk.head_height + FLUSH, 3),
            sunk.angle, sunk.head_diameter,
        )  # fmt: skip
    if heads == "studs":
        width = SLEEVE * screw.major
        return Housed(width, round(NUT * screw.major + RELIEF, 3), None, width - PLAY)
    head = socket_screw(screw)
    return Housed(
        head.counterbore, round(head.head_height + RELIEF, 3), None,
        head.bearing or head.head_diameter,
    )  # fmt: skip
