"""The chains: every axial quantity as a straight-line sum of t, L and the dimensions.

z = 0 on the engine's bare face, + toward the gearbox. A quantity that lacks a dimension
says which; a quantity whose part the job does not have is not there at all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from kb.model.chain import Linear, Measure
from kb.model.record import Sides

PLATE = Linear(plate=1.0)
SPACER = Linear(spacer=1.0)
ZERO = Linear()

Lines = tuple[Linear, ...]


@dataclass
class _Reader:
    """Hands out dimensions as lines and notes those that are missing."""

    sides: Sides
    lacks: list[str] = field(default_factory=list)

    def __call__(self, key: str, default: float | None = None) -> Linear:
        if key in self.sides.lengths:
            return Linear(terms={key: 1.0})
        if default is not None:
            return Linear(constant=default)
        self.lacks.append(key)
        return ZERO


def measures(sides: Sides, *, carried_by: str) -> Mapping[str, Measure]:
    """Every axial quantity this job has, by name.

    Args:
        sides: The two sides.
        carried_by: What centres the converter nose: ``spacer`` or ``crank``.
    """
    found: dict[str, Callable[[_Reader], Lines | None]] = {}
    if sides.kind == "converter":
        found |= _converter(sides, carried_by)
    if sides.kind == "shaft":
        found |= _shaft(sides)
    if sides.kind == "flange" and span_asked(sides):
        found["flange_offset"] = lambda x: (
            x("engine.drive.standoff") + SPACER - _together(x) - x("gearbox.driven.position"),
        )
    if sides.request.engine is not None and sides.request.engine.starter is not None:
        found |= _starter(sides)
    if sides.engine_face is not None or sides.gearbox_face is not None or span_asked(sides):
        found["tail_shift"] = _tail
    return {name: _measure(name, sides, chain) for name, chain in found.items()}


POSITIONS = {
    "converter": ("gearbox.converter.seat_depth",),
    "flange": ("gearbox.driven.position",),
    "shaft": ("gearbox.shaft.reach", "gearbox.release.retracted"),
}


def span_asked(sides: Sides) -> bool:
    """Whether the job asks where the two sides meet along the shaft.

    Two drives with the adapter's length given, and nothing that says where the gearbox's own
    parts stand, is an adapter for a known span.
    """
    if not sides.kind:
        return False
    known = any(key in sides.lengths for key in POSITIONS[sides.kind])
    return known or sides.whole or "choices.spacer" not in sides.lengths


def _measure(name: str, sides: Sides, chain: Callable[[_Reader], Lines | None]) -> Measure:
    reader = _Reader(sides)
    lines = chain(reader)
    lacks = tuple(dict.fromkeys(reader.lacks))
    return Measure(name=name, lines=() if lacks or lines is None else lines, lacks=lacks)


def _together(x: _Reader) -> Linear:
    """Distance between the two housing faces, t + g."""
    return PLATE + x("choices.packing", 0.0)


def _tail(x: _Reader) -> Lines:
    """How far the output flange moves against the same gearbox as it stood before."""
    sides = x.sides
    if "installation.tail_before" in sides.lengths:
        return (_together(x) + x("gearbox.tail_length") - x("installation.tail_before"),)
    return (_together(x),)


# ── automatic ───────────────────────────────────────────────────────────────


def _converter(sides: Sides, carried_by: str) -> dict[str, Callable[[_Reader], Lines | None]]:
    converter = sides.request.gearbox.converter if sides.request.gearbox else None
    preset = _stays_home(sides)
    spindle = "choices.spindle_length" in sides.lengths

    def offset(x: _Reader) -> Linear:
        has_plate = sides.request.flexplate is not None
        return x("flexplate.offset", None if has_plate else 0.0)

    def gap(x: _Reader) -> Linear:
        return (
            _together(x) + x("gearbox.converter.seat_depth") - x("engine.drive.standoff")
            - SPACER - offset(x) - x("gearbox.converter.lug_shims", 0.0)
        )  # fmt: skip

    def nose(x: _Reader) -> Linear:
        reach = x("gearbox.converter.hub.reach") - offset(x)
        reach = reach - x("gearbox.converter.lug_shims", 0.0)
        if carried_by == "crank":
            reach = reach - SPACER + x("engine.drive.pilot.mouth", 0.0)
        elif spindle:
            reach = reach - SPACER + x("choices.spindle_length")
        return reach - gap(x) if preset else reach

    def bore(x: _Reader) -> Linear:
        if carried_by == "crank":
            return x("engine.drive.pilot.depth")
        carrier = x("choices.spindle_length") if spindle else SPACER
        return carrier + _recess(x)

    if not span_asked(sides):
        return {}
    found: dict[str, Callable[[_Reader], Lines | None]] = {"gap": lambda x: (gap(x),)}
    if converter is not None and converter.hub is not None:
        found["nose_engagement"] = lambda x: (nose(x),)
        found["nose_seated"] = lambda x: (nose(x) if preset else nose(x) - gap(x),)
        found["nose_bottom"] = lambda x: (bore(x) - nose(x),)
    if converter is not None and converter.pump_lug is not None:
        found["pump_lug_overlap"] = lambda x: (
            (x("gearbox.converter.pump_lug.seated"),)
            if preset
            else (x("gearbox.converter.pump_lug.seated") - gap(x),)
        )
    if sides.request.flexplate is not None and "flexplate.bolt_heads" in sides.lengths:
        found["heads_to_plate"] = lambda x: (_heads(x, offset(x)) - PLATE,)
        found["heads_to_block"] = lambda x: (_heads(x, offset(x)),)
    return found


def _stays_home(sides: Sides) -> bool:
    """Bolting up deflects the rim to the lugs; the converter does not come forward."""
    converter = sides.request.gearbox.converter if sides.request.gearbox else None
    return converter is not None and converter.hold == "preset"


def _heads(x: _Reader, offset: Linear) -> Linear:
    """Front of the heads or nuts that stand proud on the flexplate's engine side."""
    face = x("engine.drive.standoff") + SPACER + offset
    return face - x("flexplate.thickness") - x("flexplate.bolt_heads")


def _recess(x: _Reader) -> Linear:
    """The open recess in the crank before a bore that goes right through the spacer."""
    drive = x.sides.request.engine.drive if x.sides.request.engine else None
    if drive is not None and drive.register is not None and drive.register.form == "bore":
        return x("engine.drive.register.depth", 0.0)
    return x("engine.drive.pilot.depth", 0.0)


# ── manual ──────────────────────────────────────────────────────────────────


def _shaft(sides: Sides) -> dict[str, Callable[[_Reader], Lines | None]]:
    request = sides.request
    box = request.gearbox
    found: dict[str, Callable[[_Reader], Lines | None]] = {}
    if not span_asked(sides):
        return found
    if box is not None and box.shaft is not None and box.shaft.tip is not None:
        found |= {
            "tip_engagement": _tip_engagement,
            "tip_bottom": lambda x: (_shaft_end(x) - _bush_rear(x) + x("pilot.depth"),),
            "tip_shoulder": lambda x: (
                _shaft_end(x) + x("gearbox.shaft.tip.length") - _bush_rear(x),
            ),
        }
    if box is not None and box.release is not None:
        found["release_gap"] = lambda x: (
            _together(x) + x("gearbox.release.retracted") - _clutch_face(x) - x("clutch.fingers"),
        )
    hub = request.clutch.disc_hub if request.clutch else None
    if (
        hub is not None
        and box is not None
        and box.shaft is not None
        and box.shaft.spline is not None
    ):
        found["spline_overlap"] = _spline_overlap
    if hub is not None and "flywheel.bolt_heads" in sides.lengths:
        found["disc_hub_clearance"] = lambda x: (
            x("flywheel.height") + x("clutch.disc_hub.front") - x("flywheel.bolt_heads"),
        )
    return found


def _clutch_face(x: _Reader) -> Linear:
    return x("engine.drive.standoff") + SPACER + x("flywheel.height")


def _shaft_end(x: _Reader) -> Linear:
    return _together(x) - x("gearbox.shaft.reach")


def _bush_rear(x: _Reader) -> Linear:
    pilot = x.sides.request.pilot
    mouth = x("pilot.mouth", 0.0 if pilot is not None else None)
    carrier = x("engine.drive.standoff")
    if pilot is not None and pilot.carried_by == "crank":
        return carrier + mouth
    return carrier + SPACER + mouth


def _bush_width(x: _Reader) -> Linear:
    if "pilot.bush_width" in x.sides.lengths:
        return x("pilot.bush_width")
    return x("pilot.depth")


def _tip_engagement(x: _Reader) -> Lines:
    """min(z_m, z_s + n) − max(z_s, z_m − B), as the smallest of four lines."""
    rear, end = _bush_rear(x), _shaft_end(x)
    tip, width = x("gearbox.shaft.tip.length"), _bush_width(x)
    return (rear - end, width, tip, end + tip - rear + width)


def _spline_overlap(x: _Reader) -> Lines:
    """Overlap of the disc hub with the splines, as the smallest of four lines."""
    face, end = _clutch_face(x), _shaft_end(x)
    front, rear = face + x("clutch.disc_hub.front"), face + x("clutch.disc_hub.rear")
    start = end + x("gearbox.shaft.spline.from_tip")
    stop = start + x("gearbox.shaft.spline.length")
    return (rear - front, rear - start, stop - front, stop - start)


# ── starter ─────────────────────────────────────────────────────────────────


def ring_key(sides: Sides) -> str:
    """Key of the ring gear in play: on the engine's own flywheel, or behind the adapter."""
    request = sides.request
    drive = request.engine.drive if request.engine else None
    if drive is not None and drive.ring is not None:
        return "engine.drive.ring"
    for key, part in (("flexplate", request.flexplate), ("flywheel", request.flywheel)):
        if part is not None and part.ring is not None:
            return f"{key}.ring"
    return ""


def _starter(sides: Sides) -> dict[str, Callable[[_Reader], Lines | None]]:
    key = ring_key(sides)
    if not key:
        return {}
    starter = sides.request.engine.starter if sides.request.engine else None
    outward = _outward(sides)

    def base(x: _Reader) -> Linear:
        mounts = starter.mounts_on if starter is not None else "engine"
        return {"engine": ZERO, "plate": PLATE, "gearbox": _together(x)}[mounts]

    def front(x: _Reader) -> Linear:
        where = x("engine.drive.standoff") + x(f"{key}.standoff")
        return where if key == "engine.drive.ring" else where + SPACER

    def overlap(x: _Reader) -> Lines:
        x("engine.starter.home")  # which way the pinion moves takes both
        reach, width = base(x) + x("engine.starter.engaged"), x("engine.starter.pinion_width")
        near, far = (reach - width, reach) if outward else (reach, reach + width)
        ring, face = front(x), x(f"{key}.face")
        return (far - near, far - ring, ring + face - near, face)

    def rest(x: _Reader) -> Lines:
        x("engine.starter.engaged")
        home = base(x) + x("engine.starter.home")
        return (front(x) - home,) if outward else (home - front(x) - x(f"{key}.face"),)

    return {"pinion_overlap": overlap, "pinion_rest_gap": rest}


def _outward(sides: Sides) -> bool:
    """The pinion moves toward the gearbox when it engages."""
    home, out = sides.value("engine.starter.home"), sides.value("engine.starter.engaged")
    return home is None or out is None or out > home


# ── stations ────────────────────────────────────────────────────────────────


def stations(sides: Sides, *, carried_by: str) -> Mapping[str, Measure]:
    """z of the faces that matter, as lines."""
    found: dict[str, Callable[[_Reader], Lines | None]] = {
        "plate_rear": lambda _: (PLATE,),
        "gearbox_face": lambda x: (_together(x),),
        "driving_face": lambda x: (x("engine.drive.standoff"),),
        "driven_face": lambda x: (x("engine.drive.standoff") + SPACER,),
    }
    if sides.kind == "converter":
        has_plate = sides.request.flexplate is not None

        def contact(x: _Reader) -> Linear:
            offset = x("flexplate.offset", None if has_plate else 0.0)
            return x("engine.drive.standoff") + SPACER + offset

        def seated(x: _Reader) -> Linear:
            return _together(x) + x("gearbox.converter.seat_depth")

        def bolted(x: _Reader) -> Linear:
            if _stays_home(sides):
                return seated(x)
            return contact(x) + x("gearbox.converter.lug_shims", 0.0)

        found["contact"] = lambda x: (contact(x),)
        found["lugs_seated"] = lambda x: (seated(x),)
        found["nose_tip"] = lambda x: (bolted(x) - x("gearbox.converter.hub.reach"),)
        if carried_by == "crank":
            found["pilot_mouth"] = lambda x: (
                x("engine.drive.standoff") + x("engine.drive.pilot.mouth", 0.0),
            )
        elif "choices.spindle_length" in sides.lengths:
            found["pilot_mouth"] = lambda x: (
                x("engine.drive.standoff") + x("choices.spindle_length"),
            )
        else:
            found["pilot_mouth"] = found["driven_face"]
    if sides.kind == "shaft":
        found |= {
            "clutch_face": lambda x: (_clutch_face(x),),
            "fingers": lambda x: (_clutch_face(x) + x("clutch.fingers"),),
            "bearing": lambda x: (_together(x) + x("gearbox.release.retracted"),),
            "shaft_end": lambda x: (_shaft_end(x),),
            "pilot_mouth": lambda x: (_bush_rear(x),),
        }
    if sides.kind == "flange":
        found["contact"] = lambda x: (_together(x) + x("gearbox.driven.position"),)
    if key := ring_key(sides):
        behind = ZERO if key == "engine.drive.ring" else SPACER
        found["ring_front"] = lambda x: (
            x("engine.drive.standoff") + behind + x(f"{key}.standoff"),
        )
        found["ring_rear"] = lambda x: (
            x("engine.drive.standoff") + behind + x(f"{key}.standoff") + x(f"{key}.face"),
        )
    return {name: _measure(name, sides, chain) for name, chain in found.items()}
