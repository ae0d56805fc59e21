"""The hole table as CSV and as a spreadsheet, and the answer itself: the same bytes each time."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Sequence
from datetime import datetime

from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from kb.model.record import Record
from wizard.papers.document import Document, numbered
from wizard.papers.holes import INCH, SEEN_FROM, HoleRow, hole_rows

Cell = str | float | None

TEXTS = ("part", "hole", "for", "kind", "worked from", "thread", "place taken by")
LENGTHS = {
    "X": "x", "Y": "y", "radius": "radius", "diameter": "diameter", "least": "low", "most": "high",
    "depth": "depth", "counterbore": "counterbore", "counterbore deep": "counterbore_depth",
    "countersink": "countersink", "within": "within",
}  # fmt: skip
HEADS = (
    *TEXTS, "angle °", "through",
    *(f"{name} {unit}" for name in LENGTHS for unit in ("mm", "in")), "countersink angle °",
)  # fmt: skip
RISKY = ("=", "+", "-", "@")


def hole_csv(record: Record) -> bytes:
    """The hole table as CSV, UTF-8 with a byte-order mark so that spreadsheets read it right."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([plain(f"{_title(record)}: holes seen from {SEEN_FROM}")])
    writer.writerow(HEADS)
    for row in hole_rows(Document(record.answer)):
        writer.writerow([plain(cell) for cell in _cells(row)])
    return out.getvalue().encode("utf-8-sig")


def hole_workbook(record: Record) -> bytes:
    """The hole table as a spreadsheet, its times those of the record."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Holes"
    sheet.append([safe(f"{_title(record)}: holes seen from {SEEN_FROM}")])
    sheet.append(list(HEADS))
    for cell in (*sheet[1], *sheet[2]):
        cell.font = Font(bold=True)
    for row in hole_rows(Document(record.answer)):
        sheet.append([safe(cell) for cell in _cells(row)])
    for place in range(1, len(HEADS) + 1):
        sheet.column_dimensions[get_column_letter(place)].width = 13
    sheet.freeze_panes = "C3"
    return finished(book, record)


def finished(book: Workbook, record: Record) -> bytes:
    """The bytes of a spreadsheet, its times and its hand those of the record."""
    made = datetime.fromisoformat(record.made_on)
    book.properties.created = book.properties.modified = made
    book.properties.creator = record.made_by or "trialfit"
    raw = io.BytesIO()
    book.save(raw)
    return _fixed(raw.getvalue(), made)


def answer_json(record: Record) -> bytes:
    """The answer as it was agreed."""
    text = json.dumps(record.answer, indent=1, ensure_ascii=False, sort_keys=True, allow_nan=False)
    return (text + "\n").encode("utf-8")


def sheet_toml(record: Record) -> bytes:
    """The pairing sheet the answer was worked out from."""
    return str(record.content["sheet"]).encode("utf-8")


def _title(record: Record) -> str:
    return f"{record.title} ({numbered(record)})"


def _cells(row: HoleRow) -> Sequence[Cell]:
    cells: list[Cell] = [row.part, row.id, row.purpose, row.kind, row.side, row.thread, row.source]
    cells += [round(row.angle, 3), "yes" if row.depth is None else "no"]
    for attribute in LENGTHS.values():
        length = getattr(row, attribute)
        cells += [None, None] if length is None else [round(length, 3), round(length / INCH, 4)]
    return [*cells, row.countersink_angle]


def plain(cell: Cell) -> str:
    """A cell as a text, kept a text for spreadsheets."""
    return "" if cell is None else str(safe(cell))


def safe(cell: Cell) -> Cell:
    """A text on one line; one that a spreadsheet would take for a formula is kept a text."""
    if not isinstance(cell, str):
        return cell
    line = " ".join("".join(char if char.isprintable() else " " for char in cell).split())
    return f"'{line}" if line.startswith(RISKY) else line


def _fixed(raw: bytes, made: datetime) -> bytes:
    """The workbook's archive written anew with one time for all, and no time of saving."""
    out = io.BytesIO()
    stamp = (max(made.year, 1980), made.month, made.day, 0, 0, 0)
    with (
        zipfile.ZipFile(io.BytesIO(raw)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in sorted(old.namelist()):
            body = old.read(name)
            if name == "docProps/core.xml":
                body = _core(body, made)
            new.writestr(zipfile.ZipInfo(name, date_time=stamp), body)
    return out.getvalue()


def _core(body: bytes, made: datetime) -> bytes:
    """The properties with the time of saving set back to the record's day."""
    start, mark, rest = body.partition(b"<dcterms:modified")
    head, close, tail = rest.partition(b">")
    _, end, after = tail.partition(b"</dcterms:modified>")
    if not mark or not end:
        return body
    stamp = made.strftime("%Y-%m-%dT00:00:00Z").encode("ascii")
    return start + mark + head + close + stamp + end + after
