"""The axial chain: known dimensions, straight-line sums of them, and what they require [mm].

Every axial quantity is α·t + β·L + Σ c·x + constant, with t the plate's thickness and L the
rotating adapter's length; several of them under a `Least` stand for the smallest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Length:
    """A dimension ready for use: one value, its limits, and who says so.

    Attributes:
        key: Where it stands in the sheet. value: Nominal [mm].
        low, high: Where the true value lies: 95 % for a reading, all of it for limits [mm].
        spread: ``normal``, ``uniform``, ``triangular`` or ``exact``.
        source: measured · drawing · standard · catalogue · guess · chosen.
        readings: How many readings there are; they are combined where none was chosen by hand.
        chosen: Number of the reading chosen by hand, from 1; 0 where none was.
        disagree: The readings differ by more than their instruments allow.
        above_zero: A size, which nought or less cannot be.
    """

    key: str
    value: float
    low: float
    high: float
    spread: str
    source: str
    how: str = ""
    unit: str = "mm"
    readings: int = 1
    disagree: bool = False
    above_zero: bool = False
    chosen: int = 0

    @property
    def within(self) -> float:
        """Half the width between its limits [mm]."""
        return (self.high - self.low) / 2


@dataclass(frozen=True, kw_only=True)
class Assumption:
    """Something the sheet left open, what was taken for it, and why."""

    key: str
    value: str
    why: str


@dataclass(frozen=True)
class Linear:
    """α·t + β·L + Σ c·x + constant [mm]."""

    plate: float = 0.0
    spacer: float = 0.0
    terms: Mapping[str, float] = field(default_factory=dict)
    constant: float = 0.0

    def __add__(self, other: Linear | float) -> Linear:
        if not isinstance(other, Linear):
            return Linear(self.plate, self.spacer, self.terms, self.constant + other)
        terms = dict(self.terms)
        for key, factor in other.terms.items():
            terms[key] = terms.get(key, 0.0) + factor
        return Linear(
            self.plate + other.plate, self.spacer + other.spacer,
            {key: factor for key, factor in terms.items() if factor},
            self.constant + other.constant,
        )  # fmt: skip

    def __mul__(self, factor: float) -> Linear:
        return Linear(
            self.plate * factor, self.spacer * factor,
            {key: value * factor for key, value in self.terms.items()}, self.constant * factor,
        )  # fmt: skip

    __rmul__ = __mul__
    __radd__ = __add__

    def __neg__(self) -> Linear:
        return self * -1.0

    def __sub__(self, other: Linear | float) -> Linear:
        return self + -other

    def __rsub__(self, other: float) -> Linear:
        return -self + other

    def at(self, *, plate: float, spacer: float, values: Mapping[str, float]) -> float:
        """Its value for a plate, a spacer and the dimensions by key [mm]."""
        total = self.plate * plate + self.spacer * spacer + self.constant
        return total + sum(factor * values[key] for key, factor in self.terms.items())


@dataclass(frozen=True, kw_only=True)
class Measure:
    """An axial quantity: the smallest of its lines, or what is lacking to know it."""

    name: str
    lines: tuple[Linear, ...] = ()
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Requirement:
    """``low ≤ line ≤ high`` for the work to do, on behalf of a check [mm].

    ``source`` says who set the limits.
    """

    check: str
    line: Linear
    low: float | None = None
    high: float | None = None
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class Conflict:
    """One of the requirements that contradict each other, and by how much [mm].

    ``cures`` maps each measured dimension in it to the change that would end the contradiction.
    """

    check: str
    short_by: float
    cures: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class PlateLimits:
    """Range of plate thickness that works, and the check that binds at each end [mm]."""

    least: float
    binds_least: str
    most: float
    binds_most: str


@dataclass(frozen=True, kw_only=True)
class MeasureNext:
    """What one re-reading with the best instrument in the shop would do to the odds."""

    dimension: str
    chance_if_known: float
    decides: float
    chance_error: float
    decides_error: float


@dataclass(frozen=True, kw_only=True)
class Odds:
    """Chances by sampling the dimensions, each with its sampling error (95 %)."""

    chance_any: float
    chance_any_error: float
    chance_these: float | None
    chance_these_error: float | None
    measure_next: tuple[MeasureNext, ...] = ()
    draws: int = 0
    by_check: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Chain:
    """The axial side of a design.

    Attributes:
        plate, spacer: Thickness and length of the design [mm]; ``None`` where the job has none.
        spacer_within: How closely the spacer must be held [mm].
        values: Every axial quantity of this kind of drive at nominal dimensions [mm].
        stations: z of the faces that matter, from the engine's bare face, + toward the gearbox [mm].
        limits: Range of plate thickness; ``None`` when nothing works.
        region, robust_region: Corners (t, L) of what works, and of what works even if readings are off.
        binds: The check that binds each edge of ``region``, from its corner to the next one.
        conflict: What contradicts, when nothing works.
        uncertain: ± of each quantity by the way the job asks for it, worst case or statistical [mm].
        why_plate: How the thickness was chosen.
    """

    plate: float | None
    spacer: float | None
    spacer_within: float | None
    packing: float
    values: Mapping[str, float]
    uncertain: Mapping[str, float]
    lacks: Mapping[str, tuple[str, ...]]
    rests_on: Mapping[str, tuple[str, ...]]
    stations: Mapping[str, float]
    requirements: tuple[Requirement, ...]
    limits: PlateLimits | None = None
    region: tuple[tuple[float, float], ...] = ()
    robust_region: tuple[tuple[float, float], ...] = ()
    binds: tuple[str, ...] = ()
    conflict: tuple[Conflict, ...] = ()
    odds: Odds | None = None
    why_plate: str = ""
