"""Screening many pairs together says what the whole engine says of each by itself.

Second method: the engine, ways out and chances included, one pair at a time. The catalogues are
the invented demo's units with their figures thrown about; nothing in them is real.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.measured import Measured
from kb.model.request import Request
from kb.model.unit import Engine, Gearbox, Unit
from kb.store.catalogue import Catalogue
from kb.store.flat import flatten, restore
from kb.store.place import open_store
from wizard.desk import demo
from wizard.desk.counterparts import belongings
from wizard.engine.answer import answer
from wizard.engine.remedies import advise
from wizard.search.pairs import paired
from wizard.search.screening import Screen, Screened, Shelf, shelved

MOVES = (0.0, 0.0, 0.5, 3.0, 30.0, 150.0)  # mm, how far a length is thrown


def thrown(unit: Any, random: np.random.Generator, number: int) -> Any:
    """The unit with other figures: some lengths moved, its rotation and torque drawn anew."""
    flat = flatten(unit)
    for key, readings in flat.lengths.items():
        if key.endswith((".low", ".high", ".x", ".y")) or random.random() < 0.7:
            continue
        move = float(random.choice(MOVES)) * float(random.normal())
        value = readings[0].value + move
        if value > 1.0 and readings[0].value > 0:
            one = dataclasses.replace(readings[0], value=value, typed="")
            flat.lengths[key] = (one, *readings[1:])
    made = restore(type(unit), flat)
    changes: dict[str, Any] = {"name": f"{unit.name} {number}"}
    if random.random() < 0.25:
        changes["rotation"] = str(random.choice(["ccw", "cw"]))
    face = made.face
    if face is not None and random.random() < 0.5:
        spread = float(random.choice([0.97, 1.02, 1.1]))
        holes = tuple(
            dataclasses.replace(hole, x=_scaled(hole.x, spread), y=_scaled(hole.y, spread))
            for hole in face.holes
        )
        changes["face"] = dataclasses.replace(face, holes=holes)
    limit = "peak_torque" if isinstance(made, Engine) else "torque_limit"
    if (held := getattr(made, limit)) is not None:
        factor = float(random.choice([0.4, 1.0, 1.0, 1.8]))
        changes[limit] = dataclasses.replace(held, value=held.value * factor, typed="")
    return dataclasses.replace(made, **changes)


def _scaled(length: Measured, factor: float) -> Measured:
    return Measured(tuple(dataclasses.replace(one, value=one.value * factor, typed="") for one in length.readings))  # fmt: skip


Shop = tuple[Any, list[Engine], list[Gearbox]]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    place: Path = tmp_path_factory.mktemp("shop") / "s.sqlite"
    with open_store(place) as store:
        demo.load(store)
        units = [unit for kind in ("engine", "gearbox") for _, unit in Catalogue(store).units(kind)]
        yield (
            store,
            [one for one in units if isinstance(one, Engine)],
            [one for one in units if isinstance(one, Gearbox)],
        )


def screened(store: Any, own: Unit, others: list[Any]) -> tuple[Screened, list[Request]]:
    owned = belongings(store)
    mine, rest = owned(own), [owned(one) for one in others]
    shelf = Shelf([shelved(one.unit, one.belongs) for one in rest])
    requests = [paired(mine, one) for one in rest]
    return Screen().one(shelved(mine.unit, mine.belongs), shelf, requests.__getitem__), requests


@pytest.mark.parametrize("seed", range(6))
def test_what_is_sure_is_what_the_engine_says(shop: Shop, seed: int) -> None:
    store, engines, boxes = shop
    random = np.random.default_rng(seed)
    if seed % 2:
        own: Any = thrown(engines[seed % len(engines)], random, 0)
        others = [thrown(boxes[n % len(boxes)], random, n) for n in range(22)]
    else:
        own = thrown(boxes[seed % len(boxes)], random, 0)
        others = [thrown(engines[n % len(engines)], random, n) for n in range(22)]
    sure, requests = screened(store, own, others)
    for place, request in enumerate(requests):
        try:
            whole = advise(request)
        except (InputError, OutOfScope, NotTabulated) as error:
            with pytest.raises(type(error)):  # refused, with or without ways out
                advise(request, ways_out=False)
            continue
        told = answer(whole)
        fixed = told["lineup"].get("fixed")
        if sure.known[place]:
            assert fixed is not None
            assert bool(fixed["windows"]) == sure.upright[place]
        if sure.hopeless[place]:
            assert whole.verdict.word == "does not go"
            short = advise(request, ways_out=False)
            assert short.verdict.lines[:2] == whole.verdict.lines[:2]
            assert short.verdict.because == whole.verdict.because
            assert answer(short)["lineup"] == told["lineup"]


def test_most_of_what_does_not_go_is_sure(shop: Shop) -> None:
    """It would be right, and useless, to be sure of nothing."""
    store, engines, boxes = shop
    random = np.random.default_rng(11)
    own = thrown(engines[0], random, 0)
    others = [thrown(boxes[n % len(boxes)], random, n) for n in range(40)]
    sure, requests = screened(store, own, others)
    words = [advise(one).verdict.word if not sure.hopeless[n] else "" for n, one in enumerate(requests)]  # fmt: skip
    assert sure.hopeless.sum() > words.count("does not go")


def test_a_stated_contradiction_alone_is_found(shop: Shop) -> None:
    """A crank flange half a metre behind the face: no plate a shop can buy reaches it."""
    store, engines, boxes = shop
    flat = flatten(engines[0])
    key = "drive.standoff"
    flat.lengths[key] = (dataclasses.replace(flat.lengths[key][0], value=500.0, typed=""),)
    far = restore(Engine, flat)
    box = next(one for one in boxes if one.converter is not None)
    box = dataclasses.replace(box, rotation=far.rotation, torque_limit=None)
    sure, requests = screened(store, far, [box])
    assert sure.hopeless.tolist() == [True]
    assert advise(requests[0]).verdict.word == "does not go"
