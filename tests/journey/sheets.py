"""Sheets that are known to end at each verdict, made from the whole sheets of tests/data.

Why they end so is the criteria's own: an engine and a gearbox that turn opposite ways do not go
whatever is made between them, and a dimension that is only a guess is to be measured first
(both common practice, no source).
"""

from __future__ import annotations

from pathlib import Path

from tests.journey.command import SHEETS

GOES = SHEETS / "automatic-inch.toml"
WITH_WORK = SHEETS / "manual-metric.toml"


def edited(name: str, *changes: tuple[str, str]) -> str:
    """The text of a whole sheet with some of its text changed, each exactly once."""
    text = (SHEETS / name).read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def measure_first() -> str:
    """The seat depth, which carries the gap, is only a guess."""
    guess = '{ value = "1.125", from = "guess" }'
    return edited(GOES.name, ('seat_depth = "1.125 ± 0.015"', f"seat_depth = {guess}"))


def does_not_go() -> str:
    """The gearbox was built for an engine that turns the other way."""
    return edited(
        GOES.name, ('name = "Oskett 4A"\nrotation = "ccw"', 'name = "Oskett 4A"\nrotation = "cw"')
    )


def written(folder: Path, text: str, name: str = "job.toml") -> Path:
    """The sheet as a file."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path
