"""Drawings and sheets of thirty designs nobody chose: no lettering meets other lettering or the margin."""

from __future__ import annotations

import math
import random
from datetime import date

import pytest

from kb.model.record import Record
from wizard.desk.pairing import read_text, unkept
from wizard.papers.drawing import drawing
from wizard.papers.fitting_sheet import fitting_sheet
from wizard.papers.inspection_sheet import inspection_sheet
from wizard.papers.layout_sheet import layout_sheet
from wizard.papers.packet import drawings
from wizard.papers.quote_sheet import customer_quote, shop_quote
from wizard.papers.route_sheet import route_sheet
from wizard.papers.yard_card import yard_card

TITLES = ("Pump set", "Überholung Größe 3: Ω/é \"long\" name 'quoted' \\ with slashes / and a good deal more of it than anybody writes", "塔")  # fmt: skip


def holes(chance: random.Random, count: int, radius: float, how: str) -> str:
    start = chance.uniform(0, 360)
    rows = []
    for n in range(count):
        turn = math.radians(start + 360 * (n + chance.uniform(-0.25, 0.25)) / count)
        far = radius * chance.uniform(0.92, 1.08)
        rows.append(f'{{id="{n + 1}",x={far * math.cos(turn):.2f},y={far * math.sin(turn):.2f},{how}}}')  # fmt: skip
    return "[ " + ", ".join(rows) + " ]"


def job(number: int) -> str:
    chance = random.Random(number)
    size = chance.choice((95.0, 150.0, 210.0, 330.0))
    count = chance.choice((3, 5, 8, 12, 20, 28))
    apart = size * 0.8
    title = f'title = """{TITLES[number % 3].replace(chr(92), chr(92) * 2)}"""\nunits = "mm"\n'
    drive = "converter" if number % 2 else "shaft"
    gearbox = (
        f'[gearbox.converter]\nseat_depth = "{chance.uniform(18, 32):.2f} ± 0.2"\ngap = [3.2, 4.8]\n'
        f"circle = {{ count = 3, diameter = {size:.0f}, hole = 10.5 }}\nhub = {{ diameter = 38, reach = 16 }}\n"
        f"outside = {size * 1.1:.0f}\n[flexplate]\noffset = 8\nthickness = 2.6\ncircle = {{ count = 6, diameter = 70, hole = 10.5 }}\n"
        if drive == "converter"
        else "[gearbox.shaft]\nreach = 18\ntip = { diameter = 15, length = 20 }\n[gearbox.release]\nretracted = 92\n"
        "[flywheel]\nheight = 28\ncircle = { count = 6, diameter = 70, hole = 10.5 }\n[clutch]\nfingers = 60\nrelease_gap = [3, 5]\n"
    )
    return (
        title + f'[engine]\nname = "Unit {number}"\nmax_speed = 4200\npeak_torque = "210 N·m"\n[engine.face]\n'
        f'holes = {holes(chance, count, size, "thread=" + chr(34) + "M10" + chr(34) + ",depth=22")}\n'
        f'dowels = [ {{id="D1",x={-apart:.1f},y=0,diameter=10,stands_out=12}}, {{id="D2",x={apart:.1f},y=6,diameter=10,stands_out=12}} ]\n'
        f'opening = {size:.0f}\n[engine.drive]\nstandoff = "{chance.uniform(-25, 4):.2f} ± 0.05"\n'
        "circle = { count = 6, diameter = 70, thread = \"M10\", depth = 20 }\nregister = { form = \"bore\", diameter = 40, depth = 8 }\noutside = 95\n"
        f'[gearbox]\nname = "Box {number}"\n[gearbox.face]\nholes = {holes(chance, max(3, count - 2), size * chance.uniform(0.85, 1.15), "hole=11")}\n'
        f'dowels = [ {{id="E1",x={-apart:.1f},y=22,diameter=12,stands_out=12}}, {{id="E2",x={apart:.1f},y=-31,diameter=12,stands_out=12}} ]\n'
        + gearbox
    )  # fmt: skip


@pytest.fixture(scope="module")
def records() -> list[Record]:
    day = date(2026, 3, 2)
    return [unkept(read_text(job(number)), by="J. Müßig", on=day) for number in range(30)]


def test_nothing_overlaps_and_nothing_runs_off_the_drawings(records: list[Record]) -> None:
    drawn = 0
    for record in records:
        for _, plate in drawings(record):
            paper = drawing(record, plate=plate)
            assert not paper.overlaps(), (record.title, paper.overlaps()[:2])
            assert not paper.outside(), record.title
            drawn += 1
    assert drawn == 30


@pytest.mark.parametrize("make", [fitting_sheet, inspection_sheet, layout_sheet, route_sheet, customer_quote, shop_quote, yard_card])  # fmt: skip
def test_nothing_overlaps_and_nothing_runs_off_the_sheets(make: object, records: list[Record]) -> None:  # fmt: skip
    for record in records:
        paper = make(record)  # type: ignore[operator]
        assert not paper.overlaps(), (record.title, paper.overlaps()[:2])
        assert not paper.outside(), (record.title, paper.outside()[:2])


def test_no_two_jobs_read_the_same(records: list[Record]) -> None:
    texts = set()
    for record in records[:10]:
        texts.add(" ".join(one.text for one in route_sheet(record).lettering if not one.text.startswith("2026")))  # fmt: skip
    assert len(texts) == 10
