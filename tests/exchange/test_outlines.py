"""A plate's outline out of a drawing, drawn and read with ezdxf.

Areas by closed forms: rectangles, circles, a slot with round ends. Drawings are invented.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from kb.errors import InputError
from kb.exchange.outlines import read_outline
from wizard.engine.parts.outline import area, contains, length

Draw = Callable[[Any], None]


def drawn(tmp_path: Path, draw: Draw, *, units: int = 4) -> Path:
    """A drawing on disk; unit 4 is millimetres, 1 inches, 0 none."""
    drawing = ezdxf.new("R2010", units=units)  # type: ignore[attr-defined]
    draw(drawing.modelspace())
    path = tmp_path / "plate.dxf"
    drawing.saveas(path)
    return path


def rectangle(space: Any) -> None:
    """200 by 100 of four lines, one of them drawn the other way."""
    space.add_line((-100, -50), (100, -50))
    space.add_line((100, 50), (100, -50))
    space.add_line((100, 50), (-100, 50))
    space.add_line((-100, 50), (-100, -50))


def slot(space: Any) -> None:
    """A bulged polyline: 100 between centres, round ends of 40."""
    corners = [(-50, -40, 0), (50, -40, 1), (50, 40, 0), (-50, 40, 1)]
    space.add_lwpolyline(corners, format="xyb", close=True)


@pytest.mark.parametrize(
    ("draw", "size", "edge"),
    [
        (rectangle, 200 * 100, 600),
        (slot, 100 * 80 + math.pi * 40**2, 200 + 2 * math.pi * 40),
        (lambda space: space.add_circle((10, -5), 120), math.pi * 120**2, 2 * math.pi * 120),
        (lambda space: space.add_lwpolyline([(0, 0), (0, 30), (40, 30), (40, 0)], close=True), 1200, 140),
    ],
    ids=["lines", "bulges", "circle", "clockwise"],
)  # fmt: skip
def test_area_and_edge_are_those_drawn(
    tmp_path: Path, draw: Draw, size: float, edge: float
) -> None:
    outline = read_outline(drawn(tmp_path, draw))
    assert area(outline) == pytest.approx(size)
    assert length(outline) == pytest.approx(edge)
    for last, piece in zip((outline[-1], *outline[:-1]), outline, strict=True):
        assert last.end == piece.start


def test_arcs_and_lines_are_chained_whatever_their_order(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        space.add_arc((50, 0), 40, -90, 90)
        space.add_line((-50, 40), (50, 40))
        space.add_arc((-50, 0), 40, 90, 270)
        space.add_line((50, -40), (-50, -40))

    assert area(read_outline(drawn(tmp_path, draw))) == pytest.approx(8000 + math.pi * 1600)


def test_inches_are_inches(tmp_path: Path) -> None:
    outline = read_outline(drawn(tmp_path, lambda space: space.add_circle((0, 0), 5), units=1))
    assert area(outline) == pytest.approx(math.pi * 127**2)


def test_without_a_unit_one_must_be_said(tmp_path: Path) -> None:
    path = drawn(tmp_path, rectangle, units=0)
    with pytest.raises(InputError, match="does not say its unit"):
        read_outline(path)
    assert area(read_outline(path, units="in")) == pytest.approx(20_000 * 25.4**2)


def test_the_largest_loop_is_the_plate_the_others_its_holes(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        space.add_circle((0, 0), 30)
        rectangle(space)
        space.add_circle((80, 0), 5)

    outline = read_outline(drawn(tmp_path, draw))
    assert area(outline) == pytest.approx(20_000)
    assert contains(outline, [(0.0, 0.0), (99.0, 49.0), (101.0, 0.0)]).tolist() == [
        True,
        True,
        False,
    ]


def test_a_block_is_looked_into(tmp_path: Path) -> None:
    drawing = ezdxf.new("R2010", units=4)  # type: ignore[attr-defined]
    rectangle(drawing.blocks.new("PLATE"))
    drawing.modelspace().add_blockref("PLATE", (300, 0), dxfattribs={"rotation": 90})
    path = tmp_path / "block.dxf"
    drawing.saveas(path)
    outline = read_outline(path)
    assert area(outline) == pytest.approx(20_000)
    assert min(piece.start[0] for piece in outline) == pytest.approx(250)


def test_ends_a_hair_apart_are_joined(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        for a, b in (((0, 0), (50, 0.004)), ((50, 0), (50, 50)), ((50.004, 50), (0, 50)), ((0, 50), (0, 0))):  # fmt: skip
            space.add_line(a, b)

    assert area(read_outline(drawn(tmp_path, draw))) == pytest.approx(2500, abs=1)


def open_lines(space: Any) -> None:
    for a, b in (((0, 0), (50, 0)), ((50, 0), (50, 50)), ((50, 50), (0, 50))):
        space.add_line(a, b)


@pytest.mark.parametrize(
    ("draw", "says"),
    [
        (open_lines, "close no outline"),
        (lambda space: space.add_spline([(0, 0), (10, 5), (20, 0), (0, 0)]), "splines"),
        (lambda space: None, "no lines"),
        (lambda space: space.add_circle((0, 0), 0.2), "across"),
        (lambda space: space.add_text("plate"), "no lines"),
    ],
)  # fmt: skip
def test_no_outline_says_why(tmp_path: Path, draw: Draw, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_outline(drawn(tmp_path, draw))


def test_no_drawing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        read_outline(tmp_path / "nowhere.dxf")
    broken = tmp_path / "broken.dxf"
    broken.write_bytes(b"0\nSECTION\n2\nHEADER\n\xff\xfe rubbish")
    with pytest.raises(InputError, match="DXF"):
        read_outline(broken)
