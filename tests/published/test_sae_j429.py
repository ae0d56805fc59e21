"""Inch bolt grades.

Source: SAE J429 torque table of a distributor (read): grade 2, clamp load 75 % of proof, T = K·d·F with
K = 0.20. It prints the clamp loads and torques; proof stress comes from SAE J429, stress areas from
ASME B1.1, so three tables have to agree. Metric equivalents of the grades: common practice, no source.
"""

from __future__ import annotations

import pytest

from kb.quantity import read_thread
from kb.standards import bolts, threads
from tests.published.printed import printed

LBF = 4.4482216152605
LBF_FT = 1355.8179483314004


@pytest.mark.parametrize("row", printed("grade_2_clamp"), ids=lambda row: row["thread"])
def test_clamp_load_is_three_quarters_of_proof(row: dict[str, str]) -> None:
    held = threads.sizes(read_thread(row["thread"], key="thread"))
    clamp = 0.75 * bolts.grade("grade 2", held.thread.major).proof_mpa * held.stress_area_mm2
    assert clamp / LBF == pytest.approx(float(row["clamp_lbf"]), abs=5)
    torque = 0.20 * held.thread.major * clamp / LBF_FT
    assert torque == pytest.approx(float(row["torque_lbf_ft"]), abs=0.25)


def test_dry_factor_is_the_tables() -> None:
    """K = 0.20 for plain dry or zinc-plated threads is one of the factors held."""
    plain = [each for each in bolts.torque_factors() if "dry" in each.condition]
    assert 0.20 in [each.factor for each in plain]


@pytest.mark.parametrize(("inch", "metric"), [("5", "8.8"), ("8", "10.9")])
def test_grades_stand_by_their_metric_neighbours(inch: str, metric: str) -> None:
    """Grade 5 is about class 8.8, grade 8 about class 10.9 (common practice, no source)."""
    one, other = bolts.grade(inch, 9.525), bolts.grade(metric, 10)
    assert one.proof_mpa == pytest.approx(other.proof_mpa, rel=0.03)
    assert one.tensile_mpa == pytest.approx(other.tensile_mpa, rel=0.05)
