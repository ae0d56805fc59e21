"""Cutting speeds and times.

Sources: Machinery's Handbook, 31st ed., table "Revolutions per minute for various cutting speeds and
diameters" (figures from memory), converted at 0.3048 m to the foot; 0.3 of the diameter for the
height of a 118° point (the same, and common practice). The time in the cut by a second method:
adding up turn by turn.
"""

from __future__ import annotations

import math

import pytest

from wizard.engine.formulas import cutting

PROVES = {"cutting.spindle_speed", "cutting.cutting_minutes", "cutting.drill_travel"}


@pytest.mark.parametrize(
    ("feet_min", "inches", "rpm"),
    [(30, 1, 115), (40, 1, 153), (50, 1, 191), (100, 1, 382), (100, 0.5, 764), (60, 0.5, 458)],
)
def test_spindle_speeds_of_the_table(feet_min: float, inches: float, rpm: float) -> None:
    speed = cutting.spindle_speed(cutting_m_min=feet_min * 0.3048, diameter=inches * 25.4)
    assert speed == pytest.approx(rpm, abs=0.6)


@pytest.mark.parametrize(
    ("travel", "feed", "speed_rpm"), [(20.0, 0.2, 600.0), (63.0, 0.125, 312.0)]
)
def test_time_in_the_cut_turn_by_turn(travel: float, feed: float, speed_rpm: float) -> None:
    at, turns = 0.0, 0
    while at < travel - 1e-9:
        at, turns = at + feed, turns + 1
    found = cutting.cutting_minutes(travel=travel, feed=feed, speed_rpm=speed_rpm)
    assert found == pytest.approx(turns / speed_rpm, abs=1 / speed_rpm)


@pytest.mark.parametrize("diameter", [3.0, 10.0, 25.0])
def test_the_point_of_a_drill(diameter: float) -> None:
    point = cutting.drill_travel(depth=0, diameter=diameter)
    assert point == pytest.approx(0.3 * diameter, rel=0.002)
    assert math.degrees(2 * math.atan(diameter / 2 / point)) == pytest.approx(118)
