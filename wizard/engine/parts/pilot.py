"""What centres the converter's nose or carries the shaft's tip."""

from __future__ import annotations

from collections.abc import Sequence

from kb.model.chain import Chain
from kb.model.parts import Fit, Part, Pilot
from kb.model.record import Sides
from kb.standards.materials import Material
from wizard.engine.axial.chain import carrier
from wizard.engine.faces import material_of
from wizard.engine.formulas.inertia import ring_mass
from wizard.engine.parts.fits import Tight, both_made, located, pressed
from wizard.engine.parts.opening import adapter_outside
from wizard.engine.parts.ring import bush_outside

TIP_PLAY = (0.05, 0.10)  # mm running clearance of a plain bush: common practice, no source
BRONZE = Material(  # what bushes are turned from
    name="bronze", family="bronze", density_kg_m3=8800.0, e_mpa=103e3, nu=0.34, yield_mpa=None,
    ultimate_mpa=None, cte_per_k=18e-6, source="common practice, no source", memory=True,
    note="cast bronze; a sintered bush is softer and goes in more easily",
)  # fmt: skip


def pilot(sides: Sides, chain: Chain | None) -> tuple[Pilot | None, tuple[Fit, ...]]:
    """The pilot as designed, and its fit."""
    if chain is None:
        return None, ()
    if sides.kind == "converter":
        return _nose(sides, chain)
    if sides.kind == "shaft":
        return _tip(sides, chain)
    return None, ()


def _nose(sides: Sides, chain: Chain) -> tuple[Pilot | None, tuple[Fit, ...]]:
    nose = sides.lengths.get("gearbox.converter.hub.diameter")
    engagement = chain.values.get("nose_engagement")
    if nose is None:
        return None, ()
    if carrier(sides, chain) == "crank" or not chain.spacer:
        own = sides.lengths.get("engine.drive.pilot.diameter")
        if own is None:
            return None, ()
        depth = sides.value("engine.drive.pilot.depth")
        return (
            Pilot(carried_by="crank", style="bore", bore=(own.low, own.high), depth=depth,
                  engagement=engagement),
            (),
        )  # fmt: skip
    fit = located("converter nose in its pilot", "shaft", nose, duty="nose")
    bottom = chain.values.get("nose_bottom")
    depth = None if bottom is None or engagement is None else bottom + engagement
    made = Pilot(
        carried_by="spacer", style="bore", bore=fit.hole if fit else None, depth=depth,
        engagement=engagement,
    )  # fmt: skip
    return made, (fit,) if fit else ()


def _tip(sides: Sides, chain: Chain) -> tuple[Pilot | None, tuple[Fit, ...]]:
    asked = sides.request.pilot
    tip = sides.value("gearbox.shaft.tip.diameter")
    if asked is None or tip is None:
        return None, ()
    stated = sides.lengths.get("pilot.bore")
    bore = (stated.low, stated.high) if stated else (tip + TIP_PLAY[0], tip + TIP_PLAY[1])
    made = Pilot(
        carried_by=asked.carried_by, style="bush", bore=bore, depth=sides.value("pilot.depth"),
        engagement=chain.values.get("tip_engagement"),
    )  # fmt: skip
    shaft = sides.lengths["gearbox.shaft.tip.diameter"]
    running = Fit(
        joint="shaft tip in its bush", fit_class="running", hole=bore,
        shaft=(shaft.value, shaft.value), play=(bore[0] - shaft.value, bore[1] - shaft.value),
        existing="shaft", source="common practice, no source",
    )  # fmt: skip
    held = _held(sides, chain, made)
    return made, (running, held) if held is not None else (running,)


def _held(sides: Sides, chain: Chain, made: Pilot) -> Fit | None:
    """The bush pressed into what carries it; ``None`` where that is not made or its bore unknown."""
    width, own = sides.value("pilot.bush_width"), sides.lengths.get("engine.drive.pilot.diameter")
    if made.bore is None or width is None:
        return None
    bore = sum(made.bore) / 2
    if made.carried_by == "crank":
        fit = None if own is None else located("bush in crank", "hole", own, duty="bush")
        hub, outside = "steel", sides.value("engine.drive.outside")
    elif chain.spacer:
        inch = sides.request.units == "in"
        fit = both_made("bush in spacer", bush_outside(bore), duty="bush", inch=inch)
        hub, outside = sides.chosen.spacer_material, adapter_outside(sides)
    else:
        return None
    if fit is None:
        return None
    stuff = material_of(hub, key="choices.spacer_material")
    return pressed(fit, Tight(hub=stuff, shaft=BRONZE, length=width, outside=outside, bore=bore))


def bush(sides: Sides, made: Pilot | None, fits: Sequence[Fit]) -> Part | None:
    """The bush to buy or turn, when the job has one and its width is known."""
    width = sides.value("pilot.bush_width")
    if made is None or made.style != "bush" or made.bore is None or width is None:
        return None
    bore = sum(made.bore) / 2
    held = next((sum(fit.shaft) / 2 for fit in fits if fit.joint.startswith("bush")), None)
    outside = held or bush_outside(bore)
    mass = ring_mass(
        bore=bore, outside=outside, length=width, density_kg_m3=BRONZE.density_kg_m3
    )  # fmt: skip
    return Part(
        name="pilot bush", material="sintered bronze, not magnetic",
        size={"length": width, "outside": outside, "bore": bore}, mass_kg=round(mass, 3),
        notes=("Press in, then measure the bore again: it closes on pressing.",),
    )  # fmt: skip
