"""The catalogue: adding, showing and removing units."""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.model.measured import Measured
from kb.model.unit import Unit
from kb.quantity import Dimension
from kb.sheets.reading import read_units, text_of
from kb.sheets.writing import write_unit
from kb.store.catalogue import Catalogue, UnitRef, UnitSummary
from kb.store.flat import flatten, restore
from kb.store.names import folded
from kb.store.place import Store
from wizard import words

KINDS = ("engine", "gearbox", "flexplate", "flywheel", "clutch")
NEAREST = 3  # names offered when one is not found


def add_from_file(store: Store, path: Path | str, *, by: str = "") -> list[UnitRef]:
    """Add every unit of a sheet's file to the catalogue; as `add_from_text`."""
    return _add(store, read_units(text_of(path), origin=str(path)), by=by)


def add_from_text(store: Store, text: str, *, by: str = "") -> list[UnitRef]:
    """Add every unit of a sheet's text to the catalogue; a known name becomes its next revision.

    Args:
        store: The shop's store.
        text: A pairing sheet, or one that carries units alone.
        by: Who adds them.
    Raises:
        InputError: the sheet cannot be read, or holds no named unit; nothing was added.
        StoreError: the store cannot be written; nothing was added.
    """
    return _add(store, read_units(text), by=by)


def _add(store: Store, found: list[Unit], *, by: str) -> list[UnitRef]:
    if not found:
        raise InputError(
            "sheet", "(no unit)", "give [engine], [gearbox], [flexplate], [flywheel] or [clutch]"
        )
    for unit in found:
        if not unit.name.strip():
            raise InputError(
                f"{kind_of(unit)}.name", "(empty)", "a unit of the catalogue needs a name"
            )
    return Catalogue(store).add_all(found, by=by)


def kind_of(unit: Unit) -> str:
    """engine, gearbox, flexplate, flywheel or clutch."""
    return type(unit).__name__.lower()


def units_of(unit: Unit) -> str:
    """The unit most of its dimensions were typed in, ``"in"`` or ``"mm"``."""
    readings = (one for taken in flatten(unit).lengths.values() for one in taken)
    typed = Counter(one.unit for one in readings)
    return max(("mm", "in"), key=lambda unit: typed[unit])


def rows(store: Store, *, kind: str | None = None, text: str = "") -> list[UnitSummary]:
    """The catalogue's units, newest revision of each, by kind and words.

    Raises:
        InputError: no such kind. StoreError: the store cannot be read.
    """
    return Catalogue(store).list(kind, text)


def show(
    store: Store, name: str, *, kind: str | None = None, revision: int | None = None
) -> tuple[Unit, str]:
    """A unit and its sheet.

    Args:
        store: The shop's store.
        name: The unit's name.
        kind: Its kind; needed only where two kinds share the name.
        revision: An earlier revision; the newest by default.
    Raises:
        InputError: the catalogue has no such unit; the nearest names are given.
    """
    found = Catalogue(store).get(_kind(store, name, kind), name, revision)
    return found, write_unit(found)


def add_reading(store: Store, name: str, key: str, reading: Dimension, *, by: str = "") -> UnitRef:
    """Put a reading into a dimension of a unit, before those it has; the unit's next revision.

    A choice made among the earlier readings is open again.

    Args:
        store: The shop's store.
        name: The unit's name. key: Its dimension, such as ``engine.drive.standoff``.
        reading: The reading. by: Who adds it.
    Raises:
        InputError: no such unit, or no such length of it.
    """
    kind = _kind(store, name, None)
    unit = Catalogue(store).get(kind, name, None)
    path = key.removeprefix(f"{kind}.").split(".")
    return Catalogue(store).add_all([_with_reading(unit, path, reading, key=key)], by=by)[0]


def _with_reading(node: Any, path: list[str], reading: Dimension, *, key: str) -> Any:
    fields = {one.name: one for one in dataclasses.fields(node)}
    if path[0] not in fields:
        raise InputError("into", key, "its lengths are " + ", ".join(sorted(_lengths(fields))))
    held = getattr(node, path[0])
    if len(path) > 1:
        if not dataclasses.is_dataclass(held):
            raise InputError("into", key, f"the unit has no {path[0]} yet; write its sheet first")
        inner = _with_reading(held, path[1:], reading, key=key)
        return dataclasses.replace(node, **{path[0]: inner})
    if fields[path[0]].metadata.get("kind") != "length":
        raise InputError("into", key, "write the key of one length")
    taken = Measured((reading,)) if held is None else held.with_reading(reading)
    return dataclasses.replace(node, **{path[0]: taken})


def choose(store: Store, name: str, key: str, number: int, *, kind: str | None = None, by: str = "") -> UnitRef:  # fmt: skip
    """Take one of a dimension's readings by hand, or combine them again; the unit's next revision.

    Args:
        store: The shop's store.
        name: The unit's name. kind: Its kind, where two kinds share the name.
        key: Its dimension, such as ``engine.drive.standoff``.
        number: Number of the reading, from 1 as they are listed; 0 combines them all.
        by: Who chooses.
    Raises:
        InputError: no such unit or length, or it has no reading of that number.
    """
    kind = _kind(store, name, kind)
    unit = Catalogue(store).get(kind, name, None)
    flat, at = flatten(unit), key.removeprefix(f"{kind}.")
    readings = flat.lengths.get(at)
    if readings is None:
        several = ", ".join(f"{kind}.{one}" for one, held in flat.lengths.items() if len(held) > 1)
        raise InputError("key", key, f"read more than once: {several or 'nothing of it'}")
    if not 0 <= number <= len(readings):
        raise InputError("reading", number, f"write 1 to {len(readings)}, or 0 to combine them")
    flat.lengths[at] = tuple(
        dataclasses.replace(one, chosen=place == number) for place, one in enumerate(readings, 1)
    )
    return Catalogue(store).add(restore(type(unit), flat), by=by)


def lengths_of(store: Store, name: str) -> dict[str, str]:
    """The lengths a unit has or can have, by key, in the trade's words.

    Raises:
        InputError: the catalogue has no such unit.
    """
    kind = _kind(store, name, None)
    unit = Catalogue(store).get(kind, name, None)
    return {key: words.heading(key) for key in _length_keys(unit, kind)}


def _length_keys(node: Any, path: str) -> Iterator[str]:
    for one in dataclasses.fields(node):
        key, held = f"{path}.{one.name}", getattr(node, one.name)
        if one.metadata.get("kind") == "length":
            yield key
        elif one.metadata.get("kind") == "part" and dataclasses.is_dataclass(held):
            yield from _length_keys(held, key)


def _lengths(fields: Mapping[str, dataclasses.Field[Any]]) -> Iterator[str]:
    """Names of the fields that are a length or hold some."""
    return (name for name, one in fields.items() if one.metadata.get("kind") in ("length", "part"))


def remove(store: Store, name: str, *, kind: str | None = None) -> UnitRef:
    """Take a unit out of the catalogue; its revisions stay readable.

    Raises:
        InputError: the catalogue has no such unit. StoreError: the store cannot be written.
    """
    return Catalogue(store).remove(_kind(store, name, kind), name)


def _kind(store: Store, name: str, kind: str | None) -> str:
    """The kind of a unit by its name, where the name is enough."""
    if kind is not None:
        return kind
    kinds = Catalogue(store).kinds(name)
    if len(kinds) > 1:
        raise InputError(
            "name", name, "more than one kind has it; add --kind " + " or ".join(kinds)
        )
    if not kinds:
        raise _not_found(Catalogue(store).list(), name)
    return kinds[0]


def _not_found(listed: list[UnitSummary], name: str) -> InputError:
    names = {folded(row.name): row.name for row in listed}
    if not names:
        return InputError("name", name, "the catalogue is empty")
    near = get_close_matches(folded(name), names, n=NEAREST, cutoff=0.4) or sorted(names)[:NEAREST]
    offered = ", ".join(f"“{names[key]}”" for key in near)
    return InputError("name", name, f"the catalogue has no such unit; nearest: {offered}")
