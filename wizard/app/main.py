"""The screens: which there are, and where each of them stands. Run by `trialfit app`."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from wizard.app import page, tour
from wizard.desk.holdings import holdings

HERE = Path(__file__).parent


def main() -> None:
    """Navigation, the switch of units, and the screen asked for."""
    st.set_page_config(page_title="trialfit", page_icon=str(HERE / "icon.png"), layout="wide")
    st.logo(str(HERE / "icon.png"), size="large")
    st.html(HERE / "look.css")
    asked = st.navigation(_pages(), position="top")
    wanted = st.session_state.pop("units.wanted", st.session_state.get("units", "mm"))
    st.session_state["units"] = wanted
    with st.container(horizontal=True, horizontal_alignment="right"):
        st.segmented_control(
            "Unit named first", list(page.UNITS), format_func=page.UNITS.__getitem__, key="units",
            required=True, label_visibility="collapsed",
        )  # fmt: skip
    if tour.STEP in st.session_state:
        with page.store() as store:
            tour.panel(store)
    asked.run()


def _pages() -> list[st.Page]:
    """Every screen; one with nothing in it is reached by its address, and listed once there is."""
    there = holdings()
    return [
        _page("start", "Start", default=True),
        _page("catalogue", "Catalogue"),
        _page("entry", "Enter a unit", listed=False),
        _page("pattern", "Bring in a face", listed=False),
        _page("pairing", "Pairing"),
        _page("matches", "Matches", listed=there.units),
        _page("bench", "Bench", listed=there.units),
        _page("jobs", "Jobs", listed=there.jobs),
        _page("papers", "Papers", listed=there.jobs),
        _page("shop", "Shop", listed=there.units),
    ]


def _page(name: str, title: str, *, listed: bool = True, default: bool = False) -> st.Page:
    return st.Page(
        page.SCREENS / f"{name}.py", title=title, url_path=name, default=default,
        visibility="visible" if listed else "hidden",
    )  # fmt: skip


if __name__ == "__main__":
    main()
