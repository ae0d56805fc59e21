"""Faces that are one pattern whatever unit they came from, and faces that ought to agree and do not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.search.faces import Known, Match, Shelf

INCH = 25.4
SAME = 0.25  # mm, root mean square: two honest measurements of one pattern lie no farther apart
NEAR = 1.5  # mm: holes nearer than this are meant to be one, by hand and rule


@dataclass(frozen=True, kw_only=True)
class Kin:
    """Two faces that ought to agree and do not quite.

    Attributes:
        one, other: Their names. rms, worst: How far their holes lie apart, laid over best [mm].
        lacking: Holes that only one of them has. scale_says: What their sizes may come from.
    """

    one: str
    other: str
    rms: float
    worst: float
    lacking: int
    scale_says: str


@dataclass(frozen=True, kw_only=True)
class Families:
    """The faces of a catalogue by their patterns.

    Attributes:
        families: Names of faces of one pattern, two or more each, the largest family first.
        doubtful: Pairs that ought to agree and do not, the nearest first.
    """

    families: tuple[tuple[str, ...], ...]
    doubtful: tuple[Kin, ...]


def families(faces: Sequence[Known]) -> Families:
    """Sort faces by their patterns, whatever their origin, turn and side.

    Args:
        faces: At least three holes each; those with fewer are left alone.
    """
    whole = [face for face in faces if len(face.holes) >= 3]
    if not whole:
        return Families(families=(), doubtful=())
    shelf = Shelf(whole)
    place = {face.name: at for at, face in enumerate(whole)}
    group = list(range(len(whole)))
    doubtful: dict[frozenset[str], Kin] = {}
    for face in whole:
        found = [one for one in shelf.find(face.holes, slack=NEAR) if one.name != face.name]
        if not found:
            for kin in _in_inches(face, shelf):
                doubtful.setdefault(frozenset((kin.one, kin.other)), kin)
        for match in found:
            if _same(match):
                _join(group, place[face.name], place[match.name])
            else:
                doubtful.setdefault(frozenset((face.name, match.name)), _kin(face.name, match))
    together: dict[int, list[str]] = {}
    for face in whole:
        together.setdefault(_root(group, place[face.name]), []).append(face.name)
    alike = sorted((tuple(names) for names in together.values() if len(names) > 1), key=lambda names: (-len(names), names))  # fmt: skip
    left = [kin for kin in doubtful.values() if _root(group, place[kin.one]) != _root(group, place[kin.other])]  # fmt: skip
    return Families(families=tuple(alike), doubtful=tuple(sorted(left, key=lambda kin: (kin.lacking, kin.rms))))  # fmt: skip


def _in_inches(face: Known, shelf: Shelf) -> list[Kin]:
    """Faces this one would be, had its inches been written for millimetres."""
    found = [one for one in shelf.find(face.holes * INCH, slack=NEAR) if one.name != face.name]
    return [
        Kin(one=face.name, other=one.name, rms=one.rms, worst=one.worst, scale_says=f"inches of {face.name} were kept as millimetres",
            lacking=len(one.missing) + len(one.extra))
        for one in found if one.scale == 1.0
    ]  # fmt: skip


def _same(match: Match) -> bool:
    return not match.missing and not match.extra and not match.scale_says and match.rms <= SAME


def _kin(one: str, match: Match) -> Kin:
    return Kin(
        one=one, other=match.name, rms=match.rms, worst=match.worst,
        lacking=len(match.missing) + len(match.extra), scale_says=match.scale_says,
    )  # fmt: skip


def _root(group: list[int], at: int) -> int:
    while group[at] != at:
        at = group[at]
    return at


def _join(group: list[int], one: int, other: int) -> None:
    group[_root(group, other)] = _root(group, one)
