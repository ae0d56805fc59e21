"""`trialfit pair`: one job from its sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli import show

if TYPE_CHECKING:
    from wizard.desk.place import Store

EXAMPLE = """A sheet is a text file such as

  title = "Launch repower"
  units = "in"
  [engine.drive]
  standoff = "0.750 ± 0.005"
  [gearbox.converter]
  seat_depth = "1.125 ± 0.015"
  gap = [0.125, 0.188]
  [flexplate]
  offset = "5/16"

Give its name: trialfit pair job.toml — or see a whole invented job: trialfit demo"""


@click.command(name="pair")
@click.argument("sheet", required=False, type=click.Path(path_type=Path))
@click.option(
    "--json", "as_json", is_flag=True, help="Print the whole answer as JSON, nothing else."
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write the papers to.")
@click.option("--keep", is_flag=True, help="Keep the job as a record that never changes.")
@click.option("--by", default="", help="Who keeps it.")
@click.option("--verbose", is_flag=True, help="List every check and everything assumed.")
@click.pass_context
def command(
    ctx: click.Context, sheet: Path | None, as_json: bool, out: Path | None, keep: bool, by: str,
    verbose: bool,
) -> None:  # fmt: skip
    """Work out one job from its sheet: verdict, adapter, what to measure.

    Exit status: 0 it goes, or goes with work; 3 measure first; 4 does not go; 2 bad input.
    """
    if sheet is None:
        click.echo("trialfit pair: which sheet?\n\n" + EXAMPLE, err=True)
        ctx.exit(2)
    from wizard.desk import pairing

    store = _store(ctx, sheet, keep=keep)
    worked = pairing.read_job(sheet, store=store)
    if as_json:
        show.document(worked.answer)
    else:
        show.verdict(worked.answer)
        show.remedies(worked.answer)
        show.checks(worked.answer, every=verbose)
        show.parts(worked.answer)
        show.assumed(worked.answer, every=verbose)
    record = pairing.keep(store, worked, by=by) if keep and store is not None else None
    if record is not None:
        click.echo(f"Kept as job {record.number}, issue {record.issue}.", err=as_json)
    if out is not None:
        from wizard.desk import jobs

        made = jobs.papers_of(record or pairing.unkept(worked, by=by), out)
        click.echo(f"{len(made)} papers in {out}.", err=as_json)
    ctx.exit(pairing.exit_status(worked.answer["verdict"]))


def _store(ctx: click.Context, sheet: Path, *, keep: bool) -> Store | None:
    """The store, opened only when the sheet names the catalogue or the job is to be kept."""
    from wizard.desk.pairing import names_catalogue
    from wizard.desk.place import open_store

    return open_store(ctx.obj) if keep or names_catalogue(sheet) else None
