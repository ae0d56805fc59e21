"""The circle through three points, and the one that fits many, with what they tell of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kb.errors import InputError
from kb.plane.points import TOUCH, Array, Point, above_nought, plane_points

FLAT = 1e-9  # width over length below which points lie on one straight line
FLATTEST = 1e3  # radius over the points' half-width: at it 20 mm of arc rise 5 µm
ROUND = "take at least three points, spread well round the circle"


@dataclass(frozen=True, kw_only=True, eq=False)
class CircleFit:
    """A circle through points, or fitted to them.

    Attributes:
        centre, radius: [mm].
        residuals: How far each point stands off the circle, + outside [mm].
        covariance: Of centre x, centre y and radius, shape (3, 3) [mm²]; ``None`` where neither
            a ± of the readings nor a fourth point tells how they scatter.
        coverage: Standard uncertainties in a 95 % half-width.
    """

    centre: Point
    radius: float
    residuals: Array
    covariance: Array | None
    coverage: float

    @property
    def diameter(self) -> float:
        """[mm]."""
        return 2 * self.radius

    @property
    def rms(self) -> float:
        """Root mean square of the residuals [mm]."""
        return math.sqrt(float(np.mean(self.residuals**2)))

    @property
    def centre_within(self) -> float | None:
        """± of the centre in the direction where it is known least, 95 % [mm]."""
        if self.covariance is None:
            return None
        return self.coverage * math.sqrt(float(np.linalg.eigvalsh(self.covariance[:2, :2])[-1]))

    @property
    def diameter_within(self) -> float | None:
        """± of the diameter, 95 % [mm]."""
        if self.covariance is None:
            return None
        return self.coverage * 2 * math.sqrt(float(self.covariance[2, 2]))


def circle_through(a: Point, b: Point, c: Point, *, within: float | None = None) -> CircleFit:
    """The circle through three points, in closed form.

    Args:
        a, b, c: The points [mm].
        within: ± of one reading, 95 % half-width [mm], where it is known.
    Returns:
        Centre and radius [mm].
    Raises:
        InputError: two points at one place, or all three on one straight line.
    Source:
        Elementary geometry: the perpendicular bisectors of two chords meet in the centre.
    """
    corners = plane_points((a, b, c))
    size = _spread(corners, "points")
    p, q = corners[1:] - corners[0]
    offset = np.array((q[1], -q[0])) * (p @ p) - np.array((p[1], -p[0])) * (q @ q)
    offset /= 2 * (p[0] * q[1] - p[1] * q[0])
    radius = math.hypot(*offset)
    if radius > FLATTEST * size:
        raise _straight(corners, "points")
    return _circle(corners, corners[0] + offset, radius, within)


def fit_circle(points: ArrayLike, *, within: float | None = None, key: str = "points") -> CircleFit:
    """The circle that the points stand off least, by least squares of their true distances.

    Unlike an algebraic fit it does not shrink when the points cover only an arc. Its ± takes
    the points to scatter alike and independently of each other.

    Args:
        points: Shape (n, 2), n ≥ 3 [mm].
        within: ± of one reading, 95 % half-width [mm]; without it the scatter about the circle
            is used, with Student's factor for how few points tell it.
        key: Name of the field, for the error.
    Returns:
        Centre and radius [mm], their covariance, and how far each point stands off.
    Raises:
        InputError: fewer than three points, all at one place, or on one straight line.
    Source:
        Gander, Golub & Strebel, BIT 34 (1994), pp. 558–578, Gauss–Newton iteration, here damped;
        algebraic start: Taubin's fit by singular values (both from memory).
    """
    array = plane_points(points, key=key, least=3)
    size, middle = _spread(array, key), array.mean(axis=0)
    local = (array - middle) / size
    *centre, radius = _closest_circle(local, _taubin(local))
    if radius > FLATTEST:
        raise _straight(array, key)
    return _circle(array, middle + size * np.array(centre), size * float(radius), within)


def _straight(points: Array, key: str) -> InputError:
    return InputError(key, f"{len(points)} points on one straight line", ROUND)


def _spread(points: Array, key: str) -> float:
    """Half-width of the points [mm]; refuses points at one place or on one straight line."""
    local = points - points.mean(axis=0)
    size = float(np.abs(local).max())
    if size <= TOUCH:
        raise InputError(key, f"{len(points)} points at one place", ROUND)
    along, across = np.linalg.svd(local / size, compute_uv=False)
    if across <= FLAT * along:
        raise _straight(points, key)
    return size


def _taubin(points: Array) -> Array:
    """Algebraic fit to points about their mean: x, y, radius."""
    square = np.sum(points**2, axis=1)
    mean = float(square.mean())
    columns = np.column_stack(((square - mean) / (2 * math.sqrt(mean)), points))
    bend, *slope = np.linalg.svd(columns, full_matrices=False)[2][-1]
    bend = max(abs(bend), 1 / FLATTEST) * (-1 if bend < 0 else 1)
    centre = -math.sqrt(mean) * np.array(slope) / bend
    return np.array((*centre, math.sqrt(float(centre @ centre) + mean)))


def _misfit(points: Array, circle: Array) -> tuple[Array, Array]:
    """How far points stand off a circle, and how that changes with its x, y and radius."""
    apart = points - circle[:2]
    far = np.hypot(apart[:, 0], apart[:, 1])
    outward = apart / np.where(far > 0, far, 1.0)[:, None]
    return far - circle[2], -np.column_stack((outward, np.ones(len(points))))


def _closest_circle(points: Array, circle: Array) -> Array:
    """The circle with the least sum of squared distances, downhill from a start."""
    damping = 1e-6
    error, slope = _misfit(points, circle)
    for _ in range(500):
        held = np.vstack((slope, math.sqrt(damping) * np.eye(3)))
        step = np.linalg.lstsq(held, np.concatenate((-error, np.zeros(3))), rcond=None)[0]
        trial, trial_slope = _misfit(points, circle + step)
        if better := trial @ trial <= error @ error:
            circle, error, slope = circle + step, trial, trial_slope
        damping *= 0.1 if better else 10
        if np.abs(step).max() <= 1e-14 * np.abs(circle).max() or circle[2] > FLATTEST:
            break
    return circle


def _circle(points: Array, centre: Array, radius: float, within: float | None) -> CircleFit:
    """A circle with what the points say about it."""
    residuals, slope = _misfit(points, np.array((*centre, radius)))
    freedom, coverage, variance = len(points) - 3, 2.0, None  # a ± is two standard deviations
    if within is not None:
        variance = (above_nought(within, "within") / 2) ** 2
    elif freedom:
        variance, coverage = float(residuals @ residuals) / freedom, max(2.0, _student(freedom))
    root = np.linalg.inv(np.linalg.qr(slope, mode="r"))
    return CircleFit(
        centre=(float(centre[0]), float(centre[1])), radius=radius, residuals=residuals, coverage=coverage,
        covariance=None if variance is None else variance * root @ root.T,
    )  # fmt: skip


def _student(freedom: int) -> float:
    """Student's t, 95 % two-sided; Abramowitz & Stegun, 26.7.3 and 26.7.4 (from memory)."""
    low, high = 0.0, math.pi / 2
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if _chance_inside(middle, freedom) < 0.95 else (low, middle)
    return math.sqrt(freedom) * math.tan(low)


def _chance_inside(angle: float, freedom: int) -> float:
    """Chance that |t| stays below √freedom · tan(angle)."""
    odd = freedom % 2
    powers = np.arange(1 + odd, freedom - 1, 2)
    terms = np.cumprod(powers / (powers + 1) * math.cos(angle) ** 2)
    total = math.sin(angle) * (1 + float(np.sum(terms)))
    if not odd:
        return total
    return 2 / math.pi * (angle + (total * math.cos(angle) if freedom > 1 else 0.0))
