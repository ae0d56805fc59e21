"""Bolt circles: where the holes are, chords between them, and circles from what was measured."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError
from kb.plane.points import holes_on_circle
from wizard.engine.formulas import arguments


def hole_coordinates(
    *, holes: int, diameter: float, start: float = 0.0, x: float = 0.0, y: float = 0.0
) -> NDArray[np.float64]:
    """Centres of equally spaced holes on a circle.

    Assumptions: angles anticlockwise from +x, y up; hole 1 at the start, numbered on anticlockwise.

    Args:
        holes: Number of holes [-].
        diameter: Diameter of the circle [mm].
        start: Angle of hole 1 [°].
        x: Centre of the circle, across [mm].
        y: Centre of the circle, up [mm].
    Returns:
        Hole centres, shape (n, 2) [mm].
    Raises:
        InputError: no hole, a diameter not above 0, or not a number.
    Source:
        Machinery's Handbook, 31st ed. (2020), p.709, hole-circle coordinates.
    Example:
        >>> hole_coordinates(holes=4, diameter=100)[1].round(6).tolist()
        [0.0, 50.0]
    """
    arguments.counted(1, holes=holes)
    arguments.above_zero(diameter=diameter)
    arguments.finite(start=start, x=x, y=y)
    return holes_on_circle(count=holes, diameter=diameter, start=start) + np.array(
        (x, y), dtype=np.float64
    )


def _chord_factor(*, holes: int, step: int) -> float:
    """Chord over circle diameter from one hole to the step-th after it."""
    arguments.counted(2, holes=holes)
    arguments.counted(1, step=step)
    if step >= holes:
        raise InputError("step", step, f"it must be below the number of holes, {holes}")
    return math.sin(math.pi * step / holes)


def chord(*, diameter: float, holes: int, step: int = 1) -> float:
    """Distance between two holes of an equally spaced circle.

    Args:
        diameter: Diameter of the circle [mm].
        holes: Number of holes [-].
        step: 1 to the next hole, 2 to the one after it, and so on [-].
    Returns:
        D·sin(180°·step/n) [mm].
    Raises:
        InputError: a diameter not above 0, fewer than two holes, or a step that is no hole.
    Source:
        Machinery's Handbook, 31st ed., p.711, lengths of chords.
    Example:
        >>> round(chord(diameter=428.625, holes=12), 3)
        110.936
    """
    arguments.above_zero(diameter=diameter)
    return diameter * _chord_factor(holes=holes, step=step)


def circle_from_chord(*, chord: float, holes: int, step: int = 1) -> float:
    """Bolt circle from the distance between two hole centres.

    Args:
        chord: Distance between the centres [mm].
        holes: Number of holes, equally spaced [-].
        step: 1 for neighbours, 2 for the hole after, n/2 straight across [-].
    Returns:
        Diameter of the circle, chord/sin(180°·step/n) [mm].
    Raises:
        InputError: a distance not above 0, fewer than two holes, or a step that is no hole.
    Source:
        Machinery's Handbook, 31st ed., p.711, lengths of chords.
    Example:
        >>> round(circle_from_chord(chord=50, holes=6), 6)
        100.0
    """
    arguments.above_zero(chord=chord)
    return chord / _chord_factor(holes=holes, step=step)


def circle_from_gap(*, gap: float, hole: float, holes: int, step: int = 1) -> float:
    """Bolt circle from the gap between the near edges of two holes.

    Assumptions: both holes of one size, equally spaced circle.

    Args:
        gap: Between the near edges [mm].
        hole: Diameter of the holes [mm].
        holes: Number of holes [-].
        step: 1 for neighbours, 2 for the hole after, n/2 straight across [-].
    Returns:
        Diameter of the circle, (gap + d)/sin(180°·step/n) [mm].
    Raises:
        InputError: a size not above 0, fewer than two holes, or a step that is no hole.
    Source:
        Machinery's Handbook, 31st ed., p.711, lengths of chords; edges by common practice, no source.
    Example:
        >>> round(circle_from_gap(gap=40, hole=10, holes=6), 6)
        100.0
    """
    arguments.above_zero(gap=gap, hole=hole)
    return circle_from_chord(chord=gap + hole, holes=holes, step=step)


def circle_from_span(*, span: float, hole: float, holes: int, step: int = 1) -> float:
    """Bolt circle from the span over the far edges of two holes.

    Assumptions: both holes of one size, equally spaced circle.

    Args:
        span: Over the far edges [mm].
        hole: Diameter of the holes [mm].
        holes: Number of holes [-].
        step: 1 for neighbours, 2 for the hole after, n/2 straight across [-].
    Returns:
        Diameter of the circle, (span − d)/sin(180°·step/n) [mm].
    Raises:
        InputError: a size not above 0, a span not over two holes, fewer than two holes, or a step
        that is no hole.
    Source:
        Machinery's Handbook, 31st ed., p.711, lengths of chords; edges by common practice, no source.
    Example:
        >>> round(circle_from_span(span=60, hole=10, holes=6), 6)
        100.0
    """
    arguments.above_zero(span=span, hole=hole)
    if span <= 2 * hole:
        raise InputError("span", span, f"it must be over two holes, {2 * hole:g}")
    return circle_from_chord(chord=span - hole, holes=holes, step=step)


def widest_clear_angle(*, first: int, second: int) -> float:
    """Largest possible angle between the nearest holes of two equally spaced circles.

    Assumptions: one circle may be turned freely against the other.

    Args:
        first: Holes in the one circle [-].
        second: Holes in the other [-].
    Returns:
        180°/lcm(n₁, n₂) [°].
    Raises:
        InputError: a circle without holes.
    Source:
        Number theory, closed form.
    Example:
        >>> widest_clear_angle(first=6, second=8)
        7.5
    """
    arguments.counted(1, first=first, second=second)
    return 180 / math.lcm(first, second)
