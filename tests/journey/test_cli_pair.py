"""`trialfit pair`: statuses, the answer alone as JSON, the answer for people, kept records.

What each status means is the program's own promise (README.md, "Commands"). JSON: RFC 8259.
"""

from __future__ import annotations

import itertools
import json
import math
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from kb.store.place import open_store
from kb.store.records import Records
from tests.journey.command import (
    INSTALLED,
    ROOT,
    SHEETS,
    installed,
    refused,
    surroundings,
    trialfit,
)
from tests.journey.sheets import GOES, WITH_WORK, does_not_go, edited, measure_first, written
from wizard.desk import pairing


def strictly(text: str) -> Any:
    """JSON as RFC 8259 has it: no NaN, no Infinity."""

    def refuse(name: str) -> None:
        raise AssertionError(f"{name} is no JSON")

    return json.loads(text, parse_constant=refuse)


# ── statuses ────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("text", "verdict", "status"),
    [
        (GOES.read_text(encoding="utf-8"), "goes", 0),
        (WITH_WORK.read_text(encoding="utf-8"), "goes with work", 0),
        (measure_first(), "measure first", 3),
        (does_not_go(), "does not go", 4),
    ],
    ids=["goes", "goes with work", "measure first", "does not go"],
)
def test_status_says_the_verdict(text: str, verdict: str, status: int, tmp_path: Path) -> None:
    sheet = written(tmp_path, text)
    told = trialfit("pair", sheet, "--json")
    assert strictly(told.stdout)["verdict"] == verdict
    assert told.exit_code == status
    shown = trialfit("pair", sheet)
    assert shown.exit_code == status
    title, word, *_ = shown.stdout.splitlines()
    assert title == strictly(told.stdout)["title"]
    assert word.lower().startswith(verdict)


def test_the_installed_program_ends_with_the_status(tmp_path: Path) -> None:
    done = installed("pair", written(tmp_path, does_not_go()))
    assert done.returncode == 4
    assert done.stderr == b""


def test_no_sheet_named() -> None:
    done = trialfit("pair")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "trialfit demo" in done.stderr


def test_the_sheet_shown_when_none_is_named_can_be_used(tmp_path: Path) -> None:
    lines = trialfit("pair").stderr.splitlines()
    sheet = written(tmp_path, "\n".join(line[2:] for line in lines if line.startswith("  ")))
    done = trialfit("pair", sheet, "--json")
    # 19.05 + 28.58 - 6.35 - 8.00 - 4.00: the chain of README.md, by hand
    assert strictly(done.stdout)["axial"]["spacer"] == pytest.approx(29.28, abs=1e-6)


# ── the answer alone ────────────────────────────────────────────────────────


@pytest.mark.parametrize("name", sorted(path.name for path in SHEETS.glob("*.toml")))
def test_json_is_the_answer_and_nothing_else(name: str) -> None:
    done = trialfit("pair", SHEETS / name, "--json")
    assert done.stderr == ""
    document = strictly(done.stdout)
    # lists where the answer has tuples, and nothing else apart
    assert document == strictly(json.dumps(dict(pairing.read_job(SHEETS / name).answer)))
    assert document["format"] == 1
    assert document["units"] == "mm, deg"


def test_the_same_sheet_gives_the_same_bytes() -> None:
    once, again = (installed("pair", GOES, "--json").stdout for _ in range(2))
    assert once == again
    assert once


def test_json_is_utf8_whatever_the_terminal_is(tmp_path: Path) -> None:
    title = "Fähre „Möwe“ ⌀ 48 Ω 船"
    sheet = written(tmp_path, edited(GOES.name, ("Canal dredger: Brindlow vee to Oskett four-speed", title)))  # fmt: skip
    plain = {"LC_ALL": "C", "LANG": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    for around in (plain, plain | {"PYTHONIOENCODING": "ascii"}, plain | {"PYTHONIOENCODING": "cp1252"}):  # fmt: skip
        done = installed("pair", sheet, "--json", around=around)
        assert done.stderr == b""
        assert strictly(done.stdout.decode("utf-8"))["title"] == title
        assert title in installed("pair", sheet, around=around).stdout.decode("utf-8")


def test_a_reader_that_goes_away_is_no_trouble() -> None:
    running = subprocess.Popen(
        [*INSTALLED, "pair", str(GOES), "--json"], cwd=ROOT, env=surroundings(),
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert running.stdout is not None
    assert running.stderr is not None
    running.stdout.close()
    complaint = running.stderr.read()
    running.stderr.close()
    assert running.wait(60) != 0
    assert complaint == b""


# ── the answer for people ───────────────────────────────────────────────────


def test_the_verdict_comes_first_and_is_short() -> None:
    for sheet in SHEETS.glob("*.toml"):
        shown = trialfit("pair", sheet).stdout.splitlines()
        verdict = shown[: shown.index("")]
        assert 2 <= len(verdict) <= 8  # a title, then at most seven lines


def test_checks_stand_worst_first() -> None:
    order = {"fail": 0, "unknown": 1, "warn": 2, "pass": 3}
    lines = trialfit("pair", WITH_WORK, "--verbose").stdout.splitlines()
    found = [order[line.split()[0]] for line in lines if line.strip() and line.split()[0] in order]
    assert found == sorted(found)
    assert {0, 1, 3} <= set(found)


def test_verbose_lists_every_check_and_all_that_was_assumed() -> None:
    answer = strictly(trialfit("pair", WITH_WORK, "--json").stdout)
    every = trialfit("pair", WITH_WORK, "--verbose").stdout
    short = trialfit("pair", WITH_WORK).stdout
    marks = [
        line.split()[0] for line in every.splitlines() if line.startswith("  ") and line.split()
    ]
    for status in ("fail", "unknown", "warn", "pass"):
        wanted = sum(check["status"] == status for check in answer["checks"])
        assert marks.count(status) == wanted
    keys = [f"    {row['key']} = " for row in answer["assumed"]]
    assert keys
    assert all(key in every for key in keys)
    assert not any(key in short for key in keys)
    assert f"{len(answer['assumed'])} things were assumed" in short


def test_parts_and_ways_out_are_shown() -> None:
    answer = strictly(trialfit("pair", WITH_WORK, "--json").stdout)
    shown = " ".join(trialfit("pair", WITH_WORK).stdout.split())
    assert {part["name"] for part in answer["parts"]} >= {"adapter plate", "spacer ring"}
    for part in answer["parts"]:
        assert f"{part['name']}, {part['material']}" in shown
    assert answer["remedies"]
    for one in answer["remedies"]:
        assert " ".join(one["says"].split()) in shown


def test_lines_are_no_wider_than_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "72")
    lines = trialfit("pair", WITH_WORK, "--verbose").stdout.splitlines()
    verdict = lines.index("")
    assert max(len(line) for line in lines[verdict:]) <= 72
    assert not any(re.search(r"\d$", line) and re.match(r" *(mm|in)\b", below)
                   for line, below in itertools.pairwise(lines))  # fmt: skip


# ── what it needs, and what it keeps ────────────────────────────────────────


def test_a_sheet_that_carries_everything_needs_no_store(tmp_path: Path) -> None:
    nowhere = tmp_path / "not made" / "store.sqlite"
    assert trialfit("pair", GOES, store=nowhere).exit_code == 0
    assert not nowhere.parent.exists()


def test_a_plain_answer_loads_neither_store_nor_papers() -> None:
    """So that an answer on the command line is there at once."""
    script = (
        "import sys; from wizard.cli.main import main\n"
        "try: main()\n"
        "finally: print(*sorted({name.partition('.')[0] for name in sys.modules}), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, "pair", str(GOES), "--json"], cwd=ROOT, env=surroundings(),
        stdin=subprocess.DEVNULL, capture_output=True, check=False, timeout=60,
    )  # fmt: skip
    loaded = set(done.stderr.decode("utf-8").split())
    assert {"wizard", "numpy"} <= loaded
    slow = {"sqlalchemy", "alembic", "scipy", "pandas", "ezdxf", "reportlab", "openpyxl", "plotly"}
    assert not loaded & slow


HALVES = {
    "lineup.fixed": """
        [engine.face]
        circle = { count = 12, diameter = "16.875 in", start = 15, thread = "3/8-16" }
        [gearbox.face]
        circle = { count = 12, diameter = "18.375 in", start = 15, hole = "13/32 in" }
    """,
    "lineup.rotating": """
        [engine.drive]
        circle = { count = 6, diameter = 80, thread = "M10" }
        register = { form = "spigot", diameter = 48, depth = 8 }
        [gearbox.converter]
        circle = { count = 4, diameter = 250, hole = 10.5 }
        [choices]
        spacer = 40
    """,
    "axial": """
        [engine.drive]
        standoff = "6.35 ± 0.05"
        [gearbox.converter]
        seat_depth = "28.58"
        gap = [3.2, 4.8]
        [flexplate]
        offset = 8
        [choices]
        plate = 12
    """,
}


@pytest.mark.parametrize("half", HALVES)
def test_half_a_job_is_answered_and_the_rest_is_named(half: str, tmp_path: Path) -> None:
    sheet = written(tmp_path, 'units = "mm"\n' + HALVES[half])
    done = trialfit("pair", sheet, "--json")
    answer = strictly(done.stdout)
    assert half not in answer["not_asked"]
    assert set(answer["not_asked"]) >= set(HALVES) - {half, "axial"}
    assert ("fixed" in answer["lineup"]) == (half == "lineup.fixed")
    assert ("rotating" in answer["lineup"]) == (half == "lineup.rotating")
    if half == "axial":  # 12 + 28.58 - 6.35 - 8 - 4, the middle of the wanted gap, by hand
        assert answer["axial"]["spacer"] == pytest.approx(22.23, abs=1e-6)
    shown = trialfit("pair", sheet, "--out", tmp_path / "papers")
    assert shown.exit_code == done.exit_code
    assert "Not asked: " in shown.stdout
    assert list((tmp_path / "papers").glob("*starting-specification.pdf"))


def test_kept_as_a_record(tmp_path: Path) -> None:
    place = tmp_path / "store.sqlite"
    done = trialfit("pair", GOES, "--json", "--keep", "--by", "A. Fitter", store=place)
    assert done.exit_code == 0
    assert done.stderr.strip() == "Kept as job 1, issue A."
    with open_store(place) as store:
        record = Records(store).get(1)
    assert record.answer == strictly(done.stdout)
    assert record.made_by == "A. Fitter"
    assert record.title == record.answer["title"]
    assert pairing.read_text(record.content["sheet"]).answer["axial"] == pairing.read_job(GOES).answer["axial"]  # fmt: skip


def test_the_next_issue_of_a_kept_job(tmp_path: Path) -> None:
    place = tmp_path / "store.sqlite"
    for words, said in (
        ([], "job 1, issue A"), (["--issue-of", "1"], "job 1, issue B"), ([], "job 2, issue A"),
    ):  # fmt: skip
        done = trialfit("pair", GOES, "--keep", *words, store=place)
        assert f"Kept as {said}." in done.stdout.splitlines()


def test_units_of_the_catalogue_are_named_in_the_record(tmp_path: Path) -> None:
    place = tmp_path / "store.sqlite"
    text = GOES.read_text(encoding="utf-8")
    start, end = text.index("[engine]"), text.index("[gearbox]")
    engine = written(tmp_path, 'units = "in"\n' + text[start:end], "engine.toml")
    for revision in (1, 2):
        done = trialfit("units", "add", engine, store=place)
        assert done.stdout.endswith(f"revision {revision}.\n")
    sheet = written(tmp_path, text[:start] + 'engine = "catalogue:brindlow v6"\n' + text[end:])
    done = trialfit("pair", sheet, "--json", "--keep", store=place)
    assert done.exit_code == 0
    with open_store(place) as store:
        content = Records(store).get(1).content
    assert content["units"] == [{"kind": "engine", "name": "Brindlow V6", "revision": 2}]
    carried = strictly(trialfit("pair", GOES, "--json").stdout)
    assert strictly(done.stdout)["lineup"] == carried["lineup"]
    assert strictly(done.stdout)["axial"] == carried["axial"]


def test_the_plate_takes_an_outline_drawn_elsewhere(tmp_path: Path) -> None:
    """A round blank of 420 in place of the hull: its area is a circle's, less bore and holes."""
    import ezdxf

    drawing = ezdxf.new("R2010", units=4)  # type: ignore[attr-defined]
    drawing.modelspace().add_circle((0, 0), 210)
    file = tmp_path / "round.dxf"
    drawing.saveas(file)
    sheet = SHEETS / "automatic-inch.toml"
    done = trialfit("pair", sheet, "--outline", file, "--json")
    answer = json.loads(done.stdout)
    plate = next(part for part in answer["parts"] if part["name"] == "adapter plate")
    assert plate["size"]["length"] == pytest.approx(420)
    assert plate["size"]["height"] == pytest.approx(420)
    metal = math.pi / 4 * (420**2 - plate["size"]["bore"] ** 2)
    for hole in plate["holes"]:
        metal -= math.pi / 4 * hole["diameter"] ** 2
    seats = sum(
        math.pi / 4 * (hole["counterbore"]["diameter"] ** 2 - hole["diameter"] ** 2) * hole["counterbore"]["depth"]
        for hole in plate["holes"] if hole["counterbore"]
    )  # fmt: skip
    volume = metal * plate["size"]["thickness"] - seats
    assert plate["mass_kg"] == pytest.approx(volume * 2700e-9, rel=2e-3)
    assert "no such file" in refused(trialfit("pair", sheet, "--outline", tmp_path / "none.dxf"))
