"""Screening gives the engine's own verdict and reason, pair by pair, and ranks by it."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from kb.errors import InputError
from kb.store.place import Store, open_store
from tests.journey.command import refused, trialfit
from wizard.desk import counterparts, demo, pairing, units
from wizard.desk.counterparts import EASE, Wanted


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with open_store(tmp_path_factory.mktemp("shop") / "s.sqlite") as store:
        demo.load(store)
        yield store


@pytest.fixture(scope="module")
def engine(shop: Store) -> str:
    return units.rows(shop, kind="engine")[-1].name


def test_every_row_is_the_engines_own_answer(shop: Store, engine: str) -> None:
    count, rows = counterparts.counterparts(shop, engine, kind="engine")
    found = list(rows)
    assert count == len(found) == len(units.rows(shop, kind="gearbox"))
    for one in found:
        answer = pairing.pair(shop, engine=engine, gearbox=one.name).answer
        assert one.verdict == answer["verdict"]
        assert one.reason in answer["verdict_lines"]
        assert one.plate == answer["axial"].get("plate")
        assert one.wall == (answer["lineup"].get("fixed") or {}).get("wall")


def test_the_easiest_stand_first(shop: Store, engine: str) -> None:
    _, rows = counterparts.counterparts(shop, engine, kind="engine")
    places = [EASE.index(one.verdict) for one in counterparts.ranked(list(rows))]
    assert places == sorted(places)


def test_what_is_not_wanted_is_not_worked_out(shop: Store, engine: str) -> None:
    boxes = units.rows(shop, kind="gearbox")
    shafts = {row.name for row in boxes if row.drive == "shaft"}
    count, rows = counterparts.counterparts(shop, engine, kind="engine", wanted=Wanted(drive="shaft"))  # fmt: skip
    assert {one.name for one in rows} == shafts
    assert count == len(shafts)
    strong = {row.name for row in boxes if row.torque_nmm is None or row.torque_nmm >= 4e5}
    _, rows = counterparts.counterparts(shop, engine, kind="engine", wanted=Wanted(torque_nmm=4e5))
    assert {one.name for one in rows} == strong
    short, _ = counterparts.counterparts(shop, engine, kind="engine", wanted=Wanted(tail=1.0))
    assert short < len(boxes)


def test_the_other_way_round(shop: Store) -> None:
    box = units.rows(shop, kind="gearbox")[0].name
    count, rows = counterparts.counterparts(shop, box, kind="gearbox")
    found = list(rows)
    assert count == len(units.rows(shop, kind="engine"))
    assert {one.kind for one in found} == {"engine"}


def test_a_unit_there_is_none_of_is_refused(shop: Store) -> None:
    with pytest.raises(InputError):
        counterparts.counterparts(shop, "Nobody's", kind="engine")
    with pytest.raises(InputError):
        counterparts.counterparts(shop, "x", kind="clutch")


def test_from_the_command_line(shop: Store, engine: str, tmp_path: Path) -> None:
    sheet = tmp_path / "c.csv"
    told = trialfit("find", "gearboxes-for", engine, "--csv", sheet, "--json", store=Path(shop.place))  # fmt: skip
    found = json.loads(told.stdout)
    rows = list(csv.DictReader(sheet.read_text(encoding="utf-8").splitlines()))
    assert {row["name"] for row in rows} == {one["name"] for one in found}
    assert "cannot be written" in refused(trialfit("find", "gearboxes-for", engine, "--csv", tmp_path, store=Path(shop.place)))  # fmt: skip
    plain = trialfit("find", "engines-for", found[0]["name"], store=Path(shop.place)).stdout
    assert engine in plain


def test_a_name_that_is_a_formula_stays_a_text_in_the_list() -> None:
    one = counterparts.Candidate(
        name="=cmd()", kind="engine", drive="", verdict="goes", reason="-x", windows="", wall=-1.5,
        plate=None, spacer=None, chance=None, fails=0, unknowns=0,
    )  # fmt: skip
    (row,) = csv.reader([counterparts.csv_row(one).strip()])
    assert row[0] == "'=cmd()"
    assert row[4] == "'-x"
    assert row[6] == "-1.5000"


def test_what_cannot_go_is_left_out_when_asked(shop: Store, engine: str) -> None:
    every = list(counterparts.counterparts(shop, engine, kind="engine")[1])
    left = list(
        counterparts.counterparts(shop, engine, kind="engine", wanted=Wanted(may_go=True))[1]
    )
    assert [one for one in every if one in left] == left
    assert {one.verdict for one in every if one not in left} <= {
        "does not go",
        counterparts.REFUSED,
    }
    assert len(left) < len(every)


def test_all_pairs_go_on_from_where_they_were_broken_off(shop: Store, tmp_path: Path) -> None:
    place = Path(shop.place)
    told = trialfit("find", "all-pairs", "--into", tmp_path / "all", store=place)
    rows = list(
        csv.DictReader((tmp_path / "all" / "pairs.csv").read_text(encoding="utf-8").splitlines())
    )
    assert f"{len(rows)} pairs are not out of the question" in told.stdout
    for engine in units.rows(shop, kind="engine"):
        _, found = counterparts.counterparts(shop, engine.name, kind="engine")
        left = {row["gearbox"] for row in rows if row["engine"] == engine.name}
        for one in found:  # what is left out does not go; what may go is there
            assert one.name in left or one.verdict in ("does not go", counterparts.REFUSED)
    again = trialfit("find", "all-pairs", "--into", tmp_path / "all", store=place)
    assert again.stdout == told.stdout
    (tmp_path / "all" / "about.json").write_text("{}", encoding="utf-8")
    assert "another catalogue" in refused(
        trialfit("find", "all-pairs", "--into", tmp_path / "all", store=place)
    )
