"""What contradicts when nothing works, by how much, and what would end it.

Against linear programming (SciPy, HiGHS): the shortfall is the least common easing that lets all
needs meet; by Helly's theorem at most three half-planes of the plane already contradict. Needs
are written afresh in tests/engine/spans.py.
"""

from __future__ import annotations

import itertools
from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.model.chain import Chain, Linear, Requirement
from tests.engine.spans import (
    FROM_TIP,
    FRONT,
    KINDS,
    POSITION,
    REAR,
    SPLINE,
    D,
    F,
    K,
    Q,
    S,
    Values,
    W,
    Z,
    job_of,
    owners,
    rows,
    shaft_at,
    shortfall,
    solved,
)
from wizard.engine.axial.region import HalfPlanes, certificates, conflict, half_planes

DIRECTIONS = [(1, -1), (-1, 1), (1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-2, 1), (0, 0)]
halves = st.lists(
    st.tuples(st.sampled_from(DIRECTIONS), st.floats(-30, 30)), min_size=1, max_size=9
)
Halves = list[tuple[tuple[int, int], float]]


def planes_of(taken: Halves) -> HalfPlanes:
    return half_planes(
        [
            Requirement(check=str(n), line=Linear(plate=float(a), spacer=float(b)), high=c)
            for n, ((a, b), c) in enumerate(taken)
        ],
        (),
    )


def at(kind: str, seed: int) -> dict[str, float]:
    draw = np.random.default_rng(seed)
    return {key: round(float(value), 6) for key, value in KINDS[kind][0](draw).items()}


def broken(kind: str) -> list[int]:
    """Seeds of jobs of a kind that cannot work."""
    return [s for s in range(40) if shortfall(*rows(KINDS[kind][1](at(kind, s)))) > 1e-6][:8]


# ── shortfall and certificates ──────────────────────────────────────────────


@settings(max_examples=150, deadline=None)
@given(taken=halves)
def test_shortfall_is_the_least_common_easing(taken: Halves) -> None:
    planes = planes_of(taken)
    found = float(certificates(planes).shortfall(planes.reach(np.zeros(0))))
    if found == -np.inf:  # no combination of the directions can contradict
        assert shortfall(planes.normals, planes.constants) == -np.inf
        return
    assert found == pytest.approx(shortfall(planes.normals, planes.constants), abs=1e-6)


@settings(max_examples=150, deadline=None)
@given(taken=halves)
def test_a_certificate_proves_itself(taken: Halves) -> None:
    """Weights not negative, summing to 1, cancelling every direction, on three rows at the most."""
    planes = planes_of(taken)
    weights = certificates(planes).weights
    assert weights.shape[1] == len(taken)
    assert (weights >= 0).all()
    if len(weights):
        assert weights.sum(axis=1) == pytest.approx(1)
        assert weights @ planes.normals == pytest.approx(0, abs=1e-9)
        assert np.count_nonzero(weights, axis=1).max() <= 3


def test_many_draws_at_once_are_one_after_another() -> None:
    planes = planes_of([((1, -1), 4.0), ((-1, 1), -5.0), ((1, 0), 2.0), ((0, 0), 3.0)])
    found = certificates(planes)
    draws = planes.constants + np.random.default_rng(1).normal(0, 3, (50, 4))
    assert found.shortfall(draws).shape == (50,)
    assert found.shortfall(draws) == pytest.approx([float(found.shortfall(one)) for one in draws])


def test_nothing_that_can_contradict() -> None:
    planes = planes_of([((1, -1), -900.0), ((1, 0), -900.0)])
    found = certificates(planes)
    assert found.weights.shape == (0, 2)
    assert found.shortfall(planes.constants) == -np.inf
    assert found.shortfall(np.zeros((7, 2))).tolist() == [-np.inf] * 7
    assert conflict(planes, found, planes.constants) == ()


@settings(max_examples=150, deadline=None)
@given(taken=halves)
def test_what_contradicts_is_least(taken: Halves) -> None:
    """At most three rows; together they contradict by the shortfall; leave any one out and they meet."""
    planes = planes_of(taken)
    named = conflict(planes, certificates(planes), planes.constants)
    short = float(certificates(planes).shortfall(planes.constants))
    assert bool(named) is (short > 1e-9)
    if not named:
        return
    rows_named = [int(one.check) for one in named]
    assert len(set(rows_named)) == len(rows_named) <= 3
    a, c = planes.normals[rows_named], planes.constants[rows_named]
    assert all(one.short_by == pytest.approx(short) for one in named)
    assert shortfall(a, c) == pytest.approx(short, abs=1e-6)
    for rest in itertools.combinations(range(len(rows_named)), len(rows_named) - 1):
        if rest:
            assert shortfall(a[list(rest)], c[list(rest)]) <= 1e-7


# ── in whole jobs ───────────────────────────────────────────────────────────


@pytest.mark.parametrize("kind", KINDS)
def test_shortfall_of_whole_jobs(kind: str) -> None:
    assert len(broken(kind)) >= 3
    for seed in broken(kind):
        x = at(kind, seed)
        found = solved(job_of(kind, x))
        short = shortfall(*rows(KINDS[kind][1](x)))
        assert found.region == ()
        assert 1 <= len(found.conflict) <= 3
        assert found.conflict[0].short_by == pytest.approx(short, abs=1e-5)


def contradicting(kind: str, x: Values, found: Chain) -> list[int]:
    """Places of rows of the named checks that contradict by what is said, each needed for it."""
    needs = KINDS[kind][1](x)
    a, c = rows(needs)
    named = Counter(one.check for one in found.conflict)
    for some in itertools.combinations(range(len(c)), len(found.conflict)):
        if Counter(owners(needs)[place] for place in some) != named:
            continue
        least = all(
            shortfall(a[list(rest)], c[list(rest)]) <= 1e-9
            for rest in itertools.combinations(some, len(some) - 1)
            if rest
        )
        if (
            least
            and abs(shortfall(a[list(some)], c[list(some)]) - found.conflict[0].short_by) < 1e-5
        ):
            return list(some)
    raise AssertionError("no rows of the named checks contradict so")


@pytest.mark.parametrize("kind", KINDS)
def test_the_checks_named_contradict_and_none_of_them_could_be_spared(kind: str) -> None:
    for seed in broken(kind):
        x = at(kind, seed)
        assert contradicting(kind, x, solved(job_of(kind, x)))


@pytest.mark.parametrize("kind", KINDS)
def test_each_cure_alone_ends_the_contradiction(kind: str) -> None:
    """The rows meet once that one dimension is changed by what is said, and not before."""
    for seed in broken(kind):
        x = at(kind, seed)
        found = solved(job_of(kind, x))
        places = contradicting(kind, x, found)
        assert len({tuple(one.cures.items()) for one in found.conflict}) == 1
        for key, change in found.conflict[0].cures.items():
            nearly, cured = (
                rows(KINDS[kind][1](dict(x) | {key: x[key] + change * share}))
                for share in (1 - 1e-4, 1 + 1e-4)
            )
            assert shortfall(nearly[0][places], nearly[1][places]) > 0
            assert shortfall(cured[0][places], cured[1][places]) <= 0


def job(**more: object) -> Chain:
    return solved(
        {Z: 6.0, D: 28.0, F: 8.0} | {key.replace("__", "."): v for key, v in more.items()}
    )


def test_cures_by_hand() -> None:
    """D −10, z 6, f 8, t at most 25, L at least 0: the gap reaches 25 − 10 − 6 − 8 = 1, wants 3.2.

    2.2 short, shared by three rows: the gap, the stock and L ≥ 0 are each to be eased 2.2/3. D
    deeper by 2.2, or the flange or the flexplate nearer the engine by 2.2, ends it.
    """
    found = job(gearbox__converter__seat_depth=-10.0)
    assert {one.check for one in found.conflict} == {
        "converter-gap", "plate-thickness", "spacer-length",
    }  # fmt: skip
    assert found.conflict[0].short_by == pytest.approx(2.2 / 3)
    cures = dict(found.conflict[0].cures)
    assert cures == pytest.approx({Z: -2.2, D: 2.2, F: -2.2})
    for key, value in {Z: 6.0, D: -10.0, F: 8.0}.items():
        assert solved({Z: 6.0, D: -10.0, F: 8.0, key: value + 1.0001 * cures[key]}).region
        assert not solved({Z: 6.0, D: -10.0, F: 8.0, key: value + 0.9999 * cures[key]}).region


def test_a_size_is_not_cured_to_nought_or_below() -> None:
    """A bush hole 3 deep with its tip on the bottom: deeper helps; a tip cannot be shortened away.

    The tip 2 mm long wants ⅔ of a bush of 18: 10 short; only the tip's own length can cure that.
    """
    draw = np.random.default_rng(5)
    x = {key: round(float(value), 6) for key, value in shaft_at(draw).items()}
    x["gearbox.shaft.tip.length"] = 2.0
    found = solved(job_of("shaft", x))
    wanted = x["pilot.bush_width"] * 2 / 3 - 2.0
    tip = [one for one in found.conflict if one.check == "tip-engagement"]
    assert tip
    assert tip[0].cures["gearbox.shaft.tip.length"] == pytest.approx(wanted, abs=1e-5)
    assert "pilot.bush_width" not in tip[0].cures  # the job chose it: exact, not a reading


def test_what_is_chosen_cures_nothing() -> None:
    """Packing and a wanted band are chosen; only readings are named as a cure."""
    found = job(gearbox__converter__seat_depth=-10.0, choices__packing=0.5)
    assert "choices.packing" not in found.conflict[0].cures
    assert set(found.conflict[0].cures) == {Z, D, F}


def test_an_overlap_no_place_can_mend() -> None:
    """A spline 5 mm long under a hub of 20 of which ⅘ are wanted: 11 short, wherever it stands.

    A longer spline by 11, or a hub shorter by 11/0.8 at either end.
    """
    found = solved(
        {Z: 10.0, W: 28.0, K: 60.0, S: 22.0, Q: 92.0, FRONT: 0.0, REAR: 20.0, FROM_TIP: 57.0, SPLINE: 5.0}
    )  # fmt: skip
    assert [(one.check, one.short_by) for one in found.conflict] == [
        ("spline-overlap", pytest.approx(11))
    ]
    assert dict(found.conflict[0].cures) == pytest.approx(
        {SPLINE: 11, REAR: -11 / 0.8, FRONT: 11 / 0.8}
    )


@pytest.mark.parametrize(("depth", "named"), [(40.0, True), (12.0, False)])
def test_a_size_that_would_have_to_vanish_is_no_cure(depth: float, named: bool) -> None:
    """Short of 20 in all: a size of 40 can give it up, one of 12 cannot; a place always can."""
    planes = half_planes(
        [Requirement(check="a", line=Linear(terms={"size": -1.0, "place": -1.0}), low=0.0)],
        ("size", "place"),
    )
    reach = planes.reach(np.array([depth, 20.0 - depth]))
    found = conflict(
        planes, certificates(planes), reach, least={"size": -depth, "place": -np.inf}
    )  # fmt: skip
    assert found[0].short_by == pytest.approx(20)
    assert ("size" in found[0].cures) is named
    assert found[0].cures["place"] == pytest.approx(-20)
    every = conflict(planes, certificates(planes), reach)
    assert every[0].cures == pytest.approx({"size": -20, "place": -20})


def test_of_two_contradictions_the_worse_is_named_and_of_equals_the_shorter() -> None:
    """Rows 0 and 1 miss by 4, so 2 each; row 2 by itself misses by 3."""
    taken: Halves = [((1, 0), -4.0), ((-1, 0), 0.0), ((0, 0), -3.0)]
    planes = planes_of(taken)
    worst = conflict(planes, certificates(planes), planes.constants)
    assert [(one.check, one.short_by) for one in worst] == [("2", 3.0)]
    planes = planes_of([*taken[:2], ((0, 0), -2.0)])
    worst = conflict(planes, certificates(planes), planes.constants)
    assert [(one.check, one.short_by) for one in worst] == [("2", 2.0)]


def test_a_job_that_works_has_no_conflict() -> None:
    assert job().conflict == ()
    assert solved({Z: 6.0, POSITION: 10.0}).conflict == ()
