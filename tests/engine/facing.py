"""Hole patterns drawn at random, and the walls between them worked out by a second method.

The program turns patterns by the law of cosines. Here holes are points of the complex plane, turned
by multiplying with exp(iθ). The greatest wall is searched by cutting intervals of turns in half and
dropping those that cannot hold it: a wall changes by no more than the smaller of its two radii per
radian, since d(wall)/dθ = r_i·r_j·sin(δ)/distance. So the search misses nothing.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from kb.model.lineup import Feature, LineUp, Pattern
from kb.rules.loader import rule_set
from wizard.engine.lineup import line_up

Array = NDArray[np.float64]

RULES = rule_set("automatic road car")
NEAR = 1e-6  # mm of wall
Disc = tuple[float, float, float]  # x, y, diameter

sizes = st.one_of(st.sampled_from((10.0, 18.0)), st.floats(4, 30))
steps = st.sampled_from([30.0 * n for n in range(12)])
radii = st.one_of(st.sampled_from((0.0, 120.0, 120.0, 150.0)), st.floats(40, 250))
angles = st.one_of(steps, st.floats(-180, 180))
discs = st.builds(
    lambda r, a, d: (r * math.cos(math.radians(a)), r * math.sin(math.radians(a)), d),
    radii,
    angles,
    sizes,
)


def patterns(*, least: int = 1, most: int = 8) -> st.SearchStrategy[list[Disc]]:
    """Uneven patterns of mixed sizes: holes on one circle, at one place or on the axis come up."""
    return st.lists(discs, min_size=least, max_size=most)


@st.composite
def ranges(draw: st.DrawFn) -> tuple[float, float]:
    """Permitted turns: narrow, a single turn, away from upright, whole turns and wider ones."""
    kind = draw(st.sampled_from(("about", "single", "any", "whole", "wide")))
    if kind == "whole":
        return -180.0, 180.0
    if kind == "wide":
        return -draw(st.floats(180, 500)), draw(st.floats(180, 500))
    low = draw(st.one_of(st.integers(-40, 40).map(float), st.floats(-200, 200)))
    if kind == "single":
        return low, low
    return (-abs(low), abs(low)) if kind == "about" else (low, low + draw(st.floats(0, 120)))


def pattern(side: str, taken: Sequence[Disc], *, ids: Sequence[str] = ()) -> Pattern:
    """A pattern of clear holes, numbered from 1 unless it is given names."""
    named = ids or [str(number + 1) for number in range(len(taken))]
    return Pattern(
        side=side,
        holes=tuple(
            Feature(side=side, id=id, kind="clear", x=x, y=y, keepout=d)
            for id, (x, y, d) in zip(named, taken, strict=True)
        ),
    )


def with_dowels(given: Pattern, taken: Sequence[Disc]) -> Pattern:
    """The same pattern with dowels of those diameters."""
    pins = tuple(
        Feature(side=given.side, id=f"D{n}", kind="dowel", x=x, y=y, keepout=d, diameter=d)
        for n, (x, y, d) in enumerate(taken, start=1)
    )
    return replace(given, dowels=pins)


def circle(*, count: int, diameter: float, start: float = 0.0, disc: float = 10.0) -> list[Disc]:
    """Equally spaced discs."""
    places = [cmath.rect(diameter / 2, math.radians(start + 360 * n / count)) for n in range(count)]
    return [(z.real, z.imag, disc) for z in places]


def turned(taken: Sequence[Disc], angle: float) -> list[Disc]:
    """Discs turned about the axis, anticlockwise [°]."""
    turn = cmath.exp(1j * math.radians(angle))
    moved = [(complex(x, y) * turn, d) for x, y, d in taken]
    return [(z.real, z.imag, d) for z, d in moved]


def mirrored(taken: Sequence[Disc]) -> list[Disc]:
    """Discs as seen from the other side, x → −x."""
    return [(-x, y, d) for x, y, d in taken]


def lined_up(
    fixed: Sequence[Disc],
    other: Sequence[Disc],
    *,
    clocking: tuple[float, float],
    least: float | None = 0.0,
    share: Sequence[tuple[str, str]] = (),
) -> LineUp:
    """The program's line-up of two lists of discs."""
    return line_up(
        pattern("engine", fixed),
        pattern("gearbox", other),
        clocking=clocking,
        family="aluminium",
        rules=RULES,
        least=least,
        share=share,
    )


# ── the second method ───────────────────────────────────────────────────────


def walls_at(fixed: Sequence[Disc], other: Sequence[Disc], turns: Array | float) -> Array:
    """Wall of every pair, shape (turns, fixed, other) [mm]."""
    a, b = np.array(fixed), np.array(other)
    spin = np.exp(1j * np.radians(np.atleast_1d(turns)))[:, None, None]
    there = (b[:, 0] + 1j * b[:, 1])[None, None, :] * spin
    apart = np.abs((a[:, 0] + 1j * a[:, 1])[None, :, None] - there)
    return np.asarray(apart - (a[:, 2, None] + b[None, :, 2]) / 2)


def least_wall(fixed: Sequence[Disc], other: Sequence[Disc], turns: Array | float) -> Array:
    """Smallest wall at each turn [mm]."""
    return np.asarray(walls_at(fixed, other, turns).min(axis=(1, 2)))


def greatest_by_halving(
    fixed: Sequence[Disc], other: Sequence[Disc], *, low: float, high: float
) -> float:
    """The greatest least wall in a range of turns, never more than NEAR / 2 below the true one."""
    high = min(high, low + 360.0)
    if high == low:
        return float(least_wall(fixed, other, low)[0])
    reach = np.hypot(*np.array(fixed)[:, :2].T)[:, None]
    slope = np.radians(np.minimum(reach, np.hypot(*np.array(other)[:, :2].T)[None, :]))
    middles, half = low + (high - low) * (np.arange(64) + 0.5) / 64, (high - low) / 128
    best = float(least_wall(fixed, other, np.array([low, high])).max())
    while len(middles):
        walls = walls_at(fixed, other, middles)
        best = max(best, float(walls.min(axis=(1, 2)).max()))
        could_be = (walls + slope * half).min(axis=(1, 2))
        kept = middles[could_be > best + NEAR / 2]
        half /= 2
        middles = np.concatenate((kept - half, kept + half))
    return best
