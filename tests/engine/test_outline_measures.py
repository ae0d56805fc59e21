"""Outlines measured: area, moments, length, box, distances, drawn points.

Checked against Shapely (a general-purpose geometry library), against closed forms named at each
test, and against sums over the drawn points.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from kb.errors import InputError
from kb.model.parts import Segment
from kb.plane.points import holes_on_circle
from tests.engine.discs import Disc, discs, hull, sagitta, shapely_hull
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
    sample,
    second_moment,
)


def plate_with_hollow() -> Outline:
    """A 100 × 60 plate; a quarter disc of radius 30 rounds one corner, another hollows the next."""
    return (
        Segment(kind="line", start=(0, 0), end=(70, 0)),
        Segment(kind="arc", start=(70, 0), end=(100, 30), centre=(70, 30), radius=30),
        Segment(kind="line", start=(100, 30), end=(100, 60)),
        Segment(kind="line", start=(100, 60), end=(30, 60)),
        Segment(kind="arc", start=(30, 60), end=(0, 30), centre=(0, 60), radius=30, ccw=False),
        Segment(kind="line", start=(0, 30), end=(0, 0)),
    )


def test_plate_with_a_round_and_a_hollow_corner() -> None:
    """Closed forms of rectangle and quarter disc: area π·r²/4, centroid 4·r/(3·π) from each
    straight side, second moment π·r⁴/16 about one; from memory, checked by Shapely below."""
    r, outline = 30.0, plate_with_hollow()
    disc, lever = math.pi * r**2 / 4, 4 * r / (3 * math.pi)
    whole = 6000 - r**2 + disc - disc
    assert area(outline) == pytest.approx(whole, rel=1e-12)
    assert length(outline) == pytest.approx(70 + 30 + 70 + 30 + math.pi * r, rel=1e-12)
    first_x = 6000 * 50 - r**2 * 85 + disc * (70 + lever) - disc * lever
    first_y = 6000 * 30 - r**2 * 15 + disc * (30 - lever) - disc * (60 - lever)
    assert centroid(outline) == pytest.approx((first_x / whole, first_y / whole), rel=1e-12)
    own = math.pi * r**4 / 16 - disc * lever**2  # quarter disc about its own centroid
    about_x = (
        100 * 60**3 / 3 - 30 * 30**3 / 3
        + own + disc * (30 - lever) ** 2 - own - disc * (60 - lever) ** 2
    )  # fmt: skip
    assert second_moment(outline, about=(0, 0)).about_x == pytest.approx(about_x, rel=1e-12)
    assert bounding_box(outline) == (0, 0, 100, 60)


def test_half_disc() -> None:
    """Closed form: centroid 4·r/(3·π), second moment π·r⁴/8 about the base and about the axis."""
    outline = (
        Segment(kind="arc", start=(20, 0), end=(-20, 0), centre=(0, 0), radius=20),
        Segment(kind="line", start=(-20, 0), end=(20, 0)),
    )
    assert centroid(outline) == pytest.approx((0, 80 / (3 * math.pi)), abs=1e-12)
    moment = second_moment(outline, about=(0, 0))
    assert moment.about_x == pytest.approx(math.pi * 20**4 / 8, rel=1e-12)
    assert moment.about_y == pytest.approx(math.pi * 20**4 / 8, rel=1e-12)
    assert moment.product == pytest.approx(0, abs=1e-8)


def test_right_triangle() -> None:
    """Closed form about the centroid: b·h³/36, h·b³/36, −b²·h²/72."""
    moment = second_moment(from_points([(0, 0), (36, 0), (0, 24)]))
    assert moment.about_x == pytest.approx(36 * 24**3 / 36, rel=1e-12)
    assert moment.about_y == pytest.approx(24 * 36**3 / 36, rel=1e-12)
    assert moment.product == pytest.approx(-(36**2) * 24**2 / 72, rel=1e-12)
    assert moment.polar == moment.about_x + moment.about_y


def test_an_arc_that_ends_a_hair_behind_its_start_is_no_circle() -> None:
    """Rounding may set an end before its start; a whole turn there would add the whole disc."""
    half, hair = math.pi * 20**2 / 2, 1e-13
    outline = (
        Segment(kind="arc", start=(20, 0), end=(-20, 0), centre=(0, 0), radius=20),
        Segment(kind="arc", start=(-20, 0), end=(-20, hair), centre=(0, 0), radius=20),
        Segment(kind="line", start=(-20, hair), end=(20, -hair)),
        Segment(kind="arc", start=(20, -hair), end=(20, 0), centre=(0, 0), radius=20, ccw=False),
    )
    assert area(outline) == pytest.approx(half, rel=1e-12)
    assert length(outline) == pytest.approx(40 + math.pi * 20, rel=1e-12)
    assert contains(outline, [(0, 1), (0, -1)]).tolist() == [True, False]


def test_a_disc_far_from_the_origin() -> None:
    """Closed form π·r⁴/4, and Steiner's theorem about a point away from the centroid."""
    outline = hull_of_discs([(4000, -3000)], [10])
    assert second_moment(outline).about_x == pytest.approx(math.pi * 10**4 / 4, rel=1e-9)
    away = second_moment(outline, about=(3997, -3000))
    assert away.about_y == pytest.approx(math.pi * (10**4 / 4 + 10**2 * 9), rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(taken=discs)
def test_second_moments_by_adding_up_thin_triangles(taken: list[Disc]) -> None:
    """Second method: the sampled polygon's moments, summed over triangles from a point (exact for
    polygons); the polygon is smaller by the sagittas of its chords."""
    outline = hull(taken)
    fine = 0.004 * min(piece.radius for piece in outline if piece.radius)
    x, y = (sample(outline, fine) - centroid(outline)).T
    twice = x[:-1] * y[1:] - x[1:] * y[:-1]
    about_x = np.sum(twice * (y[:-1] ** 2 + y[:-1] * y[1:] + y[1:] ** 2)) / 12
    about_y = np.sum(twice * (x[:-1] ** 2 + x[:-1] * x[1:] + x[1:] ** 2)) / 12
    moment = second_moment(outline)
    assert moment.about_x == pytest.approx(about_x, rel=1e-5)
    assert moment.about_y == pytest.approx(about_y, rel=1e-5)


@settings(max_examples=60, deadline=None)
@given(taken=discs, seed=st.integers(0, 99))
def test_distances_are_those_of_a_general_library(taken: list[Disc], seed: int) -> None:
    outline, wanted, short = hull(taken), shapely_hull(taken), sagitta(taken)
    draw = np.random.default_rng(seed)
    spots = np.vstack((draw.uniform(-300, 300, (40, 2)), np.array(taken)[:, :2]))
    points = shapely.points(spots)
    apart = shapely.distance(wanted.exterior, points)
    signed = np.where(shapely.contains_xy(wanted, spots), apart, -apart)
    assert distance_to_edge(outline, spots) == pytest.approx(signed, abs=short + 1e-8)
    clear = apart > short + 1e-8
    assert (contains(outline, spots) == (signed > 0))[clear].all()


def test_distances_in_a_hollow_corner() -> None:
    """Closed form: to the arc it is |distance to its centre − 30|, outside its reach to an end."""
    outline = plate_with_hollow()
    spots = [(10, 50), (25, 35), (50, 5), (-3, 64), (95, 5), (70, 30), (50, 30)]
    wanted = [
        math.hypot(10, 10) - 30,
        math.hypot(25, 25) - 30,
        5,
        -min(math.hypot(33, 4), math.hypot(3, 34)),
        30 - math.hypot(25, 25),
        30,
        30,
    ]
    wanted[6] = min(30, math.hypot(50, 30) - 30)
    assert distance_to_edge(outline, spots) == pytest.approx(wanted, abs=1e-12)
    assert contains(outline, spots).tolist() == [False, True, True, False, False, True, True]


def test_points_on_chords_and_edges_are_inside() -> None:
    """A chord joins the ends of an arc and is nothing to the plate; the edge counts as inside."""
    disc = hull_of_discs([(0, 0)], [10])
    inside = [(0, 0), (5, 0), (-5, 0), (0, 9.9), (0, -9.9), (10, 0), (0, 10), (-10, 0), (6, 8)]
    assert contains(disc, inside).all()
    assert not contains(disc, [(10.001, 0), (0, -10.001), (-11, 0), (11, 10)]).any()
    turned = hull_of_discs([(0, 0), (40, 30)], [10, 20])
    for piece in turned:
        middle = np.array((piece.start, piece.end)).mean(axis=0)
        assert contains(turned, [piece.start, middle]).all()


def test_points_at_the_height_of_corners() -> None:
    """A ray to the right through corners counts them once."""
    outline = from_points([(0, 0), (20, 0), (30, 10), (20, 20), (10, 10), (0, 20)])
    assert contains(outline, [(5, 10), (15, 10), (20, 10)]).all()
    assert not contains(outline, [(-5, 10), (35, 10), (-5, 0), (-5, 20), (10, 15), (10, 20)]).any()


def test_many_points_at_once() -> None:
    outline = hull_of_discs(holes_on_circle(count=12, diameter=400), np.full(12, 20.0))
    spots = np.random.default_rng(0).uniform(-300, 300, (30_000, 2))
    found = distance_to_edge(outline, spots)
    assert found.shape == (30_000,)
    assert found[::1000] == pytest.approx(
        np.concatenate([distance_to_edge(outline, [spot]) for spot in spots[::1000]])
    )
    assert np.mean(found > 0) == pytest.approx(area(outline) / 600**2, abs=0.01)


@settings(max_examples=40, deadline=None)
@given(taken=discs, step=st.floats(0.5, 50))
def test_drawn_points_lie_on_the_edge_as_close_as_asked(taken: list[Disc], step: float) -> None:
    outline = hull(taken)
    points = sample(outline, step)
    assert points[0].tolist() == points[-1].tolist()
    assert np.abs(distance_to_edge(outline, points)).max() < 1e-9
    ends = {piece.start for piece in outline}
    assert ends <= {tuple(point) for point in points.tolist()}
    longest = max((math.dist(p.start, p.end) for p in outline if p.kind == "line"), default=0)
    assert np.hypot(*np.diff(points, axis=0).T).max() <= max(step, longest) + 1e-9
    assert Polygon(points).is_valid


# ── chains that are none ────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("outline", "says"),
    [
        ((), "nothing"),
        ((Segment(kind="line", start=(0, 0), end=(1, 0)),), "piece 1 begins elsewhere"),
        (
            (
                Segment(kind="line", start=(0, 0), end=(1, 0)),
                Segment(kind="line", start=(1, 0.1), end=(0, 0)),
            ),
            "piece 2 begins elsewhere",
        ),
        (
            (
                Segment(kind="line", start=(0, 0), end=(2, 0)),
                Segment(kind="arc", start=(2, 0), end=(0, 0), centre=(1, 0), radius=1.5),
            ),
            "piece 2 leaves its circle",
        ),
        (
            (
                Segment(kind="line", start=(0, 0), end=(2, 0)),
                Segment(kind="arc", start=(2, 0), end=(0, 0)),
            ),
            "piece 2 of kind arc",
        ),
        ((Segment(kind="wave", start=(0, 0), end=(0, 0)),), "piece 1 of kind wave"),
    ],
)
def test_pieces_that_make_no_chain(outline: Outline, says: str) -> None:
    for measure in (area, centroid, second_moment, length, bounding_box):
        with pytest.raises(InputError) as caught:
            measure(outline)
        assert caught.value.text == says
    with pytest.raises(InputError, match=says):
        distance_to_edge(outline, [(0, 0)])


@pytest.mark.parametrize("step", [0, -1, math.nan])
def test_steps_nobody_can_mean(step: float) -> None:
    with pytest.raises(InputError, match="step"):
        sample(hull_of_discs([(0, 0)], [10]), step)


def test_points_that_are_none() -> None:
    with pytest.raises(InputError, match="points"):
        distance_to_edge(hull_of_discs([(0, 0)], [10]), [(math.nan, 0)])
