"""The catalogue: adding, showing and removing units."""

from __future__ import annotations

from pathlib import Path

from kb.errors import InputError
from kb.model.unit import Unit
from kb.sheets.reading import read_units, text_of
from kb.sheets.writing import write_unit
from kb.store.catalogue import Catalogue, UnitRef, UnitSummary
from kb.store.place import Store

KINDS = ("engine", "gearbox", "flexplate", "flywheel", "clutch")


def add_from_file(store: Store, path: Path | str, *, by: str = "") -> list[UnitRef]:
    """Add every unit of a sheet's file to the catalogue.

    Raises:
        InputError: the sheet cannot be read, or holds no named unit; nothing was added.
    """
    return add_from_text(store, text_of(path), by=by)


def add_from_text(store: Store, text: str, *, by: str = "") -> list[UnitRef]:
    """Add every unit of a sheet's text to the catalogue; a known name becomes its next revision.

    Raises:
        InputError: the sheet cannot be read, or holds no named unit; nothing was added.
    """
    found = read_units(text)
    if not found:
        raise InputError(
            "sheet", "(no unit)", "give [engine], [gearbox], [flexplate], [flywheel] or [clutch]"
        )
    for unit in found:
        if not unit.name.strip():
            raise InputError(
                f"{kind_of(unit)}.name", "(empty)", "a unit of the catalogue needs a name"
            )
    catalogue = Catalogue(store)
    return [catalogue.add(unit, by=by) for unit in found]


def kind_of(unit: Unit) -> str:
    """engine, gearbox, flexplate, flywheel or clutch."""
    return type(unit).__name__.lower()


def rows(store: Store, *, kind: str | None = None, text: str = "") -> list[UnitSummary]:
    """The catalogue's units, newest revision of each, by kind and words."""
    return Catalogue(store).list(kind, text)


def show(
    store: Store, name: str, *, kind: str | None = None, revision: int | None = None
) -> tuple[Unit, str]:
    """A unit and its sheet.

    Raises:
        InputError: the catalogue has no such unit; the nearest names are given.
    """
    found = Catalogue(store).get(_kind(store, name, kind), name, revision)
    return found, write_unit(found)


def remove(store: Store, name: str, *, kind: str | None = None) -> UnitRef:
    """Take a unit out of the catalogue; its revisions stay readable.

    Raises:
        InputError: the catalogue has no such unit.
    """
    return Catalogue(store).remove(_kind(store, name, kind), name)


def _kind(store: Store, name: str, kind: str | None) -> str:
    """The kind of a unit by its name, where the name is enough."""
    if kind is not None:
        return kind
    held = [
        row for row in Catalogue(store).list() if row.name.casefold() == name.strip().casefold()
    ]
    kinds = sorted({row.kind for row in held})
    if len(kinds) > 1:
        raise InputError(
            "name", name, "more than one kind has it; add --kind " + " or ".join(kinds)
        )
    return kinds[0] if kinds else "engine"
