"""Units drawn at random, from what each noun declares of its fields."""

from __future__ import annotations

from dataclasses import Field, fields
from datetime import date
from types import NoneType
from typing import Any, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from kb.model.measured import Band, Measured, Point
from kb.quantity import LARGEST, SOURCES, Amount, Dimension, read_thread

NAMES = st.text(
    alphabet=st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=30
).map(lambda text: f"a{text}")
TEXTS = st.text(
    alphabet=st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=12
)
THREADS = st.sampled_from(("3/8-16", "1 1/8-7", "#10-24", "M10", "M10x1.25", "M12", "7/16-20"))


def figures(low: float, high: float) -> st.SearchStrategy[float]:
    """Figures between two bounds; −0 is 0, as SQLite keeps it."""
    return st.floats(low, high).map(lambda figure: figure + 0.0)


SPREADS = figures(0, LARGEST)


@st.composite
def dimensions(draw: st.DrawFn) -> Dimension:
    """One reading."""
    below, above = draw(st.one_of(st.just((None, None)), st.tuples(SPREADS, SPREADS)))
    return Dimension(
        value=draw(figures(-LARGEST, LARGEST)),
        below=below,
        above=above,
        limits=draw(st.booleans()),
        unit=draw(st.sampled_from(("in", "mm"))),
        typed=draw(TEXTS),
        how=draw(TEXTS),
        by=draw(TEXTS),
        on=draw(st.none() | st.dates(date(1900, 1, 1), date(2999, 12, 31))),
        source=draw(st.sampled_from(SOURCES)),
    )


def of_kind(declared: Field[Any], hint: Any) -> st.SearchStrategy[Any]:
    """Values for one field."""
    about = declared.metadata
    inner = [item for item in get_args(hint) if item not in (NoneType, Ellipsis)]
    readings = dimensions()
    amount = st.builds(Amount, kind=st.just(about["kind"]), value=figures(1e-9, 9e11), typed=TEXTS)
    return {
        "length": lambda: st.lists(readings, min_size=1, max_size=3).map(
            lambda r: Measured(tuple(r))
        ),
        "band": lambda: st.builds(Band, readings, readings),
        "point": lambda: st.builds(Point, readings, readings),
        "points": lambda: st.lists(st.builds(Point, readings, readings), max_size=3).map(tuple),
        "thread": lambda: THREADS.map(lambda text: read_thread(text, key="thread")),
        "word": lambda: st.sampled_from(about["accepted"]),
        "text": lambda: TEXTS,
        "number": lambda: figures(about["low"], about["high"]),
        "count": lambda: st.integers(about["low"], about["high"]),
        "angle": lambda: figures(-360, 360),
        "yes_no": lambda: st.booleans(),
        "part": lambda: nouns(inner[0]),
        "parts": lambda: st.lists(nouns(inner[0]), max_size=2).map(tuple),
    }.get(about["kind"], lambda: amount)()


@st.composite
def nouns(draw: st.DrawFn, noun: type) -> Any:
    """A noun of which some fields are known and some are not."""
    hints, values = get_type_hints(noun), {}
    for declared in fields(noun):
        hint = hints[declared.name]
        may_lack = NoneType in get_args(hint) or get_origin(hint) is tuple
        if declared.name == "name":
            values["name"] = draw(NAMES)
        elif not may_lack or draw(st.integers(0, 2)) == 0:
            values[declared.name] = draw(of_kind(declared, hint))
    return noun(**values)
