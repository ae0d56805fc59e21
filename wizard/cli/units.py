"""`trialfit units`: the catalogue of measured units."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from wizard.cli import show

KINDS = click.Choice(["engine", "gearbox", "flexplate", "flywheel", "clutch"])


command = click.Group(
    name="units", help="The catalogue of measured units: add, list, show, remove, import, export."
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
    for two in portrait.several(unit, first=units.units_of(unit)):
        click.echo(two.says)


@command.command()
@click.argument("name")
@click.argument("key")
@click.argument("reading", type=int)
@click.option("--kind", type=KINDS, help="Needed when two kinds share the name.")
@click.option("--by", default="", metavar="NAME", help="Who chooses.")
@click.pass_context
def choose(
    ctx: click.Context, name: str, key: str, reading: int, kind: str | None, by: str
) -> None:
    """Take one READING of a dimension by hand (1, 2 …); 0 combines them all again."""
    from wizard.desk import portrait, units
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        ref = units.choose(store, name, key, reading, kind=kind, by=by)
        unit, _ = units.show(store, ref.name, kind=ref.kind)
    for one in portrait.several(unit, first=units.units_of(unit)):
        click.echo(one.says)
    click.echo(f"Kept as revision {ref.revision}.")


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


@command.command(name="import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--units", "unit", type=click.Choice(["mm", "in"]), help="Unit, where the file does not say."
)
@click.option(
    "--layer",
    "layers",
    multiple=True,
    metavar="NAME",
    help="Layer of a drawing to take; may be repeated.",
)
@click.option(
    "--axis",
    default="as given",
    show_default=True,
    metavar="WHERE",
    help="Shaft axis: largest, a hole's mark, two marks as D1+D2, or X,Y.",
)
@click.option("--thread", default="", help="Thread of holes that name none, if they are tapped.")
@click.option(
    "--as",
    "name",
    default="",
    metavar="NAME",
    help="Keep it as this unit; without it nothing is kept.",
)
@click.option(
    "--kind",
    type=click.Choice(["engine", "gearbox"]),
    default="engine",
    show_default=True,
    help="What the unit is.",
)
@click.option("--by", default="", metavar="NAME", help="Who keeps it.")
@click.pass_context
def import_(
    ctx: click.Context, file: Path, unit: str | None, layers: tuple[str, ...], axis: str,
    thread: str, name: str, kind: str, by: str,
) -> None:  # fmt: skip
    """Holes of a CSV, XLSX or DXF file: shown first, kept as a face only with --as NAME."""
    from wizard.desk import patterns
    from wizard.desk.place import open_store

    found = patterns.propose(file, unit=unit or "", layers=layers, axis=axis, thread=thread)
    rows = [(one.id, one.x, one.y, one.hole, one.thread, one.depth) for one in found.rows]
    show.table(rows, ("mark", f"x [{found.unit}]", f"y [{found.unit}]", "hole", "thread", "depth"))
    click.echo(f"{len(rows)} holes; axis at {found.axis[0]:g}, {found.axis[1]:g} of the file.")
    if found.layers:
        click.echo("Layers with circles: " + ", ".join(found.layers) + ".")
    for note in found.notes:
        click.echo(f"{note[:1].upper()}{note[1:]}.")
    if not name:
        click.echo("Nothing is kept yet. Keep it with --as NAME --kind engine or gearbox.")
        return
    with open_store(ctx.obj) as store:
        for ref in patterns.confirm(store, found, name=name, side=kind, by=by):
            click.echo(f"Kept as {ref.kind} “{ref.name}”, revision {ref.revision}.")


@command.command()
@click.argument("name")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--kind", type=KINDS, help="Needed when two kinds share the name.")
@click.pass_context
def export(ctx: click.Context, name: str, file: Path, kind: str | None) -> None:
    """Write the holes of a unit's face as CSV, XLSX or DXF."""
    from wizard.desk import patterns
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        count = patterns.export(store, name, file, kind=kind)
    click.echo(f"{count} holes in {file}.")
