"""Threads and drills: from calliper and pitch count to a thread, and from a thread to its drills."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from kb.errors import InputError, NotTabulated
from kb.model.chain import Assumption
from kb.quantity import Dimension, Thread, both, read_thread
from kb.standards import clearance, drills, heads, threads
from kb.standards.loader import table
from wizard.bench.readings import Claim, assumed, claim, small
from wizard.engine.formulas.thread_limits import external_major_least, internal_minor_most
from wizard.engine.formulas.threads import bore_for_share, thread_share

PARTS = ("screw", "tapped")
USUAL_SHARE = 0.75
SHOWN = 5  # threads listed
MOST_COUNTED = 200
UNIT = {"inch": "in", "metric": "mm"}


@dataclass(frozen=True, kw_only=True)
class Match:
    """A thread held against the readings.

    Attributes:
        thread: The thread.
        diameter_off: How far the calliper reading lies outside the thread's limits [mm], − under.
        pitch_off: Pitch as read less that of the thread [mm]; ``None`` without a count.
        misfit: The worse of both, over what the readings' ± allows; 1 and less is a fit.
    """

    thread: Thread
    diameter_off: float
    pitch_off: float | None
    misfit: float


@dataclass(frozen=True, kw_only=True)
class ThreadFound:
    """What the readings may be.

    Attributes:
        part: ``screw``, read over its crests, or ``tapped``, read across its crests.
        diameter: The calliper reading.
        pitch: Pitch as read [mm], and ``pitch_within`` its ± [mm]; ``None`` without a count.
        matches: The nearest threads, the best first.
        assumed: Every ± that was not written.
    """

    part: str
    diameter: Dimension
    pitch: float | None
    pitch_within: float | None
    matches: tuple[Match, ...]
    assumed: tuple[Assumption, ...]

    @property
    def fitting(self) -> tuple[Match, ...]:
        """Those that fit within the readings' ±."""
        return tuple(one for one in self.matches if one.misfit <= 1)

    @property
    def thread(self) -> Thread | None:
        """The thread, where one alone fits."""
        return self.fitting[0].thread if len(self.fitting) == 1 else None

    @property
    def says(self) -> tuple[str, ...]:
        """What came out, in sentences."""
        return tuple(_found_says(self))


def find_thread(
    diameter: Dimension,
    *,
    part: str = "screw",
    count: int | None = None,
    over: Dimension | None = None,
    pitch: Dimension | None = None,
) -> ThreadFound:
    """Which tabulated thread the readings fit.

    Args:
        diameter: Calliper reading: over the crests of a screw, across those of a tapped hole.
        part: ``screw`` or ``tapped``.
        count: How many pitches lie on a length, and ``over``: that length. Threads per inch are
            a count over 1 in.
        pitch: The pitch itself, as a gauge gives it, instead.
    Raises:
        InputError: another part, a count without its length, or sizes not above 0.
    Source:
        Limits of size of ASME B1.1-2019 (2A, 2B) and ISO 965-1 (6g, 6H), by their formulas.
    """
    if part not in PARTS:
        raise InputError("part", part, "write screw or tapped")
    _above_zero(diameter=diameter, over=over, pitch=pitch)
    if (count is None) != (over is None):
        raise InputError(
            "count", count or "(none)", "give the number of pitches and the length over them"
        )
    if count is not None and not 1 <= count <= MOST_COUNTED:
        raise InputError("count", count, f"count the pitches, 1 to {MOST_COUNTED}")
    size = claim(diameter, usual="caliper")
    step = _pitch(count, over, pitch)
    ranked = sorted(
        (_match(thread, part, size, step) for thread in _every()), key=lambda m: m.misfit
    )
    taken = [one for one in (diameter, over, pitch) if one is not None]
    return ThreadFound(
        part=part, diameter=diameter, pitch=None if step is None else step.value,
        pitch_within=None if step is None else step.within, matches=tuple(ranked[:SHOWN]),
        assumed=assumed("thread", taken, usual="caliper"),
    )  # fmt: skip


def _above_zero(**readings: Dimension | None) -> None:
    for name, reading in readings.items():
        if reading is not None and reading.middle <= 0:
            raise InputError(name, reading.typed, "it must be above 0")


def _pitch(count: int | None, over: Dimension | None, pitch: Dimension | None) -> Claim | None:
    """The pitch as read, with its ±; a gauge's is exact to 1 %."""
    if over is not None and count is not None:
        length = claim(over, usual="rule")
        return Claim(
            value=length.value / count, within=length.within / count,
            deviation=length.deviation / count, why=length.why,
        )  # fmt: skip
    if pitch is None:
        return None
    within = pitch.within if pitch.within is not None else 0.01 * pitch.middle
    return Claim(value=pitch.middle, within=within, deviation=within / 2, why="")


@cache
def _every() -> tuple[Thread, ...]:
    """Every thread tabulated, each with its pitch."""
    rows = (row for system in threads.SYSTEMS for row in table(f"threads_{system}"))
    return tuple(
        threads.sizes(read_thread(row.text("thread"), key="thread")).thread for row in rows
    )


def _match(thread: Thread, part: str, size: Claim, step: Claim | None) -> Match:
    held = threads.sizes(thread)
    major, system = thread.major, thread.system
    if part == "screw":
        low, high = external_major_least(major=major, pitch=held.pitch, system=system), major
    else:
        low = held.minor_internal
        high = internal_minor_most(major=major, pitch=held.pitch, system=system)
    off = min(size.value - low, 0.0) + max(size.value - high, 0.0)
    shares = [abs(off) / max(size.within, 1e-6)]
    pitch_off = None if step is None else step.value - held.pitch
    if step is not None and pitch_off is not None:
        shares.append(abs(pitch_off) / max(step.within, 1e-6))
    return Match(thread=thread, diameter_off=off, pitch_off=pitch_off, misfit=max(shares))


def _found_says(found: ThreadFound) -> Iterator[str]:
    fitting = [str(one.thread) for one in found.fitting]
    if found.thread is not None:
        yield f"It is {found.thread}."
    elif fitting:
        yield f"It may be {' or '.join(fitting)}."
        if found.pitch is None:
            yield "Count the pitches over a length as long as you can reach, or try a pitch gauge."
        else:
            yield "Count more pitches over a longer length, or try a known nut or screw by hand."
    else:
        near = found.matches[0]
        off = small(near.diameter_off, UNIT[near.thread.system])
        yield f"No tabulated thread fits. The nearest is {near.thread}, {off} off in diameter. Worn, damaged, or of another standard."


# ── drills of a thread ──────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class Bore:
    """A hole of a thread: what it is for, its diameter [mm], the drill, and who says so."""

    use: str
    diameter: float
    drill: str
    source: str


@dataclass(frozen=True, kw_only=True)
class ThreadSheet:
    """Everything drilled for a thread.

    Attributes:
        thread: The thread. pitch: [mm].
        share: Share of the full thread wanted, 0.4 … 0.9.
        tap: The tap drill nearest to it, and ``tap_share`` what that leaves.
        clearance: Clearance holes, close to loose.
        counterbore: Diameter and depth for a socket head to lie flush [mm].
        lacks: What no table held gives, and why.
        source: Who says what the thread is.
    """

    thread: Thread
    pitch: float
    share: float
    tap: Bore
    tap_share: float
    clearance: tuple[Bore, ...]
    counterbore: tuple[float, float] | None
    lacks: tuple[str, ...]
    source: str

    @property
    def says(self) -> tuple[str, ...]:
        """What to drill, in sentences."""
        return tuple(_sheet_says(self))


def sheet_of(thread: Thread, *, share: float = USUAL_SHARE) -> ThreadSheet:
    """Tap drill for a wanted share of thread, clearance holes and counterbore.

    Args:
        thread: The thread.
        share: Share of the full thread wanted, 0.4 … 0.9.
    Raises:
        InputError: a share nobody taps. NotTabulated: a metric thread without a pitch whose
            coarse pitch is not held, or a bore beyond every drill.
    """
    held = threads.sizes(thread)
    wanted = bore_for_share(major=thread.major, pitch=held.pitch, share=share)
    sets = ("metric",) if thread.system == "metric" else ("number", "letter", "fraction")
    drill = drills.nearest(wanted, sets=sets)
    lacks: list[str] = []
    return ThreadSheet(
        thread=held.thread, pitch=held.pitch, share=share,
        tap=Bore(use="tap", diameter=drill.diameter, drill=drill.name, source="nearest drill held"),
        tap_share=thread_share(major=thread.major, pitch=held.pitch, bore=drill.diameter),
        clearance=tuple(_clearances(thread, lacks)), counterbore=_counterbore(thread, lacks),
        lacks=tuple(lacks), source=held.source,
    )  # fmt: skip


def _clearances(thread: Thread, lacks: list[str]) -> Iterator[Bore]:
    for fit in clearance.FITS:
        try:
            hole = clearance.hole(thread, fit)
        except NotTabulated as error:
            lacks.append(str(error))
            return
        yield Bore(use=fit, diameter=hole.diameter, drill=hole.drill_name, source=hole.source)


def _counterbore(thread: Thread, lacks: list[str]) -> tuple[float, float] | None:
    try:
        head = heads.socket_screw(thread)
    except NotTabulated as error:
        lacks.append(str(error))
        return None
    return head.counterbore, head.head_height


def _sheet_says(found: ThreadSheet) -> Iterator[str]:
    unit = UNIT[found.thread.system]
    yield f"{found.thread}: pitch {both(found.pitch, first=unit)}."
    yield (
        f"Tap drill {found.tap.drill} ({both(found.tap.diameter, first=unit)}), "
        f"{100 * found.tap_share:.0f} % of full thread."
    )
    for one in found.clearance:
        yield f"Clearance, {one.use}: {one.drill} ({both(one.diameter, first=unit)}; {one.source})."
    if found.counterbore is not None:
        across, deep = (both(size, first=unit) for size in found.counterbore)
        yield f"Counterbore for a socket head: {across} across, {deep} deep to lie flush."
    yield from found.lacks


# ── the nearest drill ───────────────────────────────────────────────────────


@dataclass(frozen=True, kw_only=True)
class NearDrill:
    """The drill of one set nearest to a diameter: ``off`` is drill less diameter [mm]."""

    set: str
    name: str
    diameter: float
    off: float


def near_drills(diameter: Dimension) -> tuple[NearDrill, ...]:
    """The nearest drill of every set, the nearest of all first.

    Raises:
        InputError: a diameter not above 0. NotTabulated: no set reaches it.
    """
    _above_zero(drill=diameter)
    drills.nearest(diameter.middle)  # refuses what no set reaches
    found = []
    for each in drills.SETS:
        with contextlib.suppress(NotTabulated):
            drill = drills.nearest(diameter.middle, sets=(each,))
            off = drill.diameter - diameter.middle
            found.append(NearDrill(set=each, name=drill.name, diameter=drill.diameter, off=off))
    return tuple(sorted(found, key=lambda one: abs(one.off)))
