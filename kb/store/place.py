"""Where the store lives: opening it, closing it, and saying plainly when that fails.

SQLite in one file by default, PostgreSQL by its address. Reading and writing go through
``Store.session`` and ``Store.writing``: one transaction each, kept whole or not at all.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Any

from platformdirs import user_data_path
from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, make_url, text
from sqlalchemy.exc import ArgumentError, SQLAlchemyError, StatementError
from sqlalchemy.orm import Session
from sqlalchemy.pool import StaticPool

from kb.errors import InputError, OutOfScope, StoreError

VARIABLE = "TRIALFIT_STORE"
STEPS = (
    "trialfit_0001",
    "trialfit_0002",
    "trialfit_0003",
    "trialfit_0004",
    "trialfit_0005",
)  # every step of the migrations, oldest first
PATIENCE_S = 5.0  # how long to wait for another program to finish writing

_ACCEPTED = "write the path of a file, sqlite:///PATH or postgresql://USER@HOST/NAME"
_WRITERS = 7421953  # any fixed number: the lock all writers to one PostgreSQL store share
_SAYS = (
    ("locked", "another program is writing to it; try again when that has finished"),
    ("readonly", "it may only be read; nothing was written"),
    ("unable to open", "it cannot be opened; check that the folder is there and may be written"),
    ("not a database", "this is not a trialfit store"),
    ("malformed", "the file is damaged; put back the last copy of it"),
    ("is full", "the disk is full; nothing was written"),
    ("disk i/o", "the disk cannot be read or written; nothing was written"),
    ("constraint", "the store refuses what it was given; nothing was written"),
)


def default_url() -> str:
    """Where the store is when nobody says otherwise.

    The variable ``TRIALFIT_STORE`` (an address, or the path of a file), else
    ``store.sqlite`` in the user's own data folder of this system.
    """
    if stated := os.environ.get(VARIABLE, "").strip():
        return stated
    return str(data_folder() / "store.sqlite")


def data_folder() -> Path:
    """The folder this system keeps the user's data for this program in."""
    return user_data_path("trialfit", appauthor=False)


class Store:
    """An open store; close it, or use it in a ``with`` statement.

    Attributes:
        engine: The connections to it.
        place: How it is named to people: the path of its file, or its address without password.
    """

    def __init__(self, url: URL, *, patience_s: float = PATIENCE_S) -> None:
        self.place = _place(url)
        self.engine = _engine(url, self.place, patience_s)

    @contextmanager
    def session(self) -> Iterator[Session]:
        """A session to read in.

        Raises:
            StoreError: the store cannot be opened or read.
        """
        with self.told(), Session(self.engine, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session to write in: kept whole at its end, or not at all.

        One writer at a time: the next one waits until this one has ended.

        Raises:
            StoreError: the store cannot be written, or refuses what it was given.
        """
        writer = self.engine.execution_options(writing=True)
        with self.told(), Session(writer, expire_on_commit=False) as session, session.begin():
            yield session

    @contextmanager
    def told(self) -> Iterator[None]:
        """Turns what a database says into one line that names the place."""
        try:
            yield
        except (InputError, OutOfScope):
            raise
        except (SQLAlchemyError, sqlite3.Error, ValueError, OverflowError) as error:
            raise StoreError(f"{self.place}: {_plainly(error)}") from error

    def close(self) -> None:
        """Gives the file or the connections back."""
        self.engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


def open_store(url: str | Path | None = None, *, patience_s: float = PATIENCE_S) -> Store:
    """Open a store, make it when there is none, and bring an older one up to date.

    Args:
        url: Path of a file, or an address (``sqlite:///…``, ``postgresql://…``); without it
            ``default_url()``.
        patience_s: How long to wait for another program to finish writing [s].
    Raises:
        InputError: the address cannot be read.
        StoreError: locked, read-only, damaged, out of reach, not a store, or made by a newer
            trialfit; the message names the place.
    """
    address = _read_url(default_url() if url is None else url)
    _make_folder(address)
    store = Store(address, patience_s=patience_s)
    try:
        _bring_up_to_date(store)
    except BaseException:
        store.close()
        raise
    return store


def _read_url(stated: str | Path) -> URL:
    written = str(stated).strip()
    if not written:
        raise InputError("store", written, _ACCEPTED)
    if "://" not in written:
        return URL.create("sqlite", database=str(Path(written).expanduser().absolute()))
    try:
        url = make_url(written)
    except (ArgumentError, ValueError):
        raise InputError("store", written, _ACCEPTED) from None
    if url.drivername in ("postgresql", "postgres"):
        return url.set(drivername="postgresql+psycopg")
    if url.drivername not in ("sqlite", "postgresql+psycopg"):
        raise InputError("store", url.render_as_string(hide_password=True), _ACCEPTED)
    if _is_file(url) and not url.query:
        return url.set(database=str(Path(str(url.database)).absolute()))
    return url


def _is_file(url: URL) -> bool:
    return url.drivername == "sqlite" and url.database not in (None, "", ":memory:")


def _place(url: URL) -> str:
    if _is_file(url):
        return str(Path(str(url.database).removeprefix("file:")))
    return url.render_as_string(hide_password=True)


def _make_folder(url: URL) -> None:
    if not _is_file(url) or url.query:
        return
    path = Path(_place(url))
    try:
        if path.is_dir():
            raise StoreError(f"{path}: this is a folder, not the file of a store")
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or "no reason given"
        raise StoreError(f"{path}: its folder cannot be made ({reason.lower()})") from error


def _engine(url: URL, place: str, patience_s: float) -> Engine:
    how: dict[str, Any]
    if url.drivername == "sqlite":
        # the file waits for other writers as long as the driver's timeout says
        how = {"connect_args": {"timeout": patience_s}}
        if not _is_file(url):
            how |= {"poolclass": StaticPool}
            how["connect_args"]["check_same_thread"] = False
    else:
        how = {"connect_args": {"connect_timeout": max(1, round(patience_s))}}
    try:
        engine = create_engine(url, **how)
    except ModuleNotFoundError as error:
        raise StoreError(f"{place}: the package {error.name} is not installed") from error
    event.listen(engine, "begin", _begin)
    if url.drivername == "sqlite":
        event.listen(engine, "connect", _settle)
    return engine


def _settle(connection: Any, record: object) -> None:
    connection.isolation_level = None  # transactions begin where this module says, tables too
    connection.execute("PRAGMA foreign_keys=ON")
    connection.execute("PRAGMA synchronous=NORMAL")


def _begin(connection: Connection) -> None:
    """Begin, and when writing take the writers' lock at once, so that nobody writes on old news."""
    writing = connection.get_execution_options().get("writing", False)
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")
    elif writing:
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _WRITERS})


def _bring_up_to_date(store: Store) -> None:
    with store.told(), store.engine.connect() as connection:
        step = _step(connection, store.place)
    if step == STEPS[-1]:
        return
    from kb.store.upgrade import upgrade  # Alembic is loaded only where there is work for it

    if step is not None:
        _copy_before(store)
    with store.told():
        upgrade(store.engine, place=store.place)


def _copy_before(store: Store) -> None:
    """A copy of an older store beside it, before it is brought up to date; a server's is its own.

    Raises:
        StoreError: there is no room for it; nothing was changed.
    """
    if "://" in store.place:
        return
    copy = Path(f"{store.place}.before-{STEPS[-1]}")
    if copy.exists():
        return
    beside = copy.with_name(copy.name + ".part")
    with store.told():
        try:
            with closing(sqlite3.connect(store.place)) as old, closing(sqlite3.connect(beside)) as new:  # fmt: skip
                old.backup(new)
            beside.replace(copy)
        except OSError as error:
            reason = error.strerror or "no reason given"
            raise StoreError(f"{copy}: no copy can be made first ({reason.lower()})") from error
        finally:
            with suppress(OSError):
                beside.unlink(missing_ok=True)


def _step(connection: Connection, place: str) -> str | None:
    """The step a store stands at; ``None`` when nothing is in it yet."""
    tables = inspect(connection).get_table_names()
    if not tables:
        return None
    found = None
    if "alembic_version" in tables:
        found = connection.scalar(text("SELECT version_num FROM alembic_version"))
    if found is None or not str(found).startswith("trialfit_"):
        raise StoreError(f"{place}: this database holds something else; it is no trialfit store")
    if found not in STEPS:
        raise StoreError(
            f"{place}: made by a newer trialfit (step {found}; this one knows {STEPS[-1]}); "
            "install the newer one to open it, nothing was changed"
        )
    return str(found)


def _plainly(error: Exception) -> str:
    said = str(error.orig if isinstance(error, StatementError) else error)
    first = next((line.strip() for line in said.splitlines() if line.strip()), "no reason given")
    plain = next((says for sign, says in _SAYS if sign in first.lower()), "")
    return f"{plain} ({first})" if plain else first
