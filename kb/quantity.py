"""A dimension as a shop writes it: value, ±, unit, how, who and when.

What was typed is kept beside what it means. Inside the program a length is
millimetres, an angle degrees, a torque N·mm, a mass kg.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from kb.designation import ACCEPTED_THREAD as ACCEPTED_THREAD
from kb.designation import Thread as Thread
from kb.designation import read_thread as read_thread
from kb.errors import InputError
from kb.figures import ACCEPTED as ACCEPTED
from kb.figures import FACTOR, NUMBER, UNIT, in_parts, read_figure, shortened
from kb.figures import MM_PER_INCH as MM_PER_INCH
from kb.figures import plain as plain

SOURCES = ("measured", "drawing", "standard", "catalogue", "guess")
LARGEST = 100_000.0  # mm; a hundred metres: beyond it a figure has slipped


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """One reading of a length, with what was typed.

    Attributes:
        value: Nominal value [mm].
        below, above: How far the true value may lie under and over it [mm]; ``None`` when no
            ± was stated. Both ≥ 0, save where two limits lie on one side of the nominal
            (``6 +0.012/+0.004``: ``below`` is -0.004). ``below + above`` is never negative.
        limits: ``True`` when the two were written as unequal or drawing limits,
            inside which every value is as likely.
        unit: Unit of the text, ``"in"`` or ``"mm"``.
        typed: The text itself.
        how: Instrument. by: Whose hand. on: Day of the reading.
        source: measured · drawing · standard · catalogue · guess.
        chosen: Somebody has chosen this one among several readings of its dimension.
    """

    value: float
    below: float | None = None
    above: float | None = None
    limits: bool = False
    unit: str = "mm"
    typed: str = field(default="", compare=False)
    how: str = ""
    by: str = ""
    on: date | None = None
    source: str = "measured"
    chosen: bool = False

    @property
    def within(self) -> float | None:
        """Half the stated width [mm], or ``None`` when no ± was stated."""
        if self.below is None or self.above is None:
            return None
        return (self.below + self.above) / 2

    @property
    def middle(self) -> float:
        """Middle of the stated limits [mm]; the value itself without limits."""
        if self.below is None or self.above is None:
            return self.value
        return self.value + (self.above - self.below) / 2


@dataclass(frozen=True, kw_only=True)
class Amount:
    """A torque [N·mm], mass [kg], temperature rise [K] or speed [rpm], with what was typed."""

    kind: str
    value: float
    typed: str = field(default="", compare=False)


# ── reading ─────────────────────────────────────────────────────────────────

_DEVIATION = rf"(?:[+-]\s*(?:\d+/\d+|\d+\.\d*|\.\d+|\d+)|0+(?:\.0*)?)\s*(?:{UNIT})?"
_UNEQUAL = re.compile(  # the value is taken whole: "2-5/8 -0.01" is not 2 with two limits
    rf"(?P<value>(?>[+-]?\s*{NUMBER}\s*(?:{UNIT})?))\s*"
    rf"(?P<one>{_DEVIATION})\s*[/,;]?\s*(?P<other>{_DEVIATION})",
    re.IGNORECASE,
)
_RANGE = re.compile(r"(?P<lo>.+?)\s*(?:\.\.+|…|\bto\b)\s*(?P<hi>.+)", re.IGNORECASE)


def read_length(
    typed: str | int | float,
    *,
    key: str,
    units: str,
    within: str | int | float | None = None,
    how: str = "",
    by: str = "",
    on: date | None = None,
    source: str = "measured",
) -> Dimension:
    """Read one length as typed.

    Args:
        typed: The text, or a bare number in ``units``.
        key: Name of the field, for the error.
        units: Unit of bare numbers, ``"in"`` or ``"mm"``.
        within: The ± typed in a place of its own, if any; in the unit of ``typed`` unless it
            names one.
        how, by, on, source: Where the reading comes from.
    Raises:
        InputError: the text cannot be read, it has a ± beside ``within``, or no length can be
            so large.
    """
    if source not in SOURCES:
        raise InputError(f"{key}.from", source, "write one of " + ", ".join(SOURCES))
    text = _as_text(typed, key)
    value, below, above, limits, unit = _split(plain(text), key=key, text=text, units=units)
    if within is not None:
        if below is not None:
            raise InputError(f"{key}.within", within, f"“{text}” has its ± already; write it once")
        below = above = _width(within, key=f"{key}.within", unit=unit)
    dimension = Dimension(
        value=float(value), below=_optional(below), above=_optional(above), limits=limits,
        unit=unit, typed=text, how=how, by=by, on=on, source=source,
    )  # fmt: skip
    reach = (dimension.value, dimension.below or 0.0, dimension.above or 0.0)
    if any(abs(part) > LARGEST for part in reach):
        raise InputError(key, text, f"no length here is over {LARGEST / 1000:.0f} m; {ACCEPTED}")
    return dimension


def _as_text(typed: object, key: str) -> str:
    if isinstance(typed, bool) or not isinstance(typed, str | int | float):
        raise InputError(key, typed, ACCEPTED)
    if isinstance(typed, str):
        return typed.strip()
    if not abs(typed) <= LARGEST:  # not a number, too, is not within it
        shown = f"{typed:g}" if isinstance(typed, float) else "a number of too many figures"
        raise InputError(key, shown, f"no length here is over {LARGEST / 1000:.0f} m; {ACCEPTED}")
    return f"{typed:.12f}".rstrip("0").rstrip(".") if isinstance(typed, float) else str(typed)


def _width(typed: str | int | float, *, key: str, unit: str) -> Fraction:
    """A ± written in a place of its own [mm]."""
    text = _as_text(typed, key)
    stated = plain(text).removeprefix("±").removeprefix("+/-")
    width, width_unit = read_figure(stated, key=key, typed=text)
    if width < 0:
        raise InputError(key, text, "write the ± as a positive length")
    return _mm(width, width_unit or unit)


_Split = tuple[Fraction, Fraction | None, Fraction | None, bool, str]


def _split(body: str, *, key: str, text: str, units: str) -> _Split:
    """Value, below, above [mm], whether they are limits, and the unit typed."""
    for mark in ("±", "+/-", "+-"):
        if mark in body:
            return _even(*body.split(mark, 1), key=key, text=text, units=units)
    if found := _UNEQUAL.fullmatch(body):
        return _uneven(found, key=key, text=text, units=units)
    if found := _RANGE.fullmatch(body):
        return _between(found, key=key, text=text, units=units)
    value, unit = read_figure(body, key=key, typed=text)
    return _mm(value, unit or units), None, None, False, unit or units


def _even(left: str, right: str, *, key: str, text: str, units: str) -> _Split:
    value, unit = read_figure(left, key=key, typed=text)
    width, width_unit = read_figure(right, key=key, typed=text)
    if width < 0:
        raise InputError(key, text, "the ± must be a positive length")
    unit = unit or width_unit or units
    spread = _mm(width, width_unit or unit)
    return _mm(value, unit), spread, spread, False, unit


def _uneven(found: re.Match[str], *, key: str, text: str, units: str) -> _Split:
    value, unit = read_figure(found["value"], key=key, typed=text)
    one, one_unit = read_figure(found["one"], key=key, typed=text)
    other, other_unit = read_figure(found["other"], key=key, typed=text)
    unit = unit or other_unit or one_unit or units
    deviations = (_mm(one, one_unit or other_unit or unit), _mm(other, other_unit or unit))
    return _mm(value, unit), -min(deviations), max(deviations), True, unit


def _between(found: re.Match[str], *, key: str, text: str, units: str) -> _Split:
    low, low_unit = read_figure(found["lo"], key=key, typed=text)
    high, high_unit = read_figure(found["hi"], key=key, typed=text)
    unit = low_unit or high_unit or units
    least, most = _mm(low, low_unit or unit), _mm(high, high_unit or unit)
    if most < least:
        raise InputError(key, text, "write the smaller limit first")
    half = (most - least) / 2
    return (least + most) / 2, half, half, True, unit


def _mm(size: Fraction, unit: str) -> Fraction:
    return size * FACTOR[unit]


def _optional(size: Fraction | None) -> float | None:
    return None if size is None else float(size)


# ── other quantities ────────────────────────────────────────────────────────

_TORQUE = {"n·m": 1e3, "nm": 1e3, "n.m": 1e3, "n-m": 1e3, "n m": 1e3, "lbf·ft": 1355.8179483314004,
           "n·mm": 1.0, "nmm": 1.0, "lbf·in": 112.9848290276167}  # fmt: skip
_TORQUE |= dict.fromkeys(("lbf.ft", "lbf-ft", "lbf ft", "lb·ft", "lb-ft", "lb.ft", "lb ft", "ft-lb", "ft·lb", "ft lb", "ft-lbf", "ft·lbf", "ft lbf", "lbft", "ftlb"), _TORQUE["lbf·ft"])  # fmt: skip
_TORQUE |= dict.fromkeys(("lbf.in", "lbf-in", "lb·in", "lb-in", "in-lb", "in-lbf", "in·lbf"), _TORQUE["lbf·in"])  # fmt: skip
_MASS = {"kg": 1.0, "g": 1e-3, "lb": 0.45359237, "lbs": 0.45359237}
_RISE = {"°c": 1.0, "c": 1.0, "k": 1.0, "°f": 5 / 9, "f": 5 / 9}
_SPEED = {"": 1.0, "rpm": 1.0, "r/min": 1.0, "1/min": 1.0}

_KINDS: dict[str, tuple[dict[str, float], float, str]] = {
    "torque": (_TORQUE, 1e10, "write a torque with its unit, such as 300 lbf·ft or 410 N·m"),
    "mass": (_MASS, 1e6, "write a mass with its unit, such as 78 kg or 172 lb"),
    "rise": (_RISE, 1e3, "write a temperature rise with its unit, such as 80 °C or 144 °F"),
    "speed": (_SPEED, 2e5, "write a speed in rpm, such as 4200"),
}


def read_amount(typed: object, *, kind: str, key: str) -> Amount:
    """Read a torque [N·mm], mass [kg], temperature rise [K] or speed [rpm] above zero.

    Raises:
        InputError: unreadable, without its unit, not above zero, or larger than a machine of
            this trade can have (10 MN·m, 1000 t, 1000 K, 200 000 rpm: our own bounds, to catch
            a slipped figure).
    """
    factors, largest, accepted = _KINDS[kind]
    text = "" if isinstance(typed, bool) else str(typed).strip()
    found = re.fullmatch(r"(?P<number>\d+\.?\d*|\.\d+)\s*(?P<unit>.*)", plain(text))
    unit = found["unit"].strip().lower() if found else None
    if found is None or unit not in factors:
        raise InputError(key, shortened(str(typed)), accepted)
    amount = float(found["number"]) * factors[unit]
    if not 0 < amount <= largest:
        raise InputError(
            key, shortened(str(typed)), f"it must be above 0 and can be meant; {accepted}"
        )
    return Amount(kind=kind, value=amount, typed=text)


# ── showing ─────────────────────────────────────────────────────────────────


def decimals(within: float | None, unit: str) -> int:
    """Decimal places a ± of ``within`` mm deserves in ``unit``.

    The fewest that show the ± itself true to a tenth, so ± 0.127 mm is not shown as 0.1;
    without a ± it is a thousandth of an inch or a hundredth of a millimetre.
    """
    if within is None or within <= 0:
        return 3 if unit == "in" else 2
    spread = within / float(FACTOR[unit])
    most = 5 if unit == "in" else 4
    close = (n for n in range(most) if abs(round(spread, n) - spread) <= 0.1 * spread)
    return next(close, most)


def number(value: float, *, unit: str, places: int) -> str:
    """A length [mm] as figures in ``unit``, without the unit's name."""
    shown = f"{value / float(FACTOR[unit]):.{places}f}"
    return shown[1:] if shown.startswith("-") and not float(shown) else shown


def fraction(value: float) -> str:
    """The length [mm] as a fraction of an inch in 64ths, or ``""`` when it is none."""
    inches = value / float(MM_PER_INCH)
    nearest = Fraction(round(inches * 64), 64)
    if nearest.denominator == 1 or abs(inches - float(nearest)) > 2e-6:
        return ""
    return in_parts(nearest)


def both(value: float, *, within: float | None = None, first: str = "mm", places: int | None = None) -> str:  # fmt: skip
    """A length in both systems at the precision its ± deserves.

    Args:
        value: Length [mm].
        within: Half-width of its ± [mm], if known.
        first: The unit named first, ``"in"`` or ``"mm"``.
        places: Figures after the point in the first unit, when the ± does not decide.

    Example:
        >>> both(16.66875, within=0.0508, first="in")
        '0.656 in (21/32) ± .002 · 16.67 mm'
    """
    second = "mm" if first == "in" else "in"
    digits = decimals(within, first) if places is None else places
    other = decimals(within, second) if places is None else places + (1 if second == "in" else -1)
    piece = f"{number(value, unit=first, places=digits)} {first}"
    if first == "in" and (parts := fraction(value)):
        piece += f" ({parts})"
    if within is not None and within > 0:
        spread = number(within, unit=first, places=digits)
        piece += f" ± {spread.removeprefix('0') if first == 'in' else spread}"
    return f"{piece} · {number(value, unit=second, places=max(0, other))} {second}"


def torque(torque_nmm: float) -> str:
    """A torque in both systems.

    Example:
        >>> torque(51000)
        '51 N·m (38 lbf·ft)'
    """
    return f"{torque_nmm / 1e3:.0f} N·m ({torque_nmm / _TORQUE['lbf·ft']:.0f} lbf·ft)"


def limits(*, low: float, high: float, first: str = "mm") -> str:
    """Two limits of size in both systems, to 0.001 mm and 0.0001 in.

    Example:
        >>> limits(low=57.15, high=57.18, first="in")
        '2.2500–2.2512 in · 57.150–57.180 mm'
    """
    shown = {
        "in": f"{number(low, unit='in', places=4)}–{number(high, unit='in', places=4)} in",
        "mm": f"{number(low, unit='mm', places=3)}–{number(high, unit='mm', places=3)} mm",
    }
    return f"{shown[first]} · {shown['mm' if first == 'in' else 'in']}"


def show(dimension: Dimension) -> str:
    """A dimension as it is shown to people: typed unit first, then the other system."""
    if dimension.limits and dimension.below is not None and dimension.above is not None:
        low, high = dimension.value - dimension.below, dimension.value + dimension.above
        return limits(low=low, high=high, first=dimension.unit)
    return both(dimension.value, within=dimension.within, first=dimension.unit)
