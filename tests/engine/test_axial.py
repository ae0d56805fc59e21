"""The axial stage: chains by hand, what works against linear programming, chances in closed form.

Golden examples 1 to 4: common practice, no source; their arithmetic is closed form. Linear
programming: SciPy's HiGHS. Stack-up: worst case and root sum of squares as in any text on
tolerance stacks (closed form), and the `uncertainties` library as a second method.
"""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest
from scipy.optimize import linprog
from uncertainties import ufloat

from kb.model.chain import Chain
from kb.sheets.reading import read
from wizard.engine.axial.chain import chain
from wizard.engine.axial.region import certificates, half_planes
from wizard.engine.normalise import normalise


def made(text: str) -> Chain:
    found = chain(normalise(read('units = "mm"\n' + text)))
    assert found is not None
    return found


def automatic(**more: Any) -> str:
    rows = {"standoff": "6.35 ± 0.05", "seat": "28.58 ± 0.1", "offset": "8.00 ± 0.1", "plate": "19.05",
            "hub": "", "extra": "", "choices": ""} | more  # fmt: skip
    plate = f'plate = "{rows["plate"]}"' if rows["plate"] else ""
    return f"""
[engine.drive]
standoff = "{rows["standoff"]}"
{rows["extra"]}
[gearbox.converter]
seat_depth = "{rows["seat"]}"
gap = [3.2, 4.8]
{rows["hub"]}
[flexplate]
offset = "{rows["offset"]}"
[choices]
{plate}
{rows["choices"]}
"""


@pytest.mark.parametrize(("standoff", "spacer"), [("6.35", 29.28), ("-6.35", 41.98)])
def test_golden_example_1_automatic(standoff: str, spacer: float) -> None:
    found = made(automatic(standoff=standoff))
    assert found.spacer == pytest.approx(spacer, abs=1e-9)
    assert found.values["gap"] == pytest.approx(4.0, abs=1e-9)


def test_golden_example_2_nose() -> None:
    hub = "hub = { diameter = 40, reach = 16 }"
    found = made(automatic(hub=hub))
    assert found.values["nose_engagement"] == pytest.approx(8.0)
    assert found.values["nose_seated"] == pytest.approx(4.0)
    own = 'pilot = { diameter = 40.05, depth = 20 }\nregister = { form = "spigot", diameter = 60, depth = 5 }'
    crank = made(automatic(hub="hub = { diameter = 40, reach = 45.28 }", extra=own))
    assert crank.values["nose_engagement"] == pytest.approx(
        45.28 - 8.0 - 29.28
    )  # A2', bore left in the crank


SHAFT = """
[engine.drive]
standoff = 10
[gearbox.shaft]
reach = {reach}
tip = {{ diameter = 15, length = {tip} }}
[gearbox.release]
retracted = 92
[flywheel]
height = 28
[clutch]
fingers = 60
[pilot]
mouth = {mouth}
depth = {depth}
bush_width = {width}
[choices]
plate = 15
spacer = 5
"""


def test_golden_example_3_release_gap() -> None:
    found = made(SHAFT.format(reach=22, tip=24, mouth=0, depth=28, width=18))
    assert found.values["release_gap"] == pytest.approx(4.0)


def test_golden_example_4_input_shaft() -> None:
    """Bush from −6 to +9.5, shaft end −7, tip 20 long, hole end −12: 15.5, 3.5 and 5."""
    found = made(SHAFT.format(reach=22, tip=20, mouth=-5.5, depth=21.5, width=15.5))
    assert found.values["tip_engagement"] == pytest.approx(15.5)
    assert found.values["tip_shoulder"] == pytest.approx(3.5)
    assert found.values["tip_bottom"] == pytest.approx(5.0)


@pytest.mark.parametrize("mounts", ["engine", "plate", "gearbox"])
@pytest.mark.parametrize("outward", [True, False])
def test_starter_by_hand(mounts: str, outward: bool) -> None:
    """Ring and pinion from the equations, written out afresh."""
    t, g, spacer, z_d, ring, face, width = 15.0, 1.5, 20.0, 6.0, -2.0, 10.0, 12.0
    base = {"engine": 0.0, "plate": t, "gearbox": t + g}[mounts]
    front = z_d + spacer + ring
    home = front - base - 2.5 if outward else front + face - base + 2.5
    out = front - base + 9.0 if outward else front + face - base - 9.0
    found = made(
        f"""
[engine.drive]
standoff = {z_d}
[engine.starter]
mounts_on = "{mounts}"
home = {home}
engaged = {out}
pinion_width = {width}
[gearbox.converter]
seat_depth = 40
[flexplate]
offset = 8
ring = {{ face = {face}, standoff = {ring} }}
[choices]
plate = {t}
packing = {g}
spacer = {spacer}
"""
    )
    e = base + out
    pinion = (e - width, e) if outward else (e, e + width)
    overlap = min(pinion[1], front + face) - max(pinion[0], front)
    assert found.values["pinion_overlap"] == pytest.approx(overlap)
    assert found.values["pinion_rest_gap"] == pytest.approx(2.5)


def test_a_preset_is_a_deflection() -> None:
    text = automatic().replace("gap = [3.2, 4.8]", 'hold = "preset"\npreset = 0.6')
    found = made(text)
    assert found.values["gap"] == pytest.approx(0.6)


def test_a_missing_dimension_is_named_and_nothing_invented() -> None:
    found = made(automatic().replace('offset = "8.00 ± 0.1"', "thickness = 2"))
    assert found.lacks["gap"] == ("flexplate.offset",)
    assert "gap" not in found.values
    assert found.spacer is None


# ── what works ──────────────────────────────────────────────────────────────


def _sides(text: str):  # type: ignore[no-untyped-def]
    return normalise(read('units = "mm"\n' + text))


def _lp(found: Chain, text: str) -> tuple[np.ndarray, np.ndarray]:
    nominal = {key: one.value for key, one in _sides(text).lengths.items()}
    a, c = [], []
    for row in found.requirements:
        rest = row.line.constant + sum(f * nominal[k] for k, f in row.line.terms.items())
        if row.low is not None:
            a.append((-row.line.plate, -row.line.spacer))
            c.append(rest - row.low)
        if row.high is not None:
            a.append((row.line.plate, row.line.spacer))
            c.append(row.high - rest)
    return np.array(a), np.array(c)


JOBS = {
    "automatic": automatic(plate="", hub="hub = { diameter = 40, reach = 16 }"),
    "shaft": SHAFT.format(reach=22, tip=24, mouth=0, depth=28, width=18).replace("plate = 15", "").replace("spacer = 5", ""),
    "nothing works": automatic(plate="", standoff="70"),
}  # fmt: skip


@pytest.mark.parametrize("name", JOBS)
def test_corners_against_linear_programming(name: str) -> None:
    found = made(JOBS[name])
    a, c = _lp(found, JOBS[name])
    for angle in np.linspace(0, 2 * math.pi, 24, endpoint=False):
        aim = np.array([math.cos(angle), math.sin(angle)])
        best = linprog(-aim, A_ub=a, b_ub=c, bounds=[(0, None), (0, None)])
        if not found.region:
            assert best.status == 2
            continue
        assert max(aim @ np.array(corner) for corner in found.region) == pytest.approx(
            -best.fun, abs=1e-6
        )


@pytest.mark.parametrize("standoff", ["70", "55.5", "60"])
def test_shortfall_against_linear_programming(standoff: str) -> None:
    """The least common easing that lets every requirement meet."""
    text = automatic(plate="", standoff=standoff)
    found = made(text)
    a, c = _lp(found, text)
    eased = linprog([0, 0, 1], A_ub=np.column_stack([a, -np.ones(len(a))]), b_ub=c,
                    bounds=[(None, None), (None, None), (None, None)])  # fmt: skip
    assert found.conflict
    assert len(found.conflict) <= 3
    assert found.conflict[0].short_by == pytest.approx(eased.x[2], abs=1e-6)


def test_each_cure_alone_ends_the_contradiction() -> None:
    text = automatic(plate="", standoff="70")
    found = made(text)
    assert found.conflict[0].cures
    for key, change in found.conflict[0].cures.items():
        value = {
            "engine.drive.standoff": 70.0,
            "gearbox.converter.seat_depth": 28.58,
            "flexplate.offset": 8.0,
        }[key]
        name = {
            "engine.drive.standoff": "standoff",
            "gearbox.converter.seat_depth": "seat",
            "flexplate.offset": "offset",
        }[key]
        cured = made(
            automatic(**({"plate": "", "standoff": "70"} | {name: f"{value + change * 1.001:.4f}"}))
        )
        assert cured.region, key


def test_worst_case_draws_the_corners_in_by_the_sum_of_the_plus_minuses() -> None:
    found = made(automatic(plate=""))
    width = max(span for t, span in found.region if t == 25.0) - min(
        span for t, span in found.region if t == 25.0
    )
    robust = [span for t, span in found.robust_region if t == 25.0]
    assert max(robust) - min(robust) == pytest.approx(width - 2 * (0.05 + 0.1 + 0.1))


def test_statistical_width_is_the_root_of_the_squares() -> None:
    text = automatic(plate="", choices='uncertainty = "statistical"')
    found = made(text)
    stack = ufloat(28.58, 0.1) - ufloat(6.35, 0.05) - ufloat(8.0, 0.1)
    assert found.uncertain["gap"] == pytest.approx(stack.std_dev, abs=1e-9)
    assert stack.std_dev == pytest.approx(math.sqrt(0.05**2 + 0.1**2 + 0.1**2))


def test_certificates_agree_with_linear_programming_on_random_half_planes() -> None:
    """Feasible or not, for random offsets on the directions the chains have."""
    from kb.model.chain import Linear, Requirement

    random = np.random.default_rng(3)
    normals = [(1, -1), (-1, 1), (1, 0), (-1, 0), (0, 1), (0, -1)]
    for _ in range(60):
        rows = [
            Requirement(check=str(i), line=Linear(plate=float(p), spacer=float(s)), high=float(h))
            for i, ((p, s), h) in enumerate(zip(normals, random.uniform(-20, 20, 6), strict=True))
        ]
        planes = half_planes(rows, ())
        short = float(certificates(planes).shortfall(planes.reach(np.zeros(0))))
        lp = linprog([0, 0], A_ub=planes.normals, b_ub=planes.constants, bounds=[(None, None)] * 2)
        assert (short <= 1e-9) == (lp.status == 0)


# ── chances ─────────────────────────────────────────────────────────────────


def test_one_normal_dimension_has_the_normal_chance() -> None:
    """Gap 3.2 to 4.8 with the adapter at its middle: P(|x| ≤ 0.8), σ = half the ±."""
    found = made(automatic(standoff="6.35 ± 0.00001", offset="8 ± 0.00001", seat="28.58 ± 1.0"))
    assert found.odds is not None
    exact = NormalDist(0, 0.5).cdf(0.8) - NormalDist(0, 0.5).cdf(-0.8)
    assert found.odds.chance_these == pytest.approx(exact, abs=3 * found.odds.chance_these_error)


def test_limits_are_uniform() -> None:
    found = made(automatic(standoff="6.35 ± 0.00001", offset="8 ± 0.00001", seat="27.58 to 29.58"))
    assert found.odds is not None
    assert found.odds.chance_these == pytest.approx(0.8, abs=3 * found.odds.chance_these_error)


def test_shared_dimensions_stay_shared() -> None:
    """Gap and nose share nothing here; tip bottom and shoulder share the reach, with opposite signs."""
    base = SHAFT.format(reach='"22 ± 2"', tip=24, mouth=0, depth=26, width=18)
    found = made(base.replace("fingers = 60", 'fingers = "60 ± 0.001"').replace("height = 28", 'height = "28 ± 0.001"')
                 .replace("retracted = 92", 'retracted = "92 ± 0.001"').replace("standoff = 10", 'standoff = "10 ± 0.001"')
                 .replace("length = 24", 'length = "24 ± 0.001"'))  # fmt: skip
    assert found.odds is not None
    # bottom = (15 − s) − (15 − 26) = 26 − s ≥ 3; shoulder = 15 − s + 24 − 15 = 24 − s ≥ 0: one s decides both
    exact = NormalDist(22, 1).cdf(23)
    assert found.odds.chance_these == pytest.approx(exact, abs=4 * found.odds.chance_these_error)


def test_the_same_job_gives_the_same_chances() -> None:
    text = automatic(seat="28.58 ± 1.0")
    assert made(text).odds == made(text).odds


def test_what_dominates_is_measured_next() -> None:
    found = made(automatic(plate="", standoff="42.3 ± 0.05", seat="28.58 ± 1.5", offset="8 ± 0.05"))
    assert found.odds is not None
    assert 0.05 < found.odds.chance_any < 0.95
    assert found.odds.measure_next[0].dimension == "gearbox.converter.seat_depth"


# ── what is taken ───────────────────────────────────────────────────────────


def test_a_thin_adapter_is_avoided_where_a_thicker_plate_does() -> None:
    """At 10 mm the adapter would come out 1.23 mm, at 12 3.23, at 15 6.23: the first that can be made."""
    found = made(automatic(plate="", standoff="25.35", seat="28.58", offset="8"))
    assert (found.plate, found.spacer) == (15.0, pytest.approx(6.23))


def test_fixed_sizes_are_kept() -> None:
    found = made(automatic(plate="12", choices='spacer = "20"'))
    assert (found.plate, found.spacer) == (12.0, 20.0)
    assert found.values["gap"] == pytest.approx(12 + 28.58 - 6.35 - 20 - 8)


def test_every_edge_of_what_works_is_named_by_the_check_whose_line_it_is() -> None:
    """Stepping over the middle of an edge breaks the named requirement and, in the middle, no other."""
    for text in (JOBS["automatic"], JOBS["shaft"]):
        found = made(text)
        assert len(found.binds) == len(found.region)
        named = 0
        values = {
            key: one.value for key, one in normalise(read('units = "mm"\n' + text)).lengths.items()
        }
        centre = [sum(axis) / len(found.region) for axis in zip(*found.region, strict=True)]
        for one, two, check in zip(
            found.region, (*found.region[1:], found.region[0]), found.binds, strict=True
        ):
            middle = [(a + b) / 2 for a, b in zip(one, two, strict=True)]
            out = [m + 0.01 * (m - c) for m, c in zip(middle, centre, strict=True)]
            broken = {row.check for row in found.requirements if not _holds(row, out, values)}
            named += check in broken
            assert check in broken or not broken, (check, broken)
        assert named >= 3  # the rest are ends of what is looked at


def _holds(row: Any, at: list[float], values: dict[str, float]) -> bool:
    size = row.line.at(plate=at[0], spacer=at[1], values=values)
    return (row.low is None or size >= row.low - 1e-9) and (
        row.high is None or size <= row.high + 1e-9
    )
