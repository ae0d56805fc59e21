"""Measured holes found again among many faces, laid down as a person would lay them.

Second method: the move that was made is known, so clocking, side, scale and missing holes are too.
Faces are thrown at random; nothing here is a real one.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from kb.errors import InputError, OutOfScope
from wizard.search.faces import Known, Shelf

Array = NDArray[np.float64]


def faces(count: int = 60, *, seed: int = 4) -> list[Known]:
    random = np.random.default_rng(seed)
    found = []
    for number in range(count):
        holes = int(random.integers(6, 13))
        turn = np.sort(random.uniform(0, 2 * math.pi, holes))
        radius = random.uniform(130, 230, holes)
        found.append(Known(name=f"face {number}", holes=np.column_stack((radius * np.cos(turn), radius * np.sin(turn)))))  # fmt: skip
    return found


SHELF = Shelf(faces())


def moved(holes: Array, *, turn: float = 0.0, shift: tuple[float, float] = (0.0, 0.0), mirrored: bool = False, scale: float = 1.0, noise: float = 0.1, seed: int = 1) -> Array:  # fmt: skip
    """As somebody measured it: its own origin, rounded to a tenth."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    laid = (holes * (-1, 1) if mirrored else holes) @ np.array(((c, s), (-s, c))) + shift
    laid = laid + np.random.default_rng(seed).normal(0, noise, laid.shape)
    return np.round(laid, 1) * scale


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("turn", [0.0, 37.0, -140.0])
@pytest.mark.parametrize("which", [0, 7, 23, 59])
def test_any_origin_any_clocking_either_side(which: int, turn: float, mirrored: bool) -> None:
    """Origin at a dowel somewhere off, each hole read to 0.1."""
    true = SHELF.faces[which].holes
    (best, *rest) = SHELF.find(moved(true, turn=turn, shift=(-187.3, 52.6), mirrored=mirrored))
    assert best.name == f"face {which}"
    assert best.mirrored == mirrored
    expected = turn if mirrored else -turn
    assert abs((best.turn - expected + 180) % 360 - 180) < 0.2
    assert best.rms < 0.3
    assert best.scale == 1.0
    assert [a for a, _ in best.pairs] == [b for _, b in best.pairs]
    assert all(len(one.missing) + len(one.extra) > 0 for one in rest)


@pytest.mark.parametrize("gone", [[0], [2, 4]])
def test_holes_that_were_not_measured_are_named(gone: list[int]) -> None:
    true = SHELF.faces[11].holes
    best = SHELF.find(moved(np.delete(true, gone, axis=0), turn=20))[0]
    assert best.name == "face 11"
    assert list(best.missing) == gone
    assert best.extra == ()


def test_a_hole_of_something_else_is_named() -> None:
    true = SHELF.faces[3].holes
    more = np.vstack((true, [(40.0, -65.0)]))
    best = SHELF.find(moved(more, turn=-75))[0]
    assert best.name == "face 3"
    assert best.extra == (len(true),)
    assert best.missing == ()


@pytest.mark.parametrize(
    ("scale", "says"),
    [(1 / 25.4, "inches read as millimetres"), (25.4, "millimetres read as inches"),
     (0.98, "98.0 %"), (1.04, "104.0 %")],
)  # fmt: skip
def test_errors_of_scale_are_found_and_named(scale: float, says: str) -> None:
    true = SHELF.faces[31].holes
    best = SHELF.find(moved(true, turn=12, scale=scale, noise=0.05))[0]
    assert best.name == "face 31"
    assert best.scale == pytest.approx(1 / scale, rel=3e-3)
    assert says in best.scale_says


def test_a_face_of_nobody_is_not_called_one() -> None:
    stranger = faces(1, seed=99)[0].holes
    assert SHELF.find(moved(stranger)) == ()


def test_a_hole_a_few_millimetres_off_is_not_taken_for_its_neighbour() -> None:
    true = SHELF.faces[8].holes.copy()
    true[1] += (3.0, -2.0)
    best = SHELF.find(moved(true, noise=0.02))[0]
    assert 1 in best.missing
    assert 1 in best.extra


def test_nineteen_in_twenty_are_found() -> None:
    """200 measurements to 0.3 mm with one hole left out: the right face stands first."""
    random = np.random.default_rng(6)
    right = 0
    for trial in range(200):
        which = int(random.integers(0, 60))
        true = SHELF.faces[which].holes
        gone = int(random.integers(0, len(true)))
        seen = moved(np.delete(true, gone, axis=0), turn=float(random.uniform(-180, 180)), noise=0.15, mirrored=bool(trial % 2), seed=trial)  # fmt: skip
        found = SHELF.find(seen)
        right += bool(found) and found[0].name == f"face {which}"
    assert right >= 190


@pytest.mark.parametrize("holes", [[], [(0, 0)], [(0, 0), (10, 0)]])
def test_too_few_holes_are_refused(holes: list[tuple[float, float]]) -> None:
    with pytest.raises(OutOfScope, match="holes"):
        SHELF.find(np.array(holes, dtype=float).reshape(-1, 2))


def test_two_holes_at_one_place_are_refused() -> None:
    with pytest.raises(InputError, match="holes 1 and 3"):
        SHELF.find(np.array([(0, 0), (5, 5), (0, 0)], dtype=float))
