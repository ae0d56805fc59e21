"""The dossier: every sheet of a record bound into one PDF, with contents that lead to each."""

from __future__ import annotations

import io
from collections.abc import Sequence

from pypdf import PdfReader, PdfWriter
from pypdf.annotations import Link
from pypdf.generic import Fit

from kb.model.record import Record
from wizard.papers.bench_sheet import EDGE, BenchSheet
from wizard.papers.document import numbered
from wizard.papers.paper import POINT, printable

LINE = 7.0  # mm between the lines of the contents
ROOM = 30  # lines of contents on its page


def dossier(record: Record, sheets: Sequence[tuple[str, bytes]]) -> bytes:
    """Bind sheets into one PDF.

    Args:
        record: The record they were made from.
        sheets: Title and bytes of each, in their order; at most thirty.
    """
    bound = PdfWriter()
    starts, page = [], 1
    for title, body in sheets[:ROOM]:
        starts.append((title, page, len(PdfReader(io.BytesIO(body)).pages)))
        page += starts[-1][2]
    contents, places = _contents(record, starts)
    for body in (contents, *(body for _, body in sheets[:ROOM])):
        for one in PdfReader(io.BytesIO(body)).pages:
            bound.add_page(one)
    for (title, first, _), box in zip(starts, places, strict=True):
        bound.add_annotation(0, Link(rect=box, target_page_index=first, fit=Fit.fit()))
        bound.add_outline_item(title=title, page_number=first)
    bound.add_metadata({"/Title": printable(f"{numbered(record)}: {record.title}"), "/Creator": "trialfit", "/Producer": "trialfit"})  # fmt: skip
    out = io.BytesIO()
    bound.write(out)
    return out.getvalue()


def _contents(
    record: Record, starts: Sequence[tuple[str, int, int]]
) -> tuple[bytes, list[tuple[float, float, float, float]]]:
    """The page of contents, and where each of its lines stands on it [pt]."""
    sheet = BenchSheet(
        record, "Dossier",
        lead="Everything that was made from this record, in one piece. Touch or click a line to go to its sheet.",
    )  # fmt: skip
    paper, places = sheet.paper, []
    y = paper.height - 40
    for title, first, pages in starts:
        paper.text((EDGE, y), printable(title), size=9)
        count = f"{pages} page{'s' if pages > 1 else ''}, from {first + 1}"
        paper.text((paper.width - EDGE, y), count, size=9, anchor="right")
        paper.pen(0.1)
        paper.line((EDGE, y - 2), (paper.width - EDGE, y - 2))
        places.append(
            (EDGE / POINT, (y - 2) / POINT, (paper.width - EDGE) / POINT, (y + 4) / POINT)
        )
        y -= LINE
    return paper.finish(), places
