"""What every check is given, and how its answer is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kb.model.chain import Chain
from kb.model.check import Check
from kb.model.lineup import LineUp
from kb.model.parts import Adapter, Part
from kb.model.record import Sides
from kb.quantity import both
from kb.rules.loader import PRACTICE

DUE = {
    **dict.fromkeys((
        "converter-gap", "flange-position", "spacer-length", "nose-engagement", "tip-engagement",
        "tip-bottoming", "tip-shoulder", "spline-overlap", "spline-identity", "release-gap",
        "plate-thickness", "hole-clash", "least-wall", "bolt-gap", "rotating-wall",
        "register-present", "converter-circle", "opening-clears", "rotation", "torque-rating",
        "input-cast-in", "joint-slip", "pinion-overlap",
    ), "quote"),
    **dict.fromkeys((
        "predicted-runout", "balance", "shield", "flatness", "fill-angle",
    ), "start"),
}  # fmt: skip


@dataclass(frozen=True)
class Case:
    """A design so far: everything earlier stages have worked out."""

    sides: Sides
    fixed: LineUp | None
    rotating: LineUp | None
    chain: Chain | None
    adapter: Adapter

    def limit(self, name: str) -> float:
        """A limit of the rule set."""
        return self.sides.rules[name]

    def source(self, name: str) -> str:
        """Who set that limit."""
        return self.sides.rules.source(name)

    def value(self, key: str) -> float | None:
        """Nominal value of a dimension [mm]."""
        return self.sides.value(key)

    def shown(self, value: float, within: float | None = None) -> str:
        """A length in both systems, the sheet's unit first."""
        return both(value, within=within, first=self.sides.request.units)

    @property
    def plates(self) -> tuple[Part, ...]:
        """The adapter plate, or the two plates that stand in its place, engine side first."""
        return tuple(one for one in self.adapter.parts if one.name.endswith("plate"))

    def part(self, name: str) -> Part | None:
        """A part by name."""
        return next((one for one in self.adapter.parts if one.name == name), None)


@dataclass(frozen=True)
class NotRun:
    """The job has not the part a check is about; what it would take to run it."""

    lacks: tuple[str, ...]


Answer = Check | NotRun


def due(id: str) -> str:
    """The stage by which a check must be settled."""
    return DUE.get(id, "cut")


def answer(
    id: str,
    status: str,
    says: str,
    *,
    margin: float | None = None,
    unit: str = "mm",
    because: Sequence[str] = (),
    source: str = PRACTICE,
) -> Check:
    """A check's answer; the unit is dropped when there is no margin."""
    return Check(
        id=id, status=status, due=due(id), says=says, margin=margin,
        unit=unit if margin is not None else "", because=tuple(because), source=source,
    )  # fmt: skip


def unknown(id: str, lacks: Sequence[str], says: str = "") -> Check:
    """A check that lacks a dimension or an answer: never a pass."""
    return answer(
        id, "unknown", says or "Not known yet: " + ", ".join(lacks) + ".", because=lacks, source=""
    )


FLAT = 1e-9  # mm: what stands no further than this from a limit stands at it


def graded(value: float, *, fail: float, warn: float | None = None) -> str:
    """pass, warn or fail of a value that must not fall below its limits."""
    if value < fail - FLAT:
        return "fail"
    return "warn" if warn is not None and value < warn - FLAT else "pass"
