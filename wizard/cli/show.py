"""How answers are printed: the verdict first, then what it rests on."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

import click

from kb.quantity import both
from wizard.words import label

WIDEST = 120  # columns; longer lines are hard to read
_ORDER = ("fail", "unknown", "warn", "pass")
_COLOUR = {"fail": "red", "unknown": "magenta", "warn": "yellow", "pass": "green"}
_MOST_MEASURED = 3  # readings named; the answer holds them all


def document(content: object) -> None:
    """A document or a list alone, as JSON."""
    click.echo(
        json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False, default=_as_text)
    )


def _as_text(value: object) -> str:
    """A day, or a day and time, as ISO 8601 writes it."""
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"no JSON for {type(value).__name__}")


def job(answer: Mapping[str, Any], *, every: bool) -> None:
    """A whole answer for people: verdict, ways out, checks, parts, what was assumed."""
    verdict(answer)
    _ways_out(answer)
    _checks(answer, every=every)
    _parts(answer)
    _chances(answer)
    _open(answer, every=every)


def verdict(answer: Mapping[str, Any]) -> None:
    """Title and verdict, at most seven lines."""
    if answer["title"]:
        click.secho(answer["title"], bold=True)
    for line in answer["verdict_lines"]:
        click.echo(line)


def table(rows: Sequence[Sequence[str]], heads: Sequence[str]) -> None:
    """A plain table, as wide as its longest entries."""
    widths = [max(len(row[place]) for row in [heads, *rows]) for place in range(len(heads))]
    for row in [heads, *rows]:
        line = "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        click.echo(line.rstrip())


def _line(text: str, *, indent: int = 0) -> None:
    """One paragraph no wider than the terminal, its later lines indented."""
    width = min(shutil.get_terminal_size((100, 24)).columns, WIDEST)
    folded = textwrap.wrap(
        text, max(width, indent + 30), subsequent_indent=" " * indent,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    click.echo("\n".join(folded))


def _headed(title: str) -> None:
    click.echo()
    click.secho(title, bold=True)


def _ways_out(answer: Mapping[str, Any]) -> None:
    """Ways out that were worked out anew, with what each cures and costs."""
    if not answer["remedies"]:
        return
    _headed("Ways out")
    for one in answer["remedies"]:
        cures = ", ".join(label(id) for id in one["cures"])
        then = f"the verdict is then “{one['verdict']}”"
        _line(f"  {one['says']} Cures: {cures}; {then}. Cost: {one['costs']}.", indent=4)


def _checks(answer: Mapping[str, Any], *, every: bool) -> None:
    """The checks, worst first; the passed ones only as a count unless all are asked for."""
    ordered = sorted(answer["checks"], key=lambda one: _ORDER.index(one["status"]))
    shown = [one for one in ordered if every or one["status"] != "pass"]
    passed = sum(one["status"] == "pass" for one in ordered)
    tail = "" if every or not passed else "; --verbose lists them too"
    _headed(f"Checks: {passed} of {len(ordered)} pass{tail}")
    for one in shown:
        # coloured after folding, so that what is not seen does not count as width
        mark = f"{one['status']:<8}"
        text = _folded(f"{mark}{one['due']:<6}{label(one['id'])}: {one['says']}", indent=14)
        click.echo(click.style(text[:8], fg=_COLOUR[one["status"]]) + text[8:])
