"""The demo: an invented catalogue and a few invented jobs."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import resources

from kb.errors import InputError
from kb.model.record import Record
from kb.model.unit import Unit
from kb.sheets.reading import read_units
from kb.store.catalogue import Catalogue
from kb.store.place import Store
from kb.store.records import Records
from kb.store.shops import Shops
from wizard.desk import pairing
from wizard.desk.pairing import Worked
from wizard.desk.units import kind_of

BY = "demo"


@dataclass(frozen=True, kw_only=True)
class Loaded:
    """What the demo's catalogue holds: how many units of each kind, and how many were new."""

    counts: Mapping[str, int]
    added: int


def load(store: Store, *, by: str = BY) -> Loaded:
    """Put the invented catalogue into a store; units already there unchanged are left alone.

    Raises:
        StoreError: the store cannot be written; nothing was added.
    """
    catalogue = Catalogue(store)
    held = {(ref.kind, unit.name): unit for ref, unit in catalogue.units()}
    units = list(_units())
    counts: dict[str, int] = {}
    for unit in units:
        counts[kind_of(unit)] = counts.get(kind_of(unit), 0) + 1
    new = [unit for unit in units if held.get((kind_of(unit), unit.name)) != unit]
    catalogue.add_all(new, by=by)
    return Loaded(counts=counts, added=len(new))


def jobs() -> Mapping[str, str]:
    """The demo's jobs by name: the text of each sheet. The main job comes first."""
    found = sorted(_texts("jobs"))
    return {name.partition("-")[2]: text for name, text in found}


def run(store: Store, name: str) -> Worked:
    """Work one of the demo's jobs out.

    Raises:
        InputError: no job of that name. StoreError: the store cannot be read.
    """
    held = jobs()
    if name not in held:
        raise InputError("job", name, "write one of " + ", ".join(held))
    return pairing.read_text(held[name], store=store)


def shown_pair(store: Store) -> tuple[str, str] | None:
    """Engine and gearbox of the demo's main job; nothing where the demo's units are not there."""
    sheet = tomllib.loads(next(iter(jobs().values())))
    names = [str(sheet[side]).removeprefix("catalogue:") for side in ("engine", "gearbox")]
    catalogue = Catalogue(store)
    try:
        engine, gearbox = (catalogue.ref(side, name) for side, name in zip(("engine", "gearbox"), names, strict=True))  # fmt: skip
    except InputError:
        return None
    return engine.name, gearbox.name


def keep(store: Store, worked: Worked) -> Record:
    """Keep one of the demo's jobs: as it stands there already, or as its next issue.

    Raises:
        StoreError: the store cannot be written; nothing was kept.
    """
    records = Records(store)
    fresh = pairing.unkept(worked, by=BY, shop=Shops(store).current())
    same = [row.number for row in records.list(fresh.title) if row.title == fresh.title]
    if not same:
        return pairing.keep(store, worked, by=BY)
    last = records.get(same[0])
    if last.digest == fresh.digest:
        return last
    return pairing.keep(store, worked, by=BY, issue_of=last.number)


def _units() -> Iterator[Unit]:
    for _, text in sorted(_texts("units")):
        yield from read_units(text)


def _texts(folder: str) -> Iterator[tuple[str, str]]:
    """Name and text of every sheet in a folder of the demo."""
    for one in resources.files("data_demo").joinpath(folder).iterdir():
        name, dot, ending = one.name.rpartition(".")
        if dot and ending == "toml":
            yield name, one.read_text(encoding="utf-8")
