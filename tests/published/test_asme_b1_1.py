"""Unified threads: printed areas and diameters against the basic profile.

Sources: Mechanical Engineering Design, 9th ed., Table 8-2, p.413 (tensile stress and minor areas, read; #10,
7/8 and 1 in from memory); Machinery's Handbook, 31st ed., p.1978 (basic pitch and minor diameters, read);
formulas of ASME B1.1: At = π/4·(D − 0.9743/n)², E = D − 0.64952/n, K = D − 1.08253/n.
"""

from __future__ import annotations

import math

import pytest

from kb.quantity import Thread, read_thread
from kb.standards import threads
from kb.standards.loader import Row, table

INCH = 25.4
ROWS = table("threads_inch").rows


def sizes(row: Row) -> threads.ThreadSizes:
    return threads.sizes(read_thread(row.text("thread"), key="thread"))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.text("thread"))
def test_printed_areas_and_diameters_follow_the_profile(row: Row) -> None:
    held, pitch_in = sizes(row), 1 / row.value("threads_per_inch")
    major_in = held.thread.major / INCH
    assert held.tabulated
    area = math.pi / 4 * (major_in - 0.9743 * pitch_in) ** 2
    assert held.stress_area_mm2 / INCH**2 == pytest.approx(area, rel=0.002)
    assert held.pitch_diameter / INCH == pytest.approx(major_in - 0.64952 * pitch_in, abs=1e-4)
    assert held.minor_internal / INCH == pytest.approx(major_in - 1.08253 * pitch_in, abs=1e-4)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.text("thread"))
def test_minor_diameter_gives_the_textbooks_minor_area(row: Row) -> None:
    area = math.pi / 4 * sizes(row).minor_external ** 2
    assert area == pytest.approx(row.value("minor_area"), rel=0.002)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.text("thread"))
def test_a_thread_not_tabulated_comes_out_as_a_tabulated_one_would(row: Row) -> None:
    """The fallback on the profile, asked for a thread the table holds, agrees with the table."""
    thread = read_thread(row.text("thread"), key="thread")
    nudged = Thread(
        designation=thread.designation, system="inch",
        major=thread.major + 0.002, pitch=thread.pitch,
    )  # fmt: skip
    worked, tabled = threads.sizes(nudged), threads.sizes(thread)
    assert not worked.tabulated
    assert worked.stress_area_mm2 == pytest.approx(tabled.stress_area_mm2, rel=0.003)
    assert worked.pitch_diameter == pytest.approx(tabled.pitch_diameter, abs=0.005)
    assert worked.minor_internal == pytest.approx(tabled.minor_internal, abs=0.005)
    assert worked.tap_drill == pytest.approx(tabled.tap_drill, abs=0.25)
