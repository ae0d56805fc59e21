"""Another shop's archive: shown beside what is kept here, then taken in whole."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kb.errors import InputError
from kb.store import files
from kb.store.catalogue import Catalogue
from kb.store.place import open_store
from kb.store.records import Records
from tests.store.test_archive import files_of
from tests.store.test_archive import full as full  # the shop the archive comes from
from tests.store.test_archive import packed as packed
from wizard.desk import keeping, units
from wizard.desk.pairing import keep, pair


def test_another_shops_units_and_jobs_are_shown_then_taken(
    full: Path, packed: Path, tmp_path: Path
) -> None:
    place = tmp_path / "ours.sqlite"
    with open_store(full) as theirs, open_store(place) as ours:
        known = Catalogue(theirs).units("engine")
        Catalogue(ours).add(known[0][1])  # the same here
        altered = units.show(theirs, known[1][0].name)[1].replace('units = "', 'units = "', 1)
        units.add_from_text(ours, altered)
        units.add_reading(
            ours, known[1][0].name, "engine.drive.standoff", known[1][1].drive.standoff.first
        )  # type: ignore[union-attr]
        before = len(Catalogue(ours).list())
        shown = {(one.what, one.name): one for one in keeping.offered(ours, packed)}
        assert shown["engine", known[0][0].name].stands == "the same"
        two = shown["engine", known[1][0].name]
        assert (two.stands, "revision 3" in two.says, "drive.standoff" in two.says) == (
            "different",
            True,
            True,
        )
        assert sum(one.what == "job" for one in shown.values()) == 1
        assert len(Catalogue(ours).list()) == before  # only shown so far

        name = next(one.name for one in shown.values() if one.what == "gearbox")
        assert [one.name for one in keeping.take_in(ours, packed, only=[name], by="C. Ryle")] == [
            name
        ]
        with pytest.raises(InputError, match="write the name"):
            keeping.take_in(ours, packed, only=["nobody's"])
        keeping.take_in(ours, packed, by="C. Ryle")
        assert Records(ours).get(1).document == Records(theirs).get(1).document
        notes = [one.text for one in Records(ours).entries(1, kind="note")]
        assert notes[0].startswith("Taken from shop.zip, where it is job 1A, agreed")
        assert files.get(ours, Records(ours).entries(1, kind="file")[0].key)
        assert {one.stands for one in keeping.offered(ours, packed)} == {"the same"}
        assert keeping.take_in(ours, packed) == []  # a second time nothing comes twice


def test_issues_of_a_job_stay_one_job(full: Path, tmp_path: Path) -> None:
    """A first issue taken in today, a second one later: both are one job here, too."""
    place = tmp_path / "theirs.sqlite"
    shutil.copy(full, place)
    shutil.copytree(files_of(full), files_of(place))
    with open_store(place) as theirs, open_store(tmp_path / "ours.sqlite") as ours:
        engine_, box = (
            Catalogue(theirs).list("engine")[0].name,
            Catalogue(theirs).list("gearbox")[0].name,
        )
        keep(ours, pair(theirs, engine=engine_, gearbox=box), title="one of our own")
        keeping.back_up(theirs, tmp_path / "first.zip")
        keeping.take_in(ours, tmp_path / "first.zip")
        keep(theirs, pair(theirs, engine=engine_, gearbox=box, title="again"), issue_of=1)
        keeping.back_up(theirs, tmp_path / "second.zip")
        (new,) = [
            one for one in keeping.take_in(ours, tmp_path / "second.zip") if one.what == "job"
        ]
        assert new.name == "1B again"
        assert [(row.number, row.issue) for row in Records(ours).history(2)] == [(2, "A"), (2, "B")]
        for issue in "AB":
            assert Records(ours).get(2, issue).document == Records(theirs).get(1, issue).document
        kept = {
            (one.kind, one.key, one.text, one.by, one.on) for one in Records(ours).entries(2, "A")
        }
        assert {
            (one.kind, one.key, one.text, one.by, one.on)
            for one in Records(theirs).entries(1, "A")
            if one.kind != "state"
        } < kept
