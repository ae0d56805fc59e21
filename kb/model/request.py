"""What is asked: two sides, what goes between them, and what the job chooses.

A choice left out takes its stated default, and the answer names every default it used.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.model import measured as key
from kb.model.measured import Measured, Point
from kb.model.unit import Clutch, Engine, Flexplate, Flywheel, Gearbox
from kb.quantity import Amount, Thread

STAGES = ("quote", "cut", "start")


@dataclass(frozen=True, kw_only=True)
class PilotBush:
    """What takes the tip of an input shaft; `mouth` from the face that carries it to its rear end."""

    mouth: Measured | None = key.length()
    depth: Measured | None = key.length(above_zero=True)
    bore: Measured | None = key.length(above_zero=True)
    bush_width: Measured | None = key.length(above_zero=True)
    carried_by: str = key.word("spacer", "crank", default="spacer")


@dataclass(frozen=True, kw_only=True)
class Use:
    """What the machine is for."""

    duty: str = key.text()
    torque_factor: float | None = key.plain_number(low=0.5, high=10)
    temperature_rise: Amount | None = key.amount("rise")


@dataclass(frozen=True, kw_only=True)
class Installation:
    """The space the drive line leaves."""

    tail_before: Measured | None = key.length()
    allowance: Measured | None = key.length()


@dataclass(frozen=True, kw_only=True)
class DowelChoice:
    """The dowels the plate is to have."""

    diameter: Measured | None = key.length(above_zero=True)
    engagement: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class SpindleScrews:
    """The screws that hold a spindle to its disc."""

    count: int | None = key.count(high=60)
    circle: Measured | None = key.length(above_zero=True)
    thread: Thread | None = key.thread()


@dataclass(frozen=True, kw_only=True)
class FixingHoles:
    """Holes that hold a part on faceplate or chuck while it is turned."""

    count: int | None = key.count(high=60)
    circle: Measured | None = key.length(above_zero=True)
    hole: Measured | None = key.length(above_zero=True)


@dataclass(frozen=True, kw_only=True)
class OutlineCorner:
    """A corner of the plate's outline, in frame P, and how the edge goes on to the next.

    Straight; or, with a `centre`, on an arc about it that turns `turn` as one walks along it.
    """

    x: Measured = key.length()
    y: Measured = key.length()
    centre: Point | None = key.point()
    turn: str = key.word("left", "right", default="left")


@dataclass(frozen=True, kw_only=True)
class Choices:
    """What the job chooses; every one may be left out."""

    stage: str | None = key.word(*STAGES)
    plate: Measured | None = key.length(above_zero=True)
    spacer: Measured | None = key.length()
    packing: Measured | None = key.length(from_zero=True)
    plate_material: str | None = key.choice_text()
    plate_stock: tuple[Measured, ...] = key.lengths()
    plate_joint: str | None = key.word("tapped", "through")
    plate_outline: tuple[OutlineCorner, ...] = key.parts()
    spacer_material: str | None = key.choice_text()
    rotating_style: str | None = key.word("auto", "ring", "posts")
    disc: Measured | None = key.length(above_zero=True)
    post_diameter: Measured | None = key.length(above_zero=True)
    post_thread: Thread | None = key.thread()
    post_dowel: Measured | None = key.length(above_zero=True)
    spindle_length: Measured | None = key.length(above_zero=True)
    spindle_screws: SpindleScrews | None = key.part()
    fixing_holes: FixingHoles | None = key.part()
    screw_grade: str | None = key.choice_text()
    thread_friction: float | None = key.plain_number(low=0.02, high=1)
    joint_friction: float | None = key.plain_number(low=0.02, high=1)
    dial_in: bool | None = key.yes_no()
    dowel: DowelChoice | None = key.part()
    rules: str | None = key.choice_text()
    clocking: tuple[float, float] | None = key.angles()
    least_wall: Measured | None = key.length(from_zero=True)
    layout: str | None = key.word("hand", "drill press", "mill", "waterjet", "cnc")
    turning: str | None = key.word(
        "one chucking", "between centres", "soft jaws", "four-jaw", "three-jaw"
    )
    fit: str | None = key.word("locating", "close", "transition", "press")
    uncertainty: str | None = key.word("worst", "statistical")
    confidence: float | None = key.plain_number(low=0.5, high=0.9999)
    leave_out: tuple[str, ...] = key.names()
    share: tuple[str, ...] = key.names()
    heads: str | None = key.word("counterbored", "flush", "studs")
    keepout: str | None = key.word("through", "by plane")
    plates: int | None = key.count(high=2)


@dataclass(frozen=True, kw_only=True)
class Request:
    """One job: whichever halves of it are known."""

    title: str = key.text()
    units: str = key.word("in", "mm", default="mm")
    engine: Engine | None = key.part()
    gearbox: Gearbox | None = key.part()
    flywheel: Flywheel | None = key.part()
    clutch: Clutch | None = key.part()
    pilot: PilotBush | None = key.part()
    flexplate: Flexplate | None = key.part()
    use: Use | None = key.part()
    installation: Installation | None = key.part()
    answers: tuple[tuple[str, str], ...] = key.open_table()
    choices: Choices = key.part(default=Choices())


@dataclass(frozen=True, kw_only=True)
class Settled:
    """The choices with every default in place; lengths in mm, angles in degrees."""

    stage: str
    plate_material: str
    plate_stock: tuple[float, ...]
    plate_joint: str
    spacer_material: str
    rotating_style: str
    screw_grade: str
    thread_friction: float
    joint_friction: float
    dial_in: bool
    rules: str
    clocking: tuple[float, float]
    least_wall: float | None
    layout: str
    turning: str
    fit: str
    uncertainty: str
    confidence: float
    leave_out: tuple[tuple[str, str], ...]
    share: tuple[tuple[str, str], ...]
    heads: str
    keepout: str
    plates: int
