"""Two browsers on one unit: what both keep stays, as revisions one after the other."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.store.catalogue import Catalogue
from tests.journey.conftest import PATIENCE, Visit
from wizard.desk.place import open_store

pytestmark = pytest.mark.browser


def test_two_people_type_the_same_unit_and_neither_loses_a_figure(
    visit: Visit, store: Path, tmp_path: Path
) -> None:
    first = visit.page
    second = first.context.browser.new_page(viewport=first.viewport_size)
    second.set_default_timeout(PATIENCE)
    other = Visit(second, visit.address)
    for one, standoff in ((visit, "12.0"), (other, "12.3")):
        one.go("/entry")
        one.page.get_by_text("Give it a name to keep it").wait_for()
        one.settled()
        one.page.get_by_role("textbox", name="Name (engine)").fill("Tarn four")
        one.page.keyboard.press("Tab")
        one.page.get_by_text("Give it a name to keep it").wait_for(state="detached")
        one.settled()
        one.page.get_by_role("textbox", name="Driving face standing proud").fill(standoff)
        one.page.keyboard.press("Tab")
        one.settled()
    for one in (visit, other):
        one.page.get_by_role("button", name="Keep it in the catalogue").click()
        one.page.get_by_text("Kept: engine").wait_for()
    with open_store(store) as opened:
        catalogue = Catalogue(opened)
        assert [row.revision for row in catalogue.history("engine", "Tarn four")] == [1, 2]
        unit = catalogue.get("engine", "Tarn four")
        readings = {one.typed for one in unit.drive.standoff.readings}  # type: ignore[union-attr]
    assert readings == {
        "12.0",
        "12.3",
    }  # the later one keeps the earlier one's reading beside its own
    assert not visit.complaints
    assert not other.complaints
