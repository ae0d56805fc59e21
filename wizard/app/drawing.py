"""The papers' neutral shapes on a screen, to scale: a face, the housing joint, what turns.

Pen and colour are chosen here; sizes and places are the shapes' own.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from html import escape

import plotly.graph_objects as go

from wizard import words
from wizard.app.signs import BAD, ENGINE, GEARBOX, GOOD, INK
from wizard.papers.shapes import (
    Circle,
    Hole,
    Line,
    Mark,
    Outline,
    Shape,
    Spot,
    Words,
    extent,
    trace,
)

QUIET = {"displayModeBar": False, "scrollZoom": False, "responsive": True}
PAPER, HAIR = "#fcfbf7", "#b9b2a0"
HEIGHT = 480

_COLOURS = {"engine": ENGINE, "driver": ENGINE, "gearbox": GEARBOX, "driven": GEARBOX, "dowel": INK}
_CENTRES = {
    "engine": "cross-thin", "driver": "cross-thin", "gearbox": "x-thin", "driven": "x-thin",
    "dowel": "diamond",
}  # fmt: skip
_PENS = {
    "outline": (INK, "solid", 1.6), "opening": (INK, "solid", 1.2), "register": (INK, "dash", 1.1),
    "hidden": ("#8a8371", "dot", 1.1), "axis": (HAIR, "longdashdot", 0.8),
}  # fmt: skip
_MARKS = {
    "clash": (BAD, "x-thin", (0, -34)), "shared": (GOOD, "circle-open", (0, -34)),
    "left out": (INK, "line-ne", (0, 34)),
}  # fmt: skip

Runs = dict[tuple[str, bool], list[Spot | None]]


def flat(shapes: Sequence[Shape], *, height: int = HEIGHT) -> go.Figure:
    """A view looked at square on: a face, or two faces over each other.

    Args:
        shapes: From `wizard.papers.plan` or of a unit.
        height: Of the picture, in points of the screen.
    """
    figure = go.Figure()
    _sheets(figure, shapes)
    holes = [shape for shape in shapes if isinstance(shape, Hole)]
    _rims(figure, holes)
    left, _, right, _ = extent(shapes)
    _centres(figure, holes, off=0.032 * (right - left))
    for mark in (shape for shape in shapes if isinstance(shape, Mark)):
        _mark(figure, mark)
    for text in (shape for shape in shapes if isinstance(shape, Words) and shape.tag == "top"):
        figure.add_annotation(
            x=text.at[0], y=text.at[1], text=text.text, showarrow=False, yshift=9, font_size=11
        )
    _scale_bar(figure, extent(shapes))
    return true_to_scale(figure, height=height)


def _sheets(figure: go.Figure, shapes: Iterable[Shape]) -> None:
    """Outlines, openings, registers and axes."""
    for shape in shapes:
        if isinstance(shape, Outline):
            _stroke(figure, closed(trace(shape.pieces)), shape.tag, shape.name, fill="#f3f0e7")
        elif isinstance(shape, Circle):
            _stroke(figure, ring(shape.centre, shape.diameter), shape.tag, shape.says)
        elif isinstance(shape, Line):
            _stroke(figure, [shape.start, shape.end], shape.tag, shape.says)


def _stroke(
    figure: go.Figure, points: Sequence[Spot], tag: str, says: str, fill: str | None = None
) -> None:
    colour, dash, width = _PENS.get(tag, (INK, "solid", 1.0))
    figure.add_scatter(
        x=[x for x, _ in points], y=[y for _, y in points], mode="lines", showlegend=False,
        line={"color": colour, "dash": dash, "width": width}, text=escape(says) or None,
        hoverinfo="text" if says and tag != "axis" else "skip",
        fill="toself" if fill else None, fillcolor=fill,
    )  # fmt: skip


def _rims(figure: go.Figure, holes: Iterable[Hole]) -> None:
    """The rims of all holes, one stroke for each side; what must stay clear as a pale disc."""
    rims: Runs = defaultdict(list)
    clear: dict[str, list[Spot | None]] = defaultdict(list)
    for hole in holes:
        rims[hole.tag, hole.made] += [*ring(hole.centre, hole.diameter), None]
        if hole.keepout:
            clear[hole.tag] += [*ring(hole.centre, hole.keepout), None]
    for tag, points in clear.items():
        colour = _COLOURS.get(tag, INK)
        figure.add_scatter(
            x=across(points), y=up(points), mode="lines", fill="toself", hoverinfo="skip",
            fillcolor=faint(colour), line={"color": colour, "width": 0.7, "dash": "dot"},
            showlegend=False,
        )  # fmt: skip
    for (tag, made), points in rims.items():
        figure.add_scatter(
            x=across(points), y=up(points), mode="lines", hoverinfo="skip", showlegend=False,
            line={"color": _COLOURS.get(tag, INK), "width": 1.6 if made else 1.1},
        )  # fmt: skip


def _centres(figure: go.Figure, holes: Sequence[Hole], *, off: float) -> None:
    """Centres with their marks; the engine's stand outward of the hole, the gearbox's inward."""
    for tag in dict.fromkeys(hole.tag for hole in holes):
        mine = _once([hole for hole in holes if hole.tag == tag])
        colour, symbol = _COLOURS.get(tag, INK), _CENTRES.get(tag, "circle-open")
        figure.add_scatter(
            x=[hole.centre[0] for hole in mine], y=[hole.centre[1] for hole in mine],
            mode="markers", name=words.label(tag), text=[escape(hole.says) for hole in mine],
            hovertemplate="%{text}<extra></extra>",
            marker={
                "symbol": symbol, "size": 9 if tag != "dowel" else 6, "color": colour,
                "line": {"color": colour, "width": 1.4},
            },
        )  # fmt: skip
        outward = -1 if tag in ("gearbox", "driven") else 1
        places = [_beside(hole, outward * off) for hole in mine]
        figure.add_scatter(
            x=[x for x, _ in places], y=[y for _, y in places], mode="text", hoverinfo="skip",
            text=[escape(hole.id) for hole in mine], textfont={"color": colour, "size": 11},
            showlegend=False,
        )  # fmt: skip


def _once(holes: Sequence[Hole]) -> list[Hole]:
    """One of the holes at each place: the face's own hole rather than the one made for it."""
    found: dict[tuple[int, int], Hole] = {}
    for hole in sorted(holes, key=lambda one: one.made):
        found.setdefault((round(hole.centre[0]), round(hole.centre[1])), hole)
    return list(found.values())


def _beside(hole: Hole, outward: float) -> Spot:
    """Where the mark of a hole is written: so far outside its rim, or inside where negative."""
    x, y = hole.centre
    reach = math.hypot(x, y) or 1.0
    off = outward + math.copysign(max(hole.diameter, hole.keepout or 0.0) / 2, outward)
    return x * (1 + off / reach), y * (1 + off / reach)


def _mark(figure: go.Figure, mark: Mark) -> None:
    colour, symbol, (aside, above) = _MARKS.get(mark.tag, (INK, "circle-open", (0, -34)))
    figure.add_scatter(
        x=[mark.at[0]], y=[mark.at[1]], mode="markers", showlegend=False, text=[escape(mark.says)],
        hovertemplate="%{text}<extra></extra>",
        marker={"symbol": symbol, "size": 18, "color": colour, "line": {"color": colour, "width": 3}},
    )  # fmt: skip
    figure.add_annotation(
        x=mark.at[0], y=mark.at[1], text=f"<b>{mark.tag}</b>", showarrow=True, ax=aside, ay=above,
        arrowcolor=colour, arrowwidth=1, arrowhead=0, bgcolor=PAPER, bordercolor=colour,
        font={"color": colour, "size": 11},
    )  # fmt: skip


def _scale_bar(figure: go.Figure, box: tuple[float, float, float, float]) -> None:
    """A bar of 100 mm and one of 4 in below the view; shorter ones below a small part."""
    left, bottom, right, top = box
    small = right - left < 160
    drop = 0.09 * max(top - bottom, right - left, 1.0)
    for row, (length, text) in enumerate(
        ((20.0, "20 mm"), (25.4, "1 in")) if small else ((100.0, "100 mm"), (101.6, "4 in"))
    ):
        y = bottom - drop * (1.1 + 0.75 * row)
        figure.add_scatter(
            x=[left, left + length], y=[y, y], mode="lines+markers", hoverinfo="skip",
            line={"color": INK, "width": 1.2}, showlegend=False,
            marker={"symbol": "line-ns-open", "size": 8, "color": INK},
        )  # fmt: skip
        figure.add_annotation(
            x=left + length, y=y, text=text, showarrow=False, xanchor="left", xshift=6, font_size=11
        )


# ── shared with the section ─────────────────────────────────────────────────


def true_to_scale(figure: go.Figure, *, height: int) -> go.Figure:
    """One millimetre as long across as up, and nothing around the drawing."""
    figure.update_xaxes(visible=False, constrain="domain", fixedrange=True)
    figure.update_yaxes(
        visible=False, constrain="domain", scaleanchor="x", scaleratio=1, fixedrange=True
    )
    figure.update_layout(
        height=height, margin={"l": 4, "r": 4, "t": 8, "b": 4}, paper_bgcolor=PAPER,
        plot_bgcolor=PAPER, dragmode=False, font={"color": INK, "size": 12},
        legend={"orientation": "h", "yanchor": "top", "y": -0.01, "x": 0, "font": {"size": 12}},
        hoverlabel={"bgcolor": "#ffffff", "font": {"color": INK, "size": 12}},
    )  # fmt: skip
    return figure


def ring(centre: Spot, diameter: float, *, steps: int = 48) -> list[Spot]:
    """The points of a circle, first and last the same."""
    half, (x, y) = diameter / 2, centre
    angles = (2 * math.pi * step / steps for step in range(steps + 1))
    return [(x + half * math.cos(at), y + half * math.sin(at)) for at in angles]


def closed(points: Sequence[Spot]) -> list[Spot]:
    """The points, and the first one again."""
    return [*points, *points[:1]]


def across(points: Iterable[Spot | None]) -> list[float | None]:
    """First coordinates; ``None`` lifts the pen."""
    return [None if point is None else point[0] for point in points]


def up(points: Iterable[Spot | None]) -> list[float | None]:
    """Second coordinates; ``None`` lifts the pen."""
    return [None if point is None else point[1] for point in points]


def faint(colour: str, share: float = 0.13) -> str:
    """A colour through which the lines below it are seen."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return f"rgba({red},{green},{blue},{share})"
