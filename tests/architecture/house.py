"""Reads the house as text, so that the rules of building can be checked without running it.

Source of every rule in this folder: DEVELOPERS.md, "The house" and "The laws" (the project's
own decisions; no outside source exists for them). Each guard is a plain function that returns
what it found, one line each, and each is also fed a small house that breaks its rule.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("kb", "wizard", "data_demo")
MADE_UP = "a name made up at run time"

# From the ground up. Units that share a floor do not import each other.
FLOORS = (
    ("kb.errors",),
    ("kb.figures",),
    ("kb.designation",),
    ("kb.quantity",),
    ("kb.model",),
    ("kb.rules", "kb.standards", "kb.plane"),
    ("kb.sheets",),
    ("kb.exchange",),
    ("wizard.engine",),
    ("wizard.search", "wizard.bench", "wizard.making"),
    ("wizard.words",),
    ("kb.store", "wizard.papers"),
    ("wizard.desk",),
    ("wizard.cli", "wizard.app"),
)
NOUNS = ("kb.errors", "kb.figures", "kb.designation", "kb.quantity", "kb.model")

# Inside the engine a stage imports only earlier ones.
STAGES = (
    "formulas", "housed", "faces", "normalise", "clashes", "clocking", "lineup", "axial", "parts", "checks", "design",
    "verdict", "proposals", "remedies", "answer",
)  # fmt: skip


@dataclass(frozen=True)
class Import:
    """One import: the dotted name asked for, its line, and whether it stands in a function."""

    target: str
    line: int
    late: bool


@dataclass(frozen=True)
class Module:
    """One Python file of the house."""

    name: str
    path: Path
    text: str

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text, filename=str(self.path))

    @property
    def is_package(self) -> bool:
        return self.path.name == "__init__.py"

    @property
    def package(self) -> str:
        return self.name if self.is_package else self.name.rpartition(".")[0]


@dataclass(frozen=True)
class House:
    """All Python files under the packages of one root folder, by dotted name."""

    root: Path
    modules: Mapping[str, Module] = field(repr=False)

    def within(self, *units: str) -> list[Module]:
        """The modules that are one of the units or lie inside one."""
        return [m for m in self.modules.values() if any(inside(m.name, unit) for unit in units)]

    def imports(self, module: Module) -> list[Import]:
        """Every import of a module, those inside functions and type-checking blocks included."""
        return [
            Import(self.settle(target, name), line, late)
            for node, late, line in with_lateness(module.tree)
            for target, name in asked_for(node, module)
        ]

    def settle(self, target: str, name: str) -> str:
        """`from target import name` asks for a module where there is one of that name."""
        full = f"{target}.{name}" if name else target
        known = full in self.modules or any(other.startswith(full + ".") for other in self.modules)
        return full if not name or known else target


Sketch = Callable[[Mapping[str, str]], House]
"""Builds a house in a temporary folder out of `path: text`."""


def inside(name: str, unit: str) -> bool:
    """Whether a dotted name is the unit itself or lies inside it."""
    return name == unit or name.startswith(unit + ".")


def with_lateness(
    tree: ast.AST, late: bool = False, line: int = 1
) -> Iterator[tuple[ast.AST, bool, int]]:
    """Every node below a node, with whether it stands inside a function, and its line."""
    for child in ast.iter_child_nodes(tree):
        at = getattr(child, "lineno", line)
        yield child, late, at
        deeper = late or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        yield from with_lateness(child, deeper, at)


def asked_for(node: ast.AST, module: Module) -> Iterator[tuple[str, str]]:
    """The (module, name) pairs a node imports, `import_module("…")` counted with them."""
    if isinstance(node, ast.Import):
        yield from ((alias.name, "") for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            above = module.package.split(".")
            base = ".".join([*above[: len(above) - node.level + 1], *([base] if base else [])])
        yield from ((base, alias.name) for alias in node.names)
    elif isinstance(node, ast.Call) and called(node) in ("import_module", "__import__"):
        first = node.args[0] if node.args else None
        named = isinstance(first, ast.Constant) and isinstance(first.value, str)
        yield (str(first.value) if named else MADE_UP, "")


def called(call: ast.Call) -> str:
    """The last word of what a call calls."""
    function = call.func
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def read_house(root: Path) -> House:
    """The house under a root folder."""
    files = sorted(
        path
        for package in PACKAGES
        for path in (root / package).rglob("*.py")
        if "__pycache__" not in path.parts
    )
    return House(root, {m.name: m for m in (read_module(path, root) for path in files)})


def read_module(path: Path, root: Path) -> Module:
    """One file and its dotted name."""
    parts = path.relative_to(root).with_suffix("").parts
    name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
    return Module(name, path, path.read_text(encoding="utf-8"))
