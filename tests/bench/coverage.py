"""How often the truth lies within the ± that is stated, for readings a person would take.

Readings carry the instrument's error (its ± is a 95 % half-width) and are rounded to its step; now
and then one is misread, two are swapped, a hole is missing, the origin is a dowel, the face is seen
from its other side. Seeded. Run by hand for the whole count::

    python -m tests.bench.coverage 1000
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable

import numpy as np

from wizard.desk import bench
from wizard.search.faces import Known, Shelf

CALLIPER = 0.05  # mm, ± at 95 %
Random = np.random.Generator


def read(random: Random, true: float, *, within: float = CALLIPER, step: float = 0.02) -> float:
    """A length as it is read: the instrument's error, rounded to its step."""
    return round(round((true + random.normal(0, within / 2)) / step) * step, 4)


def bolt_circle(random: Random) -> tuple[int, int]:
    """Diameters from a gap, a skip chord over the edges and a hole: how many of how many hold."""
    count = int(random.integers(4, 11))
    diameter, hole = random.uniform(60, 220), random.uniform(8, 14)
    chord = [diameter * math.sin(math.pi * k / count) for k in (1, 2)]
    found = bench.run("bolt-circle", {
        "count": str(count), "gap": f"{read(random, chord[0] - hole)} ± {CALLIPER}",
        "span": f"{read(random, chord[0] + hole)} ± {CALLIPER}", "chord": f"2:{read(random, chord[1])} ± {CALLIPER}", "hole": f"{read(random, hole)} ± {CALLIPER}",
    }, unit="mm").document  # fmt: skip
    return int(abs(found["diameter"] - diameter) <= found["within"]), 1


def circle(random: Random) -> tuple[int, int]:
    """Centre and diameter of a register probed at seven places, read to 0.01."""
    x, y, diameter = random.uniform(-200, 200), random.uniform(-200, 200), random.uniform(40, 300)
    turns = np.arange(7) * 2 * math.pi / 7 + random.uniform(0, 6)
    points = [
        (read(random, x + diameter / 2 * math.cos(a), within=0.04, step=0.01),
         read(random, y + diameter / 2 * math.sin(a), within=0.04, step=0.01)) for a in turns
    ]  # fmt: skip
    rows = "x,y\n" + "\n".join(f"{a},{b}" for a, b in points)
    found = bench.run("circle", {"points": rows}, unit="mm").document
    near = [
        abs(found["x"] - x) <= found["centre_within"], abs(found["y"] - y) <= found["centre_within"],
        abs(found["diameter"] - diameter) <= found["within"],
    ]  # fmt: skip
    return sum(near), 3


def sweep(random: Random) -> tuple[int, int]:
    """Offset of a bore from eight dial readings."""
    offset, toward = random.uniform(0.02, 0.4), random.uniform(0, 360)
    readings = ",".join(
        f"{45 * n}:{read(random, offset * math.cos(math.radians(45 * n - toward)), within=0.01, step=0.005)}"
        for n in range(8)
    )
    found = bench.run("sweep", {"sense": "out", "readings": readings}, unit="mm").document
    return int(abs(found["offset"] - offset) <= found["within"]), 1


def distances(random: Random, *, misread: bool) -> tuple[int, int]:
    """Holes placed by calliper; with one reading misread by 0.8 mm, whether that one is named."""
    places = _pattern(random, 6)
    marks = [str(n) for n in range(1, 7)]
    turn = math.atan2(*(places[1] - places[0])[::-1])
    c, s = math.cos(turn), math.sin(turn)
    true = (places - places[0]) @ np.array([[c, -s], [s, c]])
    pairs = [(a, b) for a in range(6) for b in range(a + 1, 6)]
    lengths = [read(random, math.dist(true[a], true[b])) for a, b in pairs]
    wrong = int(random.integers(len(pairs)))
    if misread:
        lengths[wrong] += 0.8 * random.choice([-1, 1])
    points = "name,x,y,near_x,near_y\n1,0,0,,\n" + "\n".join(
        f"{mark},,{0 if n == 0 else ''},{at[0]:.0f},{at[1]:.0f}"
        for n, (mark, at) in enumerate(zip(marks[1:], true[1:], strict=True))
    )
    rows = "from,to,reading\n" + "\n".join(
        f"{marks[a]},{marks[b]},{length:.2f} ± {CALLIPER}" for (a, b), length in zip(pairs, lengths, strict=True)
    )  # fmt: skip
    found = bench.run("distances", {"points": points, "distances": rows}, unit="mm").document
    if misread:
        a, b = pairs[wrong]
        told = " ".join(found["says"])
        return int(not found["agrees"] and f"{marks[a]} to {marks[b]}" in told), 1
    near = [
        abs(hole["x"] - at[0]) <= hole["within"] and abs(hole["y"] - at[1]) <= hole["within"]
        for hole, at in zip(found["holes"][1:], true[1:], strict=True)
    ]
    return sum(near), len(near)


def _pattern(random: Random, count: int) -> np.ndarray:
    """Holes round a face, none nearer than 40 mm to another."""
    places: list[np.ndarray] = []
    while len(places) < count:
        angle, radius = random.uniform(0, 2 * math.pi), random.uniform(130, 200)
        at = radius * np.array([math.cos(angle), math.sin(angle)])
        if all(np.linalg.norm(at - other) > 40 for other in places):
            places.append(at)
    return np.array(places)


def identify(random: Random) -> tuple[int, int]:
    """Which of two hundred faces: from a dowel, the wrong side, one hole missing, two rows swapped."""
    faces = [Known.of(f"face {n}", [tuple(at) for at in _pattern(random, 8)]) for n in range(200)]
    which = int(random.integers(200))
    places = faces[which].holes.copy()
    places[:, 0] *= random.choice([-1, 1])
    turn = random.uniform(0, 2 * math.pi)
    places = places @ np.array(
        [[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]
    )
    places -= places[0]
    places = np.delete(places, int(random.integers(8)), axis=0)[random.permutation(7)]
    measured = [(read(random, x, within=0.2, step=0.1), read(random, y, within=0.2, step=0.1)) for x, y in places]  # fmt: skip
    matches = Shelf(faces).find(measured)
    right = bool(matches) and matches[0].name == f"face {which}"
    return int(right and (len(matches) == 1 or matches[0].rms < matches[1].rms or matches[1].missing != matches[0].missing)), 1  # fmt: skip


TRIALS: dict[str, Callable[[Random], tuple[int, int]]] = {
    "bolt circle, diameter": bolt_circle,
    "circle and axis": circle,
    "dial sweep, offset": sweep,
    "holes by distances": lambda random: distances(random, misread=False),
    "misread distance named": lambda random: distances(random, misread=True),
    "face identified": identify,
}


def share(name: str, runs: int, *, seed: int = 7) -> tuple[int, int]:
    """How many of how many statements held in so many runs of one kind."""
    held = [TRIALS[name](np.random.default_rng([seed, run])) for run in range(runs)]
    return sum(h for h, _ in held), sum(n for _, n in held)


if __name__ == "__main__":
    for name in TRIALS:
        held, of = share(name, int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
        print(f"{name:26s} {held:5d} of {of:5d}  {held / of:.1%}", flush=True)
