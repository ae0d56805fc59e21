"""The screens as the installed command serves them, and a real Chromium that looks at them.

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

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
# A deep link makes Streamlit ask for these two under its own address as well; both are harmless.
EXPECTED = ("/_stcore/health", "/_stcore/host-config")
DESK, PHONE = (1440, 900), (390, 844)
PATIENCE = 30_000  # ms


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

    def settled(self) -> None:
        """Wait until the screen has taken what was typed and stands still."""
        self.page.wait_for_timeout(300)  # the run that what was typed sets off has begun
        still = "[data-testid=stApp][data-test-script-state=notRunning]"
        self.page.locator(still).wait_for(state="attached")
        self.page.wait_for_function("() => !document.querySelector('[data-stale=true]')")

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
        print(
            page.url, page.locator("body").inner_text()[:4000], sep="\n"
        )  # shown where a test fails
        page.screenshot(path=tmp_path / "last.png")
        browser.close()


def heard(seen: Visit, message: Any) -> None:
    place = message.location.get("url", "")
    if message.type == "error" and not ("404" in message.text and place.endswith(EXPECTED)):
        seen.complaints.append(f"{message.text} ({place})")


def watched(seen: Visit, url: str) -> None:
    if not re.match(r"https?://127\.0\.0\.1[:/]|ws://127\.0\.0\.1[:/]|data:|blob:", url):
        seen.abroad.append(url)
