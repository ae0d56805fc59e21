"""Hole-circle coordinates of the handbook, typed as a face and through the engine.

Source: Machinery's Handbook, 31st ed. (2020), p.709 (hole-circle coordinates, read) and p.711
(example 3, read); figures in tests/published/data/hole_circles.csv.
"""

from __future__ import annotations

import itertools
import math

import pytest

from kb.model.lineup import LineUp, Pattern
from kb.sheets.reading import read
from tests.published.digits import half_digit
from tests.published.printed import printed
from wizard.engine.lineup import line_up_fixed
from wizard.engine.normalise import normalise

HOLES = printed("hole_circles")
TABLES = {
    (table, count): list(rows)
    for (table, count), rows in itertools.groupby(HOLES, key=lambda row: (row["table"], row["holes"]))
}  # fmt: skip
SCALE = 100  # the handbook's circle of 1 made 100 mm across


def typed(rows: list[dict[str, str]], scale: float) -> str:
    """The printed coordinates as a list of holes about their printed centre; y up."""
    up = -1 if rows[0]["y_axis"] == "down" else 1
    holes = ", ".join(
        f'{{ id = "{row["hole"]}", x = {float(row["x"]) * scale:.6f}, '
        f"y = {up * float(row['y']) * scale:.6f}, hole = 6 }}"
        for row in rows
    )
    x, y = float(rows[0]["centre_x"]) * scale, up * float(rows[0]["centre_y"]) * scale
    return f"origin = [{x:.6f}, {y:.6f}]\nholes = [{holes}]"


def both(engine: str, gearbox: str) -> tuple[Pattern, Pattern, LineUp]:
    found = normalise(read(f'units = "mm"\n[engine.face]\n{engine}\n[gearbox.face]\n{gearbox}\n'))
    up = line_up_fixed(found)
    assert found.engine_face is not None
    assert found.gearbox_face is not None
    assert up is not None
    return found.engine_face, found.gearbox_face, up


@pytest.mark.parametrize(("table", "count"), TABLES)
def test_printed_coordinates_are_the_circle_of_the_sheet(table: str, count: str) -> None:
    """The table's holes typed one by one, and the circle they belong to, are the same face."""
    rows = TABLES[table, count]
    scale = SCALE / float(rows[0]["circle"])
    near = 1.5 * scale * max(half_digit(row[axis]) for row in rows for axis in "xy")
    circle = (
        f"circle = {{ count = {count}, diameter = {SCALE}, start = {rows[0]['start']}, hole = 6 }}"
    )
    one_by_one, _, _ = both(typed(rows, scale), circle)
    as_circle, _, _ = both(circle, circle)
    ids = {one.id: one for one in as_circle.holes}
    for one in one_by_one.holes:
        assert (one.x, one.y) == pytest.approx((ids[one.id].x, ids[one.id].y), abs=near)


@pytest.mark.parametrize(("table", "count"), TABLES)
def test_printed_coordinates_mirrored_are_the_gearbox_that_mates(table: str, count: str) -> None:
    """On the gearbox the same figures are read from the front: x changes its sign, y does not."""
    rows = TABLES[table, count]
    scale = SCALE / float(rows[0]["circle"])
    engine, gearbox, _ = both(typed(rows, scale), typed(rows, scale))
    for one, other in zip(engine.holes, gearbox.holes, strict=True):
        assert (other.x, other.y) == pytest.approx((-one.x, one.y), abs=1e-9)


def test_five_holes_against_themselves() -> None:
    """Type A, first hole at the bottom or top: symmetrical left and right, so all five coincide.

    The wall is minus the disc; the best of a whole turn is half a step on from one of them, whose
    chord is D·sin(18°) = 0.30902 D. Which of the five it is lies in the last printed figure.
    """
    rows = TABLES["type A", "5"]
    _, _, held = both(typed(rows, SCALE), typed(rows, SCALE))
    disc = 5  # the largest coarse thread that passes a 6 mm hole closely is M5 (ISO 273)
    assert held.wall == pytest.approx(-disc, abs=2e-3)
    assert len(held.clashes) == 5
    text = typed(rows, SCALE)
    found = line_up_fixed(
        normalise(
            read(
                f'units = "mm"\n[engine.face]\n{text}\n[gearbox.face]\n{text}\n'
                "[choices]\nclocking = [-180, 180]\n"
            )
        )
    )
    assert found is not None
    assert found.best_clocking % 72 == pytest.approx(36, abs=2e-3)
    assert found.best_wall == pytest.approx(0.30902 * SCALE - disc, abs=2e-3)
    assert math.sin(math.radians(18)) == pytest.approx(0.30902, abs=0.5e-5)
