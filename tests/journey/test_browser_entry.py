"""A unit typed in, a face brought in from a list and from a scan, in a real Chromium."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.model.unit import Engine
from tests.exchange.drawn_scans import HOLES, View, draw
from tests.journey.conftest import Visit
from wizard.desk import units
from wizard.desk.place import open_store

pytestmark = pytest.mark.browser


def test_a_unit_is_typed_in_survives_a_reload_and_is_kept(
    visit: Visit, store: Path, tmp_path: Path
) -> None:
    from playwright.sync_api import expect

    page = visit.page
    visit.go("/catalogue")
    page.get_by_role("button", name="Enter a unit from your notebook").click()
    page.get_by_text("Give it a name to keep it").wait_for()
    visit.settled()
    page.get_by_role("textbox", name="Name (engine)").fill("Tarn four")
    page.keyboard.press("Tab")
    page.get_by_text("Give it a name to keep it").wait_for(state="detached")
    visit.settled()
    standoff = page.get_by_role("textbox", name="Driving face standing proud")
    standoff.fill("3/4 ± .005 in")
    page.keyboard.press("Tab")
    visit.settled()
    holes = page.get_by_role("textbox", name="Bolt holes (engine face), one to a line")
    holes.fill("1, -5 1/4, 6.125, 3/8-16\n2, 5.25, 6 1/8, 3/8-16\n3, 0, -7, 3/8-16")
    page.keyboard.press("Control+Enter")
    page.get_by_text("Looking straight at it from behind the engine").wait_for()
    visit.settled()
    page.screenshot(path=tmp_path / "entry.png", full_page=True)
    assert visit.sideways() <= 0
    page.reload()
    page.get_by_text("Looking straight at it from behind the engine").wait_for()
    visit.settled()
    expect(page.get_by_role("textbox", name="Name (engine)")).to_have_value("Tarn four")
    expect(standoff).to_have_value("3/4 ± .005 in")
    page.get_by_role("button", name="Keep it in the catalogue").click()
    page.get_by_text("Kept: engine").wait_for()
    with open_store(store) as opened:
        unit, _ = units.show(opened, "Tarn four")
    assert isinstance(unit, Engine)
    assert unit.face is not None
    assert [hole.y.first.typed for hole in unit.face.holes] == ["6.125", "6 1/8", "-7"]
    assert not visit.complaints
    assert not visit.abroad


def test_a_face_is_brought_in_from_a_list_and_told_by_a_scan(
    visit: Visit, store: Path, tmp_path: Path
) -> None:
    page = visit.page
    listed = tmp_path / "list.csv"
    listed.write_text(
        "id,x,y,hole\n" + "\n".join(f"h{n},{x},{y},{d}" for n, (x, y, d) in enumerate(HOLES[:8])),
        encoding="utf-8",
    )
    visit.go("/pattern")
    visit.settled()
    page.locator("input[type=file]").set_input_files(listed)
    page.get_by_role("textbox", name="Name of the engine").wait_for()
    visit.settled()
    page.get_by_role("textbox", name="Name of the engine").fill("Marl four")
    page.get_by_role("button", name="Keep it in the catalogue").click()
    page.get_by_text("Kept: engine").wait_for()

    scanned = tmp_path / "gasket.png"
    drawn = draw(View(turn=5, noise=4), HOLES[:8])
    scanned.write_bytes(drawn.written)
    visit.go("/pattern")
    visit.settled()
    page.locator("input[type=file]").set_input_files(scanned)
    page.get_by_text("8 round spots numbered").wait_for()
    visit.settled()
    spots = sorted(range(8), key=lambda n: (round(drawn.pixels[n][1] / 40), drawn.pixels[n][0]))
    a, b = (HOLES[spots[n]] for n in (0, 7))
    length = ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
    page.get_by_role("textbox", name="Distances").fill(f"1, 8, {length:.2f}")
    page.get_by_role("button", name="Size the holes").click()
    page.get_by_text("It is the face of engine Marl four: 8 of 8 holes").wait_for()
    page.screenshot(path=tmp_path / "pattern.png", full_page=True)
    assert visit.sideways() <= 0
    assert not visit.complaints
    assert not visit.abroad
