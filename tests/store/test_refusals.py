"""What the database itself refuses, whatever program writes to it.

Each case is a row that is right but for one column; that the right row is taken shows that the
refusal is of that column. The ranges and words are the project's own (kb.store.rows); that NaN,
infinity and text are no lengths needs no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import Boolean, Table, func, select, text

from kb.errors import StoreError
from kb.store.guards import OPEN
from kb.store.place import Store
from kb.store.rows import Base

NAN, INFINITE = float("nan"), float("inf")
TABLES: dict[str, Table] = dict(Base.metadata.tables)
RIGHT: dict[str, dict[str, Any]] = {
    "units": {
        "kind": "engine", "name": "A", "name_key": "a", "revision": 1, "removed": False,
        "made_on": "2026-03-02 10:00:00", "made_by": "", "rotation": "ccw",
        "drive": "crank flange", "torque_nmm": 4e5, "max_speed_rpm": 4200.0,
    },
    "faces": {"key": "face", "material": "iron", "cast_in": False},
    "drives": {"key": "drive", "kind": "flywheel"},
    "holes": {"key": "face.holes[1]", "mark": "1", "thread": "M10", "through": None},
    "dowels": {"key": "face.dowels[1]", "mark": "D1", "hollow": True},
    "circles": {"key": "drive.circle", "count": 6, "start": 15.0, "through": False},
    "registers": {"key": "face.register", "form": "bore"},
    "dimensions": {
        "key": "drive.standoff", "reading": 1, "value": 19.05, "below": 0.1, "above": 0.1,
        "limits": False, "unit": "mm", "typed": "", "how": "", "read_by": "",
        "read_on": "2026-03-02", "source": "measured", "chosen": False,
    },
    "facts": {"key": "notes", "kind": "text", "text": "old", "number": None},
    "records": {
        "number": 1, "issue": "A", "state": "estimate", "title": "", "engine": "", "gearbox": "",
        "words": "", "verdict": "goes", "stage": "quote", "plate": 12.7, "spacer": 0.0,
        "torque_nmm": 4e5, "made_on": "2026-03-02", "made_by": "", "document": "{}",
        "digest": "0" * 64,
    },
    "entries": {
        "kind": "built", "key": "P1", "text": "19.05", "figure": 19.05, "entered_by": "",
        "entered_on": "2026-03-02 10:00:00",
    },
    "drafts": {
        "mark": "abc", "what": "unit", "title": "", "body": "{}",
        "touched_on": "2026-03-02 10:00:00",
    },
    "shops": {"id": 1, "sheet": "", "kept_by": "J. Müßig", "kept_on": "2026-03-02 10:00:00"},
}  # fmt: skip
KEPT = {name: row for name, row in RIGHT.items() if name not in OPEN}
OF_A_UNIT = [name for name in RIGHT if "unit_id" in TABLES[name].columns]
NONSENSE: dict[str, dict[str, list[Any]]] = {
    "units": {
        "kind": ["motor", "", None], "name": ["", "   ", "x" * 201, None],
        "name_key": ["", "A", "ABC", None], "revision": [0, -1, 10**7, None],
        "removed": [None], "made_on": ["0999-01-01 00:00:00", None], "rotation": ["left", ""],
        "drive": ["belt"], "torque_nmm": [0.0, -1.0, INFINITE, 1e13],
        "max_speed_rpm": [0.0, -1.0, INFINITE],
    },
    "faces": {"key": ["facet", ""]},
    "drives": {"key": ["belt"], "kind": ["belt"]},
    "holes": {"key": ["face.bores[1]"]},
    "dowels": {"key": ["face.holes[1]"]},
    "circles": {
        "key": ["drive.ring"], "count": [0, -6, 10**6, None], "start": [NAN, INFINITE, 1e6, None],
    },
    "registers": {"key": ["face.holes[1]"], "form": ["cone", None]},
    "dimensions": {
        "key": ["", " "], "reading": [0, -1, 5000, None],
        "value": [NAN, INFINITE, -INFINITE, 1.1e5, -1.1e5, None],
        "below": [-0.1, NAN, INFINITE, 1.1e5, None], "above": [-0.1, NAN, INFINITE, 1.1e5, None],
        "unit": ["cm", "", None], "source": ["hearsay", "", None], "limits": [None], "chosen": [None],
        "typed": [None], "read_on": ["1026-03-02", "3026-03-02"],
    },
    "facts": {"key": [""], "kind": ["hunch", "", None], "text": [None], "number": [INFINITE, 1e13]},
    "records": {
        "number": [0, -1, None], "issue": ["", "a", "1", "AAAA", None], "state": ["lost", None],
        "verdict": ["fine", None], "stage": ["later", None], "plate": [-1.0, INFINITE, 1.1e5],
        "spacer": [-1.0, INFINITE], "torque_nmm": [-1.0, INFINITE], "made_on": ["0999-01-01", None],
        "document": ["", " ", None], "digest": ["abc", None],
    },
    "entries": {
        "kind": ["hunch", "", None], "key": ["x" * 201, None], "text": ["x" * 100_001, None],
        "figure": [INFINITE, 1e13], "entered_by": [None], "entered_on": ["0999-01-01 00:00:00", None],
    },
    "drafts": {
        "mark": ["", " ", "x" * 33, None], "what": [None], "title": [None],
        "body": ["x" * 1_000_001, None], "touched_on": ["0999-01-01 00:00:00", None],
    },
    "shops": {
        "sheet": ["x" * 1_000_001, None], "kept_by": [None], "kept_on": ["0999-01-01 00:00:00", None],
    },
}  # fmt: skip
CASES = [
    (table, column, value)
    for table, columns in NONSENSE.items()
    for column, values in columns.items()
    for value in values
]
# SQLite takes any text in a column of numbers, were it not for the checks
TEXT_FOR_NUMBERS = [
    (name, column.name)
    for name in RIGHT
    for column in TABLES[name].columns
    if column.name not in ("id", "unit_id", "record_id")
    and (column.type.python_type in (int, float) or isinstance(column.type, Boolean))
]


def insert(store: Store, table: str, row: dict[str, Any]) -> None:
    """One row by plain SQL, and the unit it belongs to."""
    with store.writing() as session:
        if table == "entries":
            session.execute(text(statement("records", RIGHT["records"])), RIGHT["records"])
            row = row | {"record_id": session.scalar(text("SELECT max(id) FROM records"))}
        if table in OF_A_UNIT:
            unit = RIGHT["units"]
            session.execute(text(statement("units", unit)), unit)
            row = row | {"unit_id": session.scalar(text("SELECT max(id) FROM units"))}
        session.execute(text(statement(table, row)), row)


def statement(table: str, row: dict[str, Any]) -> str:
    """An INSERT with a place for every value."""
    return (
        f"INSERT INTO {table} ({', '.join(row)}) VALUES ({', '.join(':' + name for name in row)})"
    )


def count(store: Store, table: str) -> int:
    """How many rows a table has."""
    with store.session() as session:
        return session.scalar(select(func.count()).select_from(TABLES[table])) or 0


@pytest.mark.parametrize("table", RIGHT)
def test_a_right_row_is_taken(table: str, store: Store) -> None:
    insert(store, table, RIGHT[table])
    assert count(store, table) == 1


@pytest.mark.parametrize(("table", "column", "value"), CASES)
def test_nonsense_is_refused(table: str, column: str, value: Any, kept: Store) -> None:
    with pytest.raises(StoreError, match="nothing was written") as told:
        insert(kept, table, RIGHT[table] | {column: value})
    assert kept.place in str(told.value)
    assert (
        column in str(told.value)
        or "says_something" in str(told.value)
        or "within" in str(told.value)
    )
    assert count(kept, table) == 0
    assert count(kept, "units") == 0


@pytest.mark.parametrize(("table", "column"), TEXT_FOR_NUMBERS)
@pytest.mark.parametrize("value", ["abc", "1.5 mm", b"\x01"])
def test_text_is_no_number(table: str, column: str, value: object, kept: Store) -> None:
    with pytest.raises(StoreError, match="nothing was written"):
        insert(kept, table, RIGHT[table] | {column: value})


@pytest.mark.parametrize(
    ("table", "column"),
    [("units", "revision"), ("circles", "count"), ("dimensions", "reading"), ("records", "number")],
)
def test_half_a_count_is_refused(table: str, column: str, kept: Store) -> None:
    with pytest.raises(StoreError, match=f"{table}_{column}_range"):
        insert(kept, table, RIGHT[table] | {column: 1.5})


def test_every_table_is_tried() -> None:
    assert set(RIGHT) == set(NONSENSE) == set(TABLES)


@pytest.mark.parametrize("table", OF_A_UNIT)
def test_a_row_of_no_unit_is_refused(table: str, store: Store) -> None:
    row = RIGHT[table] | {"unit_id": 999}
    with pytest.raises(StoreError, match="nothing was written"), store.writing() as session:
        session.execute(text(statement(table, row)), row)


@pytest.mark.parametrize("table", RIGHT)
def test_nothing_is_kept_twice_under_one_name(table: str, store: Store) -> None:
    insert(store, table, RIGHT[table])
    row = RIGHT[table]
    if table in OF_A_UNIT:
        row = row | {"unit_id": 1}
    with pytest.raises(StoreError, match="nothing was written"), store.writing() as session:
        session.execute(text(statement(table, row)), row)


# ── guards ──────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("table", "column"),
    [
        (name, column)
        for name, row in KEPT.items()
        for column in ({"unit_id": 1} | row if name in OF_A_UNIT else row)
    ],
)
def test_what_is_kept_does_not_change(table: str, column: str, store: Store) -> None:
    insert(store, table, RIGHT[table])
    change = text(f"UPDATE {table} SET {column} = {column}")
    if (table, column) in (("units", "removed"), ("records", "state")):
        with store.writing() as session:
            session.execute(change)
        return
    with (
        pytest.raises(StoreError, match=f"what is kept does not change: {table}"),
        store.writing() as session,
    ):
        session.execute(change)


@pytest.mark.parametrize("table", KEPT)
def test_nothing_that_is_kept_is_deleted(table: str, store: Store) -> None:
    insert(store, table, RIGHT[table])
    with (
        pytest.raises(StoreError, match=f"what is kept does not change: {table}"),
        store.writing() as session,
    ):
        session.execute(text(f"DELETE FROM {table}"))
    assert count(store, table) == 1


def test_a_state_that_is_none_is_refused(store: Store) -> None:
    insert(store, "records", RIGHT["records"])
    with pytest.raises(StoreError, match="state_known"), store.writing() as session:
        session.execute(text("UPDATE records SET state = 'lost'"))
