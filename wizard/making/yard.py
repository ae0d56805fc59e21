"""The card for the parts yard: the fewest readings that make a right quote likely enough."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kb.model.chain import Length
from kb.model.record import Design
from wizard.engine.axial.odds import draw
from wizard.engine.axial.region import Certificates, HalfPlanes, certificates, half_planes

OUTER, INNER = 256, 512  # readings tried, and truths behind each
MOST = 6  # readings on one card
_SEED = 20_260_102
_GAIN = 0.002  # a reading that lifts the chance by less is not worth the walk


def card(design: Design, *, wanted: float, confirm: Sequence[str] = ()) -> dict[str, Any]:
    """Readings to take, best first, until the chance of a right quote is as wanted.

    Whoever quotes says yes or no, whichever is likelier after the readings; the chance that this
    is right is averaged over what the readings may turn out to be.

    Args:
        design: Of the job. wanted: Chance of a right quote that is enough.
        confirm: Dimensions to look at again anyhow, where no reading is needed for the chance.
    Returns:
        ``now`` and ``after``: chances; ``lacking``: dimensions nobody has given; ``readings``:
        rows of key, value, within [mm] and ``chance`` once read; ``confirm``.
    """
    lacking = sorted({key for check in design.checks if check.status == "unknown" and check.due == "quote" for key in check.because})  # fmt: skip
    blank = {"now": None, "after": None, "wanted": wanted, "lacking": lacking, "readings": [], "confirm": list(confirm)}  # fmt: skip
    if design.chain is None or not design.chain.requirements:
        return blank
    rows = design.chain.requirements
    keys = tuple(dict.fromkeys(key for row in rows for key in row.line.terms))
    lengths = [design.sides.lengths[key] for key in keys]
    planes = half_planes(rows, keys)
    trial = Trial(planes, certificates(planes), lengths, design.sides.best_within)
    readable = [n for n, one in enumerate(lengths) if one.spread != "exact" and one.within > design.sides.best_within + 1e-9]  # fmt: skip
    chosen = _fewest(trial, readable, wanted)
    readings = []
    for number, place in enumerate(chosen, 1):
        one = lengths[place]
        chance = trial.right(chosen[:number])
        readings.append({"key": one.key, "value": one.value, "within": one.within, "chance": round(chance, 3)})  # fmt: skip
    return {**blank, "now": round(trial.right(()), 3), "after": round(trial.right(chosen), 3), "readings": readings}  # fmt: skip


def _fewest(trial: Trial, readable: Sequence[int], wanted: float) -> list[int]:
    """Places of the readings: the best one more each time, then those left out that add nothing."""
    chosen: list[int] = []
    left = list(readable)
    while left and len(chosen) < MOST and trial.right(chosen) < wanted:
        best = max(left, key=lambda n: trial.right([*chosen, n]))
        chosen.append(best)
        left.remove(best)
    for place in reversed(list(chosen)):
        without = [n for n in chosen if n != place]
        if trial.right(without) >= trial.right(chosen) - _GAIN:
            chosen = without
    return chosen


class Trial:
    """Chance of a right quote once some of the dimensions are read."""

    def __init__(
        self, planes: HalfPlanes, found: Certificates, lengths: Sequence[Length], best_within: float
    ) -> None:
        self._planes, self._found = planes, found
        self._read = draw(lengths, draws=OUTER, seed=_SEED)
        self._truth = draw(lengths, draws=OUTER * INNER, seed=_SEED + 1).reshape(OUTER, INNER, -1)
        random = np.random.default_rng(_SEED + 2)
        self._noise = random.normal(0, best_within / 2, self._truth.shape)
        self._known: dict[tuple[int, ...], float] = {}

    def right(self, read: Sequence[int]) -> float:
        """Chance that whoever quotes by these readings says what is true.

        Half of the truths behind a reading decide what is said, the other half whether it was
        right, and the other way round: judged by the draws it was chosen by, any guess looks good.
        """
        key = tuple(sorted(read))
        if key not in self._known:
            truth = self._truth.copy()
            for n in key:
                truth[:, :, n] = self._read[:, None, n] + self._noise[:, :, n]
            reach = self._planes.reach(truth.reshape(OUTER * INNER, -1))
            works = (self._found.shortfall(reach) <= 0).reshape(OUTER, INNER)
            if not key:
                works = works.reshape(1, -1)
            one, two = np.array_split(works, 2, axis=1)
            self._known[key] = (_judged(one, by=two) + _judged(two, by=one)) / 2
        return self._known[key]


def _judged(works: NDArray[np.bool_], *, by: NDArray[np.bool_]) -> float:
    """Share of truths that are as the majority of others, row by row, says."""
    said = by.mean(axis=1) >= 0.5
    return float((works == said[:, None]).mean())
