"""The spin test: whether a part on free bearings or knife edges has a heavy side.

The part carries a scale of degrees. It is turned gently and let stop, again and again, half of
the times each way; each stop is the mark that comes to stand lowest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from kb.errors import InputError
from wizard.bench.clock import opposite
from wizard.engine.formulas import balance
from wizard.engine.formulas.directions import (
    chance_of_strength,
    direction_within,
    mean_direction,
)

RARE = 0.05  # chance below which a preferred stop is no chance: common practice, no source
FEW = 8  # stops below which the test says little: common practice, no source
LEAST = 3
WAYS_APART = (
    45.0  # degrees between the two ways' means that friction makes, not mass: CP, no source
)
FRICTION_ARM = 0.02  # mm: what hardened knife edges can still tell, 0.010 to 0.025: CP, no source
TIMES = (1.0, 1.5, 2.0, 3.0)  # offsets a test is judged by, in friction arms
GRADES = (1.0, 2.0, 4.0)  # and in what the grade allows
DRAWS = 20_000
SEED = 20_260_301
TOO_HEAVY_KG, TOO_FAST_RPM, TOO_WIDE = 5.0, 4500.0, 250.0  # beyond them, send it out: CP, no source
TOO_LONG = 0.5  # of the diameter: then it needs two planes: common practice, no source
VERDICTS = ("heavy side", "no preferred stop", "the two ways disagree", "too few stops")
CAUTIONS = (
    "Stand clear of the plane of the part, put a guard round it, eye protection on.",
    "Keys, clamps and loose fasteners out before it turns.",
    "Nothing is touched, marked or stopped by hand while power is on; let it run down by itself.",
    "No part runs faster than the slowest limit of what holds it: chuck, mandrel or balancer.",
)


@dataclass(frozen=True, kw_only=True)
class Part:
    """What is known of the part, and of the speeds it sees; ``None`` where it was not said.

    Attributes:
        mass_kg: Its mass. length, diameter: Its size [mm].
        speed_rpm: Greatest service speed.
        run_up_rpm: Speed it is run up to in the shop.
        chuck_rpm: Slowest speed limit of chuck, mandrel or balancer.
        grade_mm_s: Balance quality wanted, the figure after G [mm/s].
        friction_arm: Offset of mass that the bearings' friction still holds [mm].
        external: Whether it must match an externally balanced engine.
        assembled: Whether it is put together of several pieces or keyed.
    """

    mass_kg: float | None = None
    length: float | None = None
    diameter: float | None = None
    speed_rpm: float | None = None
    run_up_rpm: float | None = None
    chuck_rpm: float | None = None
    grade_mm_s: float = 6.3
    friction_arm: float = FRICTION_ARM
    external: bool | None = None
    assembled: bool | None = None

    @property
    def allowed_gmm(self) -> float | None:
        """Unbalance its grade allows [g·mm]."""
        if self.mass_kg is None or self.speed_rpm is None:
            return None
        return balance.permissible_unbalance(
            grade_mm_s=self.grade_mm_s, mass_kg=self.mass_kg, speed_rpm=self.speed_rpm
        )

    @property
    def seen_gmm(self) -> float | None:
        """Least unbalance such a test can see [g·mm]."""
        if self.mass_kg is None:
            return None
        return balance.offset_unbalance(mass_kg=self.mass_kg, offset=self.friction_arm)

    @property
    def share_shown(self) -> float | None:
        """Share of the working unbalance force that the run-up shows, (n_run/n_max)²."""
        if self.run_up_rpm is None or self.speed_rpm is None:
            return None
        run, full = (
            balance.unbalance_force(unbalance_gmm=1.0, speed_rpm=speed)
            for speed in (self.run_up_rpm, self.speed_rpm)
        )
        return run / full


@dataclass(frozen=True, kw_only=True)
class Missed:
    """How likely an unbalanced part is to pass.

    Attributes:
        offset: Its centre of mass off the axis [mm]; ``unbalance_gmm`` the same as unbalance,
            where its mass is known.
        of: Whether the offset was taken by the ``friction`` of the edges or by the ``grade``.
        passes: Chance that this many stops show no preferred one.
    """

    offset: float
    of: str
    unbalance_gmm: float | None
    passes: float


@dataclass(frozen=True, kw_only=True)
class Spin:
    """What the stops tell.

    Attributes:
        stops: One way, and ``other_way`` the other, as read [°].
        strength: How strongly they lie together, 0 … 1.
        p: Exact chance that a part without a heavy side would stop so, or more strongly so.
        mean_at: Mean of the marks that stood lowest [°].
        within: ± of it [°]; 180 where it is not known.
        ways_apart: Between the means of the two ways [°]; ``None`` where one way was taken.
        verdict: ``heavy side``, ``no preferred stop``, ``the two ways disagree`` or ``too few
            stops``.
        missed: Chances that an unbalanced part passes a test of so many stops.
        part: What is known of it.
        send_out: Why it belongs on a balancing machine.
        not_asked: What was not said and could send it there.
    """

    stops: tuple[float, ...]
    other_way: tuple[float, ...]
    strength: float
    p: float
    mean_at: float
    within: float
    ways_apart: float | None
    verdict: str
    missed: tuple[Missed, ...]
    part: Part
    send_out: tuple[str, ...]
    not_asked: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many stops."""
        return len(self.stops) + len(self.other_way)

    @property
    def heavy_at(self) -> float | None:
        """Mark of the heavy side [°]; ``None`` where none was found."""
        return self.mean_at if self.verdict == "heavy side" else None

    @property
    def light_at(self) -> float | None:
        """Mark straight across from it [°]."""
        return None if self.heavy_at is None else opposite(self.heavy_at)

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_sentences(self))


def spin(
    stops: Sequence[float], *, other_way: Sequence[float] = (), part: Part | None = None
) -> Spin:
    """Whether the stops of a freely turned part tell a heavy side.

    Args:
        stops: Marks that came to stand lowest [°].
        other_way: The same, turned the other way [°].
        part: What is known of it.
    Raises:
        InputError: fewer than three stops, marks off the scale, a size nobody can mean, or a
            run-up beyond what holds the part.
    Source:
        Kluyver's random walk for the chance (`directions.chance_of_strength`); the two ways, the
        number of stops and when to send it out are common practice, no source.
    """
    known = part or Part()
    every = [*stops, *other_way]
    _refuse(every, known)
    strength, mean_at = mean_direction(angles=every)
    p = chance_of_strength(strength=strength, readings=len(every))
    apart = _ways_apart(stops, other_way)
    return Spin(
        stops=tuple(stops), other_way=tuple(other_way), strength=strength, p=p, mean_at=mean_at,
        within=direction_within(angles=every), ways_apart=apart,
        verdict=_verdict(len(every), p, apart), missed=_missed(len(every), known), part=known,
        send_out=tuple(_reasons(known)), not_asked=tuple(_not_asked(known)),
    )  # fmt: skip


def _refuse(every: Sequence[float], part: Part) -> None:
    if len(every) < LEAST:
        raise InputError("stops", f"{len(every)} stops", f"spin it {FEW} times or more")
    for one in every:
        if not -360 <= one <= 720:
            raise InputError("stops", f"{one:g}", "write marks of the part's scale, 0 to 360")
    sizes = ("mass_kg", "length", "diameter", "speed_rpm", "run_up_rpm", "chuck_rpm", "grade_mm_s", "friction_arm")  # fmt: skip
    for name in sizes:
        value = getattr(part, name)
        if value is not None and not 0 < value < math.inf:
            raise InputError(name, value, "it must be above 0")
    limit = math.inf if part.chuck_rpm is None else part.chuck_rpm
    if part.run_up_rpm is not None and part.run_up_rpm > limit:
        accepted = f"what holds it is limited to {limit:g} rpm; never run beyond it"
        raise InputError("run-up", f"{part.run_up_rpm:g} rpm", accepted)


def _ways_apart(stops: Sequence[float], other_way: Sequence[float]) -> float | None:
    """Angle between the means of the two ways [°]."""
    if not stops or not other_way:
        return None
    one, other = (mean_direction(angles=each)[1] for each in (stops, other_way))
    return abs((one - other + 180) % 360 - 180)


def _verdict(count: int, p: float, apart: float | None) -> str:
    if p >= RARE:
        return "no preferred stop" if count >= FEW else "too few stops"
    if apart is not None and apart > WAYS_APART:
        return "the two ways disagree"
    return "heavy side"


def _missed(count: int, part: Part) -> tuple[Missed, ...]:
    """How often unbalanced parts pass, by the friction's arm and, where known, by the grade."""
    limit = _least_strength(count)
    offsets = [(times * part.friction_arm, "friction") for times in TIMES]
    if part.allowed_gmm is not None and part.speed_rpm is not None:
        allowed = balance.permissible_offset(grade_mm_s=part.grade_mm_s, speed_rpm=part.speed_rpm)
        offsets += [(times * allowed, "grade") for times in GRADES]
    return tuple(
        Missed(
            offset=offset, of=of, passes=_passes(offset / part.friction_arm, count, limit),
            unbalance_gmm=None if part.mass_kg is None
            else balance.offset_unbalance(mass_kg=part.mass_kg, offset=offset),
        )
        for offset, of in offsets
    )  # fmt: skip


@cache
def _least_strength(count: int) -> float:
    """The strength whose chance is just rare."""
    low, high = 0.0, 1.0
    for _ in range(18):
        middle = (low + high) / 2
        rare = chance_of_strength(strength=middle, readings=count) < RARE
        low, high = (low, middle) if rare else (middle, high)
    return high


def _passes(times: float, count: int, limit: float) -> float:
    """Share of such tests that show no preferred stop, sampled.

    A part whose offset is e stops wherever gravity's pull, m·g·e·sin φ, is held by friction,
    m·g·a: anywhere within asin(a/e) of its lowest place, and anywhere at all where e is less
    than a (common practice, no source).
    """
    random = np.random.default_rng(SEED)
    half = math.asin(1 / times) if times >= 1 else math.pi
    turns = np.exp(1j * random.uniform(-half, half, (DRAWS, count)))
    return float((np.abs(turns.mean(axis=1)) < limit).mean())


def _reasons(part: Part) -> Iterator[str]:
    """Why it belongs on a machine."""
    if part.mass_kg is not None and part.mass_kg > TOO_HEAVY_KG:
        yield f"heavier than {TOO_HEAVY_KG:g} kg"
    if part.speed_rpm is not None and part.speed_rpm > TOO_FAST_RPM:
        yield f"faster than {TOO_FAST_RPM:g} rpm"
    if part.diameter is not None and part.diameter > TOO_WIDE:
        yield f"wider than {TOO_WIDE:g} mm"
    if part.length is not None and part.length > TOO_LONG * (part.diameter or math.inf):
        yield "longer than half its diameter: it needs two planes"
    if part.external:
        yield "it must match an externally balanced engine"
    if part.assembled:
        yield "it is keyed or put together of several pieces"
    seen, allowed = part.seen_gmm, part.allowed_gmm
    if seen is not None and allowed is not None and seen > allowed / 2:
        yield (
            f"friction hides up to {seen:.0f} g·mm, more than half of the {allowed:.0f} g·mm "
            "its grade allows"
        )


def _not_asked(part: Part) -> Iterator[str]:
    words = {
        "mass_kg": "mass", "speed_rpm": "greatest speed", "length": "length",
        "diameter": "diameter", "external": "external balance", "assembled": "assembled or keyed",
    }  # fmt: skip
    yield from (word for name, word in words.items() if getattr(part, name) is None)


def _sentences(found: Spin) -> Iterator[str]:
    chance = "under 1 in 10 000" if found.p < 1e-4 else f"{found.p:.3g}"
    yield f"{found.count} stops, strength {found.strength:.2f}; by chance alone: {chance}."
    if found.heavy_at is not None and found.light_at is not None:
        yield f"Heavy side at mark {found.heavy_at:.0f}° ± {found.within:.0f}°; light side at {found.light_at:.0f}°."
    elif found.verdict == "the two ways disagree":
        yield f"The two ways stop {found.ways_apart:.0f}° apart: friction or edges out of level, not mass. Level them and spin again."
    elif found.verdict == "too few stops":
        yield f"Too few stops to tell: spin it {FEW} times or more, half each way."
    else:
        yield "No preferred stop. That means less than friction hides, not that it is in balance."
    if found.strength > 0.999:
        yield "All stops alike: let it turn more than once round each time, or it has never been free."
    if found.ways_apart is None:
        yield "Spin it the other way as often, to tell friction from mass."
    yield _power(found)
    yield from _about_part(found)


def _power(found: Spin) -> str:
    """How likely a part that is really out of balance is to pass."""
    told = []
    for one in found.missed:
        weight = "" if one.unbalance_gmm is None else f" ({one.unbalance_gmm:.0f} g·mm)"
        told.append(f"{one.offset:.3f} mm{weight} off, {100 * one.passes:.0f} in 100")
    return f"Chance that a part out of balance passes {found.count} stops: " + "; ".join(told) + "."


def _about_part(found: Spin) -> Iterator[str]:
    part = found.part
    if part.allowed_gmm is not None:
        yield f"G{part.grade_mm_s:g} allows {part.allowed_gmm:.1f} g·mm at {part.speed_rpm:g} rpm."
    if part.share_shown is not None:
        yield f"A run-up to {part.run_up_rpm:g} rpm shows {100 * part.share_shown:.0f} % of the working unbalance force."
        if part.chuck_rpm is None:
            yield "What is the speed limit of the chuck or mandrel that holds it? It is never run beyond it."
    if found.send_out:
        yield "Send it to a balancing machine: " + "; ".join(found.send_out) + "."
    if found.not_asked:
        yield "Not said, and could send it to a machine: " + ", ".join(found.not_asked) + "."
