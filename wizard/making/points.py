"""What is measured on each finished part: nominal, limits, with what, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wizard.making.layout import proofs

Row = Mapping[str, Any]
# ISO 2768-1:1989, table 1, class m: up to 3, 6, 30, 120, 400, 1000, 2000 mm (from memory).
GENERAL = ((3.0, 0.1), (6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8), (2000.0, 1.2))  # fmt: skip
TIR = "register-tir.drive"
_SIZES = ("thickness", "length", "height", "outside", "bore", "spigot", "spigot_length", "recess", "recess_depth",
          "driven_spigot", "driven_spigot_length", "driven_recess", "driven_recess_depth", "register", "disc")  # fmt: skip


def points(answer: Row, *, limits: Mapping[str, float]) -> list[dict[str, Any]]:
    """Every inspection point, part by part.

    Args:
        answer: The answer document. limits: Of its rule set, by name.
    Returns:
        For each point: a mark (P1, …), part, what, hole or holes, nominal, low, high [mm],
        instrument and where its limits come from.
    """
    found = [row for part in answer.get("parts", ()) for row in _part(part, answer, limits)]
    return [{"point": f"P{number}", **row} for number, row in enumerate(found, 1)]


def _part(part: Row, answer: Row, limits: Mapping[str, float]) -> Iterator[dict[str, Any]]:
    size = part.get("size") or {}
    for name in _SIZES:
        if name in size and not (name == "outside" and "height" in size):
            yield _size(part, name, float(size[name]), answer)
    yield from _holes(part)
    rows = sorted(part.get("holes") or (), key=lambda one: str(one["id"]))
    for proof in proofs(rows)[:6]:
        yield _point(part, f"{proof['from']} to {proof['to']}, centres", proof["length"], general(proof["length"]), "calliper over pins", why="proves the layout; ISO 2768-1:1989 m")  # fmt: skip
    if name_turns(part["name"]) and (most := limits.get(TIR)):
        yield {
            "part": part["name"], "what": "runout of the driven register, TIR", "hole": "", "nominal": 0.0,
            "low": 0.0, "high": most, "instrument": "dial, 12-3-6-9", "why": "limit of the rule set",
        }  # fmt: skip


def name_turns(name: str) -> bool:
    """Whether a part turns and carries the driven register."""
    return name in ("spacer ring", "spindle")


def _size(part: Row, name: str, nominal: float, answer: Row) -> dict[str, Any]:
    """A size with the limits of its fit, of the axial chain, or the general ones."""
    for fit in answer.get("fits", ()):
        for side in ("hole", "shaft"):
            low, high = fit[side]
            if fit.get("existing") != side and low - 1e-6 <= nominal <= high + 1e-6 and high > low:
                return _point(part, name, nominal, (low, high), "micrometer or bore gauge", why=f"{fit['joint']}, {fit['class']}")  # fmt: skip
    axial = answer.get("axial") or {}
    within = axial.get("spacer_within")
    if within and name == "thickness" and name_turns(part["name"]) and abs(nominal - (axial.get("spacer") or -1)) < 1e-6:  # fmt: skip
        return _point(part, name, nominal, (nominal - within, nominal + within), "micrometer, at four places", why="what the axial chain allows")  # fmt: skip
    if name == "thickness":
        return _point(part, name, nominal, general(nominal), "micrometer, at four places", why="ISO 2768-1:1989 m")  # fmt: skip
    return _point(part, name, nominal, general(nominal), "calliper", why="ISO 2768-1:1989 m")


def general(nominal: float) -> tuple[float, float]:
    """General limits of a length without limits of its own [mm].

    Source: ISO 2768-1:1989, table 1, class m (from memory).
    """
    within = next((within for most, within in GENERAL if nominal <= most), GENERAL[-1][1])
    return nominal - within, nominal + within


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
            yield _point(part, f"diameter, {kind}", diameter, limits or general(diameter), "plug gauge" if limits else "calliper", hole=holes, why="fit of the dowel" if limits else "ISO 2768-1:1989 m")  # fmt: skip
        if wide and deep:
            yield _point(part, "depth of counterbore", deep, general(deep), "depth gauge", hole=holes, why="head below the face")  # fmt: skip


def _point(
    part: Row, what: str, nominal: float, limits: Sequence[float], instrument: str, *, hole: str = "", why: str
) -> dict[str, Any]:  # fmt: skip
    low, high = limits
    return {
        "part": part["name"], "what": what.replace("_", " "), "hole": hole, "nominal": nominal,
        "low": low, "high": high, "instrument": instrument, "why": why,
    }  # fmt: skip
