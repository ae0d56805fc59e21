"""Metric threads and property classes.

Sources: ISO 898-1 (stress areas; the formula As = π/4·((d2 + d3)/2)²; proof loads of coarse threads and
the meaning of a class's two numbers, from memory); ISO 724 (d2 = d − 0.6495·P, D1 = d − 1.0825·P);
ISO 68-1 (H = √3/2·P, d3 = D1 − H/6).
"""

from __future__ import annotations

import math

import pytest

from kb.quantity import Thread, read_thread
from kb.standards import bolts, threads
from kb.standards.loader import Row, table
from tests.published.printed import printed

ROWS = table("threads_metric").rows


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.text("thread"))
def test_printed_areas_and_diameters_follow_the_profile(row: Row) -> None:
    held = threads.sizes(read_thread(row.text("thread"), key="thread"))
    height = math.sqrt(3) / 2 * held.pitch
    pitch_diameter = held.thread.major - 2 * 3 / 8 * height
    minor_internal = held.thread.major - 2 * 5 / 8 * height
    minor_external = minor_internal - height / 6
    assert held.tabulated
    assert held.pitch_diameter == pytest.approx(pitch_diameter, abs=6e-4)
    assert held.minor_internal == pytest.approx(minor_internal, abs=6e-4)
    assert held.minor_external == pytest.approx(minor_external, abs=6e-4)
    assert held.minor_external == pytest.approx(row.value("minor_external"), abs=6e-4)
    area = math.pi / 4 * ((pitch_diameter + minor_external) / 2) ** 2
    assert held.stress_area_mm2 == pytest.approx(area, rel=0.004)  # three figures printed


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.text("thread"))
def test_a_thread_not_tabulated_comes_out_as_a_tabulated_one_would(row: Row) -> None:
    thread = read_thread(row.text("thread"), key="thread")
    nudged = Thread(
        designation=thread.designation, system="metric",
        major=thread.major + 0.002, pitch=thread.pitch,
    )  # fmt: skip
    worked, tabled = threads.sizes(nudged), threads.sizes(thread)
    assert not worked.tabulated
    assert worked.stress_area_mm2 == pytest.approx(tabled.stress_area_mm2, rel=0.005)
    assert worked.minor_external == pytest.approx(tabled.minor_external, abs=0.005)
    assert worked.tap_drill == pytest.approx(tabled.tap_drill, abs=0.15)


@pytest.mark.parametrize(
    "row", printed("iso_898_1_proof_loads"), ids=lambda r: f"{r['class']} {r['thread']}"
)
def test_proof_loads(row: dict[str, str]) -> None:
    """Proof load = stress area × proof stress; printed to three figures."""
    held = threads.sizes(read_thread(row["thread"], key="thread"))
    load = held.stress_area_mm2 * bolts.grade(row["class"], held.thread.major).proof_mpa
    assert load == pytest.approx(float(row["proof_load_n"]), rel=0.005)


@pytest.mark.parametrize("name", ["8.8", "10.9", "12.9"])
@pytest.mark.parametrize("nominal", [5, 16, 18, 36])
def test_a_class_is_at_least_what_its_numbers_say(name: str, nominal: float) -> None:
    """First number × 100 = nominal tensile strength; second / 10 = yield over tensile."""
    strength, ratio = name.split(".")
    held = bolts.grade(name, nominal)
    assert 100 * float(strength) <= held.tensile_mpa <= 1.05 * 100 * float(strength)
    assert held.yield_mpa / held.tensile_mpa == pytest.approx(float(f"0.{ratio}"), abs=0.02)
