"""What works, in the plane of plate thickness and adapter length.

Against linear programming (SciPy, HiGHS) on needs written afresh (tests/engine/spans.py), against
the needs themselves at every point of a grid, and for the robust region against every corner of
the dimensions' limits (worst case) and the quantiles of scipy.stats (statistical).
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from kb.model.chain import Linear, Requirement
from kb.sheets.reading import read
from tests.engine.spans import (
    KINDS,
    POSITION,
    Array,
    D,
    F,
    H,
    Need,
    Values,
    Z,
    assert_corners,
    box,
    converter_at,
    job_of,
    rows,
    shaft_at,
    shortfall,
    sides,
    solved,
)
from wizard.engine.axial.chain import chain
from wizard.engine.axial.region import half_planes, lengths_at, polygon
from wizard.engine.normalise import normalise

SEEDS = range(30)


def at(kind: str, seed: int) -> dict[str, float]:
    """Numbers a sheet carries exactly."""
    draw = np.random.default_rng(seed)
    return {key: round(float(value), 6) for key, value in KINDS[kind][0](draw).items()}


def works(needs: list[Need], t: Array, length: Array) -> Array:
    """How far each point keeps inside every need [mm]; below 0 it does not work."""
    room = [one.alpha * t + one.beta * length + one.rest for one in needs]
    low = [value - one.low for value, one in zip(room, needs, strict=True)]
    high = [one.high - value for value, one in zip(room, needs, strict=True)]
    return np.asarray(np.min(low + high, axis=0))


def inside(corners: tuple[tuple[float, float], ...], t: Array, length: Array) -> Array:
    """How far each point is inside an anticlockwise polygon [mm]."""
    room = np.full(t.shape, math.inf)
    for (t0, l0), (t1, l1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        side = math.hypot(t1 - t0, l1 - l0)
        if side > 1e-9:
            cross = (t1 - t0) * (length - l0) - (l1 - l0) * (t - t0)
            room = np.minimum(room, cross / side)
    return room


# ── against linear programming ──────────────────────────────────────────────


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", SEEDS)
def test_corners(kind: str, seed: int) -> None:
    x = at(kind, seed)
    assert_corners(solved(job_of(kind, x)).region, *rows(KINDS[kind][1](x)))


@pytest.mark.parametrize("kind", KINDS)
def test_jobs_of_both_sorts_are_among_them(kind: str) -> None:
    """Enough that work and enough that do not, or the comparison above says little."""
    found = [bool(solved(job_of(kind, at(kind, seed))).region) for seed in SEEDS]
    assert 3 <= sum(found) <= len(found) - 3


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(12))
def test_a_region_is_empty_exactly_when_nothing_can_work(kind: str, seed: int) -> None:
    x = at(kind, seed)
    found = solved(job_of(kind, x))
    short = shortfall(*rows(KINDS[kind][1](x)))
    assert bool(found.region) is (short <= 0)
    assert bool(found.conflict) is (short > 0)
    assert (found.limits is None) is (short > 0)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(8))
def test_every_point_of_a_grid(kind: str, seed: int) -> None:
    x = at(kind, seed)
    found = solved(job_of(kind, x))
    t, length = np.meshgrid(np.linspace(-1, 27, 60), np.linspace(-1, 80, 160))
    room = works(KINDS[kind][1](x), t, length)
    if not found.region:
        assert (room < 1e-9).all()
        return
    within = inside(found.region, t, length)
    assert (room[within > 1e-6] >= -1e-6).all()
    assert (within[room > 1e-6] >= -1e-6).all()


halves = st.lists(
    st.tuples(
        st.sampled_from([(1, -1), (-1, 1), (1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (0, 0)]),
        st.integers(-40, 60).map(lambda n: n / 2),
    ),
    max_size=9,
)


@settings(max_examples=150, deadline=None)
@given(taken=halves)
def test_corners_of_any_half_planes(taken: list[tuple[tuple[int, int], float]]) -> None:
    """Directions the chains have, at offsets that touch, coincide and contradict; box 25 by 60."""
    planes = half_planes(
        [
            Requirement(check=str(n), line=Linear(plate=a, spacer=b), high=c)
            for n, ((a, b), c) in enumerate(taken)
        ],
        (),
    )
    corners = polygon(planes, planes.reach(np.zeros(0)), box=(25.0, 60.0))
    needs = [Need("", 1, 0, 0, 0, 25), Need("", 0, 1, 0, 0, 60)]
    needs += [Need("", a, b, 0, high=c) for (a, b), c in taken]
    a, c = rows(needs)
    if not corners:
        assert shortfall(a, c) > -1e-7
    else:
        assert_corners(corners, a, c)


def test_half_planes_lower_side_before_upper() -> None:
    """2 ≤ 3·t − L + 5·x + 1 ≤ 9 at x = 4: 3·t − L ≥ −19 and ≤ −12."""
    line = Linear(plate=3, spacer=-1, terms={"x": 5.0}, constant=1.0)
    planes = half_planes([Requirement(check="a", line=line, low=2.0, high=9.0)], ("w", "x"))
    assert planes.normals.tolist() == [[-3, 1], [3, -1]]
    assert planes.reach(np.array([100.0, 4.0])) == pytest.approx([19, -12])
    assert planes.reach(np.array([[0, 4.0], [0, 0]])).tolist() == [[19, -12], [-1, 8]]
    assert planes.checks == ("a", "a")


@pytest.mark.parametrize(
    ("high", "corners"),
    [(0.0, 1), (-1e-6, 0), (3.0, 3)],
)
def test_a_corner_that_is_just_met(high: float, corners: int) -> None:
    """t + L ≤ 0 leaves the one point (0, 0) of the box."""
    planes = half_planes([Requirement(check="a", line=Linear(1, 1), high=high)], ())
    found = polygon(planes, planes.reach(np.zeros(0)), box=(25, 60))
    assert len(found) == corners
    if corners:
        assert found[0] == (0, 0)


def test_a_need_without_plate_or_adapter_is_all_or_nothing() -> None:
    planes = half_planes([Requirement(check="a", line=Linear(terms={"x": 1.0}), low=2.0)], ("x",))
    assert len(polygon(planes, planes.reach(np.array([2.0])), box=(25, 60))) == 4
    assert polygon(planes, planes.reach(np.array([1.999])), box=(25, 60)) == ()


def test_lengths_at_the_edges_of_a_region() -> None:
    """Upright sides, a corner, a segment, a point: by proportion."""
    square = [(5.0, 1.0), (9.0, 3.0), (9.0, 8.0), (5.0, 6.0)]
    assert lengths_at(square, 5) == pytest.approx((1, 6))
    assert lengths_at(square, 9) == pytest.approx((3, 8))
    assert lengths_at(square, 7) == pytest.approx((2, 7))
    assert lengths_at([(2.0, 1.0), (6.0, 3.0)], 3) == pytest.approx((1.5, 1.5))
    assert lengths_at([(2.0, 1.0)], 2) == (1, 1)
    assert lengths_at([(2.0, 1.0)], 2.1) is None
    assert lengths_at([], 2) is None


# ── range of the plate ──────────────────────────────────────────────────────


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", SEEDS)
def test_limits_of_the_plate(kind: str, seed: int) -> None:
    """Least and most thickness by linear programming; what binds there is really at its limit."""
    x = at(kind, seed)
    found = solved(job_of(kind, x))
    if found.limits is None:
        return
    needs = KINDS[kind][1](x)
    t = [corner[0] for corner in found.region]
    assert (found.limits.least, found.limits.most) == pytest.approx((min(t), max(t)), abs=1e-9)
    for end, check in (
        (found.limits.least, found.limits.binds_least),
        (found.limits.most, found.limits.binds_most),
    ):
        beyond = end + (-1e-3 if end == found.limits.least else 1e-3)
        others = [one for one in needs if one.check != check]
        a, c = rows([*others, Need("", 1, 0, 0, beyond, beyond)])
        blocked = shortfall(*rows([*needs, Need("", 1, 0, 0, beyond, beyond)]))
        assert blocked > 0
        assert shortfall(a, c) < blocked or check == "plate-thickness"


def test_what_binds_is_named() -> None:
    """Gap 3.2 to 4.8 with L ≥ 0: t ≥ z + f − D + 3.2 by the gap; above by the stock of 25."""
    found = solved({Z: 10.0, D: 12.0, F: 8.0})
    assert found.limits is not None
    assert found.limits.least == pytest.approx(10 + 8 - 12 + 3.2)
    assert found.limits.binds_least == "converter-gap"
    assert (found.limits.most, found.limits.binds_most) == (25, "plate-thickness")
    fixed = solved({Z: 10.0, D: 12.0, F: 8.0, "choices.plate": 31})
    assert fixed.limits is not None
    assert fixed.limits.most == pytest.approx(31)


@pytest.mark.parametrize(
    ("holes", "floor", "check"),
    [
        ('{ x = 99, y = 9, thread = "M10" }', 10 + 0.5 + 0.5 * 10, "head-sunk"),
        ('{ x = 99, y = 9, hole = 11 }', 15.0, "thread-engagement"),
    ],
)  # fmt: skip
def test_floor_of_the_plate(holes: str, floor: float, check: str) -> None:
    """Aluminium: head 10 (ISO 4762, from memory), 0.5 over it, 0.5 d below; thread 1.5 d."""
    text = (
        f'units = "mm"\n[engine.face]\nholes = [{holes}]\n[choices]\nrules = "automatic road car"'
    )
    found = chain(normalise(read(text)), draws=10)
    assert found is not None
    assert found.limits is not None
    assert (found.limits.least, found.limits.binds_least) == (pytest.approx(floor), check)
    assert found.spacer is None


# ── robust: worst case ──────────────────────────────────────────────────────


def every_corner(x: Values, within: Values) -> list[dict[str, float]]:
    """The dimensions at every combination of their two limits."""
    keys = list(within)
    return [
        dict(x) | {key: x[key] + sign * within[key] for key, sign in zip(keys, signs, strict=True)}
        for signs in itertools.product((-1, 1), repeat=len(keys))
    ]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(8))
def test_worst_case_works_at_every_corner_of_the_limits(kind: str, seed: int) -> None:
    draw = np.random.default_rng(seed)
    x, needs = at(kind, seed), KINDS[kind][1]
    readings = [key for key in x if key.startswith(("engine.", "gearbox.", "flywheel.", "clutch.", "flexplate."))
                and ".allow." not in key]  # fmt: skip
    within = {key: round(float(draw.uniform(0.02, 0.12)), 6) for key in readings}
    found = solved(job_of(kind, x, within))
    exact = {key: 0.0 for key in x if key not in within}
    assert all(sides(job_of(kind, x, within)).lengths[key].within == 0 for key in exact
               if ".allow." not in key)  # fmt: skip
    planes = [rows(needs(corner)) for corner in every_corner(x, within)]
    a, c = planes[0][0], np.min([limits for _, limits in planes], axis=0)
    assert_corners(found.robust_region, a, c)


def test_unequal_limits_count_from_where_they_lie() -> None:
    """Depth 28 +0.4/−0: the gap is 0 to 0.4 wider than read, so only its upper side comes in."""
    job = {Z: "6.35 ± 0", F: "8 ± 0", D: "28 +0.4/-0"}
    found = solved(job)
    gap = [(t - length) for t, length in found.robust_region if t > 5]
    rest = 28 - 6.35 - 8
    assert min(gap) + rest == pytest.approx(3.2)
    assert max(gap) + rest == pytest.approx(4.8 - 0.4)


# ── robust: statistical ─────────────────────────────────────────────────────


def slopes(kind: str, x: Values, keys: list[str]) -> Array:
    """How each half-plane's limit moves with each dimension: differences over a millimetre."""
    needs = KINDS[kind][1]
    base = rows(needs(x))[1]
    return np.array([rows(needs(dict(x) | {key: x[key] + 1.0}))[1] - base for key in keys])


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
@pytest.mark.parametrize("kind", ["converter", "shaft", "flange"])
def test_statistical_narrows_by_the_root_of_the_squares(kind: str, confidence: float) -> None:
    """√Σ(c·u)² at 95 %, times z(confidence)/z(0.95), the normal's two-sided quantile."""
    for seed in range(6):
        x = at(kind, seed)
        keys = {"converter": [Z, D, F, H], "shaft": [Z, "flywheel.height", "gearbox.shaft.reach"],
                "flange": [Z, POSITION]}[kind]  # fmt: skip
        within = {key: 0.05 + 0.03 * place for place, key in enumerate(keys)}
        exact = {key: 0.0 for key in x if key not in within and ".allow." not in key}
        found = solved(
            job_of(kind, x, within | exact)
            | {"choices.uncertainty": "statistical", "choices.confidence": confidence}
        )
        moved = slopes(kind, x, keys) * np.array(list(within.values()))[:, None]
        width = np.sqrt((moved**2).sum(axis=0))
        width *= norm.ppf((1 + confidence) / 2) / norm.ppf(0.975)
        a, c = rows(KINDS[kind][1](x))
        assert_corners(found.robust_region, a, c - width)


@pytest.mark.parametrize("seed", range(6))
def test_robust_lies_inside_what_works(seed: int) -> None:
    for at_random in (converter_at, shaft_at):
        kind = "converter" if at_random is converter_at else "shaft"
        found = solved(job_of(kind, at(kind, seed)))
        if found.region and found.robust_region:
            t, length = np.array(found.robust_region).T
            assert (inside(found.region, t, length) >= -1e-6).all()


def test_worst_case_is_never_wider_than_statistical() -> None:
    """Σ|c|·u ≥ √Σ(c·u)², and more than one dimension makes it strictly so."""
    x = {Z: 6.0, D: 28.0, F: 8.0}
    job = job_of("converter", x, dict.fromkeys(x, 0.1))
    worst = solved(job)
    likely = solved(job | {"choices.uncertainty": "statistical"})

    def band(corners: tuple[tuple[float, float], ...]) -> float:
        gaps = [t - length for t, length in corners]
        return max(gaps) - min(gaps)

    assert band(worst.region) == band(likely.region) == pytest.approx(1.6)
    assert band(worst.robust_region) == pytest.approx(1.6 - 2 * 0.3)
    assert band(likely.robust_region) == pytest.approx(1.6 - 2 * 0.1 * math.sqrt(3))
    assert worst.uncertain["gap"] == pytest.approx(0.3)
    assert likely.uncertain["gap"] == pytest.approx(0.1 * math.sqrt(3))


def test_the_box_is_stock_and_three_hundred() -> None:
    """With no need at all the region is the box itself."""
    found = solved({Z: 4, POSITION: 10, "gearbox.driven.allow": [-900, 900]})
    assert set(found.region) == {(0, 0), (25, 0), (25, 300), (0, 300)}
    assert_corners(found.region, *rows(box()))
