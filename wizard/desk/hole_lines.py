"""Holes written one to a line, from a notebook or pasted from a table, and holes placed by distances."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.errors import InputError
from kb.quantity import read_length, read_thread
from wizard.desk import bench

HOLES = ("id", "x", "y", "size", "depth", "keepout")
DOWELS = ("id", "x", "y", "diameter", "stands_out", "depth")
AXIS = "axis"  # the mark of the shaft axis among the holes
DISTANCES = "distances"
_HEADS = ("mark", "id", "hole", "dowel", "name")


@dataclass(frozen=True, kw_only=True)
class Found:
    """Holes as a sheet takes them, and where the shaft axis is among them, if that was written."""

    rows: tuple[Mapping[str, str], ...]
    axis: tuple[str, str] | None


def columns(key: str) -> tuple[str, ...]:
    """What stands in a line of a list, in its order."""
    return DOWELS if key.endswith("dowels") else HOLES


def read(text: str, *, key: str, unit: str, typed: Mapping[str, str]) -> Found:
    """The holes or dowels of a list of lines.

    Args:
        text: One hole a line: mark, x, y, size (a thread or a clear diameter), depth, room to
            keep clear; parted by tabs, semicolons or commas. A line marked ``axis`` says where
            the shaft axis is.
        key: The list's key in a sheet. unit: Of bare figures.
        typed: The rest of what was typed: distances, where the holes were placed by them.
    Raises:
        InputError: a line that cannot be read; it names the hole.
    """
    wanted = columns(key)
    rows = [_row(cells, wanted, f"{key}[{n}]") for n, cells in enumerate(_lines(text), 1)]
    marks = [row["id"] for row in rows]
    if twice := next((mark for mark in marks if mark and marks.count(mark) > 1), ""):
        raise InputError(key, twice, "give every hole a mark of its own")
    part = key.partition(".")[2].rpartition(".")[0]
    distances = typed.get(f"{part}.{DISTANCES}", "")
    if distances.strip() and typed.get(f"{part}.way") == DISTANCES and key.endswith("holes"):
        rows = _placed(rows, distances, key=key, unit=unit)
    axis = next(((row["x"], row["y"]) for row in rows if row["id"].casefold() == AXIS), None)
    holes = [_sized(row, key) for row in rows if row["id"].casefold() != AXIS]
    return Found(rows=tuple(holes), axis=axis)


def cells(text: str, wanted: Sequence[str]) -> list[tuple[str, ...]]:
    """The lines of a list as rows of so many cells, for a table to type into."""
    return [tuple((*row, *[""] * len(wanted))[: len(wanted)]) for row in _lines(text)]


def _lines(text: str) -> list[list[str]]:
    """The cells of every line that says something, a line of headings left out."""
    part = next((sign for sign in ("\t", ";") if sign in text), ",")
    rows = [[cell.strip() for cell in row] for row in csv.reader(io.StringIO(text), delimiter=part)]
    rows = [row for row in rows if any(row)]
    return rows[1:] if rows and rows[0][0].casefold() in _HEADS else rows


def _row(cells: Sequence[str], wanted: Sequence[str], key: str) -> dict[str, str]:
    if len(cells) > len(wanted) and any(cells[len(wanted) :]):
        raise InputError(key, ", ".join(cells), "a line has at most " + ", ".join(wanted))
    row = dict(zip(wanted, (*cells, *[""] * len(wanted)), strict=False))
    if not row["x"] or not row["y"]:
        raise InputError(key, ", ".join(cells), "write at least a mark, x and y")
    return row


def _sized(row: Mapping[str, str], key: str) -> dict[str, str]:
    """The line with its size as a thread or a clear hole; what is empty left out."""
    found = {name: text for name, text in row.items() if text and name != "size"}
    if size := row.get("size", ""):
        try:
            read_thread(size, key=key)
        except InputError:
            found["hole"] = size
        else:
            found["thread"] = size
    return found


def _placed(
    rows: Sequence[Mapping[str, str]], distances: str, *, key: str, unit: str
) -> list[dict[str, str]]:
    """The holes moved from where they roughly are to where the distances put them.

    The first one stays where it is and the second one in its direction from it: distances say
    nothing of the one and the other.
    """
    if len(rows) < 3:
        raise InputError(key, f"{len(rows)} holes", "distances place three holes or more")
    at = {row["id"]: _point(row, key, unit) for row in rows}
    (x0, y0), (x1, y1) = list(at.values())[:2]
    turned = math.atan2(y1 - y0, x1 - x0)
    points = [["name", "x", "y", "size", "near_x", "near_y"]]
    for number, row in enumerate(rows):
        across, up = _turn(at[row["id"]][0] - x0, at[row["id"]][1] - y0, -turned)
        fixed = [["0", "0"], ["", "0"]][number] if number < 2 else ["", ""]
        near = ["", ""] if number == 0 else [f"{across:.4f} mm", f"{up:.4f} mm"]  # fmt: skip
        size = row.get("size") or row.get("diameter", "")
        points.append([row["id"], *fixed, size if _is_size(size, unit) else "", *near])
    found = bench.run("distances", {"points": _csv(points), "distances": _stretches(distances)}, unit=unit)  # fmt: skip
    moved = {}
    for one in found.document["holes"]:
        x, y = _turn(one["x"], one["y"], turned)
        moved[one["name"]] = (x + x0, y + y0, one["within"])
    return [dict(row) | _stated(*moved[row["id"]]) for row in rows]


def _stated(x: float, y: float, within: float) -> dict[str, str]:
    spread = f" ± {within:.3f}" if within > 0 else ""
    return {"x": f"{x:.4f}{spread} mm", "y": f"{y:.4f}{spread} mm"}


def _point(row: Mapping[str, str], key: str, unit: str) -> tuple[float, float]:
    x, y = (read_length(row[name], key=f"{key}, {row['id']}, {name}", units=unit).value for name in "xy")  # fmt: skip
    return x, y


def _is_size(text: str, unit: str) -> bool:
    try:
        return bool(text) and read_length(text, key="size", units=unit).value > 0
    except InputError:
        return False


def _turn(x: float, y: float, by: float) -> tuple[float, float]:
    return x * math.cos(by) - y * math.sin(by), x * math.sin(by) + y * math.cos(by)


def _stretches(text: str) -> str:
    """Lines of from, to, reading, edges under their headings."""
    rows = _lines(text)
    if rows and rows[0][0].casefold() == "from":
        rows = rows[1:]
    return _csv([["from", "to", "reading", "edges"], *([*row, "", "", ""][:4] for row in rows)])


def _csv(rows: Sequence[Sequence[str]]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()
