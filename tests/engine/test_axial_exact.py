"""The axial stage at its limits: what is met exactly is met, a hair beyond is not.

Closed forms, written out at each test.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.model.record import Design
from kb.sheets.reading import read
from tests.engine.altered import design_of
from tests.engine.test_axial_stock import TWO
from wizard.engine.axial import odds, region
from wizard.engine.axial.chain import chain
from wizard.engine.axial.needs import cut_through, recess_depth
from wizard.engine.axial.region import HalfPlanes
from wizard.engine.axial.stock import split, thicknesses
from wizard.engine.normalise import normalise


def rooms(made: Design, check: str) -> list[float]:
    """What each requirement of a check has in hand over its lower limit, at the sizes taken [mm]."""
    assert made.chain is not None
    x = {key: one.value for key, one in made.sides.lengths.items()}
    plate, spacer = made.chain.plate or 0.0, made.chain.spacer or 0.0
    return [
        row.line.plate * plate + row.line.spacer * spacer + row.line.constant
        + math.fsum(factor * x[key] for key, factor in row.line.terms.items()) - row.low
        for row in made.chain.requirements
        if row.check == check and row.low is not None
    ]  # fmt: skip


# ── requirements ────────────────────────────────────────────────────────────


@pytest.mark.parametrize("face", [6, 9, 12])
def test_the_pinion_must_cover_two_thirds_of_the_ring(face: float) -> None:
    made = design_of("converter", {"flexplate.ring.face": face})
    assert made.chain is not None
    overlap = made.chain.values["pinion_overlap"]
    assert min(rooms(made, "pinion-overlap")) == pytest.approx(overlap - 2 / 3 * face)


def test_wear_of_a_pushed_disc_eats_the_release_gap() -> None:
    """Gap over the band's lower edge, and gap less the wear over nought."""
    for wear in (1.0, 2.5):
        made = design_of("shaft", {"clutch.wear": wear})
        assert made.chain is not None
        gap = made.chain.values["release_gap"]
        assert gap - wear in [pytest.approx(room) for room in rooms(made, "release-gap")]
    pulled = design_of("shaft", {"clutch.wear": 2.5, "clutch.acts": "pull"})
    assert len(rooms(pulled, "release-gap")) == len(rooms(made, "release-gap")) - 1


@pytest.mark.parametrize(
    ("length", "through"),
    [(3.9, False), (4.0, False), (4.1, True), (9.4, True), (9.5, False), (9.6, False)],
)
def test_a_ring_is_cut_through_by_the_recess_over_a_spigot(length: float, through: bool) -> None:
    """A spigot 6 high: 6.5 of recess and 3 behind it want 9.5; up to 6 − 2 the ring goes over it."""
    made = design_of(
        "converter", {"engine.drive.register.form": "spigot", "engine.drive.register.depth": 6}
    )
    assert cut_through(made.sides, length) == through


@pytest.mark.parametrize(
    ("register", "deep"), [(399.98, 0.0), (400, 5.5), (400.02, 5.5)]
)  # fmt: skip
def test_a_hole_on_the_rim_of_the_recess_lies_in_it(register: float, deep: float) -> None:
    """Holes on 400: a register of 5 and half a millimetre of relief are missing from their floor."""
    made = design_of(
        "converter",
        {"gearbox.face.dowels": None, "gearbox.face.register":
         {"form": "spigot", "diameter": register, "depth": 5}},
    )  # fmt: skip
    assert made.sides.engine_face is not None
    (first, *_) = made.sides.engine_face.holes
    assert recess_depth(made.sides, first) == pytest.approx(deep)


# ── stock ───────────────────────────────────────────────────────────────────


def two(stock: str) -> str:
    kept = [line for line in TWO.splitlines() if not line.startswith("plate_stock")]
    return "\n".join(kept).replace("[choices]", f"[choices]\nplate_stock = {stock}")


def test_stock_as_thick_as_the_floor_is_thick_enough() -> None:
    """Each plate wants 14.5 (`test_two_plates_each_hold_their_own`)."""
    found = normalise(read(two("[14.5, 20]")))
    assert split(found, 34.5) == (14.5, 20)
    assert split(found, 29) == (14.5, 14.5)
    assert thicknesses(found) == (29, 34.5, 40)


def test_two_plates_together_want_what_each_wants() -> None:
    """14.5 and 14.5, in place of the 14.5 of one plate."""
    for text, wanted in ((TWO, 29), (TWO.replace("plates = 2", ""), 14.5)):
        made = chain(normalise(read(text)), draws=10)
        assert made is not None
        (row,) = [one for one in made.requirements if one.check == "head-sunk"]
        assert row.low == pytest.approx(wanted)


def test_two_of_the_thickest_where_none_is_thick_enough() -> None:
    assert thicknesses(normalise(read(two("[5, 10]")))) == (20,)


# ── odds ────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("length", "held"),
    [(20.0, True), (20.0 - 2e-9, False), (30.0, True), (30.0 + 2e-9, False), (25.0, True)],
)
def test_a_length_at_the_end_of_its_window_works(length: float, held: bool) -> None:
    window = odds._Window(
        low=np.array([20.0]), high=np.array([30.0]), open=np.array([True])
    )  # fmt: skip
    assert bool(window.holds(length)[0]) == held


@pytest.mark.parametrize(("room", "held"), [(0.0, True), (1.0, True), (-2e-9, False)])
def test_a_need_without_adapter_that_is_just_met_is_met(room: float, held: bool) -> None:
    """0 · L ≤ room beside L ≤ 30 and L ≥ 20."""
    planes = HalfPlanes(
        np.array([[0.0, 0.0], [0.0, 1.0], [0.0, -1.0]]), np.zeros(3), np.zeros((3, 0)), (),
        ("a", "b", "b"),
    )  # fmt: skip
    window = odds._window(planes, np.array([[room, 30.0, -20.0]]), 15.0)
    assert bool(window.holds(25.0)[0]) == held


# ── region ──────────────────────────────────────────────────────────────────


def test_no_corner_is_less_than_nothing() -> None:
    """A corner that rounds to nought is written without a sign."""
    corners = region._distinct([(-1e-12, 5.0), (5.0, -1e-12), (5.0, 5.0)])
    assert [math.copysign(1, one) for corner in corners for one in corner] == [1] * 6


@pytest.mark.parametrize(("least", "offered"), [(-2.0, False), (-2.001, True)])
def test_a_cure_never_takes_a_size_to_nothing(least: float, offered: bool) -> None:
    """2 short with a slope of −1: the size would have to be 2 smaller, which 2.000 is not."""
    planes = HalfPlanes(np.zeros((1, 2)), np.zeros(1), np.array([[-1.0]]), ("size",), ("a",))
    found = region._cures(planes, np.array([1.0]), 2.0, {"size": least})
    assert found == ({"size": -2.0} if offered else {})


def test_sampling_error_of_what_a_reading_decides() -> None:
    """Where every group is half yes: 95 % of a share of one half of n draws, 1.96·√(¼ / n)."""
    count = 20_000
    works = np.arange(count) % 2 == 0
    gain, error = odds._decides(np.arange(count, dtype=float), works, 0.5)
    assert gain == 0
    assert error == pytest.approx(1.96 * math.sqrt(0.25 / count), rel=1e-9)
