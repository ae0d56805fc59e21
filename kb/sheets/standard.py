"""Faces and drives a sheet may call by the name of a published standard.

A name is expanded into the piece of sheet it stands for, in the standard's own inches, every
dimension marked ``from = "standard"``. What the standard leaves to the maker (depth of the
tapped holes, depth of a register, material) stays out and must be measured.
"""

from __future__ import annotations

import re
from typing import Any

from kb.errors import InputError, NotTabulated
from kb.model.unit import Drive, Driven, Face
from kb.quantity import MM_PER_INCH, Thread
from kb.standards import clearance, housings

EXAMPLES: dict[type[Any], str] = {
    Face: "SAE J617 No. 3",
    Drive: "SAE J620 11-1/2",
    Driven: "SAE J620 11-1/2",
}
UPRIGHT = 90.0  # degrees anticlockwise from the x axis to the vertical
HALF_TURN = 180.0

_NAME = re.compile(r"SAE\s*(?P<standard>J617|J620)\s*(?P<size>\S.*)", re.IGNORECASE)
_Table = dict[str, Any]


def expanded(noun: type[Any], name: str, *, key: str) -> _Table:
    """The piece of sheet a published name stands for.

    An engine's face by SAE J617 has tapped holes and a register bore with its limits; a
    gearbox's has clear holes (normal fit) and a spigot of the bore's least size, whose own
    limits the standard leaves to its maker. The holes straddle the vertical. A drive by SAE
    J620 is the flywheel's face at depth G with tapped holes and its bore B; a driven flange
    expects that face, with clear holes and a spigot of size B.

    Args:
        noun: ``Face``, ``Drive`` or ``Driven``.
        name: Such as ``"SAE J617 No. 3"``.
        key: Dotted key of the part.
    Raises:
        InputError: no such standard here, or a size it does not hold.
    """
    found = _NAME.fullmatch(name)
    wanted = "J617" if noun is Face else "J620"
    if found is None or found["standard"].upper() != wanted:
        raise InputError(key, name, f"write a published name such as “{EXAMPLES[noun]}”")
    try:
        if noun is Face:
            return _face(found["size"], mating=key.startswith("gearbox"))
        return _drive(found["size"]) if noun is Drive else _driven(found["size"])
    except NotTabulated as error:
        raise InputError(key, name, str(error)) from None


def _face(size: str, *, mating: bool) -> _Table:
    housing = housings.housing(size)
    name = f"SAE J617 No. {housing.name}"
    least, most = housing.bore
    circle = {
        "count": housing.holes,
        "diameter": _stated(_inches(housing.bolt_circle), name),
        "start": str(UPRIGHT - housing.first_hole),
    }
    if mating:
        register = {"form": "spigot", "diameter": _stated(_inches(least), name)}
        return {"circle": circle | _clear(housing.thread), "register": register}
    limits = f"{_inches(least)} +{_inches(most - least)}/-0"
    register = {"form": "bore", "diameter": _stated(limits, name)}
    return {"circle": circle | {"thread": str(housing.thread)}, "register": register}


def _drive(size: str) -> _Table:
    flywheel = housings.flywheel(size)
    table = _flywheel_pattern(flywheel, form="bore")
    table["circle"] |= {"thread": str(flywheel.thread)}
    return table | {"kind": "flywheel"} | _depth("standoff", flywheel)


def _driven(size: str) -> _Table:
    flywheel = housings.flywheel(size)
    table = _flywheel_pattern(flywheel, form="spigot")
    table["circle"] |= _clear(flywheel.thread)
    return table | {"kind": "flange"} | _depth("position", flywheel)


def _flywheel_pattern(flywheel: housings.Flywheel, *, form: str) -> _Table:
    name = f"SAE J620 {flywheel.name}"
    return {
        "circle": {
            "count": flywheel.holes,
            "diameter": _stated(_inches(flywheel.bolt_circle), name),
            "start": str(UPRIGHT - HALF_TURN / flywheel.holes),
        },
        "register": {"form": form, "diameter": _stated(_inches(flywheel.pilot), name)},
    }


def _depth(key: str, flywheel: housings.Flywheel) -> _Table:
    """G as a position: it lies inside the housing, so its sign is minus."""
    if flywheel.ring_depth is None:
        return {}
    return {key: _stated(_inches(-flywheel.ring_depth), f"SAE J620 {flywheel.name}")}


def _clear(thread: Thread) -> _Table:
    found = clearance.hole(thread, "normal")
    drilled = _stated(_inches(found.diameter), found.source)
    return {"hole": drilled, "bolt": str(thread)}


def _stated(text: str, by: str) -> _Table:
    return {"value": f"{text} in", "from": "standard", "by": by}


def _inches(length: float) -> str:
    """A length [mm] as the standard prints it, in inches; six places hold every 64th."""
    return f"{length / float(MM_PER_INCH):.6f}".rstrip("0").rstrip(".")
