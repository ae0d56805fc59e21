"""Permissible unbalance.

Sources: ISO 21940-11:2016, Table 1 and permissible residual unbalance (grades read); the formula
with 9549, its example of 12 g·mm, the factor 6.015 for ounces, pounds and inches, and the naval
limit that equals G0.665: common practice, no source (read on unnamed pages; MIL-STD-167 named
there). The examples at 6000 rpm are computed apart from this program. The swing of an unbalanced
part against the pendulum equation integrated by SciPy, a second method.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import solve_ivp

from kb.standards.loader import Row, table
from wizard.engine.formulas import balance

PROVES = {
    "balance.swing_unbalance",
    "balance.permissible_unbalance",
    "balance.permissible_offset",
    "balance.grade_reached",
    "balance.offset_unbalance",
    "balance.unbalance_force",
}
OUNCE_INCH = 28.349523125 * 25.4  # g·mm
POUND = 0.45359237  # kg


@pytest.mark.parametrize(
    ("mass_kg", "grade", "speed", "unbalance", "figures"),
    [
        (2, 6.3, 10000, 12, 0.5),
        (1, 6.3, 10000, 6, 0.5),
        (5, 6.3, 6000, 50.13, 0.005),
        (5, 16, 6000, 127.32, 0.005),
        (3, 6.3, 6000, 30.08, 0.005),
        (3, 6.3, 1500, 120, 0.5),
        (1.5, 6.3, 8500, 10.6, 0.05),
    ],
)
def test_permissible_unbalance(
    mass_kg: float, grade: float, speed: float, unbalance: float, figures: float
) -> None:
    worked = balance.permissible_unbalance(grade_mm_s=grade, mass_kg=mass_kg, speed_rpm=speed)
    assert worked == pytest.approx(unbalance, abs=figures)


@pytest.mark.parametrize("row", table("balance_grades").rows, ids=lambda row: row.text("grade"))
def test_constant_is_9549(row: Row) -> None:
    grade = row.value("value")
    worked = balance.permissible_unbalance(grade_mm_s=grade, mass_kg=1, speed_rpm=1000)
    assert worked == pytest.approx(9549 * grade / 1000, rel=1e-4)


def test_constant_in_ounces_is_6_015() -> None:
    """U [oz·in] = 6.015·G·W [lb]/N."""
    worked = balance.permissible_unbalance(grade_mm_s=2.5, mass_kg=100 * POUND, speed_rpm=1800)
    assert worked / OUNCE_INCH == pytest.approx(6.015 * 2.5 * 100 / 1800, rel=1e-4)


def test_naval_limit_is_g_0_665() -> None:
    """U = 4·W/N oz·in over 1000 rpm."""
    unbalance = 4 * 50 / 1200 * OUNCE_INCH
    grade = balance.grade_reached(unbalance_gmm=unbalance, mass_kg=50 * POUND, speed_rpm=1200)
    assert grade == pytest.approx(0.665, abs=0.0005)


def test_offset_spacer_at_6000_rpm() -> None:
    """3 kg, 0.05 mm off: 150 g·mm where G6.3 allows 30.08; it amounts to G31.4 and pulls 59.2 N."""
    unbalance = balance.offset_unbalance(mass_kg=3, offset=0.05)
    assert unbalance == pytest.approx(150, abs=1e-9)
    assert balance.grade_reached(
        unbalance_gmm=unbalance, mass_kg=3, speed_rpm=6000
    ) == pytest.approx(31.4, abs=0.05)
    assert balance.unbalance_force(unbalance_gmm=unbalance, speed_rpm=6000) == pytest.approx(
        59.2, abs=0.05
    )


@pytest.mark.parametrize(
    ("speed", "micrometres", "figures"), [(6000, 10.026, 0.001), (6000, 10, 0.5), (8500, 7, 0.5)]
)
def test_permissible_offset(speed: float, micrometres: float, figures: float) -> None:
    """In µm, the same figure as g·mm per kg."""
    offset = balance.permissible_offset(grade_mm_s=6.3, speed_rpm=speed)
    assert 1000 * offset == pytest.approx(micrometres, abs=figures)


def test_grade_is_the_speed_of_the_centre_of_mass() -> None:
    """Second method: G is the rim speed of the offset centre of mass, v = 2π·e·n/60."""
    offset = balance.permissible_offset(grade_mm_s=16, speed_rpm=2500)
    assert 2 * math.pi * offset * 2500 / 60 == pytest.approx(16, rel=1e-12)


@pytest.mark.parametrize(("unbalance", "inertia", "swing"), [(250, 25_000, 10), (900, 4_000, 15)])
def test_swing_is_that_of_the_integrated_pendulum(
    unbalance: float, inertia: float, swing: float
) -> None:
    """I·φ″ = −U·g·sin φ from rest at the end of a swing; a quarter of the period brings φ to 0."""
    pull = unbalance * 1e-3 * 9806.65 / inertia  # 1/s²

    def motion(_: float, state: list[float]) -> tuple[float, float]:
        return state[1], -pull * math.sin(state[0])

    def lowest(_: float, state: list[float]) -> float:
        return state[0]

    lowest.terminal = True  # type: ignore[attr-defined]
    begin = [math.radians(swing), 0.0]
    found = solve_ivp(motion, (0, 60), begin, events=lowest, rtol=1e-10, atol=1e-12)
    period = 4 * float(found.t_events[0][0])
    worked = balance.swing_unbalance(inertia_kg_mm2=inertia, period_s=period)
    # swings of finite size are slower by φ²/16, so the unbalance comes out lighter by φ²/8
    assert worked == pytest.approx(unbalance * (1 - begin[0] ** 2 / 8), rel=2e-4)
