"""What works in the plane of plate thickness and adapter length, and what contradicts.

Each requirement is one or two half-planes A·(t, L) ≤ c. Their directions do not depend on the
dimensions, only c does; so a contradiction is one of a fixed list of combinations (at most
three half-planes, Helly's theorem in the plane) and can be tested for many draws at once.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.model.chain import Conflict, Requirement

Array = NDArray[np.float64]
Corner = tuple[float, float]
_CLOSE = 1e-9


@dataclass(frozen=True)
class HalfPlanes:
    """Half-planes normal·(t, L) ≤ reach(x), reach = constant + coefficients·x.

    Attributes:
        normals: Shape (m, 2). constants: Shape (m,) [mm].
        coefficients: Shape (m, k), one column per dimension in ``keys``.
        checks: The check each one stands for.
    """

    normals: Array
    constants: Array
    coefficients: Array
    keys: tuple[str, ...]
    checks: tuple[str, ...]

    def reach(self, values: Array) -> Array:
        """c for dimensions of shape (k,) or (draws, k): shape (m,) or (draws, m) [mm]."""
        return np.asarray(values @ self.coefficients.T + self.constants)


def half_planes(rows: Sequence[Requirement], keys: Sequence[str]) -> HalfPlanes:
    """The half-planes of the requirements, in order, lower side before upper."""
    column = {key: place for place, key in enumerate(keys)}
    normals: list[tuple[float, float]] = []
    constants: list[float] = []
    coefficients: list[Array] = []
    checks: list[str] = []
    for row in rows:
        factors = np.zeros(len(column))
        for key, factor in row.line.terms.items():
            factors[column[key]] = factor
        for limit, sign in ((row.low, -1.0), (row.high, 1.0)):
            if limit is None:
                continue
            normals.append((sign * row.line.plate, sign * row.line.spacer))
            constants.append(sign * (limit - row.line.constant))
            coefficients.append(-sign * factors)
            checks.append(row.check)
    return HalfPlanes(
        np.array(normals, dtype=float).reshape(-1, 2), np.array(constants, dtype=float),
        np.array(coefficients, dtype=float).reshape(len(normals), len(column)), tuple(keys), tuple(checks),
    )  # fmt: skip


def polygon(planes: HalfPlanes, reach: Array, *, box: tuple[float, float]) -> tuple[Corner, ...]:
    """Corners of what works, anticlockwise; two of them for a segment, none for nothing.

    Args:
        planes: The half-planes.
        reach: Their c, shape (m,).
        box: Largest thickness and length looked at [mm]; the smallest are 0.
    """
    flat = ~np.any(planes.normals, axis=1)
    if np.any(reach[flat] < -_CLOSE):
        return ()
    corners: list[Corner] = [(0.0, 0.0), (box[0], 0.0), (box[0], box[1]), (0.0, box[1])]
    for normal, limit in zip(planes.normals[~flat], reach[~flat], strict=True):
        corners = _clip(corners, (float(normal[0]), float(normal[1])), float(limit))
        if not corners:
            return ()
    return _distinct(corners)


def _clip(corners: list[Corner], normal: Corner, limit: float) -> list[Corner]:
    """The part of a convex polygon on the good side of one line."""
    over = [normal[0] * t + normal[1] * length - limit for t, length in corners]
    kept: list[Corner] = []
    for place, corner in enumerate(corners):
        following = (place + 1) % len(corners)
        if over[place] <= _CLOSE:
            kept.append(corner)
        if (over[place] > _CLOSE) != (over[following] > _CLOSE):
            share = over[place] / (over[place] - over[following])
            nxt = corners[following]
            kept.append(
                (corner[0] + share * (nxt[0] - corner[0]), corner[1] + share * (nxt[1] - corner[1]))
            )
    return kept


def _distinct(corners: list[Corner]) -> tuple[Corner, ...]:
    kept: list[Corner] = []
    for corner in corners:
        if all(abs(corner[0] - a) + abs(corner[1] - b) > 1e-7 for a, b in kept):
            kept.append((round(corner[0], 9) + 0.0, round(corner[1], 9) + 0.0))
    return tuple(kept)


def lengths_at(corners: Sequence[Corner], plate: float) -> tuple[float, float] | None:
    """The range of adapter lengths that works with a plate of that thickness [mm]."""
    if not corners:
        return None
    found: list[float] = []
    for (t0, l0), (t1, l1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if abs(t0 - plate) <= 1e-7:
            found.append(l0)
        if (t0 - plate) * (t1 - plate) < 0:
            found.append(l0 + (plate - t0) / (t1 - t0) * (l1 - l0))
    return (min(found), max(found)) if found else None


# ── contradictions ──────────────────────────────────────────────────────────


@dataclass(frozen=True)
class Certificates:
    """Every minimal way the half-planes can contradict: weights ≥ 0 with Σ weight·normal = 0.

    They contradict when Σ weight·c < 0; the shortfall is how far every c must be eased.

    Attributes:
        weights: Shape (n, m); rows sum to 1.
    """

    weights: Array

    def shortfall(self, reach: Array) -> Array:
        """Least common easing that lets all meet, shape () or (draws,) [mm]; ≤ 0 when they do."""
        if not len(self.weights):
            return np.full(reach.shape[:-1], -np.inf)
        return np.asarray((-(reach @ self.weights.T)).max(axis=-1))


def certificates(planes: HalfPlanes) -> Certificates:
    """All minimal contradictions the directions allow: single, opposite pairs, triples."""
    count, normals = len(planes.normals), planes.normals
    flat = np.flatnonzero(~normals.any(axis=1))[:, None]
    steep = np.flatnonzero(normals.any(axis=1)).tolist()
    cross = normals[:, 0, None] * normals[:, 1] - normals[:, 1, None] * normals[:, 0]
    length = np.hypot(normals[:, 0], normals[:, 1])
    i, j = _combinations(steep, 2)
    opposite = (np.abs(cross[i, j]) <= _CLOSE) & ((normals[i] * normals[j]).sum(axis=1) < 0)
    i, j = i[opposite], j[opposite]
    pairs = np.column_stack((i, j)), np.column_stack((length[j], length[i]))
    i, j, k = _combinations(steep, 3)
    shares = np.column_stack((cross[j, k], cross[k, i], cross[i, j]))
    around = (shares > _CLOSE).all(axis=1) | (shares < -_CLOSE).all(axis=1)
    triples = np.column_stack((i, j, k))[around], np.abs(shares[around])
    rows = ((flat, np.ones(flat.shape)), pairs, triples)
    return Certificates(np.concatenate([_weights(count, *row) for row in rows]))


def _combinations(among: Sequence[int], size: int) -> NDArray[np.intp]:
    """Every choice of so many rows, one choice a column."""
    chosen = list(itertools.combinations(among, size))
    return np.array(chosen, dtype=np.intp).reshape(-1, size).T


def _weights(count: int, places: NDArray[np.intp], shares: Array) -> Array:
    """One row for each choice: its shares, summing to 1, at its places."""
    rows = np.zeros((len(places), count))
    np.put_along_axis(rows, places, shares / shares.sum(axis=1, keepdims=True), axis=1)
    return rows


def conflict(
    planes: HalfPlanes,
    found: Certificates,
    reach: Array,
    *,
    least: Mapping[str, float] | None = None,
) -> tuple[Conflict, ...]:
    """The requirements that contradict each other most, or none.

    Args:
        planes: The half-planes.
        found: Their certificates.
        reach: Their c at nominal dimensions, shape (m,).
        least: The smallest change each measured dimension can bear; one that is not in it cures
            nothing. Without it every dimension can.
    """
    if not len(found.weights):
        return ()
    short = -(found.weights @ reach)
    worst = int(np.argmax(short - 1e-9 * np.count_nonzero(found.weights, axis=1)))
    if short[worst] <= _CLOSE:
        return ()
    weights = found.weights[worst]
    cures = _cures(planes, weights, float(short[worst]), least)
    return tuple(
        Conflict(check=planes.checks[place], short_by=float(short[worst]), cures=cures)
        for place in np.flatnonzero(weights)
    )


def _cures(
    planes: HalfPlanes, weights: Array, short: float, least: Mapping[str, float] | None
) -> Mapping[str, float]:
    """For each measured dimension, the change that alone would end the contradiction [mm]."""
    slope = weights @ planes.coefficients
    changes = {
        key: short / float(slope[place])
        for place, key in enumerate(planes.keys)
        if abs(slope[place]) > _CLOSE
    }
    if least is None:
        return changes
    return {key: change for key, change in changes.items() if key in least and change > least[key]}
