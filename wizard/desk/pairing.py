"""Pairing two sides: from a sheet or from the catalogue to a verdict, and to a kept record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.model.record import Advice, Record, canonical, digest
from kb.model.request import Choices, Installation, PilotBush, Request, Use
from kb.model.unit import Clutch, Engine, Flexplate, Flywheel, Gearbox, Unit
from kb.sheets.reading import load, read, text_of
from kb.sheets.writing import write
from kb.store.catalogue import Catalogue, UnitRef
from kb.store.place import Store
from kb.store.records import Records
from wizard.engine.answer import answer
from wizard.engine.proposals import Change
from wizard.engine.remedies import advise, changed

FORMAT = 1
EXIT = {"goes": 0, "goes with work": 0, "measure first": 3, "does not go": 4}


@dataclass(frozen=True)
class Worked:
    """One job worked out: what was asked, the advice, and the answer as a document."""

    request: Request
    advice: Advice
    answer: Mapping[str, Any]
    units: tuple[UnitRef, ...] = ()


@dataclass
class _Looked:
    """A catalogue that remembers which units a sheet took from it."""

    catalogue: Catalogue
    taken: list[UnitRef] = field(default_factory=list)

    def __call__(self, kind: str, name: str) -> Unit:
        unit = self.catalogue.get(kind, name)
        self.taken.append(self.catalogue.ref(kind, name))
        return unit


def work_out(request: Request, *, units: Sequence[UnitRef] = ()) -> Worked:
    """Work a request out, ways out and verdict included.

    Raises:
        InputError: something nobody can mean. OutOfScope: beyond a method's reach.
    """
    advice = advise(request)
    return Worked(request=request, advice=advice, answer=answer(advice), units=tuple(units))


def read_job(path: Path | str, *, store: Store | None = None) -> Worked:
    """Read a sheet from a file and work it out; names of the catalogue are looked up in the store.

    Raises:
        InputError: the sheet cannot be read or meant. StoreError: the store cannot be read.
    """
    looked = _Looked(Catalogue(store)) if store is not None else None
    request = load(path, catalogue=looked)
    return work_out(request, units=looked.taken if looked else ())


def names_catalogue(path: Path | str) -> bool:
    """Whether a sheet's file names units of the catalogue.

    Raises:
        InputError: the file cannot be read.
    """
    return "catalogue:" in text_of(path)


def read_text(text: str, *, store: Store | None = None) -> Worked:
    """As `read_job`, for the text of a sheet."""
    looked = _Looked(Catalogue(store)) if store is not None else None
    request = read(text, catalogue=looked)
    return work_out(request, units=looked.taken if looked else ())


# ── two units of the catalogue ──────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Companions:
    """What goes between two units, by name; empty where the drive has none."""

    flexplate: str = ""
    flywheel: str = ""
    clutch: str = ""


def companions(store: Store, *, engine: str, gearbox: str) -> Companions:
    """The flexplate, or flywheel and clutch, that belong to either unit; the gearbox's first.

    Raises:
        InputError: a unit the catalogue does not have.
    """
    catalogue = Catalogue(store)
    box = catalogue.get("gearbox", gearbox)
    assert isinstance(box, Gearbox)
    wanted = companion_kinds(box)
    found = {}
    for kind in wanted:
        owned = {
            part.belongs_to.casefold(): part.name
            for _, part in catalogue.units(kind)
            if isinstance(part, Flexplate | Flywheel | Clutch)
        }
        found[kind] = owned.get(gearbox.casefold()) or owned.get(engine.casefold()) or ""
    return Companions(**found)


def companion_kinds(box: Gearbox) -> tuple[str, ...]:
    """The kinds of part that go between the rotating adapter and that gearbox."""
    if box.converter is not None:
        return ("flexplate",)
    return ("flywheel", "clutch") if box.shaft is not None or box.release is not None else ()


def pair(
    store: Store,
    *,
    engine: str,
    gearbox: str,
    flexplate: str = "",
    flywheel: str = "",
    clutch: str = "",
    changes: Change | None = None,
    title: str = "",
    units: str = "mm",
) -> Worked:
    """Pair two units of the catalogue.

    Args:
        store: The shop's store.
        engine, gearbox: Names of the two units.
        flexplate, flywheel, clutch: Names of what goes between; by default what belongs to them.
        changes: Keys of the sheet to set, each value as a sheet writes it.
        title: What to call the job.
        units: Unit of bare numbers in ``changes``, named first in the answer.
    Raises:
        InputError: a unit the catalogue does not have, or a change that cannot be meant.
    """
    looked = _Looked(Catalogue(store))
    usual = companions(store, engine=engine, gearbox=gearbox)
    named = {
        "flexplate": flexplate or usual.flexplate,
        "flywheel": flywheel or usual.flywheel,
        "clutch": clutch or usual.clutch,
    }
    box = looked("gearbox", gearbox)
    assert isinstance(box, Gearbox)
    between = {kind: looked(kind, named[kind]) for kind in companion_kinds(box) if named[kind]}
    driver = looked("engine", engine)
    assert isinstance(driver, Engine)
    request = Request(
        title=title or f"{driver.name} to {box.name}", units=units, engine=driver, gearbox=box,
        choices=Choices(), **between,  # type: ignore[arg-type]
    )  # fmt: skip
    return work_out(changed(_open(request, changes or {}), changes or {}), units=looked.taken)


def _open(request: Request, changes: Change) -> Request:
    """Room in the request for the tables the changes write to."""
    room: dict[str, Any] = {"pilot": PilotBush, "use": Use, "installation": Installation}
    for key in changes:
        table = key.partition(".")[0]
        if table in room and getattr(request, table) is None:
            request = replace(request, **{table: room[table]()})
    return request


# ── keeping ─────────────────────────────────────────────────────────────────


def content(worked: Worked, *, by: str = "", on: date | None = None) -> dict[str, Any]:
    """The document that is kept of a job: its sheet, its answer, its rules."""
    rules = worked.advice.design.sides.rules
    return {
        "format": FORMAT,
        "title": worked.answer["title"],
        "made_on": (on or date.today()).isoformat(),
        "made_by": by,
        "sheet": write(worked.request),
        "answer": dict(worked.answer),
        "rules": {
            "name": rules.name,
            "limits": {
                name: {"value": one.value, "unit": one.unit, "source": one.source}
                for name, one in rules.limits.items()
            },
        },
        "program": worked.answer["program"],
        "units": [
            {"kind": ref.kind, "name": ref.name, "revision": ref.revision} for ref in worked.units
        ],
    }


def keep(
    store: Store,
    worked: Worked,
    *,
    by: str = "",
    on: date | None = None,
    issue_of: int | None = None,
) -> Record:
    """Keep a job as a record that never changes.

    Raises:
        InputError: it has no title. StoreError: the store cannot be written; nothing was kept.
    """
    document = content(worked, by=by, on=on)
    if not str(document["title"]).strip():
        raise InputError("title", "(empty)", "give the job a title before it is kept")
    axial = worked.answer.get("axial", {})
    torque_nm = worked.answer.get("engine", {}).get("peak_torque_nm")
    return Records(store).keep(
        document, title=document["title"], by=by, made_on=document["made_on"],
        engine=worked.answer.get("engine", {}).get("name", ""),
        gearbox=worked.answer.get("gearbox", {}).get("name", ""),
        verdict=worked.answer["verdict"], stage=worked.answer["stage"],
        plate=axial.get("plate"), spacer=axial.get("spacer"),
        torque_nmm=None if torque_nm is None else torque_nm * 1000, issue_of=issue_of,
    )  # fmt: skip


def unkept(worked: Worked, *, by: str = "", on: date | None = None) -> Record:
    """The record a job would have, numbered 0, for papers without keeping it."""
    document = content(worked, by=by, on=on)
    text = canonical(document)
    return Record(
        number=0, issue="", state="estimate", title=str(document["title"]),
        made_on=str(document["made_on"]), made_by=by, document=text, digest=digest(text),
    )  # fmt: skip


def exit_status(verdict: str) -> int:
    """0 goes or goes with work, 3 measure first, 4 does not go."""
    return EXIT[verdict]
