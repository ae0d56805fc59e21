"""The measure a check is about, and how it is set against its limits."""

from __future__ import annotations

from wizard.engine.axial.needs import wanted_band
from wizard.engine.checks.case import FLAT, Answer, Case, NotRun, answer, graded, unknown


def measure(case: Case, id: str, name: str, part: str) -> float | Answer:
    """The measure a check is about, or why it cannot be judged."""
    chain = case.chain
    if chain is None or (name not in chain.values and name not in chain.lacks):
        if chain is not None and name in chain.rests_on:
            return unknown(id, missing_sizes(case))
        return NotRun((part,))
    if name in chain.lacks:
        return unknown(id, chain.lacks[name])
    return chain.values[name]


def missing_sizes(case: Case) -> tuple[str, ...]:
    """Why no adapter length is at hand: what the chain that closes it lacks."""
    band = wanted_band(case.sides)
    if case.chain is not None and band is not None and band[0] in case.chain.lacks:
        return case.chain.lacks[band[0]]
    return ("choices.spacer",)


def rests(case: Case, name: str) -> tuple[str, ...]:
    """Keys of the dimensions a measure rests on."""
    return case.chain.rests_on.get(name, ()) if case.chain else ()


def spread(case: Case, name: str) -> float:
    """± of a measure with the readings in hand [mm]."""
    return case.chain.uncertain.get(name, 0.0) if case.chain else 0.0


def over(value: float, *, low: float, high: float) -> float:
    """Distance to the nearest edge of a band, + inside."""
    return min(value - low, high - value)


def clearance(
    case: Case, id: str, name: str, part: str, *, noun: str, fail: str, warn: str
) -> Answer:
    """A clearance with a level to warn at and one to fail at."""
    room = measure(case, id, name, part)
    if not isinstance(room, float):
        return room
    hard, soft = case.limit(fail), case.limit(warn)
    status = graded(room, fail=hard, warn=soft)
    if hard == 0 and room <= FLAT:
        status = "fail"
    wanted = "" if status == "pass" else f", wanted {case.shown(soft)}"
    says = f"{noun} {case.shown(room, spread(case, name))}{wanted}."
    return answer(
        id, status, says, margin=room - hard, because=rests(case, name), source=case.source(warn)
    )
