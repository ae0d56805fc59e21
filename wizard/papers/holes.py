"""The hole table of every part made, as figures and as cells in both unit systems."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kb.quantity import MM_PER_INCH
from wizard import words
from wizard.making.held import place
from wizard.papers.document import Document

INCH = float(MM_PER_INCH)
SEEN_FROM = "behind the engine, gearbox side up; X right, Y up, from the crankshaft axis"


@dataclass(frozen=True, kw_only=True)
class HoleRow:
    """One hole of a part; lengths in mm, angle anticlockwise from X in degrees.

    ``within``: diameter its middle stays in."""

    part: str
    id: str
    purpose: str
    kind: str
    side: str
    x: float
    y: float
    radius: float
    angle: float
    diameter: float
    low: float | None
    high: float | None
    depth: float | None
    thread: str
    counterbore: float | None
    counterbore_depth: float | None
    countersink: float | None
    countersink_angle: float | None
    within: float
    source: str


def hole_rows(doc: Document) -> tuple[HoleRow, ...]:
    """Every hole of every part, by its mark: E2 before E10."""
    return tuple(
        _row(part, hole)
        for part in doc.rows("parts")
        for hole in sorted(part.get("holes") or (), key=lambda hole: _counted(str(hole["id"])))
    )


def _counted(mark: str) -> list[tuple[int, str]]:
    """A mark in the order people count it: figures by their number, letters by the alphabet."""
    pieces = re.findall(r"\d+|\D+", mark)
    return [(int(one), "") if one.isdecimal() else (-1, one) for one in pieces]


def _row(part: Mapping[str, Any], hole: Mapping[str, Any]) -> HoleRow:
    x, y = float(hole["x"]), float(hole["y"])
    limits: Sequence[float] = hole.get("limits") or ()
    bore, sink = hole.get("counterbore") or {}, hole.get("countersink") or {}
    return HoleRow(
        part=part["name"],
        id=str(hole["id"]),
        purpose=words.label(hole["for"]) if hole.get("for") else "",
        kind=words.label(hole["kind"]),
        side=words.label(hole["side"]) if hole.get("side") else "",
        x=x,
        y=y,
        radius=math.hypot(x, y),
        angle=math.degrees(math.atan2(y, x)) % 360.0,
        diameter=float(hole["diameter"]),
        low=min(limits) if limits else None,
        high=max(limits) if limits else None,
        depth=hole.get("depth"),
        thread=hole.get("thread") or "",
        counterbore=bore.get("diameter"),
        counterbore_depth=bore.get("depth"),
        countersink=sink.get("diameter"),
        countersink_angle=sink.get("angle"),
        within=place(hole),
        source=hole.get("source") or "",
    )


def inches(value: float) -> str:
    """A length in inches to 0.0001, without a sign on nought."""
    return _plain(f"{value / INCH:.4f}")


def millimetres(value: float) -> str:
    """A length in mm to 0.001, without a sign on nought."""
    return _plain(f"{value:.3f}")


def degrees(value: float) -> str:
    """An angle to 0.001°; a full turn is nought."""
    shown = f"{value:.3f}"
    return "0.000" if shown == "360.000" else _plain(shown)


def both_lines(value: float | None, *, first: str) -> tuple[str, str]:
    """A length for two lines of a table, the shop's unit first; blank when there is none."""
    if value is None:
        return "", ""
    pair = inches(value), millimetres(value)
    return pair if first == "in" else (pair[1], pair[0])


def _plain(shown: str) -> str:
    return shown[1:] if shown.startswith("-") and not float(shown) else shown
