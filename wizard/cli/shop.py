"""`trialfit shop`: who the shop is, its machines, its rates and times."""

from __future__ import annotations

from pathlib import Path

import click

from wizard.cli.options import BY

command = click.Group(
    name="shop", help="The shop: machines, rates and times; routes and quotes go by them."
)


@command.command(name="show")
@click.pass_context
def show_(ctx: click.Context) -> None:
    """The shop's sheet as it is in force, to be edited and kept again."""
    from wizard.desk import shop
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        click.echo(shop.sheet(store), nl=False)


@command.command()
@click.argument("file", type=click.Path(path_type=Path))
@BY
@click.pass_context
def keep(ctx: click.Context, file: Path, by: str) -> None:
    """Keep a sheet as the shop's own; what it leaves out is the shop default."""
    from wizard.desk import shop
    from wizard.desk.place import open_store

    with open_store(ctx.obj) as store:
        kept = shop.keep(store, file, by=by)
    name = kept.name or "The shop"
    click.echo(f"{name}: {len(kept.machines)} machines kept. Jobs kept from now on are quoted and routed by it.")  # fmt: skip
