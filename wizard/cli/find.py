"""`trialfit find`: what the catalogue holds that is like something measured."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import click

from wizard.cli import show

command = click.Group(name="find", help="Find in the catalogue: which face some holes are.")


@command.command()
@click.option(
    "--holes", required=True, type=click.Path(path_type=Path), metavar="FILE",
    help="CSV of x,y with or without id: centres in any coordinates, any way up.",
)  # fmt: skip
@click.option("--units", type=click.Choice(["mm", "in"]), default="mm", show_default=True, help="Unit of bare figures.")  # fmt: skip
@click.option("--slack", type=float, default=1.0, show_default=True, help="How far two centres of one hole may lie apart, mm.")  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="As JSON, nothing else.")
@click.pass_context
def face(ctx: click.Context, holes: Path, units: str, slack: float, as_json: bool) -> None:
    """Which face of the catalogue the holes are: ranked, with what is missing or too many."""
    from kb.errors import InputError
    from wizard.desk import find
    from wizard.desk.place import open_store

    try:
        text = holes.read_text(encoding="utf-8-sig")
    except OSError:
        raise InputError("holes", str(holes), "no such file, or it cannot be read") from None
    except UnicodeDecodeError:
        raise InputError(
            "holes", str(holes), "it is not UTF-8 text; save it as CSV, UTF-8"
        ) from None
    with open_store(ctx.obj) as store:
        found = find.face(store, text, unit=units, slack=slack)
    if as_json:
        show.document({
            "format": 1, "units": "mm", "says": list(found.says), "alike": list(found.alike),
            "matches": [dataclasses.asdict(one) for one in found.matches],
            "holes": [{"id": id, "x": x.typed, "y": y.typed} for id, x, y in found.holes],
        })  # fmt: skip
        return
    for line in found.says:
        click.echo(line)
