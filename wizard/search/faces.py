"""Which of many faces a pattern of holes is: any origin, any clocking, either side up.

Two holes keep their distance however a face is laid down. A measured pattern is therefore first
held against every face by its hole-to-hole distances, all faces at once; what is left is laid on
the likely faces exactly, with holes missing on either hand and figures read in another unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from kb.errors import InputError, OutOfScope
from kb.plane.pattern import best_rigid_fit
from kb.plane.points import mirror_x

Array = NDArray[np.float64]

LEAST = 3  # holes that a turn and a shift can be told by
BIN = 2.0  # mm, width of a class of distances
CLASSES = 512  # of them; farther distances share the last
LIKELY = 60  # faces laid on exactly
SHARE = 0.6  # of the distances that a likely face must have
SLACK = 1.0  # mm: two centres nearer than this are one hole, by hand and calliper
LACKING = 0.34  # of a face's holes that may be missing or too many
SCALES = {1.0: "", 25.4: "inches read as millimetres", 1 / 25.4: "millimetres read as inches"}
STRETCH = 0.08  # of a scan's scale that is looked for
TRUE = 0.003  # of scale within which a pattern counts as true to size


@dataclass(frozen=True, kw_only=True, eq=False)
class Known:
    """A face of the catalogue: what it is called, and its holes as measured, shape (n, 2) [mm]."""

    name: str
    holes: Array

    @classmethod
    def of(cls, name: str, spots: Sequence[tuple[float, float]]) -> Known:
        """A face by the places of its holes [mm]."""
        return cls(name=name, holes=np.array(spots, dtype=np.float64).reshape(-1, 2))


@dataclass(frozen=True, kw_only=True)
class Match:
    """A face the measured holes lie on.

    Attributes:
        name: The face.
        rms, worst: How far the paired holes lie apart [mm].
        turn: By how much the measured pattern is turned on to it, anticlockwise [°].
        mirrored: Seen from the other side.
        scale: True size over measured size; 1 where it is true to size.
        scale_says: What that may come from; empty where it is true to size.
        pairs: Number of the measured hole and of the face's, counted from 0.
        missing: Holes of the face that were not measured. extra: Measured ones it has not.
    """

    name: str
    rms: float
    worst: float
    turn: float
    mirrored: bool
    scale: float
    scale_says: str
    pairs: tuple[tuple[int, int], ...]
    missing: tuple[int, ...]
    extra: tuple[int, ...]


class Shelf:
    """Many faces, put up so that a measured one is found among them quickly."""

    def __init__(self, faces: Sequence[Known]) -> None:
        self.faces = tuple(faces)
        self._has = np.zeros((len(self.faces), CLASSES + 2), dtype=np.float32)
        for row, face in enumerate(self.faces):
            for near in (-1, 0, 1):  # a distance on the edge of a class counts in both
                self._has[row, np.clip(_classes(face.holes) + near, 0, CLASSES + 1)] = 1.0

    def likely(self, holes: Array) -> list[int]:
        """Faces that have most of the pattern's distances, the best first."""
        wanted = np.bincount(np.clip(_classes(holes), 0, CLASSES + 1), minlength=CLASSES + 2)
        share = self._has @ wanted.astype(np.float32) / max(1, wanted.sum())
        order = np.argsort(-share, kind="stable")[:LIKELY]
        return [int(place) for place in order if share[place] >= SHARE * SHARE]

    def find(self, places: ArrayLike, *, slack: float = SLACK) -> tuple[Match, ...]:
        """Faces the pattern lies on, the best first.

        Args:
            places: Measured centres, shape (m, 2), three or more [mm].
            slack: How far two centres of one hole may lie apart [mm].
        Raises:
            InputError: holes of one place, or no slack. OutOfScope: fewer than three holes.
        """
        holes = np.asarray(places, dtype=np.float64).reshape(-1, 2)
        _refuse(holes, slack)
        for scale in SCALES:
            for stretched in (False, True):
                found = self._found(holes * scale, scale, slack, stretched=stretched)
                if found:  # true to size before stretched, as typed before another unit
                    return tuple(sorted(found, key=_rank))
        return ()

    def _found(self, sized: Array, scale: float, slack: float, *, stretched: bool) -> list[Match]:
        """The best match on every likely face at one scale."""
        sizes = (1 - STRETCH / 2, 1.0, 1 + STRETCH / 2) if stretched else (1.0,)
        places = dict.fromkeys(place for size in sizes for place in self.likely(sized * size))
        best = (
            _laid(self.faces[place], sized, scale, slack, stretched=stretched) for place in places
        )
        return [one for one in best if one is not None]


def _rank(one: Match) -> tuple[int, bool, float]:
    return len(one.missing) + len(one.extra), one.scale != 1.0, one.rms


def _classes(holes: Array) -> NDArray[np.int64]:
    """Class of every hole-to-hole distance."""
    first, second = np.triu_indices(len(holes), 1)
    apart = np.hypot(*(holes[first] - holes[second]).T)
    return np.asarray(np.minimum(np.rint(apart / BIN), CLASSES), dtype=np.int64)


def _refuse(holes: Array, slack: float) -> None:
    if not 0 < slack < math.inf:
        raise InputError("slack", slack, "write how far two centres of one hole may lie apart")
    if len(holes) < LEAST:
        raise OutOfScope(
            "holes", f"{len(holes)} holes", f"{LEAST} holes or more", "fewer fit anything"
        )
    first, second = np.triu_indices(len(holes), 1)
    apart = np.hypot(*(holes[first] - holes[second]).T)
    if float(apart.min()) <= 1e-6:
        place = int(apart.argmin())
        raise InputError("holes", f"holes {first[place] + 1} and {second[place] + 1}", "they stand at one place")  # fmt: skip


# ── laid on exactly ─────────────────────────────────────────────────────────


def _laid(
    face: Known, holes: Array, scale: float, slack: float, *, stretched: bool
) -> Match | None:
    """The pattern on one face, whichever side up fits better."""
    if len(face.holes) < LEAST:
        return None
    found = []
    for mirrored in (False, True):
        shown = mirror_x(holes) if mirrored else holes
        pairs = _best_pairs(shown, face.holes, slack, stretched=stretched)
        match = _match(face, shown, pairs, scale, slack, mirrored=mirrored, stretched=stretched)
        found += [match] if match is not None else []
    return min(found, key=_rank, default=None)


def _best_pairs(
    holes: Array, face: Array, slack: float, *, stretched: bool
) -> list[tuple[int, int]]:
    """Pairs of the move that brings most holes together: tried from the farthest measured pairs."""
    m, n = holes[:, 0] + 1j * holes[:, 1], face[:, 0] + 1j * face[:, 1]
    first, second = np.triu_indices(len(m), 1)
    far = np.argsort(-np.abs(m[first] - m[second]), kind="stable")[:6]
    i, j = np.nonzero(~np.eye(len(n), dtype=bool))
    best: list[tuple[int, int]] = []
    for a, b in zip(first[far], second[far], strict=True):
        ratio = (n[j] - n[i]) / (m[b] - m[a])
        near = np.abs(np.abs(ratio) - 1) <= (STRETCH if stretched else 2 * slack / abs(m[b] - m[a]))
        for k in np.flatnonzero(near):
            turn = ratio[k] if stretched else ratio[k] / abs(ratio[k])
            middle = n[i[k]] - turn * m[a] if stretched else (n[i[k]] + n[j[k]] - turn * (m[a] + m[b])) / 2  # fmt: skip
            pairs = _paired(turn * m + middle, n, 2 * slack)
            if len(pairs) > len(best):
                best = pairs
                if len(best) == min(len(m), len(n)):
                    return best
    return best


def _paired(moved: NDArray[np.complex128], face: NDArray[np.complex128], slack: float) -> list[tuple[int, int]]:  # fmt: skip
    """Each moved hole with the nearest of the face, the nearest pairs first, none twice."""
    apart = np.abs(moved[:, None] - face)
    rows, columns = np.nonzero(apart <= slack)
    taken_rows: set[int] = set()
    taken_columns: set[int] = set()
    pairs = []
    for place in np.argsort(apart[rows, columns], kind="stable"):
        row, column = int(rows[place]), int(columns[place])
        if row not in taken_rows and column not in taken_columns:
            taken_rows.add(row)
            taken_columns.add(column)
            pairs.append((row, column))
    return pairs


def _match(
    face: Known, shown: Array, pairs: list[tuple[int, int]], scale: float, slack: float, *,
    mirrored: bool, stretched: bool,
) -> Match | None:  # fmt: skip
    """The exact fit of the pairs, if it is good enough to be called one."""
    missing = tuple(sorted(set(range(len(face.holes))) - {b for _, b in pairs}))
    extra = tuple(sorted(set(range(len(shown))) - {a for a, _ in pairs}))
    most = max(1, round(LACKING * len(face.holes)))
    if len(pairs) < LEAST or len(missing) > most or len(extra) > most:
        return None
    if (missing or extra) and len(pairs) <= LEAST:
        return None  # three of more lie together by chance
    a, b = shown[[row for row, _ in pairs]], face.holes[[column for _, column in pairs]]
    stretch = _stretch(a, b) if stretched else 1.0
    if stretched and (abs(stretch - 1) > STRETCH or len(pairs) <= LEAST):
        return None
    fit = best_rigid_fit(a * stretch, b)
    off = np.hypot(*fit.residuals.T)
    if float(off.max()) > slack:
        return None
    whole = scale * stretch
    return Match(
        name=face.name, rms=fit.rms, worst=float(off.max()),
        turn=fit.angle, mirrored=mirrored, scale=1.0 if abs(whole - 1) <= TRUE else whole,
        scale_says=_why(whole), pairs=tuple(sorted(pairs)), missing=missing, extra=extra,
    )  # fmt: skip


def _stretch(a: Array, b: Array) -> float:
    """How much larger one pattern is than the other, about their middles."""
    sizes = [math.sqrt(float(np.sum((one - one.mean(axis=0)) ** 2))) for one in (a, b)]
    return sizes[1] / sizes[0] if sizes[0] else 1.0


def _why(scale: float) -> str:
    if abs(scale - 1) <= TRUE:
        return ""
    for known, says in SCALES.items():
        if says and abs(scale / known - 1) <= STRETCH:
            off = (
                "" if abs(scale / known - 1) <= TRUE else f", and at {100 / (scale / known):.1f} %"
            )
            return says + off
    return f"a scan or print at {100 / scale:.1f} %"
