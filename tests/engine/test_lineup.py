"""Lining up two patterns, against Shapely, against fine scans, and against what cannot change.

Equally spaced circles: the largest angle between nearest holes is 180°/lcm(n₁, n₂), closed form.
Least vertex cover: against every subset (Kőnig's theorem says what it must equal).
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import Point
from shapely.affinity import rotate

from kb.errors import InputError
from kb.model.lineup import Clash, Pattern
from kb.rules.loader import rule_set
from tests.engine.patterns import Disc, discs, feature, pattern
from wizard.engine.clashes import fewest_covers, fewest_to_leave_out, opened_gap
from wizard.engine.clocking import pairs, windows
from wizard.engine.lineup import line_up

RULES = rule_set("heavy industrial")
FEW = settings(max_examples=40, deadline=None)


def up(a: list[Disc], b: list[Disc], low: float = -180, high: float = 180, **more: object):  # type: ignore[no-untyped-def]
    return line_up(
        pattern(a, "engine"), pattern(b, "gearbox"), clocking=(low, high), family="steel",
        rules=RULES, least=3.0, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def scanned(a: list[Disc], b: list[Disc], turns: np.ndarray) -> np.ndarray:
    """Least wall at each turn by plain distances, another way round than the engine's."""
    xa, xb = ([(r * math.cos(math.radians(t)), r * math.sin(math.radians(t)), d / 2) for r, t, d in p]
              for p in (a, b))  # fmt: skip
    angle = np.radians(turns)
    least = np.full(len(turns), np.inf)
    for (x, y, p), (u, v, q) in itertools.product(xa, xb):
        gx = u * np.cos(angle) - v * np.sin(angle) - x
        gy = u * np.sin(angle) + v * np.cos(angle) - y
        least = np.minimum(least, np.hypot(gx, gy) - p - q)
    return least


@FEW
@given(a=discs, b=discs, turn=st.floats(-180, 180))
def test_walls_are_shapelys_distances(a: list[Disc], b: list[Disc], turn: float) -> None:
    walls = pairs(pattern(a, "engine").holes, pattern(b, "gearbox").holes).walls(turn)
    engine, gearbox = pattern(a, "engine"), pattern(b, "gearbox")
    found = [
        Point(h.x, h.y).distance(rotate(Point(g.x, g.y), turn, origin=(0, 0)))
        - (h.keepout + g.keepout) / 2
        for h in engine.holes
        for g in gearbox.holes
    ]
    assert walls == pytest.approx(found, abs=1e-6)


@FEW
@given(a=discs, b=discs)
def test_the_best_turn_beats_a_fine_scan(a: list[Disc], b: list[Disc]) -> None:
    found = up(a, b)
    turns = np.linspace(-180, 180, 20_001)
    assert found.best_wall >= scanned(a, b, turns).max() - 1e-6
    assert scanned(a, b, np.array([found.best_clocking]))[0] == pytest.approx(
        found.best_wall, abs=1e-6
    )


@FEW
@given(a=discs, b=discs, low=st.floats(-30, 0), high=st.floats(0, 30))
def test_windows_are_exactly_where_the_wall_is_kept(
    a: list[Disc], b: list[Disc], low: float, high: float
) -> None:
    every = pairs(pattern(a, "engine").holes, pattern(b, "gearbox").holes)
    free = windows(every, 3.0, low=low, high=high)
    turns = np.linspace(low, high, 2001)
    kept = scanned(a, b, turns) >= 3.0
    inside = np.zeros(len(turns), dtype=bool)
    for left, right in free:
        inside |= (turns >= left - 1e-9) & (turns <= right + 1e-9)
    near_an_edge = np.abs(scanned(a, b, turns) - 3.0) < 1e-6
    assert np.array_equal(kept[~near_an_edge], inside[~near_an_edge])


@FEW
@given(a=discs, b=discs, turn=st.floats(-180, 180))
def test_turning_both_changes_nothing(a: list[Disc], b: list[Disc], turn: float) -> None:
    moved = [[(r, t + turn, d) for r, t, d in p] for p in (a, b)]
    assert up(*moved).best_wall == pytest.approx(up(a, b).best_wall, abs=1e-7)


@FEW
@example(a=[(60.0, 0.0, 6.0)], b=[(60.0, 1.0779395428923861e-07, 6.0)])
@given(a=discs, b=discs)
def test_mirroring_both_mirrors_the_answer(a: list[Disc], b: list[Disc]) -> None:
    flipped = [[(r, 180 - t, d) for r, t, d in p] for p in (a, b)]
    here, there = up(a, b, -20, 20), up(*flipped, -20, 20)
    assert there.best_wall == pytest.approx(here.best_wall, abs=1e-7)
    mirrored = sorted((-right, -left) for left, right in there.windows)
    assert np.allclose(mirrored, here.windows, atol=1e-6) if here.windows else not mirrored


@FEW
@given(a=discs, b=discs, seed=st.randoms())
def test_renumbering_changes_nothing(a: list[Disc], b: list[Disc], seed: object) -> None:
    shuffled = a[:]
    seed.shuffle(shuffled)  # type: ignore[attr-defined]
    here, there = up(a, b, -20, 20), up(shuffled, b, -20, 20)
    assert there.best_wall == pytest.approx(here.best_wall, abs=1e-9)
    assert np.allclose(there.windows, here.windows, atol=1e-9)


@pytest.mark.parametrize(("n", "m"), [(6, 8), (12, 12), (5, 7), (3, 12), (8, 8), (4, 6)])
def test_equally_spaced_circles_turn_to_half_the_common_pitch(n: int, m: int) -> None:
    a = [(150.0, 360 * i / n, 10.0) for i in range(n)]
    b = [(150.0, 360 * i / m, 10.0) for i in range(m)]
    found = up(a, b)
    assert abs(found.best_clocking) == pytest.approx(180 / math.lcm(n, m), abs=1e-6)
    chord = 2 * 150 * math.sin(math.radians(180 / math.lcm(n, m)) / 2)
    assert found.best_wall == pytest.approx(chord - 10, abs=1e-9)
    assert found.best_clocking > 0  # the positive one of two that are equal


def test_a_plateau_keeps_the_gearbox_upright() -> None:
    """A hole on the axis is as far from the others at every turn."""
    found = up([(0.0, 0.0, 10.0)], [(100.0, 30.0, 10.0)])
    assert (found.best_clocking, found.best_wall) == (0.0, pytest.approx(90.0))


def test_a_range_of_one_turn() -> None:
    found = up([(100, 0, 10)], [(100, 20, 10)], 0, 0)
    assert found.clocking == found.best_clocking == 0.0
    assert found.windows == ((0.0, 0.0),)


def test_identical_patterns_clash_hole_on_hole() -> None:
    a = [(100.0, 90.0 * i, 10.0) for i in range(4)]
    found = up(a, a, 0, 0)
    assert found.best_wall == pytest.approx(-10)
    assert len(found.clashes) == 4


def test_shared_pairs_need_no_wall() -> None:
    a = [(100.0, 90.0 * i, 10.0) for i in range(4)]
    found = up(a, a, 0, 0, share=[(str(i), str(i)) for i in range(1, 5)])
    assert not found.clashes
    assert found.wall == pytest.approx(100 * math.sqrt(2) - 10)


def test_by_plane_counts_only_discs_that_meet() -> None:
    """A head sunk at the gearbox's face and one sunk at the engine's never meet."""
    engine = replace(feature("1", 100, 0, 18), planes=(11.0, 18.0))
    box = replace(feature("1", 100, 16, 18, "gearbox"), planes=(18.0, 11.0))
    through = pairs([engine], [box]).walls(0)[0]
    by_plane = pairs([engine], [box], by_plane=True).walls(0)[0]
    assert through == pytest.approx(16 - 18)
    assert by_plane == pytest.approx(16 - (18 + 11) / 2)


@pytest.mark.parametrize("clocking", [(5.0, -5.0), (math.nan, 3.0), (0.0, math.inf)])
def test_a_range_that_cannot_be_meant(clocking: tuple[float, float]) -> None:
    with pytest.raises(InputError, match=r"choices\.clocking"):
        up([(100, 0, 10)], [(100, 20, 10)], *clocking)


def test_a_pattern_with_no_hole_left() -> None:
    with pytest.raises(InputError, match="at least one bolt"):
        line_up(
            Pattern(side="engine", holes=()), pattern([(100, 0, 10)], "gearbox"), clocking=(0, 0),
            family="steel", rules=RULES, least=None,
        )  # fmt: skip


clashing = st.lists(
    st.builds(
        Clash, engine=st.sampled_from("abcde"), gearbox=st.sampled_from("vwxyz"), wall=st.just(-1.0)
    ),
    max_size=12,
    unique_by=lambda clash: (clash.engine, clash.gearbox),
)


@FEW
@given(clashes=clashing)
def test_the_fewest_holes_are_left_out(clashes: list[Clash]) -> None:
    chosen = fewest_to_leave_out(clashes)
    assert _covers(chosen, clashes)
    nodes = [("engine", n) for n in "abcde"] + [("gearbox", n) for n in "vwxyz"]
    for size in range(len(chosen)):
        assert not any(_covers(some, clashes) for some in itertools.combinations(nodes, size))
    every = fewest_covers(clashes)
    assert all(_covers(one, clashes) and len(one) == len(chosen) for one in every)


def _covers(chosen: tuple[tuple[str, str], ...], clashes: list[Clash]) -> bool:
    return all(("engine", c.engine) in chosen or ("gearbox", c.gearbox) in chosen for c in clashes)


@pytest.mark.parametrize(
    ("gone", "gap"), [([0], 90.0), ([0, 45], 135.0), ([0, 180], 90.0), ([], 0.0)]
)
def test_the_gap_a_left_out_bolt_opens(gone: list[int], gap: float) -> None:
    """Eight holes 45° apart: by counting."""
    every = {a: feature(str(a), 100 * math.cos(math.radians(a)), 100 * math.sin(math.radians(a)), 10)
             for a in range(0, 360, 45)}  # fmt: skip
    kept = [one for a, one in every.items() if a not in gone]
    assert opened_gap(kept, [every[a] for a in gone]) == pytest.approx(gap)
