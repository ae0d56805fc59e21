"""Sizes of threads: stress area, pitch diameter and the limits of size.

Sources: stress areas as tabled in Mechanical Engineering Design, 9th ed., Table 8-2 p.413 (read;
after ASME B1.1) and ISO 898-1 (M12x1.75 read, all others memory); pitch diameters of Machinery's
Handbook, 31st ed., p.1978 (read) and ISO 724 (memory); limits of size 2A and 2B of
ASME B1.1-2019, and 6g and 6H in inches of ASME B1.13M-2005 (both read, second-hand); share of the
full thread of Machinery's Handbook, 31st ed. (2020), p.2155 Table 2 (0-80, read), and of the tap
drills of its p.2168 Table 4 (drills read, per cents computed from 1.299·P).
"""

from __future__ import annotations

import pytest

from kb.errors import InputError
from kb.quantity import read_thread
from kb.standards.loader import Row, table
from tests.published.digits import half_digit
from tests.published.printed import printed
from wizard.engine.formulas import thread_limits, threads

PROVES = {
    "threads.thread_share",
    "threads.bore_for_share",
    "threads.stress_area",
    "threads.pitch_diameter",
    "thread_limits.external_major_least",
    "thread_limits.external_pitch_least",
    "thread_limits.internal_pitch_most",
    "thread_limits.internal_minor_most",
}
INCH = 25.4


def designation(row: Row) -> str:
    return row.text("thread")


@pytest.mark.parametrize("row", table("threads_inch").rows, ids=designation)
def test_inch_stress_area_is_the_printed_one(row: Row) -> None:
    area = threads.stress_area(
        major=row.value("major"), pitch=INCH / row.count("threads_per_inch"), system="inch"
    )
    printed_area = row.text("stress_area")
    # 1/2-20 is printed 0.1599 where the formula gives 0.15995
    assert area / INCH**2 == pytest.approx(float(printed_area), abs=1.1 * half_digit(printed_area))


@pytest.mark.parametrize("row", table("threads_metric").rows, ids=designation)
def test_metric_stress_area_is_the_printed_one(row: Row) -> None:
    area = threads.stress_area(major=row.value("major"), pitch=row.value("pitch"), system="metric")
    assert area == pytest.approx(
        float(row.text("stress_area")), abs=half_digit(row.text("stress_area"))
    )


@pytest.mark.parametrize("row", table("threads_inch").rows, ids=designation)
def test_inch_pitch_diameter_is_the_printed_one(row: Row) -> None:
    basic = threads.pitch_diameter(
        major=row.value("major"), pitch=INCH / row.count("threads_per_inch")
    )
    assert basic / INCH == pytest.approx(float(row.text("pitch_diameter")), abs=0.51e-4)


@pytest.mark.parametrize("row", table("threads_metric").rows, ids=designation)
def test_metric_pitch_diameter_is_the_printed_one(row: Row) -> None:
    basic = threads.pitch_diameter(major=row.value("major"), pitch=row.value("pitch"))
    assert basic == pytest.approx(float(row.text("pitch_diameter")), abs=0.51e-3)


def worked_limits(*, major: float, pitch: float, system: str) -> dict[str, float]:
    return {
        "external_major_min": thread_limits.external_major_least(
            major=major, pitch=pitch, system=system
        ),
        "external_pitch_min": thread_limits.external_pitch_least(
            major=major, pitch=pitch, system=system
        ),
        "internal_pitch_max": thread_limits.internal_pitch_most(
            major=major, pitch=pitch, system=system
        ),
        "internal_minor_max": thread_limits.internal_minor_most(
            major=major, pitch=pitch, system=system
        ),
    }


@pytest.mark.parametrize(
    "row", printed("formulas_thread_limits_inch"), ids=lambda row: row["thread"]
)
def test_inch_limits_are_the_printed_ones(row: dict[str, str]) -> None:
    """The standard rounds tolerance and allowance before it adds them: one unit of the last digit."""
    worked = worked_limits(
        major=float(row["major_in"]) * INCH, pitch=INCH / int(row["tpi"]), system="inch"
    )
    for limit, size in worked.items():
        assert size / INCH == pytest.approx(float(row[limit]), abs=2 * half_digit(row[limit])), (
            limit
        )


@pytest.mark.parametrize(
    "row", printed("formulas_thread_limits_metric"), ids=lambda row: row["thread"]
)
def test_metric_limits_are_the_printed_ones(row: dict[str, str]) -> None:
    """Within 6 % of the tolerances of the least of these threads, M8.

    The standard rounds each tolerance to a preferred number (series R40, 6 % apart).
    """
    worked = worked_limits(
        major=float(row["major_mm"]), pitch=float(row["pitch_mm"]), system="metric"
    )
    widths = {
        "external_major_min": 0.212, "external_pitch_min": 0.118,
        "internal_pitch_max": 0.160, "internal_minor_max": 0.265,
    }  # fmt: skip
    for limit, size in worked.items():
        assert size == pytest.approx(float(row[f"{limit}_in"]) * INCH, abs=0.06 * widths[limit]), (
            limit
        )


def test_limits_leave_the_threads_loose_and_engaged() -> None:
    """6g in 6H always has play, and the crests always overlap (ISO 965-1, purpose of the fit)."""
    for row in table("threads_metric"):
        size = {"major": row.value("major"), "pitch": row.value("pitch")}
        limits = worked_limits(**size, system="metric")
        assert limits["external_major_min"] < size["major"]
        assert limits["external_pitch_min"] < threads.pitch_diameter(**size)
        assert limits["internal_pitch_max"] > threads.pitch_diameter(**size)
        assert limits["internal_minor_max"] < limits["external_major_min"]


@pytest.mark.parametrize(("bore_in", "per_cent"), [(0.0512, 54), (0.0472, 79)])
def test_share_of_the_full_thread_is_the_handbooks(bore_in: float, per_cent: float) -> None:
    """0-80: 1.30 mm leaves 54 %, 1.20 mm 79 % (p.2155 Table 2)."""
    share = threads.thread_share(major=0.060 * INCH, pitch=INCH / 80, bore=bore_in * INCH)
    assert 100 * share == pytest.approx(per_cent, abs=0.6)


@pytest.mark.parametrize("row", printed("tap_drills"), ids=lambda row: row["thread"])
def test_bore_for_a_share_is_the_printed_tap_drill(row: dict[str, str]) -> None:
    """Each per cent is printed whole, so the bore is known to half of one of 1.299·P."""
    thread = read_thread(row["thread"], key="thread")
    share = float(row["percent"]) / 100
    bore = threads.bore_for_share(major=thread.major, pitch=thread.pitch, share=share)
    assert bore == pytest.approx(float(row["decimal_in"]) * INCH, abs=0.006 * 1.299 * thread.pitch)


@pytest.mark.parametrize("share", [0.39, 0.91])
def test_a_share_nobody_taps_is_refused(share: float) -> None:
    with pytest.raises(InputError, match="share"):
        threads.bore_for_share(major=12, pitch=1.75, share=share)
