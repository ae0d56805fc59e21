"""Points of the plane: turning, mirroring, polar places, holes on a circle.

Points are arrays of shape (n, 2) [mm]; angles are degrees, anticlockwise from +x, as in frame P.
"""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kb.errors import InputError

Array = NDArray[np.float64]
Point = tuple[float, float]

TOUCH = 1e-9  # mm: nearer than this is touching
LARGEST = 1e9  # mm or °: beyond it a figure has slipped, and sums of squares lose their last places
AXIS = (0.0, 0.0)


def plane_points(points: ArrayLike, *, key: str = "points", least: int = 1) -> Array:
    """Points as an array of their own, checked.

    Args:
        points: Pairs x, y [mm].
        key: Name of the field, for the error.
        least: How many there must be.
    Returns:
        Shape (n, 2) [mm].
    Raises:
        InputError: not pairs, not finite, beyond all measure, or too few.
    """
    try:
        array = np.array(points, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError(key, "what is no number", "write points as pairs x, y") from None
    if array.size and (array.ndim != 2 or array.shape[1] != 2):
        raise InputError(key, f"numbers of shape {array.shape}", "write points as pairs x, y")
    array = array.reshape(-1, 2)
    sound = _sound(array).all(axis=1)
    if not sound.all():
        first = int(np.argmin(sound))
        text = f"{array[first, 0]:g}, {array[first, 1]:g} (point {first + 1})"
        raise InputError(key, text, f"write finite coordinates up to {LARGEST:g}")
    if len(array) < least:
        raise InputError(key, f"{len(array)} points", f"give at least {least}")
    return array


def numbers(given: ArrayLike, key: str) -> Array:
    """One or many finite numbers, in the unit they were given in.

    Raises:
        InputError: no number, not finite, or beyond all measure; it names ``key``.
    """
    try:
        array = np.asarray(given, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError(key, given, "write a number") from None
    if not _sound(array).all():
        raise InputError(key, given, f"write a finite number up to {LARGEST:g}")
    return array


def _sound(array: Array) -> NDArray[np.bool_]:
    return np.asarray(np.isfinite(array) & (np.abs(array) <= LARGEST))


def above_nought(given: float, key: str) -> float:
    """A length above nought [mm].

    Raises:
        InputError: no number, not finite, or not above nought; it names ``key``.
    """
    length = float(numbers(given, key))
    if length <= 0:
        raise InputError(key, given, "write a length above nought")
    return length


@overload
def wrap(angle: float, *, start: float = 0.0) -> float: ...
@overload
def wrap(angle: Array, *, start: float = 0.0) -> Array: ...
def wrap(angle: float | Array, *, start: float = 0.0) -> float | Array:
    """The same direction within one turn.

    Args:
        angle: One or many [°].
        start: Where the turn begins [°]; −180 gives −180 ≤ angle < 180.
    Returns:
        start ≤ angle < start + 360 [°]; an angle that lies there already comes back unchanged.
    Raises:
        InputError: not finite.
    """
    given = numbers(angle, "angle")
    turned = given - 360.0 * np.floor((given - start) / 360.0)
    # a hair below start comes out as start + 360 when rounded, which is start again
    turned = np.where((turned < start) | (turned >= start + 360.0), start, turned)
    return float(turned) if given.ndim == 0 else turned


def direction(angle: ArrayLike) -> Array:
    """Unit vectors, exact at every quarter turn.

    Args:
        angle: One or many [°].
    Returns:
        x and y on the last axis.
    Raises:
        InputError: not finite.
    """
    given = numbers(angle, "angle")
    quarter = np.round(given / 90.0)
    rest = np.radians(given - 90.0 * quarter)
    cosine, sine = np.cos(rest), np.sin(rest)
    corner = np.mod(quarter, 4).astype(np.intp)
    x = np.choose(corner, (cosine, -sine, -cosine, sine))
    y = np.choose(corner, (sine, cosine, -sine, -cosine))
    return np.stack((x, y), axis=-1) + 0.0  # turns −0 into 0


def rotate(points: ArrayLike, angle: float, *, about: Point = AXIS) -> Array:
    """Points turned anticlockwise.

    Args:
        points: Shape (n, 2) [mm].
        angle: [°].
        about: What they turn about [mm].
    Returns:
        Shape (n, 2) [mm].
    Raises:
        InputError: no points of the plane, or an angle that is not finite.
    """
    cosine, sine = direction(float(numbers(angle, "angle")))
    turn = np.array(((cosine, sine), (-sine, cosine)))
    pivot = plane_points((about,), key="about")
    return np.asarray((plane_points(points) - pivot) @ turn + pivot, dtype=np.float64)


def mirror_x(points: ArrayLike) -> Array:
    """Points flipped left and right, x → −x: a face turned round to mate.

    Args:
        points: Shape (n, 2) [mm].
    Returns:
        Shape (n, 2) [mm].
    Raises:
        InputError: no points of the plane.
    """
    return plane_points(points) * (-1.0, 1.0) + 0.0


def mirror_angle(angle: float) -> float:
    """The direction an angle has after `mirror_x`: 180 − angle, 0 ≤ angle < 360 [°].

    Raises:
        InputError: not finite.
    """
    return wrap(180.0 - float(numbers(angle, "angle")))


def to_polar(points: ArrayLike) -> tuple[Array, Array]:
    """How far points lie from the origin, and in which direction.

    Args:
        points: Shape (n, 2) [mm].
    Returns:
        Distances [mm] and directions, 0 ≤ angle < 360 [°]; the origin itself has direction 0.
    Raises:
        InputError: no points of the plane.
    """
    x, y = plane_points(points).T + 0.0
    return np.hypot(x, y), wrap(np.degrees(np.arctan2(y, x)))


def from_polar(*, radius: ArrayLike, angle: ArrayLike) -> Array:
    """Points at distances and directions from the origin.

    Args:
        radius: One or many [mm].
        angle: One or many [°].
    Returns:
        Shape (n, 2) [mm].
    Raises:
        InputError: not finite.
    """
    return np.atleast_2d(numbers(radius, "radius")[..., None] * direction(angle)) + 0.0


def holes_on_circle(*, count: int, diameter: float, start: float = 0.0) -> Array:
    """Centres of equally spaced holes on a circle about the origin.

    Args:
        count: Number of holes.
        diameter: Of the circle through their centres [mm].
        start: Direction of hole 1 [°]; the others follow anticlockwise.
    Returns:
        Shape (count, 2) [mm].
    Raises:
        InputError: no holes, or a diameter that is not above nought.
    Source:
        Machinery's Handbook, 31st ed. (2020), pp. 709–711, hole-circle coordinates.
    """
    if isinstance(count, bool) or not isinstance(count, int) or count < 1:
        raise InputError("count", count, "write a whole number of holes, at least 1")
    radius = above_nought(diameter, "diameter") / 2
    first = float(numbers(start, "start"))
    return from_polar(radius=radius, angle=first + 360.0 * np.arange(count) / count)
