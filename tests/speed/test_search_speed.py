"""Searching a hundred thousand: one engine screened, one face told, beside doing them one by one."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kb.plane.pattern import best_rigid_fit
from tests.journey.test_pooled import Pool
from tests.journey.test_pooled import many as many  # the same thousand of each
from tests.speed.conftest import Beside
from wizard.desk.pooled import processes, sweep
from wizard.engine.remedies import advise
from wizard.search.faces import Known
from wizard.search.faces import Shelf as Faces
from wizard.search.pairs import paired
from wizard.search.screening import Screen, Shelf, Shelved, shelved

MANY = 100_000
DISTINCT = 1_000  # gearboxes there are; the shelf holds each a hundred times
FEW = 20  # pairs the engine works out one by one


@pytest.mark.parametrize("count", [1_000, 10_000, MANY])
def test_one_engine_against_many(beside: Beside, many: Pool, count: int) -> None:
    engines, boxes = many
    engine, ready = engines[3], [shelved(one.unit, one.belongs) for one in boxes]
    mine: Shelved = shelved(engine.unit, engine.belongs)
    shelf, screen = Shelf(ready * (count // DISTINCT)), Screen()

    def ask(place: int) -> Any:
        return paired(engine, boxes[place % DISTINCT])

    sure = beside.ours(
        f"1 engine × {count:,} gearboxes", lambda: screen.one(mine, shelf, ask),
        aim="≥ 100×, ≤ 2 s", curve="screening by gearboxes", size=count,
    )  # fmt: skip
    words = beside.other(
        "the engine, one by one (of 20)",
        lambda: [advise(ask(n)).verdict.word for n in range(FEW)], times=count / FEW,
    )  # fmt: skip
    wrong = sum(word != "does not go" for n, word in enumerate(words) if sure.hopeless[n])
    beside.accuracy(
        f"{sure.hopeless.mean():.0%} told off at once, {wrong} of {FEW} looked at wrongly; "
        "the rest is the engine's"
    )


def test_every_engine_against_every_gearbox(beside: Beside, many: Pool, tmp_path: Path) -> None:
    engines, boxes = many
    runs = iter(range(1_000))
    with processes(2) as run:  # started before: a minute's work is worth the three seconds
        beside.ours(
            "1 000 × 1 000, two processes",
            lambda: sweep(engines, boxes, tmp_path / f"two{next(runs)}", run=run), aim="≥ 1.6×",
        )  # fmt: skip
    beside.other(
        "the same in one process", lambda: sweep(engines, boxes, tmp_path / f"one{next(runs)}")
    )


def faces(count: int) -> list[Known]:
    random = np.random.default_rng(4)
    found = []
    for number in range(count):
        turn = np.sort(random.uniform(0, 2 * math.pi, int(random.integers(6, 13))))
        radius = random.uniform(130, 230, len(turn))
        holes = np.column_stack((radius * np.cos(turn), radius * np.sin(turn)))
        found.append(Known(name=f"face {number}", holes=holes))
    return found


@pytest.mark.parametrize("count", [1_000, 10_000, MANY])
def test_which_face_it_is(beside: Beside, count: int) -> None:
    known = faces(count)
    shelf, place = Faces(known), count // 3
    random = np.random.default_rng(1)
    turn = np.array(((math.cos(0.7), math.sin(0.7)), (-math.sin(0.7), math.cos(0.7))))
    read = np.round(known[place].holes @ turn + (40.0, -12.0) + random.normal(0, 0.1, known[place].holes.shape), 1)  # fmt: skip
    found = beside.ours(
        f"a face among {count:,}", lambda: shelf.find(read), aim="≥ 100×, ≤ 0.3 s",
        curve="telling a face by faces", size=count,
    )  # fmt: skip
    assert found[0].name == known[place].name

    def one_by_one() -> int:
        """Every face with as many holes, laid on at every start of its order."""
        best, which = math.inf, -1
        for number, one in enumerate(known[place - 250 : place + 250]):
            if len(one.holes) != len(read):
                continue
            for start in range(len(read)):
                fit = best_rigid_fit(read, np.roll(one.holes, start, axis=0))
                if fit.rms < best:
                    best, which = fit.rms, place - 250 + number
        return which

    assert (
        beside.other("rigid registration one by one (of 500)", one_by_one, times=count / 500)
        == place
    )
