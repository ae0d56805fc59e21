"""The next cut, against the chain by hand.

Converter job: gap = plate + seat depth − gap wanted − standoff − flexplate − ring (geometry of the trade,
as in the expected figures of the sheet): a plate thicker by 0.10 mm wants a ring longer by 0.10 mm.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from kb.errors import InputError
from kb.store.place import Store, open_store
from tests.journey.command import trialfit
from wizard.desk import afterwards, pairing
from wizard.desk.next_cut import PLATE, RING, next_cut

SHEET = Path(__file__).parents[1] / "data" / "sheets" / "automatic-inch.toml"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "s.sqlite") as store:
        pairing.keep(store, pairing.read_job(SHEET), by="A. Fenn", on=date(2026, 3, 2))
        yield store


def mark(store: Store, part: str) -> str:
    return next(str(one.point["point"]) for one in afterwards.standing(store, 1) if one.point["part"] == part and one.point["what"] == "thickness")  # fmt: skip


def test_before_anything_is_made_the_plate_comes_first(shop: Store) -> None:
    found = next_cut(shop, 1)
    assert found.part == PLATE
    assert found.target == pytest.approx(19.05)
    assert "cheaper cut" in found.says


def test_the_ring_follows_the_plate_as_measured(shop: Store) -> None:
    afterwards.build(shop, 1, {mark(shop, PLATE): "19.05 ± 0.0001 mm"}, unit="mm")
    first = next_cut(shop, 1)
    assert first.part == RING
    # by hand: the gap may be 0.125 to 0.1875 in about a ring of 21/32 in; ± of what is read narrows it alike
    assert first.target == pytest.approx(21 / 32 * 25.4, abs=0.02)
    afterwards.build(shop, 1, {mark(shop, PLATE): "19.15 ± 0.0001 mm"}, unit="mm")
    thicker = next_cut(shop, 1)
    assert thicker.target is not None
    assert first.target is not None
    assert thicker.target - first.target == pytest.approx(0.10, abs=1e-6)
    assert thicker.high is not None
    assert thicker.low is not None
    assert first.high is not None
    assert first.low is not None
    assert thicker.high - thicker.low == pytest.approx(first.high - first.low, abs=1e-6)


def test_the_plate_follows_a_ring_that_was_made_first(shop: Store) -> None:
    ring = 21 / 32 * 25.4 + 0.2
    afterwards.build(shop, 1, {mark(shop, RING): f"{ring:.4f} ± 0.0001 mm"}, unit="mm")
    found = next_cut(shop, 1)
    assert found.part == PLATE
    assert found.target == pytest.approx(19.05 + 0.2, abs=0.02)


def test_both_made_says_how_likely_they_do(shop: Store) -> None:
    afterwards.build(shop, 1, {mark(shop, PLATE): "19.05", mark(shop, RING): "16.67"}, unit="mm")
    found = next_cut(shop, 1)
    assert found.part == ""
    assert "chance" in found.says


def test_a_plate_that_nothing_goes_with_is_said(shop: Store) -> None:
    afterwards.build(shop, 1, {mark(shop, PLATE): "1 mm"}, unit="mm")
    found = next_cut(shop, 1)
    assert found.target is None
    assert "make that one again" in found.says


def test_a_job_without_a_chain_has_no_next_cut(tmp_path: Path) -> None:
    sheet = tmp_path / "j.toml"
    sheet.write_text('units = "mm"\n[engine]\nname = "a"\n[engine.face]\nholes = [{id="1",x=100,y=0,thread="M10"},{id="2",x=-100,y=0,thread="M10"},{id="3",x=0,y=90,thread="M10"}]\n[gearbox]\nname="b"\n[gearbox.face]\nholes = [{id="1",x=90,y=50,hole=11},{id="2",x=-90,y=50,hole=11},{id="3",x=0,y=-90,hole=11}]\n', encoding="utf-8")  # fmt: skip
    with open_store(tmp_path / "s.sqlite") as store:
        pairing.keep(store, pairing.read_job(sheet), by="A. Fenn", title="faces only")
        with pytest.raises(InputError, match="close one chain"):
            next_cut(store, 1)


def test_from_the_command_line(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    trialfit("pair", SHEET, "--keep", store=store)
    assert (
        json.loads(trialfit("jobs", "next-cut", 1, "--json", store=store).stdout)["part"] == PLATE
    )
    assert "plate comes first" in trialfit("jobs", "next-cut", 1, store=store).stdout
