"""What is measured on each finished part: nominal, limits, with what, and why."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wizard.engine.axial.region import lengths_at
from wizard.making import held
from wizard.making.layout import proofs

Row = Mapping[str, Any]
PLATE, TURNED = "adapter plate", ("spacer ring", "spindle")
SAME = 1e-6  # mm
PROOFS = 6  # lengths across that are measured; the layout sheet has them all
_SIZES = ("thickness", "length", "height", "outside", "bore", "spigot", "spigot_length", "recess", "recess_depth",
          "driven_spigot", "driven_spigot_length", "driven_recess", "driven_recess_depth", "register", "disc")  # fmt: skip


def points(answer: Row) -> list[dict[str, Any]]:
    """Every inspection point, part by part.

    Args:
        answer: The answer document.
    Returns:
        For each point: a mark (P1, …), part, what, hole or holes, nominal, low, high [mm],
        instrument and where its limits come from.
    """
    found = [row for part in answer.get("parts", ()) for row in _part(part, answer)]
    return [{"point": f"P{number}", **row} for number, row in enumerate(found, 1)]


def _part(part: Row, answer: Row) -> Iterator[dict[str, Any]]:
    size = part.get("size") or {}
    for name in _SIZES:
        if name in size and not (name == "outside" and "height" in size):
            yield _size(part, name, float(size[name]), answer)
    yield from _holes(part)
    yield from _places(part)
    yield from _truth(part)


def _places(part: Row) -> Iterator[dict[str, Any]]:
    """Between dowels first, then the longest lengths across: what the places of the drawing allow."""
    holes = {str(one["id"]): one for one in sorted(part.get("holes") or (), key=lambda one: str(one["id"]))}  # fmt: skip
    dowels = [mark for mark, one in holes.items() if one["kind"] == "dowel"]
    pairs = list(itertools.combinations(dowels, 2))
    pairs += [(row["from"], row["to"]) for row in proofs(list(holes.values()))[:PROOFS]]
    for a, b in dict.fromkeys(tuple(sorted(pair)) for pair in pairs):
        one, other = holes[a], holes[b]
        nominal = math.dist((one["x"], one["y"]), (other["x"], other["y"]))
        limits = held.apart(one, other, nominal)
        yield _point(part, f"{a} to {b}, centres", nominal, limits, "calliper over pins", why=f"places of the drawing; {held.PRACTICE}")  # fmt: skip


def _truth(part: Row) -> Iterator[dict[str, Any]]:
    """Flat, parallel, and true to itself, as the drawing asks."""
    if part["name"].endswith("plate"):
        asked = [("faces flat and parallel", held.FLAT, "surface plate and dial")]
    elif part["name"] in TURNED:
        asked = [
            ("registers true to each other, TIR", held.RING_TRUE, "dial, 12-3-6-9"),
            ("faces parallel", held.RING_PARALLEL, "micrometer, at four places"),
        ]
    else:
        asked = []
    for what, most, instrument in asked:
        yield _point(part, what, 0.0, (0.0, most), instrument, why=held.PRACTICE)


def _size(part: Row, name: str, nominal: float, answer: Row) -> dict[str, Any]:
    """A size with the limits of its fit, of the axial chain, or the general ones."""
    if found := held.fit_of(answer.get("fits") or (), name, nominal):
        fit, limits = found
        return _point(part, name, nominal, limits, "micrometer or bore gauge", why=f"{fit['joint']}, {fit['class']}")  # fmt: skip
    tool = "micrometer, at four places" if name == "thickness" else "calliper"
    if name == "thickness" and (chained := _chained(part, nominal, answer.get("axial") or {})):
        return _point(part, name, nominal, chained, tool, why="what the axial chain allows")
    return _point(part, name, nominal, held.general(nominal), tool, why=held.STANDARD)


def _chained(part: Row, nominal: float, axial: Row) -> tuple[float, float] | None:
    """What the chain allows a thickness that closes it, within the general limits [mm].

    The ring has the ± of the answer; the plate what still works beside the ring as designed, even
    if the readings are off where that leaves anything.
    """
    within, ring = axial.get("spacer_within"), axial.get("spacer")
    if part["name"] in TURNED and within and ring is not None and abs(nominal - ring) < SAME:
        return nominal - within, nominal + within
    if part["name"] != PLATE or ring is None:
        return None
    low, high = held.general(nominal)
    for corners in (axial.get("robust_region"), axial.get("region")):
        band = lengths_at([(y, x) for x, y in corners or ()], ring)
        if band and band[0] - SAME <= nominal <= band[1] + SAME:
            return max(low, band[0]), min(high, band[1])
    return None


def _holes(part: Row) -> Iterator[dict[str, Any]]:
    """Diameters, one point for all holes of one size; seats likewise."""
    groups: dict[tuple[Any, ...], list[str]] = {}
    for hole in part.get("holes") or ():
        limits = tuple(hole["limits"]) if hole.get("limits") else None
        seat = hole.get("counterbore") or {}
        key = (hole["kind"], round(hole["diameter"], 4), hole.get("thread", ""), limits, seat.get("diameter"), seat.get("depth"))  # fmt: skip
        groups.setdefault(key, []).append(str(hole["id"]))
    for (kind, diameter, thread, limits, wide, deep), marks in groups.items():
        holes = " ".join(marks)
        if thread and kind == "tapped":
            yield {"part": part["name"], "what": f"thread {thread}", "hole": holes, "nominal": diameter, "low": None, "high": None, "instrument": "thread gauge or the screw", "why": "go and no-go"}  # fmt: skip
        else:
            yield _point(part, f"diameter, {kind}", diameter, limits or held.general(diameter), "plug gauge" if limits else "calliper", hole=holes, why="fit of the dowel" if limits else held.STANDARD)  # fmt: skip
        if wide and deep:
            yield _point(part, "depth of counterbore", deep, held.general(deep), "depth gauge", hole=holes, why="head below the face")  # fmt: skip


def _point(
    part: Row, what: str, nominal: float, limits: Sequence[float], instrument: str, *, hole: str = "", why: str
) -> dict[str, Any]:  # fmt: skip
    low, high = limits
    return {
        "part": part["name"], "what": what.replace("_", " "), "hole": hole, "nominal": nominal,
        "low": low, "high": high, "instrument": instrument, "why": why,
    }  # fmt: skip
