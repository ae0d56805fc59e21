"""Screw threads by their designation.

Sources: sizes, threads per inch and numbered sizes as printed (Machinery's Handbook, 31st ed., by the table of inch
threads; ASME B1.1-2003, Table 1, from memory); the inch is 25.4 mm exactly.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.designation import GAUGES
from kb.errors import InputError
from kb.quantity import read_thread
from kb.standards.loader import Row, table


@pytest.mark.parametrize("row", list(table("threads_inch")), ids=lambda row: row.text("thread"))
def test_inch_threads_have_their_printed_size(row: Row) -> None:
    found = read_thread(row.text("thread"), key="k")
    assert found.designation == row.text("thread")
    assert found.major == pytest.approx(row.value("major"), abs=1e-9)
    assert found.pitch is not None
    assert 25.4 / found.pitch == pytest.approx(row.count("threads_per_inch"))


@pytest.mark.parametrize(
    ("number", "major"),
    [(0, 0.060), (1, 0.073), (2, 0.086), (3, 0.099), (4, 0.112), (5, 0.125), (6, 0.138), (8, 0.164),
     (10, 0.190), (12, 0.216)],
)  # fmt: skip
def test_numbered_sizes(number: int, major: float) -> None:
    """ASME B1.1-2003, Table 1, basic major diameters [in] (from memory)."""
    found = read_thread(f"#{number}-56", key="k")
    assert found.major == pytest.approx(major * 25.4, abs=1e-9)
    assert number in GAUGES


@pytest.mark.parametrize(
    ("text", "designation", "major", "pitch"),
    [
        ("M10", "M10", 10.0, None),
        ("m10", "M10", 10.0, None),
        ("M10x1.25", "M10x1.25", 10.0, 1.25),
        ("M 10 × 1,25".replace(",", "."), "M10x1.25", 10.0, 1.25),
        ("M2.5", "M2.5", 2.5, None),
        ("M12x1.50-6g", "M12x1.5", 12.0, 1.5),
        ("M8-5g6g", "M8", 8.0, None),
        ("3/8-16", "3/8-16", 9.525, 1.5875),
        ("⅜-16", "3/8-16", 9.525, 1.5875),
        ("3/8 - 16 UNC", "3/8-16", 9.525, 1.5875),
        ("3/8-16 UNC-2B", "3/8-16", 9.525, 1.5875),
        ("6/16-16", "3/8-16", 9.525, 1.5875),
        (".375-16", "3/8-16", 9.525, 1.5875),
        ("0.190-32", "#10-32", 4.826, 0.79375),
        ("10-32", "#10-32", 4.826, 0.79375),
        ("1-8", "1-8", 25.4, 3.175),
        ("1-1/2-6", "1 1/2-6", 38.1, 25.4 / 6),
        ("1 1/2-12", "1 1/2-12", 38.1, 25.4 / 12),
        ("2-4.5", "2-4.5", 50.8, 25.4 / 4.5),
        ("2-56", "#2-56", 0.086 * 25.4, 25.4 / 56),
        ("4-40", "#4-40", 0.112 * 25.4, 0.635),
    ],
)
def test_forms_of_a_thread(text: str, designation: str, major: float, pitch: float | None) -> None:
    """Sizes × 25.4 by hand. A whole number is a gauge where its threads are too fine for inches:
    in ASME B1.1 #0 to #4 have 40 threads and more, 1 to 4 in at most 32 (from memory)."""
    found = read_thread(text, key="k")
    assert found.designation == str(found) == designation
    assert found.major == pytest.approx(major, rel=1e-12)
    assert found.pitch == (None if pitch is None else pytest.approx(pitch, rel=1e-12))
    assert found.system == ("metric" if designation.startswith("M") else "inch")
    assert read_thread(designation, key="k") == found


@pytest.mark.parametrize(
    "text",
    ["", "M", "10", "3/8", "3/8-0", "3/0-16", "3/8-99.5", "#7-36", "#99-20", "7-20", "5-4", "M0", "M101", "M10x10",
     "M10x0", "M10x1-LH", "3/8-16 LH", "3/8-16-16", "3/8--16", "-3/8-16", "3/8-1", "M10.123", "0.33333333-20",
     "2 9/8-8", "tapped", None, 10, 10.5, ["M10"]],
)  # fmt: skip
def test_what_is_no_thread_is_refused(text: object) -> None:
    with pytest.raises(InputError, match=r"^hole: cannot use “") as refused:
        read_thread(text, key="hole")
    assert str(text) in str(refused.value)
    assert "such as 3/8-16, M10" in str(refused.value)


@given(st.text(alphabet="0123456789Mx#-/. ½UNC", max_size=12))
def test_a_thread_reads_back_from_its_designation(text: str) -> None:
    try:
        found = read_thread(text, key="k")
    except InputError:
        return
    assert read_thread(found.designation, key="k") == found
    assert found.major > 0
    assert found.pitch is None or 0 < found.pitch < found.major / 2 + 1e-9
