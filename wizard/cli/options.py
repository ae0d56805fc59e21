"""Options that several commands share."""

from __future__ import annotations

import click

BY = click.option("--by", default="", metavar="NAME", help="Who says so.")
AS_JSON = click.option("--json", "as_json", is_flag=True, help="As JSON, nothing else.")
UNIT = click.option(
    "--units", "unit", type=click.Choice(["mm", "in"]), default="mm", show_default=True,
    help="Unit of bare figures.",
)  # fmt: skip
