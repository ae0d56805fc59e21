"""Papers: those of one job, each looked at before it is taken along."""

from __future__ import annotations

import streamlit as st

from kb.model.record import Record
from wizard.app import downloads, page, signs
from wizard.desk import jobs, papers
from wizard.desk.papers import TEXTS, TYPES, Offer
from wizard.desk.place import Store

LONGEST_TEXT = 20_000  # signs of a text shown on the screen


def show() -> None:
    """Choose a job, choose a paper, look at it, take it along."""
    st.title("Papers", anchor=False)
    with page.store() as store, page.told():
        record = _job(store)
        if record is None:
            st.info("No job has been kept yet: papers are made from a kept job.")
            st.page_link(page.PAIRING, label="Pair two units")
            return
        st.page_link(page.JOBS, label=f"Job {record.number} {record.issue}: {page.plain(record.title)}", query_params={"job": str(record.number)})  # fmt: skip
        _packet(record)
        _one(record)
        _left_out(record)


def _job(store: Store) -> Record | None:
    """The job of the address, else the one chosen, else the newest."""
    rows = jobs.rows(store)
    if not rows:
        return None
    numbers = [row.number for row in rows]
    titles = {row.number: f"{row.number} {row.issue} · {row.title}" for row in rows}
    if asked := st.query_params.get("job", ""):
        wanted = page.numbered(asked)
        if wanted in numbers and "papers.job" not in st.session_state:
            st.session_state["papers.job"] = wanted
    chosen = st.selectbox("Job", numbers, key="papers.job", format_func=titles.__getitem__)
    st.query_params.from_dict({"job": str(chosen)})
    return jobs.show(store, int(chosen))


def _packet(record: Record) -> None:
    name = downloads.named(f"{record.number:04d} {record.title}", ".zip")
    st.download_button(
        "Everything in one archive", lambda: downloads.papers(record), file_name=name, mime="application/zip",
        type="primary", on_click="ignore",
    )  # fmt: skip


def _one(record: Record) -> None:
    there = papers.offers(record)
    kinds = list(dict.fromkeys(one.kind for one in there))
    kind = st.pills("Kind of paper", kinds, default=kinds[0], format_func=str.capitalize, key="papers.kind")  # fmt: skip
    for one in there:
        if one.kind == (kind or kinds[0]):
            with st.container(border=True):
                _paper(record, one)


def _paper(record: Record, one: Offer) -> None:
    st.html(signs.subhead(one.name))
    written = papers.body(record, one.name)
    st.download_button(
        f"Take it along, {_size(len(written))}", written, file_name=one.name, mime=TYPES.get(one.ending, "application/octet-stream"),
        key=f"take.{one.name}", on_click="ignore",
    )  # fmt: skip
    if one.ending == "pdf":
        for number, picture in enumerate(papers.pages(written), 1):
            st.image(
                picture,
                caption=f"page {number}",
                width="stretch",
                alt=f"page {number} of {one.name}",
            )
    elif one.ending in ("svg", "dxf"):
        drawn = papers.as_svg(written) if one.ending == "dxf" else written.decode("utf-8")
        st.image(drawn, width="stretch", alt=f"{one.name}, drawn")
    elif one.ending in TEXTS:
        text = written.decode("utf-8-sig")
        st.code(text[:LONGEST_TEXT], language=None)
        if len(text) > LONGEST_TEXT:
            page.quiet("The rest is in the file.")


def _size(count: int) -> str:
    return f"{count / 1e6:.1f} MB" if count >= 1e6 else f"{max(count / 1e3, 0.1):.1f} kB"


def _left_out(record: Record) -> None:
    rows = papers.missing(record)
    if rows:
        st.html(signs.folded(f"{len(rows)} papers this job cannot have", signs.table(["paper", "why"], rows)))  # fmt: skip


if __name__ == "__main__":
    show()
