"""The tables, and what they refuse.

A unit is known by kind, name and revision. Each part of it that shops search by (faces,
drives, holes, dowels, circles, registers) is a row of its own table; every length is one or
more rows of ``dimensions``, one for each reading; all else is a row of ``facts``. The ``key``
of a row is the dotted path of the pairing sheet: ``drive.circle`` is a circle, its diameter the
dimension ``drive.circle.diameter``. Lengths in mm, angles in degrees.

Every check is written so that SQLite refuses what it would otherwise let pass: text in a
column of numbers (larger than any number there), an infinite figure, a NaN (null there).
"""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, date, datetime
from typing import Any, ClassVar

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Date,
    DateTime,
    Dialect,
    Double,
    ForeignKey,
    Index,
    MetaData,
    String,
    Text,
    TypeDecorator,
    UniqueConstraint,
    false,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from kb.errors import StoreError
from kb.model.check import VERDICTS
from kb.model.record import ENTRIES
from kb.model.request import STAGES
from kb.model.unit import Drive, Driven, Engine, Register
from kb.quantity import SOURCES


def _accepted(noun: type, name: str) -> tuple[str, ...]:
    """The words a key of the pairing sheet takes, as its noun declares them."""
    declared = next(field for field in fields(noun) if field.name == name)
    return tuple(declared.metadata["accepted"])


KINDS = ("engine", "gearbox", "flywheel", "clutch", "flexplate")
ROTATIONS = _accepted(Engine, "rotation")
DRIVES = (*_accepted(Drive, "kind"), "converter", "shaft", *_accepted(Driven, "kind"))
FACTS = (
    "part", "text", "word", "thread", "number", "count", "angle", "yes_no",
    "torque", "mass", "rise", "speed",
)  # fmt: skip
STATES = ("estimate", "agreed", "made", "fitted", "closed")


class UtcTime(TypeDecorator[datetime]):
    """A moment with its time zone, kept in UTC also where the database has no time zones."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment in UTC; one without a time zone is refused."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise StoreError(f"{value}: a moment is kept only with its time zone")
        moment = value.astimezone(UTC)
        return moment if dialect.name == "postgresql" else moment.replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment in UTC, its time zone said."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def _one_of(column: str, words: tuple[str, ...]) -> CheckConstraint:
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_known")


def _between(column: str, low: str, high: str) -> CheckConstraint:
    return CheckConstraint(f"{column} BETWEEN {low} AND {high}", name=f"{column}_range")


def _whole(column: str, low: str, high: str) -> CheckConstraint:
    whole = f"{column} BETWEEN {low} AND {high} AND {column} = round({column})"
    return CheckConstraint(whole, name=f"{column}_range")


def _filled(column: str) -> CheckConstraint:
    return CheckConstraint(f"length(trim({column})) > 0", name=f"{column}_filled")


def _ends_in(word: str) -> CheckConstraint:
    tail = f"substr(key, length(key) - {len(word) - 1}) = '{word}'"
    return CheckConstraint(tail, name="key_known")


def _one_in(listing: str) -> CheckConstraint:
    return CheckConstraint(f"replace(key, '{listing}[', '') <> key", name="key_known")


def _yes_no(name: str, **how: Any) -> Mapped[Any]:
    return mapped_column(Boolean(create_constraint=True, name=name), **how)


class Base(DeclarativeBase):
    """All tables, and how their rules are named."""

    metadata = MetaData(
        naming_convention={
            "ck": "%(table_name)s_%(constraint_name)s",
            "pk": "%(table_name)s_pk",
            "uq": "%(table_name)s_%(column_0_N_name)s_once",
            "fk": "%(table_name)s_%(column_0_name)s_of_%(referred_table_name)s",
            "ix": "%(table_name)s_by_%(column_0_N_name)s",
        }
    )


class UnitRow(Base):
    """One revision of a unit; drive, torque and speed repeat what its parts say, to search by."""

    __tablename__ = "units"
    __table_args__ = (
        _one_of("kind", KINDS),
        _filled("name"),
        CheckConstraint("length(name) <= 200", name="name_length"),
        _filled("name_key"),
        CheckConstraint("name_key = lower(name_key)", name="name_key_lower"),
        _whole("revision", "1", "1000000"),
        _one_of("rotation", ROTATIONS),
        _one_of("drive", DRIVES),
        CheckConstraint("torque_nmm > 0 AND torque_nmm < 1e12", name="torque_nmm_range"),
        CheckConstraint("max_speed_rpm > 0 AND max_speed_rpm < 1e12", name="max_speed_rpm_range"),
        _between("made_on", "'1900-01-01'", "'2999-12-31'"),
        UniqueConstraint("kind", "name_key", "revision"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(12))
    name: Mapped[str] = mapped_column(String(200))
    name_key: Mapped[str] = mapped_column(String(200))
    revision: Mapped[int]
    removed: Mapped[bool] = _yes_no("removed_yes_no", default=False, server_default=false())
    made_on: Mapped[datetime] = mapped_column(UtcTime)
    made_by: Mapped[str] = mapped_column(Text)
    rotation: Mapped[str | None] = mapped_column(String(3))
    drive: Mapped[str | None] = mapped_column(String(12))
    torque_nmm: Mapped[float | None] = mapped_column(Double)
    max_speed_rpm: Mapped[float | None] = mapped_column(Double)


class OfUnit(Base):
    """What every row of a unit carries: whose it is and where in the unit it stands.

    ``FIELDS`` are the fields of its noun that have a column of their own.
    """

    __abstract__ = True
    FIELDS: ClassVar[tuple[str, ...]] = ()
    unit_id: Mapped[int] = mapped_column(ForeignKey("units.id"), primary_key=True, sort_order=-2)
    key: Mapped[str] = mapped_column(String(80), primary_key=True, sort_order=-2)


class FaceRow(OfUnit):
    """A fixed joint face."""

    __tablename__ = "faces"
    __table_args__ = (_ends_in("face"),)
    FIELDS = ("material", "cast_in")
    material: Mapped[str | None] = mapped_column(Text)
    cast_in: Mapped[bool | None] = _yes_no("cast_in_yes_no")


class DriveRow(OfUnit):
    """What turns: crank flange or flywheel, converter, driven flange, input shaft."""

    __tablename__ = "drives"
    __table_args__ = (
        CheckConstraint("key IN ('drive', 'converter', 'driven', 'shaft')", name="key_known"),
        _one_of("kind", (*_accepted(Drive, "kind"), *_accepted(Driven, "kind"))),
    )
    FIELDS = ("kind",)
    kind: Mapped[str | None] = mapped_column(String(12))


class HoleRow(OfUnit):
    """A bolt hole; ``mark`` is its id on the face, its place two dimensions."""

    __tablename__ = "holes"
    __table_args__ = (_one_in("holes"), Index(None, "thread"))
    FIELDS = ("id", "thread", "bolt", "grade", "through")
    id: Mapped[str | None] = mapped_column("mark", Text)
    thread: Mapped[str | None] = mapped_column(String(20))
    bolt: Mapped[str | None] = mapped_column(String(20))
    grade: Mapped[str | None] = mapped_column(Text)
    through: Mapped[bool | None] = _yes_no("through_yes_no")


class DowelRow(OfUnit):
    """A dowel, or the hole for one."""

    __tablename__ = "dowels"
    __table_args__ = (_one_in("dowels"),)
    FIELDS = ("id", "hollow")
    id: Mapped[str | None] = mapped_column("mark", Text)
    hollow: Mapped[bool | None] = _yes_no("hollow_yes_no")


class CircleRow(OfUnit):
    """Equally spaced holes; ``start`` is the angle of hole 1 [degrees]."""

    __tablename__ = "circles"
    __table_args__ = (
        _ends_in("circle"),
        _whole("count", "1", "1000"),
        _between("start", "-100000", "100000"),
        Index(None, "count"),
    )
    FIELDS = ("count", "start", "thread", "bolt", "grade", "through")
    count: Mapped[int]
    start: Mapped[float] = mapped_column(Double)
    thread: Mapped[str | None] = mapped_column(String(20))
    bolt: Mapped[str | None] = mapped_column(String(20))
    grade: Mapped[str | None] = mapped_column(Text)
    through: Mapped[bool | None] = _yes_no("through_yes_no")


class RegisterRow(OfUnit):
    """A locating spigot or bore."""

    __tablename__ = "registers"
    __table_args__ = (_ends_in("register"), _one_of("form", _accepted(Register, "form")))
    FIELDS = ("form",)
    form: Mapped[str] = mapped_column(String(6))


class DimensionRow(OfUnit):
    """One reading of one length [mm], with what was typed and who says so."""

    __tablename__ = "dimensions"
    __table_args__ = (
        _filled("key"),
        _whole("reading", "1", "1000"),
        _between("value", "-100000", "100000"),
        _between("below", "0", "100000"),
        _between("above", "0", "100000"),
        CheckConstraint("(below IS NULL) = (above IS NULL)", name="within_whole"),
        _one_of("unit", ("in", "mm")),
        _one_of("source", SOURCES),
        _between("read_on", "'1900-01-01'", "'2999-12-31'"),
        Index(None, "key", "value"),
    )
    reading: Mapped[int] = mapped_column(primary_key=True, sort_order=-1)
    value: Mapped[float] = mapped_column(Double)
    below: Mapped[float | None] = mapped_column(Double)
    above: Mapped[float | None] = mapped_column(Double)
    limits: Mapped[bool] = _yes_no("limits_yes_no")
    unit: Mapped[str] = mapped_column(String(2))
    typed: Mapped[str] = mapped_column(Text)
    how: Mapped[str] = mapped_column(Text)
    by: Mapped[str] = mapped_column("read_by", Text)
    on: Mapped[date | None] = mapped_column("read_on", Date)
    source: Mapped[str] = mapped_column(String(9))
    chosen: Mapped[bool] = _yes_no("chosen_yes_no", default=False, server_default=false())


class FactRow(OfUnit):
    """Whatever else is known of a unit: a word, a count, a torque [N·mm], a mass [kg] …

    A row of kind ``part`` says that the unit has that part, and what its text calls it.
    """

    __tablename__ = "facts"
    __table_args__ = (
        _filled("key"),
        _one_of("kind", FACTS),
        _between("number", "-1000000000000", "1000000000000"),
        CheckConstraint(
            "kind = 'part' OR text IS NOT NULL OR number IS NOT NULL", name="says_something"
        ),
        Index(None, "key"),
    )
    kind: Mapped[str] = mapped_column(String(8))
    text: Mapped[str | None] = mapped_column(Text)
    number: Mapped[float | None] = mapped_column(Double)


class RecordRow(Base):
    """One issue of a kept design; plate and spacer [mm] repeat the document, to search by."""

    __tablename__ = "records"
    __table_args__ = (
        _whole("number", "1", "100000000"),
        CheckConstraint("issue = upper(issue) AND issue >= 'A'", name="issue_letters"),
        CheckConstraint("length(issue) <= 3", name="issue_length"),
        _one_of("state", STATES),
        _one_of("verdict", VERDICTS),
        _one_of("stage", STAGES),
        _between("plate", "0", "100000"),
        _between("spacer", "0", "100000"),
        CheckConstraint("torque_nmm > 0 AND torque_nmm < 1e12", name="torque_nmm_range"),
        _between("made_on", "'1900-01-01'", "'2999-12-31'"),
        CheckConstraint("length(digest) = 64", name="digest_length"),
        _filled("document"),
        UniqueConstraint("number", "issue"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    number: Mapped[int]
    issue: Mapped[str] = mapped_column(String(3))
    state: Mapped[str] = mapped_column(String(8))
    title: Mapped[str] = mapped_column(Text)
    engine: Mapped[str] = mapped_column(Text)
    gearbox: Mapped[str] = mapped_column(Text)
    words: Mapped[str] = mapped_column(Text)
    verdict: Mapped[str] = mapped_column(String(14))
    stage: Mapped[str] = mapped_column(String(5))
    plate: Mapped[float | None] = mapped_column(Double)
    spacer: Mapped[float | None] = mapped_column(Double)
    torque_nmm: Mapped[float | None] = mapped_column(Double)
    made_on: Mapped[date] = mapped_column(Date)
    made_by: Mapped[str] = mapped_column(Text)
    document: Mapped[str] = mapped_column(Text)
    digest: Mapped[str] = mapped_column(String(64))


class EntryRow(Base):
    """What was written to a kept design afterwards: a state, an as-built figure, a note, a file."""

    __tablename__ = "entries"
    __table_args__ = (
        _one_of("kind", ENTRIES),
        CheckConstraint("length(key) <= 200", name="key_length"),
        CheckConstraint("length(text) <= 100000", name="text_length"),
        _between("figure", "-1000000000000", "1000000000000"),
        _between("entered_on", "'1900-01-01'", "'2999-12-31'"),
        Index(None, "record_id", "kind"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    record_id: Mapped[int] = mapped_column(ForeignKey("records.id"))
    kind: Mapped[str] = mapped_column(String(8))
    key: Mapped[str] = mapped_column(String(200))
    text: Mapped[str] = mapped_column(Text)
    figure: Mapped[float | None] = mapped_column(Double)
    by: Mapped[str] = mapped_column("entered_by", Text)
    on: Mapped[datetime] = mapped_column("entered_on", UtcTime)


class DraftRow(Base):
    """Something half-entered: what a person typed so far, kept until it is finished or thrown away."""

    __tablename__ = "drafts"
    __table_args__ = (
        _filled("mark"),
        CheckConstraint("length(mark) <= 32", name="mark_length"),
        CheckConstraint("length(body) <= 1000000", name="body_length"),
        _between("touched_on", "'1900-01-01'", "'2999-12-31'"),
        Index(None, "touched_on"),
    )
    mark: Mapped[str] = mapped_column(String(32), primary_key=True)
    what: Mapped[str] = mapped_column(String(12))
    title: Mapped[str] = mapped_column(Text)
    body: Mapped[str] = mapped_column(Text)
    touched_on: Mapped[datetime] = mapped_column(UtcTime)


class ShopRow(Base):
    """One version of the shop's own sheet; the last one kept is the one in force."""

    __tablename__ = "shops"
    __table_args__ = (
        CheckConstraint("length(sheet) <= 1000000", name="sheet_length"),
        _between("kept_on", "'1900-01-01'", "'2999-12-31'"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    sheet: Mapped[str] = mapped_column(Text)
    by: Mapped[str] = mapped_column("kept_by", Text)
    on: Mapped[datetime] = mapped_column("kept_on", UtcTime)
