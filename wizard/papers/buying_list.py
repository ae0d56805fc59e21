"""The buying list: stock with allowances, screws by length, dowels, the bush."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from kb.model.record import Record
from wizard.papers.bench_sheet import BenchSheet
from wizard.papers.paper import Paper
from wizard.papers.tables import plain

HEADS = ("count", "what", "size", "material or grade", "mass kg", "for")


def buying_list(record: Record) -> Paper:
    """Set the buying list of a record that holds one."""
    sheet = BenchSheet(
        record, "Buying list",
        lead="Stock sizes include sawing and turning allowances. A screw whose length is left open is chosen on the "
        "parts: grip and wanted engagement, less what is left of the hole's depth, next standard length.",
    )  # fmt: skip
    rows = [(*cells, "") for cells in _rows(record, sheet)]
    sheet.table((*HEADS, "bought"), rows, shares=(0.8, 2.2, 3.6, 2, 1.1, 2.6, 1))
    return sheet.paper


def buying_csv(record: Record) -> bytes:
    """The buying list as CSV, UTF-8 with a byte-order mark so that spreadsheets read it right."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADS)
    for cells in _rows(record, BenchSheet(record, "Buying list", lead="")):
        writer.writerow([plain(cell) for cell in cells])
    return out.getvalue().encode("utf-8-sig")


def _rows(record: Record, sheet: BenchSheet) -> list[tuple[str, ...]]:
    return [_cells(one, sheet) for one in record.content["making"]["buying"]]


def _cells(one: Mapping[str, Any], sheet: BenchSheet) -> tuple[str, ...]:
    both = sheet.doc.both
    if one["kind"] == "screw":
        length = both(one["length"]) if one.get("length") else "to suit"
        size = f"{one['thread']} × {length}"
        if one.get("engagement"):
            size += f" ({both(one['engagement'])} of thread engaged)"
        return (str(one["count"]), one["what"], size, one["grade"], "", one["for"])
    size = " × ".join(both(figure) for figure in one["sizes"] if figure)
    if one["kind"] == "dowel" or one["what"] == "round or sawn disc":
        size = f"⌀ {size}"
    mass = f"{one['mass_kg']:.2f}" if one.get("mass_kg") else ""
    return (str(one["count"]), one["what"], size, str(one.get("material", "")), mass, one["for"])
