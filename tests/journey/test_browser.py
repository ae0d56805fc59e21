"""The screens in a real Chromium, started as the installed command starts them.

Skipped only where no Chromium is found and nobody says that one must be there.
"""

from __future__ import annotations

import re
import socket
import sys
from pathlib import Path

import pytest

from tests.journey.conftest import Visit
from wizard.desk import demo, units
from wizard.desk.place import open_store

pytestmark = pytest.mark.browser

NASTY = "A*b* _c_ [d](e) <b>f</b> :red[g] $h$"


def test_from_an_empty_catalogue_to_a_kept_job(visit: Visit, store: Path, tmp_path: Path) -> None:
    page = visit.page
    visit.go("/")
    page.get_by_role("button", name="Put the invented units in").click()
    page.get_by_text("all invented").wait_for()
    page.screenshot(path=tmp_path / "start.png", full_page=True)
    assert visit.sideways() <= 0

    page.get_by_role("button", name="Pair two units").click()
    with open_store(store) as opened:
        names = {kind: units.rows(opened, kind=kind)[0].name for kind in ("engine", "gearbox")}
    visit.pair(names["engine"], names["gearbox"])
    verdict = page.locator(".nb-verdict")
    lines = [line for line in verdict.inner_text().splitlines() if line.strip()]
    assert 1 <= len(lines) <= 7
    assert re.match(r"Goes|Goes with work|Measure first|Does not go", lines[0])
    shape = verdict.locator(".nb-sign").bounding_box()
    assert shape is not None
    assert shape["width"] > 8
    assert f"engine={names['engine'].replace(' ', '+')}" in page.url

    for name in ("both patterns to scale", "half section"):
        chart = page.locator(f"[aria-label*='{name}'], [alt*='{name}']").first
        chart.wait_for(state="attached")
    drawn = page.locator(".js-plotly-plot .scatterlayer")
    assert drawn.count() >= 2
    assert min(plot.locator("path").count() for plot in drawn.all()[:2]) > 5
    page.screenshot(path=tmp_path / "pairing.png", full_page=True)
    assert visit.sideways() <= 0

    page.get_by_label("Who worked it out").fill("B. Rook")
    page.get_by_role("button", name="Keep it as a record").click()
    page.get_by_role("link", name="Open job 1").click()
    page.get_by_text("Digest of the record").wait_for()
    assert page.url.endswith("/jobs?job=1")
    with page.expect_download() as papers:
        page.get_by_role("button", name="All papers").click()
    assert papers.value.suggested_filename.endswith(".zip")
    page.screenshot(path=tmp_path / "job.png", full_page=True)
    assert visit.sideways() <= 0
    assert not visit.complaints
    assert not visit.abroad


def test_the_turn_is_changed_and_taken_back(visit: Visit, store: Path) -> None:
    page = visit.page
    with open_store(store) as opened:
        demo.load(opened)
        box = next(row.name for row in units.rows(opened, kind="gearbox") if row.drive == "shaft")
        engine = units.rows(opened, kind="engine")[0].name
    visit.go(f"/pairing?engine={engine}&gearbox={box}")
    page.locator(".nb-verdict").wait_for()
    from playwright.sync_api import expect

    turn = page.locator("input[type=range]").first
    before = turn.input_value()
    page.get_by_role("button", name="+1°", exact=True).click()
    page.get_by_text("Changed: gearbox turned").wait_for()
    expect(turn).to_have_value(f"{float(before) + 1:g}")
    page.get_by_role("button", name="Undo the last change").click()
    page.get_by_text("Changed: gearbox turned").wait_for(state="detached")
    expect(turn).to_have_value(before)
    assert not visit.complaints


def test_a_unit_stands_there_as_it_was_typed(visit: Visit, store: Path, tmp_path: Path) -> None:
    """A name full of marks is shown as it is, in the list, on its page and in a picture."""
    sheet = (
        f"units = 'mm'\n[engine]\nname = '{NASTY}'\n[engine.face]\n"
        "holes = [ { id = '<b>1</b>', x = 100, y = 50, hole = 11 } ]\n"
    )
    with open_store(store) as opened:
        units.add_from_text(opened, sheet)
    page = visit.page
    visit.go("/catalogue")
    page.get_by_role("link", name=NASTY).click()
    page.get_by_role("heading", name=NASTY).wait_for()
    page.locator(".js-plotly-plot text", has_text="<b>1</b>").first.wait_for(state="attached")
    page.get_by_text("100.00 mm").first.wait_for(state="attached")
    page.screenshot(path=tmp_path / "unit.png", full_page=True)
    assert visit.sideways() <= 0
    page.reload()  # the address alone leads here again
    page.get_by_role("heading", name=NASTY).wait_for()
    page.get_by_role("link", name="all units").click()
    page.get_by_role("heading", name="Engines").wait_for()
    assert not visit.complaints
    assert not visit.abroad


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux answers on all of 127.0.0.0/8")
def test_the_screens_answer_on_one_address_of_this_machine_alone(served: str) -> None:
    """A server bound to every address would be reached on 127.0.0.2 too (RFC 1122, 3.2.1.3)."""
    port = int(served.rpartition(":")[2])
    for address, answers in (("127.0.0.1", True), ("127.0.0.2", False)):
        with socket.socket() as probe:
            probe.settimeout(5)
            assert (probe.connect_ex((address, port)) == 0) is answers


def test_readings_of_a_dial_become_a_place_on_the_clock(visit: Visit, tmp_path: Path) -> None:
    page = visit.page
    visit.go("/bench?aid=sweep")
    page.get_by_role("button", name="Work it out").wait_for()
    page.get_by_role("textbox", name="Readings round the turn").fill(
        "0:0.098,90:0.069,180:-0.098,270:-0.069"
    )
    page.get_by_text("out", exact=True).click()
    page.get_by_role("button", name="Work it out").click()
    page.get_by_text("move the housing toward 215°").wait_for()
    page.locator(".js-plotly-plot").wait_for()
    page.screenshot(path=tmp_path / "bench.png", full_page=True)
    assert visit.sideways() <= 0
    assert not visit.complaints
    assert not visit.abroad
