"""A unit as it is shown: holes where they were measured, readings in both systems, nothing turned over."""

from __future__ import annotations

import math

import pytest

from kb.sheets.reading import read_units
from tests.app.conftest import ANGLES, OFF, SHEET, on_circle
from wizard.desk import portrait
from wizard.desk.pairing import read_text
from wizard.desk.tried import Step, again
from wizard.papers.shapes import Circle, Hole

UNITS = {unit.name: unit for unit in read_units(SHEET)}


def view(name: str, key: str) -> portrait.View:
    return next(one for one in portrait.views(UNITS[name], first="mm") if one.key == key)


def found(name: str, key: str) -> list[Hole]:
    return [shape for shape in view(name, key).shapes if isinstance(shape, Hole)]


def test_a_face_is_shown_as_it_was_measured() -> None:
    """The gearbox's holes stay where they were read: looking at its front, x not turned over."""
    for name, key, off, mirrored in (
        ("Marl four", "engine.face", 0.0, False),
        ("Tarn three-speed", "gearbox.face", OFF, True),
    ):
        for hole, angle in zip(found(name, key), ANGLES, strict=True):
            assert hole.centre == pytest.approx(on_circle(angle + off, mirrored=mirrored), abs=1e-5)


def test_a_bolt_circle_is_numbered_on_anticlockwise() -> None:
    """x = r·cos(start + n·360°/count), y = r·sin(…): the closed form of a hole circle."""
    holes = found("Marl four", "engine.drive")
    assert [hole.id for hole in holes] == ["1", "2", "3", "4", "5", "6"]
    for number, hole in enumerate(holes):
        at = math.radians(60 * number)
        assert hole.centre == pytest.approx((40 * math.cos(at), 40 * math.sin(at)), abs=1e-9)
    assert {hole.diameter for hole in holes} == {10.0}  # M10: 10 mm by its designation


def test_the_axis_is_the_origin_wherever_the_face_was_measured_from() -> None:
    sheet = (
        'units = "in"\n[engine]\nname = "X"\n[engine.face]\norigin = [1, 2]\n'
        'holes = [ { id = "k", x = 3, y = 2, hole = "1/2" } ]\n'
    )
    (unit,) = read_units(sheet)
    (shown,) = portrait.views(unit, first="in")
    (hole,) = [shape for shape in shown.shapes if isinstance(shape, Hole)]
    assert hole.centre == pytest.approx((2 * 25.4, 0.0))
    assert hole.diameter == pytest.approx(12.7)


def test_registers_and_outsides_are_circles_about_the_axis() -> None:
    circles = [s for s in view("Marl four", "engine.drive").shapes if isinstance(s, Circle)]
    assert sorted(circle.diameter for circle in circles) == [50.0, 110.0]
    assert all(circle.centre == (0.0, 0.0) for circle in circles)


def test_readings_carry_who_how_and_when() -> None:
    row = next(
        one
        for one in portrait.readings(UNITS["Marl four"], first="mm")
        if one.key == "engine.drive.standoff"
    )
    assert (row.how, row.by, str(row.on), row.source, row.typed) == (
        "depth micrometer", "A. Fenn", "2026-03-02", "measured", "12.00",
    )  # fmt: skip
    assert row.figure == f"12.00 mm ± 0.05 · {12 / 25.4:.3f} in"


def test_a_hole_is_named_by_its_own_mark() -> None:
    labels = {one.label for one in portrait.readings(UNITS["Tarn three-speed"], first="mm")}
    assert "Hole a, to the right of the origin (gearbox face)" in labels
    assert dict(portrait.facts(UNITS["Marl four"]))["Thread 3 (engine face)"] == "M10"


# ── changes tried ───────────────────────────────────────────────────────────


def test_each_change_is_read_in_the_unit_it_was_typed_in() -> None:
    """Half an inch is 12.7 mm, 20 is 20 mm, whichever unit is named first afterwards."""
    worked = read_text('title = "T"\n' + SHEET)
    steps = (
        Step(change={"choices.plate": "7/8"}, units="in", says=""),
        Step(change={"choices.packing": "0.5"}, units="mm", says=""),
    )
    for units in ("in", "mm"):
        tried = again(worked, steps, units=units)
        assert tried.answer["shop_units"] == units
        assert tried.answer["axial"]["plate"] == pytest.approx(7 / 8 * 25.4)
        assert tried.answer["axial"]["packing"] == pytest.approx(0.5)
    assert worked.request.choices.plate is None
