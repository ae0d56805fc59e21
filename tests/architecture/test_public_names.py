"""What others may call says what it does, and cannot be called with two numbers swapped.

Source: DEVELOPERS.md, "The laws" (the project's own decisions).
"""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.architecture.house import House, Module, Sketch

Function = ast.FunctionDef | ast.AsyncFunctionDef
NUMBERS = frozenset(("float", "int", "float | int", "int | float", "Fraction", "Decimal"))


def silent(house: House) -> list[str]:
    """Public functions, classes and methods without a docstring, and files without one."""
    findings = []
    for module in house.modules.values():
        if not module.is_package and not ast.get_docstring(module.tree):
            findings.append(f"{module.name} does not say what it is")
        findings += [
            f"{module.name}:{node.lineno} {name} has no docstring"
            for name, node in public(module)
            if not ast.get_docstring(node) and not only_declared(node)
        ]
    return findings


def public(module: Module) -> Iterator[tuple[str, Function | ast.ClassDef]]:
    """The public functions and classes of a file, and the public methods of those classes."""
    for node in module.tree.body:
        if isinstance(node, Function | ast.ClassDef) and not node.name.startswith("_"):
            yield node.name, node
            if isinstance(node, ast.ClassDef):
                for method in node.body:
                    if isinstance(method, Function) and not method.name.startswith("_"):
                        yield f"{node.name}.{method.name}", method


def swappable(house: House) -> list[str]:
    """Public functions that take two bare numbers by place."""
    return [
        f"{module.name}:{node.lineno} {name} takes {', '.join(numbers)} by place"
        for module in house.modules.values()
        for name, node in public(module)
        if isinstance(node, Function) and len(numbers := by_place(node)) > 1
    ]


def by_place(node: Function) -> list[str]:
    """The plain numbers a function takes by place."""
    arguments = [*node.args.posonlyargs, *node.args.args]
    return [a.arg for a in arguments if a.annotation and ast.unparse(a.annotation) in NUMBERS]


def stubs(house: House) -> list[str]:
    """Functions with nothing in them."""
    return [
        f"{module.name}:{node.lineno} {node.name} does nothing"
        for module in house.modules.values()
        for node in ast.walk(module.tree)
        if isinstance(node, Function) and empty(node) and not only_declared(node)
    ]


def empty(node: Function) -> bool:
    """Whether a body is no more than a docstring, `pass`, `…` or `NotImplementedError`."""
    return all(
        isinstance(step, ast.Pass)
        or (isinstance(step, ast.Expr) and isinstance(step.value, ast.Constant))
        or (isinstance(step, ast.Raise) and "NotImplementedError" in ast.unparse(step))
        for step in node.body
    )


def only_declared(node: Function | ast.ClassDef) -> bool:
    """Whether a function is an overload, whose body stands elsewhere."""
    return any(ast.unparse(mark).endswith("overload") for mark in node.decorator_list)


def test_everything_public_says_what_it_is(house: House) -> None:
    assert not silent(house)


def test_two_numbers_are_given_by_name(house: House) -> None:
    assert not swappable(house)


def test_no_function_is_a_stub(house: House) -> None:
    assert not stubs(house)


# ── each guard on a house that breaks its rule ──────────────────────────────


def test_silence_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/plane.py": "@overload\ndef turn(): ...\n\ndef turn():\n    return 1\n\ndef _inner():\n    return 2\n\n"
        'class Line:\n    """A line."""\n\n    def length(self):\n        return 3\n',
        "kb/__init__.py": "",
    })  # fmt: skip
    assert silent(bad) == [
        "kb.plane does not say what it is",
        "kb.plane:4 turn has no docstring",
        "kb.plane:13 Line.length has no docstring",
    ]


def test_two_numbers_by_place_are_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/plane.py": "def one(a: float, *, b: float): ...\n\n"
        "def two(a: float, name: str, b: int): ...\n\n"
        "class Line:\n    def at(self, x: float, y: float): ...\n",
    })  # fmt: skip
    assert swappable(bad) == [
        "kb.plane:3 two takes a, b by place",
        "kb.plane:6 Line.at takes x, y by place",
    ]


def test_a_stub_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/plane.py": 'def later():\n    """Soon."""\n\n'
        "def never():\n    raise NotImplementedError\n\n"
        "@typing.overload\ndef declared(): ...\n\ndef real():\n    return 1\n",
    })  # fmt: skip
    assert stubs(bad) == ["kb.plane:1 later does nothing", "kb.plane:4 never does nothing"]
