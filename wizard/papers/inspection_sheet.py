"""The inspection sheet: every point with its limits and room for the reading; also as a spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Font

from kb.model.record import Record
from wizard.papers.bench_sheet import BenchSheet
from wizard.papers.document import numbered
from wizard.papers.holes import INCH
from wizard.papers.paper import Paper
from wizard.papers.tables import finished, safe

HEADS = (
    "point", "part", "what", "holes", "nominal mm", "low mm", "high mm", "nominal in", "low in", "high in",
    "instrument", "measured", "unit", "by", "on",
)  # fmt: skip
CLOCK = ("12", "3", "6", "9")
TIMES = 6  # free spins each way written down


def inspection_sheet(record: Record) -> Paper:
    """Set the inspection sheet of a record that holds its points."""
    points: Sequence[Mapping[str, Any]] = record.content["making"]["points"]
    sheet = BenchSheet(
        record, "Inspection sheet",
        lead="Measure each finished part before it is fitted. Write what was read with its unit; the same sheet as a "
        "spreadsheet takes the readings back into the record.",
    )  # fmt: skip
    for part in dict.fromkeys(str(one["part"]) for one in points):
        sheet.section(part)
        rows = [_row(sheet, one) for one in points if one["part"] == part]
        sheet.table(
            ("point", "what", "nominal", "limits", "with", "measured", "by"), rows,
            shares=(0.8, 3, 2.2, 3, 2, 1.8, 0.8), write=(5,),
        )  # fmt: skip
    _clocked(sheet, points)
    sheet.cautions()
    sheet.signature(
        f"Is it within the limits?   {len(points)} points;   met: ______   not met: ______   by: ____________   on: ____________"
    )
    return sheet.paper


def _row(sheet: BenchSheet, one: Mapping[str, Any]) -> tuple[str, ...]:
    what = str(one["what"]) + (f": {one['hole']}" if one.get("hole") else "")
    limits = "go and no-go" if one["low"] is None else sheet.doc.limits((one["low"], one["high"]))
    nominal = sheet.doc.both(one["nominal"]) if one["nominal"] else "0"
    return (str(one["point"]), what, nominal, limits, str(one["instrument"]), "", "")


def _clocked(sheet: BenchSheet, points: Sequence[Mapping[str, Any]]) -> None:
    """Boxes for the dial round the clock and for the free spins, where something turns."""
    turned = [one for one in points if "TIR" in str(one["what"])]
    if not turned:
        return
    sheet.section("Dial, round the clock seen from behind")
    rows = [(f"{one['part']}, {one['what']}", "", "", "", "", "") for one in turned]
    rows += [(f"{one['part']}, face", "", "", "", "", "") for one in turned]
    sheet.table(("surface", *(f"{hour} o'clock" for hour in CLOCK), "TIR"), rows, shares=(3, 1, 1, 1, 1, 1), write=(1,))  # fmt: skip
    sheet.section(
        "Free spins before it is run: where the heavy side comes to rest, degrees from 12 o'clock"
    )
    sheet.table(("way", *(str(n) for n in range(1, TIMES + 1))), [("clockwise", *[""] * TIMES), ("anticlockwise", *[""] * TIMES)], shares=(1.6, *[1] * TIMES), write=(1,))  # fmt: skip


def inspection_workbook(record: Record) -> bytes:
    """The inspection points as a spreadsheet to write in, its times those of the record."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "Inspection"
    page.append([safe(f"{record.title} ({numbered(record)}): inspection"), safe(record.digest)])
    page.append(list(HEADS))
    for cell in (*page[1], *page[2]):
        cell.font = Font(bold=True)
    for one in record.content["making"]["points"]:
        figures = [one["nominal"], one["low"], one["high"]]
        mm = [None if figure is None else round(figure, 4) for figure in figures]
        inches = [None if figure is None else round(figure / INCH, 5) for figure in figures]
        page.append([safe(one["point"]), safe(one["part"]), safe(one["what"]), safe(one.get("hole", "")), *mm, *inches, safe(one["instrument"]), None, "mm"])  # fmt: skip
    for letter, wide in zip(
        "ABCDEFGHIJKLMNO", (7, 18, 30, 18, *[11] * 6, 22, 12, 6, 14, 12), strict=True
    ):
        page.column_dimensions[letter].width = wide
    page.freeze_panes = "D3"
    return finished(book, record)
