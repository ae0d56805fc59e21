"""The drawing: lettering that neither overlaps nor leaves the sheet, whatever the part. pypdf reads it."""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from kb.model.record import Record
from tests.papers.samples import Answer, bare_plate, converter, flange, hole, kept, shaft
from wizard.papers.drawing import drawable, drawing
from wizard.papers.paper import Paper

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")


def sound(record: Record) -> str:
    """The text of a drawing whose lettering is where it should be."""
    paper = drawing(record)
    assert [(one.text, other.text) for one, other in paper.overlaps()] == []
    assert [box.text for box in paper.outside()] == []
    reader = PdfReader(io.BytesIO(paper.finish()))
    return "\n".join(sheet.extract_text() for sheet in reader.pages)


@pytest.mark.parametrize("name", NAMES)
def test_real_designs_are_drawn_soundly(name: str, designed: dict[str, Record]) -> None:
    record = designed[name]
    text = sound(record)
    for words in ("TOP", "SEEN FROM BEHIND / GEARBOX SIDE UP", "ENGINE SIDE", "GEARBOX SIDE", "DATUMS",
                  "GENERAL TOLERANCES", "Confirm on the actual parts", "J. Müßig", "ISO 2768-1:1989"):  # fmt: skip
        assert words in text
    assert record.digest[:16] in text


@pytest.mark.parametrize("make", [converter, shaft, flange])
def test_samples_are_drawn_soundly(make: Callable[[], Answer]) -> None:
    answer = make()
    text = sound(kept(answer))
    for part in answer["parts"]:
        for row in part["holes"]:
            assert row["id"] in text
            assert f"{row['x']:.3f}".replace("-0.000", "0.000") in text
            assert f"{row['y'] / 25.4:.4f}".replace("-0.0000", "0.0000") in text


@settings(max_examples=12, deadline=None)
@given(st.floats(40, 3000), st.floats(0.3, 3), st.integers(0, 60), st.sampled_from(["in", "mm"]))
def test_plates_of_any_size_are_drawn_soundly(
    width: float, shape: float, count: int, units: str
) -> None:
    sound(kept(bare_plate(width=width, height=width * shape, count=count, units=units)))


@settings(max_examples=12, deadline=None)
@given(
    st.floats(20, 700), st.floats(0.05, 6), st.floats(1, 300), st.floats(0.02, 4),
    st.sampled_from([converter, shaft, flange]),
)  # fmt: skip
def test_spacers_of_any_size_are_drawn_soundly(
    outside: float, spread: float, thickness: float, stretch: float, make: Callable[[], Answer]
) -> None:
    answer = make()
    for part in answer["parts"]:
        if part["name"] == "spacer ring":
            part["size"] = {name: value * spread for name, value in part["size"].items()}
            part["size"] |= {"outside": outside, "thickness": thickness}
    stations = answer["axial"]["stations"]
    answer["axial"]["stations"] = {name: z * stretch for name, z in stations.items()}
    sound(kept(answer))


def test_sixty_holes_go_on_one_sheet_or_on_one_of_their_own() -> None:
    answer = bare_plate(width=500, height=450, count=60)
    paper = drawing(kept(answer))
    assert paper.page == 3
    text = sound(kept(answer))
    assert "HOLE TABLE: SEE SHEET 3 OF 3" in text
    assert "3 of 3" in text
    assert all(re.search(rf"^{row['id']}$", text, re.M) for row in answer["parts"][0]["holes"])


def test_a_usual_job_is_the_whole_and_a_sheet_of_single_parts() -> None:
    assert all(drawing(kept(make())).page == 2 for make in (converter, shaft, flange))


def test_long_and_strange_names() -> None:
    answer = converter()
    answer["engine"]["name"] = "E" * 300
    answer["parts"][0]["holes"][0]["id"] = "a very long hole mark / with “signs” ⌀ 🚜"
    answer["parts"][0]["material"] = "material " * 40
    answer["cautions"] = ["Caution. " * 60] * 60
    title = "Ré/pa\\ß 🚜 " + "long title " * 60
    text = sound(kept(answer, title=title, issue="AB", by="A" * 90))
    assert "… and more: see the starting specification and the answer." in text


def test_the_section_and_the_sizes_are_in_both_unit_systems(designed: dict[str, Record]) -> None:
    text = sound(designed["automatic-inch"])
    assert "0.656 in (21/32) ± .003 · 16.67 mm" in text
    assert "0.156 in (5/32) ± .024 · 4.0 mm" in text
    assert "2.2489–2.2496 in · 57.122–57.140 mm (LC5)" in text


def test_an_opening_that_is_not_known_is_not_passed_over() -> None:
    answer = converter()
    del answer["parts"][0]["size"]["bore"]
    assert "The central opening is not known yet" in sound(kept(answer))


def test_a_plate_with_a_spigot_asks_for_the_stock_it_needs() -> None:
    """25.4 mm face to face and 5.0 mm of spigot come out of 30.4 mm stock."""
    assert "STOCK at least 1.197 in · 30.40 mm" in sound(kept(flange()))


def test_each_of_two_plates_has_its_own_sheet(designed: dict[str, Record]) -> None:
    record = designed["two-plates"]
    for part in record.answer["parts"]:
        if not part["name"].endswith("plate"):
            continue
        shown = drawing(record, plate=part["name"])
        text = PdfReader(io.BytesIO(shown.finish())).pages[0].extract_text()
        assert f"HOLES IN {part['name'].upper()}" in text
        others = {p["name"] for p in record.answer["parts"]} - {part["name"], "spacer ring"}
        assert not any(f"HOLES IN {name.upper()}" in text for name in others)


def test_a_mark_without_room_is_counted() -> None:
    """A hundred and twenty holes at one spot cannot all be named beside it."""
    answer = bare_plate(width=100, height=100, count=1)
    answer["parts"][0]["holes"] = [hole(f"mark-{n:03d}", 0.0, 0.0) for n in range(120)]
    assert re.search(r"no room here for \d+ marks: see the hole table", sound(kept(answer)))


def test_only_parts_that_can_be_drawn_are_drawable() -> None:
    assert drawable(kept(converter()))
    assert not drawable(kept({"title": "faces only", "parts": []}))


def test_the_checker_would_find_an_overlap() -> None:
    paper: Paper = drawing(kept(converter()))
    box = paper.lettering[-1]
    paper.text((box.left, box.bottom + 0.5), "upon it", size=8)
    assert paper.overlaps()
