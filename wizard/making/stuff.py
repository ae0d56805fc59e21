"""A part of an answer as the shop has it in hand: its edge, and what it is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kb.errors import NotTabulated
from kb.model.parts import Segment
from kb.standards.materials import Material, material

Row = Mapping[str, Any]
FAMILY_OF_BUSHES = "bronze"


def outline(part: Row) -> tuple[Segment, ...]:
    """The outer profile of a part, as the design gives it."""
    return tuple(
        Segment(
            kind=piece["kind"], start=_spot(piece["start"]), end=_spot(piece["end"]),
            centre=_spot(piece["centre"]) if piece.get("centre") is not None else None,
            radius=piece.get("radius"), ccw=piece.get("ccw", True),
        )
        for piece in part.get("outline") or ()
    )  # fmt: skip


def _spot(pair: Sequence[float]) -> tuple[float, float]:
    return float(pair[0]), float(pair[1])


def stuff(part: Row) -> Material | None:
    """The material of a part; ``None`` where it is not tabulated."""
    try:
        return material(str(part.get("material") or ""))
    except NotTabulated:
        return None


def family(part: Row) -> str:
    """Family of a part's material, as speeds and prices are listed; empty where nobody knows."""
    if FAMILY_OF_BUSHES in str(part.get("material") or ""):
        return FAMILY_OF_BUSHES
    found = stuff(part)
    return found.family if found else ""
