"""Checks of the housings, each worked by hand at its limit and on both sides.

Closed forms; limits are common practice, no source. Expansion: aluminium 23.6, grey iron 10.5,
steel 11.7 millionths for each kelvin (Mechanical Engineering Design, 9th ed., Table A-5; iron and
aluminium read, steel from memory).
"""

from __future__ import annotations

from tests.engine.altered import INCH, NOT_RUN, Row, Rows, assert_row, rows

ALUMINIUM, IRON, STEEL = 23.6e-6, 10.5e-6, 11.7e-6
APART = 460.0  # mm between the engine's dowels
NO_PLATE = {
    "engine.face": None, "gearbox.face": None, "gearbox.converter.seat_depth": None,
    "choices.spacer": 34, "choices.plate": None,
}  # fmt: skip
SUNK = {"engine.drive.standoff": -5}
DEEP = {"engine.drive.standoff": -39, "choices.spacer": 39}
FACES_ONLY = {
    "engine.drive": None, "engine.starter": None, "gearbox.converter": None, "gearbox.pump": None,
    "flexplate": None,
}  # fmt: skip


def rise(kelvin: float) -> dict[str, object]:
    return {"use.temperature_rise": f"{kelvin:.6f} °C"}


def upright(degrees: float) -> dict[str, object]:
    return {"choices.clocking": [degrees, degrees]}


WARM = 0.3 / (APART * (ALUMINIUM - IRON))

ROWS: Rows = {
    # the adapter is 2 · (65 + 1.5 · 10) = 160 across; the plate's opening 160 + 2 · 3
    "opening-clears": (
        Row("converter", {}, "pass", 0.0),
        # a driving face sunk by 5 takes the adapter 5 deep into the housing
        Row("converter", SUNK | {"engine.face.opening": 166}, "pass", 0.0),
        Row("converter", SUNK | {"engine.face.opening": "165.998"}, "fail", -0.001,
            says="engine's housing"),
        Row("converter", SUNK | {"engine.face.opening": 150}, "fail", -8.0),
        Row("converter", {"engine.face.opening": 150}, "pass", 0.0),  # 5 proud, it stays out of it
        # the nearest counterbore, 18 across
        Row("converter", {"engine.face.circle.diameter": 184}, "pass", 0.0),
        Row("converter", {"engine.face.circle.diameter": "183.998"}, "fail", -0.001, says="hole E"),
        # sunk by 39, a flexplate of 300 turns from 3 before the face into the plate
        Row("converter", DEEP | {"engine.face.opening": 306}, "pass", 0.0),
        Row("converter", DEEP | {"engine.face.opening": "305.998"}, "fail", -0.001),
        Row("converter", DEEP | {"flexplate.outside": None}, "unknown",
            lacks=("flexplate.outside",)),
        # a light manual wants 2 all round its 110 mm adapter, a heavy drive 5 round its 12 in
        Row("shaft", {}, "pass", 0.0),
        Row("shaft", {"engine.drive.outside": 120}, "pass", 0.0),
        Row("flange", {}, "pass", 315 / 2 - 6 * INCH - 5),
        Row("converter", {"engine.drive.outside": None}, "unknown",
            lacks=("engine.drive.outside",)),
        # a driven part's spigot is its outside only where it is wider than its holes
        Row("flange", {"gearbox.driven.outside": None}, "unknown",
            lacks=("gearbox.driven.outside",)),
        Row("flange", {"gearbox.driven.outside": None, "gearbox.driven.register.diameter": 9.5,
                       "engine.drive.standoff": 1.1, "choices.spacer": 0.5,
                       "engine.drive.outside": 9}, "pass", 252 / 2 - 4.75 * INCH - 5),
        Row("converter", SUNK | {"gearbox.converter.outside": None}, "pass", 0.0),  # behind it all
        Row("converter", {"flexplate.offset": None}, "unknown", lacks=("flexplate.offset",)),
        Row("converter", NO_PLATE, NOT_RUN, lacks=("engine.face", "gearbox.face")),
        Row("converter", FACES_ONLY, NOT_RUN, lacks=("engine.drive", "gearbox.converter")),
    ),
    "input-cast-in": (
        Row("converter", {}, "pass", says="comes off"),
        Row("converter", {"engine.face.cast_in": True}, "fail"),
        Row("converter", {"engine.face.cast_in": None}, "pass", says="was taken to"),
        Row("converter", {"engine.face": None}, NOT_RUN, lacks=("engine.face",)),
    ),
    "retainer-fit": (
        Row("shaft", {}, "pass", 0.1),
        Row("shaft", {"gearbox.shaft.retainer.bore": "90.25"}, "pass", 0.0),
        Row("shaft", {"gearbox.shaft.retainer.bore": "90.251"}, "fail", -0.001),
        Row("shaft", {"gearbox.shaft.retainer.bore": "90"}, "pass", 0.0),
        Row("shaft", {"gearbox.shaft.retainer.bore": "89.999"}, "fail", -0.001, says="too large"),
        Row("shaft", {"gearbox.shaft.retainer.bore": None}, "unknown",
            lacks=("gearbox.shaft.retainer.bore",)),
        Row("shaft", {"gearbox.shaft.retainer": None}, NOT_RUN, lacks=("gearbox.shaft.retainer",)),
    ),
    "clutch-clears": (
        Row("shaft", {}, "pass", 27.0),  # 300 over 240, 3 all round
        Row("shaft", {"clutch.outside": 294}, "pass", 0.0),
        Row("shaft", {"clutch.outside": "294.002"}, "fail", -0.001),
        Row("shaft", {"gearbox.face.opening": None}, "unknown", lacks=("gearbox.face.opening",)),
        Row("shaft", {"clutch": None}, NOT_RUN, lacks=("clutch",)),
    ),
    "fill-angle": (
        Row("converter", {}, "pass", 5.0),
        Row("converter", upright(5), "pass", 0.0),
        Row("converter", upright(-5.01), "warn", -0.01),
        Row("shaft", upright(-8), "pass", 0.0),
        Row("shaft", upright(8.01), "warn", -0.01),
        Row("flange", upright(3), "pass", 0.0),
        Row("flange", upright(3.01), "warn", -0.01),
        Row("converter", {"engine.face": None, "engine.starter": None}, NOT_RUN,
            lacks=("engine.face",)),
    ),
    "thermal-growth": (
        Row("converter", {}, "pass", 0.3 - APART * (ALUMINIUM - IRON) * 40),
        Row("converter", rise(WARM - 0.001), "pass", 0.0, near=1e-5),
        Row("converter", rise(WARM + 0.001), "warn", 0.0, near=1e-5, says="one dowel slide"),
        Row("converter", {"choices.plate_material": "A36"}, "pass",
            0.3 - APART * (STEEL - IRON) * 40),
        Row("converter", {"use.temperature_rise": "72 °F"}, "pass",
            0.3 - APART * (ALUMINIUM - IRON) * 40),
        Row("converter", {"use": None, "engine.face.material": None}, "unknown",
            lacks=("use.temperature_rise", "engine.face.material")),
        Row("converter", {"engine.face.dowels": None}, NOT_RUN, lacks=("engine.face.dowels",)),
    ),
    "flatness": (
        Row("converter", {}, "pass", 0.03),  # the engine's step 0.02 of 0.05
        Row("converter", {"engine.face.step": "0.05"}, "pass", 0.0),
        Row("converter", {"engine.face.step": "0.051"}, "warn", -0.001),
        Row("converter", {"gearbox.face.flatness": "0.1"}, "pass", 0.0),
        Row("converter", {"gearbox.face.flatness": "0.101"}, "warn", -0.001, says="skim"),
        Row("converter", {"engine.face.step": "0.06", "gearbox.face.step": None}, "warn", -0.01),
        Row("flange", {}, "pass", 0.05 - 0.001 * INCH),
        Row("converter", {"engine.face.flatness": None, "gearbox.face.step": None}, "unknown",
            lacks=("engine.face.flatness", "gearbox.face.step")),
        Row("converter", NO_PLATE, NOT_RUN, lacks=("engine.face", "gearbox.face")),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)
