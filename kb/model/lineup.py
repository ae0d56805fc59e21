"""Faces as they stand together, and how their holes line up. Frame P: from behind, y up [mm, °]."""

from __future__ import annotations

from dataclasses import dataclass

from kb.quantity import Thread


@dataclass(frozen=True, kw_only=True)
class Feature:
    """One hole or dowel where it stands in frame P, the gearbox upright.

    Attributes:
        side: ``"engine"`` or ``"gearbox"``. id: As the face names it.
        kind: ``"tapped"``, ``"clear"`` or ``"dowel"``.
        keepout: Diameter the plate must keep clear around it, right through [mm].
        planes: The diameters at the engine's and at the gearbox's face of the plate, where
            they differ [mm].
        screw: The screw that goes in it; ``None`` for a dowel or when no size fits.
        diameter: Clear hole or dowel diameter [mm]; ``None`` when tapped.
        depth: Depth of thread or dowel hole [mm], if measured.
        punched: With what its place is carried over from the part itself, when it was not measured
            but taken with a transfer punch.
        source: How its place was come by: an instrument, else measured, drawing, guess …
    """

    side: str
    id: str
    kind: str
    x: float
    y: float
    keepout: float
    screw: Thread | None = None
    diameter: float | None = None
    depth: float | None = None
    grade: str = ""
    stands_out: float | None = None
    socket_room: float | None = None
    planes: tuple[float, float] | None = None
    punched: str = ""
    source: str = ""

    @property
    def at_planes(self) -> tuple[float, float]:
        """Keep-out at the engine's and at the gearbox's face of the plate [mm]."""
        return self.planes or (self.keepout, self.keepout)


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """All holes and dowels of one face, in frame P; ``left_out`` are holes the job leaves out."""

    side: str
    holes: tuple[Feature, ...]
    dowels: tuple[Feature, ...] = ()
    left_out: tuple[Feature, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Clash:
    """Two holes whose discs overlap, with the (negative) wall between them [mm]."""

    engine: str
    gearbox: str
    wall: float


@dataclass(frozen=True, kw_only=True)
class LineUp:
    """How two patterns go together.

    Attributes:
        clocking: The turn used [°]. wall: Least wall between holes at that turn [mm].
        dowel_wall: Least wall beside a dowel at that turn [mm]; ``None`` without dowels.
        required: The wall wanted between holes [mm].
        windows: Turns that keep every wanted wall, inside the permitted range [°].
        best_clocking, best_wall: The turn with the greatest least wall.
        clashes: Overlapping pairs at the turn used, worst first.
        shared: Pairs that coincide and can take one fastener.
        leave_out: Fewest holes to leave out so that nothing overlaps, as (side, id).
        through: The two circles are the same and take one long screw.
    """

    clocking: float
    wall: float | None
    dowel_wall: float | None
    required: float
    windows: tuple[tuple[float, float], ...]
    best_clocking: float
    best_wall: float | None
    clashes: tuple[Clash, ...] = ()
    shared: tuple[tuple[str, str], ...] = ()
    leave_out: tuple[tuple[str, str], ...] = ()
    through: bool = False
