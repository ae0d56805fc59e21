"""Will it bolt up as drilled: the best shift and turn, and the least opening.

Sources: the minimax against a grid that is drawn closer round its best place; the least opening
against the simplex search of SciPy from many places; the register's say against the fastener
formulas of ASME Y14.5-2009, appendix B (H = F + T₁ + T₂ + c tapped, H = F + (T₁ + T₂ + c)/2 clear in
both), by hand; the rest is geometry. All holes are invented.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import minimize

from kb.errors import InputError, OutOfScope
from kb.model.measured import Point
from kb.quantity import Dimension, read_length
from wizard.bench.bolt_up import BoltUp, bolt_up
from wizard.bench.misfit import least_opening, least_worst
from wizard.bench.pairs import Blank, Pair

Array = NDArray[np.float64]
SIX = tuple((75 * math.cos(n * math.pi / 3), 75 * math.sin(n * math.pi / 3)) for n in range(6))


def size(value: float, within: float | None = 0.0) -> Dimension:
    stated = "" if within is None else f" ± {within:.6f}"
    return read_length(f"{value:.9f}{stated}", key="size", units="mm")


def point(place: Sequence[float], within: float | None = 0.0) -> Point:
    return Point(size(place[0], within), size(place[1], within))


def pair(
    id: str, made: Sequence[float], mating: Sequence[float], *, hole: float = 11.0,
    screw: float = 10.0, within: float | None = 0.0, **more: Any,
) -> Pair:  # fmt: skip
    return Pair(
        id=id, made=point(made, within), mating=point(mating, within), hole=size(hole, within),
        screw=screw, **more,
    )  # fmt: skip


def moved(places: Array, shift: Sequence[float], turn: float) -> Array:
    """Turned anticlockwise about the register's middle, then shifted."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return np.asarray(places @ np.array(((c, s), (-s, c))) + np.array(shift))


def short_of(made: Array, mating: Array, rooms: Array, where: Sequence[float]) -> Array:
    """What each hole is short by, placed at (x, y, turn)."""
    return np.asarray(np.hypot(*(moved(made, where[:2], where[2]) - mating).T) - rooms)


def by_grid(made: Array, mating: Array, rooms: Array, reach: float) -> float:
    """The least worst misfit by trying places: ever closer grids round the best so far."""
    centre, span = np.zeros(3), np.array((reach, reach, 0.5))
    best = math.inf
    for _ in range(10):
        axes = [
            np.linspace(-1, 1, 7) * width + mid for width, mid in zip(span, centre, strict=True)
        ]
        for where in itertools.product(*axes):
            if math.hypot(where[0], where[1]) > reach:
                continue
            found = float(short_of(made, mating, rooms, where).max())
            if found < best:
                best, centre = found, np.array(where)
        span = span * 0.6
    return best


off = st.floats(-0.3, 0.3)
patterns = st.integers(2, 7).flatmap(
    lambda count: st.tuples(
        st.lists(st.tuples(off, off), min_size=count, max_size=count),
        st.lists(st.tuples(off, off), min_size=count, max_size=count),
        st.lists(st.floats(0.05, 0.4), min_size=count, max_size=count),
        st.floats(30, 200),
    )
)


def drawn(given_: Any) -> tuple[Array, Array, Array]:
    made, mating, rooms, radius = given_
    turns = np.radians(360 / len(made) * np.arange(len(made)))
    circle = radius * np.column_stack((np.cos(turns), np.sin(turns)))
    return circle + np.array(made), circle + np.array(mating), np.array(rooms)


@settings(max_examples=20, deadline=None)
@given(patterns, st.sampled_from((0.0, 0.05, 0.4)))
def test_no_place_of_a_grid_is_better(given_: Any, play: float) -> None:
    made, mating, rooms = drawn(given_)
    found = least_worst(made, mating, rooms, play=play)
    where = (*found.shift, found.turn)
    worst = float(short_of(made, mating, rooms, where).max())
    assert found.apart - rooms == pytest.approx(short_of(made, mating, rooms, where), abs=1e-9)
    assert math.hypot(*found.shift) <= play / 2 + 1e-6
    tried = by_grid(made, mating, rooms, play / 2)
    assert worst <= tried + 1e-5
    assert worst == pytest.approx(tried, abs=0.01)


@settings(max_examples=20, deadline=None)
@given(patterns)
def test_no_search_finds_a_smaller_opening(given_: Any) -> None:
    """SciPy's simplex search after Nelder and Mead, which needs no derivative, from many places."""
    made, mating, rooms = drawn(given_)
    found = least_opening(made, mating, rooms, play=None)
    total = float(np.maximum(found.apart - rooms, 0).sum())

    def wanted(where: Array) -> float:
        return float(np.maximum(short_of(made, mating, rooms, list(where)), 0).sum())

    random = np.random.default_rng(1)
    starts = [np.array((*found.shift, found.turn)) + random.normal(0, (0.1, 0.1, 0.1))
              for _ in range(3)]  # fmt: skip
    searched = min(
        minimize(wanted, start, method="Nelder-Mead",
                 options={"xatol": 1e-9, "fatol": 1e-11, "maxiter": 1500}).fun
        for start in [np.zeros(3), *starts]
    )  # fmt: skip
    assert total <= searched + 1e-5


@pytest.mark.parametrize("play", [None, 2.0])
@pytest.mark.parametrize(
    ("shift", "turn"), [((0.3, -0.2), 0.4), ((0.0, 0.0), -3.0), ((0.5, 0), 30)]
)
def test_a_part_only_put_down_askew_is_put_right(
    play: float | None, shift: tuple[float, float], turn: float
) -> None:
    """The same pattern moved: moving it back leaves nothing, whatever the turn."""
    mating = np.array(SIX)
    made = moved(mating - np.array(shift), (0, 0), -turn)
    found = least_worst(made, mating, np.full(6, 0.5), play=play)
    assert found.apart == pytest.approx(np.zeros(6), abs=1e-5)
    assert found.shift == pytest.approx(shift, abs=1e-5)
    assert found.turn == pytest.approx(turn, abs=1e-5)


def test_two_holes_too_far_apart_share_what_is_wrong() -> None:
    """By hand: 0.8 too long between two holes is 0.4 at each; there is room for 0.5."""
    made = [pair("1", (50.4, 0), (50, 0)), pair("2", (-50.4, 0), (-50, 0))]
    found = bolt_up(made, play=None)
    assert found.goes
    assert found.worst == pytest.approx(-0.1, abs=1e-5)
    assert found.shift == pytest.approx((0, 0), abs=1e-3)
    # and were the one hole already where it should be, a shift of half shares it
    lopsided = [pair("1", (50.8, 0), (50, 0)), pair("2", (-50, 0), (-50, 0))]
    found = bolt_up(lopsided, play=None)
    assert found.worst == pytest.approx(-0.1, abs=1e-5)
    assert found.shift == pytest.approx((-0.4, 0), abs=1e-3)


def test_the_register_stops_the_shift_it_would_need() -> None:
    """By hand: of the 0.4 wanted the register lets it have 0.1; the worse hole is 0.2 short."""
    lopsided = [pair("1", (50.8, 0), (50, 0)), pair("2", (-50, 0), (-50, 0))]
    found = bolt_up(lopsided, play=0.2)
    assert found.shift == pytest.approx((-0.1, 0), abs=1e-3)
    assert found.worst == pytest.approx(0.2, abs=1e-5)
    assert not found.goes


# ── the least opening ───────────────────────────────────────────────────────


def one_wrong(**more: Any) -> list[Pair]:
    """Six holes of which the second stands 0.9 too far out."""
    out = [(x * (75.9 / 75 if n == 1 else 1), y * (75.9 / 75 if n == 1 else 1))
           for n, (x, y) in enumerate(SIX)]  # fmt: skip
    return [pair(str(n + 1), here, there, **more)
            for n, (here, there) in enumerate(zip(out, SIX, strict=True))]  # fmt: skip


def test_one_hole_is_opened_on_the_side_it_lacks() -> None:
    """By hand: held by its register, five holes are true; the sixth lacks 0.4 toward the middle.

    11 + 2 · 0.4 = 11.8, hole 2 stands at 60° from +x, half past one is 45° from twelve and one
    30°; toward the middle is opposite of one o'clock: seven. The wall to its neighbours is 75.45…
    apart less both radii; its head is 17 across: 8.5 − (11.8 − 5) = 1.7 left all round.
    """
    found = bolt_up(one_wrong(head=17.0), play=0.0, blank=Blank(wall=5.0, outside=180, bore=60))
    (opening,) = found.openings
    assert opening.id == "2"
    assert opening.by == pytest.approx(0.4, abs=1e-5)
    assert (opening.was, opening.to) == pytest.approx((11.0, 11.8), abs=1e-5)
    assert opening.toward == pytest.approx(210, abs=0.01)
    assert opening.beside == "the outside"
    assert opening.wall == pytest.approx(90 - 75.9 - 5.9, abs=1e-5)
    assert opening.seat == pytest.approx(1.7, abs=1e-5)
    assert found.wall_holds
    assert found.seats_hold
    said = " ".join(found.says)
    assert "Open hole 2 from 11.000 mm" in said
    assert "to 11.800 mm" in said
    assert "file 0.400 mm" in said
    assert "toward seven o'clock" in said


@pytest.mark.parametrize(
    ("blank", "wall", "beside", "holds"),
    [
        (
            Blank(wall=5.0),
            math.dist((75.9 * 0.5, 75.9 * math.sqrt(0.75)), (75, 0)) - 11.4,
            "1",
            True,
        ),
        (Blank(wall=5.0, bore=130), 75.9 - 5.9 - 65, "the bore", True),
        (Blank(wall=5.1, bore=130), 75.9 - 5.9 - 65, "the bore", False),
        (Blank(wall=5.0, outside=173), 86.5 - 75.9 - 5.9, "the outside", False),
    ],
)
def test_the_wall_an_opening_leaves(blank: Blank, wall: float, beside: str, holds: bool) -> None:
    found = bolt_up(one_wrong(), play=0.0, blank=blank)
    (opening,) = found.openings
    assert opening.wall == pytest.approx(wall, abs=1e-5)
    assert opening.beside in (beside, "3" if beside == "1" else beside)
    assert found.wall_holds is holds


def test_a_head_too_small_for_the_opened_hole_wants_a_washer() -> None:
    """By hand: 14.4 across leaves 7.2 − 6.8 = 0.4 on the worse side, less than 0.5 (practice)."""
    found = bolt_up(one_wrong(head=14.4), play=0.0)
    assert found.openings[0].seat == pytest.approx(0.4, abs=1e-5)
    assert found.seats_hold is False
    assert any("washer" in line for line in found.says)
    unknown = bolt_up(one_wrong(), play=0.0)
    assert unknown.seats_hold is None
    assert unknown.wall_holds is None
    assert any("not known" in line for line in unknown.says)


def test_opened_so_every_screw_enters() -> None:
    """The least opening works: with its sizes for the old ones the part goes."""
    random = np.random.default_rng(11)
    made = np.array(SIX) + random.normal(0, 0.35, (6, 2))
    pairs = [pair(str(n), made[n], SIX[n]) for n in range(6)]
    found = bolt_up(pairs, play=0.1)
    assert not found.goes
    assert found.openings
    to = {one.id: one.to for one in found.openings}
    again = bolt_up(
        [pair(str(n), made[n], SIX[n], hole=to.get(str(n), 11.0)) for n in range(6)], play=0.1
    )
    assert again.goes
    assert again.worst == pytest.approx(0, abs=1e-5)
    assert not again.openings
    located = dict(found.for_register)
    again = bolt_up(
        [pair(str(n), made[n], SIX[n], hole=located.get(str(n), 11.0)) for n in range(6)], play=0.1
    )
    assert again.locates == pytest.approx(0, abs=1e-5)


# ── the register's say ──────────────────────────────────────────────────────


@pytest.mark.parametrize("play", [0.0, 0.05, 0.999, 1.0, 1.2])
def test_tapped_the_register_locates_up_to_the_fixed_fastener_formula(play: float) -> None:
    """H = F + T₁ + T₂ + c with true places, T = 0: 11 = 10 + c."""
    found = bolt_up([pair(str(n), SIX[n], SIX[n]) for n in range(6)], play=play)
    assert found.locates == pytest.approx((11 - 10 - play) / 2, abs=1e-5)
    located = any("The register locates" in line for line in found.says)
    assert located == (play <= 1.0)
    if play > 1.0:  # H = F + c
        assert dict(found.for_register) == pytest.approx(
            {str(n): 10 + play for n in range(6)}, abs=1e-6
        )
    else:
        assert not found.for_register


@pytest.mark.parametrize("play", [0.0, 1.0, 2.0, 2.4])
def test_clear_in_both_it_locates_up_to_the_floating_fastener_formula(play: float) -> None:
    """H = F + (T₁ + T₂ + c)/2 with true places: 11 = 10 + c/2."""
    found = bolt_up([pair(str(n), SIX[n], SIX[n], clear=size(11)) for n in range(6)], play=play)
    assert found.locates == pytest.approx(11 - 10 - play / 2, abs=1e-5)


def test_measured_errors_stand_where_the_zones_stood() -> None:
    """H = F + T₁ + T₂ + c: one hole of three 0.2 out radially stands for a zone of 0.4."""
    made = [(75.2, 0), SIX[2], SIX[4]]
    found = bolt_up([pair(str(n), made[n], SIX[2 * n]) for n in range(3)], play=0.6)
    assert found.locates == pytest.approx((11 - 10 - 0.4 - 0.6) / 2, abs=1e-5)


def test_without_a_register_the_screws_locate() -> None:
    found = bolt_up([pair(str(n), SIX[n], SIX[n]) for n in range(6)], play=None)
    assert found.locates is None
    assert not found.for_register
    assert any("No register" in line for line in found.says)


# ── readings ────────────────────────────────────────────────────────────────


def test_a_mating_face_looked_at_from_its_own_side_is_turned_round() -> None:
    """x → −x, as a gearbox's face turns round to meet the plate."""
    uneven = [(75, 0), (10, 60), (-50, -40)]
    pairs = [pair(str(n), (x, y), (-x, y)) for n, (x, y) in enumerate(uneven)]
    assert bolt_up(pairs, play=0.0, mirrored=True).worst == pytest.approx(-0.5, abs=1e-5)
    assert bolt_up(pairs, play=0.0).worst > 1.0


def test_an_answer_within_the_readings_says_so() -> None:
    """Places to ± 0.05 each: σ 0.025 on each of two, √(−2·ln 0.05) of that is 0.087 (Rayleigh)."""
    for far, goes, sure in ((0.35, True, True), (0.45, True, False), (0.55, False, False),
                            (0.65, False, True)):  # fmt: skip
        pairs = [pair("1", (50 + far, 0), (50, 0), within=0.05),
                 pair("2", (-50 - far, 0), (-50, 0), within=0.05)]  # fmt: skip
        found = bolt_up(pairs, play=0.0)
        wide = math.hypot(2.4477 * math.hypot(0.025, 0.025), 0.025)
        assert found.within == pytest.approx(wide, rel=1e-3)
        assert found.worst == pytest.approx(far - 0.5, abs=1e-5)
        assert (found.goes, found.sure) == (goes, sure)
        assert any("turn out otherwise" in line for line in found.says) != sure


def test_the_stated_width_holds() -> None:
    """Holes drawn anew within their ±: at least 95 in 100 answers lie as near as is said."""
    random = np.random.default_rng(3)
    true = np.array(SIX) + random.normal(0, 0.1, (6, 2))
    rooms = np.full(6, 0.5)
    exact = float((least_worst(true, np.array(SIX), rooms, play=0.1).apart - rooms).max())
    inside = 0
    for _ in range(20):
        read = true + random.normal(0, 0.025, (6, 2))
        found = bolt_up(
            [Pair(id=str(n), made=point(read[n], 0.05), mating=point(SIX[n]), hole=size(11),
                  screw=10.0) for n in range(6)], play=0.1,
        )  # fmt: skip
        inside += abs(found.worst - exact) <= found.within
    assert inside >= 19


def test_a_reading_without_its_own_is_said_to_be_assumed() -> None:
    pairs = [pair(str(n), SIX[n], SIX[n], within=None) for n in range(2)]
    found = bolt_up(pairs, play=0.1)
    assert {one.key.partition(" (")[0] for one in found.assumed} == {
        "holes", "mating holes", "hole sizes"
    }  # fmt: skip


# ── what nobody can mean ────────────────────────────────────────────────────

ONE, TWO = pair("1", (50, 0), (50, 0)), pair("2", (-50, 0), (-50, 0))


@pytest.mark.parametrize(
    ("pairs", "play", "blank", "field"),
    [
        ([], 0.1, None, "holes"),
        ([ONE, ONE], 0.1, None, "holes"),
        ([ONE, pair(" ", (0, 50), (0, 50))], 0.1, None, "holes"),
        ([ONE, pair("2", (50.1, 0), (-50, 0))], 0.1, None, "2.made"),
        ([ONE, pair("2", (-50, 0), (50, 0.1))], 0.1, None, "2.mating"),
        ([ONE, pair("2", (-50, 0), (-50, 0), hole=9.9)], 0.1, None, "2.hole"),
        ([ONE, pair("2", (-50, 0), (-50, 0), clear=size(9.9))], 0.1, None, "2.clear"),
        ([ONE, pair("2", (-50, 0), (-50, 0), head=9.0)], 0.1, None, "2.head"),
        ([ONE, pair("2", (-50, 0), (-50, 0), screw=0.0)], 0.1, None, "2.screw"),
        ([ONE, TWO], -0.1, None, "play"),
        ([ONE, TWO], math.nan, None, "play"),
        ([ONE, TWO], math.inf, None, "play"),
        ([ONE, TWO], 0.1, Blank(wall=-1), "wall"),
        ([ONE, TWO], 0.1, Blank(wall=1, outside=0), "outside"),
        ([ONE, TWO], 0.1, Blank(wall=1, bore=math.nan), "bore"),
    ],
)
def test_what_nobody_can_mean_is_refused(
    pairs: list[Pair], play: float | None, blank: Blank | None, field: str
) -> None:
    with pytest.raises(InputError) as refused:
        bolt_up(pairs, play=play, blank=blank)
    assert refused.value.field == field


def test_one_hole_is_out_of_reach() -> None:
    with pytest.raises(OutOfScope, match="one hole"):
        bolt_up([ONE], play=0.1)


def test_an_answer_never_holds_what_is_no_number() -> None:
    made: BoltUp = bolt_up([ONE, TWO], play=0.0)
    figures = [made.worst, made.within, made.turn, *made.shift, made.locates or 0.0]
    figures += [number for one in made.holes for number in (one.apart, one.room, one.short)]
    assert all(math.isfinite(figure) for figure in figures)
    assert all(one.toward is None for one in made.holes)
