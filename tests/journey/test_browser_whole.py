"""A job from two units to what was made of it, and every screen under the rules of accessibility.

Source of the rules: axe-core, run on the page as it is served; findings of weight serious and
critical count. Nothing of the framework's own is left out of the count.
"""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import ezdxf
import pytest
from pypdf import PdfReader

from tests.journey.conftest import Visit
from wizard.desk import afterwards, demo, jobs
from wizard.desk.place import open_store

pytestmark = pytest.mark.browser

SERIOUS = ("serious", "critical")
SCREENS = (
    "/", "/catalogue", "/catalogue?unit={engine}&kind=engine", "/entry", "/pairing?engine={engine}&gearbox={gearbox}",
    "/jobs?job=1", "/papers?job=1", "/shop",
)  # fmt: skip


@pytest.fixture
def pair(store: Path) -> tuple[str, str]:
    with open_store(store) as opened:
        demo.load(opened)
        found = demo.shown_pair(opened)
    assert found is not None
    return found


def test_no_screen_has_a_serious_finding(visit: Visit, store: Path, pair: tuple[str, str]) -> None:
    from axe_playwright_python.sync_playwright import Axe

    with open_store(store) as opened:
        demo.keep(opened, demo.run(opened, next(iter(demo.jobs()))))
    found = []
    for screen in SCREENS:
        visit.go(screen.format(engine=pair[0], gearbox=pair[1]))
        visit.page.locator("h1").first.wait_for()
        visit.settled()
        for one in Axe().run(visit.page).response["violations"]:
            if one["impact"] in SERIOUS:
                found.append((screen, one["id"], one["nodes"][0]["html"][:120]))
        assert visit.sideways() <= 0, screen
    assert not found
    assert not visit.complaints
    assert not visit.abroad


def test_from_a_way_out_to_the_parts_as_made_and_the_job_again(
    visit: Visit, store: Path, pair: tuple[str, str], tmp_path: Path
) -> None:
    page = visit.page
    visit.go(f"/pairing?engine={pair[0]}&gearbox={pair[1]}")
    page.locator(".nb-verdict").wait_for()
    before = page.locator(".nb-verdict").inner_text()
    page.get_by_role("button", name="Do this").first.click()
    page.get_by_role("button", name="Undo the last change").wait_for()
    visit.settled()
    assert page.locator(".nb-verdict").inner_text() != before
    page.get_by_label("Who worked it out").fill("B. Rook")
    page.keyboard.press("Tab")
    visit.settled()
    page.get_by_role("button", name="Keep it as a record").click()
    page.get_by_role("link", name="Open job 1").click()
    page.get_by_text("Digest of the record").wait_for()
    visit.settled()

    page.get_by_label("Signed").fill("B. Rook")
    page.get_by_role("button", name="Move it on").click()
    page.get_by_text("· agreed ·").wait_for()
    visit.settled()
    with page.expect_download() as taken:
        page.get_by_role("button", name="All papers").click()
    path = tmp_path / "packet.zip"
    taken.value.save_as(path)
    _reopened(path)

    page.get_by_text("As it was made: readings against the limits").click()
    point = page.get_by_role("textbox", name="P1 thickness")
    point.wait_for()
    point.fill("19.06 mm")
    page.get_by_role("textbox", name="Measured by").fill("B. Rook")
    page.get_by_role("button", name="Write it down").first.click()
    page.get_by_role("textbox", name=re.compile(r"P1 thickness.*: (met|MISSED)")).wait_for()
    with open_store(store) as opened:
        rows = {one.point["point"]: one for one in afterwards.standing(opened, 1)}
        assert rows["P1"].value == pytest.approx(19.06)
        assert jobs.show(opened, 1).state == "agreed"
    page.screenshot(path=tmp_path / "as-built.png", full_page=True)

    page.get_by_role("button", name="Do this job again").click()
    page.get_by_text("Kept as job 2").wait_for()
    assert visit.sideways() <= 0
    assert not visit.complaints
    assert not visit.abroad


def _reopened(path: Path) -> None:
    """Every PDF, drawing and spreadsheet of the packet opens again."""
    with zipfile.ZipFile(path) as packet:
        names = packet.namelist()
        assert {"pdf", "dxf", "svg", "xlsx", "csv", "stl", "json"} <= {name.rpartition(".")[2] for name in names}  # fmt: skip
        for name in names:
            body = packet.read(name)
            if name.endswith(".pdf"):
                assert PdfReader(io.BytesIO(body)).pages[0].extract_text()
            elif name.endswith(".dxf"):
                assert not ezdxf.read(io.StringIO(body.decode("utf-8"))).audit().errors
