"""Lengths as a shop writes them, drawn at random with what they mean in exact fractions of a millimetre.

The meaning is worked out here from the whole numbers the text was made of, never from the text.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from hypothesis import strategies as st

INCH = Fraction(127, 5)  # mm, exact (international yard and pound agreement, 1959)
MARKS = {
    "in": (" in", "in", '"', " inch", " in.", "″", " IN"),
    "mm": (" mm", "mm", " MM"),
}


@dataclass(frozen=True)
class Written:
    """A text, what it means [mm], and the unit it is in."""

    text: str
    value: Fraction
    unit: str


def scale(unit: str) -> Fraction:
    """Millimetres in one of the unit."""
    return INCH if unit == "in" else Fraction(1)


@st.composite
def decimal_text(draw: st.DrawFn) -> tuple[str, Fraction]:
    """A decimal of up to four places, sometimes without its leading nought."""
    places = draw(st.integers(0, 4))
    whole, part = draw(st.integers(0, 3900)), draw(st.integers(0, 10**places - 1))
    sign = draw(st.sampled_from(("", "+", "-", "−")))
    lead = "" if whole == 0 and places and draw(st.booleans()) else str(whole)
    tail = f".{part:0{places}d}" if places else draw(st.sampled_from(("", ".")))
    size = whole + Fraction(part, 10**places)
    return f"{sign}{lead}{tail}", -size if sign in ("-", "−") else size


@st.composite
def fraction_text(draw: st.DrawFn) -> tuple[str, Fraction]:
    """A fraction or a mixed number, in halves to 128ths."""
    below = 2 ** draw(st.integers(1, 7))
    above = draw(st.integers(1, below - 1))
    whole = draw(st.integers(0, 40))
    between = draw(st.sampled_from((" ", "-", " - ", "  ")))
    slash = draw(st.sampled_from(("/", "⁄", " / ")))
    text = f"{above}{slash}{below}"
    size = Fraction(above, below)
    negative = draw(st.booleans())
    text = f"{whole}{between}{text}" if whole else text
    return ("−" if negative else "") + text, (-1 if negative else 1) * (whole + size)


@st.composite
def plain_length(draw: st.DrawFn, units: str) -> Written:
    """A length without ±; with or without its unit."""
    text, size = draw(st.one_of(decimal_text(), fraction_text()))
    unit = draw(st.sampled_from(("", "in", "mm")))
    mark = draw(st.sampled_from(MARKS[unit])) if unit else ""
    return Written(text + mark, size * scale(unit or units), unit or units)


@st.composite
def width(draw: st.DrawFn) -> tuple[str, Fraction]:
    """A ± or a deviation without its sign, from nought to just below one."""
    if draw(st.booleans()):
        steps = draw(st.integers(0, 9_999))
        return draw(st.sampled_from(("0", ""))) + f".{steps:04d}", Fraction(steps, 10_000)
    below = 2 ** draw(st.integers(1, 7))
    above = draw(st.integers(1, below - 1))
    return f"{above}/{below}", Fraction(above, below)
