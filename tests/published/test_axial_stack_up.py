"""± of a stack of dimensions: worst case and root of the sum of squares, on published figures.

Sources: JCGM 100:2008 (GUM), H.1, calibration of an end gauge: components 25, 9.7, 2.9 and 16.6 nm
add to 32 nm (from memory), the law of propagation its 5.1.2, for lengths that add (from memory); a
calibration page's example of it, "common practice, no source": 0.33, 0.29 and 0.25 µm give
0.51 µm (read). Second method: the `uncertainties` library. Worst case: limits that add (closed form).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from uncertainties import ufloat

from tests.engine.spans import D, F, H, Z, solved

SHIMS, PACKING = "gearbox.converter.lug_shims", "choices.packing"
NOMINAL = {Z: 6.35, D: 28.58, F: 8.0, SHIMS: 1.0}


def stacked(within: dict[str, float], how: str) -> float:
    """± of the gap with these ± on what it is stacked of, all else exact [mm]."""
    job = {key: f"{value} ± {within.get(key, 0):.9f}" for key, value in NOMINAL.items()}
    found = solved(job | {"choices.plate": 19.05, "choices.uncertainty": how})
    return found.uncertain["gap"]


def test_end_gauge_of_the_guide() -> None:
    """u² = 25² + 9.7² + 2.9² + 16.6², so 32 nm; here the same figures in hundredths of a millimetre."""
    parts = dict(zip(NOMINAL, (0.25, 0.097, 0.029, 0.166), strict=True))
    assert round(100 * stacked(parts, "statistical")) == 32
    assert stacked(parts, "worst") == pytest.approx(0.25 + 0.097 + 0.029 + 0.166)


def test_micrometer_of_a_calibration_page() -> None:
    """0.33 µm of repeats, 0.29 of resolution, 0.25 of the reference: 0.51 µm; twice that is 1.0."""
    parts = dict(zip(NOMINAL, (0.033, 0.029, 0.025), strict=False))
    assert stacked(parts, "statistical") == pytest.approx(0.051, abs=0.0005)
    assert 2 * stacked(parts, "statistical") == pytest.approx(0.10, abs=0.005)


@pytest.mark.parametrize("seed", range(6))
def test_root_of_the_sum_of_squares_by_a_general_library(seed: int) -> None:
    draw = np.random.default_rng(seed)
    within = {
        key: round(float(size), 4)
        for key, size in zip(NOMINAL, draw.uniform(0, 0.4, 4), strict=True)
    }
    read = {key: ufloat(value, within[key]) for key, value in NOMINAL.items()}
    gap = 19.05 + read[D] - read[Z] - read[F] - read[SHIMS]
    assert stacked(within, "statistical") == pytest.approx(gap.std_dev, abs=1e-9)
    assert stacked(within, "worst") == pytest.approx(sum(within.values()), abs=1e-9)


def test_a_dimension_that_counts_twice_counts_its_whole_weight() -> None:
    """Nose while seated, E − p = (h − f − w) − (t + D − z − L − f − w): the flexplate falls out of it,
    the library says so too."""
    job = {Z: "6.35 ± 0.03", D: "28.58 ± 0.05", F: "8 ± 0.4", H: "20 ± 0.02"}
    found = solved(job | {"choices.plate": 19.05, "choices.uncertainty": "statistical"})
    z, depth, offset, reach = (
        ufloat(6.35, 0.03),
        ufloat(28.58, 0.05),
        ufloat(8, 0.4),
        ufloat(20, 0.02),
    )
    seated = (reach - offset) - (19.05 + depth - z - (found.spacer or 0) - offset)
    assert found.values["nose_seated"] == pytest.approx(seated.nominal_value)
    assert found.uncertain["nose_seated"] == pytest.approx(seated.std_dev)
    assert found.uncertain["nose_engagement"] == pytest.approx((reach - offset).std_dev)


@pytest.mark.parametrize(
    ("confidence", "times"), [(0.6827, 1.0), (0.9, 1.645), (0.95, 1.960), (0.99, 2.576), (0.9973, 3.0)]
)  # fmt: skip
def test_another_confidence_by_the_printed_factors(confidence: float, times: float) -> None:
    """Coverage factors of the normal, JCGM 100:2008, Table G.1 (from memory); a ± is its 95 % one."""
    job = {Z: "6.35 ± 0", D: "28.58 ± 0.196", F: "8 ± 0"}
    found = solved(
        job
        | {"choices.plate": 19.05, "choices.uncertainty": "statistical",
           "choices.confidence": confidence}
    )  # fmt: skip
    assert found.uncertain["gap"] == pytest.approx(0.1 * times, abs=6e-5)


@pytest.mark.parametrize(
    ("how", "within"),
    [("tape", 1.0), ("rule", 0.4), ("caliper", 0.05), ("depth micrometer", 0.01), ("hand scanner", 0.3)],
)  # fmt: skip
def test_an_instrument_brings_its_own(how: str, within: float) -> None:
    """What it can honestly claim: common practice, no source."""
    job = {Z: "6.35 ± 0", F: "8 ± 0", f"{D}.value": "28.58", f"{D}.how": how, "choices.plate": 19}
    assert solved(job).uncertain["gap"] == pytest.approx(within)


def test_two_readings_weigh_as_their_squares() -> None:
    """28.50 ± 0.10 and 28.56 ± 0.05: weights 100 and 400, so 28.548 ± 1/√500 (the GUM's weighted mean,
    from memory). One reading of ± 0.2 twice: the plain mean, ± 0.2/√2."""
    found = solved(
        {Z: "6.35 ± 0", F: "8 ± 0", D: ["28.50 ± 0.10", "28.56 ± 0.05"], "choices.plate": 19}
    )
    assert found.uncertain["gap"] == pytest.approx(1 / math.sqrt(500))
    assert found.spacer == pytest.approx(19 + 28.548 - 6.35 - 8 - 4)
    alike = solved(
        {Z: "6.35 ± 0", F: "8 ± 0", D: ["28.4 ± 0.2", "28.6 ± 0.2"], "choices.plate": 19}
    )
    assert alike.uncertain["gap"] == pytest.approx(0.2 / math.sqrt(2))
    assert alike.spacer == pytest.approx(19 + 28.5 - 6.35 - 8 - 4)


def test_readings_that_disagree_span_their_difference() -> None:
    """28.0 and 29.0, ± 0.1 each: the mean 28.5, and no claim closer than 0.5."""
    found = solved(
        {Z: "6.35 ± 0", F: "8 ± 0", D: ["28.0 ± 0.1", "29.0 ± 0.1"], "choices.plate": 19}
    )
    assert found.uncertain["gap"] == pytest.approx(0.5)
