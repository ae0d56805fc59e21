"""The screens in a real Chromium, started as the installed command starts them.

Skipped only where no Chromium is found and nobody says that one must be there.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from wizard.desk import demo, units
from wizard.desk.place import open_store

pytestmark = pytest.mark.browser

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
# A deep link makes Streamlit ask for these two under its own address as well; both are harmless.
EXPECTED = ("/_stcore/health", "/_stcore/host-config")
DESK, PHONE = (1440, 900), (390, 844)
PATIENCE = 30_000  # ms
NASTY = "A*b* _c_ [d](e) <b>f</b> :red[g] $h$"


def chromium() -> str:
    """Where Chromium is; the test is skipped without one, or fails where one must be there."""
    stated = os.environ.get("TRIALFIT_BROWSER", "")
    names = (stated, "chromium", "chromium-browser", "google-chrome", "chrome")
    found = next((path for name in names if name and (path := shutil.which(name))), None)
    if found is None:
        if os.environ.get("TRIALFIT_REQUIRE_BROWSER"):
            pytest.fail(
                "no Chromium was found, and TRIALFIT_REQUIRE_BROWSER says there must be one"
            )
        pytest.skip("no Chromium was found; TRIALFIT_BROWSER names one")
    return found


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class Visit:
    """A browser's page on the running screens, and what it complained of."""

    page: Any
    address: str
    complaints: list[str] = field(default_factory=list)
    abroad: list[str] = field(default_factory=list)

    def go(self, path: str) -> None:
        self.page.goto(self.address + path)

    def pair(self, engine: str, gearbox: str) -> None:
        """Choose two units in their fields."""
        for label, name in (("Engine", engine), ("Gearbox", gearbox)):
            self.page.get_by_label(label, exact=True).click()
            self.page.get_by_role("option", name=name, exact=True).click()
        self.page.locator(".nb-verdict").wait_for()

    def sideways(self) -> int:
        """How much wider than the window the page is, in points of the screen."""
        return int(
            self.page.evaluate(
                "() => Math.max(...[document.documentElement, "
                "...document.querySelectorAll('[data-testid=stMain]')]"
                ".map(e => e.scrollWidth - e.clientWidth))"
            )
        )


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return tmp_path / "shop.sqlite"


@pytest.fixture
def served(store: Path) -> Iterator[str]:
    """The address of `trialfit app`, running on a store of its own."""
    chromium()
    port = free_port()
    command = shutil.which("trialfit", path=str(Path(sys.executable).parent))
    assert command, "the command is not installed"
    how: dict[str, Any] = {"start_new_session": True}
    if sys.platform == "win32":
        how = {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
    running = subprocess.Popen(
        [command, "--store", str(store), "app", "--port", str(port)], stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **how,
    )  # fmt: skip
    address = f"http://127.0.0.1:{port}"
    try:
        wait_for(address, running)
        yield address
    finally:
        end(running)


def wait_for(address: str, running: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline:
        assert running.poll() is None, "the screens ended before they could be reached"
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2) as answer:
                if answer.read() == b"ok":
                    return
        except OSError:
            time.sleep(0.2)
    pytest.fail("the screens did not answer within a minute")


def end(running: subprocess.Popen[bytes]) -> None:
    """Ctrl-C for the command and what it started."""
    if sys.platform == "win32":
        running.send_signal(signal.CTRL_BREAK_EVENT)
    else:
        os.killpg(running.pid, signal.SIGINT)
    try:
        running.wait(timeout=20)
    except subprocess.TimeoutExpired:
        running.kill()
        raise


@pytest.fixture(params=[DESK, PHONE], ids=["desk", "phone"])
def visit(request: pytest.FixtureRequest, served: str, tmp_path: Path) -> Iterator[Visit]:
    """A fresh browser at one of two window sizes."""
    from playwright.sync_api import sync_playwright

    width, height = request.param
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=list(FLAGS))
        page = browser.new_page(viewport={"width": width, "height": height})
        page.set_default_timeout(PATIENCE)
        seen = Visit(page, served)
        page.on("console", lambda message: heard(seen, message))
        page.on("pageerror", lambda error: seen.complaints.append(str(error)))
        page.on("request", lambda asked: watched(seen, asked.url))
        yield seen
        page.screenshot(path=tmp_path / "last.png")
        browser.close()


def heard(seen: Visit, message: Any) -> None:
    place = message.location.get("url", "")
    if message.type == "error" and not ("404" in message.text and place.endswith(EXPECTED)):
        seen.complaints.append(f"{message.text} ({place})")


def watched(seen: Visit, url: str) -> None:
    if not re.match(r"https?://127\.0\.0\.1[:/]|ws://127\.0\.0\.1[:/]|data:|blob:", url):
        seen.abroad.append(url)


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
