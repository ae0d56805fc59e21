"""The SVG cut file, the check of it, and the template: read back with other libraries than wrote them."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import ezdxf
import pytest
from pypdf import PdfReader
from shapely import Polygon

from kb.model.record import Record
from kb.rules.loader import processes
from kb.standards.materials import material
from wizard.making.stuff import outline
from wizard.papers.cut import circles, cut_file, plates
from wizard.papers.cut_report import cut_report, gaps
from wizard.papers.cut_svg import cut_svg
from wizard.papers.shapes import trace
from wizard.papers.template import one_sheet, template

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "posts")
SVG = "{http://www.w3.org/2000/svg}"
POINT = 25.4 / 72


@pytest.mark.parametrize("name", NAMES)
def test_the_svg_holds_what_the_dxf_holds(name: str, designed: dict[str, Record]) -> None:
    record = designed[name]
    (part,) = plates(record)
    body = cut_svg(record, part)
    assert body == cut_svg(record, part)
    root = ET.fromstring(body)
    wide, high = (float(size.removesuffix("mm")) for size in (root.get("width", ""), root.get("height", "")))  # fmt: skip
    assert root.get("viewBox") == f"0 0 {wide:.6f} {high:.6f}"  # one unit is one millimetre
    found = root.iter(f"{SVG}circle")
    diameters = sorted(2 * float(one.get("r", "")) for one in found)
    drawing = ezdxf.read(io.StringIO(cut_file(record, part).decode("utf-8")))  # type: ignore[attr-defined]
    drawn = sorted(2 * one.dxf.radius for one in drawing.modelspace().query("CIRCLE"))
    assert diameters == pytest.approx(drawn, abs=2e-6)
    (path,) = root.iter(f"{SVG}path")
    steps = path.get("d", "")
    assert steps.startswith("M")
    assert steps.endswith("Z")
    assert len(re.findall("A", steps)) == sum(piece.kind == "arc" for piece in outline(part))
    assert not re.findall("[CQSTcqst]", steps)  # no splines
    square = next(root.iter(f"{SVG}rect"))
    assert (square.get("width"), square.get("height")) == ("100", "100")


def test_everything_lies_on_the_svgs_sheet(designed: dict[str, Record]) -> None:
    record = designed["manual-metric"]
    (part,) = plates(record)
    root = ET.fromstring(cut_svg(record, part))
    wide, high = (float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
    for one in root.iter(f"{SVG}circle"):
        x, y, r = (float(one.get(key, "")) for key in ("cx", "cy", "r"))
        assert r < x < wide - r
        assert r < y < high - r
    (path,) = root.iter(f"{SVG}path")
    ends = re.findall(r"(?:[ML]|A \S+ \S+ 0 [01] [01]) (\S+) (\S+)", path.get("d", ""))
    assert len(ends) == len(outline(part)) + 1
    assert all(0 < float(x) < wide and 0 < float(y) < high for x, y in ends)


@pytest.mark.parametrize("name", NAMES)
def test_the_outline_is_closed_and_the_report_says_so(
    name: str, designed: dict[str, Record]
) -> None:
    record = designed[name]
    (part,) = plates(record)
    assert max(gaps(part)) < 1e-6
    assert Polygon(trace(outline(part), step=1)).is_valid
    text = cut_report(record, part).decode("utf-8")
    assert ", closed" in text
    assert "pieces drawn twice: 0" in text
    assert f"circles: {len(list(circles(part)))}" in text


def test_an_outline_with_a_gap_is_called_open(designed: dict[str, Record]) -> None:
    record = designed["manual-metric"]
    (part,) = plates(record)
    pieces = [dict(piece) for piece in part["outline"]]
    pieces[2]["end"] = [pieces[2]["end"][0] + 0.5, pieces[2]["end"][1]]
    torn = {**part, "outline": pieces}
    assert max(gaps(torn)) == pytest.approx(0.5)
    assert "OPEN by" in cut_report(record, torn).decode("utf-8")


def test_a_hole_smaller_than_a_process_can_cut_is_to_be_drilled(
    designed: dict[str, Record],
) -> None:
    record = designed["automatic-inch"]
    (part,) = plates(record)
    thick = part["size"]["thickness"]
    lines = cut_report(record, part).decode("utf-8").splitlines()
    for name, process in processes().items():
        line = next(one for one in lines if one.startswith(f"{name}:"))
        if material(part["material"]).family not in process.cuts:
            assert line == f"{name}: not for {material(part['material']).family}"
            continue
        if thick > process.most:
            assert "ask the cutter" in line
            continue
        small = [
            h["id"]
            for h in part["holes"]
            if h["kind"] == "clearance" and h["diameter"] < process.share * thick
        ]
        assert all(mark in line for mark in small)
        assert ("all clear holes" in line) == (not small)


# ── the template ────────────────────────────────────────────────────────────


def lines_of(body: bytes, page: int = 0) -> list[float]:
    """Lengths of the straight strokes of a page, in the millimetres they were drawn in."""
    text = PdfReader(io.BytesIO(body)).pages[page].get_contents().get_data().decode("latin-1")  # type: ignore[union-attr]
    number = r"(-?[\d.]+)"
    found = re.findall(rf"{number} {number} m {number} {number} l S", text.replace("\n", " "))
    return [math.dist((float(a), float(b)), (float(c), float(d))) for a, b, c, d in found]


@pytest.mark.parametrize("name", NAMES)
def test_the_template_is_full_size_and_says_how_to_check_it(
    name: str, designed: dict[str, Record]
) -> None:
    record = designed[name]
    (part,) = plates(record)
    paper = template(record, part)
    assert not paper.overlaps()
    assert not paper.outside(margin=4)
    body = paper.finish()
    reader = PdfReader(io.BytesIO(body))
    assert sum(length == pytest.approx(100, abs=0.01) for length in lines_of(body)) >= 2
    assert reader.pages[0].get_contents().get_data().decode("latin-1").count("2.834") >= 1  # type: ignore[union-attr]
    across, up = (float(side) * POINT for side in reader.pages[0].mediabox[2:])
    assert {round(across), round(up)} in ({210, 297}, {216, 279})
    size = part["size"]
    most = (size["length"] + 6) / (across - 24 - 12) + 1, (size["height"] + 6) / (up - 24 - 12) + 1
    assert 1 <= len(reader.pages) <= math.ceil(most[0]) * math.ceil(most[1])
    text = " ".join(page.extract_text() for page in reader.pages)
    assert "sheet A1" in text
    assert "100 mm" in text


@pytest.mark.parametrize("name", NAMES)
def test_the_plotters_sheet_holds_the_whole_plate(name: str, designed: dict[str, Record]) -> None:
    record = designed[name]
    (part,) = plates(record)
    paper = one_sheet(record, part)
    assert paper.width >= part["size"]["length"]
    assert paper.height >= part["size"]["height"]
    assert not paper.overlaps()
    assert len(PdfReader(io.BytesIO(paper.finish())).pages) == 1
    again = one_sheet(replace(record), part)
    assert again.finish() == one_sheet(record, part).finish()
