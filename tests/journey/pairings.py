"""Every engine of the invented catalogue with every gearbox, worked out several at once."""

from __future__ import annotations

import dataclasses
import multiprocessing
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from importlib import resources

import pytest

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.measured import Measured
from kb.model.request import Request
from kb.model.unit import Clutch, Flexplate, Flywheel, Gearbox, Unit
from kb.quantity import Dimension
from kb.sheets.reading import read, read_units
from wizard.desk.pairing import Worked, companion_kinds, work_out

Units = Mapping[tuple[str, str], Unit]
Pair = tuple[str, str]
WorkOut = Callable[[Sequence[Request]], list[Worked]]

PILOT = '[pilot]\nmouth = "0 mm"\ndepth = "30 mm"\nbush_width = "18 mm"\n'  # where a shop begins


def texts(folder: str) -> dict[str, str]:
    """Every sheet of a folder of the demo, by file name."""
    place = resources.files("data_demo").joinpath(folder)
    return {
        one.name: one.read_text("utf-8")
        for one in sorted(place.iterdir(), key=lambda item: item.name)
        if one.name.endswith(".toml")
    }


def catalogue() -> Units:
    """Every unit of the demo, by kind and name."""
    found = [one for text in texts("units").values() for one in read_units(text)]
    return {(kind_of(one), one.name): one for one in found}


def kind_of(unit: Unit) -> str:
    return type(unit).__name__.lower()


def named(units: Units, kind: str) -> list[str]:
    """Names of the units of one kind."""
    return [name for found, name in units if found == kind]


def job(units: Units, text: str) -> Request:
    """A sheet that names units of the demo."""
    return read(text, catalogue=lambda kind, name: units[kind, name])


def between(units: Units, pair: Pair) -> dict[str, str]:
    """The flexplate, or flywheel and clutch, that belong to either unit; the gearbox's first."""
    box = units["gearbox", pair[1]]
    assert isinstance(box, Gearbox)
    found: dict[str, str] = {}
    for kind in companion_kinds(box):
        for owner in reversed(pair):
            for name in named(units, kind):
                part = units[kind, name]
                assert isinstance(part, Flexplate | Flywheel | Clutch)
                if part.belongs_to == owner:
                    found.setdefault(kind, name)
    return found


def request_of(units: Units, pair: Pair) -> Request:
    """A pairing as a sheet says it: two units and what goes between, plate and adapter left out."""
    engine, name = pair
    box = units["gearbox", name]
    assert isinstance(box, Gearbox)
    lines = [
        f'units = "in"\ntitle = "{engine} to {name}"',
        f'engine = "catalogue:{engine}"\ngearbox = "catalogue:{name}"',
        *(f'{kind} = "catalogue:{part}"' for kind, part in between(units, pair).items()),
    ]
    if "flywheel" in companion_kinds(box):
        lines.append(PILOT)
    return job(units, "\n".join(lines))


@contextmanager
def workers() -> Iterator[WorkOut]:
    """Several jobs worked out at once; one thread each, so that they do not fight for a core."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
            patch.setenv(name, "1")
        with ProcessPoolExecutor(2, multiprocessing.get_context("spawn")) as pool:
            yield lambda requests: list(pool.map(worked, requests, chunksize=4))


def worked(request: Request) -> Worked:
    """One job; an error of the engine names it, in a form that crosses from one process to another."""
    try:
        return work_out(request)
    except (InputError, OutOfScope, NotTabulated) as error:
        raise AssertionError(f"{request.title}: {error}") from None


def dimensions(node: object) -> Iterator[Dimension]:
    """Every reading below a noun."""
    return (found for found in _below(node) if isinstance(found, Dimension))


def measured(node: object) -> Iterator[Measured]:
    """Every dimension below a noun, with all its readings."""
    return (found for found in _below(node) if isinstance(found, Measured))


def _below(node: object) -> Iterator[object]:
    """A noun and everything in it."""
    yield node
    if isinstance(node, tuple):
        inside: tuple[object, ...] = node
    elif dataclasses.is_dataclass(node):
        inside = tuple(getattr(node, field.name) for field in dataclasses.fields(node))
    else:
        return
    for item in inside:
        yield from _below(item)
