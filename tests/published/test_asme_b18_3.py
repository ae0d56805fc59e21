"""Socket head cap screws.

Sources: ASME B18.3-2003 (head diameters and heights read, counterbores from memory) against the proportions
it is built on, A = 1½·D from 1/4 in up and H = D (from memory); ISO 4762 (heads, read; k = d) against the
counterbores of DIN 974-1 (read in part); ISO 2725-1 (sockets, from memory) against ISO 4014 (bolts, read).
"""

from __future__ import annotations

import math

import pytest

from kb.quantity import read_thread
from kb.standards import clearance, heads
from kb.standards.loader import Row, table

INCH = 25.4


@pytest.mark.parametrize("row", table("socket_screws_inch").rows, ids=lambda row: row.text("size"))
def test_inch_heads_follow_their_proportions(row: Row) -> None:
    nominal = row.value("nominal")
    if nominal >= 0.25 * INCH:
        assert row.value("head_diameter") == pytest.approx(1.5 * nominal, abs=0.02)
    assert row.value("head_height") == pytest.approx(nominal, abs=0.02)


@pytest.mark.parametrize(
    "row", table("socket_screws_metric").rows, ids=lambda row: row.text("size")
)
def test_metric_heads_follow_their_proportions(row: Row) -> None:
    assert row.value("head_height") == row.value("nominal")
    # knurled heads are h13 + knurl, at most 2.6 % over the plain ones
    assert 1 < row.value("knurled_diameter") / row.value("head_diameter") < 1.027


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_counterbores_let_the_head_in_wherever_the_screw_stands(system: str) -> None:
    """A screw may stand off by half the play of its close clearance hole and the head still go in."""
    for row in table(f"socket_screws_{system}"):
        size = row.text("size")
        thread = read_thread(
            {"#10": "#10-24"}.get(size, size) if size[0] in "M#" else f"{size}-20", key="thread"
        )
        screw, hole = heads.socket_screw(thread), clearance.hole(thread, "close")
        largest = row.value("knurled_diameter") if system == "metric" else screw.head_diameter
        assert screw.counterbore - largest >= hole.diameter - thread.major
        assert screw.head_diameter > hole.upper  # it has something to bear on


@pytest.mark.parametrize("row", table("hex_bolts_metric").rows, ids=lambda row: row.text("size"))
def test_a_socket_is_bigger_than_the_corners_of_its_bolt(row: Row) -> None:
    """Wall of 1 mm and more outside the corners, 2/√3 of the width across flats."""
    bolt = heads.hex_bolt(read_thread(row.text("size"), key="thread"))
    corners = 2 / math.sqrt(3) * bolt.across_flats
    assert bolt.socket_outside > corners + 2
    assert bolt.bearing is not None
    assert 0.85 * bolt.across_flats < bolt.bearing < bolt.across_flats
