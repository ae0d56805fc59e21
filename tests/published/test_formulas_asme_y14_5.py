"""Clear holes and who locates.

Sources: ASME Y14.5-2009, nonmandatory appendix B, floating and fixed fasteners (memory, with its
example of a 6 mm fastener in a 6.44 mm hole: 0.44 floating, 0.22 each fixed). The play of the
register is not in the standard: it is checked by a second method, placing every part at its
worst; chances against the Rayleigh and noncentral χ² laws of SciPy.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import ncx2, rayleigh

from wizard.engine.formulas import fastening

PROVES = {
    "fastening.position_zone",
    "fastening.least_hole_through",
    "fastening.least_hole_tapped",
    "fastening.most_play_through",
    "fastening.most_play_tapped",
    "fastening.chance_screws_enter",
}
CASES = [(10.0, 0.3, 0.5, 0.0), (10.0, 0.5, 0.5, 0.12), (6.35, 0.2, 0.76, 0.05), (12.0, 0, 0, 0.08)]


def test_example_of_the_standard() -> None:
    assert fastening.least_hole_through(
        screw=6, first_zone=0.44, second_zone=0.44
    ) == pytest.approx(6.44)
    assert fastening.least_hole_tapped(screw=6, first_zone=0.22, second_zone=0.22) == pytest.approx(
        6.44
    )


def test_example_of_the_standard_solved_for_the_zone() -> None:
    """What the zones leave for the register is nought in both."""
    size = {"hole": 6.44, "screw": 6.0}
    floating = fastening.most_play_through(**size, first_zone=0.44, second_zone=0.44)
    fixed = fastening.most_play_tapped(**size, first_zone=0.22, second_zone=0.22)
    assert floating == pytest.approx(0, abs=1e-12)
    assert fixed == pytest.approx(0, abs=1e-12)


def furthest_apart(first_zone: float, second_zone: float, play: float) -> float:
    """Greatest distance between the two centres of one screw, by placing all at their edges."""
    turns = np.radians(np.arange(0, 360, 15))
    edges = [
        [diameter / 2 * complex(math.cos(t), math.sin(t)) for t in turns]
        for diameter in (first_zone, second_zone, play)
    ]
    return max(abs(a + b + c) for a, b, c in itertools.product(*edges))


@pytest.mark.parametrize(("screw", "first", "second", "play"), CASES)
def test_screw_just_enters_at_the_worst_place(
    screw: float, first: float, second: float, play: float
) -> None:
    """Two discs of diameter H whose centres lie d apart leave a circle H − d; a tapped hole H − 2d."""
    apart = furthest_apart(first, second, play)
    size = {"screw": screw, "first_zone": first, "second_zone": second, "play": play}
    assert fastening.least_hole_through(**size) - apart == pytest.approx(screw, rel=1e-12)
    assert fastening.least_hole_tapped(**size) - 2 * apart == pytest.approx(screw, rel=1e-12)


@pytest.mark.parametrize(("screw", "first", "second", "play"), CASES)
def test_play_allowed_is_the_play_the_hole_was_made_for(
    screw: float, first: float, second: float, play: float
) -> None:
    zones = {"screw": screw, "first_zone": first, "second_zone": second}
    through = fastening.least_hole_through(**zones, play=play)
    tapped = fastening.least_hole_tapped(**zones, play=play)
    assert fastening.most_play_through(hole=through, **zones) == pytest.approx(play, abs=1e-9)
    assert fastening.most_play_tapped(hole=tapped, **zones) == pytest.approx(play, abs=1e-9)


def test_zone_is_twice_the_radius_of_error() -> None:
    """Every point within the error of the true place lies in a zone of that diameter (definition)."""
    assert fastening.position_zone(error=0.38) == 0.76


@pytest.mark.parametrize(
    ("screws", "room", "spread"), [(1, 0.3, 0.2), (6, 0.4, 0.2), (12, 0.5, 0.18), (6, 0.2, 0.2)]
)
def test_chance_without_play_is_rayleighs(screws: int, room: float, spread: float) -> None:
    """Exactly with none, and as drawn with next to none."""
    exact = float(rayleigh.cdf(room, scale=spread)) ** screws
    pattern = {"screws": screws, "room": room, "spread": spread}
    assert fastening.chance_screws_enter(**pattern) == pytest.approx(exact, rel=1e-12)
    drawn = fastening.chance_screws_enter(**pattern, play=1e-9)
    assert drawn == pytest.approx(exact, abs=4 * math.sqrt(exact * (1 - exact) / 100_000))


def chance_by_integration(*, screws: int, room: float, spread: float, play: float) -> float:
    """For each place in the play distances follow a noncentral χ² law; then averaged over the disc."""

    def at(shift: float) -> float:
        one = ncx2.cdf((room / spread) ** 2, df=2, nc=(shift / spread) ** 2)
        return float(one**screws * 2 * shift / (play / 2) ** 2)

    chance, _ = quad(at, 0, play / 2)
    return float(chance)


@pytest.mark.parametrize(
    ("screws", "room", "spread", "play"), [(6, 0.4, 0.15, 0.3), (4, 0.3, 0.1, 0.4)]
)
def test_chance_with_play(screws: int, room: float, spread: float, play: float) -> None:
    pattern = {"screws": screws, "room": room, "spread": spread, "play": play}
    exact = chance_by_integration(**pattern)
    drawn = fastening.chance_screws_enter(**pattern)
    assert drawn == pytest.approx(exact, abs=4 * math.sqrt(exact * (1 - exact) / 100_000))


def test_chance_repeats_and_does_not_hang_on_the_batches() -> None:
    many = {"screws": 60, "room": 0.5, "spread": 0.15, "play": 0.1}
    exact = chance_by_integration(**many)
    drawn = fastening.chance_screws_enter(**many, draws=150_000, seed=3)
    assert drawn == fastening.chance_screws_enter(**many, draws=150_000, seed=3)
    assert drawn != fastening.chance_screws_enter(**many, draws=150_000, seed=4)
    assert drawn == pytest.approx(exact, abs=4 * math.sqrt(exact * (1 - exact) / 150_000))


def test_holes_without_error_go_in_as_far_as_the_play_lets_them() -> None:
    """Nothing but play: all go in while the shift is within the room, (room over half the play)²."""
    drawn = fastening.chance_screws_enter(screws=6, room=0.1, spread=0.0, play=0.4)
    assert drawn == pytest.approx(0.25, abs=4 * math.sqrt(0.25 * 0.75 / 100_000))
    assert fastening.chance_screws_enter(screws=6, room=0.1, spread=0.0) == 1.0
