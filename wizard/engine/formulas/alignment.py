"""What alignment to expect before anything is made: dowels of a plate, a stack of turned parts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Row

DRAWS = 200_000
SHARE = 0.95


def dowel_alignment(
    *,
    measure: Row,
    place: Row,
    play: Row,
    limit: float,
    dowels: int = 2,
    draws: int = DRAWS,
    seed: int = 0,
) -> tuple[float, float]:
    """Runout to expect at the housing register when dowels alone locate the plate.

    Assumptions: per pattern the measuring and the placing of each dowel err normally and alike
    in x and y, and the pattern sits at the mean of its dowels; at each joint the pins sit anywhere
    in their play, as likely in one place as another. What the castings are out by themselves is
    extra.

    Args:
        measure: For each dowel pattern, standard deviation per axis of measuring one dowel [mm].
        place: For each dowel pattern, standard deviation per axis of placing one dowel [mm].
        play: For each joint, diametral play of a pin in its hole [mm].
        limit: TIR allowed [mm].
        dowels: Dowels in a pattern [-].
        draws: How many assemblies are tried [-].
        seed: Seed of the random numbers, so that the answer repeats [-].
    Returns:
        TIR that 95 % of assemblies keep [mm], and the chance of keeping the limit [-].
    Raises:
        InputError: rows of unequal length, a negative size, or no dowel or draw.
    Source:
        Sampling of a model that is common practice, no source.
    Example:
        >>> tir, chance = dowel_alignment(measure=[0.02, 0.02], place=[0.012, 0.012],
        ...                               play=[0.025, 0.025], limit=0.127)
        >>> round(tir, 2), round(chance, 2)
        (0.12, 0.96)
    """
    measuring = arguments.row("measure", measure)
    placing = arguments.row("place", place)
    plays = arguments.row("play", play)
    arguments.same_length(measure=measuring, place=placing)
    arguments.not_below_zero(measure=measuring, place=placing, play=plays, limit=limit)
    arguments.counted(1, dowels=dowels)
    arguments.sampling(draws=draws, seed=seed)
    random = np.random.default_rng(seed)
    spread = float(np.hypot(measuring, placing) @ np.hypot(measuring, placing)) / dowels
    offset = random.normal(0.0, np.sqrt(spread), (draws, 2))  # normal errors add as squares
    for gap in plays:
        offset += _within_disc(random, count=draws, diameter=float(gap))
    tir = 2 * np.hypot(offset[:, 0], offset[:, 1])
    return float(np.quantile(tir, SHARE)), float((tir <= limit).mean())


def _within_disc(
    random: np.random.Generator, *, count: int, diameter: float
) -> NDArray[np.float64]:
    """Points spread evenly over a disc about nought, shape (count, 2)."""
    radius = diameter / 2 * np.sqrt(random.random(count))
    angle = 2 * np.pi * random.random(count)
    return np.column_stack((radius * np.cos(angle), radius * np.sin(angle)))


def stacked_offset(
    *, offsets: Row, share: float = SHARE, draws: int = DRAWS, seed: int = 0
) -> float:
    """Offset of axis to expect where several offsets add up in directions nobody chose.

    Assumptions: each offset has its full size and any direction, independent of the others.

    Args:
        offsets: Offset of axis of each: half a register's TIR, half the play of a fit, the making,
            a tilt times the distance to the hub [mm].
        share: Share of assemblies that shall keep the answer, at most 0.9999 [-].
        draws: How many assemblies are tried [-].
        seed: Seed of the random numbers, so that the answer repeats [-].
    Returns:
        Offset of axis, half the TIR, that this share keeps [mm].
    Raises:
        InputError: a negative offset, a share outside 0 … 0.9999, or no draw.
    Source:
        Random walk in the plane, by sampling; the model is common practice, no source.
    Example:
        >>> stacked_offset(offsets=[0.02])
        0.02
    """
    sizes = arguments.row("offsets", offsets)
    arguments.not_below_zero(offsets=sizes)
    arguments.between((0, 0.9999), share=share)
    arguments.sampling(draws=draws, seed=seed)
    sizes = sizes[sizes > 0]
    if not sizes.size:
        return 0.0
    random = np.random.default_rng(seed)
    total = np.full(draws, sizes[0], dtype=np.complex128)  # turn all by the first's direction
    for size in sizes[1:]:
        total += size * np.exp(2j * np.pi * random.random(draws))
    return float(np.quantile(np.abs(total), share))
