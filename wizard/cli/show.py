"""How answers are printed: the verdict first, then what it rests on."""

from __future__ import annotations

import json
import re
import shutil
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

import click

from kb.quantity import both
from wizard.words import STYLES, label, style

WIDEST = 120  # columns; longer lines are hard to read
MOST_MEASURED = 3  # dimensions named as worth reading again; the answer holds them all
_ORDER = ("fail", "unknown", "warn", "pass")
_HARD = "\N{NO-BREAK SPACE}"
_FIGURE_AND_UNIT = re.compile(r"\d (?:mm|in|N·m|lbf·ft|kg|rpm|%)(?!\w)")
_COLOUR = {"fail": "red", "unknown": "magenta", "warn": "yellow", "pass": "green"}


def document(content: object) -> None:
    """A document or a list alone, as JSON."""
    click.echo(json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False, default=_as_text))


def _as_text(value: object) -> str:
    """A day, or a day and its time, as ISO 8601 writes it."""
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"no JSON for {type(value).__name__}")


def table(rows: Sequence[Sequence[str]], heads: Sequence[str]) -> None:
    """A plain table, as wide as its longest entries."""
    widths = [max(len(row[place]) for row in [heads, *rows]) for place in range(len(heads))]
    for row in [heads, *rows]:
        line = "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        click.echo(line.rstrip())


def job(answer: Mapping[str, Any], *, every: bool) -> None:
    """A whole answer for people.

    Args:
        answer: The answer document.
        every: List the checks that pass and all that was assumed, not only how many.
    """
    _verdict(answer)
    _ways_out(answer)
    _checks(answer, every=every)
    _parts(answer)
    _chances(answer)
    _left_open(answer, every=every)


def bench(says: Sequence[str], document: Mapping[str, Any]) -> None:
    """What a bench aid found, what it took for granted, what to heed."""
    for line in says:
        click.echo(_folded(line, indent=2))
    for one in document.get("assumed", ()):
        click.echo(_folded(f"Taken: {one['key']} {one['value']} ({one['why']}).", indent=2))
    if document["cautions"]:
        _head("Heed")
    for line in document["cautions"]:
        click.echo(_folded(f"  {line}", indent=4))


def _verdict(answer: Mapping[str, Any]) -> None:
    """Title, and the verdict in at most seven lines."""
    if answer["title"]:
        click.secho(answer["title"], bold=True)
    for line in answer["verdict_lines"]:
        click.echo(line)


def _ways_out(answer: Mapping[str, Any]) -> None:
    """Changes that were worked out anew, with what each cures and costs."""
    if answer["remedies"]:
        _head("Ways out")
    for one in answer["remedies"]:
        cures = ", ".join(label(id) for id in one["cures"])
        then = f"The verdict is then “{one['verdict']}”. Cost: {one['costs']}."
        click.echo(_folded(f"  {one['says']} Cures: {cures}. {then}", indent=4))


def _checks(answer: Mapping[str, Any], *, every: bool) -> None:
    """Status, stage each is due at, and what each says; worst first."""
    ordered = sorted(answer["checks"], key=lambda one: _ORDER.index(one["status"]))
    passed = sum(one["status"] == "pass" for one in ordered)
    hidden = "" if every or not passed else "; --verbose lists these too"
    counted = f"{passed} of {len(ordered)} pass" if ordered else "none could be run"
    _head(f"Checks: {counted}{hidden}")
    for one in ordered:
        if every or one["status"] != "pass":
            said = f"{label(one['id'])}: {one['says']}"
            row = _folded(f"  {one['status']:<9}{one['due']:<7}{said}", indent=18)
            # coloured after folding: colour takes no width
            click.echo(row[:2] + click.style(row[2:11], fg=_COLOUR[one["status"]]) + row[11:])


def _parts(answer: Mapping[str, Any]) -> None:
    """What will be made."""
    if answer["parts"]:
        _head("Parts")
    for one in answer["parts"]:
        said = [f"{one['quantity']} × {one['name']}" if one["quantity"] != 1 else one["name"]]
        said += [one["material"], *_sizes(one["size"], first=answer["shop_units"])]
        if one["holes"]:
            said.append(f"{len(one['holes'])} holes")
        if one["mass_kg"]:
            said.append(f"{one['mass_kg']:.2f} kg")
        click.echo(_folded("  " + ", ".join(said), indent=4))
    for name, row in answer.get("compared", {}).items():
        says = style(row, first=answer["shop_units"])
        click.echo(_folded(f"  made as {STYLES[name]}: {says}", indent=4))


def _sizes(size: Mapping[str, float], *, first: str) -> Iterator[str]:
    """The sizes that tell the stock to look for."""
    across = ("length", "height") if "height" in size else ("outside", "bore")
    along = ("thickness",) if "thickness" in size else ("length",)
    for name in (*along, *across):
        if name in size:
            yield f"{label(name)} {both(size[name], first=first)}"


def _chances(answer: Mapping[str, Any]) -> None:
    """The chances, and the readings that would change them most."""
    axial = answer.get("axial", {})
    named = [name for name in ("chance_any", "chance_these") if name in axial]
    if not named:
        return
    _head("Chances, by the ± of the readings")
    for name in named:
        click.echo(f"  {label(name)}: {_percent(axial[name])}")
    telling = [row for row in axial.get("measure_next", ()) if row["decides"] > 0]
    for row in telling[:MOST_MEASURED]:
        known = f"{_percent(row['chance_if_known'])} once it is known"
        click.echo(_folded(f"  read again: {label(row['dimension'])}; {known}", indent=4))


def _percent(chance: float) -> str:
    """A chance; a sampled one is never certain."""
    if chance >= 0.995:
        return "over 99 %"
    return "under 1 %" if chance < 0.005 else f"{100 * chance:.0f} %"


def _left_open(answer: Mapping[str, Any], *, every: bool) -> None:
    """What was not asked, and what the sheet left to the program."""
    absent, assumed = answer["not_asked"], answer["assumed"]
    if absent or assumed:
        _head("Left open")
    if absent:
        click.echo(_folded("  Not asked: " + ", ".join(label(key) for key in absent), indent=4))
    if not assumed:
        return
    things = "1 thing was" if len(assumed) == 1 else f"{len(assumed)} things were"
    click.echo(f"  {things} assumed" + (":" if every else "; --verbose lists them"))
    for row in assumed if every else ():
        click.echo(_folded(f"    {row['key']} = {row['value']} ({row['why']})", indent=6))


def _head(title: str) -> None:
    click.echo()
    click.secho(title, bold=True)


def _folded(text: str, *, indent: int) -> str:
    """A paragraph no wider than the terminal, its later lines indented; no figure leaves its unit."""
    width = min(shutil.get_terminal_size((100, 24)).columns, WIDEST)
    held = _FIGURE_AND_UNIT.sub(lambda found: found[0].replace(" ", _HARD), text)
    lines = textwrap.wrap(
        held, max(width, indent + 30), subsequent_indent=" " * indent,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return "\n".join(lines).replace(_HARD, " ")
