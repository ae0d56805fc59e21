"""The packet as a whole, read back with other people's libraries: pypdf, ezdxf, openpyxl.

Expected positions and sizes are the answer's own, so these tests say that a paper shows what was
agreed; what was agreed is proven elsewhere. Page sizes: ISO 216 (A3, A4), ASME Y14.1 (A, B).
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from kb.errors import InputError, StoreError
from kb.model.record import Record
from kb.sheets.reading import read
from wizard.desk.pairing import read_job, unkept, work_out
from wizard.engine.remedies import changed
from wizard.papers import cut, packet

SHEETS = Path(__file__).parents[1] / "data" / "sheets"
NAMES = ("automatic-inch", "manual-metric", "standard-housings")


@pytest.fixture(scope="module")
def records() -> dict[str, Record]:
    from datetime import date

    return {
        name: unkept(read_job(SHEETS / f"{name}.toml"), by="J. Müßig", on=date(2026, 3, 2))
        for name in NAMES
    }


@pytest.fixture(scope="module")
def two_plates() -> Record:
    from datetime import date

    request = read((SHEETS / "manual-metric.toml").read_text(encoding="utf-8"))
    change = {"choices.plates": 2, "choices.plate": None, "choices.spacer": None}
    return unkept(work_out(changed(request, change)), on=date(2026, 3, 2))


@pytest.mark.parametrize("name", NAMES)
def test_every_paper_is_written(name: str, records: dict[str, Record], tmp_path: Path) -> None:
    made = packet.write(records[name], tmp_path / "papers")
    kinds = [kind for kind, *_ in packet.papers(records[name])]
    assert set(kinds) == set(packet.KINDS)
    assert all(path.stat().st_size > 200 for path in made)
    assert not list(tmp_path.rglob("*.part"))


@pytest.mark.parametrize("name", NAMES)
def test_the_same_record_gives_the_same_bytes(name: str, records: dict[str, Record]) -> None:
    first, again = ([make() for *_, make in packet.papers(records[name])] for _ in range(2))
    assert first == again


@pytest.mark.parametrize("name", NAMES)
def test_papers_are_pdf_pages_of_the_shops_size(name: str, records: dict[str, Record]) -> None:
    inch = records[name].answer["shop_units"] == "in"
    for kind, size in (("drawing", (431.8, 279.4) if inch else (420, 297)),
                       ("specification", (215.9, 279.4) if inch else (210, 297))):  # fmt: skip
        page = PdfReader(io.BytesIO(_first(records[name], kind))).pages[0]
        millimetres = [float(edge) * 25.4 / 72 for edge in page.mediabox[2:]]
        assert millimetres == pytest.approx(size, abs=0.2)


@pytest.mark.parametrize("name", NAMES)
def test_the_specification_says_what_matters(name: str, records: dict[str, Record]) -> None:
    record = records[name]
    reader = PdfReader(io.BytesIO(_first(record, "specification")))
    assert len(reader.pages) == 1
    text = reader.pages[0].extract_text()
    assert "Confirm on the actual parts" in text
    assert record.answer["verdict"].upper() in text
    assert f"{record.answer['axial']['plate']:.2f} mm" in text
    fonts = {str(font) for font in reader.pages[0]["/Resources"]["/Font"]}  # type: ignore[index]
    assert fonts


@pytest.mark.parametrize("version", cut.VERSIONS)
@pytest.mark.parametrize("name", NAMES)
def test_the_cut_file_is_clean_and_true(
    name: str, version: str, records: dict[str, Record], tmp_path: Path
) -> None:
    record = records[name]
    (part,) = cut.plates(record)
    path = tmp_path / "plate.dxf"
    path.write_bytes(cut.cut_file(record, part, version=version))
    drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes
    space = drawing.modelspace()
    layers = {layer.name for layer in cut.LAYERS}
    assert {one.dxf.layer for one in space} <= layers
    assert {one.dxftype() for one in space} <= {"LWPOLYLINE", "POLYLINE", "CIRCLE", "TEXT"}
    circles = list(space.query("CIRCLE"))
    places = {(round(one.dxf.center.x, 6), round(one.dxf.center.y, 6)) for one in circles}
    assert len(places) == len(circles)
    for hole in part["holes"]:
        assert (round(hole["x"], 6), round(hole["y"], 6)) in places
    if version == "R2010":
        assert drawing.header["$INSUNITS"] == 4
        assert drawing.header["$MEASUREMENT"] == 1


@pytest.mark.parametrize("name", NAMES)
def test_the_profile_is_closed_and_is_the_designs(name: str, records: dict[str, Record]) -> None:
    """Its area by the polyline's own vertices and bulges equals the design's outline."""
    from wizard.engine.parts.outline import area
    from wizard.papers.document import outline

    record = records[name]
    (part,) = cut.plates(record)
    drawing = ezdxf.read(io.StringIO(cut.cut_file(record, part).decode("utf-8")))
    (profile,) = drawing.modelspace().query('LWPOLYLINE[layer=="PROFILE"]')
    assert profile.closed
    assert _area(list(profile.get_points("xyb"))) == pytest.approx(area(outline(part)), rel=1e-9)
    (square,) = drawing.modelspace().query('LWPOLYLINE[layer=="CHECK-SQUARE"]')
    assert _area(list(square.get_points("xyb"))) == pytest.approx(100.0**2)


def _area(points: list[tuple[float, float, float]]) -> float:
    """Area of a closed polyline with bulges: shoelace plus circular segments (closed form)."""
    total = 0.0
    for (ax, ay, bulge), (bx, by, _) in zip(points, points[1:] + points[:1], strict=True):
        total += (ax * by - bx * ay) / 2
        if bulge:
            angle = 4 * math.atan(bulge)
            radius = math.dist((ax, ay), (bx, by)) / 2 / math.sin(angle / 2)
            total += radius**2 / 2 * (angle - math.sin(angle))
    return total


@pytest.mark.parametrize("name", NAMES)
def test_hole_tables_agree_with_the_answer(name: str, records: dict[str, Record]) -> None:
    record = records[name]
    holes = [hole for part in record.answer["parts"] for hole in part["holes"]]
    text = _first(record, "hole table").decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))[2:]
    book = load_workbook(io.BytesIO(_named(record, ".xlsx")))
    cells = list(book["Holes"].iter_rows(min_row=3, values_only=True))
    assert len(rows) == len(cells) == len(holes)
    for hole, row, cell in zip(holes, rows, cells, strict=True):
        assert row[1] == str(cell[1]) == hole["id"]
        assert float(row[5]) == pytest.approx(hole["x"], abs=5e-4)
        assert float(str(cell[8])) == pytest.approx(hole["y"] / 25.4, abs=5e-5)


def test_the_answer_comes_back(records: dict[str, Record]) -> None:
    record = records["automatic-inch"]
    assert json.loads(_first(record, "answer")) == record.answer
    again = read(_first(record, "sheet").decode("utf-8"))
    assert again == read(str(record.content["sheet"]))


def test_two_plates_have_a_drawing_and_a_cut_file_each(two_plates: Record, tmp_path: Path) -> None:
    made = [path.name for path in packet.write(two_plates, tmp_path)]
    for side in ("engine-side-plate", "gearbox-side-plate"):
        assert any(side in name and name.endswith(".pdf") for name in made)
        assert any(side in name and name.endswith("R12.dxf") for name in made)
    front, rear = cut.plates(two_plates)
    assert {h["id"] for h in front["holes"]} != {h["id"] for h in rear["holes"]}


@pytest.mark.parametrize(
    "title", ['A/B "quoted" <job>', "Ümläut & ß", "🚜 tractor", "..\\..\\up", "CON", "   "]
)
def test_names_are_safe_everywhere(title: str, records: dict[str, Record]) -> None:
    slug = packet.slug(title)
    assert slug
    assert not set(slug) - set("abcdefghijklmnopqrstuvwxyz0123456789-")


def test_a_folder_that_cannot_be_written(records: dict[str, Record], tmp_path: Path) -> None:
    (tmp_path / "papers").write_text("in the way", encoding="utf-8")
    with pytest.raises(StoreError, match="papers"):
        packet.write(records["automatic-inch"], tmp_path / "papers")


def test_unknown_kind_and_version(records: dict[str, Record], tmp_path: Path) -> None:
    record = records["automatic-inch"]
    with pytest.raises(InputError, match="poster"):
        packet.write(record, tmp_path, only=["poster"])
    with pytest.raises(InputError, match="R9"):
        cut.cut_file(record, cut.plates(record)[0], version="R9")


def test_formulas_in_names_stay_text(records: dict[str, Record]) -> None:
    from wizard.papers.tables import _safe

    assert _safe("=1+1") == "'=1+1"
    assert _safe("E1") == "E1"


def _first(record: Record, wanted: str) -> bytes:
    make: Callable[[], bytes] = next(
        make for kind, _, make in packet.papers(record) if kind == wanted
    )
    return make()


def _named(record: Record, ending: str) -> bytes:
    make = next(make for _, name, make in packet.papers(record) if name.endswith(ending))
    return make()
