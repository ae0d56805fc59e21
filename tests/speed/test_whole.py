"""The whole of it: one design, its papers, the command from cold, beside the bare interpreter."""

from __future__ import annotations

import subprocess
import sys
import sysconfig
from datetime import date
from pathlib import Path

import pytest

from kb.sheets.reading import read
from tests.speed.conftest import Beside
from wizard.desk.pairing import read_job, unkept
from wizard.engine.design import design
from wizard.papers.packet import write

SHEETS = Path(__file__).parents[1] / "data" / "sheets"
NAMES = ("automatic-inch", "manual-metric", "standard-housings")
PROGRAM = Path(sysconfig.get_path("scripts")) / "trialfit"


@pytest.mark.parametrize("name", NAMES)
def test_design(beside: Beside, name: str) -> None:
    request = read((SHEETS / f"{name}.toml").read_text(encoding="utf-8"))
    beside.ours(f"design, warm: {name}", lambda: design(request), aim="≤ 150 ms")


@pytest.mark.parametrize("name", NAMES)
def test_ways_out(beside: Beside, name: str) -> None:
    beside.ours(f"answer with ways out: {name}", lambda: read_job(SHEETS / f"{name}.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_packet(beside: Beside, name: str, tmp_path: Path) -> None:
    record = unkept(read_job(SHEETS / f"{name}.toml"), by="A fitter", on=date(2026, 3, 2))
    beside.ours(f"packet of papers: {name}", lambda: write(record, tmp_path), aim="≤ 4 s")


@pytest.mark.parametrize(
    ("work", "arguments", "aim"),
    [
        ("--help, cold", ["--help"], "≤ 0.25 s"),
        ("pair --json, cold", ["pair", str(SHEETS / "automatic-inch.toml"), "--json"], "≤ 0.8 s"),
    ],
)
def test_cold(beside: Beside, work: str, arguments: list[str], aim: str) -> None:
    def run() -> None:
        subprocess.run([str(PROGRAM), *arguments], check=False, capture_output=True)

    beside.ours(work, run, aim=aim)
    bare = [sys.executable, "-I", "-c", "pass"]
    beside.other("bare interpreter", lambda: subprocess.run(bare, check=True), aim=aim)
