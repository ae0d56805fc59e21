"""The half section says where things are: against the chains, and against masses by Pappus.

Chains: the axial equations of the trade, worked by hand beside each case. Volume of a turned
part: Pappus' second theorem, V = 2π·r̄·A, the section's centroid and area from Shapely.
"""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest
from shapely.geometry import Polygon

from kb.model.record import Record
from kb.standards.materials import material
from tests.papers.samples import Answer, converter, flange, shaft
from wizard.papers.section import ring_section, section
from wizard.papers.shapes import Area, Girth, Line, Shape, Span, Words

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")


def spans(shapes: tuple[Shape, ...]) -> dict[str, Span]:
    return {shape.key: shape for shape in shapes if isinstance(shape, Span)}


def long(span: Span) -> float:
    return span.end[0] - span.start[0]


def areas(shapes: tuple[Shape, ...]) -> dict[str, Area]:
    return {shape.tag: shape for shape in shapes if isinstance(shape, Area)}


def across(area: Area) -> tuple[float, float]:
    return min(point[0] for point in area.points), max(point[0] for point in area.points)


def test_converter_dimensions_stand_where_the_chain_puts_them() -> None:
    """t 19.05, z_d 19.05, D 28.575, f 7.9375, h 23.8125, L 16.66875: p = t + D − z_d − L − f."""
    shown = spans(section(converter()))
    assert long(shown["gap"]) == pytest.approx(19.05 + 28.575 - 19.05 - 16.66875 - 7.9375)
    assert long(shown["nose_engagement"]) == pytest.approx(23.8125 - 7.9375)
    assert long(shown["spacer"]) == pytest.approx(16.66875)
    assert shown["gearbox.converter.seat_depth"].start[0] == pytest.approx(19.05)
    assert shown["gap"].figure == "0.156 in (5/32) ± .024 · 4.0 mm"


def test_clutch_dimensions_stand_where_the_chain_puts_them() -> None:
    """t 15, q 92, z_d 10, L 5, w 28, k 60: gap (t + q) − (z_d + L + w + k) = 4; tip 18."""
    shown = spans(section(shaft()))
    assert long(shown["release_gap"]) == pytest.approx((15 + 92) - (10 + 5 + 28 + 60))
    assert long(shown["tip_engagement"]) == pytest.approx(18.0)
    assert (shown["gearbox.shaft.reach"].start[0], shown["gearbox.shaft.reach"].end[0]) == (-7, 15)


def test_a_flange_reaching_forward_is_measured_backward() -> None:
    """z_d + L = t + N with N = −39.624: the driven face lies at −14.224."""
    shown = spans(section(flange()))
    assert shown["gearbox.driven.position"].end[0] == pytest.approx(25.4 - 39.624)


def test_lug_shims_close_the_gap_that_is_drawn() -> None:
    answer = converter()
    answer["lengths"].append({"key": "gearbox.converter.lug_shims", "value": 1.5, "low": 1.5, "high": 1.5})  # fmt: skip
    assert long(spans(section(answer))["gap"]) == pytest.approx(3.96875 - 1.5)


def test_every_station_is_a_line_with_words() -> None:
    answer = converter()
    levels = [s for s in section(answer) if isinstance(s, Line) and s.tag == "level"]
    stations = {*answer["axial"]["stations"].values(), 0.0}
    assert {line.start[0] for line in levels} == stations
    assert all(line.says and "_" not in line.says for line in levels)


def test_every_row_of_the_ladder_is_its_own() -> None:
    for answer in (converter(), shaft(), flange()):
        rows = [span.row for span in spans(section(answer)).values()]
        assert rows == list(range(len(rows)))


@pytest.mark.parametrize("name", NAMES)
def test_parts_are_plain_polygons_that_do_not_run_into_each_other(
    name: str, designed: dict[str, Record]
) -> None:
    shapes = section(designed[name].answer)
    found = [shape for shape in shapes if isinstance(shape, Area)]
    for area in found:
        outline = Polygon(area.points)
        assert outline.is_valid, area.name
        assert outline.area > 0
        assert outline.bounds[1] >= 0
    words = {shape.text for shape in shapes if isinstance(shape, Words)}
    assert words == {"ENGINE SIDE", "GEARBOX SIDE"}
    shown = {area.tag: Polygon(area.points) for area in found}
    for tag in ("spacer ring", "carrier disc", "spindle"):
        if tag in shown:
            assert shown[tag].intersection(shown["crank flange"]).area < 1e-6


@pytest.mark.parametrize("name", ["automatic-inch", "manual-metric", "standard-housings"])
def test_the_ring_drawn_has_the_mass_of_the_ring_made(
    name: str, designed: dict[str, Record]
) -> None:
    answer = designed[name].answer
    part: dict[str, Any] = next(p for p in answer["parts"] if p["name"] == "spacer ring")
    (drawn,) = (shape for shape in ring_section(answer) if isinstance(shape, Area))
    cut = Polygon(drawn.points)
    volume = 2 * math.pi * cut.centroid.y * cut.area
    for hole in part["holes"]:
        volume -= math.pi / 4 * hole["diameter"] ** 2 * part["size"]["thickness"]
    mass = volume * material(part["material"]).density_kg_m3 * 1e-9
    assert mass == pytest.approx(part["mass_kg"], abs=0.002)


def test_the_plate_drawn_has_its_register_and_its_spigot() -> None:
    plate = areas(section(flange()))["adapter plate"]
    assert across(plate) == (-5.0, 25.4)
    assert (25.4 - 5.5, 447.7 / 2) in plate.points
    assert (-5.0, 409.5 / 2) in plate.points


def test_what_is_not_given_is_marked_and_never_measured() -> None:
    answer = converter()
    answer["lengths"] = [row for row in answer["lengths"] if "outside" not in row["key"]]
    assert not areas(section(answer))["crank flange"].known
    answer["axial"]["stations"] = {"driving_face": 19.05}
    assert set(spans(section(answer))) == {"plate", "engine.drive.standoff"}


def test_diameters_carry_the_limits_of_their_fit() -> None:
    answer = converter()
    answer["fits"][0]["shaft"] = [57.14, 57.16]
    girths = {s.key: s for s in ring_section(answer) if isinstance(s, Girth)}
    assert girths["spigot"].figure == "⌀ 2.2496–2.2504 in · 57.140–57.160 mm (H7/g6)"
    assert girths["pilot_bore"].figure == "⌀ 1.7047–1.7059 in · 43.300–43.330 mm"
    assert "bore" not in girths  # the pilot bore is that bore


def test_nothing_along_the_axis_draws_nothing() -> None:
    empty: Answer = {"parts": []}
    assert section(empty) == ()
    assert ring_section(empty) == ()


def test_drawing_does_not_change_the_answer() -> None:
    answer = converter()
    before = copy.deepcopy(answer)
    section(answer)
    ring_section(answer)
    assert answer == before
