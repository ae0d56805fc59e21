"""How two hole patterns sit on each other best: the shift and turn that leave least misfit.

For a turn held still the misfit is convex in the shift, so straight lines cut off what is worse
until nothing is left (cutting planes); the turn is then followed step by step. Nothing is tried
on a grid.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.plane.points import direction, rotate

Array = NDArray[np.float64]

_FIRST_CUTS = 8  # directions in which every hole is watched from the start
_CLOSE = 1e-7  # mm: what is cut off no further than this is found
_STEPS = 40  # at most, of cuts and of turns
_LITTLE = 1e-6  # weight of the mean distance, which settles what the worst hole leaves open
_SWING = 0.1  # rad: no step turns further, so that straight lines stay true to the circle
_FREE = 1e4  # mm: a shift that nothing holds back


@dataclass(frozen=True, kw_only=True, eq=False)
class Placing:
    """One way the made pattern may sit on the mating one.

    Attributes:
        shift: x and y it is moved by, after the turn [mm].
        turn: Anticlockwise about the origin [°].
        apart: How far each hole's centre then stands from the mating one, shape (n,) [mm].
        toward: Unit vectors from each hole's centre to the mating one, in the made part's own
            coordinates, shape (n, 2); nought where they coincide.
    """

    shift: tuple[float, float]
    turn: float
    apart: Array
    toward: Array


def least_worst(made: Array, mating: Array, rooms: Array, *, play: float | None) -> Placing:
    """The placing whose worst hole is short by least, the others then as near as can be.

    Args:
        made: Hole centres of the finished part, from its register's middle, shape (n, 2) [mm].
        mating: Where they should be, from the mating register's middle, shape (n, 2) [mm].
        rooms: How far each pair of centres may be apart [mm].
        play: Diametral play of the register, within which it may shift; ``None`` without one [mm].
    Source:
        Minimax of three variables; Kelley's cutting planes, J. SIAM 8 (1960), p.703 (from memory).
    """
    return _placed(_Task(made=made, mating=mating, rooms=rooms, play=play, opening=False))


def least_opening(made: Array, mating: Array, rooms: Array, *, play: float | None) -> Placing:
    """The placing that asks for least widening, added up over all holes.

    Args:
        made, mating, rooms, play: As `least_worst`.
    Source:
        Least sum of excess distances (convex for a turn held still), by the same cutting planes.
    """
    return _placed(_Task(made=made, mating=mating, rooms=rooms, play=play, opening=True))


# ── following the turn ──────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True, eq=False)
class _Task:
    """What is to be placed, and by what it is judged."""

    made: Array
    mating: Array
    rooms: Array
    play: float | None
    opening: bool

    @property
    def reach(self) -> float:
        """Radius within which the part may shift [mm]."""
        return _FREE if self.play is None else self.play / 2

    @property
    def radius(self) -> float:
        """Mean radius of the holes, so that a turn counts as a length [mm]."""
        return float(np.hypot(*self.made.T).mean())

    def away(self, shift: Array, turn: float) -> Array:
        """From each mating centre to the made one, placed so; shape (n, 2) [mm]."""
        return np.asarray(rotate(self.made, turn) + shift - self.mating, dtype=np.float64)

    def cost(self, shift: Array, turn: float) -> float:
        """What is to be least."""
        short = np.hypot(*self.away(shift, turn).T) - self.rooms
        return float(np.maximum(short, 0).sum() if self.opening else short.max())


def _placed(task: _Task) -> Placing:
    shift, turn = _first(task)
    best = (task.cost(shift, turn), tuple(shift), turn)
    lines = _Lines(task)
    for _ in range(_STEPS):
        shift, swing = lines.solved(turn)
        turn += math.degrees(swing)
        best = min(best, (task.cost(shift, turn), tuple(shift), turn), key=lambda one: one[0])
        if abs(swing) * task.radius < 10 * _CLOSE:
            break
    _, (x, y), turn = best
    away = task.away(np.array((x, y)), turn)
    apart = np.hypot(*away.T)
    still = apart <= _CLOSE
    unit = np.where(still[:, None], 0.0, -away / np.where(still, 1.0, apart)[:, None])
    return Placing(
        shift=(float(x) + 0.0, float(y) + 0.0), turn=float(turn) + 0.0, apart=apart,
        toward=rotate(unit, -turn),
    )  # fmt: skip


def _first(task: _Task) -> tuple[Array, float]:
    """Where the least squares put it, a turn about the middle of the register or of the holes."""
    middle = np.zeros(2) if task.play is not None else task.made.mean(axis=0)
    aim = np.zeros(2) if task.play is not None else task.mating.mean(axis=0)
    one, other = task.made - middle, task.mating - aim
    cross = float((one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]).sum())
    turn = math.degrees(math.atan2(cross, float((one * other).sum())))
    return np.asarray(aim - rotate(middle[None], turn)[0], dtype=np.float64), turn


# ── cutting planes ──────────────────────────────────────────────────────────


class _Lines:
    """A linear programme that gains a line for every hole seen to lie beyond it.

    Unknowns: shift x and y, the turn as a length, the worst excess, the distance of each hole, the
    excess of each. Lines are kept as directions, so they serve again after a turn.
    """

    def __init__(self, task: _Task) -> None:
        self.task, self.count = task, len(task.made)
        around = direction(360.0 / _FIRST_CUTS * np.arange(_FIRST_CUTS))
        self.watched = np.repeat(np.arange(self.count), _FIRST_CUTS)
        self.units = np.tile(around, (self.count, 1))
        self.held = around if task.play is not None else np.empty((0, 2))

    def solved(self, turn: float) -> tuple[Array, float]:
        """Shift [mm] and further turn [rad] that are best while the circle is taken as straight."""
        placed = rotate(self.task.made, turn)
        away = placed - self.task.mating
        moves = np.column_stack((-placed[:, 1], placed[:, 0])) / self.task.radius
        found = np.zeros(4 + 2 * self.count)
        for _ in range(_STEPS):
            found = self._least(away, moves, found)
            if not self._cut(away + found[:2] + found[2] * moves, found):
                break
        return found[:2], float(found[2]) / self.task.radius

    def _least(self, away: Array, moves: Array, before: Array) -> Array:
        from scipy.optimize import linprog

        rows, ends = self._rows(away, moves)
        reach, swing = self.task.reach, _SWING * self.task.radius
        bounds = [(-reach, reach)] * 2 + [(-swing, swing), (None, None)]
        bounds += [(0.0, None)] * (2 * self.count)
        solved = linprog(
            self._cost(), A_ub=rows, b_ub=ends, bounds=bounds, method="highs",
            options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
        )  # fmt: skip
        return before if solved.x is None else np.asarray(solved.x, dtype=np.float64)

    def _cost(self) -> Array:
        cost = np.zeros(4 + 2 * self.count)
        cost[4 : 4 + self.count] = _LITTLE / self.count
        if self.task.opening:
            cost[4 + self.count :] = 1.0
        else:
            cost[3] = 1.0
        return cost

    def _rows(self, away: Array, moves: Array) -> tuple[Array, Array]:
        """Every line as a row that must not exceed its end."""
        seen = np.zeros((len(self.units), 4 + 2 * self.count))
        seen[:, :2] = self.units
        seen[:, 2] = (self.units * moves[self.watched]).sum(axis=1)
        seen[np.arange(len(seen)), 4 + self.watched] = -1.0
        excess = np.zeros((self.count, 4 + 2 * self.count))
        every = np.arange(self.count)
        excess[every, 4 + every] = 1.0
        excess[every, 4 + self.count + every if self.task.opening else 3] = -1.0
        held = np.zeros((len(self.held), 4 + 2 * self.count))
        held[:, :2] = self.held
        ends = (
            -(self.units * away[self.watched]).sum(axis=1), self.task.rooms,
            np.full(len(held), self.task.reach),
        )  # fmt: skip
        return np.vstack((seen, excess, held)), np.concatenate(ends)

    def _cut(self, out: Array, found: Array) -> bool:
        """Add a line for every hole, and for the shift, that lies beyond what was found."""
        apart = np.hypot(*out.T)
        beyond = np.flatnonzero(apart > found[4 : 4 + self.count] + _CLOSE)
        self.watched = np.concatenate((self.watched, beyond))
        self.units = np.vstack((self.units, out[beyond] / apart[beyond, None]))
        size = float(np.hypot(*found[:2]))
        outside = self.task.play is not None and size > self.task.reach + _CLOSE
        if outside:
            self.held = np.vstack((self.held, found[:2] / size))
        return bool(len(beyond)) or outside
