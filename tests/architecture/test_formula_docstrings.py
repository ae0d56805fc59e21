"""Every formula says its units and its source, shows an example that runs, and has been proved.

Source: DEVELOPERS.md, "The laws" (the project's own decisions). Proved means: a test in
tests/published calls it and claims it in PROVES, as "family.formula".
"""

from __future__ import annotations

import ast
import doctest
import importlib
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from tests.architecture.house import ROOT, House, Sketch, read_house

FORMULAS = "wizard.engine.formulas"
NO_FORMULAS = ("arguments",)  # what a formula accepts, not a formula
PUBLISHED = ROOT / "tests" / "published"
PARTS = ("Args", "Returns", "Raises", "Source", "Example")
UNITS = frozenset((
    "mm", "mm²", "mm per mm", "MPa", "N", "N·mm", "N/mm", "J", "kg", "kg/m³", "kg·mm²", "g·mm",
    "mm/s", "m/min", "min", "rpm", "rad/s", "s", "°", "K", "1/K", "1/in", "-", "word",
))  # fmt: skip
NUMBERS = frozenset(("float", "Number", "tuple[float, float]", "NDArray[np.float64]"))
UNIT = re.compile(r"\[([^\[\]]+)\]")
ARGUMENT = re.compile(r"^    (?P<name>\w+): (?P<about>.+)$")


def formulas(house: House) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Every public function of every family, as "family.formula"."""
    for module in house.within(FORMULAS):
        family = module.name.rpartition(".")[2]
        if module.is_package or family in NO_FORMULAS:
            continue
        for node in module.tree.body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                yield f"{family}.{node.name}", node


def unsaid(house: House) -> list[str]:
    """What the docstrings of the formulas leave out."""
    return [f"{name}: {fault}" for name, node in formulas(house) for fault in faults(node)]


def faults(node: ast.FunctionDef) -> Iterator[str]:
    """What is wrong with one formula's signature and docstring."""
    if node.args.args or node.args.posonlyargs or node.args.vararg or node.args.kwarg:
        yield "takes an argument by place"
    if node.returns is None or ast.unparse(node.returns) not in NUMBERS:
        yield "does not return plain numbers"
    text = ast.get_docstring(node) or ""
    if not text.partition("\n")[0].endswith("."):
        yield "does not open with one line of what it gives"
    parts = sections(text)
    if tuple(parts) != PARTS:
        yield f"has {', '.join(parts) or 'no parts'} instead of {', '.join(PARTS)}"
        return
    yield from bad_arguments(parts["Args"], [a.arg for a in node.args.kwonlyargs])
    if not known_unit(parts["Returns"]):
        yield "Returns names no known unit"
    if "InputError" not in parts["Raises"]:
        yield "Raises does not say what it refuses"
    if len(parts["Source"].split()) < 1 or "://" in parts["Source"] or "www." in parts["Source"]:
        yield "Source names no book, standard or practice"
    if not re.search(rf">>> .*\b{node.name}\(", parts["Example"]):
        yield "Example does not call it"


def sections(text: str) -> dict[str, str]:
    """The parts of a docstring by heading, in their order."""
    found: dict[str, str] = {}
    heading = ""
    for line in text.splitlines():
        if line.endswith(":") and line[:-1] in PARTS:
            heading = line[:-1]
            found[heading] = ""
        elif heading:
            found[heading] += line + "\n"
    return {key: body for key, body in found.items() if body.strip()}


def bad_arguments(text: str, wanted: list[str]) -> Iterator[str]:
    """Arguments without a line of their own, in another order, or without a known unit."""
    entries: list[tuple[str, str]] = []
    for line in text.splitlines():
        if entry := ARGUMENT.match(line):
            entries.append((entry["name"], entry["about"]))
        elif entries and line.strip():
            name, about = entries.pop()
            entries.append((name, f"{about} {line.strip()}"))
    if [name for name, _ in entries] != wanted:
        yield f"Args lists {[name for name, _ in entries]}, it takes {wanted}"
    for name, about in entries:
        if not known_unit(about):
            yield f"{name} has no known unit"


def known_unit(text: str) -> bool:
    """Whether the text names a unit, and every unit in it is known."""
    named = UNIT.findall(text)
    return bool(named) and set(named) <= UNITS


def claims(files: Iterable[Path]) -> tuple[set[str], list[str]]:
    """What the published tests claim to prove and do call, and claims without a call."""
    proved: set[str] = set()
    empty: list[str] = []
    for path in files:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        claimed = claim(tree)
        used = called(tree)
        proved |= claimed & used
        empty += [f"{path.name} claims {name} and never calls it" for name in claimed - used]
    return proved, sorted(empty)


def claim(tree: ast.Module) -> set[str]:
    """The names in a file's PROVES."""
    for node in tree.body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "PROVES":
            return set(ast.literal_eval(node.value))
    return set()


def called(tree: ast.Module) -> set[str]:
    """Every "family.formula" whose value a file uses inside its functions or at its head."""
    imported = {
        alias.asname or alias.name: alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module == FORMULAS
        for alias in node.names
    }
    return {
        f"{imported[node.value.id]}.{node.attr}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id in imported
    }


def unproved(house: House, files: Iterable[Path]) -> list[str]:
    """Formulas no published test proves, claims to formulas there are none of, empty claims."""
    proved, empty = claims(files)
    known = {name for name, _ in formulas(house)}
    findings = [f"{name} is proved by no published test" for name in sorted(known - proved)]
    findings += [
        f"{name} is proved, but there is no such formula" for name in sorted(proved - known)
    ]
    return findings + empty


# ── the project's own formulas ──────────────────────────────────────────────


def test_every_formula_says_its_units_and_source(house: House) -> None:
    assert len(list(formulas(house))) > 50
    assert not unsaid(house)


def test_every_formula_is_proved(house: House) -> None:
    assert not unproved(house, sorted(PUBLISHED.glob("test_*.py")))


OWN = sorted({name.partition(".")[0] for name, _ in formulas(read_house(ROOT))})


@pytest.mark.parametrize("family", OWN)
def test_every_example_runs(house: House, family: str) -> None:
    here = [name for name, _ in formulas(house) if name.partition(".")[0] == family]
    failed, tried = doctest.testmod(importlib.import_module(f"{FORMULAS}.{family}"))
    assert not failed
    assert tried >= len(here)


# ── the guards themselves ───────────────────────────────────────────────────

SOUND = '''
def growth(*, length: float, rise_k: float) -> float:
    """How much longer a part grows.

    Args:
        length: Length when cold, measured
            along the axis [mm].
        rise_k: Rise of temperature [K].
    Returns:
        Growth [mm].
    Raises:
        InputError: not a number.
    Source:
        Definition.
    Example:
        >>> growth(length=1, rise_k=1)
        1
    """
'''
FAULTS = {
    "length: float, rise_k": ("rise_k: float, length", "Args lists ['length', 'rise_k']"),
    "*, length": ("length", "takes an argument by place"),
    "-> float": ("-> Growth", "does not return plain numbers"),
    "grows.": ("grows", "does not open with one line"),
    "[K]": ("[kelvin]", "rise_k has no known unit"),
    "Length when cold, measured\n            along the axis [mm]": (
        "Length when cold", "length has no known unit",
    ),
    "Growth [mm]": ("Growth in mm", "Returns names no known unit"),
    "InputError:": ("an error:", "Raises does not say"),
    "Definition.": ("See https://example.org", "Source names no book"),
    ">>> growth(": (">>> grow(", "Example does not call it"),
    "    Source:\n        Definition.\n": ("", "instead of Args, Returns, Raises, Source, Example"),
}  # fmt: skip


def test_a_sound_formula_passes(sketch: Sketch) -> None:
    assert not unsaid(sketch({"wizard/engine/formulas/thermal.py": SOUND}))


@pytest.mark.parametrize("sound", FAULTS)
def test_a_fault_is_found(sketch: Sketch, sound: str) -> None:
    worse, finding = FAULTS[sound]
    assert sound in SOUND
    broken = SOUND.replace(sound, worse, 1)
    found = unsaid(sketch({"wizard/engine/formulas/thermal.py": broken}))
    assert any(finding in line for line in found), found


def test_what_is_not_proved_is_found(sketch: Sketch, tmp_path: Path) -> None:
    house = sketch({"wizard/engine/formulas/thermal.py": SOUND + "\n\ndef shrink(): ...\n"})
    test = tmp_path / "test_growth.py"
    test.write_text(
        "from wizard.engine.formulas import thermal\n"
        'PROVES = {"thermal.growth", "thermal.melt", "thermal.boil"}\n'
        "def test_growth():\n    assert thermal.growth() and thermal.boil()\n",
        encoding="utf-8",
    )
    assert unproved(house, [test]) == [
        "thermal.shrink is proved by no published test",
        "thermal.boil is proved, but there is no such formula",
        "test_growth.py claims thermal.melt and never calls it",
    ]
