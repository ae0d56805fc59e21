"""Dial sweeps: from readings to offsets, and offset dowels.

Sources: a sweep of 0, +.003, −.002, +.003 in and a worksheet of 6 h 0, 9 h +.004, 12 h +.003,
3 h −.002 in (read; common practice, no source: both stand in manuals on unnamed pages); offset
dowels of .007, .014 and .021 in and what they leave, a 0.014 in pair set against .011 in of error
leaving .003 in (read; common practice, no source). Second methods: a bore traced point by point as
a dial meets it, and `uncertainties` for what a reading's uncertainty does.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from uncertainties import ufloat
from uncertainties.umath import sqrt as root

from wizard.engine.formulas import runout

PROVES = {
    "runout.sweep_offset",
    "runout.sweep_leftover",
    "runout.raw_tir",
    "runout.four_point_closure",
    "runout.sweep_uncertainty",
    "runout.tir_of_offset",
    "runout.offset_of_tir",
    "runout.dowel_residual_tir",
    "runout.nearest_offset_dowel",
    "runout.face_tilt",
    "runout.tilt_offset",
}
CLOCK = [0.0, 90.0, 180.0, 270.0]  # 12, 3, 6, 9 o'clock, clockwise


def traced(*, offset: float, toward: float, radius: float, angles: list[float]) -> np.ndarray:
    """Distance from the crank's axis to the wall of an offset bore, exactly, at each angle."""
    between = np.radians(np.asarray(angles) - toward)
    along = offset * np.cos(between)
    return along + np.sqrt(radius**2 - (offset * np.sin(between)) ** 2)


def test_four_readings_of_a_manual() -> None:
    """0, +.003, −.002, +.003 in: TIR .005 in, and half of it off."""
    tir = runout.raw_tir(readings=[0, 0.003, -0.002, 0.003])
    assert tir == pytest.approx(0.005, abs=1e-12)
    assert runout.offset_of_tir(tir=tir) == pytest.approx(0.0025, abs=1e-12)
    assert runout.tir_of_offset(offset=0.0025) == pytest.approx(0.005, abs=1e-12)


def test_worksheet_of_a_manual() -> None:
    """Horizontal total .006 in, vertical total .003 in; the resultant is their vector."""
    readings = [0.003, -0.002, 0.0, 0.004]
    offset, toward = runout.sweep_offset(readings=readings, angles=CLOCK, sense="out")
    assert 2 * offset * abs(math.sin(math.radians(toward))) == pytest.approx(0.006, abs=1e-12)
    assert 2 * offset * abs(math.cos(math.radians(toward))) == pytest.approx(0.003, abs=1e-12)
    assert 270 < toward < 360  # the wall is farthest up and to the left


@pytest.mark.parametrize(
    ("clock", "reading"), [(0, 0.0983), (90, 0.0688), (180, -0.0983), (270, -0.0688)]
)
def test_worked_sweep(clock: float, reading: float) -> None:
    """Offset 0.12 mm at 35° clockwise from 12: the four readings, computed apart."""
    wall = traced(offset=0.12, toward=35, radius=200, angles=[clock])[0] - 200
    assert wall == pytest.approx(reading, abs=1.1e-4)
    offset, toward = runout.sweep_offset(
        readings=[0.0983, 0.0688, -0.0983, -0.0688], angles=CLOCK, sense="out"
    )
    assert (round(offset, 3), round(toward)) == (0.12, 35)


@pytest.mark.parametrize("angles", [CLOCK, [0, 45, 90, 135, 180, 225, 270, 315], [10, 95, 250]])
@pytest.mark.parametrize("sense", ["in", "out"])
def test_offset_of_a_traced_bore(angles: list[float], sense: str) -> None:
    """The dial sits on the crank; plunger in means nearer, out means farther."""
    wall = traced(offset=0.2, toward=305, radius=180, angles=angles)
    readings = wall - wall[0] if sense == "out" else wall[0] - wall
    offset, toward = runout.sweep_offset(readings=readings, angles=angles, sense=sense)
    assert offset == pytest.approx(0.2, rel=2e-3)
    assert toward == pytest.approx(305, abs=0.1)
    assert runout.sweep_leftover(readings=readings, angles=angles) < 2e-4


def test_an_oval_bore_is_left_over_and_does_not_close() -> None:
    """0.02 mm of ovality on top of an offset: the offset stays, the ovality is what is left."""
    turn = np.radians(CLOCK)
    readings = 0.1 * np.cos(turn - math.radians(30)) + 0.02 * np.cos(2 * turn)
    offset, toward = runout.sweep_offset(readings=readings, angles=CLOCK, sense="out")
    assert (offset, toward) == (pytest.approx(0.1), pytest.approx(30))
    assert runout.sweep_leftover(readings=readings, angles=CLOCK) == pytest.approx(0.02)
    top, right, bottom, left = readings
    closure = runout.four_point_closure(top=top, right=right, bottom=bottom, left=left)
    assert closure == pytest.approx(4 * 0.02)


@pytest.mark.parametrize("count", [3, 4, 8, 12])
def test_uncertainty_of_the_offset_by_propagation(count: int) -> None:
    angles = 360 / count * np.arange(count)
    heard = [ufloat(0.15 * math.cos(math.radians(a - 40)), 0.01) for a in angles]
    u = sum(h * math.cos(math.radians(a)) for h, a in zip(heard, angles, strict=True)) * 2 / count
    v = sum(h * math.sin(math.radians(a)) for h, a in zip(heard, angles, strict=True)) * 2 / count
    offset = root(u**2 + v**2)
    assert offset.nominal_value == pytest.approx(0.15, rel=1e-9)
    assert runout.sweep_uncertainty(reading=0.01, readings=count) == pytest.approx(offset.std_dev)


# ── offset dowels ───────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("offset", "dowel", "left"),
    [(0.0095, 0.007, 0.005), (0.0095, 0.014, 0.009), (0.011, 0.014, 0.006), (0.011, 0.007, 0.008)],
)
def test_what_a_dowel_leaves_set_straight_against_the_offset(
    offset: float, dowel: float, left: float
) -> None:
    """In inches, TIR."""
    worked = runout.dowel_residual_tir(offset=offset, toward=80, dowel=dowel, dowel_toward=260)
    assert worked == pytest.approx(left, abs=1e-12)


def test_owners_example_as_offset() -> None:
    """Error .011 in down, dowels .014 in up: .003 in is left, half the TIR."""
    tir = runout.dowel_residual_tir(offset=0.011, toward=180, dowel=0.014, dowel_toward=0)
    assert runout.offset_of_tir(tir=tir) == pytest.approx(0.003, abs=1e-12)


def test_dowel_set_askew_by_complex_numbers() -> None:
    for askew in range(0, 360, 15):
        bore = 0.24 * complex(math.cos(0.3), math.sin(0.3))
        turn = math.radians(askew)
        moved = abs(bore + 0.178 * complex(math.cos(turn), math.sin(turn)))
        worked = runout.dowel_residual_tir(
            offset=0.24, toward=math.degrees(0.3), dowel=0.178, dowel_toward=askew
        )
        assert worked == pytest.approx(2 * moved, abs=1e-12)


@pytest.mark.parametrize(
    ("offset", "choice"), [(0.0095, 0.007), (0.011, 0.014), (0.003, 0.0), (0.03, 0.021)]
)
def test_nearest_dowel_leaves_least(offset: float, choice: float) -> None:
    sizes = [0.007, 0.014, 0.021]
    assert runout.nearest_offset_dowel(offset=offset, sizes=sizes) == choice
    left = {size: 2 * abs(offset - size) for size in (0.0, *sizes)}
    assert left[choice] == min(left.values())


# ── tilt ────────────────────────────────────────────────────────────────────


def test_tilt_of_a_plane_swept_on_a_circle() -> None:
    """A plane z = 0.0003·x swept at radius 180: total reading 0.108 mm; 90 mm behind, 0.027 mm off."""
    turn = np.radians(np.arange(0, 360, 5))
    tir = runout.raw_tir(readings=0.0003 * 180 * np.cos(turn))
    slope = runout.face_tilt(tir=tir, radius=180)
    assert slope == pytest.approx(0.0003, rel=1e-12)
    assert runout.tilt_offset(slope=slope, distance=90) == pytest.approx(0.027, rel=1e-12)


def test_tilt_is_the_reading_over_the_diameter() -> None:
    """Face TIR over the diameter it was swept on, in radians (common practice, no source)."""
    assert runout.face_tilt(tir=0.13, radius=325 / 2) == pytest.approx(0.13 / 325)
