"""Holes placed by distances, against a second solver and with the slips people make.

Source: weighted least squares solved anew by SciPy. Readings are invented.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import least_squares

from kb.errors import InputError
from kb.model.measured import Stretch
from kb.quantity import read_length
from tests.bench.readings import reading
from wizard.bench.distances import Distances, place_by_distances
from wizard.bench.network import Spot

TRUE = {"A": (0.0, 0.0), "B": (210.0, 0.0), "C": (188.0, 142.0), "D": (60.0, 171.0), "E": (-38.0, 95.0)}  # fmt: skip


def spots(*, held: str = "AB") -> list[Spot]:
    """A dowel as origin, another along x; the rest to be found."""
    nought = read_length("0", key="x", units="mm")
    return [
        Spot(name=name, x=nought if name == held[0] else None,
             y=nought if name in held else None, about=TRUE[name])
        for name in TRUE
    ]  # fmt: skip


def stretches(change: dict[int, float] | None = None, *, seed: int = 1) -> list[Stretch]:
    random = np.random.default_rng(seed)
    return [
        Stretch(start=a, end=b, reading=reading(
            math.dist(TRUE[a], TRUE[b]) + random.normal(0, 0.02) + (change or {}).get(place, 0.0)))
        for place, (a, b) in enumerate(itertools.combinations(TRUE, 2))
    ]  # fmt: skip


def off(found: Distances) -> float:
    return max(math.dist((one.x, one.y), TRUE[one.name]) for one in found.holes)


def test_all_holes_are_found_from_their_distances() -> None:
    found = place_by_distances(spots(), stretches())
    assert off(found) < 0.08
    assert found.agrees
    assert all(one.within < 0.1 for one in found.holes)


def test_a_second_solver_finds_the_same_places() -> None:
    rows = stretches(seed=4)
    found = place_by_distances(spots(), rows)

    def misfit(free: np.ndarray) -> np.ndarray:
        places = {"A": (0.0, 0.0), "B": (free[0], 0.0), "C": tuple(free[1:3]), "D": tuple(free[3:5]), "E": tuple(free[5:7])}  # fmt: skip
        return np.array([math.dist(places[one.start], places[one.end]) - one.reading.value for one in rows])  # fmt: skip

    solved = least_squares(misfit, [200, 180, 140, 60, 170, -40, 100], xtol=1e-14, ftol=1e-14)
    mine = {one.name: (one.x, one.y) for one in found.holes}
    theirs = [mine["B"][0], *mine["C"], *mine["D"], *mine["E"]]
    assert theirs == pytest.approx(solved.x.tolist(), abs=1e-5)


@pytest.mark.parametrize("wrong", range(10))
def test_a_misread_distance_is_named(wrong: int) -> None:
    """0.8 mm off among readings of ± 0.05: left out, and called by its name."""
    found = place_by_distances(spots(), stretches({wrong: 0.8}, seed=3))
    assert found.agrees is False
    assert [one.places for one in found.explained] == [(wrong,)]
    for one in found.holes:  # as near as is said, and a little more: one in twenty may lie outside
        assert math.dist((one.x, one.y), TRUE[one.name]) <= 1.3 * one.within + 1e-9
    start, end = list(itertools.combinations(TRUE, 2))[wrong]
    assert any(start in line and end in line and "isread" in line for line in found.says)


def test_a_swapped_pair_is_not_silently_taken() -> None:
    """Two distances written in each other's place."""
    rows = stretches(seed=5)
    a, b = rows[3], rows[6]
    rows[3] = Stretch(start=a.start, end=a.end, reading=b.reading)
    rows[6] = Stretch(start=b.start, end=b.end, reading=a.reading)
    found = place_by_distances(spots(), rows)
    assert found.agrees is False
    assert any(set(one.places) == {3, 6} for one in found.explained)
    assert off(found) < 0.12


def test_the_robust_fit_lets_the_misread_one_count_for_little() -> None:
    """Eight holes on a circle, all distances taken, one of them 0.8 off."""
    places = {
        str(n): (90 * math.cos(n * math.pi / 4), 90 * math.sin(n * math.pi / 4)) for n in range(8)
    }
    nought = read_length("0", key="y", units="mm")
    far = read_length("90", key="x", units="mm")
    marks = [
        Spot(name=name, x=far if name == "0" else None, y=nought if name in "04" else None,
             about=place)
        for name, place in places.items()
    ]  # fmt: skip
    rows = [
        Stretch(start=a, end=b, reading=reading(math.dist(places[a], places[b]) + (0.8 if (a, b) == ("1", "5") else 0)))
        for a, b in itertools.combinations(places, 2)
    ]  # fmt: skip
    found = place_by_distances(marks, rows, robust=True)
    wrong = next(place for place, one in enumerate(rows) if (one.start, one.end) == ("1", "5"))
    assert min(range(len(rows)), key=lambda place: found.weights[place]) == wrong
    assert found.weights[wrong] < 0.2
    assert max(math.dist((one.x, one.y), places[one.name]) for one in found.holes) < 0.08


def test_edges_take_the_holes_into_account() -> None:
    """Over the outside of two 12 mm holes a distance is 12 longer, between near edges 12 shorter."""
    sized = [
        Spot(name=one.name, x=one.x, y=one.y, about=one.about, size=reading(12.0))
        for one in spots()
    ]
    rows = [
        Stretch(start=a, end=b, edges=edges, reading=reading(math.dist(TRUE[a], TRUE[b]) + more))
        for (a, b), (edges, more) in zip(
            itertools.combinations(TRUE, 2),
            itertools.cycle([("outside", 12), ("inside", -12), ("centres", 0)]), strict=False,
        )
    ]  # fmt: skip
    assert off(place_by_distances(sized, rows)) < 0.08


def test_the_stated_width_holds() -> None:
    """100 networks read anew: 95 in 100 holes lie as near as is said."""
    held = total = 0
    for seed in range(100):
        for one in place_by_distances(spots(), stretches(seed=100 + seed)).holes:
            if one.within > 0:
                total += 1
                held += math.dist((one.x, one.y), TRUE[one.name]) <= one.within + 1e-9
    assert held >= 0.93 * total


@pytest.mark.parametrize(
    ("take", "field"),
    [(lambda rows: [], "distances"), (lambda rows: rows[:3], ""), (lambda rows: [Stretch(start="A", end="Z", reading=rows[0].reading)], "distances"),
     (lambda rows: [Stretch(start="A", end="A", reading=rows[0].reading)], "distances")],
)  # fmt: skip
def test_too_little_is_refused_by_name(take: object, field: str) -> None:
    with pytest.raises(InputError) as refused:
        place_by_distances(spots(), take(stretches()))  # type: ignore[operator]
    assert field in refused.value.field
