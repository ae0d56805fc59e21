"""A spreadsheet's first page as rows of texts, opened safely."""

from __future__ import annotations

import zipfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from kb.errors import InputError

LARGEST = 50_000_000  # bytes, unpacked
MOST = 20_000  # rows


@dataclass(frozen=True, kw_only=True)
class Page:
    """The first page of a spreadsheet: rows of texts, and which cells are merged, by row."""

    rows: list[list[str]]
    merged: tuple[tuple[str, int, int], ...]


def read_page(source: Path | IO[bytes], *, key: str, name: str = "(file)") -> Page:
    """The first page of a spreadsheet, cells as texts, empty ones as nothing.

    Args:
        source: A file, or an open one. key: What to call it in an error. name: Of the file.
    Raises:
        InputError: no spreadsheet, damaged, or far larger unpacked than any list is.
    """
    try:
        with zipfile.ZipFile(source) as packed:
            if sum(one.file_size for one in packed.infolist()) > LARGEST:
                raise InputError(key, name, "unpacked it is far too large for a list")
        page = load_workbook(source, data_only=True).worksheets[0]
        rows = [
            [_text(cell) for cell in row] for row in page.iter_rows(max_row=MOST, values_only=True)
        ]
        merged = tuple((str(one), one.min_row, one.max_row) for one in page.merged_cells.ranges)
    except InputError:
        raise
    except (
        zipfile.BadZipFile,
        InvalidFileException,
        KeyError,
        ValueError,
        IndexError,
        OSError,
        EOFError,
    ):
        raise InputError(key, name, "it cannot be read as a spreadsheet; save it as XLSX") from None
    return Page(rows=rows, merged=merged)


def _text(cell: object) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float):
        return f"{cell:.12g}"
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    return str(cell).strip().removeprefix("'")
