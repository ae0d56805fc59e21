"""The job on the table of one person: how it began, the changes tried since, and what comes of them.

Nothing here outlives the person's own session, and nothing is shared with another's.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import cast

import streamlit as st

from wizard.app import page
from wizard.desk import drafts
from wizard.desk.pairing import Worked
from wizard.desk.place import Store
from wizard.desk.tried import Step, again, as_text, from_text

KEPT = 40  # answers remembered for going back and forth

_JOB, _BASE, _STEPS, _WORKED, _REFUSED, _KEPT, _UNDONE, _ASIDE = (
    f"table.{name}"
    for name in ("job", "base", "steps", "worked", "refused", "kept", "undone", "aside")
)
DRAFT = "draft"  # in the address: where the changes are kept in case the page is lost


def begin(job: str, make: Callable[[], Worked]) -> bool:
    """Put a job on the table, which clears it of another; true when it was not there yet.

    Args:
        job: What names the job, down to the revisions of its units.
        make: Works it out, where it is not on the table already.
    """
    if st.session_state.get(_JOB) == job:
        return False
    base = make()
    for key, value in (
        (_JOB, job), (_BASE, base), (_STEPS, ()), (_REFUSED, None),
        (_WORKED, {_name((), base.request.units): base}),
    ):  # fmt: skip
        st.session_state[key] = value
    for key in (_KEPT, _UNDONE, _ASIDE):
        st.session_state.pop(key, None)
    return True


def recall(store: Store) -> None:
    """Take up the changes of the address's draft, once, where none have been tried here yet."""
    mark = st.query_params.get(DRAFT, "")
    kept = drafts.get(store, mark) if mark and not steps() and not undone() else None
    if kept is not None and kept.body.get("job") == st.session_state[_JOB]:
        taken = from_text(kept.body["steps"])
        try:
            _worked(taken, page.first_unit())
        except page.SHOWN as error:
            refuse(error)
        else:
            st.session_state[_STEPS] = taken


def remember(store: Store, title: str) -> None:
    """Keep the changes as a draft under the address, so that a lost page loses nothing."""
    mark = st.query_params.get(DRAFT, "")
    if not steps():
        if mark and undone():
            drafts.drop(store, mark)
        return
    if not mark:
        mark = drafts.new_mark()
        st.query_params[DRAFT] = mark
    address = json.dumps(st.query_params.to_dict(), ensure_ascii=False)
    body = {"job": str(st.session_state[_JOB]), "steps": as_text(steps()), "address": address}
    drafts.keep(store, mark, what=drafts.PAIRING, title=title, body=body)


def written_in() -> str:
    """The unit the job on the table was written in."""
    return cast("Worked", st.session_state[_BASE]).request.units


def steps() -> tuple[Step, ...]:
    """The changes tried, the first one first."""
    return cast("tuple[Step, ...]", st.session_state.get(_STEPS, ()))


def now() -> Worked:
    """The job with all its changes, in the unit named first."""
    return _worked(steps(), page.first_unit())


def free_to_turn(span: float, *, further: bool = False) -> Worked:
    """The job with its changes, the gearbox free to turn: as far as it allows, else so far each way.

    Args:
        span: How far each way where the job allows no turn at all [°].
        further: So far also where the job allows less.
    """
    left = tuple(step for step in steps() if "choices.clocking" not in step.change)
    units = page.first_unit()
    free = _worked(left, units)
    low, high = free.advice.design.sides.chosen.clocking
    if low < high and not further:
        return free
    widened = Step(change={"choices.clocking": [-span, span]}, units=units, says="")
    return _worked((*left, widened), units)


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
    st.session_state.pop(_UNDONE, None)


def refuse(error: Exception) -> None:
    """Remember what was refused, to be shown once."""
    st.session_state[_REFUSED] = error


def refused() -> Exception | None:
    """What was refused since the screen was last drawn."""
    return cast("Exception | None", st.session_state.pop(_REFUSED, None))


def undo() -> None:
    """Take the last change back."""
    st.session_state[_UNDONE] = (*undone(), *steps()[-1:])
    st.session_state[_STEPS] = steps()[:-1]


def undone() -> tuple[Step, ...]:
    """The changes taken back, the one taken back last at the end."""
    return cast("tuple[Step, ...]", st.session_state.get(_UNDONE, ()))


def redo() -> None:
    """Put back the change that was taken back last."""
    st.session_state[_STEPS] = (*steps(), *undone()[-1:])
    st.session_state[_UNDONE] = undone()[:-1]


def start_over() -> None:
    """Take every change back."""
    st.session_state[_UNDONE] = (*undone(), *reversed(steps()))
    st.session_state[_STEPS] = ()


def put_aside() -> None:
    """Put the job as it is now aside, to be compared with what is tried next."""
    st.session_state[_ASIDE] = steps()


def aside() -> Worked | None:
    """The variant that was put aside, in the unit named first."""
    kept = st.session_state.get(_ASIDE)
    return None if kept is None else _worked(kept, page.first_unit())


def forget_aside() -> None:
    """Compare no more."""
    st.session_state.pop(_ASIDE, None)


def back_to_aside() -> None:
    """Take up the variant that was put aside."""
    st.session_state[_STEPS] = st.session_state.get(_ASIDE, ())
    st.session_state.pop(_UNDONE, None)


def keep(number: int) -> None:
    """Remember under which number the job was kept as it stands now."""
    st.session_state[_KEPT] = (number, steps())


def kept() -> int | None:
    """The number of the record, while the job is as it was kept."""
    number, then = cast("tuple[int, tuple[Step, ...]]", st.session_state.get(_KEPT, (0, ())))
    return number if number and then == steps() else None


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
