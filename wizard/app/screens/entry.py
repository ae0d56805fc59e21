"""A unit from a notebook: what is needed first, each figure as it was read, the face drawn as it grows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import pandas as pd
import streamlit as st

from kb.errors import InputError
from wizard import words
from wizard.app import drawing, page, signs, sketches
from wizard.desk import drafts, entry, hole_lines, portrait, units
from wizard.desk.entry import Box, Group
from wizard.desk.place import Store

KINDS = ("engine", "gearbox", "flexplate", "flywheel", "clutch")
DRIVES = {"converter": "torque converter", "shaft": "input shaft", "driven": "rigid driven flange"}
TURNS = {"ccw": "anticlockwise", "cw": "clockwise"}
BARE = {"in": "inches", "mm": "millimetres"}
LINES = {
    "holes": "mark, x, y, thread or clear diameter, depth, room to keep clear",
    "dowels": "mark, x, y, diameter, how far it stands out, depth",
}
PLACED = {
    "circle": "on one circle, evenly spaced", "x-y": "by X and Y from a dowel or a corner",
    "distances": "by distances from hole to hole",
}  # fmt: skip
HEADS = {
    "id": "mark", "x": "x", "y": "y", "size": "thread or clear diameter", "depth": "depth",
    "keepout": "room to keep clear", "diameter": "diameter", "stands_out": "stands out",
}  # fmt: skip
_MARK, _BODY, _BEGUN, _SHOWN = "entry.mark", "entry.body", "entry.begun", "entry.shown"
ROOM = 12  # empty lines a table starts with


def show() -> None:
    """Everything that is asked of one unit, kept as it is typed."""
    st.page_link(page.CATALOGUE, label="← all units")
    st.title("Enter a unit", anchor=False)
    with page.store() as store, page.told():
        mark = _draft(store)
        kind, drive = _kind(mark)
        _signature(mark)
        page.quiet(
            "Write 2 5/8, 0.750 ± .002, 19.05 mm or 3/8-16 as in your notebook. What is typed is kept "
            "as you go. * marks what is needed before the unit can be paired."
        )
        for group in entry.groups(kind, drive):
            _group(mark, kind, group)
        typed = _typed(mark)
        _keep_draft(store, mark, typed)
        _so_far(store, mark, kind, drive, typed)


# ── the draft ───────────────────────────────────────────────────────────────


def _draft(store: Store) -> str:
    """The draft of the address, read once; a new one where there is none."""
    mark = st.query_params.get("draft", "")
    if not mark or len(mark) > 32:
        mark = drafts.new_mark()
        st.query_params["draft"] = mark
    if st.session_state.get(_MARK) != mark:
        kept = drafts.get(store, mark)
        body = dict(kept.body) if kept else {}
        if not kept:
            body |= _begun(store)
        st.session_state[_MARK], st.session_state[_BODY] = mark, body
        st.session_state[_BEGUN] = {} if kept else dict(body)
    st.session_state[_SHOWN] = []
    return mark


def _begun(store: Store) -> dict[str, str]:
    """What a new entry begins with: a kind, or a unit of the catalogue to go on from."""
    kind, name = st.query_params.get("kind", ""), st.query_params.get("unit", "")
    if kind in KINDS and name:
        return entry.typed_of(units.show(store, name, kind=kind)[0])
    return {"kind": kind} if kind in KINDS else {}


def _body() -> dict[str, str]:
    """What was typed before this run, boxes that are not on the screen now among it."""
    return cast("dict[str, str]", st.session_state[_BODY])


def _at(mark: str, key: str) -> str:
    """The place of a box in this person's session, holding what the draft has of it."""
    at = f"entry.{mark}.{key}"
    st.session_state[_SHOWN].append(key)
    if at not in st.session_state and _body().get(key):
        st.session_state[at] = _body()[key]
    return at


def _typed(mark: str) -> dict[str, str]:
    """What stands in the boxes now, and in those that are not on the screen."""
    body = _body()
    for key in st.session_state[_SHOWN]:
        body[key] = st.session_state.get(f"entry.{mark}.{key}") or ""
    return {key: text for key, text in body.items() if text.strip()}


def _keep_draft(store: Store, mark: str, typed: dict[str, str]) -> None:
    asked_first = ("kind", "drive", "units")
    new = set(typed.items()) - set(st.session_state[_BEGUN].items())
    if any(key not in asked_first and not key.endswith(".way") for key, _ in new):
        named = typed.get("name") or "without a name yet"
        drafts.keep(store, mark, what=drafts.UNIT, title=f"{typed['kind']}, {named}", body=typed)


# ── what is asked ───────────────────────────────────────────────────────────


def _kind(mark: str) -> tuple[str, str]:
    at = _at(mark, "kind")
    if st.session_state.get(at) not in KINDS:
        st.session_state[at] = KINDS[0]
    kind = st.segmented_control(
        "What is it?", KINDS, key=at, required=True, format_func=words.heading
    )
    if kind != "gearbox":
        return str(kind), ""
    at = _at(mark, "drive")
    if st.session_state.get(at) not in DRIVES:
        st.session_state[at] = "converter"
    drive = st.segmented_control(
        "What turns at its front?", list(DRIVES), key=at, required=True,
        format_func=DRIVES.__getitem__,
    )  # fmt: skip
    return "gearbox", str(drive)


def _signature(mark: str) -> None:
    unit, by, on = st.columns(3)
    at = _at(mark, "units")
    if not st.session_state.get(at):
        st.session_state[at] = page.first_unit()
    unit.segmented_control(
        "Bare figures are in", list(BARE), key=at, required=True, format_func=BARE.__getitem__
    )
    by.text_input("Who measured it", key=_at(mark, "by"), max_chars=80)
    on.text_input("On which day", key=_at(mark, "on"), placeholder="2026-03-02", max_chars=10)


def _group(mark: str, kind: str, group: Group) -> None:
    """One part: its needed and useful boxes, the rest folded away, its sketch beside them."""
    st.subheader(group.title, anchor=False)
    key = f"{kind}.{group.key}" if group.key else kind
    asked, drawn = st.columns([3, 2], gap="large")
    with drawn:
        _sketch(kind, key)
    with asked:
        way = {f"{group.key}.way": _way(mark, group)} if group.lists else {}
        boxes = entry.asked(group, way)
        for one in (one for one in boxes if one.need != "more"):
            _box(mark, one)
        for name in entry.lists(group, way):
            _list(mark, kind, name, by_distances="distances" in way.values())
        if rest := [one for one in boxes if one.need == "more"]:
            with st.expander(f"More that may be known ({len(rest)})"):
                for one in rest:
                    _box(mark, one)


def _sketch(kind: str, key: str) -> None:
    figure = sketches.face(kind) if key.endswith(".face") else sketches.side(key)
    if figure is None:
        return
    says = (
        "Look straight at the face. Measure from any dowel or corner hole; a line marked “axis” says "
        "where the shaft axis is."
        if key.endswith(".face")
        else "Not to scale; engine on the left, the shaft axis at the bottom."
    )
    st.plotly_chart(figure, config=drawing.QUIET, theme=None, key=f"sketch.{key}", alt=f"Sketch: {says}")  # fmt: skip
    st.html(signs.bullets(sketches.legend(key)) + signs.paragraph(says, quiet=True))


def _way(mark: str, group: Group) -> str:
    """How the holes of a part are placed.

    What stands there at first is the box's own default, so that a choice lost on its way from the
    browser falls back to it, and not to the first of the list.
    """
    key = f"{group.key}.way"
    st.session_state[_SHOWN].append(key)
    first = st.session_state.setdefault(f"entry.first.{mark}.{key}", entry.way(group.key, _body()))
    ways = list(PLACED)
    way = st.radio(
        "How the holes are placed", ways, key=f"entry.{mark}.{key}", index=ways.index(first),
        format_func=PLACED.__getitem__,
    )  # fmt: skip
    return str(way) if way in PLACED else str(first)


def _box(mark: str, one: Box) -> None:
    """One figure or word; beside a length the instrument it was read with."""
    label = one.label + (" *" if one.need == "needed" else "")
    keys = entry.ends(one)
    if one.choices:
        at = _at(mark, one.key)
        st.selectbox(
            label, ["", *one.choices], key=at, accept_new_options=one.free,
            format_func=lambda word: TURNS.get(word, word) or "not known",
        )  # fmt: skip
    elif len(keys) == 2:
        names = {"low": "from", "high": "to", "x": "x", "y": "y"}
        for column, key in zip(st.columns(2), keys, strict=True):
            column.text_input(f"{label}, {names[key.rpartition('.')[2]]}", key=_at(mark, key), max_chars=60)  # fmt: skip
    elif one.kind == "length":
        figure, tool = st.columns([3, 2], vertical_alignment="bottom")
        figure.text_input(label, key=_at(mark, one.key), max_chars=60)
        tool.selectbox(
            f"Read with ({one.label})", ["", *entry.tools()], key=_at(mark, one.key + entry.HOW),
            label_visibility="collapsed", format_func=lambda word: word or "instrument not said",
        )  # fmt: skip
    else:
        hints = {"thread": "3/8-16 or M10x1.5", "torque": "300 lbf·ft or 400 N·m", "mass": "78 kg", "speed": "rpm", "angle": "degrees"}  # fmt: skip
        st.text_input(label, key=_at(mark, one.key), max_chars=400, placeholder=hints.get(one.kind, ""))  # fmt: skip


def _list(mark: str, kind: str, name: str, *, by_distances: bool) -> None:
    """Holes or dowels, as a table or one to a line; the distances between them, where they place them."""
    leaf = name.rpartition(".")[2]
    title = words.heading(f"{kind}.{name}")
    at, shape = _at(mark, name), f"entry.shape.{mark}.{name}"
    if st.toggle(f"{title}: as a table", key=shape):
        _table(at, hole_lines.columns(name), f"{shape}.table")
    else:
        st.session_state.pop(f"{shape}.table.base", None)
        st.text_area(
            f"{title}, one to a line: {LINES[leaf]}", key=at, height=170, max_chars=60_000,
            placeholder="1, -5 1/4, 6.125, 3/8-16, 0.9\naxis, 0, 0" if leaf == "holes" else "D1, -7.1, 1.0, 0.500",
        )  # fmt: skip
    if by_distances and leaf == "holes":
        page.quiet(
            "Write x and y as on a rough sketch: the distances put the holes where they are. The first "
            "hole stays, and the second one in its direction."
        )
        st.text_area(
            "Distances, one to a line: from, to, reading, and outside or inside where it was read over edges",
            key=_at(mark, f"{name.rpartition('.')[0]}.{hole_lines.DISTANCES}"), height=130,
            placeholder="1, 2, 10.015\n1, D1, 4 7/8, outside", max_chars=60_000,
        )  # fmt: skip


def _table(at: str, columns: Sequence[str], key: str) -> None:
    """A table to type or paste into; its texts are kept as lines."""
    base = f"{key}.base"
    if base not in st.session_state:
        rows = [list(row) for row in hole_lines.cells(st.session_state.get(at, ""), columns)]
        rows += [[""] * len(columns)] * max(2, ROOM - len(rows))
        st.session_state[base] = pd.DataFrame(rows, columns=[HEADS[name] for name in columns], dtype=str)  # fmt: skip
    edited = st.data_editor(
        st.session_state[base], key=key, num_rows="dynamic", hide_index=True, width="stretch"
    )
    typed = (
        "\t".join(str(cell or "").strip() for cell in row) for row in edited.fillna("").to_numpy()
    )
    st.session_state[at] = "\n".join(row for row in typed if row.strip())


# ── what came of it ─────────────────────────────────────────────────────────


def _so_far(store: Store, mark: str, kind: str, drive: str, typed: dict[str, str]) -> None:
    """What is missing, the face as it stands, and the way into the catalogue."""
    st.subheader("As it stands", anchor=False)
    needed, useful = entry.missing(kind, typed, drive=drive)
    if needed:
        st.html(signs.paragraph("Still needed before it can be paired: " + "; ".join(needed) + "."))
    if useful:
        head = f"Would answer more questions <span class='nb-margin'>{len(useful)}</span>"
        st.html(signs.folded(head, signs.bullets(useful)))
    try:
        unit = entry.unit_of(kind, typed, drive=drive)
    except InputError as error:
        st.html(page.refusal(error))
        unit = None
    if unit is not None:
        for view in portrait.views(unit, first=page.first_unit()):
            st.markdown(f"**{words.heading(view.key)}**")
            st.plotly_chart(
                drawing.flat(view.shapes, height=380), config=drawing.QUIET, theme=None,
                key=f"so-far.{view.key}", alt=f"{words.label(view.key)} as typed so far, to scale",
            )  # fmt: skip
            page.quiet(view.says)
    with st.container(horizontal=True):
        if st.button("Keep it in the catalogue", type="primary", disabled=unit is None):
            ref = entry.keep(store, kind, typed, drive=drive)
            _done(store, mark, page.plain(entry.kept_says(store, ref)))
        if st.button("Throw this entry away"):
            _done(store, mark, "The entry has been thrown away.")
    if unit is None and not typed.get("name"):
        page.quiet("Give it a name to keep it.")


def _done(store: Store, mark: str, says: str) -> None:
    drafts.drop(store, mark)
    st.session_state.pop(_MARK, None)
    st.session_state["said"] = says
    st.switch_page(page.CATALOGUE, query_params={})


if __name__ == "__main__":
    show()
