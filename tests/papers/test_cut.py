"""The cut file read back and measured by ezdxf: closed, true to size, in a unit it names, repeatable.

Expected positions are the answer's; areas are closed forms or Shapely's. $INSUNITS 4 is
millimetres and $MEASUREMENT 1 metric: DXF Reference, header section (from memory).
"""

from __future__ import annotations

import io
import math
from collections import Counter
from dataclasses import replace
from typing import Any

import ezdxf
import pytest
from ezdxf.document import Drawing
from ezdxf.path import make_path
from shapely.geometry import Point, Polygon

from kb.errors import InputError
from kb.model.record import Record
from kb.sheets.shop import usual_shop
from tests.papers.samples import Answer, bare_plate, converter, flange, hole, kept, shaft
from wizard.making.stuff import outline
from wizard.papers.cut import LAYERS, VERSIONS, circles, cut_file, drawn_circles, plates
from wizard.papers.shapes import trace

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")


def reread(body: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(body.decode("utf-8")))


def cut_of(answer: Answer, version: str = "R2010") -> Drawing:
    record = kept(answer)
    return reread(cut_file(record, plates(record)[0], version=version))


def profile(drawing: Drawing) -> Polygon:
    (line,) = drawing.modelspace().query('*[layer=="PROFILE"]')
    assert line.closed if line.dxftype() == "LWPOLYLINE" else line.is_closed
    return Polygon([(p.x, p.y) for p in make_path(line).flattening(1e-4)])


def area(drawing: Drawing) -> float:
    """Area of the profile from its own vertices and bulges: shoelace plus circular segments."""
    (line,) = drawing.modelspace().query('*[layer=="PROFILE"]')
    if line.dxftype() == "LWPOLYLINE":
        corners = [(x, y, bulge) for x, y, bulge in line.get_points("xyb")]
    else:
        corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in line.vertices]
    total = 0.0
    for (ax, ay, bulge), (bx, by, _) in zip(corners, corners[1:] + corners[:1], strict=True):
        total += (ax * by - bx * ay) / 2
        if bulge:
            turn = 4 * math.atan(bulge)
            radius = math.dist((ax, ay), (bx, by)) / 2 / math.sin(turn / 2)
            total += radius**2 / 2 * (turn - math.sin(turn))
    return total


def notes(drawing: Drawing) -> list[str]:
    return [text.dxf.text for text in drawing.modelspace().query("TEXT")]


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("name", NAMES)
def test_real_plates_are_clean_and_true(
    name: str, version: str, designed: dict[str, Record]
) -> None:
    record = designed[name]
    for part in plates(record):
        drawing = reread(cut_file(record, part, version=version))
        audit = drawing.audit()
        assert not audit.errors
        assert not audit.fixes
        space = drawing.modelspace()
        assert {one.dxf.layer for one in space} <= {layer.name for layer in LAYERS}
        assert {one.dxftype() for one in space} <= {"LWPOLYLINE", "POLYLINE", "CIRCLE", "TEXT"}
        edge = profile(drawing)
        assert edge.is_valid
        assert area(drawing) == pytest.approx(edge.area, rel=1e-4)  # a second way to the same
        for circle in space.query("CIRCLE"):
            centre = (circle.dxf.center.x, circle.dxf.center.y)
            disc = Polygon([(centre[0] + circle.dxf.radius * math.cos(a / 50), centre[1] + circle.dxf.radius * math.sin(a / 50)) for a in range(314)])  # fmt: skip
            assert edge.contains(disc)
        (square,) = space.query('*[layer=="CHECK-SQUARE"]')
        corners = [(p.x, p.y) for p in make_path(square).flattening(1)]
        assert Polygon(corners).area == pytest.approx(100.0**2)
        assert not Polygon(corners).intersects(edge)


def test_the_file_names_its_unit() -> None:
    drawing = cut_of(converter())
    assert (drawing.header["$INSUNITS"], drawing.header["$MEASUREMENT"]) == (4, 1)
    for version in VERSIONS:
        assert any(line.startswith("MILLIMETRES, FULL SIZE") for line in notes(cut_of(converter(), version)))  # fmt: skip


@pytest.mark.parametrize("version", VERSIONS)
def test_a_rounded_plate_has_its_area_and_its_arcs(version: str) -> None:
    """380 × 390 with corners of radius 90: a·b − (4 − π)·r²."""
    drawing = cut_of(shaft(), version)
    assert area(drawing) == pytest.approx(380 * 390 - (4 - math.pi) * 90**2, rel=1e-12)
    assert profile(drawing).bounds == pytest.approx((-190, -195, 190, 195))


@pytest.mark.parametrize("version", VERSIONS)
def test_a_round_plate_of_two_arcs_is_a_circle(version: str) -> None:
    assert area(cut_of(flange(), version)) == pytest.approx(math.pi * 245**2, rel=1e-12)


def test_a_hollow_corner_stays_hollow() -> None:
    """A square of 200 relieved by a quarter disc of 40 at one corner: 200² − π·40²/4."""
    answer = bare_plate(width=200, height=200, count=0)
    answer["parts"][0]["outline"] = [
        {"kind": "line", "start": [-100, -100], "end": [100, -100]},
        {"kind": "line", "start": [100, -100], "end": [100, 60]},
        {"kind": "arc", "start": [100, 60], "end": [60, 100], "centre": [100, 100], "radius": 40, "ccw": False},
        {"kind": "line", "start": [60, 100], "end": [-100, 100]},
        {"kind": "line", "start": [-100, 100], "end": [-100, -100]},
    ]  # fmt: skip
    for version in VERSIONS:
        drawing = cut_of(answer, version)
        assert area(drawing) == pytest.approx(200**2 - math.pi * 40**2 / 4, rel=1e-12)


def test_what_goes_through_is_cut_and_what_does_not_is_only_marked() -> None:
    answer = converter()
    rows = {row["id"]: row for row in answer["parts"][0]["holes"]}
    found: dict[tuple[float, float], Any] = {}
    for circle in cut_of(answer).modelspace().query("CIRCLE"):
        found[circle.dxf.center.x, circle.dxf.center.y] = circle.dxf
    seen = {id: found[row["x"], row["y"]] for id, row in rows.items()}
    assert (seen["A1"].layer, 2 * seen["A1"].radius) == ("OPENINGS", 11.5)
    assert (seen["B1"].layer, 2 * seen["B1"].radius) == ("PILOTS", 4.0)
    assert (seen["D1"].layer, 2 * seen["D1"].radius) == ("PILOTS", 4.0)
    assert (seen["E1"].layer, 2 * seen["E1"].radius) == ("SPOTS", 2.0)  # 9 mm deep in 19 mm
    assert (found[0.0, 0.0].layer, 2 * found[0.0, 0.0].radius) == ("OPENINGS", 312.0)
    assert Counter(dxf.layer for dxf in found.values()) == {
        "OPENINGS": 7, "PILOTS": 8, "SPOTS": 2, "TOOLING": 2,
    }  # fmt: skip


def test_a_shared_hole_is_cut_once_and_the_larger_wins() -> None:
    answer = bare_plate(width=300, height=300, count=0)
    answer["parts"][0]["holes"] = [
        hole("E1", 80.0, 20.0, diameter=11.0),
        hole("G1", 80.001, 20.0, kind="tapped", diameter=8.5, thread="M10"),
    ]
    drawn = list(circles(answer["parts"][0]))
    assert drawn == [((0.0, 0.0), 150.0, "OPENINGS"), ((80.0, 20.0), 11.0, "OPENINGS")]


def test_the_legend_explains_every_layer_and_the_side_that_is_up() -> None:
    answer = flange()
    lines = notes(cut_of(answer))
    for layer in LAYERS:
        assert f"{layer.name}: {layer.purpose}" in lines
    assert any("SEEN FROM BEHIND / GEARBOX SIDE UP" in line for line in lines)
    assert any("STOCK AT LEAST 30.40 mm (1.197 in)" in line for line in lines)
    assert all(line.isascii() for line in lines)


def test_an_opening_that_is_not_known_forbids_the_cut() -> None:
    answer = converter()
    assert not any("DO NOT CUT" in line for line in notes(cut_of(answer)))
    del answer["parts"][0]["size"]["bore"]
    assert "THE CENTRAL OPENING IS NOT KNOWN YET: DO NOT CUT" in notes(cut_of(answer))


def test_the_same_record_gives_the_same_bytes_and_another_does_not() -> None:
    answer = converter()
    one, again, other = kept(answer), kept(answer), kept(answer, number=13, title="Other")
    made = [cut_file(record, plates(record)[0]) for record in (one, again, other)]
    assert made[0] == made[1] != made[2]


@pytest.mark.parametrize("size", [30.0, 4000.0])
def test_tiny_and_very_large_plates(size: float) -> None:
    drawing = cut_of(bare_plate(width=size, height=size, count=60))
    circles = [one for one in drawing.modelspace().query("CIRCLE") if one.dxf.layer != "TOOLING"]
    assert len(circles) == 61
    assert area(drawing) == pytest.approx(size**2 - (4 - math.pi) * (0.1 * size) ** 2)


def test_what_cannot_be_cut_is_refused() -> None:
    answer = converter()
    answer["parts"][0]["outline"] = []
    record = kept(answer)
    with pytest.raises(InputError, match="adapter plate"):
        cut_file(record, plates(record)[0])
    with pytest.raises(InputError, match="R9"):
        cut_file(record, plates(record)[0], version="R9")


def test_what_the_process_cannot_cut_true_is_only_marked() -> None:
    """A laser cuts no hole smaller than the plate is thick (common practice, no source)."""
    answer = converter()
    (plate,) = [part for part in answer["parts"] if part["name"].endswith("plate")]
    record = kept(answer, shop=replace(usual_shop(), process="laser"))
    thick = plate["size"]["thickness"]
    seen = {centre: layer for centre, _, layer in drawn_circles(record, plate)}
    small = [row for row in plate["holes"] if row["diameter"] < thick]
    assert small
    assert {seen[row["x"], row["y"]] for row in small} == {"SPOTS"}
    assert seen[0.0, 0.0] == "OPENINGS"


def test_tooling_holes_clear_everything() -> None:
    answer = converter()
    plate = answer["parts"][0]
    made = [(centre, d) for centre, d, layer in drawn_circles(kept(answer), plate) if layer == "TOOLING"]  # fmt: skip
    edge = Polygon(trace(outline(plate)))
    assert len(made) == 2
    for centre, diameter in made:
        hole = Point(centre).buffer(diameter / 2)
        assert edge.exterior.distance(hole) >= 6.0
        for row in plate["holes"]:
            wide = max(row["diameter"], (row.get("counterbore") or {}).get("diameter", 0.0))
            assert Point(row["x"], row["y"]).buffer(wide / 2).distance(hole) >= 6.0
