"""Everything the bench needs of one answer, as it goes into the record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wizard.making import buying, fitting, layout, points

Answer = Mapping[str, Any]


def made(answer: Answer, *, limits: Mapping[str, float]) -> dict[str, Any]:
    """The bench's part of a record, from its answer and its rule set [mm, °, kg, N·m].

    Args:
        answer: The answer document. limits: Of the rule set it was judged by, by name.
    """
    return {
        "layout": layout.layout(answer),
        "points": points.points(answer),
        "fitting": fitting.fitting(answer, limits=limits),
        "buying": buying.buying(answer),
    }
