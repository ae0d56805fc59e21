"""The size of an unbalance, by clay or by swing, and the holes that take it away.

Marks are degrees of the part's own scale.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kb.errors import InputError
from kb.plane.points import from_polar
from kb.quantity import both
from kb.standards.materials import Material
from wizard.engine.formulas import balance, inertia

TIP = 0.3  # of the drill, the height of its 118° point: `balance.drilled_mass` holds the same
DEEPEST = 10.0  # mm, the deepest balancing hole: common practice, no source
FLOOR = 3.0  # mm left under a hole: common practice, no source
WEB = 1 / 3  # of the web's thickness at most: common practice, no source
APART = 1.5  # drill diameters between centres, so that a wall stands: common practice, no source
SPARE = 0.05  # of the unbalance, too much taken away: common practice, no source
MOST = 7  # holes; more are wider than the heavy side


@dataclass(frozen=True, kw_only=True)
class Sized:
    """An unbalance.

    Attributes:
        unbalance_gmm: Its size [g·mm].
        by: ``clay``, ``swing`` or ``stated``.
        allowed_gmm: What the part may keep [g·mm], if it is known.
    """

    unbalance_gmm: float
    by: str
    allowed_gmm: float | None = None

    @property
    def keeps(self) -> bool | None:
        """Whether the part may keep it; ``None`` where nobody said what it may."""
        return None if self.allowed_gmm is None else self.unbalance_gmm <= self.allowed_gmm


@dataclass(frozen=True, kw_only=True)
class Hole:
    """A balancing hole: its mark [°], its depth at full diameter [mm] and the mass it takes [g]."""

    at: float
    depth: float
    mass_g: float


@dataclass(frozen=True, kw_only=True)
class Correction:
    """Holes that take an unbalance away.

    Attributes:
        unbalance_gmm: What they are for [g·mm]. left_gmm: What they leave [g·mm].
        holes: The holes, round the heavy side.
        drill, radius: Their diameter and the radius they stand on [mm].
        deepest: Greatest depth allowed, to the drill's point [mm].
        material: What is drilled.
        enough: Whether so many holes can take it away.
    """

    unbalance_gmm: float
    left_gmm: float
    holes: tuple[Hole, ...]
    drill: float
    radius: float
    deepest: float
    material: Material
    enough: bool

    @property
    def says(self) -> tuple[str, ...]:
        """What to drill, in sentences."""
        return tuple(_sentences(self))


def by_clay(*, mass_g: float, radius: float, allowed_gmm: float | None = None) -> Sized:
    """Unbalance by the clay that, put at the light side, lets the part stop anywhere.

    Args:
        mass_g: Mass of the clay [g]. radius: Where its middle sat [mm].
        allowed_gmm: What the part may keep [g·mm].
    Raises:
        InputError: a value not above 0.
    """
    _positive(clay=mass_g, clay_radius=radius)
    unbalance = balance.offset_unbalance(mass_kg=mass_g / 1000, offset=radius)
    return Sized(unbalance_gmm=unbalance, by="clay", allowed_gmm=allowed_gmm)


def by_swing(
    *, period_s: float, inertia_kg_mm2: float, mass_kg: float = 0.0, journal: float = 0.0,
    allowed_gmm: float | None = None,
) -> Sized:  # fmt: skip
    """Unbalance by the time of a small swing about the heavy side's lowest place.

    Args:
        period_s: Time of one whole swing, there and back [s].
        inertia_kg_mm2: Inertia about the axis [kg·mm²].
        mass_kg, journal: Mass [kg] and diameter of the journal that rolls on the edges [mm]; 0
            where it turns in bearings.
        allowed_gmm: What the part may keep [g·mm].
    Raises:
        InputError: a value nobody can mean.
    """
    _positive(swing=period_s, inertia=inertia_kg_mm2)
    rolling = inertia_kg_mm2 + mass_kg * (journal / 2) ** 2
    unbalance = balance.swing_unbalance(inertia_kg_mm2=rolling, period_s=period_s)
    return Sized(unbalance_gmm=unbalance, by="swing", allowed_gmm=allowed_gmm)


def disc_inertia(*, mass_kg: float, bore: float, outside: float) -> float:
    """Inertia of a plain disc or ring about its axis [kg·mm²], to size it by its swing."""
    return inertia.ring_inertia(mass_kg=mass_kg, bore=bore, outside=outside)


def drill_away(
    *,
    unbalance_gmm: float,
    heavy_at: float,
    radius: float,
    drill: float,
    material: Material,
    web: float | None = None,
    holes: int | None = None,
) -> Correction:
    """Holes that take an unbalance away, split so that none is too deep.

    Args:
        unbalance_gmm: Size of the unbalance [g·mm]. heavy_at: Mark of the heavy side [°].
        radius: Radius the holes stand on [mm]. drill: Their diameter [mm].
        material: What is drilled.
        web: Thickness of the metal there [mm]; without it the depth is held to 10 mm alone.
        holes: How many; without it the fewest that keep the depth.
    Returns:
        The holes, side by side round the heavy side, 1.5 drills apart; ``enough`` is false where
        they would be too deep, and they are then as deep as may be.
    Raises:
        InputError: a value nobody can mean, or a web too thin to drill at all.
    Source:
        Cylinder and cone (`balance.drill_depth`); depths and distances are common practice, no
        source.
    """
    _positive(unbalance=unbalance_gmm, radius=radius, drill=drill)
    if holes is not None and not 1 <= holes <= MOST:
        raise InputError("holes", holes, f"write a whole number of holes, 1 to {MOST}")
    if drill >= radius:
        raise InputError("drill", drill, f"it must be smaller than the radius, {radius:g} mm")
    deepest = _deepest(web)
    full = deepest - TIP * drill
    if full <= 0:
        accepted = f"no more than {deepest:.1f} mm may be drilled there, point and all"
        raise InputError("drill", drill, accepted)
    for count in range(1, MOST + 1) if holes is None else (holes,):
        marks = _marks(heavy_at, count=count, radius=radius, drill=drill)
        pull = math.fsum(math.cos(math.radians(at - heavy_at)) for at in marks)
        depth = balance.drill_depth(
            unbalance_gmm=unbalance_gmm / pull, radius=radius, diameter=drill,
            density_kg_m3=material.density_kg_m3,
        )  # fmt: skip
        if depth <= full:
            break
    return _drilled(unbalance_gmm, heavy_at, marks, min(depth, full), radius, drill, deepest,
                    material, enough=depth <= full)  # fmt: skip


def _drilled(
    unbalance_gmm: float, heavy_at: float, marks: tuple[float, ...], depth: float, radius: float,
    drill: float, deepest: float, material: Material, *, enough: bool,
) -> Correction:  # fmt: skip
    mass = balance.drilled_mass(diameter=drill, depth=depth, density_kg_m3=material.density_kg_m3)
    # the unbalance itself as one gram on a radius of as many millimetres
    places = from_polar(radius=[unbalance_gmm, *(radius for _ in marks)], angle=[heavy_at, *marks])
    left, _ = balance.resultant_unbalance(masses_kg=[1e-3, *(-mass for _ in marks)], centres=places)
    return Correction(
        unbalance_gmm=unbalance_gmm, left_gmm=left, drill=drill, radius=radius, deepest=deepest,
        material=material, enough=enough,
        holes=tuple(Hole(at=at % 360, depth=depth, mass_g=1000 * mass) for at in marks),
    )  # fmt: skip


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not 0 < value < math.inf:
            raise InputError(name.replace("_", "-"), value, "it must be above 0")


def _deepest(web: float | None) -> float:
    """Greatest depth to the drill's point [mm]."""
    if web is None:
        return DEEPEST
    _positive(web=web)
    deepest = min(DEEPEST, WEB * web, web - FLOOR)
    if deepest <= 0:
        raise InputError(
            "web", web, f"metal under {FLOOR:g} mm is not drilled: add at the light side"
        )
    return deepest


def _marks(heavy_at: float, *, count: int, radius: float, drill: float) -> tuple[float, ...]:
    """Marks of holes side by side about the heavy side [°]."""
    step = 2 * math.degrees(math.asin(APART * drill / (2 * radius)))
    return tuple(heavy_at + (k - (count - 1) / 2) * step for k in range(count))


def _sentences(found: Correction) -> Iterator[str]:
    drill, depth = both(found.drill, places=1), both(found.holes[0].depth, places=1)
    marks = ", ".join(f"{one.at:.0f}°" for one in found.holes)
    yield (
        f"Drill {len(found.holes)} × {drill}, {depth} deep at full diameter, on radius "
        f"{both(found.radius, places=1)} at {marks}: {found.holes[0].mass_g:.1f} g each in {found.material.name}."
    )
    if not found.enough:
        yield (
            f"That leaves {found.left_gmm:.0f} g·mm: no deeper than {found.deepest:.1f} mm to the point. "
            "Take a larger drill, a larger radius, or add at the light side."
        )
    elif found.left_gmm > SPARE * found.unbalance_gmm:
        yield f"The drill's point alone takes {found.left_gmm:.0f} g·mm too much: take a smaller drill."
    yield "Never through bolts, webs or gear teeth. Spin it again afterwards."
