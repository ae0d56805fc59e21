"""Several programs at one file, and a program that ends in the middle.

That one may read while another writes, and that what was not committed is gone, is SQLite's
promise (SQLite, "Write-Ahead Logging" and "Atomic Commit"); counted here from outside.
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy import text

from kb.errors import InputError, StoreError
from kb.store.catalogue import Catalogue
from kb.store.convert import unit_row
from kb.store.place import Store, open_store
from tests.store.made_units import engine, gearbox
from tests.store.one_line import one_line

ROOT = Path(__file__).resolve().parents[2]


# ── others at the same file ─────────────────────────────────────────────────


def test_while_another_writes_one_may_read_but_not_write(path: Path) -> None:
    with open_store(path, patience_s=0.1) as store:
        catalogue = Catalogue(store)
        catalogue.add(engine())
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        assert catalogue.get("engine", engine().name) == engine()
        with open_store(path, patience_s=0.1) as second:
            assert len(Catalogue(second).list()) == 1
        with pytest.raises(StoreError) as told:
            catalogue.add(gearbox())
        assert "another program is writing" in one_line(told.value, path)
        other.execute("ROLLBACK")
        other.close()
        assert catalogue.add(gearbox()).revision == 1


def test_a_file_another_holds_for_itself(path: Path) -> None:
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("CREATE TABLE mine (id INTEGER)")
    other.execute("BEGIN EXCLUSIVE")
    with pytest.raises(StoreError) as told:
        open_store(path, patience_s=0.1)
    other.close()
    assert "another program is writing" in one_line(told.value, path)


def test_one_who_waits_gets_his_turn(path: Path) -> None:
    with open_store(path, patience_s=10) as store:
        other = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
        other.execute("BEGIN IMMEDIATE")
        done: list[int] = []
        waiting = Thread(target=lambda: done.append(Catalogue(store).add(engine()).revision))
        waiting.start()
        waiting.join(0.3)
        assert done == []
        other.execute("COMMIT")
        waiting.join(10)
        other.close()
    assert done == [1]


def test_two_who_open_a_new_store_at_once(url: str) -> None:
    told: list[BaseException] = []

    def use() -> None:
        try:
            with open_store(url, patience_s=20) as store:
                Catalogue(store).add(engine())
        except (InputError, StoreError) as error:
            told.append(error)

    threads = [Thread(target=use) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert told == []
    with open_store(url) as store:
        assert len(Catalogue(store).history("engine", engine().name)) == 3


# ── a program that ends in the middle ───────────────────────────────────────

CUT_SHORT = """
import sys, time
from kb.store.convert import rows_of, unit_row
from kb.store.flat import flatten
from kb.store.place import open_store
from datetime import UTC, datetime
from tests.store.made_units import gearbox

store = open_store(sys.argv[1])
with store.writing() as session:
    row = unit_row(gearbox(), revision=1, made_on=datetime.now(UTC), made_by="")
    session.add(row)
    session.flush()
    session.add_all(rows_of(flatten(gearbox()), unit_id=row.id))
    session.flush()
    print("in the middle", flush=True)
    time.sleep(60)
"""


def test_a_program_killed_in_the_middle_leaves_nothing_half_written(path: Path) -> None:
    with open_store(path) as store:
        Catalogue(store).add(engine())
    run = subprocess.Popen(
        [sys.executable, "-c", CUT_SHORT, str(path)],
        stdout=subprocess.PIPE, text=True, cwd=ROOT, env=os.environ | {"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.stdout is not None
    assert run.stdout.readline().strip() == "in the middle"
    run.kill()
    run.wait()
    run.stdout.close()
    with open_store(path) as store:
        catalogue = Catalogue(store)
        assert [unit.kind for unit in catalogue.list()] == ["engine"]
        with store.session() as session:
            assert (
                session.scalar(text("SELECT count(*) FROM dimensions WHERE key LIKE 'converter%'"))
                == 0
            )
            assert session.scalar(text("PRAGMA integrity_check")) == "ok"
        assert catalogue.add(gearbox()).revision == 1


def test_an_error_in_the_middle_leaves_nothing(kept: Store) -> None:
    def stumble() -> None:
        with kept.writing() as session:
            session.add(unit_row(engine(), revision=1, made_on=datetime.now(UTC), made_by=""))
            session.flush()
            assert session.scalar(text("SELECT count(*) FROM units")) == 1
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stumble()
    assert Catalogue(kept).list() == []
