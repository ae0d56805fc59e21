"""The catalogue: every unit kept, one of them in full, one more taken in."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import streamlit as st

from kb import quantity
from kb.model.unit import Unit
from wizard import words
from wizard.app import drawing, page, signs
from wizard.desk import drafts, portrait, units
from wizard.desk.place import Store

MOST_SHOWN = 60
MOST_DRAFTS = 5
KINDS = {
    "engine": "engines", "gearbox": "gearboxes", "flexplate": "flexplates",
    "flywheel": "flywheels", "clutch": "clutches",
}  # fmt: skip
EXAMPLE = """units = "in"

[gearbox]
name = "…"
rotation = "ccw"

[gearbox.face]
holes = [
  { id = "a", x = -5.125, y = 5.5, hole = "13/32" },
]"""


def show() -> None:
    """One unit where the address names it, else the list of all."""
    with page.store() as store, page.told():
        name, kind = st.query_params.get("unit", ""), st.query_params.get("kind") or None
        if name:
            _unit(store, name, kind)
        else:
            _list(store)


# ── all units ───────────────────────────────────────────────────────────────


def _list(store: Store) -> None:
    st.query_params.clear()
    st.title("Catalogue", anchor=False)
    if said := st.session_state.pop("said", ""):
        st.success(said)
    with st.container(horizontal=True, vertical_alignment="center"):
        if st.button("Enter a unit from your notebook", type="primary"):
            st.switch_page(page.ENTRY, query_params={"draft": drafts.new_mark()})
        if st.button("Bring in a face: list, drawing, scan"):
            st.switch_page(page.PATTERN)
    for one in drafts.rows(store, drafts.UNIT)[:MOST_DRAFTS]:
        st.page_link(
            page.ENTRY,
            label=f"Half entered: {page.plain(one.title)}",
            query_params={"draft": one.mark},
        )
    kind = st.segmented_control(
        "Kind", list(KINDS), format_func=KINDS.__getitem__, key="kind", label_visibility="collapsed"
    )
    text = st.text_input("Words in the name", key="words", placeholder="part of a name")
    rows = units.rows(store, kind=kind, text=text)
    if not rows:
        st.info("No unit of that kind and name." if kind or text else "The catalogue is empty.")
    for group in KINDS:
        found = [row for row in rows if row.kind == group][:MOST_SHOWN]
        if found:
            st.subheader(KINDS[group].capitalize(), anchor=False)
        for row in found:
            with st.container(horizontal=True, vertical_alignment="center", gap="small"):
                st.page_link(
                    page.CATALOGUE, label=f"**{page.plain(row.name)}**",
                    query_params={"unit": row.name, "kind": row.kind},
                )  # fmt: skip
                page.quiet(_in_short(row))
        if len(found) == MOST_SHOWN:
            page.quiet(f"The first {MOST_SHOWN}; write part of a name to narrow the list.")
    _add(store)


def _in_short(row: portrait.UnitSummary) -> str:
    """What the list says of a unit."""
    pieces = [words.label(row.drive)] if row.drive else []
    if row.torque_nmm:
        limit = "peak torque" if row.kind == "engine" else "torque up to"
        pieces.append(f"{limit} {quantity.torque(row.torque_nmm)}")
    if row.rotation == "cw":
        pieces.append("turns clockwise")
    pieces.append(f"revision {row.revision}")
    return " · ".join(pieces)


def _add(store: Store) -> None:
    with st.expander("Take in a sheet from another shop or another program"):
        st.markdown(
            "A sheet with one unit or several, as measured. A name that is kept already takes its "
            "next revision; the earlier one stays readable."
        )
        with st.form("add", border=False):
            sheet = st.file_uploader("A sheet (.toml)", type=["toml"], max_upload_size=1)
            pasted = st.text_area(
                "or paste one", height=220, placeholder=EXAMPLE, max_chars=page.LARGEST_SHEET
            )
            by = st.text_input("Who measured it", max_chars=80)
            if not st.form_submit_button("Keep it"):
                return
        text = page.sheet_text(sheet.getvalue() if sheet is not None else pasted.encode("utf-8"))
        added = units.add_from_text(store, text, by=by)
        st.session_state["said"] = "Kept: " + page.plain(", ".join(str(ref) for ref in added)) + "."
        st.rerun()


# ── one unit ────────────────────────────────────────────────────────────────


def _unit(store: Store, name: str, kind: str | None) -> None:
    st.page_link(page.CATALOGUE, label="← all units", query_params={})
    unit, sheet = units.show(store, name, kind=kind)
    kind = units.kind_of(unit)
    st.query_params.from_dict({"unit": unit.name, "kind": kind})  # also when a link led here
    st.title(page.plain(unit.name), anchor=False)
    page.quiet(_belongs(unit, kind))
    _pair_from(kind, unit.name)
    _faces(unit)
    _dimensions(unit)
    _choice(store, unit, kind)
    with st.expander("The sheet"):
        st.code(sheet, language="toml")
    _remove(store, unit, kind)


def _belongs(unit: Unit, kind: str) -> str:
    owner = getattr(unit, "belongs_to", "")
    return f"{words.heading(kind)}" + (f" · came with {owner}" if owner else "")


def _pair_from(kind: str, name: str) -> None:
    with st.container(horizontal=True):
        if kind in ("engine", "gearbox") and st.button(f"Pair this {kind}", type="primary"):
            st.switch_page(page.PAIRING, query_params={kind: name})
        if kind in ("engine", "gearbox") and st.button("What could go with it?"):
            st.switch_page(page.MATCHES, query_params={"kind": kind, "unit": name})
        if st.button("Add readings, or correct one"):
            st.switch_page(
                page.ENTRY, query_params={"kind": kind, "unit": name, "draft": drafts.new_mark()}
            )


def _faces(unit: Unit) -> None:
    """Every face of the unit that can be drawn, two beside each other where there is room."""
    views = portrait.views(unit, first=page.first_unit())
    for column, view in zip(itertools.cycle(st.columns(2)), views, strict=False):
        with column:
            st.subheader(words.heading(view.key), anchor=False)
            st.plotly_chart(
                drawing.flat(view.shapes, height=420), config=drawing.QUIET, theme=None,
                key=view.key, alt=f"{words.label(view.key)} of {unit.name}, to scale",
            )  # fmt: skip
            page.quiet(view.says)


def _dimensions(unit: Unit) -> None:
    rows = portrait.readings(unit, first=page.first_unit())
    st.subheader("Dimensions", anchor=False)
    if not rows:
        st.info("No dimension of it has been taken.")
        return
    if twice := portrait.several(unit, first=page.first_unit()):
        st.html(signs.bullets(one.says for one in twice))
    holes = [row for row in rows if "[" in row.key]
    body = _readings([row for row in rows if "[" not in row.key])
    if holes:
        body += signs.folded(
            f"Holes and dowels, one by one: {len(holes)} readings", _readings(holes)
        )
    if facts := portrait.facts(unit):
        body += signs.folded("What else is known of it", signs.table(["what", "is"], facts))
    if notes := getattr(unit, "notes", ""):
        body += signs.subhead("Notes") + signs.paragraph(notes)
    st.html(body)


def _choice(store: Store, unit: Unit, kind: str) -> None:
    """Which reading counts where a dimension was read more than once."""
    twice = {one.key: one for one in portrait.several(unit, first=page.first_unit())}
    if not twice:
        return
    with st.expander("Which reading counts?"):
        page.quiet("Readings are combined, each by its instrument, until you take one by hand.")
        key = st.selectbox("Dimension", list(twice), format_func=lambda key: twice[key].label)
        one = twice[str(key)]
        each = dict(enumerate(("all of them, combined", *one.each)))
        number = st.radio(
            "Take", list(each), index=one.chosen, format_func=each.__getitem__, key=f"take.{key}"
        )
        by = st.text_input("Who chooses", max_chars=80)
        if st.button("Take it", disabled=number == one.chosen):
            ref = units.choose(store, unit.name, str(key), int(number), kind=kind, by=by)
            st.session_state["said"] = f"Kept: {page.plain(str(ref))}."
            st.rerun()


def _readings(rows: Sequence[portrait.Reading]) -> str:
    heads = ["what", "figure", "as written", "how", "by", "on", "from"]
    lines = [
        (
            row.label, row.figure, row.typed, row.how, row.by,
            row.on.isoformat() if row.on else "", words.label(row.source),
        )
        for row in rows
    ]  # fmt: skip
    return signs.table(heads, lines) if rows else ""


def _remove(store: Store, unit: Unit, kind: str) -> None:
    with st.popover("Take it out of the catalogue"):
        st.markdown(
            f"**{page.plain(unit.name)}** leaves the list. Its revisions stay readable for the jobs made from "
            "it, and keeping it again brings it back."
        )
        if st.button("Yes, take it out", key="remove"):
            units.remove(store, unit.name, kind=kind)
            st.session_state["said"] = f"{page.plain(unit.name)} has been taken out."
            st.switch_page(page.CATALOGUE)


if __name__ == "__main__":
    show()
