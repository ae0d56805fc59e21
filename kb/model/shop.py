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


@dataclass(frozen=True, kw_only=True)
class Process:
    """A way plates are cut to their outline.

    Attributes:
        share: Smallest hole it cuts true, as a share of the thickness.
        most: Thickest plate [mm]. cuts: Families of material.
    """

    name: str
    share: float
    most: float
    cuts: tuple[str, ...]

    def least_hole(self, thickness: float) -> float:
        """Smallest hole it cuts true in a plate of that thickness [mm]."""
        return self.share * thickness


MACHINES = ("lathe", "mill", "drill press", "saw")
BENCH = "bench"


@dataclass(frozen=True, kw_only=True)
class Machine:
    """A machine of the shop and what it takes; what is not known of it is ``None`` [mm].

    Attributes:
        kind: ``lathe``, ``mill``, ``drill press`` or ``saw``.
        swing: Largest diameter over a lathe's bed. between: Largest length it takes.
        chuck, faceplate: Largest diameter either holds. spindle_bore: Bar that goes through.
        travel_x, travel_y: Of a mill's table.
        throat: Spindle to column of a drill press.
        drill: Largest drill it drives. blade: Largest width a saw cuts.
        top_speed_rpm: Fastest it turns.
    """

    name: str
    kind: str
    swing: float | None = None
    between: float | None = None
    chuck: float | None = None
    faceplate: float | None = None
    spindle_bore: float | None = None
    travel_x: float | None = None
    travel_y: float | None = None
    throat: float | None = None
    drill: float | None = None
    blade: float | None = None
    top_speed_rpm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Rates:
    """What work and stuff cost, in the shop's currency.

    Attributes:
        hour: One hour by kind of machine, and at the bench.
        kilogram: Stock by family of material.
        piece: Bought parts, each: screw, dowel, bush.
        outside: Work given out: an hour of turning or milling, a metre of profile cut, balancing.
        margin: Share laid on all. stock_margin: Share laid on stock and bought parts.
        best, worst: Shares of the likely hours when all goes well, and when it does not.
    """

    currency: str
    hour: Mapping[str, float]
    kilogram: Mapping[str, float]
    piece: Mapping[str, float]
    outside: Mapping[str, float]
    margin: float
    stock_margin: float
    best: float
    worst: float


@dataclass(frozen=True, kw_only=True)
class Shop:
    """One shop: who it is, its machines, its rates, how long its hands take and how fast it cuts.

    Attributes:
        address: Lines under its name. logo: A PNG picture, or nothing.
        minutes: Handling times by what is done [min].
        cutting_m_min: Cutting speed by tool (``drill``, ``turn``) and family of material [m/min].
        feed: Feed by tool: of a drill as a share of its diameter, of a lathe in mm a turn.
        valid_days: How long a quote holds. wanted_chance: Of a right quote.
        process: How plates are cut out: one of the cut file's processes.
        source: Who says so, where the shop has not put in its own.
    """

    name: str
    address: tuple[str, ...]
    logo: bytes
    machines: tuple[Machine, ...]
    rates: Rates
    minutes: Mapping[str, float]
    cutting_m_min: Mapping[str, Mapping[str, float]]
    feed: Mapping[str, float]
    valid_days: int
    wanted_chance: float
    process: str
    source: str
