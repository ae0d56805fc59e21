"""The shop: limits it works to, instruments it owns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One limit of a rule set, with who says so."""

    name: str
    value: float
    unit: str
    source: str


@dataclass(frozen=True, kw_only=True)
class RuleSet:
    """Limits by name, as one shop works to them."""

    name: str
    title: str
    limits: Mapping[str, Limit]

    def __getitem__(self, name: str) -> float:
        return self.limits[name].value

    def source(self, name: str) -> str:
        """Who says so."""
        return self.limits[name].source


@dataclass(frozen=True, kw_only=True)
class Layout:
    """How true holes come out by one way of laying out [mm].

    Attributes:
        measure, place: Standard deviations per axis of reading and of putting a dowel.
        play: Diametral play of a pin in its hole.
        hole: Standard deviation per axis of putting a screw hole.
        error: Radius within which a hole lands.
    """

    measure: float
    place: float
    play: float
    hole: float
    error: float


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """What a reading with it can honestly claim [mm, 95 %], and how its error is spread."""

    name: str
    within: float
    spread: str
    source: str
    in_shop: bool = True
