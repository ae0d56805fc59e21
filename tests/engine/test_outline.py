"""Outlines drawn: hulls of discs, and imported corners.

Checked against Shapely (a general-purpose geometry library: unions of buffered points and their
convex hull, validity of polygons), against closed forms named at each test, and against the
properties a hull has by definition.
"""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPoint, Polygon

from kb.errors import InputError
from kb.plane.points import holes_on_circle, mirror_x, rotate
from tests.engine.discs import Disc, discs, hull, places, sagitta, shapely_hull, sizes
from wizard.engine.parts.edge import Outline
from wizard.engine.parts.outline import (
    area,
    bounding_box,
    centroid,
    contains,
    distance_to_edge,
    from_points,
    hull_of_discs,
    length,
    second_moment,
)

corners = st.lists(
    st.tuples(st.integers(-30, 30), st.integers(-30, 30)), min_size=3, max_size=12, unique=True
)


def kinds(outline: Outline) -> list[str]:
    return [piece.kind for piece in outline]


def turned(
    start: tuple[float, float], end: tuple[float, float], centre: tuple[float, float]
) -> float:
    """Angle from one end of an arc anticlockwise to the other [rad]."""
    first, last = np.subtract(start, centre), np.subtract(end, centre)
    return math.atan2(first[0] * last[1] - first[1] * last[0], first @ last) % (2 * math.pi)


# ── hulls ───────────────────────────────────────────────────────────────────


@settings(max_examples=150, deadline=None)
@given(taken=discs)
def test_hull_is_that_of_a_general_library(taken: list[Disc]) -> None:
    """Growing a convex shape by s adds at most s to every side of its box, 2·π·s to its length,
    and s · length and a little more to its area (Steiner)."""
    outline, wanted, short = hull(taken), shapely_hull(taken), sagitta(taken)
    assert -1e-6 <= area(outline) - wanted.area <= short * (wanted.length + math.pi * short) + 1e-6
    assert -1e-6 <= length(outline) - wanted.length <= 2 * math.pi * short + 1e-6
    assert bounding_box(outline) == pytest.approx(wanted.bounds, abs=1e-8 + short)


@settings(max_examples=150, deadline=None)
@given(taken=discs)
def test_hull_holds_every_disc_and_touches_what_it_is_made_of(taken: list[Disc]) -> None:
    outline, table = hull(taken), np.array(taken)
    assert (distance_to_edge(outline, table[:, :2]) >= table[:, 2] - 1e-7).all()
    for piece in outline:
        if piece.kind == "arc":
            assert (*piece.centre, piece.radius) in [tuple(disc) for disc in taken]
        middle = np.array((piece.start, piece.end)).mean(axis=0)
        assert contains(outline, [middle]).all()


@settings(max_examples=150, deadline=None)
@given(taken=discs)
@example(taken=[(50.0, 50.0, 1.0), (50.0, -50.0, 1.0), (50.000000001, 0.0, 1.0)])
def test_hull_is_a_smooth_convex_chain(taken: list[Disc]) -> None:
    """By definition: each piece begins exactly where the last ended, a line meets an arc square to
    its radius, and the arcs together turn once round, always to the left. Two lines meet only over
    a disc that stands out less than an arc can show, and then they are as good as one."""
    outline = hull(taken)
    around = list(itertools.pairwise((*outline, outline[0])))
    assert all(after.start == before.end for before, after in around)
    arcs = [piece for piece in outline if piece.kind == "arc"]
    assert all(arc.ccw for arc in arcs)
    assert sum(turned(a.start, a.end, a.centre) for a in arcs) == pytest.approx(
        2 * math.pi, abs=1e-6
    )
    for before, after in around:
        runs = [np.subtract(p.end, p.start) for p in (before, after) if p.kind == "line"]
        reaches = [np.subtract(after.start, p.centre) for p in (before, after) if p.kind == "arc"]
        if len(runs) == 2:
            assert abs(runs[0][0] * runs[1][1] - runs[0][1] * runs[1][0]) < 1e-6
        elif len(runs) == 1:
            assert abs(runs[0] @ reaches[0]) < 1e-8 * (1 + np.hypot(*runs[0])) * 100
        else:
            assert len(outline) == 2


@settings(max_examples=60, deadline=None)
@given(taken=discs, turn=st.floats(0, 360), order=st.randoms(use_true_random=False))
def test_hull_turns_and_flips_with_its_discs(
    taken: list[Disc], turn: float, order: random.Random
) -> None:
    table = np.array(taken)
    outline = hull(taken)
    shuffled = list(range(len(taken)))
    order.shuffle(shuffled)
    for move in (lambda points: rotate(points, turn), mirror_x):
        other = hull_of_discs(move(table[shuffled, :2]), table[shuffled, 2])
        assert area(other) == pytest.approx(area(outline), rel=1e-9)
        assert length(other) == pytest.approx(length(outline), rel=1e-9)
        assert centroid(other) == pytest.approx(move([centroid(outline)])[0], abs=1e-6)
        own, theirs = second_moment(outline), second_moment(other)
        assert theirs.polar == pytest.approx(own.polar, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(taken=discs, more=st.tuples(places, places, sizes))
def test_another_disc_never_makes_it_smaller(taken: list[Disc], more: Disc) -> None:
    before, after = area(hull(taken)), area(hull([*taken, more]))
    assert after >= before - 1e-6
    assert after >= math.pi * more[2] ** 2 - 1e-6


@settings(max_examples=60, deadline=None)
@given(taken=corners)
def test_hull_of_bare_points_is_the_polygon_round_them(taken: list[tuple[int, int]]) -> None:
    wanted = MultiPoint(taken).convex_hull
    if wanted.area == 0:
        with pytest.raises(InputError, match="one straight line"):
            hull_of_discs(taken, np.zeros(len(taken)))
        return
    outline = hull_of_discs(taken, np.zeros(len(taken)))
    assert set(kinds(outline)) == {"line"}
    assert len(outline) == len(wanted.exterior.coords) - 1
    assert Polygon([piece.start for piece in outline]).equals(wanted)


def test_a_disc_alone_is_two_half_circles() -> None:
    outline = hull_of_discs([(30, -20)], [15])
    assert kinds(outline) == ["arc", "arc"]
    assert area(outline) == pytest.approx(math.pi * 15**2, rel=1e-12)
    assert length(outline) == pytest.approx(2 * math.pi * 15, rel=1e-12)
    assert centroid(outline) == pytest.approx((30, -20), abs=1e-9)


@pytest.mark.parametrize(
    "others",
    [
        [(0, 0, 50)],
        [(0, 0, 20)],
        [(30, 0, 20)],  # touches from inside
        [(0, 0, 50), (0, 0, 50), (10, 10, 3)],
        [(50 - 1e-12, 0, 0)],
    ],
    ids=["twin", "concentric", "touching inside", "several", "point on the edge"],
)
def test_discs_within_another_change_nothing(others: list[Disc]) -> None:
    assert hull([*others, (0, 0, 50)]) == hull_of_discs([(0, 0)], [50])


def test_stadium() -> None:
    """Closed form: rectangle and two half discs; discs between change nothing."""
    for between in ([], [(40, 0, 10)], [(20, 0, 10), (60, 0, 10), (50, 3, 7)]):
        outline = hull([(0, 0, 10), *between, (80, 0, 10)])
        assert sorted(kinds(outline)) == ["arc", "arc", "line", "line"]
        assert area(outline) == pytest.approx(math.pi * 100 + 20 * 80, rel=1e-12)
        assert length(outline) == pytest.approx(2 * math.pi * 10 + 160, rel=1e-12)
        assert bounding_box(outline) == pytest.approx((-10, -10, 90, 10), abs=1e-12)
        assert centroid(outline) == pytest.approx((40, 0), abs=1e-9)
        across = 80 * 20**3 / 12 + math.pi * 10**4 / 4
        assert second_moment(outline).about_x == pytest.approx(across, rel=1e-12)


@given(turn=st.floats(0, 360), steps=st.lists(st.integers(1, 199), max_size=6))
def test_discs_in_line_make_one_straight_edge(turn: float, steps: list[int]) -> None:
    """At any angle, where no coordinate is a round number, as at none."""
    along = np.array([0, *steps, 200])[:, None] * rotate([(1, 0)], turn) + (33.3, -7.7)
    outline = hull_of_discs(along, np.full(len(along), 12.5))
    assert sorted(kinds(outline)) == ["arc", "arc", "line", "line"]
    assert length(outline) == pytest.approx(400 + 25 * math.pi, rel=1e-12)


def test_triangle_of_equal_discs() -> None:
    """Closed form (the offset of a triangle): √3/4·a² + 3·a·r + π·r², and 3·a + 2·π·r round."""
    points = holes_on_circle(count=3, diameter=2 * 60 / math.sqrt(3), start=90)
    outline = hull_of_discs(points, [12, 12, 12])
    assert kinds(outline).count("arc") == kinds(outline).count("line") == 3
    wanted = math.sqrt(3) / 4 * 60**2 + 3 * 60 * 12 + math.pi * 12**2
    assert area(outline) == pytest.approx(wanted, rel=1e-12)
    assert length(outline) == pytest.approx(180 + 2 * math.pi * 12, rel=1e-12)


def test_two_unequal_discs_are_an_open_belt() -> None:
    """Length of an open belt, 2·C·cos α + π·(R + r) + 2·α·(R − r), sin α = (R − r)/C: closed form."""
    for big, small, apart in ((60.0, 25.0, 150.0), (60.0, 25.0, 36.0), (60.0, 0.0, 100.0)):
        outline = hull([(0, 0, big), (apart, 0, small)])
        lean = math.asin((big - small) / apart)
        belt = 2 * apart * math.cos(lean) + math.pi * (big + small) + 2 * lean * (big - small)
        assert length(outline) == pytest.approx(belt, rel=1e-12)
        sectors = (math.pi / 2 + lean) * big**2 + (math.pi / 2 - lean) * small**2
        assert area(outline) == pytest.approx(
            sectors + (big + small) * apart * math.cos(lean), rel=1e-12
        )


def test_a_bolt_circle_of_discs_is_a_rounded_polygon() -> None:
    """Closed form: the polygon, a strip along each side, one whole disc."""
    outline = hull_of_discs(holes_on_circle(count=12, diameter=400, start=7), np.full(12, 20.0))
    side, inside = 400 * math.sin(math.pi / 12), 6 * 200**2 * math.sin(math.pi / 6)
    assert area(outline) == pytest.approx(inside + 12 * side * 20 + math.pi * 400, rel=1e-12)
    assert len(outline) == 24


@pytest.mark.parametrize(
    ("centres", "radii", "field"),
    [
        ([], [], "centres"),
        ([(0, 0)], [1, 2], "radii"),
        ([(0, 0), (9, 0)], [1, -2], "radii"),
        ([(0, 0)], [0], "radii"),
        ([(0, 0), (9, 0)], [0, 0], "radii"),
        ([(0, 0), (9, 9), (4, 4)], [0, 0, 0], "radii"),
        ([(0, math.nan)], [1], "centres"),
        ([(0, 0)], [math.inf], "radii"),
        ([(0, 0)], [1e300], "radii"),
    ],
)
def test_discs_nobody_can_mean(
    centres: list[tuple[float, float]], radii: list[float], field: str
) -> None:
    with pytest.raises(InputError, match=rf"^{field}: "):
        hull_of_discs(centres, radii)


# ── imported corners ────────────────────────────────────────────────────────


@settings(max_examples=200, deadline=None)
@given(taken=corners)
def test_corners_are_taken_if_and_only_if_they_make_a_simple_polygon(
    taken: list[tuple[int, int]],
) -> None:
    polygon = Polygon(taken)
    if not polygon.is_valid or polygon.area == 0:
        with pytest.raises(InputError, match=r"^engine\.face\.outline: "):
            from_points(taken, key="engine.face.outline")
        return
    for way in (taken, taken[::-1], [*taken, taken[0]]):
        outline = from_points(way)
        assert area(outline) == pytest.approx(polygon.area, rel=1e-12)
        assert length(outline) == pytest.approx(polygon.length, rel=1e-12)
        assert centroid(outline) == pytest.approx(polygon.centroid.coords[0], abs=1e-9)
        assert bounding_box(outline) == polygon.bounds


def test_a_corner_taken_twice_is_one() -> None:
    square = from_points([(0, 0), (10, 0), (10, 10), (0, 10)])
    assert len(square) == 4
    assert set(from_points([(0, 0), (10, 0), (10, 0), (10, 10), (0, 10), (0, 0)])) == set(square)


@pytest.mark.parametrize(
    ("taken", "says"),
    [
        ([(0, 0), (1, 1)], "2 points"),
        ([(0, 0), (5, 5), (0, 0)], "2 different corners"),
        ([(0, 0), (5, 5), (9, 9)], "edges from point 2 to 3 and 3 to 1"),
        ([(0, 0), (10, 0), (0, 10), (10, 10)], "edges from point 2 to 3 and 4 to 1"),
        ([(0, 0), (10, 0), (10, 0), (0, 10), (10, 10)], "edges from point 3 to 4 and 5 to 1"),
        ([(0, 0), (8, 0), (4, 0), (4, 6)], "edges from point 3 to 4 and 1 to 2"),
        ([(0, 0), (8, 0), (8, 8), (4, 0), (0, 8)], "edges from point 4 to 5 and 1 to 2"),
        ([(0, 0), (8, 0), (math.nan, 8)], "nan, 8 (point 3)"),
    ],
)
def test_corners_that_make_no_outline(taken: list[tuple[float, float]], says: str) -> None:
    with pytest.raises(InputError) as caught:
        from_points(taken, key="engine.face.outline")
    assert caught.value.field == "engine.face.outline"
    assert caught.value.text == says
