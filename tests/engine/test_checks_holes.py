"""Checks of the holes of the fixed joint, each worked by hand at its limit and on both sides.

Whole jobs have eight holes on one circle of radius 200 in each face, the gearbox's half a step
on, so that a start angle s puts the nearest pair s degrees apart: wall 400·sin(s/2) − 14, the
counterbore of an M10 socket screw being 18 and an M10 tapped in the plate 10. Geometry is closed
form; limits are common practice, no source.
"""

from __future__ import annotations

import pytest

from tests.engine.altered import NOT_RUN, Row, Rows, assert_row, design_of, rows
from tests.engine.by_hand import angle_of, chord

RADIUS, DISCS = 200.0, (18 + 10) / 2
HAIR = 1e-4  # degrees: 0.35 µm on the circle
TOUCH = angle_of(RADIUS, DISCS)
ALUMINIUM = angle_of(RADIUS, DISCS + 10)  # one diameter of M10
STEEL = angle_of(RADIUS, DISCS + 5)  # half of one: there also half of the aluminium's


def start(degrees: float) -> dict[str, object]:
    return {"gearbox.face.circle.start": degrees}


def wall(degrees: float) -> float:
    return chord(RADIUS, degrees) - DISCS


def facing(hole: int) -> int:
    """The engine's hole where a hole of the gearbox comes: at 180° − 45°·(n − 1) from behind."""
    return (6 - hole) % 8 or 8


def pin_at(y: str) -> dict[str, object]:
    """The gearbox's upper dowel, 12 across, above the engine's upper hole at 200."""
    return {"gearbox.face.dowels[1].y": y}


def square(half: float) -> dict[str, object]:
    """A measured outline: a square about the axis; the outermost holes are the dowels at 230."""
    return {"engine.face.outline": [[-half, -half], [half, -half], [half, half], [-half, half]]}


NO_FACE = {"engine.face": None, "engine.starter": None}
BLANK_FACE = {"gearbox.face.circle": None, "gearbox.face.dowels": None}
TWELVE = {"engine.face.circle.count": 12}

ROWS: Rows = {
    "hole-clash": (
        Row("converter", {}, "pass", wall(22.5)),
        Row("converter", start(TOUCH + HAIR), "pass", wall(TOUCH + HAIR)),
        Row("converter", start(TOUCH - HAIR), "fail", wall(TOUCH - HAIR)),
        Row("converter", start(0), "fail", -DISCS),
        Row("converter", {"choices.plates": 2, "choices.plate": None} | start(0), "pass",
            says="two plates"),
        Row("converter", {"choices.share": [f"{facing(n)}={n}" for n in range(1, 9)]}
            | start(0), "pass", chord(RADIUS, 45) - DISCS),
        Row("converter", BLANK_FACE, "unknown", lacks=("gearbox.face.holes",)),
        Row("converter", NO_FACE, NOT_RUN, lacks=("engine.face",)),
    ),
    "least-wall": (
        # the dowels stand 30 − 6 − 9 = 15 from the holes, 6 being wanted there
        Row("converter", {}, "pass", 9.0),
        Row("converter", start(ALUMINIUM + HAIR), "pass", wall(ALUMINIUM + HAIR) - 10),
        Row("converter", start(ALUMINIUM - HAIR), "warn", wall(ALUMINIUM - HAIR) - 10),
        Row("converter", start(STEEL + HAIR), "warn", wall(STEEL + HAIR) - 10),
        Row("converter", start(STEEL - HAIR), "fail", wall(STEEL - HAIR) - 10),
        Row("converter", {"choices.plate_material": "A36"} | start(STEEL + HAIR), "pass",
            wall(STEEL + HAIR) - 5),
        Row("converter", {"choices.plate_material": "A36"} | start(STEEL - HAIR), "warn",
            wall(STEEL - HAIR) - 5),
        # flange, in inches: counterbore 5/8 of a 3/8 screw, 3/8 wanted
        Row("flange", {}, "pass", (chord(8, 22.5) - 0.5 - 0.375) * 25.4),
        Row("converter", pin_at("221"), "pass", 0.0),
        Row("converter", pin_at("220.999"), "warn", -0.001),
        Row("converter", pin_at("218"), "warn", -3.0),
        Row("converter", pin_at("217.999"), "fail", -3.001, says="beside a dowel"),
        Row("converter", {"choices.least_wall": 15}, "pass", 0.0),
        Row("converter", {"choices.least_wall": "15.001"}, "warn", -0.001),
        Row("converter", {"choices.plates": 2, "choices.plate": None} | start(0), "pass"),
        Row("converter", BLANK_FACE, "unknown", lacks=("gearbox.face.holes",)),
        Row("converter", NO_FACE, NOT_RUN, lacks=("engine.face",)),
    ),
    "edge-distance": (
        Row("converter", square(248), "pass", 6.0),  # 1.5 of the dowel's 12
        Row("converter", square(247.99), "warn", 5.99),
        Row("converter", square(242), "warn", 0.0),
        Row("converter", square(241.99), "fail", -0.01),
        Row("converter", {}, "pass", 6 - 0.5),  # our own outline: 1.5 of an 11 mm hole
        # the opening is an edge too: a hole of 11 at 99.5 − 83
        Row("converter", {"engine.face.circle.diameter": 199} | square(300), "pass", 5.5),
        Row("converter", {"engine.face.circle.diameter": "198.99"} | square(300), "warn", 5.495),
        Row("converter", {"engine.face": None, "gearbox.face": None, "engine.starter": None},
            NOT_RUN, lacks=("engine.face.holes", "gearbox.face.holes")),
    ),
    "wrench-access": (
        # a socket for 16 across flats is 23 outside (ISO 2725-1, from memory), and 1 mm more
        Row("converter", {}, "pass", 6.0),
        Row("converter", {"gearbox.face.circle.socket_room": 24}, "pass", 0.0),
        Row("converter", {"gearbox.face.circle.socket_room": "23.999"}, "fail", -0.001),
        Row("converter", {"gearbox.face.circle.hole": 26, "gearbox.face.circle.bolt": "M24"},
            "unknown", lacks=("gearbox.face.circle.bolt",)),
        Row("converter", {"gearbox.face.circle.socket_room": None}, NOT_RUN,
            lacks=("gearbox.face.holes.socket_room",)),
    ),
    "bolt-gap": (
        Row("converter", {"gearbox.face.circle.count": 1}, "fail", says="One bolt alone"),
        Row("converter", {"choices.leave_out": ["engine:2"]}, "warn", 0.0),  # 90° between 1 and 3
        Row("converter", {"choices.leave_out": ["gearbox:1", "engine:6"]}, "warn", 0.0),
        Row("converter", {"choices.leave_out": ["engine:1", "engine:2"]}, "fail", -45.0),
        Row("converter", {"choices.leave_out": ["engine:2", "engine:4"]}, "warn", 0.0),
        Row("converter", TWELVE | {"choices.leave_out": ["engine:2"]}, "pass", 30.0),
        Row("converter", TWELVE | {"choices.leave_out": ["engine:2", "engine:3"]}, "warn", 0.0),
        Row("converter", {"engine.face.circle.count": 11, "choices.leave_out": ["engine:2"]},
            "warn", 90 - 720 / 11),
        Row("converter", {}, NOT_RUN, lacks=("choices.leave_out",)),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)


def test_clash_names_the_pairs_seen_from_behind() -> None:
    made = design_of("converter", start(0))
    assert made.fixed is not None
    found = {(one.engine, one.gearbox) for one in made.fixed.clashes}
    assert found == {(str(facing(n)), str(n)) for n in range(1, 9)}
    assert [one.wall for one in made.fixed.clashes] == pytest.approx([-DISCS] * 8)
