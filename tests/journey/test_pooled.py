"""All engines against all gearboxes: in one process, in two of a cluster, broken off and gone on with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from kb.errors import InputError, StoreError
from kb.store.catalogue import Catalogue
from kb.store.place import open_store
from tests.search.test_screening import thrown
from wizard.desk import demo
from wizard.desk.counterparts import belongings
from wizard.desk.pooled import Swept, processes, sweep
from wizard.search.pairs import Owned, paired
from wizard.search.screening import Screen, Shelf, shelved

Pool = tuple[list[Owned], list[Owned]]


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Pool]:
    """A thousand of each, as several shops might have put together."""
    random = np.random.default_rng(9)
    with open_store(tmp_path_factory.mktemp("pool") / "s.sqlite") as store:
        demo.load(store)
        owned = belongings(store)
        yield tuple(  # type: ignore[misc]
            [
                Owned(thrown(one.unit, random, number), one.belongs)
                for number in range(1000)
                for one in [kept[number % len(kept)]]
            ]
            for kind in ("engine", "gearbox")
            for kept in [[owned(unit) for _, unit in Catalogue(store).units(kind)]]
        )


def same(one: Swept, other: Swept) -> bool:
    return all(
        np.array_equal(getattr(one, name), getattr(other, name))
        for name in ("hopeless", "upright", "known")
    )


def test_two_processes_say_what_one_says(many: Pool, tmp_path: Path) -> None:
    engines, boxes = many
    seen: list[tuple[int, int]] = []
    with processes(2) as run:
        two = sweep(engines, boxes, tmp_path / "two", run=run, said=lambda *at: seen.append(at))
    assert two.hopeless.shape == (1000, 1000)
    assert seen[0] == (0, 20)
    assert seen[-1] == (20, 20)
    one = sweep(engines[:100], boxes, tmp_path / "one")
    assert same(one, Swept(two.hopeless[:100], two.upright[:100], two.known[:100]))
    assert 0.2 < two.hopeless.mean() < 0.95
    for place in (3, 517):  # and a row by itself
        screen, shelf = Screen(), Shelf([shelved(box.unit, box.belongs) for box in boxes])
        mine = shelved(engines[place].unit, engines[place].belongs)
        row = screen.one(mine, shelf, lambda at, place=place: paired(engines[place], boxes[at]))  # type: ignore[misc]
        assert np.array_equal(row.hopeless, two.hopeless[place])
        assert np.array_equal(row.upright, two.upright[place])


def test_a_run_broken_off_goes_on(many: Pool, tmp_path: Path) -> None:
    engines, boxes = many[0][:60], many[1][:80]

    def stop(done: int, of: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        sweep(engines, boxes, tmp_path, block=10, said=stop)
    kept = {file.name: file.stat().st_mtime_ns for file in tmp_path.glob("*.npz")}
    assert len(kept) == 2
    whole = sweep(engines, boxes, tmp_path, block=10)
    assert {name: (tmp_path / name).stat().st_mtime_ns for name in kept} == kept
    assert same(whole, sweep(engines, boxes, tmp_path / "anew", block=60))


def test_anothers_folder_and_a_damaged_block_are_refused(many: Pool, tmp_path: Path) -> None:
    engines, boxes = many[0][:4], many[1][:5]
    sweep(engines, boxes, tmp_path, block=2)
    with pytest.raises(InputError, match="another catalogue's"):
        sweep(engines[:3], boxes, tmp_path, block=2)
    (tmp_path / "block-0000002.npz").write_bytes(b"PK\x03\x04 cut off")
    with pytest.raises(StoreError, match="block-0000002"):
        sweep(engines, boxes, tmp_path, block=2)
    with pytest.raises(StoreError):
        sweep(engines, boxes, tmp_path / "about.json" / "x", block=2)


def test_a_catalogue_with_nothing_in_it(tmp_path: Path) -> None:
    assert sweep([], [], tmp_path).hopeless.shape == (0, 0)
