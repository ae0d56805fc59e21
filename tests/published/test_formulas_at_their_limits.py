"""Formulas at the ends of what they reach, and the signs that a round example does not show.

Sources: limits of size of ISO 965-2, 6H and 6g, and of ASME B1.1, 2B, number sizes (from memory);
everything else closed forms or sampling by another method, named beside it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.errors import InputError, OutOfScope
from kb.quantity import read_thread
from wizard.engine.formulas import (
    alignment,
    circle,
    gears,
    joints,
    rotating,
    thermal,
    thread_limits,
)

INCH = 25.4


@pytest.mark.parametrize(
    ("thread", "most"),
    [("M3x0.5", 2.599), ("M4x0.7", 3.422), ("M5x0.8", 4.334), ("M6x0.75", 5.378), ("M6x1", 5.153),
     ("M8x1.25", 6.912), ("M10x1.5", 8.676), ("M12x1.75", 10.441), ("M20x2.5", 17.744)],
)  # fmt: skip
def test_greatest_minor_diameter_of_a_metric_nut(thread: str, most: float) -> None:
    """ISO 965-2, 6H (from memory); its tables round tolerances to their own series."""
    size = read_thread(thread, key="thread")
    worked = thread_limits.internal_minor_most(major=size.major, pitch=size.pitch, system="metric")
    assert worked == pytest.approx(most, abs=0.015)


@pytest.mark.parametrize(
    ("thread", "least"),
    [("M6x1", 5.794), ("M8x1.25", 7.760), ("M10x1.5", 9.732), ("M12x1.75", 11.701),
     ("M16x2", 15.682), ("M20x2.5", 19.623)],
)  # fmt: skip
def test_least_major_diameter_of_a_metric_screw(thread: str, least: float) -> None:
    """ISO 965-2, 6g (from memory)."""
    size = read_thread(thread, key="thread")
    worked = thread_limits.external_major_least(major=size.major, pitch=size.pitch, system="metric")
    assert worked == pytest.approx(least, abs=0.006)


@pytest.mark.parametrize(
    ("major_in", "per_inch", "most_in"),
    [(0.138, 32, 0.1140), (0.164, 32, 0.1390), (0.190, 24, 0.1560), (0.190, 32, 0.1640)],
)
def test_greatest_minor_diameter_of_a_number_size_nut(
    major_in: float, per_inch: int, most_in: float
) -> None:
    """ASME B1.1, 2B (from memory)."""
    worked = thread_limits.internal_minor_most(
        major=major_in * INCH, pitch=INCH / per_inch, system="inch"
    )
    assert worked / INCH == pytest.approx(most_in, abs=0.0006)


@pytest.mark.parametrize("play", [-0.03, 0.0, 0.02])
def test_warm_play_is_the_difference_of_both_grown_diameters(play: float) -> None:
    """An aluminium hole and a steel shaft, each grown by itself."""
    hole = (100 + play) * (1 + 23.6e-6 * 80)
    shaft = 100 * (1 + 11.7e-6 * 60)
    worked = thermal.warm_play(
        play=play, diameter=100, hole_cte_per_k=23.6e-6, shaft_cte_per_k=11.7e-6, hole_rise_k=80,
        shaft_rise_k=60,
    )  # fmt: skip
    assert worked == pytest.approx(hole - shaft, abs=1e-4)
    assert worked > play + 0.1


def test_a_circle_of_one_hole_is_that_hole() -> None:
    assert circle.hole_coordinates(holes=1, diameter=80).tolist() == [[40.0, 0.0]]
    assert circle.hole_coordinates(holes=1, diameter=80, x=3, y=-2).tolist() == [[43.0, -2.0]]


def test_a_span_is_over_two_holes() -> None:
    """Two holes of 10 that just touch span 20: more is a circle, that is none."""
    assert circle.circle_from_span(span=20.1, hole=10, holes=6) == pytest.approx(20.2)
    with pytest.raises(InputError, match="span"):
        circle.circle_from_span(span=20, hole=10, holes=6)


@pytest.mark.parametrize(
    ("angle", "reached"), [(10, True), (35, True), (9.9, False), (35.1, False)]
)
def test_pressure_angles_reached(angle: float, reached: bool) -> None:
    if reached:
        worked = gears.backlash_change(centre_change=1, pressure_angle=angle)
        assert worked == pytest.approx(2 * math.tan(math.radians(angle)))
        return
    with pytest.raises(InputError, match="pressure_angle"):
        gears.backlash_change(centre_change=1, pressure_angle=angle)


def test_one_tooth_is_a_gear() -> None:
    assert gears.centre_distance(ring_teeth=1, pinion_teeth=1, module=3) == 3


@pytest.mark.parametrize(("ratio", "times"), [(3.0, 2.0), (0.5, 0.5), (1.0, 0.0), (-2.0, 3.0)])
def test_reaction_without_a_stall_ratio(ratio: float, times: float) -> None:
    """What goes in and what comes out must balance: the housing takes the difference."""
    assert joints.reaction_torque(torque_nmm=100, ratio=ratio) == pytest.approx(100 * times)


@pytest.mark.parametrize(("wall", "reached"), [(9.9, True), (10.1, False)])
def test_a_thin_ring_is_a_tenth_of_its_mean_radius(wall: float, reached: bool) -> None:
    ring = {"bore": 200 - wall, "outside": 200 + wall, "speed_rpm": 3000, "density_kg_m3": 7850}
    if reached:
        speed = 3000 * math.pi / 30
        assert rotating.thin_ring_stress(**ring) == pytest.approx(7850 * (speed * 0.1) ** 2 * 1e-6)
        return
    with pytest.raises(OutOfScope, match="wall"):
        rotating.thin_ring_stress(**ring)


def test_one_dowel_errs_more_than_the_mean_of_two() -> None:
    """Normal errors alone: 95 % of a Rayleigh spread is √(−2 ln 0.05), and √2 less for two."""
    quantile = 2 * math.sqrt(-2 * math.log(0.05))
    for dowels in (1, 2):
        tir, _ = alignment.dowel_alignment(
            measure=[0.03], place=[0.04], play=[0.0], limit=0.1, dowels=dowels
        )
        assert tir == pytest.approx(quantile * 0.05 / math.sqrt(dowels), rel=0.01)


def test_two_plays_against_points_thrown_into_a_square() -> None:
    """Pins anywhere in two discs: points of a square kept where they fall inside, as a second way."""
    random = np.random.default_rng(12)
    thrown = random.uniform(-0.5, 0.5, (2, 600_000, 2))
    inside = [one[np.hypot(*one.T) <= 0.5][:400_000] for one in thrown]
    expected = float(np.quantile(2 * np.hypot(*(inside[0] + inside[1]).T), 0.95))
    tir, _ = alignment.dowel_alignment(measure=[0.0], place=[0.0], play=[1.0, 1.0], limit=0.1)
    assert tir == pytest.approx(expected, rel=0.006)
