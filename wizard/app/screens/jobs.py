"""Kept jobs: all of them, and one as it was agreed, with its papers."""

from __future__ import annotations

import streamlit as st

from kb.model.record import Record
from wizard import words
from wizard.app import answered, downloads, page, signs, written
from wizard.desk import afterwards, jobs
from wizard.desk.place import Store

MOST_SHOWN = 60


def show() -> None:
    """One job where the address names it, else the list of all."""
    with page.store() as store, page.told():
        if number := st.query_params.get("job", ""):
            _one(store, number)
        else:
            _list(store)


def _list(store: Store) -> None:
    st.query_params.clear()
    st.title("Jobs", anchor=False)
    text = st.text_input(
        "Words in the title or the units", key="job.words", placeholder="part of a title or a name"
    )
    rows = jobs.rows(store, text)
    if not rows:
        st.info("No job of those words." if text else "No job has been kept yet.")
        st.page_link(page.PAIRING, label="Pair two units")
        return
    for row in rows[:MOST_SHOWN]:
        with st.container(border=True):
            st.page_link(
                page.JOBS, label=f"**{row.number} {row.issue}** · {page.plain(row.title)}",
                query_params={"job": str(row.number)},
            )  # fmt: skip
            facts = [f"{row.engine} to {row.gearbox}"] if row.engine and row.gearbox else []
            facts += [words.label(row.stage), words.label(row.state), row.made_on]
            facts += [f"by {row.made_by}"] if row.made_by else []
            st.html(signs.badge(row.verdict) + signs.paragraph(" · ".join(facts), quiet=True))
    if len(rows) > MOST_SHOWN:
        page.quiet(f"The newest {MOST_SHOWN} of {len(rows)}; write a word to narrow the list.")


def _one(store: Store, number: str) -> None:
    st.page_link(page.JOBS, label="← all jobs", query_params={})
    record = jobs.show(store, page.numbered(number))
    st.query_params.from_dict({"job": str(record.number)})  # also when a link led here
    answer = record.answer
    st.title(f"Job {record.number} {record.issue}: {page.plain(record.title)}", anchor=False)
    by = f" by {record.made_by}" if record.made_by else ""
    page.quiet(
        f"Kept on {record.made_on}{by} · {words.label(record.state)} · {record.content['program']}"
    )
    if said := st.session_state.pop("said", ""):
        st.success(said)
    answered.verdict(answer)
    answered.ways_out(answer)
    _take_along(store, record)
    written.state(store, record)
    with st.expander("As it was made: readings against the limits"):
        written.as_built(store, record)
    with st.expander("Notes, hours, files"):
        written.notes(store, record)
        written.outturn(store, record)
    written.issues(store, record)
    for which in ("fixed", "rotating"):
        st.subheader(words.heading(f"lineup.{which}"), anchor=False)
        answered.lined_up(answer, which)
    st.subheader("Along the axis", anchor=False)
    answered.along_the_axis(answer)
    st.subheader("What works", anchor=False)
    answered.what_works(answer)
    answered.chances(answer)
    st.subheader("What is made", anchor=False)
    answered.parts(answer)
    answered.solids(answer)
    st.subheader("What was asked of it", anchor=False)
    answered.checks(answer)
    answered.settle(answer)
    answered.grounds(answer)
    with st.expander("The sheet it was made from"):
        st.code(str(record.content["sheet"]), language="toml")
    page.quiet(f"Digest of the record: {record.digest}")


def _take_along(store: Store, record: Record) -> None:
    name = downloads.named(f"{record.number:04d} {record.title}", "")
    with st.container(horizontal=True):
        st.download_button(
            "All papers", lambda: downloads.papers(record), file_name=f"{name}.zip",
            mime="application/zip", type="primary", on_click="ignore",
        )  # fmt: skip
        st.download_button(
            "Answer for another program", downloads.answer(record.answer), file_name=f"{name}.json",
            mime="application/json", on_click="ignore",
        )  # fmt: skip
        st.download_button(
            "The sheet", str(record.content["sheet"]), file_name=f"{name}.toml",
            mime="application/toml", on_click="ignore",
        )  # fmt: skip
        if st.button("Look at its papers"):
            st.switch_page(page.PAPERS, query_params={"job": str(record.number)})
        if st.button("Work on from it"):
            st.switch_page(page.PAIRING, query_params={"job": str(record.number)})
        if st.button("Do this job again"):
            again, rows = afterwards.repeat(store, record.number, by=record.made_by)
            changed = (
                f"{len(rows)} things came out differently"
                if rows
                else "nothing came out differently"
            )
            st.session_state["said"] = f"Kept as job {again.number}; {changed}."
            st.switch_page(page.JOBS, query_params={"job": str(again.number)})


if __name__ == "__main__":
    show()
