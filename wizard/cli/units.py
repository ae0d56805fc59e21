"""`trialfit units`: the catalogue of measured units."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from wizard.cli import show

KINDS = click.Choice(["engine", "gearbox", "flexplate", "flywheel", "clutch"])


command = click.Group(
    name="units", help="The catalogue of measured units: add, list, show, remove."
)


@command.command()
@click.argument("sheet", type=click.Path(path_type=Path))
@click.option("--by", default="", metavar="NAME", help="Who adds them.")
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
        show.document([asdict(row) for row in rows])
    elif rows:
        shown = [
            (row.kind, row.name, str(row.revision), row.drive or "", row.rotation or "",
             row.made_on.date().isoformat(), row.made_by)
            for row in rows
        ]  # fmt: skip
        show.table(shown, ("kind", "name", "revision", "drive", "rotation", "saved", "by"))
    elif kind or text:
        click.echo("The catalogue has no unit like that. See all of it: trialfit units list")
    else:
        click.echo("The catalogue is empty. Add a unit: trialfit units add SHEET")


@command.command(name="show")
@click.argument("name")
@click.option("--kind", type=KINDS, help="Needed when two kinds share the name.")
@click.option("--revision", type=int, metavar="N", help="An earlier revision.")
@click.option("--sheet", "as_sheet", is_flag=True, help="As the sheet that would add it.")
@click.pass_context
def show_(
    ctx: click.Context, name: str, kind: str | None, revision: int | None, as_sheet: bool
) -> None:
    """Show a unit with every reading: how large, how measured, by whom, when."""
    from wizard.desk import portrait, units
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        unit, sheet = units.show(store, name, kind=kind, revision=revision)
    if as_sheet:
        click.echo(sheet, nl=False)
        return
    click.secho(f"{units.kind_of(unit)} “{unit.name}”", bold=True)
    for known, said in portrait.facts(unit):
        click.echo(f"  {known}: {said}")
    rows = [
        (one.label, one.figure, one.typed, one.how or one.source, one.by,
         one.on.isoformat() if one.on else "")
        for one in portrait.readings(unit, first=units.units_of(unit))
    ]  # fmt: skip
    if rows:
        click.echo()
        show.table(rows, ("dimension", "size", "as written", "how", "by", "on"))


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
    click.echo(f"Removed {ref.kind} “{ref.name}”; its {ref.revision} revisions stay readable.")
