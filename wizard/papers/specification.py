"""The starting specification: on one page, what a shop needs to begin and what it must still settle."""

from __future__ import annotations

from collections.abc import Callable

from kb.model.record import Record
from wizard import words
from wizard.papers.document import Document, in_words, numbered
from wizard.papers.flow import Block, flow
from wizard.papers.frames import Frame
from wizard.papers.notes import CONFIRM
from wizard.papers.paper import GREY, PALE, PORTRAIT, RED, Paper, fitted, wrapped
from wizard.papers.particulars import (
    assumed,
    axial,
    bolts,
    cautions,
    fixed_line_up,
    measure,
    not_asked,
    parts,
    pilot,
    plate,
    questions,
    registers,
    remedies,
    rotating_line_up,
    settle,
    spacer,
)  # fmt: skip
from wizard.papers.titleblock import pair_of_units

EDGE, GUTTER, HEAD, FOOT = 10.0, 4.0, 25.0, 10.0
VERDICT_LINES = 7

_BLOCKS: tuple[tuple[str, Callable[[Document], tuple[tuple[str, str], ...]]], ...] = (
    ("PLATE", plate),
    ("SPACER", spacer),
    ("ALONG THE AXIS", axial),
    ("PILOT", pilot),
    ("REGISTERS AND FITS", registers),
    ("BOLTS", bolts),
    ("FIXED LINE-UP", fixed_line_up),
    ("ROTATING LINE-UP", rotating_line_up),
    ("PARTS", parts),
    ("WAYS OUT, RUN AGAIN", remedies),
    ("MEASURE FIRST", measure),
    ("SETTLE BEFORE CUTTING", lambda doc: settle(doc, "cut")),
    ("SETTLE BEFORE THE FIRST START", lambda doc: settle(doc, "start")),
    ("QUESTIONS STILL OPEN", questions),
    ("ASSUMED", assumed),
    ("NOT ASKED", not_asked),
    ("CAUTIONS", cautions),
)
_SPARE = ("PARTS", "WAYS OUT, RUN AGAIN", "ASSUMED", "NOT ASKED")


def specification(record: Record) -> Paper:
    """Set the starting specification; A4, or ANSI A when the shop works in inches.

    Returns the open paper: `Paper.finish` gives its bytes. What finds no room on the page is
    counted there in words.
    """
    doc = Document(record.answer)
    paper = Paper(PORTRAIT[doc.first], title=record.title, by=record.made_by)
    top = _heading(paper, record, doc)
    top = _verdict(paper, doc, top)
    middle = paper.width / 2
    frames = (
        Frame(EDGE, EDGE + FOOT, middle - GUTTER / 2, top - 2),
        Frame(middle + GUTTER / 2, EDGE + FOOT, paper.width - EDGE, top - 2),
    )
    flow(
        paper,
        [Block.of(heading, rows(doc), spare=heading in _SPARE) for heading, rows in _BLOCKS],
        frames,
    )
    _footer(paper, record, doc)
    return paper


def _heading(paper: Paper, record: Record, doc: Document) -> float:
    left, right, top = EDGE, paper.width - EDGE, paper.height - EDGE
    room = right - left - 44
    paper.text((left, top - 3.4), "STARTING SPECIFICATION", size=9, bold=True)
    for number, line in enumerate(wrapped(record.title, size=11, room=room, bold=True, most=2)):
        paper.text((left, top - 9 - 4.6 * number), line, size=11, bold=True)
    units = fitted(pair_of_units(doc), size=8, room=right - left)
    paper.text((left, top - 18.6), units, size=8)
    facts = (
        numbered(record),
        f"{record.made_on}, {record.made_by}",
        f"state: {words.label(record.state)}",
    )
    for number, fact in enumerate(facts):
        shown = fitted(fact, size=7, room=42)
        paper.text((right, top - 3.4 - 3.6 * number), shown, size=7, anchor="right")
    paper.text((left, top - 22.2), _use(doc, right - left), size=6.8)
    return top - HEAD


def _use(doc: Document, room: float) -> str:
    engine = doc.table("engine")
    facts = [words.label(doc.kind)] if doc.kind else []
    if engine.get("peak_torque_nm"):
        facts.append(f"peak torque {doc.torque(engine['peak_torque_nm'])}")
    if engine.get("max_speed_rpm"):
        facts.append(f"up to {engine['max_speed_rpm']:.0f} rpm")
    if engine.get("rotation"):
        facts.append(f"rotation {engine['rotation']} seen from the flywheel end")
    facts.append(f"rule set: {doc.answer.get('rules', 'none named')}")
    return fitted(", ".join(facts), size=6.8, room=room)


def _verdict(paper: Paper, doc: Document, top: float) -> float:
    """The verdict, its stage and at most seven sentences, in a box."""
    room = paper.width - 2 * EDGE - 4
    lines = [in_words(line) for line in doc.texts("verdict_lines")]
    shown = lines if len(lines) <= VERDICT_LINES else lines[: VERDICT_LINES - 1]
    if len(shown) < len(lines):
        shown.append(f"and {len(lines) - len(shown)} more, see the answer")
    body = [part for line in shown for part in wrapped(line, size=7.4, room=room, most=2)]
    up = 7 + 3.4 * len(body)
    word = str(doc.answer.get("verdict") or "no verdict")
    stage = words.label(str(doc.answer.get("stage") or "quote"))
    paper.pen(0.4)
    paper.rectangle((EDGE, top - up), across=paper.width - 2 * EDGE, up=up, fill=PALE)
    colour = RED if word in ("does not go", "measure first") else (0.0, 0.0, 0.0)
    says = f"VERDICT {stage}: {words.label(word).upper()}"
    paper.text((EDGE + 2, top - 4.6), says, size=9, bold=True, colour=colour)
    for number, line in enumerate(body):
        paper.text((EDGE + 2, top - 8.6 - 3.4 * number), line, size=7.4)
    return top - up


def _footer(paper: Paper, record: Record, doc: Document) -> None:
    y, right = EDGE + 3.6, paper.width - EDGE
    paper.pen(0.2, colour=GREY)
    paper.line((EDGE, EDGE + FOOT - 2), (right, EDGE + FOOT - 2))
    paper.text((EDGE, y), CONFIRM, size=8, bold=True)
    program = record.content.get("program") or ""
    note = f"{program}, made from record {record.digest[:16]}. Where a row ends in … or a list in “more”, the answer has the rest."
    paper.text((EDGE, y - 3.4), fitted(note, size=6, room=right - EDGE), size=6)
