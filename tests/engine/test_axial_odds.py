"""Chances that something works and that these sizes work, against closed forms.

One dimension decides each case, so the chance is a value of its distribution function: normal
with σ = half the ±, uniform between limits, triangular between limits (textbook forms, by
statistics.NormalDist and scipy.stats). Sampling errors are twice those of a share of n draws.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm, triang

from kb.model.chain import Chain, Length, Linear, Odds, Requirement
from kb.model.shop import Instrument
from kb.sheets.reading import read
from tests.engine.spans import (
    BUSH,
    DEEP,
    MOUTH,
    POSITION,
    D,
    F,
    Job,
    K,
    N,
    Q,
    S,
    W,
    Z,
    solved,
    text,
)
from wizard.engine.axial.chain import chain
from wizard.engine.axial.odds import DRAWS, draw, odds
from wizard.engine.axial.region import certificates, half_planes
from wizard.engine.normalise import normalise

PLATE, SPACER = "choices.plate", "choices.spacer"
MANY = 20_000


def chances(job: Job, *, draws: int = MANY) -> Odds:
    found = solved(job, draws=draws).odds
    assert found is not None
    return found


def near(share: float, error: float) -> object:
    """A share within three times its stated 95 % error: missed once in a hundred million."""
    return pytest.approx(share, abs=3 * error)


# ── these sizes ─────────────────────────────────────────────────────────────

SURE: Job = {Z: "6.35 ± 0", F: "8 ± 0", PLATE: 19.05}


@pytest.mark.parametrize("within", [0.4, 0.8, 1.6])
def test_a_normal_reading(within: float) -> None:
    """Gap 3.2 to 4.8, the adapter cut for its middle: P(|x| ≤ 0.8) at σ = ±/2."""
    found = chances({**SURE, D: f"28.58 ± {within}"})
    exact = norm.cdf(0.8, scale=within / 2) - norm.cdf(-0.8, scale=within / 2)
    assert found.chance_these == near(exact, found.chance_these_error or 0)
    assert found.draws == MANY


@pytest.mark.parametrize(
    ("limits", "exact"), [("27.58 to 29.58", 0.8), ("27.58 +3.2/-0", 0.25), ("28.58 +0.5/-0.3", 1)]
)
def test_limits_are_uniform(limits: str, exact: float) -> None:
    """Of 27.58 to 29.58 the middle 1.6 of 2.0 do. The adapter is cut for the nominal size: at
    27.58 +3.2/−0 the gap comes out 4.0 to 7.2, of which 4.0 to 4.8 do, a quarter."""
    found = chances({**SURE, D: limits})
    assert found.chance_these == near(exact, found.chance_these_error or 0)


@pytest.mark.parametrize(("within", "off"), [(1.2, 0.0), (1.5, 0.4), (2.0, -0.7)])
def test_a_scan_is_triangular(within: float, off: float) -> None:
    """The instrument says so; the adapter is held ``off`` its middle by the job."""
    length = 19.05 + 28.58 - 6.35 - 8 - 4.0 + off
    job = {**SURE, SPACER: length, f"{D}.value": "28.58", f"{D}.within": f"{within}",
           f"{D}.how": "hand scanner"}  # fmt: skip
    found = chances(job)
    spread = triang(0.5, loc=-within, scale=2 * within)
    exact = spread.cdf(0.8 + off) - spread.cdf(-0.8 + off)
    assert found.chance_these == near(exact, found.chance_these_error or 0)


def test_an_exact_dimension_is_certain_and_its_error_not_quite_nought() -> None:
    found = chances({**SURE, D: "28.58 ± 0"})
    assert (found.chance_these, found.chance_any) == (1, 1)
    assert 0 < (found.chance_these_error or 0) < 1e-3
    none = chances({**SURE, D: "28.58 ± 0", SPACER: 5})
    assert none.chance_these == 0
    assert none.chance_any == 1
    assert 0 < (none.chance_these_error or 0) < 1e-3


def test_two_dimensions_add_as_squares() -> None:
    found = chances({**SURE, D: "28.58 ± 0.9", F: "8 ± 1.2"})
    sigma = math.hypot(0.9, 1.2) / 2
    exact = norm.cdf(0.8, scale=sigma) - norm.cdf(-0.8, scale=sigma)
    assert found.chance_these == near(exact, found.chance_these_error or 0)


def test_no_sizes_no_chance_of_them() -> None:
    """The adapter's length cannot be closed without the flexplate's offset."""
    found = solved({Z: 6.35, D: 28.58, "flexplate.thickness": 2.5, PLATE: 19.05}).odds
    assert found is not None
    assert (found.chance_these, found.chance_these_error) == (None, None)
    assert found.measure_next == ()
    assert found.by_check == {}


# ── anything ────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("typed", "exact"),
    [
        ("30 ± 2", norm.cdf(0.5, scale=1.0)),
        ("28.5 to 32.5", 0.5),
        ("31.3 +0.4/-2.6", 1.8 / 3.0),
    ],
)
def test_that_something_works(typed: str, exact: float) -> None:
    """z_d + L − t − N ≤ 0.5 with L ≥ 0 and t ≤ 25: something works while z_d ≤ 25 + 5 + 0.5."""
    found = chances({Z: typed, POSITION: "5 ± 0", "gearbox.driven.allow": [-0.5, 0.5]})
    assert found.chance_any == near(exact, found.chance_any_error)


def test_that_something_works_is_not_that_these_sizes_do() -> None:
    """The adapter can be cut to whatever the depth turns out to be; cut now, it does in half the cases."""
    found = chances({**SURE, D: "28.58 ± 3"})
    assert found.chance_any == 1
    exact = 2 * norm.cdf(0.8, scale=1.5) - 1
    assert found.chance_these == near(exact, found.chance_these_error or 0)


# ── shared dimensions ───────────────────────────────────────────────────────


def shaft(reach: str, tip: float = 30.0) -> Job:
    """Exact but for the shaft's reach: tip and shoulder both hang on it, with opposite signs."""
    return {
        Z: "10 ± 0", Q: "92 ± 0", W: "28 ± 0", K: "60 ± 0", PLATE: 15, SPACER: 5, S: reach,
        N: f"{tip} ± 0", MOUTH: 0, BUSH: 18, DEEP: 60,
    }  # fmt: skip


def test_a_dimension_in_two_checks_is_the_same_in_both() -> None:
    """Rear end of the bush at 15, shaft's end at 15 − s.

    Engagement of 12: 12 ≤ s ≤ 36; shoulder: s ≤ 30. Together P(12 ≤ s ≤ 30), not the product.
    """
    found = chances(shaft("24 ± 18"))
    reach = norm(24, 9)
    engaged, free = reach.cdf(36) - reach.cdf(12), reach.cdf(30)
    both = reach.cdf(30) - reach.cdf(12)
    assert found.by_check["tip-engagement"] == pytest.approx(engaged, abs=0.01)
    assert found.by_check["tip-shoulder"] == pytest.approx(free, abs=0.01)
    assert found.chance_these == near(both, found.chance_these_error or 0)
    # independent draws would have given the product
    assert abs(engaged * free - both) > 3 * (found.chance_these_error or 0)


def test_chances_check_by_check() -> None:
    """Bottom 60 − s ≥ 3; the release gap is certain; both limits of a band count for its check."""
    found = chances({**shaft("50 ± 10", tip=90), Q: "92 ± 2"})
    assert found.by_check["tip-bottoming"] == pytest.approx(norm(50, 5).cdf(57), abs=0.01)
    gap = norm(15 + 92 - 43 - 60, 1)
    assert found.by_check["release-gap"] == pytest.approx(gap.cdf(4.6) - gap.cdf(3.0), abs=0.01)
    assert found.by_check["plate-thickness"] == 1


def test_two_gaps_over_one_flange_against_the_joint_normal() -> None:
    """x + y ≤ 0.5 and x − y ≤ 0.5 for normal x and y: SciPy's bivariate normal."""
    rows = [
        Requirement(check="sum", line=Linear(plate=1, terms={"x": -1.0, "y": -1.0}), low=-0.5),
        Requirement(check="less", line=Linear(plate=1, terms={"x": -1.0, "y": 1.0}), low=-0.5),
    ]
    planes = half_planes(rows, ("x", "y"))
    lengths = [reading("x", 0.8), reading("y", 1.4)]
    found = odds(
        planes, certificates(planes), lengths, chosen=(0.0, 0.0), closing=None, best_within=9,
        draws=100_000,
    )  # fmt: skip
    cov = [[0.16 + 0.49, 0.16 - 0.49], [0.16 - 0.49, 0.16 + 0.49]]
    exact = multivariate_normal(mean=[0, 0], cov=cov).cdf([0.5, 0.5])
    assert found.chance_these == near(float(exact), found.chance_these_error or 0)


# ── draws ───────────────────────────────────────────────────────────────────


def reading(key: str, within: float, spread: str = "normal", value: float = 0.0) -> Length:
    return Length(
        key=key, value=value, low=value - within, high=value + within, spread=spread,
        source="measured",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("spread", "of"),
    [
        ("normal", norm(3, 0.5)),
        ("uniform", None),
        ("triangular", triang(0.5, loc=2, scale=2)),
    ],
)
def test_draws_follow_their_distribution(spread: str, of: object) -> None:
    """Largest gap to the distribution function (Kolmogorov): under 1.95/√n but once in a thousand."""
    sample = np.sort(draw([reading("x", 1.0, spread, 3.0)], draws=MANY)[:, 0])
    exact = np.clip((sample - 2) / 2, 0, 1) if of is None else of.cdf(sample)  # type: ignore[attr-defined]
    steps = np.arange(1, MANY + 1) / MANY
    assert np.abs(steps - exact).max() < 1.95 / math.sqrt(MANY)


def test_limits_that_are_not_even_are_drawn_between_them() -> None:
    one = Length(key="x", value=5.0, low=5.0, high=6.0, spread="uniform", source="drawing")
    sample = draw([one], draws=MANY)[:, 0]
    assert 5.0 <= sample.min() < 5.001
    assert 5.999 < sample.max() <= 6.0
    lop = Length(key="x", value=5.0, low=5.0, high=6.0, spread="triangular", source="measured")
    assert draw([lop], draws=MANY)[:, 0].mean() == pytest.approx(5.5, abs=0.01)
    bell = Length(key="x", value=5.0, low=5.0, high=6.0, spread="normal", source="measured")
    assert draw([bell], draws=MANY)[:, 0].mean() == pytest.approx(5.5, abs=0.01)


def test_dimensions_are_drawn_independently_and_exact_ones_not_at_all() -> None:
    table = draw(
        [reading("x", 1.0), reading("y", 2.0), reading("z", 1.0, "exact", 7.0), reading("w", 0.0)],
        draws=MANY,
    )
    assert table.shape == (MANY, 4)
    assert abs(np.corrcoef(table[:, 0], table[:, 1])[0, 1]) < 4 / math.sqrt(MANY)
    assert (table[:, 2] == 7).all()
    assert (table[:, 3] == 0).all()
    assert draw([], draws=5).shape == (5, 0)


def test_the_same_job_the_same_chances() -> None:
    job = {**SURE, D: "28.58 ± 1"}
    assert chances(job) == chances(job)
    assert (draw([reading("x", 1.0)], draws=9) == draw([reading("x", 1.0)], draws=9)).all()
    assert not (
        draw([reading("x", 1.0)], draws=9, seed=1) == draw([reading("x", 1.0)], draws=9)
    ).any()


def test_usual_number_of_draws() -> None:
    assert solved({**SURE, D: 28.58}, draws=DRAWS).odds == chances({**SURE, D: 28.58})
    assert DRAWS >= 10_000


@pytest.mark.parametrize("draws", [500, 5_000, MANY])
def test_sampling_error_is_that_of_a_share(draws: int) -> None:
    """1.96·√(p(1 − p)/n)."""
    found = chances({**SURE, D: "28.58 ± 1.6"}, draws=draws)
    p = found.chance_these or 0.0
    assert found.chance_these_error == pytest.approx(
        1.96 * math.sqrt(p * (1 - p) / draws), rel=0.02
    )
    assert found.draws == draws


# ── what to measure next ────────────────────────────────────────────────────


def ranked(found: Odds) -> list[str]:
    return [one.dimension for one in found.measure_next]


def test_after_one_reading_the_other_is_left() -> None:
    """Two normal readings; one read again true, the adapter is cut for it: only the other is left."""
    found = chances({**SURE, D: "28.58 ± 1.5", F: "8 ± 0.9"})
    by = {one.dimension: one for one in found.measure_next}
    for known, left in ((D, 0.9), (F, 1.5)):
        sigma = math.hypot(left, 0.01) / 2  # the best instrument of the shop has ± 0.01
        exact = 2 * norm.cdf(0.8, scale=sigma) - 1
        assert by[known].chance_if_known == near(exact, by[known].chance_error)
    assert ranked(found) == [D, F]


def test_an_adapter_the_job_fixes_is_not_cut_again() -> None:
    """Reading again changes nothing about the piece that is fixed."""
    length = 19.05 + 28.58 - 6.35 - 8 - 4.0
    found = chances({**SURE, D: "28.58 ± 1.5", F: "8 ± 0.9", SPACER: length})
    assert found.measure_next
    for one in found.measure_next:
        assert one.chance_if_known == found.chance_these


def test_a_reading_that_decides_the_quote() -> None:
    """It works in p of all cases; read again true, yes or no is known: worth min(p, 1 − p).

    The readings are taken in 25 groups, one of which is cut in two by the edge: up to 1/50 less.
    """
    for typed in ("30 ± 2", "30.8 ± 2", "31.2 ± 1"):
        found = chances({Z: typed, POSITION: "5 ± 0.02", "gearbox.driven.allow": [-0.5, 0.5]})
        value, within = (float(part) for part in typed.split(" ± "))
        p = norm.cdf(30.5, loc=value, scale=within / 2)
        first = found.measure_next[0]
        assert first.dimension == Z
        assert min(p, 1 - p) - 0.025 < first.decides < min(p, 1 - p) + 0.01
        assert first.decides_error < 0.02
        others = [one for one in found.measure_next if one.dimension != Z]
        assert all(one.decides < 0.02 for one in others)


def test_where_nothing_is_open_no_reading_decides() -> None:
    found = chances({**SURE, D: "28.58 ± 1.5", F: "8 ± 0.9"})
    assert {(one.decides, one.decides_error) for one in found.measure_next} == {(0.0, 0.0)}


def test_two_that_decide_alike_are_ranked_by_the_chance_they_leave() -> None:
    """Nothing is open about the quote; the wider reading leaves more to chance and comes first."""
    assert ranked(chances({**SURE, D: "28.58 ± 0.9", F: "8 ± 1.5"})) == [F, D]


def test_what_is_exact_or_read_as_well_as_can_be_is_not_read_again() -> None:
    """Packing and a ± of 0.01 stay; the standoff at ± 0.011 is worth another look."""
    job = {D: "28.58 ± 0.01", F: "8 ± 0", Z: "6.35 ± 0.011", PLATE: 19.05, "choices.packing": 1}
    assert ranked(chances(job)) == [Z]


def test_what_no_need_rests_on_is_not_read_again() -> None:
    job = {
        **SURE,
        D: "28.58 ± 0.5",
        "gearbox.tail_length": "600 ± 5",
        "engine.drive.outside": "90 ± 1",
    }
    assert ranked(chances(job)) == [D]


def test_a_worse_instrument_leaves_more_open() -> None:
    """Against the closed form with the instrument's own ± in it."""
    rows = [Requirement(check="gap", line=Linear(spacer=-1, terms={"x": 1.0}), low=-0.8, high=0.8)]
    planes = half_planes(rows, ("x",))
    for best in (0.2, 0.6, 1.0):
        found = odds(
            planes, certificates(planes), [reading("x", 2.0)], chosen=(0.0, 0.0),
            closing=Linear(terms={"x": 1.0}), best_within=best, draws=MANY,
        )  # fmt: skip
        only = found.measure_next[0]
        exact = 2 * norm.cdf(0.8, scale=best / 2) - 1
        assert only.chance_if_known == near(exact, only.chance_error)


def test_the_best_instrument_is_the_shops_own() -> None:
    """A shop whose finest instrument reads to ± 0.3: only what is known worse than that is read again,
    and what it then knows is ± 0.3."""
    plain = Instrument(name="rule of the shop", within=0.3, spread="normal", source="")
    fine = replace(plain, name="lent out", within=0.01, in_shop=False)
    job = {**SURE, D: "28.58 ± 1.5", F: "8 ± 0.25"}
    tools = {tool.name: tool for tool in (plain, fine)}
    made = chain(normalise(read(text(job)), shop_instruments=tools), draws=MANY)
    assert made is not None
    assert made.odds is not None
    only = made.odds.measure_next[0]
    assert ranked(made.odds) == [D]
    exact = 2 * norm.cdf(0.8, scale=math.hypot(0.3, 0.25) / 2) - 1
    assert only.chance_if_known == near(exact, only.chance_error)


def test_a_shop_without_an_instrument_reads_nothing_again() -> None:
    lent = Instrument(name="lent out", within=0.01, spread="normal", source="", in_shop=False)
    sheet = read(text({**SURE, D: "28.58 ± 1.5"}))
    made = chain(normalise(sheet, shop_instruments={"lent out": lent}), draws=100)
    assert made is not None
    assert made.odds is not None
    assert made.odds.measure_next == ()


def test_a_whole_job_against_its_own_arithmetic() -> None:
    """Every draw judged again in plain sums, from the same draws: the same share to the last one."""
    job = {Z: "6.35 ± 0.5", D: "28.58 ± 0.8", F: "8 ± 0.6", PLATE: 19.05}
    found: Chain = solved(job, draws=4_000)
    assert found.odds is not None
    keys = tuple(dict.fromkeys(key for row in found.requirements for key in row.line.terms))
    spread = {Z: (6.35, 0.5), D: (28.58, 0.8), F: (8.0, 0.6)}
    table = draw([reading(k, spread[k][1], value=spread[k][0]) for k in keys], draws=4_000)
    x = dict(zip(keys, table.T, strict=True))
    gap = 19.05 + x[D] - x[Z] - (found.spacer or 0) - x[F]
    assert found.odds.chance_these == ((gap >= 3.2) & (gap <= 4.8)).mean()
