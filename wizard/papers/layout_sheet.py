"""The layout sheet: coordinates, divider settings, drills in their order, lengths that prove it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kb.model.record import Record
from wizard.papers.bench_sheet import BenchSheet
from wizard.papers.paper import Paper


def layout_sheet(record: Record) -> Paper:
    """Set the layout sheet of a record that holds one."""
    sheet = BenchSheet(
        record, "Layout sheet",
        lead="For marking out by hand, seen from behind the engine, gearbox side up; X right, Y up, from the crank "
        "axis. Blue the face, scribe both axes, mark in the order given, prove the lengths at the end before "
        "anything is drilled. Holes marked transferred are not laid out: they are punched through the mating part.",
    )  # fmt: skip
    for part in record.content["making"]["layout"]:
        _part(sheet, part)
    sheet.cautions()
    return sheet.paper


def _marked(sheet: BenchSheet, hole: Mapping[str, Any]) -> str:
    """From which hole it is stepped off, or with what it is carried over."""
    if hole.get("punched"):
        return f"TRANSFERRED: {hole['punched']}"
    near = hole.get("from")
    return f"{near['id']}: {sheet.doc.both(near['chord'])}" if near else "scribe first"


def _part(sheet: BenchSheet, part: Mapping[str, Any]) -> None:
    both = sheet.doc.both
    sheet.section(f"{part['part']}: marking, {len(part['holes'])} holes")
    rows = []
    for hole in part["holes"]:
        first = hole.get("first")
        rows.append((
            hole["id"], both(hole["x"]), both(hole["y"]), f"{both(hole['radius'])} at {hole['angle']:.3f}°",
            _marked(sheet, hole),
            f"{first['id']}: {both(first['chord'])}" if first else "",
        ))  # fmt: skip
    sheet.table(
        ("hole", "X", "Y", "from the axis", "dividers from the last", "dividers from the first"), rows,
        shares=(0.9, 2, 2, 2.6, 2.6, 2.6),
    )  # fmt: skip
    sheet.section(f"{part['part']}: drills and tools in their order")
    tools = []
    for one in part["drills"]:
        size = both(one["diameter"]) if one["diameter"] else ""
        if one.get("limits"):
            size = sheet.doc.limits(one["limits"])
        if one.get("depth"):
            size += f", {both(one['depth'])} deep"
        tools.append((one["tool"], one["name"], size, " ".join(one["holes"]), ""))
    sheet.table(("tool", "name", "size", "holes", "done"), tools, shares=(2.4, 1.2, 2.6, 4.6, 0.8))
    if bore := part.get("bore"):
        drill = f", or the largest drill, {bore['drill']}" if bore["drill"] else ""
        sheet.paragraph(
            f"Opening {both(bore['diameter'])}: annular cutter up to {both(bore['rough'])}{drill}; the rest is bored."
        )
    if part["proofs"]:
        sheet.section(f"{part['part']}: lengths that prove the layout, centre to centre")
        proofs = [(one["from"], one["to"], both(one["length"]), "") for one in part["proofs"]]
        sheet.table(
            ("from", "to", "should be", "measured"), proofs, shares=(1, 1, 2, 2), write=(3,)
        )
