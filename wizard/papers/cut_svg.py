"""The cut file of a plate as SVG: the same net lines, arcs and circles as the DXF, in millimetres."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from xml.sax.saxutils import escape

from kb.errors import InputError
from kb.model.parts import Segment
from kb.model.record import Record
from wizard.making.stuff import outline
from wizard.papers.cut import CLEAR, LAYERS, SQUARE, corner, drawn_circles
from wizard.papers.document import numbered
from wizard.papers.shapes import swept

MARGIN = 10.0  # mm round everything
COLOURS = {
    "PROFILE": "#000000", "OPENINGS": "#0050b0", "PILOTS": "#007a30", "SPOTS": "#a000a0", "TOOLING": "#007f8c", "CHECK-SQUARE": "#b00000",
}  # fmt: skip


def cut_svg(record: Record, part: Mapping[str, Any]) -> bytes:
    """The cut file of one plate as SVG, one user unit a millimetre, Y turned to point down.

    Args:
        record: The record the plate belongs to. part: The plate, a row of the answer's parts.
    Raises:
        InputError: a plate without an outline.
    """
    pieces = outline(part)
    if not pieces:
        raise InputError("part", part["name"], "only a part with an outline can be cut")
    left, bottom = corner(pieces)
    right, top = far_corner(pieces)
    low = bottom - CLEAR - SQUARE
    across, down = right - left + 2 * MARGIN, top - low + 2 * MARGIN
    origin = (MARGIN - left, MARGIN + top)
    says = f"{numbered(record)}: {part['name']}, millimetres, full size, net"
    rows = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{across:.6f}mm" height="{down:.6f}mm" '
        f'viewBox="0 0 {across:.6f} {down:.6f}">',
        f"<title>{escape(says)}</title>",
    ]
    shapes: dict[str, list[str]] = {one.name: [] for one in LAYERS if one.name != "NOTES"}
    shapes["PROFILE"].append(f'<path d="{_path(pieces, origin)}"/>')
    for (x, y), diameter, layer in drawn_circles(record, part):
        shapes[layer].append(
            f'<circle cx="{origin[0] + x:.6f}" cy="{origin[1] - y:.6f}" r="{diameter / 2:.6f}"/>'
        )
    shapes["CHECK-SQUARE"].append(
        f'<rect x="{origin[0] + left:.6f}" y="{origin[1] - low - SQUARE:.6f}" width="{SQUARE:g}" height="{SQUARE:g}"/>'
    )
    for kept in LAYERS:
        if kept.name in shapes:
            rows.append(
                f'<g id="{kept.name}" fill="none" stroke="{COLOURS[kept.name]}" stroke-width="0.1"><desc>{escape(kept.purpose)}</desc>'
            )
            rows += [*shapes[kept.name], "</g>"]
    return "\n".join([*rows, f"<metadata>{record.digest}</metadata>", "</svg>", ""]).encode("utf-8")


def far_corner(pieces: Sequence[Segment]) -> tuple[float, float]:
    """Upper right of everything drawn, arcs included."""
    x, y = corner(_turned(pieces))
    return -x, -y


def _turned(pieces: Sequence[Segment]) -> tuple[Segment, ...]:
    """The pieces turned half round, so that the far corner is the near one."""

    def back(at: tuple[float, float]) -> tuple[float, float]:
        return -at[0], -at[1]

    return tuple(
        Segment(
            kind=one.kind, start=back(one.start), end=back(one.end), radius=one.radius, ccw=one.ccw,
            centre=back(one.centre) if one.centre is not None else None,
        )
        for one in pieces
    )  # fmt: skip


def _path(pieces: Sequence[Segment], origin: tuple[float, float]) -> str:
    """Lines and circular arcs from end to end, closed."""

    def at(spot: tuple[float, float]) -> str:
        return f"{origin[0] + spot[0]:.6f} {origin[1] - spot[1]:.6f}"

    says = [f"M {at(pieces[0].start)}"]
    for piece in pieces:
        if piece.kind == "line" or piece.centre is None or not piece.radius:
            says.append(f"L {at(piece.end)}")
        else:
            wide = int(abs(swept(piece)) > 180.0)
            says.append(
                f"A {piece.radius:.6f} {piece.radius:.6f} 0 {wide} {0 if piece.ccw else 1} {at(piece.end)}"
            )
    return " ".join([*says, "Z"])
