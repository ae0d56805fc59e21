"""The starting specification: one page, every figure in both units, nothing left out unsaid."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from pypdf import PdfReader

from kb.model.record import Record
from tests.papers.samples import Answer, converter, flange, kept, shaft
from wizard.papers.particulars import chance, turn
from wizard.papers.specification import specification

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")


def sound(record: Record) -> str:
    paper = specification(record)
    assert [(one.text, other.text) for one, other in paper.overlaps()] == []
    assert [box.text for box in paper.outside()] == []
    reader = PdfReader(io.BytesIO(paper.finish()))
    assert len(reader.pages) == 1
    return " ".join(str(reader.pages[0].extract_text()).split())


@pytest.mark.parametrize("name", NAMES)
def test_real_designs(name: str, designed: dict[str, Record]) -> None:
    record = designed[name]
    text = sound(record)
    answer = record.answer
    assert f"VERDICT for the quote: {answer['verdict'].upper()}" in text
    for heading in ("PLATE", "SPACER", "BOLTS", "FIXED LINE-UP", "ROTATING LINE-UP", "ASSUMED",
                    "SETTLE BEFORE CUTTING", "SETTLE BEFORE THE FIRST START",
                    "QUESTIONS STILL OPEN", "CAUTIONS"):  # fmt: skip
        assert heading in text
    assert "Confirm on the actual parts" in text
    for fit in answer["fits"]:
        assert f"{min(fit['hole']):.3f}" in text
        assert f"{max(fit['shaft']) / 25.4:.4f}" in text
    for joint in answer["joints"]:
        assert joint["thread"] in text
    # nothing but the verdict lines of the answer itself may name a key instead of a thing
    assert "gearbox.converter" not in text


@pytest.mark.parametrize("make", [converter, shaft, flange])
def test_samples(make: Callable[[], Answer]) -> None:
    answer = make()
    text = sound(kept(answer))
    assert "record 0012, issue A" in text
    for line in answer["verdict_lines"]:
        assert line in text


def test_the_figures_of_the_converter_job() -> None:
    """1/8 in is 3.175 mm; 62 N·m is 45.7 lbf·ft (1 lbf·ft = 1.3558 N·m)."""
    text = sound(kept(converter()))
    assert "0.656 in (21/32) ± .002 · 16.67 mm" in text
    assert "0.563 in · 14.30 mm; bound by: thread engagement" in text
    assert "6 off 7/16-14 × 1.250 in (1 1/4) · 31.75 mm, socket cap head, grade 5; 62 N·m (46 lbf·ft)" in text  # fmt: skip
    assert "tightening not worked out" in text
    assert "⌀ 1.7047–1.7059 in · 43.300–43.330 mm" in text


def test_clashes_and_ways_out_are_told() -> None:
    answer = shaft()
    answer["remedies"] = [{"cures": ["hole-clash"], "change": {"choices.clocking": [3, 3]}, "verdict": "goes",
                           "costs": "the sump tilts", "says": "Turn the gearbox 3°."}]  # fmt: skip
    text = sound(kept(answer))
    assert "engine 8 with gearbox 6, overlap 8.87 mm · 0.349 in" in text
    assert "7.674° clockwise seen from behind" in text
    assert "cures: holes of both sides clear of each other" in text
    assert "costs: the sump tilts" in text


def test_a_full_page_counts_what_it_leaves_out() -> None:
    answer = converter()
    answer["assumed"] = [{"key": f"choices.k{n}", "value": f"{n}", "why": f"reason {n} " * 6} for n in range(200)]  # fmt: skip
    answer["questions"] = [{"key": f"q{n}", "asks": f"Question {n}? " * 12, "answer": ""} for n in range(80)]  # fmt: skip
    answer["cautions"] = [f"Caution {n}. " * 15 for n in range(60)]
    text = sound(kept(answer))
    assert text.count("more, see the answer") >= 2


def test_more_than_seven_lines_of_verdict_are_counted() -> None:
    answer = converter()
    answer["verdict_lines"] = [f"Line {n}." for n in range(12)]
    text = sound(kept(answer))
    assert "Line 5." in text
    assert "Line 6." not in text
    assert "and 6 more, see the answer" in text


@pytest.mark.parametrize(
    "missing", ["parts", "axial", "lineup", "pilot", "fits", "joints", "settle", "questions", "engine",
                "gearbox", "verdict_lines", "assumed", "cautions", "rules", "stage", "verdict", "lengths"],
)  # fmt: skip
def test_any_half_of_an_answer_may_be_missing(missing: str) -> None:
    answer = converter()
    del answer[missing]
    sound(kept(answer))


def test_an_answer_with_nothing_at_all_has_no_verdict() -> None:
    text = sound(kept({"title": "Nothing"}))
    assert "NO VERDICT" in text


def test_strange_names() -> None:
    answer = converter()
    answer["gearbox"]["name"] = "مرحبا 🚜 " + "G" * 300
    answer["joints"][0]["name"] = "joint " * 80
    sound(kept(answer, title="T" * 400, by="Łukasz Żółć"))


@pytest.mark.parametrize(
    ("value", "says"),
    [(1.0, "over 99 %"), (0.996, "over 99 %"), (0.5, "about 50 %"), (0.0, "under 1 %")],
)
def test_a_chance_never_claims_to_be_certain(value: float, says: str) -> None:
    assert chance(value) == says


@pytest.mark.parametrize(
    ("angle", "says"),
    [(0.0, "upright, 0°"), (3.1, "3.100° anticlockwise seen from behind"), (-0.678, "0.678° clockwise seen from behind")],
)  # fmt: skip
def test_a_turn_says_which_way(angle: float, says: str) -> None:
    assert turn(angle) == says
