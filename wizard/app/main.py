"""The screens: which there are, and where each of them stands. Run by `trialfit app`."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from wizard.app import page

HERE = Path(__file__).parent


def main() -> None:
    """Navigation, the switch of units, and the screen asked for."""
    st.set_page_config(page_title="trialfit", page_icon=str(HERE / "icon.png"), layout="wide")
    st.logo(str(HERE / "icon.png"), size="large")
    st.html(HERE / "look.css")
    asked = st.navigation(
        [
            st.Page(page.SCREENS / "start.py", title="Start", url_path="start", default=True),
            st.Page(page.SCREENS / "catalogue.py", title="Catalogue", url_path="catalogue"),
            st.Page(
                page.SCREENS / "entry.py",
                title="Enter a unit",
                url_path="entry",
                visibility="hidden",
            ),
            st.Page(
                page.SCREENS / "pattern.py",
                title="Bring in a face",
                url_path="pattern",
                visibility="hidden",
            ),
            st.Page(page.SCREENS / "pairing.py", title="Pairing", url_path="pairing"),
            st.Page(page.SCREENS / "matches.py", title="Matches", url_path="matches"),
            st.Page(page.SCREENS / "bench.py", title="Bench", url_path="bench"),
            st.Page(page.SCREENS / "jobs.py", title="Jobs", url_path="jobs"),
        ],
        position="top",
    )
    wanted = st.session_state.pop("units.wanted", st.session_state.get("units", "mm"))
    st.session_state["units"] = wanted
    with st.container(horizontal=True, horizontal_alignment="right"):
        st.segmented_control(
            "Unit named first", list(page.UNITS), format_func=page.UNITS.__getitem__, key="units",
            required=True, label_visibility="collapsed",
        )  # fmt: skip
    asked.run()


if __name__ == "__main__":
    main()
