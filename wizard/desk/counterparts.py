"""What could go with a unit: every counterpart of the catalogue put through the whole engine, ranked."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.check import VERDICTS
from kb.quantity import read_length
from kb.store.catalogue import Catalogue, UnitSummary
from kb.store.names import folded
from kb.store.place import Store
from wizard.desk import pairing
from wizard.desk.pairing import Worked

REFUSED = "cannot be worked out"
EASE = ("goes", "goes with work", "measure first", "does not go", REFUSED)
SIDES = ("engine", "gearbox")


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
    """

    drive: str = ""
    torque_nmm: float | None = None
    rotation: str = ""
    tail: float | None = None
    text: str = ""


def counterparts(store: Store, name: str, *, kind: str, wanted: Wanted | None = None) -> tuple[int, Iterator[Candidate]]:  # fmt: skip
    """Every counterpart of a unit that is wanted, worked out one by one as it is asked for.

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
    rows = [row for row in catalogue.list(other, looked.text) if _is_wanted(store, row, looked)]
    return len(rows), (_candidate(store, own.name, kind, row) for row in rows)


def ranked(found: Sequence[Candidate]) -> list[Candidate]:
    """The easiest first: by verdict, by what fails and is unknown, by chance, by plate."""

    def hard(one: Candidate) -> tuple[int, int, int, float, float, str]:
        chance = one.chance if one.chance is not None else 0.0
        return (EASE.index(one.verdict), one.fails, one.unknowns, -chance, one.plate or 0.0, folded(one.name))  # fmt: skip

    return sorted(found, key=hard)


def _is_wanted(store: Store, row: UnitSummary, wanted: Wanted) -> bool:
    if wanted.drive and row.drive != wanted.drive:
        return False
    if wanted.rotation and row.rotation != wanted.rotation:
        return False
    if wanted.torque_nmm is not None and row.torque_nmm is not None:
        enough = row.torque_nmm >= wanted.torque_nmm if row.kind == "gearbox" else row.torque_nmm <= wanted.torque_nmm  # fmt: skip
        if not enough:
            return False
    if wanted.tail is not None and row.kind == "gearbox":
        tail = getattr(Catalogue(store).get("gearbox", row.name), "tail_length", None)
        return tail is None or tail.first.value <= wanted.tail
    return True


def _candidate(store: Store, own: str, kind: str, row: UnitSummary) -> Candidate:
    pair = {kind: own, row.kind: row.name}
    try:
        worked = pairing.pair(store, engine=pair["engine"], gearbox=pair["gearbox"])
    except (InputError, OutOfScope, NotTabulated) as error:
        return Candidate(
            name=row.name, kind=row.kind, drive=row.drive or "", verdict=REFUSED, reason=str(error), windows="",
            wall=None, plate=None, spacer=None, chance=None, fails=0, unknowns=0,
        )  # fmt: skip
    return _told(row, worked)


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
    cells = names if one is None else [_cell(getattr(one, name)) for name in names]
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()


def _cell(value: object) -> str:
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
