"""All papers of a record into one folder; the same record gives the same bytes."""

from __future__ import annotations

import io
import re
import unicodedata
import zipfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import date
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from kb.errors import InputError, StoreError
from kb.model.record import Record
from wizard.papers import cut, step, tables
from wizard.papers.bodies import Body, bodies
from wizard.papers.buying_list import buying_csv, buying_list
from wizard.papers.cut_report import cut_report
from wizard.papers.cut_svg import cut_svg
from wizard.papers.document import numbered
from wizard.papers.dossier import dossier
from wizard.papers.drawing import drawable, drawing
from wizard.papers.drawing_dxf import drawing_dxf
from wizard.papers.fitting_sheet import fitting_sheet
from wizard.papers.inspection_sheet import inspection_sheet, inspection_workbook
from wizard.papers.layout_sheet import layout_sheet
from wizard.papers.mesh import mesh, stl
from wizard.papers.paper import printable
from wizard.papers.quote_sheet import customer_quote, shop_quote
from wizard.papers.route_sheet import route_sheet
from wizard.papers.specification import specification
from wizard.papers.template import one_sheet, template
from wizard.papers.yard_card import yard_card

Make = Callable[[], bytes]
UNBOUND = ("quote.pdf", "quote-shop-copy.pdf")  # prices are not for whoever makes the parts
KINDS = (
    "specification", "drawing", "cut file", "solid", "template", "layout sheet", "inspection sheet", "fitting sheet",
    "buying list", "route sheet", "quote", "yard card", "hole table", "answer", "sheet", "dossier", "contents",
)  # fmt: skip


def papers(record: Record) -> Iterator[tuple[str, str, Make]]:
    """Every paper this record can have: its kind, its file name, and how it is made."""
    start = f"{record.number:04d}{_letters(record.issue)}-{slug(record.title)}"
    rows = [(kind, f"{start}-{ending}", cache(make)) for kind, ending, make in _papers(record)]
    sheets = [
        (_titled(name), make)
        for _, name, make in rows
        if name.endswith(".pdf") and not name.endswith(UNBOUND)
    ]
    bound = cache(lambda: dossier(record, [(title, make()) for title, make in sheets]))
    rows.append(("dossier", f"{start}-dossier.pdf", bound))
    yield from rows
    yield "contents", f"{start}-contents.txt", lambda: _contents(record, rows)


def _titled(name: str) -> str:
    """What a sheet is called, from the end of its file's name."""
    for kind in sorted(_ENDINGS, key=len, reverse=True):
        if name.endswith(f"{kind}.pdf"):
            return kind.replace("-", " ").capitalize()
    return name


_ENDINGS = (
    "starting-specification", "plate-and-spacer-drawing", "spacer-drawing", "drawing", "template",
    "template-one-sheet", "layout-sheet", "inspection-sheet", "fitting-sheet", "buying-list", "route-sheet",
    "yard-card",
)  # fmt: skip


def _papers(record: Record) -> Iterator[tuple[str, str, Make]]:
    yield "specification", "starting-specification.pdf", lambda: specification(record).finish()
    for name, plate in drawings(record):
        yield "drawing", f"{slug(name)}-drawing.pdf", _drawn(record, plate)
        yield "drawing", f"{slug(name)}-drawing_mm.dxf", _drawn_dxf(record, plate)
    for part in cut.plates(record):
        for version in cut.VERSIONS if part.get("outline") else ():
            yield "cut file", f"{slug(part['name'])}_mm_{version}.dxf", _cut(record, part, version)
        if part.get("outline"):
            yield from _of_plate(record, part)
    yield from _solids(record)
    yield from _bench_sheets(record)
    if any(part["holes"] for part in record.answer.get("parts", ())):
        yield "hole table", "holes.csv", lambda: tables.hole_csv(record)
        yield "hole table", "holes.xlsx", lambda: tables.hole_workbook(record)
    yield "answer", "answer.json", lambda: tables.answer_json(record)
    yield "sheet", "sheet.toml", lambda: tables.sheet_toml(record)


def _solids(record: Record) -> Iterator[tuple[str, str, Make]]:
    """STL of each part; STEP of each and of all together where its library is installed."""
    made = list(bodies(record.answer))
    for body in made:
        yield "solid", f"{slug(body.name)}_mm.stl", _mesh(record, body)
        if step.available():
            yield "solid", f"{slug(body.name)}_mm.step", _solid(record, [body], body.name)
    if len(made) > 1 and step.available():
        yield "solid", "assembly_mm.step", _solid(record, made, record.title)


def _mesh(record: Record, body: Body) -> Make:
    return lambda: stl(mesh(body), title=f"{body.name} {numbered(record)}")


def _solid(record: Record, parts: Sequence[Body], title: str) -> Make:
    return lambda: step.step_file(record, parts, title=title)


def _of_plate(record: Record, part: Mapping[str, Any]) -> Iterator[tuple[str, str, Make]]:
    start = slug(part["name"])
    yield "cut file", f"{start}_mm.svg", lambda: cut_svg(record, part)
    yield "cut file", f"{start}-cut-check.txt", lambda: cut_report(record, part)
    yield "template", f"{start}-template.pdf", lambda: template(record, part).finish()
    yield "template", f"{start}-template-one-sheet.pdf", lambda: one_sheet(record, part).finish()


def _bench_sheets(record: Record) -> Iterator[tuple[str, str, Make]]:
    making = record.content.get("making") or {}
    if making.get("layout"):
        yield "layout sheet", "layout-sheet.pdf", lambda: layout_sheet(record).finish()
    if making.get("points"):
        yield "inspection sheet", "inspection-sheet.pdf", lambda: inspection_sheet(record).finish()
        yield "inspection sheet", "inspection-sheet.xlsx", lambda: inspection_workbook(record)
    if making.get("fitting") and record.answer.get("parts"):
        yield "fitting sheet", "fitting-sheet.pdf", lambda: fitting_sheet(record).finish()
    if making.get("route"):
        yield "route sheet", "route-sheet.pdf", lambda: route_sheet(record).finish()
    if making.get("quote"):
        yield "quote", "quote.pdf", lambda: customer_quote(record).finish()
        yield "quote", "quote-shop-copy.pdf", lambda: shop_quote(record).finish()
    if making.get("yard"):
        yield "yard card", "yard-card.pdf", lambda: yard_card(record).finish()
    if making.get("buying"):
        yield "buying list", "buying-list.pdf", lambda: buying_list(record).finish()
        yield "buying list", "buying-list.csv", lambda: buying_csv(record)


# What of the record each sheet for the bench is set from.
_STORED = {
    "layout sheet": "layout", "inspection sheet": "points", "fitting sheet": "fitting", "route sheet": "route",
    "quote": "quote", "yard card": "yard", "buying list": "buying",
}  # fmt: skip


def left_out(record: Record) -> Iterator[tuple[str, str]]:
    """Every paper this record cannot have: its kind, and why."""
    plates = cut.plates(record)
    if not any(drawings(record)):
        yield "drawing", "the answer has neither a plate nor a rotating adapter"
    for part in plates:
        if not part.get("outline"):
            yield "cut file", f"the {part['name']} has no outline"
            yield "template", f"the {part['name']} has no outline"
    if not plates:
        yield "cut file", "the answer has no plate"
        yield "template", "the answer has no plate"
    if not any(part["holes"] for part in record.answer.get("parts", ())):
        yield "hole table", "no part of the answer has holes"
    if not any(bodies(record.answer)):
        yield "solid", "no part has all its sizes"
    elif not step.available():
        yield "solid", f"STEP files: {step.INSTALL}"
    making = record.content.get("making") or {}
    there = {kind for kind, _, _ in _bench_sheets(record)}
    for kind, key in _STORED.items():
        if kind not in there:
            older = "the record is older than this paper: keep the job again"
            yield kind, "the answer has no parts to make" if key in making else older


def _contents(record: Record, rows: Sequence[tuple[str, str, Make]]) -> bytes:
    """What the packet holds, with the SHA-256 of every paper, and what it does not and why."""
    lines = [printable(record.title), numbered(record), f"made from {record.digest} (SHA-256)", ""]
    lines += [f"{sha256(make()).hexdigest()}  {name}" for _, name, make in rows]
    missing = [f"left out: {kind}: {why}" for kind, why in left_out(record)]
    return "\n".join([*lines, "", *(missing or ["left out: nothing"]), ""]).encode("utf-8")


def drawings(record: Record) -> Iterator[tuple[str, str]]:
    """The drawings of a record, each with the plate it is about: two plates have one each."""
    plates = [str(part["name"]) for part in cut.plates(record)]
    if len(plates) > 1:
        yield from ((name, name) for name in plates)
    elif drawable(record):
        yield ("plate-and-spacer", plates[0]) if plates else ("spacer", "")


def _drawn(record: Record, plate: str) -> Make:
    return lambda: drawing(record, plate=plate).finish()


def _drawn_dxf(record: Record, plate: str) -> Make:
    return lambda: drawing_dxf(record, plate=plate)


def _cut(record: Record, part: Mapping[str, Any], version: str) -> Make:
    return lambda: cut.cut_file(record, part, version=version)


def bundle(record: Record) -> bytes:
    """All papers in one archive, its times those of the record: the same record, the same bytes."""
    day = date.fromisoformat(record.made_on)
    stamp = (max(day.year, 1980), day.month, day.day, 0, 0, 0)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for _, name, make in papers(record):
            entry = zipfile.ZipInfo(name, date_time=stamp)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, make())
    return packed.getvalue()


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
    beside = {folder / f"{name}.part": folder / name for name in made}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for fresh, body in zip(beside, made.values(), strict=True):
            fresh.write_bytes(body)
        for fresh, path in beside.items():
            fresh.replace(path)
    except OSError as error:
        _clear(beside)
        raise StoreError(f"{folder}: papers cannot be written there ({error.strerror})") from None
    return list(beside.values())


def _clear(paths: Iterable[Path]) -> None:
    """Take away what was written beside, as far as that is possible."""
    for path in paths:
        with suppress(OSError):
            path.unlink(missing_ok=True)


def _letters(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9]", "", text)


def slug(text: str) -> str:
    """A piece of a file name every system takes: small letters, figures and hyphens."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or "job"
