"""Fits: the limits of the side we make, from the side that exists."""

from __future__ import annotations

from kb.errors import NotTabulated
from kb.model.chain import Length
from kb.model.parts import Fit
from kb.standards.fits import Fit as StandardFit
from kb.standards.fits import ansi_fit, iso_fit

# Class of fit by duty: the ISO 286 name and the ANSI B4.1 class that answers to it.
CLASSES = {
    "locating": ("H7/g6", "LC5"),
    "close": ("H7/h6", "LC2"),
    "transition": ("H7/k6", "LT3"),
    "press": ("H7/p6", "LN2"),
    "nose": ("H8/f7", "RC4"),
    "bush": ("H7/p6", "LN2"),
}


def located(joint: str, existing: str, size: Length, *, duty: str) -> Fit | None:
    """The fit of a joint of which one side exists as measured.

    The basic size is the existing side's: a hole at its least, a shaft at its largest limit.
    What is made takes the width and the allowance of its class, so a shaft basis mirrors the
    hole basis.

    Args:
        joint: What is joined, in words.
        existing: The side that exists: ``hole`` or ``shaft``.
        size: Its diameter.
        duty: Key of `CLASSES`.
    Returns:
        The fit, or ``None`` when no table reaches the size.
    """
    basic = size.value
    if size.spread == "uniform":
        basic = size.low if existing == "hole" else size.high
    table = _table(basic, duty, inch=size.unit == "in")
    if table is None:
        return None
    allowance = table.hole[0] - table.shaft[1]
    if existing == "hole":
        hole = (size.low, size.high) if size.spread in ("uniform", "exact") else table.hole
        shaft, name = table.shaft, table.name
    else:
        width = table.hole[1] - table.hole[0]
        shaft = (size.low, size.high) if size.spread in ("uniform", "exact") else _existing(table)
        hole, name = (basic + allowance, basic + allowance + width), _shaft_basis(table.name)
    return Fit(
        joint=joint, fit_class=name, hole=_rounded(hole), shaft=_rounded(shaft),
        play=_rounded((hole[0] - shaft[1], hole[1] - shaft[0])), existing=existing,
        source=table.source,
    )  # fmt: skip


def _table(basic: float, duty: str, *, inch: bool) -> StandardFit | None:
    """The class in the table of the unit it was measured in; ISO 286 where ANSI B4.1 stops."""
    iso, ansi = CLASSES[duty]
    for look, name in ((ansi_fit, ansi), (iso_fit, iso)) if inch else ((iso_fit, iso),):
        try:
            return look(name, basic)
        except NotTabulated:
            continue
    return None


def _existing(table: StandardFit) -> tuple[float, float]:
    """A measured shaft stands for itself; its making tolerance is unknown, so no width is claimed."""
    return (table.size, table.size)


def _shaft_basis(name: str) -> str:
    """``H7/g6`` on the shaft basis is ``G7/h6``; an ANSI class says so in words."""
    hole, slash, shaft = name.partition("/")
    if not slash:
        return f"{name}, shaft basis"
    return f"{shaft[0].upper()}{hole[1:]}/h{shaft[1:]}"


def _rounded(pair: tuple[float, float]) -> tuple[float, float]:
    return (round(pair[0], 6) + 0.0, round(pair[1], 6) + 0.0)
