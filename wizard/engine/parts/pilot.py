"""What centres the converter's nose or carries the shaft's tip."""

from __future__ import annotations

from kb.model.chain import Chain
from kb.model.parts import Fit, Part, Pilot
from kb.model.record import Sides
from wizard.engine.axial.chain import carrier
from wizard.engine.parts.fits import located
from wizard.engine.parts.ring import bush_outside

TIP_PLAY = (0.05, 0.10)  # mm running clearance of a plain bush: common practice, no source
BRONZE = 8.8e-6  # kg/mm³, cast bronze, from memory


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
    return made, (running,)


def bush(sides: Sides, made: Pilot | None) -> Part | None:
    """The bush to buy or turn, when the job has one and its width is known."""
    width = sides.value("pilot.bush_width")
    if made is None or made.style != "bush" or made.bore is None or width is None:
        return None
    bore = sum(made.bore) / 2
    outside = bush_outside(bore)
    volume = 0.785398163 * (outside**2 - bore**2) * width
    return Part(
        name="pilot bush", material="sintered bronze, not magnetic",
        size={"length": width, "outside": outside, "bore": bore}, mass_kg=round(volume * BRONZE, 3),
        notes=("Press in, then measure the bore again: it closes on pressing.",),
    )  # fmt: skip
