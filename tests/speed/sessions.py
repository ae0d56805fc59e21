"""How long a screen takes in a real browser, several people at once, many units in the store.

``python -m tests.speed.sessions [PEOPLE] [UNITS]``: starts the screens on a store of their own,
fills it with the demo's units and as many copies under other names as asked for, opens a browser
for each person, and has all of them open a unit, a pairing, and turn the gearbox. Prints the
middle and the worst of each wait, from the click to what it brings.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from threading import Barrier
from urllib.parse import quote_plus

from kb.store.catalogue import Catalogue
from tests.journey.conftest import DESK, FLAGS, PATIENCE, end, free_port, wait_for
from wizard.desk import demo
from wizard.desk.place import open_store

Waits = dict[str, list[float]]


def fill(store: Path, units: int) -> tuple[str, str]:
    """The demo's units, and copies of its engines and gearboxes up to so many in all."""
    with open_store(store) as opened:
        demo.load(opened)
        catalogue = Catalogue(opened)
        own = [unit for ref, unit in catalogue.units() if ref.kind in ("engine", "gearbox")]
        more = max(0, units - len(list(catalogue.units())))
        copies = [replace(own[n % len(own)], name=f"{own[n % len(own)].name} copy {n}") for n in range(more)]  # fmt: skip
        for first in range(0, len(copies), 500):
            catalogue.add_all(copies[first : first + 500], by="copy")
        pair = demo.shown_pair(opened)
    assert pair is not None
    return pair


def person(address: str, pair: tuple[str, str], together: Barrier) -> dict[str, float]:
    """One browser's waits, each step begun together with the others' [s]."""
    from playwright.sync_api import sync_playwright

    engine, gearbox = map(quote_plus, pair)
    waits = {}
    with sync_playwright() as playwright:
        chromium = os.environ.get("TRIALFIT_BROWSER") or shutil.which("chromium") or ""
        browser = playwright.chromium.launch(executable_path=chromium, args=list(FLAGS))
        page = browser.new_page(viewport={"width": DESK[0], "height": DESK[1]})
        page.set_default_timeout(4 * PATIENCE)
        for what, path, seen in (
            ("first page", "/", "h1"), ("unit page", f"/catalogue?unit={engine}&kind=engine", "h1"),
            ("pairing", f"/pairing?engine={engine}&gearbox={gearbox}", ".nb-verdict"),
        ):  # fmt: skip
            together.wait()
            began = time.perf_counter()
            page.goto(address + path)
            page.locator(seen).first.wait_for()
            waits[what] = time.perf_counter() - began
        page.locator("[data-test-script-state=notRunning]").wait_for(state="attached")
        together.wait()
        began = time.perf_counter()
        page.get_by_role("button", name="+1°", exact=True).click()
        page.get_by_text("Changed: gearbox turned").wait_for()
        waits["a change of the pairing"] = time.perf_counter() - began
        browser.close()
    return waits


def measure(people: int, units: int) -> Waits:
    """The waits of so many people at once, by what they waited for [s]."""
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "shop.sqlite"
        pair, port = fill(store, units), free_port()
        command = [sys.executable, "-c", "from wizard.cli.main import main; main()"]
        running = subprocess.Popen(
            [*command, "--store", str(store), "app", "--port", str(port)], stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip
        try:
            address = f"http://127.0.0.1:{port}"
            wait_for(address, running)
            together = Barrier(people)
            with ThreadPoolExecutor(people) as pool:
                rows = list(pool.map(lambda _: person(address, pair, together), range(people)))
        finally:
            end(running)
    return {what: [row[what] for row in rows] for what in rows[0]}


if __name__ == "__main__":
    given = [int(one) for one in sys.argv[1:3]]
    people, units = [*given, *(10, 100)[len(given) :]]
    print(f"{people} people at once, {units} units in the store")
    for what, waits in measure(people, units).items():
        print(f"{what:26s} middle {statistics.median(waits):6.2f} s   worst {max(waits):6.2f} s")
