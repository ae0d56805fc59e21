"""Papers one by one: which a job has, one made, and what it looks like."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kb.errors import InputError
from kb.model.record import Record

if TYPE_CHECKING:
    from wizard.papers.preview import Picture

TYPES = {
    "pdf": "application/pdf", "dxf": "image/vnd.dxf", "svg": "image/svg+xml", "csv": "text/csv", "txt": "text/plain",
    "json": "application/json", "toml": "application/toml", "stl": "model/stl", "step": "model/step",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}  # fmt: skip
TEXTS = ("txt", "csv", "json", "toml")


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One paper a job can have: its kind, its file's name, and the ending of that."""

    kind: str
    name: str
    ending: str


def offers(record: Record) -> list[Offer]:
    """Every paper of a record, in the order of its packet."""
    from wizard.papers.packet import papers

    return [
        Offer(kind=kind, name=name, ending=name.rpartition(".")[2])
        for kind, name, _ in papers(record)
    ]


def missing(record: Record) -> list[tuple[str, str]]:
    """Every kind of paper it cannot have, and why."""
    from wizard.papers.packet import left_out

    return list(left_out(record))


def body(record: Record, name: str) -> bytes:
    """One paper, made now from the record.

    Raises:
        InputError: it has none of that name.
    """
    from wizard.papers.packet import papers

    for _, known, make in papers(record):
        if known == name:
            return make()
    raise InputError("paper", name, "one of the papers of this job")


def pages(written: bytes) -> Iterator[Picture]:
    """The pages of a PDF as pictures."""
    from wizard.papers.preview import page_count, page_picture

    for page in range(page_count(written)):
        yield page_picture(written, page)


def as_svg(written: bytes) -> str:
    """A DXF drawn, as SVG."""
    from wizard.papers.preview import drawn

    return drawn(written)
