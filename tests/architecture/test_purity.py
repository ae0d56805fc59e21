"""The core is pure, and what goes wrong in it is one of four errors.

Source: DEVELOPERS.md, "The laws" (the project's own decisions).
"""

from __future__ import annotations

import ast
import builtins
from collections.abc import Iterator

from tests.architecture.house import NOUNS, House, Module, Sketch, called

# What works things out touches no file, no clock, no dice and no screen.
PURE = (
    *NOUNS, "kb.plane", "wizard.engine", "wizard.search", "wizard.bench", "wizard.making",
)  # fmt: skip
NOT_PURE = frozenset((
    "asyncio", "concurrent", "getpass", "glob", "http", "io", "locale", "logging",
    "multiprocessing", "os", "pathlib", "platform", "random", "secrets", "shutil", "signal",
    "socket", "sqlite3", "subprocess", "sys", "tempfile", "threading", "time", "urllib", "uuid",
    "webbrowser",
))  # fmt: skip
NOT_PURE_CALLS = frozenset(("open", "print", "input", "now", "today", "utcnow", "getenv"))

ERRORS = frozenset(("InputError", "OutOfScope", "NotTabulated", "StoreError"))
EDGES = ("wizard.cli", "wizard.app")  # where errors are shown, and a process ends
# Where another error is right: (module, error) and why.
OTHER_ERRORS: dict[tuple[str, str], str] = {}


def impure(house: House) -> list[str]:
    """Files, clocks, dice and screens in what is meant to be pure."""
    return [
        f"{module.name}:{line} {what}"
        for module in house.within(*PURE)
        for line, what in touches(house, module)
    ]


def touches(house: House, module: Module) -> Iterator[tuple[int, str]]:
    """Each place where a module reaches out of itself."""
    for found in house.imports(module):
        if found.target.partition(".")[0] in NOT_PURE:
            yield found.line, f"imports {found.target}"
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Call):
            if called(node) in NOT_PURE_CALLS:
                yield node.lineno, f"calls {called(node)}"
            elif called(node) == "default_rng" and not (node.args or node.keywords):
                yield node.lineno, "throws dice without a seed"


def strange_errors(house: House) -> list[str]:
    """Errors raised below the edges that a shop would not know."""
    makers = error_makers(house)
    return [
        f"{module.name}:{node.lineno} raises {name}"
        for module in house.modules.values()
        if module not in house.within(*EDGES)
        for node, name in raised(module.tree)
        if name not in ERRORS | makers and (module.name, name) not in OTHER_ERRORS
    ]


def error_makers(house: House) -> frozenset[str]:
    """Functions declared to give one of the project's errors, to be raised by their caller."""
    return frozenset(
        node.name
        for module in house.modules.values()
        for node in ast.walk(module.tree)
        if isinstance(node, ast.FunctionDef) and annotation(node) in ERRORS
    )


def annotation(node: ast.FunctionDef) -> str:
    """What a function says it gives."""
    return ast.unparse(node.returns).rpartition(".")[2] if node.returns else ""


def raised(tree: ast.Module) -> Iterator[tuple[ast.Raise, str]]:
    """Every raise that starts an error, with its name; one passed on as it came is left out."""
    passed_on = {
        id(node)
        for handler in ast.walk(tree)
        if isinstance(handler, ast.ExceptHandler)
        for node in ast.walk(handler)
        if isinstance(node, ast.Raise)
        and (node.exc is None or (isinstance(node.exc, ast.Name) and node.exc.id == handler.name))
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Raise) and id(node) not in passed_on:
            error = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
            yield node, ast.unparse(error).rpartition(".")[2] if error else "nothing"


def swallowed(house: House) -> list[str]:
    """Handlers below the edges that catch everything and do not pass it on."""
    return [
        f"{module.name}:{handler.lineno} catches everything"
        for module in house.modules.values()
        if module not in house.within(*EDGES)
        for handler in ast.walk(module.tree)
        if isinstance(handler, ast.ExceptHandler)
        and catches_all(handler)
        and not isinstance(handler.body[-1], ast.Raise)
    ]


def catches_all(handler: ast.ExceptHandler) -> bool:
    """Whether a handler takes errors nobody foresaw."""
    kinds = handler.type.elts if isinstance(handler.type, ast.Tuple) else [handler.type]
    names = {ast.unparse(kind) if kind else "BaseException" for kind in kinds}
    return bool(names & {"Exception", "BaseException"})


def test_the_core_is_pure(house: House) -> None:
    assert not impure(house)


def test_every_error_is_one_of_the_four(house: House) -> None:
    assert not strange_errors(house)


def test_nothing_unforeseen_is_swallowed(house: House) -> None:
    assert not swallowed(house)


def test_the_four_are_the_tree_of_kb_errors(house: House) -> None:
    classes = [n for n in house.modules["kb.errors"].tree.body if isinstance(n, ast.ClassDef)]
    assert {node.name for node in classes} == ERRORS
    assert not ERRORS & set(dir(builtins))


# ── each guard on a house that breaks its rule ──────────────────────────────


def test_files_clocks_and_dice_are_found(sketch: Sketch) -> None:
    bad = sketch({
        "wizard/engine/axial.py": "import math\n\ndef go():\n    from pathlib import Path\n"
        "    return Path('x'), open('y')\n",
        "wizard/search/screen.py": "from numpy.random import default_rng\n"
        "lucky = default_rng()\nfair = default_rng(7)\n",
        "kb/model/record.py": "from datetime import date\nday = date.today()\n",
        "wizard/papers/cut.py": "import os\n",
    })  # fmt: skip
    assert impure(bad) == [
        "kb.model.record:2 calls today",
        "wizard.engine.axial:4 imports pathlib",
        "wizard.engine.axial:5 calls open",
        "wizard.search.screen:2 throws dice without a seed",
    ]


def test_a_strange_error_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/plane.py": "def go(x):\n    raise ValueError('no')\n",
        "wizard/engine/axial.py": "import kb.errors as e\n\n"
        "def wrong() -> e.InputError:\n    return e.InputError('a', 'b', 'c')\n\n"
        "def go():\n"
        "    try:\n        raise e.OutOfScope('a', 1, 'b', 'c')\n"
        "    except e.OutOfScope as error:\n        raise\n"
        "    except e.StoreError as error:\n        raise error\n"
        "    raise wrong()\n",
        "wizard/engine/lineup.py": "def go(error):\n    raise error\n",
        "wizard/papers/cut.py": "import kb\n\ndef go():\n    raise RuntimeError\n",
        "wizard/cli/main.py": "raise SystemExit(2)\n",
    })  # fmt: skip
    assert strange_errors(bad) == [
        "kb.plane:2 raises ValueError",
        "wizard.engine.lineup:2 raises error",
        "wizard.papers.cut:4 raises RuntimeError",
    ]


def test_a_swallowed_error_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/store/place.py": "try:\n    x = 1\nexcept (KeyError, Exception):\n    x = 2\n"
        "try:\n    x = 1\nexcept:\n    x = 2\n    raise\n",
        "wizard/app/main.py": "try:\n    x = 1\nexcept Exception:\n    x = 2\n",
    })  # fmt: skip
    assert swallowed(bad) == ["kb.store.place:3 catches everything"]
