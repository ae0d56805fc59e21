"""What is kept is what was given.

The unit read back is compared with the unit given; the rows are read by a second method, the
standard library's sqlite3, which knows nothing of the mappings. Lengths in the rows are held
against the inch, 25.4 mm exactly (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.errors import InputError
from kb.model.measured import Measured
from kb.model.unit import Engine, Face, Hole, Unit
from kb.quantity import Amount, Dimension, Thread
from kb.store.catalogue import Catalogue
from kb.store.convert import UNITS, kind_of
from kb.store.flat import flatten, restore
from kb.store.place import Store, open_store
from tests.store.drawn_units import nouns
from tests.store.made_units import engine, every_kind, one, seen

DRAWN = st.sampled_from(list(UNITS.values())).flatmap(nouns)


def same(given_unit: Unit, kept_unit: Unit) -> bool:
    """Equal, and every text as it was typed (equality leaves that out)."""
    return given_unit == kept_unit and repr(given_unit) == repr(kept_unit)


@pytest.mark.parametrize("unit", every_kind(), ids=kind_of)
def test_a_unit_comes_back_as_it_was_given(unit: Unit, store: Store) -> None:
    catalogue = Catalogue(store)
    ref = catalogue.add(unit, by="Ada")
    assert same(unit, catalogue.get(ref.kind, ref.name))


@given(DRAWN)
@settings(max_examples=60, deadline=None)
def test_any_unit_laid_flat_is_put_together_again(unit: Unit) -> None:
    assert same(unit, restore(type(unit), flatten(unit)))


@pytest.fixture(scope="module")
def memory() -> Iterator[Catalogue]:
    with open_store("sqlite://") as store:
        yield Catalogue(store)


@given(DRAWN)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_unit_comes_back_from_the_store(memory: Catalogue, unit: Unit) -> None:
    ref = memory.add(unit)
    assert same(unit, memory.get(ref.kind, ref.name, ref.revision))


def test_units_are_read_together_as_they_are_one_by_one(store: Store) -> None:
    catalogue = Catalogue(store)
    for unit in every_kind():
        catalogue.add(unit)
    together = catalogue.units()
    assert len(together) == 5
    for ref, unit in together:
        assert same(unit, catalogue.get(ref.kind, ref.name))
    assert [ref.kind for ref, _ in catalogue.units("clutch")] == ["clutch"]
    assert catalogue.units("engine", "no such") == []


def rows(path: Path, question: str) -> list[tuple[object, ...]]:
    """What the file holds, asked without the mappings."""
    connection = sqlite3.connect(path)
    found = connection.execute(question).fetchall()
    connection.close()
    return found


def test_the_rows_say_what_the_unit_says(path: Path) -> None:
    with open_store(path) as store:
        Catalogue(store).add(engine(), by="Ada")
    assert rows(
        path,
        "SELECT reading, value, below, above, limits, unit, typed, how, read_by, read_on, source "
        "FROM dimensions WHERE key = 'drive.standoff' ORDER BY reading",
    ) == [
        (1, pytest.approx(0.75 * 25.4), pytest.approx(0.005 * 25.4), pytest.approx(0.005 * 25.4), 0, "in",
         "0.750", "depth micrometer", "Ada", "2026-03-02", "measured"),
        (2, 19.1, None, None, 0, "mm", "19.1 mm", "caliper", "", None, "measured"),
    ]  # fmt: skip
    assert rows(
        path,
        "SELECT h.mark, h.thread, d.value FROM holes h JOIN dimensions d "
        "ON d.unit_id = h.unit_id AND d.key = h.key || '.x' AND d.reading = 1 ORDER BY h.key",
    ) == [("1", "3/8-16", pytest.approx(-5.2 * 25.4)), ("2", "3/8-16", pytest.approx(5.2 * 25.4))]
    assert rows(path, "SELECT key, count, start FROM circles") == [("drive.circle", 6, 15.0)]
    assert rows(path, "SELECT key, form FROM registers") == [("drive.register", "bore")]
    assert rows(path, "SELECT kind, text FROM facts WHERE key = 'drive.pilot'") == [
        ("part", "CrankBore")
    ]
    # 300 lbf·ft: 1 lbf·ft = 1.355 817 948 N·m (NIST SP 811, 2008 edition, appendix B.8)
    assert rows(path, "SELECT kind, number / 1000, text FROM facts WHERE key = 'peak_torque'") == [
        ("torque", pytest.approx(300 * 1.355817948), "300 lbf·ft")
    ]
    assert rows(
        path, "SELECT kind, rotation, drive, torque_nmm / 1000, max_speed_rpm FROM units"
    ) == [("engine", "ccw", "crank flange", pytest.approx(300 * 1.355817948), 4200.0)]
    assert rows(path, "PRAGMA integrity_check") == [("ok",)]
    assert rows(path, "PRAGMA foreign_key_check") == []


# ── what cannot be kept is said before anything is written ──────────────────

NAN, INFINITE = float("nan"), float("inf")
HOLE = {"id": "7", "x": seen("1"), "y": seen("2")}
CANNOT_BE_KEPT = {
    "a length that is none": ("face.opening", {"opening": Measured((Dimension(value=NAN),))}),
    "an endless length": ("face.opening", {"opening": Measured((Dimension(value=INFINITE),))}),
    "a length too large": ("face.opening", {"opening": Measured((Dimension(value=100_001),))}),
    "a ± that is none": (
        "face.step.within", {"step": Measured((Dimension(value=1, below=NAN, above=NAN),))}
    ),
    "a ± below nought": (
        "face.step.within", {"step": Measured((Dimension(value=1, below=-0.1, above=0.1),))}
    ),
    "half a ±": ("face.step.within", {"step": Measured((Dimension(value=1, below=0.1),))}),
    "a strange source": (
        "face.step.from", {"step": Measured((Dimension(value=1, source="hearsay"),))}
    ),
    "a day long gone": (
        "face.step.on", {"step": Measured((Dimension(value=1, on=date(226, 3, 2)),))}
    ),
    "no reading": ("face.step", {"step": Measured(())}),
    "a hole nowhere": ("face.holes[1].y", {"holes": (Hole(id="7", x=seen("1")),)}),
    "a thread that is another": (
        "face.holes[2].thread",
        {"holes": (
            Hole(**HOLE),
            Hole(**HOLE, thread=Thread(designation="M10", system="metric", major=12.0, pitch=None)),
        )},
    ),
    "text with a NUL": ("face.material", {"material": "iron\0"}),
    "half a character": ("face.step", {"step": Measured((one("1", by="\ud83d"),))}),
}  # fmt: skip


@pytest.mark.parametrize(("key", "face"), CANNOT_BE_KEPT.values(), ids=CANNOT_BE_KEPT.keys())
def test_what_cannot_be_kept_names_its_key(key: str, face: dict[str, object], kept: Store) -> None:
    with pytest.raises(InputError) as told:
        Catalogue(kept).add(Engine(name="Odd", face=Face(**face)))  # type: ignore[arg-type]
    assert str(told.value).startswith(f"{key}: ")
    assert "\n" not in str(told.value)
    assert Catalogue(kept).list() == []


@pytest.mark.parametrize(
    ("key", "unit"),
    [
        ("rotation", Engine(name="Odd", rotation="widdershins")),
        ("max_speed", Engine(name="Odd", max_speed=Amount(kind="speed", value=NAN))),
        ("max_speed", Engine(name="Odd", max_speed=Amount(kind="mass", value=3.0))),
        ("max_speed", Engine(name="Odd", max_speed=Amount(kind="speed", value=1e12))),
        ("peak_torque", Engine(name="Odd", peak_torque=Amount(kind="torque", value=-1.0))),
        ("kind", Hole(id="1", x=seen("1"), y=seen("2"))),
    ],
)
def test_a_strange_word_or_figure_is_refused(key: str, unit: Unit, kept: Store) -> None:
    with pytest.raises(InputError, match=f"^{key}: "):
        Catalogue(kept).add(unit)
    assert Catalogue(kept).list() == []
