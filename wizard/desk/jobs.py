"""Kept jobs: listing, showing, and making their papers again."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from kb.errors import InputError, StoreError
from kb.model.record import Record
from kb.store.place import Store
from kb.store.records import Records, RecordSummary


def rows(store: Store, text: str = "") -> list[RecordSummary]:
    """The newest issue of every kept job, the newest job first.

    Args:
        store: The shop's store.
        text: Words that must all stand in number, title or the names of the units.
    Raises:
        StoreError: the store cannot be read.
    """
    return Records(store).list(text)


def show(store: Store, number: int, issue: str | None = None) -> Record:
    """A kept job: its newest issue, or the one asked for.

    Raises:
        InputError: no such job. StoreError: its document is not the one that was kept.
    """
    return Records(store).get(number, issue)


def issues(store: Store, number: int) -> list[RecordSummary]:
    """Every issue of a job, the first one first.

    Raises:
        InputError: no such job.
    """
    return Records(store).history(number)


def papers(
    store: Store,
    number: int,
    folder: Path,
    *,
    only: Sequence[str] | None = None,
    issue: str | None = None,
) -> list[Path]:
    """Make a kept job's papers again, from the record alone.

    Args:
        store: The shop's store.
        number: The job's number.
        folder: Where to write them; made when it is not there.
        only: Names of the papers wanted; all by default.
        issue: An earlier issue.
    Raises:
        InputError: no such job, or a folder that cannot be written. StoreError: as `show`.
    """
    return papers_of(show(store, number, issue), folder, only=only)


def papers_of(record: Record, folder: Path, *, only: Sequence[str] | None = None) -> list[Path]:
    """The papers of a record at hand.

    Raises:
        InputError: the folder cannot be written.
    """
    from wizard.papers.packet import write  # the libraries of drawings take a second to load

    check_folder(folder)
    return write(record, folder, only=only)


def bundle(record: Record) -> bytes:
    """All papers of a record in one archive, with their list and digests."""
    from wizard.papers.packet import bundle as packed

    return packed(record)


def write_bundle(record: Record, path: Path) -> None:
    """Write the archive of a record's papers, whole or not at all.

    Raises:
        InputError: the folder cannot be written. StoreError: the file cannot be.
    """
    check_folder(path.parent)
    body, beside = bundle(record), path.with_name(f"{path.name}.part")
    try:
        beside.write_bytes(body)
        beside.replace(path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise StoreError(f"{path}: papers cannot be written there ({error.strerror})") from None


def check_folder(folder: Path) -> None:
    """Refuse a folder that papers cannot be written to, before anything is worked out or kept.

    Raises:
        InputError: a file stands there or above it, or it may not be written.
    """
    try:
        there = next(place for place in (folder, *folder.absolute().parents) if place.exists())
        if not there.is_dir():
            raise InputError("out", folder, f"{there} is a file; name a folder for the papers")
        if not os.access(there, os.W_OK):
            raise InputError("out", folder, f"{there} may not be written; name another folder")
    except OSError as error:
        raise InputError("out", folder, f"no folder can be made there ({error.strerror})") from None
