"""Every engine against every gearbox of many shops, in blocks that a run broken off goes on from.

Each block is written whole or not at all, and a block that is there is not worked out again. The
blocks are worked out here, or by processes of a cluster; what comes out is the same.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError, StoreError
from wizard.search.pairs import Owned, paired
from wizard.search.screening import Screen, Shelf, Shelved, shelved

BLOCK = 50  # engines worked out together
ABOUT = "about.json"
Said = Callable[[int, int], None]


@dataclass(frozen=True)
class Swept:
    """What is sure of every pair; shape (engines, gearboxes).

    Attributes:
        hopeless: It does not go, whatever is tried. upright: Every wall is kept upright.
        known: ``upright`` was worked out.
    """

    hopeless: NDArray[np.bool_]
    upright: NDArray[np.bool_]
    known: NDArray[np.bool_]

    def left(self) -> Iterator[tuple[int, int, str]]:
        """The pairs that may go: engine, gearbox, and whether every wall is kept upright."""
        for row, column in np.argwhere(~self.hopeless).tolist():
            kept = "yes" if self.upright[row, column] else "no"
            yield row, column, kept if self.known[row, column] else "not known"


def sweep(
    engines: Sequence[Owned],
    boxes: Sequence[Owned],
    folder: Path,
    *,
    run: Run | None = None,
    block: int = BLOCK,
    said: Said = lambda done, of: None,
) -> Swept:
    """Screen every engine against every gearbox.

    Args:
        engines, boxes: The units with what belongs to them.
        folder: Where the blocks are kept; a run that was broken off goes on from there.
        run: What works the blocks out, as `processes` gives it; this process by default.
        block: Engines in one block.
        said: Called with the blocks done and how many there are.
    Raises:
        InputError: the folder holds the blocks of another catalogue.
        StoreError: it cannot be written, or a block in it cannot be read.
    """
    starts = range(0, len(engines), block)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _same(folder, engines, boxes, block)
        missing = [start for start in starts if not _file(folder, start).exists()]
        said(len(starts) - len(missing), len(starts))
        if missing:
            laid = _laid(boxes)
            jobs = [(start, tuple(engines[start : start + block])) for start in missing]
            worked = (run or _here)(laid, jobs)
            for done, (start, part) in enumerate(worked, len(starts) - len(missing) + 1):
                _write(_file(folder, start), part)
                said(done, len(starts))
        parts = [_read(_file(folder, start)) for start in starts]
    except OSError as error:
        raise StoreError(f"{folder}: {(error.strerror or 'no reason given').lower()}") from error
    empty = np.zeros((0, len(boxes)), dtype=bool)
    return Swept(*(np.concatenate([empty, *(part[n] for part in parts)]) for n in range(3)))


@dataclass(frozen=True)
class Laid:
    """All gearboxes, laid out once for every block; of each form one whole, by its place."""

    boxes: Mapping[int, Owned]
    shelf: Shelf
    screen: Screen = field(default_factory=Screen)


Part = tuple[NDArray[np.bool_], NDArray[np.bool_], NDArray[np.bool_]]
Jobs = Sequence[tuple[int, tuple[Owned, ...]]]
Run = Callable[[Laid, Jobs], Iterator[tuple[int, Part]]]


def _laid(boxes: Sequence[Owned]) -> Laid:
    shelf = Shelf([shelved(one.unit, one.belongs) for one in boxes])
    return Laid({place: boxes[place] for place in shelf.examples}, shelf)


def work(laid: Laid, start: int, engines: Sequence[Owned]) -> tuple[int, Part]:
    """One block: some engines against all gearboxes."""
    rows = [_row(laid, one) for one in engines]
    return start, tuple(np.array([row[n] for row in rows], dtype=bool) for n in range(3))  # type: ignore[return-value]


def _row(laid: Laid, engine: Owned) -> Part:
    mine: Shelved = shelved(engine.unit, engine.belongs)
    sure = laid.screen.one(mine, laid.shelf, lambda place: paired(engine, laid.boxes[place]))
    return sure.hopeless, sure.upright, sure.known


def _here(laid: Laid, jobs: Jobs) -> Iterator[tuple[int, Part]]:
    return (work(laid, *job) for job in jobs)


@contextmanager
def processes(workers: int) -> Iterator[Run]:
    """What works blocks out: this process, or a cluster of so many more on this machine.

    Raises:
        InputError: there is to be a cluster, and the extra ``pool`` is not installed.
    """
    if workers < 1:
        yield _here
        return
    try:
        from distributed import Client, LocalCluster, as_completed
    except ModuleNotFoundError:
        raise InputError("workers", workers, "install the extra “pool”, or leave it out") from None
    with (
        LocalCluster(n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
        Client(cluster) as client,
    ):  # fmt: skip

        def run(laid: Laid, jobs: Jobs) -> Iterator[tuple[int, Part]]:
            held: Any = client.scatter(laid, broadcast=True)
            asked = [client.submit(work, held, start, some, pure=False) for start, some in jobs]
            for future in as_completed(asked):
                yield future.result()
                future.release()

        yield run


# ── the blocks ──────────────────────────────────────────────────────────────


def _same(folder: Path, engines: Sequence[Owned], boxes: Sequence[Owned], block: int) -> None:
    """The folder is this catalogue's own: marked when it is new, refused when it is another's."""
    said = {"block": block, "engines": _mark(engines), "gearboxes": _mark(boxes)}
    about = folder / ABOUT
    if not about.exists():
        about.write_text(json.dumps(said), encoding="utf-8")
    elif about.read_text(encoding="utf-8") != json.dumps(said):
        raise InputError("into", str(folder), "it holds another catalogue's blocks; choose a new folder")  # fmt: skip


def _mark(units: Sequence[Owned]) -> str:
    return hashlib.sha256(repr(list(units)).encode("utf-8", "surrogatepass")).hexdigest()


def _file(folder: Path, start: int) -> Path:
    return folder / f"block-{start:07d}.npz"


def _write(file: Path, part: Part) -> None:
    """Written beside and moved into place, so that it is there whole or not at all."""
    beside = file.with_suffix(".part")
    with beside.open("wb") as out:
        np.savez_compressed(out, width=part[0].shape[1], packed=np.packbits(np.array(part), axis=2))
    beside.replace(file)


def _read(file: Path) -> Part:
    try:
        with np.load(file) as kept:
            found = np.unpackbits(kept["packed"], axis=2, count=int(kept["width"])).astype(bool)
    except (ValueError, KeyError, EOFError, BadZipFile) as error:
        raise StoreError(f"{file}: this block cannot be read; remove it and run again") from error
    return found[0], found[1], found[2]
