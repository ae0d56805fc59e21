"""A face brought in from a list, a drawing, a scan or a photo: looked over first, kept when confirmed."""

from __future__ import annotations

from hashlib import sha256
from typing import cast

import streamlit as st

from kb.errors import InputError
from wizard import words
from wizard.app import drawing, page, signs
from wizard.desk import find, patterns, portrait, scans
from wizard.desk.patterns import Listing, Proposal
from wizard.desk.place import Store

PICTURES = ("png", "jpg", "jpeg", "tif", "tiff")
LISTS = ("csv", "xlsx", "dxf")
LARGEST = 10  # MB
_PICTURE = "pattern.picture"


def show() -> None:
    """A file, its holes, where the axis is, which face it is, and the way into the catalogue."""
    st.page_link(page.CATALOGUE, label="← all units")
    st.title("Bring in a face", anchor=False)
    st.markdown(
        "A list of holes (CSV, spreadsheet), a DXF drawing, or a flat scan or photo of a gasket, the "
        "face itself or a paper rubbing. Nothing is kept until you say so."
    )
    with page.store() as store, page.told():
        given = st.file_uploader(
            "The file", type=[*LISTS, *PICTURES], max_upload_size=LARGEST, key="pattern.file"
        )
        if given is None:
            _advice()
            return
        ending = given.name.rpartition(".")[2].lower()
        listed = (
            _from_picture(given.getvalue())
            if ending in PICTURES
            else _from_list(given.name, given.getvalue())
        )
        if listed is None:
            return
        proposal = _settled(listed)
        _looked_over(proposal)
        _which(store, proposal)
        _keep(store, proposal)


def _advice() -> None:
    page.quiet(
        "A scan: lay the gasket or the rubbing flat, at 150 to 300 dots to the inch, and measure one "
        "distance along it and one across. A photo: from straight above and as far off as sharpness "
        "allows; measure six distances between four holes, then its slant is taken out."
    )


# ── reading ─────────────────────────────────────────────────────────────────


def _from_list(name: str, written: bytes) -> Listing:
    listed = patterns.uploaded(name, written)
    if len(listed.layers) > 1:
        chosen = st.multiselect(
            "Layers to take", listed.layers, default=list(listed.layers), key="pattern.layers"
        )
        if set(chosen) != set(listed.layers):
            listed = patterns.uploaded(name, written, layers=chosen)
    return listed


def _from_picture(written: bytes) -> Listing | None:
    """The holes of a picture, once a distance says what a pixel is worth."""
    picture = _opened(written)
    st.subheader("Its holes", anchor=False)
    if not picture.spots:
        raise InputError(
            "picture",
            "(no holes)",
            "no round hole was found; scan it flatter, sharper or with more contrast",
        )
    with st.form("scale"):
        st.markdown(
            "**Measured distances**, one to a line: two numbers from the picture, and the distance "
            f"between the middles. Bare figures are in {page.first_unit()}."
        )
        lines = st.text_area(
            "Distances",
            key="pattern.distances",
            height=110,
            placeholder="1, 4, 300.05\n2, 7, 11 3/8 in",
        )
        points = st.text_area(
            "Other marks, such as the ends of a scale bar: name, x, y in pixels",
            key="pattern.points",
            height=70,
            placeholder="A, 120, 80",
        )
        least, most = st.columns(2)
        small = least.text_input("Smallest diameter to keep", key="pattern.least")
        large = most.text_input("Largest diameter to keep", key="pattern.most")
        out = st.multiselect(
            "Numbers that are no holes",
            [str(n) for n in range(1, len(picture.spots) + 1)],
            key="pattern.out",
        )
        added = st.text_area(
            "Holes that were not found: name, x, y and rough diameter in pixels", key="pattern.added", height=70,
            placeholder="H9, 640, 212, 60",
        )  # fmt: skip
        st.form_submit_button("Size the holes", type="primary")
    found = None
    if lines.strip():
        found = scans.sized(
            picture,
            distances=lines.splitlines(),
            points=points.splitlines(),
            unit=page.first_unit(),
            least=small.strip(),
            most=large.strip(),
            leave_out=out,
            added=added.splitlines(),
        )
    says = f"The picture, {len(picture.spots)} round spots numbered"
    st.image(
        scans.numbered(picture, found=found),
        caption=says,
        width="stretch",
        alt="the picture with the holes found numbered",
    )
    if found is None:
        page.quiet("Write at least one measured distance to size the holes.")
        return None
    st.html(signs.bullets(found.says))
    return found.listing


def _opened(written: bytes) -> scans.Picture:
    """The picture, its holes looked for once."""
    name = sha256(written).hexdigest()
    kept = cast("tuple[str, scans.Picture] | None", st.session_state.get(_PICTURE))
    if kept is None or kept[0] != name:
        with st.spinner("Looking for holes"):
            picture = scans.opened(written)
            _ = picture.spots
        st.session_state[_PICTURE] = kept = (name, picture)
    return kept[1]


# ── settling ────────────────────────────────────────────────────────────────


def _settled(listed: Listing) -> Proposal:
    """The holes from the axis picked, in the unit the file says or the person does."""
    st.subheader("Where the axis is", anchor=False)
    unit = listed.unit
    if not unit:
        unit = str(
            st.segmented_control(
                "The file does not say its unit. Its figures are in",
                ["mm", "in"],
                key="pattern.unit",
                default=page.first_unit(),
                required=True,
            )
        )
    marks = [row.id for row in listed.rows]
    names = {
        "as given": "where the file has nought",
        "largest": "in the middle of the largest hole, which is the opening",
        "other": "elsewhere",
    }
    axis = st.selectbox(
        "The shaft axis",
        [*names, *marks],
        key="pattern.axis",
        format_func=lambda one: names.get(one, f"in the middle of hole {one}"),
    )
    if axis == "other":
        axis = (
            st.text_input(
                "Two marks as D1+D2 for the middle between them, or X,Y", key="pattern.other"
            ).strip()
            or "as given"
        )
    thread = st.text_input(
        "Thread of holes that name none, if they are tapped",
        key="pattern.thread",
        placeholder="3/8-16",
    ).strip()
    out = st.multiselect("Leave out", marks, key="pattern.without")
    return patterns.without(patterns.propose(listed, unit=unit, axis=axis, thread=thread), out)


def _looked_over(proposal: Proposal) -> None:
    rows = [(row.id, row.x, row.y, row.hole, row.thread, row.depth) for row in proposal.rows]
    side = st.segmented_control(
        "Looked at",
        list(patterns.SIDES),
        key="pattern.side",
        default="engine",
        required=True,
        format_func={"engine": "an engine's rear", "gearbox": "a gearbox's front"}.__getitem__,
    )
    drawn, listed = st.columns([3, 2], gap="large")
    unit = patterns.preview(proposal, side=str(side))
    with drawn:
        for view in portrait.views(unit, first=page.first_unit()):
            st.plotly_chart(
                drawing.flat(view.shapes, height=420),
                config=drawing.QUIET,
                theme=None,
                key="pattern.view",
                alt="the holes as read, to scale",
            )
            page.quiet(view.says)
    with listed:
        heads = ["mark", f"x [{proposal.unit}]", f"y [{proposal.unit}]", "hole", "thread", "depth"]
        st.html(signs.table(heads, rows))
    if proposal.notes:
        st.html(signs.bullets(f"{note[:1].upper()}{note[1:]}" for note in proposal.notes))


def _which(store: Store, proposal: Proposal) -> None:
    """Which face of the catalogue it is, if it is one."""
    st.subheader("Is it a face already kept?", anchor=False)
    if len(proposal.rows) < 3:
        page.quiet("Three holes or more are needed to tell.")
        return
    try:
        found = find.face(store, patterns.as_csv(proposal), unit="mm")
    except InputError as error:
        page.quiet(f"{error.accepted[:1].upper()}{error.accepted[1:]}.")
        return
    st.html(signs.bullets(found.says))
    if found.matches:
        heads = ["face", "holes on it", "off, mean", "turned", "seen from"]
        rows = [
            (
                one.name,
                f"{len(one.pairs)} of {len(found.holes)}",
                f"{one.rms:.2f} mm",
                f"{one.turn:+.1f}°",
                "its other side" if one.mirrored else "the same side",
            )
            for one in found.matches[:5]
        ]
        st.html(signs.folded("The nearest faces", signs.table(heads, rows)))


def _keep(store: Store, proposal: Proposal) -> None:
    st.subheader("Keep it as the face of a unit", anchor=False)
    side = str(st.session_state.get("pattern.side") or "engine")
    with st.form("keep pattern"):
        name = st.text_input(f"Name of the {side}", max_chars=200)
        by = st.text_input("Who measured it", key="by", max_chars=80)
        pressed = st.form_submit_button("Keep it in the catalogue", type="primary")
    if pressed:
        (ref,) = patterns.confirm(store, proposal, name=name, side=side, by=by)
        st.success(f"Kept: {page.plain(str(ref))}.")
        st.page_link(
            page.ENTRY,
            label="Add the rest of its dimensions",
            query_params={"kind": side, "unit": ref.name},
        )
        st.page_link(
            page.CATALOGUE,
            label=f"Open {words.label(side)} {page.plain(ref.name)}",
            query_params={"unit": ref.name, "kind": side},
        )


if __name__ == "__main__":
    show()
