"""Hole tables read back by the csv module and openpyxl; figures against the answer's own."""

from __future__ import annotations

import csv
import io
import json
import math
import zipfile

import pytest
from openpyxl import load_workbook

from kb.model.record import Record
from tests.papers.samples import Answer, converter, kept
from wizard.papers.tables import HEADS, answer_json, hole_csv, hole_workbook, sheet_toml

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")
SIGNS = ("=1+1", "+1", "-1", "@sum(a1)", " =1", "\t=1", "\r=1", "='x'!a1")


def rows_of(record: Record) -> list[dict[str, str]]:
    lines = list(csv.reader(io.StringIO(hole_csv(record).decode("utf-8-sig"), newline="")))
    assert lines[1] == list(HEADS)
    return [dict(zip(HEADS, line, strict=True)) for line in lines[2:]]


def cells_of(record: Record) -> list[dict[str, object]]:
    sheet = load_workbook(io.BytesIO(hole_workbook(record)))["Holes"]
    return [dict(zip(HEADS, row, strict=True)) for row in sheet.iter_rows(min_row=3, values_only=True)]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_both_tables_hold_every_hole_of_every_part(name: str, designed: dict[str, Record]) -> None:
    record = designed[name]
    holes = [(part["name"], hole) for part in record.answer["parts"] for hole in part["holes"]]
    rows, cells = rows_of(record), cells_of(record)
    assert len(rows) == len(cells) == len(holes)
    asked = {(part, hole["id"]): hole for part, hole in holes}
    assert len(asked) == len(holes)
    for row, cell in zip(rows, cells, strict=True):
        hole = asked.pop((row["part"], row["hole"]))
        assert (cell["part"], cell["hole"]) == (row["part"], row["hole"])
        for head, value in (("X", hole["x"]), ("Y", hole["y"]), ("diameter", hole["diameter"])):
            assert float(row[f"{head} mm"]) == pytest.approx(value, abs=5e-4)
            assert float(row[f"{head} in"]) == pytest.approx(value / 25.4, abs=5e-5)
            assert cell[f"{head} mm"] == float(row[f"{head} mm"])


def test_holes_are_counted_as_people_count() -> None:
    answer = converter()
    marks = ["G10", "E2", "E10", "G1", "E1", "P-2", "P-10", "7", "12"]
    rows = answer["parts"][0]["holes"][: len(marks)]
    answer["parts"] = [answer["parts"][0] | {"holes": [row | {"id": mark} for row, mark in zip(rows, marks, strict=True)]}]  # fmt: skip
    shown = [row["hole"] for row in rows_of(kept(answer))]
    assert shown == ["E1", "E2", "E10", "G1", "G10", "P-2", "P-10", "7", "12"]


def test_radius_and_angle_lead_back_to_x_and_y() -> None:
    """x = r·cos a, y = r·sin a, the angle anticlockwise from X, from 0 up to a full turn."""
    for row in rows_of(kept(converter())):
        radius, angle = float(row["radius mm"]), math.radians(float(row["angle °"]))
        assert radius * math.cos(angle) == pytest.approx(float(row["X mm"]), abs=0.01)
        assert radius * math.sin(angle) == pytest.approx(float(row["Y mm"]), abs=0.01)
        assert 0 <= float(row["angle °"]) < 360


def test_depths_counterbores_and_limits() -> None:
    rows = {row["hole"]: row for row in rows_of(kept(converter()))}
    assert (rows["A1"]["through"], rows["A1"]["depth mm"]) == ("yes", "")
    assert (rows["A1"]["counterbore mm"], rows["A1"]["counterbore deep in"]) == ("20.6", "0.4803")
    assert (rows["E1"]["through"], rows["E1"]["depth mm"]) == ("no", "9.0")
    assert (rows["D1"]["least mm"], rows["D1"]["most mm"]) == ("12.7", "12.718")
    assert (rows["B1"]["thread"], rows["B1"]["kind"]) == ("3/8-16", "tapped")


def test_the_table_says_where_it_is_seen_from() -> None:
    first = hole_csv(kept(converter())).decode("utf-8-sig").splitlines()[0]
    assert "seen from behind the engine, gearbox side up" in first
    book = load_workbook(io.BytesIO(hole_workbook(kept(converter()))))
    assert "seen from behind the engine" in str(book["Holes"]["A1"].value)


@pytest.mark.parametrize("sign", SIGNS)
def test_nothing_typed_becomes_a_formula(sign: str) -> None:
    answer = converter()
    answer["parts"][0]["holes"][0] |= {"id": sign, "thread": sign}
    record = kept(answer, title=sign)
    (row,) = (row for row in rows_of(record) if row["thread"].startswith("'"))
    assert row["hole"].startswith("'")
    assert not hole_csv(record).decode("utf-8-sig").lstrip('"').startswith(("=", "+", "-", "@"))
    sheet = load_workbook(io.BytesIO(hole_workbook(record)))["Holes"]
    assert not [cell for line in sheet.iter_rows() for cell in line if cell.data_type == "f"]


def test_marks_that_no_workbook_takes_are_blanks() -> None:
    answer = converter()
    answer["parts"][0]["holes"][0]["id"] = "a\x07b\nc"
    assert "a b c" in [cell["hole"] for cell in cells_of(kept(answer))]


@pytest.mark.parametrize("day", ["2026-03-02", "1979-12-31", "2100-01-01T10:00:00+02:00"])
def test_the_workbook_repeats_byte_for_byte_and_carries_the_records_day(day: str) -> None:
    from dataclasses import replace

    record = replace(kept(converter()), made_on=day)
    body = hole_workbook(record)
    assert body == hole_workbook(record)
    core = zipfile.ZipFile(io.BytesIO(body)).read("docProps/core.xml").decode("utf-8")
    assert core.count(day[:10]) == 2


def test_the_answer_and_the_sheet_come_back(designed: dict[str, Record]) -> None:
    record = designed["automatic-inch"]
    assert json.loads(answer_json(record)) == record.answer
    assert sheet_toml(record).decode("utf-8") == record.content["sheet"]


def test_a_table_without_holes_is_its_head_alone() -> None:
    empty: Answer = {"title": "None", "parts": []}
    assert rows_of(kept(empty)) == []
    assert cells_of(kept(empty)) == []
