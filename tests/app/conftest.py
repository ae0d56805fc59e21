"""Screens run without a browser, on a store of their own with two invented sides in it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

import wizard.app.main
from wizard.desk import units
from wizard.desk.place import open_store

MAIN = Path(wizard.app.main.__file__).resolve()
RADIUS, OFF = 150.0, 4.0  # bolt circle of both faces [mm]; the gearbox's holes stand 4° on
ANGLES = (30, 80, 140, 200, 260, 320)
Open = Callable[..., AppTest]


def on_circle(angle: float, *, mirrored: bool) -> tuple[float, float]:
    """A point of the bolt circle as it is measured: a gearbox's face is seen from its front."""
    x, y = RADIUS * math.cos(math.radians(angle)), RADIUS * math.sin(math.radians(angle))
    return (-x if mirrored else x), y


def holes(*, mirrored: bool, off: float, rest: str, ids: str) -> str:
    """Six uneven holes of a face, as a sheet writes them."""
    rows = []
    for id, angle in zip(ids, ANGLES, strict=True):
        x, y = on_circle(angle + off, mirrored=mirrored)
        rows.append(f'  {{ id = "{id}", x = {x:.12f}, y = {y:.12f}, {rest} }},')
    return "[\n" + "\n".join(rows) + "\n]"


# All invented. With a plate of 20 mm the spacer closes on 20 + 28 - 12 - 8 - 4 = 24 mm.
SHEET = f"""
units = "mm"

[engine]
name = "Marl four"
rotation = "ccw"
max_speed = 3000
peak_torque = "200 N·m"
balance = "internal"

[engine.face]
material = "grey iron"
holes = {holes(mirrored=False, off=0, ids="123456", rest='thread = "M10", depth = 25, keepout = 17.5')}

[engine.drive]
standoff = {{ value = "12.00", within = "0.05", how = "depth micrometer", by = "A. Fenn", on = 2026-03-02 }}
circle = {{ count = 6, diameter = 80, start = 0, thread = "M10x1.25", depth = 24 }}
register = {{ form = "bore", diameter = "50 +0.025/-0", depth = 8 }}
outside = 110

[gearbox]
name = "Tarn three-speed"
rotation = "ccw"
torque_limit = "400 N·m"

[gearbox.face]
material = "aluminium"
holes = {holes(mirrored=True, off=OFF, ids="abcdef", rest="hole = 10.5, keepout = 10")}

[gearbox.converter]
seat_depth = "28.00 ± 0.05"
gap = [3.2, 4.8]
circle = {{ count = 3, diameter = 200, start = 90, hole = 10.5 }}
hub = {{ diameter = "40.00", reach = 24 }}
outside = 230

[flexplate]
name = "Tarn flexplate"
belongs_to = "Tarn three-speed"
offset = "8.00 ± 0.05"
thickness = 2.5
circle = {{ count = 6, diameter = 80, start = 0, hole = 10.5 }}
register = {{ form = "bore", diameter = "50 +0.025/-0" }}
converter_circle = {{ count = 3, diameter = 200, start = 90, hole = 10.5 }}
outside = 235
balance = "neutral"
"""
PAIR = {"engine": "Marl four", "gearbox": "Tarn three-speed"}


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the screens keep things in this test; nothing is in it yet."""
    path = tmp_path / "shop.sqlite"
    monkeypatch.setenv("TRIALFIT_STORE", str(path))
    return path


@pytest.fixture
def shop(place: Path) -> Path:
    """The same with the two sides in its catalogue."""
    with open_store(place) as store:
        units.add_from_text(store, SHEET, by="A. Fenn")
    return place


@pytest.fixture
def screen(place: Path) -> Open:
    """Opens a screen by its name and the rest of its address."""

    def open_screen(name: str = "start", **address: str) -> AppTest:
        app = AppTest.from_file(MAIN, default_timeout=60).run()
        for key, value in address.items():
            app.query_params[key] = value
        if name != "start":
            app.switch_page(f"screens/{name}.py").run()
        assert not app.exception
        return app

    return open_screen


def written(app: AppTest) -> str:
    """Everything a screen says, without markup."""
    pieces = [element.proto.body for element in app.get("html")]
    kinds = ("title", "subheader", "markdown", "caption", "info", "success", "warning", "error")
    pieces += [element.value for kind in kinds for element in app.get(kind)]
    text = re.sub(r"<style>.*?</style>", " ", "\n".join(pieces), flags=re.DOTALL)
    return unescape(re.sub(r"<[^>]+>", " ", text))


def beside(app: AppTest, name: str) -> str:
    """What stands beside a name in the lists of a screen."""
    for element in app.get("html"):
        found = re.search(rf"<dt>(?:<span[^>]*>\w*</span>)?{re.escape(name)}</dt><dd>(.*?)</dd>", element.proto.body)  # fmt: skip
        if found:
            return unescape(found[1])
    raise AssertionError(f"{name} is not on the screen")


def press(app: AppTest, label: str) -> AppTest:
    """Press the first button of that name."""
    next(button for button in app.button if button.label == label).click().run()
    assert not app.exception
    return app
