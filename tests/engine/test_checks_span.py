"""Checks of the span between the two sides, each worked by hand at its limit and on both sides of it.

The chain is closed form (the lengths between two faces add up whichever way they are taken);
limits are common practice, no source. Whole jobs: `sheets/`; their numbers are

    converter  t 25, z_d 5, D 30, f 12, wanted gap 3.2 to 4.8: L = t + D − 4 − z_d − f = 34
    shaft      t 25, z_d 10, q 88.8, w 30, k 50, gap 3.8: L = t + q − 3.8 − z_d − w − k = 20
    flange     t 1 in, z_d −1.5 in, N −1.5 in: L = t + N − z_d = 1 in
"""

from __future__ import annotations

from tests.engine.altered import INCH, NOT_RUN, Row, Rows, assert_row, rows

FACES_ONLY = {
    "engine.drive": None, "engine.starter": None, "gearbox.converter": None, "gearbox.pump": None,
    "flexplate": None,
}  # fmt: skip
KNOWN_SPAN = {
    "engine.face": None, "gearbox.face": None, "gearbox.converter.seat_depth": None,
    "choices.spacer": 34, "choices.plate": None,
}  # fmt: skip
THOU = 0.001 * INCH

ROWS: Rows = {
    # off = z_d + L − (t + g) − N, within ± 0.010 in
    "flange-position": (
        Row("flange", {}, "pass", 10 * THOU),
        Row("flange", {"choices.spacer": "1.010"}, "pass", 0.0),
        Row("flange", {"choices.spacer": "1.0101"}, "fail", -0.1 * THOU),
        Row("flange", {"choices.spacer": "0.990"}, "pass", 0.0),
        Row("flange", {"choices.spacer": "0.9899"}, "fail", -0.1 * THOU),
        Row("flange", {"choices.spacer": 1, "choices.packing": "0.02"}, "fail", -10 * THOU),
        Row("flange", {"choices.spacer": 1, "engine.drive.standoff": "-1.495"}, "pass", 5 * THOU),
        Row("flange", {"gearbox.driven.allow": None}, "pass", 0.25),
        Row("flange", {"gearbox.driven.position": None}, "unknown",
            lacks=("gearbox.driven.position",)),
        Row("flange", {"choices.spacer": 1, "engine.drive.standoff": None}, "unknown",
            lacks=("engine.drive.standoff",)),
        Row("converter", {}, NOT_RUN, lacks=("gearbox.driven",)),
    ),
    "spacer-length": (
        Row("converter", {}, "pass", 28.0),
        # converter: L = 39 − z_d, at least 6
        Row("converter", {"engine.drive.standoff": "33 ± 0.02"}, "pass", 0.0),
        Row("converter", {"engine.drive.standoff": "33.001 ± 0.02"}, "warn", -0.001),
        Row("converter", {"engine.drive.standoff": "38.999"}, "warn", -5.999),
        Row("converter", {"engine.drive.standoff": "39"}, "pass", 0.0, says="No rotating adapter"),
        Row("converter", {"engine.drive.standoff": "39.5"}, "fail", -0.5, says="too far back"),
        Row("converter", {"engine.drive.standoff": "-261"}, "pass", 0.0),
        Row("converter", {"engine.drive.standoff": "-261.5"}, "fail", -0.5),
        # at least 10 for heavy drives
        Row("converter", {"choices.rules": "heavy industrial", "engine.drive.standoff": "29"},
            "pass", 0.0),
        Row("converter", {"choices.rules": "heavy industrial", "engine.drive.standoff": "29.001"},
            "warn", -0.001),
        # shaft: a recess 0.5 deeper than the 8 mm spigot needs 3 mm behind it: L at least 11.5;
        # up to 6 the ring goes right over it and leaves 2 mm to locate
        Row("shaft", {}, "pass", 8.5),
        Row("shaft", {"choices.spacer": "11.5"}, "pass", 0.0),
        Row("shaft", {"choices.spacer": "11.499"}, "fail", -0.001, says="cut through"),
        Row("shaft", {"choices.spacer": "6.001"}, "fail", -5.499, says="cut through"),
        Row("shaft", {"choices.spacer": "6"}, "pass", 0.0),
        Row("shaft", {"choices.spacer": "5.999"}, "warn", -0.001),
        Row("converter", {"gearbox.converter.seat_depth": None}, "unknown",
            lacks=("gearbox.converter.seat_depth",)),
        Row("shaft", {"gearbox.release.retracted": None, "clutch.fingers": None}, "unknown",
            lacks=("gearbox.release.retracted", "clutch.fingers")),
        Row("converter", FACES_ONLY, NOT_RUN, lacks=("engine.drive",)),
    ),
    "plate-thickness": (
        # shaft: the sunk M10 head needs 10 + 0.5 + 0.5 d = 15.5; the thickest stock is 25
        Row("shaft", {}, "pass", 0.0, says="head-sunk"),
        Row("shaft", {"choices.plate": "15.5"}, "pass", 0.0),
        Row("shaft", {"choices.plate": "15.499"}, "fail", -0.001),
        Row("shaft", {"choices.plate": "30"}, "pass", 0.0, says="to 30.00 mm"),
        Row("shaft", {"choices.plate_stock": [10, 25, 40]}, "pass", 9.5),
        # the gap wants t − L from 4.2 to 5.8, the tip t − L up to 2 + s: with s = 1 they miss each
        # other by 1.2, and meet when each gives way by half of it
        Row("shaft", {"gearbox.shaft.reach": "1.0 ± 0.1"}, "fail", -0.6,
            says="release-gap against tip-engagement"),
        Row("shaft", {"gearbox.shaft.reach": "2.2 ± 0.1"}, "pass", 0.0),
        Row("shaft", {"gearbox.shaft.reach": "2.199 ± 0.1"}, "fail", -0.0005),
        # an adapter for a known span asks for no plate
        Row("converter", KNOWN_SPAN, NOT_RUN, lacks=("engine.face", "gearbox.face")),
    ),
    "tail-shift": (
        # flange: t + tail length − tail before = 1 in, ± 1.5 in allowed
        Row("flange", {}, "pass", 0.5 * INCH),
        Row("flange", {"installation.allowance": "1"}, "pass", 0.0),
        Row("flange", {"installation.allowance": "0.9999"}, "fail", -0.1 * THOU),
        Row("flange", {"installation.tail_before": "21.5"}, "pass", INCH),
        Row("flange", {"installation.tail_before": "22.6"}, "fail", -0.1 * INCH),
        Row("flange", {"choices.packing": "0.25"}, "pass", 0.25 * INCH),
        Row("shaft", {}, "pass", 5.0),  # t + g against the same gearbox as it stood before
        Row("flange", {"gearbox.tail_length": None}, "unknown", lacks=("gearbox.tail_length",)),
        Row("flange", {"installation.tail_before": None}, "pass", 0.5 * INCH),
        Row("shaft", {"installation.allowance": None}, "warn", says="No allowance"),
        Row("converter", KNOWN_SPAN, NOT_RUN, lacks=("installation",)),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)
