"""Balance quality grades.

Source: ISO 21940-11:2016, Table 1 (read); its grades stand a factor of 2.5 apart (from memory). A tooling
catalogue's worked example (common practice, no source; read): 2 kg, G6.3, 10 000 rpm gives 12 g·mm.
"""

from __future__ import annotations

from itertools import pairwise
from math import pi

import pytest

from kb.standards import balance


def test_grades_stand_a_factor_of_two_and_a_half_apart() -> None:
    values = [each.value_mm_s for each in balance.grades()]
    assert len(values) == 11
    for coarser, finer in pairwise(values):
        assert coarser / finer == pytest.approx(
            2.5, rel=0.025
        )  # rounded as 1 · 2.5 · 6.3 · 16 · 40


def test_worked_example() -> None:
    """Permissible unbalance = grade / ω × mass."""
    eccentricity = balance.grade("G6.3") / (2 * pi * 10_000 / 60)  # mm
    assert eccentricity * 2_000 == pytest.approx(12.03, abs=0.005)  # g·mm
