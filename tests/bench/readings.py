"""Readings as a person takes them: rounded to the instrument, with its ± beside them."""

from __future__ import annotations

from kb.model.measured import Point
from kb.quantity import Dimension, read_length


def reading(value: float, *, to: float = 0.05, within: float | None = 0.05) -> Dimension:
    """A length read to the nearest step of the instrument."""
    stated = "" if within is None else f" ± {within:g}"
    return read_length(f"{round(value / to) * to:.6f}{stated}", key="reading", units="mm")


def point(x: float, y: float, *, to: float = 0.01, within: float | None = None) -> Point:
    """A place read to the nearest step."""
    return Point(reading(x, to=to, within=within), reading(y, to=to, within=within))
