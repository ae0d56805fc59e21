"""A short walk through the screens on the demo's units: what each is for, one after the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import streamlit as st

from wizard.app import page
from wizard.desk import demo
from wizard.desk.place import Store

STEP = "tour.step"


@dataclass(frozen=True, kw_only=True)
class Stop:
    """One stop of the walk: its screen, what is asked of the address, and what there is to see."""

    screen: str
    address: Mapping[str, str]
    says: str


def stops(engine: str, gearbox: str) -> tuple[Stop, ...]:
    """The walk for one engine and one gearbox of the demo."""
    pair = {"engine": engine, "gearbox": gearbox}
    return (
        Stop(
            screen=page.CATALOGUE, address={"unit": engine, "kind": "engine"},
            says="A unit as it was measured: its faces to scale, each dimension as it was written down, with its ±, tool and hand.",
        ),
        Stop(
            screen=page.PAIRING, address=pair,
            says="Two units laid over each other. The verdict stands at the top with its reasons; below it the two faces, the cut "
            "along the axis, what works and how sure it is.",
        ),
        Stop(
            screen=page.PAIRING, address=pair,
            says="Now change something: turn the gearbox a degree, take one of the ways out, or give another plate. Everything that "
            "hangs on it moves at once, and each change can be undone.",
        ),
        Stop(
            screen=page.MATCHES, address={},
            says="The other way round: one engine, and every gearbox of the catalogue put through the same reckoning, the easiest first.",
        ),
        Stop(
            screen=page.BENCH, address={},
            says="Measuring aids: from raw readings to a dimension, with the reading that does not belong named.",
        ),
        Stop(
            screen=page.SHOP, address={},
            says="Your machines, rates and times. Route sheets and quotes go by them. When a pairing is good, keep it as a record on "
            "its page: the job then has its papers, and takes the sizes as they were made.",
        ),
    )  # fmt: skip


def begin(store: Store) -> None:
    """The offer of the walk, where the demo's units are there to walk with."""
    if STEP in st.session_state or demo.shown_pair(store) is None:
        return
    if st.button("Take a short tour", help="Six stops on the invented units; nothing is changed."):
        _go(store, 0)


def panel(store: Store) -> None:
    """What there is to see at this stop, and the way on; nothing while no tour is on."""
    pair = demo.shown_pair(store) if STEP in st.session_state else None
    if pair is None:
        return
    walk = stops(*pair)
    at = int(st.session_state[STEP])
    with st.container(border=True, key="tour"):
        st.markdown(f"**Tour, {at + 1} of {len(walk)}.** {walk[at].says}")
        with st.container(horizontal=True):
            if at and st.button("Back", key="tour.back"):
                _go(store, at - 1)
            if at + 1 < len(walk) and st.button("Next", key="tour.next", type="primary"):
                _go(store, at + 1)
            if st.button("End the tour", key="tour.end"):
                del st.session_state[STEP]
                st.rerun()


def _go(store: Store, at: int) -> None:
    pair = demo.shown_pair(store)
    if pair is not None:
        st.session_state[STEP] = at
        stop = stops(*pair)[at]
        st.switch_page(stop.screen, query_params=dict(stop.address))
