"""Bolt grades and property classes, and torque factors."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from kb.errors import NotTabulated
from kb.standards.loader import MATCH, Row, table

_WORDS = re.compile(
    r"^(sae|iso|j429|898-1|grade|class|property class|gr\.?|cl\.?)\s+", re.IGNORECASE
)


@dataclass(frozen=True, kw_only=True)
class Grade:
    """The strength of a bolt grade or property class at one size.

    Attributes:
        name: ``"5"``, ``"8.8"``.
        proof_mpa, yield_mpa, tensile_mpa: Proof stress, yield strength (or stress at 0.2 %
            elongation) and least tensile strength [MPa].
        source: Who says so.
    """

    name: str
    proof_mpa: float
    yield_mpa: float
    tensile_mpa: float
    source: str


@dataclass(frozen=True, kw_only=True)
class TorqueFactor:
    """K of T = K·d·F in one state of the threads."""

    condition: str
    factor: float
    source: str
    how: str


@cache
def grade(name: str, nominal: float) -> Grade:
    """The strength of a grade at a nominal diameter.

    Args:
        name: ``"5"``, ``"grade 8"`` (SAE J429: 2, 5, 8), ``"8.8"``, ``"class 10.9"``
            (ISO 898-1: 8.8, 10.9, 12.9).
        nominal: Nominal diameter of the bolt [mm].
    Raises:
        NotTabulated: another grade, or a size the standard does not cover.
    """
    wanted = _plain(name)
    rows = [row for row in _rows() if row.text("grade") == wanted]
    if not rows:
        raise NotTabulated("Bolt grades", name, ", ".join(grades()))
    for row in rows:
        if _covers(row, nominal):
            return _grade(row)
    least, most = rows[0].value("from"), rows[-1].value("to")
    held = f"that grade from {least:g} to {most:g} mm"
    raise NotTabulated(rows[0].passport.title, f"{wanted} at {nominal:g} mm", held)


def grades() -> tuple[str, ...]:
    """Names of every grade and class held."""
    return tuple(dict.fromkeys(row.text("grade") for row in _rows()))


def torque_factors() -> tuple[TorqueFactor, ...]:
    """Every torque factor held, with who says so; sources differ, so several stand side by side."""
    return tuple(
        TorqueFactor(
            condition=row.text("condition"),
            factor=row.value("factor"),
            source=row.text("source"),
            how=row.how("factor"),
        )
        for row in table("torque_factors")
    )


def _rows() -> tuple[Row, ...]:
    return (*table("bolt_grades_inch").rows, *table("bolt_grades_metric").rows)


def _covers(row: Row, nominal: float) -> bool:
    slack = -MATCH if row.text("from_excluded") == "yes" else MATCH
    return row.value("from") - slack <= nominal <= row.value("to") + MATCH


def _grade(row: Row) -> Grade:
    return Grade(
        name=row.text("grade"),
        proof_mpa=row.value("proof"),
        yield_mpa=row.value("yield"),
        tensile_mpa=row.value("tensile"),
        source=row.passport.source,
    )


def _plain(name: str) -> str:
    text, before = name.strip(), ""
    while text != before:
        before, text = text, _WORDS.sub("", text)
    return text
