"""What turns in the half section: crank flange, spacer, converter or clutch, shaft, ring gear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard import words
from wizard.papers.document import Document
from wizard.papers.shapes import Area
from wizard.papers.turned import WALL, drive_radius, half, post_areas, ring_area, solid

SHOWN = 30.0  # how much of a housing or shaft beyond its face is drawn

Places = Mapping[str, float]


def turning(doc: Document, z: Places) -> Iterator[Area | None]:
    """Every part that turns, from the engine's side to the gearbox's.

    Args:
        doc: The answer. z: Stations by name [mm].
    """
    if "driving_face" in z:
        yield _driver(doc, z["driving_face"])
        yield ring_area(doc, face=z["driving_face"])
        yield from post_areas(doc, face=z["driving_face"])
    yield _bush(doc, z)
    if doc.kind == "converter":
        yield _flexplate(doc, z)
        yield from _converter(doc, z)
    elif doc.kind == "shaft":
        yield from _clutch(doc, z)
        yield from _shaft(doc, z)
    elif doc.kind == "flange":
        yield _flange(doc, z)
    yield _ring_gear(doc, z)


def _driver(doc: Document, face: float) -> Area | None:
    outside = half(doc.length("engine.drive.outside"))
    thickness = doc.length("engine.drive.thickness")
    radius = half(doc.length("engine.drive.register.diameter"))
    depth = doc.length("engine.drive.register.depth")
    form = doc.driver_register
    steps = [(radius, depth if form == "shaft" else -depth)] if radius and depth and form else []
    return solid(
        "crank flange",
        "engine",
        left=face - (thickness or max(WALL, (depth or 0.0) + 5)),
        right=face,
        outside=outside or drive_radius(doc),
        bore=half(doc.length("engine.drive.pilot.diameter")) or 0.0,
        right_steps=steps,
        known=outside is not None and thickness is not None,
    )


def _bush(doc: Document, z: Places) -> Area | None:
    mouth = z.get("pilot_mouth")
    length = doc.size("pilot bush", "length") or doc.length("pilot.bush_width")
    bore = doc.size("pilot bush", "bore") or doc.length("pilot.bore")
    if mouth is None or not length or not bore:
        return None
    outside = half(doc.size("pilot bush", "outside"))
    return solid(
        "pilot bush",
        "adapter",
        left=mouth - length,
        right=mouth,
        bore=bore / 2,
        outside=outside or bore / 2 + 3,
        known=outside is not None,
    )


# ── automatic and rigid flange ──────────────────────────────────────────────────


def _flexplate(doc: Document, z: Places) -> Area | None:
    contact, driven = z.get("contact"), z.get("driven_face")
    circle = half(doc.length("gearbox.converter.circle.diameter"))
    rim = half(doc.length("flexplate.outside")) or (circle + WALL if circle else None)
    if contact is None or driven is None or not rim or doc.length("flexplate.offset") is None:
        return None
    sheet = doc.length("flexplate.thickness")
    thick, hub = sheet or 2.5, min(drive_radius(doc), rim * 0.6)
    bend = max(circle - WALL if circle else rim * 0.8, hub + 1)
    engine_side = (
        (driven, 0.2 * hub),
        (driven, hub),
        (contact - thick, bend),
        (contact - thick, rim),
    )
    rear = ((contact, rim), (contact, bend), (driven + thick, hub), (driven + thick, 0.2 * hub))
    return Area(
        points=(*engine_side, *rear),
        name=words.label("flexplate"),
        tag="flexplate",
        side="adapter",
        known=sheet is not None and doc.length("flexplate.outside") is not None,
    )


def _converter(doc: Document, z: Places) -> Iterator[Area | None]:
    lugs = z.get("lugs_drawn")
    if lugs is None:
        return
    circle = half(doc.length("gearbox.converter.circle.diameter"))
    outside = half(doc.length("gearbox.converter.outside"))
    body = outside or (circle + WALL if circle else None)
    if circle and body:
        yield solid(
            "converter lug", "gearbox", left=lugs, right=lugs + WALL,
            outside=min(circle + 9, body), bore=max(circle - 9, 0.0), known=False,
        )  # fmt: skip
        yield solid(
            "converter", "gearbox", left=lugs + WALL, right=lugs + WALL + SHOWN,
            outside=body, known=outside is not None,
        )  # fmt: skip
    nose, tip = half(doc.length("gearbox.converter.hub.diameter")), z.get("nose_tip")
    if nose and tip is not None:
        yield solid("converter nose", "gearbox", left=tip, right=lugs + WALL, outside=nose)


def _flange(doc: Document, z: Places) -> Area | None:
    face = z.get("contact", z.get("driven_face"))
    if face is None:
        return None
    outside = half(doc.length("gearbox.driven.outside"))
    return solid(
        "driven flange",
        "gearbox",
        left=face,
        right=face + WALL,
        outside=outside or drive_radius(doc),
        known=outside is not None,
    )


# ── manual ──────────────────────────────────────────────────────────────────────


def _clutch(doc: Document, z: Places) -> Iterator[Area | None]:
    face, driven, fingers = z.get("clutch_face"), z.get("driven_face"), z.get("fingers")
    wheel, cover = half(doc.length("flywheel.outside")), half(doc.length("clutch.outside"))
    reach = wheel or (cover + WALL if cover else 2 * drive_radius(doc))
    if face is None:
        return
    if driven is not None:
        yield solid(
            "flywheel", "adapter", left=driven, right=face, outside=reach,
            bore=0.3 * drive_radius(doc), known=wheel is not None,
        )  # fmt: skip
    if fingers is not None and fingers > face:
        rim = cover or reach - WALL
        yield Area(
            points=(
                (face, 0.55 * rim), (face, rim), ((face + fingers) / 2, rim),
                (fingers, 0.35 * rim), (fingers - 3, 0.35 * rim),
            ),
            name=words.label("clutch"), tag="clutch", side="gearbox", known=False,
        )  # fmt: skip


def _shaft(doc: Document, z: Places) -> Iterator[Area | None]:
    spline = half(doc.length("gearbox.shaft.spline.diameter"))
    tip = half(doc.length("gearbox.shaft.tip.diameter"))
    body = spline or (tip + 6 if tip else 14.0)
    if (bearing := z.get("bearing")) is not None:
        yield solid(
            "release bearing", "gearbox", left=bearing, right=bearing + 18,
            outside=body + 18, bore=body + 4, known=False,
        )  # fmt: skip
    face = z.get("clutch_face")
    front, rear = doc.length("clutch.disc_hub.front"), doc.length("clutch.disc_hub.rear")
    if face is not None and front is not None and rear is not None:
        yield solid(
            "disc hub", "gearbox", left=face + front, right=face + rear,
            outside=body + 8, bore=body, known=False,
        )  # fmt: skip
    end, length = z.get("shaft_end"), doc.length("gearbox.shaft.tip.length")
    if end is not None:
        turned_down = [(tip, length)] if tip and length else []
        shoulder = end + (length or 0.0)
        yield solid(
            "input shaft", "gearbox", left=shoulder, right=max(*z.values(), shoulder) + SHOWN,
            outside=body, left_steps=turned_down, known=spline is not None and tip is not None,
        )  # fmt: skip


def _ring_gear(doc: Document, z: Places) -> Area | None:
    front, rear = z.get("ring_front"), z.get("ring_rear")
    if front is None or rear is None:
        return None
    carriers = ("flexplate", "flywheel", "engine.drive")
    teeth = next(filter(None, (doc.length(f"{one}.ring.diameter") for one in carriers)), None)
    rim = next(filter(None, (doc.length(f"{one}.outside") for one in carriers)), 240.0)
    outside = half(teeth) or rim / 2 + 6
    return solid(
        "ring gear",
        "adapter",
        left=front,
        right=rear,
        outside=outside,
        bore=outside - 10,
        known=teeth is not None,
    )
