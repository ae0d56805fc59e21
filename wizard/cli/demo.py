"""`trialfit demo`: the invented catalogue and jobs."""

from __future__ import annotations

from pathlib import Path

import click

from wizard.cli import show


@click.command(name="demo")
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("trialfit-demo"), show_default=True,
    help="Folder to write the papers to.",
)  # fmt: skip
@click.option("--job", default="", help="Another of the demo's jobs.")
@click.pass_context
def command(ctx: click.Context, out: Path, job: str) -> None:
    """Run the main job on an invented catalogue: a verdict, a kept record, a folder of papers.

    The demo has a store of its own, so that nothing invented gets among a shop's measurements.
    """
    from wizard.desk import demo, jobs, pairing
    from wizard.desk.place import demo_place, open_store

    with open_store(ctx.obj or demo_place()) as store:
        loaded = demo.load(store)
        counts = ", ".join(f"{count} {kind}" for kind, count in loaded.counts.items())
        click.echo(f"Invented catalogue: {counts}. No such unit exists.\n")
        names = list(demo.jobs())
        worked = demo.run(store, job or names[0])
        show.verdict(worked.answer)
        show.remedies(worked.answer)
        show.checks(worked.answer, every=False)
        show.parts(worked.answer)
        record = pairing.keep(store, worked, by="demo")
        made = jobs.papers_of(record, out)
        click.echo(
            f"\nKept as job {record.number}, issue {record.issue}; {len(made)} papers in {out.resolve()}."
        )
        others = [name for name in names if name != (job or names[0])]
        if others:
            click.echo("\nThe demo's other jobs (trialfit demo --job NAME):")
            rows = [
                (name, (done := demo.run(store, name)).answer["verdict"], done.answer["title"])
                for name in others
            ]
            show.table(rows, ("name", "verdict", "title"))
        click.echo(f"\nLook further: trialfit --store {store.place} app")
