"""The title block and issue block at the lower right corner of a drawing."""

from __future__ import annotations

from kb.model.record import Record
from wizard import words
from wizard.papers.document import Document
from wizard.papers.paper import Paper, fitted, width, wrapped

ACROSS, TITLE_BLOCK = 152.0, 55.0  # mm
_NARROW = 5.0  # pt, the small words that name a field


def title_block(paper: Paper, record: Record, doc: Document, *, sheet: int, sheets: int) -> None:
    """Draw both blocks against the margin of 9 mm."""
    left, bottom = paper.width - 9 - ACROSS, 9.0
    paper.pen(0.35)
    paper.rectangle((left, bottom), across=ACROSS, up=TITLE_BLOCK)
    _heading(paper, record, doc, left, bottom + TITLE_BLOCK)
    _materials(paper, doc, left, bottom + TITLE_BLOCK - 17)
    y = bottom + 16
    _fields(paper, left, y, 8, [
        ("record", f"{record.number:04d}" if record.number else "not kept", 0.14),
        ("issue", record.issue or "none", 0.10),
        ("date", record.made_on, 0.18), ("made by", record.made_by, 0.26),
        ("state", words.label(record.state), 0.18), ("sheet", f"{sheet} of {sheets}", 0.14),
    ])  # fmt: skip
    units = "in first, then mm" if doc.first == "in" else "mm first, then in"
    _fields(paper, left, y - 8, 8, [
        ("units", units, 0.22), ("scale", "by view; do not scale", 0.24),
        ("made from the record", record.digest[:16], 0.24), ("program", _program(record), 0.14),
        ("projection", "", 0.16),
    ])  # fmt: skip
    _projection(paper, doc, left + 0.84 * ACROSS, y - 8)
    _fields(paper, left, y - 16, 8, [
        ("checked by, date", "", 0.5), ("approved by, date", "", 0.5),
    ])  # fmt: skip


def _projection(paper: Paper, doc: Document, left: float, bottom: float) -> None:
    """The cone and its circles: first angle where mm come first, third angle where inches do.

    Source: ISO 5456-2 and ASME Y14.3, the two symbols. Every view says besides from where it is seen.
    """
    third = doc.first == "in"
    y, near, far = bottom + 3.0, left + 6.0, left + 15.5
    rings, cone = (near, far) if third else (far, near)
    paper.pen(0.2)
    paper.circle((rings, y), 4.0)
    paper.circle((rings, y), 2.0)
    wide, narrow = (cone + 3.0, cone - 3.0) if third else (cone - 3.0, cone + 3.0)
    paper.polygon([(narrow, y - 1), (wide, y - 2), (wide, y + 2), (narrow, y + 1)])
    paper.pen(0.1, dash=(1.5, 0.4, 0.4, 0.4))
    paper.line((left + 1.5, y), (left + 20.5, y))
    paper.text((left + 12.5, bottom + 5.8), "third angle" if third else "first angle", size=_NARROW)


def _program(record: Record) -> str:
    return str(record.content.get("program") or "")


def pair_of_units(doc: Document) -> str:
    """Engine and gearbox by name."""
    names = [str(doc.table(side).get("name") or "") for side in ("engine", "gearbox")]
    return " to ".join(name for name in names if name)


def _heading(paper: Paper, record: Record, doc: Document, left: float, top: float) -> None:
    room = ACROSS - 4
    for number, line in enumerate(wrapped(record.title, size=8.5, room=room, bold=True, most=2)):
        paper.text((left + 2, top - 4.2 - 3.8 * number), line, size=8.5, bold=True)
    parts = " and ".join(words.label(part["name"]) for part in doc.shown[:3])
    says = fitted(f"{parts.upper()}: {pair_of_units(doc)}", size=6.5, room=room)
    paper.text((left + 2, top - 12), says, size=6.5)
    engine = doc.answer.get("stage")
    verdict = f"verdict: {doc.answer.get('verdict', 'none')} ({words.label(str(engine))})" if engine else ""  # fmt: skip
    paper.text((left + 2, top - 15.6), fitted(verdict, size=6, room=room), size=6)
    paper.line((left, top - 17), (left + ACROSS, top - 17))


def _materials(paper: Paper, doc: Document, left: float, top: float) -> None:
    """Material, mass and quantity, up to four parts; further ones are counted."""
    parts = list(doc.shown)
    shown = parts if len(parts) <= 4 else parts[:3]
    lines = []
    for part in shown:
        mass = part.get("mass_kg")
        weight = f"{mass:.2f} kg ({mass / 0.45359237:.2f} lb)" if mass else "mass not known"
        name = words.heading(part["name"])
        lines.append(f"{name}: {part['material']}, {weight}, {part.get('quantity', 1)} off")
    if len(shown) < len(parts):
        lines.append(f"and {len(parts) - len(shown)} more parts, see the answer")
    for number, line in enumerate(lines):
        text = fitted(line, size=5.8, room=ACROSS - 4)
        paper.text((left + 2, top - 2.6 - 2.9 * number), text, size=5.8)


def _fields(
    paper: Paper, left: float, bottom: float, up: float, fields: list[tuple[str, str, float]]
) -> None:
    """One row of boxes; the parts of their widths add up to one."""
    x = left
    for name, value, part in fields:
        room = ACROSS * part
        paper.pen(0.18)
        paper.rectangle((x, bottom), across=room, up=up)
        paper.text((x + 1, bottom + up - 2.2), name, size=_NARROW)
        size = 7.5
        while size > 5 and width(value, size=size) > room - 2:
            size -= 0.5
        paper.text((x + 1, bottom + 1.6), fitted(value, size=size, room=room - 2), size=size)
        x += room
