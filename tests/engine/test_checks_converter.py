"""Checks of the converter, each worked by hand at its limit and on both sides of it.

The chain is closed form; limits are common practice, no source. The whole job has t 25, z_d 5,
D 30, f 12, h 20, lug shims 0. With the adapter's length L fixed by the row

    gap        p = t + g + D − z_d − L − f − w_s = 38 − L
    nose       in the adapter E = h − f = 8, seated E − p; its bore goes through into the crank's
               15 mm recess: b = L + 15. In the crank E = h − f − L + m_c, b its own depth
    lugs       seated 22 less p, against a gear of 18
    heads      front of the nuts at z_d + L + f − 3 − 8 = 40 with L = 34, the plate's rear at 25
"""

from __future__ import annotations

from tests.engine.altered import NOT_RUN, Row, Rows, assert_row, rows

IN_CRANK = {"engine.drive.pilot": {"diameter": "43.10", "depth": 20}}
PRESET = {"gearbox.converter.hold": "preset", "gearbox.converter.preset": "0.6"}
NO_LUGS = {"gearbox.converter.pump_lug": None}
START = {"choices.stage": "start"}


def bored_in_crank(*, reach: float, depth: float = 20, mouth: float = 0) -> dict[str, object]:
    """The crank keeps a bore that takes the nose; L = 34 and f = 12 stand before it."""
    return {
        "gearbox.converter.hub.reach": reach,
        "engine.drive.pilot": {"diameter": "43.10", "depth": depth, "mouth": mouth},
    }


ROWS: Rows = {
    "converter-gap": (
        Row("converter", {}, "pass", 0.8),  # closed on the middle of the band
        Row("converter", {"choices.spacer": "34.8"}, "pass", 0.0),
        Row("converter", {"choices.spacer": "34.801"}, "warn", -0.001),
        Row("converter", {"choices.spacer": "33.2"}, "pass", 0.0),
        Row("converter", {"choices.spacer": "33.199"}, "warn", -0.001),
        Row("converter", {"choices.spacer": "37.999"}, "warn", -3.199),
        Row("converter", {"choices.spacer": "38"}, "fail", -3.2, says="No gap is left"),
        Row("converter", {"choices.spacer": "36.401"}, "warn", -1.601),
        Row("converter", START | {"choices.spacer": "36.4"}, "warn", -1.6),
        Row("converter", START | {"choices.spacer": "36.401"}, "fail", -1.601),
        # over 6.4 only the lugs' proven overlap, 22 − p ≥ 13.5, lets it stand
        Row("converter", {"choices.spacer": "31.599"}, "warn", -1.601),
        Row("converter", {"choices.spacer": "29.5"}, "warn", -3.7),
        Row("converter", {"choices.spacer": "29.499"}, "fail", -3.701),
        Row("converter", NO_LUGS | {"choices.spacer": "31.6"}, "warn", -1.6),
        Row("converter", NO_LUGS | {"choices.spacer": "31.599"}, "fail", -1.601),
        Row("converter", {"choices.spacer": 34, "gearbox.converter.lug_shims": "0.5"}, "pass", 0.3),
        Row("converter", {"choices.spacer": 34, "choices.packing": "0.5"}, "pass", 0.3),
        Row("converter", {"choices.spacer": 34, "gearbox.converter.gap": None}, "pass", 0.8),
        Row("converter", {"choices.spacer": 34, "gearbox.converter.gap": [3.5, 4.1]}, "pass", 0.1),
        # heavy drives bend the rim away from the engine by 0.38 at least
        Row("converter", PRESET | {"choices.spacer": "37.62"}, "pass", 0.0),
        Row("converter", PRESET | {"choices.spacer": "37.621"}, "warn", -0.001),
        Row("converter", PRESET | {"choices.spacer": "37"}, "pass", 0.62),
        Row("converter", PRESET | {"choices.spacer": "38"}, "fail", -0.38),
        Row("converter", {"gearbox.converter.seat_depth": None}, "unknown",
            lacks=("gearbox.converter.seat_depth",)),
        Row("converter", {"flexplate.offset": None, "engine.drive.standoff": None}, "unknown",
            lacks=("engine.drive.standoff", "flexplate.offset")),
        Row("shaft", {}, NOT_RUN, lacks=("gearbox.converter",)),
    ),
    "nose-engagement": (
        Row("converter", {}, "pass", 4.8),
        # with p = 2 it is the least engagement, with p = 4 the seated converter, that binds
        Row("converter", {"choices.spacer": 36, "gearbox.converter.hub.reach": "15.2"}, "pass", 0.0),
        Row("converter", {"choices.spacer": 36, "gearbox.converter.hub.reach": "15.199"}, "fail",
            -0.001),
        Row("converter", {"gearbox.converter.hub.reach": "16.001"}, "pass", 0.801),
        Row("converter", {"gearbox.converter.hub.reach": "16"}, "fail", 0.0),
        Row("converter", {"gearbox.converter.lug_shims": 1}, "pass", 3.8),
        Row("converter", {"choices.rules": "heavy industrial"}, "pass", 4.0),
        Row("converter", bored_in_crank(reach=54), "pass", 4.8, says="in the crank"),
        Row("converter", bored_in_crank(reach=54, mouth=-2), "pass", 2.8, says="in the crank"),
        # out of the crank's reach, or out of it while the converter is home: the adapter is bored
        Row("converter", bored_in_crank(reach=49.199), "pass", 33.999, says="in the spacer"),
        Row("converter", bored_in_crank(reach=50), "pass", 34.8, says="in the spacer"),
        Row("converter", {"engine.drive.standoff": "39"}, "fail", says="Nothing takes"),
        Row("converter", {"gearbox.converter.hub.diameter": None}, "unknown",
            lacks=("gearbox.converter.hub.diameter",)),
        Row("converter", {"gearbox.converter.hub.reach": None}, "unknown",
            lacks=("gearbox.converter.hub.reach",)),
        Row("converter", {"gearbox.converter.hub": None}, NOT_RUN,
            lacks=("gearbox.converter.hub",)),
    ),
    "nose-bottoming": (
        Row("converter", {}, "pass", 40.5),  # 34 + 15 − 8 = 41, at least 0.5
        Row("converter", bored_in_crank(reach=54, depth=9.5), "pass", 1.0),
        Row("converter", bored_in_crank(reach=54, depth=9.499), "warn", 0.999),
        Row("converter", bored_in_crank(reach=54, depth=8.5), "warn", 0.0),
        Row("converter", bored_in_crank(reach=54, depth=8.499), "fail", -0.001),
        # over a spigot no recess is open before the adapter's bore: b = L
        Row("converter", {"engine.drive.register.form": "spigot",
                          "gearbox.converter.hub.reach": "44.5"}, "pass", 1.0),
        Row("converter", {"engine.drive.pilot": {"diameter": "43.10"},
                          "gearbox.converter.hub.reach": 54}, "unknown",
            lacks=("engine.drive.pilot.depth",)),
        Row("flange", {}, NOT_RUN, lacks=("gearbox.converter.hub",)),
    ),
    "pump-lug-overlap": (
        Row("converter", {}, "pass", 4.5),  # 22 − 4 against 0.75 · 18
        Row("converter", {"gearbox.converter.pump_lug.seated": "17.5"}, "pass", 0.0),
        Row("converter", {"gearbox.converter.pump_lug.seated": "17.499"}, "fail", -0.001),
        Row("converter", {"gearbox.converter.pump_lug": {"seated": 10, "gear": 4}}, "pass", 0.0),
        Row("converter", {"gearbox.converter.pump_lug": {"seated": "9.999", "gear": 4}}, "fail",
            -0.001),
        Row("converter", PRESET | {"gearbox.converter.pump_lug.seated": "13.5"}, "pass", 0.0),
        Row("converter", {"gearbox.converter.pump_lug.gear": None}, "unknown",
            lacks=("gearbox.converter.pump_lug.gear",)),
        Row("converter", {"gearbox.converter.pump_lug.seated": None}, "unknown",
            lacks=("gearbox.converter.pump_lug.seated",)),
        Row("converter", NO_LUGS, "unknown", lacks=("gearbox.converter.pump_lug.seated",)),
        Row("shaft", {}, NOT_RUN, lacks=("gearbox.converter.pump_lug",)),
    ),
    # land 10 to 70 behind the lugs: home it starts at 30 + 10, bolted up it ends at 26 + 70;
    # bush 45 to 65, lip 90
    "hub-covers-seal": (
        Row("converter", {}, "pass", 5.0),
        Row("converter", {"gearbox.pump.lip": 96}, "pass", 0.0),
        Row("converter", {"gearbox.pump.lip": "96.001"}, "fail", -0.001),
        Row("converter", {"gearbox.pump.bush": [40, 65]}, "pass", 0.0),
        Row("converter", {"gearbox.pump.bush": ["39.999", 65]}, "fail", -0.001),
        Row("converter", {"gearbox.pump.bush": [45, "96.001"]}, "fail", -0.001),
        Row("converter", {"gearbox.converter.hub.land": [15, "68"]}, "pass", 0.0),
        Row("converter", {"gearbox.converter.hub.land": None}, "unknown",
            lacks=("gearbox.converter.hub.land",)),
        Row("converter", {"gearbox.pump.lip": None}, "unknown", lacks=("gearbox.pump.lip",)),
        Row("converter", {"flexplate.offset": None}, "unknown", lacks=("flexplate.offset",)),
        Row("converter", {"gearbox.pump": None}, NOT_RUN, lacks=("gearbox.pump",)),
    ),
    "fastener-clears": (
        Row("converter", {}, "pass", 13.0, says="clear the plate"),
        Row("converter", {"flexplate.bolt_heads": 21}, "pass", 0.0),
        Row("converter", {"flexplate.bolt_heads": "21.001"}, "fail", -0.001),
        # a lug circle inside the 166 mm opening has only the block, at 0, before its nuts
        Row("converter", {"flexplate.converter_circle.diameter": 144, "flexplate.bolt_heads": 46},
            "pass", 0.0, says="clear the block"),
        Row("converter", {"flexplate.converter_circle.diameter": "144.001",
                          "flexplate.bolt_heads": 21}, "pass", 0.0, says="clear the plate"),
        Row("converter", {"flexplate.bolt_heads": None}, "unknown",
            lacks=("flexplate.bolt_heads",)),
        Row("converter", {"flexplate.offset": None}, "unknown", lacks=("flexplate.offset",)),
        Row("shaft", {}, NOT_RUN, lacks=("flexplate.bolt_heads",)),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)
