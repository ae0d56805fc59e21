"""What works: every axial requirement as ``low ≤ line ≤ high``, one row each, with its check.

A wanted band (converter gap, release gap, rigid flange) works inside the band; every other
requirement works up to where its check would fail.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from kb.errors import NotTabulated
from kb.model.chain import Assumption, Linear, Measure, Requirement
from kb.model.lineup import Feature
from kb.model.record import Sides
from kb.quantity import Thread, both
from wizard.engine.faces import limits_of
from wizard.engine.housed import RELIEF, housed

Band = tuple[float, float]


def wanted_band(sides: Sides) -> tuple[str, Band, Assumption | None] | None:
    """The measure the rotating adapter's length closes, its wanted band, and what was assumed."""
    if sides.kind == "converter":
        return _gap_band(sides)
    if sides.kind == "shaft":
        return _release_band(sides)
    if sides.kind == "flange":
        low, high = (
            sides.value("gearbox.driven.allow.low"),
            sides.value("gearbox.driven.allow.high"),
        )
        if low is not None and high is not None:
            return "flange_offset", (low, high), None
        half = sides.rules["rigid-flange.either_side"]
        return "flange_offset", (-half, half), _band(sides, "gearbox.driven.allow", (-half, half))
    return None


def _band(sides: Sides, key: str, band: Band) -> Assumption:
    first = sides.request.units
    shown = " to ".join(both(edge, first=first) for edge in band)
    return Assumption(key=key, value=shown, why="usual band: common practice, no source")


def _gap_band(sides: Sides) -> tuple[str, Band, Assumption | None]:
    converter = sides.request.gearbox.converter if sides.request.gearbox else None
    if converter is not None and converter.hold == "preset":
        wanted = sides.value("gearbox.converter.preset")
        least = sides.rules["converter-gap.preset"]
        band = (least, 2 * (wanted if wanted is not None else 1.5 * least) - least)
        note = None if wanted is not None else _band(sides, "gearbox.converter.preset", band)
        return "gap", band, note
    low, high = sides.value("gearbox.converter.gap.low"), sides.value("gearbox.converter.gap.high")
    if low is not None and high is not None:
        return "gap", (low, high), None
    usual = (sides.rules["converter-gap.low"], sides.rules["converter-gap.high"])
    return "gap", usual, _band(sides, "gearbox.converter.gap", usual)


def _release_band(sides: Sides) -> tuple[str, Band, Assumption | None]:
    release = sides.request.gearbox.release if sides.request.gearbox else None
    if release is not None and release.kind == "constant contact":
        low, high = (
            sides.value("gearbox.release.preload.low"),
            sides.value("gearbox.release.preload.high"),
        )
        if low is not None and high is not None:
            return "release_gap", (-high, -low), None
        least, most = (
            sides.rules["release-gap.preload_low"],
            sides.rules["release-gap.preload_high"],
        )
        note = _band(sides, "gearbox.release.preload", (least, most))
        return "release_gap", (-most, -least), note
    low, high = sides.value("clutch.release_gap.low"), sides.value("clutch.release_gap.high")
    if low is not None and high is not None:
        return "release_gap", (low, high), None
    discs = (sides.request.clutch.discs or 1) if sides.request.clutch else 1
    middle = sides.rules["release-gap.single" if discs == 1 else "release-gap.twin"]
    half = sides.rules["release-gap.either_side"]
    usual = (middle - half, middle + half)
    return "release_gap", usual, _band(sides, "clutch.release_gap", usual)


CHECK_OF = {
    "gap": "converter-gap",
    "release_gap": "release-gap",
    "flange_offset": "flange-position",
    "nose_engagement": "nose-engagement",
    "nose_seated": "nose-engagement",
    "nose_bottom": "nose-bottoming",
    "pump_lug_overlap": "pump-lug-overlap",
    "tip_engagement": "tip-engagement",
    "tip_bottom": "tip-bottoming",
    "tip_shoulder": "tip-shoulder",
    "spline_overlap": "spline-overlap",
    "disc_hub_clearance": "disc-hub-clears",
    "pinion_overlap": "pinion-overlap",
    "pinion_rest_gap": "pinion-rest-gap",
}


def requirements(sides: Sides, found: Mapping[str, Measure]) -> tuple[Requirement, ...]:
    """Every requirement of this job that its dimensions allow to be written."""
    return (*_spacer(sides), *_chain(sides, found))


def _chain(sides: Sides, found: Mapping[str, Measure]) -> Iterator[Requirement]:
    rules = sides.rules
    band = wanted_band(sides)
    if band is not None and (closed := found.get(band[0])) is not None:
        for line in closed.lines:
            yield _row(band[0], line, low=band[1][0], high=band[1][1], source="the wanted band")
            if band[0] == "release_gap" and _wears(sides):
                wear = Linear(terms={"clutch.wear": 1.0})
                yield _row(band[0], line - wear, low=0.0, source="wear of the disc")
    floors: dict[str, tuple[Linear | float, str]] = {
        "nose_engagement": (rules["nose-engagement.least"], "nose-engagement.least"),
        "nose_seated": (0.0, "nose-engagement.least"),
        "nose_bottom": (rules["nose-bottoming.fail"], "nose-bottoming.fail"),
        "tip_engagement": (
            _share(sides, "tip-engagement.bush_share", _bush(sides)),
            "tip-engagement.bush_share",
        ),
        "tip_bottom": (rules["tip-bottoming.fail"], "tip-bottoming.fail"),
        "tip_shoulder": (rules["tip-shoulder.fail"], "tip-shoulder.fail"),
        "spline_overlap": (_spline_floor(sides), "spline-overlap.fail"),
        "disc_hub_clearance": (rules["disc-hub-clears.least"], "disc-hub-clears.least"),
        "pinion_overlap": (
            _share(sides, "pinion-overlap.face_share", _ring_face(sides)),
            "pinion-overlap.face_share",
        ),
        "pinion_rest_gap": (rules["pinion-rest-gap.fail"], "pinion-rest-gap.fail"),
    }
    for name, (floor, limit) in floors.items():
        for line in found[name].lines if name in found else ():
            yield _row(name, line - floor, low=0.0, source=rules.source(limit))
    for line in found["pump_lug_overlap"].lines if "pump_lug_overlap" in found else ():
        yield from _pump_lug(sides, line)


def _wears(sides: Sides) -> bool:
    """Wear of the disc eats the release gap: a pushed clutch with a bearing that stands off."""
    clutch, box = sides.request.clutch, sides.request.gearbox
    constant = (
        box is not None and box.release is not None and box.release.kind == "constant contact"
    )
    pushed = clutch is not None and clutch.acts == "push" and "clutch.wear" in sides.lengths
    return pushed and not constant


def cut_through(sides: Sides, length: float) -> bool:
    """Whether a ring that long would be cut through by the recess over the driver's spigot.

    A thin ring goes right over the spigot, which then locates what is behind it (`goes_over`).
    """
    room = room_behind_recess(sides, length)
    return room is not None and room < -1e-9


def room_behind_recess(sides: Sides, length: float) -> float | None:
    """Ring left behind the recess over the driver's spigot, less what must be left there [mm].

    ``None`` without such a recess.
    """
    height = spigot_height(sides)
    if height is None or goes_over(sides, length):
        return None
    return length - (height + RECESS_RELIEF + BEHIND_RECESS)


def goes_over(sides: Sides, length: float) -> bool:
    """Whether the driver's spigot stands out behind a ring that long, far enough to locate."""
    height = spigot_height(sides)
    return height is not None and 0 < length <= height - STANDS_OUT


def spigot_height(sides: Sides) -> float | None:
    """How high the driver's spigot stands [mm]; ``None`` without one, or when not measured."""
    drive = sides.request.engine.drive if sides.request.engine else None
    if drive is None or drive.register is None or drive.register.form != "spigot":
        return None
    return sides.value("engine.drive.register.depth")


STANDS_OUT = 2.0  # mm of spigot that still locate: common practice, no source
BEHIND_RECESS = 3.0  # mm of ring behind a recess: common practice, no source


def _pump_lug(sides: Sides, line: Linear) -> Iterator[Requirement]:
    rules = sides.rules
    least = line - rules["pump-lug-overlap.least"]
    yield _row("pump_lug_overlap", least, low=0.0, source=rules.source("pump-lug-overlap.least"))
    if "gearbox.converter.pump_lug.gear" in sides.lengths:
        gear = _share(sides, "pump-lug-overlap.gear_share", "gearbox.converter.pump_lug.gear")
        source = rules.source("pump-lug-overlap.gear_share")
        yield _row("pump_lug_overlap", line - gear, low=0.0, source=source)


def _row(
    name: str,
    line: Linear,
    *,
    low: float | None = None,
    high: float | None = None,
    source: str = "",
) -> Requirement:
    return Requirement(check=CHECK_OF[name], line=line, low=low, high=high, source=source)


def _share(sides: Sides, limit: str, key: str) -> Linear | float:
    if key in sides.lengths:
        return Linear(terms={key: sides.rules[limit]})
    return 0.0


def _bush(sides: Sides) -> str:
    return "pilot.bush_width" if "pilot.bush_width" in sides.lengths else "pilot.depth"


def _spline_floor(sides: Sides) -> Linear | float:
    """The share of the disc hub's own length that must be on the splines."""
    if sides.value("clutch.disc_hub.front") is None or sides.value("clutch.disc_hub.rear") is None:
        return 0.0
    share = sides.rules["spline-overlap.fail"]
    return Linear(terms={"clutch.disc_hub.rear": share, "clutch.disc_hub.front": -share})


def _ring_face(sides: Sides) -> str:
    for key in ("engine.drive.ring", "flexplate.ring", "flywheel.ring"):
        if f"{key}.standoff" in sides.lengths:
            return f"{key}.face"
    return ""


def _spacer(sides: Sides) -> Iterator[Requirement]:
    if sides.kind or sides.driving is not None:
        yield Requirement(
            check="spacer-length", line=Linear(spacer=1.0), low=0.0,
            high=sides.rules["spacer-length.most"], source=sides.rules.source("spacer-length.most"),
        )  # fmt: skip


# ── floors of the plate ─────────────────────────────────────────────────────────


def plate_floors(sides: Sides, *, warn: bool) -> list[tuple[str, float, str]]:
    """Least plate thickness by each check that sets one: (check, mm, name of the limit).

    Args:
        warn: Where the check would warn, instead of where it would fail.
    """
    family = limits_of(sides.chosen.plate_material, key="choices.plate_material")
    floors = []
    screwed = tapped_in_plate(sides)
    if screwed:
        limit = f"thread-engagement.{family}"
        share = sides.rules[limit]
        deep = max(
            one.screw.major * share + recess_depth(sides, one) for one in screwed if one.screw
        )
        floors.append(("thread-engagement", deep, limit))
    sunk = [
        head for one in sunk_in_plate(sides) if (head := head_floor(sides, one, family, warn=warn))
    ]
    if sunk:
        limit = f"head-sunk.{family}_{'warn' if warn else 'fail'}"
        floors.append(("head-sunk", max(sunk), limit))
    pins = [
        one
        for pattern in (sides.engine_face, sides.gearbox_face)
        if pattern
        for one in pattern.dowels
    ]
    if pins:
        share = sides.rules["dowels.share"] * max(one.diameter or 0.0 for one in pins)
        floors.append(("dowels", max(sides.rules["dowels.least"], share), "dowels.least"))
    return floors


def tapped_in_plate(sides: Sides) -> tuple[Feature, ...]:
    """Clear holes of either face whose screws thread into the plate."""
    faces = [sides.engine_face]
    if sides.chosen.plate_joint == "tapped":
        faces.append(sides.gearbox_face)
    return tuple(
        one for face in faces if face for one in face.holes if one.kind == "clear" and one.screw
    )


def sunk_in_plate(sides: Sides) -> tuple[Feature, ...]:
    """Tapped holes of either face whose screws' heads are sunk in the plate."""
    faces = (sides.engine_face, sides.gearbox_face)
    return tuple(
        one for face in faces if face for one in face.holes if one.kind == "tapped" and one.screw
    )


def head_floor(sides: Sides, one: Feature, family: str, *, warn: bool) -> float | None:
    """Thickness under which the floor left below a sunk head is too thin [mm]."""
    if one.screw is None:
        return None
    try:
        deep = head_floor_of(sides, one.screw, family, heads=sides.chosen.heads, warn=warn)
        return deep + recess_depth(sides, one)
    except NotTabulated:
        return None


def head_floor_of(
    sides: Sides, screw: Thread, family: str, *, heads: str = "counterbored", warn: bool
) -> float:
    """Head, relief above it and least floor below it, of one sunk screw [mm].

    Raises:
        NotTabulated: a head that is not tabled.
    """
    floor = sides.rules[f"head-sunk.{family}_{'warn' if warn else 'fail'}"] * screw.major
    head = housed(screw, heads)
    lower = 0.0 if head.angle else sides.rules["head-sunk.above"] - RELIEF  # the shop's own relief
    return head.depth + lower + floor


def recess_depth(sides: Sides, one: Feature) -> float:
    """Depth of the gearbox register's recess where a hole lies in it [mm]; 0 elsewhere."""
    box = sides.request.gearbox
    face = box.face if box is not None else None
    if face is None or face.register is None or face.register.form != "spigot":
        return 0.0
    if sides.gearbox_face is not None and len(sides.gearbox_face.dowels) >= 2:
        return 0.0  # the dowels locate; no register is cut
    if sides.chosen.plates == 2 and one.side == "engine":
        return 0.0  # the recess is in the other plate
    inside = math.hypot(one.x, one.y) <= face.register.diameter.first.value / 2
    return (sides.value("gearbox.face.register.depth") or 0.0) + RECESS_RELIEF if inside else 0.0


RECESS_RELIEF = (
    0.5  # mm deeper than the spigot is high, so that the faces meet: common practice, no source
)
