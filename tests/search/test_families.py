"""Faces of one pattern are found however they lie; a face that is off by a hair too much is reported."""

from __future__ import annotations

import math

import numpy as np
import pytest

from wizard.search.faces import Known
from wizard.search.families import NEAR, SAME, families

BASE = [(-150.0, 95.0), (-60.0, 128.0), (72.0, 124.0), (148.0, 88.0), (156.0, -60.0), (40.0, -132.0), (-84.0, -126.0)]  # fmt: skip
OTHER = [(-120.0, 60.0), (10.0, 140.0), (130.0, 20.0), (30.0, -150.0), (-100.0, -110.0)]


def moved(spots: list[tuple[float, float]], *, turn: float, at: tuple[float, float], mirror: bool = False) -> list[tuple[float, float]]:  # fmt: skip
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    found = []
    for x, y in spots:
        x = -x if mirror else x
        found.append((c * x - s * y + at[0], s * x + c * y + at[1]))
    return found


def test_one_pattern_is_one_family_however_it_lies() -> None:
    faces = [
        Known.of("a", BASE), Known.of("b", moved(BASE, turn=37, at=(12, -80))),
        Known.of("c", moved(BASE, turn=-110, at=(0, 5), mirror=True)), Known.of("d", OTHER),
    ]  # fmt: skip
    found = families(faces)
    assert [set(names) for names in found.families] == [{"a", "b", "c"}]
    assert found.doubtful == ()


def test_a_face_that_ought_to_agree_and_does_not_is_reported() -> None:
    off = list(BASE)
    off[3] = (off[3][0] + 1.2, off[3][1])
    found = families([Known.of("a", BASE), Known.of("b", moved(off, turn=20, at=(3, 4)))])
    assert found.families == ()
    (kin,) = found.doubtful
    assert {kin.one, kin.other} == {"a", "b"}
    assert SAME < kin.rms < NEAR


def test_inches_read_as_millimetres_are_said() -> None:
    small = [(x / 25.4, y / 25.4) for x, y in BASE]
    found = families([Known.of("a", BASE), Known.of("b", small)])
    assert found.families == ()
    (kin,) = found.doubtful
    assert kin.scale_says == "inches of b were kept as millimetres"


def test_readings_of_a_calliper_are_still_one_family() -> None:
    random = np.random.default_rng(3)
    noisy = [(x + random.normal(0, 0.05), y + random.normal(0, 0.05)) for x, y in BASE]
    assert families([Known.of("a", BASE), Known.of("b", noisy)]).families == (("a", "b"),)


@pytest.mark.parametrize("faces", [[], [Known.of("a", BASE)], [Known.of("a", BASE[:2]), Known.of("b", BASE[:2])]])  # fmt: skip
def test_nothing_to_compare_is_nothing_found(faces: list[Known]) -> None:
    found = families(faces)
    assert (found.families, found.doubtful) == ((), ())
