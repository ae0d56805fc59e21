"""Materials: density, stiffness, strength, expansion.

Where a source prints a range of strengths the lower end is taken; where it prints a range of
moduli, the middle. A material named without its grade has no strength, never a guessed one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from kb.errors import NotTabulated
from kb.standards.loader import Row, table

FAMILIES = ("steel", "aluminium", "grey iron", "ductile iron")


@dataclass(frozen=True, kw_only=True)
class Material:
    """A material.

    Attributes:
        name: Its name here. family: steel, aluminium, grey iron or ductile iron.
        density_kg_m3: Density [kg/m³].
        e_mpa: Modulus of elasticity [MPa].
        nu: Poisson's ratio.
        yield_mpa: Yield strength [MPa]; ``None`` for brittle or unnamed grades.
        ultimate_mpa: Ultimate strength [MPa]; ``None`` for an unnamed grade.
        cte_per_k: Thermal expansion [1/K].
        source: Who says so.
        memory: ``True`` when any of these figures is from memory.
        note: What was decided in taking the figures, or ``""``.
    """

    name: str
    family: str
    density_kg_m3: float
    e_mpa: float
    nu: float
    yield_mpa: float | None
    ultimate_mpa: float | None
    cte_per_k: float
    source: str
    memory: bool
    note: str


@cache
def material(name: str) -> Material:
    """The material of that name, forgiving case, spaces, hyphens and the usual other names.

    Raises:
        NotTabulated: a material not held; it names the ones that are.
    """
    found = _by_name().get(_plain(name))
    if found is None:
        raise NotTabulated("Materials", name, ", ".join(names()))
    return found


def names() -> tuple[str, ...]:
    """Names of every material held."""
    return tuple(row.text("name") for row in table("materials"))


def weakest(family: str) -> Material:
    """The material of a family with the lowest ultimate strength held.

    For a grade nobody named, where an assumption is better than none; whoever uses it says so.

    Raises:
        NotTabulated: a family not held.
    """
    graded = [each for each in _by_name().values() if each.family == family and each.ultimate_mpa]
    if not graded:
        raise NotTabulated("Materials", family, ", ".join(FAMILIES))
    return min(graded, key=lambda each: each.ultimate_mpa or 0.0)


@cache
def _by_name() -> dict[str, Material]:
    held: dict[str, Material] = {}
    for row in table("materials"):
        made = _material(row)
        for name in (row.text("name"), *row.text("aliases").split("|")):
            held[_plain(name)] = made
    return held


def _material(row: Row) -> Material:
    figures = ("density", "e_from", "nu", "yield", "ultimate", "cte")
    lower, upper = row.value("e_from"), row.optional("e_to")
    return Material(
        name=row.text("name"),
        family=row.text("family"),
        density_kg_m3=row.value("density"),
        e_mpa=lower if upper is None else (lower + upper) / 2,
        nu=row.value("nu"),
        yield_mpa=row.optional("yield"),
        ultimate_mpa=row.optional("ultimate"),
        cte_per_k=row.value("cte"),
        source=row.text("source"),
        memory=any(row.text(each) and row.how(each) == "memory" for each in figures),
        note=row.text("note"),
    )


def _plain(name: str) -> str:
    return re.sub(r"[\s\-_.]+", "", name).casefold()
