"""Shop: who it is, its machines, its rates and times; what instruments and limits it works to."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import streamlit as st

from kb.model.shop import MACHINES, Shop
from wizard.app import page, signs
from wizard.desk import keeping
from wizard.desk import shop as desk
from wizard.desk.place import Store

SIZES = {
    "swing": "swing over the bed", "between": "longest between centres", "chuck": "largest in the chuck",
    "faceplate": "largest on the faceplate", "spindle_bore": "bar through the spindle", "travel_x": "table travel along",
    "travel_y": "table travel across", "throat": "spindle to column", "drill": "largest drill", "blade": "widest cut of the saw",
    "top_speed_rpm": "top speed, rpm",
}  # fmt: skip
TABLES = {
    "rates.hour": "One hour", "rates.kilogram": "A kilogram of stock", "rates.piece": "Bought parts, each",
    "rates.outside": "Work given out", "minutes": "Minutes of handling",
}  # fmt: skip
EACH = {
    "lathe": "setting up the lathe", "mill": "setting up the mill", "drill press": "setting up the drill",
    "saw": "setting up the saw", "mark": "marking a hole", "hole": "each hole drilled", "tool": "changing a tool",
    "ream": "reaming a hole", "tap": "tapping a hole", "seat": "a counterbore", "pass": "each turned surface",
    "deburr": "deburring a part", "measure": "measuring a point", "stamp": "stamping a part",
}  # fmt: skip
SHARES = {
    "margin": "Margin on everything, %", "stock_margin": "Margin on stock and bought parts, %",
    "best": "Hours when all goes well, % of likely", "worst": "Hours when it does not, % of likely",
}  # fmt: skip


def show() -> None:
    """Everything of the shop on one page, kept together."""
    st.title("Shop", anchor=False)
    st.markdown("Routes and quotes go by this. A job keeps the shop as it was on its day; a change counts for jobs kept from now on.")  # fmt: skip
    with page.store() as store, page.told():
        if said := st.session_state.pop("shop.said", ""):
            st.success(said)
        kept = desk.current(store)
        page.quiet(f"Figures nobody has changed: {kept.source}.")
        typed = _form(kept)
        if typed is not None:
            _keep(store, typed)
        _away(store)
        _anothers(store)
        _rules()


def _form(kept: Shop) -> dict[str, Any] | None:
    with st.form("shop", border=False):
        st.subheader("Who", anchor=False)
        name = st.text_input("Name", kept.name, max_chars=200)
        address = st.text_area("Address, a line each", "\n".join(kept.address), max_chars=800)
        picture = st.file_uploader("Picture for the papers, PNG", type=["png"])
        if kept.logo:
            st.image(kept.logo, width=160, alt="the picture on the papers")
        st.subheader("Machines", anchor=False)
        page.quiet(
            "Lengths in mm, or with their unit (13 in). A size left empty is not known, and a route says so."
        )
        rows = st.data_editor(
            [_row(one) for one in kept.machines], num_rows="dynamic", width="stretch", key="shop.machines",
            column_config={"kind": st.column_config.SelectboxColumn("kind", options=list(MACHINES), required=True)} | {key: st.column_config.TextColumn(says) for key, says in SIZES.items()},
        )  # fmt: skip
        st.subheader("Rates", anchor=False)
        currency = st.text_input("Currency", kept.rates.currency, max_chars=10)
        tables = {key: _table(key, says, _at(kept, key)) for key, says in TABLES.items()}
        shares = {f"rates.{key}": st.number_input(says, 0.0, 1000.0, 100 * getattr(kept.rates, key)) / 100 for key, says in SHARES.items()}  # fmt: skip
        st.subheader("Habits", anchor=False)
        processes = (*desk.processes(), "none")
        process = st.selectbox("How plates are cut out", processes, index=processes.index(kept.process))  # fmt: skip
        valid = st.number_input("A quote holds for, days", 1, 3650, kept.valid_days)
        wanted = st.number_input("Wanted chance of a right quote, %", 50.0, 99.9, 100 * kept.wanted_chance) / 100  # fmt: skip
        by = st.text_input("Your name")
        if not st.form_submit_button("Keep the shop", type="primary"):
            return None
    return {
        "name": name, "address": address, "machines": list(rows), "tables": tables, "by": by,
        "logo": picture.getvalue() if picture else None, "process": process, "valid_days": valid,
        "wanted_chance": wanted, "rates.currency": currency, **shares,
    }  # fmt: skip


def _row(machine: Any) -> dict[str, Any]:
    row = {"name": machine.name, "kind": machine.kind}
    for key in SIZES:
        value = getattr(machine, key)
        row[key] = "" if value is None else f"{value:g}"
    return row


def _at(kept: Shop, key: str) -> Mapping[str, float]:
    found: Mapping[str, float] = getattr(kept.rates, key.removeprefix("rates.")) if key.startswith("rates.") else kept.minutes  # fmt: skip
    return found


def _table(key: str, says: str, values: Mapping[str, float]) -> dict[str, float]:
    """A number for each name, as many beside each other as the screen takes."""
    st.markdown(f"**{says}**")
    with st.container(horizontal=True):
        return {
            name: st.number_input(EACH.get(name, name) if key == "minutes" else name, 0.0, 1e6, float(value), key=f"shop.{key}.{name}", width=170)
            for name, value in values.items()
        }  # fmt: skip


def _keep(store: Store, typed: dict[str, Any]) -> None:
    kept = desk.keep_typed(store, **typed)
    st.session_state["shop.said"] = f"Kept, with {len(kept.machines)} machines. Jobs kept from now on go by it."  # fmt: skip
    st.rerun()


def _away(store: Store) -> None:
    st.subheader("Take away", anchor=False)
    st.download_button("The shop's sheet", desk.sheet(store), file_name="shop.toml", mime="application/toml", on_click="ignore")  # fmt: skip
    page.quiet(
        "Everything that is kept, as one archive any program can open: units, jobs, what was attached. "
        "Keep one off this machine; trialfit store restore puts it back."
    )
    if st.button("Make a backup now"):
        with st.spinner("Reading everything and checking it"):
            st.session_state["shop.packed"] = keeping.packed(store)
    if held := st.session_state.get("shop.packed"):
        name = f"trialfit-{date.today().isoformat()}.zip"
        st.download_button(f"The backup, {len(held) / 1e6:.1f} MB", held, file_name=name, mime="application/zip", on_click="ignore")  # fmt: skip


def _anothers(store: Store) -> None:
    """Another shop's archive: what it holds, beside what is kept here, before anything is taken."""
    st.subheader("Take in another shop's archive", anchor=False)
    given = st.file_uploader("An archive (.zip)", type=["zip"], max_upload_size=200)
    if given is None:
        return
    with keeping.uploaded(given.name, given.getvalue()) as file:
        found = keeping.offered(store, file)
        new = [one for one in found if one.stands != keeping.SAME]
        page.quiet(
            f"{len(found)} units and jobs in it, {len(new)} of them not kept here like that."
        )
        rows = [(one.what, one.name, one.stands, one.says) for one in new]
        st.html(signs.table(["what", "name", "here it is", "and"], rows))
        by = st.text_input("Who takes it in", max_chars=80, key="shop.taken-by")
        if st.button(f"Take in these {len(new)}", disabled=not new):
            taken = keeping.take_in(store, file, by=by)
            st.session_state["shop.said"] = (
                f"{len(taken)} taken in; nothing that was kept has changed."
            )
            st.rerun()


def _rules() -> None:
    """Instruments and rule sets, as the checks use them."""
    st.subheader("Instruments and limits", anchor=False)
    st.html(signs.folded("What a reading can honestly claim", signs.table(["instrument", "± mm", "source"], desk.instruments())))  # fmt: skip
    for title, rows in desk.rule_sets():
        st.html(signs.folded(title, signs.table(["limit", "value", "unit", "source"], rows)))


if __name__ == "__main__":
    show()
