"""A unit laid flat under the keys of the pairing sheet, and put together again.

Flat, a unit is three tables: the parts it has, its lengths with every reading, and its facts
(words, counts, threads, torques …), each under its dotted key: ``face.holes[3].x``. What each
field of a noun is, the noun itself declares (`kb.model.measured`); nothing is listed here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import Field, dataclass, field, fields
from functools import cache
from itertools import count
from types import NoneType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from kb.errors import InputError, StoreError
from kb.model.measured import Band, Measured, Point
from kb.model.unit import Unit
from kb.quantity import LARGEST, SOURCES, Amount, Dimension, Thread, read_thread
from kb.store.names import check_text

Scalar = str | float | int | bool
N = TypeVar("N")

MOST = 1e12  # no torque [N·mm], mass [kg] or speed [rpm] is so large
AMOUNTS = ("torque", "mass", "rise", "speed")
_LISTS = ("parts", "points")
_PAIRS: dict[str, type[Band | Point]] = {"band": Band, "point": Point}
_FIGURES: dict[str, Callable[[float], float]] = {
    "number": float, "angle": float, "count": int, "yes_no": bool,
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Fact:
    """What is known under one key.

    Attributes:
        value: A word or a figure: N·mm, kg, K, rpm, degrees or none, by its kind.
        kind: As its field is declared; empty where the place it is kept in says it already.
        typed: An amount as the shop wrote it.
    """

    value: Scalar
    kind: str = ""
    typed: str = ""


@dataclass(frozen=True, kw_only=True)
class Flat:
    """A unit laid flat: parts (the name of the noun), readings and facts, each by its key."""

    parts: dict[str, str] = field(default_factory=dict)
    lengths: dict[str, tuple[Dimension, ...]] = field(default_factory=dict)
    facts: dict[str, Fact] = field(default_factory=dict)


# ── laying flat ─────────────────────────────────────────────────────────────


def flatten(unit: Unit) -> Flat:
    """Lay a unit flat.

    Raises:
        InputError: a required field is missing, a figure is none, a word is not accepted, or
            text cannot be saved; the message names the key.
    """
    flat = Flat()
    _lay(unit, "", flat)
    return flat


def _lay(noun: Any, key: str, flat: Flat) -> None:
    of: type = type(noun)
    for declared in fields(of):
        at, value = _join(key, declared.name), getattr(noun, declared.name)
        if _is_absent(value, declared):
            if declared.name in _required(of):
                raise InputError(at, "nothing", "this must be given")
        elif declared.metadata["kind"] in _LISTS:
            for number, item in enumerate(value, start=1):
                _lay_one(item, f"{at}[{number}]", declared, flat)
        else:
            _lay_one(value, at, declared, flat)


def _lay_one(value: Any, at: str, declared: Field[Any], flat: Flat) -> None:
    kind = declared.metadata["kind"]
    if kind in ("part", "parts"):
        flat.parts[at] = type(value).__name__
        _lay(value, at, flat)
    elif isinstance(value, Measured):
        if not value.readings:
            raise InputError(at, "nothing", "a length needs one reading at least")
        flat.lengths[at] = tuple(_checked(reading, at) for reading in value.readings)
    elif isinstance(value, Band | Point):
        for end in fields(value):
            flat.lengths[f"{at}.{end.name}"] = (_checked(getattr(value, end.name), at),)
    else:
        flat.facts[at] = _fact(value, at, declared)


def _fact(value: Any, at: str, declared: Field[Any]) -> Fact:
    kind = declared.metadata["kind"]
    if isinstance(value, Thread):
        if read_thread(value.designation, key=at) != value:
            raise InputError(at, value.designation, "a thread must be what its name says")
        return Fact(kind=kind, value=value.designation)
    if isinstance(value, Amount):
        if value.kind != kind:
            raise InputError(at, value.typed or value.value, f"write a {kind}, not a {value.kind}")
        if not 0 < value.value < MOST:
            raise InputError(at, value.typed or value.value, f"write a {kind} above nought")
        return Fact(kind=kind, value=value.value, typed=check_text(value.typed, key=at))
    if isinstance(value, str):
        accepted = declared.metadata.get("accepted")
        if accepted and value not in accepted:
            raise InputError(at, value, "write one of " + ", ".join(accepted))
        return Fact(kind=kind, value=check_text(value, key=at))
    return Fact(kind=kind, value=value if isinstance(value, int) else _figure(value, at))


def _figure(value: float, at: str) -> float:
    if not math.isfinite(value):
        raise InputError(at, value, "write a figure")
    return value


def _checked(reading: Dimension, at: str) -> Dimension:
    """The reading, when a store may hold it."""
    for text in (reading.typed, reading.how, reading.by):
        check_text(text, key=at)
    if reading.source not in SOURCES:
        raise InputError(f"{at}.from", reading.source, "write one of " + ", ".join(SOURCES))
    spread = (reading.below, reading.above)
    if not abs(reading.value) <= LARGEST:
        raise InputError(at, reading.typed or reading.value, "no length here is so large")
    if spread != (None, None) and not all(w is not None and 0 <= w <= LARGEST for w in spread):
        raise InputError(f"{at}.within", reading.typed or spread, "write the ± as a length")
    if reading.on is not None and not 1900 <= reading.on.year <= 2999:
        raise InputError(f"{at}.on", reading.on, "write a day from 1900-01-01 on")
    return reading


# ── putting together ────────────────────────────────────────────────────────


def restore(noun: type[N], flat: Flat) -> N:
    """Put a unit together again.

    Raises:
        StoreError: something is missing, is not what its noun declares, or is left over.
    """
    rest = Flat(parts=dict(flat.parts), lengths=dict(flat.lengths), facts=dict(flat.facts))
    unit: N = _build(noun, "", rest)
    left = [*rest.parts, *rest.lengths, *rest.facts]
    if left:
        raise StoreError(f"{left[0]}: kept, but this version does not know what it is")
    return unit


def _build(noun: type, key: str, rest: Flat) -> Any:
    values, needed = {}, _required(noun)
    for declared in fields(noun):
        at = _join(key, declared.name)
        values[declared.name] = _take(noun, declared, at, rest)
        if values[declared.name] is None and declared.name in needed:
            raise StoreError(f"{at}: missing from what was kept")
    return noun(**values)


def _take(noun: type, declared: Field[Any], at: str, rest: Flat) -> Any:
    kind = declared.metadata["kind"]
    if kind == "part":
        found = rest.parts.pop(at, None)
        return _build(_noun_of(noun, declared.name), at, rest) if found else None
    if kind == "parts":
        item = _noun_of(noun, declared.name)
        return tuple(_build(item, place, rest) for place in _numbered(at, rest))
    if kind == "points":
        return tuple(Point(*ends) for ends in _places(at, rest))
    if kind == "length":
        readings = rest.lengths.pop(at, ())
        return Measured(readings) if readings else None
    if kind in _PAIRS:
        ends = _ends(_PAIRS[kind], at, rest)
        return _PAIRS[kind](*ends) if ends else None
    fact = rest.facts.pop(at, None)
    return _read(fact, at, declared) if fact else _nothing(declared)


def _numbered(at: str, rest: Flat) -> Iterator[str]:
    for number in count(1):
        if rest.parts.pop(f"{at}[{number}]", None) is None:
            return
        yield f"{at}[{number}]"


def _places(at: str, rest: Flat) -> Iterator[tuple[Dimension, ...]]:
    for number in count(1):
        if not (ends := _ends(Point, f"{at}[{number}]", rest)):
            return
        yield ends


def _ends(pair: type[Band | Point], at: str, rest: Flat) -> tuple[Dimension, ...]:
    """The two lengths of a band or a point; none when nothing is kept of it."""
    names = [f"{at}.{end.name}" for end in fields(pair)]
    found = [rest.lengths.pop(name, ()) for name in names]
    if not any(found):
        return ()
    if [len(readings) for readings in found] != [1, 1]:
        raise StoreError(f"{at}: its two ends are not one reading each")
    return (found[0][0], found[1][0])


def _read(fact: Fact, at: str, declared: Field[Any]) -> Scalar | Thread | Amount:
    kind, value = declared.metadata["kind"], fact.value
    accepted = declared.metadata.get("accepted") or (value,)
    if isinstance(value, str) and kind == "thread":
        try:
            return _thread(value)
        except InputError as error:
            raise StoreError(f"{at}: “{value}” was kept, which is no thread") from error
    if isinstance(value, str) and kind in ("text", "word") and value in accepted:
        return value
    if not isinstance(value, str) and kind in AMOUNTS:
        return Amount(kind=kind, value=float(value), typed=fact.typed)
    if not isinstance(value, str) and kind in _FIGURES and _FIGURES[kind](value) == value:
        return _FIGURES[kind](value)
    raise StoreError(f"{at}: “{value}” was kept, which is no {kind.replace('_', ' or ')}")


@cache
def _thread(designation: str) -> Thread:
    return read_thread(designation, key="thread")


# ── what the nouns declare ──────────────────────────────────────────────────


def _nothing(declared: Field[Any]) -> str | None:
    """What a field that was left out holds."""
    return "" if declared.default == "" else None


def _is_absent(value: object, declared: Field[Any]) -> bool:
    return value is None or value == () or (value == "" and declared.default == "")


@cache
def _hints(noun: type) -> dict[str, Any]:
    return get_type_hints(noun)


@cache
def _required(noun: type) -> frozenset[str]:
    """The fields without which a noun is nothing."""
    hints = _hints(noun)
    return frozenset(
        declared.name
        for declared in fields(noun)
        if declared.default is None
        and get_origin(hints[declared.name]) is not tuple
        and NoneType not in get_args(hints[declared.name])
    )


@cache
def _noun_of(noun: type, name: str) -> type:
    """The noun that stands in a field of parts."""
    hint = _hints(noun)[name]
    found: type = next(item for item in get_args(hint) if item not in (NoneType, Ellipsis))
    return found


def _join(key: str, name: str) -> str:
    return f"{key}.{name}" if key else name
