"""Directions round a turn: their mean, its strength, and whether chance alone would do it.

Sources: critical strengths of the test of no preference (Rayleigh), exact by the random-walk
integral worked out apart from this program, beside two printed tables that are rounded or off at
few readings; the eight and ten angles of two textbook examples (Zar, Biostatistical Analysis,
n = 8 and a classic ten, both from memory); sampling, as a second method.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.errors import InputError
from tests.published.printed import printed
from wizard.engine.formulas import directions

PROVES = {
    "directions.mean_direction",
    "directions.chance_of_strength",
    "directions.direction_within",
}
EIGHT = [45, 55, 81, 96, 110, 117, 132, 154]
TEN = [66, 75, 86, 88, 88, 93, 97, 101, 118, 130]


def named(row: dict[str, str]) -> str:
    return f"{row['readings']} at {row['alpha']}"


@pytest.mark.parametrize("row", printed("rayleigh_critical"), ids=named)
def test_chance_of_the_exact_critical_strength(row: dict[str, str]) -> None:
    """At the critical strength the chance is the level; four printed figures carry it that far."""
    level, strength = float(row["alpha"]), float(row["strength_exact"])
    found = directions.chance_of_strength(strength=strength, readings=int(row["readings"]))
    assert found == pytest.approx(level, rel=2e-3)


@pytest.mark.parametrize(
    "row", [r for r in printed("rayleigh_critical") if int(r["readings"]) > 5], ids=named
)
def test_chance_of_the_printed_critical_strength(row: dict[str, str]) -> None:
    """The table has three figures; at five readings it is off and is left out."""
    level, strength = float(row["alpha"]), float(row["strength_table"])
    found = directions.chance_of_strength(strength=strength, readings=int(row["readings"]))
    assert found == pytest.approx(level, rel=0.025)


@pytest.mark.parametrize("row", printed("rayleigh_critical"), ids=named)
def test_z_is_readings_by_strength_squared(row: dict[str, str]) -> None:
    """z = n·R²: the exact columns of one table agree with each other."""
    readings, z = int(row["readings"]), float(row["z_exact"])
    strength = math.sqrt(z / readings)
    found = directions.chance_of_strength(strength=strength, readings=readings)
    assert found == pytest.approx(float(row["alpha"]), rel=5e-3)


@pytest.mark.parametrize(
    ("angles", "strength", "toward"), [(EIGHT, 0.82522, 98.99), (TEN, 0.95214, None)]
)
def test_mean_direction_of_textbook_examples(
    angles: list[float], strength: float, toward: float | None
) -> None:
    found, direction = directions.mean_direction(angles=angles)
    assert found == pytest.approx(strength, abs=5e-6)
    if toward is not None:
        assert direction == pytest.approx(toward, abs=0.005)


def test_few_strong_readings_have_a_small_chance_never_below_nought() -> None:
    """Ten angles within 64°: series in the strength give a negative chance there."""
    strength, _ = directions.mean_direction(angles=TEN)
    chance = directions.chance_of_strength(strength=strength, readings=len(TEN))
    assert 0 < chance < 1e-4


@pytest.mark.parametrize(
    ("readings", "strength"), [(3, 0.8), (4, 0.7), (6, 0.6), (8, 0.5), (12, 0.3)]
)
def test_chance_against_sampled_directions(readings: int, strength: float) -> None:
    random = np.random.default_rng(11)
    turns = np.exp(2j * np.pi * random.random((400_000, readings)))
    sampled = float(np.mean(np.abs(turns.mean(axis=1)) >= strength))
    found = directions.chance_of_strength(strength=strength, readings=readings)
    assert found == pytest.approx(sampled, abs=4 * math.sqrt(sampled * (1 - sampled) / 400_000))


def test_ends_are_exact() -> None:
    """Evenly spread directions lean nowhere; two at a right angle are as strong in half of all pairs."""
    even, _ = directions.mean_direction(angles=[0, 90, 180, 270])
    assert even == pytest.approx(0, abs=1e-12)
    assert directions.chance_of_strength(strength=0, readings=6) == 1
    assert directions.chance_of_strength(strength=1, readings=6) == 0
    assert directions.chance_of_strength(strength=math.sqrt(0.5), readings=2) == pytest.approx(0.5)


@pytest.mark.parametrize("spread", [5, 15, 25])
def test_width_holds_the_true_direction_nineteen_times_in_twenty(spread: float) -> None:
    random = np.random.default_rng(5)
    held = 0
    for angles in random.normal(200, spread, (2_000, 8)):
        _, toward = directions.mean_direction(angles=angles.tolist())
        off = abs((toward - 200 + 180) % 360 - 180)
        held += off <= directions.direction_within(angles=angles.tolist())
    assert held / 2_000 == pytest.approx(0.95, abs=0.02)


@pytest.mark.parametrize("strength", [-0.01, 1.01, math.nan])
def test_a_strength_beyond_one_is_refused(strength: float) -> None:
    with pytest.raises(InputError, match="strength"):
        directions.chance_of_strength(strength=strength, readings=8)
