"""Two faces → clocking, windows, clashes and what coincides."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError
from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.record import Sides
from kb.model.shop import RuleSet
from wizard.engine.clashes import fewest_to_leave_out, find_clashes
from wizard.engine.clocking import Pairs, Window, greatest_wall, pairs, windows
from wizard.engine.faces import limits_of

Array = NDArray[np.float64]

FULL_TURN = (-180.0, 180.0)
_BEYOND = 1e5  # mm: a wall nobody can mean; the pair shares its screw


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
