"""What every screen needs: the store, the unit named first, and a plain word when something is refused."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from html import escape
from pathlib import Path

import streamlit as st

from kb.errors import InputError, NotTabulated, OutOfScope, StoreError
from wizard import words
from wizard.app import signs
from wizard.desk.place import Store, kept_open

_MARKUP = re.compile(r"[\\`*_\[\]{}()#+!|~$:<>^-]")

SHOWN = (InputError, OutOfScope, NotTabulated, StoreError)
SCREENS = Path(__file__).parent / "screens"
START, CATALOGUE, ENTRY, PATTERN, PAIRING, JOBS, BENCH, MATCHES, PAPERS, SHOP = (
    f"screens/{name}.py"
    for name in (
        "start",
        "catalogue",
        "entry",
        "pattern",
        "pairing",
        "jobs",
        "bench",
        "matches",
        "papers",
        "shop",
    )
)
LARGEST_SHEET = 200_000  # bytes
UNITS = {"in": "inches first", "mm": "millimetres first"}


def first_unit() -> str:
    """The unit named first on every screen, ``"in"`` or ``"mm"``, as the switch above it says."""
    chosen = st.session_state.get("units")
    return chosen if chosen in UNITS else "mm"


def prefer_unit(unit: str) -> None:
    """Set the switch to the unit a job was written in."""
    if first_unit() != unit:
        st.session_state["units.wanted"] = unit
        st.rerun()


@contextmanager
def store() -> Iterator[Store]:
    """The shop's store for one run of a screen; the run ends with a plain word where it fails."""
    with told():
        opened = kept_open()
    yield opened


@contextmanager
def told() -> Iterator[None]:
    """Shows what a shop can set right, and ends the run of the screen there."""
    try:
        yield
    except SHOWN as error:
        st.html(refusal(error))
        st.stop()


def refusal(error: Exception) -> str:
    """What was refused: the field, what stood there and what would be accepted."""
    if not isinstance(error, InputError):
        return f'<section class="nb-refused" role="alert">{escape(str(error))}</section>'
    name = words.heading(error.field) if words.known(error.field) else error.field
    rows = [("Field", name), ("Stood there", error.text or "(nothing)"), ("Accepted", error.accepted)]  # fmt: skip
    if name != error.field:
        rows.insert(1, ("Key in a sheet", error.field))
    return (
        '<section class="nb-refused" role="alert"><strong>This cannot be used.</strong>'
        f"{signs.pairs(rows)}</section>"
    )


def numbered(text: str) -> int:
    """The number of a job in an address.

    Raises:
        InputError: it is none.
    """
    if not text.isdecimal() or len(text) > 9:
        raise InputError("job", text, "write the number of a kept job")
    return int(text)


def sheet_text(written: bytes) -> str:
    """The text of a sheet that was uploaded or pasted.

    Raises:
        InputError: empty, too long, or not UTF-8.
    """
    if len(written) > LARGEST_SHEET:
        raise InputError("sheet", f"{len(written)} bytes", f"a sheet has at most {LARGEST_SHEET}")
    try:
        text = written.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        accepted = f"byte {error.start + 1} is not UTF-8; save the sheet as UTF-8 text"
        raise InputError("sheet", "(file)", accepted) from None
    if not text.strip():
        raise InputError("sheet", "(nothing)", "choose a sheet or paste one")
    return text


def plain(text: str) -> str:
    """A text a person typed, so that it stands in running text as it was typed."""
    return _MARKUP.sub(r"\\\g<0>", text)


def quiet(text: str) -> None:
    """A line of small print."""
    st.html(signs.paragraph(text, quiet=True))
