"""Socket head cap screws.

Sources: ASME B18.3-2003 (head diameters and heights read, counterbores from memory) against the proportions
it is built on, A = 1½·D from 1/4 in up and H = D (from memory); ISO 4762 (heads, read; k = d) against the
counterbores of DIN 974-1 (read in part); ISO 10642 (from memory); ISO 2725-1 (sockets, from memory) against ISO 4014 (bolts, read).
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


def test_countersunk_heads_are_the_cones_they_are_said_to_be() -> None:
    """Height of a cone from the shank to its sharp edge: (A − D) / (2·tan(angle / 2)), printed to 0.001 in and 0.01 mm;
    ASME B18.3-2003 Table 2A (read) and ISO 10642 (from memory)."""
    for system, printed in (("inch", 0.001 * INCH), ("metric", 0.01)):
        for row in table(f"countersunk_screws_{system}"):
            size = row.text("size")
            screw = heads.countersunk_screw(
                read_thread(
                    {"#10": "#10-24"}.get(size, size) if size[0] in "M#" else f"{size}-20",
                    key="thread",
                )
            )
            flare = screw.head_diameter - row.value("nominal")
            cone = flare / 2 / math.tan(math.radians(screw.angle / 2))
            assert screw.head_height == pytest.approx(cone, abs=printed)


def test_countersunk_heads_are_lower_and_wider_than_cap_heads() -> None:
    """What they are chosen for: ISO 10642 against ISO 4762, the same size."""
    for size in ("M5", "M6", "M8", "M10", "M12", "M16", "M20"):
        thread = read_thread(size, key="thread")
        sunk, cap = heads.countersunk_screw(thread), heads.socket_screw(thread)
        assert sunk.head_height < 0.65 * cap.head_height
        assert sunk.head_diameter > cap.counterbore


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
