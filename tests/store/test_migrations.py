"""The steps lead to exactly the tables that are mapped, whole or not at all.

Compared by Alembic's own comparison, and by what SQLite says of the tables (sqlite_master), which
also shows the checks, that Alembic does not compare.
"""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Iterator
from dataclasses import Field, fields, is_dataclass
from pathlib import Path
from types import NoneType
from typing import Any, get_args, get_type_hints

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Column, Integer, Table, create_engine, text

import kb.store.migrations
from kb.errors import StoreError
from kb.store.catalogue import Catalogue
from kb.store.convert import OWN_TABLE, UNITS
from kb.store.flat import AMOUNTS
from kb.store.guards import OPEN
from kb.store.place import STEPS, Store, open_store
from kb.store.rows import FACTS, Base
from kb.store.upgrade import draft
from tests.store.made_units import engine

FOLDER = Path(kb.store.migrations.__file__).parent


def test_the_steps_lead_to_the_mapped_tables(store: Store) -> None:
    with store.engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"target_metadata": Base.metadata, "compare_server_default": True}
        )
        assert compare_metadata(context, Base.metadata) == []


def tables(path: Path) -> dict[str, tuple[str, ...]]:
    """Every table and index of a file: the lines it was made with, in no order, unquoted."""
    connection = sqlite3.connect(path)
    made = connection.execute(
        "SELECT name, sql FROM sqlite_master WHERE type IN ('table', 'index') AND sql IS NOT NULL"
    ).fetchall()
    connection.close()
    return {
        name: tuple(sorted(re.sub(r"[\s\"]+", " ", line).strip(" ,") for line in sql.splitlines()))
        for name, sql in made
        if name != "alembic_version"
    }


def test_the_steps_lead_to_the_mapped_checks(path: Path, tmp_path: Path) -> None:
    open_store(path).close()
    mapped = tmp_path / "mapped.sqlite"
    engine = create_engine(f"sqlite:///{mapped.as_posix()}")
    Base.metadata.create_all(engine)
    engine.dispose()
    assert tables(path) == tables(mapped)
    assert any("dimensions_value_range" in line for line in tables(path)["dimensions"])


def test_the_steps_are_named_in_their_order() -> None:
    steps = [step.revision for step in ScriptDirectory(str(FOLDER)).walk_revisions()]
    assert tuple(reversed(steps)) == STEPS
    assert all(re.fullmatch(r"trialfit_\d{4}", step) for step in STEPS)


def test_a_step_that_fails_leaves_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(connection: object) -> None:
        raise StoreError("stopped in the middle")

    monkeypatch.setattr("kb.store.guards.put", fail)
    with pytest.raises(StoreError, match="stopped in the middle"):
        open_store(path)
    assert tables(path) == {}
    monkeypatch.undo()
    open_store(path).close()
    assert set(Base.metadata.tables) <= set(tables(path))


def test_every_table_is_guarded(path: Path) -> None:
    open_store(path).close()
    connection = sqlite3.connect(path)
    guards = {
        name
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    }
    connection.close()
    assert guards == {
        f"{name}_{deed}"
        for name in set(Base.metadata.tables) - set(OPEN)
        for deed in ("keep", "stay")
    }


@pytest.fixture
def extras() -> Iterator[None]:
    """A table more than the steps make."""
    extra = Table("extras", Base.metadata, Column("id", Integer, primary_key=True))
    yield
    Base.metadata.remove(extra)


@pytest.mark.usefixtures("extras")
def test_a_new_step_is_drafted_from_the_mappings(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(FOLDER, tmp_path / "steps", ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr("kb.store.upgrade.MIGRATIONS", str(tmp_path / "steps"))
    with open_store("sqlite://") as fresh:
        draft(fresh.engine, step="trialfit_9999", about="extras")
    drafted = tmp_path / "steps" / "versions" / "trialfit_9999_extras.py"
    assert "create_table('extras'" in drafted.read_text(encoding="utf-8")
    monkeypatch.setattr("kb.store.place.STEPS", (*STEPS, "trialfit_9999"))
    with open_store(path) as store, store.session() as session:
        assert session.scalar(text("SELECT count(*) FROM extras")) == 0
        assert session.scalar(text("SELECT version_num FROM alembic_version")) == "trialfit_9999"


def test_an_older_store_is_brought_up_to_date_with_all_it_holds(
    kept: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Catalogue(kept).add(engine())
    kept.close()
    shutil.copytree(FOLDER, tmp_path / "steps", ignore=shutil.ignore_patterns("__pycache__"))
    (tmp_path / "steps" / "versions" / "trialfit_9999_marks.py").write_text(
        NEXT_STEP, encoding="utf-8"
    )
    monkeypatch.setattr("kb.store.upgrade.MIGRATIONS", str(tmp_path / "steps"))
    monkeypatch.setattr("kb.store.place.STEPS", (*STEPS, "trialfit_9999"))
    with open_store(kept.place) as store:
        assert Catalogue(store).get("engine", engine().name).notes == "as the step left it"
        with store.session() as session:
            assert session.scalar(text("SELECT weight FROM units")) == 0
            assert session.scalar(text("PRAGMA foreign_keys")) == 1
        with pytest.raises(StoreError, match="does not change"), store.writing() as session:
            session.execute(text("UPDATE facts SET text = 'x'"))


def test_a_step_that_loses_a_unit_is_undone(
    kept: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Catalogue(kept).add(engine())
    kept.close()
    shutil.copytree(FOLDER, tmp_path / "steps", ignore=shutil.ignore_patterns("__pycache__"))
    losing = NEXT_STEP + '    op.execute("DELETE FROM units")\n'
    (tmp_path / "steps" / "versions" / "trialfit_9999_loses.py").write_text(
        losing, encoding="utf-8"
    )
    with monkeypatch.context() as later:
        later.setattr("kb.store.upgrade.MIGRATIONS", str(tmp_path / "steps"))
        later.setattr("kb.store.place.STEPS", (*STEPS, "trialfit_9999"))
        with pytest.raises(StoreError) as told:
            open_store(kept.place)
    assert (
        str(told.value) == f"{kept.place}: it could not be brought up to date; nothing was changed"
    )
    with open_store(kept.place) as store:
        assert Catalogue(store).get("engine", engine().name) == engine()


# Makes the table anew that all others refer to, and changes what the guards would keep.
NEXT_STEP = f'''"""A later step."""
import sqlalchemy as sa
from alembic import op

revision = "trialfit_9999"
down_revision = "{STEPS[-1]}"


def upgrade():
    with op.batch_alter_table("units", recreate="always") as batch:
        batch.add_column(sa.Column("weight", sa.Integer, server_default="0", nullable=False))
    op.execute("UPDATE facts SET text = 'as the step left it' WHERE key = 'notes'")
'''


# ── the nouns and the tables ────────────────────────────────────────────────


def declared(noun: type) -> Iterator[tuple[type, Field[Any]]]:
    """Every field of a noun and of the nouns within it."""
    hints = get_type_hints(noun)
    for field in fields(noun):
        yield noun, field
        for inner in get_args(hints[field.name]):
            if (
                inner is not NoneType
                and is_dataclass(inner)
                and field.metadata["kind"] in ("part", "parts")
            ):
                yield from declared(inner)


def test_every_kind_of_field_has_its_place() -> None:
    kinds = {field.metadata["kind"] for noun in UNITS.values() for _, field in declared(noun)}
    lengths = {"length", "band", "point", "points"}
    assert kinds - lengths - {"parts"} <= set(FACTS)
    assert set(AMOUNTS) <= set(FACTS)


def test_every_column_of_a_part_is_a_field_of_its_noun() -> None:
    nouns = {noun.__name__: noun for unit in UNITS.values() for noun, _ in declared(unit)}
    assert set(OWN_TABLE) <= set(nouns)
    for table in set(OWN_TABLE.values()):
        named = {
            field.name
            for name, own in OWN_TABLE.items()
            if own is table
            for field in fields(nouns[name])
        }
        assert set(table.FIELDS) <= named
        columns = {column.key for column in table.__mapper__.column_attrs}
        assert columns - {"unit_id", "key"} == set(table.FIELDS)
