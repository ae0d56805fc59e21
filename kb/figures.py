"""Figures as a shop writes them: decimals, fractions, and the unit behind them.

The lowest floor of numbers: text to exact fractions and back, nothing rounded on the way.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Context, Decimal
from fractions import Fraction

from kb.errors import InputError

MM_PER_INCH = Fraction(254, 10)
FACTOR = {"in": MM_PER_INCH, "mm": Fraction(1)}

ACCEPTED = "write a length such as 0.750, 2 5/8, 2-5/8, 19.05 mm, 18.00 ± 0.10 or 2.2500 +0.0005/-0"
UNIT = r"inches|inch|in\.?|mm|\"|″|”"

_LONGEST = 80  # characters; nobody writes one length at greater length
_MOST_FIGURES = 18  # significant figures that tell any two of the machine's numbers apart
_SIGNS = {
    **dict.fromkeys("−–‐‑", "-"),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("⋅∙•", "·"),
    **dict.fromkeys("\u00a0\u2009\u202f", " "),
}
_AND = r"(?:\s+|\s+-\s+|-)"  # between a whole number and its fraction; "2 -5/8" is left alone
NUMBER = rf"(?:\d+{_AND}\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.\d*|\.\d+|\d+)"
_FIGURE = re.compile(
    rf"""(?P<sign>[+-])?\s*
        (?:(?P<whole>\d+){_AND}(?P<num>\d+)\s*/\s*(?P<den>\d+)
          |(?P<num2>\d+)\s*/\s*(?P<den2>\d+)
          |(?P<dec>\d+\.\d*|\.\d+|\d+))\s*(?P<unit>{UNIT})?""",
    re.VERBOSE | re.IGNORECASE,
)


def plain(text: str) -> str:
    """The text with typographic signs brought to keyboard ones (−, ⁄, ½, ×, no-break space)."""
    out: list[str] = []
    for char in text:
        if unicodedata.category(char) == "No" and "⁄" in unicodedata.normalize("NFKC", char):
            out.append(" " + unicodedata.normalize("NFKC", char).replace("⁄", "/"))
        else:
            out.append(_SIGNS.get(char, char))
    return "".join(out).strip()


def read_figure(text: str, *, key: str, typed: str) -> tuple[Fraction, str]:
    """The number in a piece of plain text, in its own unit, and that unit's name.

    Args:
        text: Such as ``"2 5/8 in"`` or ``"-.75"``.
        key, typed: Name of the field and its whole text, for the error.
    Returns:
        The number, and ``"in"``, ``"mm"`` or ``""`` where no unit was written.
    Raises:
        InputError: it is no number.
    """
    found = _FIGURE.fullmatch(text.strip()) if len(text) <= _LONGEST else None
    if found is None:
        raise InputError(key, shortened(typed), ACCEPTED)
    try:
        size = _size(found)
    except ZeroDivisionError:
        raise InputError(key, typed, ACCEPTED) from None
    if found["whole"] is not None and size >= int(found["whole"]) + 1:
        raise InputError(key, typed, "the fraction after a whole number must be below one")
    return (-size if found["sign"] == "-" else size), unit_named(found["unit"])


def _size(found: re.Match[str]) -> Fraction:
    if found["dec"] is not None:
        return Fraction(found["dec"])
    if found["num2"] is not None:
        return Fraction(int(found["num2"]), int(found["den2"]))
    return int(found["whole"]) + Fraction(int(found["num"]), int(found["den"]))


def unit_named(text: str | None) -> str:
    """``"in"`` or ``"mm"`` for the name or mark of a unit, ``""`` for none."""
    if not text:
        return ""
    return "mm" if text.lower() == "mm" else "in"


def shortened(text: str) -> str:
    """A text an error can repeat on one line."""
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def in_parts(inches: Fraction) -> str:
    """``1 3/8``, ``3/8`` or ``1``: whole inches and 64ths, ``""`` where it is neither."""
    if (inches * 64).denominator != 1:
        return ""
    whole, part = divmod(abs(inches), 1)
    pieces = [str(whole)] if whole or not part else []
    pieces += [f"{part.numerator}/{part.denominator}"] if part else []
    return ("-" if inches < 0 else "") + " ".join(pieces)


def shortest(length: float, *, unit: str) -> str:
    """The shortest decimal in ``unit`` that reads back to precisely this length.

    Args:
        length: Length [mm].
        unit: ``"in"`` or ``"mm"``.

    Example:
        >>> shortest(16.66875, unit="in")
        '0.65625'
    """
    size = Fraction(length) / FACTOR[unit]
    for figures in range(1, _MOST_FIGURES + 1):
        found = Context(prec=figures).divide(Decimal(size.numerator), Decimal(size.denominator))
        if float(Fraction(found) * FACTOR[unit]) == length:
            break
    return format(found, "f")
