"""A bolt circle from what calipers can reach: gaps, spans and chords between its holes.

Each reading is a straight line in two unknowns, the circle's diameter D and the holes' size d:
near edges s·D − d, far edges s·D + d, centres s·D, with s the chord of a circle of diameter 1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.quantity import Dimension, both
from wizard.bench.adjustment import Explanation, Finding, Fit, examine_linear
from wizard.bench.readings import assumed, claims, small
from wizard.engine.formulas.circle import chord

EDGES = {"gap": -1.0, "span": 1.0, "chord": 0.0, "hole": 1.0}  # how the hole's size enters
NAMES = {"gap": "near edges", "span": "far edges", "chord": "centres", "hole": "hole"}
USUAL = (3, 4, 5, 6, 8, 10, 12, 16)  # holes in a circle: common practice, no source
MOST = 500
ACROSS = 0  # instead of a step: straight across


@dataclass(frozen=True, kw_only=True)
class Between:
    """One reading on the circle.

    Attributes:
        kind: ``gap`` between near edges, ``span`` over far edges, ``chord`` between centres, or
            ``hole``, the size of a hole itself.
        reading: As taken.
        step: 1 to the next hole, 2 to the one after it …; 0 straight across.
    """

    kind: str
    reading: Dimension
    step: int = 1

    @property
    def name(self) -> str:
        """What was read, in words."""
        if self.kind == "hole":
            return "hole"
        far = {ACROSS: "straight across", 1: "next hole"}.get(self.step, f"{self.step} holes on")
        return f"{NAMES[self.kind]}, {far}"


@dataclass(frozen=True, kw_only=True, eq=False)
class BoltCircle:
    """A bolt circle as the readings give it.

    Attributes:
        count: Holes in it. diameter, within: Of the circle, and its ± at 95 % [mm].
        hole, hole_within: Size of the holes [mm]; ``None`` where no reading rests on it.
        readings: As taken.
        residuals: Reading less what the circle gives, one for each [mm].
        agrees: Whether the readings agree within their ±; ``None`` where nothing checks them.
        explained: What would bring them into agreement.
        counts: Other usual counts that agree with all of them, ascending.
        nearest: The usual count that agrees best, where the readings disagree with this one.
        assumed: Every ± that was not written.
    """

    count: int
    diameter: float
    within: float
    hole: float | None
    hole_within: float | None
    readings: tuple[Between, ...]
    residuals: tuple[float, ...]
    agrees: bool | None
    explained: tuple[Explanation, ...]
    counts: tuple[int, ...]
    nearest: int | None
    assumed: tuple[Assumption, ...]

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def bolt_circle(readings: Sequence[Between], *, count: int | None = None) -> BoltCircle:
    """The circle that several readings agree on best.

    Args:
        readings: What was measured.
        count: Holes in the circle; without it the usual count that alone agrees is taken.
    Returns:
        The circle. Where one reading alone does not belong, it is left out of the diameter.
    Raises:
        InputError: too few readings, edges without a hole's size, a step the circle does not
            have, or readings that leave the count open.
    Source:
        Machinery's Handbook, 31st ed. (2020), p.711, lengths of chords; least squares.
    """
    _refuse(readings, count)
    if count is None:
        count = _only_count(readings)
    finding = _fit(readings, count)
    if finding is None:
        raise _too_little(readings)
    ranked = _ranked(readings) if finding.whole.agrees is False else []
    counts = tuple(sorted(n for n, found in ranked if found.agrees and n != count))
    fit = finding.whole if counts else finding.best
    spread = 2 * fit.scale * np.sqrt(np.diag(fit.covariance))
    sized = len(fit.values) > 1
    return BoltCircle(
        count=count, diameter=float(fit.values[0]), within=float(spread[0]),
        hole=float(fit.values[1]) if sized else None,
        hole_within=float(spread[1]) if sized else None, readings=tuple(readings),
        residuals=tuple(fit.residuals.tolist()), agrees=finding.whole.agrees,
        explained=finding.explained, counts=counts,
        nearest=ranked[0][0] if ranked else None,
        assumed=assumed("bolt circle", [one.reading for one in readings]),
    )  # fmt: skip


def _refuse(readings: Sequence[Between], count: int | None) -> None:
    if not any(one.kind != "hole" for one in readings):
        raise InputError("readings", "(none)", "give a gap, a span or a chord between two holes")
    if count is not None and not 2 <= count <= MOST:
        raise InputError("count", count, f"write a whole number of holes, 2 to {MOST}")
    for one in readings:
        if one.kind not in EDGES:
            raise InputError("kind", one.kind, "write one of " + ", ".join(EDGES))
        if not one.reading.value > 0:
            raise InputError(one.kind, one.reading.typed, "it must be above 0")
        if one.kind != "hole":
            _refuse_step(one, count)


def _refuse_step(one: Between, count: int | None) -> None:
    across, most = one.step == ACROSS, (count or MOST) // 2
    if across and count is not None and count % 2:
        raise InputError(one.kind, "across", f"with {count} holes none lies straight across")
    if not across and not 1 <= one.step <= most:
        raise InputError(
            one.kind, f"{one.step} holes on", f"count the shorter way round, 1 to {most}"
        )


def _chord_share(step: int, count: int) -> float | None:
    """Chord over diameter; ``None`` where a circle of that count has no such step."""
    if step == ACROSS:
        return None if count % 2 else 1.0
    return chord(diameter=1.0, holes=count, step=step) if step <= count // 2 else None


def _fit(readings: Sequence[Between], count: int) -> Finding | None:
    """Diameter, and the holes' size where a reading rests on it."""
    shares = [0.0 if one.kind == "hole" else _chord_share(one.step, count) for one in readings]
    if None in shares:
        return None
    design = np.column_stack((
        np.array(shares, dtype=np.float64), [EDGES[one.kind] for one in readings],
    ))  # fmt: skip
    if not design[:, 1].any():
        design = design[:, :1]
    taken = claims(one.reading for one in readings)
    return examine_linear(
        design, np.array([one.value for one in taken]),
        np.array([one.deviation for one in taken]), alike=[one.kind for one in readings],
    )  # fmt: skip


def _ranked(readings: Sequence[Between]) -> list[tuple[int, Fit]]:
    """Usual counts with the fit each gives, the best first."""
    found = ((count, _fit(readings, count)) for count in USUAL)
    fits = [(count, one.whole) for count, one in found if one is not None]
    return sorted(fits, key=lambda pair: pair[1].misfit)


def _only_count(readings: Sequence[Between]) -> int:
    """The usual count that alone agrees."""
    ranked = _ranked(readings)
    if not ranked:
        raise _too_little(readings)
    agreeing = [count for count, fit in ranked if fit.agrees is not False]
    if len(agreeing) == 1:
        return agreeing[0]
    if not agreeing:
        return ranked[0][0]
    shown = ", ".join(map(str, sorted(agreeing)))
    raise InputError(
        "count", "(none)", f"these readings fit {shown} holes; count them, or measure a skip chord"
    )


def _too_little(readings: Sequence[Between]) -> InputError:
    if any(one.kind in ("gap", "span") for one in readings):
        return InputError("hole", "(none)", "measure a hole too, or both a gap and a span")
    return InputError("readings", f"{len(readings)}", "they do not tell the circle's diameter")


def _sentences(found: BoltCircle) -> Iterator[str]:
    unit = found.readings[0].reading.unit
    size = both(found.diameter, within=found.within, first=unit)
    yield f"Bolt circle of {found.count} holes: {size}."
    if found.hole is not None:
        yield f"Holes: {both(found.hole, within=found.hole_within, first=unit)}."
    if found.agrees is None:
        yield "Nothing checks this: take one reading more, a skip chord or straight across."
    elif found.agrees:
        worst = max(map(abs, found.residuals))
        yield f"The readings agree within their ±; the farthest stands {small(worst, unit)} off."
    else:
        yield "The readings do not agree within their ±."
        yield from _faults(found, unit)


def _faults(found: BoltCircle, unit: str) -> Iterator[str]:
    sure = len(found.explained) == 1 and not found.counts
    for one in found.explained:
        blamed = [found.readings[place] for place in one.places]
        names = [f"“{each.reading.typed}” ({each.name})" for each in blamed]
        if one.kind == "swapped":
            yield f"{names[0]} and {names[1]} may have been written in each other's place."
            continue
        for name, place in zip(names, one.places, strict=True):
            off = float(one.fit.residuals[place])
            way = "too large" if off > 0 else "too small"
            lead = "Misread" if sure else "Perhaps misread"
            yield f"{lead}: {name}, {small(off, unit)} {way}. Take it again."
    if found.counts:
        yield f"All of them agree with {_listed(found.counts)} holes: count the holes again."
    elif found.nearest is not None and found.nearest != found.count and not found.explained:
        yield f"Of the usual counts {found.nearest} comes nearest: count the holes again."


def _listed(counts: Sequence[int]) -> str:
    return " or ".join(map(str, counts))
