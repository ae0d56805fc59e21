"""`trialfit app`: the screens in a browser, on this machine alone."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys

import click

FLAGS = (
    "--server.address=127.0.0.1",
    "--server.headless=true",
    "--server.fileWatcherType=none",
    "--server.maxUploadSize=10",
    "--browser.gatherUsageStats=false",
    "--client.toolbarMode=minimal",
    "--client.showErrorDetails=none",
)


@click.command(name="app")
@click.option("--port", type=click.IntRange(1, 65535), default=8501, show_default=True)
@click.pass_context
def command(ctx: click.Context, port: int) -> None:
    """Open the screens. They answer on this machine alone; Ctrl-C ends them."""
    from wizard.desk.place import open_store

    open_store(ctx.obj).close()  # say here, not on a screen, when the store cannot be opened
    found = importlib.util.find_spec("wizard.app.main")
    assert found is not None
    assert found.origin is not None
    surroundings = dict(os.environ)
    if ctx.obj:
        surroundings["TRIALFIT_STORE"] = ctx.obj
    line = [sys.executable, "-m", "streamlit", "run", found.origin, f"--server.port={port}", *FLAGS]
    click.echo(f"Open http://127.0.0.1:{port} in a browser. Ctrl-C ends.")
    try:
        ctx.exit(
            subprocess.run(line, env=surroundings, stdin=subprocess.DEVNULL, check=False).returncode
        )
    except KeyboardInterrupt:
        ctx.exit(0)
