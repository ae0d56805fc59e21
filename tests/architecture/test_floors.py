"""Imports only point down the floors: read from the source, imports inside functions too.

Source: DEVELOPERS.md, "The floors" (the project's own decision).
"""

from __future__ import annotations

import graphlib
import sys

from tests.architecture.house import (
    FLOORS,
    MADE_UP,
    NOUNS,
    PACKAGES,
    STAGES,
    House,
    Import,
    Module,
    Sketch,
    inside,
)

UNITS = (*(unit for floor in FLOORS for unit in floor), "data_demo")
LEVEL = {unit: level for level, floor in enumerate(FLOORS) for unit in floor}

# Units that may reach less than all that lies below them.
ONLY = {
    "wizard.words": NOUNS,
    "wizard.cli": (*NOUNS, "wizard.words", "wizard.desk"),
    "wizard.app": (*NOUNS, "wizard.words", "wizard.desk", "wizard.papers"),
    "data_demo": (),
}
# Formulas know no nouns; plane geometry takes plain numbers too.
FORMULAS_MAY_USE = ("kb.errors", "kb.plane", "wizard.engine.formulas")
# Papers are made from the stored record: of the engine they may use what is plain arithmetic.
PAPERS_MAY_USE = ("wizard.engine.formulas", "wizard.engine.parts.outline")
# Screens draw the neutral shapes of the papers; they write no paper themselves.
SCREENS_MAY_USE = (
    "wizard.papers.shapes", "wizard.papers.section", "wizard.papers.plan", "wizard.papers.bodies",
    "wizard.papers.mesh",
)  # fmt: skip

# Libraries beyond the standard one: (at the top of a file, only inside functions).
NUMBERS = (("numpy",), ("scipy",))
LIBRARIES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "kb.standards": (("numpy",), ()),
    "kb.plane": NUMBERS,
    "kb.exchange": (("numpy", "openpyxl", "ezdxf"), ("scipy", "cv2", "PIL")),
    "kb.store": (("sqlalchemy", "alembic", "platformdirs"), ("psycopg",)),
    "wizard.engine": NUMBERS,
    "wizard.search": NUMBERS,
    "wizard.desk": (("numpy",), ("distributed",)),
    "wizard.bench": NUMBERS,
    "wizard.making": NUMBERS,
    "wizard.papers": (
        ("numpy", "reportlab", "ezdxf", "openpyxl", "pypdf"),
        ("shapely", "OCP", "pypdfium2"),
    ),
    "wizard.cli": (("click",), ()),
    "wizard.app": (("streamlit", "plotly", "pandas", "numpy"), ()),
}


def unit_of(name: str) -> str:
    """The unit a dotted name belongs to; empty for a bare package or a name nobody gave a place."""
    return next((unit for unit in UNITS if inside(name, unit)), "")


def own(target: str) -> bool:
    """Whether a name is one of the project's own packages."""
    return target.partition(".")[0] in PACKAGES


def at(module: Module, found: Import, why: str) -> str:
    """One finding, with its place."""
    return f"{module.name}:{found.line} imports {found.target}: {why}"


def homeless(house: House) -> list[str]:
    """Modules that stand on no floor."""
    return [
        f"{module.name} stands on no floor; give it a place in FLOORS"
        for module in house.modules.values()
        if not unit_of(module.name) and module.name not in PACKAGES
    ]


def upward(house: House) -> list[str]:
    """Imports that do not point down."""
    return [
        at(module, found, why)
        for module in house.modules.values()
        for found in house.imports(module)
        if own(found.target) and (why := refused(unit_of(module.name), found.target))
    ]


def refused(unit: str, target: str) -> str:
    """Why a unit may not import a target; empty when it may."""
    other = unit_of(target)
    if not other:
        return "it is no unit of the house"
    if not unit or other == unit:
        return ""
    if unit in ONLY and other not in ONLY[unit]:
        return f"{unit} may reach only {', '.join(ONLY[unit]) or 'nothing of the house'}"
    if other == "data_demo":
        return "" if unit == "wizard.desk" else "only wizard.desk opens the demo"
    if unit.startswith("kb.") and other.startswith("wizard."):
        return "what is kept knows nothing of what works things out"
    if LEVEL[other] >= LEVEL[unit]:
        return f"{other} does not lie below {unit}"
    if unit == "wizard.papers" and other == "wizard.engine" and not among(target, PAPERS_MAY_USE):
        return "papers read the stored record, never the live design"
    if unit == "wizard.app" and other == "wizard.papers" and not among(target, SCREENS_MAY_USE):
        return "screens draw the papers' neutral shapes and nothing else of them"
    return ""


def among(target: str, units: tuple[str, ...]) -> bool:
    """Whether a target is or lies inside one of the units."""
    return any(inside(target, unit) for unit in units)


def out_of_order(house: House) -> list[str]:
    """Imports of a later stage of the engine, and stages nobody gave a place."""
    findings = []
    for module in house.within("wizard.engine"):
        stage = stage_of(module.name)
        if stage and stage not in STAGES:
            findings.append(f"{module.name} is no stage of the engine; give it a place in STAGES")
            continue
        for found in house.imports(module):
            if (other := stage_of(found.target)) in STAGES and later(other, stage):
                findings.append(at(module, found, f"{other} comes after {stage}"))
    return findings


def stage_of(name: str) -> str:
    """The stage of the engine a dotted name belongs to; empty outside it."""
    parts = name.split(".")
    return parts[2] if parts[:2] == ["wizard", "engine"] and len(parts) > 2 else ""


def later(other: str, stage: str) -> bool:
    """Whether one stage comes after another."""
    return STAGES.index(other) > STAGES.index(stage)


def formulas_with_nouns(house: House) -> list[str]:
    """Formulas that import more of the house than errors, plane geometry and each other."""
    return [
        at(module, found, "a formula takes plain numbers and knows no nouns")
        for module in house.within("wizard.engine.formulas")
        for found in house.imports(module)
        if own(found.target) and not among(found.target, FORMULAS_MAY_USE)
    ]


def foreign_libraries(house: House) -> list[str]:
    """Libraries a unit is not meant to know, or knows too early."""
    return [
        at(module, found, f"no library for {unit_of(module.name) or module.name}" + early(found))
        for module in house.modules.values()
        for found in house.imports(module)
        if not own(found.target)
        and found.target.partition(".")[0] not in sys.stdlib_module_names
        and not may_use(unit_of(module.name), found)
    ]


def may_use(unit: str, found: Import) -> bool:
    """Whether a unit may import a library at that place."""
    at_top, inside_functions = LIBRARIES.get(unit, ((), ()))
    if found.target == MADE_UP:
        return unit == "wizard.cli"  # commands are loaded by name, each when it is called
    name = found.target.partition(".")[0]
    return name in at_top or (found.late and name in inside_functions)


def early(found: Import) -> str:
    """Where the import stands, for the finding."""
    return " inside a function" if found.late else " at the top of a file"


def cycles(house: House) -> list[str]:
    """A ring of modules that import each other, if there is one."""
    graph = {
        module.name: {
            found.target
            for found in house.imports(module)
            if found.target in house.modules and found.target != module.name
        }
        for module in house.modules.values()
    }
    try:
        graphlib.TopologicalSorter(graph).prepare()
    except graphlib.CycleError as error:
        return [" → ".join(error.args[1])]
    return []


def joiners(house: House) -> list[str]:
    """Folders other than the desk that bring two of store, engine and papers together."""
    three = ("kb.store", "wizard.engine", "wizard.papers")
    findings = []
    for unit in (unit for unit in UNITS if unit != "wizard.desk"):
        targets = [f.target for module in house.within(unit) for f in house.imports(module)]
        met = {one for one in three if unit != one and any(inside(t, one) for t in targets)}
        if len(met) > 1:
            findings.append(f"{unit} brings {' and '.join(sorted(met))} together")
    return findings


def test_every_module_stands_on_a_floor(house: House) -> None:
    assert not homeless(house)


def test_imports_only_point_down(house: House) -> None:
    assert not upward(house)


def test_a_stage_of_the_engine_imports_only_earlier_ones(house: House) -> None:
    assert not out_of_order(house)


def test_formulas_know_no_nouns(house: House) -> None:
    assert not formulas_with_nouns(house)


def test_each_unit_knows_only_its_own_libraries(house: House) -> None:
    assert not foreign_libraries(house)


def test_no_ring_of_imports(house: House) -> None:
    assert not cycles(house)


def test_only_the_desk_knows_store_engine_and_papers_together(house: House) -> None:
    assert not joiners(house)


def test_the_guards_see_the_whole_house(house: House) -> None:
    """An empty reading would pass every guard: the nouns and the errors are there for certain."""
    assert {"kb.errors", "kb.quantity", "kb.model.unit", "wizard.engine"} <= set(house.modules)
    assert any(found.target == "kb.errors" for found in house.imports(house.modules["kb.quantity"]))


# ── each guard on a house that breaks its rule ──────────────────────────────


def test_a_module_without_a_floor_is_found(sketch: Sketch) -> None:
    assert homeless(sketch({"wizard/attic.py": ""})) == [
        "wizard.attic stands on no floor; give it a place in FLOORS"
    ]


def test_upward_imports_are_found_wherever_they_stand(sketch: Sketch) -> None:
    bad = sketch({
        "kb/store/rows.py": "from wizard.words import label\n",
        "wizard/words.py": "",
        "wizard/engine/design.py": "def design():\n    import kb.store.rows\n",
        "wizard/making/route.py": "from wizard.bench import sweep\n",
        "wizard/bench/sweep.py": "",
        "wizard/cli/main.py": "from kb import store\nfrom wizard.engine.design import design\n",
        "wizard/app/main.py": "from importlib import import_module\nimport_module('kb.store.rows')\n",
        "kb/standards/loader.py": "from .. import quantity\nfrom ..sheets import reading\n",
        "kb/quantity.py": "if True:\n    from kb.model import unit\n",
        "kb/model/unit.py": "",
        "kb/sheets/reading.py": "import kb.standards.loader\n",
    })  # fmt: skip
    found = upward(bad)
    assert [line.partition(": ")[0] for line in found] == [
        "kb.quantity:2 imports kb.model.unit",
        "kb.standards.loader:2 imports kb.sheets.reading",
        "kb.store.rows:1 imports wizard.words",
        "wizard.app.main:2 imports kb.store.rows",
        "wizard.cli.main:1 imports kb.store",
        "wizard.cli.main:2 imports wizard.engine.design",
        "wizard.engine.design:2 imports kb.store.rows",
        "wizard.making.route:1 imports wizard.bench.sweep",
    ]


def test_papers_do_not_read_the_live_design_and_screens_write_no_paper(sketch: Sketch) -> None:
    bad = sketch({
        "wizard/engine/design.py": "",
        "wizard/engine/formulas/circle.py": "",
        "wizard/papers/section.py": "from wizard.engine import design\n"
        "from wizard.engine.formulas.circle import holes\n",
        "wizard/papers/cut.py": "",
        "wizard/app/screens/pair.py": "from wizard.papers import cut, section\n",
    })  # fmt: skip
    assert upward(bad) == [
        "wizard.app.screens.pair:1 imports wizard.papers.cut: "
        "screens draw the papers' neutral shapes and nothing else of them",
        "wizard.papers.section:1 imports wizard.engine.design: "
        "papers read the stored record, never the live design",
    ]


def test_the_demo_is_opened_by_the_desk_alone(sketch: Sketch) -> None:
    bad = sketch({
        "data_demo/__init__.py": "",
        "wizard/desk/demo.py": "import data_demo\n",
        "wizard/cli/main.py": "import data_demo\n",
    })  # fmt: skip
    assert [line.split()[0] for line in upward(bad)] == ["wizard.cli.main:1"]


def test_a_later_stage_and_a_stage_without_a_place_are_found(sketch: Sketch) -> None:
    bad = sketch({
        "wizard/engine/lineup.py": "def go():\n    from wizard.engine.checks import plate\n",
        "wizard/engine/checks/plate.py": "from wizard.engine import lineup\n",
        "wizard/engine/guesses.py": "",
    })  # fmt: skip
    assert out_of_order(bad) == [
        "wizard.engine.guesses is no stage of the engine; give it a place in STAGES",
        "wizard.engine.lineup:2 imports wizard.engine.checks.plate: checks comes after lineup",
    ]


def test_a_formula_that_takes_a_noun_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/model/unit.py": "",
        "wizard/engine/formulas/posts.py": "from kb.model.unit import Hole\nimport kb.errors\n",
    })  # fmt: skip
    assert len(formulas_with_nouns(bad)) == 1


def test_a_library_in_the_wrong_place_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/model/unit.py": "import numpy\n",
        "wizard/engine/axial.py": "import scipy.stats\n\ndef go():\n    import scipy\n"
        "    import pandas\n",
        "wizard/desk/jobs.py": "from sqlalchemy import text\n",
        "wizard/app/main.py": "import streamlit\n",
    })  # fmt: skip
    assert [line.partition(": ")[0] for line in foreign_libraries(bad)] == [
        "kb.model.unit:1 imports numpy",
        "wizard.desk.jobs:1 imports sqlalchemy",
        "wizard.engine.axial:1 imports scipy.stats",
        "wizard.engine.axial:5 imports pandas",
    ]


def test_a_library_named_at_run_time_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "wizard/desk/jobs.py": "import importlib\n\ndef go(name):\n"
        "    return importlib.import_module(name)\n",
    })  # fmt: skip
    assert len(foreign_libraries(bad)) == 1


def test_a_ring_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/model/unit.py": "def go():\n    from kb.model import chain\n",
        "kb/model/chain.py": "import kb.model.unit\n",
    })  # fmt: skip
    assert cycles(bad)


def test_a_second_joiner_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/store/rows.py": "",
        "wizard/papers/cut.py": "",
        "wizard/cli/main.py": "import kb.store.rows\nimport wizard.papers.cut\n",
    })  # fmt: skip
    assert joiners(bad) == ["wizard.cli brings kb.store and wizard.papers together"]
