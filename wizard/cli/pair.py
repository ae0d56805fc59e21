"""`trialfit pair`: one job from its sheet."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli import show

if TYPE_CHECKING:
    from wizard.desk.place import Store

WHICH = """trialfit pair: name a sheet, a text file such as

  title = "Pump set: long-stroke four to a three-speed automatic"
  units = "mm"
  [engine.drive]
  standoff = "6.35 ± 0.05"      # engine face to crank flange, + stands proud
  [gearbox.converter]
  seat_depth = "28.58 ± 0.10"   # gearbox face to the pads, converter home
  gap = [3.2, 4.8]              # wanted, pads to flexplate before bolting up
  [flexplate]
  offset = "8.00 ± 0.05"        # crank side to pads
  [choices]
  plate = "19.05"

and write: trialfit pair job.toml
Or see a whole invented job first: trialfit demo"""


@click.command(name="pair")
@click.argument("sheet", required=False, type=click.Path(path_type=Path))
@click.option(
    "--json", "as_json", is_flag=True, help="Print the whole answer as JSON, nothing else."
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write the papers to.")
@click.option(
    "--limits", type=click.Path(path_type=Path),
    help="File of the shop's own limits, as [least-wall] then steel = \"1/4 in\".",
)  # fmt: skip
@click.option(
    "--outline", type=click.Path(path_type=Path), metavar="FILE",
    help="The plate's outline as a DXF drawing, from behind the engine, crank axis at 0, 0.",
)  # fmt: skip
@click.option("--keep", is_flag=True, help="Keep the job as a record that never changes.")
@click.option("--by", default="", metavar="NAME", help="Who keeps it.")
@click.option(
    "--issue-of", type=int, metavar="N", help="With --keep: as the next issue of kept job N."
)
@click.option("--verbose", is_flag=True, help="List every check and everything assumed.")
@click.pass_context
def command(
    ctx: click.Context, sheet: Path | None, as_json: bool, out: Path | None, limits: Path | None,
    outline: Path | None, keep: bool, by: str, issue_of: int | None, verbose: bool,
) -> None:  # fmt: skip
    """Work out one job from its sheet: verdict, adapter, what to measure.

    Exit status: 0 it goes, or goes with work; 3 measure first; 4 does not go; 2 bad input.
    """
    if sheet is None:
        click.echo(WHICH, err=True)
        ctx.exit(2)
    from wizard.desk import pairing

    @cache
    def store() -> Store:
        """The store, opened when the sheet names the catalogue or the job is kept."""
        from wizard.desk.place import open_store

        return ctx.with_resource(open_store(ctx.obj))

    # all that can be refused comes before the first line is printed
    worked = pairing.read_job(sheet, store=store, limits=limits, outline=outline or ())
    done = []
    if out is not None:
        from wizard.desk import jobs

        jobs.check_folder(out)
    record = pairing.keep(store(), worked, by=by, issue_of=issue_of) if keep else None
    if record is not None:
        done.append(f"Kept as job {record.number}, issue {record.issue}.")
    if out is not None:
        made = jobs.papers_of(record or pairing.unkept(worked, by=by), out)
        done.append(f"{len(made)} papers in {out.resolve()}.")
    if as_json:
        show.document(worked.answer)
    else:
        show.job(worked.answer, every=verbose)
        click.echo()
    for line in done:
        click.echo(line, err=as_json)
    ctx.exit(pairing.exit_status(worked.answer["verdict"]))
