"""All papers of a record into one folder; the same record gives the same bytes."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from kb.errors import InputError, StoreError
from kb.model.record import Record
from wizard.papers import cut, tables
from wizard.papers.drawing import drawable, drawing
from wizard.papers.specification import specification

Make = Callable[[], bytes]
KINDS = ("specification", "drawing", "cut file", "hole table", "answer", "sheet")


def papers(record: Record) -> Iterator[tuple[str, str, Make]]:
    """Every paper this record can have: its kind, its file name, and how it is made."""
    start = f"{record.number:04d}{record.issue}-{slug(record.title)}"
    yield (
        "specification",
        f"{start}-starting-specification.pdf",
        lambda: specification(record).finish(),
    )
    for name, plate in drawings(record):
        yield "drawing", f"{start}-{slug(name)}-drawing.pdf", _drawn(record, plate)
    for part in cut.plates(record):
        for version in cut.VERSIONS:
            name = f"{start}-{slug(part['name'])}_mm_{version}.dxf"
            yield "cut file", name, _cut(record, part, version)
    if any(part["holes"] for part in record.answer.get("parts", ())):
        yield "hole table", f"{start}-holes.csv", lambda: tables.hole_csv(record)
        yield "hole table", f"{start}-holes.xlsx", lambda: tables.hole_workbook(record)
    yield "answer", f"{start}-answer.json", lambda: tables.answer_json(record)
    yield "sheet", f"{start}-sheet.toml", lambda: tables.sheet_toml(record)


def drawings(record: Record) -> Iterator[tuple[str, str]]:
    """The drawings of a record, each with the plate it is about: two plates have one each."""
    plates = [str(part["name"]) for part in cut.plates(record)]
    if len(plates) > 1:
        yield from ((name, name) for name in plates)
    elif drawable(record):
        yield ("plate-and-spacer", plates[0]) if plates else ("spacer", "")


def _drawn(record: Record, plate: str) -> Make:
    return lambda: drawing(record, plate=plate).finish()


def _cut(record: Record, part: Mapping[str, Any], version: str) -> Make:
    return lambda: cut.cut_file(record, part, version=version)


def write(record: Record, folder: Path, *, only: Sequence[str] | None = None) -> list[Path]:
    """Make a record's papers in a folder, all of them or none.

    Args:
        record: The record.
        folder: Where to; made if it is not there.
        only: Kinds of paper wanted, of `KINDS`.
    Raises:
        InputError: a kind of paper there is none of.
        StoreError: the folder cannot be written.
    """
    for kind in only or ():
        if kind not in KINDS:
            raise InputError("only", kind, "write some of " + ", ".join(KINDS))
    made = {name: make() for kind, name, make in papers(record) if only is None or kind in only}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, body in made.items():
            _replace(folder / name, body)
    except OSError as error:
        raise StoreError(f"{folder}: papers cannot be written there ({error.strerror})") from None
    return [folder / name for name in made]


def _replace(path: Path, body: bytes) -> None:
    """Write beside and put in place, so that no half a paper is ever there."""
    fresh = path.with_name(path.name + ".part")
    fresh.write_bytes(body)
    fresh.replace(path)


def slug(text: str) -> str:
    """A piece of a file name every system takes: small letters, figures and hyphens."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or "job"
