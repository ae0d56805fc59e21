"""The dimensioned drawing of plate and spacer: one sheet, and another where the holes need it."""

from __future__ import annotations

from collections.abc import Sequence

from kb import quantity
from kb.model.record import Record
from wizard import words
from wizard.papers import grid
from wizard.papers.document import PLATE, Document, size_words
from wizard.papers.drawing_parts import parts_sheet
from wizard.papers.frames import LETTERS, Frame
from wizard.papers.grid import Column, column
from wizard.papers.holes import HoleRow, both_lines, degrees, hole_rows, inches, millimetres
from wizard.papers.notes import drawing_notes
from wizard.papers.paper import LANDSCAPE, POINT, Paper, fitted, wrapped
from wizard.papers.plan import plan, ring_plan
from wizard.papers.plan_view import plan_view
from wizard.papers.section import ring_section, section
from wizard.papers.section_view import section_view
from wizard.papers.titleblock import TITLE_BLOCK, title_block

EDGE = 9.0
SIDE = 152.0  # width of the column of tables at the right
GAP = 2.5
NOTES = (LETTERS, 5.0, 4.6)  # of the notes [pt]
SIZES = (6.0, 5.5, 5.0, 4.6)  # lettering of the hole table, largest first [pt]


def drawable(record: Record) -> bool:
    """Whether the answer has a part that this drawing shows."""
    doc = Document(record.answer)
    return bool(doc.plates) or doc.part(doc.turned) is not None


def drawing(record: Record, *, plate: str = PLATE) -> Paper:
    """Draw one plate and the rotating adapter with views, hole table, notes and title block.

    ``plate`` names the one to draw, where there are two; the other's holes are left to its own. A3 landscape, or ANSI B when the shop works in inches. Returns the open paper: `Paper.finish`
    gives its bytes, `Paper.overlaps` and `Paper.outside` what is wrong with its lettering.
    """
    doc = Document(record.answer, plate)
    paper = Paper(LANDSCAPE[doc.first], title=record.title, by=record.made_by)
    tables = _hole_tables(doc)
    beside = Frame(paper.width - EDGE - SIDE, EDGE, paper.width - EDGE, paper.height - EDGE)
    room = beside.top - (beside.bottom + TITLE_BLOCK) - GAP
    size = _table_size(tables, room=room - _least_notes(doc))
    sheets = 2 if size or not tables else 2 + len(_continued(paper, tables))
    _border(paper)
    _views(paper, doc, Frame(EDGE, EDGE, beside.left - GAP, beside.top))
    top = beside.top
    if size:
        top = _draw_tables(paper, tables, beside, top, size)
    elif tables:
        paper.text((beside.left, top - 4), f"HOLE TABLE: SEE SHEET 3 OF {sheets}", size=8, bold=True)  # fmt: skip
        top -= 7
    _notes(paper, doc, Frame(beside.left, beside.bottom + TITLE_BLOCK + 1, beside.right, top))
    title_block(paper, record, doc, sheet=1, sheets=sheets)
    paper.next_page()
    _border(paper)
    whole = Frame(EDGE, EDGE, paper.width - EDGE, paper.height - EDGE)
    parts_sheet(paper, doc, whole, beside=beside.left)
    title_block(paper, record, doc, sheet=2, sheets=sheets)
    if sheets > 2:
        _more_sheets(paper, record, doc, tables, sheets)
    return paper


def _border(paper: Paper) -> None:
    paper.pen(0.5)
    paper.rectangle((6.5, 6.5), across=paper.width - 13, up=paper.height - 13)


# ── views ───────────────────────────────────────────────────────────────────────


def _views(paper: Paper, doc: Document, frame: Frame) -> None:
    split = frame.bottom + 0.46 * frame.up
    axial = section(doc.answer)
    low = split if axial else frame.bottom
    has_ring = doc.part(doc.turned) is not None
    across = frame.left + (0.56 * frame.across if has_ring else frame.across)
    if doc.part(doc.plate) is not None:
        _plate_view(paper, doc, Frame(frame.left, low, across, frame.top))
    else:
        across = frame.left
    if has_ring:
        _ring_views(paper, doc, Frame(across + GAP, low, frame.right, frame.top))
    below = Frame(frame.left, frame.bottom, frame.right, split - 7)
    across = _sizes(paper, doc, below)
    if axial:
        scale = section_view(paper, axial, below, reserved=across)
        _named(paper, below, "HALF SECTION ALONG THE AXIS", f"{scale}, dashed: size not given")


def _plate_view(paper: Paper, doc: Document, frame: Frame) -> None:
    across, up = doc.size(doc.plate, "length"), doc.size(doc.plate, "height")
    both = None
    if across and up:
        both = quantity.both(across, first=doc.first), quantity.both(up, first=doc.first)
    view = Frame(frame.left, frame.bottom, frame.right, frame.top - 5)
    scale = plan_view(paper, plan(doc.answer, plate=doc.plate), view, overall=both)
    _named(paper, view, words.label(doc.plate).upper(), scale)


def _ring_views(paper: Paper, doc: Document, frame: Frame) -> None:
    middle = frame.bottom + 0.5 * frame.up
    above = Frame(frame.left, middle, frame.right, frame.top - 5)
    scale = plan_view(paper, ring_plan(doc.answer), above, diameters=False)
    _named(paper, above, words.label(doc.faced).upper(), scale)
    below = Frame(frame.left, frame.bottom, frame.right, middle - 6)
    scale = section_view(paper, ring_section(doc.answer), below)
    _named(paper, below, f"{words.label(doc.turned).upper()}, HALF SECTION", scale)


def _named(paper: Paper, frame: Frame, name: str, scale: str) -> None:
    says = fitted(f"{name}, scale {scale}", size=7, room=frame.across, bold=True)
    paper.text((frame.left, frame.top + 1.5), says, size=7, bold=True)


# ── tables ──────────────────────────────────────────────────────────────────────


def _sizes(paper: Paper, doc: Document, frame: Frame) -> float:
    """Named sizes of every part at the upper right of a frame; returns the width they take."""
    table = _size_table(doc)
    if not table:
        return 0.0
    room = 0.62 * frame.up
    size = next((s for s in SIZES if grid.height(table, size=s) <= room), 4.5)
    across = grid.across(table, size=size)
    many = int((room - grid.heading_height(table, size=size)) / grid.row_height(table, size=size))
    rows = len(table[0].cells)
    end = grid.draw(
        paper, table, left=frame.right - across, top=frame.top + 4, size=size, last=min(many, rows)
    )
    if rows > many:
        says = f"and {rows - many} more sizes, see the answer"
        paper.text((frame.right, end - 2.2), says, size=5, anchor="right")
    return across + GAP


def _size_table(doc: Document) -> tuple[Column, ...]:
    rows = [
        (words.label(part["name"]), *_size_row(doc, part["name"], name, float(part["size"][name])))
        for part in doc.shown
        for name in sorted(part["size"], key=_size_order)
        if _is_said(part["name"], name)
    ]
    units = ("in", "mm") if doc.first == "in" else ("mm", "in")
    heads = ("part", "size", *units)
    if not rows:
        return ()
    return tuple(column([head], [(row[n],) for row in rows]) for n, head in enumerate(heads))


def _is_said(part: str, name: str) -> bool:
    """Lengths only; the width and height of a plate say more than the circle around it."""
    return "_kg" not in name and not (part.endswith("plate") and name == "outside")


_ORDER = ("thickness", "length", "height", "outside", "bore")


def _size_order(name: str) -> tuple[int, str]:
    return (_ORDER.index(name) if name in _ORDER else len(_ORDER), name)


def _size_row(doc: Document, part: str, name: str, value: float) -> tuple[str, str, str]:
    """What the size is, and its figures, or its limits where it is part of a fit."""
    what = size_words(name, of_plate=part.endswith("plate"))
    limits = doc.fit_limits(name, value)
    if limits is None:
        return what, *both_lines(value, first=doc.first)
    pair = (
        f"{inches(limits[0])}–{inches(limits[1])}",
        f"{millimetres(limits[0])}–{millimetres(limits[1])}",
    )
    return what, *(pair if doc.first == "in" else pair[::-1])


def _hole_tables(doc: Document) -> tuple[tuple[str, tuple[Column, ...]], ...]:
    """One table for every part that has holes; columns nobody fills are left out."""
    tables = []
    names = [part["name"] for part in doc.shown]
    rows = [row for row in hole_rows(doc) if row.part in names]
    for name in dict.fromkeys(row.part for row in rows):
        holes = [row for row in rows if row.part == name]
        columns = [one for one in _hole_columns(holes, doc.first) if one.filled()]
        tables.append((f"HOLES IN {words.label(name).upper()}", tuple(columns)))
    return tuple(tables)


def _hole_columns(holes: Sequence[HoleRow], first: str) -> list[Column]:
    units = "in / mm" if first == "in" else "mm / in"

    def lengths(name: str, attribute: str) -> Column:
        cells = [both_lines(getattr(hole, attribute), first=first) for hole in holes]
        return column([name, units], cells)

    def texts(name: str, *attributes: str) -> Column:
        return column([name], [[getattr(hole, one) for one in attributes] for hole in holes])

    return [
        texts("hole", "id"),
        texts("for", "purpose", "kind"),
        texts("from", "side"),
        lengths("X", "x"),
        lengths("Y", "y"),
        lengths("radius", "radius"),
        column(["angle", "°"], [(degrees(hole.angle),) for hole in holes]),
        column(["⌀", units], [_diameter(hole, first) for hole in holes]),
        texts("thread", "thread"),
        column(["depth", units], [_depth(hole, first) for hole in holes]),
        lengths("cbore ⌀", "counterbore"),
        lengths("deep", "counterbore_depth"),
        lengths("csk ⌀", "countersink"),
        column(["angle", "of csk"], [(_cone(hole),) for hole in holes]),
        lengths("place ⌀", "within"),
        texts("source", "source"),
    ]


def _cone(hole: HoleRow) -> str:
    return "" if hole.countersink_angle is None else f"{hole.countersink_angle:g}°"


def _diameter(hole: HoleRow, first: str) -> tuple[str, str]:
    if hole.low is None or hole.high is None:
        return both_lines(hole.diameter, first=first)
    pair = (
        f"{inches(hole.low)}–{inches(hole.high)}",
        f"{millimetres(hole.low)}–{millimetres(hole.high)}",
    )
    return pair if first == "in" else (pair[1], pair[0])


def _depth(hole: HoleRow, first: str) -> tuple[str, str]:
    return ("through", "") if hole.depth is None else both_lines(hole.depth, first=first)


def _table_size(tables: Sequence[tuple[str, tuple[Column, ...]]], *, room: float) -> float:
    """The largest lettering at which the hole tables stand in the column; 0 for none."""
    for size in SIZES:
        high = sum(_table_height(columns, size) for _, columns in tables)
        wide = max((grid.across(columns, size=size) for _, columns in tables), default=0.0)
        if tables and high <= room and wide <= SIDE:
            return size
    return 0.0


def _table_height(columns: Sequence[Column], size: float) -> float:
    return 4 + grid.height(columns, size=size) + GAP


def _draw_tables(
    paper: Paper, tables: Sequence[tuple[str, tuple[Column, ...]]], beside: Frame, top: float, size: float
) -> float:  # fmt: skip
    for heading, columns in tables:
        paper.text((beside.left, top - 3), heading, size=6.5, bold=True)
        top = grid.draw(paper, columns, left=beside.left, top=top - 4, size=size) - GAP
    return top


# ── further sheets ──────────────────────────────────────────────────────────────

_Block = tuple[str, tuple[Column, ...], int, int, float]


def _continued(paper: Paper, tables: Sequence[tuple[str, tuple[Column, ...]]]) -> list[list[_Block]]:  # fmt: skip
    """Hole tables cut into blocks that stand beside each other, sheet by sheet."""
    room = paper.height - 2 * EDGE - TITLE_BLOCK - 14
    pages: list[list[_Block]] = [[]]
    x = EDGE
    for heading, columns in tables:
        size = next((s for s in SIZES if grid.across(columns, size=s) <= SIDE * 1.2), SIZES[-1])
        wide = grid.across(columns, size=size) + 4
        head = grid.heading_height(columns, size=size)
        many = max(1, int((room - head) / grid.row_height(columns, size=size)))
        total = len(columns[0].cells)
        for first in range(0, total, many):
            if x + wide > paper.width - EDGE + 4 and pages[-1]:
                pages.append([])
                x = EDGE
            pages[-1].append((heading, columns, first, min(first + many, total), size))
            x += wide
    return pages


def _more_sheets(
    paper: Paper,
    record: Record,
    doc: Document,
    tables: Sequence[tuple[str, tuple[Column, ...]]],
    sheets: int,
) -> None:
    for number, blocks in enumerate(_continued(paper, tables), 3):
        paper.next_page()
        _border(paper)
        x, top = EDGE, paper.height - EDGE
        for heading, columns, first, last, size in blocks:
            paper.text((x, top - 3), heading, size=6.5, bold=True)
            grid.draw(paper, columns, left=x, top=top - 4.5, size=size, first=first, last=last)
            x += grid.across(columns, size=size) + 4
        title_block(paper, record, doc, sheet=number, sheets=sheets)


# ── notes ───────────────────────────────────────────────────────────────────────


def _least_notes(doc: Document) -> float:
    """Height the notes need in their smallest lettering [mm]."""
    return len(_note_lines(drawing_notes(doc), NOTES[-1], SIDE)) * NOTES[-1] * POINT * 1.3 + 6


def _notes(paper: Paper, doc: Document, frame: Frame) -> None:
    """The notes at the largest lettering that holds them all; what finds no room is counted."""
    notes = drawing_notes(doc)
    for size in NOTES:
        lines = _note_lines(notes, size, frame.across)
        if len(lines) * size * POINT * 1.3 <= frame.up - 4:
            break
    pitch = size * POINT * 1.3
    most = max(1, int((frame.up - 4) / pitch))
    if len(lines) > most:
        lines = [*lines[: most - 1], "… and more: see the starting specification and the answer."]
    paper.text((frame.left, frame.top - 3), "NOTES", size=6.5, bold=True)
    for number, line in enumerate(lines):
        paper.text((frame.left, frame.top - 3 - (number + 1) * pitch), line, size=size)


def _note_lines(notes: Sequence[str], size: float, room: float) -> list[str]:
    lines: list[str] = []
    for number, note in enumerate(notes, 1):
        first, *rest = wrapped(f"{number}. {note}", size=size, room=room)
        lines += [first, *rest]
    return lines
