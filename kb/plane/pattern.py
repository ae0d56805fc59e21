"""Patterns of holes: laying one on another, and how one repeats."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kb.errors import InputError
from kb.plane.points import (
    AXIS,
    TOUCH,
    Array,
    Point,
    above_nought,
    direction,
    mirror_x,
    numbers,
    plane_points,
    rotate,
    wrap,
)

Plane = NDArray[np.complex128]  # points as x + iy, where turning is multiplying
VAGUE_PULL = 1e-9  # of what it could be: below it no turn fits better than another


@dataclass(frozen=True, kw_only=True, eq=False)
class RigidFit:
    """The move that lays points on others: mirror (x → −x) if asked, then turn, then shift.

    Attributes:
        angle: Turn about the origin, −180 ≤ angle < 180 [°]. shift: [mm].
        mirror: Whether the points are mirrored first.
        residuals: Aim less moved point, shape (n, 2) [mm].
    """

    angle: float
    shift: Point
    mirror: bool
    residuals: Array

    @property
    def rms(self) -> float:
        """Root mean square of the distances left [mm]."""
        return math.sqrt(float(np.mean(np.sum(self.residuals**2, axis=1))))

    def move(self, points: ArrayLike) -> Array:
        """Any points, shape (n, 2) [mm], moved the same way.

        Raises:
            InputError: no points of the plane.
        """
        return rotate(mirror_x(points) if self.mirror else points, self.angle) + self.shift


@dataclass(frozen=True, kw_only=True)
class Symmetry:
    """How a pattern repeats.

    Attributes:
        order: Turns within 360° that lay it on itself; 1 when only the full turn does.
        axes: Directions of its mirror lines, 0 ≤ angle < 180, ascending [°].
    """

    order: int
    axes: tuple[float, ...]

    @property
    def mirror(self) -> bool:
        """Whether it can be laid on its own mirror image."""
        return bool(self.axes)


def best_rigid_fit(a: ArrayLike, b: ArrayLike, *, mirror: bool = False) -> RigidFit:
    """The turn and shift that bring points ``a`` nearest to points ``b``, pair by pair.

    Args:
        a: Points to be moved, shape (n, 2), n ≥ 2 [mm].
        b: Where each should come to lie, shape (n, 2) [mm].
        mirror: Flip ``a`` left and right first, as a face seen from its other side.
    Returns:
        The move, and what it leaves between each pair [° and mm].
    Raises:
        InputError: fewer than two pairs, unequal numbers, or no turn fits better than another.
    Source:
        Kabsch, Acta Crystallographica A32 (1976) p. 922, in the plane (from memory).
    """
    start, aim = plane_points(a, key="a", least=2), plane_points(b, key="b", least=2)
    if len(start) != len(aim):
        raise InputError("b", f"{len(aim)} points for {len(start)}", "give one for each of a")
    start = mirror_x(start) if mirror else start
    p, q = _complex(start - start.mean(axis=0)), _complex(aim - aim.mean(axis=0))
    pull, reach = complex(np.vdot(p, q)), float(np.linalg.norm(p) * np.linalg.norm(q))
    if abs(pull) <= max(VAGUE_PULL * reach, TOUCH**2):
        raise InputError("a", f"{len(start)} points", "give points that tell how they are turned")
    angle = wrap(math.degrees(math.atan2(pull.imag, pull.real)), start=-180.0)
    turned = rotate(start, angle)
    shift = aim.mean(axis=0) - turned.mean(axis=0)
    return RigidFit(
        angle=angle,
        shift=(float(shift[0]), float(shift[1])),
        mirror=mirror,
        residuals=aim - turned - shift,
    )


def symmetry(
    points: ArrayLike, radii: ArrayLike | None = None, *, about: Point = AXIS, within: float = 0.1
) -> Symmetry:
    """Which turns and mirrorings about an axis lay a pattern of holes on itself.

    Args:
        points: Hole centres, shape (n, 2), a good deal farther apart than ``within`` [mm].
        radii: Radius of each hole [mm]; without them all count as alike.
        about: The axis [mm].
        within: How far a hole may lie, or its radius differ, from what the move asks for [mm].
    Returns:
        Its order and its mirror lines.
    Raises:
        InputError: no hole off the axis, or not one radius for each hole.
    Source:
        Symmetry groups of the plane: the turns are the multiples of 360°/order; there is either
        no mirror line or as many as the order, 180°/order apart.
    """
    slack = above_nought(within, "within")
    spots = _complex(plane_points(points) - plane_points((about,), key="about"))
    sizes = np.zeros(len(spots)) if radii is None else numbers(radii, "radii")
    if sizes.shape != spots.shape:
        raise InputError("radii", f"{sizes.size} for {len(spots)} points", "give one for each")
    off_axis = int(np.sum(2 * np.abs(spots) > slack))
    if not off_axis:
        raise InputError("points", "only holes on the axis", "give holes off the axis")
    like = np.abs(sizes[:, None] - sizes) <= slack
    turns = ((order, complex(*direction(360.0 / order))) for order in range(off_axis, 0, -1))
    order = next(n for n, turn in turns if _falls_on(turn * spots, spots, like, slack))
    return Symmetry(order=order, axes=_axes(_mirror_line(spots, like, slack), order))


def _complex(points: Array) -> Plane:
    return np.asarray(points[:, 0] + 1j * points[:, 1], dtype=np.complex128)


def _falls_on(moved: Plane, spots: Plane, like: NDArray[np.bool_], slack: float) -> bool:
    """Whether every moved hole has a like hole of its own within the slack."""
    apart = np.where(like, np.abs(moved[:, None] - spots), np.inf)
    nearest = np.argmin(apart, axis=1)
    fits = bool(np.all(np.min(apart, axis=1) <= slack))
    return fits and len(set(nearest.tolist())) == len(spots)


def _mirror_line(spots: Plane, like: NDArray[np.bool_], slack: float) -> float | None:
    """Direction of one mirror line through the origin [°], where there is one."""
    far = spots[np.argmax(np.abs(spots))]
    for other in spots[(np.abs(np.abs(spots) - abs(far)) <= slack) & (np.abs(spots) > 0)]:
        # a mirror line halves the angle between a hole and its image: a first line from one
        # pair, then the best line for all the pairs that one makes
        image = far * other / abs(far * other) * spots.conj()
        pairs = like & (np.abs(image[:, None] - spots) <= 3 * slack)
        pull = complex(np.sum(pairs * spots[:, None] * spots))
        if pull and _falls_on(pull / abs(pull) * spots.conj(), spots, like, slack):
            return math.degrees(math.atan2(pull.imag, pull.real)) / 2
    return None


def _axes(line: float | None, order: int) -> tuple[float, ...]:
    """All mirror lines, from one of them [°]."""
    if line is None:
        return ()
    step = 180.0 / order
    first = line - step * round(line / step)
    first = first + step if first < -1e-9 else max(first, 0.0)
    return tuple(first + step * turn for turn in range(order))
