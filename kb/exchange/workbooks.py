"""A spreadsheet's first page as rows of texts, opened safely."""

from __future__ import annotations

import zipfile
from datetime import datetime
from pathlib import Path
from typing import IO

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from kb.errors import InputError

LARGEST = 50_000_000  # bytes, unpacked
MOST = 20_000  # rows


def read_rows(source: Path | IO[bytes], *, key: str) -> list[list[str]]:
    """The rows of the first page, cells as texts, empty ones as nothing.

    Args:
        source: A file, or an open one. key: What to call it in an error.
    Raises:
        InputError: no spreadsheet, damaged, or far larger unpacked than any list is.
    """
    try:
        with zipfile.ZipFile(source) as packed:
            if sum(one.file_size for one in packed.infolist()) > LARGEST:
                raise InputError(key, "(file)", "unpacked it is far too large for a list")
        book = load_workbook(source, read_only=True, data_only=True)
        page = book.worksheets[0]
        rows = [
            [_text(cell) for cell in row] for row in page.iter_rows(max_row=MOST, values_only=True)
        ]
        book.close()
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
        raise InputError(
            key, "(file)", "it is no spreadsheet, or it is damaged; save it as XLSX"
        ) from None
    return rows


def _text(cell: object) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float):
        return f"{cell:.12g}"
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    return str(cell).strip().removeprefix("'")
