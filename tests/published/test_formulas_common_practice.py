"""Friction joints, overhang, drilled balance holes, press fits without a worked page.

Sources: common practice, no source, where a figure of the trade is met (six M10 at 40 kN, μ 0.15
on 40 mm: 1440 N·m; eight M10 8.8 at 27.0 kN on 60 mm: 1944 N·m; drilled steel 3.7, 2.3 and 0.8 g;
aluminium on iron over 400 mm and 80 K: 0.38 mm). Everything else by a second method named beside it:
integration, equilibrium solved as a linear system, or the thick cylinder's boundary-value problem.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad, quad, solve_bvp

from wizard.engine.formulas import balance, inertia, joints, press, thermal

PROVES = {
    "joints.friction_torque",
    "joints.annulus_friction_radius",
    "joints.screws_friction_radius",
    "joints.reaction_torque",
    "joints.floor_shear",
    "joints.overhang_moment",
    "joints.overhang_capacity",
    "balance.drilled_mass",
    "balance.drill_depth",
    "balance.resultant_unbalance",
    "inertia.centrifugal_force",
    "inertia.ring_mass",
    "inertia.ring_inertia",
    "inertia.kinetic_energy",
    "press.shaft_hoop_stress",
    "press.bore_closing",
    "press.press_pressure",
    "press.fitting_temperature",
    "thermal.growth",
    "thermal.growth_difference",
    "thermal.warm_play",
}


@pytest.mark.parametrize(
    ("screws", "preload_n", "radius", "torque_nm"), [(6, 40e3, 40, 1440), (8, 27e3, 60, 1944)]
)
def test_friction_torque(screws: int, preload_n: float, radius: float, torque_nm: float) -> None:
    worked = joints.friction_torque(
        screws=screws, friction=0.15, preload_n=preload_n, radius=radius
    )
    assert worked / 1000 == pytest.approx(torque_nm, rel=1e-12)


@pytest.mark.parametrize(("bore", "outside"), [(0, 100), (60, 100), (95, 100)])
def test_annulus_radius_by_integration(bore: float, outside: float) -> None:
    """∫ r·dA over ∫ dA."""
    moment, _ = quad(lambda r: r * r, bore / 2, outside / 2)
    area, _ = quad(lambda r: r, bore / 2, outside / 2)
    worked = joints.annulus_friction_radius(bore=bore, outside=outside)
    assert worked == pytest.approx(moment / area, rel=1e-9)


def test_screws_anywhere_by_adding_their_friction() -> None:
    """Each screw resists with μ·F at right angles to its own arm."""
    centres = np.array([(80.0, 10.0), (-30.0, 120.0), (-95.0, -60.0), (20.0, -140.0)])
    arms = np.hypot(centres[:, 0], centres[:, 1])
    across = np.column_stack((-centres[:, 1], centres[:, 0])) / arms[:, None] * 0.12 * 25000
    torque = float((centres[:, 0] * across[:, 1] - centres[:, 1] * across[:, 0]).sum())
    radius = joints.screws_friction_radius(centres=centres)
    worked = joints.friction_torque(screws=4, friction=0.12, preload_n=25000, radius=radius)
    assert worked == pytest.approx(torque, rel=1e-12)


@pytest.mark.parametrize(
    ("ratio", "stall", "times"),
    [(2.5, 1.0, 1.5), (1.0, 1.0, 0.0), (-2.1, 2.0, 5.2), (0.7, 1.0, 0.3)],
)
def test_reaction_balances_input_and_output(ratio: float, stall: float, times: float) -> None:
    """Torques on the gearbox add to nought: input, output, housing. In reverse it takes their sum."""
    worked = joints.reaction_torque(torque_nmm=400e3, ratio=ratio, stall_ratio=stall)
    assert worked == pytest.approx(times * 400e3, abs=1e-6)


def test_floor_shear_balances_the_preload() -> None:
    stress = joints.floor_shear(preload_n=31600, head=16, floor=8)
    around, _ = quad(lambda turn: stress * 8 * 16 / 2, 0, 2 * math.pi)
    assert around == pytest.approx(31600, rel=1e-12)


# ── overhang ────────────────────────────────────────────────────────────────


def test_overhang_is_weight_times_arm() -> None:
    """80 kg at 350 mm, three times its weight: 80·3·9.80665·0.350 = 823.76 N·m, by hand."""
    worked = joints.overhang_moment(mass_kg=80, distance=350)
    assert worked / 1000 == pytest.approx(823.76, abs=0.005)


@pytest.mark.parametrize("heights", [[0, 0, 200, 200], [0, 40, 150, 260, 260, 300], [10, 120, 330]])
def test_capacity_is_the_moment_at_which_the_first_screw_lets_go(heights: list[float]) -> None:
    """Second method: rigid plate hinged at the lowest screw, each screw a spring of one stiffness."""
    preload = 12000.0
    arms = np.array(heights, dtype=float)
    stiffness = 1e5 * (arms**2).sum()  # moment per radian of tipping
    tip = preload / (1e5 * arms.max())  # at which the farthest screw has lost its preload
    worked = joints.overhang_capacity(preloads_n=[preload] * len(arms), heights=arms)
    assert worked == pytest.approx(stiffness * tip, rel=1e-12)


# ── drilled holes ───────────────────────────────────────────────────────────


@pytest.mark.parametrize(("diameter", "depth", "grams"), [(10, 5, 3.7), (8, 5, 2.3), (6, 3, 0.8)])
def test_drilled_mass_of_steel(diameter: float, depth: float, grams: float) -> None:
    mass = balance.drilled_mass(diameter=diameter, depth=depth, density_kg_m3=7850)
    assert 1000 * mass == pytest.approx(grams, abs=0.06)


def test_drilled_mass_by_integration() -> None:
    """Radius along the depth: full, then the 118° point to nought."""
    tip = 5 / math.tan(math.radians(59))
    full, _ = quad(lambda _: math.pi * 5**2, 0, 7)
    point, _ = quad(lambda z: math.pi * (5 * (1 - z / tip)) ** 2, 0, tip)
    worked = balance.drilled_mass(diameter=10, depth=7, density_kg_m3=7850)
    assert worked == pytest.approx((full + point) * 7.85e-6, rel=1e-9)


def test_drilling_takes_the_unbalance_away() -> None:
    depth = balance.drill_depth(unbalance_gmm=640, radius=110, diameter=12, density_kg_m3=7200)
    taken = balance.drilled_mass(diameter=12, depth=depth, density_kg_m3=7200)
    left, _ = balance.resultant_unbalance(
        masses_kg=[0.640 / 110, -taken], centres=[(0, 110), (0, 110)]
    )
    assert left == pytest.approx(0, abs=1e-9)
    assert balance.drill_depth(unbalance_gmm=1, radius=110, diameter=12, density_kg_m3=7200) == 0


def test_equally_spaced_holes_leave_no_unbalance_and_one_odd_one_does() -> None:
    """Sum of the corners of a regular polygon is nought; without one it is that one's opposite."""
    turn = np.radians(20 + 60 * np.arange(6))
    centres = 75 * np.column_stack((np.cos(turn), np.sin(turn)))
    whole, _ = balance.resultant_unbalance(masses_kg=[-0.012] * 6, centres=centres)
    odd, heavy = balance.resultant_unbalance(masses_kg=[-0.012] * 5, centres=centres[:5])
    assert whole == pytest.approx(0, abs=1e-9)
    assert odd == pytest.approx(12 * 75, rel=1e-9)
    assert heavy == pytest.approx(20 + 300 - 360, abs=1e-9)  # where the metal was left


# ── what turns ──────────────────────────────────────────────────────────────


def test_mass_and_inertia_by_integration() -> None:
    bore, outside, length, density = 60.0, 180.0, 25.0, 7850.0
    volume, _ = dblquad(lambda r, z: 2 * math.pi * r, 0, length, bore / 2, outside / 2)
    second, _ = dblquad(lambda r, z: 2 * math.pi * r**3, 0, length, bore / 2, outside / 2)
    mass = inertia.ring_mass(bore=bore, outside=outside, length=length, density_kg_m3=density)
    assert mass == pytest.approx(volume * density * 1e-9, rel=1e-9)
    worked = inertia.ring_inertia(mass_kg=mass, bore=bore, outside=outside)
    assert worked == pytest.approx(second * density * 1e-9, rel=1e-9)


def test_energy_and_force_of_a_point_on_a_circle() -> None:
    """0.25 kg at 120 mm and 5000 rpm from v = 2π·r·n/60 in metres: m·v²/r and m·v²/2."""
    speed = 2 * math.pi * 0.120 * 5000 / 60
    force = inertia.centrifugal_force(mass_kg=0.25, radius=120, speed_rpm=5000)
    energy = inertia.kinetic_energy(inertia_kg_mm2=0.25 * 120**2, speed_rpm=5000)
    assert force == pytest.approx(0.25 * speed**2 / 0.120, rel=1e-12)
    assert energy == pytest.approx(0.25 * speed**2 / 2, rel=1e-12)


# ── press fits ──────────────────────────────────────────────────────────────


def cylinder(*, inner: float, outer: float, inside_mpa: float, outside_mpa: float, e_mpa: float,
             poisson: float) -> tuple[float, float, float, float]:  # fmt: skip
    """Growth of inner and outer radius and hoop stress there, of a tube under pressure.

    Boundary-value problem u″ + u′/r − u/r² = 0, plane stress, with σ_r = −p at both edges.
    """
    plane = e_mpa / (1 - poisson**2)
    size = outer * max(inside_mpa, outside_mpa) / e_mpa

    def grow(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((y[1], y[0] / x**2 - y[1] / x))

    def edges(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        scale = plane * size / outer
        at_inner = scale * (a[1] + poisson * a[0] / (inner / outer)) + inside_mpa
        at_outer = scale * (b[1] + poisson * b[0]) + outside_mpa
        return np.array((at_inner, at_outer)) / max(inside_mpa, outside_mpa)

    grid = np.linspace(inner / outer, 1, 100)
    found = solve_bvp(grow, edges, grid, np.ones((2, grid.size)), tol=1e-9)
    assert found.success
    hoop = plane * size / outer * (found.y[0] / found.x + poisson * found.y[1])
    return found.y[0, 0] * size, found.y[0, -1] * size, hoop[0], hoop[-1]


def test_bush_of_bronze_in_a_steel_hub() -> None:
    """Unlike materials and a hollow shaft: both growths together make up the interference."""
    hub, bush = {"e_mpa": 207e3, "poisson": 0.29}, {"e_mpa": 105e3, "poisson": 0.34}
    pressure = press.press_pressure(
        interference=0.045, diameter=30, hub_outside=70, hub_e_mpa=207e3, hub_poisson=0.29,
        shaft_e_mpa=105e3, shaft_poisson=0.34, shaft_bore=18,
    )  # fmt: skip
    opened, _, hub_hoop, _ = cylinder(inner=15, outer=35, inside_mpa=pressure, outside_mpa=0, **hub)
    closed, shrunk, _, bush_hoop = cylinder(
        inner=9, outer=15, inside_mpa=0, outside_mpa=pressure, **bush
    )
    assert 2 * (opened - shrunk) == pytest.approx(0.045, rel=1e-6)
    assert press.hub_hoop_stress(
        pressure_mpa=pressure, diameter=30, hub_outside=70
    ) == pytest.approx(hub_hoop, rel=1e-6)
    assert press.shaft_hoop_stress(
        pressure_mpa=pressure, diameter=30, shaft_bore=18
    ) == pytest.approx(bush_hoop, rel=1e-6)
    assert press.bore_closing(
        pressure_mpa=pressure, diameter=30, bore=18, e_mpa=105e3
    ) == pytest.approx(-2 * closed, rel=1e-6)


def test_heated_hub_drops_on_with_the_clearance_wanted() -> None:
    """Put back into the growth of the bore."""
    rise = press.fitting_temperature(
        interference=0.06, clearance=0.04, diameter=50, cte_per_k=11.7e-6
    )
    bore = 50 + thermal.growth(length=50, cte_per_k=11.7e-6, rise_k=rise)
    assert bore - (50 + 0.06) == pytest.approx(0.04, abs=1e-12)
    left = thermal.warm_play(
        play=-0.06, diameter=50, hole_cte_per_k=11.7e-6, shaft_cte_per_k=11.7e-6,
        hole_rise_k=rise, shaft_rise_k=0,
    )  # fmt: skip
    assert left == pytest.approx(0.04, abs=1e-12)


# ── growth ──────────────────────────────────────────────────────────────────


def test_aluminium_on_iron() -> None:
    """Difference 12 µm/(m·K) over 400 mm and 80 K: 0.38 mm."""
    worked = thermal.growth_difference(
        length=400, first_cte_per_k=23e-6, second_cte_per_k=11e-6, rise_k=80
    )
    assert worked == pytest.approx(0.38, abs=0.005)


def test_end_gauge_of_50_mm() -> None:
    """JCGM 100:2008, H.1.2: α 11.5·10⁻⁶ per °C, so 50 mm grow 0.575 µm per °C (memory of α)."""
    assert thermal.growth(length=50, cte_per_k=11.5e-6, rise_k=1) == pytest.approx(0.575e-3)


def test_growth_of_many_rises_at_once() -> None:
    rises = np.array([-20.0, 0.0, 80.0])
    together = thermal.growth(length=300, cte_per_k=12e-6, rise_k=rises)
    assert together.tolist() == pytest.approx([-0.072, 0.0, 0.288])
