"""Axial lengths by several routes, a converter seated, and the last cut of like parts.

Sources: weighted mean and its uncertainty, JCGM 100:2008, by hand; the plane through unequal tops by
NumPy; three drops: common practice, no source. Readings are invented.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.errors import InputError
from tests.bench.readings import reading
from wizard.bench.last_cut import FOLLOWS, Wanted, last_cut
from wizard.bench.round_trip import Asked, Leg, Route, round_trip
from wizard.bench.seating import seating


def route(name: str, *sizes: tuple[float, float], crank: str = "") -> Route:
    legs = tuple(Leg(reading=reading(size, to=0.01, within=within)) for size, within in sizes)
    return Route(name=name, legs=legs, crank=crank)


CLEAR = Asked(straight_edge="none used", faces="bare", grows=0)

# ── routes ──────────────────────────────────────────────────────────────────


def test_two_routes_give_their_weighted_mean() -> None:
    """30.00 ± 0.10 and 30.06 ± 0.20: weights 4 to 1, 30.012 ± 0.089."""
    found = round_trip([route("depth", (30.00, 0.10)), route("rule", (30.06, 0.20))], CLEAR)
    assert found.value == pytest.approx(30.012)
    assert found.within == pytest.approx(0.2 / math.sqrt(5), abs=1e-6)
    assert found.agrees


def test_a_shared_reading_is_not_counted_twice() -> None:
    """The straight-edge of 12.70 ± 0.30 stands in both routes: it can never average out."""
    edge = Leg(reading=reading(-12.70, to=0.01, within=0.30), name="straight-edge")
    routes = [
        Route(name=name, legs=(Leg(reading=reading(42.70, to=0.01, within=0.05), name=name), edge))
        for name in ("first", "second", "third")
    ]
    found = round_trip(routes, Asked(straight_edge="taken off", faces="bare"))
    assert found.value == pytest.approx(30.0)
    assert found.within == pytest.approx(math.hypot(0.30, 0.05 / math.sqrt(3)), abs=2e-3)


def test_a_route_that_stands_alone_is_named_and_left_out() -> None:
    found = round_trip(
        [route("a", (30.00, 0.05)), route("b", (30.02, 0.05)), route("c", (30.80, 0.05))], CLEAR
    )
    assert found.agrees is False
    assert found.alone == "c"
    assert found.value == pytest.approx(30.01, abs=1e-6)


def test_two_routes_that_disagree_are_both_spanned() -> None:
    found = round_trip([route("a", (30.00, 0.05)), route("b", (30.80, 0.05))], CLEAR)
    assert found.agrees is False
    assert found.value - found.within <= 30.0 + 0.05
    assert found.value + found.within >= 30.8 - 0.05


def test_straight_edge_paint_and_thrust_are_asked() -> None:
    found = round_trip([route("a", (30.0, 0.1), crank="forward"), route("b", (30.1, 0.1), crank="back")])  # fmt: skip
    asks = " ".join(found.asks)
    assert "straight-edge" in asks
    assert "paint" in asks or "gasket" in asks
    assert "end float" in asks
    assert "longer or shorter" in asks


def test_end_float_is_taken_out_of_routes_measured_both_ways() -> None:
    """0.15 of end float, the length growing as the crank goes back."""
    asked = Asked(straight_edge="none used", faces="bare", end_float=reading(0.15), grows=1)
    found = round_trip(
        [route("a", (30.00, 0.05), crank="forward"), route("b", (30.15, 0.05), crank="back")], asked
    )
    assert found.agrees
    assert found.value == pytest.approx(30.0, abs=0.02)


def test_no_route_is_refused() -> None:
    with pytest.raises(InputError):
        round_trip([])


# ── seating ─────────────────────────────────────────────────────────────────


def rounds(*rows: tuple[float, ...]) -> list[list[object]]:
    return [[reading(size, to=0.01, within=None) for size in row] for row in rows]


def test_the_mean_of_all_pads_less_the_straight_edge() -> None:
    found = seating(rounds((41.28, 41.31, 41.25), (41.30, 41.27, 41.27)), straight_edge=reading(12.70, to=0.01, within=0.02), drops=3)  # fmt: skip
    assert found.depth == pytest.approx(np.mean([41.28, 41.31, 41.25, 41.30, 41.27, 41.27]) - 12.70)
    assert found.seated
    assert found.settles


def test_pads_of_unequal_height_turn_with_the_converter() -> None:
    """One pad 0.30 proud: it is found at another place each round; a level face adds nothing."""
    found = seating(rounds((40.7, 41.0, 41.0), (41.0, 40.7, 41.0), (41.0, 41.0, 40.7)))
    assert found.pads_apart == pytest.approx(0.3, abs=0.02)
    assert found.places_apart == pytest.approx(0.0, abs=0.02)


def test_two_drops_are_not_home() -> None:
    found = seating(rounds((35.0, 35.0, 35.0)), drops=2)
    assert found.seated is False
    assert any("drop" in line for line in found.says)


@pytest.mark.parametrize("rows", [[], [(41.0, 41.0)], [(41.0,) * 3, (41.0,) * 4]])
def test_fewer_than_three_pads_are_refused(rows: list[tuple[float, ...]]) -> None:
    with pytest.raises(InputError, match="pads"):
        seating(rounds(*rows))


# ── last cut ────────────────────────────────────────────────────────────────


def lengths(*sizes: float) -> list[object]:
    return [reading(size, to=0.01, within=0.01) for size in sizes]


def test_what_comes_off_each() -> None:
    found = last_cut(reading(78.0, to=0.01, within=None), lengths(78.31, 78.28, 78.36))
    assert found.cuts == pytest.approx((0.31, 0.28, 0.36))
    assert found.length == 78.0
    assert found.spread == pytest.approx(0.08)
    assert found.short == ()


def test_the_tilt_is_that_of_the_plane_through_the_tops() -> None:
    """Three tops evenly round: the plane through them by NumPy, high toward the long one."""
    sizes = np.array([78.31, 78.28, 78.36])
    turn = np.radians([90 - at for at in (0, 120, 240)])
    rise = np.linalg.lstsq(np.column_stack((np.ones(3), np.cos(turn), np.sin(turn))), sizes, rcond=None)[0]  # fmt: skip
    found = last_cut(reading(78.0, to=0.01, within=None), lengths(*sizes))
    assert found.tilt == pytest.approx(2 * math.hypot(rise[1], rise[2]))
    assert found.high_at == pytest.approx((90 - math.degrees(math.atan2(rise[2], rise[1]))) % 360)


def test_one_too_short_makes_all_short_and_says_what_follows() -> None:
    """77.80 where 78 was wanted: all to 77.80, the gap 0.20 more, the chance by the normal curve."""
    gap = Wanted(
        name="gap", planned=reading(4.0, to=0.01, within=0.30), low=3.2, high=4.2, grows=1.0
    )
    found = last_cut(
        reading(78.0, to=0.01, within=0.02), lengths(78.3, 77.80, 78.2), cut_within=0.0,
        wanted=[gap],
    )  # fmt: skip
    assert found.short == (1,)
    assert found.length == pytest.approx(77.80)
    assert found.cuts == pytest.approx((0.5, 0.0, 0.4))
    (becomes,) = found.becomes
    assert becomes.value == pytest.approx(4.2)
    assert becomes.chance == pytest.approx(0.5, abs=1e-6)  # the limit itself is the middle


def test_how_engagements_follow() -> None:
    assert FOLLOWS == {"spacer": 0.0, "crank": 1.0}


def test_cuts_in_the_machine_s_own_unit() -> None:
    found = last_cut(reading(78.0, to=0.01, within=None), lengths(78.254), machine="in")
    assert found.machine_cuts == ("0.0098",)  # 0.25 mm, read to 0.01


@pytest.mark.parametrize(
    ("target", "sizes", "more"),
    [(78.0, (), {}), (-1.0, (78.0,), {}), (78.0, (78.1,), {"machine": "ft"}),
     (78.0, (78.1, 78.2), {"at": [0.0]}), (78.0, (78.1,), {"limit": 0.0})],
)  # fmt: skip
def test_what_nobody_can_cut_is_refused(target: float, sizes: tuple[float, ...], more: dict[str, object]) -> None:  # fmt: skip
    with pytest.raises(InputError):
        last_cut(reading(target, to=0.01, within=None), lengths(*sizes), **more)  # type: ignore[arg-type]
