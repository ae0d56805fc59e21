"""Limits and fits: ISO 286 zones and fits, and the classes of ANSI B4.1.

Play is hole less shaft; negative play is interference. Sizes are millimetres; an ANSI class
is looked up by the inch size the millimetres stand for.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from kb.errors import InputError, NotTabulated
from kb.quantity import MM_PER_INCH
from kb.standards.loader import Row, exact, table

ISO = "ISO 286-1"
ANSI = "ANSI B4.1-1967"
ISO_LIMIT = 500.0  # mm, where ISO 286-1's table of fundamental deviations used here ends

_CLEARANCE_SHAFTS = ("f", "g")  # held by their upper deviation
_FIRM_SHAFTS = ("k", "m", "n", "p", "r", "s")  # held by their lower deviation
_K_GRADES = range(4, 8)  # in other grades k has no deviation
_GRADES = range(5, 15)
_ZONE = re.compile(r"(?P<letter>[A-Za-z]{1,2})(?P<grade>\d{1,2})")
_ZONE_WORDS = "write a zone such as H7, g6 or js6"
_FIT_WORDS = "write a fit such as H7/g6"
_HELD_SHAFTS = "f, g, h, js, k, m, n, p, r, s"
_HELD_HOLES = "F, G, H, JS"
_SLACK = 1e-6  # mm; a nominal size turned from inches may miss a range's end by rounding


@dataclass(frozen=True, kw_only=True)
class Zone:
    """A tolerance zone at one size.

    Attributes:
        name: ``"H7"``, ``"g6"``.
        size: Nominal size [mm].
        lower, upper: Deviations from it [mm].
        source: Who says so.
    """

    name: str
    size: float
    lower: float
    upper: float
    source: str

    @property
    def limits(self) -> tuple[float, float]:
        """Least and largest size [mm]."""
        return _add(self.size, self.lower), _add(self.size, self.upper)


@dataclass(frozen=True, kw_only=True)
class Fit:
    """A hole and a shaft of one nominal size.

    Attributes:
        system: ``"ISO 286"`` or ``"ANSI B4.1"``.
        name: ``"H7/g6"``, ``"RC3"``.
        size: Nominal size [mm].
        hole, shaft: Least and largest size [mm].
        play: Least and largest play [mm]; negative is interference.
        source: Who says so.
    """

    system: str
    name: str
    size: float
    hole: tuple[float, float]
    shaft: tuple[float, float]
    play: tuple[float, float]
    source: str


@cache
def zone(name: str, size: float) -> Zone:
    """A tolerance zone of ISO 286 at a nominal size.

    Shafts f, g, h, js, k, m, n, p, r, s and holes F, G, H, JS, in grades 5 to 14.
    A hole F or G mirrors the shaft of its letter, EI = −es: the general rule of ISO 286-1 for
    the clearance zones A to H, in every grade and size. The holes K to ZC follow another rule
    and are not held.

    Args:
        name: Letter and grade: ``"H7"``, ``"g6"``.
        size: Nominal size [mm], over 0 to 500.
    Raises:
        InputError: not the name of a zone, or a size nobody can mean.
        NotTabulated: a zone or size that is not held.
    """
    found = _ZONE.fullmatch(name.strip())
    if found is None:
        raise InputError("zone", name, _ZONE_WORDS)
    size = _checked(size)
    letter, grade = found["letter"], int(found["grade"])
    width = _width(grade, size=size, name=name)
    lower, upper = _deviations(letter, grade=grade, width=width, size=size, name=name)
    return Zone(
        name=f"{letter}{grade}", size=size,
        lower=float(lower / 1000), upper=float(upper / 1000), source=ISO,
    )  # fmt: skip


@cache
def iso_fit(name: str, size: float) -> Fit:
    """A fit of ISO 286 at a nominal size, on the hole or the shaft basis.

    Args:
        name: Hole and shaft: ``"H7/g6"``, ``"G7/h6"``.
        size: Nominal size [mm], over 0 to 500.
    Raises:
        InputError: not the name of a fit. NotTabulated: a zone or size that is not held.
    """
    hole_name, slash, shaft_name = name.replace(" ", "").partition("/")
    if not slash or not hole_name[:1].isupper() or not shaft_name[:1].islower():
        raise InputError("fit", name, _FIT_WORDS)
    hole, shaft = zone(hole_name, size), zone(shaft_name, size)
    return _fit(hole, shaft, system="ISO 286", name=f"{hole.name}/{shaft.name}", source=ISO)


@cache
def ansi_fit(name: str, size: float) -> Fit:
    """A fit of ANSI B4.1 at a nominal size.

    Classes RC2 to RC5, LC1 to LC5, LT1 to LT5, LN1 to LN3 from 0.40 to 19.69 in and
    FN1 to FN3 to 12.41 in.

    Args:
        name: ``"RC3"``.
        size: Nominal size [mm].
    Raises:
        InputError: a size nobody can mean. NotTabulated: a class or size that is not held.
    """
    size = _checked(size)
    wanted = name.replace(" ", "").upper()
    held = [row for row in table("ansi_b41") if row.text("class") == wanted]
    if not held:
        classes = ", ".join(dict.fromkeys(row.text("class") for row in table("ansi_b41")))
        raise NotTabulated(table("ansi_b41").passport.title, name, classes)
    row = _range(
        held, size=size, wanted=f"{wanted} at {size / float(MM_PER_INCH):.4g} in", unit="in"
    )
    source = row.text("source")
    hole, shaft = (
        Zone(
            name=part, size=size, source=source,
            lower=row.value(f"{part}_lower"), upper=row.value(f"{part}_upper"),
        )
        for part in ("hole", "shaft")
    )  # fmt: skip
    return _fit(hole, shaft, system="ANSI B4.1", name=wanted, source=f"{ANSI}; {source}")


def _fit(hole: Zone, shaft: Zone, *, system: str, name: str, source: str) -> Fit:
    least, most = hole.lower - shaft.upper, hole.upper - shaft.lower
    return Fit(
        system=system,
        name=name,
        size=hole.size,
        hole=hole.limits,
        shaft=shaft.limits,
        play=(round(least, 9), round(most, 9)),
        source=source,
    )


def _deviations(
    letter: str, *, grade: int, width: Fraction, size: float, name: str
) -> tuple[Fraction, Fraction]:
    """Lower and upper deviation [µm]."""
    if letter in ("js", "JS"):
        return -width / 2, width / 2
    if letter == "h":
        return -width, Fraction(0)
    if letter == "H":
        return Fraction(0), width
    row = _range(table("iso286_shafts").rows, size=size, wanted=f"{name} at {size:g} mm", unit="mm")
    if letter in _CLEARANCE_SHAFTS:
        upper = exact(row.text(letter))
        return upper - width, upper
    if letter.lower() in _CLEARANCE_SHAFTS:
        lower = -exact(row.text(letter.lower()))
        return lower, lower + width
    if letter in _FIRM_SHAFTS:
        bare = letter == "k" and grade not in _K_GRADES
        lower = Fraction(0) if bare else exact(row.text(letter))
        return lower, lower + width
    raise NotTabulated(ISO, name, f"shafts {_HELD_SHAFTS}; holes {_HELD_HOLES}")


def _width(grade: int, *, size: float, name: str) -> Fraction:
    """Standard tolerance [µm]."""
    if grade not in _GRADES:
        raise NotTabulated(ISO, name, f"grades {_GRADES[0]} to {_GRADES[-1]}")
    row = _range(table("iso286_grades").rows, size=size, wanted=f"{name} at {size:g} mm", unit="mm")
    return exact(row.text(f"it{grade}"))


def _range(rows: Sequence[Row], *, size: float, wanted: str, unit: str) -> Row:
    """The row whose range (over, up to and including) the size falls in."""
    for row in rows:
        if row.value("over") + _SLACK < size <= row.value("to") + _SLACK:
            return row
    first, last = rows[0].text("over"), rows[-1].text("to")
    raise NotTabulated(rows[0].passport.title, wanted, f"sizes over {first} to {last} {unit}")


def _checked(size: float) -> float:
    if not 0 < size < float("inf"):
        raise InputError("size", size, "write a nominal size above 0")
    return float(size)


def _add(size: float, deviation: float) -> float:
    return round(size + deviation, 9)
