"""Balance quality grades of ISO 21940-11."""

from __future__ import annotations

from dataclasses import dataclass

from kb.errors import NotTabulated
from kb.standards.loader import table


@dataclass(frozen=True, kw_only=True)
class BalanceGrade:
    """A grade: its name, permissible e·ω [mm/s], the rotors it is meant for, and who says so."""

    name: str
    value_mm_s: float
    rotors: str
    source: str


def grade(name: str) -> float:
    """Permissible speed of the centre of mass, e·ω [mm/s], of a grade such as ``"G6.3"``.

    Raises:
        NotTabulated: another grade.
    """
    wanted = name.replace(" ", "").upper().removeprefix("G")
    for each in grades():
        if each.name.removeprefix("G") == wanted:
            return each.value_mm_s
    held = ", ".join(each.name for each in grades())
    raise NotTabulated(table("balance_grades").passport.title, name, held)


def grades() -> tuple[BalanceGrade, ...]:
    """Every grade, coarsest first."""
    held = table("balance_grades")
    return tuple(
        BalanceGrade(
            name=row.text("grade"),
            value_mm_s=row.value("value"),
            rotors=row.text("rotors"),
            source=held.passport.source,
        )
        for row in held
    )
