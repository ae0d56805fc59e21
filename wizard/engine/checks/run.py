"""All checks, in the order people read them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kb.model.check import Check
from wizard.engine.checks import (
    converter,
    holes,
    housing,
    identity,
    installation,
    joints,
    rotating,
    running,
    screws,
    shaft,
    span,
    starter,
)
from wizard.engine.checks.case import Answer, Case, NotRun

CHECKS: dict[str, Callable[[Case], Answer]] = {
    id: check
    for family in (
        span,
        converter,
        shaft,
        starter,
        holes,
        screws,
        housing,
        rotating,
        running,
        joints,
        identity,
        installation,
    )
    for id, check in family.CHECKS.items()
}
NotRunRow = tuple[str, tuple[str, ...]]


def run(case: Case) -> tuple[tuple[Check, ...], tuple[NotRunRow, ...]]:
    """Every check that applies, and those that were not run with what they lack."""
    done: list[Check] = []
    skipped: list[NotRunRow] = []
    for id, check in CHECKS.items():
        found = check(case)
        if isinstance(found, NotRun):
            skipped.append((id, found.lacks))
        else:
            done.append(_with_chance(case, found))
    return tuple(done), tuple(skipped)


def _with_chance(case: Case, check: Check) -> Check:
    """The chance that an axial check passes with the readings in hand."""
    odds = case.chain.odds if case.chain else None
    if odds is None or check.status == "unknown" or check.id not in odds.by_check:
        return check
    return replace(check, chance=odds.by_check[check.id])
