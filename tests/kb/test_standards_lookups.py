"""Looking things up in kb.standards: threads, drills, clearance holes, bolts and heads.

Names people use, the ends of each table, and errors that say what is held.

Source: names and designations of the standards named beside each case; where a rule is a fact of the
trade it says so. Figures are checked in tests/published.
"""

from __future__ import annotations

import doctest
from collections.abc import Callable
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import InputError, NotTabulated
from kb.quantity import Thread, read_thread
from kb.standards import bolts, clearance, dowels, drills, heads, threads
from kb.standards.loader import MATCH

INCH = 25.4


def thread(text: str) -> Thread:
    return read_thread(text, key="thread")


# ── threads ────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("text", ["3/8-16", "#10-24", "M10x1.25", "M5x0.8"])
def test_a_tabulated_thread_is_itself(text: str) -> None:
    held = threads.sizes(thread(text))
    assert held.tabulated
    assert held.thread == thread(text)


def test_a_metric_thread_without_pitch_is_coarse() -> None:
    """ISO 261: the pitch is left out for coarse threads."""
    assert threads.sizes(thread("M10")) == threads.sizes(thread("M10x1.5"))
    assert threads.sizes(thread("M10")).thread.designation == "M10x1.5"


def test_a_size_without_a_held_coarse_pitch_asks_for_it() -> None:
    with pytest.raises(
        NotTabulated, match=r"“M7”; it holds the coarse pitch of M3, .*M24; write the"
    ):
        threads.sizes(thread("M7"))


def test_a_thread_not_held_is_worked_out_and_says_so() -> None:
    held = threads.sizes(thread("M7x1"))
    assert not held.tabulated
    assert "not tabulated" in held.source
    assert (held.tap_drill, held.tap_drill_name) == (6.0, "6 mm")  # d − P


@pytest.mark.parametrize("text", ["M36x1.5", "2-12", "M1.2x0.25"])
def test_a_tap_bore_beyond_the_drills_is_bored(text: str) -> None:
    held = threads.sizes(thread(text))
    assert held.tap_drill_name == f"bored {held.tap_drill:.2f} mm"
    assert held.minor_internal < held.tap_drill < held.pitch_diameter


@pytest.mark.parametrize("system", threads.SYSTEMS)
def test_coarse_threads_rise_and_are_tabulated(system: str) -> None:
    held = threads.coarse(system)
    assert [each.major for each in held] == sorted(each.major for each in held)
    assert all(threads.sizes(each).tabulated for each in held)
    assert all(each.system == system for each in held)
    assert {"inch": "3/8-16", "metric": "M10"}[system] in [each.designation for each in held]


@given(
    major=st.floats(3, 50),
    share=st.floats(0.03, 0.2),
    system=st.sampled_from(threads.SYSTEMS),
)
def test_any_thread_has_its_diameters_in_order(major: float, share: float, system: str) -> None:
    made = Thread(designation="any", system=system, major=major, pitch=major * share)
    held = threads.sizes(made)
    assert 0 < held.minor_external < held.minor_internal < held.pitch_diameter < major
    depth = (major - held.tap_drill) / (1.299 * held.pitch)
    assert 0.59 < depth < 0.86  # of full thread


# ── drills ─────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("#7", "#7"), ("No. 7", "#7"), ("no 7", "#7"), ("f", "F"), ("13/32", "13/32"),
        ("1-1/32", "1 1/32"), ("1 1/32 in", "1 1/32"), ("½", "1/2"), ("8.5 mm", "8.5 mm"),
        ("8.50MM", "8.5 mm"), ("14.5 mm", "14.5 mm"),
    ],
)  # fmt: skip
def test_drills_go_by_the_names_people_write(name: str, held: str) -> None:
    assert drills.named(name).name == held


@pytest.mark.parametrize("name", ["7", "#81", "AA", "13/33", "14.3 mm", "33 mm", ""])
def test_no_drill_is_guessed(name: str) -> None:
    with pytest.raises(NotTabulated, match="it holds #80 to #1"):
        drills.named(name)


def test_metric_drills_follow_their_steps() -> None:
    """1 to 14 mm by 0.1, then by 0.5 (common practice, no source)."""
    assert drills.nearest(13.94, sets=("metric",)).diameter == 13.9
    assert drills.nearest(14.2, sets=("metric",)).diameter == 14.0
    assert drills.at_or_above(14.01, sets=("metric",)).diameter == 14.5


@given(st.floats(1.0, 25.0), st.lists(st.sampled_from(drills.SETS), min_size=1, unique=True))
def test_no_drill_lies_nearer(diameter: float, sets: list[str]) -> None:
    every = [drill for drill in drills._held() if drill.set in sets]
    below = [drill for drill in every if drill.diameter <= diameter + MATCH]
    above = [drill for drill in every if drill.diameter >= diameter - MATCH]
    for find, fitting in ((drills.at_or_below, below), (drills.at_or_above, above)):
        if fitting:
            chosen = find(diameter, sets)
            assert all(
                abs(chosen.diameter - diameter) <= abs(each.diameter - diameter) + 2 * MATCH
                for each in fitting
            )
        else:
            with pytest.raises(NotTabulated):
                find(diameter, sets)
    if below and above:
        best = min(abs(each.diameter - diameter) for each in every)
        assert abs(drills.nearest(diameter, sets).diameter - diameter) == pytest.approx(best)


def test_a_drill_of_the_very_size_is_at_above_and_below() -> None:
    for find in (drills.nearest, drills.at_or_above, drills.at_or_below):
        assert find(0.40625 * INCH, ("fraction",)).name == "13/32"


def test_an_unknown_set_is_an_error() -> None:
    with pytest.raises(InputError, match="number, letter, fraction, metric"):
        drills.nearest(5.0, sets=("wire",))


# ── clearance holes ────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("hole", "system", "name"),
    [
        (13 / 32 * INCH, "inch", "3/8-16"),
        (10.5, "metric", "M10"),
        (10.4995, "metric", "M10"),  # within a micrometre
        (10.498, "metric", "M8"),
        (3.2, "metric", "M3"),
        (28.0, "metric", "M24"),
        (0.2055 * INCH, "inch", "#10-24"),
        (29 / 64 * INCH, "inch", "7/16-14"),
        (0.594 * INCH, "inch", "1/2-13"),  # 9/16 has no row
    ],
)
def test_the_thread_a_hole_was_drilled_for(hole: float, system: str, name: str) -> None:
    assert clearance.largest_thread_for(hole, system).designation == name


@pytest.mark.parametrize(
    ("hole", "system"), [(3.1, "metric"), (28.1, "metric"), (5.0, "inch"), (40.0, "inch")]
)
def test_a_hole_beyond_the_table_is_no_thread(hole: float, system: str) -> None:
    with pytest.raises(NotTabulated, match="it holds holes from"):
        clearance.largest_thread_for(hole, system)


@pytest.mark.parametrize("system", threads.SYSTEMS)
def test_every_thread_comes_back_from_its_close_hole(system: str) -> None:
    for each in threads.coarse(system):
        try:
            hole = clearance.hole(each, "close")
        except NotTabulated:
            assert each.designation == "9/16-12"
            continue
        assert clearance.largest_thread_for(hole.diameter, system) == each


@pytest.mark.parametrize("fit", clearance.FITS)
@pytest.mark.parametrize("text", ["3/8-16", "3/8-24", "M12", "M12x1.25", "#10-32", "1-8", "M24"])
def test_a_clearance_hole_clears(text: str, fit: str) -> None:
    hole = clearance.hole(thread(text), fit)
    assert thread(text).major < hole.lower <= hole.diameter < hole.upper
    assert drills.named(hole.drill_name).diameter == pytest.approx(hole.diameter) or fit == "loose"


def test_clearance_errors_say_what_is_held() -> None:
    with pytest.raises(NotTabulated, match="#10, 1/4, 5/16, 3/8, 7/16, 1/2, 5/8, 3/4, 7/8, 1"):
        clearance.hole(thread("9/16-12"), "close")
    with pytest.raises(NotTabulated, match="M3, M4, M5"):
        clearance.hole(thread("M30"), "close")
    with pytest.raises(InputError, match="write close, normal or loose"):
        clearance.hole(thread("M10"), "medium")


# ── bolts ──────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("name", ["8", "grade 8", "Grade 8", "SAE 8", "SAE J429 grade 8", "gr. 8"])
def test_inch_grades_by_name(name: str) -> None:
    assert bolts.grade(name, 12.7).name == "8"


@pytest.mark.parametrize(
    "name", ["8.8", "class 8.8", "Class 8.8", "property class 8.8", "ISO 898-1 class 8.8"]
)
def test_metric_classes_by_name(name: str) -> None:
    assert bolts.grade(name, 10).name == "8.8"


def test_strength_changes_at_the_size_the_standard_says() -> None:
    """ISO 898-1: 8.8 to 16 mm and above; SAE J429: grade 5 to 1 in and above, grade 2 to 3/4 in."""
    assert bolts.grade("8.8", 16).proof_mpa == 580
    assert bolts.grade("8.8", 16.5).proof_mpa == 600
    assert bolts.grade("5", 25.4).proof_mpa > bolts.grade("5", 25.5).proof_mpa
    assert bolts.grade("2", 19.05).proof_mpa > bolts.grade("2", 19.1).proof_mpa


def test_bolt_errors_say_what_is_held() -> None:
    with pytest.raises(NotTabulated, match=r"it holds 2, 5, 8, 8\.8, 10\.9, 12\.9"):
        bolts.grade("9.8", 10)
    with pytest.raises(NotTabulated, match=r"that grade from 6\.35 to 38\.1 mm"):
        bolts.grade("8", thread("#10-24").major)


def test_torque_factors_name_their_source() -> None:
    factors = bolts.torque_factors()
    assert len(factors) == 16
    assert {each.how for each in factors} == {"read", "memory"}
    assert all(each.source and each.condition for each in factors)


# ── heads ──────────────────────────────────────────────────────────────────────

HEADS = [
    *("#10-24", "1/4-20", "5/16-18", "3/8-16", "3/8-24", "7/16-14", "1/2-13", "5/8-11", "3/4-10"),
    *("M5", "M6", "M8", "M10", "M10x1.25", "M12", "M14", "M16", "M18", "M20"),
]


@pytest.mark.parametrize("text", HEADS)
def test_heads_of_every_size_used_here(text: str) -> None:
    size = thread(text)
    screw, bolt, washer = heads.socket_screw(size), heads.hex_bolt(size), heads.washer(size)
    assert screw.key < size.major < screw.head_diameter < screw.counterbore
    assert size.major < bolt.across_flats < bolt.socket_outside
    assert size.major < washer.inside < washer.outside
    assert bolt.across_flats <= washer.outside  # a washer covers the head's bearing face
    assert all(each.source for each in (screw, bolt, washer))


def test_what_was_recalled_is_marked() -> None:
    assert heads.socket_screw(thread("3/8-16")).counterbore_how == "memory"
    assert heads.socket_screw(thread("M18")).counterbore_how == "memory"
    assert heads.socket_screw(thread("M10")).how == "read"


@pytest.mark.parametrize("find", [heads.socket_screw, heads.hex_bolt, heads.washer])
@pytest.mark.parametrize("text", ["M30", "1-8", "M4"])
def test_heads_not_held(find: Callable[[Thread], object], text: str) -> None:
    with pytest.raises(NotTabulated, match="it holds"):
        find(thread(text))


def test_no_socket_screw_of_nine_sixteenths() -> None:
    """ASME B18.3 has no 9/16 socket head cap screw."""
    with pytest.raises(NotTabulated):
        heads.socket_screw(thread("9/16-12"))


def test_sockets_between_the_widths_tabled() -> None:
    assert heads.socket_outside(19) == 26.7
    assert heads.socket_outside(0.75 * INCH) == pytest.approx(26.8125)
    for width in (6.9, 30.1):
        with pytest.raises(NotTabulated, match="7 to 30 mm across flats"):
            heads.socket_outside(width)


def test_the_next_length_up() -> None:
    assert heads.next_length("metric", 41) == 45
    assert heads.next_length("metric", 40.0005) == 40
    assert heads.next_length("inch", 1.3 * INCH) == pytest.approx(1.5 * INCH)
    assert heads.next_length("inch", 0) == pytest.approx(0.375 * INCH)
    assert heads.next_length("metric", 200) == 200
    with pytest.raises(NotTabulated, match="10 to 200 mm"):
        heads.next_length("metric", 201)


@given(st.floats(0, 200), st.sampled_from(threads.SYSTEMS))
def test_no_shorter_length_would_do(least: float, system: str) -> None:
    chosen = heads.next_length(system, least)
    assert chosen in heads.lengths(system)
    assert all(each < least for each in heads.lengths(system) if each < chosen)


# ── all of them ────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("find", [threads.coarse, heads.lengths, dowels.sizes])
def test_a_system_is_inch_or_metric(find: Callable[[str], object]) -> None:
    with pytest.raises(InputError, match="write inch or metric"):
        find("whitworth")


@pytest.mark.parametrize("module", [threads, heads])
def test_worked_examples_run(module: ModuleType) -> None:
    failed, tried = doctest.testmod(module)
    assert tried
    assert not failed
