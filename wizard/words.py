"""Every label of screens and papers, once: the trade's words for keys, checks, parts and columns.

The words themselves stand in `words.toml`. A label is a phrase in lower case, as it stands inside
a sentence; `heading` opens one with a capital. Keys of the pairing sheet are put together from
what is measured and where.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from kb.quantity import both

_LISTED = re.compile(r"\[([^\]]*)\]")
_END = re.compile(r"(?P<band>.+)\.(?P<end>low|high)")
_TABLES = "engine|gearbox|flexplate|flywheel|clutch|pilot|choices|use|installation|answers"
_KEY = re.compile(rf"\b(?:{_TABLES})(?:\.[a-z_]+(?:\[[^\]]*\])?)+")
_CHECK = re.compile(r"\b[a-z]+(?:-[a-z]+)+\b")
_ENDS = {"low": "least", "high": "most"}


def label(key: str) -> str:
    """The trade's words for a key, in lower case; a key it does not know comes back readable.

    Args:
        key: A dotted key of the sheet (with or without ``[3]``), a check's id, a status, a
            verdict, a part, a station, an axial quantity or a column.

    Example:
        >>> label("gearbox.converter.seat_depth")
        'pads below the gearbox face (converter home)'
        >>> label("engine.face.holes[4].x")
        'hole 4, to the right of the origin (engine face)'
    """
    return _find(key) or re.sub(r"[._-]+", " ", key).strip()


def heading(key: str) -> str:
    """The label with its first letter large, to open a line."""
    words = label(key)
    return words[:1].upper() + words[1:]


def said(sentence: str) -> str:
    """A sentence of the engine with its keys and check names in the trade's words.

    Example:
        >>> said("Not known yet: gearbox.converter.seat_depth.")
        'Not known yet: pads below the gearbox face (converter home).'
    """
    sentence = _KEY.sub(lambda found: _find(found[0]) or found[0], sentence)
    return _CHECK.sub(lambda found: _words()["checks"].get(found[0], found[0]), sentence)


STYLES = {"ring": "spacer ring", "posts": "disc, spindle and posts"}


def style(row: Mapping[str, Any], *, first: str) -> str:
    """One style of rotating adapter of an answer's ``compared``, in a phrase.

    Args:
        row: What the answer says of it.
        first: The unit named first, ``"in"`` or ``"mm"``.

    Example:
        >>> style({"mass_kg": 8.2, "settings": 5, "holds": False}, first="mm")
        '8.2 kg (18 lb), set up 5 times, does not hold'
    """
    if why := row.get("why_not"):
        return f"not to be made: {why}"
    facts = []
    if (mass := row.get("mass_kg")) is not None:
        facts.append(f"{mass:.1f} kg ({mass / POUND:.0f} lb)")
    if (inertia := row.get("inertia_kg_mm2")) is not None:
        facts.append(f"turning inertia {inertia * 1e-6:.4f} kg·m²")
    if row.get("settings") is not None:
        facts.append(f"set up {row['settings']} times")
    if (tir := row.get("driven_register_tir")) is not None:
        facts.append(f"expected to run true to {both(tir, first=first)} TIR")
    if (stress := row.get("stress_mpa")) is not None:
        facts.append(f"{stress:.0f} of {row['allowed_mpa']:.0f} MPa allowed")
    if row.get("holds") is not None:
        facts.append("holds" if row["holds"] else "does not hold")
    if machines := row.get("machines"):
        facts.append("needs " + " and ".join(machines))
    return ", ".join(facts)


POUND = 0.45359237  # kg, exact by definition


def known(key: str) -> bool:
    """Whether the key has words of its own."""
    return _find(key) is not None


@cache
def _words() -> Mapping[str, Mapping[str, str]]:
    text = files("wizard").joinpath("words.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _find(key: str) -> str | None:
    if found := _END.fullmatch(key):
        band = _find(found["band"])
        return None if band is None else f"{band}, {_ENDS[found['end']]}"
    marks = [mark for mark in _LISTED.findall(key) if mark]
    bare = _LISTED.sub("", key)
    for family in ("keys", "checks", "answer", "places"):
        if bare in _words()[family]:
            return " ".join((_words()[family][bare], *marks))
    return _placed(bare, marks)


def _placed(bare: str, marks: list[str]) -> str | None:
    """What is measured, and where: the longest place the key opens with."""
    places, measured = _words()["places"], _words()["measured"]
    pieces = bare.split(".")
    for cut in range(len(pieces) - 1, 0, -1):
        place, leaf = ".".join(pieces[:cut]), ".".join(pieces[cut:])
        if place in places and leaf in measured:
            thing, comma, rest = measured[leaf].partition(",")
            return f"{' '.join((thing, *marks))}{comma}{rest} ({places[place]})"
    return None
