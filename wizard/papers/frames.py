"""Places on a page, scales, and how a view's millimetres become the page's."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wizard.papers.paper import Paper
from wizard.papers.shapes import Shape, Spot, extent

SCALES = (10.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0, 1 / 1.5, 1 / 2, 1 / 2.5, 1 / 3, 1 / 4, 1 / 5,
          1 / 6, 1 / 8, 1 / 10, 1 / 15, 1 / 20, 1 / 30, 1 / 50, 1 / 100, 1 / 200, 1 / 500)  # fmt: skip
THICK, THIN, FINE = 0.5, 0.18, 0.12
LETTERS = 5.5  # pt


@dataclass(frozen=True)
class Frame:
    """A place on the page [mm]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def across(self) -> float:
        """Its width."""
        return self.right - self.left

    @property
    def up(self) -> float:
        """Its height."""
        return self.top - self.bottom


@dataclass(frozen=True)
class Projection:
    """From the view's millimetres to the page's."""

    scale: float
    x: float
    y: float

    def __call__(self, point: Spot) -> Spot:
        return self.x + point[0] * self.scale, self.y + point[1] * self.scale

    @property
    def says(self) -> str:
        """The scale in words."""
        many = self.scale if self.scale >= 1 else 1 / self.scale
        return f"{many:g}:1" if self.scale >= 1 else f"1:{many:g}"


def projection(shapes: Sequence[Shape], frame: Frame, *, from_bottom: bool = False) -> Projection:
    """The largest usual scale at which a view fits a frame, and the view in its middle."""
    left, bottom, right, top = extent(shapes)
    room = min(
        frame.across / max(right - left, 1e-6), frame.up / max(top - bottom, 1e-6)
    )  # fmt: skip
    scale = next((one for one in SCALES if one <= room), room)
    x = (frame.left + frame.right) / 2 - scale * (left + right) / 2
    y = frame.bottom - scale * bottom if from_bottom else (frame.bottom + frame.top) / 2 - scale * (bottom + top) / 2  # fmt: skip
    return Projection(scale, x, y)


def measured(paper: Paper, start: Spot, end: Spot) -> None:
    """A dimension line; its arrows stand outside where there is no room between."""
    inside = math.dist(start, end) > 5
    paper.line(start, end)
    for tip, other in ((start, end), (end, start)):
        if inside:
            paper.arrow(tip, toward=other)
        elif start != end:
            away = (2 * tip[0] - other[0], 2 * tip[1] - other[1])
            paper.arrow(tip, toward=away, size=1.4)
