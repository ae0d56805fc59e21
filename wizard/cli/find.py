"""`trialfit find`: what the catalogue holds that is like something measured."""

from __future__ import annotations

import dataclasses
import itertools
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import click

from wizard.cli import show
from wizard.cli.options import AS_JSON
from wizard.words import label

command = click.Group(
    name="find", help="Find in the catalogue: what could go with a unit, which face some holes are."
)


@command.command()
@click.option(
    "--holes", required=True, type=click.Path(path_type=Path), metavar="FILE",
    help="Centres in any coordinates, any way up: CSV of x,y with or without id, XLSX, or a DXF drawing.",
)  # fmt: skip
@click.option("--units", type=click.Choice(["mm", "in"]), default="mm", show_default=True, help="Unit of bare figures.")  # fmt: skip
@click.option("--slack", type=float, default=1.0, show_default=True, help="How far two centres of one hole may lie apart, mm.")  # fmt: skip
@AS_JSON
@click.pass_context
def face(ctx: click.Context, holes: Path, units: str, slack: float, as_json: bool) -> None:
    """Which face of the catalogue the holes are: ranked, with what is missing or too many."""
    from wizard.desk import find
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        found = find.face_of_file(store, holes, unit=units, slack=slack)
    if as_json:
        show.document({
            "format": 1, "units": "mm", "says": list(found.says), "alike": list(found.alike),
            "matches": [dataclasses.asdict(one) for one in found.matches],
            "holes": [{"id": id, "x": x.typed, "y": y.typed} for id, x, y in found.holes],
        })  # fmt: skip
        return
    for line in found.says:
        click.echo(line)


@command.command(name="families")
@AS_JSON
@click.pass_context
def families_(ctx: click.Context, as_json: bool) -> None:
    """Faces that are one pattern whatever unit they came from, and faces that ought to agree and do not."""
    from wizard.desk import find
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        found = find.kinship(store)
    if as_json:
        show.document(dataclasses.asdict(found))
        return
    for names in found.families:
        click.echo("One pattern: " + ", ".join(names) + ".")
    for kin in found.doubtful:
        lacks = f", {kin.lacking} holes on one of them only" if kin.lacking else ""
        scale = f"; {kin.scale_says}" if kin.scale_says else ""
        click.echo(f"Alike and not the same: {kin.one} and {kin.other}, {kin.rms:.2f} mm apart in the mean, {kin.worst:.2f} at worst{lacks}{scale}.")  # fmt: skip
    if not found.families and not found.doubtful:
        click.echo("No two faces of the catalogue are alike.")


@command.command(name="earlier-for")
@click.argument("sheet", type=click.Path(path_type=Path))
@AS_JSON
@click.pass_context
def earlier_for(ctx: click.Context, sheet: Path, as_json: bool) -> None:
    """Kept jobs that serve the job of a SHEET: as they are, with a listed change, or one side only."""
    from wizard.desk import pairing, reuse
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        rows = reuse.earlier(store, pairing.read_job(sheet, store=store))
    if as_json:
        show.document([{"job": dataclasses.asdict(one.job), **dataclasses.asdict(one.reuse), "says": one.says} for one in rows])  # fmt: skip
        return
    if not rows:
        click.echo("No kept job shares a side with it.")
    for one in rows:
        click.echo(f"Job {one.job.number}{one.job.issue}, {one.job.state}: {one.job.title}")
        click.echo(f"    {one.says}")


def _counterparts(kind: str) -> None:
    """`gearboxes-for` an engine and `engines-for` a gearbox: the same but for the side."""
    other = {"engine": "gearboxes", "gearbox": "engines"}[kind]

    @command.command(
        name=f"{other}-for",
        help=f"Which {other} of the catalogue could go with one {kind}, the easiest first, with the reason for each that does not.",
    )
    @click.argument("name")
    @click.option(
        "--drive",
        default="",
        metavar="WHAT",
        help="Only what has this drive: converter, shaft, flange, crank flange, flywheel.",
    )
    @click.option(
        "--torque",
        type=float,
        metavar="N·m",
        help="A gearbox that carries it, or an engine that has no more.",
    )
    @click.option("--rotation", type=click.Choice(["ccw", "cw"]), help="Only this rotation.")
    @click.option("--tail", default="", metavar="LENGTH", help="Longest tail of a gearbox.")
    @click.option("--text", default="", help="Only names with these words.")
    @click.option(
        "--may-go",
        is_flag=True,
        help="Leave out what does not go, without a reason.",
    )
    @click.option(
        "--csv",
        "csv_file",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Write each one as it comes.",
    )
    @AS_JSON
    @click.pass_context
    def asked(
        ctx: click.Context,
        name: str,
        drive: str,
        torque: float | None,
        rotation: str | None,
        tail: str,
        text: str,
        may_go: bool,
        csv_file: Path | None,
        as_json: bool,
    ) -> None:
        from wizard.desk import counterparts
        from wizard.desk.place import open_store

        wanted = counterparts.Wanted(
            drive=drive,
            rotation=rotation or "",
            text=text,
            may_go=may_go,
            torque_nmm=None if torque is None else torque * 1000,
            tail=counterparts.longest_tail(tail, unit="mm"),
        )
        with open_store(ctx.obj) as store:
            count, rows = counterparts.counterparts(store, name, kind=kind, wanted=wanted)
            found = []
            with (
                _opened(csv_file) as sheet,
                click.progressbar(
                    rows, length=count, label=f"{count} {other}", file=sys.stderr
                ) as bar,
            ):
                if sheet is not None:
                    sheet.write(counterparts.csv_row(None))
                for one in bar:
                    found.append(one)
                    if sheet is not None:
                        sheet.write(counterparts.csv_row(one))
        best = counterparts.ranked(found)
        if as_json:
            show.document([dataclasses.asdict(one) for one in best])
            return
        if not best:
            click.echo(f"No {other} of that kind are in the catalogue.")
        for one in best:
            size = f", plate {one.plate:.1f} mm" if one.plate else ""
            click.echo(f"{label(one.verdict).upper():15s} {one.name}{size}")
            click.echo(f"                {one.reason}")


@command.command(name="all-pairs")
@click.option(
    "--into", "folder", type=click.Path(path_type=Path), required=True, metavar="FOLDER",
    help="What is done is kept here; a run broken off goes on from it.",
)  # fmt: skip
@click.option(
    "--workers", type=click.IntRange(0, 64), default=0, show_default=True, metavar="N",
    help="Processes to spread it over (needs the extra “pool”); 0 for none.",
)  # fmt: skip
@click.pass_context
def all_pairs(ctx: click.Context, folder: Path, workers: int) -> None:
    """Every engine against every gearbox of the catalogue: which pairs are worth working out."""
    import csv

    from wizard.desk import counterparts
    from wizard.desk.place import open_store

    def said(done: int, of: int) -> None:
        click.echo(f"\r{done} of {of} blocks", nl=done == of, err=True)

    sheet, count = folder / "pairs.csv", 0
    with open_store(ctx.obj) as store:
        rows = counterparts.sweep_catalogue(store, folder, workers=workers, said=said)
        first = next(rows, None)
        with _opened(sheet) as out:
            assert out is not None
            writer = csv.writer(out, lineterminator="\n")
            writer.writerow(("engine", "gearbox", "walls kept upright"))
            for row in itertools.chain([first] if first else [], rows):
                writer.writerow([counterparts.cell(text) for text in row])
                count += 1
    click.echo(
        f"{count} pairs are not out of the question at once; they are in {sheet}. Work one out with trialfit pair."
    )


@contextmanager
def _opened(path: Path | None) -> Iterator[IO[str] | None]:
    from kb.errors import InputError

    if path is None:
        yield None
        return
    try:
        with path.open("w", encoding="utf-8", newline="") as sheet:
            yield sheet
    except OSError as error:
        raise InputError("csv", str(path), f"it cannot be written ({error.strerror})") from None


for _kind in ("engine", "gearbox"):
    _counterparts(_kind)
