"""A hundred thousand units: listed, found, misspelt and gone through, or told in one clear line."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from sqlalchemy import insert

from kb.errors import InputError
from kb.store.catalogue import Catalogue
from kb.store.place import Store, open_store
from kb.store.rows import UnitRow
from wizard.desk import counterparts, units

MANY = 100_000
ENGINE = 'units = "mm"\n[engine]\nname = "Marl"\nrotation = "ccw"\n'


@pytest.fixture(scope="module")
def crowded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with open_store(tmp_path_factory.mktemp("many") / "s.sqlite") as store:
        units.add_from_text(store, ENGINE)
        row = {
            "kind": "gearbox", "revision": 1, "removed": False, "made_on": datetime.now(UTC),
            "made_by": "", "rotation": "ccw", "drive": "shaft",
        }  # fmt: skip
        names = (f"Kåre box {number:06d}" for number in range(MANY))
        rows = [row | {"name": name, "name_key": name.lower().replace("å", "a")} for name in names]
        with store.writing() as session:
            session.execute(insert(UnitRow), rows)
        yield store


def test_all_are_listed_and_one_is_found(crowded: Store) -> None:
    rows = Catalogue(crowded).list()
    assert len(rows) == MANY + 1
    assert [row.name for row in rows if row.kind == "gearbox"][:2] == [
        "Kåre box 000000",
        "Kåre box 000001",
    ]
    assert len(units.rows(crowded, kind="gearbox", text="09999")) == 11
    assert units.show(crowded, "KARE  BOX 054321")[0].name == "Kåre box 054321"
    assert (
        units.add_from_text(crowded, 'units = "mm"\n[gearbox]\nname = "Kare box 000007"')[
            0
        ].revision
        == 2
    )
    assert Catalogue(crowded).kinds("kare box 000007") == ("gearbox",)


def test_a_misspelt_name_is_one_line(crowded: Store) -> None:
    with pytest.raises(InputError, match="nearest: “Kåre box 054321”") as caught:
        units.show(crowded, "Kare bx 054321")
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 300


def test_a_part_of_them_is_gone_through(crowded: Store) -> None:
    count, rows = counterparts.counterparts(
        crowded, "Marl", kind="engine", wanted=counterparts.Wanted(text="05432")
    )
    found = list(rows)
    assert count == len(found) == 11
    assert all(one.reason for one in found)
    assert not [one for one in found if one.verdict.startswith("goes")]  # nothing is known of them
