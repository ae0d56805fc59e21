"""The drawing as DXF: every view at full size in millimetres, with real dimension entities.

It is for reading and for a drawing program, not for cutting: the cut file is a file of its own.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

import ezdxf.filemanagement
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.layouts.layout import Modelspace

from kb.model.record import Record
from wizard.papers.control import Control, controls, datums, strokes
from wizard.papers.cut import ONE_AT_A_TIME, bulge, repeatable, written
from wizard.papers.document import PLATE, Document, numbered
from wizard.papers.holes import INCH, hole_rows
from wizard.papers.notes import drawing_notes
from wizard.papers.paper import printable
from wizard.papers.parts_view import engine_side, named, turned_parts
from wizard.papers.plan import plan, ring_plan
from wizard.papers.section import section
from wizard.papers.shapes import (
    Area,
    Circle,
    Girth,
    Hole,
    Line,
    Outline,
    Shape,
    Span,
    Words,
    extent,
)

LAYERS = {
    "VISIBLE": 7, "HIDDEN": 8, "CENTRE": 1, "HATCH": 9, "DIMENSIONS": 3, "LETTERING": 2, "FRAMES": 4,
}  # fmt: skip
GAP = 60.0  # mm between views
TEXT = 3.5  # mm
STYLE = "TRIALFIT"
WIDE_COLUMNS = (8, 12, 10, 14, 14, 13, 11, 22, 12, 12, 12, 20)  # letters wide


def drawing_dxf(record: Record, *, plate: str = PLATE) -> bytes:
    """The drawing of one plate and the rotating adapter as DXF R2010, unit mm.

    Args:
        record: The record. plate: The plate it is about, where there are two.
    """
    doc = Document(record.answer, plate)
    with ONE_AT_A_TIME, repeatable():
        drawing = _empty()
        _Sheet(drawing.modelspace(), doc, record).draw()
        return written(drawing, record)


def _empty() -> Drawing:
    drawing = ezdxf.filemanagement.new("R2010", units=units.MM)
    drawing.header["$MEASUREMENT"] = 1
    drawing.header["$LTSCALE"] = 1.0
    drawing.linetypes.add("TF_CENTRE", [20.0, 12.0, -3.0, 2.0, -3.0])
    drawing.linetypes.add("TF_HIDDEN", [4.5, 3.0, -1.5])
    for name, colour in LAYERS.items():
        kind = {"CENTRE": "TF_CENTRE", "HIDDEN": "TF_HIDDEN"}.get(name, "Continuous")
        drawing.layers.add(name, color=colour, linetype=kind)
    drawing.styles.add(STYLE, font="DejaVuSans.ttf")
    style = drawing.dimstyles.new(STYLE)
    style.dxf.dimtxsty = STYLE
    style.dxf.dimtxt, style.dxf.dimasz, style.dxf.dimexe, style.dxf.dimexo = TEXT, 3.0, 1.5, 1.0
    style.dxf.dimdec, style.dxf.dimgap, style.dxf.dimtad = 2, 1.0, 1
    style.dxf.dimdsep = ord(".")
    return drawing


def _lettered(text: str) -> str:
    """One line, the sign of a diameter as drawings write it."""
    return printable(text.replace("⌀", "%%c"))


class _Sheet:
    """Views side by side, from the left; tables and notes after them."""

    def __init__(self, space: Modelspace, doc: Document, record: Record) -> None:
        self.space, self.doc, self.record = space, doc, record
        self.x = 0.0

    def draw(self) -> None:
        doc = self.doc
        if doc.part(doc.plate) is not None:
            self._plan(plan(doc.answer, plate=doc.plate), f"{doc.plate.upper()}, GEARBOX SIDE")
            self._plan(engine_side(doc.answer, plate=doc.plate), f"{doc.plate.upper()}, ENGINE SIDE")  # fmt: skip
        if doc.part(doc.turned) is not None:
            self._plan(ring_plan(doc.answer), doc.faced.upper())
        for part, shapes in turned_parts(doc.answer):
            self._cut(shapes, named(part))
        if axial := section(doc.answer):
            self._cut(axial, "HALF SECTION ALONG THE AXIS")
        self._words()

    # ── views ───────────────────────────────────────────────────────────────

    def _plan(self, shapes: Sequence[Shape], heading: str) -> None:
        solid = [one for one in shapes if isinstance(one, Outline | Circle)]
        if not solid:
            return
        left, bottom, right, top = extent(solid)
        dx = self.x - left + 20
        for shape in shapes:
            self._in_plan(shape, dx)
        self._linear((left + dx, bottom), (right + dx, bottom), base=(0, bottom - 18), angle=0)
        self._linear((left + dx, bottom), (left + dx, top), base=(left + dx - 18, 0), angle=90)
        self._text(heading, left + dx, top + 30, high=5)
        self.x = right + dx + GAP

    def _in_plan(self, shape: Shape, dx: float) -> None:
        space = self.space
        match shape:
            case Outline():
                points = [(p.start[0] + dx, p.start[1], 0.0, 0.0, bulge(p)) for p in shape.pieces]
                space.add_lwpolyline(points, format="xyseb", close=True, dxfattribs={"layer": "VISIBLE"})  # fmt: skip
            case Circle():
                layer = "HIDDEN" if shape.tag == "hidden" else "VISIBLE"
                centre = (shape.centre[0] + dx, shape.centre[1])
                space.add_circle(centre, shape.diameter / 2, dxfattribs={"layer": layer})
                self._diameter(centre, shape.diameter)
            case Hole(made=True):
                self._hole(shape, dx)
            case Line():
                self._line(shape.start, shape.end, dx, "CENTRE")
            case Words():
                self._text(shape.text, shape.at[0] + dx, shape.at[1] - (24 if shape.tag == "view" else -4), middle=True)  # fmt: skip
            case _:
                pass

    def _hole(self, hole: Hole, dx: float) -> None:
        centre = (hole.centre[0] + dx, hole.centre[1])
        self.space.add_circle(centre, hole.diameter / 2, dxfattribs={"layer": "VISIBLE"})
        if hole.keepout:
            self.space.add_circle(centre, hole.keepout / 2, dxfattribs={"layer": "VISIBLE"})
        reach = max(hole.diameter, hole.keepout or 0.0) / 2 + 1
        self._text(hole.id, centre[0] + reach, centre[1] + reach / 2, high=2.5)

    def _cut(self, shapes: Sequence[Shape], heading: str) -> None:
        left, _, right, top = extent(shapes)
        dx = self.x - left + 20
        spans = [one for one in shapes if isinstance(one, Span)]
        for shape in shapes:
            match shape:
                case Area():
                    points = [(x + dx, y) for x, y in shape.points]
                    layer = "VISIBLE" if shape.known else "HIDDEN"
                    self.space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})
                    if shape.known:
                        hatch = self.space.add_hatch(dxfattribs={"layer": "HATCH"})
                        hatch.set_pattern_fill("ANSI31", scale=1.0)
                        hatch.paths.add_polyline_path(points, is_closed=True)
                case Line(tag="axis"):
                    self._line(shape.start, shape.end, dx, "CENTRE")
                case _:
                    pass
        girths = [one for one in shapes if isinstance(one, Girth)]
        for number, one in enumerate(girths):
            x, y = one.at[0] + dx, one.at[1]
            base = (right + dx + 12 + 8.0 * number, 0)
            self._linear((x, -y), (x, y), base=base, angle=90, text=one.figure)
        for span in spans:
            low = (span.start[0] + dx, 0.0), (span.end[0] + dx, 0.0)
            self._linear(*low, base=(0, -12.0 - 9.0 * span.row), angle=0, text=f"{span.figure}  {span.says}")  # fmt: skip
        self._text(heading, left + dx, top + 30, high=5)
        self.x = right + dx + GAP + 90 + 8.0 * len(girths)

    # ── dimensions and lettering ────────────────────────────────────────────

    def _linear(self, one: Any, two: Any, *, base: Any, angle: float, text: str = "") -> None:
        """A linear dimension that measures its two points; both unit systems in its text."""
        size = abs(two[0] - one[0]) if angle == 0 else abs(two[1] - one[1])
        if size < 1e-9:
            return
        says = text.replace("⌀", "%%c") or f"<> ({size / INCH:.3f} in)"
        self.space.add_linear_dim(
            base=base, p1=one, p2=two, angle=angle, dimstyle=STYLE, text=says, dxfattribs={"layer": "DIMENSIONS"},
        ).render()  # fmt: skip

    def _diameter(self, centre: tuple[float, float], size: float) -> None:
        turn = math.radians(-50)
        edge = (centre[0] + size / 2 * math.cos(turn), centre[1] + size / 2 * math.sin(turn))
        self.space.add_diameter_dim(
            center=centre, mpoint=edge, dimstyle=STYLE, text=f"<> ({size / INCH:.3f} in)",
            dxfattribs={"layer": "DIMENSIONS"},
        ).render()  # fmt: skip

    def _line(self, start: Any, end: Any, dx: float, layer: str) -> None:
        self.space.add_line((start[0] + dx, start[1]), (end[0] + dx, end[1]), dxfattribs={"layer": layer})  # fmt: skip

    def _text(self, text: str, x: float, y: float, *, high: float = TEXT, middle: bool = False) -> None:  # fmt: skip
        entity = self.space.add_text(_lettered(text), height=high, dxfattribs={"layer": "LETTERING", "style": STYLE})  # fmt: skip
        if middle:
            entity.dxf.halign, entity.dxf.align_point = 1, (x, y)
        entity.dxf.insert = (x, y)

    # ── tables ──────────────────────────────────────────────────────────────

    def _words(self) -> None:
        """Title, control frames, hole table and notes in one column after the views."""
        doc, record = self.doc, self.record
        x, y = self.x, 200.0
        for line in (record.title, numbered(record), f"{record.made_on} {record.made_by}", f"made from record {record.digest[:16]}", "MILLIMETRES, FULL SIZE; NOT FOR CUTTING; EVERY VIEW SAYS FROM WHERE IT IS SEEN"):  # fmt: skip
            self._text(line, x, y, high=5)
            y -= 9
        for one in controls(doc):
            self._text(one.of, x, y)
            self._frame(one, x + 130, y + 5)
            y -= 11
        for line in datums(doc):
            self._text(f"DATUM {line}", x, y)
            y -= 6
        y = self._holes(x, y - 6)
        for number, note in enumerate(drawing_notes(doc), 1):
            self._text(f"{number}. {note}", x, y)
            y -= 6

    def _frame(self, one: Control, x: float, top: float) -> None:
        high = 8.0
        cells = [high, len(one.zone) * 2.8 + 4, *(high for _ in one.datums)]
        for number, wide in enumerate(cells):
            corners = [(x, top), (x + wide, top), (x + wide, top - high), (x, top - high)]
            self.space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "FRAMES"})
            if number:
                text = one.zone if number == 1 else one.datums[number - 2]
                self._text(text.replace("⌀", "%%c"), x + 2, top - 5.5)
            else:
                for line in strokes(one.symbol):
                    spots = [(x + high * u, top - high + high * v) for u, v in line]
                    for start, end in itertools.pairwise(spots):
                        self.space.add_line(start, end, dxfattribs={"layer": "FRAMES"})
            x += wide

    def _holes(self, x: float, y: float) -> float:
        heads = ("hole", "for", "from", "X mm", "Y mm", "radius", "angle", "diameter", "depth", "thread", "within", "source")  # fmt: skip
        names = [part["name"] for part in self.doc.shown]
        rows = [row for row in hole_rows(self.doc) if row.part in names]
        for part in dict.fromkeys(row.part for row in rows):
            self._text(f"HOLES IN {part.upper()}", x, y, high=4)
            y -= 7
            self._row(heads, x, y)
            for row in rows:
                if row.part == part:
                    y -= 6
                    limits = f"{row.low:.3f}-{row.high:.3f}" if row.low and row.high else f"{row.diameter:.3f}"  # fmt: skip
                    depth = "through" if row.depth is None else f"{row.depth:.2f}"
                    self._row((row.id, row.purpose or row.kind, row.side, f"{row.x:.3f}", f"{row.y:.3f}", f"{row.radius:.3f}", f"{row.angle:.3f}", limits, depth, row.thread, f"%%c{row.within:.2f}", row.source), x, y)  # fmt: skip
            y -= 12
        return y

    def _row(self, cells: Sequence[str], x: float, y: float) -> None:
        for cell, letters in zip(cells, WIDE_COLUMNS, strict=True):
            self._text(cell, x, y)
            x += letters * 2.8 + 3
