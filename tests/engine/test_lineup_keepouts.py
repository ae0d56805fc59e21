"""The disc each hole of a face needs in the plate, and the wall that is wanted between two of them.

Sizes: ISO 4762 with DIN 974-1 (counterbore), ISO 7089 (washer), ISO 273 (clearance hole, medium),
ASME B18.3 and B18.2.8 for inches (all from memory). What is kept clear where, and the walls that
are wanted: common practice, no source.
"""

from __future__ import annotations

import pytest

from kb.model.lineup import Feature, LineUp
from kb.model.record import Sides
from kb.sheets.reading import read
from wizard.engine.lineup import line_up_fixed
from wizard.engine.normalise import normalise

INCH = 25.4


def sides(text: str) -> Sides:
    return normalise(read('units = "mm"\n' + text))


def hole(text: str, *, side: str = "engine", choices: str = "") -> Feature:
    """A single hole of a face, 100 mm to the right as it was measured."""
    found = sides(f"[{side}.face]\nholes = [{{ x = 100, y = 0, {text} }}]\n[choices]\n{choices}")
    taken = found.engine_face if side == "engine" else found.gearbox_face
    assert taken is not None
    return taken.holes[0]


# ── the disc a hole needs ───────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("text", "side", "choices", "keepout"),
    [
        ('thread = "M10"', "engine", "", 18),  # the counterbore of its socket screw
        ('thread = "M12"', "engine", "", 20),
        ('thread = "M10"', "gearbox", "", 18),
        ('thread = "M10"', "engine", 'heads = "studs"', 15),  # a sleeve nut, 1.5 d
        ("hole = 11", "gearbox", "", 10),  # its screw goes into the plate
        ("hole = 11", "gearbox", 'plate_joint = "through"', 20),  # the washer
        ("hole = 11", "engine", "", 10),
        ("hole = 11", "engine", 'plate_joint = "through"', 10),
        ('hole = 11, bolt = "M8"', "gearbox", "", 8),
        ("hole = 11, keepout = 23", "gearbox", "", 23),
        ('thread = "M10", keepout = 23', "engine", "", 23),
        ('thread = "3/8-16"', "engine", "", 0.625 * INCH),
        ('hole = "13/32 in"', "gearbox", "", 0.375 * INCH),
    ],
)  # fmt: skip
def test_keepout_by_what_goes_in_the_hole(
    text: str, side: str, choices: str, keepout: float
) -> None:
    assert hole(text, side=side, choices=choices).keepout == pytest.approx(keepout, abs=0.02)


@pytest.mark.parametrize(
    ("text", "side", "choices", "planes"),
    [
        ('thread = "M10"', "engine", "", (11, 18)),  # head sunk at the gearbox's face
        ('thread = "M10"', "gearbox", "", (18, 11)),  # head sunk at the engine's face
        ('thread = "M10"', "engine", 'heads = "studs"', (11, 15)),  # sleeve nut, from behind
        ("hole = 11", "gearbox", 'plate_joint = "through"', (20, 11)),  # nut at the engine's face
        ("hole = 11", "gearbox", "", (10, 10)),  # the plate is tapped right through
        ("hole = 11", "engine", "", (10, 10)),
        ('thread = "M10", keepout = 23', "engine", "", (23, 23)),
    ],
)
def test_keepout_at_each_face_of_the_plate(
    text: str, side: str, choices: str, planes: tuple[float, float]
) -> None:
    assert hole(text, side=side, choices=choices).at_planes == pytest.approx(planes)


def test_by_plane_only_discs_that_meet_are_set_against_each_other() -> None:
    """Two tapped faces, heads at opposite faces of the plate: 18 never meets 18.

    Through: 16 − 18 = −2. By plane: 16 − (18 + 11)/2 = 1.5. The dowels, right through, stay.
    """
    text = (
        '[engine.face]\nholes = [{ x = 100, y = 0, thread = "M10" }]\n'
        '[gearbox.face]\nholes = [{ x = -116, y = 0, thread = "M10" }]\n[choices]\n'
    )
    for choice, wall in (("", -2), ('keepout = "by plane"', 1.5)):
        up = line_up_fixed(sides(text + choice))
        assert up is not None
        assert up.wall == up.best_wall == pytest.approx(wall)
        assert bool(up.clashes) is (wall < 0)


def test_a_screw_is_named_by_the_largest_that_passes_closely() -> None:
    """13/32 in takes 3/8-16, 10.5 mm takes M10; each said once, not for every hole."""
    found = sides(
        '[gearbox.face]\nholes = [{ id = "1", x = 1, y = 90, hole = "13/32 in" },'
        ' { id = "2", x = 90, y = 0, hole = 10.5 }, { id = "3", x = -90, y = 0, hole = 10.5 }]'
    )
    assert found.gearbox_face is not None
    screws = [one.screw.designation for one in found.gearbox_face.holes if one.screw]
    assert screws == ["3/8-16", "M10", "M10"]
    said = [one.value for one in found.assumed if one.key == "gearbox.face.bolt"]
    assert said == ["3/8-16", "M10"]


def test_a_hole_no_screw_is_known_for_keeps_its_own_size_clear() -> None:
    assert hole("hole = 3", side="gearbox").keepout == pytest.approx(3)


# ── the wall that is wanted ─────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("material", "engine", "gearbox", "wanted"),
    [
        ("A36", 'thread = "M10"', "hole = 11", 5),  # max(3, 0.5 · 10)
        ("A36", 'thread = "M12"', 'hole = 6.6, bolt = "M6"', 3),  # max(3, 0.5 · 6)
        ("6061-T6", 'thread = "M10"', "hole = 11", 10),  # max(5, 1.0 · 10)
        ("6061-T6", 'thread = "M12"', "hole = 9", 8),  # the smaller of the two
        ("6061-T6", 'thread = "M12"', 'hole = 5.5, bolt = "M5"', 5),  # never under 5
    ],
)  # fmt: skip
def test_wanted_wall_by_material_and_the_smaller_screw(
    material: str, engine: str, gearbox: str, wanted: float
) -> None:
    text = (
        f"[engine.face]\nholes = [{{ x = 100, y = 0, {engine} }}]\n"
        f"[gearbox.face]\nholes = [{{ x = 100, y = 0, {gearbox} }}]\n"
        f'[choices]\nplate_material = "{material}"\nrules = "automatic road car"\n'
    )
    up = line_up_fixed(sides(text))
    assert up is not None
    assert up.required == pytest.approx(wanted)
    held = line_up_fixed(sides(text + "least_wall = 7.5"))
    assert held is not None
    assert held.required == 7.5
    assert held.wall == up.wall


def test_iron_is_given_the_walls_of_aluminium() -> None:
    """It has none of its own in the rules, so the more careful ones hold."""
    up = line_up_fixed(
        sides(
            '[engine.face]\nholes = [{ x = 100, y = 0, thread = "M10" }]\n'
            "[gearbox.face]\nholes = [{ x = 90, y = 0, hole = 11 }]\n"
            '[choices]\nplate_material = "grey iron class 30"\n'
        )
    )
    assert up is not None
    assert up.required == 10


def test_the_wall_asked_of_a_face_is_the_largest_any_pair_asks() -> None:
    """Steel: M6 beside M6 wants 3, M12 beside M12 wants 6; the two M12 stand far apart."""
    text = """
[engine.face]
holes = [ { id = "1", x = 100, y = 0, thread = "M12" }, { id = "2", x = 0, y = 90, thread = "M6" } ]
[gearbox.face]
holes = [ { id = "1", x = 100, y = 0, hole = 13.5, bolt = "M12" }, { id = "2", x = 0, y = 130, hole = 6.6, bolt = "M6" } ]
[choices]
plate_material = "A36"
rules = "automatic road car"
"""
    up = line_up_fixed(sides(text))
    assert up is not None
    assert up.required == 6


def beside_dowel(dowel: str, other: str, at: float) -> LineUp:
    """An engine dowel 100 mm to the right, something of the gearbox ``at`` mm outside it."""
    up = line_up_fixed(
        sides(
            f"""
[engine.face]
holes = [ {{ id = "1", x = -150, y = 0, thread = "M6" }} ]
dowels = [ {{ id = "D", x = 100, y = 0, {dowel} }} ]
[gearbox.face]
holes = [ {{ id = "1", x = -200, y = 0, hole = 9, bolt = "M8" }}, {{ id = "2", x = 0, y = -80, hole = 9, bolt = "M8" }} ]
dowels = [ {{ id = "E", x = {-100 - at}, y = 0, {other} }} ]
[choices]
plate_material = "A36"
rules = "automatic road car"
"""
        )
    )
    assert up is not None
    return up


@pytest.mark.parametrize(
    ("dowel", "other", "discs", "wanted"),
    [
        ("diameter = 12", "diameter = 10", 11, 6),  # never under 6
        ("diameter = 12", "diameter = 20", 16, 10),  # half the larger of the two
        ("diameter = 20", "diameter = 12", 16, 10),
        ("diameter = 12, keepout = 20", "diameter = 10", 15, 6),  # kept clear, but no larger dowel
    ],
)
def test_wall_beside_a_dowel(dowel: str, other: str, discs: float, wanted: float) -> None:
    """max(6, half the dowel); the disc is what is kept clear around it."""
    enough = beside_dowel(dowel, other, discs + wanted + 0.01)
    assert enough.dowel_wall == pytest.approx(wanted + 0.01)
    assert enough.windows == ((0, 0),)
    assert beside_dowel(dowel, other, discs + wanted - 0.01).windows == ()
