"""Dial sweeps: from readings to the offset of an axis, its cure by offset dowels, and tilt.

Readings are taken at angles of any one convention; directions come back in the same one.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError
from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number, Row

SENSES = ("in", "out")


def _fit(
    readings: Row, angles: Row
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Readings, and the a₀, u, v of a₀ + u·cos θ + v·sin θ with what is left over."""
    heard = arguments.row("readings", readings, least=3)
    at = arguments.row("angles", angles, least=3)
    arguments.same_length(readings=heard, angles=at)
    turn = np.radians(at)
    waves = np.column_stack((np.ones_like(turn), np.cos(turn), np.sin(turn)))
    if np.linalg.matrix_rank(waves, tol=1e-6) < 3:
        raise InputError("angles", at.tolist(), "readings are needed at three different angles")
    fitted, *_ = np.linalg.lstsq(waves, heard, rcond=None)
    return heard, fitted, heard - waves @ fitted


def sweep_offset(*, readings: Row, angles: Row, sense: str = "in") -> tuple[float, float]:
    """Offset of a bore's axis from the axis it was swept about.

    Assumptions: round bore; the dial sits on the turning part and reads the fixed bore; offset
    small beside the radius. With more than three readings the best fit is taken.

    Args:
        readings: Dial readings [mm].
        angles: Where each was taken, in one convention throughout [°].
        sense: Reads + when the plunger goes "in", or as it comes "out" [word].
    Returns:
        Offset e [mm], and the direction in which the bore lies off, 0 … 360 [°].
    Raises:
        InputError: fewer than three readings or different angles, rows of unequal length, another
        sense.
    Source:
        Least squares fit of one turn, closed form; common practice, no source.
    Example:
        >>> e, toward = sweep_offset(readings=[0.003, 0.001, -0.003, -0.001],
        ...                          angles=[0, 90, 180, 270], sense="out")
        >>> round(e, 5), round(toward, 2)
        (0.00316, 18.43)
    """
    arguments.one_of(SENSES, sense=sense)
    _, fitted, _ = _fit(readings, angles)
    sign = 1.0 if sense == "out" else -1.0
    u, v = sign * fitted[1], sign * fitted[2]
    return math.hypot(u, v), math.degrees(math.atan2(v, u)) % 360


def sweep_leftover(*, readings: Row, angles: Row) -> float:
    """Greatest part of a reading that an offset does not explain: out-of-round or a misread.

    Assumptions: as `sweep_offset`; three readings leave nothing over.

    Args:
        readings: Dial readings [mm].
        angles: Where each was taken, in one convention throughout [°].
    Returns:
        Largest residual of the fit, without its sign [mm].
    Raises:
        InputError: fewer than three readings or different angles, or rows of unequal length.
    Source:
        Least squares fit of one turn, closed form; common practice, no source.
    Example:
        >>> round(sweep_leftover(readings=[0.03, 0, 0.03, 0], angles=[0, 90, 180, 270]), 3)
        0.015
    """
    _, _, leftover = _fit(readings, angles)
    return float(np.abs(leftover).max())


def raw_tir(*, readings: Row) -> float:
    """Total indicator reading as the dial shows it.

    Args:
        readings: Dial readings round one turn [mm].
    Returns:
        Highest less lowest reading [mm].
    Raises:
        InputError: no reading, or not numbers.
    Source:
        ASME Y14.5-2009, runout, full indicator movement.
    Example:
        >>> round(raw_tir(readings=[0, 0.003, -0.002, 0.003]), 4)
        0.005
    """
    heard = arguments.row("readings", readings)
    return float(heard.max() - heard.min())


def four_point_closure(*, top: float, right: float, bottom: float, left: float) -> float:
    """What four readings at right angles fail to close by.

    Assumptions: round bore, nothing slipped: top + bottom is then left + right.

    Args:
        top: Reading at 12 o'clock [mm].
        right: Reading at 3 o'clock [mm].
        bottom: Reading at 6 o'clock [mm].
        left: Reading at 9 o'clock [mm].
    Returns:
        (top + bottom) − (left + right), 0 for a round bore [mm].
    Raises:
        InputError: not a number.
    Source:
        Closed form; common practice, no source.
    Example:
        >>> round(four_point_closure(top=0.05, right=0.03, bottom=0.01, left=0.02), 3)
        0.01
    """
    arguments.finite(top=top, right=right, bottom=bottom, left=left)
    return (top + bottom) - (left + right)


def sweep_uncertainty(*, reading: float, readings: int) -> float:
    """Uncertainty of a swept offset from that of one reading.

    Assumptions: readings equally spaced, errors independent and alike.

    Args:
        reading: Uncertainty of one reading, at any level of confidence [mm].
        readings: How many readings were taken [-].
    Returns:
        Uncertainty of the offset at the same level, u·√(2/n) [mm].
    Raises:
        InputError: a negative uncertainty, or fewer than three readings.
    Source:
        JCGM 100:2008, propagation of uncertainty; closed form for equal spacing.
    Example:
        >>> round(sweep_uncertainty(reading=0.01, readings=8), 4)
        0.005
    """
    arguments.not_below_zero(reading=reading)
    arguments.counted(3, readings=readings)
    return reading * math.sqrt(2 / readings)


def tir_of_offset(*, offset: Number) -> Number:
    """Total indicator reading of a round surface that is off the axis it is swept about.

    Args:
        offset: Distance between the two axes [mm].
    Returns:
        TIR = 2·e [mm].
    Raises:
        InputError: a negative offset.
    Source:
        Closed form; common practice, no source.
    Example:
        >>> tir_of_offset(offset=0.0625)
        0.125
    """
    arguments.not_below_zero(offset=offset)
    return 2 * offset


def offset_of_tir(*, tir: Number) -> Number:
    """Offset of axis behind a total indicator reading.

    Args:
        tir: Total indicator reading of a round surface [mm].
    Returns:
        e = TIR/2 [mm].
    Raises:
        InputError: a negative reading.
    Source:
        Closed form; common practice, no source.
    Example:
        >>> offset_of_tir(tir=0.125)
        0.0625
    """
    arguments.not_below_zero(tir=tir)
    return tir / 2


def dowel_residual_tir(*, offset: float, toward: float, dowel: float, dowel_toward: float) -> float:
    """TIR left after offset dowels have moved the housing.

    Assumptions: both dowels of one offset and set alike, tight in their holes.

    Args:
        offset: Offset of the housing's bore, e [mm].
        toward: Direction in which it lies off [°].
        dowel: Offset of the dowels, d [mm].
        dowel_toward: Direction in which they move the housing, in the same convention [°].
    Returns:
        2·|e + d| as vectors; 2·|e − d| when set straight against it [mm].
    Raises:
        InputError: a negative offset, or not a number.
    Source:
        Sum of two vectors, closed form; common practice, no source.
    Example:
        >>> round(dowel_residual_tir(offset=0.0095, toward=35, dowel=0.007, dowel_toward=215), 4)
        0.005
    """
    arguments.not_below_zero(offset=offset, dowel=dowel)
    arguments.finite(toward=toward, dowel_toward=dowel_toward)
    between = math.radians(dowel_toward - toward)
    return 2 * math.hypot(offset + dowel * math.cos(between), dowel * math.sin(between))


def nearest_offset_dowel(*, offset: float, sizes: Row) -> float:
    """Offset dowel that leaves least runout, set straight against the offset.

    Assumptions: as `dowel_residual_tir`; of two equally near sizes the smaller.

    Args:
        offset: Offset of the housing's bore [mm].
        sizes: Offsets the dowels come in [mm].
    Returns:
        The size nearest the offset; 0, leave it alone, when none betters it [mm].
    Raises:
        InputError: a negative offset, no size, or a size not above 0.
    Source:
        Common practice, no source.
    Example:
        >>> nearest_offset_dowel(offset=0.24, sizes=[0.178, 0.356, 0.533])
        0.178
    """
    arguments.not_below_zero(offset=offset)
    held = arguments.row("sizes", sizes)
    arguments.above_zero(sizes=held)
    choice = np.concatenate(([0.0], np.sort(held)))
    return float(choice[np.argmin(np.abs(choice - offset))])


def face_tilt(*, tir: Number, radius: float) -> Number:
    """Tilt of a face from its sweep.

    Assumptions: flat face; the dial runs at one radius, the shaft does not float.

    Args:
        tir: Total indicator reading on the face, twice the amplitude of the fit [mm].
        radius: Radius at which the dial ran [mm].
    Returns:
        Slope TIR/(2·R) [mm per mm].
    Raises:
        InputError: a negative reading, or a radius not above 0.
    Source:
        Closed form; common practice, no source.
    Example:
        >>> face_tilt(tir=0.1, radius=200)
        0.00025
    """
    arguments.not_below_zero(tir=tir)
    arguments.above_zero(radius=radius)
    return tir / (2 * radius)


def tilt_offset(*, slope: Number, distance: float) -> Number:
    """Offset that a tilt makes further along the axis.

    Assumptions: small tilt.

    Args:
        slope: Slope of the face [mm per mm].
        distance: Distance along the axis [mm].
    Returns:
        Offset slope·distance [mm].
    Raises:
        InputError: a negative value.
    Source:
        Closed form; common practice, no source.
    Example:
        >>> round(tilt_offset(slope=0.00025, distance=120), 3)
        0.03
    """
    arguments.not_below_zero(slope=slope, distance=distance)
    return distance * slope
