"""Twenty programs killed in the middle, and two that keep a thousand units each: none is lost.

Five hundred are killed by the command `python -m tests.store.crashes 500`.
"""

from __future__ import annotations

import dataclasses

import pytest

from kb.errors import StoreError
from kb.store.catalogue import Catalogue
from kb.store.place import open_store
from tests.store.conftest import KINDS
from tests.store.crashes import killed, writer
from tests.store.made_units import engine


def test_twenty_programs_killed_in_the_middle_lose_nothing(url: str) -> None:
    units, _ = killed(url, 20)
    assert units > 20


def test_two_programs_keep_a_thousand_units_each(url: str) -> None:
    with open_store(url):
        pass
    both = [writer(url, mark, 1000) for mark in ("bench one", "bench two")]
    said = [program.communicate()[0].splitlines()[1:] for program in both]
    assert [len(lines) for lines in said] == [1000, 1000]
    with open_store(url) as store:
        rows = Catalogue(store).list("engine")
        assert {row.name for row in rows} == {name for lines in said for name in lines}
        assert {row.revision for row in rows} == {1}


@pytest.mark.skipif("postgresql" not in KINDS, reason="no server is installed")
def test_a_server_gone_in_the_middle_is_one_line_and_comes_back(
    server: str, request: pytest.FixtureRequest
) -> None:
    """The server ends every connection, as one that is started anew does."""
    from sqlalchemy import create_engine, text

    from tests.store.conftest import new_database

    url = new_database(server, "gone", "empty")
    other = create_engine(server.replace("postgresql://", "postgresql+psycopg://"))
    ends = text("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'gone'")
    with open_store(url) as store:
        Catalogue(store).add(engine())
        with other.connect() as connection:
            connection.execute(ends)
        with pytest.raises(StoreError) as caught:
            Catalogue(store).add(dataclasses.replace(engine(), name="lost with the line"))
        assert "\n" not in str(caught.value)
        Catalogue(store).add(dataclasses.replace(engine(), name="after it"))  # typed once more
        assert {row.name for row in Catalogue(store).list()} == {engine().name, "after it"}
    other.dispose()
