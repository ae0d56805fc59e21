"""The parts in three dimensions, to scale, to be turned with the finger."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import plotly.graph_objects as go

from wizard.app.signs import INK
from wizard.papers.bodies import bodies
from wizard.papers.mesh import mesh

TINTS = ("#8fb0c6", "#c6a98f", "#9bbf9b", "#bfa3c0", "#c9c08a")
APART = 1.6  # parts are drawn apart along the axis by this times their own length


def solid_view(answer: Mapping[str, Any], *, apart: bool = False) -> go.Figure | None:
    """Every part at its place; ``None`` where no part has all its sizes.

    Args:
        answer: The answer document.
        apart: Drawn apart along the axis, in the order they go together.
    """
    figure, moved = go.Figure(), 0.0
    for number, body in enumerate(bodies(answer)):
        made = mesh(body)
        for place in body.places:
            x, y, z = (made.corners + place).T
            i, j, k = made.triangles.T
            figure.add_mesh3d(
                x=z + moved, y=x, z=y, i=i, j=j, k=k, color=TINTS[number % len(TINTS)], flatshading=True,
                name=body.name, hovertemplate=f"{body.name}<extra></extra>", showlegend=place == body.places[0],
            )  # fmt: skip
        if apart:
            moved += APART * float(made.corners[:, 2].max() - made.corners[:, 2].min())
    if not figure.data:
        return None
    figure.update_layout(
        scene={
            "aspectmode": "data", "xaxis": {"title": "toward the gearbox, mm"},
            "yaxis": {"title": "X, mm"}, "zaxis": {"title": "Y, mm"},
        },
        margin={"l": 0, "r": 0, "t": 0, "b": 0}, height=460, font={"color": INK},
        legend={"orientation": "h"},
    )  # fmt: skip
    return figure
