"""The job on the table of one person: how it began, the changes tried since, and what comes of them.

Nothing here outlives the person's own session, and nothing is shared with another's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import cast

import streamlit as st

from wizard.app import page
from wizard.desk.pairing import Worked
from wizard.desk.tried import Step, again

KEPT = 40  # answers remembered for going back and forth

_JOB, _BASE, _STEPS, _WORKED, _REFUSED = (
    f"table.{name}" for name in ("job", "base", "steps", "worked", "refused")
)


def begin(job: str, make: Callable[[], Worked]) -> None:
    """Put a job on the table; another job clears it.

    Args:
        job: What names the job, down to the revisions of its units.
        make: Works it out, where it is not on the table already.
    """
    if st.session_state.get(_JOB) != job:
        base = make()
        st.session_state |= {
            _JOB: job, _BASE: base, _STEPS: (), _WORKED: {_name((), base.request.units): base},
            _REFUSED: None,
        }  # fmt: skip


def steps() -> tuple[Step, ...]:
    """The changes tried, the first one first."""
    return cast("tuple[Step, ...]", st.session_state.get(_STEPS, ()))


def now() -> Worked:
    """The job with all its changes, in the unit named first."""
    return _worked(steps(), page.first_unit())


def without(*keys: str) -> Worked:
    """The job with its changes, less those of some keys."""
    left = tuple(step for step in steps() if not set(keys) & set(step.change))
    return _worked(left, page.first_unit())


def take(change: Mapping[str, object], says: str, *, units: str | None = None) -> None:
    """Try a change; one of the same keys as the change before takes its place.

    Args:
        change: Dotted keys of the sheet and their values.
        says: What it is, for people.
        units: Unit of bare numbers; without it the unit named first.

    A change that is refused leaves the job as it was; `refused` says why.
    """
    earlier = steps()
    if earlier and set(earlier[-1].change) == set(change):
        earlier = earlier[:-1]
    tried = (*earlier, Step(change=change, units=units or page.first_unit(), says=says))
    try:
        _worked(tried, page.first_unit())
    except page.SHOWN as error:
        st.session_state[_REFUSED] = error
        return
    st.session_state[_STEPS] = tried


def refuse(error: Exception) -> None:
    """Remember what was refused, to be shown once."""
    st.session_state[_REFUSED] = error


def refused() -> Exception | None:
    """What was refused since the screen was last drawn."""
    return cast("Exception | None", st.session_state.pop(_REFUSED, None))


def undo() -> None:
    """Take the last change back."""
    st.session_state[_STEPS] = steps()[:-1]


def start_over() -> None:
    """Take every change back."""
    st.session_state[_STEPS] = ()


def _worked(changes: tuple[Step, ...], units: str) -> Worked:
    remembered: dict[str, Worked] = st.session_state[_WORKED]
    name = _name(changes, units)
    if name not in remembered:
        while len(remembered) >= KEPT:
            del remembered[next(iter(remembered))]
        remembered[name] = again(st.session_state[_BASE], changes, units=units)
    return remembered[name]


def _name(changes: tuple[Step, ...], units: str) -> str:
    return repr(([(step.units, sorted(step.change.items())) for step in changes], units))
