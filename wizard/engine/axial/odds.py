"""How sure: chances by sampling the dimensions, each shared by all the requirements it is in.

A reading is normal with σ = ±/2; limits are uniform between them; an instrument that says so
is triangular. The draws are seeded, so the same job gives the same chances.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.model.chain import Length, Linear, MeasureNext, Odds
from wizard.engine.axial.region import Certificates, HalfPlanes

Array = NDArray[np.float64]
DRAWS = 20_000
_SEED = 20_260_101
_BINS = 25
_CLOSE = 1e-9


def draw(lengths: Sequence[Length], *, draws: int, seed: int = _SEED) -> Array:
    """Draws of every dimension, shape (draws, k) [mm]."""
    random = np.random.default_rng(seed)
    columns = [_column(one, random, draws) for one in lengths]
    return np.column_stack(columns) if columns else np.zeros((draws, 0))


def _column(one: Length, random: np.random.Generator, draws: int) -> Array:
    middle, half = (one.low + one.high) / 2, one.within
    if one.spread == "exact" or half == 0:
        return np.full(draws, one.value)
    if one.spread == "uniform":
        return random.uniform(one.low, one.high, draws)
    if one.spread == "triangular":
        return random.triangular(one.low, middle, one.high, draws)
    return random.normal(middle, half / 2, draws)


def odds(
    planes: HalfPlanes,
    found: Certificates,
    lengths: Sequence[Length],
    *,
    chosen: tuple[float, float] | None,
    closing: Linear | None,
    best_within: float,
    draws: int = DRAWS,
) -> Odds:
    """Chances that something works, that these sizes work, and what to read again.

    Args:
        planes, found: Half-planes of what works, and their certificates.
        lengths: The dimensions, in the order of ``planes.keys``.
        chosen: The plate and adapter of the design [mm], if it has both.
        closing: The adapter's length as a line in the plate and the dimensions, when it closes
            on the middle of a band; ``None`` when it is fixed.
        best_within: ± of the best instrument in the shop [mm].
        draws: How many draws.
    """
    sample = draw(lengths, draws=draws)
    reach = planes.reach(sample)
    any_works = found.shortfall(reach) <= 0
    window = None if chosen is None else _window(planes, reach, chosen[0])
    these = None if window is None or chosen is None else window.holds(chosen[1])
    return Odds(
        chance_any=float(any_works.mean()),
        chance_any_error=_error(any_works),
        chance_these=None if these is None else float(these.mean()),
        chance_these_error=None if these is None else _error(these),
        measure_next=_measure_next(
            planes, lengths, sample, any_works, window,
            spacer=0.0 if chosen is None else chosen[1], closing=closing, best_within=best_within,
        ),
        draws=draws,
        by_check={} if chosen is None else _by_check(planes, reach, np.array(chosen)),
    )  # fmt: skip


@dataclass(frozen=True)
class _Window:
    """Per draw, the adapter lengths that work with one plate [mm]; none where not ``open``."""

    low: Array
    high: Array
    open: NDArray[np.bool_]

    def holds(self, spacer: float | Array) -> NDArray[np.bool_]:
        """The draws in which that length works."""
        return np.asarray(
            self.open & (spacer >= self.low - _CLOSE) & (spacer <= self.high + _CLOSE)
        )


def _window(planes: HalfPlanes, reach: Array, plate: float) -> _Window:
    rest = reach - planes.normals[:, 0] * plate
    slope = planes.normals[:, 1]
    bounds = np.divide(rest, slope, out=np.zeros_like(rest), where=slope != 0)
    low = bounds[:, slope < 0].max(axis=1, initial=-np.inf)
    high = bounds[:, slope > 0].min(axis=1, initial=np.inf)
    return _Window(
        low=low, high=high, open=np.asarray((rest[:, slope == 0] >= -_CLOSE).all(axis=1))
    )


def _by_check(planes: HalfPlanes, reach: Array, point: Array) -> Mapping[str, float]:
    kept = point @ planes.normals.T <= reach + _CLOSE
    checks = np.array(planes.checks)
    return {
        name: float(kept[:, checks == name].all(axis=1).mean())
        for name in dict.fromkeys(planes.checks)
    }


def _error(hits: NDArray[np.bool_]) -> float:
    """95 % sampling error of a share, never quite nought (one draw's worth at the ends)."""
    share = (hits.sum() + 1) / (len(hits) + 2)
    return float(1.96 * np.sqrt(share * (1 - share) / len(hits)))


def _measure_next(
    planes: HalfPlanes,
    lengths: Sequence[Length],
    sample: Array,
    any_works: NDArray[np.bool_],
    window: _Window | None,
    *,
    spacer: float,
    closing: Linear | None,
    best_within: float,
) -> tuple[MeasureNext, ...]:
    """Every dimension that is worth reading again, ranked by what it decides."""
    random = np.random.default_rng(_SEED + 1)
    now = float(max(any_works.mean(), 1 - any_works.mean()))
    ranked = []
    for place, one in enumerate(lengths):
        matters = np.any(planes.coefficients[:, place])
        known = one.spread == "exact" or one.within <= best_within + _CLOSE
        if window is None or not matters or known:
            continue
        reading = sample[:, place] + random.normal(0, best_within / 2, len(sample))
        decides, decides_error = _decides(reading, any_works, now)
        slope = closing.terms.get(one.key, 0.0) if closing is not None else 0.0
        hits = window.holds(spacer + slope * (reading - one.value))
        ranked.append(
            MeasureNext(
                dimension=one.key,
                chance_if_known=float(hits.mean()),
                decides=decides,
                chance_error=_error(hits),
                decides_error=decides_error,
            )
        )
    return tuple(
        sorted(ranked, key=lambda row: (-round(row.decides, 3), -round(row.chance_if_known, 3)))
    )


def _decides(reading: Array, works: NDArray[np.bool_], now: float) -> tuple[float, float]:
    """Expected chance of a right quote given the reading, less the same now; with its error.

    Draws are sorted by the reading and taken in equal groups; within a group the better of
    yes and no is what a quote would say.
    """
    if now == 1.0:  # every draw says the same: no reading can change the quote
        return 0.0, 0.0
    order = np.argsort(reading, kind="stable")
    groups = np.array_split(works[order], _BINS)
    shares = np.array([group.mean() for group in groups])
    right = np.maximum(shares, 1 - shares)
    size = len(works) / _BINS
    error = 1.96 * float(np.sqrt((right * (1 - right) / size).sum())) / _BINS
    return max(0.0, round(float(right.mean()) - now, 9)), error
