"""The page keeps account of its lettering; what it cannot print it says. Second hand: pypdf."""

from __future__ import annotations

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from wizard.papers.paper import LANDSCAPE, PORTRAIT, Paper, fitted, printable, width, wrapped

SIGNS = "é ß Ω ⌀ ± ° µ × – − … “ü” Ñ ž"


def page() -> Paper:
    return Paper(PORTRAIT["mm"], title="page")


def test_page_sizes_are_the_standards() -> None:
    """ISO 216:2007 A3 and A4; ASME Y14.1 sizes B (11 × 17 in) and A (8.5 × 11 in), in mm."""
    assert LANDSCAPE == {"mm": (420.0, 297.0), "in": (431.8, 279.4)}
    assert PORTRAIT == {"mm": (210.0, 297.0), "in": (215.9, 279.4)}


def test_signs_of_the_trade_are_printed_and_found_again() -> None:
    paper = page()
    paper.text((20, 20), printable(SIGNS), size=10)
    text = PdfReader(io.BytesIO(paper.finish())).pages[0].extract_text()
    assert [char for char in SIGNS if char != " " and char not in text] == []


def test_the_lettering_is_embedded() -> None:
    paper = page()
    paper.text((20, 20), "plain", size=10)
    paper.text((20, 40), "bold", size=10, bold=True)
    fonts = PdfReader(io.BytesIO(paper.finish())).pages[0]["/Resources"]["/Font"]  # type: ignore[index]
    used = [fonts[name].get_object() for name in fonts]
    embedded = [font for font in used if "FontFile2" in str(font.get("/FontDescriptor", {}))]
    assert {str(font["/BaseFont"]).split("+")[1] for font in embedded} == {"DejaVuSans", "DejaVuSans-Bold"}  # fmt: skip


@pytest.mark.parametrize(
    ("text", "shown"),
    [("a\nb\tc\x07d", "a b c d"), ("🚜 tractor", "\ufffd tractor"), ("  two   words ", "two words"),
     ("right\u202eleft", "rightleft"), ("", "")],
)  # fmt: skip
def test_what_cannot_be_printed_is_shown_as_such(text: str, shown: str) -> None:
    assert printable(text) == shown


def test_lettering_that_meets_is_found() -> None:
    paper = page()
    paper.text((50, 50), "one", size=10)
    paper.text((52, 51), "two", size=10)
    paper.text((50, 100), "three", size=10)
    paper.text((52, 100), "upright", size=10, upright=True)
    met = {frozenset((one.text, other.text)) for one, other in paper.overlaps()}
    assert met == {frozenset(("one", "two")), frozenset(("three", "upright"))}


def test_lettering_on_two_pages_does_not_meet() -> None:
    paper = page()
    paper.text((50, 50), "one", size=10)
    paper.next_page()
    paper.text((50, 50), "two", size=10)
    assert paper.overlaps() == []


@pytest.mark.parametrize("at", [(1, 100), (209, 100), (100, 1), (100, 296)])
def test_lettering_off_the_page_is_found(at: tuple[float, float]) -> None:
    paper = page()
    paper.text(at, "off", size=10)
    assert [box.text for box in paper.outside()] == ["off"]


words = st.text(st.characters(codec="latin-1", categories=["L", "N", "P", "Zs"]), max_size=120)


@settings(deadline=None)
@given(words, st.floats(5, 60))
def test_fitted_text_fits(text: str, room: float) -> None:
    shown = fitted(text, size=7, room=room)
    assert width(shown, size=7) <= room
    assert shown == printable(text) or shown.endswith("…")


@settings(deadline=None)
@given(words, st.floats(8, 60))
def test_wrapped_text_fits_and_loses_nothing(text: str, room: float) -> None:
    lines = wrapped(text, size=7, room=room)
    assert all(width(line, size=7) <= room for line in lines)
    assert "".join(lines).replace(" ", "") == printable(text).replace(" ", "")


@settings(deadline=None)
@given(words, st.integers(1, 3))
def test_text_cut_to_lines_says_so(text: str, most: int) -> None:
    lines = wrapped(text, size=7, room=20, most=most)
    whole = wrapped(text, size=7, room=20)
    assert len(lines) <= most
    assert lines == whole or lines[-1].endswith("…")


def test_the_same_page_gives_the_same_bytes() -> None:
    def made() -> bytes:
        paper = page()
        paper.text((20, 20), "same", size=10, bold=True)
        paper.circle((50, 50), 20)
        return paper.finish()

    assert made() == made()
