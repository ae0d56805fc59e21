"""Axial jobs written as sheets from a table of keys, and what each of them needs, worked afresh.

`Need` is one straight line in the plate's thickness t and the adapter's length L that must lie
between two limits. `needs_of_…` write down geometry.md's chains (gap, nose, tip, release, spline,
starter) in plain sums; limits are the defaults of the rule set "automatic road car" or "light
manual": common practice, no source. Nothing here is taken from the program's own chains.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import linprog

from kb.model.chain import Chain
from kb.model.record import Sides
from kb.sheets.reading import read
from wizard.engine.axial.chain import chain
from wizard.engine.normalise import normalise

Array = NDArray[np.float64]
Values = Mapping[str, float]
Job = Mapping[str, object]
FEW = 50  # draws, where the chances are not looked at

D, Z, F, H = (
    "gearbox.converter.seat_depth", "engine.drive.standoff", "flexplate.offset",
    "gearbox.converter.hub.reach",
)  # fmt: skip
SHIMS, SEATED, GEAR = (
    "gearbox.converter.lug_shims", "gearbox.converter.pump_lug.seated",
    "gearbox.converter.pump_lug.gear",
)  # fmt: skip
RECESS, PACKING = "engine.drive.register.depth", "choices.packing"
S, N, Q, K, W = (
    "gearbox.shaft.reach", "gearbox.shaft.tip.length", "gearbox.release.retracted",
    "clutch.fingers", "flywheel.height",
)  # fmt: skip
MOUTH, DEEP, BUSH = "pilot.mouth", "pilot.depth", "pilot.bush_width"
FRONT, REAR = "clutch.disc_hub.front", "clutch.disc_hub.rear"
FROM_TIP, SPLINE = "gearbox.shaft.spline.from_tip", "gearbox.shaft.spline.length"
POSITION = "gearbox.driven.position"


# ── sheets ──────────────────────────────────────────────────────────────────


def text(job: Job) -> str:
    """A sheet in millimetres: a dotted key and its value on every line."""
    return 'units = "mm"\n' + "\n".join(f"{key} = {_toml(value)}" for key, value in job.items())


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_toml, value)) + "]"
    return f"{value:.6f}" if isinstance(value, float) else str(value)


def sides(job: Job) -> Sides:
    """The job, normalised."""
    return normalise(read(text(job)))


def solved(job: Job, *, draws: int = FEW) -> Chain:
    """The program's axial side of the job."""
    found = chain(sides(job), draws=draws)
    assert found is not None
    return found


def overlap(*spans: tuple[float, float]) -> float:
    """Overlap of two spans, negative by how far they miss each other."""
    return min(b for _, b in spans) - max(a for a, _ in spans)


def close(found: Chain, expected: dict[str, float]) -> None:
    """Each expected quantity or station, to the last figure a sheet can carry."""
    for name, value in expected.items():
        where = found.values if name in found.values else found.stations
        assert where[name] == pytest.approx(value, abs=1e-5), name


# ── what a job needs, in plain sums ─────────────────────────────────────────


class Need(NamedTuple):
    """``low ≤ alpha·t + beta·L + rest ≤ high`` [mm]."""

    check: str
    alpha: float
    beta: float
    rest: float
    low: float = -math.inf
    high: float = math.inf


Needs = Callable[[Values], list[Need]]


def box(stock: float = 25.0) -> list[Need]:
    """No plate thicker than the thickest stock, no adapter longer than 300 mm, neither negative."""
    return [
        Need("plate-thickness", 1, 0, 0, 0, stock),
        Need("spacer-length", 0, 1, 0, 0, 300),
    ]


def needs_of_converter(x: Values) -> list[Need]:
    """Gap 3.2 to 4.8, nose 3.2 bolted and 0 seated, 0.5 below it, lugs ¾ of the gear and 6."""
    g, shims = x.get(PACKING, 0.0), x.get(SHIMS, 0.0)
    gap = g + x[D] - x[Z] - x[F] - shims  # + t − L
    nose = x[H] - x[F] - shims
    return [
        *box(),
        Need("converter-gap", 1, -1, gap, 3.2, 4.8),
        Need("nose-engagement", 0, 0, nose, 3.2),
        Need("nose-engagement", -1, 1, nose - gap, 0),
        Need("nose-bottoming", 0, 1, x[RECESS] - nose, 0.5),
        Need("pump-lug-overlap", -1, 1, x[SEATED] - gap, 6),
        Need("pump-lug-overlap", -1, 1, x[SEATED] - gap - 0.75 * x[GEAR], 0),
    ]


def needs_of_shaft(x: Values) -> list[Need]:
    """Release gap 3 to 4.6, tip ⅔ of the bush, 3 below it, shoulder clear, ⅘ of the hub splined.

    An overlap is not less than a length when the four distances it is the smallest of are not:
    each end of one part from the far end of the other, and both parts' own lengths.
    """
    g = x.get(PACKING, 0.0)
    rear = x[Z] + x[MOUTH]  # + L
    end = g - x[S]  # + t
    face = x[Z] + x[W]  # + L
    bush, hub = x[BUSH] * 2 / 3, 0.8 * (x[REAR] - x[FRONT])
    start = end + x[FROM_TIP]
    return [
        *box(),
        Need("release-gap", 1, -1, g + x[Q] - face - x[K], 3.0, 4.6),
        Need("tip-engagement", -1, 1, rear - end - bush, 0),
        Need("tip-engagement", 0, 0, x[BUSH] - bush, 0),
        Need("tip-engagement", 0, 0, x[N] - bush, 0),
        Need("tip-engagement", 1, -1, end + x[N] - rear + x[BUSH] - bush, 0),
        Need("tip-bottoming", 1, -1, end - rear + x[DEEP], 3),
        Need("tip-shoulder", 1, -1, end + x[N] - rear, 0),
        Need("spline-overlap", 0, 0, x[REAR] - x[FRONT] - hub, 0),
        Need("spline-overlap", -1, 1, face + x[REAR] - start - hub, 0),
        Need("spline-overlap", 1, -1, start + x[SPLINE] - face - x[FRONT] - hub, 0),
        Need("spline-overlap", 0, 0, x[SPLINE] - hub, 0),
    ]


def needs_of_flange(x: Values) -> list[Need]:
    """z_d + L = (t + g) + N, within what the coupling allows."""
    offset = x[Z] - x.get(PACKING, 0.0) - x[POSITION]
    low, high = x["gearbox.driven.allow.low"], x["gearbox.driven.allow.high"]
    return [*box(), Need("flange-position", -1, 1, offset, low, high)]


# ── against linear programming ──────────────────────────────────────────────


def rows(needs: Sequence[Need]) -> tuple[Array, Array]:
    """The needs as A·(t, L) ≤ c."""
    pairs = list(_half_planes(needs))
    return np.array([a for a, _ in pairs]), np.array([c for _, c in pairs])


def owners(needs: Sequence[Need]) -> list[str]:
    """The check each row of `rows` stands for."""
    return [one.check for one in needs for limit in (one.low, one.high) if abs(limit) < math.inf]


def _half_planes(needs: Sequence[Need]) -> Iterator[tuple[tuple[float, float], float]]:
    for one in needs:
        if one.low > -math.inf:
            yield (-one.alpha, -one.beta), one.rest - one.low
        if one.high < math.inf:
            yield (one.alpha, one.beta), one.high - one.rest


def farthest(a: Array, c: Array, aim: tuple[float, float]) -> float | None:
    """How far what works reaches in a direction, or ``None`` when nothing works."""
    best = linprog(-np.array(aim), A_ub=a, b_ub=c, bounds=[(None, None)] * 2)
    assert best.status in (0, 2)
    return -float(best.fun) if best.status == 0 else None


def shortfall(a: Array, c: Array) -> float:
    """Least common easing of all rows that lets some (t, L) meet them [mm]; below 0: room to spare."""
    eased = linprog(
        [0, 0, 1], A_ub=np.column_stack((a, -np.ones(len(a)))), b_ub=c, bounds=[(None, None)] * 3
    )
    assert eased.status in (0, 3)  # 3: unbounded, room without end
    return float(eased.x[2]) if eased.status == 0 else -math.inf


DIRECTIONS = [
    (math.cos(angle), math.sin(angle)) for angle in np.linspace(0, 2 * math.pi, 16, endpoint=False)
]


def assert_corners(corners: Sequence[tuple[float, float]], a: Array, c: Array) -> None:
    """The corners are the polygon A·(t, L) ≤ c: inside it, reaching as far every way, in order."""
    if not corners:
        assert shortfall(a, c) > -1e-7
        return
    assert (np.array(corners) @ a.T <= c + 1e-6).all()
    for aim in DIRECTIONS:
        best = farthest(a, c, aim)
        assert best is not None
        reach = max(aim[0] * t + aim[1] * length for t, length in corners)
        assert abs(reach - best) < 1e-5
    assert _area(corners) >= -1e-9


def _area(corners: Sequence[tuple[float, float]]) -> float:
    """Signed area, + anticlockwise."""
    return 0.5 * sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    )


# ── jobs at random ──────────────────────────────────────────────────────────


def converter_at(draw: np.random.Generator, *, apart: float = 12.0) -> dict[str, float]:
    """Numbers about a job that works, spread so that some do not."""
    off = draw.uniform(-apart, apart)
    return {
        Z: draw.uniform(-8, 12), D: draw.uniform(20, 35), F: draw.uniform(4, 12),
        H: draw.uniform(10, 26), SHIMS: draw.choice((0.0, 1.5)), RECESS: draw.uniform(2, 12),
        SEATED: draw.uniform(8, 24), GEAR: draw.uniform(8, 16), PACKING: draw.choice((0.0, 1.2)),
    } | ({D: -10.0 + off} if draw.random() < 0.25 else {})  # fmt: skip


def shaft_at(draw: np.random.Generator) -> dict[str, float]:
    """A manual about its own middle, every dimension off by a few millimetres."""
    g, z = draw.choice((0.0, 0.8)), draw.uniform(-5, 15)
    t, length = draw.uniform(10, 24), draw.uniform(0, 25)
    w, k = draw.uniform(20, 35), draw.uniform(50, 70)
    mouth, bush = draw.uniform(-4, 2), draw.uniform(12, 20)
    s = (t + g) - (z + length + mouth) + draw.uniform(10, 20)
    x = {
        PACKING: g, Z: z, W: w, K: k, MOUTH: mouth, BUSH: bush, DEEP: bush + draw.uniform(4, 12),
        S: s, N: draw.uniform(16, 26), Q: z + length + w + k + draw.uniform(2, 5.5) - t - g,
        FRONT: -3.0, REAR: draw.uniform(14, 22), SPLINE: draw.uniform(45, 65),
    }  # fmt: skip
    x[FROM_TIP] = z + length + w - (t + g - s) - draw.uniform(2, 12)
    return x


def flange_at(draw: np.random.Generator) -> dict[str, float]:
    """A rigid flange, now and then out of reach."""
    return {
        Z: draw.uniform(-40, 20), POSITION: draw.uniform(-45, 25), PACKING: draw.uniform(0, 2),
        "gearbox.driven.allow.low": -0.3, "gearbox.driven.allow.high": 0.5,
    }  # fmt: skip


EXTRA: dict[str, Job] = {
    "converter": {"engine.drive.register.form": "bore", "engine.drive.register.diameter": 50,
                  "gearbox.converter.hub.diameter": 40},
    "shaft": {"clutch.discs": 1, "choices.rules": "automatic road car"},
    "flange": {"choices.rules": "automatic road car"},
}  # fmt: skip
KINDS: dict[str, tuple[Callable[[np.random.Generator], dict[str, float]], Needs]] = {
    "converter": (converter_at, needs_of_converter),
    "shaft": (shaft_at, needs_of_shaft),
    "flange": (flange_at, needs_of_flange),
}


def job_of(kind: str, x: Values, spread: Mapping[str, float] | None = None) -> dict[str, object]:
    """The sheet of a kind at those numbers, each with its ± where one is given."""
    job: dict[str, object] = dict(EXTRA[kind])
    for key, value in x.items():
        if key.endswith(".allow.low"):
            job["gearbox.driven.allow"] = [value, x["gearbox.driven.allow.high"]]
        elif not key.endswith(".allow.high"):
            within = (spread or {}).get(key)
            job[key] = f"{value:.6f}" if within is None else f"{value:.6f} ± {within:.6f}"
    return job
