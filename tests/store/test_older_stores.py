"""A store that each earlier step left behind is brought up to date with everything in it.

The stores were written by the program as it was at that step, not made by today's: a unit in two
revisions with two readings of one length, and a kept job.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from kb.errors import StoreError
from kb.model.unit import Engine
from kb.store.catalogue import Catalogue
from kb.store.place import STEPS, open_store
from kb.store.records import Records
from tests.store.test_migrations import tables
from wizard.desk import keeping

KEPT = Path(__file__).parents[1] / "data" / "stores"


def older(step: str, path: Path) -> Path:
    with closing(sqlite3.connect(path)) as made:
        made.executescript((KEPT / f"{step}.sql").read_text(encoding="utf-8"))
    return path


def test_every_earlier_step_is_kept() -> None:
    assert {file.stem for file in KEPT.glob("*.sql")} == set(STEPS[:-1])


@pytest.mark.parametrize("step", STEPS[:-1])
def test_it_is_brought_up_to_date_whole(step: str, path: Path, tmp_path: Path) -> None:
    older(step, path)
    with open_store(path) as store:
        assert [row.revision for row in Catalogue(store).history("engine", "MARL FOUR")] == [1, 2]
        unit = Catalogue(store).get("engine", "Marl four")
        assert isinstance(unit, Engine)
        assert unit.drive is not None
        assert unit.drive.standoff is not None
        assert [one.typed for one in unit.drive.standoff.readings] == [
            "12.00 ± 0.05",
            "12.04 ± 0.05",
        ]
        assert unit.drive.standoff.chosen == 0
        assert Catalogue(store).get("gearbox", "tarn three-speed", 1).name == "Tarn three-speed"
        record = Records(store).get(1)  # its digest is held against it
        assert record.content["answer"]["verdict"]
        assert Catalogue(store).add(unit).revision == 3
        keeping.back_up(store, tmp_path / "b.zip")
    fresh = tmp_path / "fresh.sqlite"
    open_store(fresh).close()
    assert tables(path) == tables(fresh)


@pytest.mark.parametrize("step", STEPS[:-1])
def test_a_copy_of_it_is_made_first(step: str, path: Path) -> None:
    older(step, path)
    open_store(path).close()
    before = path.with_name(f"{path.name}.before-{STEPS[-1]}")
    with closing(sqlite3.connect(before)) as copy:
        assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert copy.execute("SELECT version_num FROM alembic_version").fetchone() == (step,)
    open_store(before).close()  # and is a store like any other


def test_without_room_for_the_copy_nothing_is_changed(path: Path) -> None:
    older(STEPS[0], path)
    (path.parent / f"{path.name}.before-{STEPS[-1]}.part").mkdir()
    with pytest.raises(StoreError):
        open_store(path)
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("SELECT version_num FROM alembic_version").fetchone() == (STEPS[0],)


def test_a_newer_store_is_refused_and_left_alone(path: Path) -> None:
    open_store(path).close()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("UPDATE alembic_version SET version_num = 'trialfit_9999'")
        raw.commit()
    before = path.read_bytes()
    with pytest.raises(StoreError, match="made by a newer trialfit"):
        open_store(path)
    assert path.read_bytes() == before
    assert not list(path.parent.glob("*.before-*"))
