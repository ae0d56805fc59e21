"""What could go with a unit: every counterpart of the catalogue, with the engine's own answer, ranked.

All are screened together first; who cannot go whatever is tried is not tried with every way out.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields
from pathlib import Path

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.check import VERDICTS
from kb.model.request import Request
from kb.model.unit import Engine, Gearbox, Unit
from kb.quantity import read_length
from kb.store.catalogue import Catalogue, UnitSummary
from kb.store.names import folded
from kb.store.place import Store
from wizard.desk import pairing
from wizard.desk.pairing import Worked
from wizard.desk.pooled import Said, processes, sweep
from wizard.engine.remedies import advise
from wizard.search.pairs import BETWEEN, Owned, companion_kinds, paired
from wizard.search.screening import Screen, Shelf, shelved

REFUSED = "cannot be worked out"
EASE = ("goes", "goes with work", "measure first", "does not go", REFUSED)
SIDES = ("engine", "gearbox")
AT_ONCE = 500  # counterparts read and screened together


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One counterpart and how it would go.

    Attributes:
        name: The counterpart. kind: engine or gearbox. drive: What turns on its side.
        verdict: The engine's own, or that it cannot be worked out. reason: Its first reason.
        windows: Turns that keep every wall [°], as text. wall: Least wall at the turn taken [mm].
        plate, spacer: [mm]. chance: That something works. fails, unknowns: Of the checks due now.
    """

    name: str
    kind: str
    drive: str
    verdict: str
    reason: str
    windows: str
    wall: float | None
    plate: float | None
    spacer: float | None
    chance: float | None
    fails: int
    unknowns: int


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What a counterpart must be to be looked at; all open by default.

    Attributes:
        drive: What turns: converter, shaft, flange, crank flange, flywheel.
        torque_nmm: Peak torque it must carry (a gearbox) or have at most (an engine) [N·mm].
        rotation: ccw or cw. tail: Longest tail of a gearbox [mm].
        text: Words of its name.
        may_go: Leave out what does not go, without saying why.
    """

    drive: str = ""
    torque_nmm: float | None = None
    rotation: str = ""
    tail: float | None = None
    text: str = ""
    may_go: bool = False


def counterparts(store: Store, name: str, *, kind: str, wanted: Wanted | None = None) -> tuple[int, Iterator[Candidate]]:  # fmt: skip
    """Every counterpart of a unit that is wanted, worked out as it is asked for.

    Args:
        store: The shop's store.
        name: The unit. kind: Its kind, ``engine`` or ``gearbox``.
        wanted: Which counterparts to look at.
    Returns:
        How many there are, and each with the engine's own verdict and first reason.
    Raises:
        InputError: no such unit, or not an engine or a gearbox.
    """
    if kind not in SIDES:
        raise InputError("kind", kind, "write engine or gearbox")
    catalogue = Catalogue(store)
    own = catalogue.ref(kind, name)
    other = SIDES[1 - SIDES.index(kind)]
    looked = wanted or Wanted()
    rows = [row for row in catalogue.list(other, looked.text) if _is_wanted(row, looked)]
    if looked.tail is not None:
        rows = _short_enough(store, rows, looked.tail)
    unit = catalogue.get(kind, own.name)
    return len(rows), _screened(store, unit, rows, may_go=looked.may_go)


def sweep_catalogue(
    store: Store, folder: Path, *, workers: int = 0, said: Said = lambda done, of: None
) -> Iterator[tuple[str, str, str]]:
    """Every engine against every gearbox: the pairs that may go, as engine, gearbox, walls upright.

    Args:
        store: The shop's store, or one into which several shops' units were put together.
        folder: Where what is done is kept; a run that was broken off goes on from there.
        workers: Processes of a cluster on this machine; 0 works here.
        said: Called with the blocks done and how many there are.
    Raises:
        InputError: the folder is another catalogue's. StoreError: it cannot be read or written.
    """
    owned, catalogue = belongings(store), Catalogue(store)
    engines, boxes = ([owned(unit) for _, unit in catalogue.units(kind)] for kind in SIDES)
    with processes(workers) as run:
        swept = sweep(engines, boxes, folder, run=run, said=said)
    for row, column, upright in swept.left():
        yield engines[row].unit.name, boxes[column].unit.name, upright


def ranked(found: Sequence[Candidate]) -> list[Candidate]:
    """The easiest first: by verdict, by what fails and is unknown, by chance, by plate."""

    def hard(one: Candidate) -> tuple[int, int, int, float, float, str]:
        chance = one.chance if one.chance is not None else 0.0
        return (EASE.index(one.verdict), one.fails, one.unknowns, -chance, one.plate or 0.0, folded(one.name))  # fmt: skip

    return sorted(found, key=hard)


def _is_wanted(row: UnitSummary, wanted: Wanted) -> bool:
    if wanted.drive and row.drive != wanted.drive:
        return False
    if wanted.rotation and row.rotation != wanted.rotation:
        return False
    if wanted.torque_nmm is not None and row.torque_nmm is not None:
        enough = row.torque_nmm >= wanted.torque_nmm if row.kind == "gearbox" else row.torque_nmm <= wanted.torque_nmm  # fmt: skip
        if not enough:
            return False
    return True


def _short_enough(store: Store, rows: list[UnitSummary], longest: float) -> list[UnitSummary]:
    """Of the gearboxes, those whose tail is no longer; one whose tail nobody measured stays."""
    kept = []
    for start in range(0, len(rows), AT_ONCE):
        some = rows[start : start + AT_ONCE]
        for row, unit in zip(some, Catalogue(store).some(some), strict=True):
            tail = getattr(unit, "tail_length", None)
            if tail is None or tail.first.value <= longest:
                kept.append(row)
    return kept


def _screened(store: Store, own: Unit, rows: list[UnitSummary], *, may_go: bool) -> Iterator[Candidate]:  # fmt: skip
    """Every row worked out: without trying ways out where none can help, whole for the others."""
    owned = belongings(store)
    mine = owned(own)
    screen, ready = Screen(), shelved(mine.unit, mine.belongs)
    for start in range(0, len(rows), AT_ONCE):
        some = rows[start : start + AT_ONCE]
        others = [owned(one) for one in Catalogue(store).some(some)]
        requests = [paired(mine, one) for one in others]
        shelf = Shelf([shelved(one.unit, one.belongs) for one in others])
        sure = screen.one(ready, shelf, requests.__getitem__)
        for row, request, hopeless in zip(some, requests, sure.hopeless.tolist(), strict=True):
            if hopeless and may_go:
                continue
            one = _candidate(row, request, hopeless=hopeless)
            if not (may_go and one.verdict == "does not go"):
                yield one


def belongings(store: Store) -> Callable[[Unit], Owned]:
    """What tells, of an engine or a gearbox, what belongs to it and may stand between."""
    kept = {kind: pairing.belongings(store, kind) for kind in BETWEEN}

    def owned(unit: Unit) -> Owned:
        assert isinstance(unit, Engine | Gearbox)
        kinds = companion_kinds(unit) if isinstance(unit, Gearbox) else BETWEEN
        found = {kind: kept[kind].get(folded(unit.name)) for kind in kinds}
        return Owned(unit, {kind: part for kind, part in found.items() if part is not None})

    return owned


def _candidate(row: UnitSummary, request: Request, *, hopeless: bool) -> Candidate:
    try:
        advice = advise(request, ways_out=not hopeless)
    except (InputError, OutOfScope, NotTabulated) as error:
        return Candidate(
            name=row.name, kind=row.kind, drive=row.drive or "", verdict=REFUSED, reason=str(error), windows="",
            wall=None, plate=None, spacer=None, chance=None, fails=0, unknowns=0,
        )  # fmt: skip
    return _told(row, pairing.told(request, advice))


def _told(row: UnitSummary, worked: Worked) -> Candidate:
    answer = worked.answer
    assert answer["verdict"] in VERDICTS
    fixed, axial = answer.get("lineup", {}).get("fixed") or {}, answer.get("axial") or {}
    lines = answer["verdict_lines"]
    windows = ", ".join(f"{low:+.2f} to {high:+.2f}" for low, high in fixed.get("windows") or ())
    status = [check["status"] for check in answer["checks"]]
    return Candidate(
        name=row.name, kind=row.kind, drive=row.drive or "", verdict=answer["verdict"],
        reason=lines[1] if len(lines) > 1 else lines[0], windows=windows, wall=fixed.get("wall"),
        plate=axial.get("plate"), spacer=axial.get("spacer"), chance=axial.get("chance_any"),
        fails=status.count("fail"), unknowns=status.count("unknown"),
    )  # fmt: skip


def csv_row(one: Candidate | None) -> str:
    """One line of CSV; the headings without a candidate. What a spreadsheet would run stays a text."""
    out = io.StringIO()
    names = [field.name for field in fields(Candidate)]
    cells = names if one is None else [cell(getattr(one, name)) for name in names]
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()


def cell(value: object) -> str:
    """A cell of CSV; what a spreadsheet would run stays a text."""
    if value is None:
        return ""
    text = f"{value:.4f}" if isinstance(value, float) else str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(("=", "+", "-", "@")) and not text[1:2].isdigit() else text  # fmt: skip


def longest_tail(text: str, *, unit: str) -> float | None:
    """A tail length as typed [mm]; nothing where nothing is.

    Raises:
        InputError: it cannot be read.
    """
    return read_length(text, key="tail", units=unit).value if text.strip() else None
