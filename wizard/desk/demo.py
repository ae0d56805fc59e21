"""The demo: an invented catalogue and three invented jobs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import resources

from kb.errors import InputError
from kb.sheets.reading import read_units
from kb.store.catalogue import Catalogue
from kb.store.place import Store
from wizard.desk.pairing import Worked, read_text
from wizard.desk.units import kind_of


@dataclass(frozen=True)
class Loaded:
    """What the demo put into a store: units by kind."""

    counts: Mapping[str, int]


def load(store: Store, *, by: str = "demo") -> Loaded:
    """Put the invented catalogue into a store; units already there unchanged are left alone."""
    catalogue = Catalogue(store)
    held = {(ref.kind, unit.name): unit for ref, unit in catalogue.units()}
    counts: dict[str, int] = {}
    for text in _texts("units"):
        for unit in read_units(text):
            kind = kind_of(unit)
            counts[kind] = counts.get(kind, 0) + 1
            if held.get((kind, unit.name)) != unit:
                catalogue.add(unit, by=by)
    return Loaded(counts)


def jobs() -> Mapping[str, str]:
    """The demo's jobs by name: the text of each sheet. The main job comes first."""
    folder = resources.files("data_demo").joinpath("jobs")
    names = sorted(one.name for one in folder.iterdir() if one.name.endswith(".toml"))
    return {
        name.removesuffix(".toml").partition("-")[2] or name: folder.joinpath(name).read_text(
            "utf-8"
        )
        for name in names
    }


def run(store: Store, name: str) -> Worked:
    """Work one of the demo's jobs out.

    Raises:
        InputError: no job of that name.
    """
    held = jobs()
    if name not in held:
        raise InputError("job", name, "write one of " + ", ".join(held))
    return read_text(held[name], store=store)


def _texts(folder: str) -> Iterator[str]:
    place = resources.files("data_demo").joinpath(folder)
    for one in sorted(place.iterdir(), key=lambda item: item.name):
        if one.name.endswith(".toml"):
            yield one.read_text("utf-8")
