"""`trialfit jobs`: kept jobs and their papers."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from wizard.cli import show
from wizard.cli.options import AS_JSON, BY, UNIT

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
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    help="Folder to write to, or one archive: NAME.zip.",
)
@click.option("--issue", metavar="LETTER", help="An earlier issue.")
@click.pass_context
def papers(ctx: click.Context, number: int, out: Path, issue: str | None) -> None:
    """Make a kept job's papers again, from its record."""
    from wizard.desk import jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        if out.suffix.lower() == ".zip":
            jobs.write_bundle(jobs.show(store, number, issue), out)
            made = [out]
        else:
            made = jobs.papers(store, number, out, issue=issue)
    for path in made:
        click.echo(path)


# ── after it was kept ───────────────────────────────────────────────────────


@command.command()
@click.argument("number", type=int)
@click.argument("state")
@BY
@click.pass_context
def advance(ctx: click.Context, number: int, state: str, by: str) -> None:
    """Move a job on: agreed, made, fitted, closed. Signed and dated."""
    from wizard.desk import afterwards
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        record = afterwards.advance(store, number, state, by=by)
    click.echo(f"Job {record.number}{record.issue} is {record.state}.")


@command.command(name="as-built")
@click.argument("number", type=int)
@click.argument("sheet", type=click.Path(path_type=Path), required=False)
@click.option(
    "--reading",
    "readings",
    multiple=True,
    metavar="POINT=FIGURE",
    help="A point and what was measured: P1=19.06; P10=go.",
)
@UNIT
@BY
@AS_JSON
@click.pass_context
def as_built(
    ctx: click.Context, number: int, sheet: Path | None, readings: tuple[str, ...], unit: str, by: str, as_json: bool
) -> None:  # fmt: skip
    """Finished parts against their limits; readings from a filled-in inspection SHEET (XLSX) or one by one."""
    from kb.errors import InputError
    from wizard.desk import afterwards, jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        given = {}
        for one in readings:
            mark, equals, figure = one.partition("=")
            if not equals:
                raise InputError("reading", one, "write a point and its figure, such as P1=19.06")
            given[mark.strip()] = figure.strip()
        if sheet is not None:
            found, hand = afterwards.from_workbook(jobs.show(store, number), _bytes(sheet))
            given, by = found | given, by or hand
        rows = afterwards.build(store, number, given, unit=unit, by=by)
    if as_json:
        show.document({"says": afterwards.verdict(rows), "points": [
            {**one.point, "measured": one.value, "typed": one.reading, "met": one.met, "by": one.by} for one in rows]})  # fmt: skip
        return
    marks = {True: "met", False: "MISSED", None: ""}
    show.table(
        [(one.point["point"], one.point["part"], one.point["what"], one.reading, marks[one.met]) for one in rows],
        ("point", "part", "what", "measured", ""),
    )  # fmt: skip
    click.echo(afterwards.verdict(rows))


def _bytes(path: Path) -> bytes:
    from kb.errors import InputError

    try:
        return path.read_bytes()
    except OSError:
        raise InputError("file", str(path), "no such file, or it cannot be read") from None


@command.command()
@click.argument("number", type=int)
@click.argument("text")
@click.option("--change", is_flag=True, help="It was changed at fitting.")
@BY
@click.pass_context
def note(ctx: click.Context, number: int, text: str, change: bool, by: str) -> None:
    """Write a note to a job: the outcome, what was changed at fitting."""
    from wizard.desk import afterwards
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        afterwards.note(store, number, text, by=by, change=change)
    click.echo(f"Written to job {number}.")


@command.command()
@click.argument("number", type=int)
@click.argument("on")
@click.option("--hours", type=float, help="Hours that went into it.")
@click.option("--cost", type=float, help="Money that went into it.")
@BY
@click.pass_context
def spent(
    ctx: click.Context, number: int, on: str, hours: float | None, cost: float | None, by: str
) -> None:
    """Hours or money that really went into a job, and into what."""
    from wizard.desk import afterwards
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        afterwards.spent(store, number, on=on, hours=hours, cost=cost, by=by)
    click.echo(f"Written to job {number}.")


@command.command()
@click.argument("number", type=int)
@click.argument("file", type=click.Path(path_type=Path))
@BY
@click.pass_context
def attach(ctx: click.Context, number: int, file: Path, by: str) -> None:
    """Keep a photo or a file with a job, under its SHA-256 beside the store."""
    from wizard.desk import afterwards
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        digest = afterwards.attach(store, number, file.name, _bytes(file), by=by)
    click.echo(f"Kept with job {number}: {digest}")


@command.command()
@click.argument("number", type=int)
@click.option("--issue", metavar="LETTER", help="An earlier issue.")
@click.pass_context
def history(ctx: click.Context, number: int, issue: str | None) -> None:
    """Everything written to a job since it was kept."""
    from wizard.desk import afterwards
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        rows = afterwards.history(store, number, issue)
    if not rows:
        click.echo("Nothing has been written to it yet.")
        return
    shown = [(f"{one.on:%Y-%m-%d %H:%M}", one.kind, one.key[:16], one.text, "" if one.figure is None else f"{one.figure:g}", one.by) for one in rows]  # fmt: skip
    show.table(shown, ("when", "what", "of", "written", "figure", "by"))


@command.command(name="next-cut")
@click.argument("number", type=int)
@AS_JSON
@click.pass_context
def next_cut_(ctx: click.Context, number: int, as_json: bool) -> None:
    """What to cut next and to what, from the parts measured so far."""
    from wizard.desk import next_cut
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        found = next_cut.next_cut(store, number)
    if as_json:
        show.document(asdict(found))
    else:
        click.echo(found.says)


@command.command()
@click.argument("number", type=int)
@click.argument("before")
@click.argument("after")
@AS_JSON
@click.pass_context
def differences(ctx: click.Context, number: int, before: str, after: str, as_json: bool) -> None:
    """What changed from one issue of a job to another."""
    from wizard.desk import afterwards, jobs
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        rows = afterwards.differences(
            jobs.show(store, number, before), jobs.show(store, number, after)
        )
    _told(rows, as_json=as_json)


@command.command()
@click.argument("number", type=int)
@AS_JSON
@click.pass_context
def outturn(ctx: click.Context, number: int, as_json: bool) -> None:
    """A job's quote, heading by heading, beside what was spent on it."""
    from wizard.desk import shop
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        rows = shop.outturn(store, number)
    if as_json:
        show.document([asdict(one) for one in rows])
        return
    cells = [
        (one.heading, *(_figure(value) for value in (one.quoted_hours, one.spent_hours, one.quoted_cost, one.spent_cost)))
        for one in rows
    ]  # fmt: skip
    show.table(cells, ("what", "hours quoted", "hours spent", "cost quoted", "cost spent"))


def _figure(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


@command.command()
@click.argument("number", type=int)
@BY
@AS_JSON
@click.pass_context
def repeat(ctx: click.Context, number: int, by: str, as_json: bool) -> None:
    """Do a kept job again in one step: worked out anew, kept as a job of its own."""
    from wizard.desk import afterwards
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        record, rows = afterwards.repeat(store, number, by=by)
    if not as_json:
        click.echo(f"Kept as job {record.number}{record.issue}.")
    _told(rows, as_json=as_json)


def _told(rows: object, *, as_json: bool) -> None:
    assert isinstance(rows, list)
    if as_json:
        show.document([asdict(one) for one in rows])
    elif rows:
        show.table([(one.what, one.before, one.after) for one in rows], ("what", "before", "after"))
    else:
        click.echo("Nothing differs.")
