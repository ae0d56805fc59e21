"""The store as a whole: backed up, put back, moved to another place, another shop's archive taken in."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator, Sequence, Set
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from kb.errors import InputError
from kb.model.unit import Unit
from kb.store import archive, files
from kb.store.archive import About
from kb.store.catalogue import Catalogue
from kb.store.flat import flatten
from kb.store.names import folded
from kb.store.place import Store, open_store
from kb.store.records import Records, RecordSummary

NEW, SAME, OTHER = "new", "the same", "different"


@dataclass(frozen=True, kw_only=True)
class Offered:
    """One unit or job of another shop's archive beside what is kept here.

    Attributes:
        what: engine, gearbox, flexplate, flywheel, clutch or job. name: The unit, or the job.
        stands: new, the same, or different. says: What would be done with it.
    """

    what: str
    name: str
    stands: str
    says: str


def back_up(store: Store, to: Path) -> About:
    """Write the whole store as one archive, units also as sheets for people; others may go on working.

    Raises:
        StoreError: the file is there already or cannot be written; nothing is left behind.
    """
    return archive.write(store, to)


def packed(store: Store) -> bytes:
    """What `back_up` writes, to be taken along.

    Raises:
        StoreError: the store cannot be read, or there is no room.
    """
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "store.zip"
        back_up(store, file)
        return file.read_bytes()


@contextmanager
def uploaded(name: str, written: bytes) -> Iterator[Path]:
    """An archive that was uploaded, as a file; its name is shown, never used as a path."""
    with tempfile.TemporaryDirectory() as folder:
        file = (
            Path(folder) / f"{re.sub(r'[^A-Za-z0-9 -]', '', Path(name).stem)[:60] or 'archive'}.zip"
        )
        file.write_bytes(written)
        yield file


def put_back(url: str | Path, file: Path) -> About:
    """Put an archive into a new, empty store; everything is held against its digest.

    Raises:
        InputError: the address cannot be read. StoreError: the store holds something already,
            or the archive is not whole; nothing was written.
    """
    archive.read_about(file)  # before a store is made for it
    with open_store(url) as store:
        return archive.put_back(store, file)


def move(store: Store, url: str | Path) -> About:
    """Copy the whole store to another place, such as a server; the old one stays as it is.

    Raises:
        InputError, StoreError: as `back_up` and `put_back`.
    """
    with tempfile.TemporaryDirectory() as folder, open_store(url) as other:
        if other.place == store.place:
            raise InputError("to", str(url), "write another place than the one it is in")
        file = Path(folder) / "store.zip"
        back_up(store, file)
        return archive.put_back(other, file)


# ── another shop's archive ──────────────────────────────────────────────────


def offered(store: Store, file: Path) -> list[Offered]:
    """What another shop's archive holds, beside what is kept here; nothing is taken.

    Raises:
        StoreError: the archive is not whole, or made by a newer program.
    """
    with tempfile.TemporaryDirectory() as folder, _theirs(folder, file) as theirs:
        return [*_units(store, theirs), *_jobs(store, theirs)]


def take_in(store: Store, file: Path, *, by: str = "", only: Sequence[str] = ()) -> list[Offered]:
    """Take in what another shop's archive has and this one has not, or has otherwise.

    A unit of a name that is kept here becomes its next revision, a job takes the next number or
    follows on the issues of it that are here; nothing that is kept changes.

    Args:
        only: Names to take; all by default.
    Raises:
        InputError: a name that the archive has not. StoreError: as `offered`.
    """
    with tempfile.TemporaryDirectory() as folder, _theirs(folder, file) as theirs:
        found = [*_units(store, theirs), *_jobs(store, theirs)]
        unknown = set(only) - {one.name for one in found}
        if unknown:
            raise InputError("only", min(unknown), "write the name of a unit or job it holds")
        wanted = [one for one in found if one.stands != SAME and (not only or one.name in only)]
        names = {(one.what, one.name) for one in wanted}
        Catalogue(store).add_all(
            [unit for ref, unit in Catalogue(theirs).units() if (ref.kind, ref.name) in names], by
        )
        for row in Records(theirs).list():
            _take_job(store, theirs, row.number, names, f"Taken from {file.name}", by)
        return wanted


def _theirs(folder: str, file: Path) -> Store:
    """The archive as a store of its own, for as long as it is looked at."""
    theirs = open_store(Path(folder) / "theirs.sqlite")
    try:
        archive.put_back(theirs, file)
    except BaseException:
        theirs.close()
        raise
    return theirs


def _units(store: Store, theirs: Store) -> list[Offered]:
    ours = {(ref.kind, folded(ref.name)): (ref, unit) for ref, unit in Catalogue(store).units()}
    found = []
    for ref, unit in Catalogue(theirs).units():
        held, own = ours.get((ref.kind, folded(ref.name)), (None, None))
        if held is None or own is None:
            stands, says = NEW, "would be added"
        elif flatten(own) == flatten(unit):
            stands, says = SAME, "nothing to do"
        else:
            stands = OTHER
            says = f"would become revision {held.revision + 1}; differs in {_differs(own, unit)}"
        found.append(Offered(what=ref.kind, name=ref.name, stands=stands, says=says))
    return found


def _differs(ours: Unit, theirs: Unit) -> str:
    a, b = flatten(ours), flatten(theirs)
    keys = [
        key
        for one, other in ((a.lengths, b.lengths), (a.facts, b.facts), (a.parts, b.parts))
        for key in sorted({*one, *other})
        if one.get(key) != other.get(key)
    ]
    more = f" and {len(keys) - 3} more" if len(keys) > 3 else ""
    return ", ".join(keys[:3]) + more


def _every_job(store: Store) -> list[RecordSummary]:
    records = Records(store)
    return [issue for row in reversed(records.list()) for issue in records.history(row.number)]


def _job_name(row: RecordSummary) -> str:
    return f"{row.number}{row.issue} {row.title}"


def _here(store: Store) -> dict[str, RecordSummary]:
    """The jobs kept here by what their documents are known by."""
    records = Records(store)
    return {records.get(row.number, row.issue).digest: row for row in _every_job(store)}


def _jobs(store: Store, theirs: Store) -> list[Offered]:
    kept = _here(store)
    found = []
    for row in _every_job(theirs):
        same = kept.get(Records(theirs).get(row.number, row.issue).digest)
        says = f"is job {same.number}{same.issue} here" if same else "would be kept as it is there"
        found.append(Offered(what="job", name=_job_name(row), stands=SAME if same else NEW, says=says))  # fmt: skip
    return found


def _take_job(
    store: Store, theirs: Store, number: int, names: Set[tuple[str, str]], note: str, by: str
) -> None:
    """The wanted issues of one of their jobs, with what was written to them and their files."""
    records, kept = Records(theirs), _here(store)
    every = records.history(number)
    wanted = [row for row in every if ("job", _job_name(row)) in names]
    if not wanted:
        return
    held = [kept.get(records.get(number, row.issue).digest) for row in every]
    onto = next((row.number for row in held if row is not None), None)
    for row in wanted:
        for entry in records.entries(number, row.issue, kind="file"):
            files.put(store, files.get(theirs, entry.key))
    Records(store).take_over(records, wanted, onto=onto, note=note, by=by)
