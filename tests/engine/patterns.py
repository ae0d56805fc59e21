"""Hole patterns for the tests of the line-up."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hypothesis import strategies as st

from kb.model.lineup import Feature, Pattern
from kb.quantity import read_thread

SCREW = read_thread("M10", key="screw")
Disc = tuple[float, float, float]


def feature(id: str, x: float, y: float, keepout: float, side: str = "engine") -> Feature:
    return Feature(side=side, id=id, kind="tapped", x=x, y=y, keepout=keepout, screw=SCREW)


def pattern(discs: Sequence[Disc], side: str) -> Pattern:
    """Discs as radius, angle [°] and diameter."""
    holes = tuple(
        feature(
            str(place + 1), r * math.cos(math.radians(a)), r * math.sin(math.radians(a)), d, side
        )
        for place, (r, a, d) in enumerate(discs)
    )
    return Pattern(side=side, holes=holes)


discs = st.lists(
    st.tuples(st.floats(60, 200), st.floats(-180, 180), st.floats(6, 25)), min_size=1, max_size=8
)
