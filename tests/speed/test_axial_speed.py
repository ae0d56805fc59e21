"""What works axially, what contradicts and how sure it is, beside linear programming and loops."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import linprog

from kb.model.record import Sides
from kb.sheets.reading import read
from tests.engine.spans import job_of, needs_of_shaft, rows, shaft_at, sides
from tests.speed.conftest import Beside
from wizard.engine.axial.chain import chain
from wizard.engine.axial.measures import measures
from wizard.engine.axial.needs import requirements
from wizard.engine.axial.odds import draw, odds
from wizard.engine.axial.region import (
    Certificates,
    HalfPlanes,
    certificates,
    conflict,
    half_planes,
    lengths_at,
    polygon,
)
from wizard.engine.axial.stock import most_plate, thickness_needs

Array = NDArray[np.float64]
SHEETS = Path(__file__).parents[1] / "data" / "sheets"
FREE = [(None, None)] * 2


def manual() -> Sides:
    """The example job with the most requirements along the axis."""
    from wizard.engine.normalise import normalise

    return normalise(read((SHEETS / "manual-metric.toml").read_text(encoding="utf-8")))


def planes_of(job: Sides) -> tuple[HalfPlanes, Array]:
    """Half-planes of a job and its dimensions as they stand."""
    needs = (*thickness_needs(job), *requirements(job, measures(job, carried_by="spacer")))
    keys = tuple(dict.fromkeys(key for row in needs for key in row.line.terms))
    return half_planes(needs, keys), np.array([job.lengths[key].value for key in keys])


def by_vertices(a: Array, c: Array) -> list[tuple[float, float]]:
    """Corners by linear programming: look out square to every edge until nothing lies beyond it."""

    def farthest(x: float, y: float) -> tuple[float, float] | None:
        found = linprog([-x, -y], A_ub=a, b_ub=c, bounds=FREE)
        return tuple(found.x) if found.status == 0 else None

    ends = [farthest(1, 0), farthest(-1, 0)]
    if None in ends:
        return []
    corners = [end for end in ends if end is not None]
    todo = [(corners[0], corners[1]), (corners[1], corners[0])]
    while todo:
        (x0, y0), (x1, y1) = todo.pop()
        aim = (y1 - y0, x0 - x1)
        if math.hypot(*aim) < 1e-9:
            continue
        beyond = farthest(*aim)
        if beyond and aim[0] * (beyond[0] - x0) + aim[1] * (beyond[1] - y0) > 1e-7:
            corners.append(beyond)
            todo += [((x0, y0), beyond), (beyond, (x1, y1))]
    return corners


def by_subsets(a: Array, c: Array) -> tuple[int, ...]:
    """The smallest rows that contradict, by trying every one, two and three of them."""
    for size in (1, 2, 3):
        for some in itertools.combinations(range(len(a)), size):
            at = list(some)
            if linprog([0, 0], A_ub=a[at], b_ub=c[at], bounds=FREE).status == 2:
                return some
    return ()


def test_region(beside: Beside) -> None:
    job = manual()
    planes, nominal = planes_of(job)
    reach, box = planes.reach(nominal), (most_plate(job), job.rules["spacer-length.most"])
    corners = beside.ours("what works, as corners", lambda: polygon(planes, reach, box=box))
    a = np.vstack((planes.normals, [(-1, 0), (1, 0), (0, -1), (0, 1)]))
    c = np.concatenate((reach, [0, box[0], 0, box[1]]))
    other = beside.other("SciPy linprog, corner by corner", lambda: by_vertices(a, c), aim="≥ 20×")
    off = max(min(math.dist(one, corner) for corner in corners) for one in other)
    beside.accuracy(f"{len(corners)} corners, the two ways {off:.1e} mm apart")
    assert off < 1e-6


def contradicting() -> tuple[Array, Array, HalfPlanes, Array]:
    """A manual job at random whose needs cannot all be met."""
    random = np.random.default_rng(4)
    while True:
        x = shaft_at(random)
        a, c = rows(needs_of_shaft(x))
        if linprog([0, 0], A_ub=a, b_ub=c, bounds=FREE).status == 2:
            planes, nominal = planes_of(sides(job_of("shaft", x)))
            return a, c, planes, nominal


def test_contradiction(beside: Beside) -> None:
    a, c, planes, nominal = contradicting()

    def ours() -> object:
        return conflict(planes, certificates(planes), planes.reach(nominal))

    found = beside.ours("what contradicts, and by how much", ours)
    some = beside.other("SciPy linprog, subset by subset", lambda: by_subsets(a, c), aim="≥ 20×")
    beside.accuracy(
        f"{len(found)} needs contradict by ours, {len(some)} by theirs; only ours says by how much"
    )
    assert 0 < len(some) <= len(found) <= 3


def test_region_and_contradiction(beside: Beside) -> None:
    """All that is worked out anew for one job, but for the chances."""
    job = manual()
    beside.ours("region, robust region, contradiction", lambda: chain(job, draws=1), aim="≤ 2 ms")


@pytest.mark.parametrize("draws", [1_000, 10_000, 100_000])
def test_chances(beside: Beside, draws: int) -> None:
    job = manual()
    planes, _ = planes_of(job)
    lengths = [job.lengths[key] for key in planes.keys]
    found, box = certificates(planes), (most_plate(job), job.rules["spacer-length.most"])
    chosen = (15.0, 5.0)
    made = beside.ours(
        f"chances and what to measure, {draws} draws",
        lambda: odds(planes, found, lengths, chosen=chosen, closing=None, best_within=0.01, draws=draws),
        curve="draws", size=draws,
    )  # fmt: skip
    if draws < 100_000:
        return
    few = 500
    sample = draw(lengths, draws=few)

    def one_by_one() -> float:
        return float(np.mean([_works(planes, found, row, box, chosen) for row in sample]))

    chance = beside.other(
        "a loop over the single design", one_by_one, times=draws / few * (1 + len(lengths)), aim="≥ 200×"
    )  # fmt: skip
    beside.accuracy(
        f"chance {made.chance_these:.4f} ± {made.chance_these_error:.4f}, the loop {chance:.3f}; "
        f"loop run on {few} draws and scaled, once for the chance and once for each dimension read anew"
    )


def test_spread_of_every_need(beside: Beside) -> None:
    """The ± of each sum along the axis, sampled, beside linear propagation (JCGM 100:2008, 5.1)."""
    from uncertainties import ufloat

    job = manual()
    planes, _ = planes_of(job)
    lengths = [job.lengths[key] for key in planes.keys]

    def ours() -> Array:
        return np.asarray(planes.reach(draw(lengths, draws=100_000)).std(axis=0))

    def linear() -> Array:
        read_ = [ufloat(one.value, one.within / 2) for one in lengths]
        sums = [sum(f * x for f, x in zip(row, read_, strict=True)) for row in planes.coefficients]
        return np.array([getattr(one, "std_dev", 0.0) for one in sums])

    sampled = beside.ours("± of every need, 100 000 draws", ours)
    exact = beside.other("uncertainties, no draws", linear)
    off = float(np.abs(sampled - exact).max())
    beside.accuracy(f"sampled σ within {1000 * off:.2f} µm; propagation gives σ only, no chances")
    assert off < 0.01


def _works(
    planes: HalfPlanes, found: Certificates, x: Array, box: tuple[float, float],
    chosen: tuple[float, float],
) -> bool:  # fmt: skip
    reach = planes.reach(x)
    corners = polygon(planes, reach, box=box)
    conflict(planes, found, reach)
    span = lengths_at(corners, chosen[0])
    return span is not None and span[0] <= chosen[1] <= span[1]
