"""Kept jobs on the screen: the list, one job as it was agreed, what can be taken away."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from kb.model.record import Record
from tests.app.conftest import SHEET, Open, beside, press, written
from wizard.app import downloads
from wizard.desk import pairing
from wizard.desk.place import open_store


@pytest.fixture
def record(shop: Path) -> Record:
    with open_store(shop) as store:
        worked = pairing.read_text('title = "Dredger *No. 2*"\n' + SHEET, store=store)
        return pairing.keep(store, worked, by="B. Rook")


def test_nothing_kept_yet(screen: Open, shop: Path) -> None:
    assert "No job has been kept yet." in written(screen("jobs"))


def test_the_list_names_verdict_title_and_hand(screen: Open, record: Record) -> None:
    app = screen("jobs")
    said = written(app)
    for piece in ("goes with work", "Marl four to Tarn three-speed", "for the quote", "B. Rook"):
        assert piece in said
    label = app.get("page_link")[0].proto.label
    assert label.replace("\\", "") == "**1 A** · Dredger *No. 2*"
    app.text_input(key="job.words").set_value("dredger rook").run()
    assert "No job of those words." in written(app)


def test_one_job_stands_as_it_was_agreed(screen: Open, record: Record) -> None:
    app = screen("jobs", job="1")
    assert app.title[0].value.replace("\\", "") == "Job 1 A: Dredger *No. 2*"
    assert beside(app, "spacer length").startswith("24.00 mm")
    assert record.digest in written(app)
    assert "Turn the gearbox +5.00° from upright. Then: goes." in written(app)
    assert app.code[0].value == record.content["sheet"].strip()
    assert len(app.get("plotly_chart")) == 4  # both joints, the half section, what works
    names = {one.proto.label for one in app.get("download_button")}
    assert names == {"All papers", "Answer for another program", "The sheet"}


def test_work_goes_on_from_a_kept_job(screen: Open, record: Record) -> None:
    app = press(screen("jobs", job="1"), "Work on from it")
    assert app.title[0].value == "Pairing"
    assert "Working on from job 1 A" in written(app)
    assert "Goes with work" in written(app)


@pytest.mark.parametrize(("number", "says"), [("7", "from 1 to 1"), ("abc", "the number of a kept job"), ("9" * 30, "the number of a kept job")])  # fmt: skip
def test_a_number_that_is_no_job_is_refused(
    screen: Open, record: Record, number: str, says: str
) -> None:
    app = screen("jobs", job=number)
    assert number in written(app)
    assert says in written(app)


def test_the_papers_of_one_record_are_the_same_bytes_twice(record: Record) -> None:
    first = downloads.papers(record)
    assert first == downloads.papers(record)
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert archive.testzip() is None
        assert archive.namelist()
        assert not [
            name for name in archive.namelist() if name.startswith(("/", "..")) or "\\" in name
        ]


@pytest.mark.parametrize(
    "title", ["../../etc/passwd", 'a<b>:"c"|?*', "CON", "Ärger & Größe ⌀ 5", "", " . ", "x" * 300]
)
def test_every_title_gives_a_name_windows_can_hold(title: str) -> None:
    """Reserved characters: Microsoft, "Naming Files, Paths, and Namespaces" (from memory)."""
    name = downloads.named(title, ".zip")
    assert not set(name) & set('<>:"/\\|?*')
    assert name.removesuffix(".zip").strip(" .")
    assert len(name) < 100
