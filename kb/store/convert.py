"""From a unit to rows and back: what was given and what is kept are the same unit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import inspect, select
from sqlalchemy.orm import Session

from kb.errors import InputError, StoreError
from kb.model.unit import Clutch, Engine, Flexplate, Flywheel, Gearbox, Unit
from kb.quantity import Amount, Dimension
from kb.store.flat import Fact, Flat, restore
from kb.store.names import folded
from kb.store.rows import (
    CircleRow,
    DimensionRow,
    DowelRow,
    DriveRow,
    FaceRow,
    FactRow,
    HoleRow,
    OfUnit,
    RegisterRow,
    UnitRow,
)

UNITS: dict[str, type[Unit]] = {
    "engine": Engine,
    "gearbox": Gearbox,
    "flywheel": Flywheel,
    "clutch": Clutch,
    "flexplate": Flexplate,
}
OWN_TABLE: dict[str, type[OfUnit]] = {
    "Face": FaceRow,
    "Drive": DriveRow,
    "Converter": DriveRow,
    "Driven": DriveRow,
    "Shaft": DriveRow,
    "Hole": HoleRow,
    "Dowel": DowelRow,
    "Circle": CircleRow,
    "Register": RegisterRow,
}
EVERY_TABLE: tuple[type[OfUnit], ...] = (
    *dict.fromkeys(OWN_TABLE.values()),
    DimensionRow,
    FactRow,
)
OF_UNIT = ("name", "rotation")  # what the row of the unit itself holds
CHUNK = 500  # units asked for at once; SQLite takes no more than 32766 values in a statement


def kind_of(unit: Unit) -> str:
    """The kind a unit is kept as, such as ``engine``.

    Raises:
        InputError: it is none of the kinds.
    """
    for kind, noun in UNITS.items():
        if type(unit) is noun:
            return kind
    raise InputError("kind", type(unit).__name__, "only these are kept: " + ", ".join(UNITS))


# ── writing ─────────────────────────────────────────────────────────────────


def unit_row(unit: Unit, *, revision: int, made_on: datetime, made_by: str) -> UnitRow:
    """The row of the unit itself, with what it is searched by."""
    torque = getattr(unit, "peak_torque", None) or getattr(unit, "torque_limit", None)
    return UnitRow(
        kind=kind_of(unit),
        name=unit.name,
        name_key=folded(unit.name),
        revision=revision,
        removed=False,
        made_on=made_on,
        made_by=made_by,
        rotation=getattr(unit, "rotation", None),
        drive=_drive(unit),
        torque_nmm=_value(torque),
        max_speed_rpm=_value(getattr(unit, "max_speed", None)),
    )


def _value(amount: Amount | None) -> float | None:
    return None if amount is None else amount.value


def _drive(unit: Unit) -> str | None:
    """What turns on a unit, in one word."""
    if isinstance(unit, Engine):
        return unit.drive.kind if unit.drive else None
    if isinstance(unit, Gearbox):
        ways = {"converter": unit.converter, "shaft": unit.shaft, "flange": unit.driven}
        return next((name for name, part in ways.items() if part is not None), None)
    return None


def rows_of(flat: Flat, *, unit_id: int) -> list[OfUnit]:
    """Every row of a unit laid flat, below the unit itself."""
    facts = {key: fact for key, fact in flat.facts.items() if key not in OF_UNIT}
    rows: list[OfUnit] = [_part_row(unit_id, key, noun, facts) for key, noun in flat.parts.items()]
    for key, readings in flat.lengths.items():
        rows += [
            _dimension_row(unit_id, key, reading, number)
            for number, reading in enumerate(readings, start=1)
        ]
    return rows + [_fact_row(unit_id, key, fact) for key, fact in facts.items()]


def _part_row(unit_id: int, key: str, noun: str, facts: dict[str, Fact]) -> OfUnit:
    table = OWN_TABLE.get(noun)
    if table is None:
        return FactRow(unit_id=unit_id, key=key, kind="part", text=noun)
    # what has a column of its own is no longer a fact beside it
    own = {name: facts.pop(f"{key}.{name}", None) for name in table.FIELDS}
    columns = {name: fact.value for name, fact in own.items() if fact}
    return table(unit_id=unit_id, key=key, **columns)


def _dimension_row(unit_id: int, key: str, reading: Dimension, number: int) -> DimensionRow:
    return DimensionRow(
        unit_id=unit_id,
        key=key,
        reading=number,
        value=reading.value,
        below=reading.below,
        above=reading.above,
        limits=reading.limits,
        unit=reading.unit,
        typed=reading.typed,
        how=reading.how,
        by=reading.by,
        on=reading.on,
        source=reading.source,
        chosen=reading.chosen,
    )


def _fact_row(unit_id: int, key: str, fact: Fact) -> FactRow:
    if isinstance(fact.value, str):
        return FactRow(unit_id=unit_id, key=key, kind=fact.kind, text=fact.value)
    number, text = float(fact.value), fact.typed or None
    return FactRow(unit_id=unit_id, key=key, kind=fact.kind, number=number, text=text)


# ── reading ─────────────────────────────────────────────────────────────────


def units_of(session: Session, rows: Sequence[UnitRow]) -> list[Unit]:
    """The units of some rows, in their order.

    Raises:
        StoreError: what is kept of one of them is no whole unit; the message names it.
    """
    flats = {row.id: _root(row) for row in rows}
    for start in range(0, len(rows), CHUNK):
        some = [row.id for row in rows[start : start + CHUNK]]
        for table in EVERY_TABLE:
            # by primary key, so that the readings of a length come in their order
            asked = (
                select(table).where(table.unit_id.in_(some)).order_by(*inspect(table).primary_key)
            )
            for row in session.scalars(asked):
                _lay_row(row, flats[row.unit_id])
    return [_unit(row, flats[row.id]) for row in rows]


def _unit(row: UnitRow, flat: Flat) -> Unit:
    try:
        return restore(UNITS[row.kind], flat)
    except StoreError as error:
        raise StoreError(f"{row.kind} “{row.name}” revision {row.revision}: {error}") from error


def _root(row: UnitRow) -> Flat:
    known = {name: getattr(row, name) for name in OF_UNIT}
    return Flat(facts={name: Fact(value=value) for name, value in known.items() if value})


def _lay_row(row: OfUnit, flat: Flat) -> None:
    if isinstance(row, DimensionRow):
        flat.lengths[row.key] = (*flat.lengths.get(row.key, ()), _reading(row))
    elif isinstance(row, FactRow):
        if row.kind == "part":
            flat.parts[row.key] = row.text or "part"
        else:
            flat.facts[row.key] = _fact(row)
    else:
        flat.parts[row.key] = row.__tablename__
        for name in row.FIELDS:
            if (value := getattr(row, name)) is not None:
                flat.facts[f"{row.key}.{name}"] = Fact(value=value)


def _reading(row: DimensionRow) -> Dimension:
    return Dimension(
        value=row.value,
        below=row.below,
        above=row.above,
        limits=row.limits,
        unit=row.unit,
        typed=row.typed,
        how=row.how,
        by=row.by,
        on=row.on,
        source=row.source,
        chosen=row.chosen,
    )


def _fact(row: FactRow) -> Fact:
    if row.number is None:
        return Fact(kind=row.kind, value=row.text or "")
    return Fact(kind=row.kind, value=row.number, typed=row.text or "")
