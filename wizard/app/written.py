"""A kept job on a screen, what is written to it afterwards: state, as built, notes, hours, files, issues."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import streamlit as st

from kb import quantity
from kb.errors import InputError
from kb.model.record import Record
from wizard import words
from wizard.app import page, signs
from wizard.desk import afterwards, jobs, next_cut, shop
from wizard.desk.afterwards import Built
from wizard.desk.place import Store

LATER = ("agreed", "made", "fitted", "closed")
PICTURES = ("jpg", "jpeg", "png", "pdf", "txt", "csv", "xlsx", "tif", "tiff")
LARGEST = 10  # MB


def state(store: Store, record: Record) -> None:
    """Where the job stands, and the signature that moves it on."""
    after = LATER[LATER.index(record.state) + 1 :] if record.state in LATER else LATER
    if not after:
        page.quiet("The job is closed for good.")
        return
    with st.form("state", border=False), st.container(horizontal=True, vertical_alignment="bottom"):
        new = st.selectbox("Move it on to", after, format_func=words.label)
        by = st.text_input("Signed", max_chars=80)
        if st.form_submit_button("Move it on"):
            afterwards.advance(store, record.number, new, by=by)
            st.rerun()


def as_built(store: Store, record: Record) -> None:
    """Each inspection point with a plain field; the whole sheet from its spreadsheet."""
    rows = afterwards.standing(store, record.number)
    if not rows:
        page.quiet(
            "The record is older than its inspection points; keep the job again to have them."
        )
        return
    st.markdown(f"**{afterwards.verdict(rows)}**")
    _next(store, record)
    parts = list(dict.fromkeys(str(one.point["part"]) for one in rows))
    part = st.selectbox(
        "Part", parts, key="built.part", format_func=lambda one: str(one).capitalize()
    )
    with st.form("built"):
        page.quiet(
            f"Bare figures are in {page.first_unit()}; threads and the like take go or no go."
        )
        typed = {
            str(one.point["point"]): st.text_input(
                _asked(one, record), key=f"built.{record.number}.{one.point['point']}",
                placeholder=one.reading or "not measured", max_chars=60,
            )
            for one in rows
            if one.point["part"] == part
        }  # fmt: skip
        by = st.text_input("Measured by", key="by", max_chars=80)
        if st.form_submit_button("Write it down", type="primary"):
            new = {mark: text for mark, text in typed.items() if text.strip()}
            afterwards.build(store, record.number, new, unit=page.first_unit(), by=by)
            st.rerun()
    given = st.file_uploader("or the filled-in inspection sheet (.xlsx)", type=["xlsx"], max_upload_size=LARGEST, key="built.sheet")  # fmt: skip
    if given is not None and st.button("Take its readings"):
        found, hand = afterwards.from_workbook(record, given.getvalue())
        afterwards.build(store, record.number, found, unit="mm", by=hand)
        st.rerun()
    st.html(signs.folded("Every point as it stands", _table(rows, record)))


def _next(store: Store, record: Record) -> None:
    """The next cut, where the job has one."""
    try:
        st.html(signs.paragraph(next_cut.next_cut(store, record.number).says))
    except InputError as error:
        page.quiet(f"No next cut: {error.accepted}.")


def _asked(one: Built, record: Record) -> str:
    """A point's label: what, on which holes, between which limits, and how it stands."""
    point, first = one.point, record.answer.get("shop_units") or "mm"
    holes = f", {point['hole']}" if point.get("hole") else ""
    limits = "go / no go" if point["low"] is None else quantity.limits(low=point["low"], high=point["high"], first=first)  # fmt: skip
    stands = {True: ": met", False: ": MISSED", None: ""}[one.met]
    return f"{point['point']} {point['what']}{holes} [{limits}]{stands}"


def _table(rows: Sequence[Built], record: Record) -> str:
    said = {True: "met", False: "missed", None: "not measured"}
    lines = [(str(one.point["point"]), str(one.point["part"]), str(one.point["what"]), one.reading, said[one.met], one.by) for one in rows]  # fmt: skip
    return signs.table(["point", "part", "what", "measured", "", "by"], lines)


def outturn(store: Store, record: Record) -> None:
    """The quote, heading by heading, beside what was spent on it."""
    try:
        rows = shop.outturn(store, record.number)
    except InputError as error:
        page.quiet(f"No quote to compare with: {error.accepted}.")
        return

    def shown(value: float | None) -> str:
        return "" if value is None else f"{value:.2f}"

    lines = [
        (one.heading, shown(one.quoted_hours), shown(one.spent_hours), shown(one.quoted_cost), shown(one.spent_cost))
        for one in rows
    ]  # fmt: skip
    heads = ["what", "hours quoted", "hours spent", "cost quoted", "cost spent"]
    st.html(signs.folded("The quote, and what was spent", signs.table(heads, lines)))
    page.quiet("Write hours and money down under a heading of the quote, and they stand beside it.")


def notes(store: Store, record: Record) -> None:
    """What was written, and room to write more: a note, a change at fitting, hours, a file."""
    entries = afterwards.history(store, record.number, record.issue)
    if entries:
        lines = [
            (f"{one.on:%Y-%m-%d %H:%M}", words.label(one.kind), _said(one.key, one.kind), one.text, "" if one.figure is None else f"{one.figure:g}", one.by)
            for one in entries
        ]  # fmt: skip
        head = f'Everything written to it <span class="nb-margin">{len(entries)}</span>'
        st.html(signs.folded(head, signs.table(["when", "what", "of", "written", "figure", "by"], lines)))  # fmt: skip
    with st.form("note"):
        text = st.text_area("What is to be remembered", max_chars=4000, height=80)
        change = st.checkbox("It was changed at fitting")
        by = st.text_input("Whose hand", max_chars=80)
        if st.form_submit_button("Write it down"):
            afterwards.note(store, record.number, text, by=by, change=change)
            st.rerun()
    with st.form("spent"):
        what, figure, kind = st.columns(3, vertical_alignment="bottom")
        on = what.text_input("What the time or money went into", max_chars=120)
        much = figure.number_input("How much", min_value=0.0, value=None)
        of = kind.selectbox("Of", ["hours", "cost"])
        if st.form_submit_button("Write it down"):
            hours, cost = (much or 0.0, None) if of == "hours" else (None, much or 0.0)
            afterwards.spent(store, record.number, on=on, hours=hours, cost=cost)
            st.rerun()
    _files(store, record)


def _said(key: str, kind: str) -> str:
    return f"{key[:12]}…" if kind == "file" else key


def _files(store: Store, record: Record) -> None:
    kept = [one for one in afterwards.history(store, record.number, record.issue) if one.kind == "file"]  # fmt: skip
    for number, one in enumerate(kept):
        st.download_button(
            f"{one.text}", partial(afterwards.attached, store, one.key), file_name=one.text,
            key=f"file.{number}", on_click="ignore",
        )  # fmt: skip
    given = st.file_uploader("A photo or a file to keep with it", type=list(PICTURES), max_upload_size=LARGEST, key="job.file")  # fmt: skip
    if given is not None and st.button("Keep it with the job"):
        afterwards.attach(store, record.number, given.name, given.getvalue(), by=st.session_state.get("by", ""))  # fmt: skip
        st.rerun()


def issues(store: Store, record: Record) -> None:
    """The issues of the job, and what changed from one to the next."""
    letters = [one.issue for one in jobs.issues(store, record.number)]
    if len(letters) < 2:
        return
    st.subheader("Its issues", anchor=False)
    before, after = st.columns(2)
    one = before.selectbox("From issue", letters, index=len(letters) - 2)
    two = after.selectbox("To issue", letters, index=len(letters) - 1)
    rows = afterwards.differences(
        jobs.show(store, record.number, one), jobs.show(store, record.number, two)
    )
    if rows:
        st.html(signs.table(["what", f"issue {one}", f"issue {two}"], [(d.what, d.before, d.after) for d in rows]))  # fmt: skip
    else:
        page.quiet("Nothing differs.")
