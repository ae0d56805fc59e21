"""A unit from a notebook: what is asked of each kind, what is still missing, and the sheet that comes of it.

What was typed is a flat table of texts: keys of the pairing sheet without the unit's own name
(``drive.standoff``), the instrument beside each length (``drive.standoff#how``), and the lines of
each list of holes (``face.holes``). It is kept as a draft while it is being typed.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from kb.errors import InputError, StoreError
from kb.model.measured import Measured
from kb.model.unit import Unit
from kb.quantity import Dimension
from kb.rules.loader import instruments
from kb.sheets.declared import UNIT_NOUNS, Key, keys_of
from kb.sheets.reading import read_units
from kb.sheets.writing import reading_text
from kb.standards import materials
from kb.store.catalogue import Catalogue, UnitRef, UnitSummary
from kb.store.flat import Fact, Flat, flatten, restore
from kb.store.place import Store
from wizard import words
from wizard.desk import hole_lines, units
from wizard.desk.needed import NEEDED, USEFUL, need

Typed = Mapping[str, str]
Readings = tuple[Dimension, ...]
LISTS = ("face.holes", "face.dowels", "drive.holes", "driven.holes", "holes")
DRIVES = ("converter", "shaft", "driven")
WAYS = ("circle", "x-y", "distances")  # how the holes of a part are placed
_OF_DRIVE = {"converter": ("converter", "pump"), "shaft": ("shaft", "release"), "driven": ("driven",)}  # fmt: skip
_ENDS = {"band": ("low", "high"), "point": ("x", "y")}
TRIES = 20  # times a unit is joined anew because somebody else kept it in between
HOW = "#how"
T = TypeVar("T")
_OFF_LINE = ("bolt", "grade", "through", "socket_room", "hollow")  # of a hole, but of no line


@dataclass(frozen=True, kw_only=True)
class Box:
    """One thing asked.

    Attributes:
        key: Its key, without the unit's own name. label: The trade's words for it.
        kind: How it is read: length, band, word, count, …
        need: ``needed``, ``useful`` or ``more``.
        choices: What it may be, where that is a list; others may be written where ``free``.
    """

    key: str
    label: str
    kind: str
    need: str
    choices: tuple[str, ...] = ()
    free: bool = True


@dataclass(frozen=True, kw_only=True)
class Group:
    """What is asked of one part of a unit.

    Attributes:
        key: The part's key, empty for the unit itself. title: Its heading.
        boxes: What is asked, what is needed first. lists: Its lists of holes and dowels.
    """

    key: str
    title: str
    boxes: tuple[Box, ...]
    lists: tuple[str, ...]


def groups(kind: str, drive: str = "") -> tuple[Group, ...]:
    """What is asked of a unit, part by part.

    Args:
        kind: Kind of unit. drive: Of a gearbox, what turns at its front, of `DRIVES`.
    Raises:
        InputError: no such kind, or no such drive.
    """
    noun = _noun(kind)
    if kind == "gearbox" and drive not in DRIVES:
        raise InputError("drive", drive, "write one of " + ", ".join(DRIVES))
    return tuple(_groups(noun, kind, drive))


def _groups(noun: type[Any], kind: str, drive: str) -> Iterator[Group]:
    left_out = {key for one in DRIVES if one != drive for key in _OF_DRIVE[one]}
    own = [item for item in keys_of(noun).values() if item.kind != "part"]
    parts = [item for item in keys_of(noun).values() if item.kind == "part"]
    if kind in ("engine", "gearbox"):
        yield _group("", own, kind, drive)
        for part in parts:
            if kind != "gearbox" or part.name not in left_out:
                yield _group(part.name, [part], kind, drive)
    else:
        yield _group("", [*own, *parts], kind, drive)


def _group(key: str, items: list[Key], kind: str, drive: str) -> Group:
    boxes, lists = [], []
    for path, item in _leaves(items, ""):
        if item.kind == "parts":
            lists.append(path)
        elif item.kind != "points":
            boxes.append(_box(path, item, kind, drive))
    rank = ("needed", "useful", "more")
    boxes.sort(key=lambda one: rank.index(one.need))
    title = words.heading(f"{kind}.{key}" if key else kind)
    return Group(key=key, title=title, boxes=tuple(boxes), lists=tuple(lists))


def _leaves(items: list[Key], above: str) -> Iterator[tuple[str, Key]]:
    for item in items:
        path = f"{above}.{item.name}" if above else item.name
        if item.kind == "part":
            assert item.noun is not None
            yield from _leaves(list(keys_of(item.noun).values()), path)
        else:
            yield path, item


def _box(path: str, item: Key, kind: str, drive: str) -> Box:
    choices, free = tuple(item.rules.get("accepted", ())), False
    if item.kind == "yes_no":
        choices = ("yes", "no")
    elif item.name == "material":
        choices, free = materials.names(), True
    label = words.heading(f"{kind}.{path}")
    return Box(
        key=path, label=label, kind=item.kind, need=need(path, kind, drive), choices=choices,
        free=free or not choices,
    )  # fmt: skip


def ends(box: Box) -> tuple[str, ...]:
    """The keys of what is typed in a box: one, or the two ends of a band or point."""
    return tuple(f"{box.key}.{end}" for end in _ENDS.get(box.kind, ())) or (box.key,)


def tools() -> tuple[str, ...]:
    """The instruments a reading may be taken with."""
    return tuple(instruments())


# ── from what was typed to a unit ───────────────────────────────────────────


def missing(kind: str, typed: Typed, *, drive: str = "") -> tuple[list[str], list[str]]:
    """The labels of what is needed and of what is useful and not there yet."""
    lacks = [
        [words.label(f"{kind}.{key}") for key in (*table[kind], *table.get(drive, ())) if not _there(key, typed)]
        for table in (NEEDED, USEFUL)
    ]  # fmt: skip
    return lacks[0], lacks[1]


def _there(key: str, typed: Typed) -> bool:
    """Whether something stands under a key; one way of placing holes stands for the other."""
    part, _, leaf = key.partition(".")
    by_circle = way(part, typed) == "circle"
    if leaf == "holes" and by_circle:
        key = f"{part}.circle.count"
    elif leaf.startswith("circle.") and not by_circle and f"{part}.way" in typed:
        key = f"{part}.holes"
    return any(typed.get(one, "").strip() for one in (key, f"{key}.low", f"{key}.x"))


def way(part: str, typed: Typed) -> str:
    """How the holes of a part are placed, of `WAYS`."""
    said = typed.get(f"{part}.way", "")
    return said if said in WAYS else ("x-y" if part == "face" else "circle")


def unit_of(kind: str, typed: Typed, *, drive: str = "") -> Unit | None:
    """The unit as typed so far; ``None`` while it has no name.

    Args:
        kind: Kind of unit. typed: What was typed.
        drive: Of a gearbox, what turns at its front.
    Raises:
        InputError: something that cannot be read; it names the key.
    """
    if not typed.get("name", "").strip():
        return None
    return read_units(sheet(kind, typed, drive=drive))[0]


def keep(store: Store, kind: str, typed: Typed, *, drive: str = "") -> UnitRef:
    """Keep what was typed in the catalogue; a known name becomes its next revision.

    A figure that differs from the one the unit has is a new reading, put before those it has.

    Raises:
        InputError: it has no name, or something cannot be read. StoreError: as the store says.
    """
    new = unit_of(kind, typed, drive=drive)
    if new is None:
        raise InputError(f"{kind}.name", "(empty)", "a unit of the catalogue needs a name")
    catalogue, by = Catalogue(store), typed.get("by", "").strip()
    for _ in range(TRIES):
        before = _newest(catalogue, kind, new.name)
        joined = new
        if before is not None and not before.removed:
            joined = _with_earlier(new, catalogue.get(kind, new.name, before.revision))
        if ref := catalogue.add_after(joined, before.revision if before else 0, by):
            return ref  # else somebody has kept a revision in between: take it along, too
    raise StoreError(f"{store.place}: others keep this unit again and again; try once more")


def _newest(catalogue: Catalogue, kind: str, name: str) -> UnitSummary | None:
    try:
        return catalogue.history(kind, name)[-1]
    except InputError:
        return None


def kept_says(store: Store, ref: UnitRef) -> str:
    """What was kept, and whose revision came before it."""
    if ref.revision == 1:
        return f"Kept: {ref}."
    before = Catalogue(store).history(ref.kind, ref.name)[-2]
    by = f" by {before.made_by}" if before.made_by else ""
    return (
        f"Kept: {ref}. Revision {before.revision}, kept{by} on {before.made_on.date().isoformat()}, "
        "stays readable; readings that differ stand beside each other."
    )


def _with_earlier(new: Unit, old: Unit) -> Unit:
    """The unit as typed, each length with the readings it had before."""
    before, now = flatten(old), flatten(new)
    lengths = {
        key: _joined(taken, before.lengths.get(key, ()), key) for key, taken in now.lengths.items()
    }
    lengths |= dict(_unasked(before.lengths, before, now))
    facts = now.facts | dict(_unasked(before.facts, before, now))
    return restore(type(new), replace(now, lengths=lengths, facts=facts))


def _unasked(kept: Mapping[str, T], before: Flat, now: Flat) -> Iterator[tuple[str, T]]:
    """What is known of a hole or dowel that its line has no place for, by its mark."""
    places = {(key.partition("[")[0], fact.value): key for key, fact in now.facts.items() if key.endswith("].id")}  # fmt: skip
    for key, value in kept.items():
        part, bracket, leaf = key.rpartition("].")
        mark = before.facts.get(f"{part}].id") if bracket else None
        at = places.get((part.partition("[")[0], mark.value)) if mark else None
        if at and leaf in _OFF_LINE:
            yield f"{at.removesuffix('id')}{leaf}", value


def _joined(taken: Readings, before: Readings, key: str) -> Readings:
    if not before:
        return taken
    held, new = Measured(before), taken[0]
    if (held.first.value, held.first.below, held.first.above) == (new.value, new.below, new.above):
        return before
    return taken if "[" in key else held.with_reading(new).readings


# ── from a unit to what would be typed ──────────────────────────────────────


def typed_of(unit: Unit) -> dict[str, str]:
    """A unit of the catalogue as if it had been typed, to go on from."""
    flat, bare = flatten(unit), units.units_of(unit)
    typed = {"kind": units.kind_of(unit), "units": bare}
    for key, taken in flat.lengths.items():
        shown = Measured(taken).first
        typed[key] = reading_text(shown, units=bare)
        if shown.how:
            typed[key + HOW] = shown.how
    for key, fact in flat.facts.items():
        typed[key] = _plainly(fact)
    typed["drive"] = next((one for one in DRIVES if one in flat.parts), "")
    for key in [one for one in LISTS if f"{one}[1]" in flat.parts]:
        typed[key] = _lines(key, typed)
        if key.endswith("holes"):
            typed[f"{key.rpartition('.')[0]}.way"] = "x-y"
    if "face.circle" in flat.parts:
        typed["face.way"] = "circle"
    if "face.origin.x" in typed and "face.holes" in typed:
        typed["face.holes"] += (
            f"\n{hole_lines.AXIS}\t{typed['face.origin.x']}\t{typed['face.origin.y']}"
        )
    return {key: text for key, text in typed.items() if text and "[" not in key}


def _plainly(fact: Fact) -> str:
    if isinstance(fact.value, bool):
        return "yes" if fact.value else "no"
    if fact.typed:
        return fact.typed
    return f"{fact.value:.12g}" if isinstance(fact.value, float) else str(fact.value)


def _lines(key: str, typed: Typed) -> str:
    """The holes of a list, one to a line."""
    rows: list[str] = []
    while f"{(at := f'{key}[{len(rows) + 1}]')}.x" in typed:
        row = {name: typed.get(f"{at}.{name}", "") for name in hole_lines.columns(key)}
        if "size" in row:
            row["size"] = typed.get(f"{at}.thread") or typed.get(f"{at}.hole", "")
        rows.append("\t".join(row.values()).rstrip("\t"))
    return "\n".join(rows)


def sheet(kind: str, typed: Typed, *, drive: str = "") -> str:
    """The pairing sheet of a unit as typed so far.

    Raises:
        InputError: lines of holes or distances that cannot be read.
    """
    tables: dict[str, Any] = {}
    unit = typed.get("units") or "mm"
    for group in groups(kind, drive):
        for box in asked(group, typed):
            value = _value(box, typed)
            if value is not None:
                _put(tables, box.key, value)
        for key in lists(group, typed):
            if rows := typed.get(key, "").strip():
                found = hole_lines.read(rows, key=f"{kind}.{key}", unit=unit, typed=typed)
                _put(tables, key, [_signed(row, typed) for row in found.rows])
                if found.axis is not None:
                    _put(tables, f"{key.rpartition('.')[0]}.origin", list(found.axis))
    lines = [f"units = {json.dumps(unit)}", f"[{kind}]"]
    lines += [f"{name} = {_toml(value)}" for name, value in tables.items()]
    return "\n".join(lines) + "\n"


def asked(group: Group, typed: Typed) -> tuple[Box, ...]:
    """The boxes of a part, without those of a circle its holes do not stand on."""
    circle = f"{group.key}.circle." if group.key else "circle."
    on_it = not group.lists or way(group.key, typed) == "circle"
    return tuple(one for one in group.boxes if on_it or not one.key.startswith(circle))


def lists(group: Group, typed: Typed) -> tuple[str, ...]:
    """The lists of a part, without the holes where they stand on a circle."""
    on_it = way(group.key, typed) == "circle"
    return tuple(one for one in group.lists if not on_it or not one.endswith("holes"))


def _value(box: Box, typed: Typed) -> Any:
    """What a box says, as a sheet takes it; ``None`` where it is empty."""
    texts = [typed.get(key, "").strip() for key in ends(box)]
    if not any(texts):
        return None
    if box.kind in _ENDS:
        return texts
    if box.kind == "length":
        return _reading(texts[0], typed.get(box.key + HOW, ""), typed)
    return texts[0]


def _reading(text: str, how: str, typed: Typed) -> Any:
    """A length with the instrument, hand and day it was read with."""
    noted = {"how": how, "by": typed.get("by", "").strip(), "on": typed.get("on", "").strip()}
    noted = {name: value for name, value in noted.items() if value}
    return {"value": text, **noted} if noted else text


def _signed(row: Mapping[str, str], typed: Typed) -> dict[str, Any]:
    """A hole of a list, its places with hand and day."""
    how = typed.get("holes" + HOW, "")
    return {key: _reading(text, how, typed) if key in ("x", "y") else text for key, text in row.items()}  # fmt: skip


def _put(tables: dict[str, Any], key: str, value: Any) -> None:
    *above, name = key.split(".")
    for part in above:
        tables = tables.setdefault(part, {})
    tables[name] = value


def _toml(value: Any, name: str = "") -> str:
    if isinstance(value, dict):
        inner = ", ".join(f"{key} = {_toml(item, key)}" for key, item in value.items())
        return f"{{ {inner} }}"
    if isinstance(value, list):
        return "[" + ", ".join(_toml(item) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def _noun(kind: str) -> type[Any]:
    for noun in UNIT_NOUNS:
        if noun.__name__.lower() == kind:
            return noun
    raise InputError("kind", kind, "write one of " + ", ".join(units.KINDS))
