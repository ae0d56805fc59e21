"""Matches: what could go with a unit, the easiest first, and why the rest does not."""

from __future__ import annotations

import streamlit as st

from wizard import words
from wizard.app import page, signs
from wizard.desk import counterparts, units
from wizard.desk.counterparts import Candidate
from wizard.desk.place import Store

OTHERS = {"engine": "gearboxes", "gearbox": "engines"}
MOST_SHOWN = 40


def show() -> None:
    """Choose a unit, narrow what it may go with, and read the list."""
    st.title("Matches", anchor=False)
    st.markdown("Every counterpart of the catalogue, put through the whole reckoning.")
    with page.store() as store, page.told():
        kind = _kind()
        name = _unit(store, kind)
        if not name:
            return
        wanted = _wanted()
        if st.button(f"Look through the {OTHERS[kind]}", type="primary"):
            found: list[Candidate] = []
            st.session_state["matches"] = (kind, name, found)  # what is there when it is stopped
            _work(store, kind, name, wanted, found)
        kept = st.session_state.get("matches")
        if kept and kept[:2] == (kind, name):
            _listed(kind, name, counterparts.ranked(kept[2]))


def _kind() -> str:
    asked = st.query_params.get("kind", "")
    if "matches.kind" not in st.session_state:
        st.session_state["matches.kind"] = asked if asked in OTHERS else "engine"
    says = {"engine": "an engine to be given a gearbox", "gearbox": "a gearbox to be given an engine"}  # fmt: skip
    return str(st.segmented_control("There is", list(OTHERS), key="matches.kind", required=True, format_func=says.__getitem__))  # fmt: skip


def _unit(store: Store, kind: str) -> str:
    names = [row.name for row in units.rows(store, kind=kind)]
    if not names:
        st.info(f"The catalogue holds no {kind} yet.")
        st.page_link(page.CATALOGUE, label="Open the catalogue")
        return ""
    key, asked = f"matches.{kind}", st.query_params.get("unit", "")
    if key not in st.session_state and asked in names:
        st.session_state[key] = asked
    return st.selectbox(words.heading(kind), names, key=key, index=None, placeholder=f"choose one {kind}") or ""  # fmt: skip


def _wanted() -> counterparts.Wanted:
    with st.expander("Only some of them"):
        text = st.text_input("Words in the name", key="matches.text")
        may_go = st.checkbox("Leave out what does not go", key="matches.may-go")
        tail = st.text_input(f"Longest tail of a gearbox, in {page.first_unit()}", key="matches.tail")  # fmt: skip
        rotation = st.segmented_control(
            "Rotation", ["ccw", "cw"], key="matches.rotation",
            format_func={"ccw": "anticlockwise", "cw": "clockwise"}.__getitem__,
        )  # fmt: skip
    return counterparts.Wanted(
        text=text,
        rotation=rotation or "",
        may_go=may_go,
        tail=counterparts.longest_tail(tail, unit=page.first_unit()),
    )


def _work(store: Store, kind: str, name: str, wanted: counterparts.Wanted, found: list[Candidate]) -> None:  # fmt: skip
    """Each one worked out, with the progress shown; stopped, it leaves what was found so far."""
    count, rows = counterparts.counterparts(store, name, kind=kind, wanted=wanted)
    bar = st.progress(0.0, text=f"{count} {OTHERS[kind]}")
    stop = st.empty()
    stop.button("Stop, and show what was found so far")
    for number, one in enumerate(rows, 1):
        found.append(one)
        bar.progress(number / count, text=f"{number} of {count}: {one.name}")
    bar.empty()
    stop.empty()


def _listed(kind: str, name: str, found: list[Candidate]) -> None:
    st.subheader("The easiest first", anchor=False)
    page.quiet(f"Looked through: {len(found)}.")
    if not found:
        page.quiet("None of those words, tail or rotation.")
    for one in found[:MOST_SHOWN]:
        with st.container(border=True):
            pair = {kind: name, one.kind: one.name}
            st.page_link(page.PAIRING, label=f"**{page.plain(one.name)}**", query_params=pair)
            sign = signs.badge(one.verdict) if one.verdict != counterparts.REFUSED else signs.paragraph(one.verdict)  # fmt: skip
            st.html(sign + signs.paragraph(one.reason, quiet=True))
    if len(found) > MOST_SHOWN:
        page.quiet(f"The easiest {MOST_SHOWN} of {len(found)}; take the whole list along.")
    sheet = "".join(counterparts.csv_row(one) for one in (None, *found))
    st.download_button("The list as CSV", sheet.encode("utf-8-sig"), file_name="matches.csv", mime="text/csv", on_click="ignore")  # fmt: skip


if __name__ == "__main__":
    show()
