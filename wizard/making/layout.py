"""Laying out by hand: coordinates, divider settings, drills in their order, lengths that prove it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kb.quantity import Thread, read_thread
from kb.standards import drills, threads

Row = Mapping[str, Any]
WEB = (
    0.15  # of a drill's diameter: its web, which the pilot must clear (common practice, no source)
)
LEAST_PILOT = 3.0  # mm
STEP_ABOVE = 13.0  # mm: above it one drill more goes between pilot and final (common practice)
REAM = 0.3  # mm left for the reamer on the diameter (common practice, no source)
LEAST_DRILL, LARGEST_DRILL = 1.0, 32.0  # mm
BORE_LEFT = 2.0  # mm on the diameter left for boring (common practice, no source)
SETS = {"in": ("fraction", "letter", "number"), "mm": ("metric",)}


def layout(answer: Row) -> list[dict[str, Any]]:
    """How the holes of each part are laid out and drilled.

    Args:
        answer: The answer document.
    Returns:
        For each part with holes: its name, its holes in the order they are marked, the drills in
        the order they are used, and the lengths between holes that prove the layout [mm, °].
    """
    unit = "in" if answer.get("shop_units") == "in" else "mm"
    return [_part(part, unit) for part in answer.get("parts", ()) if part.get("holes")]


def _part(part: Row, unit: str) -> dict[str, Any]:
    holes = sorted(part["holes"], key=_rank)
    laid = [hole for hole in holes if not hole.get("punched")]
    rows = [_hole(hole, laid, number) for number, hole in enumerate(laid)]
    rows += [_transferred(hole) for hole in holes if hole.get("punched")]
    tools = [step for hole in holes for step in steps(hole, unit)]
    return {
        "part": part["name"], "holes": rows, "drills": _gathered(tools),
        "proofs": proofs(holes), "bore": _bore(part, unit),
    }  # fmt: skip


def _rank(hole: Row) -> tuple[int, float]:
    """Dowels first, then what is laid out, round from X; last what is punched through the mating part."""
    order = 2 if hole.get("punched") else 0 if hole["kind"] == "dowel" else 1
    return (order, _angle(hole))


def _angle(hole: Row) -> float:
    return math.degrees(math.atan2(hole["y"], hole["x"])) % 360


def _hole(hole: Row, holes: Sequence[Row], number: int) -> dict[str, Any]:
    """One hole: from the centre, to the one before it, and to the first one marked."""
    before, first = holes[number - 1], holes[0]
    found: dict[str, Any] = {
        "id": hole["id"], "x": hole["x"], "y": hole["y"],
        "radius": math.hypot(hole["x"], hole["y"]), "angle": _angle(hole),
    }  # fmt: skip
    if number:
        found["from"] = {"id": before["id"], "chord": _apart(hole, before)}
    if number > 1:
        found["first"] = {"id": first["id"], "chord": _apart(hole, first)}
    return found


def _transferred(hole: Row) -> dict[str, Any]:
    """A hole that is not laid out: its place as it should come out, and what carries it over."""
    return {
        "id": hole["id"], "x": hole["x"], "y": hole["y"], "punched": hole["punched"],
        "radius": math.hypot(hole["x"], hole["y"]), "angle": _angle(hole),
    }  # fmt: skip


def _apart(one: Row, other: Row) -> float:
    return math.dist((one["x"], one["y"]), (other["x"], other["y"]))


def proofs(holes: Sequence[Row]) -> list[dict[str, Any]]:
    """The longest length across from each hole, each pair once: they prove a layout best."""
    found: dict[tuple[str, str], float] = {}
    for hole in holes:
        far = max(holes, key=lambda other: _apart(hole, other))
        if far is not hole:
            low, high = sorted((str(hole["id"]), str(far["id"])))
            found[low, high] = _apart(hole, far)
    return [{"from": a, "to": b, "length": length} for (a, b), length in sorted(found.items())]


# ── drills ──────────────────────────────────────────────────────────────────


def steps(hole: Row, unit: str) -> Iterator[dict[str, Any]]:
    """The tools a hole takes, in their order, with their sizes [mm].

    Args:
        hole: A hole of a part. unit: Which drills are held: inch sizes or metric.
    """
    mark = str(hole["id"])
    final, name = _final(hole, unit)
    marked = "centre punch and spot"
    if hole.get("punched"):
        marked = f"{hole['punched']}, through the mating part on its dowels; then spot"
    yield {"order": 1, "tool": marked, "name": "", "diameter": 0.0, "hole": mark}
    pilot = drills.at_or_above(max(LEAST_PILOT, WEB * final), SETS[unit])
    if pilot.diameter < final - 0.5:
        yield {"order": 2, "tool": "pilot drill", "name": pilot.name, "diameter": pilot.diameter, "hole": mark}  # fmt: skip
    if STEP_ABOVE < final <= LARGEST_DRILL:
        middle = drills.nearest(0.6 * final, SETS[unit])
        yield {"order": 3, "tool": "middle drill", "name": middle.name, "diameter": middle.diameter, "hole": mark}  # fmt: skip
    tool = "drill" if final <= LARGEST_DRILL else "bore or annular cutter"
    yield {"order": 4, "tool": tool, "name": name, "diameter": final, "hole": mark}
    yield from _finished(hole, mark)


def _final(hole: Row, unit: str) -> tuple[float, str]:
    """The last drill: the tap drill of a tapped hole, under the reamer for a dowel."""
    if hole["kind"] == "tapped" and hole["thread"]:
        size = threads.sizes(_thread(hole["thread"]))
        return size.tap_drill, size.tap_drill_name
    wanted = hole["diameter"] - (REAM if hole["kind"] == "dowel" else 0.0)
    if not LEAST_DRILL <= wanted <= LARGEST_DRILL:
        return hole["diameter"], ""
    found = drills.at_or_below(wanted, drills.SETS) if hole["kind"] == "dowel" else drills.nearest(wanted, drills.SETS)  # fmt: skip
    return found.diameter, found.name


def _finished(hole: Row, mark: str) -> Iterator[dict[str, Any]]:
    if hole["kind"] == "dowel":
        limits = hole.get("limits") or [hole["diameter"], hole["diameter"]]
        yield {"order": 5, "tool": "ream", "name": "", "diameter": hole["diameter"], "limits": list(limits), "hole": mark}  # fmt: skip
    if seat := hole.get("counterbore"):
        yield {"order": 6, "tool": f"counterbore, {hole['side']} side", "name": "", "diameter": seat["diameter"], "depth": seat["depth"], "hole": mark}  # fmt: skip
    if seat := hole.get("countersink"):
        yield {"order": 6, "tool": f"countersink {seat['angle']:g}°, {hole['side']} side", "name": "", "diameter": seat["diameter"], "hole": mark}  # fmt: skip
    if hole["kind"] == "tapped" and hole["thread"]:
        yield {"order": 7, "tool": "tap", "name": str(hole["thread"]), "diameter": hole["diameter"], "hole": mark}  # fmt: skip


def _thread(text: str) -> Thread:
    return read_thread(text, key="thread")


def _gathered(tools: Sequence[Row]) -> list[dict[str, Any]]:
    """One row for each tool, with the holes it goes into, in the order of use."""
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    for one in tools:
        key = (one["order"], one["tool"], one["name"], round(one["diameter"], 4), one.get("depth"))
        row = found.setdefault(key, {**one, "holes": []})
        row["holes"].append(one["hole"])
    rows = [{name: value for name, value in row.items() if name != "hole"} for row in found.values()]  # fmt: skip
    return sorted(rows, key=lambda row: (row["order"], row["diameter"]))


def _bore(part: Row, unit: str) -> dict[str, Any] | None:
    """The opening: the largest drill or cutter below it, with stock left for boring [mm]."""
    bore = (part.get("size") or {}).get("bore")
    if not bore:
        return None
    rough = min(bore - BORE_LEFT, LARGEST_DRILL)
    drill = drills.at_or_below(rough, SETS[unit]) if rough >= LEAST_DRILL else None
    return {"diameter": bore, "rough": bore - BORE_LEFT, "drill": drill.name if drill else ""}
