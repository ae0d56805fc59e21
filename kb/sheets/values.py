"""One value of a sheet at a time: each kind of key has one reader here.

Numbers arrive as ``int`` or ``Decimal`` (as written, trailing noughts kept), texts as
``str``. Every reader names the dotted key, what stood there and what is accepted.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

from kb.errors import InputError
from kb.model.measured import Band, Measured, Point
from kb.quantity import (
    ACCEPTED,
    ACCEPTED_THREAD,
    Amount,
    Dimension,
    Thread,
    read_amount,
    read_length,
    read_thread,
)

NOTHING = "(nothing)"
FULL_TURN = 360.0
READING_KEYS = ("value", "within", "how", "by", "on", "from", "chosen")

_MOST_DIGITS = 40  # powers of ten a bare number may reach before it is refused
_LONGEST = 60  # characters of a value repeated in an error
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
_YES_NO = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, kw_only=True)
class Spot:
    """Where a value stands: its dotted key, what its declaration says, the unit of bare numbers."""

    key: str
    rules: Mapping[str, Any]
    units: str


def shown(given: object) -> str:
    """A value of a sheet as an error repeats it: as written, cut short."""
    text = _whole(given)
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _whole(given: object) -> str:
    if isinstance(given, bool):
        return "true" if given else "false"
    if isinstance(given, list):
        return "[" + ", ".join(map(_whole, given)) + "]"
    if isinstance(given, dict) and given:
        return "{ " + ", ".join(f"{name} = {_whole(item)}" for name, item in given.items()) + " }"
    return "{}" if given == {} else str(given)


def refuse_unknown(given: Mapping[str, object], known: tuple[str, ...], *, key: str) -> None:
    """Refuse a key nobody declared, with the nearest declared one.

    Args:
        given: The table as written.
        known: The keys it may have.
        key: Its dotted key, ``""`` for the whole sheet.
    Raises:
        InputError: a key is unknown.
    """
    for name in given:
        if name in known:
            continue
        near = get_close_matches(name.lower(), known, n=1, cutoff=0.6)
        advice = f"did you mean “{near[0]}”?" if near else "accepted are " + ", ".join(known)
        raise InputError(dotted(key, name), name, f"there is no such key here; {advice}")


def dotted(key: str, name: str) -> str:
    """The key of ``name`` in the table ``key``."""
    return f"{key}.{name}" if key else name


def read_value(kind: str, given: object, spot: Spot) -> Any:
    """Read one value by the kind its key declares.

    Raises:
        InputError: what stands there cannot be read as that kind.
    """
    return _READERS[kind](given, spot)


# ── lengths ─────────────────────────────────────────────────────────────────


def _reading(given: object, spot: Spot) -> Dimension:
    if isinstance(given, dict):
        found = _stated(given, spot)
    else:
        found = read_length(_typed(given, spot.key, ACCEPTED), key=spot.key, units=spot.units)
    if spot.rules.get("above_zero") and found.value <= 0:
        raise InputError(spot.key, found.typed, "it must be above 0")
    if spot.rules.get("from_zero") and found.value < 0:
        raise InputError(spot.key, found.typed, "it cannot be below 0")
    return found


def _stated(given: dict[str, object], spot: Spot) -> Dimension:
    refuse_unknown(given, READING_KEYS, key=spot.key)
    if "value" not in given:
        raise InputError(dotted(spot.key, "value"), NOTHING, ACCEPTED)
    within = given.get("within")
    chosen = given.get("chosen", False)
    if not isinstance(chosen, bool):
        raise InputError(dotted(spot.key, "chosen"), shown(chosen), "write true or false")
    found = read_length(
        _typed(given["value"], dotted(spot.key, "value"), ACCEPTED),
        key=spot.key,
        units=spot.units,
        within=None if within is None else _typed(within, dotted(spot.key, "within"), ACCEPTED),
        how=_words(given.get("how", ""), dotted(spot.key, "how")),
        by=_words(given.get("by", ""), dotted(spot.key, "by")),
        on=_day(given.get("on"), dotted(spot.key, "on")),
        source=_words(given.get("from", "measured"), dotted(spot.key, "from")),
    )
    return replace(found, chosen=chosen)


def _typed(given: object, key: str, accepted: str) -> str | int:
    """What was typed, in figures: a bare number keeps its trailing noughts."""
    if isinstance(given, Decimal) and given.is_finite() and abs(given.adjusted()) <= _MOST_DIGITS:
        return format(given, "f")
    if isinstance(given, str | int) and not isinstance(given, bool):
        return given
    raise InputError(key, shown(given), accepted)


def _day(given: object, key: str) -> date | None:
    if given is None or (isinstance(given, date) and not isinstance(given, datetime)):
        return given
    try:
        return date.fromisoformat(given if isinstance(given, str) else "")
    except ValueError:
        raise InputError(key, shown(given), "write a day such as 2026-03-02") from None


def _length(given: object, spot: Spot) -> Measured:
    if not isinstance(given, list):
        return Measured((_reading(given, spot),))
    if not given:
        raise InputError(spot.key, "[]", f"a list of readings needs at least one; {ACCEPTED}")
    readings = tuple(_reading(item, place) for item, place in _each(given, spot))
    if sum(one.chosen for one in readings) > 1:
        raise InputError(f"{spot.key}.chosen", "true, more than once", "choose one reading at most")
    return Measured(readings)


def _each(given: list[object], spot: Spot) -> list[tuple[object, Spot]]:
    places = (f"{spot.key}[{number}]" for number in range(1, len(given) + 1))
    return [
        (item, Spot(key=place, rules=spot.rules, units=spot.units))
        for item, place in zip(given, places, strict=True)
    ]


def _list(given: object, spot: Spot, *, accepted: str, just: int = 0, least: int = 1) -> list[Any]:
    """The list itself, refused unless it has ``just`` so many items, or at least ``least``."""
    if not isinstance(given, list) or (len(given) != just if just else len(given) < least):
        raise InputError(spot.key, shown(given), accepted)
    return given


def _band(given: object, spot: Spot) -> Band:
    accepted = "write a band as two lengths, the smaller first, such as [3.2, 4.8]"
    pair = _list(given, spot, accepted=accepted, just=2)
    low, high = (_reading(item, place) for item, place in _each(pair, spot))
    if spot.rules["ascending"] and low.value > high.value:
        raise InputError(spot.key, shown(given), accepted)
    return Band(low, high)


def _point(given: object, spot: Spot) -> Point:
    pair = _list(given, spot, accepted="write a point as two lengths, [x, y]", just=2)
    across, up = (_reading(item, place) for item, place in _each(pair, spot))
    return Point(across, up)


def _points(given: object, spot: Spot) -> tuple[Point, ...]:
    accepted = "write an outline as at least three points, [[x, y], [x, y], [x, y]]"
    items = _list(given, spot, accepted=accepted, least=3)
    return tuple(_point(item, place) for item, place in _each(items, spot))


def _lengths(given: object, spot: Spot) -> tuple[Measured, ...]:
    items = _list(given, spot, accepted="write a list of lengths, such as [0.5, 0.75]")
    found = tuple(Measured((_reading(item, place),)) for item, place in _each(items, spot))
    for measured, (_, place) in zip(found, _each(items, spot), strict=True):
        if measured.first.value <= 0:
            raise InputError(place.key, measured.first.typed, "it must be above 0")
    return found


# ── everything else ─────────────────────────────────────────────────────────


def _thread(given: object, spot: Spot) -> Thread:
    if not isinstance(given, str):
        raise InputError(spot.key, shown(given), ACCEPTED_THREAD)
    return read_thread(given, key=spot.key)


def _amount(given: object, spot: Spot) -> Amount:
    kind = spot.rules["kind"]
    typed = shown(given) if isinstance(given, list | dict | bool) else given
    if isinstance(typed, Decimal) and typed.is_finite() and abs(typed.adjusted()) <= _MOST_DIGITS:
        typed = format(typed, "f")
    return read_amount(typed, kind=kind, key=spot.key)


def _words(given: object, key: str) -> str:
    """Free text; a bare number is taken as its figures (``grade = 8.8``)."""
    if _is_written(given):
        return str(given)
    raise InputError(key, shown(given), "write a text between quotes")


def _is_written(given: object) -> bool:
    """Whether it is a text, or a number that can be one."""
    if isinstance(given, Decimal):
        return given.is_finite()
    return isinstance(given, str | int) and not isinstance(given, bool)


def _text(given: object, spot: Spot) -> str:
    return _words(given, spot.key)


def _word(given: object, spot: Spot) -> str:
    accepted: tuple[str, ...] = spot.rules["accepted"]
    text = given.strip().lower() if isinstance(given, str) else ""
    if text in accepted:
        return text
    near = get_close_matches(text, accepted, n=1, cutoff=0.6)
    advice = f"; did you mean “{near[0]}”?" if near else ""
    raise InputError(spot.key, shown(given), "write one of " + ", ".join(accepted) + advice)


def _figure(given: object, spot: Spot, accepted: str) -> Decimal:
    if isinstance(given, str) and len(given) <= _LONGEST and _NUMBER.fullmatch(given.strip()):
        return Decimal(given.strip())
    if isinstance(given, int) and not isinstance(given, bool):
        return Decimal(given)
    if isinstance(given, Decimal) and given.is_finite():
        return given
    raise InputError(spot.key, shown(given), accepted)


def _number(given: object, spot: Spot) -> float:
    low, high = spot.rules["low"], spot.rules["high"]
    accepted = f"write a number from {low:g} to {high:g}"
    found = float(_figure(given, spot, accepted))
    if not low <= found <= high:
        raise InputError(spot.key, shown(given), accepted)
    return found


def _count(given: object, spot: Spot) -> int:
    low, high = spot.rules["low"], spot.rules["high"]
    accepted = f"write a whole number from {low} to {high}"
    found = _figure(given, spot, accepted)
    if not low <= found <= high or found != int(found):
        raise InputError(spot.key, shown(given), accepted)
    return int(found)


def _angle(given: object, spot: Spot) -> float:
    accepted = "write an angle in degrees from -360 to 360"
    found = float(_figure(given, spot, accepted))
    if abs(found) > FULL_TURN:
        raise InputError(spot.key, shown(given), accepted)
    return found


def _angles(given: object, spot: Spot) -> tuple[float, float]:
    accepted = (
        "write two angles in degrees, the smaller first and at most 360 apart, such as [-5, 5]"
    )
    pair = _list(given, spot, accepted=accepted, just=2)
    low, high = (_angle(item, place) for item, place in _each(pair, spot))
    if not 0 <= high - low <= FULL_TURN:
        raise InputError(spot.key, shown(given), accepted)
    return low, high


def _yes_no(given: object, spot: Spot) -> bool:
    if isinstance(given, bool):
        return given
    text = given.strip().lower() if isinstance(given, str) else ""
    if text not in _YES_NO:
        raise InputError(spot.key, shown(given), "write true or false")
    return _YES_NO[text]


def _names(given: object, spot: Spot) -> tuple[str, ...]:
    items = _list(given, spot, accepted="write a list of texts", least=0)
    return tuple(_words(item, place.key) for item, place in _each(items, spot))


def _open_table(given: object, spot: Spot) -> tuple[tuple[str, str], ...]:
    if not isinstance(given, dict):
        raise InputError(spot.key, shown(given), f"write it as a table, [{spot.key}]")
    return tuple(
        (name, _answer(item, dotted(spot.key, name))) for name, item in given.items()
    )  # fmt: skip


def _answer(given: object, key: str) -> str:
    if isinstance(given, bool):
        return "yes" if given else "no"
    if _is_written(given):
        return str(given)
    raise InputError(key, shown(given), "answer with a text, yes or no")


_READERS: Mapping[str, Callable[[object, Spot], Any]] = {
    "length": _length,
    "band": _band,
    "point": _point,
    "points": _points,
    "lengths": _lengths,
    "thread": _thread,
    "word": _word,
    "text": _text,
    "torque": _amount,
    "mass": _amount,
    "rise": _amount,
    "speed": _amount,
    "number": _number,
    "count": _count,
    "angle": _angle,
    "angles": _angles,
    "yes_no": _yes_no,
    "names": _names,
    "open_table": _open_table,
}
