"""The first screen: the job in a sentence, three ways in, the demo for an empty catalogue."""

from __future__ import annotations

from pathlib import Path

from tests.app.conftest import PAIR, Open, press, written
from wizard.desk import units
from wizard.desk.place import open_store


def test_an_empty_catalogue_offers_the_invented_one(screen: Open, place: Path) -> None:
    app = screen()
    assert "The catalogue is empty" in written(app)
    assert next(b for b in app.button if b.label == "Pair two units").disabled
    press(app, "Put the invented units in")
    with open_store(place) as store:
        kinds = {row.kind for row in units.rows(store)}
    assert kinds == {"engine", "gearbox", "flexplate", "flywheel", "clutch"}
    said = written(app)
    assert "all invented" in said
    assert "The catalogue is empty" not in said
    assert not next(b for b in app.button if b.label == "Pair two units").disabled


def test_three_ways_in_and_the_cautions(screen: Open, shop: Path) -> None:
    app = screen()
    assert [head.value for head in app.subheader] == [
        "A new pairing",
        "The catalogue",
        "An earlier job",
    ]
    assert "3 units kept" in written(app)
    assert "actual parts before metal is cut" in written(app)
    assert str(shop) in written(app)


def test_each_way_leads_to_its_screen(screen: Open, shop: Path) -> None:
    for label, title in (
        ("Pair two units", "Pairing"),
        ("Open the catalogue", "Catalogue"),
        ("All jobs", "Jobs"),
    ):
        assert [head.value for head in press(screen(), label).title] == [title]


def test_a_store_that_cannot_be_opened_is_said_in_one_line(screen: Open, place: Path) -> None:
    place.mkdir()
    app = screen()
    assert "this is a folder, not the file of a store" in written(app)
    assert not app.button


def test_what_is_half_done_is_offered_again(screen: Open, shop: Path) -> None:
    pairing = screen("pairing", **PAIR)
    press(pairing, "+1°")
    start = screen("start")
    assert "Half done" in written(start)
    links = [link.proto for link in start.get("page_link")]
    (half,) = [link for link in links if "last touched" in link.label]
    assert "draft=" in half.query_string
    assert "Marl+four" in half.query_string or "Marl%20four" in half.query_string
