"""Two faces → clocking, windows, clashes and what coincides. Exact: no grid of angles.

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

from kb.errors import InputError
from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.record import Sides
from kb.model.shop import RuleSet
from wizard.engine.clashes import fewest_to_leave_out, find_clashes
from wizard.engine.faces import limits_of

Array = NDArray[np.float64]
Window = tuple[float, float]

FULL_TURN = (-180.0, 180.0)
_FLAT = 1e-9  # mm: walls closer than this are the same wall
_SHARP = 1e-12
_EQUAL = 1e-6  # mm: turns whose walls differ by less are equally good
_STRETCH = 0.01  # °: turns equally good over more than this are a stretch, not one turn found
_LEAPS = 60  # likely turns tried before halving: many times what patterns need
_BEYOND = 1e5  # mm: a wall nobody can mean; the pair shares its screw


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


# ── the wall that is wanted ─────────────────────────────────────────────────


def wanted_walls(
    fixed: Sequence[Feature], turned: Sequence[Feature], *, family: str, rules: RuleSet,
    least: float | None,
) -> Array:  # fmt: skip
    """The wall each pair wants [mm]: by the smaller screw, or by the dowel beside it."""
    return np.array(
        [[_wanted(a, b, family=family, rules=rules, least=least) for b in turned] for a in fixed],
        dtype=float,
    ).ravel()


def _wanted(a: Feature, b: Feature, *, family: str, rules: RuleSet, least: float | None) -> float:
    if least is not None:
        return least
    pins = [one.diameter or one.keepout for one in (a, b) if one.kind == "dowel"]
    if pins:
        return max(rules["least-wall.dowel"], rules["least-wall.dowel_share"] * max(pins))
    screw = min(one.screw.major if one.screw else one.keepout for one in (a, b))
    return max(rules[f"least-wall.{family}"], rules[f"least-wall.{family}_share"] * screw)


# ── lining up ───────────────────────────────────────────────────────────────


def line_up_fixed(sides: Sides) -> LineUp | None:
    """The two housing faces; the gearbox may turn inside the permitted range."""
    if sides.engine_face is None or sides.gearbox_face is None:
        return None
    family = limits_of(sides.chosen.plate_material, key="choices.plate_material")
    return line_up(
        sides.engine_face, sides.gearbox_face, clocking=sides.chosen.clocking,
        family=family, rules=sides.rules, least=sides.chosen.least_wall, share=sides.chosen.share,
        by_plane=sides.chosen.keepout == "by plane",
    )  # fmt: skip


def line_up_rotating(sides: Sides) -> LineUp | None:
    """The two circles of the rotating adapter; it may turn freely."""
    if sides.driving is None or sides.driven is None:
        return None
    if sides.through:
        return LineUp(
            clocking=0.0, wall=None, dowel_wall=None, required=0.0, windows=(),
            best_clocking=0.0, best_wall=None, through=True,
        )  # fmt: skip
    family = limits_of(sides.chosen.spacer_material, key="choices.spacer_material")
    found = line_up(
        sides.driving, sides.driven, clocking=FULL_TURN,
        family=family, rules=sides.rules, least=None,
    )  # fmt: skip
    return _at(sides.driving, sides.driven, found, turn=found.best_clocking)


def line_up(
    fixed: Pattern,
    turned: Pattern,
    *,
    clocking: tuple[float, float],
    family: str,
    rules: RuleSet,
    least: float | None,
    share: Sequence[tuple[str, str]] = (),
    by_plane: bool = False,
) -> LineUp:
    """Line up two patterns on one axis.

    Args:
        fixed, turned: Patterns in frame P, the second upright.
        clocking: Permitted turn of the second, from and to [°].
        family: Material of what lies between, ``steel`` or ``aluminium``.
        rules: Where the wanted walls come from.
        least: A wanted wall that overrides them [mm].
        share: Pairs (fixed id, turned id) that take one fastener and so need no wall.
        by_plane: Whether discs clash only in the plane where both exist.
    Raises:
        InputError: a range that runs backwards, or a pattern without holes.
    """
    low, high = clocking
    if not (math.isfinite(low) and math.isfinite(high)) or high < low:
        raise InputError("choices.clocking", clocking, "write the smaller turn first")
    if not fixed.holes or not turned.holes:
        empty = fixed.side if not fixed.holes else turned.side
        raise InputError(f"{empty}.face.holes", "(none left)", "a joint needs at least one bolt")
    holes = _bolts(fixed, turned, share, by_plane=by_plane)
    wanted = wanted_walls(fixed.holes, turned.holes, family=family, rules=rules, least=least)
    everything, all_wanted = _with_dowels(fixed, turned, holes, wanted, family, rules, least)
    best_turn, best_wall = _best(holes, low=low, high=high)
    free = windows(everything, all_wanted, low=low, high=high)
    turn = _nearest_upright(free) if free else best_turn
    found = LineUp(
        clocking=turn, wall=None, dowel_wall=None, required=float(wanted.max()), windows=free,
        best_clocking=best_turn, best_wall=best_wall,
    )  # fmt: skip
    return _at(fixed, turned, found, turn=turn, share=share, by_plane=by_plane)


def _best(holes: Pairs, *, low: float, high: float) -> tuple[float, float | None]:
    """The best turn and its wall; where every pair shares its screw, upright and no wall."""
    if holes.discs.max() < 0:
        return min(max(0.0, low), high), None
    return greatest_wall(holes, low=low, high=high)


def _nearest_upright(free: tuple[Window, ...]) -> float:
    turns = [min(max(0.0, left), right) for left, right in free]
    return min(turns, key=lambda turn: (round(abs(turn), 9), -turn))


def _bolts(
    fixed: Pattern, turned: Pattern, share: Sequence[tuple[str, str]], *, by_plane: bool
) -> Pairs:
    """Pairs of bolt holes, those that share a fastener set beyond any reach."""
    every = pairs(fixed.holes, turned.holes, by_plane=by_plane)
    if not share:
        return every
    shared = np.array(
        [[(a.id, b.id) in set(share) for b in turned.holes] for a in fixed.holes]
    ).ravel()
    return Pairs(every.fixed, every.turned, every.apart, np.where(shared, -1e6, every.discs))


def _with_dowels(
    fixed: Pattern, turned: Pattern, holes: Pairs, wanted: Array, family: str, rules: RuleSet,
    least: float | None,
) -> tuple[Pairs, Array]:  # fmt: skip
    groups = _dowel_groups(fixed, turned)
    if not groups:
        return holes, wanted
    found = [pairs(a, b) for a, b in groups]
    walls = [wanted_walls(a, b, family=family, rules=rules, least=least) for a, b in groups]
    every = [holes, *found]
    return (
        Pairs(*(np.concatenate([getattr(one, name) for one in every])
                for name in ("fixed", "turned", "apart", "discs"))),
        np.concatenate([wanted, *walls]),
    )  # fmt: skip


def _dowel_groups(fixed: Pattern, turned: Pattern) -> list[tuple[tuple[Feature, ...], ...]]:
    """Each pattern's dowels against the other's holes and dowels."""
    groups = [
        (fixed.dowels, turned.holes),
        (fixed.holes, turned.dowels),
        (fixed.dowels, turned.dowels),
    ]
    return [(a, b) for a, b in groups if a and b]


def _at(
    fixed: Pattern,
    turned: Pattern,
    found: LineUp,
    *,
    turn: float,
    share: Sequence[tuple[str, str]] = (),
    by_plane: bool = False,
) -> LineUp:
    """What is true at one turn: walls, clashes, coincidences, fewest holes to leave out."""
    walls = _bolts(fixed, turned, share, by_plane=by_plane).walls(turn)
    clashes = find_clashes(fixed.holes, turned.holes, walls)
    pins = [float(pairs(a, b).walls(turn).min()) for a, b in _dowel_groups(fixed, turned)]
    return LineUp(
        clocking=turn, wall=float(walls.min()) if walls.min() < _BEYOND else None, dowel_wall=min(pins) if pins else None,
        required=found.required, windows=found.windows,
        best_clocking=found.best_clocking, best_wall=found.best_wall, clashes=tuple(clashes),
        shared=_shared(fixed, turned, turn), leave_out=fewest_to_leave_out(clashes),
    )  # fmt: skip


def _shared(fixed: Pattern, turned: Pattern, turn: float) -> tuple[tuple[str, str], ...]:
    """Pairs close enough for one screw: the clear hole passes the other's screw where it stands."""
    angle = math.radians(turn)
    found = []
    for a in fixed.holes:
        for b in turned.holes:
            tapped, clear = (a, b) if a.kind == "tapped" else (b, a)
            if tapped.kind != "tapped" or clear.diameter is None or tapped.screw is None:
                continue
            x = b.x * math.cos(angle) - b.y * math.sin(angle)
            y = b.x * math.sin(angle) + b.y * math.cos(angle)
            room = (clear.diameter - tapped.screw.major) / 2
            if room > 0 and math.hypot(a.x - x, a.y - y) <= room:
                found.append((a.id, b.id))
    return tuple(found)
