"""Bench: raw readings in, a dimension with its ± out, and the reading that is wrong."""

from __future__ import annotations

import json

import streamlit as st

from kb.errors import InputError
from wizard.app import bench_pictures, page, signs
from wizard.app.drawing import QUIET
from wizard.desk import bench, units
from wizard.desk.asked import Field
from wizard.desk.bench import AIDS, Aid, Found
from wizard.desk.place import Store

ASKED = "aid"
LARGEST_FILE = 1  # MB
LONG = (
    "table",
    "rounds",
    "at",
    "angles",
    "stepped",
    "lengths",
)  # typed in several lines, or a file


def show() -> None:
    """Choose an aid, type what was read, see what comes of it, keep it where it belongs."""
    st.title("Bench", anchor=False)
    st.page_link(page.PATTERN, label="Bring in a face: from a list, a drawing, a scan or a photo")
    aid = _chosen()
    st.markdown(aid.says)
    with page.store() as store, page.told():
        typed = _form(aid)
        if typed is not None:
            st.session_state[f"bench.{aid.name}"] = (typed, page.first_unit())
        if not (kept := st.session_state.get(f"bench.{aid.name}")):
            page.quiet(
                "Type what was read and press Work it out. Nothing is kept until you say so."
            )
            return
        text, unit = kept
        found = bench.run(aid.name, text, unit=unit)
        _result(found, unit)
        _into(store, found)


def _chosen() -> Aid:
    """The aid of the address, or the one picked."""
    wanted = st.query_params.get(ASKED, "")
    if "bench.aid" not in st.session_state:
        st.session_state["bench.aid"] = wanted if wanted in AIDS else next(iter(AIDS))
    name = st.selectbox(
        "What was measured", list(AIDS), key="bench.aid", format_func=lambda one: AIDS[one].title
    )
    st.query_params[ASKED] = name
    return AIDS[name]


def _form(aid: Aid) -> dict[str, str] | None:
    """What was typed, once it is to be worked out."""
    with st.form(f"form.{aid.name}"):
        page.quiet(
            f"Bare figures are in {page.first_unit()}; write 1 3/4 in or 44.45 mm as you like."
        )
        needed = [one for one in aid.fields if one.required or aid.name == "bolt-circle"]
        more = [one for one in aid.fields if one not in needed]
        typed = {one.name: _ask(aid, one) for one in needed}
        if more:
            with st.expander("More that may be known"):
                typed |= {one.name: _ask(aid, one) for one in more}
        pressed = st.form_submit_button("Work it out", type="primary")
    return typed if pressed else None


def _ask(aid: Aid, one: Field) -> str:
    """One field, as a plain box."""
    key, label = f"bench.{aid.name}.{one.name}", one.label[:1].upper() + one.label[1:]
    if one.kind in ("word", "flag"):
        words = one.words or ("yes", "no")
        return st.segmented_control(label, words, key=key, help=one.says or None) or ""
    if one.kind not in LONG:
        return st.text_input(label, key=key, placeholder=one.example, help=one.says or None, max_chars=80)  # fmt: skip
    says = " ".join(filter(None, (one.says, _columns(one))))
    text = st.text_area(
        label, key=key, placeholder=one.example, help=says or None, height=90, max_chars=200_000
    )
    if one.kind != "table":
        return text
    given = st.file_uploader(f"or a file of {one.label} (CSV)", type=["csv", "txt"], key=f"{key}.file", max_upload_size=LARGEST_FILE)  # fmt: skip
    return text if given is None else _read(one, given.getvalue())


def _columns(one: Field) -> str:
    if not one.columns:
        return ""
    named = ", ".join(column.name if column.required else f"{column.name} (may be left out)" for column in one.columns)  # fmt: skip
    return f"One row a line, its columns parted by commas: {named}."


def _read(one: Field, written: bytes) -> str:
    try:
        return written.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(
            one.name, "(file)", "it is not UTF-8 text; save it as CSV, UTF-8"
        ) from None


def _result(found: Found, unit: str) -> None:
    said, drawn = st.columns([3, 2], gap="large")
    with said:
        st.subheader("What came of it", anchor=False)
        st.html(signs.bullets(found.says))
        if taken := found.document.get("assumed"):
            rows = [(row["key"], f"{row['value']}, {row['why']}") for row in taken]
            st.html(signs.folded("Taken, because it was not written", signs.pairs(rows)))
        if found.aid.cautions:
            st.html(signs.subhead("Heed") + signs.bullets(found.aid.cautions))
        st.download_button(
            "Readings and answer for another program",
            json.dumps(found.document, indent=1, ensure_ascii=False, allow_nan=False),
            file_name=f"{found.aid.name}.json", mime="application/json", on_click="ignore",
        )  # fmt: skip
    picture = bench_pictures.picture(found, first=unit)
    if picture is not None:
        with drawn:
            st.plotly_chart(picture, config=QUIET, alt=f"{found.aid.title}, drawn")


def _into(store: Store, found: Found) -> None:
    """Where the dimension belongs: a unit of the catalogue, and which of its lengths."""
    if found.dimension is None:
        return
    st.subheader("Put it into a unit", anchor=False)
    names = [row.name for row in units.rows(store)]
    if not names:
        page.quiet("The catalogue is empty; put a unit in first.")
        return
    name = st.selectbox("Unit", names, key="bench.unit", index=None, placeholder="choose a unit")
    if not name:
        return
    lengths = units.lengths_of(store, name)
    key = st.selectbox(
        "Dimension", list(lengths), format_func=lengths.__getitem__, key=f"bench.key.{name}",
        index=None, placeholder="choose what it is",
    )  # fmt: skip
    by = st.text_input("Whose hand", key="by", max_chars=80)
    if st.button("Put it in", disabled=not key) and key:
        ref = bench.into_unit(store, found, name=name, key=key, by=by)
        st.success(f"It is in {ref.name}, now revision {ref.revision}, with the readings it came from.")  # fmt: skip


if __name__ == "__main__":
    show()
