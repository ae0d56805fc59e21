"""Ways out of a clash: fewest holes to leave out, screws shared, and the gap that opens.

The fewest holes against every subset of the holes (brute force); gaps by counting degrees; the
rest by hand.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kb.errors import InputError
from kb.model.lineup import Clash, Feature, LineUp, Pattern
from kb.quantity import read_thread
from kb.sheets.reading import read
from tests.engine.facing import RULES, Disc, circle, lined_up, pattern, patterns, turned, walls_at
from wizard.engine.clashes import fewest_covers, fewest_to_leave_out, find_clashes, opened_gap
from wizard.engine.lineup import line_up, line_up_fixed
from wizard.engine.normalise import normalise

HELD = settings(max_examples=80, deadline=None)
Edge = tuple[int, int]
graphs = st.sets(st.tuples(st.integers(1, 6), st.integers(1, 6)), max_size=16)


def clashing(edges: Collection[Edge]) -> list[Clash]:
    return [Clash(engine=str(a), gearbox=str(b), wall=-1.0) for a, b in sorted(edges)]


def covers_by_trying(edges: Collection[Edge]) -> set[frozenset[tuple[str, str]]]:
    """Every least set of holes that touches every clash, by trying all sets of each size."""
    nodes = [("engine", str(n)) for n in range(1, 7)] + [("gearbox", str(n)) for n in range(1, 7)]
    for size in range(len(nodes) + 1):
        found = {
            frozenset(some)
            for some in itertools.combinations(nodes, size)
            if all(("engine", str(a)) in some or ("gearbox", str(b)) in some for a, b in edges)
        }
        if found:
            return found
    raise AssertionError


# ── fewest to leave out ─────────────────────────────────────────────────────


@HELD
@given(edges=graphs)
@example(edges=set())
@example(edges={(1, 1), (1, 2), (2, 2), (2, 3), (3, 3)})
@example(edges={(1, n) for n in range(1, 7)} | {(n, 1) for n in range(1, 7)})
def test_fewest_to_leave_out_against_every_subset(edges: set[Edge]) -> None:
    least = covers_by_trying(edges)
    chosen = fewest_to_leave_out(clashing(edges))
    assert len(set(chosen)) == len(chosen)
    assert frozenset(chosen) in least
    every = fewest_covers(clashing(edges))
    assert {frozenset(one) for one in every} == least
    assert len(every) == len(least)


def test_one_hole_that_clashes_with_many_goes_itself() -> None:
    star = clashing({(1, n) for n in range(1, 6)})
    assert fewest_to_leave_out(star) == (("engine", "1"),)
    other = clashing({(n, 2) for n in range(1, 6)})
    assert fewest_to_leave_out(other) == (("gearbox", "2"),)


def test_line_up_names_the_fewest_at_the_turn_it_uses() -> None:
    """One gearbox hole lies on two of the engine's, the other pair apart: leaving it out is enough."""
    fixed = [*turned([(100, 0, 20)], 4), *turned([(100, 0, 20)], -4), (-100, 0, 20)]
    found = lined_up(fixed, [(100, 0, 10), (0, 140, 10)], clocking=(0, 0))
    apart = 200 * math.sin(math.radians(2)) - 15
    assert [(one.engine, one.gearbox) for one in found.clashes] == [("1", "1"), ("2", "1")]
    assert [one.wall for one in found.clashes] == pytest.approx([apart, apart])
    assert found.leave_out == (("gearbox", "1"),)


@HELD
@given(fixed=patterns(least=2, most=6), other=patterns(least=2, most=6), turn=st.floats(-30, 30))
def test_leaving_them_out_ends_every_clash(
    fixed: list[Disc], other: list[Disc], turn: float
) -> None:
    found = lined_up(fixed, other, clocking=(turn, turn))
    gone = set(found.leave_out)
    kept = [d for n, d in enumerate(fixed, start=1) if ("engine", str(n)) not in gone]
    rest = [d for n, d in enumerate(other, start=1) if ("gearbox", str(n)) not in gone]
    assert len(gone) <= len(found.clashes)
    if kept and rest:
        assert walls_at(kept, rest, turn).min() >= -1e-7
    else:
        assert len(gone) == min(len(fixed), len(other))


def test_clashes_come_worst_first() -> None:
    fixed = pattern("engine", circle(count=3, diameter=200)).holes
    walls = walls_at(circle(count=3, diameter=200), circle(count=3, diameter=200), 1.0)[0]
    walls[0, 0], walls[1, 1], walls[2, 2] = -1.0, -3.0, -2.0
    found = find_clashes(fixed, fixed, walls.ravel())
    assert [(one.engine, one.gearbox, one.wall) for one in found] == [
        ("2", "2", -3.0), ("3", "3", -2.0), ("1", "1", -1.0),
    ]  # fmt: skip


# ── the gap that opens ──────────────────────────────────────────────────────


def at(angle: float, id: str = "") -> Feature:
    x, y = 120 * math.cos(math.radians(angle)), 120 * math.sin(math.radians(angle))
    return Feature(side="engine", id=id or f"{angle}", kind="tapped", x=x, y=y, keepout=12)


def gap(every: Collection[float], gone: Collection[float]) -> float:
    return opened_gap([at(a) for a in every if a not in gone], [at(a) for a in gone])


@pytest.mark.parametrize("shift", [0, 17, 91, 179, 200, 359])
@pytest.mark.parametrize(
    ("gone", "wide"),
    [((), 0), ((0,), 90), ((0, 45), 135), ((0, 90), 90), ((0, 180), 90), ((0, 45, 90, 180), 180),
     ((0, 45, 315), 180), ((0, 45, 90, 135, 180, 225), 315)],
)  # fmt: skip
def test_gaps_of_an_eight_hole_circle(gone: tuple[int, ...], wide: float, shift: int) -> None:
    """Holes 45° apart, by counting steps between the ones that stay; the start cannot matter."""
    every = [float(45 * n + shift) for n in range(8)]
    assert gap(every, [float(a + shift) for a in gone]) == pytest.approx(wide)


def test_a_gap_the_casting_already_has_does_not_count() -> None:
    """Holes at 0, 20, 40 and 200°: 160° and 160° were there; leaving out 20° opens 40° only."""
    assert gap([0, 20, 40, 200], [20]) == pytest.approx(40)
    assert gap([0, 20, 40, 200], [40]) == pytest.approx(180)
    assert gap([0, 20, 40, 200], [200]) == pytest.approx(320)


def test_a_gap_over_the_seam_of_the_angles() -> None:
    assert gap([350, 5, 20, 180], [5]) == pytest.approx(30)
    assert gap([350, 5, 20, 180], [350]) == pytest.approx(185)
    assert gap([-170, 170, 0], [-170]) == pytest.approx(190)


def test_a_hole_beside_the_one_left_out_at_the_same_angle_leaves_no_gap() -> None:
    assert opened_gap([at(0), at(90), at(180)], [at(90)]) == 0


@pytest.mark.parametrize("kept", [[], [0.0]])
def test_a_joint_with_no_second_bolt_is_open_all_round(kept: list[float]) -> None:
    assert gap([*kept, 90.0], [90.0]) == 360


# ── choices of the sheet ────────────────────────────────────────────────────

SHEET = """
units = "mm"
[engine.face]
holes = [
  {{ id = "a", x = 150, y = 0, thread = "M10" }},
  {{ id = "b", x = 0, y = 150, thread = "M10" }},
  {{ id = "c", x = -150, y = 0, thread = "M10" }},
]
[gearbox.face]
holes = [
  {{ id = "p", x = -150, y = {off}, hole = 11 }},
  {{ id = "q", x = 0, y = 130, hole = 11 }},
  {{ id = "r", x = 120, y = -90, hole = 11 }},
]
[choices]
{choices}
"""


def up(choices: str = "", off: float = 0.0) -> LineUp:
    found = line_up_fixed(normalise(read(SHEET.format(choices=choices, off=off))))
    assert found is not None
    return found


def test_sheet_by_hand() -> None:
    """Gearbox p, measured at x −150, stands at +150 behind it, on the engine's a.

    Counterbore of M10 18 mm (DIN 974-1, from memory), gearbox screw 10 mm: −14 where they coincide;
    b and q are 20 apart: 20 − 14 = 6; c and r, at (−120, −90) once mirrored, 94.87 − 14.
    """
    found = up()
    assert found.wall == pytest.approx(-14)
    assert [(one.engine, one.gearbox) for one in found.clashes] == [("a", "p")]
    assert found.shared == (("a", "p"),)


def test_a_shared_pair_needs_no_wall_and_no_other_pair_is_let_off() -> None:
    found = up('share = ["a=p"]')
    assert found.wall == found.best_wall == pytest.approx(6)
    assert found.clashes == ()
    assert found.leave_out == ()
    assert found.shared == (("a", "p"),)
    assert up('share = ["b=q"]').wall == pytest.approx(-14)


@pytest.mark.parametrize("angle", [0.0, 30.0, 47.3, 123.4])
def test_a_shared_pair_does_not_drive_the_gearbox_off_its_place(angle: float) -> None:
    """The two coincide to the last figure or nearly: the turn stays upright, the window whole."""
    fixed = turned([(100, 0, 10), (0, -80, 10)], angle)
    other = turned([(100 * (1 + 2e-16), 1e-14, 10), (0, 60, 10)], angle)
    found = lined_up(fixed, other, clocking=(-5, 5), least=3, share=[("1", "1")])
    assert found.clocking == 0
    assert found.windows == ((-5, 5),)


def test_every_pair_shared_leaves_no_wall_to_speak_of() -> None:
    found = lined_up([(100, 0, 10)], [(100, 0, 10)], clocking=(2, 5), share=[("1", "1")])
    assert (found.wall, found.best_wall) == (None, None)
    assert (found.clocking, found.best_clocking) == (2, 2)
    assert found.windows == ((2, 5),)
    assert found.clashes == ()


def test_holes_left_out_are_no_longer_looked_at() -> None:
    found = up('leave_out = ["engine:a"]')
    assert found.wall == pytest.approx(6)
    assert found.clashes == ()
    both = up('leave_out = ["engine:a", "gearbox:q"]')
    assert both.wall == pytest.approx(math.hypot(150 - 120, 90) - 14)
    other = up('leave_out = ["gearbox:p"]')
    assert other.wall == pytest.approx(6)


@pytest.mark.parametrize(
    ("choices", "field"),
    [
        ('leave_out = ["engine:z"]', "leave_out"),
        ('leave_out = ["gearbox:a"]', "leave_out"),
        ('leave_out = ["a"]', "leave_out"),
        ('share = ["p=a"]', "share"),
        ('share = ["a"]', "share"),
        ('share = ["a=z"]', "share"),
    ],
)
def test_holes_the_faces_do_not_have_are_refused(choices: str, field: str) -> None:
    with pytest.raises(InputError, match=field):
        up(choices)


@pytest.mark.parametrize(("off", "shared"), [(0.0, True), (0.5, True), (0.51, False)])
def test_one_screw_for_both_where_the_clear_hole_lets_it_pass(off: float, shared: bool) -> None:
    """An 11 mm hole leaves an M10 half a millimetre all round."""
    assert (("a", "p") in up(off=off).shared) == shared


def test_what_can_share_is_told_at_the_turn_used() -> None:
    """Turned by 90° the gearbox's p stands on the engine's b."""
    held = up("clocking = [90, 90]")
    assert held.shared == (("b", "p"),)
    assert up("clocking = [45, 45]").shared == ()


@pytest.mark.parametrize("turn", [25.0, -70.0, 140.0])
def test_holes_that_coincide_once_turned(turn: float) -> None:
    """The engine's hole at 40°, the gearbox's so that the turn brings it there."""
    x, y, _ = turned([(130, 0, 10)], 40)[0]
    u, v, _ = turned([(130, 0, 10)], 40 - turn)[0]
    screw = read_thread("M10", key="thread")
    tapped = Feature(side="engine", id="1", kind="tapped", x=x, y=y, keepout=18, screw=screw)
    clear = Feature(side="gearbox", id="2", kind="clear", x=u, y=v, keepout=10, diameter=10.5)
    one, two = Pattern(side="engine", holes=(tapped,)), Pattern(side="gearbox", holes=(clear,))
    for held, shared in ((turn, (("1", "2"),)), (turn + 1, ()), (-turn, ())):
        found = line_up(
            one, two, clocking=(held, held), family="steel", rules=RULES, least=None
        )  # fmt: skip
        assert found.shared == shared
        both = line_up(two, one, clocking=(-held, -held), family="steel", rules=RULES, least=None)
        assert both.shared == tuple((b, a) for a, b in shared)


@pytest.mark.parametrize(("size", "shared"), [(10.0, False), (10.001, True)])
def test_a_screw_does_not_pass_a_hole_of_its_own_size(size: float, shared: bool) -> None:
    text = SHEET.format(choices="", off=0.0).replace(
        "y = 0.0, hole = 11", f"y = 0.0, hole = {size}"
    )
    found = line_up_fixed(normalise(read(text)))
    assert found is not None
    assert bool(found.shared) is shared


@pytest.mark.parametrize(("gone", "gap"), [(359.5, 15), (4.5, 15), (5.5, 345), (349.5, 345)])
def test_a_gap_across_three_o_clock(gone: float, gap: float) -> None:
    """Bolts at 350° and 5°: what stood between them opened 15°, anything else the other 345°."""
    kept, left = (
        [Feature(side="engine", id=f"{angle}", kind="tapped", keepout=10,
                 x=100 * math.cos(math.radians(angle)), y=100 * math.sin(math.radians(angle)))
         for angle in angles]
        for angles in ((350, 5), (gone,))
    )  # fmt: skip
    assert opened_gap(kept, left) == pytest.approx(gap)
