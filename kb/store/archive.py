"""The whole of a store as one open archive: a zip of plain text that any program can read.

``about.json`` says what is in it: format, step of the store, and for every file its rows, bytes
and SHA-256. ``tables/NAME.jsonl`` holds one row of a table to a line, ``files/SHA256`` what was
attached to jobs, ``units/*.toml`` the newest revision of every unit as a sheet a person can read.
It is read from one moment of a store in use, and put back whole or not at all.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, Date, Table, func, insert, select, text
from sqlalchemy.orm import Session

from kb.errors import StoreError
from kb.model.record import digest
from kb.sheets.writing import write_unit
from kb.store import files
from kb.store.catalogue import listed
from kb.store.convert import units_of
from kb.store.place import STEPS, Store
from kb.store.rows import Base, EntryRow, UtcTime

FORMAT = 1
ABOUT = "about.json"
LARGEST = 20_000_000_000  # bytes an archive may unfold to
LARGEST_LINE = 32_000_000  # bytes of one row
LARGEST_ABOUT = 200_000_000
AT_ONCE = 500  # rows written together
_MEMBER = re.compile(r"tables/[a-z]{1,30}\.jsonl|files/[0-9a-f]{64}|units/[a-z]+/[0-9]{6}\.toml")
_STAMP = (1980, 1, 1, 0, 0, 0)
_member = zipfile.ZipFile.open  # a file of an archive, in bytes


@dataclass(frozen=True, kw_only=True)
class Member:
    """One file of an archive: its rows (of a table), bytes and SHA-256."""

    rows: int
    bytes: int
    sha256: str


@dataclass(frozen=True, kw_only=True)
class About:
    """What an archive says of itself."""

    format: int
    step: str
    made_on: str
    members: Mapping[str, Member]

    def rows(self, table: str) -> int:
        """How many rows of a table there are."""
        member = self.members.get(f"tables/{table}.jsonl")
        return member.rows if member else 0


TABLES: tuple[Table, ...] = tuple(Base.metadata.sorted_tables)


# ── writing ─────────────────────────────────────────────────────────────────


def write(store: Store, to: Path) -> About:
    """Write the whole of a store, as it is at one moment, while others may go on using it.

    Args:
        store: The store. to: A file that is not there yet.
    Raises:
        StoreError: the file is there already, cannot be written, or the store cannot be read;
            nothing is left behind.
    """
    if to.exists():
        raise StoreError(f"{to}: it is there already; choose a new name")
    beside = to.with_name(to.name + ".part")
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        with zipfile.ZipFile(beside, "w", zipfile.ZIP_DEFLATED) as archive:
            about = _write(store, archive)
        with beside.open("rb+") as written:
            os.fsync(written.fileno())
        read_about(beside)
        beside.replace(to)
    except OSError as error:
        raise StoreError(f"{to}: it cannot be written ({_why(error)})") from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
    return about


def _write(store: Store, archive: zipfile.ZipFile) -> About:
    members: dict[str, Member] = {}
    with _one_moment(store) as connection:
        for table in TABLES:
            name = f"tables/{table.name}.jsonl"
            with _opened(archive, name, members) as out:
                for row in connection.execute(select(table).order_by(*table.primary_key)):
                    out.row(_line(table, row))
        attached = connection.scalars(select(EntryRow.key).where(EntryRow.kind == "file"))
        for name in sorted(set(attached)):
            with _opened(archive, f"files/{name}", members) as out:
                out.put(files.get(store, name))
        session = Session(connection)
        shown = listed(session, None, "")
        for number, (kept, unit) in enumerate(zip(shown, units_of(session, shown), strict=True), 1):
            with _opened(archive, f"units/{kept.kind}/{number:06d}.toml", members) as out:
                out.put(write_unit(unit).encode("utf-8"))
    about = About(format=FORMAT, step=STEPS[-1], made_on=datetime.now(UTC).isoformat(timespec="seconds"), members=members)  # fmt: skip
    archive.writestr(zipfile.ZipInfo(ABOUT, _STAMP), json.dumps(asdict(about), indent=1), zipfile.ZIP_DEFLATED)  # fmt: skip
    return about


@contextmanager
def _one_moment(store: Store) -> Iterator[Connection]:
    """A connection that sees the store as it is now, whatever is written meanwhile."""
    level = {"isolation_level": "REPEATABLE READ"} if store.engine.dialect.name == "postgresql" else {}  # fmt: skip
    with store.told(), store.engine.execution_options(**level).connect() as connection, connection.begin():  # fmt: skip
        yield connection


class _Out:
    """Writes one member and counts what it wrote."""

    def __init__(self, raw: IO[bytes]) -> None:
        self._raw, self._digest = raw, hashlib.sha256()
        self.rows = self.bytes = 0

    def put(self, data: bytes) -> None:
        self._raw.write(data)
        self._digest.update(data)
        self.bytes += len(data)

    def row(self, line: str) -> None:
        self.rows += 1
        self.put(line.encode("utf-8") + b"\n")

    @property
    def member(self) -> Member:
        return Member(rows=self.rows, bytes=self.bytes, sha256=self._digest.hexdigest())


@contextmanager
def _opened(archive: zipfile.ZipFile, name: str, members: dict[str, Member]) -> Iterator[_Out]:
    entry = zipfile.ZipInfo(name, _STAMP)
    entry.compress_type = zipfile.ZIP_DEFLATED
    with _member(archive, entry, "w", force_zip64=True) as raw:
        out = _Out(raw)
        yield out
    members[name] = out.member


def _line(table: Table, row: Any) -> str:
    return json.dumps({column.name: _plain(row._mapping[column]) for column in table.columns}, ensure_ascii=False)  # fmt: skip


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, date | datetime) else value


# ── reading ─────────────────────────────────────────────────────────────────


def read_about(file: Path) -> About:
    """What is in an archive, every byte of it held against its digest.

    Raises:
        StoreError: no archive of this program, one made by a newer one, cut off, changed, or one
            that holds what no archive does: another path, a member too many or too large.
    """
    with _archive(file) as archive:
        about = _about(file, archive)
        held = [entry.filename for entry in archive.infolist()]
        if sorted(held) != sorted([ABOUT, *about.members]):
            raise StoreError(f"{file}: what is in it is not what it says; nothing was taken")
        for name, member in about.members.items():
            found, size = hashlib.sha256(), 0
            for piece in _pieces(file, archive, name, member.bytes):
                found.update(piece)
                size += len(piece)
            if (size, found.hexdigest()) != (member.bytes, member.sha256):
                raise StoreError(f"{file}: {name} is not what was written; nothing was taken")
    return about


@contextmanager
def _archive(file: Path) -> Iterator[zipfile.ZipFile]:
    try:
        with zipfile.ZipFile(file) as archive:
            yield archive
    except (zipfile.BadZipFile, EOFError, NotImplementedError, RuntimeError) as error:
        raise StoreError(f"{file}: this is no archive, or it was cut off; nothing was taken") from error  # fmt: skip
    except OSError as error:
        raise StoreError(f"{file}: it cannot be read ({_why(error)})") from error


def _about(file: Path, archive: zipfile.ZipFile) -> About:
    try:
        if archive.getinfo(ABOUT).file_size > LARGEST_ABOUT:
            raise StoreError(f"{file}: what it says of itself is too long; nothing was taken")
        said = json.loads(archive.read(ABOUT))
        made = About(
            format=said["format"], step=said["step"], made_on=str(said["made_on"]),
            members={name: Member(**one) for name, one in said["members"].items()},
        )  # fmt: skip
        sizes = [one.bytes + one.rows for one in made.members.values()]
    except (KeyError, ValueError, TypeError, AttributeError, RecursionError) as error:
        raise StoreError(f"{file}: this is no archive of this program; nothing was taken") from error  # fmt: skip
    if not isinstance(made.format, int) or made.format > FORMAT or made.step not in STEPS:
        raise StoreError(f"{file}: made by a newer trialfit (format {made.format}, step {made.step}); install the newer one to take it")  # fmt: skip
    strange = next((name for name in made.members if not _MEMBER.fullmatch(name)), None)
    if strange is not None:
        raise StoreError(f"{file}: it holds {strange!r}, which no archive does; nothing was taken")
    if min(sizes, default=0) < 0 or sum(sizes) > LARGEST:
        raise StoreError(f"{file}: it would unfold to more than {LARGEST // 10**9} GB; nothing was taken")  # fmt: skip
    return made


def _pieces(file: Path, archive: zipfile.ZipFile, name: str, most: int) -> Iterator[bytes]:
    """A member in pieces, never more than it says it has."""
    left = most + 1
    with _member(archive, name) as raw:
        while left > 0 and (piece := raw.read(min(1 << 20, left))):
            left -= len(piece)
            yield piece
    if left <= 0:
        raise StoreError(f"{file}: {name} is longer than it says; nothing was taken")


def _lines(archive: zipfile.ZipFile, name: str, file: Path) -> Iterator[bytes]:
    with _member(archive, name) as raw:
        while line := raw.readline(LARGEST_LINE + 1):
            if len(line) > LARGEST_LINE:
                raise StoreError(f"{file}: a row of {name} is too long; nothing was taken")
            yield line


def rows(file: Path, table: str) -> Iterator[dict[str, Any]]:
    """The rows of a table of an archive, as they stand in it.

    Raises:
        StoreError: a row that cannot be read.
    """
    name = f"tables/{table}.jsonl"
    with _archive(file) as archive:
        if name not in archive.namelist():
            return
        for line in _lines(archive, name, file):
            try:
                row = json.loads(line)
            except (ValueError, RecursionError) as error:
                raise StoreError(f"{file}: a row of {table} cannot be read") from error
            if not isinstance(row, dict):
                raise StoreError(f"{file}: a row of {table} cannot be read")
            yield row


# ── putting back ────────────────────────────────────────────────────────────


def put_back(store: Store, file: Path) -> About:
    """Put an archive into an empty store, whole or not at all, and look whether it is all there.

    Raises:
        StoreError: the store holds something already, the archive is not whole, or the store
            refuses what is in it; nothing was written.
    """
    about = read_about(file)
    _put_files(store, file, about)
    with store.writing() as session:
        for table in TABLES:
            if session.scalar(select(func.count()).select_from(table)):
                raise StoreError(f"{store.place}: it holds something already; put the archive into a new store")  # fmt: skip
        for table in TABLES:
            _put_rows(session, table, file)
        _count_on(session)
        for table in TABLES:
            if session.scalar(select(func.count()).select_from(table)) != about.rows(table.name):
                raise StoreError(f"{store.place}: not all of {table.name} arrived; nothing was kept")  # fmt: skip
        _check_digests(session, store)
    return about


def _put_rows(session: Session, table: Table, file: Path) -> None:
    batch: list[dict[str, Any]] = []
    for row in rows(file, table.name):
        batch.append(_typed(table, row, file))
        if len(batch) == AT_ONCE:
            session.execute(insert(table), batch)
            batch = []
    if batch:
        session.execute(insert(table), batch)


def _typed(table: Table, row: Mapping[str, Any], file: Path) -> dict[str, Any]:
    """A row with its days and moments; a column an older archive has not takes its default."""
    known = {column.name: column for column in table.columns}
    if strange := set(row) - set(known):
        raise StoreError(f"{file}: {table.name} has no {min(strange)}; nothing was taken")
    try:
        return {name: _value(known[name].type, value) for name, value in row.items()}
    except (ValueError, TypeError) as error:
        raise StoreError(f"{file}: a row of {table.name} cannot be read ({error})") from error


def _value(kind: object, value: Any) -> Any:
    if value is None:
        return None
    if isinstance(kind, UtcTime):
        return datetime.fromisoformat(value)
    return date.fromisoformat(value) if isinstance(kind, Date) else value


def _count_on(session: Session) -> None:
    """A server counts new rows on from the last of those that were put back."""
    if session.get_bind().dialect.name != "postgresql":
        return
    for table in TABLES:
        if "id" in table.columns:
            session.execute(text(
                f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'), "
                f"COALESCE((SELECT MAX(id) FROM {table.name}), 0) + 1, false)"
            ))  # fmt: skip


def _check_digests(session: Session, store: Store) -> None:
    """Every kept design is the one that was kept."""
    table = Base.metadata.tables["records"]
    for number, issue, document, mark in session.execute(
        select(table.c.number, table.c.issue, table.c.document, table.c.digest)
    ):
        if digest(document) != mark:
            raise StoreError(f"{store.place}: job {number}{issue} is not the one that was kept; nothing was kept")  # fmt: skip


def _put_files(store: Store, file: Path, about: About) -> None:
    """What was attached; files of one digest are the same file, so one that is there may stay."""
    with _archive(file) as archive:
        for name, member in about.members.items():
            if name.startswith("files/"):
                if member.bytes > files.LARGEST:
                    raise StoreError(f"{file}: {name} is too large; nothing was taken")
                if files.put(store, archive.read(name)) != name.removeprefix("files/"):
                    raise StoreError(f"{file}: {name} is not what its name says")


def _why(error: OSError) -> str:
    return (error.strerror or "no reason given").lower()
