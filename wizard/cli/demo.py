"""`trialfit demo`: the invented catalogue and jobs."""

from __future__ import annotations

from pathlib import Path

import click
from click.core import ParameterSource

from wizard.cli import show


@click.command(name="demo")
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("trialfit-demo"), show_default=True,
    help="Folder to write the papers to.",
)  # fmt: skip
@click.option("--job", default="", metavar="NAME", help="Another of the demo's jobs.")
@click.option("--verbose", is_flag=True, help="List every check and everything assumed.")
@click.pass_context
def command(ctx: click.Context, out: Path, job: str, verbose: bool) -> None:
    """Work out an invented job from start to papers.

    The demo has a store of its own beside the shop's, so that nothing invented gets among what
    was measured; only --store on this very command line puts it elsewhere.
    """
    from wizard.desk import demo, jobs
    from wizard.desk.place import demo_place, open_store

    named = ctx.find_root().get_parameter_source("store") is ParameterSource.COMMANDLINE
    names = list(demo.jobs())
    jobs.check_folder(out)
    with open_store(ctx.obj if named else demo_place()) as store:
        loaded = demo.load(store)
        worked = demo.run(store, job or names[0])
        record = demo.keep(store, worked)
        made = jobs.papers_of(record, out)
        others = [(name, demo.run(store, name)) for name in names if name != (job or names[0])]
        place = store.place
    counts = ", ".join(f"{count} {kind}" for kind, count in loaded.counts.items())
    click.echo(f"An invented catalogue: {counts}. No such unit and no such job exists.\n")
    show.job(worked.answer, every=verbose)
    click.echo(f"\nKept as job {record.number}, issue {record.issue}.")
    click.echo(f"{len(made)} papers in {out.resolve()}:")
    for path in made:
        click.echo(f"  {path.name}")
    click.echo("\nThe demo's other jobs, shown by trialfit demo --job NAME:")
    rows = [(name, one.answer["verdict"], one.answer["title"]) for name, one in others]
    show.table(rows, ("name", "verdict", "title"))
    quoted = f'"{place}"' if " " in place else place
    click.echo(f"\nThe same on screens: trialfit --store {quoted} app")
