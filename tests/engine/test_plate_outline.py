"""The plate's outline as the job gives it.

Areas against Shapely (a general-purpose geometry library) and closed forms named at each test;
crossings against Shapely's validity of the same outline drawn as a fine polygon.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Polygon

from kb.errors import InputError
from kb.model.parts import Part
from kb.model.record import Design
from kb.model.request import OutlineCorner
from kb.sheets.corners import corners as sheet_corners
from kb.sheets.reading import read, read_key
from kb.sheets.writing import write
from kb.standards.materials import material
from tests.engine.altered import check_of, design_of, request_of
from wizard.engine.answer import answer
from wizard.engine.parts.crossing import first_meeting
from wizard.engine.parts.imported import from_corners
from wizard.engine.parts.outline import area, bounding_box, contains, sample, second_moment
from wizard.engine.remedies import advise

Corner = dict[str, Any]

ROUND: list[Corner] = [
    {"x": 270, "y": 0, "centre": [0, 0]},
    {"x": -270, "y": 0, "centre": [0, 0]},
]
SQUARE: list[Corner] = [
    {"x": 270, "y": 270}, {"x": -270, "y": 270}, {"x": -270, "y": -270}, {"x": 270, "y": -270},
]  # fmt: skip
# the square with its left side bulging and a bite out of the lower side, the other way round
MIXED: list[Corner] = [
    {"x": 270, "y": 270}, {"x": 270, "y": -270},
    {"x": 20, "y": -270, "centre": [0, -270]},
    {"x": -20, "y": -270},
    {"x": -270, "y": -270, "centre": [-270, 0], "turn": "right"},
    {"x": -270, "y": 270},
]  # fmt: skip


def corners(rows: list[Corner], *, units: str = "mm") -> tuple[OutlineCorner, ...]:
    def figure(name: str, given: object) -> Any:
        return read_key(OutlineCorner, name, given, key=name, units=units)

    return tuple(OutlineCorner(**{name: figure(name, row[name]) for name in row}) for row in rows)


def plate_of(made: Design, name: str = "adapter plate") -> Part:
    return next(one for one in made.adapter.parts if one.name == name)


def weight(face: float, plate: Part) -> float:
    """Mass of a flat plate of that face, its opening, holes and seats taken out [kg]."""
    bores = [plate.size.get("bore", 0.0), *(hole.diameter for hole in plate.holes)]
    net = face - math.fsum(math.pi / 4 * size**2 for size in bores)
    seats = math.fsum(
        math.pi / 4 * (hole.counterbore.diameter**2 - hole.diameter**2) * hole.counterbore.depth
        for hole in plate.holes
        if hole.counterbore
    )
    density = material("6061-T6").density_kg_m3
    return (net * plate.size["thickness"] - seats) * density * 1e-9


# ── what follows from it ────────────────────────────────────────────────────


def test_a_circle_is_the_circle() -> None:
    """Area and length of a circle; second moment π·r⁴/4 about each axis."""
    outline = from_corners(corners(ROUND))
    assert area(outline) == pytest.approx(math.pi * 270**2, rel=1e-12)
    assert bounding_box(outline) == pytest.approx((-270, -270, 270, 270))
    assert second_moment(outline).polar == pytest.approx(math.pi / 2 * 270**4, rel=1e-12)


@pytest.mark.parametrize("rows", [ROUND, SQUARE, MIXED], ids=["round", "square", "mixed"])
def test_area_is_that_of_a_general_library(rows: list[Corner]) -> None:
    """A fine polygon on arcs falls short of them by at most step²/8r of sagitta."""
    outline = from_corners(corners(rows))
    drawn = Polygon(sample(outline, 0.05))
    assert drawn.is_valid
    assert area(outline) == pytest.approx(drawn.area, rel=1e-7)
    assert area(outline) > 0


def test_mixed_outline_in_closed_form() -> None:
    """540 square, half a disc of 270 more on the left, half a disc of 20 less below."""
    wanted = 540**2 + math.pi / 2 * 270**2 - math.pi / 2 * 20**2
    assert area(from_corners(corners(MIXED))) == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize("rows", [ROUND, SQUARE, MIXED], ids=["round", "square", "mixed"])
def test_either_way_round_is_the_same_plate(rows: list[Corner]) -> None:
    """Walked the other way an edge leaves the corner it came to, and its arcs turn the other way."""
    back = [
        {
            "x": row["x"], "y": row["y"],
            **({"centre": before["centre"]} if "centre" in before else {}),
            **({"turn": {"left": "right", "right": "left"}[before.get("turn", "left")]}
               if "centre" in before else {}),
        }
        for row, before in zip(rows[::-1], [*rows[-2::-1], rows[-1]], strict=True)
    ]  # fmt: skip
    one, other = from_corners(corners(rows)), from_corners(corners(back))
    assert area(other) == pytest.approx(area(one), rel=1e-12)
    grid = np.array([(x, y) for x in range(-600, 300, 23) for y in range(-300, 301, 19)])
    assert list(contains(one, grid)) == list(contains(other, grid))


@pytest.mark.parametrize("rows", [ROUND, SQUARE, MIXED], ids=["round", "square", "mixed"])
def test_mass_and_stiffness_follow(rows: list[Corner]) -> None:
    """Mass from Shapely's area of the outline; polar moment by adding up a fine grid of squares."""
    plate = plate_of(design_of("converter", {"choices.plate_outline": rows}))
    drawn = Polygon(sample(from_corners(corners(rows)), 0.05))
    assert plate.mass_kg == pytest.approx(weight(drawn.area, plate), abs=0.002)
    step = 4.0
    spots = np.array(
        [(x, y) for x in np.arange(-561, 300, step) + step / 2 for y in np.arange(-301, 300, step) + step / 2]
    )  # fmt: skip
    inside = spots[contains(plate.outline, spots)]
    middle = inside.mean(axis=0)
    polar = float(np.sum((inside - middle) ** 2)) * step**2
    assert plate.stiffness["polar_mm4"] == pytest.approx(polar, rel=0.01)


def test_the_answer_carries_it() -> None:
    found = answer(advise(request_of("converter", {"choices.plate_outline": MIXED})))
    (plate,) = [one for one in found["parts"] if one["name"] == "adapter plate"]
    assert [piece["kind"] for piece in plate["outline"]].count("arc") == 2
    assert plate["size"]["length"] == pytest.approx(270 + 540)
    assert any("job's own" in note for note in plate["notes"])


def test_edge_distance_reacts() -> None:
    """The gearbox's 12 mm dowels stand at y = ±230: an edge at 246 leaves 16 mm, a third more
    than their diameter; one at 240 leaves less than it."""
    found = {}
    for edge in (270, 246, 240):
        rows = [{**row, "y": math.copysign(edge, row["y"])} for row in SQUARE]
        check = check_of(design_of("converter", {"choices.plate_outline": rows}), "edge-distance")
        assert check is not None
        found[edge] = check
    assert [one.status for one in found.values()] == ["pass", "warn", "fail"]
    assert [one.margin for one in found.values()][1:] == pytest.approx([16 - 12, 10 - 12])


@pytest.mark.parametrize(
    ("rows", "room", "status"),
    [(None, 3.0, "pass"), (ROUND, 335 - 270 - 60, "pass"), ([{**one, "x": one["x"] * 273 / 270}
      for one in ROUND], 335 - 273 - 60, "warn"), (SQUARE, math.hypot(0, 65) - 60, "pass"),
     (MIXED, None, "fail")],
)  # fmt: skip
def test_the_edge_must_clear_the_starter(
    rows: list[Corner] | None, room: float | None, status: str
) -> None:
    """A body of 120 at x = -335 or 0, y = 335: the outline drawn for it has a pocket 3 mm larger."""
    place = [-335, 0] if rows is not SQUARE else [0, 335]
    change: dict[str, object] = {"engine.starter.centre": place, "engine.starter.body": 120}
    if rows is None:
        change |= {"engine.starter.centre": [-290, 0], "engine.starter.body": 100}
    else:
        change["choices.plate_outline"] = rows
    found = check_of(design_of("converter", change), "starter-clears")
    assert found is not None
    assert found.status == status
    if room is not None:
        assert found.margin == pytest.approx(room, abs=1e-6)


def test_two_plates_take_it_both() -> None:
    """Both plates are cut to the one outline, and the screws between them stay inside it."""
    made = design_of(
        "converter",
        {"choices.plate_outline": ROUND, "choices.plates": 2, "choices.plate": None},
    )  # fmt: skip
    front, rear = plate_of(made, "engine-side plate"), plate_of(made, "gearbox-side plate")
    assert front.outline == rear.outline == from_corners(corners(ROUND))
    for plate in (front, rear):
        between = [one for one in plate.holes if one.id.startswith("P")]
        assert len(between) == 8
        assert all(math.hypot(one.x, one.y) <= 270 - 1.5 * one.diameter for one in between)


def test_inches_are_inches() -> None:
    """The same plate in both systems."""
    inch = [
        {"x": row["x"] / 25.4, "y": row["y"] / 25.4, "centre": [one / 25.4 for one in row["centre"]]}
        for row in ROUND
    ]  # fmt: skip
    text = [{k: [str(v) for v in x] if isinstance(x, list) else str(x) for k, x in row.items()} for row in inch]  # fmt: skip
    assert area(from_corners(corners(text, units="in"))) == pytest.approx(math.pi * 270**2)


def test_a_sheet_gives_it_back() -> None:
    """Written and read again it is the same."""
    request = request_of("converter", {"choices.plate_outline": MIXED})
    assert read(write(request)) == request


@pytest.mark.parametrize("rows", [ROUND, SQUARE, MIXED], ids=["round", "square", "mixed"])
def test_an_outline_read_elsewhere_becomes_the_sheet_s_own(rows: list[Corner]) -> None:
    """Pieces to corners, into a sheet in inches, out of its text, and to pieces again."""
    given = from_corners(corners(rows))
    choices = replace(request_of("converter").choices, plate_outline=sheet_corners(given))
    again = read(write(replace(request_of("converter"), choices=choices, units="mm")))
    found = from_corners(again.choices.plate_outline)
    assert [piece.kind for piece in found] == [piece.kind for piece in given]
    assert area(found) == pytest.approx(area(given), rel=1e-9)
    inch = replace(request_of("converter"), choices=choices, units="in")
    assert from_corners(read(write(inch)).choices.plate_outline) == found


# ── what is refused ─────────────────────────────────────────────────────────

BOW: list[Corner] = [
    {"x": 270, "y": 270}, {"x": -270, "y": -270}, {"x": -270, "y": 270}, {"x": 270, "y": -270},
]  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "field", "words"),
    [
        (BOW, "plate_outline", "must not cross or touch itself"),
        (SQUARE[:2], "plate_outline", "an outline with an area"),
        (SQUARE[:1], "plate_outline", "or 2 that arcs join"),
        ([*SQUARE, SQUARE[-1]], "plate_outline[4]", "must stand apart from the next"),
        ([{**ROUND[0], "centre": [1, 0]}, ROUND[1]], "plate_outline[1].centre", "as far from both"),
        ([SQUARE[0], SQUARE[1], {"x": -270, "y": -270, "centre": [0, -270], "turn": "right"},
          SQUARE[3], {"x": 270, "y": 0}, {"x": 100, "y": -100}, {"x": 270, "y": 20}],
         "plate_outline", "must not cross or touch itself"),
        ([{**row, "x": row["x"] * 0.5} for row in SQUARE], "plate_outline", "reaches"),
        ([{"x": 3000 + row["x"], "y": row["y"]} for row in SQUARE], "plate_outline", "reaches"),
    ],
    ids=["bow", "flat", "one", "twice", "centre", "arc crossed", "hole outside", "beside the axis"],
)  # fmt: skip
def test_what_is_no_outline_is_refused(rows: list[Corner], field: str, words: str) -> None:
    with pytest.raises(InputError) as refused:
        design_of("converter", {"choices.plate_outline": rows})
    assert refused.value.field == f"choices.{field}"
    assert words in refused.value.accepted


def test_a_hole_outside_is_named_with_how_far() -> None:
    """The engine's dowels of 12 mm stand at x = ±230: an edge at x = 235 cuts 1 mm off each."""
    rows = [{**row, "x": math.copysign(235, row["x"])} for row in SQUARE]
    with pytest.raises(InputError) as refused:
        design_of("converter", {"choices.plate_outline": rows})
    assert refused.value.text.startswith("hole E-D1, 12 mm at -230.00, 0.00")
    assert "1.00 mm over the edge" in refused.value.accepted


def test_the_opening_must_be_held_too() -> None:
    """A plate open on one side of its opening is none."""
    bore = plate_of(design_of("converter")).size["bore"]
    spot = math.sqrt((bore / 2 - 1) ** 2 - 40**2)
    rows = [
        {"x": 270, "y": 270}, {"x": -270, "y": 270}, {"x": -270, "y": -270},
        {"x": 40, "y": -270}, {"x": 40, "y": -spot}, {"x": 50, "y": -270}, {"x": 270, "y": -270},
    ]  # fmt: skip
    with pytest.raises(InputError, match="opening") as refused:
        design_of("converter", {"choices.plate_outline": rows})
    assert "1.00 mm over the edge" in refused.value.accepted


# ── crossings ───────────────────────────────────────────────────────────────


def random_outline(dice: random.Random) -> list[Corner]:
    """A ring of corners, some edges arcs; now and then one pulled through the other side."""
    count = dice.randint(3, 9)
    angles = sorted(dice.uniform(0, 2 * math.pi) for _ in range(count))
    spots = [(r * math.cos(a), r * math.sin(a)) for a in angles for r in (dice.uniform(40, 100),)]
    if dice.random() < 0.3:
        spots[0] = (-spots[0][0], -spots[0][1])
    rows: list[Corner] = []
    for place, spot in enumerate(spots):
        row: Corner = {"x": f"{spot[0]:.6f}", "y": f"{spot[1]:.6f}"}
        if dice.random() < 0.5:
            after = spots[(place + 1) % count]
            off = dice.uniform(-1.5, 1.5)
            mid = ((spot[0] + after[0]) / 2, (spot[1] + after[1]) / 2)
            run = (after[0] - spot[0], after[1] - spot[1])
            row["centre"] = [f"{mid[0] - off * run[1]:.6f}", f"{mid[1] + off * run[0]:.6f}"]
            row["turn"] = dice.choice(("left", "right"))
        rows.append(row)
    return rows


def test_crossings_are_found_as_a_general_library_finds_them() -> None:
    """Seeded outlines: refused exactly where the fine polygon crosses itself; those that nearly
    touch, closer than the polygon is fine, are left out."""
    dice, refused, taken = random.Random(4), 0, 0
    for _ in range(400):
        rows = random_outline(dice)
        pieces = _pieces(rows)
        if pieces is None:
            continue
        ring = sample(pieces, 0.2)
        drawn = Polygon(ring)
        met = first_meeting(pieces)
        if _nearly(ring):
            continue
        assert (met is None) == drawn.is_valid, rows
        refused, taken = refused + (met is not None), taken + (met is None)
    assert refused > 40
    assert taken > 40


def _pieces(rows: list[Corner]) -> Any:
    """The pieces before they are tried for crossings, or ``None`` where they enclose nothing."""
    from wizard.engine.parts import imported

    read_corners = corners(rows)
    spots = [(one.x.first.value, one.y.first.value) for one in read_corners]
    return tuple(
        imported._piece(one, spots[place], spots[(place + 1) % len(spots)], place)
        for place, one in enumerate(read_corners)
    )


def _nearly(ring: Any) -> bool:
    """Whether parts of the ring far from each other along it come within 0.5 mm without crossing."""
    gaps = np.hypot(*(ring[:-1, None] - ring[None, :-1]).transpose(2, 0, 1))
    runs = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))))[:-1]
    whole = runs[-1] + float(np.hypot(*(ring[-1] - ring[-2])))
    apart = np.abs(runs[:, None] - runs[None, :])
    apart = np.minimum(apart, whole - apart)
    return bool(np.any((gaps < 0.5) & (apart > 4.0)) and Polygon(ring).is_valid)
