"""Readings as taken, and how each field of a sheet is to be read.

The nouns of `unit` and `request` declare every key of a pairing sheet once: its name,
the kind of value it takes and the words it accepts. Sheets, store and screens read the
declaration; none of them keeps a list of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from kb.quantity import Dimension


@dataclass(frozen=True)
class Measured:
    """One dimension with all its readings, in the order they were written."""

    readings: tuple[Dimension, ...]

    @property
    def first(self) -> Dimension:
        """The reading chosen by hand; else the one written first."""
        return self.readings[(self.chosen or 1) - 1]

    @property
    def chosen(self) -> int:
        """Number of the reading chosen by hand, from 1; 0 where none is."""
        return next((n for n, one in enumerate(self.readings, 1) if one.chosen), 0)

    def with_reading(self, reading: Dimension) -> Measured:
        """With a new reading before those it has; a choice among them is open again."""
        before = tuple(replace(one, chosen=False) for one in self.readings)
        return Measured((reading, *before))


@dataclass(frozen=True)
class Band:
    """A wanted band, from ``low`` to ``high``."""

    low: Dimension
    high: Dimension


@dataclass(frozen=True)
class Point:
    """A point on a face, in the coordinates it was measured in."""

    x: Dimension
    y: Dimension


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """One distance as taken: between centres, over the outside, or inside the near edges."""

    start: str
    end: str
    reading: Dimension
    edges: str = "centres"

    @property
    def name(self) -> str:
        """What was read, in words."""
        over = {"centres": "", "outside": ", far edges", "inside": ", near edges"}[self.edges]
        return f"{self.start} to {self.end}{over}"


def length(*, above_zero: bool = False, from_zero: bool = False) -> Any:
    """A measured length; ``above_zero`` refuses nought and less, ``from_zero`` less than nought."""
    rules = {"kind": "length", "above_zero": above_zero, "from_zero": from_zero}
    return field(default=None, metadata=rules)


def band(*, ascending: bool = True) -> Any:
    """Two lengths, the smaller first."""
    return field(default=None, metadata={"kind": "band", "ascending": ascending})


def point() -> Any:
    """A point as two lengths."""
    return field(default=None, metadata={"kind": "point"})


def points() -> Any:
    """A list of points."""
    return field(default=(), metadata={"kind": "points"})


def lengths() -> Any:
    """A list of lengths, each above nought."""
    return field(default=(), metadata={"kind": "lengths"})


def thread() -> Any:
    """A thread designation."""
    return field(default=None, metadata={"kind": "thread"})


def word(*accepted: str, default: str | None = None) -> Any:
    """One of the accepted words."""
    return field(default=default, metadata={"kind": "word", "accepted": accepted})


def text(default: str = "") -> Any:
    """Free text."""
    return field(default=default, metadata={"kind": "text"})


def choice_text() -> Any:
    """Free text that may be left out."""
    return field(default=None, metadata={"kind": "text"})


def amount(kind: str) -> Any:
    """A torque, mass, temperature rise or speed, with its unit where one is needed."""
    return field(default=None, metadata={"kind": kind})


def plain_number(*, low: float, high: float) -> Any:
    """A bare number between two bounds."""
    return field(default=None, metadata={"kind": "number", "low": low, "high": high})


def count(*, low: int = 1, high: int = 500) -> Any:
    """A whole number between two bounds."""
    return field(default=None, metadata={"kind": "count", "low": low, "high": high})


def angle(default: float | None = None) -> Any:
    """An angle in degrees."""
    return field(default=default, metadata={"kind": "angle"})


def angles() -> Any:
    """A range of angles in degrees, the smaller first."""
    return field(default=None, metadata={"kind": "angles"})


def yes_no(default: bool | None = None) -> Any:
    """True or false."""
    return field(default=default, metadata={"kind": "yes_no"})


def names() -> Any:
    """A list of texts."""
    return field(default=(), metadata={"kind": "names"})


def part(default: Any = None) -> Any:
    """A table of keys of its own."""
    return field(default=default, metadata={"kind": "part"})


def parts() -> Any:
    """A list of tables."""
    return field(default=(), metadata={"kind": "parts"})


def open_table() -> Any:
    """A table whose keys the shop names itself, each answered in words."""
    return field(default=(), metadata={"kind": "open_table"})
