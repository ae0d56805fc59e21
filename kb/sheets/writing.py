"""A pairing sheet written: readable TOML that `reading` reads back to an equal value.

What was typed is written again wherever it still means the same; else the shortest figures
that do. Keys that stand at their default are left out.
"""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from kb.errors import InputError
from kb.figures import shortest
from kb.model.measured import Band, Measured, Point
from kb.model.request import Request
from kb.model.unit import Unit
from kb.quantity import Amount, Dimension, read_amount, read_length
from kb.sheets.declared import Key, keys_of

WIDEST = 110  # characters; a part longer than this on one line takes a heading of its own

_BARE_NUMBER = re.compile(r"-?(0|[1-9]\d*)(\.\d+)?")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}
_PLAIN_UNIT = {"torque": "N·mm", "mass": "kg", "rise": "K", "speed": "rpm"}


def write(request: Request) -> str:
    """The sheet of a request.

    Returns:
        TOML text; `kb.sheets.reading.read` gives an equal request from it.
    """
    lines = _section(request, heading="", units=request.units, always=("units",))
    return "\n".join(lines).strip() + "\n"


def write_unit(unit: Unit) -> str:
    """A sheet that carries one unit and nothing else, in the unit most of it was typed in."""
    name = next(key for key, item in keys_of(Request).items() if item.noun is type(unit))
    typed = Counter(dimension.unit for dimension in _dimensions(unit))
    units = max(("mm", "in"), key=lambda each: typed[each])
    carried: dict[str, Any] = {name: unit}
    return write(Request(units=units, **carried))


def _dimensions(value: object) -> Iterator[Dimension]:
    if isinstance(value, Dimension):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _dimensions(item)
    elif dataclasses.is_dataclass(value):
        for item in dataclasses.fields(value):
            yield from _dimensions(getattr(value, item.name))


# ── the page ────────────────────────────────────────────────────────────────


def _section(part: Any, *, heading: str, units: str, always: tuple[str, ...] = ()) -> list[str]:
    """The lines of one table: its own keys first, then the tables under it."""
    own: list[str] = []
    below: list[str] = []
    for name, item in keys_of(type(part)).items():
        value = getattr(part, name)
        if value == item.default and name not in always:
            continue
        place = f"{heading}.{name}" if heading else name
        if item.kind == "part":
            line = f"{name} = {_inline(value, units)}"
            if heading and _is_leaf(value) and len(line) <= WIDEST:
                own.append(line)
            else:
                below += _section(value, heading=place, units=units)
        elif item.kind == "open_table":
            below += ["", f"[{place}]", *(f"{_key(key)} = {_quoted(text)}" for key, text in value)]
        elif item.kind == "parts":
            own += [f"{name} = [", *(f"  {_inline(each, units)}," for each in value), "]"]
        else:
            own.append(f"{name} = {_value(item, value, units)}")
    title = ["", f"[{heading}]"] if heading and (own or not below) else []
    return title + own + below


def _is_leaf(part: Any) -> bool:
    return all(item.kind not in ("part", "parts") for item in keys_of(type(part)).values())


def _inline(part: Any, units: str) -> str:
    """A part between braces."""
    pieces = []
    for name, item in keys_of(type(part)).items():
        value = getattr(part, name)
        if value == item.default:
            continue
        if item.kind == "part":
            pieces.append(f"{name} = {_inline(value, units)}")
        elif item.kind == "parts":
            pieces.append(f"{name} = [{', '.join(_inline(each, units) for each in value)}]")
        else:
            pieces.append(f"{name} = {_value(item, value, units)}")
    return "{ " + ", ".join(pieces) + " }" if pieces else "{}"


def _value(item: Key, value: Any, units: str) -> str:
    return _WRITERS[item.kind](value, units)


# ── one value ───────────────────────────────────────────────────────────────


def _measured(value: Measured, units: str) -> str:
    readings = [_dimension(each, units) for each in value.readings]
    return readings[0] if len(readings) == 1 else _listed(readings)


def _band(value: Band, units: str) -> str:
    return _listed([_dimension(value.low, units), _dimension(value.high, units)])


def _point(value: Point, units: str) -> str:
    return _listed([_dimension(value.x, units), _dimension(value.y, units)])


def _listed(items: list[str]) -> str:
    return "[" + ", ".join(items) + "]"


def _dimension(dimension: Dimension, units: str) -> str:
    """A bare number, a text, or a table where it is known who read it and how."""
    figures = _figures_of(dimension, units)
    known = [
        f"{name} = {_quoted(text)}"
        for name, text in (("how", dimension.how), ("by", dimension.by))
        if text
    ]
    if dimension.on is not None:
        known.append(f"on = {dimension.on.isoformat()}")
    if dimension.source != "measured":
        known.append(f"from = {_quoted(dimension.source)}")
    if dimension.chosen:
        known.append("chosen = true")
    if not known:
        return figures.joined()
    return "{ " + ", ".join([*figures.apart(), *known]) + " }"


@dataclass(frozen=True, kw_only=True)
class _Figures:
    """The figures of a dimension: its value, and its ± where the value's text has none."""

    value: str
    within: str = ""

    def joined(self) -> str:
        """In one piece."""
        text = f"{self.value} ± {self.within}" if self.within else self.value
        return text if _BARE_NUMBER.fullmatch(text) else _quoted(text)

    def apart(self) -> list[str]:
        """Each under its own key."""
        value = [f"value = {_Figures(value=self.value).joined()}"]
        return value + ([f"within = {_Figures(value=self.within).joined()}"] if self.within else [])


def reading_text(dimension: Dimension, *, units: str) -> str:
    """A reading in one piece, as a person would type it: what was typed, if that still reads the same.

    Args:
        dimension: The reading; its instrument, hand and day are left out.
        units: Unit of bare numbers, ``"in"`` or ``"mm"``.
    """
    figures = _figures_of(dimension, units)
    return f"{figures.value} ± {figures.within}" if figures.within else figures.value


def _figures_of(dimension: Dimension, units: str) -> _Figures:
    """What was typed if it still reads the same, else figures that do."""
    wanted = replace(dimension, how="", by="", on=None, source="measured", chosen=False)
    for text in _texts(dimension.typed, dimension.unit):
        if _reads_as(text, units) == wanted:
            return _Figures(value=text)
    nominal = replace(wanted, below=None, above=None, limits=False)
    exact = shortest(dimension.value, unit=dimension.unit)
    texts = [*_texts(dimension.typed, dimension.unit), *_texts(exact, dimension.unit)]
    value = next(text for text in texts if _reads_as(text, units) == nominal)
    if dimension.below is None or dimension.above is None:
        return _Figures(value=value)
    if not dimension.limits:
        return _Figures(value=value, within=shortest(dimension.above, unit=dimension.unit))
    upper = _signed(dimension.above, dimension.unit)
    lower = _signed(-dimension.below, dimension.unit)
    return _Figures(value=f"{value} {upper}/{lower}")


def _texts(typed: str, unit: str) -> tuple[str, ...]:
    return (typed, f"{typed} {unit}") if typed else ()


def _reads_as(text: str, units: str) -> Dimension | None:
    try:
        return read_length(text, key="", units=units)
    except InputError:
        return None


def _signed(length: float, unit: str) -> str:
    text = shortest(length, unit=unit)
    return text if text.startswith("-") else f"+{text}"


def _amount(amount: Amount, units: str) -> str:
    plainest = f"{Decimal(repr(amount.value)):f} {_PLAIN_UNIT[amount.kind]}"
    text = next(each for each in (amount.typed, plainest) if _is_amount(each, amount))
    return text if _BARE_NUMBER.fullmatch(text) else _quoted(text)


def _is_amount(text: str, amount: Amount) -> bool:
    try:
        return read_amount(text, kind=amount.kind, key="") == amount
    except InputError:
        return False


def _bare(value: float) -> str:
    return repr(value).removesuffix(".0")


def _quoted(text: str) -> str:
    """A TOML basic string."""
    return '"' + "".join(_ESCAPES.get(each) or _escaped(each) for each in text) + '"'


def _escaped(char: str) -> str:
    return f"\\u{ord(char):04X}" if ord(char) < 0x20 or ord(char) == 0x7F else char


def _key(name: str) -> str:
    return name if _BARE_KEY.fullmatch(name) else _quoted(name)


_WRITERS: Mapping[str, Callable[[Any, str], str]] = {
    "length": _measured,
    "band": _band,
    "point": _point,
    "points": lambda value, units: _listed([_point(each, units) for each in value]),
    "lengths": lambda value, units: _listed([_measured(each, units) for each in value]),
    "thread": lambda value, units: _quoted(str(value)),
    "word": lambda value, units: _quoted(value),
    "text": lambda value, units: _quoted(value),
    "torque": _amount,
    "mass": _amount,
    "rise": _amount,
    "speed": _amount,
    "number": lambda value, units: _bare(value),
    "count": lambda value, units: str(value),
    "angle": lambda value, units: _bare(value),
    "angles": lambda value, units: _listed([_bare(each) for each in value]),
    "yes_no": lambda value, units: "true" if value else "false",
    "names": lambda value, units: _listed([_quoted(each) for each in value]),
}
