"""What a bench aid asks: its fields declared once, for the command line and for the screen.

What a person typed comes in as text; here it becomes readings. An aid keeps no list of its own of
what may be written.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kb.errors import InputError
from kb.quantity import read_length

ACROSS = "across"
MOST_ROWS = 2_000


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column of a table a field takes.

    Attributes:
        name: As its first line names it. label: In words.
        kind: ``length``, ``number``, ``count`` or ``word``; ``text`` for a name.
        required: Whether every row must have it.
        words: What a ``word`` may be.
    """

    name: str
    label: str
    kind: str = "length"
    required: bool = True
    words: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Field:
    """One thing an aid asks.

    Attributes:
        name: Its name in a command or answer. label: In words. says: What it is, in a line.
        kind: ``length``, ``lengths``, ``stepped`` (2:76.2, so many holes on), ``at`` (90:0.05, a
            clock position and a reading), ``angles``, ``number``, ``count``, ``word``, ``thread``,
            ``material``, ``flag``, ``rounds`` (rounds of lengths, one a line) or ``table``.
        example: As a person would write it. required: Whether the aid needs it.
        words: What a ``word`` may be. columns: Of a ``table``.
    """

    name: str
    label: str
    kind: str = "length"
    says: str = ""
    example: str = ""
    required: bool = False
    words: tuple[str, ...] = ()
    columns: tuple[Column, ...] = field(default=())


Given = Mapping[str, str]
Values = Mapping[str, Any]


def values(fields: Sequence[Field], given: Given, *, units: str) -> Values:
    """What was typed for an aid's fields, read; ``None`` where nothing was.

    Args:
        fields: What the aid asks.
        given: Text by field name.
        units: Unit of bare figures, ``"in"`` or ``"mm"``.
    Raises:
        InputError: a field missing, unknown, or not to be read.
    """
    names = {one.name for one in fields}
    for name in given:
        if name not in names:
            raise InputError(name, given[name], "the aid asks for " + ", ".join(sorted(names)))
    found = {}
    for one in fields:
        text = given.get(one.name, "").strip()
        if not text and one.required:
            raise InputError(one.name, "(none)", f"write it, such as {one.example}")
        found[one.name] = _read(one, text, units=units) if text else None
    return found


def _read(one: Field, text: str, *, units: str) -> Any:
    readers: Mapping[str, Callable[[], Any]] = {
        "length": lambda: _length(text, one.name, units),
        "lengths": lambda: [_length(bit, one.name, units) for bit in _bits(text)],
        "stepped": lambda: [_stepped(bit, one.name, units) for bit in _bits(text)],
        "at": lambda: [_at(bit, one.name, units) for bit in _bits(text)],
        "angles": lambda: [_number(bit, one.name) for bit in _bits(text)],
        "number": lambda: _number(text, one.name),
        "count": lambda: _count(text, one.name),
        "word": lambda: _word(text, one.name, one.words),
        "flag": lambda: _flag(text, one.name),
        "thread": lambda: text,
        "material": lambda: text,
        "rounds": lambda: [
            [_length(bit, one.name, units) for bit in _bits(row)] for row in _lines(text)
        ],
        "table": lambda: list(_rows(one, text, units=units)),
    }
    found: Any = readers[one.kind]()
    return found


def _bits(text: str) -> list[str]:
    return [bit.strip() for bit in text.replace("\n", ",").split(",") if bit.strip()]


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.replace(";", "\n").splitlines() if line.strip()]


def _length(text: str, name: str, units: str) -> Any:
    return read_length(text, key=name, units=units)


def _number(text: str, name: str) -> float:
    try:
        found = float(text)
    except ValueError:
        raise InputError(name, text, "write a number") from None
    if found != found or found in (float("inf"), float("-inf")):
        raise InputError(name, text, "write a number")
    return found


def _count(text: str, name: str) -> int:
    if not text.isdecimal() or len(text) > 6:
        raise InputError(name, text, "write a whole number")
    return int(text)


def _word(text: str, name: str, words: Sequence[str]) -> str:
    if text.casefold() not in words:
        raise InputError(name, text, "write one of " + ", ".join(words))
    return text.casefold()


def _flag(text: str, name: str) -> bool:
    return _word(text, name, ("yes", "no")) == "yes"


def _stepped(text: str, name: str, units: str) -> tuple[int, Any]:
    """So many holes on, and the reading; one hole on where nothing else stands before it."""
    step, colon, reading = text.rpartition(":")
    if not colon:
        return 1, _length(text, name, units)
    if step.strip() == ACROSS:
        return 0, _length(reading, name, units)
    return _count(step.strip(), name), _length(reading, name, units)


def _at(text: str, name: str, units: str) -> tuple[float, Any]:
    angle, colon, reading = text.partition(":")
    if not colon or not reading.strip():
        raise InputError(name, text, "write a clock position and a reading, such as 90:0.05")
    return _number(angle.strip(), name), _length(reading.strip(), name, units)


# ── tables ──────────────────────────────────────────────────────────────────


def _rows(one: Field, text: str, *, units: str) -> Iterator[dict[str, Any]]:
    """Rows of a table by column; a first line of column names is taken as such."""
    lines = [row for row in csv.reader(_lines(text), skipinitialspace=True) if any(row)]
    names = [column.name for column in one.columns]
    first = [cell.strip().casefold() for cell in lines[0]] if lines else []
    if set(first) <= set(names):
        names, lines = first, lines[1:]
    elif any(cell in names for cell in first):
        odd = next(cell for cell in first if cell not in names)
        raise InputError(one.name, odd, "its columns are " + ", ".join(names))
    if len(lines) > MOST_ROWS:
        raise InputError(one.name, f"{len(lines)} rows", f"give at most {MOST_ROWS}")
    by_name = {column.name: column for column in one.columns}
    for number, row in enumerate(lines, 1):
        if len(row) > len(names):
            raise InputError(f"{one.name}, row {number}", ", ".join(row), "its columns are " + ", ".join(names))  # fmt: skip
        cells = dict(zip(names, row, strict=False))
        yield {
            name: _cell(column, cells.get(name, "").strip(), f"{one.name}, row {number}, {name}", units)
            for name, column in by_name.items()
        }  # fmt: skip


def _cell(column: Column, text: str, where: str, units: str) -> Any:
    if not text:
        if column.required:
            raise InputError(where, "(none)", f"write the {column.label}")
        return None
    readers: Mapping[str, Callable[[], Any]] = {
        "length": lambda: _length(text, where, units),
        "number": lambda: _number(text, where),
        "count": lambda: _count(text, where),
        "word": lambda: _word(text, where, column.words),
        "text": lambda: text,
    }
    return readers[column.kind]()
