"""The verdict: one word for a stage, its reasons worst first, and what to do about it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

from kb.model.check import Check, Remedy, Verdict
from kb.model.measured import Measured
from kb.model.record import Design, Sides
from kb.model.request import STAGES
from kb.model.unit import Dowel, Hole
from kb.quantity import both

_RANK = {"fail": 0, "unknown": 1, "warn": 2, "pass": 3}


def due_now(design: Design) -> tuple[Check, ...]:
    """The checks that must be settled by the stage the job is at."""
    reached = STAGES.index(design.sides.chosen.stage)
    return tuple(check for check in design.checks if STAGES.index(check.due) <= reached)


def _judged(design: Design) -> bool:
    """Whether anything is due now, and not of the units' names and ratings alone."""
    joints = (design.fixed, design.rotating, design.chain)
    return bool(due_now(design)) and any(joint is not None for joint in joints)


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
    if hopeless:
        word, because = "does not go", hopeless
    elif not _judged(design):
        word, because = "measure first", unsure  # no joint has been looked at, and that is no pass
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
    guessed = guesses(design.sides)
    found += [check for check in now if carries(check, guessed)]
    overall = chance(design)
    if overall is not None and overall <= high and (overall >= low or not fails):
        shaky = [c for c in now if c.chance is not None and low <= c.chance <= high]
        found += shaky or [c for c in now if c.chance is not None and c.chance < high]
    return list(dict.fromkeys(found))


def guesses(sides: Sides) -> tuple[str, ...]:
    """Keys of everything that is marked as a guess; a list of holes stands for its holes."""
    found = [key for key, one in sides.lengths.items() if one.source == "guess"]
    return (*found, *_guessed_lists(sides.request, ""))


def _guessed_lists(node: object, path: str) -> Iterator[str]:
    """Keys of the lists of holes and dowels in which some size or place is a guess."""
    for field in dataclasses.fields(node):  # type: ignore[arg-type]
        value, key = getattr(node, field.name), f"{path}{field.name}"
        if field.name in ("holes", "dowels"):
            if any(map(_is_guessed, value)):
                yield key
        elif dataclasses.is_dataclass(value) and not isinstance(value, Measured):
            yield from _guessed_lists(value, f"{key}.")


def _is_guessed(hole: Hole | Dowel) -> bool:
    sizes = (getattr(hole, field.name) for field in dataclasses.fields(hole))
    return any(
        one.source == "guess"
        for size in sizes
        if isinstance(size, Measured)
        for one in size.readings
    )


def carries(check: Check, keys: Sequence[str]) -> bool:
    """Whether a check rests on one of the keys, by itself or by the part it belongs to."""
    return any(f"{key}.".startswith(f"{part}.") for part in check.because for key in keys)


def _worst_first(checks: Sequence[Check]) -> list[Check]:
    def key(check: Check) -> tuple[int, float]:
        return (_RANK[check.status], check.margin if check.margin is not None else 0.0)

    return sorted(checks, key=key)


def _to_measure(design: Design, now: Sequence[Check]) -> tuple[str, ...]:
    """What to read next: what is missing, what was guessed, then what decides most."""
    keys = [key for check in now if check.status == "unknown" for key in check.because]
    keys += [key for key in guesses(design.sides) if any(carries(one, (key,)) for one in now)]
    odds = design.chain.odds if design.chain else None
    if odds is not None and design.sides.chosen.stage == "quote":
        keys += [row.dimension for row in odds.measure_next if row.decides > WORTH]
    elif odds is not None:
        now_works = odds.chance_these or 0.0
        keys += [r.dimension for r in odds.measure_next if r.chance_if_known > now_works + WORTH]
    if not _judged(design):
        keys += [
            key for key in ("engine.face", "gearbox.face", "engine.drive") if not _has(design, key)
        ]
    return tuple(dict.fromkeys(keys or _widest(design, now)))


def _has(design: Design, key: str) -> bool:
    unit, part = key.split(".")
    return getattr(getattr(design.sides.request, unit), part, None) is not None


def _widest(design: Design, now: Sequence[Check]) -> list[str]:
    """Dimensions that doubtful checks rest on, the widest ± first."""
    high, lengths = design.sides.rules["verdict.high"], design.sides.lengths
    doubtful = [check for check in now if check.chance is not None and check.chance <= high]
    keys = {key for check in doubtful for key in check.because if key in lengths}
    loose = [key for key in keys if lengths[key].within > 0]
    return sorted(loose, key=lambda key: (-lengths[key].within, key))


WORTH = 0.005  # gain in chance for which a dimension is worth reading again


def _lines(
    design: Design, word: str, because: Sequence[Check], remedies: Sequence[Remedy],
    measure: Sequence[str],
) -> tuple[str, ...]:  # fmt: skip
    """At most seven lines: the verdict, three reasons, what to measure, what it will be."""
    lines = [f"{word[0].upper()}{word[1:]}, judged for the {design.sides.chosen.stage}."]
    high = design.sides.rules["verdict.high"]
    reasons = [reason for check in because if (reason := _reason(check, high=high))]
    guessed = [key for key in guesses(design.sides) if key in measure]
    if guessed:
        reasons.insert(0, f"A guess carries the answer: {', '.join(guessed[:3])}.")
    if not _judged(design) and word == "measure first":
        reasons = ["Nothing can be judged yet: the sheet has too little of either side."]
    lines += reasons[:3]
    if word == "goes with work" and remedies:
        lines.append(remedies[0].says)
    if measure:
        more = f" and {len(measure) - 3} more" if len(measure) > 3 else ""
        lines.append("Measure: " + ", ".join(measure[:3]) + more + ".")
    if word == "goes" and (doubt := _not_yet(design, high=high)):
        lines.append(doubt)
    if later := _later(design):
        lines.append(later)
    if will_be := _will_be(design, word):
        lines.append(will_be)
    return tuple(lines[:7])


def _reason(check: Check, *, high: float) -> str:
    """Why a check counts, in words; nothing where it passes and is sure to."""
    if check.status != "pass":
        return check.says
    if check.chance is None or check.chance > high:
        return ""
    return f"{check.says} With the readings in hand the chance of that is {check.chance:.0%}."


def _later(design: Design) -> str:
    """What fails already though it is due only later; or nothing."""
    now = {check.id for check in due_now(design)}
    fails = [check for check in design.checks if check.status == "fail" and check.id not in now]
    if not fails:
        return ""
    return f"Fails already, to be settled by the {fails[0].due}: {', '.join(one.id for one in fails[:3])}."


def _not_yet(design: Design, *, high: float) -> str:
    """What to read again before cutting, where a part cut now might not do; or nothing."""
    odds = design.chain.odds if design.chain else None
    if odds is None or odds.chance_these is None or odds.chance_these >= high:
        return ""
    says = f"Cut now, the parts would do with a chance of {odds.chance_these:.0%}"
    better = [r for r in odds.measure_next if r.chance_if_known > odds.chance_these + WORTH]
    if not better:
        return f"{says}."
    best = max(better, key=lambda row: row.chance_if_known)
    return f"{says}: first measure {best.dimension} again."


def _will_be(design: Design, word: str) -> str:
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
    begins = "The nearest to it is" if word == "does not go" else "It will be"
    return f"{begins} {' and '.join(pieces)}."
