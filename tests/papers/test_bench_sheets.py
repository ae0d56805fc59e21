"""The sheets for the bench: read back, checked against closed forms, and different for different jobs."""

from __future__ import annotations

import io
import json
import math
from dataclasses import replace
from typing import Any

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from kb.model.record import Record, canonical, digest
from wizard.papers import packet
from wizard.papers.buying_list import buying_csv, buying_list
from wizard.papers.fitting_sheet import fitting_sheet
from wizard.papers.inspection_sheet import HEADS, inspection_sheet, inspection_workbook
from wizard.papers.layout_sheet import layout_sheet

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")
SHEETS = {
    "layout": layout_sheet,
    "inspection": inspection_sheet,
    "fitting": fitting_sheet,
    "buying": buying_list,
}


def changed(record: Record, **content: Any) -> Record:
    """The record with another document."""
    document = {**json.loads(record.document), **content}
    document = {key: value for key, value in document.items() if value is not None}
    text = canonical(document)
    return replace(record, document=text, digest=digest(text))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("sheet", SHEETS)
def test_nothing_overlaps_and_nothing_is_off_the_page(
    sheet: str, name: str, designed: dict[str, Record]
) -> None:
    paper = SHEETS[sheet](designed[name])
    assert not paper.overlaps()
    assert not paper.outside()


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_is_of_its_job_and_the_same_twice(sheet: str, designed: dict[str, Record]) -> None:
    make = SHEETS[sheet]
    texts = {}
    for name in NAMES:
        body = make(designed[name]).finish()
        assert body == make(designed[name]).finish()
        reader = PdfReader(io.BytesIO(body))
        texts[name] = "\n".join(page.extract_text() for page in reader.pages)
        assert designed[name].title.split(":")[0] in texts[name]
        assert float(reader.pages[0].mediabox.width) > 500
    assert len(set(texts.values())) == len(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_hole_is_on_the_layout_sheet(name: str, designed: dict[str, Record]) -> None:
    body = layout_sheet(designed[name]).finish()
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(body)).pages)
    for part in designed[name].answer["parts"]:
        for hole in part.get("holes") or ():
            assert str(hole["id"]) in text


def test_the_inspection_sheet_has_its_foot_and_its_boxes(designed: dict[str, Record]) -> None:
    record = designed["automatic-inch"]
    body = inspection_sheet(record).finish()
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(body)).pages)
    count = len(record.content["making"]["points"])
    assert f"Is it within the limits? {count} points" in " ".join(text.split())
    assert "12 o'clock" in text
    assert "anticlockwise" in text


def test_the_spreadsheet_holds_the_points(designed: dict[str, Record]) -> None:
    record = designed["manual-metric"]
    body = inspection_workbook(record)
    assert body == inspection_workbook(record)
    page = load_workbook(io.BytesIO(body)).active
    assert page is not None
    rows = list(page.iter_rows(values_only=True))
    assert rows[0][1] == record.digest
    assert rows[1] == HEADS
    points = record.content["making"]["points"]
    assert len(rows) == len(points) + 2
    for row, point in zip(rows[2:], points, strict=True):
        assert row[0] == point["point"]
        assert row[4] == pytest.approx(point["nominal"], abs=5e-5)
        if point["low"] is not None:
            assert row[8] * 25.4 == pytest.approx(point["low"], abs=2e-4)


def test_a_name_that_is_a_formula_stays_a_text(designed: dict[str, Record]) -> None:
    record = designed["manual-metric"]
    made = json.loads(record.document)["making"]
    made["points"][0]["part"] = "=1+1"
    made["buying"][0]["material"] = "@SUM(A1)"
    evil = changed(record, making=made)
    page = load_workbook(io.BytesIO(inspection_workbook(evil))).active
    assert page is not None
    assert page["B3"].value == "'=1+1"
    assert b"'@SUM" in buying_csv(evil)


def test_a_record_from_before_the_sheets_says_why(designed: dict[str, Record]) -> None:
    old = changed(designed["manual-metric"], making=None)
    kinds = {kind for kind, _, _ in packet.papers(old)}
    assert "specification" in kinds
    assert "layout sheet" not in kinds
    reasons = dict(packet.left_out(old))
    assert "older than this paper" in reasons["layout sheet"]


def test_the_fitting_sheet_says_how_tight_and_by_which_stages(designed: dict[str, Record]) -> None:
    record = designed["manual-metric"]
    text = " ".join(
        page.extract_text() for page in PdfReader(io.BytesIO(fitting_sheet(record).finish())).pages
    )
    for joint in record.content["making"]["fitting"]["joints"]:
        full = next(
            one["torque_nm"] for one in record.answer["joints"] if one["name"] == joint["joint"]
        )
        assert joint["stages"][-1] == pytest.approx(full, abs=0.06)
        assert f"{joint['stages'][-1]:.0f} N·m" in text or f"{joint['stages'][-1]:.1f} N·m" in text
    assert "Stand clear" in text.replace("stand clear", "Stand clear")


def test_the_opening_is_cut_with_stock_left(designed: dict[str, Record]) -> None:
    bore = designed["automatic-inch"].content["making"]["layout"][0]["bore"]
    assert bore["rough"] == pytest.approx(bore["diameter"] - 2)
    assert math.isfinite(bore["diameter"])
