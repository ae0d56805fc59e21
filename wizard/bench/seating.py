"""The converter seated: three pads read, turned, read again; three drops felt.

Each reading is the depth seen at one place of the gearbox face, less the straight-edge. Turning
the converter by whole pads tells pads of unequal height from a face or straight-edge that is
not level: what turns with the converter is its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.quantity import Dimension, both
from wizard.bench.adjustment import Array
from wizard.bench.readings import assumed, claim, claims, small

DROPS = 3  # input spline, stator spline, pump lugs
INSTRUMENT = "straight-edge and depth micrometer"
ROUTINE = (
    "Seat it dry, pushing and turning, until three drops are felt: input spline, stator spline, "
    "pump lugs. Read every pad, turn it by one pad, and read every pad again.",
    "Never draw a converter home with the gearbox's bolts.",
)


@dataclass(frozen=True, kw_only=True, eq=False)
class Seating:
    """How deep the pads sit.

    Attributes:
        depth, within: Gearbox face → pads, converter home, and its ± [mm].
        rounds: Depth of each round by itself [mm].
        pads_apart: Highest less lowest pad of the converter's own [mm]; ``None`` in one round.
        places_apart: Highest less lowest place of the gearbox face or straight-edge [mm].
        settles: Whether the rounds agree within their instruments; ``None`` with one round.
        seated: Whether all three drops were felt; ``None`` where nobody said.
        readings: As taken, round by round. straight_edge: Its thickness.
        assumed: Every ± that was not written.
    """

    depth: float
    within: float
    rounds: tuple[float, ...]
    pads_apart: float | None
    places_apart: float | None
    settles: bool | None
    seated: bool | None
    readings: tuple[tuple[Dimension, ...], ...]
    straight_edge: Dimension | None
    assumed: tuple[Assumption, ...]

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def seating(
    readings: Sequence[Sequence[Dimension]],
    *,
    straight_edge: Dimension | None = None,
    drops: int | None = None,
) -> Seating:
    """Seat depth from rounds of pad readings.

    Args:
        readings: For each round, the reading at every place, always in the order of the places
            on the gearbox face; between rounds the converter is turned on by one pad.
        straight_edge: Its thickness, taken off every reading.
        drops: How many drops were felt as it went home.
    Raises:
        InputError: no round, rounds of unequal length, fewer than three pads, or more drops than
            there are.
    Source:
        Means and two-way least squares, closed form; three drops are common practice, no source.
    """
    _refuse(readings, drops)
    edge = claim(straight_edge) if straight_edge is not None else None
    taken = [claims(one, usual=INSTRUMENT) for one in readings]
    values = np.array([[one.value for one in row] for row in taken]) - (edge.value if edge else 0.0)
    spread = np.array([[one.deviation for one in row] for row in taken])
    rounds = values.mean(axis=1)
    own = np.sqrt((spread**2).sum(axis=1)) / values.shape[1]
    pads, places = _effects(values) if len(values) > 1 else (None, None)
    flat = [one for row in readings for one in row]
    mean = math.sqrt(float((spread**2).sum())) / values.size
    wander = (
        0.0 if _settled(rounds, own) is not False else float(np.abs(rounds - rounds.mean()).max())
    )
    return Seating(
        depth=float(values.mean()),
        within=max(2 * math.hypot(mean, edge.deviation if edge else 0.0), wander),
        rounds=tuple(rounds.tolist()), pads_apart=None if pads is None else float(np.ptp(pads)),
        places_apart=None if places is None else float(np.ptp(places)), settles=_settled(rounds, own),
        seated=None if drops is None else drops == DROPS,
        readings=tuple(tuple(row) for row in readings), straight_edge=straight_edge,
        assumed=assumed("pads", flat, usual=INSTRUMENT),
    )  # fmt: skip


def _refuse(readings: Sequence[Sequence[Dimension]], drops: int | None) -> None:
    if not readings:
        raise InputError("pads", "(none)", "give the readings at three pads, once or more")
    counts = {len(row) for row in readings}
    if len(counts) > 1 or min(counts) < 3:
        shown = ", ".join(str(len(row)) for row in readings)
        raise InputError(
            "pads", f"{shown} readings", "read every pad in every round, three or more"
        )
    if drops is not None and not 0 <= drops <= DROPS:
        raise InputError("drops", drops, f"count the drops felt, 0 to {DROPS}")


def _settled(rounds: Array, own: Array) -> bool | None:
    """Whether no two rounds differ by more than their instruments allow."""
    if len(rounds) < 2:
        return None
    apart = np.abs(rounds[:, None] - rounds)
    return bool((apart <= 2 * np.hypot(own[:, None], own) + 1e-9).all())


def _effects(values: Array) -> tuple[Array, Array]:
    """How each pad and each place differs from the mean [mm], by least squares of least size."""
    rounds, count = values.shape
    design = np.zeros((values.size, 2 * count + 1))
    for row, (turn, place) in enumerate(np.ndindex(rounds, count)):
        design[row, [0, 1 + (place - turn) % count, 1 + count + place]] = 1.0
    found = np.asarray(np.linalg.lstsq(design, values.ravel(), rcond=None)[0], dtype=np.float64)
    return found[1 : count + 1], found[count + 1 :]


def _sentences(found: Seating) -> Iterator[str]:
    unit = found.readings[0][0].unit
    yield f"Gearbox face to pads, converter home: {both(found.depth, within=found.within, first=unit)}."
    if found.straight_edge is None:
        yield "Was it read from a straight-edge? Its thickness must come off."
    if found.seated is None:
        yield "Were all three drops felt: input spline, stator spline, pump lugs?"
    elif not found.seated:
        yield "NOT SEATED: three drops must be felt. Do not use this depth; seat it again."
    if found.settles is None:
        yield "One round only: turn the converter by one pad and read again."
    elif found.settles:
        yield "The rounds agree: it sits home."
    else:
        low, high = min(found.rounds), max(found.rounds)
        yield f"The rounds differ by {small(high - low, unit)}: it was not home in one of them. Seat it again."
    if found.pads_apart is not None and found.places_apart is not None:
        yield (
            f"The pads stand {small(found.pads_apart, unit)} apart in height, "
            f"the face or straight-edge {small(found.places_apart, unit)}."
        )
