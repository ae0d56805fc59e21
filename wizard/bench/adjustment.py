"""Least squares of more readings than are needed, and the reading that does not belong.

A reading's own scatter is known from its ±, so the misfit can be judged: whether all agree, and
if not, which single reading, set right or left out, leaves the others in agreement.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

RARE = 0.001  # chance below which a misfit is no chance: common practice, no source
FALSE_ALARM = 0.01  # chance that any of a set of good readings is called bad
RIVAL = 9.0  # of the sum of squares, 3²: an explanation worse by less is a rival
LOOSE = 1e-6  # share of a reading the others check, below which they do not check it
HARDLY = 0.02  # share below which a reading is as good as unchecked
MOST_MISREAD = 3  # readings given up on together


@dataclass(frozen=True, kw_only=True, eq=False)
class Fit:
    """Unknowns fitted to readings.

    Attributes:
        values: The unknowns.
        residuals: Reading less what fits, in the readings' own unit.
        covariance: Of the unknowns, from the readings' own ±.
        deviations: Standard deviation of each reading; infinite for one that was not used.
        checked: Share of each reading that the others check, 0 … 1.
    """

    values: Array
    residuals: Array
    covariance: Array
    deviations: Array
    checked: Array

    @property
    def freedom(self) -> int:
        """How many readings more than are needed were used."""
        return int(np.isfinite(self.deviations).sum()) - len(self.values)

    @cached_property
    def misfit(self) -> float:
        """Sum of squares of the residuals, each over its standard deviation."""
        return float(np.sum((self.residuals / self.deviations) ** 2))

    @property
    def scale(self) -> float:
        """How many times more than stated the readings scatter; 1 where they agree."""
        if self.freedom < 1 or self.agrees:
            return 1.0
        return max(1.0, math.sqrt(self.misfit / self.freedom))

    @cached_property
    def standing(self) -> Array:
        """Each residual over its own standard deviation; 0 where no other reading checks it.

        Source:
            Baarda, A testing procedure for use in geodetic networks (1968) (from memory).
        """
        seen = (self.checked > LOOSE) & np.isfinite(self.deviations)
        spread = np.where(seen, self.deviations * np.sqrt(np.where(seen, self.checked, 1.0)), 1.0)
        return np.where(seen, self.residuals / spread, 0.0)

    @cached_property
    def agrees(self) -> bool | None:
        """Whether the readings agree within their ±; ``None`` where nothing checks them."""
        if self.freedom < 1:
            return None
        from scipy.special import chdtrc, ndtri

        used = int(np.isfinite(self.deviations).sum())
        farthest = -float(ndtri(FALSE_ALARM / (2 * used)))
        alike = float(chdtrc(self.freedom, self.misfit)) >= RARE
        return alike and float(np.abs(self.standing).max()) <= farthest


def fitted(design: Array, readings: Array, deviations: Array) -> Fit | None:
    """Unknowns by weighted least squares; ``None`` where the readings do not tell them all.

    Args:
        design: How each reading changes with each unknown, shape (n, k).
        readings: Shape (n,).
        deviations: Standard deviation of each reading; infinite leaves it out.
    """
    weight = 1 / deviations
    rows = design * weight[:, None]
    sizes = np.linalg.norm(rows, axis=0)
    if len(rows) < design.shape[1] or not sizes.all():
        return None
    basis, root = np.linalg.qr(rows / sizes)
    told = np.abs(np.linalg.svd(root, compute_uv=False))
    if told[-1] <= 1e-9 * told[0]:
        return None
    inverse = np.linalg.inv(root) / sizes[:, None]
    values = inverse @ (basis.T @ (readings * weight))
    return Fit(
        values=values, residuals=readings - design @ values, covariance=inverse @ inverse.T,
        deviations=deviations, checked=np.clip(1 - np.sum(basis**2, axis=1), 0.0, 1.0),
    )  # fmt: skip


def reach(covariance: Array, freedom: int | None = None) -> float:
    """Radius round a fitted place within which the true one lies with 95 %.

    Args:
        covariance: Of x and y, shape (2, 2) [mm²].
        freedom: How many readings beyond the needed ones told their scatter; ``None`` where
            it was known before.
    Returns:
        Radius by the direction in which the place is known least [mm].
    Source:
        Chi-square of two degrees of freedom, −2·ln 0.05; Hotelling's ellipse with an estimated
        scatter, ν·(0.05^(−2/ν) − 1) (closed forms).
    """
    if freedom is None:
        square = -2 * math.log(0.05)
    else:
        square = freedom * (math.pow(0.05, -2 / freedom) - 1)
    return math.sqrt(square * max(float(np.linalg.eigvalsh(covariance)[-1]), 0.0))


# ── the reading that does not belong ────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Guess:
    """One way the disagreement may have come about, still to be tried.

    Attributes:
        kind: ``misread``, ``swapped`` or what else the aid knows of.
        places: The readings it is about, counted from 0.
        refit: The fit with it set right or left out; ``None`` where that tells too little.
    """

    kind: str
    places: tuple[int, ...]
    refit: Callable[[], Fit | None]


@dataclass(frozen=True, kw_only=True, eq=False)
class Explanation:
    """A guess that leaves the readings in agreement."""

    kind: str
    places: tuple[int, ...]
    fit: Fit


@dataclass(frozen=True, kw_only=True, eq=False)
class Finding:
    """What examining the readings came to.

    Attributes:
        whole: The fit to all readings as they were typed.
        explained: Ways to bring them into agreement, the likeliest first; none where they
            agree, or where nothing does it.
    """

    whole: Fit
    explained: tuple[Explanation, ...]

    @property
    def best(self) -> Fit:
        """The fit to go by: set right where one explanation stands alone, else to all."""
        return self.explained[0].fit if len(self.explained) == 1 else self.whole

    @property
    def fault(self) -> Explanation | None:
        """The one explanation, where there is only one."""
        return self.explained[0] if len(self.explained) == 1 else None


def examine(whole: Fit, guesses: Iterable[Guess]) -> Finding:
    """Which guesses bring readings that disagree into agreement.

    Args:
        whole: The fit to all readings.
        guesses: What may have gone wrong; tried only where the readings disagree.
    Returns:
        Those that leave the rest in agreement, within ``RIVAL`` of the best.
    """
    if whole.agrees is not False:
        return Finding(whole=whole, explained=())
    held = []
    for guess in guesses:
        fit = guess.refit()
        # a fit that nothing checks any more explains everything, and so nothing against another
        if fit is not None and fit.agrees is not False:
            held.append(Explanation(kind=guess.kind, places=guess.places, fit=fit))
    held.sort(key=lambda one: one.fit.misfit)
    close = [one for one in held if one.fit.misfit <= held[0].fit.misfit + RIVAL]
    return Finding(whole=whole, explained=tuple(close))


def together(
    whole: Fit, astray: Sequence[int], without: Callable[[Sequence[int]], Fit | None]
) -> list[Guess]:
    """One guess: two or three readings among many, all misread.

    Args:
        whole: The fit to all readings.
        astray: The readings that stand far off.
        without: The fit that leaves some readings out.
    Returns:
        The guess, if it leaves the rest in agreement, and every one of them still checked that
        was checked before.
    """
    fit = without(astray) if 2 <= len(astray) <= MOST_MISREAD else None
    if fit is None or not fit.agrees:
        return []
    left = np.isfinite(fit.deviations) & (whole.checked > LOOSE)
    if not (fit.checked[left] > HARDLY).all():
        return []
    return [Guess(kind="misread", places=tuple(astray), refit=lambda: fit)]


def farthest_off(whole: Fit, without: Callable[[Sequence[int]], Fit | None]) -> list[int]:
    """The readings that stand farthest off, given up one after the other until the rest agree."""
    gone: list[int] = []
    fit: Fit | None = whole
    while fit is not None and len(gone) < MOST_MISREAD and fit.agrees is False:
        gone.append(int(np.argmax(np.abs(fit.standing))))
        fit = without(gone)
    return gone


def examine_linear(
    design: Array,
    readings: Array,
    deviations: Array,
    *,
    alike: Sequence[object] = (),
    others: Sequence[Guess] = (),
) -> Finding | None:
    """Fit, and if the readings disagree: each left out in turn, each alike pair changed about.

    Args:
        design, readings, deviations: As `fitted`.
        alike: A mark for each reading; two with one mark may have been written in each other's
            place. None are tried without it.
        others: What else may have gone wrong.
    Returns:
        ``None`` where the readings do not tell all unknowns.
    """
    whole = fitted(design, readings, deviations)
    if whole is None:
        return None

    def without(gone: Sequence[int]) -> Fit | None:
        kept = deviations.copy()
        kept[list(gone)] = np.inf
        return fitted(design, readings, kept)

    def changed_about(pair: Sequence[int]) -> Fit | None:
        swapped = readings.copy()
        swapped[list(pair)] = readings[list(pair[::-1])]
        return fitted(design, swapped, deviations)

    guesses = (*others, *one_by_one(len(readings), alike, without, changed_about))
    found = examine(whole, guesses)
    if found.explained or found.whole.agrees is not False:
        return found
    return examine(whole, together(whole, farthest_off(whole, without), without))


def one_by_one(
    count: int,
    alike: Sequence[object],
    without: Callable[[Sequence[int]], Fit | None],
    changed_about: Callable[[Sequence[int]], Fit | None],
) -> Iterable[Guess]:
    """Each reading misread, and each alike pair written in each other's place."""
    for place in range(count):
        yield Guess(kind="misread", places=(place,), refit=partial(without, (place,)))
    for one, other in combinations(range(len(alike)), 2):
        if alike[one] == alike[other]:
            pair = (one, other)
            yield Guess(kind="swapped", places=pair, refit=partial(changed_about, pair))
