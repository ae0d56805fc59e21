"""The half section along the crankshaft axis, to scale: engine on the left, gearbox on the right.

Across the view is z, from the engine's bare face, + toward the gearbox; up the view is radius.
The parts are solids of revolution here: bolts, lugs and pads stand where their circle is. A part
whose size the answer does not hold is drawn for orientation and marked as not known.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wizard import words
from wizard.papers.document import RING, Document, size_words
from wizard.papers.shapes import Area, Girth, Line, Shape, Span, Words
from wizard.papers.turned import WALL, ends, half, pair, pilot_bore, ring_area, solid, spindle_area
from wizard.papers.turning import SHOWN, turning

# what is dimensioned, from which station to which
_SPANS: tuple[tuple[str, str, str], ...] = (
    ("plate", "engine_face", "plate_rear"),
    ("packing", "plate_rear", "gearbox_face"),
    ("engine.drive.standoff", "engine_face", "driving_face"),
    ("spacer", "driving_face", "driven_face"),
    ("flexplate.offset", "driven_face", "contact"),
    ("gap", "lugs_free", "lugs_seated"),
    ("gearbox.converter.seat_depth", "gearbox_face", "lugs_seated"),
    ("gearbox.converter.hub.reach", "nose_tip", "lugs_drawn"),
    ("nose_engagement", "nose_tip", "pilot_mouth"),
    ("flywheel.height", "driven_face", "clutch_face"),
    ("clutch.fingers", "clutch_face", "fingers"),
    ("release_gap", "fingers", "bearing"),
    ("gearbox.release.retracted", "gearbox_face", "bearing"),
    ("gearbox.shaft.reach", "shaft_end", "gearbox_face"),
    ("tip_engagement", "tip_front", "tip_rear"),
    ("gearbox.driven.position", "gearbox_face", "contact"),
    ("engine.drive.ring.face", "ring_front", "ring_rear"),
    ("flexplate.ring.face", "ring_front", "ring_rear"),
    ("flywheel.ring.face", "ring_front", "ring_rear"),
)
_DRAWING_ONLY = ("lugs_free", "lugs_drawn", "tip_front", "tip_rear")


def section(answer: Mapping[str, Any]) -> tuple[Shape, ...]:
    """The assembled half section with its stations and dimensions.

    Args:
        answer: The agreed answer; lengths in mm.
    Returns:
        Areas with part names, the axis, a `Line` tagged ``level`` for every station, and a `Span`
        for every axial dimension; empty when the answer holds nothing along the axis.
    """
    doc = Document(answer)
    z = _places(doc)
    if not z:
        return ()
    areas = tuple(area for area in (*_standing(doc, z), *turning(doc, z)) if area is not None)
    across = [point[0] for area in areas for point in area.points] or list(z.values())
    top = max((point[1] for area in areas for point in area.points), default=SHOWN)
    low, high = min(across), max(across)
    over = 0.04 * (high - low)
    return (
        *areas,
        Line(start=(low - over, 0.0), end=(high + over, 0.0), tag="axis", says="crankshaft axis"),
        *_levels(z, top),
        *_spans(doc, z),
        Words(at=(-over, top), text="ENGINE SIDE", tag="side", anchor="right"),
        Words(
            at=(z.get("gearbox_face", max(z.values())) + over, top),
            text="GEARBOX SIDE",
            tag="side",
            anchor="left",
        ),
    )


def ring_section(answer: Mapping[str, Any]) -> tuple[Shape, ...]:
    """The half section of the spacer ring, or of the spindle, alone, with lengths and diameters.

    Its face toward the engine stands at z = 0.

    Returns:
        Empty when the design has neither.
    """
    doc = Document(answer)
    ring = ring_area(doc, face=0.0) or spindle_area(doc, face=0.0)
    if ring is None:
        return ()
    low, high = min(point[0] for point in ring.points), max(point[0] for point in ring.points)
    over = 0.1 * (high - low)
    return (
        ring,
        Line(start=(low - over, 0.0), end=(high + over, 0.0), tag="axis", says="axis"),
        *_ring_spans(doc),
        *_ring_girths(doc),
    )


# ── what stands still ───────────────────────────────────────────────────────────


def _standing(doc: Document, z: Mapping[str, float]) -> Iterator[Area | None]:
    outer, opening = _plate_radii(doc)
    bore = half(doc.length("engine.face.opening"))
    yield solid(
        "engine housing", "engine", left=-SHOWN, right=0.0, outside=outer,
        bore=min(bore or opening, outer - 1), known=bore is not None,
    )  # fmt: skip
    rear, face = z.get("plate_rear"), z.get("gearbox_face")
    if rear is not None:
        yield from _plates(doc, rear, outer, opening)
    if face is None:
        return
    yield solid("packing", "adapter", left=rear or 0.0, right=face, outside=outer, bore=opening)
    bore = half(doc.length("gearbox.face.opening"))
    yield solid(
        "gearbox housing", "gearbox", left=face, right=max(face + SHOWN, *z.values()) + 10,
        outside=outer, bore=min(bore or outer - WALL, outer - 1), known=bore is not None,
    )  # fmt: skip


def _plates(doc: Document, rear: float, outer: float, opening: float) -> Iterator[Area | None]:
    """The plate, or the plates one behind the other, from the engine's face on."""
    at, names = 0.0, [str(part["name"]) for part in doc.plates] or [doc.plate]
    for name in names:
        thick = doc.size(name, "thickness") if len(names) > 1 else rear
        recess = pair(doc, name, "register", "register_depth")
        yield solid(
            name, "adapter", left=at, right=at + (thick or 0.0), outside=outer, bore=opening,
            left_steps=ends(doc, name, proud="spigot", sunk="recess"),
            right_steps=[(across / 2, -depth) for across, depth in recess],
            known=doc.size(name, "bore") is not None,
        )  # fmt: skip
        at += thick or 0.0


def _plate_radii(doc: Document) -> tuple[float, float]:
    """Outer radius and opening to draw the plate with."""
    turning_parts = (
        "gearbox.converter.outside", "clutch.outside", "flexplate.outside", "flywheel.outside",
        "gearbox.driven.outside", "engine.drive.outside",
    )  # fmt: skip
    swings = [doc.length(key) or 0.0 for key in turning_parts]
    bore = doc.size(doc.plate, "bore")
    opening = bore / 2 if bore else max(*swings, 100.0) / 2 + 6
    holes = [hole for part in doc.plates for hole in part.get("holes") or ()]
    reach = max((float(hole["x"] ** 2 + hole["y"] ** 2) ** 0.5 + 10 for hole in holes), default=0.0)
    return max(half(doc.size(doc.plate, "height")) or 0.0, reach, opening + WALL), opening


# ── stations and dimensions ─────────────────────────────────────────────────────


def _places(doc: Document) -> dict[str, float]:
    """The stations, and the few more the drawing needs."""
    z = dict(doc.stations)
    if "contact" in z and doc.kind == "converter":
        nose, reach = z.get("nose_tip"), doc.length("gearbox.converter.hub.reach")
        z["lugs_free"] = z["contact"] + (doc.length("gearbox.converter.lug_shims") or 0.0)
        z["lugs_drawn"] = z["lugs_free"] if nose is None or reach is None else nose + reach
    tip = doc.length("gearbox.shaft.tip.length")
    bush = doc.length("pilot.bush_width") or doc.length("pilot.depth")
    if "shaft_end" in z and "pilot_mouth" in z and tip is not None:
        z["tip_front"] = max(z["shaft_end"], z["pilot_mouth"] - (bush or tip))
        z["tip_rear"] = min(z["pilot_mouth"], z["shaft_end"] + tip)
    return z


def _levels(z: Mapping[str, float], top: float) -> Iterator[Line]:
    for name, at in sorted(z.items(), key=lambda item: (item[1], item[0])):
        if name not in _DRAWING_ONLY:
            yield Line(start=(at, 0.0), end=(at, top), tag="level", says=words.label(name))


def _spans(doc: Document, z: Mapping[str, float]) -> Iterator[Span]:
    row = 0
    for key, start, end in _SPANS:
        value = doc.length(key) if "." in key else doc.quantity(key)
        if start not in z or end not in z or value is None or (key == "packing" and not value):
            continue
        yield Span(
            start=(z[start], 0.0), end=(z[end], 0.0), row=row, key=key,
            figure=doc.figure(key, value), says=words.label(key),
        )  # fmt: skip
        row += 1


def _ring_spans(doc: Document) -> Iterator[Span]:
    part = doc.turned
    thickness = doc.size(part, "thickness") or 0.0
    rows = [("thickness", 0.0, thickness)]
    for _, length in pair(doc, part, "outside", "flange"):
        rows.append(("flange", 0.0, length))
    for _, length in pair(doc, part, "spigot", "spigot_length"):
        rows.append(("spigot_length", -length, 0.0))
    for _, depth in pair(doc, part, "recess", "recess_depth"):
        rows.append(("recess_depth", 0.0, depth))
    for _, length in pair(doc, part, "driven_spigot", "driven_spigot_length"):
        rows.append(("driven_spigot_length", thickness, thickness + length))
    for _, depth in pair(doc, part, "driven_recess", "driven_recess_depth"):
        rows.append(("driven_recess_depth", thickness - depth, thickness))
    for row, (key, start, end) in enumerate(rows):
        is_spacer = (part, key) == (RING, "thickness")
        yield Span(
            start=(start, 0.0), end=(end, 0.0), row=row, key="spacer" if is_spacer else key,
            figure=doc.figure("spacer" if is_spacer else key, end - start),
            says=words.label("spacer") if is_spacer else size_words(key),
        )  # fmt: skip


def _ring_girths(doc: Document) -> Iterator[Girth]:
    part = doc.turned
    thickness = doc.size(part, "thickness") or 0.0
    carried = pilot_bore(doc)
    for key, at in (
        ("outside", doc.size(part, "flange") or thickness), ("waist", thickness), ("spigot", 0.0),
        ("recess", 0.0), ("driven_spigot", thickness), ("driven_recess", thickness),
        ("bore", thickness),
    ):  # fmt: skip
        size = doc.size(part, key)
        if size and not (key == "bore" and carried is not None and size > min(carried) - 0.1):
            figure = doc.girth(part, key)
            yield Girth(at=(at, size / 2), key=key, figure=figure, says=size_words(key))
    if carried is not None:
        yield Girth(
            at=(thickness, max(carried) / 2), key="pilot_bore", says=words.label("pilot_bore"),
            figure=f"⌀ {doc.limits(carried)}",
        )  # fmt: skip
