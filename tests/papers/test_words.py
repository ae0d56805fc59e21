"""Every key of the sheet, every check and everything an answer names has words of its own."""

from __future__ import annotations

import dataclasses
import tomllib
import typing
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Any

import pytest

import wizard.engine.checks as families
from kb.model.check import STATUSES, VERDICTS
from kb.model.record import Record
from kb.model.request import STAGES, Request
from kb.quantity import SOURCES
from wizard import words

FILE = Path(words.__file__).with_name("words.toml")


def keys_of(noun: Any, prefix: str = "") -> Iterator[str]:
    hints = typing.get_type_hints(noun)
    for field in dataclasses.fields(noun):
        yield prefix + field.name
        inner = hints[field.name]
        for kind in typing.get_args(inner) or (inner,):
            if field.metadata["kind"] in ("part", "parts") and dataclasses.is_dataclass(kind):
                yield from keys_of(kind, f"{prefix}{field.name}.")


def check_ids() -> set[str]:
    modules = [import_module(f"{families.__name__}.{one.name}") for one in iter_modules(families.__path__)]  # fmt: skip
    return {id for module in modules for id in getattr(module, "CHECKS", {})}


@pytest.mark.parametrize("key", sorted(keys_of(Request)))
def test_every_key_of_the_sheet_has_words(key: str) -> None:
    assert words.known(key), key
    assert "_" not in words.label(key)


def test_every_check_has_words() -> None:
    ids = check_ids()
    assert len(ids) > 40
    assert sorted(id for id in ids if not words.known(id)) == []


@pytest.mark.parametrize("word", [*STATUSES, *VERDICTS, *STAGES, *SOURCES, "chosen"])
def test_every_status_verdict_and_stage_has_words(word: str) -> None:
    assert words.known(word)


def named_by(answer: Any) -> Iterator[str]:
    yield from answer["axial"]["stations"]
    yield from (key for key, value in answer["axial"].items() if isinstance(value, float))
    yield from (row["key"] for name in ("lengths", "assumed") for row in answer[name])
    yield from answer["not_asked"]
    yield answer["kind"]
    for part in answer["parts"]:
        yield part["name"]
        yield from (name for name in part["size"] if "_kg" not in name)
        yield from (hole[name] for hole in part["holes"] for name in ("kind", "for", "side"))


@pytest.mark.parametrize(
    "name", ["automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts"]
)
def test_everything_an_answer_names_has_words(name: str, designed: dict[str, Record]) -> None:
    assert sorted({word for word in named_by(designed[name].answer) if not words.known(word)}) == []


def test_no_word_is_listed_in_two_families() -> None:
    families = tomllib.loads(FILE.read_text(encoding="utf-8"))
    whole = [key for name in ("keys", "checks", "answer", "places") for key in families[name]]
    twice = {key for key in whole if whole.count(key) > 1}
    # what a check asks and the unit it asks about may share a word only where both read the same
    assert {key for key in twice if len({families[n][key] for n in families if key in families[n]}) > 1} == set()  # fmt: skip


@pytest.mark.parametrize(
    ("key", "label"),
    [
        ("gearbox.converter.seat_depth", "pads below the gearbox face (converter home)"),
        ("engine.face.holes[3].x", "hole 3, to the right of the origin (engine face)"),
        ("engine.face.holes[].x", "hole, to the right of the origin (engine face)"),
        ("flexplate.converter_circle.diameter", "bolt circle diameter (flexplate, converter side)"),
        ("gearbox.converter.gap.low", "wanted gap, seated pads to flexplate, least"),
        ("somebody.else_s-key", "somebody else s key"),
    ],
)
def test_labels_are_put_together(key: str, label: str) -> None:
    assert words.label(key) == label


def test_a_key_without_words_is_told_apart() -> None:
    assert not words.known("engine.colour")
    assert not words.known("colour.low")
    assert words.heading("plate") == "Plate thickness"
