"""Checks of the rotating adapter, each worked by hand at its limit and on both sides.

converter: six M10 on 90 against six on 130, the adapter 34 long; shaft: one circle of six M10 on
80 through both, 20 long, behind it a flywheel's web of 13. Geometry is closed form; ISO 286-1: H7
and h6 of 60 are 0.030 and 0.019 wide, G7 of 48 is 0.009 to 0.034; limits are common practice, no
source.
"""

from __future__ import annotations

import math

import pytest

from tests.engine.altered import INCH, NOT_RUN, Row, Rows, assert_row, check_of, design_of, rows
from tests.engine.by_hand import (
    M10,
    UNC_3_8,
    YIELD_G5,
    friction_torque,
    least_preload,
    torque,
)

HELD = friction_torque(screws=6, force=least_preload(M10), radius=45)
HELD_INCH = friction_torque(
    screws=8, force=least_preload(UNC_3_8, YIELD_G5, "inch"), radius=5 * INCH
)
SURELY = 1.001  # preloads are rounded to 10 N


def between(inner: float, outer: float, degrees: float) -> float:
    """Distance of two holes on two circles so far apart round the axis [mm]."""
    angle = math.radians(degrees)
    return math.sqrt(inner**2 + outer**2 - 2 * inner * outer * math.cos(angle))


def outer_at(distance: float) -> float:
    """Radius of the outer circle whose holes stand 15° from those at 45, that distance away."""
    along, off = 45 * math.cos(math.radians(15)), 45 * math.sin(math.radians(15))
    return along + math.sqrt(distance**2 - off**2)


def peak(newton_millimetres: float) -> dict[str, object]:
    return {"engine.peak_torque": torque(newton_millimetres)}


def circles(radius: float) -> dict[str, object]:
    """Twelve M10 of the driver against six of the flexplate: at best 180°/lcm = 15° apart."""
    return {"engine.drive.circle.count": 12, "flexplate.circle.diameter": f"{2 * radius:.9f}"}


def register(limits: str) -> dict[str, object]:
    return {"engine.drive.register.diameter": limits}


DISCS = (18 + 10) / 2  # counterbore of an M10 head, M10 tapped in the adapter
WANTED, HAIR = 5.0, 1e-4  # half a diameter in steel

ROWS: Rows = {
    "rotating-wall": (
        Row("converter", {}, "pass", between(45, 65, 30) - DISCS - WANTED),
        Row("converter", circles(outer_at(DISCS + WANTED) + HAIR), "pass", 0.0, near=2 * HAIR),
        Row("converter", circles(outer_at(DISCS + WANTED) - HAIR), "warn", 0.0, near=2 * HAIR),
        Row("converter", circles(outer_at(DISCS) + HAIR), "warn", -WANTED, near=2 * HAIR),
        Row("converter", circles(outer_at(DISCS) - HAIR), "fail", -WANTED, near=2 * HAIR),
        Row("converter", {"choices.spacer_material": "6061-T6"}, "pass",
            between(45, 65, 30) - DISCS - 10),
        # flange: eight 3/8 on 10 in against eight on 9 in, counterbore 5/8
        Row("flange", {}, "pass", (between(5, 4.5, 22.5) - 0.5 - 0.1875) * INCH),
        Row("shaft", {}, "pass", says="one long screw"),
        Row("converter", {"flexplate.circle": None}, "pass", says="one long screw"),
        Row("converter", {"engine.drive.standoff": 39}, NOT_RUN, lacks=("choices.spacer",)),
        Row("flange", {"gearbox.driven.circle": None}, "unknown",
            lacks=("gearbox.driven.circle",)),
        Row("converter", {"engine.drive.circle": None}, "unknown", lacks=("engine.drive.circle",)),
        Row("converter", {"engine.drive": None, "gearbox.converter": None, "gearbox.pump": None,
                          "flexplate": None}, NOT_RUN, lacks=("engine.drive.circle",)),
    ),
    "register-present": (
        Row("converter", {}, "pass", says="by its nose"),
        Row("converter", {"engine.drive.register": None}, "fail", says="Nothing centres"),
        Row("shaft", {}, "pass", says="as it sat on the engine"),
        Row("flange", {}, "pass", says="by its register"),
        Row("shaft", {"flywheel": None, "clutch": None}, "pass", says="engine's register"),
        Row("shaft", {"engine.drive.register.form": "bore"}, "unknown",
            lacks=("flywheel.register",)),
        Row("flange", {"gearbox.driven.register": None}, "unknown",
            lacks=("gearbox.driven.register",)),
        Row("converter", {"gearbox.converter.hub": None}, "unknown", lacks=("flexplate.register",)),
        Row("converter", {"engine.drive": None}, NOT_RUN, lacks=("engine.drive.register",)),
    ),
    "joint-slip": (
        Row("converter", {}, "pass", HELD / 300e3 - 1, near=1e-3),
        Row("converter", peak(HELD / 1.5 / SURELY), "pass", 0.5, near=3e-3),
        Row("converter", peak(HELD / 1.5 * SURELY), "warn", 0.5, near=3e-3),
        Row("converter", peak(HELD / SURELY), "warn", 0.0, near=3e-3),
        Row("converter", peak(HELD * SURELY), "fail", 0.0, near=3e-3, says="2 dowels"),
        Row("converter", {"use.torque_factor": 1.2}, "warn", HELD / 360e3 - 1, near=1e-3),
        Row("converter", {"choices.joint_friction": 0.2}, "pass", HELD / 150e3 - 1, near=2e-3),
        # heavy drives: 2 wanted, 1.25 at least
        Row("flange", peak(HELD_INCH / 2 / SURELY), "pass", 0.75, near=5e-3),
        Row("flange", peak(HELD_INCH / 2 * SURELY), "warn", 0.75, near=5e-3),
        Row("flange", peak(HELD_INCH / 1.25 * SURELY), "fail", 0.0, near=5e-3),
        Row("converter", {"engine.peak_torque": None}, "unknown", lacks=("engine.peak_torque",)),
        Row("converter", {"engine.drive.circle.grade": "4.6"}, "unknown",
            lacks=("choices.screw_grade",), says="grade 4.6"),
        Row("converter", {"engine.drive.standoff": 39}, NOT_RUN, lacks=("choices.spacer",)),
        Row("converter", {"engine.drive.circle": None}, NOT_RUN, lacks=("engine.drive.circle",)),
    ),
    "register-fit": (
        # H7/h6 of 60: play up to 0.049, at most 0.15
        Row("converter", {}, "pass", 0.15 - 0.049),
        Row("converter", {"choices.fit": "locating"}, "pass", 0.15 - 0.059),  # g6: −10 to −29
        Row("converter", register("60 +0.131/-0"), "pass", 0.0),
        Row("converter", register("60 +0.132/-0"), "warn", -0.001),
        # behind it the flywheel's bore, H7 of 48, on g6: −9 to −25
        Row("shaft", {"choices.fit": "locating"}, "pass", 0.15 - 0.050),
        # 11 in, LC5: +2.0 as measured, −0.7 to −1.9 thousandths (ANSI B4.1-1967)
        Row("flange", {}, "pass", 0.15 - 3.9e-3 * INCH),
        Row("converter", {"engine.drive.register": None}, NOT_RUN,
            lacks=("engine.drive.register",)),
    ),
    "critical-thread": (
        # 34 less a seat of 10.5 leaves 23.5: a 35 mm screw engages 11.5, 1 d wanted
        Row("converter", {}, "pass", 1.5),
        Row("converter", {"engine.drive.circle.depth": "14.5"}, "pass", 1.5),
        Row("converter", {"engine.drive.circle.depth": 13}, "pass", 0.0),  # 30 mm, seat 14
        Row("converter", {"engine.drive.circle.depth": "12.99"}, "fail", says="No standard screw"),
        # through 20 + 13: a 45 mm screw engages 12
        Row("shaft", {}, "pass", 2.0),
        Row("shaft", {"flywheel.thickness": 15}, "pass", 0.0),
        Row("shaft", {"flywheel.thickness": "15.01", "engine.drive.circle.depth": 18}, "pass", 4.99),
        Row("shaft", {"flywheel.thickness": "15.01", "engine.drive.circle.depth": 17}, "fail"),
        Row("shaft", {"flywheel.thickness": None}, "unknown", lacks=("flywheel.thickness",)),
        Row("converter", {"engine.drive.circle.depth": None}, "unknown",
            lacks=("engine.drive.circle.depth",)),
        Row("converter", {"engine.drive.circle.thread": "M22", "engine.drive.circle.keepout": 34,
                          "engine.drive.circle.depth": 40}, "unknown",
            lacks=("engine.drive.circle.thread",)),
        Row("converter", {"engine.drive.standoff": 39}, NOT_RUN,
            lacks=("engine.drive.circle.thread",)),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)


@pytest.mark.parametrize(
    ("kind", "fit", "fits"),
    [
        # ISO 286-1, basic hole 60: H7 0 to +30; g6 −10 to −29, h6 0 to −19, k6 +2 to +21, p6 +32 to +51
        ("converter", "locating", (60.0, 60.030, 59.971, 59.990)),
        ("converter", "close", (60.0, 60.030, 59.981, 60.0)),
        ("converter", "transition", (60.0, 60.030, 60.002, 60.021)),
        ("converter", "press", (60.0, 60.030, 60.032, 60.051)),
        # basic shaft 48: G7 +9 to +34, H7 0 to +25, K7 −18 to +7 less the allowance of k6, P7
        ("shaft", "locating", (48.009, 48.034, 48.0, 48.0)),
        ("shaft", "close", (48.0, 48.025, 48.0, 48.0)),
    ],
)
def test_limits_of_the_register(
    kind: str, fit: str, fits: tuple[float, float, float, float]
) -> None:
    """The driver's register, limits as ISO 286-1 prints them."""
    made = design_of(kind, {"choices.fit": fit})
    found = next(one for one in made.adapter.fits if one.joint.startswith("spacer"))
    assert (*found.hole, *found.shaft) == pytest.approx(fits, abs=1e-9)
    assert found.play == pytest.approx((fits[0] - fits[3], fits[1] - fits[2]), abs=1e-9)


def test_dowels_for_the_whole_torque_are_named() -> None:
    """Two pins on the screws' circle in shear at yield/√3 of 1045 hot rolled (310 MPa), by hand."""
    found = check_of(design_of("converter", peak(HELD * 1.2)), "joint-slip")
    assert found is not None
    size = math.sqrt(4 * HELD * 1.2 / (math.pi * 2 * 45 * 310 / math.sqrt(3)))
    assert f"{size:.2f} mm" in found.says
