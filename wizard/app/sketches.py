"""Small drawings beside what is asked: from which face to measure, and which way is plus.

Half sections with the shaft axis at the bottom, engine to the left; not to scale. A face is
looked at square on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from wizard import words
from wizard.app.drawing import HAIR, PAPER, faint
from wizard.app.signs import ADAPTER, ENGINE, GEARBOX, INK

Spot = tuple[float, float]
Path = tuple[Spot, ...]


@dataclass(frozen=True)
class Body:
    """A part of a sketch: its corners, and the colour of the side it belongs to."""

    corners: Path
    colour: str


@dataclass(frozen=True)
class Size:
    """A dimension of a sketch: its key, from where to where, and how it lies."""

    key: str
    start: float
    end: float
    at: float
    upright: bool = False


@dataclass(frozen=True)
class Sketch:
    """One sketch: its bodies, its dimensions, which way is plus, and where zero is."""

    bodies: tuple[Body, ...]
    sizes: tuple[Size, ...]
    plus: str = "+ toward the gearbox"
    zero: float = 0.0


def _box(left: float, right: float, low: float, high: float, colour: str) -> Body:
    return Body(((left, low), (right, low), (right, high), (left, high)), colour)


_BELL = Body(((0, 52), (0, 60), (40, 60), (40, 30), (46, 30), (46, 52)), GEARBOX)
SKETCHES = {
    "engine.drive": Sketch(
        (
            _box(-45, 0, 30, 62, ENGINE),
            Body(((-45, 8), (3, 8), (3, 0), (9, 0), (9, 5), (16, 5), (16, 24), (3, 24), (3, 14), (-45, 14)), ENGINE),
        ),
        (
            Size("engine.drive.standoff", 0, 16, 38), Size("engine.drive.thickness", 3, 16, 28),
            Size("engine.drive.outside", 0, 24, 24, True),
            Size("engine.drive.pilot.depth", 9, 16, -6), Size("engine.drive.pilot.diameter", 0, 5, 31, True),
        ),
    ),
    "engine.starter": Sketch(
        (
            _box(-45, 0, 0, 26, ENGINE), _box(-32, 0, 38, 60, ADAPTER), _box(8, 18, 44, 54, ADAPTER),
            _box(34, 40, 18, 42, ENGINE),
        ),
        (
            Size("engine.starter.home", 0, 8, 64), Size("engine.starter.pinion_width", 8, 18, 40),
            Size("engine.starter.engaged", 0, 42, 72), Size("engine.drive.ring.face", 34, 40, 14),
        ),
    ),
    "gearbox.converter": Sketch(
        (_BELL, Body(((14, 34), (18, 34), (18, 46), (36, 46), (36, 8), (14, 8), (14, 6), (-8, 6), (-8, 0), (44, 0), (44, 8), (36, 8), (18, 8), (18, 34)), ADAPTER)),
        (
            Size("gearbox.converter.seat_depth", 0, 14, 66), Size("gearbox.converter.hub.reach", -8, 14, -7),
            Size("gearbox.converter.hub.diameter", 0, 6, -14, True),
        ),
        plus="+ into the housing",
    ),
    "gearbox.shaft": Sketch(
        (_BELL, Body(((-30, 0), (-30, 3), (-18, 3), (-18, 6), (4, 6), (4, 9), (40, 9), (40, 0)), ADAPTER)),
        (
            Size("gearbox.shaft.reach", -30, 0, 42), Size("gearbox.shaft.tip.length", -30, -18, 14),
            Size("gearbox.shaft.tip.diameter", 0, 3, -35, True),
            Size("gearbox.shaft.spline.from_tip", -30, -14, -7), Size("gearbox.shaft.spline.length", -14, 2, -14),
        ),
        plus="reach counts + forward, out of the housing",
    ),
    "gearbox.release": Sketch(
        (_BELL, _box(22, 30, 10, 22, ADAPTER), _box(30, 40, 6, 14, GEARBOX)),
        (Size("gearbox.release.retracted", 0, 22, 40), Size("gearbox.release.travel", 12, 22, 26)),
        plus="+ into the housing",
    ),
    "gearbox.driven": Sketch(
        (_BELL, Body(((12, 0), (12, 32), (20, 32), (20, 8), (46, 8), (46, 0)), ADAPTER)),
        (
            Size("gearbox.driven.position", 0, 12, 42), Size("gearbox.driven.thickness", 12, 20, 36),
            Size("gearbox.driven.outside", 0, 32, 28, True),
        ),
        plus="+ into the housing, − where it reaches forward",
    ),
    "gearbox.pump": Sketch(
        (_BELL, _box(18, 46, 8, 20, GEARBOX)),
        (Size("gearbox.pump.lip", 0, 18, 40), Size("gearbox.pump.bush", 22, 34, 26)),
        plus="+ into the housing",
    ),
    "flexplate": Sketch(
        (_box(-30, 0, 0, 18, ENGINE), Body(((0, 2), (0, 18), (8, 24), (8, 52), (11, 52), (11, 22), (3, 16), (3, 2)), ADAPTER), _box(2, 10, 52, 58, ADAPTER)),
        (
            Size("flexplate.offset", 0, 11, 34), Size("flexplate.thickness", 0, 3, -6),
            Size("flexplate.ring.standoff", 0, 2, 64), Size("flexplate.ring.face", 2, 10, 72),
        ),
    ),
    "flywheel": Sketch(
        (_box(-30, 0, 0, 18, ENGINE), Body(((0, 4), (0, 52), (26, 52), (26, 26), (12, 26), (12, 4)), ADAPTER), _box(4, 14, 52, 58, ADAPTER)),
        (
            Size("flywheel.height", 0, 26, 40), Size("flywheel.thickness", 0, 12, 20),
            Size("flywheel.ring.standoff", 0, 4, 64), Size("flywheel.ring.face", 4, 14, 72),
        ),
    ),
    "clutch": Sketch(
        (_box(-20, 0, 0, 52, ENGINE), _box(0, 6, 18, 44, ADAPTER), Body(((6, 20), (6, 50), (14, 50), (30, 14), (27, 12), (12, 40), (12, 20)), GEARBOX)),
        (
            Size("clutch.fingers", 0, 30, 60), Size("clutch.disc_hub.front", 0, -6, -6),
            Size("clutch.disc_hub.rear", 0, 18, 10),
        ),
        plus="+ toward the gearbox, from the clutch face",
    ),
}  # fmt: skip


def side(key: str) -> go.Figure | None:
    """The half section for what is asked under a key; ``None`` where there is none."""
    sketch = SKETCHES.get(key)
    if sketch is None:
        return None
    figure = go.Figure()
    for body in sketch.bodies:
        points = (*body.corners, body.corners[0])
        figure.add_scatter(
            x=[x for x, _ in points], y=[y for _, y in points], mode="lines", fill="toself",
            line={"color": body.colour, "width": 1.4}, fillcolor=faint(body.colour, 0.16),
            hoverinfo="skip", showlegend=False,
        )  # fmt: skip
    figure.add_shape(type="line", x0=sketch.zero, x1=sketch.zero, y0=-18, y1=76, line={"color": INK, "width": 1, "dash": "dash"})  # fmt: skip
    figure.add_shape(type="line", x0=-46, x1=52, y0=0, y1=0, line={"color": HAIR, "width": 1, "dash": "longdashdot"})  # fmt: skip
    for letter, size in zip("ABCDEFGH", sketch.sizes, strict=False):
        _size(figure, letter, size)
    figure.add_annotation(x=0, y=84, text=f"{sketch.plus}", showarrow=False, font={"size": 11, "color": INK})  # fmt: skip
    figure.update_xaxes(visible=False, fixedrange=True, range=[-52, 56])
    figure.update_yaxes(visible=False, fixedrange=True, range=[-20, 90])
    figure.update_layout(
        height=260, margin={"l": 4, "r": 4, "t": 4, "b": 4}, paper_bgcolor=PAPER, plot_bgcolor=PAPER,
        dragmode=False, showlegend=False,
    )  # fmt: skip
    return figure


def legend(key: str) -> list[str]:
    """What the letters of a sketch stand for."""
    sizes: Sequence[Size] = SKETCHES[key].sizes if key in SKETCHES else ()
    return [f"{letter}: {words.label(size.key)}" for letter, size in zip("ABCDEFGH", sizes, strict=False)]  # fmt: skip


def _size(figure: go.Figure, letter: str, size: Size) -> None:
    """An arrow at each end of a dimension and its letter between them."""
    ends = ((size.at, size.start), (size.at, size.end)) if size.upright else ((size.start, size.at), (size.end, size.at))  # fmt: skip
    for head, tail in (ends, ends[::-1]):
        figure.add_annotation(
            x=head[0], y=head[1], ax=tail[0], ay=tail[1], xref="x", yref="y", axref="x", ayref="y",
            text="", showarrow=True, arrowhead=2, arrowsize=1, arrowwidth=1.1, arrowcolor=INK,
        )  # fmt: skip
    if not size.upright:  # lines from the part to the dimension
        for x in (size.start, size.end):
            figure.add_shape(type="line", x0=x, x1=x, y0=0, y1=size.at, line={"color": HAIR, "width": 0.6}, layer="below")  # fmt: skip
    middle = (size.start + size.end) / 2
    x, y = (size.at, middle) if size.upright else (middle, size.at)
    figure.add_annotation(
        x=x, y=y, text=f"<b>{letter}</b>", showarrow=False, font={"size": 13, "color": INK},
        bgcolor=PAPER, xshift=12 if size.upright else 0, yshift=0 if size.upright else 9,
    )  # fmt: skip


def face(side_of: str) -> go.Figure:
    """How a face is measured: looking straight at it, X to the right, Y up, from any one mark.

    Args:
        side_of: ``engine`` or ``gearbox``.
    """
    colour = ENGINE if side_of == "engine" else GEARBOX
    figure = go.Figure()
    outline = [(-60, -42), (-66, 10), (-40, 52), (40, 52), (66, 10), (60, -42), (-60, -42)]
    figure.add_scatter(x=[x for x, _ in outline], y=[y for _, y in outline], mode="lines", fill="toself", line={"color": colour, "width": 1.4}, fillcolor=faint(colour, 0.12), hoverinfo="skip")  # fmt: skip
    holes = [(-52, -32), (-56, 8), (-34, 44), (34, 44), (56, 8), (52, -32)]
    figure.add_scatter(x=[x for x, _ in holes], y=[y for _, y in holes], mode="markers+text", text=["D1", "2", "3", "4", "5", "D2"], textposition=["bottom center", "middle left", *["middle right"] * 4], marker={"symbol": "circle-open", "size": 12, "color": colour, "line": {"width": 1.6}}, textfont={"size": 11, "color": INK}, hoverinfo="skip")  # fmt: skip
    figure.add_shape(type="circle", x0=-26, x1=26, y0=-26, y1=26, line={"color": colour, "width": 1})  # fmt: skip
    figure.add_scatter(x=[0], y=[0], mode="markers+text", text=["axis"], textposition="bottom center", marker={"symbol": "cross-thin", "size": 14, "line": {"width": 1.4, "color": INK}}, textfont={"size": 11, "color": INK}, hoverinfo="skip")  # fmt: skip
    for (x, y), text, shift in (((-12, -32), "X +", (0, -9)), ((-52, 8), "Y +", (12, 0))):
        figure.add_annotation(x=x, y=y, ax=-52, ay=-32, xref="x", yref="y", axref="x", ayref="y", text="", showarrow=True, arrowhead=2, arrowwidth=1.4, arrowcolor=INK)  # fmt: skip
        figure.add_annotation(x=x, y=y, text=text, showarrow=False, font={"size": 12, "color": INK}, xshift=18 if text == "X +" else shift[0], yshift=0 if text == "X +" else 12)  # fmt: skip
    figure.update_xaxes(visible=False, fixedrange=True, range=[-84, 84], constrain="domain")
    figure.update_yaxes(visible=False, fixedrange=True, range=[-52, 62], scaleanchor="x", constrain="domain")  # fmt: skip
    figure.update_layout(height=260, margin={"l": 4, "r": 4, "t": 4, "b": 4}, paper_bgcolor=PAPER, plot_bgcolor=PAPER, dragmode=False, showlegend=False)  # fmt: skip
    return figure
