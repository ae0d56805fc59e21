"""The dossier holds every sheet, and its contents lead to them; read with poppler's numbers of pages too."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from kb.model.record import Record
from wizard.papers import packet


@pytest.mark.parametrize("name", ["automatic-inch", "manual-metric", "two-plates", "posts"])
def test_every_sheet_is_bound_and_found_by_its_line(name: str, designed: dict[str, Record]) -> None:
    made = {file: make() for _, file, make in packet.papers(designed[name])}
    bound = next(body for file, body in made.items() if file.endswith("dossier.pdf"))
    sheets = [body for file, body in made.items() if file.endswith(".pdf") and not file.endswith(("dossier.pdf", *packet.UNBOUND))]  # fmt: skip
    reader = PdfReader(io.BytesIO(bound))
    counts = [len(PdfReader(io.BytesIO(body)).pages) for body in sheets]
    assert len(reader.pages) == 1 + sum(counts)
    links = [one.get_object() for one in reader.pages[0]["/Annots"]]  # type: ignore[attr-defined]
    assert len(links) == len(sheets)
    starts = [1 + sum(counts[:n]) for n in range(len(counts))]
    assert [reader.get_destination_page_number(item) for item in reader.outline] == starts  # type: ignore[arg-type]
    first = PdfReader(io.BytesIO(sheets[1])).pages[0].extract_text()
    assert reader.pages[starts[1]].extract_text() == first
    text = reader.pages[0].extract_text()
    assert "Starting specification" in text
    assert f"from {starts[-1] + 1}" in text


def test_the_dossier_is_the_same_twice(designed: dict[str, Record], tmp_path: Path) -> None:
    one = packet.write(designed["manual-metric"], tmp_path / "a", only=["dossier"])
    two = packet.write(designed["manual-metric"], tmp_path / "b", only=["dossier"])
    assert one[0].read_bytes() == two[0].read_bytes()
