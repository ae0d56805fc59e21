"""What a formula accepts: refuses a number nobody can mean, before it can spread.

Not formulas themselves: each function raises `InputError` naming the argument, and returns
the values as numbers where the formula needs them as rows.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError

Number = TypeVar("Number", float, NDArray[np.float64])
"""One number, or an array of them worked through the same lines."""

Row = Sequence[float] | NDArray[np.float64]
Rows = Sequence[Sequence[float]] | NDArray[np.float64]

LARGEST = 1e12  # no quantity of a drive line is larger, in any unit used here
SMALLEST = 1e-12  # and none that must be above nought is smaller
MOST_COUNTED = 1000
MOST_DRAWN = 10_000_000  # draws of a sample
MOST_SEED = 2**32 - 1


def numbers(name: str, value: object) -> NDArray[np.float64]:
    """The value as an array of finite numbers."""
    if isinstance(value, bool | str | bytes):
        raise InputError(name, value, "it must be a number")
    try:
        array = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError, OverflowError):
        raise InputError(name, value, "it must be a number") from None
    if not array.size or not (np.abs(array) <= LARGEST).all():
        raise InputError(name, value, f"it must be a number, at most {LARGEST:g}")
    return array


def finite(**values: object) -> None:
    """Every value is a number, of either sign."""
    for name, value in values.items():
        numbers(name, value)


def above_zero(**values: object) -> None:
    """Every value is a number above nought."""
    for name, value in values.items():
        if not (numbers(name, value) >= SMALLEST).all():
            raise InputError(name, value, "it must be above 0")


def not_below_zero(**values: object) -> None:
    """Every value is a number, nought or more."""
    for name, value in values.items():
        if not (numbers(name, value) >= 0).all():
            raise InputError(name, value, "it must be 0 or more")


def between(ends: tuple[float, float], /, **values: object) -> None:
    """Every value lies between the two ends, both included."""
    low, high = ends
    for name, value in values.items():
        array = numbers(name, value)
        if not ((array >= low) & (array <= high)).all():
            raise InputError(name, value, f"it must lie between {low:g} and {high:g}")


def whole(ends: tuple[int, int], /, **values: object) -> None:
    """Every value is a whole number between the two ends, both included."""
    low, high = ends
    for name, value in values.items():
        counted = isinstance(value, int | np.integer) and not isinstance(value, bool)
        if not counted or not low <= numbers(name, value) <= high:
            raise InputError(name, value, f"it must be a whole number from {low} to {high}")


def counted(least: int, /, **values: object) -> None:
    """Every value counts holes, screws, teeth, posts or readings, of which there are `least`."""
    whole((least, MOST_COUNTED), **values)


def sampling(*, draws: int, seed: int) -> None:
    """How many draws a sample has, and the whole number it starts from."""
    whole((1, MOST_DRAWN), draws=draws)
    whole((0, MOST_SEED), seed=seed)


def one_of(accepted: Collection[str], **values: object) -> None:
    """Every value is one of the accepted words."""
    for name, value in values.items():
        if not isinstance(value, str) or value not in accepted:
            raise InputError(name, value, "it must be one of " + ", ".join(accepted))


def ascending(**values: float) -> None:
    """Each value is smaller than the one after it, as the arguments are written."""
    finite(**values)
    for (name, value), (next_name, next_value) in pairwise(values.items()):
        if not value < next_value:
            raise InputError(name, value, f"it must be smaller than {next_name}, {next_value:g}")


def row(name: str, values: object, *, least: int = 1) -> NDArray[np.float64]:
    """A row of at least `least` numbers."""
    array = numbers(name, values)
    if array.ndim != 1 or array.size < least:
        raise InputError(name, values, f"it must be a row of {least} or more numbers")
    return array


def points(name: str, values: object, *, least: int = 1) -> NDArray[np.float64]:
    """At least `least` points (x, y), shape (n, 2)."""
    array = numbers(name, values)
    if array.ndim != 2 or array.shape[1] != 2 or len(array) < least:
        raise InputError(name, values, f"it must be {least} or more points (x, y)")
    return array


def same_length(**values: NDArray[np.float64]) -> None:
    """All rows hold equally many numbers."""
    pairs = list(values.items())
    first, others = pairs[0], pairs[1:]
    for name, value in others:
        if len(value) != len(first[1]):
            raise InputError(
                name, len(value), f"it must hold as many as {first[0]}, {len(first[1])}"
            )
