"""The verdict: one word for a stage, its reasons worst first, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence

from kb.model.check import Check, Remedy, Verdict
from kb.model.record import Design
from kb.model.request import STAGES
from kb.quantity import both

_RANK = {"fail": 0, "unknown": 1, "warn": 2, "pass": 3}


def due_now(design: Design) -> tuple[Check, ...]:
    """The checks that must be settled by the stage the job is at."""
    reached = STAGES.index(design.sides.chosen.stage)
    return tuple(check for check in design.checks if STAGES.index(check.due) <= reached)


def chance(design: Design) -> float | None:
    """Chance that the axial checks will do: that something works at quote, that these sizes do after."""
    odds = design.chain.odds if design.chain else None
    if odds is None:
        return None
    return odds.chance_any if design.sides.chosen.stage == "quote" else odds.chance_these


def chance_of(design: Design, check: Check) -> float:
    """Chance that one failing check will still pass: 0 where readings cannot change it."""
    if check.chance is None:
        return 0.0
    odds = design.chain.odds if design.chain else None
    free = not {"choices.plate", "choices.spacer"} & set(design.sides.lengths)
    if design.sides.chosen.stage == "quote" and free and odds is not None:
        return odds.chance_any
    # readings in hand that nearly always pass cannot be why it fails: something else is
    return check.chance if check.chance <= design.sides.rules["verdict.high"] else 0.0


def judge(design: Design, remedies: Sequence[Remedy]) -> Verdict:
    """Judge a design for its stage, with the remedies that were run again."""
    now = due_now(design)
    fails = [check for check in now if check.status == "fail"]
    low, high = design.sides.rules["verdict.low"], design.sides.rules["verdict.high"]
    cured = _cured(fails, remedies)
    hopeless = [c for c in fails if c.id not in cured and chance_of(design, c) < low]
    unsure = _unsure(design, now, fails, low=low, high=high)
    if not now:
        word, because = "measure first", []  # nothing has been judged, and that is no pass
    elif hopeless:
        word, because = "does not go", hopeless
    elif unsure:
        word, because = "measure first", unsure
    elif fails:
        word, because = "goes with work", fails
    else:
        word, because = "goes", [check for check in now if check.status == "warn"]
    ordered = tuple(dict.fromkeys(check.id for check in _worst_first(because)))
    measure = _to_measure(design, now) if word == "measure first" else ()
    return Verdict(
        word=word, because=ordered, measure=measure,
        lines=_lines(design, word, _worst_first(because), remedies, measure),
    )  # fmt: skip


def _cured(fails: Sequence[Check], remedies: Sequence[Remedy]) -> frozenset[str]:
    """Failing checks that some remedy, or several run together, were seen to cure."""
    wanted = {check.id for check in fails}
    for remedy in remedies:
        if wanted <= set(remedy.cures) and remedy.verdict != "does not go":
            return frozenset(wanted)
    return frozenset()


def _unsure(
    design: Design, now: Sequence[Check], fails: Sequence[Check], *, low: float, high: float
) -> list[Check]:
    """Checks that a reading could still turn."""
    found = [check for check in now if check.status == "unknown"]
    found += [c for c in fails if low <= chance_of(design, c) <= high]
    guessed = {key for key, one in design.sides.lengths.items() if one.source == "guess"}
    found += [check for check in now if guessed & set(check.because)]
    overall = chance(design)
    if overall is not None and low <= overall <= high:
        shaky = [c for c in now if c.chance is not None and low <= c.chance <= high]
        found += shaky or [c for c in now if c.chance is not None and c.chance < high]
    return list(dict.fromkeys(found))


def _worst_first(checks: Sequence[Check]) -> list[Check]:
    def key(check: Check) -> tuple[int, float]:
        return (_RANK[check.status], check.margin if check.margin is not None else 0.0)

    return sorted(checks, key=key)


def _to_measure(design: Design, now: Sequence[Check]) -> tuple[str, ...]:
    """What to read next: what is missing, what was guessed, then what decides most."""
    keys = [key for check in now if check.status == "unknown" for key in check.because]
    used = {key for check in now for key in check.because}
    keys += [
        one.key
        for one in design.sides.lengths.values()
        if one.source == "guess" and one.key in used
    ]
    odds = design.chain.odds if design.chain else None
    if odds is not None:
        keys += [row.dimension for row in odds.measure_next if row.decides > 0.005]
    return tuple(dict.fromkeys(keys))


def _lines(
    design: Design, word: str, because: Sequence[Check], remedies: Sequence[Remedy],
    measure: Sequence[str],
) -> tuple[str, ...]:  # fmt: skip
    """At most seven lines: the verdict, three reasons, what to measure, what it will be."""
    lines = [f"{word[0].upper()}{word[1:]}, judged for the {design.sides.chosen.stage}."]
    reasons = [check.says for check in because if check.status != "pass"]
    guesses = [
        key
        for key in measure
        if key in design.sides.lengths and design.sides.lengths[key].source == "guess"
    ]
    if guesses:
        reasons.insert(0, f"A guess carries the answer: {', '.join(guesses[:3])}.")
    if not due_now(design):
        reasons = ["Nothing can be judged yet: the sheet has too little of either side."]
    lines += reasons[:3]
    if word == "goes with work" and remedies:
        lines.append(remedies[0].says)
    if measure:
        more = f" and {len(measure) - 3} more" if len(measure) > 3 else ""
        lines.append("Measure: " + ", ".join(measure[:3]) + more + ".")
    if will_be := _will_be(design):
        lines.append(will_be)
    return tuple(lines[:7])


def _will_be(design: Design) -> str:
    chain, first = design.chain, design.sides.request.units
    if chain is None:
        return ""
    pieces = []
    plates = [
        part.size["thickness"] for part in design.adapter.parts if part.name.endswith("plate")
    ]
    if plates:
        noun = "a plate" if len(plates) == 1 else "two plates"
        pieces.append(f"{noun} of " + " and ".join(both(size, first=first) for size in plates))
    if chain.spacer and chain.spacer > 0:
        pieces.append(f"a rotating adapter {both(chain.spacer, first=first)} long")
    if not pieces:
        return ""
    return "It will be " + " and ".join(pieces) + "."
