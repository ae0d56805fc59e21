"""Units as measured: engine, motor, gearbox, and the parts that go with them.

Every field is a key of the pairing sheet. Faces keep the coordinates they were measured
in, looking straight at the face; nothing is turned or mirrored here.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.model import measured as key
from kb.model.measured import Band, Measured, Point
from kb.quantity import Amount, Thread


@dataclass(frozen=True, kw_only=True)
class Hole:
    """A bolt hole: tapped (`thread`) or clear (`hole`)."""

    id: str = key.text()
    x: Measured = key.length()
    y: Measured = key.length()
    thread: Thread | None = key.thread()
    hole: Measured | None = key.length(above_zero=True)
    depth: Measured | None = key.length(above_zero=True)
    keepout: Measured | None = key.length(above_zero=True)
    bolt: Thread | None = key.thread()
    grade: str = key.text()
    through: bool | None = key.yes_no()
    socket_room: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Dowel:
    """A locating dowel, or the hole for one."""

    id: str = key.text()
    x: Measured = key.length()
    y: Measured = key.length()
    diameter: Measured = key.length(above_zero=True)
    stands_out: Measured | None = key.length(from_zero=True)
    depth: Measured | None = key.length(above_zero=True)
    hollow: bool | None = key.yes_no()
    keepout: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Circle:
    """Equally spaced holes; `start` is the angle of hole 1, numbered on anticlockwise."""

    count: int = key.count()
    diameter: Measured = key.length(above_zero=True)
    start: float = key.angle(0.0)
    thread: Thread | None = key.thread()
    hole: Measured | None = key.length(above_zero=True)
    depth: Measured | None = key.length(above_zero=True)
    keepout: Measured | None = key.length(above_zero=True)
    bolt: Thread | None = key.thread()
    grade: str = key.text()
    through: bool | None = key.yes_no()
    socket_room: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Register:
    """A locating spigot (stands proud) or bore (recess)."""

    form: str = key.word("spigot", "bore")
    diameter: Measured = key.length(above_zero=True)
    depth: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class RingGear:
    """A starter ring gear; `standoff` from its carrier's face to the ring's front face."""

    teeth: int | None = key.count(high=400)
    face: Measured | None = key.length(above_zero=True)
    standoff: Measured | None = key.length()
    diameter: Measured | None = key.length(above_zero=True)
    pitch: str = key.text()
    chamfer: str | None = key.word("front", "rear")


@dataclass(frozen=True, kw_only=True)
class CrankBore:
    """The crank's own bore for a converter nose or a bush; not its register."""

    diameter: Measured | None = key.length(above_zero=True)
    depth: Measured | None = key.length(above_zero=True)
    mouth: Measured | None = key.length()


@dataclass(frozen=True, kw_only=True)
class Face:
    """A fixed joint face, measured looking straight at it."""

    material: str = key.text()
    origin: Point | None = key.point()
    opening: Measured | None = key.length(above_zero=True)
    holes: tuple[Hole, ...] = key.parts()
    dowels: tuple[Dowel, ...] = key.parts()
    circle: Circle | None = key.part()
    register: Register | None = key.part()
    register_tir: Measured | None = key.length(from_zero=True)
    face_tir: Measured | None = key.length(from_zero=True)
    flatness: Measured | None = key.length(from_zero=True)
    step: Measured | None = key.length(from_zero=True)
    outline: tuple[Point, ...] = key.points()
    cast_in: bool | None = key.yes_no()


@dataclass(frozen=True, kw_only=True)
class Drive:
    """What turns on the engine's side."""

    kind: str = key.word("crank flange", "flywheel", default="crank flange")
    standoff: Measured | None = key.length()
    circle: Circle | None = key.part()
    holes: tuple[Hole, ...] = key.parts()
    origin: Point | None = key.point()
    register: Register | None = key.part()
    outside: Measured | None = key.length(above_zero=True)
    thickness: Measured | None = key.length(above_zero=True)
    pilot: CrankBore | None = key.part()
    register_tir: Measured | None = key.length(from_zero=True)
    face_tir: Measured | None = key.length(from_zero=True)
    end_float: Measured | None = key.length(from_zero=True)
    ring: RingGear | None = key.part()
    material: str = key.text()


@dataclass(frozen=True, kw_only=True)
class Starter:
    """The starter: where it is held and where its pinion stands, at rest and fully out."""

    mounts_on: str = key.word("engine", "gearbox", "plate", default="engine")
    home: Measured | None = key.length()
    engaged: Measured | None = key.length()
    pinion_width: Measured | None = key.length(above_zero=True)
    pinion_teeth: int | None = key.count(high=60)
    pinion_outside: Measured | None = key.length(above_zero=True)
    pitch: str = key.text()
    centre: Point | None = key.point()
    side: str | None = key.word("left", "right")
    hand: str | None = key.word("ccw", "cw")
    body: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Engine:
    """The driving unit: an engine or an electric motor."""

    name: str = key.text()
    rotation: str | None = key.word("ccw", "cw")
    max_speed: Amount | None = key.amount("speed")
    peak_torque: Amount | None = key.amount("torque")
    balance: str | None = key.word("internal", "external")
    face: Face | None = key.part()
    drive: Drive | None = key.part()
    starter: Starter | None = key.part()
    notes: str = key.text()


@dataclass(frozen=True, kw_only=True)
class Hub:
    """A converter's nose."""

    diameter: Measured | None = key.length(above_zero=True)
    reach: Measured | None = key.length()
    land: Band | None = key.band()


@dataclass(frozen=True, kw_only=True)
class PumpLug:
    """How far the converter's lugs overlap the pump gear when it is fully home."""

    seated: Measured | None = key.length()
    gear: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Converter:
    """A torque converter, fully home in its housing."""

    seat_depth: Measured | None = key.length()
    gap: Band | None = key.band()
    circle: Circle | None = key.part()
    hub: Hub | None = key.part()
    hold: str = key.word("gap", "preset", default="gap")
    preset: Measured | None = key.length()
    pump_lug: PumpLug | None = key.part()
    lug_shims: Measured | None = key.length(from_zero=True)
    stall_ratio: float | None = key.plain_number(low=1, high=6)
    mass: Amount | None = key.amount("mass")
    studs: bool | None = key.yes_no()
    outside: Measured | None = key.length(above_zero=True)
    balance: str | None = key.word("neutral", "weighted")


@dataclass(frozen=True, kw_only=True)
class Pump:
    """The gearbox's front pump: bush and seal lip, from the gearbox face, + into the housing."""

    bush: Band | None = key.band()
    lip: Measured | None = key.length()


@dataclass(frozen=True, kw_only=True)
class Driven:
    """A rigid driven flange: industrial clutch, damper, coupling, electric machine."""

    kind: str = key.word("flange", default="flange")
    position: Measured | None = key.length()
    allow: Band | None = key.band()
    outside: Measured | None = key.length(above_zero=True)
    thickness: Measured | None = key.length(above_zero=True)
    circle: Circle | None = key.part()
    holes: tuple[Hole, ...] = key.parts()
    register: Register | None = key.part()
    mass: Amount | None = key.amount("mass")


@dataclass(frozen=True, kw_only=True)
class Tip:
    """The turned-down tip of an input shaft."""

    diameter: Measured | None = key.length(above_zero=True)
    length: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Spline:
    """The splines of an input shaft, from its tip."""

    count: int | None = key.count(high=100)
    diameter: Measured | None = key.length(above_zero=True)
    from_tip: Measured | None = key.length()
    length: Measured | None = key.length(above_zero=True)
    form: str = key.text()


@dataclass(frozen=True, kw_only=True)
class Retainer:
    """The front bearing retainer and the bore it must enter."""

    diameter: Measured | None = key.length(above_zero=True)
    bore: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Shaft:
    """A manual gearbox's input shaft."""

    reach: Measured | None = key.length()
    tip: Tip | None = key.part()
    spline: Spline | None = key.part()
    retainer: Retainer | None = key.part()


@dataclass(frozen=True, kw_only=True)
class Release:
    """The clutch release bearing."""

    retracted: Measured | None = key.length()
    kind: str = key.word("fork", "constant contact", default="fork")
    preload: Band | None = key.band()
    stroke: Measured | None = key.length(above_zero=True)
    travel: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class Gearbox:
    """The driven unit: a gearbox, a converter box, an industrial or electric machine."""

    name: str = key.text()
    rotation: str | None = key.word("ccw", "cw")
    torque_limit: Amount | None = key.amount("torque")
    max_speed: Amount | None = key.amount("speed")
    tail_length: Measured | None = key.length(above_zero=True)
    lowest_gear: float | None = key.plain_number(low=0.2, high=40)
    reverse_gear: float | None = key.plain_number(low=-40, high=0)
    mass: Amount | None = key.amount("mass")
    centre_of_mass: Measured | None = key.length()
    face: Face | None = key.part()
    converter: Converter | None = key.part()
    pump: Pump | None = key.part()
    driven: Driven | None = key.part()
    shaft: Shaft | None = key.part()
    release: Release | None = key.part()
    notes: str = key.text()


@dataclass(frozen=True, kw_only=True)
class Flywheel:
    """A flywheel fitted behind the rotating adapter.

    ``thickness`` is its web under the screw heads; ``bolt_heads`` how far their tops stand
    from its crank-side face.
    """

    name: str = key.text()
    belongs_to: str = key.text()
    height: Measured | None = key.length()
    circle: Circle | None = key.part()
    holes: tuple[Hole, ...] = key.parts()
    register: Register | None = key.part()
    ring: RingGear | None = key.part()
    balance: str | None = key.word("neutral", "weighted")
    max_speed: Amount | None = key.amount("speed")
    material: str = key.text()
    mass: Amount | None = key.amount("mass")
    outside: Measured | None = key.length(above_zero=True)
    thickness: Measured | None = key.length(above_zero=True)
    bolt_heads: Measured | None = key.length(from_zero=True)


@dataclass(frozen=True, kw_only=True)
class DiscHub:
    """The splined hub of a clutch disc, from the clutch face, + toward the gearbox."""

    front: Measured | None = key.length()
    rear: Measured | None = key.length()
    count: int | None = key.count(high=100)
    diameter: Measured | None = key.length(above_zero=True)
    form: str = key.text()


@dataclass(frozen=True, kw_only=True)
class Clutch:
    """A dry clutch on a flywheel."""

    name: str = key.text()
    belongs_to: str = key.text()
    fingers: Measured | None = key.length(above_zero=True)
    disc_hub: DiscHub | None = key.part()
    release_gap: Band | None = key.band()
    acts: str = key.word("push", "pull", default="push")
    outside: Measured | None = key.length(above_zero=True)
    discs: int | None = key.count(high=4)
    wear: Measured | None = key.length(from_zero=True)
    torque_limit: Amount | None = key.amount("torque")
    max_speed: Amount | None = key.amount("speed")


@dataclass(frozen=True, kw_only=True)
class Flexplate:
    """A flexplate behind the rotating adapter."""

    name: str = key.text()
    belongs_to: str = key.text()
    offset: Measured | None = key.length()
    thickness: Measured | None = key.length(above_zero=True)
    bolt_heads: Measured | None = key.length(from_zero=True)
    circle: Circle | None = key.part()
    register: Register | None = key.part()
    converter_circle: Circle | None = key.part()
    outside: Measured | None = key.length(above_zero=True)
    balance: str | None = key.word("neutral", "weighted")
    max_speed: Amount | None = key.amount("speed")
    ring: RingGear | None = key.part()


Unit = Engine | Gearbox | Flywheel | Clutch | Flexplate
