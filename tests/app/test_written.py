"""A kept job on the screen: moved on with a signature, measured against its limits, written to."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.conftest import PAIR, Open, press, written
from wizard.desk import afterwards, pairing
from wizard.desk.place import open_store


@pytest.fixture
def job(shop: Path) -> Path:
    with open_store(shop) as store:
        pairing.keep(store, pairing.pair(store, **PAIR), by="A. Fenn")
    return shop


def test_a_job_is_moved_on_by_a_signature(screen: Open, job: Path) -> None:
    app = screen("jobs", job="1")
    press(app, "Move it on")
    assert "signed" in written(app)
    app.text_input[0].set_value("A. Fenn")
    press(app, "Move it on")
    assert "agreed" in written(app)
    with open_store(job) as store:
        assert [one.by for one in afterwards.history(store, 1)] == ["A. Fenn"]


def test_a_reading_is_written_and_held_against_its_limits(screen: Open, job: Path) -> None:
    app = screen("jobs", job="1")
    assert "Not measured yet" in written(app)
    thick = next(one for one in app.text_input if one.key == "built.1.P1")
    thick.set_value("200")
    next(one for one in app.text_input if one.label == "Measured by").set_value("B. Orr")
    press(app, "Write it down")
    assert "Not within the limits: 1 of 1" in written(app)
    with open_store(job) as store:
        (entry,) = afterwards.history(store, 1)
    assert (entry.key, entry.text, entry.by) == ("P1", "200 mm", "B. Orr")


def test_a_reading_that_cannot_be_read_is_said(screen: Open, job: Path) -> None:
    app = screen("jobs", job="1")
    next(one for one in app.text_input if one.key == "built.1.P1").set_value("about 20")
    press(app, "Write it down")
    assert "about 20" in written(app)
    with open_store(job) as store:
        assert afterwards.history(store, 1) == []


def test_a_job_is_done_again(screen: Open, job: Path) -> None:
    app = screen("jobs", job="1")
    press(app, "Do this job again")
    assert "Kept as job 2; nothing came out differently." in written(app)
