"""Each part as a body: what stands between two heights, less what is taken out of it [mm].

A body is a pile of straight columns: outlines and circles that stand from one height to another,
and circles and cones that are cut away. Height 0 is the part's face toward the engine, + toward
the gearbox. Mesh and solid are both made from it, so they cannot differ.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kb.model.parts import Segment
from wizard.making.stuff import outline
from wizard.papers.document import DISC, POST, RING, SPINDLE, Document
from wizard.papers.shapes import Spot
from wizard.papers.turned import pilot_bore

Row = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column from ``low`` to ``high``: over an outline, or round when it has a diameter.

    ``top`` is the diameter at ``high`` of a cone; without it the column is straight.
    """

    low: float
    high: float
    centre: Spot = (0.0, 0.0)
    diameter: float = 0.0
    top: float | None = None
    pieces: tuple[Segment, ...] = ()

    @property
    def volume(self) -> float:
        """Volume of a round column or cone [mm³]."""
        r, s = self.diameter / 2, (self.diameter if self.top is None else self.top) / 2
        return math.pi / 3 * (self.high - self.low) * (r * r + r * s + s * s)


@dataclass(frozen=True, kw_only=True)
class Body:
    """One part, with the places it stands at in the assembly: x, y, z of its own origin."""

    name: str
    stands: tuple[Column, ...]
    cuts: tuple[Column, ...]
    places: tuple[tuple[float, float, float], ...]


def bodies(answer: Row) -> Iterator[Body]:
    """Every part of an answer whose sizes are known, in the order of the answer."""
    doc = Document(answer)
    plates = 0.0
    for part in doc.rows("parts"):
        name = str(part["name"])
        if name.endswith("plate"):
            made = _plate(part, z=plates)
            plates += float(part["size"].get("thickness") or 0.0)
        else:
            made = _turned(doc, part)
        if made is not None:
            yield made


def _plate(part: Row, *, z: float) -> Body | None:
    size, pieces = part["size"], outline(part)
    thick = size.get("thickness")
    if not thick or not pieces:
        return None
    stands = [Column(low=0.0, high=thick, pieces=pieces)]
    if proud := _pair(size, "spigot", "spigot_length"):
        stands.append(Column(low=-proud[1], high=0.0, diameter=proud[0]))
    low, cuts = min(one.low for one in stands), []
    if bore := size.get("bore"):
        cuts.append(Column(low=low, high=thick, diameter=bore))
    if sunk := _pair(size, "recess", "recess_depth"):
        cuts.append(Column(low=0.0, high=sunk[1], diameter=sunk[0]))
    if sunk := _pair(size, "register", "register_depth"):
        cuts.append(Column(low=thick - sunk[1], high=thick, diameter=sunk[0]))
    cuts += _holes(part, low, thick)
    return Body(name=part["name"], stands=tuple(stands), cuts=tuple(cuts), places=((0.0, 0.0, z),))


def _turned(doc: Document, part: Row) -> Body | None:
    size, name = part["size"], str(part["name"])
    length = size.get("thickness") or size.get("length")
    outside = size.get("outside")
    if not length or not outside:
        return None
    flange, waist = size.get("flange"), size.get("waist")
    stands = [Column(low=0.0, high=flange if flange and waist and flange < length else length, diameter=outside)]  # fmt: skip
    if waist and flange and flange < length:
        stands.append(Column(low=flange, high=length, diameter=waist))
    if proud := _pair(size, "spigot", "spigot_length"):
        stands.append(Column(low=-proud[1], high=0.0, diameter=proud[0]))
    if proud := _pair(size, "driven_spigot", "driven_spigot_length"):
        stands.append(Column(low=length, high=length + proud[1], diameter=proud[0]))
    low, high = min(one.low for one in stands), max(one.high for one in stands)
    cuts = []
    if bore := size.get("bore"):
        deep = size.get("bore_depth") or high - low
        ends = (
            [(low, high)] if deep >= (high - low) / 2 else [(low, low + deep), (high - deep, high)]
        )
        cuts += [Column(low=a, high=b, diameter=bore) for a, b in ends]
    if sunk := _pair(size, "recess", "recess_depth"):
        cuts.append(Column(low=0.0, high=sunk[1], diameter=sunk[0]))
    if sunk := _pair(size, "driven_recess", "driven_recess_depth"):
        cuts.append(Column(low=length - sunk[1], high=length, diameter=sunk[0]))
    if name in (RING, SPINDLE) and (carried := pilot_bore(doc)):
        deep = doc.table("pilot").get("depth") or high - low
        cuts.append(Column(low=max(low, high - deep), high=high, diameter=sum(carried) / 2))
    cuts += _holes(part, low, high)
    return Body(name=name, stands=tuple(stands), cuts=tuple(cuts), places=tuple(_places(doc, name)))


def _pair(size: Row, across: str, along: str) -> tuple[float, float] | None:
    return (float(size[across]), float(size[along])) if size.get(across) and size.get(along) else None  # fmt: skip


def _holes(part: Row, low: float, high: float) -> Iterator[Column]:
    """Drilled, sunk and counterbored, each from the side it is worked from."""
    size = part["size"]
    thick = float(size.get("thickness") or size.get("length") or 0.0)
    if size.get("waist"):  # bolted through its flange, from behind it
        thick = float(size.get("flange") or thick)
    for hole in part.get("holes") or ():
        centre = (float(hole["x"]), float(hole["y"]))
        from_engine = hole.get("side") == "engine"
        depth = hole.get("depth")

        def down(deep: float, *, up: bool = from_engine) -> tuple[float, float]:
            return (0.0, deep) if up else (thick - deep, thick)

        ends = (low, high) if depth is None else down(float(depth))
        yield Column(low=ends[0], high=ends[1], centre=centre, diameter=float(hole["diameter"]))
        if seat := hole.get("counterbore"):
            a, b = down(float(seat["depth"]))
            yield Column(low=a, high=b, centre=centre, diameter=float(seat["diameter"]))
        if sink := hole.get("countersink"):
            wide, inner = float(sink["diameter"]), float(hole["diameter"])
            deep = (wide - inner) / 2 / math.tan(math.radians(float(sink["angle"]) / 2))
            a, b = down(deep)
            first, last = (wide, inner) if from_engine else (inner, wide)
            yield Column(low=a, high=b, centre=centre, diameter=first, top=last)


def _places(doc: Document, name: str) -> Iterator[tuple[float, float, float]]:
    """Where a turned part stands in the assembly, from the engine's bare face."""
    z = doc.stations
    face = z.get("driving_face", 0.0)
    disc = doc.size(DISC, "thickness") or 0.0
    if name == POST:
        seats = [hole for hole in (doc.part(DISC) or {}).get("holes") or () if hole.get("for") == "driven"]  # fmt: skip
        yield from ((float(hole["x"]), float(hole["y"]), face + disc) for hole in seats)
    elif name == SPINDLE:
        yield 0.0, 0.0, face + disc
    elif name == "pilot bush":
        mouth = z.get("pilot_mouth", face)
        yield 0.0, 0.0, mouth - (doc.size(name, "length") or 0.0)
    else:
        yield 0.0, 0.0, face
