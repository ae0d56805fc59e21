"""Turn it until it runs true: every position of bolted parts, and how true it would run.

Sources: the sum of the vectors, written down anew with rotation matrices and tried one position
after the other; propagation of uncertainty, JCGM 100:2008, clause 5; the direction a leaning
face carries what stands on it, geometry; Rice's distribution by SciPy. Readings are invented.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import rice

from tests.bench.stacks import FEW, converter, crank, face, reading, spacer
from wizard.bench.clock import clock_words, plan_angle
from wizard.bench.swept import HeavySide, Part, Runout, Turned
from wizard.bench.truing import Truing, truing


def by_steps(made: Truing) -> dict[tuple[int, ...], Any]:
    return {one.turns: one for one in made.positions}


# ── the sum, position by position ───────────────────────────────────────────


def clockwise(degrees: float) -> np.ndarray[Any, Any]:
    """The matrix that turns (right, up) clockwise."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array(((c, s), (-s, c)))


def vector(tir: float, toward: float) -> np.ndarray[Any, Any]:
    """Offset of axis behind a TIR, as (right, up), toward a clock position."""
    return tir / 2 * np.array((math.sin(math.radians(toward)), math.cos(math.radians(toward))))


tirs = st.floats(0.001, 0.5).map(lambda size: round(size, 3))
directions = st.floats(0, 359).map(lambda angle: round(angle, 1))
sweeps = st.tuples(tirs, directions)
counts = st.integers(1, 8)


@given(sweeps, sweeps, sweeps, counts, counts, st.booleans())
def test_every_position_is_the_sum_of_the_turned_vectors(
    first: tuple[float, float], second: tuple[float, float], third: tuple[float, float],
    holes: int, lugs: int, carried: bool,
) -> None:  # fmt: skip
    onto = "part before" if carried else "driver"
    made = truing(
        crank(*map_text(first)),
        [spacer(*map_text(second), holes), converter(*map_text(third), lugs, onto=onto)],
        draws=FEW,
    )
    found = by_steps(made)
    assert len(found) == holes * lugs
    for i, j in itertools.product(range(holes), range(lugs)):
        turned = 360 * i / holes
        last = 360 * j / lugs + (turned if carried else 0)
        total = vector(*first) + clockwise(turned) @ vector(*second)
        total = total + clockwise(last) @ vector(*third)
        position = found[signed(i, holes), signed(j, lugs)]
        assert position.tir == pytest.approx(2 * np.hypot(*total), abs=1e-9)
        if position.tir > 1e-6:
            toward = math.degrees(math.atan2(total[0], total[1])) % 360
            assert math.cos(math.radians(position.toward - toward)) == pytest.approx(1, abs=1e-9)
    ranked = [one.tir for one in made.positions]
    assert ranked == pytest.approx(sorted(ranked), abs=2e-9)
    assert made.present.turns == (0, 0)
    assert made.present.better is None


def map_text(sweep: tuple[float, float]) -> tuple[str, float]:
    return f"{sweep[0]:.3f} ± 0.01", sweep[1]


def signed(step: int, count: int) -> int:
    """The shorter way round, half a turn clockwise."""
    return step if 2 * step <= count else step - count


@given(sweeps, sweeps, sweeps, st.integers(1, 6), st.integers(1, 3))
def test_where_the_one_circle_divides_the_other_it_matters_not_what_is_counted_on(
    first: tuple[float, float], second: tuple[float, float], third: tuple[float, float],
    holes: int, times: int,
) -> None:  # fmt: skip
    """Geometry: every turn of the spacer is then a turn of the converter too."""
    found = [
        truing(
            crank(*map_text(first)),
            [spacer(*map_text(second), holes),
             converter(*map_text(third), holes * times, onto=onto)],
            draws=FEW,
        )
        for onto in ("part before", "driver")
    ]  # fmt: skip
    one, other = ([position.tir for position in made.positions] for made in found)
    assert one == pytest.approx(other, abs=1e-8)


def test_equal_and_opposite_cancel() -> None:
    """0.10 at twelve on the crank, 0.10 at twelve on the spacer: half a turn makes nothing of it."""
    made = truing(crank("0.10 ± 0.01"), [spacer("0.10 ± 0.01", 0)], draws=4000)
    assert made.present.tir == pytest.approx(0.20)
    assert made.best.turns == (3,)
    assert made.best.says == "spacer three bolts (half a turn)"
    assert made.best.tir == pytest.approx(0, abs=1e-12)
    assert made.best.better == 1.0
    assert made.worth_it
    # 0.01 on each of two readings: √2 times as much on their sum, whatever its direction
    assert made.best.within == pytest.approx(0.01 * math.sqrt(2))
    assert made.present.within == pytest.approx(0.01 * math.sqrt(2))


def test_the_way_it_is_said() -> None:
    made = truing(
        crank("0.05 ± 0.01"),
        [spacer("0.10 ± 0.01", 60, 6), converter("0.08 ± 0.02", 200, 4)], draws=FEW,
    )  # fmt: skip
    found = by_steps(made)
    assert found[0, 0].says == "as it stands"
    assert found[2, 1].says == "spacer two bolts clockwise, converter one lug clockwise"
    assert found[-1, 0].says == "spacer one bolt anticlockwise"
    assert found[3, 2].says == "spacer three bolts (half a turn), converter two lugs (half a turn)"
    assert "seen from behind" in " ".join(made.says)


def test_of_equals_the_one_that_moves_least() -> None:
    """A converter without runout may stay where it is."""
    made = truing(
        crank("0.10 ± 0.01"), [spacer("0.10 ± 0.01", 0), converter("0.00 ± 0.01", 0)], draws=FEW
    )
    assert made.best.turns == (3, 0)


def test_what_cannot_be_bettered_is_left() -> None:
    made = truing(crank("0.10 ± 0.01"), [spacer("0.10 ± 0.01", 180)], draws=FEW)
    assert made.best is made.present
    assert not made.worth_it
    assert made.says[0].startswith("Leave it as it stands")


# ── how sure ────────────────────────────────────────────────────────────────


def test_the_uncertainty_of_every_position_is_propagated() -> None:
    """JCGM 100:2008, 5.1.2: by the derivative of the length of the sum, taken by differences."""
    sweeps = (("0.06", 0.01, 40.0, 6.0), ("0.11", 0.02, 100.0, 0.0), ("0.09", 0.012, 250.0, 9.0))
    parts = [
        {"reading": reading(f"{tir} ± {within}"), "toward": toward, "toward_within": spread}
        for tir, within, toward, spread in sweeps
    ]
    made = truing(
        Part(name="crank", runout=Runout(**parts[0])),  # type: ignore[arg-type]
        [Turned(name="spacer", runout=Runout(**parts[1]), positions=6),  # type: ignore[arg-type]
         Turned(name="converter", runout=Runout(**parts[2]), positions=4)],  # type: ignore[arg-type]
        draws=FEW,
    )  # fmt: skip

    def tir(values: np.ndarray[Any, Any], i: int, j: int) -> float:
        turns = (0.0, 60.0 * i, 60.0 * i + 90.0 * j)
        total = sum(
            (clockwise(turn) @ values[2 * n : 2 * n + 2] for n, turn in enumerate(turns)),
            np.zeros(2),
        )
        return float(2 * np.hypot(*total))

    nominal = np.concatenate([vector(float(size), toward) for size, _, toward, _ in sweeps])
    for i, j in itertools.product(range(6), range(4)):
        variance = 0.0
        for n, (size, within, toward, spread) in enumerate(sweeps):
            along = vector(2.0, toward)
            across = clockwise(90) @ along
            sideways = math.hypot(within / 2, float(size) / 2 * math.radians(spread))
            for unit, width in ((along, within / 2), (across, sideways)):
                step = np.zeros(6)
                step[2 * n : 2 * n + 2] = 1e-6 * unit
                slope = (tir(nominal + step, i, j) - tir(nominal - step, i, j)) / 2e-6
                variance += (slope * width) ** 2
        position = by_steps(made)[signed(i, 6), signed(j, 4)]
        assert position.within == pytest.approx(math.sqrt(variance), rel=1e-4)


def test_what_is_kept_is_as_rice_has_it() -> None:
    """The length of a vector with normal scatter: Rice's distribution, by SciPy."""
    made = truing(
        crank("0.04 ± 0.02", 0), [spacer("0.10 ± 0.02", 0, 2)], draws=200_000, seed=5
    )  # fmt: skip
    scatter = 0.02 / 2 / 2 * math.sqrt(2)  # of an axis: half of ±, half of TIR, two of them
    for offset, position in ((0.03, made.best), (0.07, made.present)):
        kept = 2 * float(rice.ppf(0.95, offset / scatter, scale=scatter))
        assert position.at_most == pytest.approx(kept, rel=3e-3)


def test_the_chance_is_that_of_the_scatter() -> None:
    """Half a turn of one part about a crank: better when the crank's share along it is positive.

    |c − s| < |c + s| where c·s > 0; both known to ±, the chance is the share of draws in which
    the two make an angle under 90°: for a sure spacer the normal distribution of c along it.
    """
    made = truing(
        crank("0.010 ± 0.020", 0), [spacer("0.10 ± 0.000001", 0, 2)], draws=200_000, seed=9
    )
    deviation = 0.010 / 2  # of the offset: half the ± is one, half of TIR
    chance = 0.5 * (1 + math.erf(0.005 / deviation / math.sqrt(2)))
    assert made.best.turns == (1,)
    assert made.best.better == pytest.approx(chance, abs=4e-3)


def test_readings_that_tell_nothing_are_not_worth_taking_apart() -> None:
    made = truing(crank("0.01 ± 0.05"), [spacer("0.02 ± 0.05", 10)], draws=4000)
    assert made.best is not made.present
    assert made.best.better is not None
    assert made.best.better < 0.8
    assert not made.worth_it
    assert any("hardly tell" in line for line in made.says)


def test_it_repeats() -> None:
    made = [truing(crank("0.05"), [spacer("0.08", 50)], draws=FEW, seed=seed) for seed in (3, 3, 4)]
    assert made[0] == made[1]
    assert made[0] != made[2]


def test_a_dial_without_its_own_is_taken_at_a_hundredth() -> None:
    """Usual of a dial, 0.01 mm: common practice, no source."""
    made = truing(crank("0.05"), [spacer("0.08", 50)], draws=FEW)
    assert made.present.within == pytest.approx(0.01 * math.sqrt(2))
    assert {one.key for one in made.assumed} == {"crank, register", "spacer, register"}


# ── tilts, sweeps of the whole stack, unbalance ─────────────────────────────


def test_a_leaning_face_carries_what_stands_on_it_away_from_its_high_place() -> None:
    """Geometry: 0.10 over 100 leans 0.001; 150 behind that is 0.15 off, toward six for high twelve."""
    leaning = crank("0.00 ± 0.01", face=face("0.10 ± 0.01", 50, 0, 150))
    made = truing(leaning, [spacer("0.00 ± 0.01", 0)], draws=FEW)
    assert made.present.tir == pytest.approx(0.30)
    assert made.present.toward == pytest.approx(180)
    # a register 0.15 off toward twelve makes up for it
    made = truing(
        crank("0.30 ± 0.01", face=face("0.10 ± 0.01", 50, 0, 150)), [spacer("0.0", 0)], draws=FEW
    )
    assert made.present.tir == pytest.approx(0, abs=1e-12)
    # the face's ±, thrice as far off as its radius, and the register's own and the spacer's
    assert made.present.within == pytest.approx(
        math.sqrt((0.01 * 3) ** 2 + 0.01**2 + 0.01**2), rel=1e-9
    )


def test_a_tilt_turns_with_its_part() -> None:
    made = truing(
        crank("0.04 ± 0.01", 0),
        [spacer("0.00 ± 0.01", 0, 4, face=face("0.02 ± 0.005", 50, 90, 100))], draws=FEW,
    )  # fmt: skip
    found = by_steps(made)
    assert found[(0,)].tir == pytest.approx(math.hypot(0.04, 0.04))
    assert found[(1,)].tir == pytest.approx(0.08)  # high at six: leans on toward twelve
    assert found[(-1,)].tir == pytest.approx(0.0, abs=1e-12)


def test_sweeps_of_the_stack_as_bolted_up_are_taken_apart() -> None:
    """What the stack reads with each part on: the parts' own are the differences."""
    alone = truing(
        crank("0.06 ± 0.01", 20), [spacer("0.10 ± 0.01", 75), converter("0.08 ± 0.01", 310)],
        draws=FEW,
    )  # fmt: skip
    sums = np.cumsum([vector(0.06, 20), vector(0.10, 75), vector(0.08, 310)], axis=0)
    stacked = [
        (f"{2 * np.hypot(*one):.12f} ± 0.01", math.degrees(math.atan2(one[0], one[1])) % 360)
        for one in sums
    ]
    bolted = truing(
        crank(*stacked[0]), [spacer(*stacked[1]), converter(*stacked[2])], bolted=True, draws=FEW
    )
    for turns, position in by_steps(alone).items():
        assert by_steps(bolted)[turns].tir == pytest.approx(position.tir, abs=1e-9)
    # as it stands only the last sweep counts; apart, all three do
    assert bolted.present.within == pytest.approx(0.01)
    assert alone.present.within == pytest.approx(0.01 * math.sqrt(3))


def test_the_tilt_below_is_not_blamed_on_the_part_above() -> None:
    """A true spacer on a leaning crank: swept as bolted up it is seen to be true.

    The crank's face leans 0.001 toward six; the spacer's register, 40 behind, reads 0.08 there, its
    face leans as much. What must run true is 140 behind the crank's face, 100 behind the spacer's.
    """
    made = truing(
        crank("0.00 ± 0.01", face=face("0.10 ± 0.01", 50, 0, 140)),
        [spacer("0.08 ± 0.01", 180, 6, face=face("0.10 ± 0.01", 50, 0, 100))],
        bolted=True, draws=FEW,
    )  # fmt: skip
    assert [one.tir for one in made.positions] == pytest.approx([0.28] * 6)
    assert made.best is made.present


def test_unbalance_stands_beside_it() -> None:
    """Own unbalance turns with the part; its mass sits where the part before it carries it."""
    driver = crank("0.04 ± 0.01", 90, heavy=HeavySide(amount_gmm=50, toward=180))
    made = truing(
        driver,
        [spacer("0.10 ± 0.01", 0, 6, heavy=HeavySide(amount_gmm=120, toward=45), mass_kg=4.0),
         converter("0.08 ± 0.01", 10, 3, mass_kg=12.0)],
        draws=FEW,
    )  # fmt: skip
    grams = 2000.0  # of each kilogram, for vectors of length TIR/2 given by TIR
    for i, j in itertools.product(range(6), range(3)):
        turn = clockwise(60 * i)
        total = vector(2 * 50, 180) + turn @ vector(2 * 120, 45)
        total = total + 4 * grams / 2 * vector(0.04, 90)
        total = total + 12 * grams / 2 * (vector(0.04, 90) + turn @ vector(0.10, 0))
        found = by_steps(made)[signed(i, 6), signed(j, 3)]
        assert found.unbalance_gmm == pytest.approx(np.hypot(*total), rel=1e-9)
    assert made.unbalance_of == ("crank", "spacer", "converter")
    assert made.best is not made.present
    assert any("Unbalance of crank, spacer, converter" in line for line in made.says)


def test_without_mass_or_unbalance_none_is_shown() -> None:
    made = truing(crank("0.04"), [spacer("0.10", 0)], draws=FEW)
    assert {one.unbalance_gmm for one in made.positions} == {None}
    assert not made.unbalance_of


# ── the clock ───────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("angle", "words", "plan"),
    [(0, "twelve o'clock", 90), (90, "three o'clock", 0), (180, "six o'clock", 270),
     (270, "nine o'clock", 180), (45, "half past one o'clock", 45), (359, "twelve o'clock", 91),
     (352, "half past eleven o'clock", 98), (-30, "eleven o'clock", 120)],
)  # fmt: skip
def test_the_clock_of_a_bench(angle: float, words: str, plan: float) -> None:
    """angle_P = 90 − angle_clock, a definition; the hour hand passes 30° an hour."""
    assert clock_words(angle) == words
    assert plan_angle(angle) == pytest.approx(plan)
