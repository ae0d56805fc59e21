"""Turn it until it runs true: the positions of bolted parts, and how true each would run.

What every part is out by is a vector that turns with the part; bolt circles leave discrete turns.
All of them are tried: e = e₀ + R(α₁)·e₁ + R(α₂)·e₂, and the same with tilts carried along the
axis and with unbalance. A part that bolts to the one before it is carried round by it, so
α₂ = 360·i/n₁ + 360·j/n₂; one held on the driver by itself has α₂ = 360·j/n₂. Where n₁ divides n₂
both give the same choice of positions. Vectors are complex, 12 o'clock real, clockwise positive.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError
from kb.model.chain import Assumption
from kb.quantity import decimals, number
from wizard.bench.readings import assumed
from wizard.bench.swept import ONTO, Part, Swept, Turned, refuse, register, unit
from wizard.engine.formulas.balance import offset_unbalance
from wizard.engine.formulas.runout import tir_of_offset

Vectors = NDArray[np.complex128]
Array = NDArray[np.float64]

DRAWS = 10_000
SHARE = 0.95
SURE = 0.8  # chance below which a position is not worth taking things apart: common practice
SAME = 1e-9  # mm: nearer than this two positions run alike
_BATCH = 2_000_000  # random vectors held at once
_NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip

CAUTIONS = (
    "Mark every part at twelve o'clock before it comes apart; sweep again once it is bolted up.",
    "Turn it over by hand with the starter disconnected, and support what the screws let go of.",
)


# ── what comes out ──────────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Position:
    """One way round, and how true it would run.

    Attributes:
        turns: Steps each part is turned from where it stands, clockwise seen from behind, in
            the order of the parts; counted on what its bolts go into.
        says: The same in words.
        tir: Expected total indicator reading [mm], and ``within`` its ± at 95 % [mm].
        toward: Clock position toward which the axis lies off [°].
        at_most: What it keeps with 95 %, the readings' ± taken into account [mm TIR].
        better: Chance that it really runs truer than as it stands; ``None`` as it stands.
        unbalance_gmm: Of what was given [g·mm]; ``None`` where nothing was.
    """

    turns: tuple[int, ...]
    says: str
    tir: float
    within: float
    toward: float
    at_most: float
    better: float | None
    unbalance_gmm: float | None


@dataclass(frozen=True, kw_only=True)
class Truing:
    """Every position, the truest first.

    Attributes:
        positions: Ranked by expected reading; of equals the one that moves least.
        parts: As they were swept, the driver first.
        bolted: The sweeps were taken with all before it bolted up, not each part by itself.
        unbalance_of: Parts whose mass or unbalance is in ``unbalance_gmm``.
        assumed: Every ± that was not written, every face taken as true.
    """

    positions: tuple[Position, ...]
    parts: tuple[Part, ...]
    bolted: bool
    unbalance_of: tuple[str, ...]
    assumed: tuple[Assumption, ...]

    @property
    def best(self) -> Position:
        """The position that should run truest."""
        return self.positions[0]

    @cached_property
    def present(self) -> Position:
        """As it stands."""
        return next(one for one in self.positions if not any(one.turns))

    @property
    def worth_it(self) -> bool:
        """Whether the best position is really better, as far as the readings tell."""
        return self.best.better is not None and self.best.better >= SURE

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def truing(
    driver: Part, turned: Sequence[Turned], *, bolted: bool = False, draws: int = DRAWS,
    seed: int = 0,
) -> Truing:  # fmt: skip
    """Every way the parts can be bolted to each other, the truest first.

    Assumptions: offsets and tilts small; the register of a part sits where it was swept when it
    is bolted on again. A reading errs alike in every direction, normally.

    Args:
        driver: What the stack is bolted to; it stays.
        turned: The parts in the order they are bolted on, one to three.
        bolted: The sweeps were taken one after the other on the stack as it grew; without it each
            part was swept about the register it sits on.
        draws: How many times the readings are drawn anew for the chances.
        seed: Seed of the random numbers, so that the answer repeats.
    Returns:
        The positions, ranked.
    Raises:
        InputError: a part, position or reading nobody can mean.
        OutOfScope: more positions than can be told apart in use.
    Source:
        Sum of vectors over all positions (closed form); the chances by sampling the readings.
    """
    parts = (driver, *turned)
    refuse(parts, turned, bolted=bolted)
    if not 1 <= draws <= 1_000_000 or seed < 0:
        raise InputError("draws", draws, "write 1 to 1000000 draws, and a seed of 0 or more")
    steps = _steps(turned)
    turns = _turned_by(turned, steps)  # of every part, in every position
    taken = [Swept.of(part) for part in parts]
    shares = _shares(turns, bolted=bolted)
    offset = shares @ np.array([one.value for one in taken])
    chances, kept = _sampled(taken, shares, draws=draws, seed=seed)
    found = _Found(
        steps=steps, offset=offset, within=_within(taken, shares, offset), better=chances,
        kept=kept, unbalance=_unbalance(parts, turns, bolted=bolted),
    )  # fmt: skip
    return Truing(
        positions=tuple(found.position(row, turned) for row in found.ranked(turned)), parts=parts,
        bolted=bolted, unbalance_of=tuple(one.name for one in parts if _weighs(one)),
        assumed=tuple(_assumed(parts)),
    )  # fmt: skip


# ── positions ───────────────────────────────────────────────────────────────


def _steps(turned: Sequence[Turned]) -> NDArray[np.int64]:
    """Steps of every part in every position, clockwise, the present one first; shape (p, parts)."""
    ways = [np.arange(one.positions) for one in turned]
    grid = np.stack(np.meshgrid(*ways, indexing="ij"), axis=-1).reshape(-1, len(turned))
    counts = np.array([one.positions for one in turned])
    signed: NDArray[np.int64] = np.where(2 * grid > counts, grid - counts, grid)
    return signed


def _turned_by(turned: Sequence[Turned], steps: NDArray[np.int64]) -> Vectors:
    """The turn of every part against the driver, as unit vectors; shape (p, parts + driver)."""
    angle = np.zeros((len(steps), len(turned) + 1))
    for place, part in enumerate(turned):
        carried = angle[:, place] if part.onto == ONTO[0] else 0.0
        angle[:, place + 1] = carried + 360.0 / part.positions * steps[:, place]
    return np.exp(1j * np.radians(angle))


def _shares(turns: Vectors, *, bolted: bool) -> Vectors:
    """What each sweep has to do with the whole: its own turn, less the next part's where bolted.

    Swept as bolted up, a part's own share is its sweep less the one before it.
    """
    if not bolted:
        return turns
    following = np.concatenate((turns[:, 1:], np.zeros((len(turns), 1))), axis=1)
    return np.asarray(turns - following, dtype=np.complex128)


# ── how sure ────────────────────────────────────────────────────────────────


def _within(taken: Sequence[Swept], shares: Vectors, offset: Vectors) -> Array:
    """± of the reading of each position, 95 %: the readings' own, along the way it is out [mm]."""
    size = np.abs(offset)
    still = size <= SAME
    toward = np.where(still, 1.0, offset / np.where(still, 1.0, size))
    along, across = np.zeros(len(shares)), np.zeros(len(shares))
    for place, one in enumerate(taken):
        for vector in one.vectors:
            seen = np.conj(toward) * shares[:, place] * vector.direction
            along += (vector.along * seen.real) ** 2 + (vector.across * seen.imag) ** 2
            across += (vector.along * seen.imag) ** 2 + (vector.across * seen.real) ** 2
    worst = np.where(still, np.maximum(along, across), along)
    return np.asarray(tir_of_offset(offset=2 * np.sqrt(worst)), dtype=np.float64)


def _sampled(
    taken: Sequence[Swept], shares: Vectors, *, draws: int, seed: int
) -> tuple[Array, Array]:
    """Chance that each position beats the present one, and the reading it keeps with 95 %."""
    random = np.random.default_rng(seed)
    drawn = np.empty((draws, len(taken)), dtype=np.complex128)
    for place, one in enumerate(taken):
        drawn[:, place] = one.value
        for vector in one.vectors:
            error = vector.along * random.normal(size=draws)
            drawn[:, place] += vector.direction * (
                error + 1j * vector.across * random.normal(size=draws)
            )
    present = np.abs(drawn @ shares[0])
    better, kept = np.empty(len(shares)), np.empty(len(shares))
    batch = max(1, _BATCH // draws)
    for start in range(0, len(shares), batch):
        rows = slice(start, start + batch)
        out = np.abs(drawn @ shares[rows].T)
        better[rows] = (out < present[:, None] - SAME).mean(axis=0)
        kept[rows] = tir_of_offset(offset=np.quantile(out, SHARE, axis=0))
    return better, kept


# ── unbalance ───────────────────────────────────────────────────────────────


def _weighs(part: Part) -> bool:
    return part.heavy is not None or part.mass_kg is not None


def _unbalance(parts: Sequence[Part], turns: Vectors, *, bolted: bool) -> Array | None:
    """Unbalance of each position [g·mm]: every part's own, and its mass off the axis on its seat."""
    if not any(_weighs(part) for part in parts):
        return None
    swept = np.array([register(part.runout).value for part in parts])
    own = np.diff(swept, prepend=0.0) if bolted else swept
    seats = np.cumsum(turns * own, axis=1)  # where each part's register has got to
    total = np.zeros(len(turns), dtype=np.complex128)
    for place, part in enumerate(parts):
        if part.heavy is not None:
            total += turns[:, place] * part.heavy.amount_gmm * unit(part.heavy.toward)
        if part.mass_kg is not None and place > 0:
            total += offset_unbalance(mass_kg=part.mass_kg, offset=1.0) * seats[:, place - 1]
    return np.abs(total)


# ── ranking ─────────────────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True, eq=False)
class _Found:
    """All positions worked out, one row each."""

    steps: NDArray[np.int64]
    offset: Vectors
    within: Array
    better: Array
    kept: Array
    unbalance: Array | None

    def ranked(self, turned: Sequence[Turned]) -> list[int]:
        """Rows, the truest first; of those that run alike the one that is turned least."""
        turn = 360.0 / np.array([one.positions for one in turned])
        moved = np.abs(self.steps) @ turn
        anticlockwise = (self.steps < 0).sum(axis=1)
        alike = np.round(np.abs(self.offset) / SAME)
        return list(map(int, np.lexsort((anticlockwise, moved, alike))))

    def position(self, row: int, turned: Sequence[Turned]) -> Position:
        turns = tuple(int(step) for step in self.steps[row])
        toward = math.degrees(math.atan2(self.offset[row].imag, self.offset[row].real))
        return Position(
            turns=turns, says=_words(turns, turned),
            tir=float(tir_of_offset(offset=np.abs(self.offset[row]))),
            within=float(self.within[row]), toward=toward % 360.0, at_most=float(self.kept[row]),
            better=float(self.better[row]) if any(turns) else None,
            unbalance_gmm=None if self.unbalance is None else float(self.unbalance[row]),
        )  # fmt: skip


# ── words ───────────────────────────────────────────────────────────────────


def _words(turns: Sequence[int], turned: Sequence[Turned]) -> str:
    moved = [_move(step, part) for step, part in zip(turns, turned, strict=True) if step]
    return ", ".join(moved) or "as it stands"


def _move(step: int, part: Turned) -> str:
    count = abs(step)
    said = _NUMBERS[count] if count < len(_NUMBERS) else str(count)
    what = f"{part.name} {said} {part.step}{'s' * (count != 1)}"
    if 2 * count == part.positions:
        return f"{what} (half a turn)"
    return f"{what} {'clockwise' if step > 0 else 'anticlockwise'}"


def _sentences(made: Truing) -> Iterator[str]:
    best, now = made.best, made.present
    first = made.parts[0].runout.reading.unit
    if best is now:
        yield f"Leave it as it stands: {_figure(now, first)}, and no other way round runs truer."
        return
    before = _length(now.tir, within=best.within, first=first)
    yield f"{best.says[0].upper()}{best.says[1:]}: {before} → {_figure(best, first)}."
    yield (
        f"The chance that it really runs truer is {_chance(best.better or 0.0)}; with 95 in 100 it"
        f" keeps {_length(best.at_most, within=best.within, first=first)} {first} TIR."
    )
    if not made.worth_it:
        yield (
            "The readings hardly tell it from where it stands: sweep again with a finer dial "
            "before anything comes apart."
        )
    if best.unbalance_gmm is not None and now.unbalance_gmm is not None:
        yield (
            f"Unbalance of {', '.join(made.unbalance_of)}: {now.unbalance_gmm:.0f} →"
            f" {best.unbalance_gmm:.0f} g·mm."
        )
    yield "Clockwise is seen from behind, counted on what each part's bolts go into."


def _figure(position: Position, first: str) -> str:
    places = decimals(position.within, first)
    spread = number(position.within, unit=first, places=places)
    return f"{number(position.tir, unit=first, places=places)} ± {spread} {first} TIR"


def _length(value: float, *, within: float, first: str) -> str:
    return number(value, unit=first, places=decimals(within, first))


def _chance(chance: float) -> str:
    if chance > 0.995:
        return "over 99 %"
    return "under 1 %" if chance < 0.005 else f"about {100 * chance:.0f} %"


def _assumed(parts: Sequence[Part]) -> Iterator[Assumption]:
    for part in parts:
        yield from assumed(f"{part.name}, register", [part.runout.reading], usual="dial")
        if part.face is not None:
            yield from assumed(f"{part.name}, face", [part.face.reading], usual="dial")
    if any(part.face for part in parts):
        for part in parts:
            if part.face is None:
                yield Assumption(
                    key=f"{part.name}, face", value="square", why="it was not swept"
                )  # fmt: skip
