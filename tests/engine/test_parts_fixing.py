"""Holes that hold the plate while it is bored: clear of everything, found again by Shapely."""

from __future__ import annotations

import itertools
import math

import pytest
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from kb.errors import InputError
from kb.model.parts import Part
from tests.engine.altered import design_of
from wizard.engine.parts.outline import sample

ASKED: dict[str, object] = {"choices.fixing_holes.count": 3}


def plate(change: dict[str, object]) -> Part:
    return next(one for one in design_of("converter", change).adapter.parts if one.name.endswith("plate"))  # fmt: skip


def test_none_unless_asked_for() -> None:
    assert not [hole for hole in plate({}).holes if hole.purpose == "fixing"]


@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_they_stand_clear_of_every_hole_the_bore_and_the_edge(count: int) -> None:
    """6 mm left all round and 1.5 diameters to the edge: common practice, no source."""
    made = plate({"choices.fixing_holes.count": count, "choices.fixing_holes.hole": 10.5})
    own = [hole for hole in made.holes if hole.purpose == "fixing"]
    assert len(own) == count
    radii = {round(math.hypot(hole.x, hole.y), 6) for hole in own}
    assert len(radii) == 1
    edge = Polygon(sample(made.outline, 0.2)).exterior
    for hole in own:
        spot = Spot(hole.x, hole.y).buffer(hole.diameter / 2, 128)
        assert spot.distance(Spot(0, 0)) >= made.size["bore"] / 2 + 6 - 0.01
        assert edge.distance(Spot(hole.x, hole.y)) >= 1.5 * 10.5 - 0.01
    for hole, other in itertools.product(own, made.holes):
        if other.purpose != "fixing":
            across = max(other.diameter, other.counterbore.diameter if other.counterbore else 0)
            gap = math.dist((hole.x, hole.y), (other.x, other.y)) - (hole.diameter + across) / 2
            assert gap >= 6 - 1e-6


def test_they_take_from_the_mass() -> None:
    bare, bored = plate({}), plate(ASKED | {"choices.fixing_holes.hole": 12})
    lost = 3 * math.pi / 4 * 12**2 * bare.size["thickness"] * 2700e-9
    assert bare.mass_kg is not None
    assert bored.mass_kg == pytest.approx(bare.mass_kg - lost, abs=2e-3)


def test_a_circle_through_the_screws_is_refused() -> None:
    with pytest.raises(InputError, match=r"fixing_holes\.circle"):
        plate({"choices.fixing_holes.count": 24, "choices.fixing_holes.circle": 400})


def test_more_holes_than_any_circle_takes_are_refused() -> None:
    with pytest.raises(InputError, match="fixing_holes"):
        plate({"choices.fixing_holes.count": 60, "choices.fixing_holes.hole": 25})
