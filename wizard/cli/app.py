"""`trialfit app`: the screens in a browser, on this machine alone."""

from __future__ import annotations

import importlib.util
import os
import signal
import socket
import subprocess
import sys
from types import FrameType

import click

HOST = "127.0.0.1"
FLAGS = (
    f"--server.address={HOST}",
    "--server.headless=true",
    "--server.fileWatcherType=none",
    "--server.maxUploadSize=10",
    "--browser.gatherUsageStats=false",
    "--client.toolbarMode=minimal",
    "--client.showErrorDetails=none",
)
PATIENCE_S = 5.0  # how long the screens may take to end


@click.command(name="app")
@click.option(
    "--port", type=click.IntRange(1, 65535), default=8501, show_default=True, metavar="N",
    help="Port to answer at.",
)  # fmt: skip
@click.pass_context
def command(ctx: click.Context, port: int) -> None:
    """Open the screens. They answer on this machine alone; Ctrl-C ends them."""
    from kb.errors import InputError
    from wizard.desk.place import open_store

    open_store(ctx.obj).close()  # say here, not on a screen, when the store cannot be opened
    if _taken(port):
        raise InputError("port", port, "another program answers there; write another, --port N")
    click.echo(f"Open http://{HOST}:{port} in a browser. Ctrl-C ends.")
    ctx.exit(_run(port, store=ctx.obj))


def _taken(port: int) -> bool:
    with socket.socket() as asking:
        asking.settimeout(1)
        return asking.connect_ex((HOST, port)) == 0


def _run(port: int, *, store: str | None) -> int:
    """Start the screens and stay until they end; their exit status."""
    found = importlib.util.find_spec("wizard.app.main")
    assert found is not None
    assert found.origin is not None
    line = [sys.executable, "-m", "streamlit", "run", found.origin, f"--server.port={port}", *FLAGS]
    around = dict(os.environ) | ({"TRIALFIT_STORE": store} if store else {})
    signal.signal(signal.SIGTERM, _interrupt)  # whoever ends this program means the screens too
    running = subprocess.Popen(
        line, env=around, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL
    )
    try:
        return running.wait()
    except KeyboardInterrupt:
        return 0
    finally:
        running.terminate()
        try:
            running.wait(PATIENCE_S)
        except subprocess.TimeoutExpired:
            running.kill()


def _interrupt(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt
