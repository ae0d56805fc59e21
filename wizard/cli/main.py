"""The command `trialfit`: its commands are loaded only when they are used."""

from __future__ import annotations

import importlib
import io
import sys
from typing import Any

import click

HELP = """Join an engine to a gearbox that was never meant to meet it.

From two sides measured with ordinary instruments: whether the pairing can work, the adapter
that joins them, the shop's papers, and a record for the next time.

\b
  trialfit demo                     an invented job from start to papers
  trialfit pair job.toml            work out a job from its sheet
  trialfit pair job.toml --out papers --keep
  trialfit units add engine.toml    put a measured unit into the catalogue
  trialfit app                      the same on screens

\b
Exit status: 0 goes, goes with work; 2 bad input; 3 measure first; 4 does not go.
"""

COMMANDS = {
    "demo": "wizard.cli.demo",
    "pair": "wizard.cli.pair",
    "units": "wizard.cli.units",
    "jobs": "wizard.cli.jobs",
    "bench": "wizard.cli.bench",
    "scan": "wizard.cli.scan",
    "find": "wizard.cli.find",
    "shop": "wizard.cli.shop",
    "store": "wizard.cli.keeping",
    "app": "wizard.cli.app",
}
SHORT = {
    "demo": "Run the invented demo: a verdict, a kept record, a folder of papers.",
    "pair": "Work out one job from its sheet.",
    "units": "The catalogue of measured units.",
    "jobs": "Kept jobs and their papers.",
    "bench": "Aids at the bench: from raw readings to a dimension.",
    "scan": "Holes of a scan or photo, sized by distances measured on the part.",
    "find": "What could go with a unit; which face some holes are.",
    "shop": "The shop: machines, rates and times.",
    "store": "Back up everything that is kept, put it back, move it, take in another shop's.",
    "app": "Open the screens in a browser.",
}


class Commands(click.Group):
    """A group whose commands are imported when they are called for."""

    def main(self, *args: Any, **named: Any) -> Any:
        """Run the command; what it prints is UTF-8, also on a console that is not."""
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):
                stream.reconfigure(encoding="utf-8", errors="replace")
        return super().main(*args, **named)

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names of the commands, in the order they are met."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, loaded now."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(COMMANDS[cmd_name]).command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without loading any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, SHORT[name]) for name in COMMANDS])

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; what a shop can set right is one clear line and status 2."""
        from kb.errors import InputError, NotTabulated, OutOfScope, StoreError

        try:
            return super().invoke(ctx)
        except (InputError, OutOfScope, NotTabulated, StoreError) as error:
            click.echo(f"trialfit: {error}", err=True)
            ctx.exit(2)


@click.group(cls=Commands, help=HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--store",
    metavar="URL",
    envvar="TRIALFIT_STORE",
    help="Where the catalogue and the records are: a file or a database address. Without it "
    "TRIALFIT_STORE says so, else it is a file in your data folder.",
)
@click.version_option(package_name="trialfit", prog_name="trialfit")
@click.pass_context
def main(ctx: click.Context, store: str | None) -> None:
    """The command itself; see HELP."""
    ctx.obj = store
