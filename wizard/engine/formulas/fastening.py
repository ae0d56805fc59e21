"""Clear holes: how large for the register to locate, and whether the screws will go in."""

from __future__ import annotations

import math

import numpy as np

from wizard.engine.formulas import arguments

DRAWS = 100_000
_BATCH = 4_000_000  # random numbers held at once


def position_zone(*, error: float) -> float:
    """Diameter of the zone in which a hole's centre lands.

    Args:
        error: Radius within which the layout puts a hole [mm].
    Returns:
        T = 2·e [mm].
    Raises:
        InputError: a negative error.
    Source:
        ASME Y14.5-2009, position tolerance zone.
    Example:
        >>> position_zone(error=0.25)
        0.5
    """
    arguments.not_below_zero(error=error)
    return 2 * error


def _sizes(*, screw: float, first_zone: float, second_zone: float) -> None:
    arguments.above_zero(screw=screw)
    arguments.not_below_zero(first_zone=first_zone, second_zone=second_zone)


def least_hole_through(
    *, screw: float, first_zone: float, second_zone: float, play: float = 0.0
) -> float:
    """Least clear hole when both parts have clear holes, so that no screw locates the joint.

    Assumptions: holes of one size in both parts, square to the face; a register (or dowels) that
    may sit anywhere in its play.

    Args:
        screw: Largest screw, F [mm].
        first_zone: Position zone of the one pattern, T₁, a diameter [mm].
        second_zone: Position zone of the other pattern, T₂, a diameter [mm].
        play: Largest diametral play of the register, c [mm].
    Returns:
        H = F + (T₁ + T₂ + c)/2 [mm].
    Raises:
        InputError: a screw not above 0, or a negative zone or play.
    Source:
        ASME Y14.5-2009, nonmandatory appendix B, floating fastener (play and unequal zones added).
    Example:
        >>> round(least_hole_through(screw=6, first_zone=0.44, second_zone=0.44), 2)
        6.44
    """
    _sizes(screw=screw, first_zone=first_zone, second_zone=second_zone)
    arguments.not_below_zero(play=play)
    return screw + (first_zone + second_zone + play) / 2


def least_hole_tapped(
    *, screw: float, first_zone: float, second_zone: float, play: float = 0.0
) -> float:
    """Least clear hole when the other part is tapped, so that no screw locates the joint.

    Assumptions: threads square to the face; a register (or dowels) that may sit anywhere in its
    play.

    Args:
        screw: Largest screw, F [mm].
        first_zone: Position zone of the clear holes, T₁, a diameter [mm].
        second_zone: Position zone of the tapped holes, T₂, a diameter [mm].
        play: Largest diametral play of the register, c [mm].
    Returns:
        H = F + T₁ + T₂ + c [mm].
    Raises:
        InputError: a screw not above 0, or a negative zone or play.
    Source:
        ASME Y14.5-2009, nonmandatory appendix B, fixed fastener (play added).
    Example:
        >>> round(least_hole_tapped(screw=6, first_zone=0.22, second_zone=0.22), 2)
        6.44
    """
    _sizes(screw=screw, first_zone=first_zone, second_zone=second_zone)
    arguments.not_below_zero(play=play)
    return screw + first_zone + second_zone + play


def most_play_through(*, hole: float, screw: float, first_zone: float, second_zone: float) -> float:
    """Largest play of the register at which it, not a screw, still locates: clear holes in both.

    Assumptions: as `least_hole_through`.

    Args:
        hole: Smallest clear hole, H [mm].
        screw: Largest screw, F [mm].
        first_zone: Position zone of the one pattern, T₁, a diameter [mm].
        second_zone: Position zone of the other pattern, T₂, a diameter [mm].
    Returns:
        c = 2·(H − F) − T₁ − T₂; below 0 the screws locate even without play [mm].
    Raises:
        InputError: a size not above 0, a negative zone, or a hole smaller than the screw.
    Source:
        ASME Y14.5-2009, nonmandatory appendix B, floating fastener, solved for the play.
    Example:
        >>> round(most_play_through(hole=11, screw=10, first_zone=0.6, second_zone=0.8), 3)
        0.6
    """
    _sizes(screw=screw, first_zone=first_zone, second_zone=second_zone)
    arguments.ascending(screw=screw, hole=hole)
    return 2 * (hole - screw) - first_zone - second_zone


def most_play_tapped(*, hole: float, screw: float, first_zone: float, second_zone: float) -> float:
    """Largest play of the register at which it, not a screw, still locates: one part tapped.

    Assumptions: as `least_hole_tapped`.

    Args:
        hole: Smallest clear hole, H [mm].
        screw: Largest screw, F [mm].
        first_zone: Position zone of the clear holes, T₁, a diameter [mm].
        second_zone: Position zone of the tapped holes, T₂, a diameter [mm].
    Returns:
        c = H − F − T₁ − T₂; below 0 the screws locate even without play [mm].
    Raises:
        InputError: a size not above 0, a negative zone, or a hole smaller than the screw.
    Source:
        ASME Y14.5-2009, nonmandatory appendix B, fixed fastener, solved for the play.
    Example:
        >>> round(most_play_tapped(hole=11, screw=10, first_zone=0.3, second_zone=0.4), 3)
        0.3
    """
    _sizes(screw=screw, first_zone=first_zone, second_zone=second_zone)
    arguments.ascending(screw=screw, hole=hole)
    return hole - screw - first_zone - second_zone


def chance_screws_enter(
    *,
    screws: int,
    room: float,
    spread: float,
    play: float = 0.0,
    draws: int = DRAWS,
    seed: int = 0,
) -> float:
    """Chance that every screw of a pattern goes in while the register locates the parts.

    Assumptions: hole errors normal, alike in x and y, independent from hole to hole; the register
    sits anywhere in its play, as likely in one place as another, and is not coaxed.

    Args:
        screws: Number of screws [-].
        room: How far one screw's two centres may lie apart: (H − F)/2 if tapped, H − F if clear
            holes in both [mm].
        spread: Standard deviation per axis of one pattern's hole against the other's [mm].
        play: Largest diametral play of the register [mm].
        draws: How many assemblies are tried [-].
        seed: Seed of the random numbers, so that the answer repeats [-].
    Returns:
        Share of the assemblies in which all screws enter [-].
    Raises:
        InputError: no screw or draw, a negative size, or a room not above 0.
    Source:
        Sampling; without play exactly (1 − exp(−room²/(2·σ²)))ⁿ, the Rayleigh distribution.
    Example:
        >>> chance_screws_enter(screws=6, room=0.5, spread=0.01)
        1.0
    """
    arguments.counted(1, screws=screws)
    arguments.sampling(draws=draws, seed=seed)
    arguments.above_zero(room=room)
    arguments.not_below_zero(spread=spread, play=play)
    if play == 0 and spread > 0:
        ratio = room / spread
        return float((-math.expm1(-ratio * ratio / 2)) ** screws)
    random = np.random.default_rng(seed)
    batch = max(1, _BATCH // (2 * screws))
    enter = 0
    for start in range(0, draws, batch):
        count = min(batch, draws - start)
        shift = play / 2 * np.sqrt(random.random(count))
        apart = random.normal(0.0, spread, (count, screws, 2))
        apart[:, :, 0] += shift[:, None]  # the direction of the shift is any, hence x
        enter += int((np.hypot(apart[..., 0], apart[..., 1]).max(axis=1) <= room).sum())
    return enter / draws
