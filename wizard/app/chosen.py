"""What is paired: two units of the catalogue and what goes between, an earlier job, or a sheet."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence

import streamlit as st

from kb.model.unit import Gearbox
from wizard import words
from wizard.app import page, working
from wizard.desk import jobs, pairing, units
from wizard.desk.place import Store

SIDES = ("engine", "gearbox")
BETWEEN = ("flexplate", "flywheel", "clutch")
_REMEMBERED, _SHEET = "chosen.units", "chosen.sheet"


def on_the_table(store: Store) -> bool:
    """Ask what is to be paired and put it on the table; false while it is not settled."""
    if number := st.query_params.get("job", ""):
        return _from_job(store, number)
    if text := st.session_state.get(_SHEET, ""):
        return _from_sheet(store, text)
    return _from_catalogue(store)


# ── two units ───────────────────────────────────────────────────────────────


def _from_catalogue(store: Store) -> bool:
    rows = units.rows(store)
    revisions = {(row.kind, row.name): row.revision for row in rows}
    names = {kind: [row.name for row in rows if row.kind == kind] for kind in (*SIDES, *BETWEEN)}
    if not (names["engine"] and names["gearbox"]):
        st.info("The catalogue needs an engine and a gearbox before two units can be paired.")
        st.page_link(page.CATALOGUE, label="Open the catalogue")
        st.page_link(page.START, label="or put the invented units in, from the start")
        _offer_sheet()
        return False
    for column, side in zip(st.columns(2), SIDES, strict=True):
        with column:
            _select(side, words.heading(side), names[side], key=f"pair.{side}")
    taken = {side: st.session_state.get(f"pair.{side}") for side in SIDES}
    if not all(taken.values()):
        _offer_sheet()
        return False
    pair = {side: str(name) for side, name in taken.items()}
    pair |= _between(store, pair, names)
    st.session_state[_REMEMBERED] = pair
    mark = st.query_params.get(working.DRAFT, "")
    st.query_params.from_dict(pair | ({working.DRAFT: mark} if mark else {}))
    job = repr(sorted((kind, name, revisions.get((kind, name))) for kind, name in pair.items()))
    working.begin(
        job,
        lambda: pairing.pair(
            store, engine=pair["engine"], gearbox=pair["gearbox"], units=page.first_unit(),
            flexplate=pair.get("flexplate", ""), flywheel=pair.get("flywheel", ""),
            clutch=pair.get("clutch", ""),
        ),
    )  # fmt: skip
    return True


def _between(store: Store, pair: Mapping[str, str], names: Mapping[str, Sequence[str]]) -> dict[str, str]:  # fmt: skip
    """What goes between the two: what belongs to them first, any other of its kind as well."""
    box, _ = units.show(store, pair["gearbox"], kind="gearbox")
    assert isinstance(box, Gearbox)
    kinds = pairing.companion_kinds(box)
    if not kinds:
        return {}
    usual = pairing.companions(store, engine=pair["engine"], gearbox=pair["gearbox"])
    found = {}
    for column, kind in zip(st.columns(2), kinds, strict=False):
        with column:
            name = _select(
                kind, words.heading(kind), names[kind], usual=getattr(usual, kind),
                key=f"pair.{kind}.{pair['engine']}.{pair['gearbox']}",
            )  # fmt: skip
        if name:
            found[kind] = name
    return found


def _select(side: str, label: str, names: Sequence[str], *, key: str, usual: str = "") -> str:
    """One unit by name; at first the one of the address, else the one chosen last, else the usual."""
    article = "an" if side == "engine" else "a"
    if key not in st.session_state:
        remembered = st.session_state.get(_REMEMBERED, {}) if not usual else {}
        first = st.query_params.get(side) or usual or remembered.get(side, "")
        if first and first not in names:
            st.warning(f"The catalogue has no {label.casefold()} “{page.plain(first)}”.")
        st.session_state[key] = first if first in names else None
    return (
        st.selectbox(label, names, key=key, placeholder=f"choose {article} {label.casefold()}")
        or ""
    )


# ── an earlier job, a sheet ─────────────────────────────────────────────────


def _from_job(store: Store, number: str) -> bool:
    record = jobs.show(store, page.numbered(number))
    title = page.plain(record.title)
    _where(f"Working on from job {record.number} {record.issue}, {title}. The record itself stays.")
    _begin(store, f"job {record.number} {record.issue}", str(record.content["sheet"]))
    return True


def _from_sheet(store: Store, text: str) -> bool:
    _where("From a sheet of your own.")
    _begin(store, hashlib.sha256(text.encode("utf-8")).hexdigest(), text)
    return True


def _begin(store: Store, job: str, text: str) -> None:
    """Put a sheet on the table, in the unit it was written in."""
    if working.begin(job, lambda: pairing.read_text(text, store=store)):
        page.prefer_unit(working.written_in())


def _where(says: str) -> None:
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(says)
        st.button("Choose two units instead", on_click=_forget)


def _forget() -> None:
    st.session_state.pop(_SHEET, None)
    st.query_params.clear()


def _offer_sheet() -> None:
    with st.expander("Or start from a sheet of your own"), st.form("sheet", border=False):
        given = st.file_uploader("A sheet (.toml)", type=["toml"], max_upload_size=1)
        pasted = st.text_area("or paste one", height=200, max_chars=page.LARGEST_SHEET)
        if st.form_submit_button("Work it out"):
            text = page.sheet_text(given.getvalue() if given else pasted.encode("utf-8"))
            st.session_state[_SHEET] = text
            st.rerun()
