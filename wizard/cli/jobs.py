"""`trialfit jobs`: kept jobs and their papers."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from wizard.cli import show


@click.group(name="jobs")
def command() -> None:
    """Kept jobs: list, show, papers again from the record."""


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
        click.echo(
            json.dumps([asdict(row) for row in rows], indent=1, ensure_ascii=False, default=str)
        )
    elif not rows:
        click.echo("No job is kept yet. Keep one: trialfit pair SHEET --keep")
    else:
        shown = [
            (f"{row.number}{row.issue}", row.made_on, row.state, row.verdict, row.title)
            for row in rows
        ]
        show.table(shown, ("job", "made", "state", "verdict", "title"))


@command.command(name="show")
@click.argument("number", type=int)
@click.option("--issue", help="An earlier issue letter.")
@click.option("--json", "as_json", is_flag=True, help="The kept document as JSON.")
@click.option("--verbose", is_flag=True, help="List every check and everything assumed.")
@click.pass_context
def show_(ctx: click.Context, number: int, issue: str | None, as_json: bool, verbose: bool) -> None:
    """Show a kept job."""
    from wizard.desk import jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        record = jobs.show(store, number, issue)
    if as_json:
        show.document(record.content)
        return
    click.echo(
        f"Job {record.number}{record.issue}, {record.state}, {record.made_on}, {record.made_by}"
    )
    show.verdict(record.answer)
    show.remedies(record.answer)
    show.checks(record.answer, every=verbose)
    show.parts(record.answer)
    show.assumed(record.answer, every=verbose)


@command.command()
@click.argument("number", type=int)
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder to write to.")
@click.pass_context
def papers(ctx: click.Context, number: int, out: Path) -> None:
    """Make a kept job's papers again, from its record."""
    from wizard.desk import jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        made = jobs.papers(store, number, out)
    for path in made:
        click.echo(path)
