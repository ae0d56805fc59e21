"""Brings a store to the newest step of its migrations, whole or not at all.

A new step is drafted from the mappings with ``alembic revision --autogenerate`` at the top of
the project and added to ``place.STEPS``; tests hold the steps and the mappings to each other.
"""

from __future__ import annotations

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, text

from kb.errors import StoreError
from kb.store import guards

MIGRATIONS = "kb.store:migrations"


def upgrade(engine: Engine) -> None:
    """Run every step the store has not had yet, on a connection of its own, in one transaction.

    Raises:
        StoreError: a step left a row without the row it belongs to; nothing was changed.
    """
    with engine.execution_options(writing=True).connect() as connection:
        _pragma(connection, "foreign_keys=OFF")  # tables are rebuilt by a step
        try:
            with connection.begin():
                _run(connection)
            _pragma(connection, "journal_mode=WAL")  # readers and one writer side by side
        finally:
            _pragma(connection, "foreign_keys=ON")


def _run(connection: Connection) -> None:
    config = Config()
    config.set_main_option("script_location", MIGRATIONS)
    config.attributes["connection"] = connection
    guards.lift(connection)
    command.upgrade(config, "head")
    guards.put(connection)
    server = connection.dialect.name == "postgresql"  # it has watched its keys all along
    if not server and connection.execute(text("PRAGMA foreign_key_check")).first():
        raise StoreError("the store could not be brought up to date; nothing was changed")


def _pragma(connection: Connection, setting: str) -> None:
    """Set one switch of SQLite outside any transaction, where alone it is heard."""
    raw = connection.connection.driver_connection
    if connection.dialect.name == "sqlite" and raw is not None:
        raw.execute(f"PRAGMA {setting}")
