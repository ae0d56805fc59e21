"""Papers and answers to take away."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from kb.model.record import Record
from wizard.desk import jobs


def papers(record: Record) -> bytes:
    """All papers of a record in one archive; the same record gives the same bytes."""
    return jobs.bundle(record)


def answer(document: Mapping[str, Any]) -> str:
    """The answer as another program reads it."""
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False)


def named(title: str, ending: str) -> str:
    """A file's name from a title, one every system can hold."""
    plain = re.sub(r"[^\w]+", "-", title.casefold()).strip("-")[:60] or "job"
    return f"{plain}{ending}"
