"""Papers and answers to take away."""

from __future__ import annotations

import io
import json
import re
import tempfile
import zipfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from kb.model.record import Record
from wizard.desk import jobs


def papers(record: Record) -> bytes:
    """All papers of a record in one archive; the same record gives the same bytes."""
    day = date.fromisoformat(record.made_on)
    packed = io.BytesIO()
    with tempfile.TemporaryDirectory() as folder:
        made = jobs.papers_of(record, Path(folder))
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
            for path in made:
                name = path.relative_to(folder).as_posix()
                entry = zipfile.ZipInfo(name, date_time=(day.year, day.month, day.day, 0, 0, 0))
                entry.compress_type = zipfile.ZIP_DEFLATED
                archive.writestr(entry, path.read_bytes())
    return packed.getvalue()


def answer(document: Mapping[str, Any]) -> str:
    """The answer as another program reads it."""
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)


def named(title: str, ending: str) -> str:
    """A file's name from a title, one every system can hold."""
    plain = re.sub(r"[^\w]+", "-", title.casefold()).strip("-")[:60] or "job"
    return f"{plain}{ending}"
