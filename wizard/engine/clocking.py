"""Two sets of discs on one axis → walls, open windows, the best turn. Exact: no grid of angles.

Around hole i of the fixed pattern and hole j of the turned one the plate needs discs of its
own; the wall between them at a turn θ is

    wall_ij(θ) = √(r_i² + r_j² − 2 r_i r_j cos(φ_i − ψ_j − θ)) − ρ_i − ρ_j.

For a wanted wall every pair forbids one arc of θ about φ_i − ψ_j; what the arcs leave open
are the windows. The greatest least wall is the wanted wall at which the last window closes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kb.model.lineup import Feature

Array = NDArray[np.float64]
Window = tuple[float, float]

_FLAT = 1e-9  # mm: walls closer than this are the same wall
_SHARP = 1e-12
_EQUAL = 1e-6  # mm: turns whose walls differ by less are equally good
_STRETCH = 0.01  # °: turns equally good over more than this are a stretch, not one turn found
_LEAPS = 60  # likely turns tried before halving: many times what patterns need


@dataclass(frozen=True)
class Pairs:
    """Every pair of a fixed and a turned disc, flattened: radii, angle between, disc sum [mm, rad]."""

    fixed: Array
    turned: Array
    apart: Array
    discs: Array

    @cached_property
    def nearest(self) -> Array:
        """How near the two centres come in a full turn [mm]."""
        return np.asarray(np.abs(self.fixed - self.turned))

    @cached_property
    def swing(self) -> Array:
        """What a half turn adds to the square of that, 4·r_i·r_j [mm²]."""
        return 4 * self.fixed * self.turned

    @cached_property
    def meeting(self) -> Array:
        """The turn at which they come nearest [°]."""
        return np.asarray(np.degrees(self.apart))

    def walls(self, turn: float | Array) -> Array:
        """Walls at one turn (or a column of turns) [mm]; angles in degrees."""
        half = (self.apart - np.radians(turn)) / 2
        return np.asarray(np.sqrt(self.nearest**2 + self.swing * np.sin(half) ** 2) - self.discs)

    def one(self, place: int) -> Pairs:
        """One of the pairs by itself."""
        at = slice(place, place + 1)
        return Pairs(self.fixed[at], self.turned[at], self.apart[at], self.discs[at])


def pairs(fixed: Sequence[Feature], turned: Sequence[Feature], *, by_plane: bool = False) -> Pairs:
    """All pairs of two lists of discs, row by row.

    ``by_plane`` sets discs against each other only where both exist: at the engine's face of
    the plate and at the gearbox's, whichever is tighter.
    """
    a, b = (np.array([[one.x, one.y] for one in side], dtype=float).reshape(-1, 2)
            for side in (fixed, turned))  # fmt: skip
    radius_a, radius_b = np.hypot(a[:, 0], a[:, 1]), np.hypot(b[:, 0], b[:, 1])
    angle_a, angle_b = np.arctan2(a[:, 1], a[:, 0]), np.arctan2(b[:, 1], b[:, 0])
    return Pairs(
        fixed=np.repeat(radius_a, len(b)),
        turned=np.tile(radius_b, len(a)),
        apart=(angle_a[:, None] - angle_b[None, :]).ravel(),
        discs=_discs(fixed, turned, by_plane=by_plane),
    )


def _discs(fixed: Sequence[Feature], turned: Sequence[Feature], *, by_plane: bool) -> Array:
    """Sum of the two radii of every pair [mm]."""
    a, b = (np.array([one.at_planes if by_plane else (one.keepout,) * 2 for one in side], dtype=float).reshape(-1, 2)
            for side in (fixed, turned))  # fmt: skip
    return np.asarray((a[:, None, :] + b[None, :, :]).max(axis=2).ravel() / 2)


def windows(every: Pairs, wall: Array | float, *, low: float, high: float) -> tuple[Window, ...]:
    """Turns inside [low, high] that keep the wanted wall at every pair [°].

    A window may be a single turn. The wanted wall may differ from pair to pair.
    """
    reach = np.maximum(every.discs + wall, 0.0)  # a pair that shares its screw reaches nothing
    near = np.flatnonzero(reach > every.nearest)
    reach, apart = reach[near], every.nearest[near]
    # sin²(half / 2), which loses no figures where two holes nearly coincide
    share = (reach - apart) * (reach + apart) / np.maximum(every.swing[near], 1e-200)
    if share.max(initial=0.0) > 1:
        return ()
    half = np.degrees(2 * np.arcsin(np.sqrt(share)))
    middle = every.meeting[near]
    return _open(middle - half, middle + half, low=low, high=high)


def _open(start: Array, end: Array, *, low: float, high: float) -> tuple[Window, ...]:
    """What open arcs (start, end) leave of [low, high]; arcs repeat every full turn."""
    shift = np.ceil((low - end) / 360)
    start, end = start + 360 * shift, end + 360 * shift
    copies = np.arange(math.ceil((high - low) / 360) + 1) * 360.0
    starts = (start[:, None] + copies).ravel()
    ends = (end[:, None] + copies).ravel()
    order = np.argsort(starts, kind="stable")
    starts = starts[order]
    reach = np.maximum.accumulate(np.concatenate(([low], ends[order])))
    met = int(np.searchsorted(starts, high, side="right"))
    clear = np.flatnonzero(starts[:met] >= reach[:met])
    free = list(zip(reach[clear].tolist(), starts[clear].tolist(), strict=True))
    if reach[met] <= high:
        free.append((float(reach[met]), high))
    return tuple(free)


def greatest_wall(every: Pairs, *, low: float, high: float) -> tuple[float, float]:
    """The turn with the greatest least wall in [low, high] and the greatest wall [°, mm].

    The wanted wall is raised until the last window closes, to the last figure. Of
    turns equally good within a millionth of a millimetre the one nearest upright is taken, the
    positive of two; a stretch of equal walls keeps the gearbox as near upright as it can be.
    """
    if low == high:
        return low, float(every.walls(low).min())
    best = _raised(every, low=low, high=high)
    near: list[float] = []
    for window in sorted(windows(every, best - _EQUAL, low=low, high=high), key=_off_upright):
        if near and _off_upright(window) > min(map(abs, near)) + 1e-6:
            break  # nothing in it is nearer upright
        near.append(_settled(every, *window, best=best))
    turn = min(near, key=lambda one: (round(abs(one), 7), -one))
    return (0.0 if abs(turn) < 1e-9 else turn), best


def _off_upright(window: Window) -> float:
    """How far the nearest turn of a window is from upright [°]."""
    return max(0.0, window[0], -window[1])


def _raised(every: Pairs, *, low: float, high: float) -> float:
    """The greatest wall some turn in [low, high] keeps [mm].

    The wall asked for is raised to the best of the likely turns of the windows it leaves, until
    it leaves none; where that gains nothing more, what is left is halved to the last figure.
    """
    floor = float(every.walls(min(max(0.0, low), high)).min())
    for _ in range(_LEAPS):
        sharp = _SHARP * max(1.0, abs(floor))
        free = windows(every, floor + sharp, low=low, high=high)
        if not free:
            return floor
        better = _likely(every, free)
        if better - floor <= sharp:
            break
        floor = better
    return _halved(every, floor, low=low, high=high)


def _likely(every: Pairs, free: tuple[Window, ...]) -> float:
    """The best wall at the ends of the windows, or where the slopes at their ends would meet."""
    left, right = np.array(free).T
    (from_left, rises), (from_right, falls) = (_lowest(every, ends) for ends in (left, right))
    meet = rises - falls
    within = np.divide(
        from_right - from_left - falls * (right - left), meet,
        out=(right - left) / 2, where=meet > _SHARP,
    )  # fmt: skip
    between = np.clip(left + within, left, right)
    walls = every.walls(between[:, None]).min(axis=1)
    return float(max(walls.max(), from_left.max(), from_right.max()))


def _lowest(every: Pairs, turns: Array) -> tuple[Array, Array]:
    """The least wall at each turn and how fast it grows with the turn [mm, mm per °]."""
    walls = every.walls(turns[:, None])
    row, at = np.arange(len(turns)), walls.argmin(axis=1)
    least = walls[row, at]
    across = np.maximum(least + every.discs[at], _SHARP)
    slope = every.fixed[at] * every.turned[at] * np.sin(every.apart[at] - np.radians(turns))
    return least, -np.radians(slope / across)


def _halved(every: Pairs, floor: float, *, low: float, high: float) -> float:
    """The greatest wall from a wall that is kept upward, by halving [mm]."""
    ceiling = float((every.fixed + every.turned - every.discs).min())
    while ceiling - floor > _SHARP * max(1.0, abs(ceiling)):
        middle = (floor + ceiling) / 2
        if middle in (floor, ceiling):
            break
        if windows(every, middle, low=low, high=high):
            floor = middle
        else:
            ceiling = middle
    return floor


def _settled(every: Pairs, left: float, right: float, *, best: float) -> float:
    """The best turn of one narrow window; of a stretch of equal walls its end nearest upright."""
    kept = windows(every, best - _FLAT, low=left, high=right)
    if not kept:  # its own best is a trifle lower
        own = _raised(every, low=left, high=right)
        kept = windows(every, own - _FLAT, low=left, high=right)
    left, right = kept[0]
    edge = min(max(0.0, left), right)
    return edge if edge == 0 or right - left > _STRETCH else (left + right) / 2
