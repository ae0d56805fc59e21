"""Ways out, above the main line: changed requests, run again, kept when they cure.

Proposals come in the order a shop tries them. Nothing is offered that the engine has not
itself worked out anew.
"""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.check import Remedy
from kb.model.record import Advice, Design
from kb.model.request import Request
from kb.model.shop import Instrument
from kb.sheets.reading import read_key
from wizard.engine.design import design
from wizard.engine.proposals import Change, Proposal, proposals
from wizard.engine.verdict import due_now, judge

MOST_TRIED = 20
TRIAL_DRAWS = 4_000  # enough to tell whether a way out works: an error below two in a hundred


def advise(
    request: Request,
    *,
    shop_limits: Mapping[str, float] | None = None,
    shop_instruments: Mapping[str, Instrument] | None = None,
    ways_out: bool = True,
) -> Advice:
    """Work a request out, try the ways out of what fails, and judge.

    Without ``ways_out`` none is tried: the verdict is the same where it is known that none cures.

    Raises:
        InputError: something nobody can mean. OutOfScope: beyond a method's reach.
    """

    def run(changed_request: Request) -> Design:
        return design(
            changed_request, shop_limits=shop_limits, shop_instruments=shop_instruments,
            draws=TRIAL_DRAWS,
        )  # fmt: skip

    made = design(request, shop_limits=shop_limits, shop_instruments=shop_instruments)
    fails = _fails(made)
    remedies: list[Remedy] = []
    if fails and ways_out:
        for proposal in itertools.islice(proposals(made, fails), MOST_TRIED):
            enough = {one.costs for one in remedies if set(one.cures) >= fails}
            if proposal.costs not in enough:  # the first of a sort that cures all is enough
                remedies += _tried(request, proposal, made, run)
        remedies += _together(request, remedies, made, run)
    remedies.sort(key=lambda one: -len(one.cures))
    return Advice(design=made, remedies=tuple(remedies), verdict=judge(made, remedies))


def _fails(made: Design) -> frozenset[str]:
    return frozenset(check.id for check in due_now(made) if check.status == "fail")


def _fails_ever(made: Design) -> frozenset[str]:
    """Everything that fails, whenever it is due."""
    return frozenset(check.id for check in made.checks if check.status == "fail")


def _tried(request: Request, proposal: Proposal, made: Design, run: Any) -> list[Remedy]:
    """The proposal run again: a remedy when it cures something and breaks nothing, now or later."""
    try:
        again = run(changed(request, proposal.change))
    except (InputError, OutOfScope, NotTabulated):
        return []
    cures = _fails(made) - _fails(again)
    if not cures or _fails_ever(again) - _fails_ever(made):
        return []
    return [
        Remedy(
            cures=tuple(sorted(cures)), change=dict(proposal.change), costs=proposal.costs,
            says=proposal.says, verdict=judge(again, ()).word,
        )
    ]  # fmt: skip


def _together(request: Request, remedies: list[Remedy], made: Design, run: Any) -> list[Remedy]:
    """When no single remedy cures all, the first for each failing check, run together."""
    fails = _fails(made)
    if any(set(one.cures) >= fails for one in remedies):
        return []
    chosen: list[Remedy] = []
    for check in sorted(fails):
        first = next((one for one in remedies if check in one.cures), None)
        if first is None:
            return []
        if first not in chosen:
            chosen.append(first)
    change = {key: value for one in chosen for key, value in one.change.items()}
    return _tried(
        request,
        Proposal(change, "; ".join(one.costs for one in chosen), " ".join(one.says for one in chosen)),
        made, run,
    )  # fmt: skip


def changed(request: Request, change: Change) -> Request:
    """The request with some keys set anew, each value as a sheet would write it.

    Raises:
        InputError: a key that is not one of the sheet's, or a value it does not take.
    """
    for key, value in change.items():
        request = _set(request, key.split("."), value, key=key, units=request.units)
    return request


def _set(node: Any, path: list[str], value: object, *, key: str, units: str) -> Any:
    fields = {field.name: field for field in dataclasses.fields(node)} if node is not None else {}
    if path[0] not in fields:
        raise InputError(key, value, "that part is not in the sheet")
    if len(path) == 1:
        read = None
        if value is not None and fields[path[0]].metadata.get("kind") in TABLES:
            raise InputError(key, value, "it is a table; change one of its keys")
        if value is not None:
            read = read_key(type(node), path[0], _as_written(value), key=key, units=units)
        return dataclasses.replace(node, **{path[0]: read})
    inner = _set(getattr(node, path[0]), path[1:], value, key=key, units=units)
    return dataclasses.replace(node, **{path[0]: inner})


TABLES = ("part", "parts", "open_table")


def _as_written(value: object) -> object:
    """Figures as a sheet's reader takes them: exact decimals, not floats."""
    if isinstance(value, float):
        return Decimal(repr(float(value)))
    return [_as_written(one) for one in value] if isinstance(value, list | tuple) else value
