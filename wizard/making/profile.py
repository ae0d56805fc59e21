"""What is cut of a plate when it is cut to its outline elsewhere, and what is left for the drill."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from kb.model.shop import Process
from kb.rules.loader import processes
from wizard.engine.parts.outline import length
from wizard.making.stuff import outline

Row = Mapping[str, Any]
FINISHED_LATER = ("tapped", "dowel")  # cut as pilots at most: drilled, bored or reamed afterwards


def process_of(name: str) -> Process | None:
    """A shop's way of cutting plates out; ``None`` where it saws them itself."""
    return processes().get(name)


def least_hole(part: Row, process: Process | None) -> float:
    """Smallest hole the process cuts true in this plate [mm]; 0 where none is chosen."""
    return process.least_hole(float(part["size"]["thickness"])) if process else 0.0


def is_cut(hole: Row, *, least: float) -> bool:
    """Whether a hole comes finished from the cutter: plain, right through, large enough.

    Args:
        hole: A row of a part's holes. least: Smallest hole the process cuts true [mm].
    """
    plain = hole.get("depth") is None and hole["kind"] not in FINISHED_LATER
    return plain and not hole.get("punched") and hole["diameter"] >= least - 1e-9


def cut_length(part: Row, *, least: float) -> float:
    """Length of all that is cut: outline, opening and the holes that come finished [mm]."""
    rounds: Sequence[float] = [hole["diameter"] for hole in part.get("holes") or () if is_cut(hole, least=least)]  # fmt: skip
    bore = (part.get("size") or {}).get("bore") or 0.0
    return length(outline(part)) + math.pi * (bore + sum(rounds))
