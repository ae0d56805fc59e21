"""Hardened dowel pins.

Sources: ASME B18.8.2-2000 and ASME B18.8.5M (read as reprinted): the printed shear strengths rest on one
shear stress for every size, 130 ksi and 1050 MPa (from memory); ISO 8734:1997, tolerance m6 (read).
"""

from __future__ import annotations

import math

import pytest

from kb.standards import dowels, fits

INCH, LBF, KSI = 25.4, 4.4482216152605, 6.894757293168361


@pytest.mark.parametrize(("system", "stress_mpa"), [("inch", 130 * KSI), ("metric", 1050.0)])
def test_shear_strength_is_stress_times_area(system: str, stress_mpa: float) -> None:
    compared = 0
    for size in dowels.sizes(system):
        pin = dowels.pin(size, system)
        if pin.single_shear_n is None:
            continue
        area = math.pi / 4 * pin.nominal**2
        assert pin.single_shear_n == pytest.approx(stress_mpa * area, rel=0.009)
        compared += 1
    assert compared >= 10


def test_inch_pins_are_two_tenths_over_in_holes_up_to_size() -> None:
    """Pin +.0001 to +.0003 in, hole −.0005 to 0: interference .0001 to .0008 in."""
    for size in dowels.sizes("inch"):
        pin = dowels.pin(size, "inch")
        assert pin.hole is not None
        least, most = pin.pin[0] - pin.hole[1], pin.pin[1] - pin.hole[0]
        assert least / INCH == pytest.approx(0.0001, abs=1e-7)
        assert most / INCH == pytest.approx(0.0008, abs=1e-7)


def test_parallel_pins_are_m6() -> None:
    """ISO 8734's limits, as printed, are the zone m6 of ISO 286."""
    for size in (3, 4, 5, 6, 8, 10, 12, 14, 16, 20):
        assert dowels.iso_pin(size).pin == pytest.approx(fits.zone("m6", size).limits, abs=1e-9)
