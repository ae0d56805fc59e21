"""Blocks of rows set in columns on one page; what finds no room is counted, never dropped unsaid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kb.errors import OutOfScope
from wizard.papers.frames import Frame
from wizard.papers.paper import GREY, PALE, POINT, Paper, wrapped

SIZES = (7.6, 7.2, 6.8, 6.4, 6.0, 5.7)  # lettering, largest first [pt]
LINE = 1.26  # from line to line, of the lettering's size
NAMED = 0.36  # of the width, for what a row is about


@dataclass(frozen=True)
class Row:
    """One statement, with what it is about; without a name it runs over the whole width."""

    name: str
    says: str


@dataclass(frozen=True)
class Block:
    """Statements under a heading; ``left_out`` counts those that found no room.

    ``spare`` blocks give up lines and rows before the others do.
    """

    heading: str
    rows: tuple[Row, ...]
    spare: bool = False
    left_out: int = 0

    @classmethod
    def of(cls, heading: str, rows: Sequence[tuple[str, str]], *, spare: bool = False) -> Block:
        """A block of (name, what it says) pairs."""
        return cls(heading, tuple(Row(name, says) for name, says in rows), spare)


@dataclass(frozen=True)
class _Piece:
    """A heading, or one row, set in lines."""

    heading: str
    name: tuple[str, ...]
    says: tuple[str, ...]
    up: float


@dataclass(frozen=True)
class _Setting:
    """Size of the lettering [pt], and lines after which a row is cut with …; ``None`` for never."""

    size: float
    most: int | None = None
    most_spare: int | None = None

    def lines(self, block: Block) -> int | None:
        """The most lines a row of the block may take."""
        return self.most_spare if block.spare else self.most


LEAST = SIZES[-1]
# tried in this order, before any row is left out
_SETTINGS = (
    *(_Setting(size) for size in SIZES),
    *(_Setting(LEAST, None, lines) for lines in (8, 6, 4, 3)),
    *(_Setting(LEAST, lines, 3) for lines in (9, 7, 5)),
)
_LAST = (_Setting(LEAST, 5, 2), _Setting(LEAST, 2, 1), _Setting(LEAST, 1, 1))


def flow(paper: Paper, blocks: Sequence[Block], frames: Sequence[Frame]) -> tuple[Block, ...]:
    """Set the blocks in the frames, one after the other.

    The lettering is made smaller first; then long rows are cut with …; then the longest list
    loses its last row, again and again, and says how many went.

    Returns:
        The blocks as they were set.
    Raises:
        OutOfScope: more headings than one page holds.
    """
    blocks = [block for block in blocks if block.rows]
    for setting in _SETTINGS:
        if _place(blocks, frames, setting) is not None:
            return _draw(paper, blocks, frames, setting)
    for setting in _LAST:
        shorter = _shortened(blocks, frames, setting)
        if shorter is not None:
            return _draw(paper, shorter, frames, setting)
    raise OutOfScope(
        "page", f"{len(blocks)} headings", "what one page holds", "size of the lettering"
    )


def _shortened(
    blocks: Sequence[Block], frames: Sequence[Frame], setting: _Setting
) -> Sequence[Block] | None:
    """The blocks with their longest lists cut until they fit; ``None`` when one row each does not."""
    left = list(blocks)
    while _place(left, frames, setting) is None:
        index = max(range(len(left)), key=lambda n: _can_give(left[n]))
        block = left[index]
        if len(block.rows) == 1:
            return None
        left[index] = replace(block, rows=block.rows[:-1], left_out=block.left_out + 1)
    return left


def _can_give(block: Block) -> tuple[bool, int]:
    """Spare blocks first, down to two rows; then whichever is longest."""
    return block.spare and len(block.rows) > 2, len(block.rows)


_Placed = list[tuple[_Piece, Frame, float]]


def _place(blocks: Sequence[Block], frames: Sequence[Frame], setting: _Setting) -> _Placed | None:
    """Every piece with the frame and the height it stands at; ``None`` when there is no room."""
    placed: _Placed = []
    column, y = 0, frames[0].top
    for block in blocks:
        pieces = list(_pieces(block, frames[0].across, setting))
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


def _pieces(block: Block, across: float, setting: _Setting) -> Iterator[_Piece]:
    size, most = setting.size, setting.lines(block)
    pitch = size * POINT * LINE
    yield _Piece(block.heading, (), (), 1.5 * pitch)
    rows = list(block.rows)
    if block.left_out:
        rows.append(Row("", f"and {block.left_out} more, see the answer"))
    for row in rows:
        room = across * (1 - NAMED) - 1 if row.name else across - 1
        name = wrapped(row.name, size=size, room=across * NAMED - 1.5, most=most) if row.name else ()  # fmt: skip
        says = wrapped(row.says, size=size, room=room, most=most)
        yield _Piece("", name, says, max(len(name), len(says)) * pitch + 0.35)


def _draw(
    paper: Paper, blocks: Sequence[Block], frames: Sequence[Frame], setting: _Setting
) -> tuple[Block, ...]:
    size = setting.size
    pitch = size * POINT * LINE
    for piece, frame, top in _place(blocks, frames, setting) or ():
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
