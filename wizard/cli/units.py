"""`trialfit units`: the catalogue of measured units."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from wizard.cli import show

KINDS = click.Choice(["engine", "gearbox", "flexplate", "flywheel", "clutch"])


@click.group(name="units")
def command() -> None:
    """The catalogue of measured units: add, list, show, remove."""


@command.command()
@click.argument("sheet", type=click.Path(path_type=Path))
@click.option("--by", default="", help="Who adds them.")
@click.pass_context
def add(ctx: click.Context, sheet: Path, by: str) -> None:
    """Add every unit of a sheet; a known name becomes its next revision."""
    from wizard.desk import units
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        for ref in units.add_from_file(store, sheet, by=by):
            click.echo(f"Added {ref.kind} “{ref.name}”, revision {ref.revision}.")


@command.command(name="list")
@click.option("--kind", type=KINDS, help="Only this kind.")
@click.option("--text", default="", help="Only names with these words.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_context
def list_(ctx: click.Context, kind: str | None, text: str, as_json: bool) -> None:
    """List the catalogue."""
    from wizard.desk import units
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        rows = units.rows(store, kind=kind, text=text)
    if as_json:
        click.echo(
            json.dumps([asdict(row) for row in rows], indent=1, ensure_ascii=False, default=str)
        )
    elif not rows:
        click.echo(
            "The catalogue is empty. Add a unit: trialfit units add SHEET — or see trialfit demo."
        )
    else:
        shown = [
            (row.kind, row.name, f"{row.revision}", row.rotation or "", row.made_by) for row in rows
        ]
        show.table(shown, ("kind", "name", "revision", "rotation", "by"))


@command.command(name="show")
@click.argument("name")
@click.option("--kind", type=KINDS, help="Needed when two kinds share the name.")
@click.option("--revision", type=int, help="An earlier revision.")
@click.pass_context
def show_(ctx: click.Context, name: str, kind: str | None, revision: int | None) -> None:
    """Show a unit as its sheet."""
    from wizard.desk import units
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        _, text = units.show(store, name, kind=kind, revision=revision)
    click.echo(text, nl=False)


@command.command()
@click.argument("name")
@click.option("--kind", type=KINDS, help="Needed when two kinds share the name.")
@click.pass_context
def remove(ctx: click.Context, name: str, kind: str | None) -> None:
    """Take a unit out of the catalogue; records that used it keep their own copy."""
    from wizard.desk import units
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        ref = units.remove(store, name, kind=kind)
    click.echo(f"Removed {ref.kind} “{ref.name}”.")
