"""After a job is kept: signed states, as-built figures against limits by hand, files by their digest.

SHA-256 of “abc”: FIPS 180-4, the example of its appendix.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from kb.errors import InputError, StoreError
from kb.model.record import Record
from kb.store import files
from kb.store.place import Store, open_store
from kb.store.records import Records
from tests.journey.command import refused, trialfit
from wizard.desk import afterwards, pairing
from wizard.papers.inspection_sheet import inspection_workbook

SHEET = Path(__file__).parents[1] / "data" / "sheets" / "manual-metric.toml"
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "shop.sqlite") as store:
        yield store


@pytest.fixture
def job(shop: Store) -> Record:
    return pairing.keep(shop, pairing.read_job(SHEET), by="A. Fenn", on=date(2026, 3, 2))


def test_a_state_is_signed_and_stays_in_the_history(shop: Store, job: Record) -> None:
    afterwards.advance(shop, 1, "agreed", by="A. Fenn")
    afterwards.advance(shop, 1, "made", by="B. Orr")
    assert [(one.text, one.by) for one in afterwards.history(shop, 1)] == [("agreed", "A. Fenn"), ("made", "B. Orr")]  # fmt: skip
    with pytest.raises(InputError, match="signed"):
        afterwards.advance(shop, 1, "fitted", by=" ")
    with pytest.raises(InputError):
        afterwards.advance(shop, 1, "agreed", by="A. Fenn")
    again = Records(shop).get(1)
    assert (again.document, again.state) == (job.document, "made")


def test_what_is_built_is_held_against_its_limits(shop: Store, job: Record) -> None:
    points = afterwards.points(job)
    thick = next(one for one in points if one["what"] == "thickness")
    assert "Not measured yet" in afterwards.verdict(afterwards.standing(shop, 1))
    inside = f"{thick['high'] / 25.4:.5f} in"
    rows = afterwards.build(shop, 1, {thick["point"]: inside}, unit="mm", by="B. Orr")
    assert afterwards.verdict(rows) == f"Within the limits so far: 1 of {len(points)} points met; by B. Orr."  # fmt: skip
    rows = afterwards.build(shop, 1, {thick["point"]: f"{thick['high'] + 0.01:.3f}"}, unit="mm", by="B. Orr")  # fmt: skip
    assert afterwards.verdict(rows).startswith(
        "Not within the limits: 1 of 1 measured points missed"
    )
    everything = {one["point"]: "go" if one["low"] is None else f"{(one['low'] + one['high']) / 2:.4f}" for one in points}  # fmt: skip
    rows = afterwards.build(shop, 1, everything, unit="mm", by="B. Orr")
    assert afterwards.verdict(rows) == f"Within the limits: {len(points)} of {len(points)} points met; by B. Orr."  # fmt: skip


@pytest.mark.parametrize(("mark", "text"), [("P999", "3"), ("P1", "about 15"), ("P1", "")])
def test_a_reading_that_cannot_be_read_writes_nothing(shop: Store, job: Record, mark: str, text: str) -> None:  # fmt: skip
    with pytest.raises(InputError):
        afterwards.build(shop, 1, {"P2": "300", mark: text}, unit="mm")
    assert afterwards.history(shop, 1) == []


def test_the_filled_in_spreadsheet_comes_back(shop: Store, job: Record) -> None:
    book = load_workbook(io.BytesIO(inspection_workbook(job)))
    page = book.active
    assert page is not None
    page["L3"], page["N3"] = 15.02, "B. Orr"
    page["L4"], page["M4"] = "13 21/32", "in"
    out = io.BytesIO()
    book.save(out)
    found, by = afterwards.from_workbook(job, out.getvalue())
    assert found == {"P1": "15.02 mm", "P2": "13 21/32 in"}
    assert by == "B. Orr"
    rows = afterwards.build(shop, 1, found, unit="mm", by=by)
    assert rows[1].value == pytest.approx((13 + 21 / 32) * 25.4)


def test_a_spreadsheet_of_another_record_or_none_is_refused(shop: Store, job: Record) -> None:
    worked = pairing.read_job(SHEET)
    other = pairing.keep(shop, worked, by="A. Fenn", on=date(2026, 3, 3), title="another")
    with pytest.raises(InputError, match="one of this record"):
        afterwards.from_workbook(job, inspection_workbook(other))
    book = load_workbook(io.BytesIO(inspection_workbook(job)))
    page = book.active
    assert page is not None
    page["L2"] = "found"
    out = io.BytesIO()
    book.save(out)
    with pytest.raises(InputError, match="headings"):
        afterwards.from_workbook(job, out.getvalue())
    for written in (b"", b"PK\x03\x04 nothing", out.getvalue()[:400]):
        with pytest.raises(InputError, match="cannot be read as a spreadsheet"):
            afterwards.from_workbook(job, written)


def test_a_file_is_kept_under_what_it_holds_and_checked_when_read(shop: Store, job: Record, tmp_path: Path) -> None:  # fmt: skip
    assert afterwards.attach(shop, 1, "../../etc/dial.jpg", b"abc", by="B. Orr") == ABC
    assert afterwards.attach(shop, 1, "again.jpg", b"abc") == ABC
    assert afterwards.attached(shop, ABC) == b"abc"
    assert [one.text for one in afterwards.history(shop, 1)] == ["dial.jpg", "again.jpg"]
    kept = files.folder(shop) / ABC[:2] / ABC
    assert kept.is_relative_to(tmp_path)
    kept.write_bytes(b"abd")
    with pytest.raises(StoreError, match="digest differs"):
        afterwards.attached(shop, ABC)
    kept.unlink()
    with pytest.raises(StoreError, match="no longer there"):
        afterwards.attached(shop, ABC)
    for name in ("../../shop.sqlite", "", "z" * 64):
        with pytest.raises(InputError):
            afterwards.attached(shop, name)
    with pytest.raises(InputError):
        afterwards.attach(shop, 1, "empty", b"")


def test_two_issues_differ_by_what_was_changed(shop: Store, job: Record) -> None:
    text = SHEET.read_text(encoding="utf-8").replace("plate = 15", "plate = 20")
    assert text != SHEET.read_text(encoding="utf-8")
    second = pairing.keep(shop, pairing.read_text(text), by="A. Fenn", on=date(2026, 3, 4), issue_of=1)  # fmt: skip
    assert second.issue == "B"
    rows = afterwards.differences(job, second)
    plate = next(one for one in rows if one.what == "Plate thickness")
    assert plate.before.startswith("15")
    assert plate.after.startswith("20")
    assert afterwards.differences(job, job) == []


def test_a_job_is_done_again_in_one_step(shop: Store, job: Record) -> None:
    record, rows = afterwards.repeat(shop, 1, by="B. Orr", on=date(2026, 5, 5))
    assert (record.number, record.issue, record.made_by) == (2, "A", "B. Orr")
    assert rows == []
    assert record.answer == job.answer


@pytest.mark.parametrize(
    "how",
    [{}, {"hours": 1.0, "cost": 2.0}, {"hours": 0.0}, {"cost": -5.0}, {"hours": float("nan")}],
)
def test_hours_nobody_can_mean_are_refused(shop: Store, job: Record, how: dict[str, float]) -> None:
    with pytest.raises(InputError):
        afterwards.spent(shop, 1, on="milling", **how)
    with pytest.raises(InputError):
        afterwards.note(shop, 1, "  ")


def test_from_the_command_line(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    trialfit("pair", SHEET, "--keep", "--by", "A. Fenn", store=store)
    told = trialfit("jobs", "as-built", 1, "--reading", "P1=15.01", "--by", "B. Orr", "--json", store=store)  # fmt: skip
    found = json.loads(told.stdout)
    assert found["points"][0]["met"] is True
    assert found["says"].startswith("Within the limits so far: 1 of")
    trialfit("jobs", "note", 1, "dowels moved 0.1", "--change", "--by", "B. Orr", store=store)
    trialfit("jobs", "spent", 1, "milling", "--hours", 3.5, store=store)
    photo = tmp_path / "a.txt"
    photo.write_bytes(b"abc")
    assert ABC in trialfit("jobs", "attach", 1, photo, store=store).stdout
    trialfit("jobs", "advance", 1, "agreed", "--by", "A. Fenn", store=store)
    lines = trialfit("jobs", "history", 1, store=store).stdout
    for said in ("P1", "dowels moved 0.1", "3.5", "a.txt", "agreed"):
        assert said in lines
    assert "Nothing differs" in trialfit("jobs", "repeat", 1, store=store).stdout
    assert "Nothing differs" in trialfit("jobs", "differences", 1, "A", "A", store=store).stdout
    assert "signed" in refused(trialfit("jobs", "advance", 1, "made", store=store))
    assert "such as P1" in refused(trialfit("jobs", "as-built", 1, "--reading", "P1", store=store))


def test_an_earlier_job_is_found_for_its_own_sheet(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    assert "No kept job shares" in trialfit("find", "earlier-for", SHEET, store=store).stdout
    trialfit("pair", SHEET, "--keep", "--by", "A. Fenn", store=store)
    (found,) = json.loads(trialfit("find", "earlier-for", SHEET, "--json", store=store).stdout)
    assert found["how"] == "as it is"
    assert "Can be used as it is" in trialfit("find", "earlier-for", SHEET, store=store).stdout
