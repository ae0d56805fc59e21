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

Array = NDArray[np.float64]
OUTER, INNER = 256, 256  # readings tried, and truths behind each
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
    trial = _Trial(planes, certificates(planes), lengths, design.sides.best_within)
    readable = [n for n, one in enumerate(lengths) if one.spread != "exact" and one.within > design.sides.best_within + 1e-9]  # fmt: skip
    chosen: list[int] = []
    now = chance = trial.right(())
    readings = []
    while chance < wanted and readable and len(chosen) < MOST:
        best = max(readable, key=lambda n: trial.right((*chosen, n)))
        lifted = trial.right((*chosen, best))
        if lifted < chance + _GAIN and not chosen and len(readable) == 1:
            break
        chosen.append(best)
        readable.remove(best)
        chance = max(chance, lifted)
        one = lengths[best]
        readings.append({"key": one.key, "value": one.value, "within": one.within, "chance": round(chance, 3)})  # fmt: skip
    return {**blank, "now": round(now, 3), "after": round(chance, 3), "readings": readings}


class _Trial:
    """Chance of a right quote once some of the dimensions are read."""

    def __init__(
        self, planes: HalfPlanes, found: Certificates, lengths: Sequence[Length], best_within: float
    ) -> None:
        self._planes, self._found, self._best = planes, found, best_within
        self._read = draw(lengths, draws=OUTER, seed=_SEED)
        self._truth = draw(lengths, draws=OUTER * INNER, seed=_SEED + 1).reshape(OUTER, INNER, -1)
        random = np.random.default_rng(_SEED + 2)
        self._noise = random.normal(0, best_within / 2, (OUTER, INNER))
        self._known: dict[tuple[int, ...], float] = {}

    def right(self, read: Sequence[int]) -> float:
        """Mean over readings of the likelier of yes and no."""
        key = tuple(sorted(read))
        if key not in self._known:
            truth = self._truth.copy()
            for n in key:
                truth[:, :, n] = self._read[:, None, n] + self._noise
            reach = self._planes.reach(truth.reshape(OUTER * INNER, -1))
            share = (self._found.shortfall(reach) <= 0).reshape(OUTER, INNER).mean(axis=1)
            share = share if key else np.full(1, share.mean())
            self._known[key] = float(np.maximum(share, 1 - share).mean())
        return self._known[key]
