"""Checks of identity and installation, each at its limit and on both sides.

Comparisons of what the sheet says; limits are common practice, no source. Of two readings the
difference may be as large as their two ± joined as squares (GUM, uncorrelated).
"""

from __future__ import annotations

import math

from tests.engine.altered import NOT_RUN, Row, Rows, assert_row, rows

LONE = {"engine": None, "flexplate": None}
BARE_UNITS = {
    "engine.face": None, "gearbox.face": None, "engine.starter": None, "answers": None,
}  # fmt: skip
ASKED = (
    "access_hole", "galleries", "shifter", "cooler_lines", "mount", "driveshaft", "breather",
    "sump_rail", "electrics",
)  # fmt: skip
RE_DRILLED: dict[str, object] = {
    "flexplate.converter_circle.count": 3, "flexplate.outside": 400,
}  # fmt: skip
# three old holes and four lugs on one circle: at best 180°/lcm(4, 3) = 15° apart
WEB = 2 * 125 * math.sin(math.radians(7.5)) - 11


WIDEST = 11 + 2 * (WEB - 1.5 * 11)  # the old holes that leave 1.5 of the lug's own between them


def old_holes(size: float) -> dict[str, object]:
    return RE_DRILLED | {"flexplate.converter_circle.hole": f"{size:.6f}"}


ROWS: Rows = {
    "rotation": (
        Row("converter", {}, "pass"),
        Row("converter", {"engine.rotation": "cw", "engine.starter.hand": "cw"}, "fail"),
        Row("flange", {}, "pass", says="clockwise"),
        Row("converter", {"gearbox.rotation": None}, "unknown", lacks=("gearbox.rotation",)),
        Row("converter", {"gearbox.rotation": None, "engine.rotation": None}, "unknown",
            lacks=("engine.rotation", "gearbox.rotation")),
        Row("converter", {"gearbox.rotation": None, "engine.rotation": None} | BARE_UNITS, NOT_RUN,
            lacks=("engine.rotation", "gearbox.rotation")),
        Row("converter", LONE, NOT_RUN, lacks=("engine", "gearbox")),
    ),
    "torque-rating": (
        Row("converter", {}, "pass", 120.0),  # 420 for 300 N·m
        Row("converter", {"gearbox.torque_limit": "300 N·m"}, "pass", 0.0),
        Row("converter", {"gearbox.torque_limit": "299.9 N·m"}, "fail", -0.1),
        Row("converter", {"use.torque_factor": 1.4}, "pass", 0.0),
        Row("converter", {"use.torque_factor": 1.401}, "warn", -0.3),
        # heavy drives ask for half as much again: 600 for 400 N·m
        Row("flange", {"gearbox.torque_limit": "600 N·m"}, "pass", 0.0),
        Row("flange", {"gearbox.torque_limit": "599.9 N·m"}, "warn", -0.1),
        Row("flange", {"gearbox.torque_limit": "399.9 N·m"}, "fail", -200.1),
        Row("shaft", {"clutch.torque_limit": "249.9 N·m"}, "fail", -0.1, says="clutch"),
        Row("converter", {"gearbox.torque_limit": None}, "unknown",
            lacks=("gearbox.torque_limit",)),
        Row("converter", {"engine.peak_torque": None}, "unknown", lacks=("engine.peak_torque",)),
        Row("converter", LONE, NOT_RUN, lacks=("engine", "gearbox")),
    ),
    "speed-rating": (
        Row("converter", {}, "pass", 1000.0),
        Row("converter", {"flexplate.max_speed": 4000}, "pass", 0.0),
        Row("converter", {"flexplate.max_speed": 3999}, "fail", -1.0, says="flexplate"),
        Row("shaft", {"flywheel.max_speed": 3999, "clutch.max_speed": 3990}, "fail", -10.0,
            says="clutch"),
        Row("converter", {"flexplate.max_speed": None}, "unknown",
            lacks=("flexplate.max_speed",)),
        Row("converter", {"flexplate.max_speed": None, "gearbox.max_speed": 3000}, "fail", -1000.0),
        Row("converter", {"engine.max_speed": None}, "unknown", lacks=("engine.max_speed",)),
        Row("converter", {"engine.max_speed": None} | BARE_UNITS, NOT_RUN,
            lacks=("engine.max_speed",)),
    ),
    "balance-kind": (
        Row("converter", {}, "pass"),
        Row("converter", {"engine.balance": "external"}, "fail"),
        Row("converter", {"flexplate.balance": "weighted"}, "fail"),
        Row("shaft", {"engine.balance": "external", "flywheel.balance": "weighted"}, "pass"),
        Row("converter", {"flexplate.balance": None}, "unknown", lacks=("flexplate.balance",)),
        Row("shaft", {"engine.balance": None}, "unknown", lacks=("engine.balance",)),
        Row("flange", {}, NOT_RUN, lacks=("engine.balance", "flexplate.balance")),
    ),
    "spline-identity": (
        Row("shaft", {}, "pass", 0.5),
        Row("shaft", {"clutch.disc_hub.diameter": 29}, "pass", 0.0),
        Row("shaft", {"clutch.disc_hub.diameter": "29.001"}, "fail", -0.001),
        Row("shaft", {"clutch.disc_hub.count": 23}, "fail", says="22 splines"),
        Row("shaft", {"clutch.disc_hub.form": "parallel"}, "fail", says="Forms differ"),
        Row("shaft", {"clutch.disc_hub.form": None}, "pass", 0.5, says="Try the disc"),
        Row("shaft", {"clutch.disc_hub.diameter": None}, "unknown",
            lacks=("clutch.disc_hub.diameter",)),
        Row("shaft", {"gearbox.shaft.spline.count": None}, "unknown",
            lacks=("gearbox.shaft.spline.count",)),
        Row("converter", {}, NOT_RUN, lacks=("gearbox.shaft.spline", "clutch.disc_hub")),
    ),
    "converter-circle": (
        Row("converter", {}, "pass", 0.5),
        Row("converter", {"flexplate.converter_circle.diameter": "250.5"}, "pass", 0.0),
        Row("converter", {"flexplate.converter_circle.diameter": "250.501"}, "warn", 3.0),
        Row("converter", RE_DRILLED, "warn", WEB - 16.5),
        Row("converter", old_holes(WIDEST - 0.002), "warn", 0.001),
        Row("converter", old_holes(WIDEST + 0.002), "fail", -0.001),
        # and to the rim: 294/2 − 125 − 5.5 = 16.5
        Row("converter", RE_DRILLED | {"flexplate.outside": 294}, "warn", 0.0),
        Row("converter", RE_DRILLED | {"flexplate.outside": "293.998"}, "fail", -0.001),
        Row("converter", {"flexplate.converter_circle": None}, "unknown",
            lacks=("flexplate.converter_circle",)),
        Row("converter", RE_DRILLED | {"gearbox.converter.circle.hole": None}, "unknown",
            lacks=("gearbox.converter.circle.hole",)),
        Row("shaft", {}, NOT_RUN, lacks=("gearbox.converter", "flexplate")),
    ),
    "dimension-agreement": (
        # ± 0.03 and ± 0.04 join to 0.05
        Row("converter", {"engine.drive.standoff": ["5.00 ± 0.03", "5.05 ± 0.04"]}, "pass"),
        Row("converter", {"engine.drive.standoff": ["5.00 ± 0.03", "5.0501 ± 0.04"]}, "fail",
            says="engine.drive.standoff"),
        Row("converter", {"engine.drive.standoff": ["5.00 ± 0.03", "5.04 ± 0.04", "4.94 ± 0.04"]},
            "fail"),
        Row("converter", {}, NOT_RUN, lacks=("a second reading of any dimension",)),
    ),
    "identified-by-measurement": (
        Row("converter", {}, "pass"),
        Row("converter", {"gearbox.converter.seat_depth": {"value": 30, "from": "catalogue"}},
            "warn", says="seat_depth (catalogue)"),
        Row("shaft", {"flywheel.height": {"value": 30, "within": 0.05, "from": "drawing"}}, "warn"),
        Row("shaft", {"clutch.fingers": {"value": 50, "within": 0.2, "from": "measured"}}, "pass"),
        Row("flange", {"gearbox.driven.position": {"value": -1.5, "from": "guess"}}, "warn"),
        Row("flange", {"gearbox.driven.position": None, "engine.drive.standoff": None}, NOT_RUN,
            lacks=("engine.drive.standoff", "gearbox.converter.seat_depth")),
    ),
    "shield": (
        Row("converter", {}, "pass", says="not called for"),
        Row("converter", {"answers.shield": None}, "unknown", lacks=("answers.shield",),
            says="called for by speed, class"),
        Row("converter", {"answers.shield": None, "engine.max_speed": 6000}, "unknown",
            lacks=("answers.shield",), says="At 6000 rpm"),
        Row("converter", {"answers.shield": None, "engine.max_speed": 5999}, "unknown",
            lacks=("answers.shield",), says="Is a scatter shield"),
        Row("converter", LONE, NOT_RUN, lacks=("engine", "gearbox")),
        Row("converter", BARE_UNITS, NOT_RUN, lacks=("engine.face", "gearbox.face")),
    ),
    "shop-questions": (
        Row("converter", {}, "pass"),
        Row("shaft", {}, "pass"),
        Row("converter", {"answers.mount": " "}, "unknown", lacks=("answers.mount",)),
        Row("converter", {"answers": None}, "unknown",
            lacks=tuple(f"answers.{one}" for one in ASKED), says="9 of 9"),
        Row("shaft", {"answers": {"shifter": "by rod"}}, "unknown",
            lacks=tuple(f"answers.{one}" for one in ASKED if one not in ("shifter", "cooler_lines"))),
        Row("converter", LONE, NOT_RUN, lacks=("engine", "gearbox")),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)
