"""Cuts through turned parts, and the spacer ring among them.

Steps are (radius, way): + so far proud of the end face, − so deep into it [mm].
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wizard import words
from wizard.papers.document import DISC, POST, RING, SPINDLE, Document
from wizard.papers.shapes import Area, Spot

WALL = 12.0  # wall of a part whose outside is not known

Steps = Sequence[tuple[float, float]]


def solid(
    tag: str,
    side: str,
    *,
    left: float,
    right: float,
    outside: float,
    bore: float = 0.0,
    left_steps: Steps = (),
    right_steps: Steps = (),
    known: bool = True,
) -> Area | None:
    """The cut through one turned part; ``None`` when nothing of it is left.

    Args:
        tag: What it is, a word of `wizard.words`. side: engine, gearbox or adapter.
        left, right: Its end faces, z [mm].
        outside, bore: Radii [mm].
        left_steps, right_steps: Spigots and recesses of the two ends.
        known: False when a size was not given and the part is drawn for orientation.
    """
    if right <= left or outside <= bore:
        return None
    mirrored = [(radius, -way) for radius, way in left_steps]
    points = (
        *reversed(_end(left, outside, bore, mirrored)),
        *_end(right, outside, bore, right_steps),
    )
    return Area(points=points, name=words.label(tag), tag=tag, side=side, known=known)


def _end(face: float, outside: float, bore: float, steps: Steps) -> list[Spot]:
    """One end of a turned part, from its outside down to its bore."""
    level, path = face, [(face, outside)]
    for radius, way in sorted(steps, reverse=True):
        if bore < radius < outside:
            path += [(level, radius), (face + way, radius)]
            level = face + way
    return [*path, (level, bore)]


def ring_area(doc: Document, *, face: float) -> Area | None:
    """The spacer ring with its driving face at z = ``face``; ``None`` when none is made."""
    thickness = doc.size(RING, "thickness")
    if thickness is None:
        return None
    right = ends(doc, RING, proud="driven_spigot", sunk="driven_recess")
    bore = half(doc.size(RING, "bore")) or 0.0
    if (carried := pilot_bore(doc)) is not None:
        radius, depth = max(carried) / 2, doc.table("pilot").get("depth")
        if radius > bore and depth and depth < thickness:
            right = [*right, (radius, -depth)]
        bore = bore if depth and depth < thickness else max(bore, radius)
    return solid(
        RING,
        "adapter",
        left=face,
        right=face + thickness,
        outside=drive_radius(doc),
        bore=bore,
        left_steps=ends(doc, RING, proud="spigot", sunk="recess"),
        right_steps=right,
        known=doc.size(RING, "outside") is not None,
    )


def spindle_area(doc: Document, *, face: float) -> Area | None:
    """The spindle with its flange against z = ``face``; ``None`` when none is made."""
    thickness, flange = doc.size(SPINDLE, "thickness"), doc.size(SPINDLE, "flange")
    outside, waist = doc.size(SPINDLE, "outside"), doc.size(SPINDLE, "waist")
    if thickness is None or outside is None:
        return None
    body = flange if flange and waist and flange < thickness else thickness
    proud = [(waist / 2, thickness - body)] if waist and body < thickness else []
    carried = pilot_bore(doc)
    driven = ends(doc, SPINDLE, proud="driven_spigot", sunk="driven_recess")
    beyond = [(radius, thickness - body + way) for radius, way in driven]
    return solid(
        SPINDLE,
        "adapter",
        left=face,
        right=face + body,
        outside=outside / 2,
        bore=max(carried) / 2 if carried else half(doc.size(SPINDLE, "bore")) or 0.0,
        left_steps=ends(doc, SPINDLE, proud="spigot", sunk="recess"),
        right_steps=[*proud, *beyond],
    )


def post_areas(doc: Document, *, face: float) -> Iterator[Area | None]:
    """Carrier disc, spindle and posts, with the driving face at z = ``face``."""
    disc = doc.part(DISC)
    if disc is None:
        return
    rear = face + float(disc["size"]["thickness"])
    yield solid(
        DISC, "adapter", left=face, right=rear, outside=float(disc["size"]["outside"]) / 2,
        bore=half(doc.size(DISC, "bore")) or 0.0,
        left_steps=ends(doc, DISC, proud="spigot", sunk="recess"),
    )  # fmt: skip
    yield spindle_area(doc, face=rear)
    across, length = doc.size(POST, "outside"), doc.size(POST, "length")
    seats = [hole for hole in disc.get("holes") or () if hole.get("for") == "driven"]
    if across and length and seats:
        stand = float(seats[0]["x"] ** 2 + seats[0]["y"] ** 2) ** 0.5
        yield solid(
            POST, "adapter", left=rear, right=rear + length, outside=stand + across / 2,
            bore=stand - across / 2,
        )  # fmt: skip


def pilot_bore(doc: Document) -> tuple[float, float] | None:
    """Limits of the bore the ring itself carries for a nose or tip; ``None`` when it has none."""
    pilot = doc.table("pilot")
    if pilot.get("carried_by") != "spacer" or pilot.get("style") != "bore" or not pilot.get("bore"):
        return None
    low, high = pilot["bore"]
    return float(low), float(high)


def drive_radius(doc: Document) -> float:
    """Outer radius to draw the rotating adapter and its neighbours with [mm]."""
    circle = doc.length("engine.drive.circle.diameter")
    sizes = (
        doc.size(RING, "outside"),
        doc.size(DISC, "outside"),
        doc.length("engine.drive.outside"),
        circle + 2 * WALL if circle else None,
    )
    return next((size / 2 for size in sizes if size), 50.0)


def ends(doc: Document, part: str, *, proud: str, sunk: str) -> list[tuple[float, float]]:
    """The spigot and the recess of one end of a part, as steps."""
    spigots = [(d / 2, length) for d, length in pair(doc, part, proud, f"{proud}_length")]
    return spigots + [(d / 2, -depth) for d, depth in pair(doc, part, sunk, f"{sunk}_depth")]


def pair(doc: Document, part: str, diameter: str, along: str) -> list[tuple[float, float]]:
    """A diameter and how far it goes, when the part has both [mm]."""
    across, length = doc.size(part, diameter), doc.size(part, along)
    return [(across, length)] if across and length else []


def half(diameter: float | None) -> float | None:
    """The radius of a diameter that may not be known [mm]."""
    return None if diameter is None else diameter / 2
