"""`trialfit store`: the store as a whole, backed up, put back, moved, another shop's taken in."""

from __future__ import annotations

from pathlib import Path

import click

from wizard.cli import show

FILE = click.Path(path_type=Path, dir_okay=False)
command = click.Group(
    name="store", help="The whole store: back it up, put it back, move it, take in another shop's."
)


@command.command()
@click.argument("file", type=FILE)
@click.pass_context
def backup(ctx: click.Context, file: Path) -> None:
    """Write everything that is kept into one archive FILE, while others go on working."""
    from wizard.desk import keeping
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        about = keeping.back_up(store, file)
    click.echo(
        f"{_held(about.rows('units'), about.rows('records'))} in {file}, read back and whole."
    )


@command.command()
@click.argument("file", type=FILE)
@click.pass_context
def restore(ctx: click.Context, file: Path) -> None:
    """Put an archive FILE into a new, empty store: trialfit --store NEW store restore FILE."""
    from wizard.desk import keeping
    from wizard.desk.place import default_url

    place = ctx.obj or default_url()
    about = keeping.put_back(place, file)
    click.echo(
        f"{_held(about.rows('units'), about.rows('records'))} put back, every job as it was kept."
    )


@command.command()
@click.argument("url")
@click.pass_context
def move(ctx: click.Context, url: str) -> None:
    """Copy everything to another place URL: a file, or a server's postgresql:// address."""
    from wizard.desk import keeping
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        about = keeping.move(store, url)
        click.echo(
            f"{_held(about.rows('units'), about.rows('records'))} copied; {store.place} stays as it is."
        )


@command.command(name="take-in")
@click.argument("file", type=FILE)
@click.option("--take", is_flag=True, help="Take it in; without it, it is only shown.")
@click.option(
    "--only", multiple=True, metavar="NAME", help="Only this unit or job; may be repeated."
)
@click.option("--by", default="", metavar="NAME", help="Who takes it in.")
@click.pass_context
def take_in(ctx: click.Context, file: Path, take: bool, only: tuple[str, ...], by: str) -> None:
    """Units and jobs of another shop's archive FILE, beside what is kept here."""
    from wizard.desk import keeping
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        if take:
            found = keeping.take_in(store, file, by=by, only=only)
        else:
            found = [one for one in keeping.offered(store, file) if not only or one.name in only]
    if found:
        show.table(
            [(one.what, one.name, one.stands, one.says) for one in found],
            ("what", "name", "here it is", "and"),
        )
    if take:
        click.echo(f"{len(found)} taken in; nothing that was kept has changed.")
    else:
        click.echo("Nothing is taken in yet. Take it in with --take.")


def _held(units: int, jobs: int) -> str:
    return f"{units} revisions of units and {jobs} issues of jobs"
