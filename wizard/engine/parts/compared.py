"""The two styles of rotating adapter side by side: a ring, or disc, spindle and posts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kb.errors import OutOfScope
from kb.model.chain import Chain
from kb.model.lineup import LineUp
from kb.model.parts import Fit, Part, Pilot, Style
from kb.model.record import Sides
from wizard.engine.faces import material_of
from wizard.engine.formulas.inertia import ring_inertia
from wizard.engine.formulas.rotating import peak_hoop_stress
from wizard.engine.parts.post_layout import lay_out, strength
from wizard.engine.parts.posts import posts
from wizard.engine.parts.ring import ring
from wizard.engine.parts.truth import predicted_tir

# set-ups on lathe and drill, and the machines: common practice, no source
SETTINGS = {"ring": 2, "posts": 5}
MACHINES = {
    "ring": ("lathe that swings the whole ring", "mill or drill press with a rotary table"),
    "posts": ("lathe that swings the disc", "drill press"),
}


def compared(
    sides: Sides, rotating: LineUp | None, chain: Chain | None, pilot: Pilot | None,
    pilot_fits: Sequence[Fit],
) -> Mapping[str, Style]:  # fmt: skip
    """Both styles, each with what it weighs, needs and stands, or why it cannot be made."""
    if chain is None or sides.through or not chain.spacer:
        return {}
    if sides.driving is None or sides.driven is None:
        return {}
    part, fits, _ = ring(sides, rotating, chain, pilot)
    if part is None:
        return {}
    return {
        "ring": _ring(sides, part, (*fits, *pilot_fits)),
        "posts": _posts(sides, rotating, chain, pilot, pilot_fits),
    }


def _ring(sides: Sides, part: Part, fits: Sequence[Fit]) -> Style:
    stuff = material_of(sides.chosen.spacer_material, key="choices.spacer_material")
    speed = _speed(sides)
    stress = allowed = None
    if speed is not None and stuff.yield_mpa is not None:
        stress = round(float(peak_hoop_stress(
            bore=max(part.size.get("bore", 0.0), 1e-3), outside=part.size["outside"],
            density_kg_m3=stuff.density_kg_m3, poisson=stuff.nu, speed_rpm=speed,
        )), 1)  # fmt: skip
        allowed = round(stuff.yield_mpa / sides.rules["overspeed.yield_factor"], 1)
    holds = None if stress is None or allowed is None else stress <= allowed
    return _style("ring", sides, (part,), fits, stress=stress, allowed=allowed, holds=holds)


def _posts(
    sides: Sides, rotating: LineUp | None, chain: Chain, pilot: Pilot | None,
    pilot_fits: Sequence[Fit],
) -> Style:  # fmt: skip
    try:
        parts, located, _ = posts(sides, rotating, chain, pilot)
        fits = (*located, *pilot_fits)
        found = strength(sides, lay_out(sides, rotating, chain))
    except OutOfScope as refused:
        return Style(why_not=str(refused))
    if found is None:
        return _style("posts", sides, parts, fits, stress=None, allowed=None, holds=None)
    return _style(
        "posts", sides, parts, fits, stress=round(found.stress_mpa, 1),
        allowed=round(found.allowed_mpa, 1), holds=found.holds,
    )  # fmt: skip


def _speed(sides: Sides) -> float | None:
    """The engine's speed and a quarter more [rpm]."""
    engine = sides.request.engine
    if engine is None or engine.max_speed is None:
        return None
    return sides.rules["overspeed.share"] * engine.max_speed.value


def _style(
    name: str, sides: Sides, parts: Sequence[Part], fits: Sequence[Fit], *, stress: float | None,
    allowed: float | None, holds: bool | None,
) -> Style:  # fmt: skip
    mass = sum((part.mass_kg or 0.0) * part.quantity for part in parts)
    return Style(
        mass_kg=round(mass, 3), inertia_kg_mm2=round(sum(map(_inertia, parts)), 1),
        settings=SETTINGS[name], machines=MACHINES[name],
        driven_register_tir=predicted_tir(sides, parts, fits).get("driven_register"),
        stress_mpa=stress, allowed_mpa=allowed, holds=holds,
    )  # fmt: skip


def _inertia(part: Part) -> float:
    """About the crank's axis [kg·mm²]; posts by where they stand and by their own turning."""
    if not part.mass_kg:
        return 0.0
    own = ring_inertia(
        mass_kg=part.mass_kg, bore=max(part.size.get("bore", 0.0), 1e-3),
        outside=part.size["outside"],
    )  # fmt: skip
    return part.quantity * (own + part.mass_kg * part.size.get("stands_on", 0.0) ** 2 / 4)
