"""What no single value shows: keys of one table that cannot both be meant."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any

from kb.errors import InputError
from kb.model.measured import Measured
from kb.model.request import (
    Choices,
    DowelChoice,
    FixingHoles,
    OutlineCorner,
    Request,
    SpindleScrews,
)
from kb.model.unit import Circle, Face, Hole

SAME_PLACE = 0.01  # mm; two holes nearer than this are one hole written twice

_SIDED = re.compile(r"(engine|gearbox):(.+)")
_PAIRED = re.compile(r"([^=]+)=([^=]+)")


def refuse_contradiction(part: object, *, key: str) -> None:
    """Refuse a part whose keys contradict one another.

    Args:
        part: The noun as read.
        key: Its dotted key.
    Raises:
        InputError: two of its keys cannot both be meant, or one that it cannot do without is absent.
    """
    if isinstance(part, Hole | Circle):
        _one_sort_of_hole(part, key)
    if getattr(part, "holes", ()) and getattr(part, "circle", None) is not None:
        accepted = "write holes one by one or an even circle, not both"
        raise InputError(f"{key}.circle", "circle beside holes", accepted)
    if isinstance(part, Choices | DowelChoice | FixingHoles | OutlineCorner | SpindleScrews):
        _chosen_once(part, key)
    if isinstance(part, Choices):
        _names_of_holes(part, key)
    if isinstance(part, Request):
        _holes_that_exist(part)


def refuse_repeats(parts: Sequence[Any], *, key: str) -> None:
    """Refuse two holes or dowels of one face with one id, or at one place.

    Raises:
        InputError: an id or a place occurs twice.
    """
    seen: set[str] = set()
    for number, part in enumerate(parts, 1):
        if part.id in seen:
            raise InputError(f"{key}[{number}].id", part.id, "every id may stand once only")
        seen.add(part.id)
    _one_at_each_place(parts, key)


def _one_at_each_place(parts: Sequence[Any], key: str) -> None:
    spots = [
        (part.x.first.value, part.y.first.value, number, part.id)
        for number, part in enumerate(parts, 1)
    ]
    spots.sort()
    for start, one in enumerate(spots):
        for other in spots[start + 1 :]:
            if other[0] - one[0] > SAME_PLACE:
                break
            if math.dist(one[:2], other[:2]) <= SAME_PLACE:
                first, second = sorted((one, other), key=lambda spot: spot[2])
                accepted = f"it stands at the same place as “{first[3]}”; write every hole once"
                raise InputError(f"{key}[{second[2]}]", second[3], accepted)


def _one_sort_of_hole(part: Hole | Circle, key: str) -> None:
    if part.thread is not None and part.hole is not None:
        accepted = "a hole is tapped (thread) or clear (hole), not both"
        raise InputError(f"{key}.hole", part.hole.first.typed, accepted)
    said = (part.thread, part.hole, part.bolt, part.keepout)
    if isinstance(part, Hole) and all(item is None for item in said):
        accepted = "say what it is: thread, hole, bolt or keepout"
        raise InputError(key, "hole without any of them", accepted)


def _chosen_once(part: object, key: str) -> None:
    """What is chosen is one length; only what is measured has several readings."""
    for name, value in vars(part).items():
        if isinstance(value, Measured) and len(value.readings) > 1:
            typed = ", ".join(reading.typed for reading in value.readings)
            raise InputError(f"{key}.{name}", f"[{typed}]", "choose one length")


def _names_of_holes(choices: Choices, key: str) -> None:
    for number, name in enumerate(choices.leave_out, 1):
        if not _SIDED.fullmatch(name):
            accepted = "write the side and the id of a hole, such as gearbox:2"
            raise InputError(f"{key}.leave_out[{number}]", name, accepted)
    for number, name in enumerate(choices.share, 1):
        if not _PAIRED.fullmatch(name):
            accepted = "write the engine's hole and the gearbox's, such as 1=7"
            raise InputError(f"{key}.share[{number}]", name, accepted)


def _holes_that_exist(request: Request) -> None:
    held = {
        "engine": _ids(request.engine.face if request.engine else None),
        "gearbox": _ids(request.gearbox.face if request.gearbox else None),
    }
    named: list[tuple[str, str, str]] = []
    for number, name in enumerate(request.choices.leave_out, 1):
        side, _, hole = name.partition(":")
        named.append((f"choices.leave_out[{number}]", side, hole))
    for number, name in enumerate(request.choices.share, 1):
        one, _, other = name.partition("=")
        named.append((f"choices.share[{number}]", "engine", one.strip()))
        named.append((f"choices.share[{number}]", "gearbox", other.strip()))
    for key, side, hole in named:
        if held[side] and hole not in held[side]:
            accepted = f"the {side}'s holes are " + ", ".join(held[side])
            raise InputError(key, hole, accepted)


def _ids(face: Face | None) -> tuple[str, ...]:
    if face is None:
        return ()
    if face.circle is not None:
        return tuple(str(number) for number in range(1, face.circle.count + 1))
    return tuple(hole.id for hole in face.holes)
