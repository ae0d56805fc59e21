"""Whole jobs whose numbers are worked by hand, some keys altered, and what a check says of them.

A `Row` is one such alteration: what a fitter would expect of one check, with the arithmetic
beside it. The rows of a family stand in its test; `assert_row` runs them.
"""

from __future__ import annotations

import functools
import json
import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from kb.model.check import STATUSES, Check
from kb.model.record import Design
from kb.model.request import Request
from kb.sheets.reading import read
from wizard.engine.design import design

SHEETS = Path(__file__).parent / "sheets"
KINDS = ("converter", "shaft", "flange")
FEW = 400  # draws; the chances are looked at elsewhere
INCH = 25.4
NOT_RUN = "not run"

_STEP = re.compile(r"([^.\[\]]+)|\[(\d+)\]")
_PLAIN = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True)
class Row:
    """What one check must say of one altered job.

    Attributes:
        kind: Which whole job. change: Keys set anew, dotted, a place in a list as ``[n]`` from 0;
            ``None`` takes a key out. limits: Limits of the rule set moved for this row.
        margin: Worked by hand, in the unit of the check; ``None`` where there is none.
        lacks: What an unknown check, or one that is not run, must say it lacks.
        near: How closely the margin must agree, absolutely.
        says: A word the sentence must hold.
    """

    kind: str
    change: Mapping[str, object]
    status: str
    margin: float | None = None
    lacks: tuple[str, ...] = ()
    near: float = 1e-6
    limits: Mapping[str, float] = field(default_factory=dict)
    says: str = ""


Rows = Mapping[str, tuple[Row, ...]]


def rows(table: Rows) -> Any:
    """One test for every row of a table, named after its check."""
    return pytest.mark.parametrize(
        ("id", "row"),
        [pytest.param(id, row, id=f"{id}-{n}") for id, some in table.items()
         for n, row in enumerate(some)],
    )  # fmt: skip


# ── sheets ──────────────────────────────────────────────────────────────────


def whole(kind: str) -> dict[str, Any]:
    """The tables of one whole job, to be altered at will."""
    return tomllib.loads((SHEETS / f"{kind}.toml").read_text(encoding="utf-8"))


def altered(kind: str, change: Mapping[str, object]) -> str:
    """The text of a whole job with some keys set anew or taken out."""
    tables = whole(kind)
    for key, value in change.items():
        _set(tables, key, value)
    return toml(tables)


def _set(tables: dict[str, Any], key: str, value: object) -> None:
    *path, last = [name if name else int(place) for name, place in _STEP.findall(key)]
    inside: Any = tables
    for step in path:
        inside = inside.setdefault(step, {}) if isinstance(inside, dict) else inside[step]
    if value is None:
        del inside[last]
    else:
        inside[last] = value


def toml(tables: Mapping[str, object]) -> str:
    """Tables as a TOML text, every table below the first level on one line."""
    return "".join(f"{_key(name)} = {_value(item)}\n" for name, item in tables.items())


def _key(name: str) -> str:
    return name if _PLAIN.fullmatch(name) else json.dumps(name, ensure_ascii=False)


def _value(item: object) -> str:
    if isinstance(item, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in item.items()) + " }"
    if isinstance(item, list | tuple):
        return "[" + ", ".join(_value(one) for one in item) + "]"
    if isinstance(item, bool):
        return str(item).lower()
    return json.dumps(item, ensure_ascii=False)


def request_of(kind: str, change: Mapping[str, object] | None = None) -> Request:
    """A whole job with some keys altered, as the engine takes it."""
    return read(altered(kind, change or {}))


def design_of(
    kind: str,
    change: Mapping[str, object] | None = None,
    *,
    limits: Mapping[str, float] | None = None,
) -> Design:
    """A whole job with some keys altered, worked out; alike jobs are worked out once."""
    return _worked(altered(kind, change or {}), tuple(sorted((limits or {}).items())))


@functools.cache
def _worked(text: str, limits: tuple[tuple[str, float], ...]) -> Design:
    return design(read(text), shop_limits=dict(limits), draws=FEW)


def check_of(made: Design, id: str) -> Check | None:
    """What a check said, or ``None`` when it was not run."""
    return next((one for one in made.checks if one.id == id), None)


def lacks_of(made: Design, id: str) -> tuple[str, ...]:
    """What a check that was not run says it lacks."""
    return dict(made.not_run)[id]


# ── what is expected ────────────────────────────────────────────────────────


def assert_row(id: str, row: Row) -> None:
    """One check of one altered job says what was worked out by hand."""
    made = design_of(row.kind, row.change, limits=row.limits)
    found = check_of(made, id)
    if row.status == NOT_RUN:
        assert found is None
        assert lacks_of(made, id) == row.lacks
        return
    assert found is not None, f"{id} was not run, for lack of {lacks_of(made, id)}"
    assert_well_formed(found)
    assert found.status == row.status, found.says
    assert row.says in found.says
    if row.status == "unknown":
        assert found.because == row.lacks
    if row.margin is None:
        assert found.margin is None
    else:
        assert found.margin == pytest.approx(row.margin, abs=row.near, rel=0)


def assert_well_formed(found: Check) -> None:
    """A check's answer is whole: a known status, one sentence, a finite margin with its unit."""
    assert found.status in STATUSES
    assert found.says
    assert "\n" not in found.says
    assert "nan" not in found.says.lower().split()
    assert (found.margin is None) == (found.unit == "")
    if found.margin is not None:
        assert math.isfinite(found.margin)
    if found.status == "unknown":
        assert found.margin is None
        assert found.because
    else:
        assert found.source
