"""A job worked out again with changes: what a screen tries before anything is kept."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kb.errors import InputError
from wizard.desk.pairing import Worked, work_out
from wizard.engine.remedies import changed


@dataclass(frozen=True, kw_only=True)
class Step:
    """One change of a job.

    Attributes:
        change: Dotted keys of the sheet, each with its value as a sheet writes it; ``None``
            takes a key out.
        units: Unit of the bare numbers in it, ``"in"`` or ``"mm"``.
        says: What it is, for people.
    """

    change: Mapping[str, object]
    units: str
    says: str


def again(worked: Worked, steps: Sequence[Step], *, units: str) -> Worked:
    """The same job with changes, one after the other.

    Args:
        worked: The job as it was first worked out.
        steps: The changes, each in the unit it was typed in.
        units: The unit the job is shown in, and takes its stock in.
    Raises:
        InputError: a key the sheet does not have, or a value it does not take.
        OutOfScope: beyond a method's reach.
    """
    request = worked.request
    for step in steps:
        request = changed(replace(request, units=step.units), step.change)
    return work_out(replace(request, units=units), units=worked.units)


def as_text(steps: Sequence[Step]) -> str:
    """Changes as a text that `from_text` reads again, to be kept as a draft."""
    rows = [{"change": dict(one.change), "units": one.units, "says": one.says} for one in steps]
    return json.dumps(rows, ensure_ascii=False)


def from_text(text: str) -> tuple[Step, ...]:
    """Changes of a draft.

    Raises:
        InputError: the text is none of ours.
    """
    try:
        return tuple(
            Step(change=dict(row["change"]), units=str(row["units"]), says=str(row["says"]))
            for row in json.loads(text)
        )
    except (ValueError, TypeError, KeyError):
        raise InputError("draft", text[:40], "it holds no changes that can be read") from None
