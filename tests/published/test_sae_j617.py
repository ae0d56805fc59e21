"""Flywheel housings.

Sources: SAE J617 as tabulated by a maker (inches, read) against SAE J617-2020, second-hand digest (unverified;
millimetres, read); ISO 7648:1987 (hole pattern straddles both axes, read); chord constants sin(180°/N) (read);
SAE J1033 limits as quoted by a distributor (read).
"""

from __future__ import annotations

import math

import pytest

from kb.standards import clearance, housings
from tests.published.printed import printed

INCH = 25.4


def holes(unit: housings.Housing) -> list[tuple[float, float]]:
    """Hole centres [mm], the vertical as y, clockwise from it."""
    radius, step = unit.bolt_circle / 2, 2 * math.pi / unit.holes
    angles = [math.radians(unit.first_hole) + step * n for n in range(unit.holes)]
    return [(radius * math.sin(angle), radius * math.cos(angle)) for angle in angles]


@pytest.mark.parametrize("row", printed("sae_j617_millimetres"), ids=lambda row: row["size"])
def test_inches_agree_with_the_metric_column(row: dict[str, str]) -> None:
    unit = housings.housing(row["size"])
    assert unit.bore[0] == pytest.approx(float(row["bore_min_mm"]), abs=0.0101)
    assert unit.bore[1] == pytest.approx(float(row["bore_max_mm"]), abs=0.0101)
    assert unit.bolt_circle == pytest.approx(float(row["bolt_circle_mm"]), abs=0.0101)
    assert unit.depth == pytest.approx(float(row["depth_mm"]), abs=0.1)
    assert unit.tir == pytest.approx(float(row["tir_mm"]), abs=0.006)


@pytest.mark.parametrize("name", housings.names("housing"))
def test_holes_straddle_both_axes(name: str) -> None:
    """Equally spaced each side of the vertical and the horizontal (ISO 7648)."""
    places = holes(housings.housing(name))
    for mirrored in ([(-x, y) for x, y in places], [(x, -y) for x, y in places]):
        for x, y in mirrored:
            assert min(math.hypot(x - a, y - b) for a, b in places) < 1e-9
    assert all(abs(x) > 1 and abs(y) > 1 for x, y in places)


@pytest.mark.parametrize("row", printed("chord_factors"), ids=lambda row: row["holes"])
def test_neighbouring_holes_are_a_chord_apart(row: dict[str, str]) -> None:
    units = [housings.housing(name) for name in housings.names("housing")]
    fitting = [unit for unit in units if unit.holes == int(row["holes"])]
    assert fitting
    for unit in fitting:
        first, second, *_ = holes(unit)
        chord = math.dist(first, second)
        assert chord == pytest.approx(unit.bolt_circle * float(row["factor"]), rel=1e-5 / 0.19)


@pytest.mark.parametrize("name", housings.names("housing"))
def test_holes_lie_in_the_flange(name: str) -> None:
    """Between the bore and the outside there is metal on both sides of every screw."""
    unit = housings.housing(name)
    hole = clearance.hole(unit.thread, "normal").diameter
    assert unit.bore[1] + hole < unit.bolt_circle < unit.flange_outside - hole


def test_number_three() -> None:
    """No. 3: bore 409.58–409.70 mm, 12 × 3/8-16 on 428.62 mm, TIR .010 in."""
    unit = housings.housing("No. 3")
    assert [round(size, 1) for size in unit.bore] == [409.6, 409.7]
    assert (unit.holes, unit.thread.designation) == (12, "3/8-16")
    assert unit.tir / INCH == pytest.approx(0.010)
    assert unit.bolt_circle == pytest.approx(428.62, abs=0.006)


def test_limits_grow_with_the_bore() -> None:
    """.007 in for No. 6 to .019 in for No. 00; the makers stay inside the standard's limit."""
    units = [housings.housing(name) for name in housings.names("housing")]
    units.sort(key=lambda unit: unit.bore[0])
    limits = [unit.tir for unit in units]
    assert limits == sorted(limits)
    assert (limits[0] / INCH, limits[-1] / INCH) == pytest.approx((0.007, 0.019))
    for unit in units:
        for maker in (unit.engine_maker_tir, unit.generator_maker_tir):
            assert maker is None or maker <= unit.tir
