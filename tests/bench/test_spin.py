"""Spin tests: a heavy side, or chance.

Sources: critical strengths of the test of no preference, exact by the random-walk integral worked
out apart from this program (tests/published/data/rayleigh_critical.csv); the power by throwing
stops anew; unbalance, ISO 21940-11:2016; the rest common practice, no source. Stops are invented.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.errors import InputError
from kb.standards.materials import material
from wizard.bench.correction import by_clay, by_swing, disc_inertia, drill_away
from wizard.bench.spin import Part, spin

LEANING = [10, 350, 25, 5, 340, 15, 20, 0]


def test_a_heavy_side_is_found_and_its_light_side_opposite() -> None:
    found = spin(LEANING)
    assert found.verdict == "heavy side"
    assert found.heavy_at == pytest.approx(5.6, abs=1)
    assert found.light_at == pytest.approx((found.heavy_at or 0) + 180)
    assert found.p < 1e-3
    assert found.count == 8


def test_even_stops_prefer_nothing_and_that_is_not_balance() -> None:
    found = spin([0, 45, 90, 135, 180, 225, 270, 315])
    assert found.verdict == "no preferred stop"
    assert found.heavy_at is None
    assert found.p == pytest.approx(1.0)
    assert any("not that it is in balance" in line for line in found.says)


@pytest.mark.parametrize(("spread", "rare"), [(55, True), (140, False)])
def test_the_verdict_turns_at_one_in_twenty(spread: float, rare: bool) -> None:
    """Eight stops evenly over an arc: their strength is a sum of cosines; 0.602 is the limit."""
    stops = np.linspace(-spread, spread, 8)
    strength = float(np.cos(np.radians(stops)).mean())
    found = spin(stops.tolist())
    assert found.strength == pytest.approx(strength)
    assert (found.p < 0.05) == rare == (strength > 0.6022)


def test_few_stops_say_so() -> None:
    found = spin([0, 100, 200])
    assert found.verdict == "too few stops"


def test_two_ways_that_disagree_are_friction() -> None:
    found = spin([0, 5, 355, 3], other_way=[90, 95, 85, 93])
    assert found.verdict == "the two ways disagree"
    assert found.ways_apart == pytest.approx(90, abs=2)
    assert found.heavy_at is None


def test_power_says_how_often_an_unbalanced_part_passes() -> None:
    """Off by half as much again as friction holds: stops anywhere in ±41.8°, thrown anew."""
    found = spin(LEANING)
    (half,) = [one for one in found.missed if one.of == "friction" and one.offset == pytest.approx(0.03)]  # fmt: skip
    random = np.random.default_rng(1)
    reach = math.degrees(math.asin(1 / 1.5))
    thrown = np.exp(1j * np.radians(random.uniform(-reach, reach, (50_000, 8))))
    assert half.passes == pytest.approx(
        float((np.abs(thrown.mean(axis=1)) < 0.6022).mean()), abs=0.01
    )
    (least,) = [one for one in found.missed if one.of == "friction" and one.offset == pytest.approx(0.02)]  # fmt: skip
    assert least.passes > half.passes


def test_a_run_up_shows_a_share_of_the_force() -> None:
    """(1500/4000)² is 14 %."""
    found = spin(LEANING, part=Part(speed_rpm=4000, run_up_rpm=1500, chuck_rpm=2000, mass_kg=3))
    assert found.part.share_shown == pytest.approx(0.140625)
    assert any("14 %" in line for line in found.says)


def test_never_beyond_what_holds_it() -> None:
    with pytest.raises(InputError, match="run-up"):
        spin(LEANING, part=Part(run_up_rpm=2500, chuck_rpm=2000))


@pytest.mark.parametrize(
    ("part", "word"),
    [(Part(mass_kg=6), "heavier"), (Part(speed_rpm=5000), "faster"), (Part(diameter=300), "wider"),
     (Part(length=120, diameter=200), "two planes"), (Part(external=True), "externally"),
     (Part(assembled=True), "pieces"), (Part(mass_kg=4, speed_rpm=4000), "friction hides")],
)  # fmt: skip
def test_when_it_belongs_on_a_machine(part: Part, word: str) -> None:
    assert any(word in reason for reason in spin(LEANING, part=part).send_out)


@pytest.mark.parametrize("stops", [[], [1, 2], [0, 10, 1000], [0, 1, math.nan]])
def test_no_test_is_refused(stops: list[float]) -> None:
    with pytest.raises(InputError, match="stops"):
        spin(stops)


# ── sized and drilled away ──────────────────────────────────────────────────


def test_clay_is_mass_times_radius() -> None:
    assert by_clay(mass_g=2.4, radius=70).unbalance_gmm == pytest.approx(168)


def test_a_swing_is_a_pendulum() -> None:
    """T = 2π·√(I/(U·g)): a 4 kg ring of 180 over 60 that swings in 12 s."""
    inertia = 4 / 8 * (180**2 + 60**2)
    assert disc_inertia(mass_kg=4, bore=60, outside=180) == pytest.approx(inertia)
    pull = 4 * math.pi**2 * inertia / (9806.65 * 12**2) * 1000
    assert by_swing(period_s=12, inertia_kg_mm2=inertia).unbalance_gmm == pytest.approx(pull)


def test_holes_take_it_away() -> None:
    """Steel drilled 8 at radius 70: by cylinder and cone, summed as vectors."""
    steel = material("steel")
    found = drill_away(unbalance_gmm=300, heavy_at=35, radius=70, drill=8, material=steel)
    assert found.enough
    away = sum(one.mass_g * 70 * np.exp(1j * math.radians(one.at - 35)) for one in found.holes)
    assert abs(away) == pytest.approx(300, rel=1e-3)
    assert found.left_gmm == pytest.approx(0, abs=0.5)
    for one in found.holes:
        drilled = math.pi / 4 * 64 * (one.depth + 8 / (6 * math.tan(math.radians(59))))
        assert one.mass_g == pytest.approx(drilled * steel.density_kg_m3 * 1e-6, rel=1e-3)
        assert one.depth + 0.3 * 8 <= found.deepest + 1e-9


def test_too_much_to_drill_away_says_so() -> None:
    found = drill_away(unbalance_gmm=20_000, heavy_at=0, radius=70, drill=8, material=material("steel"), holes=2)  # fmt: skip
    assert not found.enough
    assert found.left_gmm > 0
