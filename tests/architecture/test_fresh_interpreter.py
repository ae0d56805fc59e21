"""The core loads, and works a whole job out, in an interpreter that has no other library.

Reading the source cannot see what a package pulls in when it is imported; a fresh interpreter
in which the libraries of store, papers and screens are locked away can.
Source: DEVELOPERS.md, "The floors" (the project's own decision).
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.house import NOUNS, ROOT, House, Sketch

CORE = (
    *NOUNS, "kb.rules", "kb.standards", "kb.plane", "kb.sheets",
    "wizard.engine", "wizard.search", "wizard.bench", "wizard.making", "wizard.words",
)  # fmt: skip
LOCKED_AWAY = (
    "sqlalchemy", "alembic", "streamlit", "ezdxf", "pandas", "plotly", "reportlab", "openpyxl",
)  # fmt: skip
COMMANDS = ("demo", "pair", "units", "jobs", "bench", "find", "app")
SLOW = (*LOCKED_AWAY, "scipy")

LOCK = """
import importlib, json, sys

class Locked:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in locked:
            raise ImportError(f"{name} is locked away")

order = json.loads(sys.argv[1])
locked, modules = order["locked"], order["modules"]
sys.meta_path.insert(0, Locked())
for module in modules:
    importlib.import_module(module)
"""
LOADED = "print(json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))\n"
WHOLE_JOB = """
from pathlib import Path
from kb.sheets.reading import read
from wizard.engine.design import design

for sheet in order["sheets"]:
    done = design(read(Path(sheet).read_text(encoding="utf-8")))
    print(json.dumps([done.sides.request.title, len(done.checks)]))
"""
HELP = """
import json, sys
from wizard.cli.main import main

sys.argv = ["trialfit", *sys.argv[1:]]
try:
    main()
except SystemExit as end:
    status = end.code or 0
print()
print(json.dumps([status, sorted({name.partition(".")[0] for name in sys.modules})]))
"""


def fresh(script: str, *arguments: str, root: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """Runs a script in a new interpreter, with the packages of a root folder."""
    return subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=root,
        capture_output=True,
        check=False,
        encoding="utf-8",
        stdin=subprocess.DEVNULL,
        timeout=120,
    )


def order(modules: list[str], sheets: list[Path] | None = None) -> str:
    """What a fresh interpreter is to load, and which sheets it is to work out."""
    named = [str(sheet) for sheet in sheets or ()]
    return json.dumps({"locked": LOCKED_AWAY, "modules": modules, "sheets": named})


def core(house: House) -> list[str]:
    """Every module of the core."""
    return [module.name for module in house.within(*CORE)]


def test_the_core_loads_with_everything_else_locked_away(house: House) -> None:
    done = fresh(LOCK + LOADED, order(core(house)))
    assert done.returncode == 0, done.stderr
    loaded = json.loads(done.stdout)
    assert {"kb", "wizard", "numpy"} <= set(loaded)
    assert not set(loaded) & set(SLOW)


def test_a_whole_job_needs_no_other_library(house: House) -> None:
    sheets = sorted((ROOT / "tests/data/sheets").glob("*.toml"))
    assert sheets
    done = fresh(LOCK + WHOLE_JOB, order(core(house), sheets))
    assert done.returncode == 0, done.stderr
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(answers) == len(sheets)
    assert all(title and checks for title, checks in answers)


@pytest.mark.parametrize("words", [["--help"], *([c, "--help"] for c in COMMANDS)], ids=" ".join)
def test_help_is_quick(words: list[str]) -> None:
    """Help answers at once: nothing slow is loaded to print it."""
    done = fresh(HELP, *words)
    assert done.returncode == 0, done.stderr
    *shown, last = done.stdout.splitlines()
    status, loaded = json.loads(last)
    assert status == 0
    assert "Usage" in "\n".join(shown)
    assert not set(loaded) & set(SLOW)


# ── each guard on a house that breaks its rule ──────────────────────────────


def test_a_core_that_needs_a_locked_library_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/__init__.py": "",
        "kb/model/__init__.py": "import pandas\n",
        "kb/model/unit.py": "",
    })  # fmt: skip
    done = fresh(LOCK + LOADED, order(core(bad)), root=bad.root)
    assert done.returncode != 0
    assert "pandas is locked away" in done.stderr


def test_slow_help_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "wizard/__init__.py": "",
        "wizard/cli/__init__.py": "",
        "wizard/cli/main.py": "import ezdxf\n\ndef main():\n    print('Usage')\n"
        "    raise SystemExit(0)\n",
    })  # fmt: skip
    done = fresh(HELP, "--help", root=bad.root)
    assert "ezdxf" in json.loads(done.stdout.splitlines()[-1])[1]
