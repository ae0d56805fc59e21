"""`trialfit scan`: the holes of a flat scan or photo, sized by distances measured on the part."""

from __future__ import annotations

from pathlib import Path

import click

from wizard.cli import show
from wizard.cli.options import AS_JSON, UNIT


@click.command(name="scan")
@click.argument("picture", type=click.Path(path_type=Path))
@click.option(
    "--distance",
    "distances",
    multiple=True,
    metavar="A,B,LENGTH",
    help="Two holes by number, or points by name, and the distance measured between them. One gives the scale; "
    "six between four marks or more also take out the slant of a photo. Without any, the holes are only numbered.",
)
@click.option(
    "--point",
    "points",
    multiple=True,
    metavar="NAME,X,Y",
    help="A mark that is no hole, such as an end of a scale bar, in pixels from the top left.",
)
@UNIT
@click.option("--least", default="", metavar="SIZE", help="Smallest diameter to keep.")
@click.option("--most", default="", metavar="SIZE", help="Largest diameter to keep.")
@click.option(
    "--leave-out", multiple=True, metavar="NUMBER", help="A numbered spot that is no hole."
)
@click.option(
    "--add",
    "added",
    multiple=True,
    metavar="NAME,X,Y,WIDE",
    help="A hole that was not found: its place and rough diameter in pixels.",
)
@click.option(
    "--overlay",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the picture with its holes numbered, as PNG.",
)
@click.option(
    "--holes",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the holes as CSV, XLSX or DXF, for units import or find face.",
)
@AS_JSON
def command(
    picture: Path, distances: tuple[str, ...], points: tuple[str, ...], unit: str, least: str, most: str,
    leave_out: tuple[str, ...], added: tuple[str, ...], overlay: Path | None, holes: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Holes of a scan or photo of a gasket, a face or a paper rubbing (PNG, JPEG, TIFF)."""
    from wizard.desk import scans

    seen = scans.opened(picture)
    found = None
    if distances:
        found = scans.sized(seen, distances=distances, points=points, unit=unit, least=least, most=most, leave_out=leave_out, added=added)  # fmt: skip
    if overlay is not None:
        scans.write_numbered(seen, overlay, found=found)
    if found is None:
        _numbered(seen.spots, overlay)
        return
    if holes is not None:
        scans.write(found, holes)
    if as_json:
        show.document(found.document())
        return
    rows = [(one.id, one.x, one.y, one.hole) for one in found.listing.rows]
    show.table(rows, ("mark", "x", "y", "hole"))
    for line in found.says:
        click.echo(line)


def _numbered(spots: object, overlay: Path | None) -> None:
    assert isinstance(spots, tuple)
    click.echo(f"{len(spots)} round spots, numbered from the top down.")
    for number, spot in enumerate(spots, 1):
        click.echo(
            f"{number:4d}  at {spot.centre[0]:.1f}, {spot.centre[1]:.1f} pixels, {2 * spot.radius:.1f} across"
        )
    where = f" See {overlay}." if overlay else " See their numbers with --overlay FILE."
    click.echo("Give at least one measured distance: --distance 1,4,300.05." + where)
