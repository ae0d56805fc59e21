"""Discs drawn at random, their hull, and the same hull by Shapely.

Shapely's discs are polygons inside the true ones, so its hull is smaller: nowhere by more than the
sagitta of one of their chords.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import strategies as st
from shapely.geometry import Polygon

from wizard.engine.parts.edge import Outline
from wizard.engine.parts.outline import hull_of_discs

Disc = tuple[float, float, float]

QUARTER = 256  # chords to a quarter turn
# on a grid, or a hair off it, so that equal, touching, aligned and nested discs come up often
hairs = st.sampled_from((0.0, 0.0, 0.0, 1e-12, -1e-10, 1e-9, -1e-7))
grid = st.builds(lambda step, hair: 50.0 * step + hair, st.integers(-4, 4), hairs)
places = st.one_of(grid, st.floats(-200, 200))
sizes = st.one_of(st.sampled_from((10.0, 25.0, 50.0)), st.floats(0.5, 80))
discs = st.lists(st.tuples(places, places, sizes), min_size=1, max_size=9)


def hull(taken: list[Disc]) -> Outline:
    """The program's hull."""
    table = np.array(taken)
    return hull_of_discs(table[:, :2], table[:, 2])


def shapely_hull(taken: list[Disc]) -> Polygon:
    """Shapely's hull."""
    table = np.array(taken)
    rounds = shapely.buffer(shapely.points(table[:, :2]), table[:, 2], quad_segs=QUARTER)
    return shapely.union_all(rounds).convex_hull


def sagitta(taken: list[Disc]) -> float:
    """How far a chord of Shapely's largest disc lies within the true one [mm]."""
    return max(disc[2] for disc in taken) * (1 - math.cos(math.pi / 4 / QUARTER))
