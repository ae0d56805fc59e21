"""The main line: a request becomes a design."""

from __future__ import annotations

from collections.abc import Mapping

from kb.model.record import Design
from kb.model.request import Request
from kb.model.shop import Instrument
from wizard.engine.axial.chain import chain
from wizard.engine.axial.odds import DRAWS
from wizard.engine.checks.case import Case
from wizard.engine.checks.run import run
from wizard.engine.lineup import line_up_fixed, line_up_rotating
from wizard.engine.normalise import normalise
from wizard.engine.parts.adapter import adapter


def design(
    request: Request,
    *,
    shop_limits: Mapping[str, float] | None = None,
    shop_instruments: Mapping[str, Instrument] | None = None,
    draws: int = DRAWS,
) -> Design:
    """Work out one job: normalise → line up → axial → parts → checks.

    Raises:
        InputError: something nobody can mean. OutOfScope: beyond a method's reach.
    """
    sides = normalise(request, shop_limits=shop_limits, shop_instruments=shop_instruments)
    fixed, rotating = line_up_fixed(sides), line_up_rotating(sides)
    axial = chain(sides, draws=draws)
    made = adapter(sides, fixed, rotating, axial)
    checks, not_run = run(Case(sides, fixed, rotating, axial, made))
    return Design(
        sides=sides, fixed=fixed, rotating=rotating, chain=axial, adapter=made,
        checks=checks, not_run=not_run,
    )  # fmt: skip
