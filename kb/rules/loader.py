"""Rule sets and instruments as data: limits with their sources.

A rule set is the common limits with what it changes; a shop may hand in changes of its own.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from importlib import resources
from typing import Any

from kb.errors import InputError
from kb.model.shop import Instrument, Layout, Limit, Process, RuleSet

PRACTICE = "common practice, no source"


def rule_set(name: str, *, changes: Mapping[str, float] | None = None) -> RuleSet:
    """The limits of a rule set, with a shop's own changes laid over it.

    Args:
        name: ``light manual``, ``automatic road car`` or ``heavy industrial``.
        changes: Limits the shop has changed, by name.
    Raises:
        InputError: no such rule set or limit.
    """
    sets = _toml("sets.toml")
    if name not in sets:
        raise InputError("choices.rules", name, "write one of " + ", ".join(sets))
    limits = dict(_limits())
    for change in sets[name].get("change", []):
        limits[change["name"]] = replace(
            limits[change["name"]], value=change["value"], source=_source(change["source"])
        )
    for key, value in (changes or {}).items():
        if key not in limits:
            near = difflib.get_close_matches(key, limits, n=1)
            hint = f"did you mean {near[0]}?" if near else "it is not a limit of any rule set"
            raise InputError("rules", key, hint)
        limits[key] = replace(limits[key], value=value, source="the shop's own limit")
    return RuleSet(name=name, title=sets[name]["title"], limits=limits)


def rule_set_for(kind: str) -> str:
    """Name of the rule set a kind of drive takes when the job names none."""
    for name, entry in _toml("sets.toml").items():
        if entry["kind"] == kind:
            return str(name)
    return "heavy industrial"


def rule_set_names() -> tuple[str, ...]:
    """Names of the rule sets held."""
    return tuple(_toml("sets.toml"))


@cache
def instruments() -> Mapping[str, Instrument]:
    """Every instrument with its honest ± [mm] and spread, by name."""
    table = _toml("instruments.toml")
    return {
        name: Instrument(
            name=name, within=row["within"], spread=row["spread"], source=table["source"],
            in_shop=row.get("in_shop", True),
        )
        for name, row in table["instruments"].items()
    }  # fmt: skip


def layout(name: str, *, dialled: bool = False) -> Layout:
    """How true a way of laying out comes out; ``dialled``: dowels bored after indicating."""
    table = _toml("making.toml")
    row = dict(table["layouts"][name])
    return Layout(**(row | table["dialled"] if dialled else row))


def turning_offset(setting: str) -> float:
    """Offset of axis that a way of holding the work on the lathe brings in [mm]."""
    return float(_toml("making.toml")["turning"][setting])


@cache
def processes() -> Mapping[str, Process]:
    """Ways a plate is cut to its outline, by name."""
    return {
        name: Process(
            name=name, share=float(row["share"]), most=float(row["most"]), cuts=tuple(row["cuts"])
        )
        for name, row in _toml("making.toml")["processes"].items()
    }


def within_by_source(source: str) -> float:
    """The ± [mm] of a value by where it comes from, when no instrument is named."""
    return float(_toml("instruments.toml")["sources"][source])


@cache
def _limits() -> Mapping[str, Limit]:
    return {
        f"{check}.{name}": Limit(
            name=f"{check}.{name}", value=float(row["value"]), unit=row["unit"],
            source=_source(row["source"]),
        )
        for check, rows in _toml("limits.toml").items()
        for name, row in rows.items()
    }  # fmt: skip


def _source(tag: str) -> str:
    return PRACTICE if tag == "CP" else tag


@cache
def _toml(name: str) -> dict[str, Any]:
    text = resources.files("kb.rules").joinpath(name).read_text(encoding="utf-8")
    return tomllib.loads(text)
