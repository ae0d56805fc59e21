"""Checks of the starter, each worked by hand at its limit and on both sides of it.

The chain and the centre distance are closed form; limits are common practice, no source.

    converter  starter on the engine, pinion moving rearward; the flexplate's ring from
               z_d + L − 6 = 33 to 42, pinion 12 wide, its end at 30.5 home and 42 out
    shaft      starter on the gearbox (z_0 = t = 25), pinion moving forward; the flywheel's ring
               from z_d + L + 5 = 35 to 45, pinion 14 wide, its end at 47.5 home and 36 out
    gears      98 and 10 teeth of module 3: from the ring's tips at 150 to the pinion's roots
               (10 − 2.5) · 3 / 2 = 11.25 from its centre, which stands 162.25 from the axis
"""

from __future__ import annotations

from tests.engine.altered import NOT_RUN, Row, Rows, assert_row, rows

ON_PLATE = {"engine.starter.mounts_on": "plate"}
NO_STARTER = {"engine.starter": None}

SQUARE = [{"x": x, "y": y} for x, y in ((270, 270), (-270, 270), (-270, -270), (270, -270))]
ROWS: Rows = {
    "pinion-overlap": (
        Row("converter", {}, "pass", 3.0),  # the whole ring of 9, wanted 2/3 of it
        Row("converter", {"engine.starter.engaged": 39}, "pass", 0.0),
        Row("converter", {"engine.starter.engaged": "38.999"}, "fail", -0.001),
        Row("converter", {"engine.starter.engaged": 48}, "pass", 0.0),  # past it: 36 to 48
        Row("converter", {"engine.starter.engaged": "48.001"}, "fail", -0.001),
        Row("converter", {"engine.starter.pinion_width": "5.999"}, "fail", -0.001),
        Row("converter", {"choices.spacer": 37}, "pass", 0.0),  # the ring moves back with L
        Row("converter", {"choices.spacer": "37.001"}, "fail", -0.001),
        Row("converter", ON_PLATE | {"engine.starter.home": "5.5", "engine.starter.engaged": 17},
            "pass", 3.0),
        Row("converter", ON_PLATE | {"engine.starter.home": "5.5",
                                     "engine.starter.engaged": "13.999"}, "fail", -0.001),
        # 36 to 50 over 35 to 45: 9 of 10, wanted 2/3
        Row("shaft", {}, "pass", 9 - 20 / 3),
        Row("shaft", {"engine.starter.engaged": 13}, "pass", 7 - 20 / 3),
        Row("shaft", {"engine.starter.engaged": "13.34"}, "fail", 6.66 - 20 / 3),
        Row("shaft", {"choices.packing": 1, "choices.spacer": 20}, "pass", 8 - 20 / 3),
        Row("converter", {"flexplate.ring": None}, "unknown", lacks=("engine.drive.ring",)),
        Row("converter", {"engine.starter.engaged": None}, "unknown",
            lacks=("engine.starter.engaged",)),
        Row("converter", {"flexplate.ring.standoff": None, "flexplate.ring.face": None}, "unknown",
            lacks=("flexplate.ring.standoff", "flexplate.ring.face")),
        Row("converter", NO_STARTER, NOT_RUN, lacks=("engine.starter",)),
    ),
    "pinion-rest-gap": (
        Row("converter", {}, "pass", 1.5),  # 33 − 30.5, at least 1, usual 1.5 to 3.5
        Row("converter", {"engine.starter.home": "31.5"}, "pass", 0.5),
        Row("converter", {"engine.starter.home": "31.501"}, "warn", 0.499),
        Row("converter", {"engine.starter.home": 32}, "warn", 0.0),
        Row("converter", {"engine.starter.home": "32.001"}, "fail", -0.001),
        Row("converter", {"engine.starter.home": "29.5"}, "pass", 2.5),
        Row("converter", {"engine.starter.home": "29.499"}, "warn", 2.501),
        Row("shaft", {}, "pass", 1.5),  # 47.5 − 45
        Row("shaft", {"engine.starter.home": "21"}, "warn", 0.0),
        Row("shaft", {"engine.starter.home": "20.999"}, "fail", -0.001),
        Row("converter", {"engine.starter.home": None}, "unknown", lacks=("engine.starter.home",)),
        Row("converter", NO_STARTER, NOT_RUN, lacks=("engine.starter",)),
    ),
    "starter-hand": (
        Row("converter", {}, "pass"),
        Row("converter", {"engine.starter.hand": "cw"}, "fail", says="wrong way"),
        Row("converter", {"flexplate.ring.chamfer": "rear"}, "fail", says="enters from the front"),
        Row("shaft", {}, "pass"),
        Row("shaft", {"flywheel.ring.chamfer": "front"}, "fail", says="enters from the rear"),
        Row("converter", {"engine.starter.hand": None}, "unknown", lacks=("engine.starter.hand",)),
        Row("converter", {"engine.rotation": None}, "unknown", lacks=("engine.rotation",)),
        Row("converter", {"flexplate.ring.chamfer": None}, "unknown",
            lacks=("flexplate.ring.chamfer",)),
        Row("converter", {"engine.starter.home": None}, "unknown", lacks=("engine.starter.home",)),
        Row("converter", {"flexplate.ring": None}, "unknown", lacks=("engine.drive.ring",)),
        Row("converter", NO_STARTER, NOT_RUN, lacks=("engine.starter",)),
    ),
    "starter-clears": (
        # the outline drawn round the holes has a pocket 3 mm larger than the body all round
        Row("converter", {"engine.starter.centre": [-290, 0], "engine.starter.body": 100}, "pass", 3),
        # a square plate to x = -270: 52 to the centre, 50 of body
        Row("converter", {"engine.starter.centre": [-322, 0], "engine.starter.body": 100,
                          "choices.plate_outline": SQUARE}, "warn", 2),
        Row("converter", {"engine.starter.centre": [-319, 0], "engine.starter.body": 100,
                          "choices.plate_outline": SQUARE}, "fail", -1, says="reaches 1.00 mm"),
        Row("converter", {}, NOT_RUN, lacks=("engine.starter.body",)),
        Row("converter", NO_STARTER, NOT_RUN, lacks=("engine.starter",)),
    ),
    "ring-pitch": (
        Row("converter", {}, "pass", 0.5),  # root clearance 1.0, usual 0.5 to 1.5
        Row("converter", {"engine.starter.centre": ["-129.4", "97.05"]}, "pass", 0.0),
        Row("converter", {"engine.starter.centre": ["-129.36", "97.02"]}, "warn", -0.05),
        Row("converter", {"engine.starter.centre": ["-130.2", "97.65"]}, "pass", 0.0),
        Row("converter", {"engine.starter.centre": ["-130.24", "97.68"]}, "warn", -0.05),
        # a face measured from elsewhere: its origin comes off first
        Row("converter", {"engine.face.origin": [10, 0], "engine.starter.centre": ["-119.8", "97.35"]},
            "pass", 0.5),
        Row("converter", {"flexplate.ring.pitch": "module 3.089"}, "pass", 0.5),
        Row("converter", {"flexplate.ring.pitch": "module 3.091"}, "fail", says="different pitch"),
        Row("converter", {"engine.starter.pitch": "12 DP"}, "fail", says="12.0 and 8.5 DP"),
        # 300 over 98 + 2 teeth, 36 over 10 + 2: module 3 either way
        Row("converter", {"flexplate.ring.pitch": None}, "pass", 0.5),
        Row("converter", {"engine.starter.pitch": None, "engine.starter.pinion_outside": 36},
            "pass", 0.5),
        Row("converter", {"engine.starter.pitch": None}, "unknown",
            lacks=("engine.starter.pitch",)),
        Row("converter", {"flexplate.ring.pitch": None, "flexplate.ring.diameter": None}, "unknown",
            lacks=("flexplate.ring.pitch",)),
        Row("converter", {"engine.starter.centre": None, "flexplate.ring.teeth": None}, "unknown",
            lacks=("flexplate.ring.teeth", "engine.starter.centre")),
        Row("converter", {"engine.starter.pinion_teeth": None}, "unknown",
            lacks=("engine.starter.pinion_teeth",)),
        Row("converter", {"flexplate.ring": None}, NOT_RUN,
            lacks=("engine.starter", "engine.drive.ring")),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)
