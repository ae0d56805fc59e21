"""`trialfit demo` from nothing: an empty home, the installed program, everything it promises.

What it promises is README.md's; where a user's data belong on each system is platformdirs'
documentation (XDG Base Directory Specification 0.8 on Linux).
"""

from __future__ import annotations

import json
import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from kb.model.record import digest
from kb.store.place import open_store
from kb.store.records import Records
from tests.journey.command import installed, trialfit
from tests.journey.sheets import written
from wizard.desk import demo
from wizard.desk.place import demo_place


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """An empty home, and beside it an empty folder to work in."""
    (tmp_path / "home").mkdir()
    (tmp_path / "work").mkdir()
    return tmp_path / "home"


def around(home: Path) -> dict[str, str]:
    """The surroundings of somebody whose home that is."""
    data = {name: str(home / "data") for name in ("XDG_DATA_HOME", "LOCALAPPDATA", "APPDATA")}
    return {"HOME": str(home), "USERPROFILE": str(home)} | data


def test_from_nothing_to_papers(home: Path) -> None:
    work = home.parent / "work"
    done = installed("demo", around=around(home), folder=work)
    assert done.stderr == b""
    assert done.returncode == 0
    shown = done.stdout.decode("utf-8").splitlines()
    _the_verdict_is_short(shown)
    _the_papers_are_there(shown, work / "trialfit-demo")
    _the_other_jobs_are_listed(shown)
    places = list(home.rglob("*.sqlite"))
    assert [place.name for place in places] == ["demo.sqlite"]  # the shop's own store is untouched
    _the_record_is_kept(places[0], shown)


def _the_verdict_is_short(shown: list[str]) -> None:
    opening, blank, title, *rest = shown
    assert "invented" in opening
    assert blank == ""
    assert title
    verdict = rest[: rest.index("")]
    assert 1 <= len(verdict) <= 7
    assert re.match(r"Goes( with work)?, judged for the quote\.$", verdict[0])


def _the_papers_are_there(shown: list[str], folder: Path) -> None:
    (at,) = [number for number, line in enumerate(shown) if line.endswith(f" papers in {folder}:")]
    written_down = sorted(path.name for path in folder.iterdir())
    count = int(shown[at].split()[0])
    assert count == len(written_down) >= 5
    assert sorted(line.strip() for line in shown[at + 1 : at + 1 + count]) == written_down
    for path in folder.glob("*.pdf"):
        assert path.read_bytes().startswith(b"%PDF-")  # ISO 32000-1, 7.5.2
    (answer,) = folder.glob("*answer.json")
    assert json.loads(answer.read_text(encoding="utf-8"))["format"] == 1


def _the_other_jobs_are_listed(shown: list[str]) -> None:
    main, *others = demo.jobs()
    assert len(others) >= 2
    for name in others:
        (line,) = [line for line in shown if line.startswith(f"{name} ")]
        assert re.search(r"  (goes|goes with work|measure first|does not go)  ", line)
    assert not any(line.startswith(f"{main} ") for line in shown)


def _the_record_is_kept(place: Path, shown: list[str]) -> None:
    assert "Kept as job 1, issue A." in shown
    assert shown[-1].endswith("app")
    assert str(place) in shown[-1]
    with open_store(place) as store:
        record = Records(store).get(1)
        assert len(Records(store).list()) == 1
    assert record.title == shown[2]
    assert record.content["units"]


def test_once_more_changes_nothing(tmp_path: Path) -> None:
    place, out = tmp_path / "s.sqlite", tmp_path / "out"
    once, again = (trialfit("demo", "--out", out, store=place) for _ in range(2))
    assert once.exit_code == again.exit_code == 0
    assert once.stdout == again.stdout
    rows = json.loads(trialfit("units", "list", "--json", store=place).stdout)
    assert rows
    assert {row["revision"] for row in rows} == {1}
    assert len(json.loads(trialfit("jobs", "list", "--json", store=place).stdout)) == 1


def test_a_job_that_changed_since_is_its_next_issue(tmp_path: Path) -> None:
    place, out = tmp_path / "s.sqlite", tmp_path / "out"
    assert trialfit("demo", "--out", out, store=place).exit_code == 0
    with closing(sqlite3.connect(place)) as other, other:  # as if kept by an earlier program
        for (name,) in other.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():  # fmt: skip
            other.execute(f"DROP TRIGGER {name}")
        other.execute("UPDATE records SET document = '{}', digest = ?", [digest("{}")])
    assert "Kept as job 1, issue B." in trialfit("demo", "--out", out, store=place).stdout


@pytest.mark.parametrize("name", list(demo.jobs()))
def test_each_job_can_be_shown(name: str, tmp_path: Path) -> None:
    place, out = tmp_path / "s.sqlite", tmp_path / "out"
    done = trialfit("demo", "--job", name, "--out", out, store=place)
    assert done.exit_code == 0
    (row,) = json.loads(trialfit("jobs", "list", "--json", store=place).stdout)
    assert row["title"] in done.stdout
    assert list(out.iterdir())


def test_nothing_invented_gets_into_the_shop_s_store(tmp_path: Path) -> None:
    """A store stated by TRIALFIT_STORE is the shop's own; the demo goes beside it."""
    own, out = tmp_path / "shop.sqlite", tmp_path / "out"
    unit = written(tmp_path, 'units = "mm"\n[engine]\nname = "Ours"\n')
    stated = {"TRIALFIT_STORE": str(own)}
    assert installed("units", "add", unit, around=stated).returncode == 0
    done = installed("demo", "--out", out, around=stated)
    assert done.returncode == 0
    assert str(tmp_path / "demo.sqlite") in done.stdout.decode("utf-8")
    listed = json.loads(installed("units", "list", "--json", around=stated).stdout)
    assert [row["name"] for row in listed] == ["Ours"]
    assert json.loads(installed("jobs", "list", "--json", around=stated).stdout) == []


def test_a_store_named_on_the_line_is_taken(tmp_path: Path) -> None:
    done = installed("--store", tmp_path / "here.sqlite", "demo", "--out", tmp_path / "out")
    assert done.returncode == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["here.sqlite", "out"]


def test_where_the_demo_is_kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for own, beside in (
        (str(tmp_path / "shop.sqlite"), tmp_path / "demo.sqlite"),
        (f"sqlite:///{(tmp_path / 'shop.sqlite').as_posix()}", tmp_path / "demo.sqlite"),
        (str(tmp_path / "demo.sqlite"), tmp_path / "trialfit-demo.sqlite"),
    ):
        monkeypatch.setenv("TRIALFIT_STORE", own)
        assert demo_place() == beside
    monkeypatch.setenv("TRIALFIT_STORE", "postgresql://ada@server/shop")
    assert demo_place().name == "demo.sqlite"
    assert demo_place().is_absolute()
