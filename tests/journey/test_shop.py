"""The shop's sheet on the command line, and what it changes in the jobs kept after it."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest

from tests.journey.command import trialfit
from wizard.desk import shop
from wizard.desk.place import open_store

SHEET = Path(__file__).parent.parent / "data" / "sheets" / "automatic-inch.toml"


def test_a_shop_is_shown_changed_and_kept_and_later_jobs_go_by_it(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    shown = trialfit("shop", "show", store=store)
    assert 'kind = "lathe"' in shown.stdout
    before = _quote(store, 1)
    own = tmp_path / "own.toml"
    own.write_text(shown.stdout.replace('currency = "EUR"', 'currency = "CAD"').replace('"lathe" = 70.0', '"lathe" = 140.0'), encoding="utf-8")  # fmt: skip
    assert "4 machines kept" in trialfit("shop", "keep", str(own), store=store).stdout
    after = _quote(store, 2)
    assert (before["currency"], after["currency"]) == ("EUR", "CAD")

    def lathe(quote: dict[str, object]) -> float:
        lines = quote["lines"]
        assert isinstance(lines, list)
        return sum(line["cost"][1] for line in lines if line["heading"].endswith(", lathe"))

    assert lathe(after) == pytest.approx(2 * lathe(before), abs=0.02)


def _quote(store: Path, number: int) -> dict[str, object]:
    trialfit("pair", str(SHEET), "--keep", store=store)
    record = json.loads(trialfit("jobs", "show", str(number), "--json", store=store).stdout)
    quote: dict[str, object] = record["making"]["quote"]
    return quote


def test_a_sheet_nobody_can_mean_keeps_nothing(tmp_path: Path) -> None:
    store, bad = tmp_path / "s.sqlite", tmp_path / "bad.toml"
    bad.write_text("[rates.hour]\nmil = 4\n", encoding="utf-8")
    done = trialfit("shop", "keep", str(bad), store=store)
    assert done.exit_code == 2
    assert "did you mean “mill”" in done.stderr
    with open_store(store) as opened:
        assert shop.current(opened).rates.hour["mill"] == 75


def test_what_was_spent_stands_beside_what_was_quoted(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    trialfit("pair", str(SHEET), "--keep", store=store)
    trialfit("jobs", "spent", "1", "Spacer ring, lathe", "--hours", "1.5", store=store)
    trialfit("jobs", "spent", "1", "coffee", "--cost", "4", store=store)
    rows = json.loads(trialfit("jobs", "outturn", "1", "--json", store=store).stdout)
    by = {row["heading"]: row for row in rows}
    assert by["spacer ring, lathe"]["spent_hours"] == 1.5
    assert by["coffee"]["spent_cost"] == 4
    assert by["in all"]["quoted_hours"] == pytest.approx(sum(row["quoted_hours"] for row in rows[:-1]))  # fmt: skip


def test_one_archive_holds_every_paper_and_the_same_bytes_again(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    trialfit("pair", str(SHEET), "--keep", store=store)
    one, two = tmp_path / "a.zip", tmp_path / "b.zip"
    for path in (one, two):
        trialfit("jobs", "papers", "1", "--out", str(path), store=store)
    assert one.read_bytes() == two.read_bytes()
    with zipfile.ZipFile(one) as archive:
        assert archive.testzip() is None
        listing = next(name for name in archive.namelist() if name.endswith("contents.txt"))
        text = archive.read(listing).decode("utf-8")
        assert all(name in text for name in archive.namelist() if name != listing)
