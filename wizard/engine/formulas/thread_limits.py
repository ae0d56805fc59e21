"""Limits of size of threads as commonly made: 2A and 2B inch, 6g and 6H metric.

They are worked out by the standards' own formulas, for threads engaged about one diameter.
ISO rounds its results to preferred numbers, which moves a limit by up to 5 % of a tolerance.
"""

from __future__ import annotations

import math

from wizard.engine.formulas import arguments
from wizard.engine.formulas.threads import SYSTEMS, pitch_diameter

MICRON = 1e-3
INCH = 25.4


def _checked(*, major: float, pitch: float, system: str) -> float:
    """The basic pitch diameter, once the thread is one."""
    arguments.one_of(SYSTEMS, system=system)
    return pitch_diameter(major=major, pitch=pitch)


def _middle_of_range(major: float) -> float:
    """Geometric mean of the diameter range of ISO 965-1 (… 2.8, 5.6, 11.2, 22.4 …)."""
    step = math.floor(math.log2(major / 2.8))
    return math.ldexp(2.8 * math.sqrt(2), step)


def _inch_pitch_tolerance(*, major: float, pitch: float) -> float:
    """Pitch diameter tolerance of class 2A, for an engagement of one diameter [mm]."""
    size, step = major / INCH, pitch / INCH
    in_inches = 0.0015 * math.cbrt(size) + 0.0015 * math.sqrt(size) + 0.015 * math.cbrt(step**2)
    return INCH * in_inches


def _metric_pitch_tolerance(*, major: float, pitch: float) -> float:
    """Pitch diameter tolerance of an external thread, grade 6 [mm]."""
    return 90 * math.pow(pitch, 0.4) * math.pow(_middle_of_range(major), 0.1) * MICRON


def _allowance(*, major: float, pitch: float, system: str) -> float:
    """How far an external thread stays below its basic sizes: 2A, or deviation g [mm]."""
    if system == "inch":
        return 0.3 * _inch_pitch_tolerance(major=major, pitch=pitch)
    return (15 + 11 * pitch) * MICRON


def external_major_least(*, major: float, pitch: float, system: str) -> float:
    """Least major diameter of a screw, Dₛ min.

    Assumptions: class 2A inch, 6g metric; standard series.

    Args:
        major: Nominal diameter [mm].
        pitch: Pitch [mm].
        system: Whose limits, "metric" or "inch" [word].
    Returns:
        Least major diameter [mm].
    Raises:
        InputError: a size not above 0, or another system.   OutOfScope: no 60° thread is so coarse.
    Source:
        ASME B1.1-2019, formulas for limits; ISO 965-1:2013, formulas behind its tables.
    Example:
        >>> round(external_major_least(major=12.7, pitch=25.4 / 13, system="inch") / 25.4, 4)
        0.4877
    """
    _checked(major=major, pitch=pitch, system=system)
    if system == "inch":
        tolerance = INCH * 0.060 * math.cbrt((pitch / INCH) ** 2)
    else:
        tolerance = (180 * math.cbrt(pitch**2) - 3.15 / math.sqrt(pitch)) * MICRON
    return major - _allowance(major=major, pitch=pitch, system=system) - tolerance


def external_pitch_least(*, major: float, pitch: float, system: str) -> float:
    """Least pitch diameter of a screw, Eₛ min.

    Assumptions: class 2A inch, 6g metric; standard series.

    Args:
        major: Nominal diameter [mm].
        pitch: Pitch [mm].
        system: Whose limits, "metric" or "inch" [word].
    Returns:
        Least pitch diameter [mm].
    Raises:
        InputError: a size not above 0, or another system.   OutOfScope: no 60° thread is so coarse.
    Source:
        ASME B1.1-2019, formulas for limits; ISO 965-1:2013, formulas behind its tables.
    Example:
        >>> round(external_pitch_least(major=12.7, pitch=25.4 / 13, system="inch") / 25.4, 4)
        0.4436
    """
    basic = _checked(major=major, pitch=pitch, system=system)
    if system == "inch":
        tolerance = _inch_pitch_tolerance(major=major, pitch=pitch)
    else:
        tolerance = _metric_pitch_tolerance(major=major, pitch=pitch)
    return basic - _allowance(major=major, pitch=pitch, system=system) - tolerance


def internal_pitch_most(*, major: float, pitch: float, system: str) -> float:
    """Greatest pitch diameter of a tapped thread, Eₙ max.

    Assumptions: class 2B inch, 6H metric; standard series.

    Args:
        major: Nominal diameter [mm].
        pitch: Pitch [mm].
        system: Whose limits, "metric" or "inch" [word].
    Returns:
        Greatest pitch diameter [mm].
    Raises:
        InputError: a size not above 0, or another system.   OutOfScope: no 60° thread is so coarse.
    Source:
        ASME B1.1-2019, formulas for limits; ISO 965-1:2013, formulas behind its tables.
    Example:
        >>> round(internal_pitch_most(major=12.7, pitch=25.4 / 13, system="inch") / 25.4, 4)
        0.4565
    """
    basic = _checked(major=major, pitch=pitch, system=system)
    if system == "inch":
        return basic + 1.30 * _inch_pitch_tolerance(major=major, pitch=pitch)
    return basic + 1.32 * _metric_pitch_tolerance(major=major, pitch=pitch)


def internal_minor_most(*, major: float, pitch: float, system: str) -> float:
    """Greatest minor diameter of a tapped thread, Kₙ max.

    Assumptions: class 2B inch, 6H metric; standard series.

    Args:
        major: Nominal diameter [mm].
        pitch: Pitch [mm].
        system: Whose limits, "metric" or "inch" [word].
    Returns:
        Greatest minor diameter [mm].
    Raises:
        InputError: a size not above 0, or another system.   OutOfScope: no 60° thread is so coarse.
    Source:
        ASME B1.1-2019, formulas for limits; ISO 965-1:2013, formulas behind its tables.
    Example:
        >>> round(internal_minor_most(major=12.7, pitch=25.4 / 13, system="inch") / 25.4, 3)
        0.434
    """
    _checked(major=major, pitch=pitch, system=system)
    basic = major - 5 * math.sqrt(3) / 8 * pitch
    if system == "inch":
        return basic + _inch_minor_tolerance(major=major, pitch=pitch)
    if pitch >= 1:
        return basic + 230 * math.pow(pitch, 0.7) * MICRON
    return basic + (433 * pitch - 190 * math.pow(pitch, 1.22)) * MICRON


def _inch_minor_tolerance(*, major: float, pitch: float) -> float:
    """Minor diameter tolerance of class 2B [mm]; small screws have a formula of their own."""
    size, step = major / INCH, pitch / INCH
    floor = 0.25 * step - 0.40 * step**2
    if size >= 0.25:
        return INCH * (floor if step < 0.25 else 0.15 * step)
    small = 0.05 * math.cbrt(step**2) + 0.03 * step / size - 0.002
    return INCH * min(0.394 * step, max(floor, small))
