"""The command line, run in this process and as the installed program."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from click.testing import CliRunner, Result

from wizard.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
SHEETS = ROOT / "tests/data/sheets"
INSTALLED = (sys.executable, "-c", "from wizard.cli.main import main; main()")


def trialfit(*words: object, store: Path | str | None = None) -> Result:
    """Runs the command in this process; a traceback fails the test that asked for it."""
    line = [*(["--store", str(store)] if store is not None else []), *map(str, words)]
    return CliRunner().invoke(main, line, prog_name="trialfit", catch_exceptions=False)


def installed(
    *words: object, around: Mapping[str, str] | None = None, folder: Path = ROOT
) -> subprocess.CompletedProcess[bytes]:
    """Runs the command as a program of its own, as a terminal would."""
    return subprocess.run(
        [*INSTALLED, *map(str, words)], cwd=folder, env=surroundings(around), capture_output=True,
        check=False, stdin=subprocess.DEVNULL, timeout=120,
    )  # fmt: skip


def surroundings(around: Mapping[str, str] | None = None) -> dict[str, str]:
    """This process's own surroundings without a store, and what is stated."""
    own = {key: value for key, value in os.environ.items() if key != "TRIALFIT_STORE"}
    path = os.pathsep.join([str(ROOT), *filter(None, [own.get("PYTHONPATH", "")])])
    return own | {"PYTHONPATH": path} | dict(around or {})


def refused(done: Result) -> str:
    """What a refusal says: one line on the error stream, nothing else, status 2."""
    assert done.exit_code == 2, done.output
    assert done.stdout == ""
    line = done.stderr.removesuffix("\n")
    assert "\n" not in line
    assert line.startswith("trialfit: ")
    return line.removeprefix("trialfit: ")
