"""How answers are printed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import click

from wizard.words import label

_RANK = {"fail": 0, "unknown": 1, "warn": 2, "pass": 3}
_COLOUR = {"fail": "red", "unknown": "magenta", "warn": "yellow", "pass": "green"}


def document(content: Mapping[str, Any]) -> None:
    """The document alone, as JSON."""
    click.echo(json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False))


def verdict(answer: Mapping[str, Any]) -> None:
    """Title and verdict, at most seven lines."""
    if answer["title"]:
        click.secho(answer["title"], bold=True)
    for line in answer["verdict_lines"]:
        click.echo(line)


def checks(answer: Mapping[str, Any], *, every: bool) -> None:
    """The checks, worst first; the passed ones only as a count unless all are asked for."""
    ordered = sorted(answer["checks"], key=lambda one: _RANK[one["status"]])
    shown = [one for one in ordered if every or one["status"] != "pass"]
    click.echo()
    for one in shown:
        mark = click.style(f"{one['status']:<8}", fg=_COLOUR[one["status"]])
        click.echo(f"{mark} {label(one['id'])} (by the {one['due']}): {one['says']}")
    passed = len(ordered) - len([one for one in ordered if one["status"] != "pass"])
    click.echo(
        f"{passed} of {len(ordered)} checks pass." + ("" if every else " --verbose shows all.")
    )


def parts(answer: Mapping[str, Any]) -> None:
    """What will be made."""
    for one in answer["parts"]:
        mass = f", {one['mass_kg']:.2f} kg" if one.get("mass_kg") else ""
        click.echo(f"Part: {one['name']}, {one['material']}{mass}, {len(one['holes'])} holes")


def remedies(answer: Mapping[str, Any]) -> None:
    """Ways out, with what each cures and costs."""
    for one in answer["remedies"]:
        cures = ", ".join(label(id) for id in one["cures"])
        click.echo(
            f"Way out: {one['says']} Cures {cures}; then it {_then(one['verdict'])}. Cost: {one['costs']}."
        )


def _then(word: str) -> str:
    return f"says “{word}”" if word in ("measure first",) else word


def assumed(answer: Mapping[str, Any], *, every: bool) -> None:
    """What the sheet left open."""
    rows = answer["assumed"]
    if not rows:
        return
    if not every:
        click.echo(f"{len(rows)} things were assumed; --verbose lists them.")
        return
    click.echo("Assumed:")
    for row in rows:
        click.echo(f"  {row['key']} = {row['value']} ({row['why']})")


def table(rows: Sequence[Sequence[str]], heads: Sequence[str]) -> None:
    """A plain table, as wide as its longest entries."""
    widths = [max(len(str(row[place])) for row in [heads, *rows]) for place in range(len(heads))]
    for row in [heads, *rows]:
        line = "  ".join(str(cell).ljust(width) for cell, width in zip(row, widths, strict=True))
        click.echo(line.rstrip())
