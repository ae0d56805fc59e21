"""Fits: the limits of the side we make, from the side that exists."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kb.errors import NotTabulated
from kb.model.chain import Length
from kb.model.parts import Fit
from kb.standards.fits import Fit as StandardFit
from kb.standards.fits import ansi_fit, iso_fit
from kb.standards.materials import Material
from wizard.engine.formulas.press import fitting_temperature, press_pressure, push_out_force

# Class of fit by duty: the ISO 286 name and the ANSI B4.1 class that answers to it.
CLASSES = {
    "locating": ("H7/g6", "LC5"),
    "close": ("H7/h6", "LC2"),
    "transition": ("H7/k6", "LT3"),
    "press": ("H7/p6", "LN2"),
    "nose": ("H8/f7", "RC4"),
    "bush": ("H7/p6", "LN2"),
}

PRESS_FRICTION = 0.15  # steel on steel, a trace of oil: common practice, no source
DROPS = 0.001  # of the diameter, clearance to drop a warmed part on: common practice, no source


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
    if min(*hole, *shaft) <= 0:
        return None
    return Fit(
        joint=joint, fit_class=name, hole=_rounded(hole), shaft=_rounded(shaft),
        play=_rounded((hole[0] - shaft[1], hole[1] - shaft[0])), existing=existing,
        source=table.source,
    )  # fmt: skip


def both_made(joint: str, basic: float, *, duty: str, inch: bool) -> Fit | None:
    """The fit of a joint of which both sides are made, on the hole basis.

    Args:
        joint: What is joined, in words.
        basic: Its basic size [mm].
        duty: Key of `CLASSES`.
        inch: The shop works to ANSI B4.1.
    Returns:
        The fit, or ``None`` when no table reaches the size.
    """
    table = _table(basic, duty, inch=inch)
    if table is None:
        return None
    play = (table.hole[0] - table.shaft[1], table.hole[1] - table.shaft[0])
    return Fit(
        joint=joint, fit_class=table.name, hole=_rounded(table.hole), shaft=_rounded(table.shaft),
        play=_rounded(play), existing="", source=table.source,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Tight:
    """What a press fit is made of.

    Attributes:
        hub, shaft: Materials of the part with the hole and of the part in it.
        length: Length of the joint [mm].
        outside: Outside of the part with the hole [mm]; ``None`` when not known.
        bore: Bore of the part in it, 0 when solid [mm].
    """

    hub: Material
    shaft: Material
    length: float
    outside: float | None
    bore: float = 0.0


def pressed(fit: Fit, tight: Tight) -> Fit:
    """The fit with what it takes to put it together, where it may come out tight.

    At the greatest interference its limits allow. The part with the hole is warmed, or, where that
    one exists, the other cooled by as much; a joint made on both sides is warmed.
    """
    interference = -fit.play[0]
    if interference <= 0:
        return fit
    diameter = fit.hole[0]
    changed = tight.shaft if fit.existing == "hole" else tight.hub
    warm = fitting_temperature(
        interference=interference, clearance=DROPS * diameter, diameter=diameter,
        cte_per_k=changed.cte_per_k,
    )  # fmt: skip
    return replace(fit, press_n=_force(fit, tight), warm_k=round(warm, 1))


def _force(fit: Fit, tight: Tight) -> float | None:
    """Most force to press it together [N]; ``None`` without a wall known on both sides."""
    diameter = fit.hole[0]
    if tight.outside is None or not tight.bore < diameter < tight.outside or tight.length <= 0:
        return None
    pressure = press_pressure(
        interference=-fit.play[0], diameter=diameter, hub_outside=tight.outside,
        hub_e_mpa=tight.hub.e_mpa, hub_poisson=tight.hub.nu, shaft_e_mpa=tight.shaft.e_mpa,
        shaft_poisson=tight.shaft.nu, shaft_bore=tight.bore,
    )  # fmt: skip
    force = push_out_force(
        pressure_mpa=pressure, diameter=diameter, length=tight.length, friction=PRESS_FRICTION
    )
    return float(round(force))


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
