"""The half section on a screen, to scale: parts carry numbers, dimensions letters, listed beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase

import plotly.graph_objects as go

from wizard.app.drawing import HAIR, PAPER, across, closed, faint, true_to_scale, up
from wizard.app.signs import ADAPTER, ENGINE, GEARBOX, INK
from wizard.papers.shapes import Area, Line, Shape, Span, Spot, extent, spread

WIDEST, HIGHEST = 330, 400  # points of the screen the parts may take
ROW, BALLOONS = 21, 46  # height of a dimension's row, and of the numbers above

_SIDES = {
    "engine": (ENGINE, "/"), "gearbox": (GEARBOX, "\\"), "adapter": (ADAPTER, ""),
}  # fmt: skip


@dataclass(frozen=True)
class Cutaway:
    """The picture, and what its numbers and letters stand for.

    Attributes:
        parts: Number, name, and whether all its sizes are known.
        sizes: Letter, name and figure in both unit systems.
    """

    figure: go.Figure
    parts: tuple[tuple[str, str, bool], ...]
    sizes: tuple[tuple[str, str, str], ...]


def cutaway(shapes: Sequence[Shape]) -> Cutaway:
    """Draw a half section.

    Args:
        shapes: From `wizard.papers.section`; across is z, up is radius [mm].
    """
    areas = sorted(
        (shape for shape in shapes if isinstance(shape, Area)), key=lambda area: _grip(area)[0]
    )
    spans = [shape for shape in shapes if isinstance(shape, Span)]
    left, bottom, right, top = extent(shapes)
    scale = min(WIDEST / max(right - left, 1.0), HIGHEST / max(top - bottom, 1.0))
    figure = go.Figure()
    for area in areas:
        _cut(figure, area)
    for line in (shape for shape in shapes if isinstance(shape, Line)):
        _line(figure, line)
    _balloons(figure, areas, level=top + 30 / scale, apart=21 / scale, low=left, high=right)
    for span in spans:
        _span(figure, span, letter=_letter(span.row), drop=(span.row + 1.1) * ROW / scale)
    height = round(scale * (top - bottom) + BALLOONS + ROW * (len(spans) + 1) + 12)
    return Cutaway(
        figure=true_to_scale(figure, height=height),
        parts=tuple((str(n), area.name, area.known) for n, area in enumerate(areas, start=1)),
        sizes=tuple((_letter(span.row), span.says, span.figure) for span in spans),
    )


def _letter(row: int) -> str:
    """A, B, … Z, AA, AB, …"""
    often, at = divmod(row, len(ascii_uppercase))
    return ascii_uppercase[at] if not often else ascii_uppercase[often - 1] + ascii_uppercase[at]


def _cut(figure: go.Figure, area: Area) -> None:
    """One part, hatched its side's way; dashed where it is drawn for orientation only."""
    colour, hatch = _SIDES.get(area.side, (INK, ""))
    points = closed(area.points)
    note = "" if area.known else "<br>drawn for orientation, a size is not known"
    figure.add_scatter(
        x=across(points), y=up(points), mode="lines", fill="toself", hoveron="fills",
        name=f"{area.name}{note}", hoverinfo="name", showlegend=False,
        hoverlabel={"namelength": -1},
        line={"color": colour, "width": 1.4, "dash": "solid" if area.known else "dash"},
        fillcolor=faint(colour, 0.35 if area.side == "adapter" else 0.16),
        fillpattern={
            "shape": hatch, "size": 7, "solidity": 0.12, "fgcolor": colour,
            "bgcolor": faint(colour, 0.08),
        } if hatch and area.known else None,
    )  # fmt: skip


def _line(figure: go.Figure, line: Line) -> None:
    axis = line.tag == "axis"
    if line.tag == "level":
        return  # every station is an edge of a part or the end of a dimension
    figure.add_scatter(
        x=[line.start[0], line.end[0]], y=[line.start[1], line.end[1]], mode="lines",
        hoverinfo="skip", showlegend=False,
        line={"color": INK, "width": 0.9, "dash": "longdashdot" if axis else "solid"},
    )  # fmt: skip


def _balloons(
    figure: go.Figure, areas: Sequence[Area], *, level: float, apart: float, low: float, high: float
) -> None:
    """A number above the section for each part, with a line down into it."""
    grips = [_grip(area) for area in areas]
    places = spread([z for z, _ in grips], apart=apart, low=low, high=high)
    for number, (place, grip) in enumerate(zip(places, grips, strict=True), start=1):
        figure.add_scatter(
            x=[place, grip[0]], y=[level, grip[1]], mode="lines+markers+text", hoverinfo="skip",
            showlegend=False, line={"color": INK, "width": 0.7},
            marker={
                "size": [18, 4], "color": [PAPER, INK], "symbol": "circle", "opacity": 1,
                "line": {"color": INK, "width": [1, 0]},
            },
            text=[str(number), ""], textposition="middle center", textfont={"size": 10, "color": INK},
        )  # fmt: skip


def _grip(area: Area) -> Spot:
    """A point well inside the cut through a part: the middle of its widest place near the outside."""
    radii = [radius for _, radius in area.points]
    low, high = min(radii), max(radii)
    best: tuple[float, Spot] = (-1.0, area.points[0])
    for share in (0.8, 0.6, 0.4):
        radius = low + share * (high - low)
        for start, end in _inside(area.points, radius):
            if end - start > 1.2 * best[0]:
                best = (end - start, ((start + end) / 2, radius))
    return best[1]


def _inside(points: Sequence[Spot], radius: float) -> list[tuple[float, float]]:
    """The stretches of a line at that radius that lie inside the polygon."""
    cuts = []
    for (z_one, r_one), (z_two, r_two) in zip(points, closed(points)[1:], strict=True):
        if (r_one > radius) != (r_two > radius):
            cuts.append(z_one + (radius - r_one) * (z_two - z_one) / (r_two - r_one))
    cuts.sort()
    return [*zip(cuts[::2], cuts[1::2], strict=True)]


def _span(figure: go.Figure, span: Span, *, letter: str, drop: float) -> None:
    """A dimension on a row of its own, its letter at the right end."""
    (start, _), (end, _) = sorted((span.start, span.end))
    for z, radius in (span.start, span.end):
        figure.add_scatter(
            x=[z, z], y=[radius, -drop], mode="lines", hoverinfo="skip", showlegend=False,
            line={"color": HAIR, "width": 0.7},
        )  # fmt: skip
    figure.add_scatter(
        x=[start, end], y=[-drop, -drop], mode="lines+markers+text", showlegend=False,
        line={"color": INK, "width": 1.3},
        marker={"symbol": "line-ns-open", "size": 9, "color": INK, "line": {"width": 1.3}},
        text=["", f"<b>{letter}</b>"], textposition="middle right",
        textfont={"size": 12, "color": INK}, hovertext=f"{span.says}: {span.figure}",
        hovertemplate="%{hovertext}<extra></extra>",
    )  # fmt: skip
