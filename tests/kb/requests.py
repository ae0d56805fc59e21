"""Requests drawn at random by what the nouns of `kb.model` declare of their keys.

Every kind of key has one strategy; a noun is drawn key by key, so a key added to a noun is
drawn from then on without a word here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import strategies as st

from kb.model.measured import Band, Measured, Point
from kb.model.request import (
    Choices,
    DowelChoice,
    FixingHoles,
    OutlineCorner,
    Request,
    SpindleScrews,
)
from kb.model.unit import Circle, Hole
from kb.quantity import SOURCES, Dimension, read_amount, read_length, read_thread
from kb.sheets.declared import Key, keys_of
from tests.kb.lengths import plain_length, width

GIVEN_OF_THREE = 1  # a key that may be left out is given so often

TEXT = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=12)
PROVENANCE: dict[str, st.SearchStrategy[Any]] = {
    "how": st.one_of(st.just(""), st.just("caliper"), TEXT),
    "by": st.one_of(st.just(""), TEXT),
    "on": st.one_of(st.none(), st.dates(date(1900, 1, 1), date(2100, 1, 1))),
    "source": st.sampled_from(SOURCES),
}
AMOUNTS = {
    "torque": ("{} N·m", "{} lbf·ft", "{} in-lb"),
    "mass": ("{} kg", "{} lb"),
    "rise": ("{} °C", "{} °F", "{} K"),
    "speed": ("{}", "{} rpm"),
}


@st.composite
def typed_length(draw: st.DrawFn) -> Dimension:
    """A reading that was typed, with or without ± and with or without who, how and when."""
    units = draw(st.sampled_from(("in", "mm")))
    written = draw(plain_length(units))
    spread = draw(width())[0]
    behind = draw(st.sampled_from(("", f" ± {spread}", f" +{spread}/-0", f" -{spread} +{spread}")))
    known = {name: draw(strategy) for name, strategy in PROVENANCE.items()}
    found = read_length(written.text + behind, key="", units=units)
    return replace(found, **(known if draw(st.booleans()) else {}))


def sizes(low: float, high: float) -> st.SearchStrategy[float]:
    """Any number of the machine's, save those too near nought to be a length at all."""
    return st.floats(low, high).filter(lambda size: size == 0 or abs(size) > 1e-30)


@st.composite
def made_length(draw: st.DrawFn) -> Dimension:
    """A length no text stands behind, or a text that means another one."""
    value = draw(sizes(-9999, 9999))
    above = draw(st.one_of(st.none(), sizes(0, 50)))
    limits = above is not None and draw(st.booleans())
    below = draw(sizes(-(above or 0), 50)) if limits else above
    return Dimension(
        value=value,
        below=below,
        above=above,
        limits=limits,
        unit=draw(st.sampled_from(("in", "mm"))),
        typed=draw(st.sampled_from(("", "1.5", "2 5/8 in", "7 ± 1", "illegible", "1 .. 2"))),
        source=draw(st.sampled_from(SOURCES)),
    )


LENGTH = st.one_of(typed_length(), made_length())
ABOVE_ZERO = LENGTH.filter(lambda dimension: dimension.value > 0)


FROM_ZERO = LENGTH.filter(lambda dimension: dimension.value >= 0)


def _lengths_of(key: Key) -> st.SearchStrategy[Dimension]:
    if key.rules["above_zero"]:
        return ABOVE_ZERO
    return FROM_ZERO if key.rules["from_zero"] else LENGTH


def _measured(key: Key) -> st.SearchStrategy[Measured]:
    return st.lists(_lengths_of(key), min_size=1, max_size=3).map(
        lambda found: Measured(tuple(found))
    )


def _band(key: Key) -> st.SearchStrategy[Band]:
    pairs = st.tuples(LENGTH, LENGTH).map(lambda pair: sorted(pair, key=lambda each: each.value))
    return pairs.map(lambda pair: Band(*pair))


def _point(key: Key) -> st.SearchStrategy[Point]:
    return st.builds(Point, LENGTH, LENGTH)


def _word(key: Key) -> st.SearchStrategy[str]:
    return st.sampled_from(key.rules["accepted"])


def _text(key: Key) -> st.SearchStrategy[str]:
    return TEXT if key.default is None else st.one_of(st.just(key.default), TEXT)


@st.composite
def _amount(draw: st.DrawFn, key: Key) -> Any:
    figures = draw(st.sampled_from(("1", "80", "245.5", ".75", "300.")))
    form = draw(st.sampled_from(AMOUNTS[key.kind]))
    found = read_amount(form.format(figures), kind=key.kind, key="")
    return replace(found, typed="") if draw(st.booleans()) else found


def _number(key: Key) -> st.SearchStrategy[float]:
    return st.floats(key.rules["low"], key.rules["high"])


def _count(key: Key) -> st.SearchStrategy[int]:
    return st.integers(key.rules["low"], key.rules["high"])


ANGLE = st.one_of(st.floats(-360, 360), st.integers(-360, 360).map(float))


def _angles(key: Key) -> st.SearchStrategy[tuple[float, float]]:
    pairs = st.tuples(ANGLE, ANGLE).map(lambda pair: tuple(sorted(pair)))
    return pairs.filter(lambda pair: pair[1] - pair[0] <= 360)  # type: ignore[return-value]


THREADS = (
    "M10",
    "M12x1.25",
    "M2.5",
    "3/8-16",
    "7/16-20 UNF",
    "#10-24",
    "1-1/2-6",
    "2-4.5",
    ".375-24",
)
DRAWN: dict[str, Callable[[Key], st.SearchStrategy[Any]]] = {
    "length": _measured,
    "band": _band,
    "point": _point,
    "points": lambda key: st.lists(_point(key), min_size=3, max_size=4).map(tuple),
    "lengths": lambda key: st.lists(
        ABOVE_ZERO.map(lambda one: Measured((one,))), min_size=1, max_size=3
    ).map(tuple),
    "thread": lambda key: st.sampled_from(THREADS).map(lambda text: read_thread(text, key="")),
    "word": _word,
    "text": _text,
    "torque": _amount,
    "mass": _amount,
    "rise": _amount,
    "speed": _amount,
    "number": _number,
    "count": _count,
    "angle": lambda key: ANGLE,
    "angles": _angles,
    "yes_no": lambda key: st.booleans(),
    "names": lambda key: st.just(()),  # they name holes: drawn with the holes, below
    "open_table": lambda key: st.dictionaries(TEXT, TEXT, max_size=3).map(
        lambda answers: tuple(answers.items())
    ),
}


@st.composite
def drawn(draw: st.DrawFn, noun: type[Any]) -> Any:
    """One noun, key by key, without a contradiction."""
    values = {}
    for name, key in keys_of(noun).items():
        if not key.required and draw(st.integers(1, 3)) > GIVEN_OF_THREE:
            continue
        if key.kind == "part":
            values[name] = draw(drawn(key.noun))
        elif key.kind == "parts":
            values[name] = draw(apart(key.noun))
        else:
            values[name] = draw(DRAWN[key.kind](key))
    if values.get("holes") and values.get("circle") is not None:
        del values[draw(st.sampled_from(("holes", "circle")))]
    if noun in CHOSEN:
        values = {name: _once(value) for name, value in values.items()}
    if issubclass(noun, Hole | Circle):
        _one_sort(draw, noun, values)
    return noun(**values)


CHOSEN = (Choices, DowelChoice, FixingHoles, OutlineCorner, SpindleScrews)


def _once(value: Any) -> Any:
    """What is chosen is one length, not several readings."""
    return Measured(value.readings[:1]) if isinstance(value, Measured) else value


def _one_sort(draw: st.DrawFn, noun: type[Any], values: dict[str, Any]) -> None:
    if values.get("thread") is not None and values.get("hole") is not None:
        del values[draw(st.sampled_from(("thread", "hole")))]
    if noun is Hole and not {"thread", "hole", "bolt", "keepout"} & values.keys():
        values["thread"] = draw(DRAWN["thread"](keys_of(Hole)["thread"]))


@st.composite
def apart(draw: st.DrawFn, noun: type[Any]) -> tuple[Any, ...]:
    """Holes or dowels with ids and places of their own; or as many of what has no id."""
    ids = draw(st.lists(TEXT, min_size=1, max_size=3, unique=True))
    if "id" not in keys_of(noun):
        return tuple(draw(drawn(noun)) for _ in ids)
    found = []
    for number, id in enumerate(ids):
        x = read_length(f"{100 + 20 * number} mm", key="", units="mm")
        found.append(replace(draw(drawn(noun)), id=id, x=Measured((x,))))
    return tuple(found)


@st.composite
def requests(draw: st.DrawFn) -> Request:
    """A whole request, holes left out and shared among them."""
    request: Request = draw(drawn(Request))
    faces = {"engine": request.engine, "gearbox": request.gearbox}
    holes = {
        side: [hole.id for hole in unit.face.holes] if unit and unit.face else []
        for side, unit in faces.items()
    }
    named = [f"{side}:{id}" for side, ids in holes.items() for id in ids if "\n" not in id]
    left_out = draw(st.lists(st.sampled_from(named), unique=True)) if named else []
    choices = replace(request.choices, leave_out=tuple(left_out))
    return replace(request, choices=choices)
