"""A screw thread by its designation, as a shop writes it: ``3/8-16``, ``M10x1.25``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from kb.errors import InputError
from kb.figures import MM_PER_INCH, NUMBER, in_parts, plain, read_figure

ACCEPTED_THREAD = "write a thread such as 3/8-16, M10 or M10x1.25"

GAUGES = (0, 1, 2, 3, 4, 5, 6, 8, 10, 12)  # the numbered sizes of ASME B1.1
_FINEST_OF_ALL = 80  # threads per inch, those of #0; and none has less than two to a diameter
_FINEST = 32  # threads per inch no size from 1 to 4 in exceeds there, and #0 to #4 all do

_INCH_THREAD = re.compile(
    rf"(?:#\s*(?P<gauge>\d{{1,2}})|(?P<size>{NUMBER}))\s*-\s*(?P<tpi>\d{{1,2}}(?:\.5)?)"
    r"\s*(?:UNEF|UNRC|UNRF|UNC|UNF|UNR|UN|NC|NF)?\s*(?:-\s*[123][AB])?",
    re.IGNORECASE,
)
_METRIC_THREAD = re.compile(
    r"M\s*(?P<major>\d{1,3}(?:\.\d{1,2})?)(?:\s*[x×*]\s*(?P<pitch>\d(?:\.\d{1,3})?))?"
    r"(?:\s*-\s*(?:[3-9][A-Z]){1,2})?",
    re.IGNORECASE,
)


@dataclass(frozen=True, kw_only=True)
class Thread:
    """A screw thread by its designation.

    Attributes:
        designation: Canonical text, ``"3/8-16"``, ``"M10"`` or ``"M10x1.25"``.
        system: ``"inch"`` or ``"metric"``.
        major: Nominal diameter [mm].
        pitch: Pitch [mm]; ``None`` for a metric coarse thread written without it.
    """

    designation: str
    system: str
    major: float
    pitch: float | None

    def __str__(self) -> str:
        return self.designation


def read_thread(typed: object, *, key: str) -> Thread:
    """Read a thread such as ``3/8-16``, ``#10-24``, ``M10`` or ``M10x1.25``.

    A series or class behind it (``UNC``, ``-2B``, ``-6H``) says nothing of its size and is not
    kept; a left-hand thread is not read.

    Raises:
        InputError: the text is no thread designation.
    """
    text = plain(typed) if isinstance(typed, str) else ""
    found = _metric_thread(text) or _inch_thread(text)
    if found is None:
        raise InputError(key, typed, ACCEPTED_THREAD)
    return found


def _metric_thread(text: str) -> Thread | None:
    found = _METRIC_THREAD.fullmatch(text)
    if found is None:
        return None
    major = float(found["major"])
    pitch = float(found["pitch"]) if found["pitch"] else None
    if not 1 <= major <= 100 or (pitch is not None and not 0.2 <= pitch < major / 2):
        return None
    name = f"M{major:g}" + (f"x{pitch:g}" if pitch is not None else "")
    return Thread(designation=name, system="metric", major=major, pitch=pitch)


def _inch_thread(text: str) -> Thread | None:
    found = _INCH_THREAD.fullmatch(text)
    if found is None:
        return None
    label, size = _inch_size(found["gauge"], found["size"] or "", float(found["tpi"]))
    turns = Fraction(found["tpi"])
    if not 0 < size <= 4 or turns > _FINEST_OF_ALL or turns * size <= 2:
        return None
    return Thread(
        designation=f"{label}-{found['tpi']}", system="inch",
        major=float(size * MM_PER_INCH), pitch=float(MM_PER_INCH / turns),
    )  # fmt: skip


def _inch_size(gauge: str | None, text: str, tpi: float) -> tuple[str, Fraction]:
    """Label and size [in]; the size is 0 where there is none such."""
    if gauge is None and text.isdecimal() and (int(text) > 4 or tpi > _FINEST):
        gauge = text
    if gauge is not None:
        number = int(gauge)
        return f"#{number}", _gauge(number) if number in GAUGES else Fraction(0)
    try:
        size, _ = read_figure(text, key="", typed=text)
    except InputError:
        return text, Fraction(0)
    named = {_gauge(number): f"#{number}" for number in GAUGES} if "." in text else {}
    label = named.get(size) or in_parts(size) or f"{float(size):g}"
    exact = label.startswith("#") or "/" in label or Fraction(label) == size
    return label, size if exact else Fraction(0)


def _gauge(number: int) -> Fraction:
    """Numbered sizes grow by 0.013 in from 0.060 in (ASME B1.1)."""
    return Fraction(60 + 13 * number, 1000)
