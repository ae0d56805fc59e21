"""Bolt circles from calipers.

Sources: length of a chord, Machinery's Handbook, 31st ed. (2020), p.711 (factors read: 6 holes 0.5,
5 holes 0.58779, 8 holes 0.38268); everything else is that chord by hand. Readings are invented.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.errors import InputError
from tests.bench.readings import reading
from wizard.bench.bolt_circle import Between, bolt_circle


def between(kind: str, value: float, step: int = 1, *, to: float = 0.05) -> Between:
    return Between(kind=kind, reading=reading(value, to=to), step=step)


@pytest.mark.parametrize(("count", "factor"), [(5, 0.58779), (6, 0.5), (8, 0.38268)])
def test_a_gap_and_a_hole_give_the_handbook_s_circle(count: int, factor: float) -> None:
    """Centres are gap + hole apart, and that chord over the factor is the diameter."""
    found = bolt_circle([between("gap", 44.45), between("hole", 11.1)], count=count)
    assert found.diameter == pytest.approx((44.45 + 11.1) / factor, rel=1e-4)
    assert found.hole == pytest.approx(11.1)
    assert found.agrees is None


def test_gap_and_span_give_circle_and_hole_without_measuring_a_hole() -> None:
    found = bolt_circle([between("gap", 44.45), between("span", 66.65)], count=6)
    assert found.diameter == pytest.approx(44.45 + 66.65)
    assert found.hole == pytest.approx((66.65 - 44.45) / 2)


def test_skip_chords_and_straight_across() -> None:
    """Eight on 150: one on 150·sin 22.5°, two on 150·sin 45°, across 150."""
    readings = [between("chord", 150 * math.sin(math.pi * step / 8), step) for step in (1, 2, 3)]
    found = bolt_circle([*readings, between("chord", 150, 0)], count=8)
    assert found.diameter == pytest.approx(150, abs=0.05)
    assert found.agrees


def test_a_wrong_count_is_said() -> None:
    """Seven holes' worth of readings called six: the usual count nearest to them is named."""
    readings = [
        between("chord", 120 * math.sin(math.pi / 8)), between("chord", 120 * math.sin(math.pi / 4), 2),
        between("chord", 120, 0),
    ]  # fmt: skip
    found = bolt_circle(readings, count=6)
    assert found.agrees is False
    assert 8 in found.counts
    assert any("8 holes" in line for line in found.says)


def test_the_count_is_found_where_it_alone_agrees() -> None:
    readings = [between("chord", 120 * math.sin(math.pi / 5)), between("chord", 120 * math.sin(2 * math.pi / 5), 2)]  # fmt: skip
    assert bolt_circle(readings).count == 5


@pytest.mark.parametrize("wrong", [0, 1, 2, 3])
def test_a_misread_chord_is_named_and_left_out(wrong: int) -> None:
    """0.8 mm off among readings to 0.05."""
    true = [150 * math.sin(math.pi * step / 8) for step in (1, 2, 3)] + [150.0]
    taken = [size + (0.8 if place == wrong else 0) for place, size in enumerate(true)]
    found = bolt_circle(
        [between("chord", size, (1, 2, 3, 0)[place]) for place, size in enumerate(taken)], count=8
    )
    assert found.agrees is False
    assert [one.places for one in found.explained] == [(wrong,)]
    assert found.diameter == pytest.approx(150, abs=0.1)
    assert any(f"{taken[wrong]:.0f}"[:2] in line and "Misread" in line for line in found.says)


def test_the_stated_width_holds() -> None:
    """200 circles read anew to 0.05, each within ± 0.05: 95 in 100 lie inside what is said."""
    random = np.random.default_rng(2)
    held = 0
    for _ in range(200):
        noise = random.normal(0, 0.02, 4)
        sizes = [(1, 45.9220), (2, 84.8528), (3, 110.8656), (0, 120.0)]
        found = bolt_circle(
            [Between(kind="chord", step=step, reading=reading(size + off))
             for (step, size), off in zip(sizes, noise, strict=True)], count=8,
        )  # fmt: skip
        held += abs(found.diameter - 120) <= found.within
    assert held >= 0.95 * 200 - 6


@pytest.mark.parametrize(
    ("readings", "count", "field"),
    [
        ([], 6, "readings"),
        ([("gap", 44.45)], 6, "hole"),
        ([("hole", 11.1)], 6, "readings"),
        ([("chord", 50.0)], 1, "count"),
        ([("chord", 50.0)], None, "count"),
        ([("chord", -5.0)], 6, "chord"),
    ],
)
def test_what_nobody_can_mean_is_refused(readings: list[tuple[str, float]], count: int | None, field: str) -> None:  # fmt: skip
    with pytest.raises(InputError) as refused:
        bolt_circle([between(kind, size) for kind, size in readings], count=count)
    assert field in str(refused.value)
