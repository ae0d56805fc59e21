"""Blocks of rows set in columns on one page; what finds no room is counted, never dropped unsaid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kb.errors import OutOfScope
from wizard.papers.frames import Frame
from wizard.papers.paper import GREY, PALE, POINT, Paper, wrapped

SIZES = (7.6, 7.2, 6.8, 6.4, 6.0)  # lettering, largest first [pt]
LEAST_LINES = 3  # a long row is cut with … after so many lines, where the page is full
LINE = 1.26  # from line to line, of the lettering's size
NAMED = 0.36  # of the width, for what a row is about


@dataclass(frozen=True)
class Row:
    """One statement, with what it is about; without a name it runs over the whole width."""

    name: str
    says: str


@dataclass(frozen=True)
class Block:
    """Statements under a heading; ``left_out`` counts those that found no room."""

    heading: str
    rows: tuple[Row, ...]
    left_out: int = 0

    @classmethod
    def of(cls, heading: str, rows: Sequence[tuple[str, str]]) -> Block:
        """A block of (name, what it says) pairs."""
        return cls(heading, tuple(Row(name, says) for name, says in rows))


@dataclass(frozen=True)
class _Piece:
    """A heading, or one row, set in lines."""

    heading: str
    name: tuple[str, ...]
    says: tuple[str, ...]
    up: float


def flow(paper: Paper, blocks: Sequence[Block], frames: Sequence[Frame]) -> tuple[Block, ...]:
    """Set the blocks in the frames, one after the other.

    The lettering is made smaller first; then long rows are cut with …; then the longest list
    loses its last row, again and again, and says how many went.

    Returns:
        The blocks as they were set.
    """
    blocks = [block for block in blocks if block.rows]
    for size in SIZES:
        if _place(blocks, frames, size=size, most=None) is not None:
            return _draw(paper, blocks, frames, size=size, most=None)
    size = SIZES[-1]
    for most in (LEAST_LINES, 1):
        shorter = _shortened(blocks, frames, size=size, most=most)
        if shorter is not None:
            return _draw(paper, shorter, frames, size=size, most=most)
    raise OutOfScope(
        "page", f"{len(blocks)} headings", "what one page holds", "size of the lettering"
    )


def _shortened(
    blocks: Sequence[Block], frames: Sequence[Frame], *, size: float, most: int
) -> Sequence[Block] | None:
    """The blocks with their longest lists cut until they fit; ``None`` when one row each does not."""
    left = list(blocks)
    while _place(left, frames, size=size, most=most) is None:
        index = max(range(len(left)), key=lambda n: len(left[n].rows))
        block = left[index]
        if len(block.rows) == 1:
            return None
        left[index] = replace(block, rows=block.rows[:-1], left_out=block.left_out + 1)
    return left


_Placed = list[tuple[_Piece, Frame, float]]


def _place(
    blocks: Sequence[Block], frames: Sequence[Frame], *, size: float, most: int | None
) -> _Placed | None:
    """Every piece with the frame and the height it stands at; ``None`` when there is no room."""
    placed: _Placed = []
    column, y = 0, frames[0].top
    for block in blocks:
        pieces = list(_pieces(block, frames[0].across, size, most))
        for number, piece in enumerate(pieces):
            need = piece.up + (pieces[1].up if number == 0 else 0.0)
            if y - need < frames[column].bottom:
                column += 1
                if column == len(frames):
                    return None
                y = frames[column].top
            if y - piece.up < frames[column].bottom:
                return None
            placed.append((piece, frames[column], y))
            y -= piece.up
        y -= 0.9
    return placed


def _pieces(block: Block, across: float, size: float, most: int | None) -> Iterator[_Piece]:
    pitch = size * POINT * LINE
    yield _Piece(block.heading, (), (), 1.5 * pitch)
    rows = list(block.rows)
    if block.left_out:
        rows.append(Row("", f"and {block.left_out} more, see the answer"))
    for row in rows:
        room = across * (1 - NAMED) - 1 if row.name else across - 1
        name = wrapped(row.name, size=size, room=across * NAMED - 1.5, most=most) if row.name else []  # fmt: skip
        says = wrapped(row.says, size=size, room=room, most=most)
        yield _Piece("", tuple(name), tuple(says), max(len(name), len(says)) * pitch + 0.35)


def _draw(
    paper: Paper, blocks: Sequence[Block], frames: Sequence[Frame], *, size: float, most: int | None
) -> tuple[Block, ...]:
    pitch = size * POINT * LINE
    for piece, frame, top in _place(blocks, frames, size=size, most=most) or ():
        if piece.heading:
            paper.pen(0.1, colour=GREY)
            paper.rectangle((frame.left, top - piece.up + 0.6), across=frame.across, up=piece.up - 0.6, fill=PALE)  # fmt: skip
            at = (frame.left + 1, top - 0.92 * pitch)
            paper.text(at, piece.heading, size=size, bold=True)
        for lines, left in ((piece.name, 0.6), (piece.says, frame.across * NAMED if piece.name else 0.6)):  # fmt: skip
            for number, line in enumerate(lines):
                y = top - (number + 0.82) * pitch
                paper.text((frame.left + left, y), line, size=size)
    return tuple(blocks)
