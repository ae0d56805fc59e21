"""Turns that keep the wanted walls: complete, correct, and cut to the permitted range.

Checked against a scan with points of the complex plane (tests/engine/facing.py, a second method)
and against closed forms. Wanted walls: common practice, no source.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.model.lineup import LineUp, Pattern
from tests.engine.facing import (
    RULES,
    Array,
    Disc,
    circle,
    lined_up,
    pattern,
    patterns,
    ranges,
    turned,
    walls_at,
    with_dowels,
)
from wizard.engine.lineup import line_up

HELD = settings(max_examples=60, deadline=None)
CLOSE = 1e-7  # mm: a wall this near the wanted one may fall on either side


def in_windows(found: LineUp, turns: Array) -> Array:
    inside = np.zeros(len(turns), dtype=bool)
    for low, high in found.windows:
        inside |= (turns >= low) & (turns <= high)
    return inside


def turns_of(clocking: tuple[float, float], found: LineUp) -> Array:
    """A scan of the range, and the turns at and beside every end of a window."""
    low, high = clocking
    ends = np.array(found.windows).ravel()
    beside = np.concatenate((ends, ends - 1e-6, ends + 1e-6))
    turns = np.concatenate((np.linspace(low, high, 1801), beside))
    return turns[(turns >= low) & (turns <= high)]


def assert_windows(
    found: LineUp, spare: Array, turns: Array, clocking: tuple[float, float]
) -> None:
    """``spare`` is the least of wall less wanted wall at each of the turns."""
    low, high = clocking
    inside = in_windows(found, turns)
    assert (spare[inside] >= -CLOSE).all()
    assert (spare[~inside] <= CLOSE).all()
    for left, right in found.windows:
        assert low <= left <= right <= high
    gaps = [b[0] - a[1] for a, b in zip(found.windows, found.windows[1:], strict=False)]
    assert all(gap > 0 for gap in gaps)
    if found.windows:
        assert in_windows(found, np.array([found.clocking])).all()


# ── complete and correct ────────────────────────────────────────────────────


@HELD
@given(fixed=patterns(), other=patterns(), clocking=ranges(), least=st.floats(0, 25))
def test_windows_are_the_turns_that_keep_the_wall(
    fixed: list[Disc], other: list[Disc], clocking: tuple[float, float], least: float
) -> None:
    found = lined_up(fixed, other, clocking=clocking, least=least)
    turns = turns_of(clocking, found)
    spare = walls_at(fixed, other, turns).min(axis=(1, 2)) - least
    assert_windows(found, spare, turns, clocking)


@HELD
@given(
    fixed=patterns(most=5),
    other=patterns(most=5),
    pins=st.tuples(patterns(most=2), patterns(most=2)),
    clocking=ranges(),
    least=st.one_of(st.none(), st.floats(0, 12)),
)
def test_dowels_are_kept_clear_too(
    fixed: list[Disc],
    other: list[Disc],
    pins: tuple[list[Disc], list[Disc]],
    clocking: tuple[float, float],
    least: float | None,
) -> None:
    """A dowel wants max(6, d/2) to the other face's holes and dowels, bolts in aluminium max(5, d)."""
    found = line_up(
        with_dowels(pattern("engine", fixed), pins[0]),
        with_dowels(pattern("gearbox", other), pins[1]),
        clocking=clocking,
        family="aluminium",
        rules=RULES,
        least=least,
    )
    turns = turns_of(clocking, found)
    groups = [
        (fixed, other, lambda a, b: max(5.0, min(a, b))),
        (pins[0], other, lambda a, b: max(6.0, a / 2)),
        (fixed, pins[1], lambda a, b: max(6.0, b / 2)),
        (pins[0], pins[1], lambda a, b: max(6.0, max(a, b) / 2)),
    ]
    spares = []
    for one, two, wanted in groups:
        walls = walls_at(one, two, turns)
        wants = np.array(
            [[wanted(a[2], b[2]) if least is None else least for b in two] for a in one]
        )
        spares.append((walls - wants).min(axis=(1, 2)))
    assert_windows(found, np.array(spares).min(axis=0), turns, clocking)
    beside = [walls_at(one, two, found.clocking).min() for one, two, _ in groups[1:]]
    assert found.dowel_wall == pytest.approx(min(beside), abs=1e-9)
    assert found.wall == pytest.approx(walls_at(fixed, other, found.clocking).min(), abs=1e-9)


def test_without_dowels_there_is_no_wall_beside_them() -> None:
    found = lined_up(circle(count=4, diameter=200), circle(count=4, diameter=240), clocking=(0, 0))
    assert found.dowel_wall is None


def test_dowels_of_one_face_are_no_matter_to_its_own_holes() -> None:
    """The casting has them already: only the other face's holes and dowels can come too near."""
    engine = with_dowels(pattern("engine", [(100, 0, 10)]), [(100, 1, 10)])
    gearbox = with_dowels(pattern("gearbox", [(-100, 0, 10)]), [(-100, 2, 10)])
    found = line_up(
        engine, gearbox, clocking=(0, 0), family="steel", rules=RULES, least=None
    )  # fmt: skip
    assert found.windows == ((0, 0),)
    assert found.dowel_wall == pytest.approx(math.hypot(200, 1) - 10)
    assert found.clashes == ()


# ── closed forms ────────────────────────────────────────────────────────────


def arc(*, radius: float, apart: float) -> float:
    """Angle that holds two points of a circle so far apart [°]: chord = 2·r·sin(angle/2)."""
    return math.degrees(2 * math.asin(apart / (2 * radius)))


def test_one_pair_closes_one_arc() -> None:
    """Radius 100, both discs 10, wall 5: 15 apart, so 15 = 200·sin(angle/2)."""
    found = lined_up([(100, 0, 10)], [(100, 0, 10)], clocking=(-90, 90), least=5)
    edge = arc(radius=100, apart=15)
    assert found.windows == (
        pytest.approx((-90, -edge), abs=1e-9),
        pytest.approx((edge, 90), abs=1e-9),
    )
    assert found.clocking == pytest.approx(edge, abs=1e-9)


def test_circles_of_two_sizes_by_the_law_of_cosines() -> None:
    """15² = 100² + 104² − 2·100·104·cos(angle)."""
    found = lined_up([(0, 100, 10)], [(0, 104, 10)], clocking=(-30, 30), least=5)
    edge = math.degrees(math.acos((100**2 + 104**2 - 15**2) / (2 * 100 * 104)))
    assert found.windows[0] == pytest.approx((-30, -edge), abs=1e-9)
    assert found.windows[1] == pytest.approx((edge, 30), abs=1e-9)


def test_seam_of_the_full_turn_is_open_on_both_sides() -> None:
    """A hole opposite at half a turn: the window beyond 180° goes on at −180°."""
    found = lined_up([(-100, 0, 10)], [(100, 0, 10)], clocking=(-180, 180), least=5)
    edge = 180 - arc(radius=100, apart=15)
    assert found.windows == (pytest.approx((-edge, edge), abs=1e-9),)
    other = lined_up([(100, 0, 10)], [(100, 0, 10)], clocking=(-180, 180), least=5)
    assert [pair[0] for pair in other.windows] == [-180, pytest.approx(180 - edge, abs=1e-9)]
    assert [pair[1] for pair in other.windows] == [pytest.approx(edge - 180, abs=1e-9), 180]


def test_every_turn_of_a_wide_range_repeats() -> None:
    found = lined_up([(100, 0, 10)], [(100, 0, 10)], clocking=(-400, 800), least=5)
    edge = arc(radius=100, apart=15)
    closed = [(360 * k - edge, 360 * k + edge) for k in range(-1, 3)]
    ends = [-400, *(end for pair in closed for end in pair), 800]
    assert np.array(found.windows).ravel() == pytest.approx(ends, abs=1e-9)


def test_a_wall_that_no_turn_keeps() -> None:
    """A disc of 30 on the axis reaches 60 − 5 − 15 = 40 mm from a hole, at whatever turn."""
    assert lined_up([(0, 0, 30)], [(60, 0, 10)], clocking=(-180, 180), least=40.0).windows
    assert not lined_up([(0, 0, 30)], [(60, 0, 10)], clocking=(-180, 180), least=40.001).windows
    found = lined_up([(100, 0, 10)], [(100, 0, 10)], clocking=(-180, 180), least=190.001)
    assert found.windows == ()
    assert found.best_wall == pytest.approx(190, abs=1e-9)
    assert found.clocking == found.best_clocking


def test_two_arcs_that_meet_leave_one_turn() -> None:
    """Two engine holes either side of a gearbox hole: where it stands midway it has just the wall."""
    reach = arc(radius=100, apart=15)
    fixed = turned([(100, 0, 10)], reach) + turned([(100, 0, 10)], -reach)
    found = lined_up(fixed, [(100, 0, 10)], clocking=(-10, 10), least=5 - 1e-9)
    assert len(found.windows) == 1
    assert found.windows[0] == pytest.approx((0, 0), abs=1e-6)
    assert lined_up(fixed, [(100, 0, 10)], clocking=(-10, 10), least=5 + 1e-9).windows == ()


def test_a_range_is_kept_to_its_very_ends() -> None:
    found = lined_up([(100, 0, 10)], [(-100, 0, 10)], clocking=(-3, 8), least=5)
    assert found.windows == ((-3, 8),)
    assert lined_up([(100, 0, 10)], [(-100, 0, 10)], clocking=(4, 4), least=5).windows == ((4, 4),)


# ── the turn that is used ───────────────────────────────────────────────────


@HELD
@given(fixed=patterns(), other=patterns(), clocking=ranges(), least=st.floats(0, 25))
def test_nearest_upright_of_the_turns_that_keep_the_wall(
    fixed: list[Disc], other: list[Disc], clocking: tuple[float, float], least: float
) -> None:
    found = lined_up(fixed, other, clocking=clocking, least=least)
    if not found.windows:
        assert found.clocking == found.best_clocking
        return
    reach = [0.0 if a <= 0 <= b else min(abs(a), abs(b)) for a, b in found.windows]
    assert abs(found.clocking) == pytest.approx(min(reach), abs=1e-8)


def test_positive_of_two_turns_as_near() -> None:
    found = lined_up([(0, 100, 10)], [(0, 100, 10)], clocking=(-20, 20), least=5)
    assert found.clocking == pytest.approx(arc(radius=100, apart=15), abs=1e-9)
    below = lined_up([(0, 100, 10)], [(0, 100, 10)], clocking=(-20, 8), least=5)
    assert below.clocking == pytest.approx(-arc(radius=100, apart=15), abs=1e-9)


def test_the_greatest_wall_does_not_tempt_away_from_upright() -> None:
    """Upright keeps the wanted wall; a better turn exists and is only named."""
    found = lined_up([(100, 0, 10)], turned([(100, 0, 10)], 20), clocking=(-30, 30), least=5)
    assert found.clocking == 0
    assert found.best_clocking == pytest.approx(30)
    assert found.wall == pytest.approx(200 * math.sin(math.radians(10)) - 10)
    assert found.best_wall == pytest.approx(200 * math.sin(math.radians(25)) - 10)


def test_no_holes_left_is_refused_by_name() -> None:
    empty = Pattern(side="gearbox", holes=())
    with pytest.raises(ValueError, match=r"gearbox\.face\.holes"):
        line_up(
            pattern("engine", [(100, 0, 10)]), empty, clocking=(0, 0), family="steel",
            rules=RULES, least=None,
        )  # fmt: skip
