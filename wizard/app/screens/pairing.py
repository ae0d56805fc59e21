"""Pairing: two units of the catalogue, or a sheet, from the verdict down to the papers."""

from __future__ import annotations

import streamlit as st

from wizard import words
from wizard.app import answered, chosen, controls, downloads, page, signs, working
from wizard.desk import pairing, reuse
from wizard.desk.pairing import Worked
from wizard.desk.place import Store

MOST_EARLIER = 5


def show() -> None:
    """Choose, then read downward: verdict, ways out, what is fixed, drawings, reasons, papers."""
    st.title("Pairing", anchor=False)
    with page.store() as store, page.told():
        if not chosen.on_the_table(store):
            return
        working.recall(store)
        worked = working.now()
        answer = worked.answer
        if (refused := working.refused()) is not None:
            st.html(page.refusal(refused))
        answered.verdict(answer)
        controls.changes()
        controls.variants(worked)
        controls.ways_out(worked)
        _earlier(store, worked)
        controls.fixed(worked)
        _lined_up(worked)
        st.subheader("Along the axis", anchor=False)
        answered.along_the_axis(answer)
        _what_works(worked)
        st.subheader("What is made", anchor=False)
        answered.parts(answer)
        answered.solids(answer)
        st.subheader("What was asked of it", anchor=False)
        answered.checks(answer)
        answered.settle(answer)
        answered.grounds(answer)
        _keep(store, worked)
        working.remember(store, answer["title"])


def _earlier(store: Store, worked: Worked) -> None:
    """Kept jobs that serve this one, looked for when somebody asks."""
    if not st.toggle("Look for earlier jobs that serve this one", key="earlier"):
        return
    found = reuse.earlier(store, worked)[:MOST_EARLIER]
    if not found:
        page.quiet("No kept job shares a side with it.")
    for one in found:
        st.page_link(
            page.JOBS, label=f"**Job {one.job.number} {one.job.issue}** · {page.plain(one.job.title)}",
            query_params={"job": str(one.job.number)},
        )  # fmt: skip
        st.html(signs.paragraph(one.says, quiet=True))


def _lined_up(worked: Worked) -> None:
    st.subheader(words.heading("lineup.fixed"), anchor=False)
    which = st.segmented_control(
        "Joint", ["fixed", "rotating"], default="fixed", required=True, key="joint",
        format_func={"fixed": "Housing joint", "rotating": "Rotating joint"}.__getitem__,
        label_visibility="collapsed",
    )  # fmt: skip
    if which == "fixed":
        controls.turn(worked)
    answered.lined_up(worked.answer, which or "fixed")


def _what_works(worked: Worked) -> None:
    plot, odds = st.columns(2, gap="large")
    with plot:
        st.subheader("What works", anchor=False)
        answered.what_works(worked.answer, stock=worked.advice.design.sides.chosen.plate_stock)
    with odds:
        st.subheader("What to measure next", anchor=False)
        answered.chances(worked.answer)
        controls.reading(worked)


def _keep(store: Store, worked: Worked) -> None:
    """The record, and what can be taken away."""
    st.subheader("Keep it, take it along", anchor=False)
    with st.form("keep"):
        title = st.text_input("Name of the job", value=worked.answer["title"], max_chars=120)
        by = st.text_input("Who worked it out", key="by", max_chars=80)
        if st.form_submit_button("Keep it as a record", type="primary"):
            record = pairing.keep(store, worked, by=by, title=title)
            working.keep(record.number)
    if number := working.kept():
        st.success(f"Kept as job {number}. It stays as it is now.")
        st.page_link(page.JOBS, label=f"Open job {number}", query_params={"job": str(number)})
    title = worked.answer["title"]
    with st.container(horizontal=True):
        st.download_button(
            "Papers, not kept", lambda: downloads.papers(pairing.unkept(worked)),
            file_name=downloads.named(title, ".zip"), mime="application/zip", on_click="ignore",
        )  # fmt: skip
        st.download_button(
            "Answer for another program", downloads.answer(worked.answer),
            file_name=downloads.named(title, ".json"), mime="application/json", on_click="ignore",
        )  # fmt: skip
    st.html(signs.paragraph("Papers of a job that is not kept carry no number.", quiet=True))


if __name__ == "__main__":
    show()
