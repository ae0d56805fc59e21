"""Drawings on the screen are to scale: measured in the picture, against closed forms and Shapely."""

from __future__ import annotations

import math
from itertools import pairwise

import plotly.graph_objects as go
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from tests.app.conftest import SHEET
from wizard.app import cutaway, drawing, works
from wizard.desk.pairing import read_text
from wizard.papers.plan import plan, ring_plan
from wizard.papers.section import section
from wizard.papers.shapes import Area, Hole, Mark, Span

ANSWER = read_text('title = "Drawn"\n' + SHEET).answer


def runs(trace: go.Scatter) -> list[list[tuple[float, float]]]:
    """The strokes of a trace between places where the pen is lifted."""
    found: list[list[tuple[float, float]]] = [[]]
    for x, y in zip(trace.x, trace.y, strict=True):
        if x is None:
            found.append([])
        else:
            found[-1].append((x, y))
    return [run for run in found if run]


@pytest.mark.parametrize("figure", [drawing.flat(plan(ANSWER)), drawing.flat(ring_plan(ANSWER)), cutaway.cutaway(section(ANSWER)).figure])  # fmt: skip
def test_one_millimetre_is_as_long_across_as_up(figure: go.Figure) -> None:
    assert figure.layout.yaxis.scaleanchor == "x"
    assert figure.layout.yaxis.scaleratio == 1
    assert (figure.layout.xaxis.constrain, figure.layout.yaxis.constrain) == ("domain", "domain")


def test_every_hole_is_drawn_at_its_place_and_size() -> None:
    """A circle is every point at half its diameter from its centre."""
    shapes = plan(ANSWER)
    figure = drawing.flat(shapes)
    strokes = [run for trace in figure.data if trace.mode == "lines" for run in runs(trace)]
    for hole in (shape for shape in shapes if isinstance(shape, Hole)):
        drawn = [
            run
            for run in strokes
            if all(
                math.isclose(math.dist(point, hole.centre), hole.diameter / 2, abs_tol=1e-6)
                for point in run
            )
        ]
        assert drawn, hole.id


def test_clashes_are_marked_by_a_shape_and_by_the_word() -> None:
    shapes = plan(ANSWER)
    clashes = [s for s in shapes if isinstance(s, Mark) and s.tag == "clash"]
    assert len(clashes) == 6
    figure = drawing.flat(shapes)
    said = [note for note in figure.layout.annotations if "clash" in note.text]
    assert {(note.x, note.y) for note in said} == {mark.at for mark in clashes}
    crossed = [t for t in figure.data if t.marker.symbol == "x-thin" and t.marker.size == 18]
    assert len(crossed) == len(clashes)


def test_engine_and_gearbox_differ_in_shape_and_colour() -> None:
    named = {trace.name: trace for trace in drawing.flat(plan(ANSWER)).data if trace.name}
    assert {"engine", "gearbox"} <= set(named)
    assert named["engine"].marker.symbol != named["gearbox"].marker.symbol
    assert named["engine"].marker.color != named["gearbox"].marker.color


def test_what_was_typed_stays_text_in_a_picture() -> None:
    hole = Hole(
        id="<b>1</b>", centre=(0, 10), diameter=5, tag="engine", kind="clear", made=True,
        says="<a href=x>1</a>",
    )  # fmt: skip
    figure = drawing.flat((hole,))
    texts = [text for trace in figure.data if trace.text for text in trace.text]
    assert "&lt;b&gt;1&lt;/b&gt;" in texts
    assert not [text for text in texts if "<" in text]


# ── the half section ────────────────────────────────────────────────────────


def test_parts_carry_numbers_and_dimensions_letters() -> None:
    shapes = section(ANSWER)
    seen = cutaway.cutaway(shapes)
    assert [number for number, _, _ in seen.parts] == [
        str(n) for n in range(1, 1 + sum(isinstance(s, Area) for s in shapes))
    ]
    spans = [shape for shape in shapes if isinstance(shape, Span)]
    assert [letter for letter, _, _ in seen.sizes] == [chr(65 + span.row) for span in spans]
    drawn = {
        trace.text[1].strip("<b/>"): (trace.x[0], trace.x[1])
        for trace in seen.figure.data
        if trace.mode == "lines+markers+text" and trace.text[1]
    }
    for span in spans:
        low, high = sorted((span.start[0], span.end[0]))
        assert drawn[chr(65 + span.row)] == pytest.approx((low, high))


def test_dimensions_stand_on_rows_of_their_own_below_the_axis() -> None:
    seen = cutaway.cutaway(section(ANSWER))
    rows = [t.y[0] for t in seen.figure.data if t.mode == "lines+markers+text" and t.text[1]]
    assert max(rows) < 0
    steps = {round(above - below, 6) for above, below in pairwise(rows)}
    assert len(steps) == 1


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(1, 200), st.floats(0.1, 80)), min_size=1, max_size=5),
    st.floats(0, 50),
)
def test_a_number_points_into_its_part(steps: list[tuple[float, float]], bore: float) -> None:
    """Shapely, a second method: the point lies inside the polygon or on its rim."""
    z, rim = 0.0, []
    for radius, length in steps:
        rim += [(z, bore + radius), (z + length, bore + radius)]
        z += length
    points = ((0.0, bore), *rim, (z, bore))
    area = Area(points=points, name="", tag="", side="engine")
    grip = cutaway._grip(area)
    assert Polygon(points).buffer(1e-6).covers(Point(grip))


@pytest.mark.parametrize(("row", "letter"), [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA")])  # fmt: skip
def test_letters_go_on_after_z(row: int, letter: str) -> None:
    assert cutaway._letter(row) == letter


# ── what works ──────────────────────────────────────────────────────────────


def test_what_works_is_drawn_in_the_unit_asked_for() -> None:
    axial = {"region": [[10.0, 20.0], [25.4, 20.0], [25.4, 38.1]], "plate": 25.4, "spacer": 38.1}
    figure = works.works(axial, stock=[25.4, 12.7, 200.0], first="in")
    assert figure is not None
    assert max(figure.data[0].x) == pytest.approx(1.0)
    assert max(figure.data[0].y) == pytest.approx(1.5)
    chosen = next(trace for trace in figure.data if trace.name == "as designed")
    assert (chosen.x[0], chosen.y[0]) == pytest.approx((1.0, 1.5))
    assert sorted(line.x0 for line in figure.layout.shapes) == pytest.approx([0.5, 1.0])
    metric = works.works(axial, stock=[], first="mm")
    assert metric is not None
    assert max(metric.data[0].x) == pytest.approx(25.4)


def test_nothing_that_works_draws_nothing() -> None:
    assert works.works({"region": []}, stock=[10.0], first="mm") is None
    assert works.works({}, stock=[], first="mm") is None
