"""Which of many counterparts can be told at once that they do not go, and which turns they leave.

Two things no way out changes decide at once: rotation and torque, and dimensions along the shaft
that contradict whatever the plate. All counterparts are judged together by arrays; whoever is
left is the engine's to work out. The proofs, in the engine's own terms:

* A failing check that no proposal touches keeps every way out from curing all, so every failing
  check without a fair chance is hopeless and the verdict is "does not go".
* Half-planes that hold for every plate a way out may buy, and that no way out moves, leave no
  plate at all when some certificate of them comes out short. The check of the plate then fails
  in every rerun. Its chance is at most exp(-k²/2), with k the shortfall in standard deviations
  (readings, limits and triangles are all strictly sub-Gaussian), far below what counts as fair.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.chain import Length, Linear, Requirement
from kb.model.lineup import Feature
from kb.model.record import Sides
from kb.model.request import Request
from kb.model.unit import Engine, Gearbox, Unit
from wizard.engine.axial.measures import measures, span_asked
from wizard.engine.axial.needs import requirements
from wizard.engine.axial.region import Certificates, HalfPlanes, certificates, half_planes
from wizard.engine.faces import limits_of
from wizard.engine.normalise import normalise
from wizard.engine.proposals import THICKER

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ask = Callable[[int], Request]

MOVED = ("nose-", "tip-")  # checks whose dimensions a way out sets anew
LIMITS = ("least-wall.dowel", "least-wall.dowel_share", "least-wall.{}", "least-wall.{}_share")
_SHORT = 1e-9


@dataclass(frozen=True, kw_only=True)
class Shelved:
    """One unit with what belongs to it, ready to be screened.

    Attributes:
        name: The unit. engine: It is an engine, else a gearbox. kind: What turns at a gearbox.
        sound: It can be brought to one value a dimension by itself.
        rotation: ccw, cw or ``""``. torques: Peak or limit of it and of what belongs to it [N·mm].
        lengths: Its dimensions and those of what belongs to it, by key.
        form: What its chain is shaped by: words and yes-or-noes, the figures of wanted bands.
        discs: Holes and dowels: x, y, disc, size that sets the wall, 1 for a dowel; shape (n, 5).
    """

    name: str
    engine: bool
    kind: str = ""
    sound: bool = True
    rotation: str = ""
    torques: Mapping[str, float] = field(default_factory=dict)
    lengths: Mapping[str, Length] = field(default_factory=dict)
    form: tuple[object, ...] = ()
    discs: Array = field(default_factory=lambda: np.zeros((0, 5)))


def shelved(unit: Engine | Gearbox, belongs: Mapping[str, Unit]) -> Shelved:
    """Bring a unit and what belongs to it to the form in which many are screened.

    Args:
        unit: The engine or the gearbox.
        belongs: The flexplate, flywheel and clutch that belong to it, by kind.
    """
    engine = isinstance(unit, Engine)
    side = {"engine" if engine else "gearbox": unit}
    try:
        sides = normalise(Request(title="", units="mm", **side, **belongs))  # type: ignore[arg-type]
    except (InputError, OutOfScope, NotTabulated):
        return Shelved(name=unit.name, engine=engine, sound=False)
    face = sides.engine_face if engine else sides.gearbox_face
    own = unit.peak_torque if isinstance(unit, Engine) else unit.torque_limit
    torques = {"own": own.value} if own is not None else {}
    if (clutch := belongs.get("clutch")) is not None:
        limit = getattr(clutch, "torque_limit", None)
        torques["clutch"] = limit.value if limit is not None else math.inf
    return Shelved(
        name=unit.name, engine=engine, kind=sides.kind, sound=face is not None and bool(face.holes),
        rotation=unit.rotation or "", lengths=sides.lengths, form=_form(unit, belongs, sides),
        torques=torques,
        discs=_discs((*face.holes, *face.dowels)) if face is not None else np.zeros((0, 5)),
    )  # fmt: skip


def _discs(features: Sequence[Feature]) -> Array:
    rows = [
        (one.x, one.y, one.keepout, one.diameter or one.keepout, 1.0)
        if one.kind == "dowel"
        else (one.x, one.y, one.keepout, one.screw.major if one.screw else one.keepout, 0.0)
        for one in features
    ]
    return np.array(rows, dtype=float).reshape(-1, 5)


def _form(unit: Unit, belongs: Mapping[str, Unit], sides: Sides) -> tuple[object, ...]:
    """Whatever but its figures shapes a chain: kept whole, so that like forms have like chains."""
    words = []
    for part in (unit, *(belongs[kind] for kind in sorted(belongs))):
        words += [(type(part).__name__, "there"), *_words(part, type(part).__name__)]
    bands = [
        (key, one.value)
        for key, one in sides.lengths.items()
        if key.endswith((".low", ".high")) or key == "gearbox.converter.preset"
    ]
    outward = None
    if "engine.starter.home" in sides.lengths and "engine.starter.engaged" in sides.lengths:
        outward = sides.value("engine.starter.engaged") > sides.value("engine.starter.home")  # type: ignore[operator]
    holed = bool(sides.engine_face or sides.gearbox_face), bool(sides.driving or sides.driven)
    return (*words, *sorted(bands), outward, *holed, tuple(sorted(sides.lengths)))


_ASIDE = ("name", "notes", "belongs_to", "rotation", "face", "holes", "circle", "converter_circle")


def _words(node: object, path: str) -> Iterable[tuple[str, object]]:
    for name, declared in getattr(type(node), "__dataclass_fields__", {}).items():
        value = getattr(node, name)
        if name in _ASIDE or value is None:
            continue
        if declared.metadata.get("kind") in ("word", "text", "yes_no", "count"):
            yield f"{path}.{name}", value
        elif hasattr(value, "__dataclass_fields__"):
            yield f"{path}.{name}", "there"
            yield from _words(value, f"{path}.{name}")


# ── many of them ────────────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class _Alike:
    """The units of one form: where they stand, and their figures in columns of ``keys``."""

    form: tuple[object, ...]
    places: NDArray[np.intp]
    keys: tuple[str, ...]
    value: Array
    middle: Array
    variance: Array


class Shelf:
    """Many engines, or many gearboxes, laid out in arrays.

    Raises:
        InputError: engines and gearboxes together.
    """

    def __init__(self, units: Sequence[Shelved]) -> None:
        if len({one.engine for one in units}) > 1:
            raise InputError("shelf", "engines and gearboxes", "lay out one kind at a time")
        self.names = tuple(one.name for one in units)
        self.sound = np.array([one.sound for one in units], dtype=bool)
        self.kind = np.array([one.kind for one in units], dtype=str)
        self.rotation = np.array([one.rotation for one in units], dtype=str)
        self.own = np.array([one.torques.get("own", np.nan) for one in units], dtype=float)
        self.clutch = np.array([one.torques.get("clutch", np.nan) for one in units], dtype=float)
        self.discs = np.concatenate([np.zeros((0, 5)), *(one.discs for one in units)])
        self.ends = np.cumsum([len(one.discs) for one in units], dtype=np.intp)
        self.alike = tuple(_alike(units))

    @property
    def examples(self) -> tuple[int, ...]:
        """The places of the units that stand for all of their form: the only ones asked for."""
        return tuple(int(group.places[0]) for group in self.alike)

    def __len__(self) -> int:
        return len(self.names)


def _alike(units: Sequence[Shelved]) -> Iterable[_Alike]:
    groups: dict[tuple[object, ...], list[int]] = {}
    for place, one in enumerate(units):
        if one.sound:
            groups.setdefault((one.kind, *one.form), []).append(place)
    for form, places in groups.items():
        keys = tuple(units[places[0]].lengths)
        columns = [[units[place].lengths[key] for key in keys] for place in places]
        yield _Alike(
            form=form, places=np.array(places, dtype=np.intp), keys=keys,
            value=_table(columns, lambda one: one.value),
            middle=_table(columns, _middle),
            variance=_table(columns, _variance),
        )  # fmt: skip


def _table(columns: Sequence[Sequence[Length]], of: Callable[[Length], float]) -> Array:
    shape = (len(columns), len(columns[0]))
    return np.array([[of(one) for one in row] for row in columns], dtype=float).reshape(shape)


def _exact(one: Length) -> bool:
    return one.spread == "exact" or one.within == 0


def _middle(one: Length) -> float:
    return one.value if _exact(one) else (one.low + one.high) / 2


def _variance(one: Length) -> float:
    """Variance of a dimension as the engine draws it [mm²]."""
    if _exact(one):
        return 0.0
    return one.within**2 / {"uniform": 3.0, "triangular": 6.0}.get(one.spread, 4.0)


# ── one against many ────────────────────────────────────────────────────────


@dataclass(frozen=True)
class Screened:
    """What is sure of every counterpart.

    Attributes:
        hopeless: "does not go", whatever is tried. upright: Every wall is kept, gearbox upright.
        known: ``upright`` was worked out. Each of shape (n,).
    """

    hopeless: Flags
    upright: Flags
    known: Flags


class Screen:
    """Judges one unit against a shelf; what chains of two forms have in common is kept."""

    def __init__(self) -> None:
        self._shapes: dict[tuple[object, object], _Shape | None] = {}

    def one(self, own: Shelved, shelf: Shelf, ask: Ask) -> Screened:
        """One unit against all of a shelf.

        Args:
            own: The unit. shelf: Its counterparts.
            ask: The whole request of a pair, by the counterpart's place on the shelf; asked
                for the shelf's `examples` only.
        """
        hopeless, upright, known = (np.zeros(len(shelf), dtype=bool) for _ in range(3))
        if not own.sound:
            return Screened(hopeless, upright, known)
        hopeless = _unsuited(own, shelf) & shelf.sound
        limits = np.full((len(shelf), len(LIMITS)), np.nan)
        for group in shelf.alike:
            shape = self._shape(own, group, ask)
            if shape is not None:
                hopeless[group.places] |= _contradict(own, group, shape)
                limits[group.places] = shape.limits
        known = ~np.isnan(limits[:, 0])
        return Screened(hopeless, _upright(own, shelf, limits) & known, known)

    def _shape(self, own: Shelved, group: _Alike, ask: Ask) -> _Shape | None:
        key = (own.kind, own.form), group.form
        if key not in self._shapes:
            self._shapes[key] = _shape_of(ask(int(group.places[0])))
        return self._shapes[key]


def _unsuited(own: Shelved, shelf: Shelf) -> Flags:
    """Turning the other way round, or too weak: no way out changes that."""
    against = (shelf.rotation != own.rotation) & (shelf.rotation != "") & (own.rotation != "")
    mine, clutch = (own.torques.get(name, np.nan) for name in ("own", "clutch"))
    box = np.full(len(shelf), mine) if not own.engine else shelf.own
    peak = mine if own.engine else shelf.own
    of_box, of_engine = (shelf.clutch, clutch) if own.engine else (clutch, shelf.clutch)
    between = np.where(np.isnan(of_box), of_engine, of_box)
    manual = (shelf.kind if own.engine else np.full(len(shelf), own.kind)) == "shaft"
    weak = (box < peak) | (manual & (between < peak) & ~np.isnan(box))
    return np.asarray(against | weak)


# ── what contradicts ────────────────────────────────────────────────────────


@dataclass(frozen=True)
class _Shape:
    """What pairs of two forms have in common: half-planes no way out moves, proofs, wall limits."""

    planes: HalfPlanes
    proofs: Certificates
    fair: float
    limits: tuple[float, ...]


def _shape_of(request: Request) -> _Shape | None:
    """The shape of every pair of two forms, from one such pair."""
    try:
        sides = normalise(request)
    except (InputError, OutOfScope, NotTabulated):
        return None
    if sides.engine_face is None or sides.gearbox_face is None:
        return None
    rows = requirements(sides, measures(sides, carried_by="spacer")) if span_asked(sides) else ()
    kept = [row for row in rows if not row.check.startswith(MOVED)]
    thickest = max(*THICKER["mm"], *(25.4 * size for size in THICKER["in"]), 2 * max(sides.chosen.plate_stock))  # fmt: skip
    kept.append(Requirement(check="plate-thickness", line=Linear(plate=1.0), low=0.0, high=thickest, source=""))  # fmt: skip
    planes = half_planes(kept, tuple(dict.fromkeys(key for row in kept for key in row.line.terms)))
    family = limits_of(sides.chosen.plate_material, key="choices.plate_material")
    return _Shape(
        planes=planes, proofs=certificates(planes), fair=sides.rules["verdict.low"],
        limits=tuple(sides.rules[name.format(family)] for name in LIMITS),
    )  # fmt: skip


def _contradict(own: Shelved, group: _Alike, shape: _Shape) -> Flags:
    """Whether some certificate comes out short, and by enough that no reading could save it."""
    planes, proofs = shape.planes, shape.proofs
    value, middle, variance = (
        np.column_stack([_column(own, group, key, of) for key in planes.keys] or [np.zeros((len(group.places), 0))])
        for of in (0, 1, 2)
    )  # fmt: skip
    slope = proofs.weights @ planes.coefficients
    short = -(planes.reach(value) @ proofs.weights.T)
    likely = -(planes.reach(middle) @ proofs.weights.T)
    enough = math.sqrt(2 * math.log(2 / shape.fair)) * np.sqrt(variance @ (slope**2).T)
    return np.asarray(((short > _SHORT) & (likely > enough + _SHORT)).any(axis=1))


def _column(own: Shelved, group: _Alike, key: str, of: int) -> Array:
    """Value, middle or variance of a dimension, over the pairs of a group.

    What stands between belongs to the gearbox before the engine.
    """
    shared = key in own.lengths and key in group.keys
    if key in group.keys and not (shared and not own.engine):
        return (group.value, group.middle, group.variance)[of][:, group.keys.index(key)]
    one = own.lengths[key]
    return np.full(len(group.places), (one.value, _middle(one), _variance(one))[of])


# ── the turn ────────────────────────────────────────────────────────────────


def _upright(own: Shelved, shelf: Shelf, limits: Array) -> Flags:
    """Whether every pair of discs keeps its wanted wall with the gearbox upright."""
    starts = np.concatenate((np.zeros(1, dtype=np.intp), shelf.ends[:-1]))
    pin_least, pin_share, least, share = np.repeat(limits, shelf.ends - starts, axis=0).T
    x, y, disc, size, pinned = shelf.discs.T
    tight = np.zeros(len(shelf.discs), dtype=bool)
    for own_x, own_y, own_disc, own_size, own_pinned in own.discs:
        wall = np.hypot(x - own_x, y - own_y) - (disc + own_disc) / 2
        pins = np.maximum(size * pinned, own_size * own_pinned)
        by_pin = np.maximum(pin_least, pin_share * pins)
        by_screw = np.maximum(least, share * np.minimum(size, own_size))
        tight |= wall < np.where(pins > 0, by_pin, by_screw)
    counts = np.concatenate(([0], np.cumsum(tight)))
    return np.asarray(counts[shelf.ends] == counts[starts])
