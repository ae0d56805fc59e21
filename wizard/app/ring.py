"""Turns that keep every wall, on a ring: what a dial round the gearbox would show."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import plotly.graph_objects as go

from wizard.app.drawing import PAPER
from wizard.app.signs import BAD, GOOD, INK


def ring(windows: Sequence[Sequence[float]], *, used: float, best: float | None) -> go.Figure:
    """A ring with 0° upright at the top, anticlockwise as the gearbox turns, seen from behind.

    Args:
        windows: Turns that keep every wall wanted, from and to [°].
        used: The turn of the design [°]. best: The turn with the greatest wall [°].
    """
    figure = go.Figure()
    everywhere = np.arange(0.0, 361.0, 2.0)
    figure.add_scatterpolar(
        r=np.ones_like(everywhere), theta=everywhere, mode="lines", line={"color": BAD, "width": 3, "dash": "dot"},
        name="a wall falls short", hoverinfo="skip",
    )  # fmt: skip
    for number, (low, high) in enumerate(windows):
        turns = np.linspace(low, high, max(2, int(high - low) + 2))
        says = f"{low:+.2f}° to {high:+.2f}° keeps every wall"
        figure.add_scatterpolar(
            r=np.ones_like(turns), theta=turns, mode="lines+markers", line={"color": GOOD, "width": 9},
            marker={"size": 7, "color": GOOD}, name="keeps every wall", showlegend=not number,
            text=[says] * len(turns), hovertemplate="%{text}<extra></extra>",
        )  # fmt: skip
    for at, name, symbol, far in (
        (used, "turn used", "triangle-down", 1.14),
        (best, "greatest wall", "star", 0.84),
    ):
        if at is not None:
            figure.add_scatterpolar(
                r=[far], theta=[at], mode="markers", marker={"symbol": symbol, "size": 13, "color": INK}, name=name,
                text=[f"{name} {at:+.2f}°"], hovertemplate="%{text}<extra></extra>",
            )  # fmt: skip
    figure.update_layout(
        polar={
            "radialaxis": {"visible": False, "range": [0, 1.25]}, "bgcolor": PAPER,
            "angularaxis": {"rotation": 90, "direction": "counterclockwise", "dtick": 30, "tickfont": {"color": INK}},
        },
        height=300, margin={"l": 30, "r": 30, "t": 24, "b": 24}, paper_bgcolor=PAPER, font={"color": INK, "size": 12},
        legend={"orientation": "h", "y": -0.12}, dragmode=False,
    )  # fmt: skip
    return figure
