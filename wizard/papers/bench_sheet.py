"""A sheet for the bench: a heading that says which job, tables with room to write in, page after page."""

from __future__ import annotations

import base64
from collections.abc import Sequence

from kb.model.record import Record
from wizard.papers.document import Document, numbered
from wizard.papers.paper import GREY, PALE, PORTRAIT, Paper, Spot, fitted, wrapped
from wizard.papers.titleblock import pair_of_units

EDGE, FOOT = 12.0, 14.0
SIZE, LINE, PAD = 7.6, 3.5, 1.3  # letters [pt], line and room round a cell [mm]
WRITE = 7.5  # mm: least height of a row that is written in


class BenchSheet:
    """One sheet of a record, set from the top down; A4, or ANSI A when the shop works in inches.

    Args:
        record: The record. heading: What the sheet is.
        lead: What it is for and how it is used, in a sentence or two.
    """

    def __init__(self, record: Record, heading: str, *, lead: str) -> None:
        self.doc = Document(record.answer)
        self.paper = Paper(
            PORTRAIT[self.doc.first], title=f"{heading}, {record.title}", by=record.made_by
        )
        self._record, self._heading = record, heading
        self.room = self.paper.width - 2 * EDGE
        self._y = 0.0
        self._top()
        self.paragraph(lead)

    def _top(self) -> None:
        """The heading of a page: what it is, which job, which page."""
        paper, right, top = self.paper, self.paper.width - EDGE, self.paper.height - EDGE
        paper.text((EDGE, top - 4), self._heading.upper(), size=11, bold=True)
        says = f"{numbered(self._record)}, page {paper.page}"
        paper.text((right, top - 4), fitted(says, size=8, room=70), size=8, anchor="right")
        title = fitted(f"{self._record.title}: {pair_of_units(self.doc)}", size=8, room=self.room)
        paper.text((EDGE, top - 9), title, size=8)
        paper.pen(0.3)
        paper.line((EDGE, top - 11), (right, top - 11))
        self._letterhead(right, top)
        made = f"{self._record.made_on}, {self._record.made_by}; made from record {self._record.digest[:16]}"
        paper.text((EDGE, EDGE - 4), fitted(made, size=6, room=self.room), size=6, colour=GREY)

    def _letterhead(self, right: float, top: float) -> None:
        """The shop's own name, address and picture, on the first page where it has any."""
        shop = (self._record.content.get("making") or {}).get("shop") or {}
        self._y = top - 15
        lines = [line for line in (shop.get("name"), *(shop.get("address") or ())) if line]
        logo = base64.b64decode(shop.get("logo") or "")
        if self.paper.page > 1 or not (lines or logo):
            return
        if logo:
            self.paper.picture((right, top - 13), logo, up=13)
        for number, line in enumerate(lines[:4]):
            says = fitted(line, size=7.5, room=self.room / 2, bold=not number)
            self.paper.text((EDGE, top - 15 - 3.4 * number), says, size=7.5, bold=not number)
        self._y = top - 18 - max(3.4 * min(len(lines), 4), 13 if logo else 0)

    def _need(self, up: float) -> None:
        """Go on to a new page where so much does not fit any more."""
        if self._y - up < EDGE + FOOT / 2:
            self.paper.next_page()
            self._top()

    def take(self, up: float) -> Spot:
        """Take room for something drawn by hand; returns its upper left corner."""
        self._need(up)
        corner = EDGE, self._y
        self._y -= up
        return corner

    def section(self, text: str) -> None:
        """A heading inside the sheet, kept with what follows."""
        self._need(18)
        self._y -= 2.5
        self.paper.text(
            (EDGE, self._y - 3), fitted(text, size=9, room=self.room, bold=True), size=9, bold=True
        )
        self._y -= 6

    def paragraph(self, text: str) -> None:
        """A sentence or two over the whole width."""
        lines = wrapped(text, size=SIZE, room=self.room)
        for line in lines:
            self._need(LINE)
            self.paper.text((EDGE, self._y - 2.6), line, size=SIZE)
            self._y -= LINE
        self._y -= 1.5

    def table(
        self,
        heads: Sequence[str],
        rows: Sequence[Sequence[str]],
        *,
        shares: Sequence[float],
        write: Sequence[int] = (),
    ) -> None:
        """A ruled table; the columns of ``write`` are left empty for the pen.

        Args:
            heads: Its columns. rows: Their texts. shares: Widths against each other.
            write: Places of columns to be written in: their rows are high enough for it.
        """
        widths = [self.room * share / sum(shares) for share in shares]
        tall = WRITE if write else 0.0
        self._need(2 * max(tall, 2 * LINE + PAD))  # the heads never stand alone at a page's end
        self._row(heads, widths, bold=True)
        for row in rows:
            if self._row(row, widths, least=tall, try_only=True):
                self._row(heads, widths, bold=True)
            self._row(row, widths, least=tall)
        self._y -= 2

    def _row(
        self,
        cells: Sequence[str],
        widths: Sequence[float],
        *,
        bold: bool = False,
        least: float = 0.0,
        try_only: bool = False,
    ) -> bool:
        """One row; with ``try_only`` only whether it begins a new page."""
        set_ = [
            wrapped(cell, size=SIZE, room=across - 2 * PAD, bold=bold)
            for cell, across in zip(cells, widths, strict=True)
        ]
        up = max(least, max(len(lines) for lines in set_) * LINE + PAD)
        if try_only:
            before = self.paper.page
            self._need(up)
            return self.paper.page > before
        self._need(up)
        left, paper = EDGE, self.paper
        paper.pen(0.15, colour=GREY)
        for lines, across in zip(set_, widths, strict=True):
            paper.rectangle((left, self._y - up), across=across, up=up, fill=PALE if bold else None)
            for number, line in enumerate(lines):
                paper.text((left + PAD, self._y - 2.9 - LINE * number), line, size=SIZE, bold=bold)
            left += across
        self._y -= up
        return False

    def boxes(self, says: Sequence[str]) -> None:
        """Sentences each with a box to tick."""
        for text in says:
            lines = wrapped(text, size=SIZE, room=self.room - 7)
            up = max(5.0, len(lines) * LINE + 1)
            self._need(up)
            self.paper.pen(0.25)
            self.paper.rectangle((EDGE, self._y - 4), across=3.4, up=3.4)
            for number, line in enumerate(lines):
                self.paper.text((EDGE + 6, self._y - 3.2 - LINE * number), line, size=SIZE)
            self._y -= up
        self._y -= 1.5

    def cautions(self) -> None:
        """The cautions of the job, where somebody could be hurt."""
        says = self.doc.texts("cautions")
        if says:
            self.section("Heed")
            for text in says:
                self.paragraph(f"– {text}")

    def signature(self, says: str) -> None:
        """A last line to be answered and signed."""
        self._need(14)
        self._y -= 3
        self.paper.text(
            (EDGE, self._y - 4),
            fitted(says, size=SIZE, room=self.room, bold=True),
            size=SIZE,
            bold=True,
        )
        self.paper.pen(0.2)
        self.paper.line((EDGE, self._y - 10), (EDGE + self.room, self._y - 10))
        self._y -= 14
