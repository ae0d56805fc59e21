"""Preload and tightening torque from friction.

Source: VDI 2230 (2001/2003), table of assembly preloads and tightening torques for fine threads,
classes 8.8, 10.9 and 12.9, 90 % of Rp0.2 (preloads and torques read; the diameters of head and
hole behind the torques are the hexagon head's and ISO 273 medium's, from memory).
"""

from __future__ import annotations

import pytest

from tests.published.digits import half_digit
from tests.published.printed import printed
from wizard.engine.formulas import joints, tightening

PROVES = {
    "tightening.preload_at_yield",
    "tightening.torque_by_friction",
    "tightening.preload_by_friction",
    "joints.head_pressure",
}
TABLE = printed("formulas_vdi_2230_fine_threads")


def name(row: dict[str, str]) -> str:
    return f"{row['thread']} {row['class']} {row['friction']}"


@pytest.mark.parametrize("row", TABLE, ids=name)
def test_preload_is_the_tables(row: dict[str, str]) -> None:
    preload = tightening.preload_at_yield(
        major=float(row["major_mm"]), pitch=float(row["pitch_mm"]), system="metric",
        yield_mpa=float(row["rp02_mpa"]), thread_friction=float(row["friction"]),
    )  # fmt: skip
    # the table carries rounded diameters: 0.6 instead of 0.5 of its last digit
    assert preload / 1000 == pytest.approx(
        float(row["preload_kn"]), abs=1.2 * half_digit(row["preload_kn"])
    )


@pytest.mark.parametrize("row", TABLE, ids=name)
def test_torque_is_the_tables(row: dict[str, str]) -> None:
    """From the printed preload; both printed figures are rounded, the short form itself is too."""
    torque = tightening.torque_by_friction(
        preload_n=1000 * float(row["preload_kn"]), **geometry(row)
    )
    rounding = half_digit(row["torque_nm"]) / float(row["torque_nm"])
    rounding += half_digit(row["preload_kn"]) / float(row["preload_kn"])
    assert torque / 1000 == pytest.approx(float(row["torque_nm"]), rel=rounding + 0.003)


@pytest.mark.parametrize("row", TABLE, ids=name)
def test_printed_torque_gives_the_printed_preload(row: dict[str, str]) -> None:
    preload = tightening.preload_by_friction(
        torque_nmm=1000 * float(row["torque_nm"]), **geometry(row)
    )
    rounding = half_digit(row["torque_nm"]) / float(row["torque_nm"])
    rounding += half_digit(row["preload_kn"]) / float(row["preload_kn"])
    assert preload / 1000 == pytest.approx(float(row["preload_kn"]), rel=rounding + 0.003)


def test_pressure_under_a_head_is_force_over_ring() -> None:
    """Second method: the ring's area as the difference of two printed circle areas.

    Circle areas of 14.6 and 11 mm: 167.415 and 95.033 mm² (closed form, six figures).
    """
    pressure = joints.head_pressure(preload_n=31600, bearing_outside=14.6, hole=11)
    assert pressure == pytest.approx(31600 / (167.415 - 95.033), rel=1e-5)


def geometry(row: dict[str, str]) -> dict[str, float]:
    return {
        "major": float(row["major_mm"]),
        "pitch": float(row["pitch_mm"]),
        "thread_friction": float(row["friction"]),
        "head_friction": float(row["friction"]),
        "bearing_outside": float(row["head_mm"]),
        "hole": float(row["hole_mm"]),
    }
