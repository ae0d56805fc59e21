"""Checks of the input shaft and its clutch, each worked by hand at its limit and on both sides.

The chain is closed form; limits are common practice, no source. The whole job has t 25, z_d 10,
L 20, w 30, so that

    shaft end    z_s = t − s = 20, its tip 14 long from 20 to 34
    bush         rear end z_m = z_d + L = 30, 12 wide, hole 15 deep
    clutch face  z_c = z_d + L + w = 60, its disc's hub from 52 to 82, splines from 40 to 100
    release gap  t + q − z_c − k = 23.8 − L, closed on 3.8
"""

from __future__ import annotations

from tests.engine.altered import NOT_RUN, Row, Rows, assert_row, rows

NO_WEAR = {"clutch.wear": None}
CONSTANT = {"gearbox.release.kind": "constant contact"}
PRELOAD = CONSTANT | {"gearbox.release.preload": ["12.7", "15.2"]}

ROWS: Rows = {
    # engaged from max(z_s, z_m − B) to min(z_m, z_s + n), wanted 2/3 of the bush
    "tip-engagement": (
        Row("shaft", {}, "pass", 2.0),
        Row("shaft", {"gearbox.shaft.tip.length": 8}, "pass", 0.0),
        Row("shaft", {"gearbox.shaft.tip.length": "7.999"}, "fail", -0.001),
        Row("shaft", {"gearbox.shaft.reach": 3}, "pass", 0.0),
        Row("shaft", {"gearbox.shaft.reach": "2.999"}, "fail", -0.001),
        Row("shaft", {"gearbox.shaft.reach": -15}, "fail", -18.0, says="does not reach"),
        Row("shaft", {"pilot.bush_width": 9}, "pass", 3.0),
        Row("shaft", {"pilot.mouth": -1}, "pass", 1.0),
        Row("shaft", {"pilot.carried_by": "crank", "pilot.mouth": 20}, "pass", 2.0),
        Row("shaft", {"pilot.bush_width": None}, "pass", 0.0, says="the depth of the hole"),
        Row("shaft", {"choices.rules": "heavy industrial"}, "pass", 1.0),
        Row("shaft", {"pilot": None}, "unknown", lacks=("pilot",)),
        Row("shaft", {"pilot.bush_width": None, "pilot.depth": None}, "unknown",
            lacks=("pilot.depth",)),
        Row("shaft", {"gearbox.shaft.tip.length": None}, "unknown",
            lacks=("gearbox.shaft.tip.length",)),
        Row("shaft", {"gearbox.shaft.tip": None}, NOT_RUN, lacks=("gearbox.shaft.tip",)),
    ),
    # z_s − (z_m − d) = d − 10
    "tip-bottoming": (
        Row("shaft", {}, "pass", 2.0),
        Row("shaft", {"pilot.depth": "13.2"}, "pass", 0.2),
        Row("shaft", {"pilot.depth": "13.199"}, "warn", 0.199),
        Row("shaft", {"pilot.depth": 13}, "warn", 0.0),
        Row("shaft", {"pilot.depth": "12.999"}, "fail", -0.001),
        Row("shaft", {"pilot.depth": None}, "unknown", lacks=("pilot.depth",)),
        Row("converter", {}, NOT_RUN, lacks=("gearbox.shaft.tip",)),
    ),
    # z_s + n − z_m = n − 10
    "tip-shoulder": (
        Row("shaft", {}, "pass", 4.0),
        Row("shaft", {"gearbox.shaft.tip.length": 11}, "pass", 1.0),
        Row("shaft", {"gearbox.shaft.tip.length": "10.999"}, "warn", 0.999),
        Row("shaft", {"gearbox.shaft.tip.length": "10.001"}, "warn", 0.001),
        Row("shaft", {"gearbox.shaft.tip.length": 10}, "fail", 0.0),
        Row("shaft", {"gearbox.shaft.tip.length": None}, "unknown",
            lacks=("gearbox.shaft.tip.length",)),
        Row("flange", {}, NOT_RUN, lacks=("gearbox.shaft.tip",)),
    ),
    # the hub is 30 long: all of it wanted, 24 at least
    "spline-overlap": (
        Row("shaft", {}, "pass", 6.0),
        Row("shaft", {"gearbox.shaft.spline.length": 42}, "pass", 6.0),
        Row("shaft", {"gearbox.shaft.spline.length": "41.999"}, "warn", 5.999),
        Row("shaft", {"gearbox.shaft.spline.length": 36}, "warn", 0.0),
        Row("shaft", {"gearbox.shaft.spline.length": "35.999"}, "fail", -0.001),
        Row("shaft", {"gearbox.shaft.spline.from_tip": 38}, "warn", 0.0),
        Row("shaft", {"gearbox.shaft.spline.from_tip": "38.001"}, "fail", -0.001),
        Row("shaft", {"clutch.disc_hub.rear": None}, "unknown", lacks=("clutch.disc_hub.rear",)),
        Row("shaft", {"gearbox.shaft.spline.length": None}, "unknown",
            lacks=("gearbox.shaft.spline.length",)),
        Row("shaft", {"clutch.disc_hub": None}, NOT_RUN, lacks=("clutch.disc_hub",)),
    ),
    # w + hub front − head tops = 30 − 8 − 12
    "disc-hub-clears": (
        Row("shaft", {}, "pass", 8.0),
        Row("shaft", {"flywheel.bolt_heads": 20}, "pass", 0.0),
        Row("shaft", {"flywheel.bolt_heads": "20.001"}, "fail", -0.001),
        Row("shaft", {"flywheel.bolt_heads": None}, "unknown", lacks=("flywheel.bolt_heads",)),
        Row("shaft", {"clutch.disc_hub.front": None}, "unknown", lacks=("clutch.disc_hub.front",)),
        Row("shaft", {"clutch": None}, NOT_RUN, lacks=("clutch.disc_hub",)),
    ),
    "release-gap": (
        Row("shaft", {}, "pass", 0.8),  # 3.8 ± 0.8 with one disc
        Row("shaft", {"choices.spacer": "20.8"}, "pass", 0.0),
        Row("shaft", {"choices.spacer": "20.801"}, "warn", -0.001),
        Row("shaft", {"choices.spacer": "19.2"}, "pass", 0.0),
        Row("shaft", {"choices.spacer": "19.199"}, "warn", -0.001),
        # a whole band's width outside it fails
        Row("shaft", NO_WEAR | {"choices.spacer": "22.4"}, "warn", -1.6),
        Row("shaft", NO_WEAR | {"choices.spacer": "22.401"}, "fail", -1.601),
        Row("shaft", {"choices.spacer": "17.6"}, "warn", -1.6),
        Row("shaft", {"choices.spacer": "17.599"}, "fail", -1.601),
        Row("shaft", NO_WEAR | {"clutch.release_gap": [0, 20], "choices.spacer": "23.8"}, "fail",
            0.0),
        # a pushed clutch's fingers come back as its disc wears: gap − wear above 0
        Row("shaft", {"clutch.wear": "3.799"}, "pass", 0.001),
        Row("shaft", {"clutch.wear": "3.8"}, "fail", 0.0, says="Wear"),
        Row("shaft", {"clutch.wear": "3.8", "clutch.acts": "pull"}, "pass", 0.8),
        Row("shaft", {"clutch.discs": 2}, "pass", 0.8, says="5.1"),  # 5.1 ± 0.8 with two
        Row("shaft", {"clutch.release_gap": ["2.5", 5]}, "pass", 1.25),
        # in constant contact the bearing is pressed together by −gap
        Row("shaft", PRELOAD | {"choices.spacer": "36.5"}, "pass", 0.0),
        Row("shaft", PRELOAD | {"choices.spacer": "36.499"}, "warn", -0.001),
        Row("shaft", PRELOAD | {"choices.spacer": "39"}, "pass", 0.0),
        Row("shaft", PRELOAD | {"choices.spacer": "39.001"}, "warn", -0.001),
        Row("shaft", PRELOAD | {"choices.spacer": "41.501"}, "fail", -2.501),
        Row("shaft", CONSTANT, "pass", 1.25, says="pressed together by 14.0"),
        Row("shaft", {"clutch.fingers": None}, "unknown", lacks=("clutch.fingers",)),
        Row("shaft", {"gearbox.release.retracted": None}, "unknown",
            lacks=("gearbox.release.retracted",)),
        Row("shaft", {"gearbox.release": None}, NOT_RUN, lacks=("gearbox.release",)),
    ),
    # gap 3.8 + stroke 10 + 2 in reserve, of a travel of 20
    "release-travel": (
        Row("shaft", {}, "pass", 4.2),
        Row("shaft", {"gearbox.release.travel": "15.8"}, "pass", 0.0),
        Row("shaft", {"gearbox.release.travel": "15.799"}, "fail", -0.001),
        Row("shaft", PRELOAD, "pass", 8.0),  # no gap to take up
        Row("shaft", {"gearbox.release.stroke": None}, "unknown",
            lacks=("gearbox.release.stroke",)),
        Row("shaft", {"clutch.fingers": None}, "unknown", lacks=("clutch.fingers",)),
        Row("converter", {}, NOT_RUN, lacks=("gearbox.release",)),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)
