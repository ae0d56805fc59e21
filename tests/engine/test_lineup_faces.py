"""Faces as typed → holes in frame P, worked by hand; and which circles meet the rotating adapter.

Frame P: behind the engine, looking forward, x right, y up, angles anticlockwise. Sizes of M10:
ISO 4762 with DIN 974-1 (from memory).
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.model.lineup import Feature, LineUp, Pattern
from kb.model.record import Sides
from kb.sheets.reading import read
from wizard.engine.lineup import line_up_fixed, line_up_rotating
from wizard.engine.normalise import normalise


def sides(text: str) -> Sides:
    return normalise(read('units = "mm"\n' + text))


def face(text: str, side: str = "engine") -> Pattern:
    found = sides(f"[{side}.face]\n{text}")
    taken = found.engine_face if side == "engine" else found.gearbox_face
    assert taken is not None
    return taken


def places(taken: Pattern) -> dict[str, Any]:
    """Where every hole and dowel stands, to be set against what was worked by hand."""
    return {
        one.id: pytest.approx((one.x, one.y), abs=1e-9) for one in (*taken.holes, *taken.dowels)
    }


# ── mirror and origin, worked by hand ───────────────────────────────────────

HOLES = """
origin = [12, -7]
holes = [ { id = "1", x = 112, y = 43, thread = "M10" }, { id = "2", x = -38, y = 73, thread = "M10" } ]
dowels = [ { id = "D", x = 12, y = 93, diameter = 12 } ]
"""


def test_an_engine_face_is_seen_from_behind_already() -> None:
    """Axis at (12, −7): hole 1 lies 100 right and 50 up of it, hole 2 50 left and 80 up."""
    assert places(face(HOLES)) == {"1": (100, 50), "2": (-50, 80), "D": (0, 100)}


def test_a_gearbox_face_is_turned_round_to_mate() -> None:
    """Axis off first, then left and right change places; up stays up."""
    assert places(face(HOLES, "gearbox")) == {"1": (-100, 50), "2": (50, 80), "D": (0, 100)}


def test_no_origin_means_the_coordinates_are_the_axis_own() -> None:
    text = 'holes = [ { id = "1", x = 3, y = 4, thread = "M10" } ]'
    assert places(face(text)) == {"1": (3, 4)}


@settings(max_examples=40, deadline=None)
@given(
    x=st.integers(-3000, 3000),
    y=st.integers(-3000, 3000),
    side=st.sampled_from(("engine", "gearbox")),
)
def test_measured_from_a_dowel_or_from_the_axis(x: int, y: int, side: str) -> None:
    """The same holes, read from another zero: nothing else than that may change."""
    off_x, off_y = x / 10, y / 10
    spots = [(101.5, 40.25), (-60.0, 88.75), (12.5, -120.0)]

    def written(dx: float, dy: float) -> str:
        holes = ", ".join(
            f'{{ id = "{n}", x = {a + dx:.3f}, y = {b + dy:.3f}, thread = "M8" }}'
            for n, (a, b) in enumerate(spots)
        )
        return f"origin = [{dx:.3f}, {dy:.3f}]\nholes = [{holes}]"

    from_axis, from_dowel = face(written(0, 0), side), face(written(-off_x, -off_y), side)
    for one, other in zip(from_axis.holes, from_dowel.holes, strict=True):
        assert (other.x, other.y) == pytest.approx((one.x, one.y), abs=1e-9)


# ── circles ─────────────────────────────────────────────────────────────────


def clock(one: Feature) -> float:
    return math.degrees(math.atan2(one.y, one.x)) % 360


def test_a_circle_counts_anticlockwise_as_it_is_looked_at() -> None:
    engine = face('circle = { count = 4, diameter = 200, start = 15, thread = "M10" }')
    assert [one.id for one in engine.holes] == ["1", "2", "3", "4"]
    assert [clock(one) for one in engine.holes] == pytest.approx([15, 105, 195, 285])
    assert [math.hypot(one.x, one.y) for one in engine.holes] == pytest.approx([100] * 4)


def test_a_circle_of_the_gearbox_counts_clockwise_from_behind() -> None:
    """An angle a as measured is 180° − a behind it."""
    gearbox = face("circle = { count = 4, diameter = 200, start = 15, hole = 11 }", "gearbox")
    assert [clock(one) for one in gearbox.holes] == pytest.approx([165, 75, 345, 255])


def test_a_circle_is_about_the_axis_wherever_its_zero_is() -> None:
    text = 'origin = [40, 30]\ncircle = { count = 2, diameter = 200, thread = "M10" }'
    assert places(face(text)) == {"1": (100, 0), "2": (-100, 0)}


@pytest.mark.parametrize("start", [0.0, 11.0, 45.0, -20.0])
def test_faces_that_mate_are_mirror_images_as_measured(start: float) -> None:
    """A plate's holes laid on a casting from its other side: every hole falls on its own."""
    found = sides(
        f'[engine.face]\ncircle = {{ count = 5, diameter = 300, start = {start}, thread = "M10" }}\n'
        f"[gearbox.face]\ncircle = {{ count = 5, diameter = 300, start = {180 - start}, hole = 11 }}\n"
        '[choices]\nshare = ["1=1", "2=5", "3=4", "4=3", "5=2"]'
    )
    up = line_up_fixed(found)
    assert up is not None
    assert set(up.shared) == {("1", "1"), ("2", "5"), ("3", "4"), ("4", "3"), ("5", "2")}
    assert up.clashes == ()


# ── what turns ──────────────────────────────────────────────────────────────


def rotating(text: str) -> tuple[Sides, LineUp | None]:
    found = sides(text)
    return found, line_up_rotating(found)


DRIVE = '[engine.drive]\ncircle = { count = 6, diameter = 90, start = 20, thread = "M10x1.25" }\n'


@pytest.mark.parametrize(
    ("part", "driven", "first"),
    [
        ("[gearbox.converter]\n[flexplate]\n", "flexplate", 10),
        ("[gearbox.shaft]\n[flywheel]\n", "flywheel", 10),
        ("[gearbox.converter]\n", "converter", 170),
        ("[gearbox.driven]\n", "driven flange", 170),
    ],
)
def test_parts_looked_at_from_the_gearbox_front_are_turned_round(
    part: str, driven: str, first: float
) -> None:
    """Flexplate and flywheel are looked at from behind, lugs and driven flange from the front."""
    found, up = rotating(
        DRIVE + part + "circle = { count = 4, diameter = 250, start = 10, hole = 11 }"
    )
    assert found.driven is not None
    assert found.driven_part == driven
    assert clock(found.driven.holes[0]) == pytest.approx(first)
    assert up is not None
    assert not up.through


def test_six_on_four_turns_freely() -> None:
    """From 20° and 10°: lcm(6, 4) = 12, so best 15° from a line; in line at −10 … ⇒ best at +5."""
    _, up = rotating(
        DRIVE
        + "[gearbox.converter]\n[flexplate]\ncircle = { count = 4, diameter = 90, start = 10, hole = 11 }"
    )
    assert up is not None
    assert up.clocking == up.best_clocking == pytest.approx(-5)
    # counterbore of M10 18, screw of an 11 mm hole 10: 90·sin(15°/2) − 14
    assert up.wall == pytest.approx(90 * math.sin(math.radians(7.5)) - 14)


@pytest.mark.parametrize(
    ("count", "diameter", "hole", "through"),
    [(6, 90.0, "hole = 11", True), (6, 90.05, "hole = 11", True), (6, 89.95, "hole = 11", True),
     (6, 90.06, "hole = 11", False), (5, 90.0, "hole = 11", False), (6, 90.0, 'thread = "M10"', False)],
)  # fmt: skip
def test_one_long_screw_where_both_circles_are_one(
    count: int, diameter: float, hole: str, through: bool
) -> None:
    """The driver is tapped, the driven part clear, and both on the same circle."""
    found, up = rotating(
        DRIVE
        + f"[gearbox.shaft]\n[flywheel]\ncircle = {{ count = {count}, diameter = {diameter}, {hole} }}"
    )
    assert found.through is through
    assert up is not None
    assert up.through is through
    assert (up.wall is None) is through
    if through:
        assert (up.clocking, up.best_clocking, up.required) == (0, 0, 0)
        assert (up.best_wall, up.dowel_wall, up.windows, up.clashes) == (None, None, (), ())


def test_a_rotating_adapter_turns_freely_once_round() -> None:
    """Four lugs far outside the six screws: every turn of −180° to 180° keeps the wall."""
    _, up = rotating(
        DRIVE + "[gearbox.converter]\ncircle = { count = 4, diameter = 250, hole = 11 }"
    )
    assert up is not None
    assert up.windows == ((-180, 180),)


def test_a_rotating_adapter_is_never_looked_at_by_plane() -> None:
    """Both sides tapped, both heads of 18 mm right through: 90·sin(15°/2) − 18, lcm(6, 4) = 12."""
    text = DRIVE + '[gearbox.converter]\ncircle = { count = 4, diameter = 90, thread = "M10" }\n'
    _, up = rotating(text + '[choices]\nkeepout = "by plane"')
    assert up is not None
    wall = 90 * math.sin(math.radians(7.5)) - 18
    assert (up.wall, up.best_wall) == pytest.approx((wall, wall))


def test_a_flexplate_without_a_circle_is_taken_to_have_the_drives_own() -> None:
    found, up = rotating(DRIVE + "[gearbox.converter]\n[flexplate]\nthickness = 2")
    assert up is not None
    assert up.through
    assert any(one.key == "flexplate.circle" for one in found.assumed)


def test_uneven_holes_on_the_drive() -> None:
    text = (
        "[engine.drive]\norigin = [1, 2]\nholes = ["
        '{ id = "1", x = 41, y = 2, thread = "M10" }, { id = "2", x = 1, y = -38, thread = "M10" } ]'
    )
    found = sides(text)
    assert found.driving is not None
    assert places(found.driving) == {"1": (40, 0), "2": (0, -40)}


def test_sides_that_are_not_there_are_not_lined_up() -> None:
    assert line_up_fixed(sides(DRIVE)) is None
    assert line_up_rotating(sides(DRIVE)) is None
    assert line_up_fixed(sides('[engine.face]\nmaterial = "grey iron"')) is None


def test_a_face_without_holes_says_what_it_lacks() -> None:
    found = sides('[engine.face]\nmaterial = "grey iron"\n[gearbox.converter]\n')
    assert found.lacks["engine.face"] == ("engine.face.holes",)
    assert found.lacks["driven"] == ("gearbox.converter.circle",)
