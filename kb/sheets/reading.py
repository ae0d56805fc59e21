"""A pairing sheet read: TOML text to a `Request`, by the declarations of `kb.model`.

Every error is an `InputError` that names the dotted key, what stood there and what is
accepted. Places in a list are counted from 1, and a hole is named by its id too.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.model.request import Request
from kb.model.unit import Dowel, Hole, Unit
from kb.sheets.contradictions import refuse_contradiction, refuse_repeats
from kb.sheets.declared import UNIT_NOUNS, Key, keys_of
from kb.sheets.standard import EXAMPLES, expanded
from kb.sheets.values import NOTHING, Spot, dotted, read_value, refuse_unknown, shown

CATALOGUE = "catalogue:"
STANDARD = "standard:"
Catalogue = Callable[[str, str], Unit]


@dataclass(frozen=True, kw_only=True)
class _Sheet:
    """What every key of one sheet needs to know of the whole."""

    units: str
    catalogue: Catalogue | None


def read(text: str, *, catalogue: Catalogue | None = None, origin: str = "sheet") -> Request:
    """Read a pairing sheet.

    Args:
        text: The sheet, TOML 1.0.
        catalogue: Finds a unit by kind (engine, gearbox, flexplate, flywheel, clutch) and
            name, for ``engine = "catalogue:NAME"``; it raises `InputError` itself for a
            name it does not hold.
        origin: What the sheet is called in an error about the whole of it.
    Raises:
        InputError: not TOML, an unknown key, a value that cannot be read, a contradiction.
    """
    return _request(tables_of(text, origin), catalogue)


def read_units(text: str, *, origin: str = "sheet") -> list[Unit]:
    """Every engine, gearbox, flexplate, flywheel and clutch a sheet carries itself.

    Units the sheet only names (``"catalogue:NAME"``) are in a catalogue already and left out.

    Raises:
        InputError: as `read`.
    """
    tables = tables_of(text, origin)
    carried = {name: given for name, given in tables.items() if not _in_catalogue(name, given)}
    request = _request(carried, None)
    found = (getattr(request, name) for name in _unit_keys())
    return [unit for unit in found if unit is not None]


def load(path: Path | str, *, catalogue: Catalogue | None = None) -> Request:
    """Read a pairing sheet from a file, UTF-8 with or without byte order mark.

    Raises:
        InputError: no such file, a folder, not UTF-8, and all that `read` refuses.
    """
    return read(text_of(path), catalogue=catalogue, origin=str(path))


def text_of(path: Path | str) -> str:
    """The text of a sheet's file.

    Raises:
        InputError: no such file, a folder, one that cannot be opened, not UTF-8.
    """
    place = Path(path)
    if os.path.isdir(place):  # noqa: PTH112 (unlike Path.is_dir it takes every name)
        raise InputError("sheet", place, "this is a folder; name a pairing sheet, a .toml file")
    try:
        return place.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise InputError("sheet", place, "there is no such file; name a pairing sheet") from None
    except UnicodeDecodeError as error:
        accepted = f"byte {error.start + 1} is not UTF-8; save the sheet as UTF-8 text"
        raise InputError("sheet", place, accepted) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no file has such a name"
        raise InputError("sheet", place, f"it cannot be opened ({reason})") from None


def read_key(noun: type[Any], name: str, given: object, *, key: str, units: str) -> Any:
    """Read the value of one key on its own, as a form of the desk hands it over.

    Args:
        noun: A noun of `kb.model`.
        name: One of its keys that is no table.
        given: What was typed; a list is several readings where the key takes them.
        key: What to call the key in an error.
        units: Unit of bare numbers, ``"in"`` or ``"mm"``.
    Raises:
        InputError: it cannot be read.
    """
    declared = keys_of(noun)[name]
    return read_value(declared.kind, given, Spot(key=key, rules=declared.rules, units=units))


def tables_of(text: str, origin: str) -> dict[str, Any]:
    """The tables of a TOML text; numbers with a point are kept exact.

    Raises:
        InputError: not TOML; it names the line.
    """
    try:
        return tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal)
    except RecursionError:
        raise InputError(origin, "lists in lists", "it is nested too deep for a sheet") from None
    except tomllib.TOMLDecodeError as error:
        accepted = f"a sheet is TOML 1.0 text: {error}"
        raise InputError(origin, _line_of(text, str(error)), accepted) from None
    except ValueError:  # of the language itself: thousands of figures in one number
        raise InputError(origin, shown(text), "a number has too many figures") from None


def _line_of(text: str, complaint: str) -> str:
    """The line a complaint of the TOML reader points at, with its number."""
    lines = text.split("\n")
    _, _, where = complaint.partition("at line ")
    number = where.partition(",")[0]
    last = max((place for place, line in enumerate(lines, 1) if line.strip()), default=1)
    place = int(number) if number.isdigit() and int(number) <= len(lines) else last
    return f"line {place}: {shown(lines[place - 1].strip())}"


def _request(tables: dict[str, Any], catalogue: Catalogue | None) -> Request:
    refuse_unknown(tables, tuple(keys_of(Request)), key="")
    declared = keys_of(Request)["units"]
    accepted = 'write units = "in" or units = "mm", the unit of bare numbers'
    if "units" not in tables:
        raise InputError("units", NOTHING, accepted)
    units = read_value("word", tables["units"], Spot(key="units", rules=declared.rules, units=""))
    request: Request = _noun(
        Request, tables, key="", sheet=_Sheet(units=units, catalogue=catalogue)
    )
    return request


def _noun(noun: type[Any], given: dict[str, Any], *, key: str, sheet: _Sheet) -> Any:
    """One noun from its table."""
    declared = keys_of(noun)
    refuse_unknown(given, tuple(declared), key=key)
    for name, item in declared.items():
        if item.required and name not in given:
            raise InputError(dotted(key, name), NOTHING, _wanted(item))
    values = {
        name: _value(declared[name], value, key=dotted(key, name), sheet=sheet)
        for name, value in given.items()
    }
    part = noun(**values)
    refuse_contradiction(part, key=key)
    return part


def _wanted(item: Key) -> str:
    words = item.rules.get("accepted", ())
    return f"“{item.name}” must be given" + (", one of " + ", ".join(words) if words else "")


def _value(item: Key, given: Any, *, key: str, sheet: _Sheet) -> Any:
    if item.kind == "part":
        return _part(item, given, key=key, sheet=sheet)
    if item.kind == "parts":
        return _parts(item, given, key=key, sheet=sheet)
    return read_value(item.kind, given, Spot(key=key, rules=item.rules, units=sheet.units))


def _part(item: Key, given: Any, *, key: str, sheet: _Sheet) -> Any:
    assert item.noun is not None
    if isinstance(given, dict):
        return _noun(item.noun, given, key=key, sheet=sheet)
    if isinstance(given, str) and given.startswith(CATALOGUE) and item.noun in UNIT_NOUNS:
        return _from_catalogue(item, given, key=key, sheet=sheet)
    if isinstance(given, str) and given.startswith(STANDARD) and item.noun in EXAMPLES:
        table = expanded(item.noun, given.removeprefix(STANDARD).strip(), key=key)
        return _noun(item.noun, table, key=key, sheet=sheet)
    raise InputError(key, shown(given), _accepted_part(item.noun, key))


def _accepted_part(noun: type[Any], key: str) -> str:
    other = ', or name one in the catalogue, "catalogue:NAME"' if noun in UNIT_NOUNS else ""
    if noun in EXAMPLES:
        other = f', or name a published one, "{STANDARD}{EXAMPLES[noun]}"'
    return f"write it as a table, [{key}]{other}"


def _from_catalogue(item: Key, given: str, *, key: str, sheet: _Sheet) -> Any:
    name = given.removeprefix(CATALOGUE).strip()
    if sheet.catalogue is None:
        raise InputError(key, given, f"there is no catalogue here; write the {item.name} out")
    unit = sheet.catalogue(item.name, name)
    if item.noun is None or not isinstance(unit, item.noun):
        raise InputError(key, given, f"the catalogue holds no {item.name} of that name")
    return unit


def _parts(item: Key, given: Any, *, key: str, sheet: _Sheet) -> tuple[Any, ...]:
    assert item.noun is not None
    if not isinstance(given, list) or not given:
        accepted = f"write a list of tables with at least one in it, or leave “{item.name}” out"
        raise InputError(key, shown(given), accepted)
    found = tuple(
        _one_of(item.noun, table, number=number, key=f"{key}[{number}]", sheet=sheet)
        for number, table in enumerate(given, 1)
    )
    if item.noun in _PLACE_NAMES:
        refuse_repeats(found, key=key)
    return found


def _one_of(noun: type[Any], given: Any, *, number: int, key: str, sheet: _Sheet) -> Any:
    """One of a list of parts; without an id of its own it takes its place in the list."""
    if not isinstance(given, dict):
        raise InputError(key, shown(given), "write it between braces, { x = 1, y = 2, … }")
    if noun not in _PLACE_NAMES:
        return _noun(noun, given, key=key, sheet=sheet)
    if given.get("id", "") == "":
        return _noun(noun, given | {"id": _PLACE_NAMES[noun].format(number)}, key=key, sheet=sheet)
    try:
        return _noun(noun, given, key=key, sheet=sheet)
    except InputError as error:
        named = f"{error.field} (id “{shown(given['id'])}”)"
        raise InputError(named, error.text, error.accepted) from None


# nouns that have an id, and the one they take from their place in the list without it
_PLACE_NAMES: dict[type[Any], str] = {Hole: "{}", Dowel: "D{}"}


def _unit_keys() -> tuple[str, ...]:
    return tuple(name for name, item in keys_of(Request).items() if item.noun in UNIT_NOUNS)


def _in_catalogue(name: str, given: object) -> bool:
    return name in _unit_keys() and isinstance(given, str) and given.startswith(CATALOGUE)
