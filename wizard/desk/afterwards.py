"""What comes after a job was kept: states, as-built figures, notes, hours, files; and how two issues differ."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.exchange.workbooks import read_page
from kb.model.record import Entry, Record
from kb.quantity import both, read_length
from kb.store import files
from kb.store.place import Store
from kb.store.records import Records
from wizard import words
from wizard.desk import pairing

GO = ("go", "no go")
SAME = 5e-4  # mm: what prints alike


@dataclass(frozen=True, kw_only=True)
class Built:
    """One inspection point with what was measured last.

    Attributes:
        point: The point of the record. reading: As typed; empty where it is still to be measured.
        value: [mm]. met: Within its limits; ``None`` where it is not measured or has no limits.
        by: Whose hand.
    """

    point: Mapping[str, Any]
    reading: str
    value: float | None
    met: bool | None
    by: str


def advance(store: Store, number: int, state: str, *, by: str) -> Record:
    """Move a job on to a later state, signed.

    Raises:
        InputError: nobody signs, no such job or state, or not a later one.
    """
    if not by.strip():
        raise InputError("by", "(empty)", "a change of state is signed: write who says so")
    return Records(store).advance(number, state, by=by.strip())


def history(store: Store, number: int, issue: str | None = None) -> list[Entry]:
    """Everything written to a job since it was kept, the first line first."""
    return Records(store).entries(number, issue)


def note(store: Store, number: int, text: str, *, by: str = "", change: bool = False) -> None:
    """Write a note to a job, or what was changed at fitting.

    Raises:
        InputError: no such job, or nothing written.
    """
    if not text.strip():
        raise InputError("note", "(empty)", "write what is to be remembered")
    Records(store).write(number, kind="change" if change else "note", text=text.strip(), by=by.strip())  # fmt: skip


def spent(store: Store, number: int, *, on: str, hours: float | None = None, cost: float | None = None, by: str = "") -> None:  # fmt: skip
    """Write down hours or money that went into a job.

    Args:
        on: What they went into. hours, cost: One of the two, above 0.
    Raises:
        InputError: neither or both, or a figure nobody can mean.
    """
    figure, text = (hours, "hours") if cost is None else (cost, "cost")
    if (hours is None) == (cost is None) or figure is None or not 0 < figure < 1e9:
        raise InputError("hours", hours if cost is None else cost, "write hours or a cost above 0")
    if not on.strip():
        raise InputError("on", "(empty)", "write what it went into")
    Records(store).write(number, kind="spent", key=on.strip(), text=text, figure=figure, by=by.strip())  # fmt: skip


def attach(store: Store, number: int, name: str, written: bytes, *, by: str = "") -> str:
    """Keep a photo or file with a job; gives its SHA-256.

    Args:
        name: What it is called; shown, never used as a path.
    Raises:
        InputError: no such job, empty or too large. StoreError: it cannot be kept.
    """
    Records(store).get(number)
    digest = files.put(store, written)
    Records(store).write(number, kind="file", key=digest, text=Path(name).name or "file", by=by.strip())  # fmt: skip
    return digest


def attached(store: Store, digest: str) -> bytes:
    """What a file of a job holds, its digest checked."""
    return files.get(store, digest)


# ── as built ────────────────────────────────────────────────────────────────


def points(record: Record) -> Sequence[Mapping[str, Any]]:
    """The inspection points of a record; none where it is older than they are."""
    found: Sequence[Mapping[str, Any]] = (record.content.get("making") or {}).get("points") or ()
    return found


def build(store: Store, number: int, readings: Mapping[str, str], *, unit: str, by: str = "") -> list[Built]:  # fmt: skip
    """Write measured figures to a job; all of them or none.

    Args:
        readings: By the mark of the point: a length, or go / no go. unit: Of bare figures.
    Raises:
        InputError: no such point, or a reading that cannot be read; nothing was written.
    """
    records = Records(store)
    known = {str(one["point"]): one for one in points(records.get(number))}
    figures = {}
    for mark, text in readings.items():
        if mark not in known:
            held = f"{next(iter(known))} to {list(known)[-1]}" if known else "no points"
            raise InputError("point", mark, f"the job has {held}")
        figures[mark] = _figure(mark, text, known[mark], unit)
    for mark, figure in figures.items():
        records.write(number, kind="built", key=mark, text=_as_typed(readings[mark], unit), figure=figure, by=by.strip())  # fmt: skip
    return standing(store, number)


def _figure(mark: str, text: str, point: Mapping[str, Any], unit: str) -> float:
    if point["low"] is None:
        if text.strip().lower() not in GO:
            raise InputError(mark, text, "write go or no go")
        return float(text.strip().lower() == "go")
    return read_length(text, key=mark, units=unit).value


def _as_typed(text: str, unit: str) -> str:
    plain = text.strip()
    return plain if plain.lower() in GO or any(sign.isalpha() for sign in plain) else f"{plain} {unit}"  # fmt: skip


def standing(store: Store, number: int) -> list[Built]:
    """Every inspection point of a job with the reading written last."""
    records = Records(store)
    last = {one.key: one for one in records.entries(number, kind="built")}
    return [_built(point, last.get(str(point["point"]))) for point in points(records.get(number))]


def _built(point: Mapping[str, Any], entry: Entry | None) -> Built:
    if entry is None or entry.figure is None:
        return Built(point=point, reading="", value=None, met=None, by="")
    if point["low"] is None:
        met = entry.figure > 0.5
    else:
        met = point["low"] - SAME <= entry.figure <= point["high"] + SAME
    return Built(point=point, reading=entry.text, value=entry.figure, met=met, by=entry.by)


def verdict(rows: Sequence[Built]) -> str:
    """One line: is it within the limits, how many points, how many met, by whom."""
    measured = [one for one in rows if one.met is not None]
    missed = [one for one in measured if not one.met]
    hands = ", ".join(dict.fromkeys(one.by for one in measured if one.by)) or "nobody named"
    if not rows:
        return "The job has no inspection points."
    if not measured:
        return f"Not measured yet: {len(rows)} points."
    if missed:
        marks = ", ".join(str(one.point["point"]) for one in missed)
        return f"Not within the limits: {len(missed)} of {len(measured)} measured points missed ({marks}); {len(rows)} in all; by {hands}."  # fmt: skip
    open_ = len(rows) - len(measured)
    says = f"{len(measured)} of {len(rows)} points met; by {hands}."
    return f"Within the limits so far: {says}" if open_ else f"Within the limits: {says}"


def from_workbook(record: Record, written: bytes) -> tuple[dict[str, str], str]:
    """The readings of a filled-in inspection spreadsheet, by point, and whose hand.

    Raises:
        InputError: it is of another record, has lost its headings, or cannot be read.
    """
    rows = read_page(io.BytesIO(written), key="inspection sheet").rows
    if len(rows) < 2 or len(rows[0]) < 2 or rows[0][1] != record.digest:
        raise InputError("inspection sheet", rows[0][1][:16] if rows and len(rows[0]) > 1 else "(nothing)", f"it must be the one of this record, {record.digest[:16]}")  # fmt: skip
    heads = [cell.strip().lower() for cell in rows[1]]
    try:
        at = {name: heads.index(name) for name in ("point", "measured", "unit", "by")}
    except ValueError:
        raise InputError("inspection sheet", ", ".join(heads)[:80], "its second line must hold the headings point, measured, unit and by") from None  # fmt: skip
    readings, hands = {}, []
    for row in rows[2:]:
        cells = [*row, *[""] * len(heads)]
        if reading := cells[at["measured"]].strip():
            unit = cells[at["unit"]].strip()
            bare = not any(sign.isalpha() for sign in reading)
            readings[cells[at["point"]].strip()] = f"{reading} {unit}".strip() if bare else reading
            hands.append(cells[at["by"]].strip())
    return readings, ", ".join(dict.fromkeys(hand for hand in hands if hand))


# ── issues ──────────────────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One thing that is not the same in two issues."""

    what: str
    before: str
    after: str


def differences(before: Record, after: Record) -> list[Difference]:
    """What changed from one issue of a job to another: verdict, sizes, dimensions, screws, checks."""
    return between(before.answer, after.answer)


def between(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Difference]:
    """What is not the same in two answers, in the order a reader looks for it."""
    one, two = dict(_facts(before)), dict(_facts(after))
    keys = [*one, *(key for key in two if key not in one)]
    return [
        Difference(what=key, before=one.get(key, "–"), after=two.get(key, "–"))
        for key in keys
        if one.get(key) != two.get(key)
    ]


def _facts(answer: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    first = str(answer.get("shop_units") or "mm")
    yield "Verdict", words.label(str(answer.get("verdict")))
    for key, value in (answer.get("axial") or {}).items():
        if isinstance(value, float) and math.isfinite(value) and words.known(key) and "chance" not in key:  # fmt: skip
            yield words.heading(key), both(value, first=first)
    for row in answer.get("lengths") or ():
        yield words.heading(row["key"]), both(row["value"], within=(row["high"] - row["low"]) / 2, first=first)  # fmt: skip
    for part in answer.get("parts") or ():
        for name, size in (part.get("size") or {}).items():
            yield f"{part['name'].capitalize()}: {words.label(name)}", both(size, first=first)
        yield f"{part['name'].capitalize()}: material", str(part["material"])
        yield f"{part['name'].capitalize()}: holes", str(len(part.get("holes") or ()))
    for joint in answer.get("joints") or ():
        yield joint["name"].capitalize(), f"{joint['count']} × {joint['thread']} {joint.get('grade', '')}".strip()  # fmt: skip
    for check in answer.get("checks") or ():
        yield f"Check: {words.label(check['id'])}", words.label(check["status"])


def repeat(store: Store, number: int, *, by: str = "", on: date | None = None) -> tuple[Record, list[Difference]]:  # fmt: skip
    """Do a kept job again in one step: its sheet worked out anew and kept as a job of its own.

    Returns:
        The new record, and what came out differently from the earlier one.
    Raises:
        InputError: no such job, or its sheet cannot be worked out any more.
    """
    before = Records(store).get(number)
    worked = pairing.read_text(str(before.content["sheet"]), store=store)
    after = pairing.keep(store, worked, by=by, on=on, title=before.title)
    return after, differences(before, after)
