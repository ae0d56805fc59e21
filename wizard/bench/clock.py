"""Clock positions at the bench: degrees clockwise from 12 o'clock, seen from behind."""

from __future__ import annotations

import math

from kb.errors import InputError

_HOURS = (
    "twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven",
)  # fmt: skip
_FULL = 360.0


def clock(angle: float, *, key: str) -> float:
    """A clock position within one turn, 0 ≤ angle < 360 [°].

    Raises:
        InputError: no number, or further than one turn round; it names ``key``.
    """
    sound = isinstance(angle, int | float) and not isinstance(angle, bool)
    if not sound or not math.isfinite(angle) or abs(angle) > _FULL:
        raise InputError(
            key, angle, "write degrees clockwise from 12 o'clock seen from behind, -360 to 360"
        )
    turned = math.fmod(angle + _FULL, _FULL)
    return turned if turned < _FULL else 0.0


def clock_words(angle: float) -> str:
    """A clock position in words, to the nearest half hour.

    Example:
        >>> clock_words(45.0)
        "half past one o'clock"
    """
    halves = math.floor(math.fmod(angle + _FULL, _FULL) / 15 + 0.5) % 24
    hour = _HOURS[halves // 2]
    return f"half past {hour} o'clock" if halves % 2 else f"{hour} o'clock"


def plan_angle(clock_angle: float) -> float:
    """The angle in frame P, anticlockwise from +x, of a clock position: 90 − angle, 0 … 360 [°]."""
    return (90.0 - clock_angle) % _FULL


def opposite(angle: float) -> float:
    """The clock position straight across, 0 ≤ angle < 360 [°]."""
    return (angle + _FULL / 2) % _FULL


def shown(angle: float) -> str:
    """Degrees and words together.

    Example:
        >>> shown(35.0)
        "35° (one o'clock)"
    """
    return f"{round(angle) % 360}° ({clock_words(angle)})"
