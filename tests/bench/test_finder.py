"""Threads and drills found from readings.

Sources: sizes of ISO 724 and ASME B1.1 (from memory); tap drills, Machinery's Handbook, 31st ed.,
p.2168 Table 4 (read); clear holes, ISO 273 (read). Readings are invented.
"""

from __future__ import annotations

import pytest

from kb.errors import InputError, NotTabulated
from kb.quantity import read_length, read_thread
from tests.bench.readings import reading
from wizard.bench.finder import find_thread, near_drills, sheet_of


@pytest.mark.parametrize(
    ("diameter", "count", "over", "name"),
    [(11.85, 10, 17.5, "M12x1.75"), (9.90, 10, 15.0, "M10x1.5"), (9.45, 16, 25.4, "3/8-16"),
     (11.05, 20, 25.4, "7/16-20"), (11.03, 14, 25.4, "7/16-14")],
)  # fmt: skip
def test_a_screw_by_calliper_and_pitch_count(diameter: float, count: int, over: float, name: str) -> None:  # fmt: skip
    found = find_thread(
        reading(diameter), count=count, over=read_length(f"{over} ± 0.5", key="over", units="mm")
    )
    assert found.thread is not None
    assert str(found.thread) == name


def test_without_a_pitch_several_fit_and_the_count_is_asked() -> None:
    found = find_thread(reading(11.05))
    assert found.thread is None
    assert {str(one.thread) for one in found.fitting} >= {"7/16-14", "7/16-20"}
    assert any("Count the pitches" in line for line in found.says)


def test_a_tapped_hole_is_read_across_its_crests() -> None:
    """M10: minor diameter 8.376 to 8.676."""
    found = find_thread(reading(8.5), part="tapped", pitch=read_length("1.5", key="p", units="mm"))
    assert str(found.matches[0].thread) == "M10x1.5"


def test_nothing_near_is_not_called_a_thread() -> None:
    found = find_thread(reading(11.45), count=10, over=reading(31.0))
    assert found.thread is None
    assert found.matches[0].misfit > 1
    assert any("No tabulated thread fits" in line for line in found.says)


@pytest.mark.parametrize(
    ("thread", "drill"), [("1/4-20", "#7"), ("5/16-18", "F"), ("7/16-14", "U"), ("1/2-13", "27/64")]
)
def test_tap_drills_of_the_handbook(thread: str, drill: str) -> None:
    found = sheet_of(read_thread(thread, key="thread"))
    assert found.tap.drill == drill


@pytest.mark.parametrize(("share", "least", "most"), [(0.6, 0.55, 0.65), (0.85, 0.8, 0.9)])
def test_a_wanted_share_of_thread_moves_the_drill(share: float, least: float, most: float) -> None:
    found = sheet_of(read_thread("M12x1.75", key="thread"), share=share)
    assert least <= found.tap_share <= most
    assert found.tap_share == pytest.approx((12 - found.tap.diameter) / (1.299 * 1.75), abs=1e-3)


def test_clear_holes_are_the_standard_s() -> None:
    """ISO 273, M12: 13, 13.5, 14.5."""
    found = sheet_of(read_thread("M12", key="thread"))
    assert [one.diameter for one in found.clearance] == pytest.approx([13.0, 13.5, 14.5])


def test_nearest_drills() -> None:
    """10.3 mm: itself in millimetres; Y (.404) is 10.26, 13/32 is 10.32."""
    found = near_drills(reading(10.3, to=0.01))
    names = {one.set: one.name for one in found}
    assert names["letter"] == "Y"
    assert names["fraction"] == "13/32"
    assert found[0].off == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("size", [0.0, -3.0])
def test_no_size_is_refused(size: float) -> None:
    with pytest.raises(InputError):
        near_drills(reading(size))
    with pytest.raises(InputError):
        find_thread(reading(size))


def test_beyond_every_drill_says_what_is_held() -> None:
    with pytest.raises(NotTabulated):
        near_drills(reading(500.0))
