"""Runout limits of housings, flywheels and what turns, each by the name of who sets it.

Sources differ threefold, and the method of sweeping is part of a limit: a limit is never
given without the name of its owner. All are total indicator readings.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.errors import InputError, NotTabulated
from kb.standards.loader import Row, table

HOUSING = "flywheel housing"
SAE = "SAE J617 and J1033"
ENGINE_MAKER = "an engine maker"
GENERATOR_MAKER = "a maker of single-bearing generators"


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One runout limit.

    Attributes:
        item: What is swept. size: SAE number of the housing, or ``""``.
        by: Who sets it.
        tir: Largest total indicator reading [mm]; ``None`` where it grows with the diameter.
        ratio: The limit as a share of the diameter or radius swept; ``None`` where it is fixed.
        per: ``""``, ``"diameter"`` or ``"radius"``.
        cap: Never more than this [mm], or ``None``.
        source: Standard or practice. how: read or memory.
    """

    item: str
    size: str
    by: str
    tir: float | None
    ratio: float | None
    per: str
    cap: float | None
    source: str
    how: str

    def at(self, diameter: float) -> float:
        """The limit at a swept diameter [mm].

        Raises:
            InputError: a diameter not above 0.
        """
        if not 0 < diameter < float("inf"):
            raise InputError("diameter", diameter, "write the diameter swept, above 0")
        if self.ratio is None:
            assert self.tir is not None  # a row has the one or the other
            return self.tir
        grown = self.ratio * (diameter if self.per == "diameter" else diameter / 2)
        return grown if self.cap is None else min(grown, self.cap)


def limits(item: str, size: str = "") -> tuple[Limit, ...]:
    """Every limit held for an item, by whom.

    Args:
        item: As in ``items()``: ``"flywheel housing"``, ``"drive plate"``, …
        size: SAE number for the flywheel housing: ``"3"``.
    Raises:
        NotTabulated: no such item or size.
    """
    rows = [row for row in table("runout") if row.text("item") == item.strip().casefold()]
    if not rows:
        raise NotTabulated(table("runout").passport.title, item, ", ".join(items()))
    found = tuple(_limit(row) for row in rows if row.text("size") == size)
    if not found:
        held = ", ".join(dict.fromkeys(row.text("size") or "no size" for row in rows))
        raise NotTabulated(table("runout").passport.title, f"{item} {size}".strip(), held)
    return found


def items() -> tuple[str, ...]:
    """Everything a limit is held for."""
    return tuple(dict.fromkeys(row.text("item") for row in table("runout")))


def _limit(row: Row) -> Limit:
    return Limit(
        item=row.text("item"),
        size=row.text("size"),
        by=row.text("by"),
        tir=row.optional("tir"),
        ratio=row.optional("ratio"),
        per=row.text("basis").removeprefix("tir").removeprefix(" per "),
        cap=row.optional("cap"),
        source=row.text("source"),
        how=row.how("tir"),
    )
