"""A pocket in the edge of an outline.

Checked against Shapely, a closed form, and what a pocket with rounded corners is by definition: the
part less the disc, opened by a ball of the corners' radius (shrunk by it and grown again). Shapely
smooths a shape by about 1 % of the distance before it shrinks it (from memory), hence the margins.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from kb.errors import InputError
from kb.model.parts import Segment
from kb.plane.points import holes_on_circle, mirror_x, rotate
from wizard.engine.parts.edge import Outline
from wizard.engine.parts.outline import (
    area,
    distance_to_edge,
    from_points,
    hull_of_discs,
    length,
    sample,
)
from wizard.engine.parts.relief import with_clearance

PLATE = from_points([(-200, -100), (200, -100), (200, 0), (-200, 0)])


def heading(piece: Segment, *, at_end: bool) -> tuple[float, float]:
    """Direction of travel at one end of a piece."""
    x, y = np.subtract(piece.end, piece.start)
    if piece.centre is not None:
        x, y = np.subtract(piece.end if at_end else piece.start, piece.centre)
        x, y = (-y, x) if piece.ccw else (y, -x)
    far = math.hypot(x, y)
    return x / far, y / far


def assert_smooth(outline: Outline) -> None:
    for before, after in itertools.pairwise((*outline, outline[0])):
        assert before.end == after.start
        assert heading(before, at_end=True) == pytest.approx(heading(after, at_end=False), abs=1e-6)


def opened(outline: Outline, centre: tuple[float, float], radius: float, fillet: float) -> Polygon:
    """What Shapely leaves of the part, corners rounded."""
    disc = shapely.buffer(shapely.Point(centre), radius, quad_segs=200)
    left = Polygon(sample(outline, 0.5)).difference(disc)
    return left.buffer(-fillet, quad_segs=64).buffer(fillet, quad_segs=64)


def one_part(outline: Outline, centre: tuple[float, float], radius: float, fillet: float) -> bool:
    left = opened(outline, centre, radius, fillet)
    return left.geom_type == "Polygon" and not left.is_empty


@pytest.mark.parametrize(("radius", "fillet"), [(40.0, 3.0), (25.0, 10.0), (60.0, 0.5)])
def test_half_a_disc_out_of_a_straight_edge(radius: float, fillet: float) -> None:
    """Closed form, half of it: the sector of the disc between the vertical and the line to the
    fillet's centre, and the triangle under that line less the fillet's own sector."""
    cut = with_clearance(PLATE, centre=(10, 0), radius=radius, fillet=fillet)
    run = math.sqrt((radius + fillet) ** 2 - fillet**2)
    low = math.atan2(fillet, run)
    sectors = (radius**2 - fillet**2) / 2 * (math.pi / 2 - low)
    assert area(PLATE) - area(cut) == pytest.approx(2 * (sectors + run * fillet / 2), rel=1e-9)
    around = (radius + fillet) * (math.pi / 2 - low)
    assert length(cut) - length(PLATE) == pytest.approx(2 * (around - run), rel=1e-9)
    pocket = [piece for piece in cut if piece.kind == "arc"]
    assert [(piece.radius, piece.ccw) for piece in pocket] == [
        (fillet, True), (radius, False), (fillet, True)
    ]  # fmt: skip
    assert pocket[1].centre == (10, 0)
    assert [tuple(np.round((p.start, p.end), 9).ravel()) for p in (pocket[0], pocket[2])] == [
        tuple(np.round((10 + run, 0, *_touch(run, radius, fillet)), 9)),
        tuple(np.round((*_touch(-run, radius, fillet), 10 - run, 0), 9)),
    ]


def _touch(run: float, radius: float, fillet: float) -> tuple[float, float]:
    """Where a fillet whose centre lies at (10 + run, −fillet) touches the disc about (10, 0)."""
    share = radius / (radius + fillet)
    return 10 + share * run, -share * fillet


hulls = st.lists(
    st.tuples(st.floats(-200, 200), st.floats(-200, 200), st.floats(10, 60)), min_size=1, max_size=9
)


@settings(max_examples=150, deadline=None)
@given(
    taken=hulls, way=st.floats(0, 360), depth=st.floats(-1.2, 1.2), radius=st.floats(5, 80),
    fillet=st.floats(1, 5),
)  # fmt: skip
def test_pocket_is_the_part_less_the_disc_with_rounded_corners(
    taken: list[tuple[float, float, float]], way: float, depth: float, radius: float, fillet: float
) -> None:
    """The disc is put near the edge in some direction, from just outside to just inside."""
    table = np.array(taken)
    outline = hull_of_discs(table[:, :2], table[:, 2])
    edge = sample(outline, 5.0)
    spot = edge[int(way / 360 * (len(edge) - 1))]
    outward = spot - edge.mean(axis=0)
    x, y = spot + depth * radius * outward / np.hypot(*outward)
    try:
        cut = with_clearance(outline, centre=(x, y), radius=radius, fillet=fillet)
    except InputError:
        inside = float(distance_to_edge(outline, [(x, y)])[0]) >= radius - 1e-6
        # a hole, nothing left, or two parts, be it that a neck is too thin for a corner
        assert inside or not all(one_part(outline, (x, y), radius, k * fillet) for k in (0.95, 1.1))
        return
    assert_smooth(cut)
    assert cut is outline or distance_to_edge(cut, [(x, y)])[0] == pytest.approx(-radius, abs=1e-6)
    own = {(piece.centre, piece.radius) for piece in outline}
    new = {p.radius for p in cut if p.kind == "arc" and (p.centre, p.radius) not in own}
    assert new <= {fillet, radius}
    drawn, whole = Polygon(sample(cut, 0.1)), Polygon(sample(outline, 0.1))
    assert drawn.is_valid
    assert drawn.difference(whole).area < 1e-3 * drawn.length
    # what went beside the disc is too thin for a ball of the corner's radius
    disc = shapely.buffer(shapely.Point(x, y), radius, quad_segs=200)
    assert whole.difference(disc).difference(drawn).buffer(-1.05 * fillet).is_empty


@settings(max_examples=30, deadline=None)
@given(
    turn=st.floats(0, 360), x=st.floats(-300, 300), y=st.floats(-300, 300), piece=st.integers(0, 20)
)
def test_pocket_moves_with_the_part(turn: float, x: float, y: float, piece: int) -> None:
    """Wherever the chain happens to begin, and seen from either side."""
    centres, radii = np.array([(0, 0), (150, 20), (80, 120)]), np.array([40.0, 30, 25])
    before = with_clearance(hull_of_discs(centres, radii), centre=(90, -40), radius=35, fillet=4)
    for move in (lambda points: rotate(points, turn) + np.array((x, y)), mirror_x):
        outline = hull_of_discs(move(centres), radii)
        start = piece % len(outline)
        spot = tuple(move([(90, -40)])[0])
        after = with_clearance(
            (*outline[start:], *outline[:start]), centre=spot, radius=35, fillet=4
        )
        assert area(after) == pytest.approx(area(before), rel=1e-9)
        assert length(after) == pytest.approx(length(before), rel=1e-9)


def test_a_pocket_over_a_corner_of_the_part() -> None:
    corner = with_clearance(PLATE, centre=(200, 0), radius=30, fillet=2)
    wanted = opened(PLATE, (200, 0), 30, 2)
    # Shapely also rounds the three corners that are left: (1 − π/4)·2² each
    assert area(corner) == pytest.approx(wanted.area + 3 * (4 - math.pi), abs=0.5)
    assert [piece.kind for piece in corner].count("arc") == 3


def test_what_is_too_thin_for_a_corner_falls_away() -> None:
    """The disc leaves the plate's far corners as scraps, each too small for a ball of 10."""
    cut = with_clearance(PLATE, centre=(150, -50), radius=60, fillet=10)
    assert area(cut) == pytest.approx(opened(PLATE, (150, -50), 60, 10).area, abs=100)
    assert max(max(piece.start[0], piece.end[0]) for piece in cut) < 150


@pytest.mark.parametrize("x", [80.0, 20.0])
def test_a_corner_that_begins_where_line_and_arc_meet(x: float) -> None:
    """A disc of 10 on the edge with corners of 15 reaches √(25² − 15²) = 20 along it."""
    belt = hull_of_discs([(0, 0), (100, 0)], [20, 20])
    cut = with_clearance(belt, centre=(x, 20), radius=10, fillet=15)
    assert_smooth(cut)
    assert len(cut) == 7
    assert {tuple(np.round(p.start, 9)) for p in cut} >= {(x + 20, 20), (100, -20)}


def test_a_pocket_beside_a_corner_that_points_inward() -> None:
    """The fillet rests on the corner: it ends there, and everything else is as it should be."""
    stepped = from_points([(-100, -50), (100, -50), (100, 2), (22, 2), (22, 0), (-100, 0)])
    cut = with_clearance(stepped, centre=(0, 15), radius=25, fillet=8)
    corner = [piece for piece in cut if (22.0, 0.0) in (piece.start, piece.end)]
    assert sorted((piece.kind, piece.radius) for piece in corner) == [("arc", 8.0), ("line", None)]
    assert distance_to_edge(cut, [(0, 15)])[0] == pytest.approx(-25, abs=1e-9)
    assert area(cut) == pytest.approx(opened(stepped, (0, 15), 25, 8).area, rel=0.01)


def test_a_part_drawn_by_many_short_edges() -> None:
    """A round part with a round dent, taken as 720 corners, gives what the true arcs give."""
    true = with_clearance(hull_of_discs([(0, 0)], [100]), centre=(110, 0), radius=60, fillet=10)
    true = with_clearance(true, centre=(60, -50), radius=20, fillet=5)
    points = sample(with_clearance(
        hull_of_discs([(0, 0)], [100]), centre=(110, 0), radius=60, fillet=10
    ), 0.8)  # fmt: skip
    found = with_clearance(from_points(points), centre=(60, -50), radius=20, fillet=5)
    assert area(found) == pytest.approx(area(true), rel=2e-4)
    assert length(found) == pytest.approx(length(true), rel=1e-3)


def test_a_pocket_in_a_pocket() -> None:
    once = with_clearance(PLATE, centre=(0, 0), radius=40, fillet=3)
    twice = with_clearance(once, centre=(0, -45), radius=10, fillet=3)
    assert area(twice) < area(once)
    assert distance_to_edge(twice, [(0, -45)])[0] == pytest.approx(-10, abs=1e-9)
    assert distance_to_edge(twice, [(0, 0)])[0] == pytest.approx(-40, abs=1e-9)
    apart = with_clearance(once, centre=(120, 0), radius=20, fillet=3)
    alone = with_clearance(PLATE, centre=(120, 0), radius=20, fillet=3)
    assert area(once) - area(apart) == pytest.approx(area(PLATE) - area(alone), rel=1e-9)


def test_a_pocket_that_takes_most_of_a_round_part() -> None:
    """Closed form without the corners: two circles of radius 50, 60 apart, keep a crescent."""
    disc = hull_of_discs([(0, 0)], [50])
    cut = with_clearance(disc, centre=(60, 0), radius=50, fillet=0.01)
    lens = 2 * 50**2 * math.acos(0.6) - 60 / 2 * math.sqrt(4 * 50**2 - 60**2)
    assert area(cut) == pytest.approx(math.pi * 50**2 - lens, rel=1e-5)


@pytest.mark.parametrize("centre", [(0, 60), (0, 40), (260, -50), (500, 500)])
def test_a_disc_that_does_not_reach_the_part_changes_nothing(centre: tuple[float, float]) -> None:
    assert with_clearance(PLATE, centre=centre, radius=40) is PLATE


@pytest.mark.parametrize(
    ("centre", "radius", "fillet", "says"),
    [
        ((0, -50), 40, 3, "a hole, not a pocket"),
        ((0, -50), 50, 3, "a hole, not a pocket"),
        ((0, -50), 60, 3, "one part, with room"),  # through both sides
        ((0, -60), 38, 3, "a hole, not a pocket"),
        ((0, 0), 99, 3, "one part, with room"),  # leaves a web of 1
        ((0, -50), 900, 3, "one part, with room"),  # leaves nothing
        ((150, -50), 60, 3, "one part, with room"),  # leaves scraps beside it
    ],
)
def test_discs_that_leave_no_pocket(
    centre: tuple[float, float], radius: float, fillet: float, says: str
) -> None:
    with pytest.raises(InputError, match=says) as caught:
        with_clearance(PLATE, centre=centre, radius=radius, fillet=fillet)
    assert caught.value.field == "clearance"
    assert f"radius {radius} mm about {centre[0]}, {centre[1]}" in caught.value.text


def test_a_part_too_thin_for_the_corners() -> None:
    strip = from_points([(0, 0), (200, 0), (200, 10), (0, 10)])
    assert area(with_clearance(strip, centre=(100, 10), radius=3, fillet=2)) < area(strip)
    with pytest.raises(InputError, match="one part, with room for corners of 6 mm"):
        with_clearance(strip, centre=(100, 10), radius=3, fillet=6)


def test_a_thin_fin_that_would_stay_in_the_way() -> None:
    """Both corners fit beside the disc, but a fin of 1.5 beyond them still reaches into it."""
    finned = [
        (-200, -100),
        (200, -100),
        (200, 0),
        (31.5, 0),
        (31.5, 40),
        (30, 40),
        (30, 0),
        (-200, 0),
    ]
    assert with_clearance(from_points(finned), centre=(-100, 20), radius=32)
    with pytest.raises(InputError, match="one part, with room"):
        with_clearance(from_points(finned), centre=(0, 20), radius=32)


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"centre": (0, math.nan), "radius": 5}, "clearance"),
        ({"centre": (0, 0), "radius": 0}, "clearance"),
        ({"centre": (0, 0), "radius": -5}, "clearance"),
        ({"centre": (0, 0), "radius": 5, "fillet": 0}, "fillet"),
        ({"centre": (0, 0), "radius": 5, "fillet": math.inf}, "fillet"),
    ],
)
def test_pockets_nobody_can_mean(asked: dict[str, object], field: str) -> None:
    with pytest.raises(InputError) as caught:
        with_clearance(PLATE, **asked)  # type: ignore[arg-type]
    assert caught.value.field == field


def test_a_ring_of_lobes_keeps_its_other_pieces() -> None:
    """Only the pieces the pocket reaches are changed."""
    outline = hull_of_discs(holes_on_circle(count=8, diameter=300), np.full(8, 25.0))
    cut = with_clearance(outline, centre=(180, 0), radius=40, fillet=5)
    assert len(set(outline) & set(cut)) >= len(outline) - 4
