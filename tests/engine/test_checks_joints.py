"""Checks of what a drawn-up screw does to the part under its head, worked by hand at the limit.

Whole jobs: M10, 8.8, socket heads in 6061-T6. A head bears on a ring from its clear hole of 11
(ISO 273) to 15.33 (ISO 4762, least bearing face); preload VDI 2230 Part 1:2003. Yield of 6061-T6
276 MPa, of 5083-H116 228 (data sheets; common practice, no source). Load share: cones of 30° as in
Mechanical Engineering Design, 9th ed., section 8-5, written down anew.
"""

from __future__ import annotations

import math

import pytest

from tests.engine.altered import NOT_RUN, Row, Rows, assert_row, design_of, rows
from tests.engine.by_hand import M10, preload, stress_area

SEAT = math.pi / 4 * (15.33**2 - 11**2)
PRESSED = preload(M10) / SEAT
SHARE = PRESSED / 276
IRON, ALLOY = 100e3, 68.9e3  # MPa, middle of the printed ranges
NEAR = 1e-3  # preloads are rounded to 10 N, pressures to 0.1 MPa

ROWS: Rows = {
    "head-bearing": (
        Row("converter", {}, "pass", 1.4 - SHARE, near=NEAR),
        Row("converter", {}, "pass", 0.0, near=3 * NEAR,
            limits={"head-bearing.share": SHARE + NEAR}),
        Row("converter", {}, "warn", 0.0, near=3 * NEAR, says="washers",
            limits={"head-bearing.share": SHARE - NEAR}),
        Row("converter", {"engine.face.circle.grade": "12.9"}, "warn",
            1.4 - SHARE * 1100 / 640, near=0.01, says="plate to engine"),
        Row("converter", {"engine.face.circle.grade": "4.6", "engine.drive.circle.grade": "4.6"},
            "unknown", lacks=("choices.screw_grade", "choices.plate_material")),
        Row("converter", {"engine.face": None, "engine.drive": None, "engine.starter": None},
            NOT_RUN, lacks=("engine.face.holes", "engine.drive.circle")),
    ),
}  # fmt: skip


@rows(ROWS)
def test_check(id: str, row: Row) -> None:
    assert_row(id, row)


def cone(*, small: float, length: float, e_mpa: float) -> float:
    """Stiffness of a cone of 30° about an M10 screw [N/mm]."""
    d, wide = 10.0, small + 2 * length * math.tan(math.pi / 6)
    turned = (wide - d) * (small + d) / ((wide + d) * (small - d))
    return math.pi * e_mpa * d * math.tan(math.pi / 6) / math.log(turned)


def test_load_share_of_a_sunk_screw() -> None:
    """14.5 of 6061 under the head, half a diameter of grey iron below: by hand."""
    made = design_of("converter")
    joint = next(one for one in made.adapter.joints if one.name == "plate to engine")
    grip, below = 14.5, 5.0
    half = (grip + below) / 2
    upper = cone(small=15.33, length=half, e_mpa=ALLOY)
    start = 15.33 + 2 * below * math.tan(math.pi / 6)
    lower = [(15.33, below, IRON), (start, half - below, ALLOY)]
    lower_k = [cone(small=small, length=length, e_mpa=e) for small, length, e in lower]
    members = 1 / (1 / upper + sum(1 / k for k in lower_k))
    screw = 207e3 * stress_area(M10) / grip  # a 30 mm screw is threaded over 32
    assert joint.load_share == pytest.approx(screw / (screw + members), abs=0.01)
