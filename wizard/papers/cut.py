"""The cut file of a plate: net size, closed profiles, true circles, one layer a purpose.

Lengths are millimetres and the file says so. Threads and dowels are small pilots to be drilled
out or bored later; a hole that does not go through is a spot to be marked, never pierced; nothing
on the NOTES layer is to be cut.
"""

from __future__ import annotations

import io
import logging
import math
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import ezdxf.filemanagement
from ezdxf import units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.layouts.layout import Modelspace

from kb.errors import InputError
from kb.model.parts import Segment
from kb.model.record import Record
from wizard.making import profile
from wizard.making.holding import TOOLING
from wizard.making.stuff import outline
from wizard.papers.document import numbered
from wizard.papers.holes import INCH
from wizard.papers.plan import SIDE_UP

Round = tuple[tuple[float, float], float, str]  # centre, diameter [mm], layer
VERSIONS = {"R2010": "AC1024", "R12": "AC1009"}
PILOT = 4.0  # mm, where a thread or a dowel will be: common practice, no source
SPOT = 2.0  # mm, the mark of a blind hole: common practice, no source
SAME = 0.01  # mm; centres closer than this are one hole
SQUARE = 100.0  # mm, to be measured on the finished cut
CLEAR = 15.0  # mm between the part and the square


@dataclass(frozen=True)
class Layer:
    """A layer of the cut file: its colour number and what it is for."""

    name: str
    colour: int
    purpose: str


LAYERS = (
    Layer("PROFILE", 7, "outer edge, cut last"),
    Layer("OPENINGS", 5, "bore and clear holes, cut first"),
    Layer("PILOTS", 3, f"threads and dowels: {PILOT:g} mm pilots, drill, tap or bore later"),
    Layer(
        "SPOTS",
        6,
        "blind holes, and holes this process cannot cut true: mark the centre, do not pierce",
    ),
    Layer(
        "TOOLING",
        4,
        "two holes to set the plate up by again, clear of everything; leave out at will",
    ),
    Layer("CHECK-SQUARE", 1, f"{SQUARE:g} mm square: measure it, do not keep it"),
    Layer("NOTES", 8, "not to be cut"),
)


def plates(record: Record) -> tuple[Mapping[str, Any], ...]:
    """The plates of a record, which are what is cut."""
    return tuple(part for part in record.answer.get("parts", ()) if part["name"].endswith("plate"))


def cut_file(record: Record, part: Mapping[str, Any], *, version: str = "R2010") -> bytes:
    """The cut file of one plate as DXF.

    Args:
        record: The record the plate belongs to.
        part: The plate, a row of the answer's parts.
        version: ``R2010`` or ``R12``.
    Raises:
        InputError: another version, or a plate without an outline.
    """
    if version not in VERSIONS:
        raise InputError("version", version, "write R2010 or R12")
    pieces = outline(part)
    if not pieces:
        raise InputError("part", part["name"], "only a part with an outline can be cut")
    with ONE_AT_A_TIME, repeatable():
        return _drawn(record, part, pieces, version)


ONE_AT_A_TIME = threading.Lock()  # the library's option below is one for all threads


@contextmanager
def repeatable() -> Iterator[None]:
    """Without times and names of a moment, so that the same record gives the same bytes."""
    log = logging.getLogger("ezdxf")
    level, log.level = log.level, logging.ERROR  # R12 has no place for its unit: the name says it
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = False
        log.level = level


def _drawn(
    record: Record, part: Mapping[str, Any], pieces: Sequence[Segment], version: str
) -> bytes:
    drawing = ezdxf.filemanagement.new(version, units=units.MM if version == "R2010" else 0)
    drawing.header["$MEASUREMENT"] = 1
    for layer in LAYERS:
        drawing.layers.add(layer.name, color=layer.colour)
    space = drawing.modelspace()
    _profile(space, pieces, version)
    for centre, diameter, purpose in drawn_circles(record, part):
        space.add_circle(centre, diameter / 2, dxfattribs={"layer": purpose})
    left, bottom = corner(pieces)
    _check_square(space, left, bottom - CLEAR - SQUARE, version)
    _legend(space, record, part, left + SQUARE + CLEAR, bottom - CLEAR)
    return written(drawing, record)


def drawn_circles(record: Record, part: Mapping[str, Any]) -> Iterator[Round]:
    """The circles of a record's cut file: by the process of its shop, with the tooling holes."""
    making = record.content.get("making") or {}
    least = profile.least_hole(
        part, profile.process_of((making.get("shop") or {}).get("process", ""))
    )
    yield from circles(part, least=least)
    for x, y in (making.get("tooling") or {}).get(part["name"], ()):
        layer, diameter = ("TOOLING", TOOLING) if least <= TOOLING else ("SPOTS", SPOT)
        yield (float(x), float(y)), diameter, layer


def circles(part: Mapping[str, Any], *, least: float = 0.0) -> Iterator[Round]:
    """Every circle drawn, once each: centre, diameter [mm], layer.

    Holes carried over from the mating part are left out: they are punched through it. Of holes on one centre (one shared by both sides, say) the one that cuts most is drawn. A hole
    smaller than ``least``, which the process cannot cut true, becomes a mark of its centre.
    """
    found: dict[tuple[int, int], tuple[tuple[float, float], float, str]] = {}
    bore = part["size"].get("bore")
    rows = [((0.0, 0.0), float(bore), "OPENINGS")] if bore else []
    rows += [_circle(hole) for hole in part["holes"] if not hole.get("punched")]
    for centre, diameter, layer in rows:
        place = (round(centre[0] / SAME), round(centre[1] / SAME))
        if place not in found or found[place][1] < diameter:
            found[place] = (centre, diameter, layer)
    for centre, diameter, layer in found.values():
        too_small = diameter < least - SAME and layer in ("OPENINGS", "PILOTS")
        yield (centre, min(SPOT, diameter), "SPOTS") if too_small else (centre, diameter, layer)


def _circle(hole: Mapping[str, Any]) -> tuple[tuple[float, float], float, str]:
    centre, diameter = (float(hole["x"]), float(hole["y"])), float(hole["diameter"])
    if hole.get("depth") is not None:
        return centre, min(SPOT, diameter), "SPOTS"
    if hole["kind"] in profile.FINISHED_LATER:
        return centre, min(PILOT, diameter), "PILOTS"
    return centre, diameter, "OPENINGS"


def _profile(space: Modelspace, pieces: Sequence[Segment], version: str) -> None:
    """One closed line of straight pieces and arcs, exactly as the design gives it."""
    points = [(*piece.start, 0.0, 0.0, bulge(piece)) for piece in pieces]
    style = {"layer": "PROFILE"}
    if version == "R12":
        flat = [(x, y, bulge) for x, y, _, _, bulge in points]
        space.add_polyline2d(flat, format="xyb", close=True, dxfattribs=style)
    else:
        space.add_lwpolyline(points, format="xyseb", close=True, dxfattribs=style)


def bulge(piece: Segment) -> float:
    """Tangent of a quarter of the arc's angle; 0 for a straight piece."""
    if piece.kind == "line" or piece.centre is None:
        return 0.0
    (cx, cy), (ax, ay), (bx, by) = piece.centre, piece.start, piece.end
    sweep = math.atan2(by - cy, bx - cx) - math.atan2(ay - cy, ax - cx)
    turn = sweep % (2 * math.pi) if piece.ccw else -((-sweep) % (2 * math.pi))
    return math.tan(turn / 4)


def corner(pieces: Sequence[Segment]) -> tuple[float, float]:
    """Lower left of everything drawn, arcs included."""
    xs, ys = [], []
    for piece in pieces:
        reach = piece.radius or 0.0
        for x, y in (piece.start, piece.end, *((piece.centre,) if piece.centre else ())):
            pad = reach if piece.centre is not None and (x, y) == piece.centre else 0.0
            xs.append(x - pad)
            ys.append(y - pad)
    return min(xs), min(ys)


def _check_square(space: Modelspace, left: float, bottom: float, version: str) -> None:
    corners = [
        (left, bottom),
        (left + SQUARE, bottom),
        (left + SQUARE, bottom + SQUARE),
        (left, bottom + SQUARE),
    ]
    style = {"layer": "CHECK-SQUARE"}
    if version == "R12":
        space.add_polyline2d(corners, close=True, dxfattribs=style)
    else:
        space.add_lwpolyline(corners, close=True, dxfattribs=style)


def _legend(
    space: Modelspace, record: Record, part: Mapping[str, Any], left: float, top: float
) -> None:
    lines = [
        f"{numbered(record).upper()}  {record.title}",
        f"{part['name'].upper()}  {part['material']}  STOCK AT LEAST {_stock(part)}",
        "MILLIMETRES, FULL SIZE, NET: THE CUTTER ALLOWS FOR ITS OWN KERF",
        f"{SIDE_UP}. THE FAR SIDE GOES TO THE ENGINE",
        "COUNTERBORES, COUNTERSINKS, RECESSES, SPIGOTS, THREADS AND DOWELS ARE MACHINED AFTER CUTTING",
        *(f"{layer.name}: {layer.purpose}" for layer in LAYERS),
    ]
    if not part["size"].get("bore"):
        lines.insert(2, "THE CENTRAL OPENING IS NOT KNOWN YET: DO NOT CUT")
    for place, line in enumerate(lines):
        space.add_text(ascii_only(line), height=5.0, dxfattribs={"layer": "NOTES"}).set_placement(
            (left, top - 8.0 * (place + 1))
        )


def _stock(part: Mapping[str, Any]) -> str:
    """Thickness of the stock: the plate and the spigot that stands proud of it."""
    thick = float(part["size"]["thickness"]) + float(part["size"].get("spigot_length") or 0.0)
    return f"{thick:.2f} mm ({thick / INCH:.3f} in)"


def ascii_only(line: str) -> str:
    """Lettering every cutter's program can show."""
    return line.encode("ascii", "replace").decode("ascii")


def written(drawing: Drawing, record: Record) -> bytes:
    """The drawing as text whose identifiers and times are the record's, so that it repeats."""
    drawing.header["$FINGERPRINTGUID"] = _guid(record.digest)
    drawing.header["$VERSIONGUID"] = _guid(record.digest[::-1])
    out = io.StringIO(newline="\n")
    drawing.write(out)
    return out.getvalue().encode(drawing.output_encoding, "replace")


def _guid(digest: str) -> str:
    cut = (digest + "0" * 32)[:32].upper()
    return f"{{{cut[:8]}-{cut[8:12]}-{cut[12:16]}-{cut[16:20]}-{cut[20:32]}}}"
