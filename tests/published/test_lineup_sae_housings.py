"""Published housings and flywheels set face to face through the whole engine.

Sources: SAE J617, as tabulated by a maker (bolt circles, hole counts, threads and bores, read); SAE
J620, Table 1 (read; G from an extract of SAE J620D). How holes straddle the vertical: ISO 7648:1987
(read). Between circles of n₁ and n₂ equally spaced holes the nearest two are 180°·k/lcm(n₁, n₂)
apart (elementary number theory), so every wall below is worked by the law of cosines. Keep-outs
come from the sheet, so no table of screws stands between the source and the answer.
"""

from __future__ import annotations

import itertools
import math
from typing import NamedTuple

import pytest

from kb.model.record import Design
from kb.sheets.reading import read
from wizard.engine.design import design

INCH = 25.4
SUNK, SCREW = 17.0, 10.0  # mm: what the plate keeps clear at the engine's and the gearbox's holes


class Housing(NamedTuple):
    """SAE J617, in inches as printed: bore, bolt circle, holes, first hole from the vertical [°]."""

    bore: float
    circle: float
    holes: int
    first: float


J617 = {
    "00": Housing(31.0, 33.5, 16, 11.25),
    "0": Housing(25.5, 26.75, 16, 11.25),
    "1/2": Housing(23.0, 24.375, 12, 15),
    "1": Housing(20.125, 20.875, 12, 15),
    "2": Housing(17.625, 18.375, 12, 15),
    "3": Housing(16.125, 16.875, 12, 15),
    "4": Housing(14.25, 15.0, 12, 15),
    "5": Housing(12.375, 13.125, 8, 22.5),
    "6": Housing(10.5, 11.25, 8, 22.5),
}
J620 = {  # pilot bore B, bolt circle C, G below the housing face [in], holes
    "8": (10.375, 9.625, 2.44, 6),
    "10": (12.375, 11.625, 2.12, 8),
    "11-1/2": (13.875, 13.125, 1.56, 8),
    "14": (18.375, 17.25, 1.0, 8),
}
PAIRS = list(itertools.combinations(J617, 2))


def mated(engine: str, gearbox: str, clocking: tuple[float, float]) -> Design:
    return design(
        read(
            f"""
units = "in"
[engine]
face = "standard:SAE J617 No. {engine}"
[gearbox]
face = "standard:SAE J617 No. {gearbox}"
[choices]
clocking = [{clocking[0]}, {clocking[1]}]
"""
        ),
        draws=10,
    )


def keepouts(engine: str, gearbox: str, clocking: tuple[float, float]) -> Design:
    """The same two faces written out hole by circle, with discs of known size."""
    one, two = J617[engine], J617[gearbox]
    return design(
        read(
            f"""
units = "in"
[engine.face]
circle = {{ count = {one.holes}, diameter = {one.circle}, start = {90 - one.first}, thread = "3/8-16", keepout = "{SUNK} mm" }}
[gearbox.face]
circle = {{ count = {two.holes}, diameter = {two.circle}, start = {90 - two.first}, hole = "13/32", keepout = "{SCREW} mm" }}
[choices]
clocking = [{clocking[0]}, {clocking[1]}]
"""
        ),
        draws=10,
    )


def wall(engine: Housing, gearbox: Housing, angle: float) -> float:
    """Wall between a hole of each, an angle apart: law of cosines [mm]."""
    a, b = engine.circle * INCH / 2, gearbox.circle * INCH / 2
    apart = math.sqrt(a * a + b * b - 2 * a * b * math.cos(math.radians(angle)))
    return apart - (SUNK + SCREW) / 2


def nearest(engine: Housing, gearbox: Housing, turn: float) -> float:
    """Smallest angle between a hole of one and a hole of the other, from their starts."""
    step = 360 / math.lcm(engine.holes, gearbox.holes)
    off = (gearbox.first - engine.first - turn) % step
    return min(off, step - off)


@pytest.mark.parametrize(("engine", "gearbox"), PAIRS)
@pytest.mark.parametrize("turn", [0.0, 4.0])
def test_walls_between_two_sizes(engine: str, gearbox: str, turn: float) -> None:
    found = keepouts(engine, gearbox, (turn, turn)).fixed
    assert found is not None
    one, two = J617[engine], J617[gearbox]
    expected = wall(one, two, nearest(one, two, turn))
    assert found.wall == pytest.approx(expected, abs=1e-6)
    assert bool(found.clashes) is (expected < 0)


@pytest.mark.parametrize(("engine", "gearbox"), PAIRS)
def test_best_turn_between_two_sizes(engine: str, gearbox: str) -> None:
    """Half the common pitch apart: 15° for twelve on twelve, 7.5° for eight on twelve …"""
    found = keepouts(engine, gearbox, (-180, 180)).fixed
    assert found is not None
    one, two = J617[engine], J617[gearbox]
    apart = 180 / math.lcm(one.holes, two.holes)
    assert found.best_wall == pytest.approx(wall(one, two, apart), abs=1e-6)
    assert nearest(one, two, found.best_clocking) == pytest.approx(apart, abs=1e-3)


def test_number_three_engine_to_a_number_two_gearbox() -> None:
    """Upright the holes stand behind each other on circles 1.5 in apart: 19.05 − 13.5 = 5.55 mm."""
    found = keepouts("3", "2", (0, 0)).fixed
    assert found is not None
    assert found.wall == pytest.approx((18.375 - 16.875) / 2 * INCH - 13.5, abs=1e-9)
    assert found.clashes == ()


@pytest.mark.parametrize(
    ("engine", "gearbox", "clashes"), [("3", "4", 0), ("5", "6", 0), ("1", "2", 0), ("3", "3", 12)]
)
def test_neighbouring_sizes_upright(engine: str, gearbox: str, clashes: int) -> None:
    """Circles 15/16 in and more apart in radius leave a wall; a size on itself clashes everywhere."""
    found = keepouts(engine, gearbox, (0, 0)).fixed
    assert found is not None
    assert len(found.clashes) == clashes


@pytest.mark.parametrize("size", J617)
def test_a_size_on_itself_is_held_by_the_same_screws(size: str) -> None:
    """Every hole on its own: all clash, all can share, and the best turn is half a step on."""
    found = mated(size, size, (-90, 90)).fixed
    assert found is not None
    count = J617[size].holes
    assert found.best_clocking == pytest.approx(180 / count, abs=1e-6)
    held = mated(size, size, (0, 0)).fixed
    assert held is not None
    assert len(held.shared) == count
    # measured from the front the gearbox counts the other way, so 1 meets 2, 2 meets 1, 3 meets count
    assert set(held.shared) == {
        (str(k + 1), str((1 - k) % count + 1)) for k in range(count)
    }  # fmt: skip


@pytest.mark.parametrize(("engine", "gearbox"), [("3", "2"), ("4", "3"), ("6", "5"), ("1", "1/2")])
def test_registers_of_two_sizes(engine: str, gearbox: str) -> None:
    """The engine has the standard's bore, the gearbox a spigot of its own size's least bore."""
    lengths = mated(engine, gearbox, (0, 0)).sides.lengths
    bore = lengths["engine.face.register.diameter"]
    assert bore.low == pytest.approx(J617[engine].bore * INCH)
    assert bore.high - bore.low == pytest.approx((0.008 if engine == "1/2" else 0.005) * INCH)
    assert lengths["gearbox.face.register.diameter"].value == pytest.approx(
        J617[gearbox].bore * INCH
    )


@pytest.mark.parametrize("size", J620)
def test_a_clutch_on_its_own_flywheel(size: str) -> None:
    """The same circle: one screw; and the driven face stands where the flywheel's does, so L = t + g."""
    pilot, circle, depth, holes = J620[size]
    found = design(
        read(
            f"""
units = "in"
[engine]
drive = "standard:SAE J620 {size}"
[gearbox]
driven = "standard:SAE J620 {size}"
[choices]
plate = 0.75
packing = 0.02
"""
        ),
        draws=10,
    )
    assert found.rotating is not None
    assert found.rotating.through
    assert found.sides.driving is not None
    assert len(found.sides.driving.holes) == holes
    radii = [math.hypot(one.x, one.y) for one in found.sides.driving.holes]
    assert radii == pytest.approx([circle * INCH / 2] * holes)
    for key in ("engine.drive.register.diameter", "gearbox.driven.register.diameter"):
        assert found.sides.lengths[key].value == pytest.approx(pilot * INCH)
    assert found.chain is not None
    assert found.chain.stations["driving_face"] == pytest.approx(-depth * INCH)
    assert found.chain.spacer == pytest.approx(0.77 * INCH)
    assert found.chain.values["flange_offset"] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("engine", "gearbox"), [("10", "11-1/2"), ("11-1/2", "10"), ("10", "14")])
def test_a_clutch_on_another_flywheel(engine: str, gearbox: str) -> None:
    """z_d + L = t + N: the adapter makes up for the difference of the two depths G."""
    found = design(
        read(
            f"""
units = "in"
[engine]
drive = "standard:SAE J620 {engine}"
[gearbox]
driven = "standard:SAE J620 {gearbox}"
[choices]
plate = 1.0
"""
        ),
        draws=10,
    )
    assert found.chain is not None
    length = 1.0 - J620[gearbox][2] + J620[engine][2]
    assert found.chain.spacer == pytest.approx(length * INCH)
    assert found.rotating is not None
    assert not found.rotating.through
    assert found.rotating.wall is not None
    # eight on eight of another circle, both straddling the vertical: half a step, 22.5°, is best
    assert abs(found.rotating.clocking) == pytest.approx(22.5, abs=1e-6)
