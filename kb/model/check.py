"""What was asked of a design, how it came out, and the verdict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

STATUSES = ("pass", "warn", "fail", "unknown")


@dataclass(frozen=True, kw_only=True)
class Check:
    """One question and its answer.

    Attributes:
        id: Stable name. status: pass · warn · fail · unknown.
        due: Stage by which it must be settled: quote · cut · start.
        margin: How far from its limit, + on the good side; ``None`` when unknown or not a number.
        unit: Unit of the margin. says: One plain sentence.
        because: Keys of the dimensions it rests on (for ``unknown``: those it lacks).
        source: Where the limit comes from.
        chance: Chance that it passes with the readings in hand, where that was worked out.
    """

    id: str
    status: str
    due: str
    says: str
    margin: float | None = None
    unit: str = ""
    because: tuple[str, ...] = ()
    source: str = ""
    chance: float | None = None


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """A changed request that was run again and found to work."""

    cures: tuple[str, ...]
    change: Mapping[str, object]
    verdict: str
    costs: str
    says: str


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """The word, its reasons worst first, and at most seven lines for people."""

    word: str
    because: tuple[str, ...]
    lines: tuple[str, ...] = ()
    measure: tuple[str, ...] = ()


VERDICTS = ("goes", "goes with work", "measure first", "does not go")


@dataclass(frozen=True, kw_only=True)
class Question:
    """A question only the shop can answer, and what was answered."""

    key: str
    asks: str
    answer: str = field(default="")
