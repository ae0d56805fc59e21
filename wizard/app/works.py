"""What works, on a screen: plate thickness across, spacer length up, stock and the chosen point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import plotly.graph_objects as go

from kb import quantity
from wizard import words
from wizard.app.drawing import HAIR, PAPER, closed, faint
from wizard.app.signs import ENGINE, GOOD, INK

INCH = 25.4
POINTS = 24  # along an edge, to be hovered over
Corners = Sequence[Sequence[float]]


def works(axial: Mapping[str, Any], *, stock: Sequence[float], first: str) -> go.Figure | None:
    """Draw what works; ``None`` when nothing does, or when there is nothing to choose.

    Args:
        axial: The axial side of an answer [mm].
        stock: Plate thicknesses held [mm].
        first: The unit of the two scales, ``"in"`` or ``"mm"``.
    """
    region: Corners = axial.get("region") or ()
    if not region:
        return None
    figure = go.Figure()
    unit = INCH if first == "in" else 1.0
    _patch(figure, region, ENGINE, "works with the readings as they stand", first)
    robust: Corners = axial.get("robust_region") or ()
    if robust:
        _patch(figure, robust, GOOD, "works even if the readings are off", first)
    _edges(figure, region, axial.get("region_binds") or (), first)
    _stock(figure, stock, region, first)
    plate, spacer = axial.get("plate"), axial.get("spacer")
    if plate is not None and spacer is not None:
        says = (
            f"{words.heading('plate')} {quantity.both(plate, first=first)}"
            f"<br>{words.label('spacer')} {quantity.both(spacer, first=first)}"
        )
        figure.add_scatter(
            x=[plate / unit], y=[spacer / unit], mode="markers", name="as designed", text=[says],
            hovertemplate="%{text}<extra></extra>",
            marker={"symbol": "star-diamond", "size": 14, "color": INK},
        )  # fmt: skip
    figure.update_xaxes(title=f"{words.label('plate')} [{first}]", **_AXIS)
    figure.update_yaxes(title=f"{words.label('spacer')} [{first}]", **_AXIS)
    figure.update_layout(
        height=380, margin={"l": 8, "r": 8, "t": 24, "b": 8}, paper_bgcolor=PAPER,
        plot_bgcolor=PAPER, dragmode=False, font={"color": INK, "size": 12},
        legend={"orientation": "h", "yanchor": "top", "y": -0.24, "x": 0},
        hoverlabel={"bgcolor": "#ffffff", "font": {"color": INK, "size": 12}},
    )  # fmt: skip
    return figure


_AXIS = {
    "fixedrange": True, "gridcolor": "#e6e0d2", "zeroline": False, "linecolor": INK,
    "ticks": "outside", "tickcolor": INK, "automargin": True,
}  # fmt: skip


def _patch(figure: go.Figure, corners: Corners, colour: str, name: str, first: str) -> None:
    unit = INCH if first == "in" else 1.0
    points = closed([(corner[0] / unit, corner[1] / unit) for corner in corners])
    figure.add_scatter(
        x=[x for x, _ in points], y=[y for _, y in points], mode="lines", fill="toself", name=name,
        line={"color": colour, "width": 1.4}, fillcolor=faint(colour, 0.16), hoverinfo="skip",
    )  # fmt: skip


def _edges(figure: go.Figure, region: Corners, binds: Sequence[str], first: str) -> None:
    """Points along every edge that say which requirement ends what works there."""
    unit = INCH if first == "in" else 1.0
    xs, ys, says = [], [], []
    for (t, length), (u, other), check in zip(
        region, [*region[1:], region[0]], binds, strict=False
    ):
        for n in range(POINTS):
            share = (n + 0.5) / POINTS
            at = t + share * (u - t), length + share * (other - length)
            xs.append(at[0] / unit)
            ys.append(at[1] / unit)
            says.append(
                f"here ends what works: {words.label(check)}<br>plate {quantity.both(at[0], first=first)}"
                f"<br>spacer {quantity.both(at[1], first=first)}"
            )
    if xs:
        figure.add_scatter(
            x=xs, y=ys, mode="markers", name="what binds", text=says, showlegend=False,
            hovertemplate="%{text}<extra></extra>", marker={"size": 12, "color": INK, "opacity": 0.01},
        )  # fmt: skip


def _stock(figure: go.Figure, stock: Sequence[float], region: Corners, first: str) -> None:
    """A line for each thickness held that is near what works."""
    unit = INCH if first == "in" else 1.0
    low, high = min(corner[0] for corner in region), max(corner[0] for corner in region)
    margin = 0.35 * (high - low) + 1.0
    for size in stock:
        if low - margin <= size <= high + margin:
            named = quantity.fraction(size) if first == "in" else ""
            figure.add_vline(
                x=size / unit, line={"color": HAIR, "width": 1, "dash": "dash"},
                annotation_text=named or f"{size / unit:g}", annotation_position="top",
                annotation_font_size=11, layer="below",
            )  # fmt: skip
