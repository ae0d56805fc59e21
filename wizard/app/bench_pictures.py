"""Little drawings of what a bench aid found: the clock, the circle, the holes, the cuts."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import plotly.graph_objects as go

from kb.quantity import both
from wizard.app.drawing import HAIR, PAPER, true_to_scale
from wizard.app.signs import BAD, ENGINE, GEARBOX, GOOD, INK
from wizard.desk.bench import Found

Spots = Sequence[tuple[float, float]]
HEIGHT = 340


def picture(found: Found, *, first: str) -> go.Figure | None:
    """A drawing of what was found; ``None`` where there is nothing to draw.

    Args:
        found: What an aid found.
        first: The unit named first in what hovers over it.
    """
    draw = _DRAWN.get(found.aid.name)
    return None if draw is None else draw(found.document, first)


# ── on the face ─────────────────────────────────────────────────────────────


def _bolt_circle(found: Mapping[str, Any], first: str) -> go.Figure:
    figure, radius = go.Figure(), found["diameter"] / 2
    _ring(figure, radius, dash="longdashdot")
    spots = [_polar(radius, 360 * k / found["count"]) for k in range(found["count"])]
    for x, y in spots:
        _ring(figure, (found["hole"] or radius / 12) / 2, centre=(x, y), colour=ENGINE)
    _words(figure, (0, 0), both(found["diameter"], first=first))
    return true_to_scale(figure, height=HEIGHT)


def _circle(found: Mapping[str, Any], first: str) -> go.Figure:
    figure, centre = go.Figure(), (found["x"], found["y"])
    _ring(figure, found["diameter"] / 2, centre=centre)
    points = [(row["x"]["value"], row["y"]["value"]) for row in found["points"]]
    off = [f"point {n}: {both(value, first=first, places=3)}" for n, value in enumerate(found["residuals"], 1)]  # fmt: skip
    wrong = {place for one in found["explained"] for place in one["places"]}
    _marks(figure, points, off, wrong=wrong)
    _marks(figure, [centre], ["centre"], symbol="cross-thin-open")
    return true_to_scale(figure, height=HEIGHT)


def _distances(found: Mapping[str, Any], first: str) -> go.Figure:
    figure = go.Figure()
    places = {row["name"]: (row["x"], row["y"]) for row in found["holes"]}
    wrong = {place for one in found["explained"] for place in one["places"]}
    for n, row in enumerate(found["stretches"]):
        ends = [places[row["start"]], places[row["end"]]]
        pen = {"color": BAD if n in wrong else HAIR, "width": 2 if n in wrong else 0.8}
        figure.add_scatter(x=[x for x, _ in ends], y=[y for _, y in ends], mode="lines", line=pen, hoverinfo="skip", showlegend=False)  # fmt: skip
    says = [f"{name}: {both(x, first=first)}, {both(y, first=first)}" for name, (x, y) in places.items()]  # fmt: skip
    _marks(figure, list(places.values()), says, names=list(places))
    return true_to_scale(figure, height=HEIGHT)


def _bolt_up(found: Mapping[str, Any], first: str) -> go.Figure:
    figure = go.Figure()
    short = {row["id"]: row["short"] for row in found["holes"]}
    spots = [(row["made"]["x"]["value"], row["made"]["y"]["value"]) for row in found["pairs"]]
    ids = [row["id"] for row in found["pairs"]]
    says = [f"{id}: {both(-short[id], first=first, places=3)} to spare" for id in ids]
    wrong = {n for n, id in enumerate(ids) if short[id] > 1e-5}
    _marks(figure, spots, says, names=ids, wrong=wrong)
    return true_to_scale(figure, height=HEIGHT)


# ── on the clock ────────────────────────────────────────────────────────────


def _sweep(found: Mapping[str, Any], first: str) -> go.Figure:
    """Readings round the clock, as far out as they read; the arrow is the way to move."""
    figure = _clock()
    rows = [(row["at"], row["reading"]["value"]) for row in found["readings"]]
    most = max((abs(value) for _, value in rows), default=1.0) or 1.0
    spots = [_clock_spot(1 + 0.3 * value / most, at) for at, value in rows]
    _marks(figure, spots, [f"{at:g}°: {both(value, first=first, places=3)}" for at, value in rows])
    if found["offset"] > found["within"]:
        _arrow(figure, _clock_spot(0.7, found["move_to"]), "move this way")
    return true_to_scale(figure, height=HEIGHT)


def _spin(found: Mapping[str, Any], first: str) -> go.Figure:
    figure = _clock()
    for stops, colour in ((found["stops"], ENGINE), (found["other_way"], GEARBOX)):
        spots = [_clock_spot(1.0, at) for at in stops]
        _marks(figure, spots, [f"stopped at {at:g}°" for at in stops], colour=colour)
    if found["heavy_at"] is not None:
        _arrow(figure, _clock_spot(0.8, found["heavy_at"]), "heavy side")
    return true_to_scale(figure, height=HEIGHT)


# ── bars ────────────────────────────────────────────────────────────────────


def _last_cut(found: Mapping[str, Any], first: str) -> go.Figure:
    names = [f"part {n}" for n in range(1, len(found["cuts"]) + 1)]
    return _bars(names, found["cuts"], first, title="to take off")


def _truing(found: Mapping[str, Any], first: str) -> go.Figure:
    rows = found["positions"][:12]
    return _bars([row["says"] for row in rows], [row["tir"] for row in rows], first, title="TIR")


def _bars(names: Sequence[str], sizes: Sequence[float], first: str, *, title: str) -> go.Figure:
    says = [both(size, first=first, places=3) for size in sizes]
    figure = go.Figure(go.Bar(
        y=list(names), x=list(sizes), orientation="h", text=says, marker_color=ENGINE,
        hovertemplate="%{y}: %{text}<extra></extra>",
    ))  # fmt: skip
    figure.update_layout(
        height=HEIGHT, margin={"l": 8, "r": 8, "t": 24, "b": 8}, paper_bgcolor=PAPER,
        plot_bgcolor=PAPER, font={"color": INK, "size": 12}, dragmode=False,
    )  # fmt: skip
    figure.update_xaxes(title=f"{title} [mm]", fixedrange=True)
    figure.update_yaxes(autorange="reversed", fixedrange=True, automargin=True)
    return figure


# ── strokes ─────────────────────────────────────────────────────────────────


def _polar(radius: float, angle: float) -> tuple[float, float]:
    return radius * math.cos(math.radians(angle)), radius * math.sin(math.radians(angle))


def _clock_spot(radius: float, at: float) -> tuple[float, float]:
    """A clock position: 0° at 12 o'clock, clockwise."""
    return _polar(radius, 90 - at)


def _clock() -> go.Figure:
    figure = go.Figure()
    _ring(figure, 1.0, dash="dot")
    for at, name in ((0, "12"), (90, "3"), (180, "6"), (270, "9")):
        _words(figure, _clock_spot(1.5, at), name)
    return figure


def _ring(
    figure: go.Figure, radius: float, *, centre: tuple[float, float] = (0.0, 0.0),
    colour: str = INK, dash: str = "solid",
) -> None:  # fmt: skip
    spots = [_polar(radius, 5 * k) for k in range(73)]
    figure.add_scatter(
        x=[centre[0] + x for x, _ in spots], y=[centre[1] + y for _, y in spots], mode="lines",
        line={"color": colour, "width": 1.2, "dash": dash}, hoverinfo="skip", showlegend=False,
    )  # fmt: skip


def _marks(
    figure: go.Figure, spots: Spots, says: Sequence[str], *, names: Sequence[str] = (),
    wrong: set[int] | None = None, symbol: str = "circle", colour: str = GOOD,
) -> None:  # fmt: skip
    """Spots with their words; what is wrong is a cross, not only another colour."""
    bad = wrong or set()
    figure.add_scatter(
        x=[x for x, _ in spots], y=[y for _, y in spots], hovertext=list(says), hoverinfo="text",
        mode="markers+text" if names else "markers", text=list(names), textposition="top center",
        marker={
            "symbol": ["x" if n in bad else symbol for n in range(len(spots))], "size": 10,
            "color": [BAD if n in bad else colour for n in range(len(spots))],
            "line": {"width": 1, "color": INK},
        },
        showlegend=False,
    )  # fmt: skip


def _arrow(figure: go.Figure, to: tuple[float, float], says: str) -> None:
    figure.add_annotation(
        x=to[0], y=to[1], ax=0, ay=0, xref="x", yref="y", axref="x", ayref="y", showarrow=True,
        arrowhead=2, arrowwidth=2, arrowcolor=BAD, text="",
    )  # fmt: skip
    right, up = to[0] >= 0, to[1] >= 0  # on the side that the arrow does not lead to
    figure.add_annotation(
        x=to[0] * 0.5, y=to[1] * 0.5, text=says, showarrow=False, font_size=12,
        xanchor="left" if right else "right", yanchor="top" if up else "bottom",
        xshift=8 if right else -8, yshift=-4 if up else 4,
    )  # fmt: skip


def _words(figure: go.Figure, at: tuple[float, float], text: str) -> None:
    figure.add_annotation(x=at[0], y=at[1], text=text, showarrow=False, font_size=12)


_DRAWN: Mapping[str, Callable[[Mapping[str, Any], str], go.Figure]] = {
    "bolt-circle": _bolt_circle, "circle": _circle, "distances": _distances, "bolt-up": _bolt_up,
    "sweep": _sweep, "spin": _spin, "last-cut": _last_cut, "truing": _truing,
}  # fmt: skip
