"""The bench: raw readings in, trusted dimensions out, each aid by its name.

An aid is declared once, with what it asks (`wizard.desk.asked`); command line and screen follow
the declaration.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from kb.errors import InputError
from kb.quantity import Dimension, Thread, read_length
from wizard.desk import bench_aids as aids
from wizard.desk.asked import Field, Given, values

if TYPE_CHECKING:
    from kb.store.catalogue import UnitRef
    from kb.store.place import Store

Document = dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class Aid:
    """One aid at the bench.

    Attributes:
        name: In a command. title: Over its screen. says: What it is for, in a line.
        fields: What it asks.
        work: The aid itself, from what was read.
        extras: Names of what it tells beside its own fields.
        names: Other names its answer gives to what it found.
        gives: What of its answer is the dimension it was for, with its ±; none for an advice.
        cautions: What to heed while taking the readings.
    """

    name: str
    title: str
    says: str
    fields: tuple[Field, ...]
    work: Callable[[Mapping[str, Any]], Any]
    extras: tuple[str, ...] = ()
    names: tuple[tuple[str, str], ...] = ()
    gives: tuple[str, str] | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Found:
    """What an aid found.

    Attributes:
        aid: Which. document: The answer, in mm and degrees, with the readings as taken.
        says: The same in sentences. dimension: The dimension it was for and its ± [mm], if any.
    """

    aid: Aid
    document: Document
    says: tuple[str, ...]
    dimension: tuple[float, float | None] | None


AIDS: Mapping[str, Aid] = {
    name: Aid(name=name, **declared) for name, declared in aids.DECLARED.items()
}


def run(name: str, given: Given, *, unit: str = "mm") -> Found:
    """Let an aid work on what was typed.

    Args:
        name: The aid.
        given: Text by field name.
        unit: Of bare figures, ``"in"`` or ``"mm"``.
    Raises:
        InputError: no such aid, or readings that cannot be used. OutOfScope, NotTabulated: as the
            aid says.
    """
    if name not in AIDS:
        raise InputError("aid", name, "write one of " + ", ".join(AIDS))
    if unit not in ("in", "mm"):
        raise InputError("units", unit, "write in or mm")
    aid = AIDS[name]
    found = aid.work({**values(aid.fields, given, units=unit), "units": unit})
    document = _document(aid, found, given, unit)
    return Found(
        aid=aid, document=document, says=tuple(document["says"]), dimension=_gives(aid, document)
    )


def into_unit(store: Store, found: Found, *, name: str, key: str, by: str = "") -> UnitRef:
    """Put what an aid found into a unit's dimension, with the readings it came from.

    Args:
        store: The shop's store.
        found: What the aid found.
        name: The unit. key: Its dimension, such as ``engine.drive.standoff``.
        by: Whose hand.
    Raises:
        InputError: the aid gives no dimension, or the unit has no such length.
    """
    from wizard.desk import units  # the catalogue is slow to load, and most aids never need it

    if found.dimension is None:
        aid = found.aid.name
        gives = ", ".join(one.name for one in AIDS.values() if one.gives)
        raise InputError("into", aid, f"it gives no one dimension; these do: {gives}")
    value, within = found.dimension
    unit = found.document["typed_units"]
    scale = 25.4 if unit == "in" else 1.0
    wide = "" if within is None else f" ± {within / scale:.5f}"
    taken = "; ".join(f"{name} {text}" for name, text in found.document["typed"].items())
    reading = dataclasses.replace(
        read_length(f"{value / scale:.5f} {unit}{wide}", key=key, units=unit),
        how=f"{found.aid.title.lower()}: {taken}"[:MOST_HOW], by=by, on=date.today(),
    )  # fmt: skip
    return units.add_reading(store, name, key, reading, by=by)


MOST_HOW = 200  # characters of the readings kept beside the dimension


def _document(aid: Aid, found: Any, given: Given, unit: str) -> Document:
    several = isinstance(found, tuple)
    body: Document = {"found": plain(found)} if several else plain(found)
    body |= {name: plain(getattr(found, name)) for name in aid.extras if not several}
    for ours, theirs in aid.names:
        body[theirs] = body.pop(ours)
    says = aids.says_of(aid.name, found)
    typed = {name: text for name, text in given.items() if text.strip()}
    return {
        "format": 1, "units": "mm", "aid": aid.name, **body, "says": list(says),
        "cautions": list(aid.cautions), "typed": typed, "typed_units": unit,
    }  # fmt: skip


def _gives(aid: Aid, document: Document) -> tuple[float, float | None] | None:
    if aid.gives is None:
        return None
    value, within = (document.get(name) for name in aid.gives)
    return None if value is None else (float(value), within)


def plain(thing: Any) -> Any:
    """A finding as a document: numbers, texts, lists and tables, readings with what was typed."""
    if isinstance(thing, Dimension):
        return _reading(thing)
    if isinstance(thing, Thread):
        return thing.designation
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        return {
            one.name: plain(getattr(thing, one.name))
            for one in dataclasses.fields(thing)
            if one.name != "fit"  # the sums behind an explanation
        }
    if isinstance(thing, tuple | list):
        return [plain(one) for one in thing]
    if isinstance(thing, Mapping):
        return {str(key): plain(value) for key, value in thing.items()}
    if isinstance(thing, date):
        return thing.isoformat()
    if isinstance(thing, complex):
        return [thing.real, thing.imag]
    return thing


def _reading(one: Dimension) -> Document:
    row = {"typed": one.typed, "value": one.value, "within": one.within, "unit": one.unit}
    row |= {"how": one.how, "by": one.by, "on": one.on.isoformat() if one.on else ""}
    return {key: value for key, value in row.items() if value not in ("", None)}
