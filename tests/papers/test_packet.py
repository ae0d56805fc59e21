"""The packet as a whole: all papers or none, names every system takes, the same bytes again."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.errors import InputError, StoreError
from kb.model.record import Record
from tests.papers.samples import converter, kept
from wizard.papers import packet

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")
STRANGE = ('A/B "quoted" <job>', "Ümläut & ß", "🚜 tractor", "..\\..\\up", "CON", "   ", "a" * 400,
           "مرحبا", "nul.txt", "tab\tnew\nline", "trailing. ")  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_every_paper_is_written(name: str, designed: dict[str, Record], tmp_path: Path) -> None:
    made = packet.write(designed[name], tmp_path / "papers" / "deep")
    assert {kind for kind, *_ in packet.papers(designed[name])} == set(packet.KINDS)
    assert sorted(made) == sorted((tmp_path / "papers" / "deep").iterdir())
    assert all(path.stat().st_size > 200 for path in made)


@pytest.mark.parametrize("name", NAMES)
def test_the_same_record_gives_the_same_bytes(name: str, designed: dict[str, Record]) -> None:
    first, again = ([make() for *_, make in packet.papers(designed[name])] for _ in range(2))
    assert first == again


def test_papers_come_from_the_record_alone(designed: dict[str, Record]) -> None:
    """A record whose document says other figures gives papers with those figures."""
    answer = converter()
    answer["axial"]["plate"] = 33.333
    body = dict(_named(kept(answer)))["0012A-canal-dredger-brindlow-vee-to-oskett-four-speed-answer.json"]  # fmt: skip
    assert b"33.333" in body


def test_two_plates_have_a_drawing_and_a_cut_file_each(designed: dict[str, Record]) -> None:
    names = [name for _, name, _ in packet.papers(designed["two-plates"])]
    for side in ("engine-side-plate", "gearbox-side-plate"):
        assert any(side in name and name.endswith(".pdf") for name in names)
        assert any(name.endswith(f"{side}_mm_R12.dxf") for name in names)


def test_the_contents_name_every_paper_and_its_digest(tmp_path: Path) -> None:
    made = packet.write(kept(converter()), tmp_path)
    (listing,) = (path for path in made if path.name.endswith("contents.txt"))
    text = listing.read_text(encoding="utf-8")
    for path in made:
        if path != listing:
            assert f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}" in text
    assert "left out: nothing" in text


def test_what_an_answer_does_not_have_is_left_out_and_said(tmp_path: Path) -> None:
    record = kept({"title": "Faces only", "parts": []})
    made = packet.write(record, tmp_path)
    assert {path.suffix for path in made} == {".pdf", ".json", ".toml", ".txt"}
    text = next(path for path in made if path.suffix == ".txt").read_text(encoding="utf-8")
    for kind in ("drawing", "cut file", "hole table"):
        assert f"left out: {kind}: " in text


def test_a_plate_without_an_outline_does_not_hold_up_the_rest(tmp_path: Path) -> None:
    answer = converter()
    answer["parts"][0]["outline"] = []
    made = packet.write(kept(answer), tmp_path)
    assert not [path for path in made if path.suffix == ".dxf" and "drawing" not in path.name]
    text = next(path for path in made if path.suffix == ".txt").read_text(encoding="utf-8")
    assert "left out: cut file: the adapter plate has no outline" in text


def test_only_the_kinds_wanted(tmp_path: Path) -> None:
    made = packet.write(kept(converter()), tmp_path, only=["cut file", "answer"])
    assert {path.suffix for path in made} == {".dxf", ".svg", ".txt", ".json"}
    with pytest.raises(InputError, match="poster"):
        packet.write(kept(converter()), tmp_path, only=["poster"])


@pytest.mark.parametrize("title", STRANGE)
def test_strange_titles_are_written(title: str, tmp_path: Path) -> None:
    made = packet.write(kept(converter(), title=title, issue="A/…"), tmp_path, only=["answer", "hole table"])  # fmt: skip
    assert len(made) == 3
    for path in made:
        assert path.parent == tmp_path
        assert path.name.startswith("0012A-")
        assert len(path.name) < 100


@settings(deadline=None)
@given(st.text(max_size=300))
def test_a_slug_is_a_name_every_system_takes(text: str) -> None:
    """Windows takes no <>:\"/\\|?*, no control signs, no name that ends in a point or a blank."""
    slug = packet.slug(text)
    assert slug
    assert len(slug) <= 60
    assert not set(slug) - set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert slug.strip("-") == slug


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "papers").write_text("in the way", encoding="utf-8")
    with pytest.raises(StoreError, match="papers cannot be written there"):
        packet.write(kept(converter()), tmp_path / "papers")
    with pytest.raises(StoreError, match="papers cannot be written there"):
        packet.write(kept(converter()), tmp_path / "papers" / "below")


def test_all_papers_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disc fills up at the fourth paper: the old ones stand, nothing half-written is left."""
    old = packet.write(kept(converter()), tmp_path)
    before = {path: path.read_bytes() for path in old}
    answer = converter()
    answer["axial"]["plate"] = 20.0
    written = Path.write_bytes
    count = iter(range(100))

    def full(path: Path, body: bytes) -> int:
        if next(count) == 3:
            raise OSError(28, "No space left on device")
        return written(path, body)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(StoreError, match="No space left on device"):
        packet.write(kept(answer), tmp_path)
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_papers_are_written_over_those_of_before(tmp_path: Path) -> None:
    first = packet.write(kept(converter()), tmp_path)
    assert packet.write(kept(converter()), tmp_path) == first
    assert len(list(tmp_path.iterdir())) == len(first)


def _named(record: Record) -> list[tuple[str, bytes]]:
    return [(name, make()) for kind, name, make in packet.papers(record) if kind == "answer"]
