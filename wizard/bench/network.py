"""A network of points and the distances between them, as equations to be adjusted."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kb.model.measured import Stretch
from kb.quantity import Dimension
from wizard.bench.adjustment import Array, Fit, fitted
from wizard.bench.readings import claim

EDGES = {"centres": 0.0, "outside": 0.5, "inside": -0.5}  # of both holes' sizes in the reading
TURNS = 60
STILL = 1e-9  # mm: a step smaller than this ends the search
FOCUS = 1.5  # standard deviations beyond which the robust fit lets a reading count for less
REJECTED = 4.0  # standard deviations at which a search for first places lets it count a quarter


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A point or hole.

    Attributes:
        name: What it is called.
        x, y: Where it is known to be; with a ± it is a reading, without one it is held fast.
            ``None`` is to be found.
        size: Diameter of the hole, where distances are taken from its edge.
        about: Roughly where it is [mm], where that is needed to tell two places apart.
    """

    name: str
    x: Dimension | None = None
    y: Dimension | None = None
    size: Dimension | None = None
    about: tuple[float, float] | None = None


def huber(off: Array) -> Array:
    """What readings count that stand so many standard deviations off: beyond 1.5, ever less.

    Source:
        Huber, Robust Statistics (1981), 7.8, modified weights (from memory).
    """
    weights: Array = FOCUS / np.maximum(off, FOCUS)
    return weights


def rejecting(off: Array) -> Array:
    """As `huber`, but what stands far off counts for next to nothing.

    Source:
        Geman & McClure (1987), weight 1/(1 + (off/c)²)², with c = 4 (from memory).
    """
    return np.asarray(np.maximum((1 + (off / REJECTED) ** 2) ** -2.0, 1e-9), dtype=np.float64)


class Network:
    """The unknowns of a set of spots, and every reading as an equation in them."""

    def __init__(self, spots: Sequence[Spot], stretches: Sequence[Stretch]) -> None:
        self.spots = tuple(spots)
        self.stretches = tuple(stretches)
        self.at = {spot.name: place for place, spot in enumerate(spots)}
        self.fixed = np.zeros((len(spots), 2))
        self.column = np.full((len(spots), 2), -1)
        self.sized: dict[int, int] = {}
        self._number()
        taken = [claim(one.reading) for one in stretches]
        own = [claim(reading) for _, reading in self._own]
        self.readings = np.array([one.value for one in (*taken, *own)])
        self.deviations = np.array([one.deviation for one in (*taken, *own)])

    def _number(self) -> None:
        """A column for every unknown; coordinates and sizes that are readings come last."""
        self._own: list[tuple[int, Dimension]] = []
        self.unknowns = 0
        for place, spot in enumerate(self.spots):
            for axis, known in enumerate((spot.x, spot.y)):
                self.fixed[place, axis] = known.middle if known is not None else 0.0
                if known is None or known.within:
                    self.column[place, axis] = self._new(known)
        for stretch in self.stretches:
            for name in (stretch.start, stretch.end):
                place = self.at[name]
                if stretch.edges != "centres" and place not in self.sized:
                    self.sized[place] = self._new(self.spots[place].size)

    def _new(self, known: Dimension | None) -> int:
        if known is not None:
            self._own.append((self.unknowns, known))
        self.unknowns += 1
        return self.unknowns - 1

    def start(self, places: Array) -> Array:
        """The unknowns at given places, shape (n, 2) [mm]; sizes as they were read."""
        values = np.zeros(self.unknowns)
        moving = self.column >= 0
        values[self.column[moving]] = places[moving]
        for place, column in self.sized.items():
            size = self.spots[place].size
            values[column] = size.middle if size is not None else 0.0
        return values

    def places(self, values: Array) -> Array:
        """Where every spot is, shape (n, 2) [mm]."""
        moving = self.column >= 0
        found = self.fixed.copy()
        found[moving] = values[self.column[moving]]
        return found

    def covariance(self, fit: Fit, place: int) -> Array:
        """Of one spot's x and y, nought where it is held fast, shape (2, 2) [mm²]."""
        cov = np.zeros((2, 2))
        for i, a in enumerate(self.column[place]):
            for j, b in enumerate(self.column[place]):
                if a >= 0 and b >= 0:
                    cov[i, j] = fit.covariance[a, b]
        return cov

    def foretold(self, values: Array) -> tuple[Array, Array]:
        """What every reading should be, and how that changes with each unknown."""
        places = self.places(values)
        lengths = np.zeros(len(self.readings))
        slope = np.zeros((len(self.readings), self.unknowns))
        for row, one in enumerate(self.stretches):
            ends = (self.at[one.start], self.at[one.end])
            apart = places[ends[1]] - places[ends[0]]
            far = math.hypot(*apart)
            lengths[row] = far
            along = apart / far if far > 0 else np.array((1.0, 0.0))
            for end, sign in zip(ends, (-1.0, 1.0), strict=True):
                for axis, column in enumerate(self.column[end]):
                    if column >= 0:
                        slope[row, column] += sign * along[axis]
                if one.edges != "centres":
                    lengths[row] += EDGES[one.edges] * values[self.sized[end]]
                    slope[row, self.sized[end]] += EDGES[one.edges]
        for row, (column, _) in enumerate(self._own, start=len(self.stretches)):
            lengths[row] = values[column]
            slope[row, column] = 1.0
        return lengths, slope

    # ── fitting ─────────────────────────────────────────────────────────────

    def fit(
        self,
        values: Array,
        *,
        readings: Array | None = None,
        gone: Sequence[int] = (),
        weights: Array | None = None,
    ) -> Fit | None:
        """The places that fit the readings best, downhill from a start.

        Args:
            values: Where to start.
            readings: Other readings than those taken, in the same order.
            gone: Readings to leave out.
            weights: What each reading counts, above 0 … 1.
        Returns:
            ``None`` where the readings do not tell all places.
        """
        taken = self.readings if readings is None else readings
        spread = self.deviations / (1.0 if weights is None else np.sqrt(weights))
        spread[list(gone)] = np.inf
        return self._settle(values, taken, spread)

    def forgiving(
        self, values: Array, count_for: Callable[[Array], Array]
    ) -> tuple[Array, Array] | None:
        """Places that do not follow readings that stand far off.

        Args:
            values: Where to start.
            count_for: What a reading counts, from how many standard deviations it stands off.
        Returns:
            The unknowns, and the weight left to each reading, 0 … 1; ``None`` as `fit`.
        """
        weights = count_for(self.off(values))
        for _ in range(TURNS):
            fit = self.fit(values, weights=weights)
            if fit is None:
                return None
            moved = float(np.abs(fit.values - values).max())
            values = fit.values
            weights = count_for(self.off(values))
            if moved < 1e-7:
                break
        return values, weights

    def off(self, values: Array) -> Array:
        """How many standard deviations each reading stands off the places."""
        far: Array = np.abs(self.readings - self.foretold(values)[0]) / self.deviations
        return far

    def _settle(self, values: Array, readings: Array, spread: Array) -> Fit | None:
        """Gauss and Newton's steps, each shortened until it leads downhill."""
        lengths, slope = self.foretold(values)
        cost = float(np.sum(((readings - lengths) / spread) ** 2))
        for _ in range(TURNS):
            step = fitted(slope, readings - lengths, spread)
            if step is None:
                return None
            values, better, move = self._downhill(values, step.values, readings, spread, cost)
            lengths, slope = self.foretold(values)
            if move < STILL or cost - better <= 1e-12 * cost:
                break
            cost = better
        end = fitted(slope, readings - lengths, spread)
        return None if end is None else replace(end, values=values, residuals=readings - lengths)

    def _downhill(
        self, values: Array, step: Array, readings: Array, spread: Array, cost: float
    ) -> tuple[Array, float, float]:
        """The first of ever shorter steps that betters the sum of squares."""
        for halves in range(30):
            trial = values + step / 2**halves
            better = float(np.sum(((readings - self.foretold(trial)[0]) / spread) ** 2))
            if better <= cost:
                return trial, better, float(np.abs(step).max()) / 2**halves
        return values, cost, 0.0
