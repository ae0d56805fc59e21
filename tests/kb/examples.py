"""The sheets the tests read: those of people, the one with every key, and short ones."""

from __future__ import annotations

from pathlib import Path

HERE = Path(__file__).parent
SHEETS = sorted((HERE.parent / "data" / "sheets").glob("*.toml"))
EVERY_KEY = HERE / "every_key.toml"


def sheet(body: str, units: str = "in") -> str:
    """A sheet with its unit said and nothing else but the body."""
    return f'units = "{units}"\n{body}\n'
