"""Lists of holes in and out: CSV, spreadsheets, and the circles of a DXF drawing.

What was typed stays text; nothing is rounded on the way.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.exchange.workbooks import read_page

KEY = "holes"
LARGEST = 20_000_000  # bytes
MOST = 5_000  # holes
COLUMNS = {  # what the columns of a list may be called
    "id": ("id", "mark", "hole no", "no", "name"),
    "x": ("x",),
    "y": ("y",),
    "hole": ("hole", "diameter", "dia", "d"),
    "thread": ("thread",),
    "depth": ("depth",),
}
UNITS = {0: "", 1: "in", 4: "mm"}  # $INSUNITS of a drawing
MARKS = "HOLE_MARKS"
SAME = 1e-6  # mm: circles nearer than this are one drawn twice


@dataclass(frozen=True, kw_only=True)
class Listed:
    """One hole of a list, as it was written: texts, empty where nothing stood."""

    id: str
    x: str
    y: str
    hole: str = ""
    thread: str = ""
    depth: str = ""


@dataclass(frozen=True, kw_only=True)
class Listing:
    """Holes of a file.

    Attributes:
        rows: The holes. unit: Of bare figures where the file says it; else empty.
        layers: Layers of a drawing that hold circles.
        notes: What was left out, and why.
    """

    rows: tuple[Listed, ...]
    unit: str
    layers: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def read_holes(path: Path | str, *, layers: Sequence[str] = ()) -> Listing:
    """The holes of a list or drawing.

    Args:
        path: A ``.csv``, ``.xlsx`` or ``.dxf`` file.
        layers: Layers of a drawing to take; all without them.
    Raises:
        InputError: no such file, one that cannot be read, or one without holes.
    """
    file = Path(path)
    if not file.is_file():
        raise InputError(KEY, str(path), "no such file")
    if file.stat().st_size > LARGEST:
        raise InputError(KEY, str(path), f"a file of at most {LARGEST // 1_000_000} MB")
    ending = file.suffix.lower()
    if ending not in (".csv", ".xlsx", ".dxf"):
        raise InputError(KEY, file.name, "a .csv, .xlsx or .dxf file")
    if ending == ".dxf":
        found = _dxf(file, layers)
    else:
        found = _csv(file) if ending == ".csv" else _xlsx(file)
    if not found.rows:
        raise InputError(KEY, file.name, "; ".join(found.notes) or "it has no holes")
    if len(found.rows) > MOST:
        raise InputError(KEY, file.name, f"it has {len(found.rows)} holes; at most {MOST}")
    return found


# ── lists ───────────────────────────────────────────────────────────────────


def _csv(file: Path) -> Listing:
    try:
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(KEY, file.name, "it is not UTF-8 text; save it as CSV, UTF-8") from None
    mark = ";" if text.count(";") > text.count(",") else ","
    return _listed(list(csv.reader(io.StringIO(text), delimiter=mark, skipinitialspace=True)), file)


def _xlsx(file: Path) -> Listing:
    page = read_page(file, key=KEY, name=file.name)
    top = _header(page.rows)
    merged = [cells for cells, low, high in page.merged if top is None or low <= top + 1 <= high]
    if merged:
        raise InputError(KEY, f"{file.name}, cells {', '.join(merged[:3])}", "unmerge the column heads: one head over each column")  # fmt: skip
    return _listed(page.rows, file)


def _header(rows: Sequence[Sequence[str]]) -> int | None:
    """The row that names the columns."""
    for place, row in enumerate(rows[:40]):
        names = {_column(cell) for cell in row}
        if {"x", "y"} <= names:
            return place
    return None


def _column(cell: str) -> str:
    """What a column is, whatever it is called."""
    plain = cell.strip().casefold().split("[")[0].split("(")[0].strip()
    return next((name for name, called in COLUMNS.items() if plain in called), "")


def _unit_of(cell: str) -> str:
    inside = cell.casefold()
    return next(
        (unit for unit in ("mm", "in") if f"[{unit}]" in inside or f"({unit})" in inside), ""
    )


def _listed(rows: Sequence[Sequence[str]], file: Path) -> Listing:
    top = _header(rows)
    if top is None:
        raise InputError(KEY, file.name, "name its columns in one row: id, x, y, hole, thread")
    names = [_column(cell) for cell in rows[top]]
    unit = next(filter(None, map(_unit_of, rows[top])), "")
    found: list[Listed] = []
    notes: list[str] = []
    for number, row in enumerate(rows[top + 1 :], top + 2):
        cells = {name: _told(cell) for name, cell in zip(names, row, strict=False) if name}
        if not any(cells.values()):
            continue
        if not (cells.get("x") and cells.get("y")):
            notes.append(f"row {number} has no x and y and was left out")
            continue
        cells.setdefault("id", "")
        found.append(replace(Listed(**cells), id=cells["id"] or str(len(found) + 1)))
    return Listing(rows=tuple(found), unit=unit, notes=tuple(notes))


# ── drawings ────────────────────────────────────────────────────────────────


def _dxf(file: Path, layers: Sequence[str] = ()) -> Listing:
    import ezdxf

    try:
        drawing = ezdxf.readfile(file)  # type: ignore[attr-defined]
    except (OSError, UnicodeDecodeError, ValueError, StopIteration, ezdxf.DXFError):  # type: ignore[attr-defined]
        raise InputError(KEY, file.name, "it cannot be read as a DXF drawing") from None
    stated = int(drawing.header.get("$INSUNITS", 0))
    if stated not in UNITS:
        raise InputError(KEY, f"$INSUNITS {stated}", "draw it in inches or millimetres")
    things = list(_things(drawing.modelspace(), 8))
    circles = [one for one in things if one.dxftype() == "CIRCLE"]
    every = tuple(sorted({one.dxf.layer for one in circles}))
    taken = [one for one in circles if not layers or one.dxf.layer in layers]
    texts = [one for one in things if one.dxftype() == "TEXT"]
    rows, notes = _drawn(taken, texts)
    odd = {one.dxftype().lower() for one in things} & {"spline", "ellipse"}
    if not rows:
        others = f"; it has circles on {', '.join(every)}" if every and layers else ""
        notes.append("it has no circles" + (f", only {' and '.join(sorted(odd))}s" if odd else "") + others)  # fmt: skip
    return Listing(rows=tuple(rows), unit=UNITS[stated], layers=every, notes=tuple(notes))


def _things(space: Any, deep: int) -> Iterator[Any]:
    for thing in space:
        if thing.dxftype() == "INSERT" and deep:
            yield from _things(thing.virtual_entities(), deep - 1)
        else:
            yield thing


def _drawn(circles: Sequence[Any], texts: Sequence[Any]) -> tuple[list[Listed], list[str]]:
    """Circles as holes; a text that starts inside one is its mark, and its thread after it."""
    rows: list[Listed] = []
    notes: list[str] = []
    seen: list[tuple[float, float, float]] = []
    for one in circles:
        middle = one.ocs().to_wcs(one.dxf.center)
        x, y, across = float(middle.x), float(middle.y), 2 * float(one.dxf.radius)
        if across <= SAME:
            notes.append("a circle of no size was left out")
            continue
        if any(math.dist((x, y, across), other) <= SAME for other in seen):
            notes.append("a circle drawn twice was taken once")
            continue
        seen.append((x, y, across))
        mark, thread = _mark((x, y), across / 2, texts)
        rows.append(Listed(id=mark or str(len(rows) + 1), x=f"{x:.10g}", y=f"{y:.10g}", hole=f"{across:.10g}", thread=thread))  # fmt: skip
    return rows, notes


def _mark(at: tuple[float, float], radius: float, texts: Sequence[Any]) -> tuple[str, str]:
    for text in texts:
        if math.dist(at, (text.dxf.insert.x, text.dxf.insert.y)) <= radius:
            mark, _, thread = str(text.dxf.text).strip().partition(" ")
            return mark, thread.strip()
    return "", ""


# ── out ─────────────────────────────────────────────────────────────────────


def write_holes(rows: Sequence[Listed], path: Path | str, *, unit: str) -> None:
    """Write a list of holes; its kind by the file's ending.

    Args:
        rows: The holes. path: A ``.csv``, ``.xlsx`` or ``.dxf`` file.
        unit: Of bare figures, ``"in"`` or ``"mm"``; it stands in the heads or the drawing.
    Raises:
        InputError: another ending, a folder that is not there, or a drawing of texts that are no
            plain figures.
    """
    file = Path(path)
    writers = {".csv": _to_csv, ".xlsx": _to_xlsx, ".dxf": _to_dxf}
    if file.suffix.lower() not in writers:
        raise InputError(KEY, file.name, "a .csv, .xlsx or .dxf file")
    try:
        writers[file.suffix.lower()](rows, file, unit)
    except OSError as error:
        raise InputError(KEY, str(path), f"it cannot be written: {error.strerror}") from None


def _table(rows: Sequence[Listed], unit: str) -> list[list[str]]:
    heads = ["id", f"x [{unit}]", f"y [{unit}]", f"hole [{unit}]", "thread", f"depth [{unit}]"]
    return [heads, *([one.id, one.x, one.y, one.hole, one.thread, one.depth] for one in rows)]


def _to_csv(rows: Sequence[Listed], file: Path, unit: str) -> None:
    with file.open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows([[_safe(cell) for cell in row] for row in _table(rows, unit)])


def _safe(cell: str) -> str:
    """A text that a spreadsheet must not take for a formula."""
    return f"'{cell}" if cell.startswith(("=", "@")) else cell


def _told(cell: str) -> str:
    """Such a text read back."""
    text = cell.strip()
    return text[1:] if text.startswith(("'=", "'@")) else text


def _to_xlsx(rows: Sequence[Listed], file: Path, unit: str) -> None:
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    for row in _table(rows, unit):
        sheet.append([_safe(cell) for cell in row])
        for cell in sheet[sheet.max_row]:
            cell.data_type = "s"
    book.save(file)


def _to_dxf(rows: Sequence[Listed], file: Path, unit: str) -> None:
    import ezdxf

    drawing = ezdxf.new("R2010", units=1 if unit == "in" else 4)  # type: ignore[attr-defined]
    drawing.layers.add("HOLES")
    drawing.layers.add(MARKS)
    space = drawing.modelspace()
    for one in rows:
        x, y = _plain(one.x, one), _plain(one.y, one)
        across = _plain(one.hole, one) if one.hole else (0.25 if unit == "in" else 6.0)
        space.add_circle((x, y), across / 2, dxfattribs={"layer": "HOLES"})
        says = f"{one.id} {one.thread}".strip()
        space.add_text(says, height=across / 4, dxfattribs={"layer": MARKS, "insert": (x, y)})
    drawing.saveas(file)


def _plain(text: str, one: Listed) -> float:
    try:
        return float(text)
    except ValueError:
        raise InputError(
            f"hole {one.id}", text, "a drawing takes plain figures; export a list"
        ) from None
