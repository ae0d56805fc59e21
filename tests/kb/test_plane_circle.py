"""The circle through three points, and the one that fits many.

Checked against scipy.optimize.least_squares (a general-purpose second method), scipy.stats (Student's
t), closed forms named at each test, and repeated drawing. Published figures: tests/published.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.stats import t as student

from kb.errors import InputError
from kb.plane.circle import CircleFit, circle_through, fit_circle
from kb.plane.points import from_polar, holes_on_circle, rotate

Array = NDArray[np.float64]


def on_circle(centre: tuple[float, float], radius: float, angles: list[float] | Array) -> Array:
    return from_polar(radius=radius, angle=angles) + centre


def probed(seed: int, *, arc: float, scatter: float, count: int) -> Array:
    """Points round part of a circle of radius 100 about (250, −40), off it by the scatter."""
    draw = np.random.default_rng(seed)
    angles = np.linspace(0, arc, count) + draw.uniform(-1, 1, count)
    radii = 100 + draw.normal(0, scatter, count)
    return from_polar(radius=radii, angle=angles) + np.array((250, -40))


def squares(points: Array, circle: tuple[float, float, float]) -> float:
    return float(np.sum((np.hypot(*(points - circle[:2]).T) - circle[2]) ** 2))


def as_numbers(fit: CircleFit) -> tuple[float, float, float]:
    return (*fit.centre, fit.radius)


@given(
    x=st.floats(-500, 500), y=st.floats(-500, 500), radius=st.floats(1, 400), start=st.floats(0, 360),
    gaps=st.lists(st.floats(10, 60), min_size=2, max_size=6),
)  # fmt: skip
def test_points_on_a_circle_give_it_back(
    x: float, y: float, radius: float, start: float, gaps: list[float]
) -> None:
    points = on_circle((x, y), radius, start + np.cumsum([0.0, *gaps]))
    three = circle_through(*(tuple(point) for point in points[[0, 1, -1]]))
    for found in (three, fit_circle(points)):
        assert as_numbers(found) == pytest.approx((x, y, radius), rel=1e-8, abs=1e-8)
        assert found.diameter == 2 * found.radius
        assert found.rms < 1e-8


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize(("arc", "scatter"), [(330, 0.02), (330, 8.0), (120, 0.5), (35, 0.05)])
def test_no_start_leads_to_a_nearer_circle(seed: int, arc: float, scatter: float) -> None:
    points = probed(seed, arc=arc, scatter=scatter, count=4 + seed)
    fit = fit_circle(points)
    least = squares(points, as_numbers(fit))
    draw = np.random.default_rng(seed)
    for _ in range(4):
        start = (*(points.mean(axis=0) + draw.normal(0, 100, 2)), 100.0)
        other = least_squares(lambda c: np.hypot(*(points - c[:2]).T) - c[2], start)
        assert least <= 2 * other.cost * (1 + 1e-9) + 1e-12


def test_the_fit_is_where_the_sum_of_squares_is_level() -> None:
    """Necessary condition of a least value: both derivatives of the sum of squares vanish."""
    points = probed(3, arc=200, scatter=1.0, count=15)
    fit = fit_circle(points)
    outward = (points - fit.centre) / np.hypot(*(points - fit.centre).T)[:, None]
    assert fit.residuals @ outward == pytest.approx([0, 0], abs=1e-6)
    assert fit.residuals.sum() == pytest.approx(0, abs=1e-9)
    assert fit.rms == pytest.approx(math.sqrt(squares(points, as_numbers(fit)) / 15), rel=1e-12)


@settings(max_examples=40)
@given(
    turn=st.floats(0, 360), x=st.floats(-900, 900), y=st.floats(-900, 900), seed=st.integers(0, 9)
)
def test_the_fit_moves_with_the_points(turn: float, x: float, y: float, seed: int) -> None:
    points = probed(seed, arc=250, scatter=0.5, count=9)
    before = fit_circle(points)
    after = fit_circle(rotate(points, turn)[::-1] + np.array((x, y)))
    assert after.centre == pytest.approx(rotate([before.centre], turn)[0] + (x, y), abs=1e-6)
    assert after.radius == pytest.approx(before.radius, abs=1e-6)
    assert after.diameter_within == pytest.approx(before.diameter_within, rel=1e-5)
    assert after.centre_within == pytest.approx(before.centre_within, rel=1e-5)


@pytest.mark.parametrize("count", [4, 5, 12, 60])
def test_uncertainty_of_points_evenly_round(count: int) -> None:
    """Closed form: σ²(x) = σ²(y) = 2σ²/n, σ²(R) = σ²/n, and no two of them go together.

    A ± is two standard deviations.
    """
    points = holes_on_circle(count=count, diameter=200, start=11)
    fit = fit_circle(points, within=0.02)
    assert fit.covariance == pytest.approx(np.diag([2, 2, 1]) * 1e-4 / count, abs=1e-15)
    assert fit.centre_within == pytest.approx(0.02 * math.sqrt(2 / count))
    assert fit.diameter_within == pytest.approx(2 * 0.02 / math.sqrt(count))


def test_uncertainty_of_three_points_on_an_arc() -> None:
    """Second method: move each point along its radius by a little and solve again."""
    angles = [0.0, 25.0, 60.0]
    points = on_circle((5, 7), 80, angles)
    slopes = []
    for which, angle in enumerate(angles):
        moved = points.copy()
        moved[which] += from_polar(radius=1e-4, angle=angle)[0]
        three = circle_through(*(tuple(point) for point in moved))
        slopes.append((np.array(as_numbers(three)) - (5, 7, 80)) / 1e-4)
    covariance = 0.005**2 * np.array(slopes).T @ np.array(slopes)
    for fit in (
        circle_through(*(tuple(p) for p in points), within=0.01),
        fit_circle(points, within=0.01),
    ):
        assert fit.covariance == pytest.approx(covariance, rel=1e-3)
        assert fit.diameter_within == pytest.approx(4 * math.sqrt(covariance[2, 2]), rel=1e-3)
        assert fit.centre_within == pytest.approx(
            2 * math.sqrt(np.linalg.norm(covariance[:2, :2], 2)), rel=1e-3
        )


def test_three_points_alone_do_not_tell_their_scatter() -> None:
    fit = fit_circle([(0, 0), (4, 0), (0, 3)])
    assert fit.covariance is None
    assert fit.centre_within is None
    assert fit.diameter_within is None


def test_the_stated_share_of_fits_holds_the_true_circle() -> None:
    """Repeated drawing, seeded: of 600 sets of six points 95 % ± 2 % hold the true diameter."""
    held = 0
    for seed in range(600):
        fit = fit_circle(probed(seed, arc=300, scatter=0.05, count=6))
        assert fit.diameter_within is not None
        held += abs(fit.diameter - 200) <= fit.diameter_within
    assert held / 600 == pytest.approx(0.95, abs=0.02)


@pytest.mark.parametrize("count", [4, 5, 6, 7, 8, 20, 63, 64, 200])
def test_coverage_is_students(count: int) -> None:
    """scipy.stats; never less than the two standard deviations of a stated ±."""
    fit = fit_circle(probed(1, arc=300, scatter=0.05, count=count))
    assert fit.coverage == pytest.approx(max(2, student.ppf(0.975, count - 3)), abs=1e-9)
    assert fit.covariance is not None
    scatter = math.sqrt(float(np.sum(fit.residuals**2)) / (count - 3))
    known = fit_circle(probed(1, arc=300, scatter=0.05, count=count), within=2 * scatter)
    assert known.covariance == pytest.approx(fit.covariance, rel=1e-9)
    assert known.coverage == 2


def test_coverage_at_the_degrees_of_freedom_of_the_guide() -> None:
    """JCGM 100:2008, Table G.2, fraction 95 % (from memory)."""
    for freedom, printed in ((1, 12.71), (2, 4.30), (3, 3.18), (5, 2.57), (10, 2.23), (20, 2.09)):
        fit = fit_circle(probed(2, arc=340, scatter=0.01, count=freedom + 3))
        assert fit.coverage == pytest.approx(printed, abs=0.005)


def test_a_short_arc_is_not_drawn_to_a_smaller_circle() -> None:
    """Many points on 40°: the mean over many drawings meets the radius drawn (100), where a
    regression of x² + y² falls short by far more."""
    fitted, regressed = [], []
    for seed in range(60):
        points = probed(seed, arc=40, scatter=0.4, count=80)
        fitted.append(fit_circle(points).radius)
        local = points - points.mean(axis=0)
        a, b, c = np.linalg.lstsq(
            np.column_stack((local, np.ones(80))), np.sum(local**2, axis=1), rcond=None
        )[0]
        regressed.append(math.sqrt(c + (a * a + b * b) / 4))
    assert abs(np.mean(fitted) - 100) < 0.2 * (100 - np.mean(regressed))
    assert np.mean(regressed) < 97


@given(
    along=st.tuples(st.floats(-1, 1), st.floats(-1, 1)),
    steps=st.lists(st.integers(-50, 50), min_size=3, max_size=9, unique=True),
)
def test_points_on_a_line_have_no_circle(along: tuple[float, float], steps: list[int]) -> None:
    assume(math.hypot(*along) > 0.1)
    points = np.outer(steps, along) + np.array((300, -120))
    with np.errstate(all="raise"):
        with pytest.raises(InputError, match=f"{len(steps)} points on one straight line"):
            fit_circle(points)
        with pytest.raises(InputError, match="3 points on one straight line"):
            circle_through(*(tuple(point) for point in points[:3]))


def test_points_along_a_line_within_their_scatter_have_no_circle() -> None:
    draw = np.random.default_rng(7)
    points = np.column_stack((np.linspace(-100, 100, 9), 1e-3 * draw.normal(size=9)))
    with pytest.raises(InputError, match="9 points on one straight line"):
        fit_circle(points, key="register")


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ([(1, 2), (3, 4)], "2 points"),
        ([(5, 5)] * 4, "4 points at one place"),
        ([(0, 0), (1, 0), (0, math.nan)], "0, nan (point 3)"),
    ],
)
def test_points_that_tell_no_circle(points: list[tuple[float, float]], says: str) -> None:
    with pytest.raises(InputError) as caught:
        fit_circle(points, key="register")
    assert caught.value.field == "register"
    assert caught.value.text == says
    if len(points) == 4:
        with pytest.raises(InputError, match="3 points at one place"):
            circle_through(*points[:3])


@pytest.mark.parametrize("within", [0, -0.1, math.nan])
def test_readings_need_a_positive_margin(within: float) -> None:
    with pytest.raises(InputError, match="within"):
        fit_circle(holes_on_circle(count=5, diameter=50), within=within)
