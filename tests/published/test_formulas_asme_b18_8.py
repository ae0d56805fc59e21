"""Shear of dowel pins.

Sources: ASME B18.8.2-2000 and ASME B18.8.5M (single shear loads read as reprinted); both rest on
one shear strength for every size, 130 ksi and 1050 MPa (from memory).
"""

from __future__ import annotations

import math

import pytest

from kb.standards.loader import Row, table
from wizard.engine.formulas import joints

PROVES = {"joints.shear_force", "joints.dowel_diameter"}
KSI = 6.894757293168361
PINS = [
    *((row, 130 * KSI) for row in table("dowels_inch")),
    *((row, 1050.0) for row in table("dowels_metric")),
]


def size(value: object) -> str:
    return value.text("size") if isinstance(value, Row) else ""


@pytest.mark.parametrize(("row", "strength_mpa"), PINS, ids=size)
def test_single_shear_is_the_tables(row: Row, strength_mpa: float) -> None:
    """The tables print two or three figures."""
    area = math.pi / 4 * row.value("nominal") ** 2
    force = joints.shear_force(pins=1, area_mm2=area, strength_mpa=strength_mpa)
    assert force == pytest.approx(row.value("single_shear"), rel=0.009)


@pytest.mark.parametrize(("row", "strength_mpa"), PINS, ids=size)
def test_dowel_for_a_torque_is_the_pin_that_carries_it(row: Row, strength_mpa: float) -> None:
    """Two pins on a 40 mm radius, loaded to the printed shear load, come out at their own size."""
    torque = 2 * row.value("single_shear") * 40
    wanted = joints.dowel_diameter(
        dowels=2, torque_nmm=torque, radius=40, strength_mpa=strength_mpa
    )
    assert wanted == pytest.approx(row.value("nominal"), rel=0.005)


def test_double_shear_is_twice_single_shear() -> None:
    """B18.8.2 prints double shear of the 1/4 in pin as 12 800 lbf, twice its 6 400 (read)."""
    area = math.pi / 4 * 6.35**2
    force = joints.shear_force(pins=1, area_mm2=area, strength_mpa=130 * KSI, planes=2)
    assert force / 4.4482216152605 == pytest.approx(12800, rel=0.009)
