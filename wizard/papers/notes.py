"""What a drawing of plate and spacer says in words: datums, marks, tolerances, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from kb import quantity
from wizard import words
from wizard.making.held import (
    BOLT_PLACE,
    DOWEL_PLACE,
    FLAT,
    PRACTICE,
    PROFILE,
    RA_FACE,
    RA_FITTED,
    RA_REST,
    RING_PARALLEL,
    RING_TRUE,
    STANDARD,
)
from wizard.papers.control import clocked_by
from wizard.papers.document import Document
from wizard.papers.plan import VIEW

MICRO_INCH = 0.0254  # µm
CONFIRM = "Confirm on the actual parts before cutting and before the first start."


def drawing_notes(doc: Document) -> tuple[str, ...]:
    """The notes of the drawing, in the order a shop needs them."""
    return (*_frame(doc), *_tolerances(doc), *_parts(doc), *doc.texts("cautions"), CONFIRM)


def _frame(doc: Document) -> Iterator[str]:
    plate = doc.part(doc.plate)
    if plate is None:
        yield "Datum A: driving face of the spacer (z = 0). Datum B: axis of its register."
        return
    yield f"VIEW. {VIEW} Section: z from the engine's bare face, + toward the gearbox."
    thickness, proud = doc.size(doc.plate, "thickness"), doc.size(doc.plate, "spigot_length")
    if thickness and proud:
        yield f"STOCK at least {doc.both(thickness + proud)}: the plate and its spigot."
    if doc.size(doc.plate, "bore") is None:
        yield "OPENING. The central opening is not known yet: give it before the plate is cut."
    yield (
        "DATUMS. A: face of the plate that meets the engine (z = 0). B: crankshaft axis, taken from"
        f" the register or dialled in. C: {clocked_by(doc)}. Hole places are from B; angles anticlockwise from X."
    )
    yield (
        "MARK the plate TOP at its upper edge, ENGINE SIDE on the face that meets the engine,"
        " with the number of this record on plate and spacer."
    )


def _tolerances(doc: Document) -> Iterator[str]:
    def both(value: float) -> str:
        """A tolerance in both unit systems, to 0.001 mm and 0.0001 in."""
        return quantity.both(value, first=doc.first, places=3 if doc.first == "mm" else 4)

    ra = " ".join(
        f"{what} Ra {size:g} µm ({size / MICRO_INCH:.0f} µin)"
        for what, size in (("registers, bores and dowel holes", RA_FITTED), ("faces", RA_FACE), ("the rest", RA_REST))
    )  # fmt: skip
    yield f"FINISH ({PRACTICE}): {ra.replace(') ', '), ')}. Bare metal on faces and registers, no paint."
    yield (f"GENERAL TOLERANCES. Sizes without limits: {STANDARD}. Break edges {both(PROFILE)}.")
    if doc.part(doc.plate) is not None:
        yield (
            f"PLATE ({PRACTICE}): bolt holes within ⌀ {both(BOLT_PLACE)} of true place,"
            f" dowel holes within ⌀ {both(DOWEL_PLACE)}; both faces flat and parallel within"
            f" {both(FLAT)}; outline within {both(PROFILE)}. Dowel holes bored or reamed, never as cut."
        )
    if doc.part(doc.turned) is not None:
        yield (
            f"SPACER ({PRACTICE}): registers true to each other within {both(RING_TRUE)}"
            f" TIR; faces parallel within {both(RING_PARALLEL)}. Faces and registers of one end in one"
            " chucking."
        )


def _parts(doc: Document) -> Iterator[str]:
    for part in doc.shown:
        for note in part.get("notes") or ():
            yield f"{words.heading(part['name'])}: {note}"
