"""What README and DEVELOPERS say is so.

Sources: the documents themselves against the code; for the README's sheet a closed form, the sum
of the axial chain (common practice, no source).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement

from kb.sheets.reading import read
from tests.architecture.house import FLOORS, ROOT, STAGES, House

RUN = (
    "python3 -m venv .venv && .venv/bin/pip install -c .ci/locked.txt -e . "
    "&& .venv/bin/trialfit demo"
)
TEST = (
    "python3 -m venv .venv && .venv/bin/pip install -c .ci/locked.txt -e '.[test]' "
    "&& .venv/bin/pytest -n 2 --dist loadfile"
)
PLACES = re.compile(r"`((?:kb|wizard|tests|data_demo|\.ci)(?:/[\w./-]*)?)`")
PIN = re.compile(r"^([A-Za-z0-9][\w.-]*)==([\w.!+]+)(?: ; .+)?$")


def missing_places(text: str, root: Path) -> list[str]:
    """Files and folders a document names that are not there."""
    return [place for place in PLACES.findall(text) if not (root / place).exists()]


def unnamed(house: House, text: str) -> list[str]:
    """Units and stages of the house that the drawing of it leaves out."""
    drawing = text.partition("## The house")[2].partition("```\n")[2].partition("```")[0]
    words = set(re.findall(r"[\w.]+", drawing))
    units = {unit.partition(".")[2] for floor in FLOORS for unit in floor}
    there = {unit for unit in units if any(m.endswith("." + unit) for m in house.modules)}
    return sorted(
        name for name in there | set(STAGES) if name not in words and f"{name}.py" not in words
    )


def floors_told(text: str) -> list[set[str]]:
    """The floors as DEVELOPERS tells them, from the ground up."""
    table = text.partition("## The floors")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| [\w ,]+ \| (`.+`) \|$", table, re.MULTILINE)
    return [set(re.findall(r"`([\w.]+)`", row)) for row in rows]


def commands_told(text: str) -> set[str]:
    """The commands the README's table lists."""
    return set(re.findall(r"^\| `trialfit (\w+)", text, re.MULTILINE))


def pins(text: str) -> Mapping[str, list[str]]:
    """Names and versions of the pinned libraries; a line that is no plain pin is refused."""
    found: dict[str, list[str]] = {}
    for line in text.splitlines():
        match = PIN.match(line)
        assert match, f"not a plain pin: {line}"
        found.setdefault(plain(match[1]), []).append(match[2])
    return found


def plain(name: str) -> str:
    """A library's name in the one spelling the packaging specifications compare by (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def asked_for(project: Mapping[str, Any]) -> Iterator[Requirement]:
    """Every library the project asks for, extras included."""
    for text in project["dependencies"]:
        yield Requirement(text)
    for extra in project["optional-dependencies"].values():
        yield from (Requirement(text) for text in extra)


def unmet(project: Mapping[str, Any], pinned: Mapping[str, list[str]]) -> list[str]:
    """Libraries asked for that are not pinned at a version that will do."""
    return [
        str(wanted)
        for wanted in asked_for(project)
        if not any(wanted.specifier.contains(v) for v in pinned.get(plain(wanted.name), ()))
    ]


@pytest.fixture(scope="module")
def readme() -> str:
    return (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def developers() -> str:
    return (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def project() -> Mapping[str, Any]:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    told: Mapping[str, Any] = tomllib.loads(text)["project"]
    return told


def test_the_readme_opens_with_the_job_and_the_two_commands(readme: str) -> None:
    opening = readme.partition("\n## ")[0].strip().split("\n\n")
    assert [part.startswith("#") for part in opening] == [True, False]
    lines = readme.splitlines()
    assert RUN in lines
    assert TEST in lines


def test_the_readme_lists_every_command(readme: str) -> None:
    import click

    from wizard.cli.main import main

    assert isinstance(main, click.Group)
    assert commands_told(readme) == set(main.list_commands(click.Context(main)))


def test_the_readmes_sheet_gives_the_length_it_says(readme: str) -> None:
    """Closed form: plate + seat depth − standoff − offset − middle of the wanted gap.

    What the sheet leaves out is not asked for, so nothing in it may fail.
    """
    from wizard.engine.design import design

    sheet = readme.partition("```toml\n")[2].partition("```")[0]
    told = re.search(r"19\.05 \+ 28\.58 − 6\.35 − 8\.00 − 4\.00 = (\d+\.\d+) mm", readme)
    assert told
    done = design(read(sheet))
    chain = done.chain
    assert chain is not None
    assert float(told[1]) == pytest.approx(19.05 + 28.58 - 6.35 - 8.00 - (3.2 + 4.8) / 2)
    assert chain.spacer == pytest.approx(float(told[1]), abs=1e-9)
    assert not [check.id for check in done.checks if check.status == "fail"]


def test_every_place_the_documents_name_is_there(readme: str, developers: str) -> None:
    assert not missing_places(readme + developers, ROOT)


def test_the_drawing_of_the_house_is_complete(house: House, developers: str) -> None:
    assert not unnamed(house, developers)


def test_the_floors_are_told_as_they_are_kept(developers: str) -> None:
    assert floors_told(developers) == [set(floor) for floor in FLOORS]


def test_every_library_is_pinned_and_no_host_is_named(project: Mapping[str, Any]) -> None:
    pinned = pins((ROOT / ".ci/locked.txt").read_text(encoding="utf-8"))
    assert not unmet(project, pinned)
    assert project["name"] not in pinned


# ── each guard on a text that is wrong ──────────────────────────────────────


def test_a_place_that_is_not_there_is_found() -> None:
    text = "see `kb/errors.py`, `kb/attic.py` and `tests/nowhere`"
    assert missing_places(text, ROOT) == ["kb/attic.py", "tests/nowhere"]


def test_a_gap_in_the_drawing_is_found(house: House, developers: str) -> None:
    assert unnamed(house, re.sub(r"\n  plane/.*", "", developers, count=1)) == ["plane"]


def test_a_floor_told_wrongly_is_found(developers: str) -> None:
    wrong = developers.replace("| `wizard.papers`, `kb.store` |", "| `wizard.papers` |")
    assert floors_told(wrong) != [set(floor) for floor in FLOORS]


def test_a_library_without_a_good_pin_is_found() -> None:
    project = {
        "dependencies": ["NumPy>=2.0", "click>=8.1"],
        "optional-dependencies": {"test": ["ruff>=0.9"]},
    }
    assert unmet(project, pins("numpy==1.26.4\nclick==8.5.1 ; python_version >= '3.11'")) == [
        "NumPy>=2.0",
        "ruff>=0.9",
    ]


@pytest.mark.parametrize(
    "line", ["--index-url https://example.org/simple", "a @ https://example.org/a.whl", "a>=1"]
)
def test_a_line_that_is_no_pin_is_refused(line: str) -> None:
    with pytest.raises(AssertionError, match="not a plain pin"):
        pins(line)
