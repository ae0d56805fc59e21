"""How true it will run: expected runout at the driven register and at the housing [mm TIR].

Rotating: offsets of axis in directions nobody chose add up as vectors; 95 % of assemblies do
better. Fixed: two dowel patterns and the play of the pins. The models are common practice, no
source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kb.model.lineup import Pattern
from kb.model.parts import Fit, Part
from kb.model.record import Sides
from kb.rules.loader import layout, turning_offset
from wizard.engine.formulas.alignment import dowel_alignment, stacked_offset
from wizard.engine.formulas.posts import greatest_tilt
from wizard.engine.formulas.runout import tilt_offset
from wizard.engine.parts.post_layout import EQUAL, PLANE

DRAWS = 20_000


def predicted_tir(sides: Sides, parts: Sequence[Part], fits: Sequence[Fit]) -> Mapping[str, float]:
    """Expected TIR, 95 %, of what is made: ``driven_register`` and ``housing``, where there is one."""
    found = {}
    if any(part.name in ("spacer ring", "spindle") for part in parts):
        off = [*offsets(sides, fits), *tilted(sides, parts)]
        found["driven_register"] = round(2 * stacked_offset(offsets=off, draws=DRAWS), 3)
    plated = any(part.name.endswith("plate") for part in parts)
    if plated and (tir := housing(sides, fits)) is not None:
        found["housing"] = round(tir, 3)
    return found


def offsets(sides: Sides, fits: Sequence[Fit]) -> list[float]:
    """Offsets of axis between crank and driven register [mm].

    Half the runout of the driver's register, half the play at each register, and the making.
    """
    plays = [
        max(fit.play[1], 0.0) / 2
        for fit in fits
        if ("spacer" in fit.joint and not fit.joint.startswith("bush"))
        or fit.joint.startswith("converter nose")
    ]
    driver = (sides.value("engine.drive.register_tir") or 0.0) / 2
    return [driver, *plays, turning_offset(sides.chosen.turning)]


def tilted(sides: Sides, parts: Sequence[Part]) -> list[float]:
    """Offset at the converter's nose that posts of unequal length make of its tilt [mm]."""
    post = next((one for one in parts if one.name == "post"), None)
    reach = sides.value("gearbox.converter.hub.reach")
    if post is None or reach is None or post.quantity < PLANE:
        return []
    slope = greatest_tilt(within=EQUAL / 2, posts=post.quantity, radius=post.size["stands_on"] / 2)
    return [abs(float(tilt_offset(slope=slope, distance=abs(reach))))]


def housing(sides: Sides, fits: Sequence[Fit]) -> float | None:
    """Expected TIR of the gearbox's housing to the crank, or ``None`` where nothing locates it."""
    method = layout(sides.chosen.layout, dialled=sides.chosen.dial_in)
    faces = (("engine", sides.engine_face), ("gearbox", sides.gearbox_face))
    measure, place, plays = [], [], []
    for side, face in faces:
        register = _register_play(side, fits)
        if face is not None and len(face.dowels) >= 2:
            measure.append(method.measure)
            place.append(method.place)
            plays.append(method.play)
        elif register is not None:
            measure.append(0.0)
            place.append(turning_offset(sides.chosen.turning))
            plays.append(register)
        elif face is not None:
            return None
    if not plays:
        return None
    tir, _ = dowel_alignment(
        measure=measure, place=place, play=plays, limit=sides.rules["register-tir.housing"],
        draws=DRAWS,
    )  # fmt: skip
    return tir


def _register_play(side: str, fits: Sequence[Fit]) -> float | None:
    joint = "plate in the engine's housing" if side == "engine" else "gearbox in the plate"
    return next((max(fit.play[1], 0.0) for fit in fits if fit.joint == joint), None)


def dowelled(face: Pattern | None) -> bool:
    """Whether two dowels locate that face."""
    return face is not None and len(face.dowels) >= 2
