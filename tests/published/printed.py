"""Reads the reference values kept beside the tests; each row carries its cite and how it was come by."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parent / "data"


def printed(name: str) -> list[dict[str, str]]:
    """The rows of ``data/NAME.csv``."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))
