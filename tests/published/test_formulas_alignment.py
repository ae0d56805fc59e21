"""Alignment to expect from the way a plate or a stack of turned parts is made.

Source of the model and of its figures for seven ways of making a plate: common practice, no
source (computed once, apart from this program; 95 % TIR in mm, chance of 0.127 mm in per cent).
Second method: the exact law of a sum of random vectors in the plane by its characteristic
function, P(R < r) = r·∫ J₁(r·t)·Φ(t) dt (Kluyver 1906, memory), integrated with SciPy.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad, trapezoid
from scipy.optimize import brentq
from scipy.special import j0, j1

from wizard.engine.formulas import alignment

PROVES = {"alignment.dowel_alignment", "alignment.stacked_offset"}
WAYS = [
    ("tape, scribe and punch", 0.40, 0.25, 0.05, "2.3", 1),
    ("caliper and hand layout", 0.06, 0.20, 0.05, "1.0", 5),
    ("transfer punch and drill press", 0.10, 0.15, 0.05, "0.9", 6),
    ("waterjet holes as cut", 0.05, 0.06, 0.08, "0.41", 25),
    ("mill with readout", 0.02, 0.012, 0.025, "0.12", 96),
    ("measuring machine and bored", 0.006, 0.008, 0.02, "0.06", 100),
    ("bored in place after indicating", 0.008, 0.008, 0.013, "0.06", 100),
]


@pytest.mark.parametrize(("way", "measure", "place", "play", "tir", "percent"), WAYS)
def test_dowels_by_the_way_of_making(
    way: str, measure: float, place: float, play: float, tir: str, percent: float
) -> None:
    worked, chance = alignment.dowel_alignment(
        measure=[measure] * 2, place=[place] * 2, play=[play] * 2, limit=0.127
    )
    last_digit = 0.5 * 10 ** -len(tir.partition(".")[2])
    assert worked == pytest.approx(float(tir), abs=last_digit), way
    assert 100 * chance == pytest.approx(percent, abs=0.7), way  # the figures were sampled as well


def exact_tir_chance(*, measure: float, place: float, play: float, limit: float) -> float:
    """Chance of keeping a TIR: two patterns of two dowels, two joints, without drawing lots."""
    spread = math.hypot(measure, place)  # (1/√2 for two dowels) · (√2 for two patterns)
    edge = play / 2

    def disc(t: np.ndarray) -> np.ndarray:
        with np.errstate(invalid="ignore"):
            return np.where(t > 0, 2 * j1(edge * t) / (edge * t), 1.0)

    t = np.linspace(0, 9 / spread, 200_001)
    law = np.exp(-((spread * t) ** 2) / 2) * disc(t) ** 2
    return float(limit / 2 * trapezoid(j1(limit / 2 * t) * law, t))


@pytest.mark.parametrize(("way", "measure", "place", "play", "tir", "percent"), WAYS)
def test_dowels_against_the_exact_law(
    way: str, measure: float, place: float, play: float, tir: str, percent: float
) -> None:
    size = {"measure": measure, "place": place, "play": play}
    worked, chance = alignment.dowel_alignment(
        measure=[measure] * 2, place=[place] * 2, play=[play] * 2, limit=0.127
    )
    exact = exact_tir_chance(**size, limit=0.127)
    error = math.sqrt(max(exact * (1 - exact), 1e-6) / alignment.DRAWS)
    assert chance == pytest.approx(exact, abs=4 * error), (way, percent)
    assert exact_tir_chance(**size, limit=worked) == pytest.approx(0.95, abs=0.002), tir


def test_patterns_of_unlike_care() -> None:
    """Normal errors alone: TIR at 95 % is 2·√(−2·ln 0.05) of the standard deviation (Rayleigh)."""
    worked, chance = alignment.dowel_alignment(
        measure=[0.02, 0.10], place=[0.01, 0.15], play=[0.0, 0.0], limit=0.3, dowels=3
    )
    spread = math.sqrt((0.02**2 + 0.01**2 + 0.10**2 + 0.15**2) / 3)
    assert worked == pytest.approx(2 * spread * math.sqrt(-2 * math.log(0.05)), rel=0.01)
    assert chance == pytest.approx(1 - math.exp(-((0.15 / spread) ** 2) / 2), abs=0.005)


def test_play_alone_is_spread_evenly_over_its_disc() -> None:
    """One joint: the share within r is (r/R)²; TIR at 95 % is the play times √0.95."""
    worked, chance = alignment.dowel_alignment(measure=[0.0], place=[0.0], play=[0.2], limit=0.1)
    assert worked == pytest.approx(0.2 * math.sqrt(0.95), rel=2e-3)
    assert chance == pytest.approx(0.25, abs=0.004)


# ── vectors of known size and any direction ─────────────────────────────────


def test_two_offsets_in_closed_form() -> None:
    """|a + b|² = a² + b² + 2ab·cos θ, θ even over a half turn: θ at 5 % from standing in line."""
    a, b = 0.03, 0.02
    exact = math.sqrt(a**2 + b**2 + 2 * a * b * math.cos(0.05 * math.pi))
    assert alignment.stacked_offset(offsets=[a, b]) == pytest.approx(exact, rel=5e-4)


@pytest.mark.parametrize(
    "sizes", [[0.02, 0.01, 0.015], [0.02, 0.02, 0.02, 0.02], [0.05, 0.004, 0.004, 0.01, 0.013]]
)
def test_more_offsets_by_the_law_of_random_vectors(sizes: list[float]) -> None:
    longest, scale = sum(sizes), max(sizes)

    def within(r: float) -> float:
        # r·∫ J₁(r·t)·Π J₀(a·t) dt, tapered far out where it swings about nought
        def swing(t: float) -> float:
            taper = math.exp(-((t / 4000) ** 2))
            return float(j1(r / scale * t) * np.prod([j0(a / scale * t) for a in sizes])) * taper

        steps = np.linspace(0, 400, 400)
        parts = [quad(swing, lo, hi)[0] for lo, hi in pairwise(steps)]
        return r / scale * sum(parts)

    exact = brentq(lambda r: within(r) - 0.95, 0.5 * longest, 0.9999 * longest, xtol=1e-6)
    assert alignment.stacked_offset(offsets=sizes) == pytest.approx(exact, rel=3e-3)


def test_many_small_offsets_come_to_rayleigh() -> None:
    """By the central limit theorem: √(−ln 0.05 · Σ a²)."""
    offset = alignment.stacked_offset(offsets=[0.01] * 60, draws=50_000)
    assert offset == pytest.approx(math.sqrt(-math.log(0.05) * 60 * 0.01**2), rel=0.015)


def test_nothing_adds_up_to_nothing() -> None:
    assert alignment.stacked_offset(offsets=[0.0, 0.0]) == 0.0
    assert alignment.stacked_offset(offsets=[0.0, 0.03]) == 0.03
