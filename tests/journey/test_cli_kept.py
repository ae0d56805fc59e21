"""`trialfit units` and `trialfit jobs`: what is kept, shown again, and made into papers again.

Days and times in JSON: ISO 8601. The rest is the program's own promise (README.md).
"""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest

from kb.quantity import both
from kb.sheets.reading import read_units
from tests.journey.command import ROOT, SHEETS, trialfit
from tests.journey.sheets import GOES, WITH_WORK, written

EVERY_KEY = ROOT / "tests/kb/every_key.toml"
HELD = [
    ("clutch", "Sallow single"), ("engine", "Hollin 3"), ("flexplate", "Sallow plate"),
    ("flywheel", "Hollin 3 heavy"), ("gearbox", "Sallow 5"),
]  # fmt: skip


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A store with the units of a sheet that uses every key."""
    place = tmp_path / "store.sqlite"
    done = trialfit("units", "add", EVERY_KEY, "--by", "A. Fitter", store=place)
    assert done.exit_code == 0
    assert len(done.stdout.splitlines()) == len(HELD)
    return place


def as_json(*words: object, store: Path) -> Any:
    """What a command prints as JSON, and nothing else."""
    done = trialfit(*words, "--json", store=store)
    assert done.exit_code == 0
    assert done.stderr == ""
    return json.loads(done.stdout)


# ── units ───────────────────────────────────────────────────────────────────


def test_listed(place: Path) -> None:
    rows = as_json("units", "list", store=place)
    assert [(row["kind"], row["name"]) for row in rows] == HELD
    for row in rows:
        assert row["revision"] == 1
        assert row["made_by"] == "A. Fitter"
        assert datetime.fromisoformat(row["made_on"]).date() <= date.today()
    heads, *lines = trialfit("units", "list", store=place).stdout.splitlines()
    assert heads.split()[:3] == ["kind", "name", "revision"]
    assert [line.split()[0] for line in lines] == [kind for kind, _ in HELD]


def test_listed_by_kind_and_words(place: Path) -> None:
    by_kind = as_json("units", "list", "--kind", "flywheel", store=place)
    assert [row["name"] for row in by_kind] == ["Hollin 3 heavy"]
    by_words = as_json("units", "list", "--text", "HOLLIN", store=place)
    assert [row["name"] for row in by_words] == ["Hollin 3", "Hollin 3 heavy"]
    assert as_json("units", "list", "--kind", "engine", "--text", "sallow", store=place) == []
    none = trialfit("units", "list", "--text", "no such", store=place)
    assert none.exit_code == 0
    assert "no unit like that" in none.stdout


@pytest.mark.parametrize(("kind", "name"), HELD)
def test_the_sheet_of_a_unit_adds_the_same_unit(
    kind: str, name: str, place: Path, tmp_path: Path
) -> None:
    sheet = trialfit("units", "show", name.upper(), "--sheet", store=place).stdout
    (unit,) = read_units(sheet)
    original = {one.name: one for one in read_units(EVERY_KEY.read_text(encoding="utf-8"))}
    assert unit == original[name]
    done = trialfit("units", "add", written(tmp_path, sheet), store=place)
    assert done.stdout == f"Added {kind} “{name}”, revision 2.\n"


@pytest.mark.parametrize(("kind", "name"), HELD)
def test_a_unit_shown_with_every_reading(kind: str, name: str, place: Path) -> None:
    shown = trialfit("units", "show", name, store=place).stdout
    assert shown.splitlines()[0] == f"{kind} “{name}”"
    sheet = trialfit("units", "show", name, "--sheet", store=place).stdout
    for hand in ("A. Moss", "R. Quist", "A. Fitter"):
        assert (f'"{hand}"' in sheet) <= (hand in shown)


def test_a_reading_is_shown_with_its_hand_its_day_and_in_both_systems(tmp_path: Path) -> None:
    text = """
    units = "in"
    [engine]
    name = "Marl 3"
    [engine.drive]
    standoff = { value = "0.627", within = "0.001", how = "depth micrometer", by = "J. Bell", on = 2026-02-11 }
    """
    place = tmp_path / "store.sqlite"
    trialfit("units", "add", written(tmp_path, text), store=place)
    lines = trialfit("units", "show", "Marl 3", store=place).stdout.splitlines()
    (line,) = [line for line in lines if "J. Bell" in line]
    # 0.627 in · 25.4 mm/in = 15.9258 mm; ± 0.001 in
    for said in ("0.627 in ± .001", "15.926 mm", "depth micrometer", "2026-02-11"):
        assert said in line
    assert both(0.627 * 25.4, within=0.0254, first="in") in line


def test_an_earlier_revision_and_one_that_is_gone(place: Path, tmp_path: Path) -> None:
    newer = EVERY_KEY.read_text(encoding="utf-8").replace("Hollin 3 heavy", "Other")
    assert trialfit("units", "add", written(tmp_path, newer), store=place).exit_code == 0
    one, two = (
        trialfit("units", "show", "Hollin 3", "--sheet", "--revision", number, store=place).stdout
        for number in (1, 2)
    )
    assert one == two
    done = trialfit("units", "remove", "hollin 3", store=place)
    assert done.stdout.startswith("Removed engine “Hollin 3”")
    names = [row["name"] for row in as_json("units", "list", store=place)]
    assert "Hollin 3" not in names
    assert "Hollin 3 heavy" in names
    assert trialfit("units", "show", "Hollin 3", store=place).exit_code == 2
    again = trialfit("units", "show", "Hollin 3", "--sheet", "--revision", 1, store=place)
    assert again.stdout == one


def test_two_kinds_of_one_name(place: Path, tmp_path: Path) -> None:
    both_kinds = 'units = "mm"\n[engine]\nname = "Twin"\n[gearbox]\nname = "Twin"\n'
    assert trialfit("units", "add", written(tmp_path, both_kinds), store=place).exit_code == 0
    vague = trialfit("units", "show", "Twin", store=place)
    assert vague.exit_code == 2
    assert "add --kind engine or gearbox" in vague.stderr
    told = trialfit("units", "show", "Twin", "--kind", "gearbox", store=place)
    assert told.stdout.startswith("gearbox “Twin”")
    assert trialfit("units", "remove", "Twin", "--kind", "engine", store=place).exit_code == 0
    assert trialfit("units", "show", "Twin", store=place).stdout.startswith("gearbox “Twin”")


def test_a_misspelt_name_offers_the_nearest(place: Path) -> None:
    done = trialfit("units", "show", "Hollin 33", store=place)
    assert done.exit_code == 2
    assert "“Hollin 3”" in done.stderr


def test_nothing_kept_yet(tmp_path: Path) -> None:
    place = tmp_path / "store.sqlite"
    for word in ("units", "jobs"):
        assert as_json(word, "list", store=place) == []
        done = trialfit(word, "list", store=place)
        assert done.exit_code == 0
        assert "trialfit" in done.stdout  # says what to do next


# ── jobs ────────────────────────────────────────────────────────────────────


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """A store with two jobs, the second in two issues."""
    place = tmp_path / "jobs.sqlite"
    for words in ([GOES], [WITH_WORK], [WITH_WORK, "--issue-of", "2"]):
        assert trialfit("pair", *words, "--keep", "--by", "A. Fitter", store=place).exit_code == 0
    return place


def test_jobs_listed_newest_first(kept: Path) -> None:
    rows = as_json("jobs", "list", store=kept)
    assert [(row["number"], row["issue"]) for row in rows] == [(2, "B"), (1, "A")]
    assert [row["verdict"] for row in rows] == ["goes with work", "goes"]
    _, *lines = trialfit("jobs", "list", store=kept).stdout.splitlines()
    assert [line.split()[0] for line in lines] == ["2B", "1A"]
    assert [row["number"] for row in as_json("jobs", "list", "--text", "dredger", store=kept)] == [1]  # fmt: skip
    assert "like that" in trialfit("jobs", "list", "--text", "balloon", store=kept).stdout


def test_a_kept_job_is_the_answer_that_was_given(kept: Path) -> None:
    given = json.loads(trialfit("pair", GOES, "--json").stdout)
    content = as_json("jobs", "show", "1", store=kept)
    assert content["answer"] == given
    assert content["made_by"] == "A. Fitter"
    assert date.fromisoformat(content["made_on"]) <= date.today()
    shown = trialfit("jobs", "show", "1", store=kept).stdout
    first, rest = shown.split("\n", 1)
    assert first.startswith("Job 1A, estimate, ")
    assert rest == trialfit("pair", GOES).stdout.removesuffix("\n")


def test_an_earlier_issue(kept: Path) -> None:
    for issue, status in (("A", 0), ("b", 0), ("C", 2)):
        assert trialfit("jobs", "show", "2", "--issue", issue, store=kept).exit_code == status


# ── papers ──────────────────────────────────────────────────────────────────


def _bytes(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*")}


@pytest.mark.parametrize("name", sorted(path.name for path in SHEETS.glob("*.toml")))
def test_papers_made_again_are_the_same_bytes(name: str, tmp_path: Path) -> None:
    place, at_once, later = tmp_path / "s.sqlite", tmp_path / "a" / "b", tmp_path / "later"
    done = trialfit("pair", SHEETS / name, "--keep", "--out", at_once, store=place)
    assert done.exit_code == 0
    made = _bytes(at_once)
    assert f"{len(made)} papers in {at_once}." in done.stdout.splitlines()
    again = trialfit("jobs", "papers", "1", "--out", later, store=place)
    assert again.exit_code == 0
    assert sorted(again.stdout.splitlines()) == sorted(str(later / each) for each in made)
    assert _bytes(later) == made
    assert {Path(each).suffix for each in made} >= {".pdf", ".dxf", ".csv", ".xlsx", ".json"}


def test_papers_of_a_job_that_is_not_kept(tmp_path: Path) -> None:
    out, nowhere = tmp_path / "out", tmp_path / "s.sqlite"
    done = trialfit("pair", GOES, "--out", out, store=nowhere)
    assert done.exit_code == 0
    assert f"{len(_bytes(out))} papers in {out}." in done.stdout.splitlines()
    assert not nowhere.exists()
    with_json = trialfit("pair", GOES, "--out", out, "--json")
    assert json.loads(with_json.stdout)["verdict"] == "goes"
    assert with_json.stderr.strip() == f"{len(_bytes(out))} papers in {out}."
