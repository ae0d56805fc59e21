"""How much thread must be engaged.

Sources: Machinery's Handbook, 24th ed., formulas for stress areas and lengths of engagement, as
quoted (read; its Q = J·Lₑ from memory); limits of size of ASME B1.1-2019 (read, second-hand).
The lengths are computed from them by hand, step by step, in inches; the worked areas and lengths
were first computed apart from this program. Stripping is checked by a second method as well: the
area of the sheared cylinder, turn by turn.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from wizard.engine.formulas import threads

PROVES = {
    "threads.external_shear_area",
    "threads.internal_shear_area",
    "threads.stripping_length",
    "threads.strength_ratio",
    "threads.required_engagement",
}
INCH = 25.4
HALF_INCH = {  # 1/2-13 2A/2B, in
    "pitch": 1 / 13, "internal_minor": 0.434, "external_pitch": 0.4435,
    "external_major": 0.4876, "internal_pitch": 0.4565,
}  # fmt: skip
THREE_QUARTERS = {  # 3/4-10 2A/2B, in
    "pitch": 1 / 10, "internal_minor": 0.663, "external_pitch": 0.6773,
    "external_major": 0.7353, "internal_pitch": 0.6927,
}  # fmt: skip


def metric(size: dict[str, float], *names: str) -> dict[str, float]:
    return {name: size[name] * INCH for name in names}


@pytest.mark.parametrize(
    ("size", "area", "length"),
    [(HALF_INCH, 0.1419, "0.3643"), (THREE_QUARTERS, 0.3345, "0.5513")],
    ids=["1/2-13", "3/4-10"],
)
def test_stripping_length(size: dict[str, float], area: float, length: str) -> None:
    worked = threads.stripping_length(
        stress_area_mm2=area * INCH**2, **metric(size, "pitch", "internal_minor", "external_pitch")
    )
    assert worked / INCH == pytest.approx(float(length), abs=0.5e-4)


@pytest.mark.parametrize(
    ("size", "length", "ratio"),
    [(HALF_INCH, 0.3643, 1.442), (THREE_QUARTERS, 0.5513, 1.420)],
    ids=["1/2-13", "3/4-10"],
)
def test_tapped_thread_has_more_area(size: dict[str, float], length: float, ratio: float) -> None:
    external = threads.external_shear_area(
        engagement=length * INCH, **metric(size, "pitch", "internal_minor", "external_pitch")
    )
    internal = threads.internal_shear_area(
        engagement=length * INCH, **metric(size, "pitch", "external_major", "internal_pitch")
    )
    assert internal / external == pytest.approx(ratio, abs=0.5e-3)


def test_areas_of_half_inch_thread() -> None:
    """As = 0.2838 in², An = 0.4093 in² over 0.3643 in."""
    external = threads.external_shear_area(
        engagement=0.3643 * INCH, **metric(HALF_INCH, "pitch", "internal_minor", "external_pitch")
    )
    internal = threads.internal_shear_area(
        engagement=0.3643 * INCH, **metric(HALF_INCH, "pitch", "external_major", "internal_pitch")
    )
    assert external / INCH**2 == pytest.approx(0.2838, abs=1e-4)
    assert internal / INCH**2 == pytest.approx(0.4093, abs=1e-4)


@pytest.mark.parametrize(
    ("grade", "tensile_ksi", "ratio", "length"),
    [("8", 150, "2.311", "0.842"), ("5", 120, "1.849", "0.674")],
)
def test_half_inch_screw_in_aluminium(
    grade: str, tensile_ksi: float, ratio: str, length: str
) -> None:
    """1/2-13 grade 8 or 5 in 6061-T6 of 45 ksi."""
    ksi = 6.894757293168361
    strengths = {"external_tensile_mpa": tensile_ksi * ksi, "internal_tensile_mpa": 45 * ksi}
    worked = threads.strength_ratio(external_area_mm2=0.2838, internal_area_mm2=0.4093, **strengths)
    assert worked == pytest.approx(float(ratio), abs=0.5e-3)
    needed = threads.required_engagement(
        stress_area_mm2=0.1419 * INCH**2, **metric(HALF_INCH, *HALF_INCH), **strengths
    )
    assert needed / INCH == pytest.approx(float(length), abs=0.6e-3)


def test_strong_tapped_part_needs_no_more_than_the_screw() -> None:
    """J below 1: the length stays the one at which the screw's own thread holds."""
    needed = threads.required_engagement(
        stress_area_mm2=0.1419 * INCH**2, **metric(HALF_INCH, *HALF_INCH),
        external_tensile_mpa=800, internal_tensile_mpa=1000,
    )  # fmt: skip
    assert needed / INCH == pytest.approx(0.3643, abs=0.5e-4)


def test_shear_area_is_the_cylinder_cut_through_the_flanks() -> None:
    """Second method: width of the screw's 60° ridge where the nut's crest cuts it, along the helix.

    At the pitch diameter a ridge is P/2 wide; toward the root it widens by 2·tan 30° of the way.
    """
    pitch, cut, middle, length = 1.75, 10.441, 10.679, 10.0
    width = pitch / 2 + 2 * math.tan(math.radians(30)) * (middle - cut) / 2
    around, _ = quad(lambda _: cut / 2 * width, 0, 2 * math.pi * length / pitch)
    area = threads.external_shear_area(
        engagement=length, pitch=pitch, internal_minor=cut, external_pitch=middle
    )
    assert area == pytest.approx(around, rel=1e-12)
