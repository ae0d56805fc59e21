"""Reads the tables of ``tables/``: NAME.csv holds the figures, NAME.toml their passport.

The passport names the source, tells how each column was come by (read, memory, computed)
and states its unit; figures stand in the file as they were printed. They become the
program's own units only here, by the unit the passport states.
"""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from kb.quantity import MM_PER_INCH

WAYS = ("read", "memory", "computed")
BY_ROW = "@"  # "@how": rows differ, and the column named after the sign says it row by row
MATCH = 0.001  # mm; two nominal sizes closer than a micrometre are one size

_POUND = Fraction(45359237, 10**8)  # kg
_GRAVITY = Fraction(980665, 10**5)  # m/s²
_LBF = _POUND * _GRAVITY  # N
_FACTORS: dict[str, Fraction] = {
    "1": Fraction(1),
    "deg": Fraction(1),
    "mm": Fraction(1),
    "µm": Fraction(1, 1000),
    "in": MM_PER_INCH,
    "0.001 in": MM_PER_INCH / 1000,
    "mm²": Fraction(1),
    "in²": MM_PER_INCH**2,
    "MPa": Fraction(1),
    "GPa": Fraction(1000),
    "ksi": 1000 * _LBF / MM_PER_INCH**2,
    "N": Fraction(1),
    "kN": Fraction(1000),
    "lbf": _LBF,
    "kg/m³": Fraction(1),
    "µm/(m·K)": Fraction(1, 10**6),
    "mm/s": Fraction(1),
}
UNITS = ("text", *_FACTORS)


@dataclass(frozen=True, kw_only=True)
class Column:
    """What one column holds: its unit, how it was come by, and whether it may be blank."""

    unit: str
    about: str
    how: str
    nullable: bool


@dataclass(frozen=True, kw_only=True)
class Passport:
    """Where a table comes from.

    Attributes:
        title: Name of the table, as errors show it.
        source: Standard or book with its edition, short enough to stand beside a figure.
        place: Where in it, or where it was read, or ``""``.
        columns: Its columns by name, in the order of the file.
        disagreements: Where sources differ, and which one the table follows.
    """

    name: str
    title: str
    source: str
    place: str
    columns: Mapping[str, Column]
    disagreements: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of a table, read by column name in the program's units."""

    passport: Passport
    cells: Mapping[str, str]

    def text(self, column: str) -> str:
        """The cell as it stands."""
        return self.cells[column]

    def value(self, column: str) -> float:
        """The figure in the program's unit (mm, mm², MPa, N, kg/m³, 1/K, mm/s, °, or a bare number)."""
        return float(exact(self.cells[column]) * _FACTORS[self.passport.columns[column].unit])

    def optional(self, column: str) -> float | None:
        """As ``value``, or ``None`` where the source gives nothing."""
        return self.value(column) if self.cells[column] else None

    def count(self, column: str) -> int:
        """A whole number."""
        return int(self.cells[column])

    def how(self, column: str) -> str:
        """How this figure was come by: read, memory or computed."""
        stated = self.passport.columns[column].how
        return self.cells[stated[1:]] if stated.startswith(BY_ROW) else stated


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table as printed, with its passport."""

    passport: Passport
    rows: tuple[Row, ...]

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)


def exact(text: str) -> Fraction:
    """A printed figure without rounding: ``0.4062``, ``13/32``, ``1 1/32`` or ``1-1/32``."""
    whole, _, part = text.replace("-", " ").strip().rpartition(" ")
    size = Fraction(part) + (int(whole) if whole else 0)
    return -size if text.startswith("-") else size


def names() -> tuple[str, ...]:
    """Names of every table held."""
    return tuple(
        sorted(p.name.removesuffix(".csv") for p in _folder().iterdir() if p.name.endswith(".csv"))
    )


@cache
def table(name: str) -> Table:
    """The table of that name, read once."""
    passport = _passport(name)
    text = (_folder() / f"{name}.csv").read_text(encoding="utf-8")
    lines = csv.DictReader(text.splitlines())
    rows = tuple(Row(passport=passport, cells=dict(cells)) for cells in lines)
    return Table(passport=passport, rows=rows)


def _folder() -> Traversable:
    return files("kb.standards") / "tables"


def _passport(name: str) -> Passport:
    stated = tomllib.loads((_folder() / f"{name}.toml").read_text(encoding="utf-8"))
    columns = {
        key: Column(
            unit=entry["unit"],
            about=entry["about"],
            how=entry.get("how", stated["how"]),
            nullable=entry.get("nullable", False),
        )
        for key, entry in stated["columns"].items()
    }
    return Passport(
        name=name,
        title=stated["title"],
        source=stated["source"],
        place=stated["place"],
        columns=columns,
        disagreements=tuple(stated["disagreements"]),
    )
