"""Start, Catalogue and Pairing are there from the first minute; the rest when there is something in it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.conftest import PAIR, Open
from wizard.desk import pairing
from wizard.desk.holdings import Holdings, holdings
from wizard.desk.place import open_store


def test_an_empty_store_holds_nothing(place: Path) -> None:
    assert holdings() == Holdings(units=False, jobs=False)


def test_units_and_jobs_are_seen(shop: Path) -> None:
    assert holdings() == Holdings(units=True, jobs=False)
    with open_store(shop) as store:
        pairing.keep(store, pairing.pair(store, **PAIR), by="A. Fenn")
    assert holdings() == Holdings(units=True, jobs=True)


def test_a_store_that_cannot_be_opened_holds_nothing_and_the_screen_says_why(
    place: Path, screen: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    place.write_bytes(b"this is no store at all, only some text that stands here" * 40)
    assert holdings() == Holdings(units=False, jobs=False)


def test_a_screen_with_nothing_in_it_is_still_reached_by_its_address(
    screen: Open, place: Path
) -> None:
    assert not screen("jobs").exception
