"""Posts, by a second method: the beam with shear, solved numerically.

The equations of a beam that bends and shears (Timoshenko) solved with scipy.integrate.solve_bvp:
V′ = −q, M′ = V, ψ′ = M/(E·I), w′ = ψ … with the end conditions of a post. Beams of Mechanical
Engineering Design, 9th ed., Table A-9 (memory) give the same end moments. Tilts are checked by
trying every corner of the tolerances, the opening of a foot by adding up its pressure.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import dblquad, solve_bvp

from wizard.engine.formulas import posts

PROVES = {
    "posts.post_force",
    "posts.base_moment",
    "posts.base_shear",
    "posts.bending_stress",
    "posts.base_opening_moment",
    "posts.wind_up",
    "posts.tops_tilt",
    "posts.greatest_tilt",
}
POST = {"length": 70.0, "diameter": 28.0, "e_mpa": 207e3, "poisson": 0.29}


def solved(
    *, end_n: float, spread_n: float, end_turns: bool, end_moves: bool,
    length: float, diameter: float, e_mpa: float, poisson: float,
) -> tuple[float, float, float]:  # fmt: skip
    """Moment and shear at the foot, and how far the driven end moves.

    Unknowns along x from foot to end, made of one size: shear, moment, slope, deflection.
    """
    bending = e_mpa * math.pi / 64 * diameter**4
    shear = e_mpa / (2 * (1 + poisson)) * math.pi / 4 * diameter**2 / (10 / 9)
    force = end_n + spread_n
    slope, move = force * length**2 / bending, force * length**3 / bending

    def grow(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
        cut, moment, turn, _ = y
        sheared = cut * force * length / (shear * move)
        return np.vstack((np.full_like(x, -spread_n / force), -cut, moment, turn + sheared))

    def ends(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
        turned = b[1] if end_turns else b[2]
        moved = b[0] - end_n / force if end_moves else b[3]
        return np.array((a[2], a[3], turned, moved))

    grid = np.linspace(0, 1, 30)
    found = solve_bvp(grow, ends, grid, np.zeros((4, grid.size)), tol=1e-9)
    assert found.success
    assert slope > 0
    foot, end = found.y[:, 0], found.y[:, -1]
    return abs(foot[1]) * force * length, abs(foot[0]) * force, abs(end[3]) * move


@pytest.mark.parametrize("driven_end", ["clamped", "free"])
def test_torque_alone(driven_end: str) -> None:
    """The end moves sideways under F_t; held square it does not turn."""
    moment, cut, move = solved(
        end_n=3000, spread_n=0, end_turns=driven_end == "free", end_moves=True, **POST
    )
    load = {"tangential_n": 3000.0, "centrifugal_n": 0.0, "driven_end": driven_end}
    assert posts.base_moment(length=70, **load) == pytest.approx(moment, rel=1e-6)
    assert posts.base_shear(**load) == pytest.approx(cut, rel=1e-6)
    turned = posts.wind_up(tangential_n=3000, radius=110, driven_end=driven_end, **POST)
    assert turned == pytest.approx(math.degrees(move / 110), rel=1e-5)


def test_spin_alone_between_two_rigid_discs() -> None:
    """Held square at both ends and not moving: F_c·h/12 and F_c/2."""
    moment, cut, _ = solved(
        end_n=0, spread_n=8000, end_turns=False, end_moves=False,
        **(POST | {"diameter": 4.0}),  # slender, so that shear does not count
    )  # fmt: skip
    load = {"tangential_n": 0.0, "centrifugal_n": 8000.0, "driven_end": "clamped"}
    assert posts.base_moment(length=70, **load) == pytest.approx(moment, rel=1e-5)
    assert posts.base_shear(**load) == pytest.approx(cut, rel=1e-5)


def test_spin_alone_with_a_free_end() -> None:
    moment, cut, _ = solved(end_n=0, spread_n=8000, end_turns=True, end_moves=True, **POST)
    load = {"tangential_n": 0.0, "centrifugal_n": 8000.0, "driven_end": "free"}
    assert posts.base_moment(length=70, **load) == pytest.approx(moment, rel=1e-6)
    assert posts.base_shear(**load) == pytest.approx(cut, rel=1e-6)


@pytest.mark.parametrize("driven_end", ["clamped", "free"])
def test_mass_hung_on_the_end(driven_end: str) -> None:
    """It pulls as torque does, but outward."""
    moment, cut, _ = solved(
        end_n=2500, spread_n=0, end_turns=driven_end == "free", end_moves=True, **POST
    )
    load = {"tangential_n": 0.0, "centrifugal_n": 0.0, "hung_n": 2500.0, "driven_end": driven_end}
    assert posts.base_moment(length=70, **load) == pytest.approx(moment, rel=1e-6)
    assert posts.base_shear(**load) == pytest.approx(cut, rel=1e-6)


def test_post_and_hung_mass_pull_the_same_way() -> None:
    """Both outward at once: solved together, free; by adding the two cases up, clamped."""
    moment, cut, _ = solved(end_n=2500, spread_n=8000, end_turns=True, end_moves=True, **POST)
    load = {"tangential_n": 0.0, "centrifugal_n": 8000.0, "hung_n": 2500.0}
    assert posts.base_moment(length=70, driven_end="free", **load) == pytest.approx(
        moment, rel=1e-6
    )
    assert posts.base_shear(driven_end="free", **load) == pytest.approx(cut, rel=1e-6)
    spread = solved(end_n=0, spread_n=8000, end_turns=False, end_moves=False,
                    **(POST | {"diameter": 4.0}))  # fmt: skip
    hung = solved(end_n=2500, spread_n=0, end_turns=False, end_moves=True, **POST)
    moment, cut = spread[0] + hung[0], spread[1] + hung[1]
    assert posts.base_moment(length=70, driven_end="clamped", **load) == pytest.approx(
        moment, rel=1e-5
    )
    assert posts.base_shear(driven_end="clamped", **load) == pytest.approx(cut, rel=1e-5)


@pytest.mark.parametrize("driven_end", ["clamped", "free"])
def test_torque_and_spin_together_add_as_vectors(driven_end: str) -> None:
    """Largest moment over all directions in the section: the two projected and added."""
    load = {"centrifugal_n": 8000.0, "hung_n": 500.0, "driven_end": driven_end}
    torque = posts.base_moment(tangential_n=3000, centrifugal_n=0, length=70, driven_end=driven_end)
    spin = posts.base_moment(tangential_n=0, length=70, **load)
    directions = np.linspace(0, 2 * math.pi, 100001)
    greatest = (torque * np.cos(directions) + spin * np.sin(directions)).max()
    both = posts.base_moment(tangential_n=3000, length=70, **load)
    assert both == pytest.approx(greatest, rel=1e-8)
    torque = posts.base_shear(tangential_n=3000, centrifugal_n=0, driven_end=driven_end)
    spin = posts.base_shear(tangential_n=0, **load)
    greatest = (torque * np.cos(directions) + spin * np.sin(directions)).max()
    assert posts.base_shear(tangential_n=3000, **load) == pytest.approx(greatest, rel=1e-8)


def test_forces_of_all_posts_make_the_torque() -> None:
    force = posts.post_force(torque_nmm=600e3, posts=5, radius=95)
    turn = np.radians(np.arange(5) * 72)
    places = 95 * np.column_stack((np.cos(turn), np.sin(turn)))
    pulls = force * np.column_stack((-np.sin(turn), np.cos(turn)))
    moment = (places[:, 0] * pulls[:, 1] - places[:, 1] * pulls[:, 0]).sum()
    assert moment == pytest.approx(600e3, rel=1e-12)


# ── the foot ────────────────────────────────────────────────────────────────


def over_foot(diameter: float, hole: float, power: int) -> float:
    """∫ yⁿ dA over the ring, in polar coordinates."""
    total, _ = dblquad(
        lambda turn, r: (r * math.sin(turn)) ** power * r, hole / 2, diameter / 2, 0, 2 * math.pi
    )
    return total


@pytest.mark.parametrize("hole", [0.0, 12.0])
def test_foot_opens_where_pressure_first_reaches_nought(hole: float) -> None:
    preload, diameter = 40000.0, 30.0
    opening = posts.base_opening_moment(preload_n=preload, diameter=diameter, hole=hole)
    squeeze = preload / over_foot(diameter, hole, 0)
    bend = opening * (diameter / 2) / over_foot(diameter, hole, 2)
    assert squeeze - bend == pytest.approx(0, abs=1e-6 * squeeze)


@pytest.mark.parametrize("hole", [0.0, 12.0])
def test_bending_stress_balances_the_moment(hole: float) -> None:
    """The straight-line stress with this value at the skin carries exactly the moment."""
    skin = posts.bending_stress(moment_nmm=250e3, diameter=30, hole=hole)
    assert skin / 15 * over_foot(30, hole, 2) == pytest.approx(250e3, rel=1e-7)


def test_solid_foot_is_an_eighth_of_the_diameter() -> None:
    """Core radius of a full round section: d/8 (Mechanical Engineering Design, closed form)."""
    assert posts.base_opening_moment(preload_n=8000, diameter=24) == pytest.approx(24000)


# ── unequal lengths ─────────────────────────────────────────────────────────


def test_three_tops_carry_the_plane_through_them() -> None:
    """Second method: the normal of the plane by a cross product."""
    centres = np.array([(100.0, 0.0), (-40.0, 80.0), (-60.0, -70.0)])
    heights = np.array([0.02, -0.01, 0.05])
    corners = np.column_stack((centres, heights))
    normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
    rise = -normal[:2] / normal[2]
    slope, toward = posts.tops_tilt(centres=centres, heights=heights)
    assert slope == pytest.approx(math.hypot(*rise), rel=1e-10)
    assert toward == pytest.approx(math.degrees(math.atan2(rise[1], rise[0])), rel=1e-10)


@pytest.mark.parametrize("count", [3, 4, 5, 6, 8])
def test_greatest_tilt_over_every_corner_of_the_tolerances(count: int) -> None:
    turn = 2 * math.pi * np.arange(count) / count
    centres = 90 * np.column_stack((np.cos(turn), np.sin(turn)))
    worst = max(
        posts.tops_tilt(centres=centres, heights=corner)[0]
        for corner in itertools.product((-0.01, 0.01), repeat=count)
    )
    worked = posts.greatest_tilt(within=0.01, posts=count, radius=90)
    assert worked == pytest.approx(worst, rel=1e-9)
