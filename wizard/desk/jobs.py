"""Kept jobs: listing, showing, and making their papers again."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kb.model.record import Record
from kb.store.place import Store
from kb.store.records import Records, RecordSummary
from wizard.papers.packet import write


def rows(store: Store, text: str = "") -> list[RecordSummary]:
    """Every kept job, the newest first."""
    return Records(store).list(text)


def show(store: Store, number: int, issue: str | None = None) -> Record:
    """A kept job; its digest is checked on reading.

    Raises:
        InputError: no such job. StoreError: its document is not the one that was kept.
    """
    return Records(store).get(number, issue)


def papers(
    store: Store, number: int, folder: Path, *, only: Sequence[str] | None = None
) -> list[Path]:
    """Make a kept job's papers again, from the record alone."""
    return write(show(store, number), folder, only=only)


def papers_of(record: Record, folder: Path, *, only: Sequence[str] | None = None) -> list[Path]:
    """The papers of a record at hand."""
    return write(record, folder, only=only)
