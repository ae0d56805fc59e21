"""Hole patterns in and out of the catalogue: a list or drawing becomes a face, once it is confirmed."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from kb.errors import InputError
from kb.exchange.holes import Listed, read_holes, write_holes
from kb.exchange.holes import Listing as Listing
from kb.model.unit import Engine, Gearbox, Unit
from kb.quantity import Dimension, read_length, read_thread
from kb.sheets.reading import read_units
from kb.store.catalogue import UnitRef
from kb.store.place import Store
from wizard.desk import units

SIDES = ("engine", "gearbox")
ENDINGS = (".csv", ".xlsx", ".dxf")
AXES = "as given, largest, NAME for a hole, NAME+NAME for the middle of two, or X,Y"


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """Holes as they would be stored: nothing is kept until it is confirmed.

    Attributes:
        rows: The holes, from the axis picked. unit: Of their figures.
        axis: Where the axis was, in the file's own coordinates [unit].
        layers: Layers of a drawing that hold circles. notes: What was left out, and why.
    """

    rows: tuple[Listed, ...]
    unit: str
    axis: tuple[float, float]
    layers: tuple[str, ...]
    notes: tuple[str, ...]


def propose(
    source: Path | str | Listing, *, unit: str = "", layers: Sequence[str] = (), axis: str = "as given",
    thread: str = "",
) -> Proposal:  # fmt: skip
    """What a file's holes would be as a face.

    Args:
        source: A ``.csv``, ``.xlsx`` or ``.dxf`` file, or holes listed already.
        unit: ``"in"`` or ``"mm"``, where the file does not say.
        layers: Layers of a drawing to take; all without them.
        axis: Where the shaft axis is: ``as given``; ``largest``, the middle of the largest hole,
            which is then taken as the opening and left out; a hole's mark; two marks with a +
            between, the middle of two dowels; or ``X,Y``.
        thread: Thread of every hole that names none, if they are tapped.
    Raises:
        InputError: a file, figure, axis or thread that cannot be used.
    """
    found = source if isinstance(source, Listing) else read_holes(source, layers=layers)
    taken = unit or found.unit
    if taken not in ("in", "mm"):
        raise InputError("units", unit or "(none)", "the file does not say; write in or mm")
    places = {row.id: _place(row, taken) for row in found.rows}
    if len(places) < len(found.rows):
        raise InputError("holes", "(list)", "give every hole a mark of its own")
    at, gone = _axis(axis, found, places, taken)
    rows = tuple(
        replace(_moved(row, places[row.id], at, taken), thread=row.thread or thread)
        for row in found.rows if row.id != gone
    )  # fmt: skip
    for row in rows:
        if row.thread:
            read_thread(row.thread, key=f"hole {row.id}, thread")
    return Proposal(rows=rows, unit=taken, axis=at, layers=found.layers, notes=found.notes)


def confirm(
    store: Store, proposal: Proposal, *, name: str, side: str, by: str = ""
) -> list[UnitRef]:
    """Keep a proposal as the face of a unit; a known name becomes its next revision.

    Args:
        store: The shop's store.
        proposal: What was proposed, edited or not.
        name: The unit's name. side: ``engine`` or ``gearbox``.
        by: Who keeps it.
    Raises:
        InputError: no name, another side, or holes a face cannot have.
    """
    if not name.strip():
        raise InputError("name", name, "a unit of the catalogue needs a name")
    return units.add_from_text(store, _sheet(proposal, name=name, side=side), by=by)


def preview(proposal: Proposal, *, side: str) -> Unit:
    """A proposal as the unit it would be, to be looked at; nothing is kept.

    Raises:
        InputError: as `confirm`.
    """
    return read_units(_sheet(proposal, name="as read", side=side))[0]


def as_csv(proposal: Proposal) -> str:
    """The places of a proposal as rows of x, y and mark, with their unit."""
    rows = [
        f"{_said(row.x, proposal.unit)},{_said(row.y, proposal.unit)},{row.id}"
        for row in proposal.rows
    ]
    return "\n".join(["x,y,id", *rows])


def without(proposal: Proposal, marks: Sequence[str]) -> Proposal:
    """A proposal with some of its holes left out."""
    return replace(proposal, rows=tuple(row for row in proposal.rows if row.id not in marks))


def uploaded(name: str, written: bytes, *, layers: Sequence[str] = ()) -> Listing:
    """The holes of a file that was handed over, its name used for nothing but its kind.

    Raises:
        InputError: a kind that is not taken, or a file that cannot be read.
    """
    ending = Path(name).suffix.lower()
    if ending not in ENDINGS:
        raise InputError("file", name, "write a list as CSV or XLSX, or a drawing as DXF")
    with TemporaryDirectory(prefix="trialfit-") as folder:
        file = Path(folder) / f"holes{ending}"
        file.write_bytes(written)
        try:
            return read_holes(file, layers=layers)
        except InputError as error:
            raise InputError(
                error.field, error.text.replace(str(file), name), error.accepted
            ) from None


def _said(text: str, unit: str) -> str:
    return f"{read_length(text, key='x', units=unit).value:.6f} mm"


def _sheet(proposal: Proposal, *, name: str, side: str) -> str:
    if side not in SIDES:
        raise InputError("kind", side, "write engine or gearbox")
    lines = [f'units = "{proposal.unit}"', f"[{side}]", f"name = {json.dumps(name.strip(), ensure_ascii=False)}"]  # fmt: skip
    lines += [f"[{side}.face]", "holes = ["]
    lines += [f"  {{ {_entries(row)} }}," for row in proposal.rows]
    return "\n".join([*lines, "]"])


def _entries(row: Listed) -> str:
    known = {"id": row.id, "x": row.x, "y": row.y, "thread": row.thread, "depth": row.depth}
    if not row.thread:
        known["hole"] = row.hole
    return ", ".join(f"{key} = {json.dumps(text, ensure_ascii=False)}" for key, text in known.items() if text)  # fmt: skip


def export(store: Store, name: str, path: Path | str, *, kind: str | None = None) -> int:
    """Write the holes of a unit's face as a list or drawing; gives how many.

    Raises:
        InputError: no such unit, no holes of its own, or a file that cannot be written.
    """
    unit, _ = units.show(store, name, kind=kind)
    face = unit.face if isinstance(unit, Engine | Gearbox) else None
    if face is None or not face.holes:
        raise InputError("name", name, "it has no face with holes of its own")
    first = units.units_of(unit)
    plain = Path(path).suffix.lower() == ".dxf"
    rows = [
        Listed(
            id=hole.id or str(n), x=_text(hole.x.first, first, plain), y=_text(hole.y.first, first, plain),
            hole=_text(hole.hole.first, first, plain) if hole.hole else "",
            thread=hole.thread.designation if hole.thread else "",
            depth=_text(hole.depth.first, first, plain) if hole.depth else "",
        )
        for n, hole in enumerate(face.holes, 1)
    ]  # fmt: skip
    write_holes(rows, path, unit=first)
    return len(rows)


def _text(one: Dimension, first: str, plain: bool) -> str:
    """A figure as it was typed; for a drawing as a plain number of its unit."""
    if not plain and one.typed:
        return one.typed if one.unit == first or not _bare(one.typed) else f"{one.typed} {one.unit}"
    return f"{one.value / (25.4 if first == 'in' else 1.0):.10g}"


def _bare(text: str) -> bool:
    return not any(unit in text for unit in ("mm", "in", '"'))


# ── the axis ────────────────────────────────────────────────────────────────


def _place(row: Listed, unit: str) -> tuple[float, float]:
    """Where a hole is, in the file's unit."""
    scale = 25.4 if unit == "in" else 1.0
    x, y = (
        read_length(text, key=f"hole {row.id}, {axis}", units=unit).value / scale
        for axis, text in (("x", row.x), ("y", row.y))
    )
    return x, y


def _axis(
    axis: str, found: Listing, places: dict[str, tuple[float, float]], unit: str
) -> tuple[tuple[float, float], str]:
    """The axis in the file's coordinates, and the hole that is the opening, if one is."""
    text = axis.strip()
    if text in ("", "as given"):
        return (0.0, 0.0), ""
    if text == "largest":
        sized = [(read_length(row.hole, key=f"hole {row.id}", units=unit).value, row.id) for row in found.rows if row.hole]  # fmt: skip
        if not sized:
            raise InputError("axis", axis, "no hole has a size; name one")
        return places[max(sized)[1]], max(sized)[1]
    if text in places:
        return places[text], ""
    if "+" in text:
        marks = [mark.strip() for mark in text.split("+")]
        if len(marks) == 2 and all(mark in places for mark in marks):
            (ax, ay), (bx, by) = (places[mark] for mark in marks)
            return ((ax + bx) / 2, (ay + by) / 2), ""
    bits = text.split(",")
    if len(bits) == 2:
        x, y = (read_length(bit, key="axis", units=unit).value / (25.4 if unit == "in" else 1.0) for bit in bits)  # fmt: skip
        return (x, y), ""
    raise InputError("axis", axis, AXES)


def _moved(row: Listed, place: tuple[float, float], at: tuple[float, float], unit: str) -> Listed:
    """The hole from the axis; one that does not move keeps its texts."""
    if math.hypot(*at) == 0:
        return row
    x, y = place[0] - at[0], place[1] - at[1]
    return replace(row, x=_shifted(x, row.x, unit), y=_shifted(y, row.y, unit))


def _shifted(place: float, typed: str, unit: str) -> str:
    """A moved place, with the ± it was typed with."""
    within = read_length(typed, key="place", units=unit).within
    spread = "" if within is None else f" ± {within / (25.4 if unit == 'in' else 1.0):.6g}"
    return f"{place:.10g}{spread} {unit}"
