"""The catalogue: units as they were measured, every revision of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from difflib import get_close_matches
from typing import cast

from sqlalchemy import ColumnElement, func, select, update
from sqlalchemy.orm import Session

from kb.errors import InputError, StoreError
from kb.model.unit import Unit
from kb.store.convert import CHUNK, UNITS, kind_of, rows_of, unit_row, units_of
from kb.store.flat import Flat, flatten
from kb.store.names import check_name, check_text, folded, words
from kb.store.place import Store
from kb.store.rows import UnitRow

NEAREST = 3  # names offered when one is not found


@dataclass(frozen=True, kw_only=True)
class UnitRef:
    """What names one revision of a unit for good."""

    kind: str
    name: str
    revision: int

    def __str__(self) -> str:
        return f"{self.kind} “{self.name}” revision {self.revision}"


@dataclass(frozen=True, kw_only=True)
class UnitSummary:
    """What a list shows of a unit, without reading its dimensions.

    Attributes:
        rotation: ccw, cw or ``None``. drive: What turns on it, in one word, or ``None``.
        torque_nmm: Peak torque of an engine, limit of anything else [N·mm], if known.
        max_speed_rpm: If known [rpm].
        made_on: When this revision was saved (UTC). made_by: By whom.
        removed: Whether it has been taken off the list.
    """

    kind: str
    name: str
    revision: int
    rotation: str | None
    drive: str | None
    torque_nmm: float | None
    max_speed_rpm: float | None
    made_on: datetime
    made_by: str
    removed: bool

    @property
    def ref(self) -> UnitRef:
        """What names it for good."""
        return UnitRef(kind=self.kind, name=self.name, revision=self.revision)


Summaries = list[UnitSummary]  # `list` is a verb of the catalogue
Units = list[tuple[UnitRef, Unit]]
Refs = list[UnitRef]


class Catalogue:
    """The units in one store.

    A unit is known by its kind and name; capitals, accents and spacing make no other name.
    Saving under a name that is there already makes the next revision, and every revision
    stays readable for good: designs refer to them.
    """

    def __init__(self, store: Store) -> None:
        self._store = store

    def add(self, unit: Unit, by: str = "") -> UnitRef:
        """Keep a unit, as a new one or as the next revision of one of that name.

        Args:
            unit: The unit, with all its readings.
            by: Who keeps it.
        Raises:
            InputError: no name, or something in it that cannot be kept; the key is named.
            StoreError: the store cannot be written; nothing of the unit was kept.
        """
        return self.add_all([unit], by)[0]

    def add_after(self, unit: Unit, revision: int, by: str = "") -> UnitRef | None:
        """Keep a unit as the revision after the one it was made from; nothing if there is a newer one.

        Args:
            revision: The revision it was made from; 0 when there was none.
        Raises:
            InputError, StoreError: as `add`.
        """
        check_text(by, key="by")
        check_name(unit.name, key=f"{kind_of(unit)}.name")
        flat = flatten(unit)
        with self._store.writing() as session:
            named = _named(kind_of(unit), unit.name)
            if (session.scalar(select(func.max(UnitRow.revision)).where(*named)) or 0) != revision:
                return None
            return _added(session, unit, flat, by)

    def add_all(self, units: Sequence[Unit], by: str = "") -> Refs:
        """Keep several units as `add` does, all of them or none.

        Raises:
            InputError: as `add`. StoreError: the store cannot be written; no unit was kept.
        """
        check_text(by, key="by")
        for unit in units:
            kind = kind_of(unit)
            check_name(unit.name, key=f"{kind}.name")
        laid = [(unit, flatten(unit)) for unit in units]
        with self._store.writing() as session:
            return [_added(session, unit, flat, by) for unit, flat in laid]

    def get(self, kind: str, name: str, revision: int | None = None) -> Unit:
        """A unit by name: its newest revision, or the one asked for.

        Raises:
            InputError: no such unit (the nearest names are given), or it has been removed; a
                revision asked for by number is given also of a removed unit.
            StoreError: the store cannot be read, or what is kept is no whole unit.
        """
        with self._store.session() as session:
            return self._units(session, [self._row(session, kind, name, revision)])[0]

    def ref(self, kind: str, name: str) -> UnitRef:
        """What names the newest revision of a unit.

        Raises:
            InputError: as `get`.
        """
        with self._store.session() as session:
            return _summary(self._row(session, kind, name, None)).ref

    def any(self) -> bool:
        """Whether the catalogue holds any unit at all."""
        with self._store.session() as session:
            return session.scalar(select(UnitRow.id).where(~UnitRow.removed).limit(1)) is not None

    def list(self, kind: str | None = None, text: str = "") -> Summaries:
        """The newest revision of every unit that has not been removed, by kind and name.

        Args:
            kind: engine, gearbox, flywheel, clutch or flexplate; ``None`` for all.
            text: Words that must all stand in the name, in any order and spelling of case.
        """
        with self._store.session() as session:
            return [_summary(row) for row in listed(session, kind, text)]

    def units(self, kind: str | None = None, text: str = "") -> Units:
        """The units that `list` lists, whole, read together.

        Raises:
            StoreError: what is kept of one of them is no whole unit.
        """
        with self._store.session() as session:
            rows = listed(session, kind, text)
            refs = [_summary(row).ref for row in rows]
            return [*zip(refs, self._units(session, rows), strict=True)]

    def some(self, rows: Summaries) -> tuple[Unit, ...]:
        """The units of some rows of a list, whole, read together, in their order.

        Raises:
            StoreError: what is kept of one of them is no whole unit.
        """
        with self._store.session() as session:
            found: dict[UnitRef, UnitRow] = {}
            for start in range(0, len(rows), CHUNK):
                keys = [folded(row.name) for row in rows[start : start + CHUNK]]
                asked = select(UnitRow).where(UnitRow.name_key.in_(keys))
                found |= {_summary(row).ref: row for row in session.scalars(asked)}
            return self._units(session, [found[row.ref] for row in rows])

    def remove(self, kind: str, name: str) -> UnitRef:
        """Take a unit off the list; its revisions stay readable, and saving it brings it back.

        Raises:
            InputError: no such unit, or it has been removed already.
        """
        with self._store.writing() as session:
            row = self._row(session, kind, name, None)
            session.execute(update(UnitRow).where(*_named(kind, name)).values(removed=True))
            return _summary(row).ref

    def kinds(self, name: str) -> tuple[str, ...]:
        """The kinds that have a unit of that name, those on the list; if none has, the removed ones."""
        with self._store.session() as session:
            asked = select(UnitRow.kind, UnitRow.removed).where(UnitRow.name_key == folded(name))
            rows = session.execute(asked).all()
        listed = {row.kind for row in rows if not row.removed}
        return tuple(sorted(listed or {row.kind for row in rows}))

    def history(self, kind: str, name: str) -> Summaries:
        """Every revision of a unit, the first one first, also of a removed one.

        Raises:
            InputError: there never was such a unit.
        """
        _known(kind)
        with self._store.session() as session:
            asked = select(UnitRow).where(*_named(kind, name)).order_by(UnitRow.revision)
            rows = session.scalars(asked).all()
            if not rows:
                raise _not_found(session, kind, name)
            return [_summary(row) for row in rows]

    def _row(self, session: Session, kind: str, name: str, revision: int | None) -> UnitRow:
        _known(kind)
        asked = select(UnitRow).where(*_named(kind, name)).order_by(UnitRow.revision.desc())
        rows = session.scalars(asked).all()
        if not rows:
            raise _not_found(session, kind, name)
        if revision is None:
            if rows[0].removed:
                raise InputError(kind, name, "it has been removed; save it again to bring it back")
            return rows[0]
        found = next((row for row in rows if row.revision == revision), None)
        if found is None:
            held = ", ".join(str(row.revision) for row in reversed(rows))
            raise InputError(kind, f"{name}, revision {revision}", f"it has revision {held}")
        return found

    def _units(self, session: Session, rows: Sequence[UnitRow]) -> tuple[Unit, ...]:
        try:
            return tuple(units_of(session, rows))
        except StoreError as error:
            raise StoreError(f"{self._store.place}: {error}") from error


def _added(session: Session, unit: Unit, flat: Flat, by: str) -> UnitRef:
    kind = kind_of(unit)
    last = session.scalar(select(func.max(UnitRow.revision)).where(*_named(kind, unit.name)))
    row = unit_row(unit, revision=(last or 0) + 1, made_on=datetime.now(UTC), made_by=by)
    session.add(row)
    session.flush()
    session.add_all(rows_of(flat, unit_id=row.id))
    return UnitRef(kind=kind, name=unit.name, revision=row.revision)


def _known(kind: str) -> None:
    if kind not in UNITS:
        raise InputError("kind", kind, "write one of " + ", ".join(UNITS))


def _named(kind: str, name: str) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    return UnitRow.kind == kind, UnitRow.name_key == folded(name)


def listed(session: Session, kind: str | None, text: str) -> Sequence[UnitRow]:
    """The rows of the units a list shows: newest revisions, not removed, by kind and name."""
    if kind is not None:
        _known(kind)
    newest = (
        select(UnitRow.kind, UnitRow.name_key, func.max(UnitRow.revision).label("revision"))
        .group_by(UnitRow.kind, UnitRow.name_key)
        .subquery()
    )
    asked = select(UnitRow.__table__).join(  # plain rows: a list has many
        newest,
        (UnitRow.kind == newest.c.kind)
        & (UnitRow.name_key == newest.c.name_key)
        & (UnitRow.revision == newest.c.revision),
    )
    asked = asked.where(UnitRow.removed.is_(False))
    if kind is not None:
        asked = asked.where(UnitRow.kind == kind)
    for word in words(text):
        asked = asked.where(UnitRow.name_key.contains(word, autoescape=True))
    # in the order of their characters, which is the same in every database
    rows = cast("Sequence[UnitRow]", session.execute(asked).all())
    return sorted(rows, key=lambda row: (row.kind, row.name_key))


def _not_found(session: Session, kind: str, name: str) -> InputError:
    names = {row.name_key: row.name for row in listed(session, kind, "")}
    if not names:
        return InputError(kind, name, f"the catalogue holds no {kind}")
    near = get_close_matches(folded(name), names, n=NEAREST, cutoff=0.4) or sorted(names)[:NEAREST]
    offered = ", ".join(f"“{names[key]}”" for key in near)
    return InputError(kind, name, f"the catalogue has no such {kind}; nearest: {offered}")


def _summary(row: UnitRow) -> UnitSummary:
    return UnitSummary(
        kind=row.kind,
        name=row.name,
        revision=row.revision,
        rotation=row.rotation,
        drive=row.drive,
        torque_nmm=row.torque_nmm,
        max_speed_rpm=row.max_speed_rpm,
        made_on=row.made_on,
        made_by=row.made_by,
        removed=row.removed,
    )
