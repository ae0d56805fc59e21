"""What a person may change on a job on the table: ways out, sizes held, the turn, a reading."""

from __future__ import annotations

import re

import streamlit as st

from kb.errors import InputError
from kb.model.measured import Measured
from kb.model.request import STAGES
from wizard import words
from wizard.app import drawing, page, signs, working
from wizard.app.ring import ring
from wizard.desk.afterwards import between
from wizard.desk.pairing import Worked

SPAN = 30.0  # degrees the slider reaches each way, unless the turn lies beyond
TURNS = (-1.0, -0.1, 0.1, 1.0)
CLOCKING = "choices.clocking"
_ANGLE = re.compile(r"[+-]?\d+(?:\.\d*)?|[+-]?\.\d+")


def changes() -> None:
    """What has been changed so far, and the way back."""
    steps, undone = working.steps(), working.undone()
    if not steps and not undone:
        return
    if steps:
        st.html(signs.paragraph("Changed: " + " · ".join(step.says for step in steps)))
    with st.container(horizontal=True):
        if steps:
            st.button("Undo the last change", on_click=working.undo)
        if len(steps) > 1:
            st.button("Undo all", on_click=working.start_over)
        if undone:
            st.button("Do it again", on_click=working.redo, help=undone[-1].says)
        if steps:
            st.button("Put this variant aside", on_click=working.put_aside)


def variants(worked: Worked) -> None:
    """The job as it is now beside the variant that was put aside: only what differs."""
    other = working.aside()
    if other is None:
        return
    st.subheader("Beside the variant put aside", anchor=False)
    rows = [(one.what, one.before, one.after) for one in between(other.answer, worked.answer)]
    if rows:
        st.html(signs.table(["what", "put aside", "now"], rows))
    else:
        st.html(signs.paragraph("Nothing differs yet: change something.", quiet=True))
    with st.container(horizontal=True):
        st.button("Take up the one put aside", on_click=working.back_to_aside)
        st.button("Compare no more", on_click=working.forget_aside)


def ways_out(worked: Worked) -> None:
    """Changed jobs that were worked out and found to cure something; each at one press."""
    remedies = worked.answer["remedies"]
    if not remedies:
        return
    st.subheader("Ways out", anchor=False)
    for number, remedy in enumerate(remedies):
        with st.container(border=True, horizontal=True, vertical_alignment="center"):
            cures = ", ".join(words.label(check) for check in remedy["cures"])
            st.html(
                '<div class="nb-way">'
                + signs.paragraph(remedy["says"])
                + signs.paragraph(f"Costs: {remedy['costs']}. Cures: {cures}.", quiet=True)
                + f"<p>then: {signs.badge(remedy['verdict'])}</p></div>"
            )
            st.button(
                "Do this", key=f"remedy.{number}", on_click=working.take,
                args=(remedy["change"], remedy["says"].rstrip(".")),
            )  # fmt: skip


# ── what is held fixed ──────────────────────────────────────────────────────


def fixed(worked: Worked) -> None:
    """Plate, spacer and turn as typed, fractions kept; the stage the job is judged for."""
    choices = worked.request.choices
    held = {
        "choices.plate": _as_typed(choices.plate), "choices.spacer": _as_typed(choices.spacer),
        CLOCKING: _turns_as_typed(choices.clocking),
    }  # fmt: skip
    hints = ("worked out", "worked out", "0")
    with st.form("fixed"):
        unit = {"in": "inches", "mm": "millimetres"}[page.first_unit()]
        st.markdown(
            "**Held fixed.** Leave a field empty and it is worked out. Bare numbers and plate "
            f"stock are in {unit}."
        )
        typed = {}
        for column, (key, text), hint in zip(st.columns(3), held.items(), hints, strict=True):
            typed[key] = column.text_input(
                words.heading(key), value=text, key=f"fixed.{key}.{text}", placeholder=hint,
                max_chars=60,
            )  # fmt: skip
        pressed = st.form_submit_button("Work it out again")
    _stage(worked)
    new = {key: text.strip() for key, text in typed.items() if text.strip() != held[key]}
    if pressed and new:
        try:
            change = {key: _read(key, text) for key, text in new.items()}
        except InputError as error:
            working.refuse(error)
        else:
            says = (f"{words.label(key)}: {text or 'left open'}" for key, text in new.items())
            working.take(change, ", ".join(says))
        st.rerun()


def _as_typed(size: Measured | None) -> str:
    """A size as it was written, with its unit."""
    if size is None:
        return ""
    text, unit = size.first.typed, size.first.unit
    return text if re.search(r"[a-z\"”″]", text, re.IGNORECASE) else f"{text} {unit}"


def _turns_as_typed(turns: tuple[float, float] | None) -> str:
    if turns is None:
        return ""
    low, high = (f"{turn:.3f}".rstrip("0").rstrip(".") for turn in turns)
    return low if low == high else f"{low} to {high}"


def _read(key: str, text: str) -> object:
    """What a field says, as a sheet writes it."""
    if not text:
        return None
    if key != CLOCKING:
        return text
    found = [part.strip().rstrip("°").strip() for part in re.split(r"\bto\b|\.\.+|…", text)]
    if len(found) > 2 or not all(_ANGLE.fullmatch(part) for part in found):
        raise InputError(key, text, "write an angle such as 3.1, or a range such as -8 to 8")
    low, high = float(found[0]), float(found[-1])
    if low > high:
        raise InputError(key, text, "write the smaller angle first")
    return [low, high]


def _stage(worked: Worked) -> None:
    st.session_state["stage"] = worked.answer["stage"]
    st.segmented_control(
        "Judged", STAGES, format_func=words.label, required=True, key="stage", on_change=_staged
    )


def _staged() -> None:
    stage = st.session_state["stage"]
    working.take({"choices.stage": stage}, f"judged {words.label(stage)}")


# ── the gearbox's turn ──────────────────────────────────────────────────────


def turn(worked: Worked) -> None:
    """A slider for the gearbox's turn, steps of a degree and a tenth, and the best in reach."""
    lineup = worked.answer["lineup"].get("fixed")
    if lineup is None:
        return
    used = float(lineup["clocking"])
    reach = SPAN if abs(used) <= SPAN else 180.0
    st.session_state["turn"] = used
    st.slider(
        f"{words.heading('clocking')}, anticlockwise seen from behind", -reach, reach, step=0.1,
        format="%+.1f°", key="turn", on_change=_slid,
    )  # fmt: skip
    if st.toggle(
        "Every turn on a ring", help="All the way round, also beyond what the job allows."
    ):
        _all_round(used)
    with st.container(horizontal=True):
        for by in TURNS:
            st.button(f"{by:+g}°", key=f"turn{by:+g}", on_click=_turned, args=(used + by,))
        st.button("Upright", on_click=_turned, args=(0.0,))
        for at in _window_turns(lineup["windows"], used):
            st.button(f"To {at:+.2f}°", key=f"to{at:.4f}", on_click=_turned, args=(at,), help="A turn that keeps every wall wanted.")  # fmt: skip
        st.button(
            "Best",
            on_click=_best,
            help="The turn with the greatest wall between bolt holes; dowels apart.",
        )


def _all_round(used: float) -> None:
    """What the walls are like at every turn there is, whatever the job allows."""
    lineup = working.free_to_turn(180.0, further=True).answer["lineup"]["fixed"]
    st.plotly_chart(
        ring(lineup["windows"], used=used, best=lineup["best"]["clocking"]), config=drawing.QUIET, theme=None, key="ring",
        alt="Turns of the gearbox that keep every wall wanted, on a ring with upright at the top",
    )  # fmt: skip


def _window_turns(windows: list[list[float]], used: float) -> list[float]:
    """The nearest turn inside each window that the present turn is not in; at most four."""
    outside = [(low, high) for low, high in windows if not low <= used <= high]
    nearest = [low if used < low else high for low, high in outside]
    return sorted(nearest, key=lambda at: abs(at - used))[:4]


def _slid() -> None:
    _turned(st.session_state["turn"])


def _turned(angle: float) -> None:
    angle = round((angle + 180.0) % 360.0 - 180.0, 4)
    working.take({CLOCKING: [angle, angle]}, f"gearbox turned {angle:+.2f}°")


def _best() -> None:
    with_room = working.free_to_turn(SPAN)
    _turned(float(with_room.answer["lineup"]["fixed"]["best"]["clocking"]))


# ── another reading ─────────────────────────────────────────────────────────


def reading(worked: Worked) -> None:
    """Another figure for one dimension: what the answer would be."""
    following = [row["dimension"] for row in worked.answer.get("axial", {}).get("measure_next", ())]
    keys = [*worked.answer.get("measure", ()), *following]
    keys += [row["key"] for row in worked.answer["lengths"]]
    known = [key for key in dict.fromkeys(keys) if "[" not in key and words.known(key)]
    if not known:
        return
    with st.form("reading"):
        key = st.selectbox("Read again, or try another figure", known, format_func=words.heading)
        text = st.text_input("Figure", placeholder=f"as in a sheet: 18.00 ± 0.10 {page.first_unit()}", max_chars=60)  # fmt: skip
        pressed = st.form_submit_button("Try it")
    if pressed and key and text.strip():
        working.take({key: text.strip()}, f"{words.label(key)}: {text.strip()}")
        st.rerun()
