"""Ring gear and pinion.

Sources: 12 diametral pitch, 153 teeth 12.75 in and 168 teeth 14.0 in; backlash grows by 0.73 of the
change of centres at 20°, 0.52 at 14.5° (common practice, no source; pitch diameters exact). The
basic rack of ISO 53:1998: addendum 1 m, dedendum 1.25 m (memory). Second method for the backlash:
tooth thicknesses on the working pitch circles by the involute function (exact geometry).
"""

from __future__ import annotations

import math

import pytest

from wizard.engine.formulas import gears

PROVES = {
    "gears.module_of_pitch",
    "gears.gear_pitch_diameter",
    "gears.root_diameter",
    "gears.centre_distance",
    "gears.backlash_change",
    "gears.root_clearance",
}
INCH = 25.4


@pytest.mark.parametrize(("teeth", "inches"), [(153, 12.75), (168, 14.0)])
def test_pitch_diameter_of_twelve_pitch_rings(teeth: int, inches: float) -> None:
    module = gears.module_of_pitch(diametral_pitch=12)
    worked = gears.gear_pitch_diameter(teeth=teeth, module=module)
    assert worked / INCH == pytest.approx(inches, rel=1e-12)


@pytest.mark.parametrize(("angle", "share"), [(20, "0.73"), (14.5, "0.52")])
def test_backlash_per_change_of_centres(angle: float, share: str) -> None:
    worked = gears.backlash_change(centre_change=1.0, pressure_angle=angle)
    assert worked == pytest.approx(float(share), abs=0.005)


def involute(angle: float) -> float:
    return math.tan(angle) - angle


@pytest.mark.parametrize("angle", [14.5, 20.0, 25.0])
@pytest.mark.parametrize("apart", [0.05, -0.05])
def test_backlash_by_the_involute(angle: float, apart: float) -> None:
    """Teeth that mesh without backlash at C: pulled apart, the gap between them is 2·C′·(inv φ′ − inv φ)."""
    pressure = math.radians(angle)
    centres = gears.centre_distance(ring_teeth=146, pinion_teeth=10, module=2.5)
    working = math.acos(centres * math.cos(pressure) / (centres + apart))
    pitch = 2 * math.pi * (centres + apart) / (146 + 10)
    thicknesses = 0.0
    for teeth in (146, 10):
        radius = 2.5 * teeth / 2
        moved = radius * math.cos(pressure) / math.cos(working)
        half = math.pi * 2.5 / 2 / (2 * radius)  # half the angle of a tooth at the pitch circle
        thicknesses += 2 * moved * (half + involute(pressure) - involute(working))
    worked = gears.backlash_change(centre_change=apart, pressure_angle=angle)
    assert worked == pytest.approx(pitch - thicknesses, rel=0.003)


def test_standard_gears_clear_by_a_quarter_of_the_module() -> None:
    """Basic rack: tips 1 m out, roots 1.25 m in, so 0.25 m is left at the reference centres."""
    module = 3.0
    outside = gears.gear_pitch_diameter(teeth=11, module=module) + 2 * module
    ring_outside = gears.gear_pitch_diameter(teeth=130, module=module) + 2 * module
    clearance = gears.root_clearance(
        centres=gears.centre_distance(ring_teeth=130, pinion_teeth=11, module=module),
        ring_outside=ring_outside,
        pinion_root=gears.root_diameter(outside=outside, module=module),
    )
    assert clearance == pytest.approx(0.25 * module, rel=1e-12)
