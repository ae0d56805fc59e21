"""Cutting: how fast the spindle turns, and how long the tool is in the cut."""

from __future__ import annotations

import math

from wizard.engine.formulas import arguments


def spindle_speed(*, cutting_m_min: float, diameter: float) -> float:
    """Speed of the spindle at which the rim of a tool, or of the work, runs at a cutting speed.

    Args:
        cutting_m_min: Cutting speed, v; above 0 [m/min].
        diameter: Of the drill, or of the work where it is cut, d; above 0 [mm].
    Returns:
        1000·v/(π·d) [rpm].
    Raises:
        InputError: a speed or diameter not above 0, or not a number.
    Source:
        ISO 3002-1, cutting speed; the definition of circumferential speed.
    Example:
        >>> round(spindle_speed(cutting_m_min=24, diameter=10))
        764
    """
    arguments.above_zero(cutting_m_min=cutting_m_min, diameter=diameter)
    return 1000 * cutting_m_min / (math.pi * diameter)


def cutting_minutes(*, travel: float, feed: float, speed_rpm: float) -> float:
    """Time the tool is in the cut.

    Assumptions: even feed and speed; nothing for approach, return or handling.

    Args:
        travel: Way of the tool through the work, all passes together, L [mm].
        feed: Way of the tool for each turn, f; above 0 [mm].
        speed_rpm: Speed of the spindle, n; above 0 [rpm].
    Returns:
        L/(f·n) [min].
    Raises:
        InputError: a travel below 0, a feed or speed not above 0, or not a number.
    Source:
        Definition of feed for each turn.
    Example:
        >>> round(cutting_minutes(travel=20, feed=0.15, speed_rpm=764), 3)
        0.175
    """
    arguments.not_below_zero(travel=travel)
    arguments.above_zero(feed=feed, speed_rpm=speed_rpm)
    return travel / (feed * speed_rpm)


def drill_travel(*, depth: float, diameter: float) -> float:
    """Way of a drill through a plate: the depth and the height of its point.

    Assumptions: a point of 118°.

    Args:
        depth: Of the hole at its wall [mm].
        diameter: Of the drill [mm].
    Returns:
        depth + d/(2·tan 59°) [mm].
    Raises:
        InputError: a depth below 0, a diameter not above 0, or not a number.
    Source:
        Geometry of the drill's point.
    Example:
        >>> round(drill_travel(depth=20, diameter=10), 2)
        23.0
    """
    arguments.not_below_zero(depth=depth)
    arguments.above_zero(diameter=diameter)
    return depth + diameter / 2 / math.tan(math.radians(59))
