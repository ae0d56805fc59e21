"""An outline read elsewhere, as the corners a sheet keeps."""

from __future__ import annotations

from collections.abc import Sequence

from kb.model.measured import Measured, Point
from kb.model.parts import Segment
from kb.model.request import OutlineCorner
from kb.quantity import Dimension, read_length

KEY = "choices.plate_outline"


def corners(outline: Sequence[Segment]) -> tuple[OutlineCorner, ...]:
    """The corners of a closed outline, to a millionth of a millimetre.

    Args:
        outline: Lines and arcs, each beginning where the last one ended [mm].
    Returns:
        As `choices.plate_outline` takes them.
    """
    return tuple(
        OutlineCorner(
            x=Measured((_exact(piece.start[0]),)),
            y=Measured((_exact(piece.start[1]),)),
            centre=None if piece.centre is None else Point(*map(_exact, piece.centre)),
            turn="left" if piece.centre is None or piece.ccw else "right",
        )
        for piece in outline
    )


def _exact(length: float) -> Dimension:
    figures = f"{round(length, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
    return read_length(f"{figures} mm", key=KEY, units="mm")
