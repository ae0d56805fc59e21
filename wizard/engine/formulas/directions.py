"""Directions round a turn: where they lie together, how strongly, and whether that is chance.

Angles are of any one convention; directions come back in the same one.
"""

from __future__ import annotations

import math

import numpy as np

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Row

_SAMPLES = 20_000
_ALIKE = 1e-12  # of a strength: nearer to 1 than this all directions are one


def mean_direction(*, angles: Row) -> tuple[float, float]:
    """Strength with which directions lie together, and the direction they lie in.

    Args:
        angles: Directions, in one convention throughout [°].
    Returns:
        Length of the mean of the unit vectors, 0 … 1 [-], and its direction, 0 … 360 [°].
    Raises:
        InputError: no angle, or not numbers.
    Source:
        Mardia & Jupp, Directional Statistics (2000), 2.2, mean direction and mean resultant
        length (from memory).
    Example:
        >>> strength, toward = mean_direction(angles=[350, 0, 10])
        >>> round(strength, 4), round(toward, 6)
        (0.9899, 0.0)
    """
    turn = np.exp(1j * np.radians(arguments.row("angles", angles)))
    mean = complex(turn.mean())
    toward = math.degrees(math.atan2(mean.imag, mean.real)) % 360
    return min(abs(mean), 1.0), toward if toward < 360 else 0.0


def chance_of_strength(*, strength: float, readings: int) -> float:
    """Chance that directions without any preference lie together so strongly, or more.

    It is exact for any number of readings: series in the strength go wrong for few of them.
    Assumptions: every direction as likely as any other, the readings independent.

    Args:
        strength: Length of the mean of the unit vectors, 0 … 1 [-].
        readings: How many directions were read [-].
    Returns:
        P(R ≥ n·strength) for a walk of n unit steps in random directions [-].
    Raises:
        InputError: a strength outside 0 … 1, or no reading.
    Source:
        Kluyver, Proc. KNAW 8 (1906), p.341: P(R < r) = r·∫J₁(rt)·J₀(t)ⁿ dt (from memory), the
        path of integration moved past the pole at 0, so that no small figure is a difference
        of large ones.
    Example:
        >>> round(chance_of_strength(strength=0.6022, readings=8), 3)
        0.05
    """
    arguments.between((0, 1), strength=strength)
    arguments.counted(1, readings=readings)
    if readings == 1 or strength < _ALIKE:
        return 1.0
    if strength > 1 - _ALIKE:
        return 0.0
    if readings == 2:
        return 2 / math.pi * math.acos(strength)
    return min(max(_walks_beyond(strength, readings), 0.0), 1.0)


def _walks_beyond(strength: float, readings: int) -> float:
    """−r·Re ∫H₁(rt)·J₀(t)ⁿ dt along a level line above the real axis, by the trapezoid rule."""
    from scipy.special import erfc, hankel1e, jve

    reach = strength * readings
    # near the saddle; any height gives the same integral (Banerjee et al. 2005, from memory)
    height = max(strength * (2 - strength**2) / (1 - strength**2), math.sqrt(2 / readings))
    step = min(height / 8, math.pi / (4 * readings) * max(1.0, height / 10))
    along = step * np.arange(_SAMPLES)
    path = along + 1j * height
    steps = (jve(0, path) * math.exp(height * (1 - strength))) ** readings
    waves = (hankel1e(1, reach * path) * np.exp(1j * reach * along) * steps).real
    waves *= erfc(20 * (along / along[-1] - 0.75)) / 2  # lets the last, even waves die away
    waves[0] /= 2
    return -reach * step * float(waves.sum())


def direction_within(*, angles: Row) -> float:
    """How far off the mean direction may be.

    Assumptions: the readings scatter alike to either side; they are independent. With few or
    widely scattered readings it is a little narrow (92 % at eight readings spread over half a
    turn, by sampling).

    Args:
        angles: Directions, in one convention throughout [°].
    Returns:
        Half-width that holds the true direction with 95 %; 180 when nothing is known of it [°].
    Raises:
        InputError: no angle, or not numbers.
    Source:
        Student's interval for the mean of the parts at right angles to the mean direction; after
        Fisher, Statistical Analysis of Circular Data (1993), 4.4.4 (from memory).
    Example:
        >>> round(direction_within(angles=[80, 90, 100, 85, 95, 92, 88, 90]), 1)
        5.1
    """
    from scipy.special import stdtrit

    strength, toward = mean_direction(angles=angles)
    turn = np.radians(arguments.row("angles", angles) - toward)
    if len(turn) < 2 or strength < _ALIKE:
        return 180.0
    scatter = math.sqrt(float(np.sum(np.sin(turn) ** 2)) / (len(turn) - 1))
    sine = float(stdtrit(len(turn) - 1, 0.975)) * scatter / (math.sqrt(len(turn)) * strength)
    return math.degrees(math.asin(sine)) if sine < 1 else 180.0
