"""The catalogue: what is listed, found, revised, removed. The project's own rules throughout;
what a database must promise for them (isolation, uniqueness) is checked by counting."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from threading import Thread

import pytest
from sqlalchemy import func, select

from kb.errors import InputError, StoreError
from kb.model.unit import Driven, Engine, Gearbox, Shaft
from kb.store.catalogue import Catalogue, UnitRef
from kb.store.convert import rows_of
from kb.store.flat import Flat
from kb.store.place import Store
from kb.store.rows import Base, OfUnit, UnitRow
from tests.store.made_units import engine, every_kind, gearbox, seen


@pytest.fixture
def catalogue(store: Store) -> Catalogue:
    return Catalogue(store)


def test_an_empty_catalogue_says_so(catalogue: Catalogue) -> None:
    assert catalogue.list() == [] == catalogue.units()
    with pytest.raises(InputError, match="engine: cannot use “Any”; the catalogue holds no engine"):
        catalogue.get("engine", "Any")
    with pytest.raises(InputError):
        catalogue.history("engine", "Any")
    with pytest.raises(InputError):
        catalogue.remove("engine", "Any")


def test_a_summary_says_what_the_unit_says(catalogue: Catalogue) -> None:
    before = datetime.now(UTC)
    catalogue.add(engine(), by="Ada")
    catalogue.add(gearbox())
    found = {unit.kind: unit for unit in catalogue.list()}
    assert found["engine"].rotation == "ccw"
    assert found["engine"].drive == "crank flange"
    assert found["engine"].max_speed_rpm == 4200
    assert found["engine"].made_by == "Ada"
    assert before - timedelta(seconds=1) <= found["engine"].made_on <= datetime.now(UTC)
    assert found["engine"].made_on.utcoffset() == timedelta(0)
    assert found["gearbox"].drive == "converter"
    assert found["gearbox"].rotation is None
    assert found["gearbox"].torque_nmm == pytest.approx(410e3)
    assert found["gearbox"].ref == UnitRef(kind="gearbox", name=gearbox().name, revision=1)


@pytest.mark.parametrize(
    ("drive", "unit"),
    [
        ("shaft", Gearbox(name="A", shaft=Shaft(reach=seen("6")))),
        ("flange", Gearbox(name="A", driven=Driven(position=seen("-1.5")))),
        (None, Gearbox(name="A")),
        (None, Engine(name="A")),
    ],
)
def test_what_turns(drive: str | None, unit: Engine | Gearbox, catalogue: Catalogue) -> None:
    catalogue.add(unit)
    assert [found.drive for found in catalogue.list()] == [drive]


def test_saving_again_is_a_revision_and_the_old_one_stays(catalogue: Catalogue) -> None:
    first = engine()
    second = replace(first, notes="bored", rotation="cw")
    assert catalogue.add(first, "Ada").revision == 1
    assert catalogue.add(second, "Bo").revision == 2
    assert catalogue.get("engine", first.name) == second
    assert catalogue.get("engine", first.name, 1) == first
    assert catalogue.get("engine", first.name, 2) == second
    assert catalogue.ref("engine", first.name).revision == 2
    assert [(unit.revision, unit.made_by) for unit in catalogue.history("engine", first.name)] == [
        (1, "Ada"),
        (2, "Bo"),
    ]
    assert [unit.revision for unit in catalogue.list()] == [2]
    with pytest.raises(InputError, match="revision 3”; it has revision 1, 2"):
        catalogue.get("engine", first.name, 3)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Größe 4", "GROSSE 4"),
        ("Étoile", "etoile"),
        ("Boat  motor", "boat motor "),
        ("🛥️ motor", "🛥 MOTOR"),
        ("محرّك", "محرك"),
    ],
)
def test_one_name_however_it_is_spelled(first: str, second: str, catalogue: Catalogue) -> None:
    catalogue.add(Engine(name=first))
    assert catalogue.add(Engine(name=second, rotation="cw")).revision == 2
    assert catalogue.get("engine", first).name == second  # as it was spelled last
    assert catalogue.get("engine", second, 1).name == first
    assert len(catalogue.list()) == 1


def test_one_name_for_an_engine_and_a_gearbox_are_two_units(catalogue: Catalogue) -> None:
    catalogue.add(Engine(name="Pair"))
    assert catalogue.add(Gearbox(name="Pair")).revision == 1
    assert [unit.kind for unit in catalogue.list()] == ["engine", "gearbox"]
    assert [unit.kind for unit in catalogue.list("gearbox")] == ["gearbox"]


@pytest.mark.parametrize("name", ["🛥️ Boat", "מנוע ישן", "محرك ١٢", "L'Été 50 % _x_", "a\\b/c:d"])
def test_names_of_all_scripts(name: str, catalogue: Catalogue) -> None:
    catalogue.add(Engine(name=name))
    assert catalogue.get("engine", name).name == name
    assert [unit.name for unit in catalogue.list(text=name)] == [name]


def test_listed_by_kind_and_name_and_found_by_words(catalogue: Catalogue) -> None:
    for name in ("Zulu pump", "alpha Pump 50%", "Épsilon", "a_b"):
        catalogue.add(Engine(name=name))
    names = [unit.name for unit in catalogue.list()]
    assert names == ["a_b", "alpha Pump 50%", "Épsilon", "Zulu pump"]
    found = {
        text: [unit.name for unit in catalogue.list(text=text)]
        for text in ("PUMP", "pump alpha", "eps", "%", "_", "nothing", "\u0301", "  ")
    }
    assert found["PUMP"] == ["alpha Pump 50%", "Zulu pump"]
    assert found["pump alpha"] == ["alpha Pump 50%"]
    assert found["eps"] == ["Épsilon"]
    assert found["%"] == ["alpha Pump 50%"]
    assert found["_"] == ["a_b"]
    assert found["nothing"] == [] == found["\u0301"]
    assert len(found["  "]) == 4


def test_the_nearest_names_are_offered(catalogue: Catalogue) -> None:
    for name in ("Harbour diesel 6", "Harbour diesel 4", "Steam launch"):
        catalogue.add(Engine(name=name))
    with pytest.raises(InputError) as told:
        catalogue.get("engine", "harbor diesel 6")
    assert str(told.value).startswith(
        "engine: cannot use “harbor diesel 6”; the catalogue has no such engine; "
        "nearest: “Harbour diesel 6”"
    )
    with pytest.raises(InputError, match=r"nearest: .*“Steam launch”"):
        catalogue.get("engine", "xyz")


def test_an_unknown_kind_is_named(catalogue: Catalogue) -> None:
    for ask in (
        lambda: catalogue.get("motor", "A"),
        lambda: catalogue.list("motor"),
        lambda: catalogue.history("motor", "A"),
        lambda: catalogue.remove("motor", "A"),
    ):
        with pytest.raises(InputError, match=r"^kind: cannot use “motor”; write one of engine, "):
            ask()


def test_removed_is_off_the_list_and_still_there(catalogue: Catalogue) -> None:
    catalogue.add(engine())
    catalogue.add(replace(engine(), rotation="cw"))
    catalogue.add(gearbox())
    assert catalogue.remove("engine", "HARBOUR diesel 6").revision == 2
    assert [unit.kind for unit in catalogue.list()] == ["gearbox"]
    assert [unit.kind for unit, _ in catalogue.units()] == ["gearbox"]
    with pytest.raises(InputError, match="it has been removed"):
        catalogue.get("engine", engine().name)
    with pytest.raises(InputError, match="it has been removed"):
        catalogue.remove("engine", engine().name)
    assert catalogue.get("engine", engine().name, 1) == engine()
    assert [unit.removed for unit in catalogue.history("engine", engine().name)] == [True, True]
    assert catalogue.add(engine()).revision == 3
    assert catalogue.get("engine", engine().name) == engine()
    assert [unit.removed for unit in catalogue.history("engine", engine().name)] == [
        True, True, False,
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["", "   ", "two\nlines", "x" * 201])
def test_a_unit_without_a_name_is_not_kept(name: str, catalogue: Catalogue) -> None:
    with pytest.raises(InputError, match=r"^gearbox\.name: "):
        catalogue.add(Gearbox(name=name))
    assert catalogue.list() == []


def test_many_at_once_each_get_a_revision_of_their_own(store: Store) -> None:
    told: list[BaseException] = []

    def add_five() -> None:
        try:
            for _ in range(5):
                Catalogue(store).add(engine())
        except (InputError, StoreError) as error:
            told.append(error)

    threads = [Thread(target=add_five) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert told == []
    history = Catalogue(store).history("engine", engine().name)
    assert [unit.revision for unit in history] == list(range(1, 16))
    assert all(Catalogue(store).get("engine", engine().name, n) == engine() for n in (1, 8, 15))


def test_a_unit_is_kept_whole_or_not_at_all(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    catalogue = Catalogue(store)
    catalogue.add(gearbox())
    before = counts(store)

    def broken(flat: Flat, *, unit_id: int) -> list[OfUnit]:
        rows = rows_of(flat, unit_id=unit_id)
        rows[-1].unit_id = 10**6  # belongs to no unit
        return rows

    monkeypatch.setattr("kb.store.catalogue.rows_of", broken)
    with pytest.raises(StoreError, match="nothing was written"):
        catalogue.add(engine())
    assert counts(store) == before
    monkeypatch.undo()
    assert catalogue.add(engine()).revision == 1


def counts(store: Store) -> dict[str, int]:
    """How many rows each table has."""
    with store.session() as session:
        return {
            table.name: session.scalar(select(func.count()).select_from(table)) or 0
            for table in Base.metadata.sorted_tables
        }


def test_a_moment_is_kept_as_the_moment_it_was(store: Store) -> None:
    # ISO 8601-1:2019: 14:30 at +02:00 is 12:30 UTC
    there = datetime(2026, 3, 2, 14, 30, tzinfo=timezone(timedelta(hours=2)))
    row = UnitRow(kind="engine", name="A", name_key="a", revision=1, made_on=there, made_by="")
    with store.writing() as session:
        session.add(row)
    (found,) = Catalogue(store).list()
    assert found.made_on == there
    assert (found.made_on.hour, found.made_on.tzinfo) == (12, UTC)


def test_a_moment_without_its_zone_is_refused(store: Store) -> None:
    naive = datetime(2026, 3, 2)
    row = UnitRow(kind="engine", name="A", name_key="a", revision=1, made_on=naive, made_by="")
    with pytest.raises(StoreError, match="only with its time zone"), store.writing() as session:
        session.add(row)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("UPDATE circles SET count = 7", None),
        ("DELETE FROM holes WHERE mark = '1'", "face.holes[2]"),
        ("DELETE FROM faces", "face.holes[1]"),
        ("DELETE FROM dimensions WHERE key = 'face.holes[2].y'", "face.holes[2].y"),
        ("DELETE FROM dimensions WHERE key = 'face.origin.x'", "face.origin"),
        ("UPDATE facts SET key = 'colour' WHERE key = 'notes'", "colour"),
        ("UPDATE facts SET text = 'sideways' WHERE key = 'balance'", "balance"),
        ("UPDATE facts SET number = 12.5 WHERE key = 'drive.ring.teeth'", "drive.ring.teeth"),
        ("UPDATE holes SET thread = 'coarse' WHERE mark = '1'", "face.holes[1].thread"),
    ],
)
def test_a_unit_that_was_meddled_with_is_never_shown_as_whole(
    change: str, says: str | None, kept: Store
) -> None:
    catalogue = Catalogue(kept)
    catalogue.add(engine())
    with kept.writing() as session:
        for table in Base.metadata.sorted_tables:
            for guard in ("keep", "stay"):
                session.connection().exec_driver_sql(f"DROP TRIGGER IF EXISTS {table.name}_{guard}")
        session.connection().exec_driver_sql(change)
    if says is None:  # a whole unit still, and the change is seen: the deed above does reach it
        assert catalogue.get("engine", engine().name) != engine()
        return
    with pytest.raises(StoreError) as told:
        catalogue.get("engine", engine().name)
    assert f"engine “{engine().name}” revision 1: {says}" in str(told.value)
    assert kept.place in str(told.value)


def test_every_kind_is_listed(catalogue: Catalogue) -> None:
    for unit in every_kind():
        catalogue.add(unit)
    kinds = [unit.kind for unit in catalogue.list()]
    assert kinds == ["clutch", "engine", "flexplate", "flywheel", "gearbox"]
