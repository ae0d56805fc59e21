"""Parts as they are to be made, with every size at its limits [mm]."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Segment:
    """One piece of a closed outline: a line, or an arc about a centre (anticlockwise when ccw)."""

    kind: str
    start: tuple[float, float]
    end: tuple[float, float]
    centre: tuple[float, float] | None = None
    radius: float | None = None
    ccw: bool = True


@dataclass(frozen=True, kw_only=True)
class Counterbore:
    """A flat-bottomed seat for a screw head."""

    diameter: float
    depth: float


@dataclass(frozen=True, kw_only=True)
class Countersink:
    """A conical seat for a screw head: its diameter at the face [mm], its included angle [°]."""

    diameter: float
    angle: float

    def depth(self, hole: float) -> float:
        """From the face to where the cone meets a hole of that diameter [mm]."""
        return (self.diameter - hole) / 2 / math.tan(math.radians(self.angle / 2))


@dataclass(frozen=True, kw_only=True)
class PartHole:
    """One hole of a part, in the part's own plane, seen as frame P.

    Attributes:
        kind: ``"clearance"``, ``"tapped"``, ``"dowel"``, ``"through screw"``.
        diameter: Drilled or reamed size [mm]. thread: Designation when tapped.
        depth: [mm]; ``None`` right through. side: Face it is worked from.
        purpose: What it is for: engine, gearbox, dowel, driver, driven.
        punched: With what its place is carried over through the mating part; ``""`` when laid out.
        source: How the place of its mate was come by.
    """

    id: str
    x: float
    y: float
    kind: str
    diameter: float
    thread: str = ""
    depth: float | None = None
    counterbore: Counterbore | None = None
    side: str = ""
    purpose: str = ""
    limits: tuple[float, float] | None = None
    countersink: Countersink | None = None
    punched: str = ""
    source: str = ""

    @property
    def widest(self) -> float:
        """Diameter at the face it is worked from, its seat included [mm]."""
        seats = (one.diameter for one in (self.counterbore, self.countersink) if one)
        return max(self.diameter, *seats, 0.0)

    @property
    def seat_depth(self) -> float:
        """How deep its seat goes [mm]; 0 without one."""
        if self.countersink is not None:
            return self.countersink.depth(self.diameter)
        return self.counterbore.depth if self.counterbore is not None else 0.0

    def seat_volume_mm3(self, thickness: float) -> float:
        """What its seat takes out beyond the hole itself, in a plate of that thickness [mm³]."""
        bore = self.diameter
        if self.countersink is not None:
            wide, deep = self.countersink.diameter, self.seat_depth
            return math.pi / 12 * deep * (wide**2 + wide * bore - 2 * bore**2)
        if self.counterbore is not None:
            deep = min(self.counterbore.depth, thickness)
            return math.pi / 4 * deep * (self.counterbore.diameter**2 - bore**2)
        return 0.0


@dataclass(frozen=True, kw_only=True)
class Fit:
    """One located joint: class, limits of hole and shaft, and the play they leave [mm].

    Negative play is interference. ``existing`` is the side that exists, ``hole`` or ``shaft``;
    empty where both are made. ``press_n`` is the most force that pressing it together may take,
    ``warm_k`` how much warmer than the shaft the hole must be for it to drop together; both only
    for a fit that may come out tight, and ``None`` where a size or material they need is not known.
    """

    joint: str
    fit_class: str
    hole: tuple[float, float]
    shaft: tuple[float, float]
    play: tuple[float, float]
    existing: str
    source: str
    press_n: float | None = None
    warm_k: float | None = None


@dataclass(frozen=True, kw_only=True)
class Joint:
    """One bolted joint: what to buy and, where it is worked out, how tight.

    ``engagement`` is the thread engaged, ``wanted`` the least wanted [mm]; ``load_share`` the share
    of an outside load that the screw feels, ``head_mpa`` the pressure under its head and
    ``bears_mpa`` the yield of what is under it, of
    iron its tensile strength.
    """

    name: str
    count: int
    thread: str
    grade: str
    length: float | None
    head: str
    source: str
    torque_nm: float | None = None
    preload_n: float | None = None
    engagement: float | None = None
    wanted: float | None = None
    load_share: float | None = None
    head_mpa: float | None = None
    bears_mpa: float | None = None


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part to make.

    ``size`` holds its named sizes [mm]; ``outline`` its outer profile, anticlockwise, in frame P;
    ``stiffness`` of a plate its flexural rigidity [N·m] and the polar moment of its outline [mm⁴].
    """

    name: str
    material: str
    size: Mapping[str, float]
    mass_kg: float | None
    quantity: int = 1
    outline: tuple[Segment, ...] = ()
    holes: tuple[PartHole, ...] = ()
    notes: tuple[str, ...] = ()
    stiffness: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Pilot:
    """What centres the converter nose or carries the shaft tip."""

    carried_by: str
    style: str
    bore: tuple[float, float] | None
    depth: float | None
    engagement: float | None = None


@dataclass(frozen=True, kw_only=True)
class Style:
    """One style of rotating adapter, to be set beside the other.

    Attributes:
        mass_kg, inertia_kg_mm2: Of all its parts together.
        settings: Times the work is set up anew on lathe and drill.
        machines: What a shop needs for it.
        driven_register_tir: Expected TIR at the driven register, 95 % [mm].
        stress_mpa, allowed_mpa: Highest stress at a quarter over the engine's speed, and what is
            allowed; ``None`` where speed, torque or strength is not known.
        holds: Whether it stands speed and torque; ``None`` where that is not known.
        why_not: Why it cannot be made; then nothing else is known.
    """

    mass_kg: float | None = None
    inertia_kg_mm2: float | None = None
    settings: int | None = None
    machines: tuple[str, ...] = ()
    driven_register_tir: float | None = None
    stress_mpa: float | None = None
    allowed_mpa: float | None = None
    holds: bool | None = None
    why_not: str = ""


@dataclass(frozen=True, kw_only=True)
class Adapter:
    """Everything that is made for one job.

    ``compared`` sets the two styles of rotating adapter side by side, by ``ring`` and ``posts``.
    """

    parts: tuple[Part, ...] = ()
    fits: tuple[Fit, ...] = ()
    joints: tuple[Joint, ...] = ()
    pilot: Pilot | None = None
    predicted_tir: Mapping[str, float] = field(default_factory=dict)
    compared: Mapping[str, Style] = field(default_factory=dict)
