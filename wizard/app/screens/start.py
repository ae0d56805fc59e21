"""The first screen: what this is for, and the three ways in."""

from __future__ import annotations

import json

import streamlit as st

from wizard.app import page, tour
from wizard.desk import demo, drafts, jobs, units
from wizard.desk.place import Store

LATEST = 4


def show() -> None:
    """The job in one sentence, three ways in, and the offer of the demo where nothing is kept."""
    st.title("Will this engine take that gearbox?", anchor=False)
    st.markdown(
        "Measure the two faces and what turns between them; here they are laid over each other, "
        "the plate and the spacer between them are worked out, and the papers for the bench are "
        "written."
    )
    with page.store() as store, page.told():
        _said()
        kept, records = units.rows(store), jobs.rows(store)
        if not kept:
            _offer(store)
        tour.begin(store)
        pairing, catalogue, earlier = st.columns(3, border=True)
        with pairing:
            st.subheader("A new pairing", anchor=False)
            st.markdown("Choose an engine and a gearbox: whether they go, and with what work.")
            if st.button("Pair two units", type="primary", disabled=not kept):
                st.switch_page(page.PAIRING)
        with catalogue:
            st.subheader("The catalogue", anchor=False)
            st.markdown(f"{_counted(len(kept), 'unit')} kept as measured. Look one up, or add one.")  # fmt: skip
            if st.button("Open the catalogue"):
                st.switch_page(page.CATALOGUE)
        with earlier:
            st.subheader("An earlier job", anchor=False)
            says = (
                f"{_counted(len(records), 'job')}, each as it was agreed."
                if records
                else "None kept yet."
            )
            st.markdown(says)
            for row in records[:LATEST]:
                st.page_link(
                    page.JOBS, label=f"{row.number} {row.issue} · {page.plain(row.title)}",
                    query_params={"job": str(row.number)},
                )  # fmt: skip
            if st.button("All jobs"):
                st.switch_page(page.JOBS)
        _half_done(store)
        page.quiet(
            "Confirm every dimension on the actual parts before metal is cut. Never draw a gearbox "
            "or converter home with its bolts, and never run without dowels or registers."
        )
        page.quiet(f"Kept in {store.place}. Nothing leaves this machine.")


def _half_done(store: Store) -> None:
    """What was begun and not finished: units half entered, pairings with changes not kept."""
    rows = drafts.rows(store)[:LATEST]
    if not rows:
        return
    st.subheader("Half done", anchor=False)
    for one in rows:
        title = f"{page.plain(one.title)}, last touched {one.touched_on:%Y-%m-%d %H:%M} UTC"
        if one.what == drafts.UNIT:
            st.page_link(page.ENTRY, label=title, query_params={"draft": one.mark})
        else:
            address = json.loads(one.body.get("address", "{}"))
            st.page_link(page.PAIRING, label=title, query_params={**address, "draft": one.mark})


def _offer(store: Store) -> None:
    """An empty catalogue: the demo's units, if they are wanted."""
    with st.container(border=True):
        st.markdown(
            "**The catalogue is empty.** Add a sheet of your own, or put in the demo's units to "
            "look round: engines, gearboxes and what goes between, all of them invented."
        )
        if st.button("Put the invented units in"):
            counts = demo.load(store).counts
            st.session_state["said"] = (
                "In the catalogue now, all invented: "
                + ", ".join(f"{_counted(count, kind)}" for kind, count in counts.items())
                + "."
            )
            st.rerun()


def _said() -> None:
    if said := st.session_state.pop("said", ""):
        st.success(said)


def _counted(count: int, noun: str) -> str:
    plural = noun + ("es" if noun.endswith(("x", "ch")) else "s")
    return f"{count} {noun if count == 1 else plural}" if count else f"No {noun}"


if __name__ == "__main__":
    show()
