"""Readings → two faces and two drives: one value for each dimension, every hole in frame P.

Frame P: behind the engine, looking forward; origin on the crank axis, x right, y up.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping, Sequence

from kb.errors import InputError
from kb.model.chain import Assumption, Length
from kb.model.measured import Band, Measured
from kb.model.record import Sides
from kb.model.request import Request, Settled
from kb.model.shop import Instrument
from kb.quantity import Dimension, both
from kb.rules.loader import instruments, rule_set, rule_set_for, within_by_source
from kb.standards.bolts import grades
from wizard.engine.faces import Drawn, drive_patterns, face_pattern, material_of

STOCK = {"in": (9.525, 12.7, 15.875, 19.05, 25.4), "mm": (10.0, 12.0, 15.0, 20.0, 25.0)}
_UNCHAINED = (".holes[", ".dowels[", ".keepout", ".outline", ".plate_stock", ".plate_outline")


def normalise(
    request: Request,
    *,
    shop_limits: Mapping[str, float] | None = None,
    shop_instruments: Mapping[str, Instrument] | None = None,
) -> Sides:
    """Bring a request to one value per dimension and every hole into frame P.

    Args:
        request: The job as written.
        shop_limits: Limits the shop has changed, by name.
        shop_instruments: Instruments as the shop keeps them; the common ones otherwise.
    Raises:
        InputError: a rule set or limit that does not exist, or nothing to work on.
    """
    if request.engine is None and request.gearbox is None:
        raise InputError("sheet", request.title or "(empty)", "give [engine], [gearbox] or both")
    kind = _kind(request)
    assumed: list[Assumption] = []
    chosen = _settle(request, kind, assumed)
    assumed += _nought(request)
    tools = shop_instruments or instruments()
    lengths = {
        key: dataclasses.replace(_length(key, measured, tools, assumed), above_zero=size)
        for key, measured, size in _dimensions(request, "")
    }
    _refuse_backward_hub(lengths)
    faces = _faces(request, chosen, assumed)
    drives = drive_patterns(request, kind, assumed)
    return Sides(
        request=request, chosen=chosen, kind=kind,
        rules=rule_set(chosen.rules, changes=shop_limits), lengths=lengths,
        engine_face=faces["engine"].pattern, gearbox_face=faces["gearbox"].pattern,
        driving=drives.driving.pattern, driven=drives.driven.pattern,
        driven_part=drives.driven_part, through=drives.through,
        lacks={
            "engine.face": faces["engine"].lacks, "gearbox.face": faces["gearbox"].lacks,
            "driving": drives.driving.lacks, "driven": drives.driven.lacks,
        },
        assumed=tuple(assumed),
        best_within=min((tool.within for tool in tools.values() if tool.in_shop), default=math.inf),
    )  # fmt: skip


def _refuse_backward_hub(lengths: Mapping[str, Length]) -> None:
    """A disc's hub ends behind where it begins.

    Raises:
        InputError: it does not.
    """
    front, rear = lengths.get("clutch.disc_hub.front"), lengths.get("clutch.disc_hub.rear")
    if front is not None and rear is not None and rear.value <= front.value:
        accepted = "write a place behind the hub's front, + toward the gearbox"
        raise InputError("clutch.disc_hub.rear", f"{rear.value:g} mm", accepted)


def _kind(request: Request) -> str:
    box = request.gearbox
    if box is None:
        return ""
    if box.converter is not None:
        return "converter"
    if box.shaft is not None or box.release is not None:
        return "shaft"
    return "flange" if box.driven is not None else ""


def _faces(request: Request, chosen: Settled, assumed: list[Assumption]) -> dict[str, Drawn]:
    faces = {
        "engine": request.engine.face if request.engine else None,
        "gearbox": request.gearbox.face if request.gearbox else None,
    }
    return {
        side: face_pattern(face, side=side, chosen=chosen, assumed=assumed)
        for side, face in faces.items()
    }


# ── choices ─────────────────────────────────────────────────────────────────


def _settle(request: Request, kind: str, assumed: list[Assumption]) -> Settled:
    """The choices with their defaults, every default used being named."""
    made = request.choices

    def pick(name: str, default: object, why: str = "default of the sheet") -> object:
        value = getattr(made, name)
        if value is None or value == ():
            assumed.append(Assumption(key=f"choices.{name}", value=_shown(default), why=why))
            return default
        return value

    stock = made.plate_stock or ()
    if not stock:
        names = ", ".join(both(size, first=request.units) for size in STOCK[request.units])
        assumed.append(Assumption(key="choices.plate_stock", value=names, why="usual stock"))
    for name, taken, why in FOLLOWS:
        if getattr(made, name) is None:
            assumed.append(Assumption(key=f"choices.{name}", value=taken, why=why))
    pieces = {
        "stage": pick("stage", "quote"),
        "plate_material": pick("plate_material", "6061-T6"),
        "plate_joint": pick("plate_joint", "tapped"),
        "spacer_material": pick("spacer_material", "1045"),
        "rotating_style": pick("rotating_style", "auto"),
        "screw_grade": pick("screw_grade", "5" if request.units == "in" else "8.8"),
        "thread_friction": pick("thread_friction", 0.12),
        "joint_friction": pick("joint_friction", 0.10),
        "rules": pick("rules", rule_set_for(kind), "by kind of drive"),
        "clocking": pick("clocking", (0.0, 0.0), "gearbox kept upright"),
        "layout": pick("layout", "mill"),
        "turning": pick("turning", "one chucking"),
        "fit": pick("fit", "locating"),
        "uncertainty": pick("uncertainty", "worst"),
        "confidence": pick("confidence", 0.95),
        "dial_in": pick("dial_in", False),
        "heads": pick("heads", "counterbored"),
        "keepout": pick("keepout", "through"),
        "plates": pick("plates", 1),
    }
    if str(pieces["screw_grade"]) not in grades():
        held = "write one of " + ", ".join(grades())
        raise InputError("choices.screw_grade", pieces["screw_grade"], held)
    material_of(str(pieces["plate_material"]), key="choices.plate_material")
    material_of(str(pieces["spacer_material"]), key="choices.spacer_material")
    return Settled(
        plate_stock=tuple(sorted(size.first.value for size in stock)) or STOCK[request.units],
        least_wall=made.least_wall.first.value if made.least_wall else None,
        leave_out=tuple(_pair(text, ":", "choices.leave_out", request) for text in made.leave_out),
        share=tuple(_pair(text, "=", "choices.share", request) for text in made.share),
        **pieces,  # type: ignore[arg-type]
    )  # fmt: skip


FOLLOWS = (
    ("plate", "worked out", "thinnest stock that works"),
    ("spacer", "worked out", "closes on the middle of the wanted band"),
    ("packing", "none", "default of the sheet"),
    ("least_wall", "by screw and material", "default of the sheet"),
)


def _nought(request: Request) -> Iterator[Assumption]:
    """What parts of the sheet leave open and is taken as nothing, or as one."""
    box, engine, clutch = request.gearbox, request.engine, request.clutch
    converter = box.converter if box is not None else None
    crank = engine.drive.pilot if engine is not None and engine.drive is not None else None
    torque = engine.peak_torque if engine is not None else None
    rows = (
        ("gearbox.converter.lug_shims", "0", converter, converter and converter.lug_shims),
        ("engine.drive.pilot.mouth", "0", crank, crank and crank.mouth),
        ("pilot.mouth", "0", request.pilot, request.pilot and request.pilot.mouth),
        ("clutch.discs", "1", clutch, clutch and clutch.discs),
        ("use.torque_factor", "1", torque, request.use and request.use.torque_factor),
    )
    for key, value, part, given in rows:
        if part is not None and given is None:
            yield Assumption(key=key, value=value, why="default of the sheet")


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " to ".join(f"{item:g}°" for item in value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _pair(text: str, mark: str, key: str, request: Request) -> tuple[str, str]:
    """``gearbox:2`` or ``1=7`` taken apart, both ends known."""
    left, found, right = (piece.strip() for piece in text.partition(mark))
    ids = {side: _hole_ids(request, side) for side in ("engine", "gearbox")}
    if mark == ":" and found and right in ids.get(left, ()):
        return left, right
    if mark == "=" and found and left in ids["engine"] and right in ids["gearbox"]:
        return left, right
    form = (
        "side:hole, such as gearbox:2" if mark == ":" else "engine hole=gearbox hole, such as 1=7"
    )
    raise InputError(key, text, f"write {form}, with holes the faces have")


def _hole_ids(request: Request, side: str) -> tuple[str, ...]:
    unit = getattr(request, side)
    face = unit.face if unit is not None else None
    if face is None:
        return ()
    if face.circle is not None:
        return tuple(str(number + 1) for number in range(face.circle.count))
    return tuple(hole.id for hole in face.holes)


# ── dimensions ──────────────────────────────────────────────────────────────


def _dimensions(node: object, path: str) -> Iterator[tuple[str, Measured, bool]]:
    """Every measured dimension with its key and whether it is a size; holes and outlines apart."""
    for field in dataclasses.fields(node):  # type: ignore[arg-type]
        value = getattr(node, field.name)
        key = f"{path}.{field.name}" if path else field.name
        if any(mark in f".{key}" for mark in _UNCHAINED) or field.name in ("holes", "dowels"):
            continue
        if isinstance(value, Measured):
            yield key, value, bool(field.metadata.get("above_zero"))
        elif isinstance(value, Band):
            yield f"{key}.low", Measured((value.low,)), False
            yield f"{key}.high", Measured((value.high,)), False
        elif dataclasses.is_dataclass(value) and not isinstance(value, Dimension):
            yield from _dimensions(value, key)


def taken(key: str, measured: Measured, *, tools: Mapping[str, Instrument] | None = None) -> Length:
    """What a pairing takes for a dimension with all its readings: one value, and whether they agree.

    Args:
        key: The dimension's key in a sheet. measured: Its readings.
        tools: Instruments of the shop; the usual ones by default.
    """
    return _length(key, measured, instruments() if tools is None else tools, [])


def disagreement(readings: Sequence[Length]) -> float | None:
    """How likely readings of one length differ as much as these by chance alone.

    The sum of squared deviations from the weighted mean over their variances is χ² with one degree
    of freedom less than there are readings; a ± is two standard deviations.

    Source:
        Birge's consistency test, as in JCGM 100:2008 and any text of statistics (from memory);
        the chance is the regularised upper gamma function.
    """
    sigmas = [one.within / 2 for one in readings]
    if len(readings) < 2 or min(sigmas) <= 0:
        return None
    from scipy.special import gammaincc

    weights = [1 / sigma**2 for sigma in sigmas]
    mean = math.fsum(w * one.value for w, one in zip(weights, readings, strict=True)) / math.fsum(weights)  # fmt: skip
    chi2 = math.fsum(w * (one.value - mean) ** 2 for w, one in zip(weights, readings, strict=True))
    return float(gammaincc((len(readings) - 1) / 2, chi2 / 2))


def each_reading(key: str, measured: Measured) -> tuple[Length, ...]:
    """Every reading of a dimension with its own ±, by the usual instruments."""
    return tuple(_reading(key, one, instruments(), [], exact=False) for one in measured.readings)


def _length(
    key: str,
    measured: Measured,
    tools: Mapping[str, Instrument],
    assumed: list[Assumption],
) -> Length:
    """One value from all the readings of a dimension."""
    exact = key.startswith(("choices.", "pilot.")) or _is_band(key)
    readings = [_reading(key, one, tools, assumed, exact=exact) for one in measured.readings]
    if len(readings) == 1:
        return readings[0]
    combined = _combine(key, readings)
    if not measured.chosen:
        return combined
    return dataclasses.replace(
        readings[measured.chosen - 1], chosen=measured.chosen,
        readings=len(readings), disagree=combined.disagree,
    )  # fmt: skip


def _is_band(key: str) -> bool:
    return key.endswith((".low", ".high"))


def _reading(
    key: str,
    one: Dimension,
    tools: Mapping[str, Instrument],
    assumed: list[Assumption],
    *,
    exact: bool,
) -> Length:
    below, above, spread = one.below, one.above, "normal"
    if below is None or above is None:
        if exact:
            below = above = 0.0
            spread = "exact"
        else:
            width, spread = _default_within(key, one, tools, assumed)
            below = above = width
    elif one.limits or one.source in ("drawing", "standard"):
        spread = "uniform"
    elif one.how in tools:
        spread = tools[one.how].spread
    if below == above == 0.0:
        spread = "exact"
    return Length(
        key=key, value=one.value, low=one.value - below, high=one.value + above, spread=spread,
        source="chosen" if exact else one.source, how=one.how, unit=one.unit,
    )  # fmt: skip


def _default_within(
    key: str, one: Dimension, tools: Mapping[str, Instrument], assumed: list[Assumption]
) -> tuple[float, str]:
    if one.how in tools and one.source == "measured":
        tool = tools[one.how]
        width, spread, why = tool.within, tool.spread, f"usual for {_article(one.how)}"
    else:
        width, spread = within_by_source(one.source), "normal"
        stated = f"instrument “{one.how}” not on the list" if one.how else "instrument not stated"
        why = stated if one.source == "measured" else f"usual for a {one.source} value"
    assumed.append(Assumption(key=key, value=f"± {both(width, first=one.unit)}", why=why))
    return width, spread


def _article(word: str) -> str:
    return f"an {word}" if word[:1].lower() in "aeiou" else f"a {word}"


def _combine(key: str, readings: list[Length]) -> Length:
    """Readings weighed by their instruments; whether they agree is said, not hidden."""
    weights = [1 / max(one.within, 1e-6) ** 2 for one in readings]
    total = math.fsum(weights)
    value = math.fsum(w * one.value for w, one in zip(weights, readings, strict=True)) / total
    width = 1 / math.sqrt(total)
    disagree = any(
        abs(a.value - b.value) > math.hypot(a.within, b.within) + 1e-9
        for a in readings
        for b in readings
    )
    if disagree:  # the honest ± then spans the readings themselves
        width = max(abs(one.value - value) for one in readings)
    first = readings[0]
    sources = {one.source for one in readings}
    return Length(
        key=key, value=value, low=value - width, high=value + width, spread="normal",
        source=first.source if len(sources) == 1 else "measured", how=first.how, unit=first.unit,
        readings=len(readings), disagree=disagree,
    )  # fmt: skip
