"""Matches on the screen: a unit, its counterparts, and a way to the pairing of each."""

from __future__ import annotations

from pathlib import Path

from tests.app.conftest import Open, press, written


def test_what_could_go_with_a_unit_is_listed_with_its_reason(screen: Open, shop: Path) -> None:
    app = screen("matches", kind="engine", unit="Marl four")
    press(app, "Look through the gearboxes")
    said = written(app)
    assert "Looked through: 1." in said
    assert any("Tarn three" in link.proto.label for link in app.get("page_link"))


def test_an_empty_catalogue_says_where_to_begin(screen: Open, place: Path) -> None:
    assert "no engine yet" in written(screen("matches"))
