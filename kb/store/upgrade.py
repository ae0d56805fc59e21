"""Brings a store to the newest step of its migrations, whole or not at all; drafts new steps."""

from __future__ import annotations

import sqlite3
from contextlib import suppress

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, text

from kb.errors import StoreError
from kb.store import guards

MIGRATIONS = "kb.store:migrations"


def upgrade(engine: Engine, *, place: str) -> None:
    """Run every step the store has not had yet, on a connection of its own, in one transaction.

    Args:
        engine: Connections to the store. place: How it is named to people.
    Raises:
        StoreError: a step left a row without the row it belongs to; nothing was changed.
    """
    with engine.execution_options(writing=True).connect() as connection:
        _pragma(connection, "foreign_keys=OFF")  # a step may make a table anew
        try:
            with connection.begin():
                guards.lift(connection)
                command.upgrade(_config(connection), "head")
                guards.put(connection)
                _check_keys(connection, place)
            # readers beside the one who writes; while another has the file open it must wait
            with suppress(sqlite3.OperationalError):
                _pragma(connection, "journal_mode=WAL")
        finally:
            _pragma(connection, "foreign_keys=ON")


def draft(engine: Engine, *, step: str, about: str) -> None:
    """Write the file of a new step: what the mappings have that the steps do not.

    For whoever changes ``rows``. Read it, correct it (checks are not compared), and name it in
    ``place.STEPS``; tests hold the steps and the mappings to each other::

        python -c "from kb.store import place, upgrade; upgrade.draft(
            place.open_store('sqlite://').engine, step='trialfit_0002', about='face colour')"
    """
    with engine.begin() as connection:
        command.revision(_config(connection), about, autogenerate=True, rev_id=step)


def _config(connection: Connection) -> Config:
    config = Config()
    config.set_main_option("script_location", MIGRATIONS)
    config.attributes["connection"] = connection
    return config


def _check_keys(connection: Connection, place: str) -> None:
    server = connection.dialect.name == "postgresql"  # it has watched its keys all along
    if not server and connection.execute(text("PRAGMA foreign_key_check")).first():
        raise StoreError(f"{place}: it could not be brought up to date; nothing was changed")


def _pragma(connection: Connection, setting: str) -> None:
    """Set one switch of SQLite outside any transaction, where alone it is heard."""
    raw = connection.connection.driver_connection
    if connection.dialect.name == "sqlite" and raw is not None:
        raw.execute(f"PRAGMA {setting}")
