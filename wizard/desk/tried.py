"""A job worked out again with changes: what a screen tries before anything is kept."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.desk.pairing import Worked, work_out
from wizard.engine.remedies import changed


def again(worked: Worked, changes: Mapping[str, object]) -> Worked:
    """The same job with some keys of its sheet set anew.

    Args:
        worked: The job as it was worked out.
        changes: Dotted keys of the sheet, each with its value as a sheet writes it; ``None``
            takes a key out.
    Raises:
        InputError: a key the sheet does not have, or a value it does not take.
        OutOfScope: beyond a method's reach.
    """
    return work_out(changed(worked.request, changes), units=worked.units)
