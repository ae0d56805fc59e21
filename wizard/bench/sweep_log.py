"""The log of sweeps taken while the bolts are brought to full torque: what moved, and whither."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from wizard.bench.clock import shown
from wizard.bench.readings import small
from wizard.bench.sweep import Sweep


@dataclass(frozen=True, kw_only=True)
class Step:
    """One sweep of a log, and how far the axis moved since the one before.

    Attributes:
        name: What had been done, such as ``bolts at full torque``.
        sweep: The sweep.
        moved: How far [mm], and ``moved_to`` toward which clock position [°]; 0 for the first.
        held: Whether that lies within the ± of both; ``None`` for the first.
    """

    name: str
    sweep: Sweep
    moved: float
    moved_to: float
    held: bool | None


@dataclass(frozen=True, kw_only=True)
class Log:
    """Sweeps in the order they were taken, and what moved between them."""

    steps: tuple[Step, ...]

    @property
    def says(self) -> tuple[str, ...]:
        """What it came to, in sentences."""
        return log_says(self.steps)


def log(sweeps: Sequence[tuple[str, Sweep]]) -> tuple[Step, ...]:
    """What moved between sweeps, as the bolts are brought to full torque.

    Args:
        sweeps: What had been done before each, and the sweep.
    """
    first_name, first = sweeps[0]
    steps = [Step(name=first_name, sweep=first, moved=0.0, moved_to=0.0, held=None)]
    for (_, before), (name, after) in pairwise(sweeps):
        x, y = (b - a for a, b in zip(_vector(before), _vector(after), strict=True))
        moved = math.hypot(x, y)
        steps.append(Step(
            name=name, sweep=after, moved=moved, moved_to=math.degrees(math.atan2(x, y)) % 360,
            held=moved <= math.hypot(before.within, after.within),
        ))  # fmt: skip
    return tuple(steps)


def _vector(one: Sweep) -> tuple[float, float]:
    """The offset, right and up [mm]."""
    turn = math.radians(one.toward)
    return one.offset * math.sin(turn), one.offset * math.cos(turn)


def log_says(steps: Sequence[Step]) -> tuple[str, ...]:
    """What a log came to, in sentences."""
    unit = steps[0].sweep.readings[0].reading.unit
    said = []
    for step in steps[1:]:
        moved = (
            "held still"
            if step.held
            else f"moved {small(step.moved, unit)} toward {shown(step.moved_to)}"
        )
        said.append(f"{step.name}: the axis {moved}; TIR {small(step.sweep.tir, unit)}.")
    if len(steps) > 1 and not steps[-1].held:
        said.append("It moved at the last tightening: tighten in stages and sweep again.")
    return tuple(said)
