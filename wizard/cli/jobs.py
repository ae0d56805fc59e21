"""`trialfit jobs`: kept jobs and their papers."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from wizard.cli import show

command = click.Group(name="jobs", help="Kept jobs: list, show, papers again from the record.")


@command.command(name="list")
@click.option("--text", default="", help="Only jobs with these words.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_context
def list_(ctx: click.Context, text: str, as_json: bool) -> None:
    """List the kept jobs, newest first."""
    from wizard.desk import jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        rows = jobs.rows(store, text)
    if as_json:
        show.document([asdict(row) for row in rows])
    elif rows:
        shown = [
            (f"{row.number}{row.issue}", row.made_on, row.state, row.verdict, row.title)
            for row in rows
        ]
        show.table(shown, ("job", "made", "state", "verdict", "title"))
    elif text:
        click.echo("No kept job is like that. See all of them: trialfit jobs list")
    else:
        click.echo("No job is kept yet. Keep one: trialfit pair SHEET --keep")


@command.command(name="show")
@click.argument("number", type=int)
@click.option("--issue", metavar="LETTER", help="An earlier issue.")
@click.option("--json", "as_json", is_flag=True, help="The kept document as JSON.")
@click.option("--verbose", is_flag=True, help="List every check and everything assumed.")
@click.pass_context
def show_(ctx: click.Context, number: int, issue: str | None, as_json: bool, verbose: bool) -> None:
    """Show a kept job as it was agreed."""
    from wizard.desk import jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        record = jobs.show(store, number, issue)
    if as_json:
        show.document(record.content)
        return
    who = f", by {record.made_by}" if record.made_by else ""
    click.echo(f"Job {record.number}{record.issue}, {record.state}, {record.made_on}{who}")
    show.job(record.answer, every=verbose)


@command.command()
@click.argument("number", type=int)
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder to write to.")
@click.option("--issue", metavar="LETTER", help="An earlier issue.")
@click.pass_context
def papers(ctx: click.Context, number: int, out: Path, issue: str | None) -> None:
    """Make a kept job's papers again, from its record."""
    from wizard.desk import jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        made = jobs.papers(store, number, out, issue=issue)
    for path in made:
        click.echo(path)
