"""Pairing two sides: from a sheet or from the catalogue to a verdict, and to a kept record.

The store is imported where it is used: a sheet that carries all its dimensions is worked out
without it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kb.errors import InputError
from kb.exchange.outlines import read_outline
from kb.model.parts import Segment
from kb.model.record import Advice, Record, canonical, digest
from kb.model.request import Installation, PilotBush, Request, Use
from kb.model.shop import Shop
from kb.model.unit import Clutch, Engine, Flexplate, Flywheel, Gearbox, Unit
from kb.sheets.corners import corners
from kb.sheets.limits import load_limits
from kb.sheets.reading import load, read
from kb.sheets.shop import usual_shop
from kb.sheets.writing import write
from wizard.engine.answer import answer
from wizard.engine.remedies import advise, changed
from wizard.making.made import made
from wizard.making.yard import card
from wizard.search.pairs import companion_kinds as companion_kinds
from wizard.search.pairs import request_of
from wizard.words import said

if TYPE_CHECKING:
    from kb.store.catalogue import UnitRef
    from kb.store.place import Store

FORMAT = 1
EXIT = {"goes": 0, "goes with work": 0, "measure first": 3, "does not go": 4}


@dataclass(frozen=True, kw_only=True)
class Worked:
    """One job worked out: what was asked, the advice, and the answer as a document.

    Attributes:
        request: What was asked, with every dimension of the units it named.
        advice: The design, the ways out that were run again, and the verdict.
        answer: The whole answer [mm, °], nested tables of texts and figures.
        units: The revisions of the catalogue's units that were used.
    """

    request: Request
    advice: Advice
    answer: Mapping[str, Any]
    units: tuple[UnitRef, ...] = ()


class _Shelf:
    """The catalogue as a sheet's reader asks it, remembering which revisions were taken."""

    def __init__(self, store: Store | Callable[[], Store]) -> None:
        self._store = store
        self.taken: list[UnitRef] = []

    def __call__(self, kind: str, name: str) -> Unit:
        from kb.store.catalogue import Catalogue

        catalogue = Catalogue(self._store() if callable(self._store) else self._store)
        ref = catalogue.ref(kind, name)
        self.taken.append(ref)
        return catalogue.get(kind, name, ref.revision)


def work_out(
    request: Request,
    *,
    units: Sequence[UnitRef] = (),
    shop_limits: Mapping[str, float] | None = None,
) -> Worked:
    """Work a request out, ways out and verdict included.

    Args:
        request: What is asked.
        units: The revisions of the catalogue's units it was put together from.
        shop_limits: Limits the shop has changed, by name, each in its own unit.
    Raises:
        InputError: something nobody can mean. OutOfScope: beyond a method's reach.
        NotTabulated: a published table has no such row.
    """
    advice = advise(request, shop_limits=shop_limits)
    return told(request, advice, units=units)


def told(request: Request, advice: Advice, *, units: Sequence[UnitRef] = ()) -> Worked:
    """A job worked out, with its answer in the trade's words."""
    document = _told(answer(advice))
    return Worked(request=request, advice=advice, answer=document, units=tuple(units))


def _told(document: dict[str, Any]) -> dict[str, Any]:
    """The answer with its sentences in the trade's words; its keys and figures are untouched."""
    document["verdict_lines"] = [said(line) for line in document["verdict_lines"]]
    rows = [*document["checks"], *document["remedies"]]
    rows += [row for stage in document["settle"].values() for row in stage]
    for row in rows:
        row["says"] = said(row["says"])
    return document


def read_job(
    path: Path | str,
    *,
    store: Store | Callable[[], Store] | None = None,
    limits: Path | str | None = None,
    outline: Path | str | Sequence[Segment] = (),
) -> Worked:
    """Read a sheet from a file and work it out.

    Args:
        path: The sheet's file.
        limits: File of the shop's own limits, laid over the rule set's.
        store: Where ``catalogue:NAME`` is looked up, or what opens it: called only when the
            sheet names a unit of the catalogue.
        outline: The plate's outline where it was drawn elsewhere, in place of the sheet's: a DXF
            file, or its pieces [mm]; seen from behind the engine, the crank axis at the origin.
    Raises:
        InputError: the sheet cannot be read or meant. StoreError: the store cannot be read.
    """
    shelf = None if store is None else _Shelf(store)
    request = load(path, catalogue=shelf)
    own = None if limits is None else load_limits(limits)
    if isinstance(outline, Path | str):
        outline = read_outline(outline, units=request.units)
    if outline:
        request = with_outline(request, outline)
    return work_out(request, units=shelf.taken if shelf else (), shop_limits=own)


def with_outline(request: Request, outline: Sequence[Segment]) -> Request:
    """The request with a plate's outline of its own: it is then part of the sheet and the record.

    Args:
        outline: Lines and arcs in frame P, each beginning where the last one ended [mm].
    """
    return replace(request, choices=replace(request.choices, plate_outline=corners(outline)))


def read_text(text: str, *, store: Store | Callable[[], Store] | None = None) -> Worked:
    """As `read_job`, for the text of a sheet."""
    shelf = None if store is None else _Shelf(store)
    request = read(text, catalogue=shelf)
    return work_out(request, units=shelf.taken if shelf else ())


# ── two units of the catalogue ──────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Companions:
    """What goes between two units, by name; empty where the drive has none, or none is kept."""

    flexplate: str = ""
    flywheel: str = ""
    clutch: str = ""


def companions(store: Store, *, engine: str, gearbox: str) -> Companions:
    """What goes between two units: the first of each kind the drive needs that belongs to one.

    What belongs to the gearbox comes before what belongs to the engine.

    Raises:
        InputError: a unit the catalogue does not have. StoreError: the store cannot be read.
    """
    from kb.store.catalogue import Catalogue
    from kb.store.names import folded

    catalogue = Catalogue(store)
    catalogue.ref("engine", engine)
    box = catalogue.get("gearbox", gearbox)
    assert isinstance(box, Gearbox)
    found = {}
    for kind in companion_kinds(box):
        owned = belongings(store, kind)
        part = owned.get(folded(gearbox)) or owned.get(folded(engine))
        found[kind] = part.name if part is not None else ""
    return Companions(**found)


def belongings(store: Store, kind: str) -> dict[str, Flexplate | Flywheel | Clutch]:
    """The first part of a kind that belongs to each unit, by that unit's name as it is searched."""
    from kb.store.catalogue import Catalogue
    from kb.store.names import folded

    owned: dict[str, Flexplate | Flywheel | Clutch] = {}
    for _, part in Catalogue(store).units(kind):
        assert isinstance(part, Flexplate | Flywheel | Clutch)
        owned.setdefault(folded(part.belongs_to), part)
    return owned


def pair(
    store: Store,
    *,
    engine: str,
    gearbox: str,
    flexplate: str = "",
    flywheel: str = "",
    clutch: str = "",
    changes: Mapping[str, object] | None = None,
    title: str = "",
    units: str = "mm",
) -> Worked:
    """Pair two units of the catalogue.

    Args:
        store: The shop's store.
        engine, gearbox: Names of the two units.
        flexplate, flywheel, clutch: Names of what goes between; by default what belongs to them.
        changes: Dotted keys of the sheet to set, each with its value as a sheet writes it.
        title: What to call the job.
        units: Unit of bare numbers in ``changes``, named first in the answer.
    Raises:
        InputError: a unit the catalogue does not have, or a change that cannot be meant.
        StoreError: the store cannot be read.
    """
    shelf = _Shelf(store)
    usual = companions(store, engine=engine, gearbox=gearbox)
    named = {
        "flexplate": flexplate or usual.flexplate,
        "flywheel": flywheel or usual.flywheel,
        "clutch": clutch or usual.clutch,
    }
    driver, box = shelf("engine", engine), shelf("gearbox", gearbox)
    assert isinstance(driver, Engine)
    assert isinstance(box, Gearbox)
    between = {kind: shelf(kind, named[kind]) for kind in companion_kinds(box) if named[kind]}
    request = request_of(driver, box, between, title=title, units=units)  # type: ignore[arg-type]
    return work_out(changed(_open(request, changes or {}), changes or {}), units=shelf.taken)


def _open(request: Request, changes: Mapping[str, object]) -> Request:
    """Room in the request for the tables the changes write to."""
    room: dict[str, Any] = {"pilot": PilotBush, "use": Use, "installation": Installation}
    for key in changes:
        table = key.partition(".")[0]
        if table in room and getattr(request, table) is None:
            request = replace(request, **{table: room[table]()})
    return request


# ── keeping ─────────────────────────────────────────────────────────────────


def content(
    worked: Worked, *, by: str = "", on: date | None = None, shop: Shop | None = None
) -> dict[str, Any]:
    """The document that is kept of a job: its sheet, its answer, its rules, what the bench needs.

    ``shop``: whose machines and rates; the shop defaults where none is given.
    """
    rules = worked.advice.design.sides.rules
    shop = shop or usual_shop()
    making = made(
        worked.answer, limits={name: one.value for name, one in rules.limits.items()}, shop=shop
    )
    making["yard"] = card(
        worked.advice.design, wanted=shop.wanted_chance, confirm=_closing_keys(worked.answer)
    )
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
        "making": making,
        "units": [
            {"kind": ref.kind, "name": ref.name, "revision": ref.revision} for ref in worked.units
        ],
    }


def _closing_keys(answer: Mapping[str, Any]) -> list[str]:
    """Dimensions the checks of the axial chain rest on: what a second look is worth most at."""
    asked = ("converter-gap", "release-gap", "flange-position", "nose-engagement", "tip-engagement")
    rows = [check for check in answer.get("checks", ()) if check["id"] in asked]
    keys = (key for check in rows for key in check["because"] if "." in key)
    return [key for key in dict.fromkeys(keys) if not key.startswith("choices.")]


def keep(
    store: Store,
    worked: Worked,
    *,
    by: str = "",
    on: date | None = None,
    title: str | None = None,
    issue_of: int | None = None,
) -> Record:
    """Keep a job as a record that never changes.

    Args:
        store: The shop's store.
        worked: The job as it was worked out.
        by: Who keeps it.
        on: The day; today by default.
        title: What to call it; by default as its sheet does.
        issue_of: Number of the kept job this is the next issue of.
    Raises:
        InputError: it has no title, or there is no job of that number.
        StoreError: the store cannot be written; nothing was kept.
    """
    from kb.store.records import Records
    from kb.store.shops import Shops

    named = worked if title is None else _titled(worked, title)
    document = content(named, by=by, on=on, shop=Shops(store).current())
    if not str(document["title"]).strip():
        raise InputError("title", "(empty)", "give the job a title before it is kept")
    axial = named.answer.get("axial", {})
    torque_nm = named.answer.get("engine", {}).get("peak_torque_nm")
    return Records(store).keep(
        document, title=document["title"], by=by, made_on=document["made_on"],
        engine=named.answer.get("engine", {}).get("name", ""),
        gearbox=named.answer.get("gearbox", {}).get("name", ""),
        verdict=named.answer["verdict"], stage=named.answer["stage"],
        plate=_makeable(axial.get("plate")), spacer=_makeable(axial.get("spacer")),
        torque_nmm=None if torque_nm is None else torque_nm * 1000, issue_of=issue_of,
    )  # fmt: skip


def _makeable(size: float | None) -> float | None:
    """A size to find the record by; one below nought closes the sum, but no part has it."""
    return size if size is not None and size >= 0 else None


def _titled(worked: Worked, title: str) -> Worked:
    """The same job under another title, in its sheet and its answer alike."""
    request = replace(worked.request, title=title)
    return replace(worked, request=request, answer={**worked.answer, "title": title})


def unkept(
    worked: Worked, *, by: str = "", on: date | None = None, shop: Shop | None = None
) -> Record:
    """The record a job would have, numbered 0, for papers without keeping it."""
    document = content(worked, by=by, on=on, shop=shop)
    text = canonical(document)
    return Record(
        number=0, issue="", state="estimate", title=str(document["title"]),
        made_on=str(document["made_on"]), made_by=by, document=text, digest=digest(text),
    )  # fmt: skip


def exit_status(verdict: str) -> int:
    """0 goes or goes with work, 3 measure first, 4 does not go."""
    return EXIT[verdict]
