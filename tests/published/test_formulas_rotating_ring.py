"""Rings that turn, by a second method: the boundary-value problem of the disc, solved numerically.

Equilibrium d(r·σ_r)/dr − σ_θ + ρω²r² = 0 with Hooke's law, σ_r = 0 at the edges (or a pull at the
outside), solved with scipy.integrate.solve_bvp. The figures of the 150/50 mm and 100/30 mm steel
rings were computed apart from this program and checked the same way. Two wrong forms in
circulation give 1.50 MPa (a misplaced bracket) and 33.57 MPa (the mean, passed off as the
greatest stress): common practice, no source.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad, solve_bvp

from wizard.engine.formulas import inertia, rotating

PROVES = {
    "rotating.angular_speed",
    "rotating.hoop_stress",
    "rotating.radial_stress",
    "rotating.peak_hoop_stress",
    "rotating.peak_radial_stress",
    "rotating.mean_hoop_stress",
    "rotating.thin_ring_stress",
    "inertia.rim_load_peak_hoop",
    "inertia.rim_load_mean_hoop",
}
STEEL = {"density_kg_m3": 7850.0, "poisson": 0.3}
RINGS = [
    {"bore": 100.0, "outside": 300.0, "speed_rpm": 6000.0, **STEEL},
    {"bore": 60.0, "outside": 200.0, "speed_rpm": 6000.0, **STEEL},
    {"bore": 20.0, "outside": 240.0, "speed_rpm": 8500.0, "density_kg_m3": 2700.0, "poisson": 0.33},
    {
        "bore": 250.0,
        "outside": 300.0,
        "speed_rpm": 4500.0,
        "density_kg_m3": 7200.0,
        "poisson": 0.21,
    },
]
Curves = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]


def solved(
    *, bore: float, outside: float, speed_rpm: float, density_kg_m3: float, poisson: float,
    pull_mpa: float = 0.0,
) -> Curves:  # fmt: skip
    """Radii, radial and hoop stress. Unknowns over the outer radius: s = r·σ_r/R and σ_θ."""
    outer = outside / 2
    body = density_kg_m3 * 1e-12 * (speed_rpm * math.pi / 30) ** 2 * outer**2

    def grow(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
        radial, hoop = y
        force = (hoop - radial) / x - body * x
        fit = (1 + poisson) * (radial - hoop) / x + poisson * force  # strains fit together
        return np.vstack((force, fit))

    def edges(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.array((a[0], b[0] - pull_mpa))

    grid = np.linspace(bore / outside, 1, 200)
    found = solve_bvp(grow, edges, grid, np.ones((2, grid.size)), tol=1e-8, max_nodes=20000)
    assert found.success
    return found.x * outer, found.y[0], found.y[1]


@pytest.mark.parametrize("ring", RINGS, ids=lambda ring: f"{ring['bore']:g}/{ring['outside']:g}")
def test_stress_all_through_the_ring(ring: dict[str, float]) -> None:
    radius, radial, hoop = solved(**ring)
    inside = np.clip(radius, ring["bore"] / 2, ring["outside"] / 2)
    scale = float(hoop.max())
    assert rotating.hoop_stress(radius=inside, **ring) == pytest.approx(hoop, abs=1e-5 * scale)
    assert rotating.radial_stress(radius=inside, **ring) == pytest.approx(radial, abs=1e-5 * scale)
    assert rotating.peak_hoop_stress(**ring) == pytest.approx(hoop.max(), rel=1e-5)
    assert rotating.peak_radial_stress(**ring) == pytest.approx(radial.max(), rel=1e-3)


@pytest.mark.parametrize("ring", RINGS, ids=lambda ring: f"{ring['bore']:g}/{ring['outside']:g}")
def test_mean_hoop_stress_is_the_solution_averaged(ring: dict[str, float]) -> None:
    radius, _, hoop = solved(**ring)
    mean = np.trapezoid(hoop, radius) / (radius[-1] - radius[0])
    bare = {key: value for key, value in ring.items() if key != "poisson"}
    assert rotating.mean_hoop_stress(**bare) == pytest.approx(mean, rel=1e-4)


def test_figures_of_two_steel_rings() -> None:
    """58.88 and 12.78 MPa; 26.06 and 6.26 MPa; not 1.50; 33.57 is the mean."""
    large, small = RINGS[0], RINGS[1]
    assert rotating.peak_hoop_stress(**large) == pytest.approx(58.88, abs=0.005)
    assert rotating.peak_radial_stress(**large) == pytest.approx(12.78, abs=0.005)
    assert rotating.radial_stress(radius=86.6, **large) == pytest.approx(12.78, abs=0.005)
    assert rotating.peak_hoop_stress(**small) == pytest.approx(26.06, abs=0.005)
    assert rotating.peak_radial_stress(**small) == pytest.approx(6.26, abs=0.005)
    mean = rotating.mean_hoop_stress(bore=100, outside=300, speed_rpm=6000, density_kg_m3=7850)
    assert mean == pytest.approx(33.57, abs=0.005)


def test_many_speeds_at_once_are_the_same_numbers() -> None:
    speeds = np.array([1000.0, 3000.0, 6000.0])
    ring = {"bore": 100.0, "outside": 300.0, **STEEL}
    together = rotating.peak_hoop_stress(speed_rpm=speeds, **ring)
    for speed, stress in zip(speeds, together, strict=True):
        assert stress == rotating.peak_hoop_stress(speed_rpm=float(speed), **ring)


def test_thin_ring() -> None:
    """Limit case of a 150 mm radius at 6000 rpm: 69.73 MPa; the thick formula comes to it."""
    thin = {"bore": 299.9, "outside": 300.1, "speed_rpm": 6000.0}
    worked = rotating.thin_ring_stress(**thin, density_kg_m3=7850)
    assert worked == pytest.approx(69.73, abs=0.005)
    assert worked == pytest.approx(rotating.peak_hoop_stress(**thin, **STEEL), rel=1e-3)


def test_angular_speed_is_one_turn_a_minute() -> None:
    """60 rpm is one turn a second, 2π rad/s (definition)."""
    assert rotating.angular_speed(speed_rpm=60) == pytest.approx(6.283185307, rel=1e-9)


@pytest.mark.parametrize(("bore", "outside"), [(60, 240), (120, 240), (30, 300)])
def test_loads_hung_on_the_rim(bore: float, outside: float) -> None:
    """The solution at rest with a pull at the outside; force 40 kN on 15 mm."""
    force, thickness = 40000.0, 15.0
    pull = force / (math.pi * outside * thickness)
    radius, _, hoop = solved(bore=bore, outside=outside, speed_rpm=0, pull_mpa=pull, **STEEL)
    rim = {"force_n": force, "thickness": thickness, "bore": bore, "outside": outside}
    assert inertia.rim_load_peak_hoop(**rim) == pytest.approx(hoop.max(), rel=1e-5)
    mean = np.trapezoid(hoop, radius) / (radius[-1] - radius[0])
    assert inertia.rim_load_mean_hoop(**rim) == pytest.approx(mean, rel=1e-4)


def test_mean_of_rim_loads_by_adding_pulls_over_half_the_ring() -> None:
    """Outward pulls summed over the upper half stand against two sections of the ring."""
    upward, _ = quad(lambda turn: 40000 / (2 * math.pi) * math.sin(turn), 0, math.pi)
    mean = inertia.rim_load_mean_hoop(force_n=40000, thickness=15, bore=60, outside=240)
    assert mean == pytest.approx(upward / (2 * 15 * 90), rel=1e-9)
