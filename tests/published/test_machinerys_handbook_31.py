"""Drills, tap drills and clearance holes.

Source: Machinery's Handbook, 31st ed. (2020), p.2168 Table 4 (tap drills and their decimals, read),
p.1743 (inch drills that come nearest to ISO 273's metric clearance holes, read), p.2155 Table 2 (per
cent of thread for 0-80, read).
"""

from __future__ import annotations

import pytest

from kb.quantity import read_thread
from kb.standards import clearance, drills, threads
from kb.standards.loader import table
from tests.published.printed import printed

INCH = 25.4


def per_cent_of_thread(major: float, *, pitch: float, bore: float) -> float:
    """Depth of thread left by a tap bore, of the full depth 1.299·P/2 (p.2155; %/100 = (D−B)/1.299P)."""
    return 100 * (major - bore) / (1.299 * pitch)


@pytest.mark.parametrize(("bore_in", "per_cent"), [(0.0512, 54), (0.0472, 79)])
def test_per_cent_of_thread_is_the_handbooks(bore_in: float, per_cent: float) -> None:
    """0-80: 1.30 mm leaves 54 %, 1.20 mm 79 % (p.2155)."""
    assert per_cent_of_thread(0.060, pitch=1 / 80, bore=bore_in) == pytest.approx(per_cent, abs=0.6)


@pytest.mark.parametrize("row", printed("tap_drills"), ids=lambda row: row["thread"])
def test_tap_drills(row: dict[str, str]) -> None:
    held = threads.sizes(read_thread(row["thread"], key="thread"))
    assert held.tap_drill_name == row["drill"]
    assert held.tap_drill / INCH == pytest.approx(float(row["decimal_in"]), abs=6e-5)
    cut = per_cent_of_thread(held.thread.major, pitch=held.pitch, bore=held.tap_drill)
    assert cut == pytest.approx(float(row["percent"]), abs=0.6)


@pytest.mark.parametrize("system", threads.SYSTEMS)
def test_every_tap_drill_leaves_a_sound_thread(system: str) -> None:
    """Tap drills leave 60 to 85 per cent of thread (common practice, no source)."""
    for row in table(f"threads_{system}"):
        held = threads.sizes(read_thread(row.text("thread"), key="thread"))
        cut = per_cent_of_thread(held.thread.major, pitch=held.pitch, bore=held.tap_drill)
        assert 60 <= cut <= 85, row.cells
        assert held.minor_internal <= held.tap_drill * 1.02


@pytest.mark.parametrize(
    "row", printed("metric_clearance_inch_drills"), ids=lambda r: f"{r['thread']} {r['fit']}"
)
def test_metric_clearance_holes_take_the_handbooks_inch_drills(row: dict[str, str]) -> None:
    """ISO 273's holes against the drills p.1743 offers in their place, at most 0.2 mm under size.

    BS 4186:1967's 14, 16, 18 mm (normal) and 15, 17, 19 mm (loose) for M12, M14, M16 would fail.
    """
    hole = clearance.hole(read_thread(row["thread"], key="thread"), row["fit"])
    assert hole.lower - 0.2 <= drills.named(row["drill"]).diameter <= hole.upper
