"""A card for the parts yard: the readings worth the walk, each with a box and a little drawing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from kb.model.record import Record
from wizard import words
from wizard.papers.bench_sheet import BenchSheet
from wizard.papers.frames import measured
from wizard.papers.paper import GREY, PALE, Paper, wrapped

Row = Mapping[str, Any]
HIGH, WIDE = 30.0, 44.0  # of a reading's row, and of its drawing [mm]
MOST = 7  # readings that find room on one page
_ROUND = ("diameter", "outside", "bore", "opening", "disc")
_FACED = {
    "engine.drive.standoff": "from the bare engine face, block plate off; + stands proud, − is sunk; crank pushed forward",
    "gearbox.converter.seat_depth": "straight-edge across the bell; converter home, three drops felt; at three pads, turned 120°, again",
    "gearbox.shaft.reach": "tip ahead of the gearbox face; shaft pulled out",
    "gearbox.release.retracted": "gearbox face to bearing, bearing pushed fully back",
    "flexplate.offset": "crank side to the face that meets the pads, at the pad circle, lying free",
    "flywheel.height": "crank side to clutch face",
    "clutch.fingers": "clutch face to finger tips, cover bolted to the flywheel, new disc",
}  # fmt: skip


def yard_card(record: Record) -> Paper:
    """Set the card of a record that holds one; always one page."""
    doc = record.content["making"]["yard"]
    sheet = BenchSheet(
        record, "Card for the parts yard",
        lead="Take a rule, a calliper, a depth gauge and a straight-edge. Write what you read with its unit, each one twice; wipe the "
        "faces first. Nothing hangs over you and nothing rolls while you measure.",
    )  # fmt: skip
    sheet.paragraph(_why(doc))
    rows = [*({"key": key} for key in doc["lacking"]), *doc["readings"]]
    listed = {row["key"] for row in rows}
    rows += [{"key": key, "again": True} for key in doc["confirm"] if key not in listed]
    for number, row in enumerate(rows[:MOST], 1):
        _reading(sheet, number, row)
    if len(rows) > MOST:
        sheet.paragraph(f"and {len(rows) - MOST} more, see the starting specification")
    return sheet.paper


def _why(doc: Row) -> str:
    lacking = len(doc["lacking"])
    if doc["now"] is None or lacking:
        says = f"{lacking} dimension{'s are' if lacking != 1 else ' is'} missing before a quote can be given at all."  # fmt: skip
        return says if lacking else "Nothing along the axis can be judged yet."
    if doc["readings"]:
        reached = "" if doc["after"] >= doc["wanted"] else f", short of the {doc['wanted']:.0%} wanted"  # fmt: skip
        return (
            f"A quote given now would be right with a chance of {doc['now']:.0%}; with the readings below it is "
            f"{doc['after']:.0%}{reached}. Best one first."
        )
    return f"A quote given now would be right with a chance of {doc['now']:.0%}: no reading is needed for it. Look at these again all the same."  # fmt: skip


def _reading(sheet: BenchSheet, number: int, row: Row) -> None:
    key = str(row["key"])
    left, top = sheet.take(HIGH)
    paper = sheet.paper
    paper.pen(0.2, colour=GREY)
    paper.rectangle((left, top - HIGH + 1.5), across=sheet.room, up=HIGH - 1.5)
    _drawn(paper, key, left + 3, top - HIGH + 5)
    words_left, room = left + WIDE + 6, sheet.room - WIDE - 60
    lines = wrapped(f"{number}. {words.label(key)}", size=8.5, room=room, bold=True, most=2)
    lower = [_FACED.get(key, _how(key))]
    if row.get("value") is not None:
        lower.append(f"so far {sheet.doc.both(row['value'])} ± {sheet.doc.both(row['within'])}")
        lower.append(f"chance of a right quote once it is read: {row['chance']:.0%}")
    elif row.get("again"):
        known = sheet.doc.length(key)
        lower.append(f"written down as {sheet.doc.both(known)}" if known is not None else "")
    y = top - 5.5
    for line in lines:
        paper.text((words_left, y), line, size=8.5, bold=True)
        y -= 4
    for text in filter(None, lower):
        for line in wrapped(text, size=7.2, room=room, most=3):
            paper.text((words_left, y), line, size=7.2)
            y -= 3.3
    _boxes(sheet, left + sheet.room - 50, top)


def _how(key: str) -> str:
    if key.rpartition(".")[2] in _ROUND:
        return "across, in two directions"
    if key.endswith(("circle", "holes", "dowels")):
        return "hole to hole, inside and outside; round the circle and straight across"
    return "square to the face, at two places"


def _boxes(sheet: BenchSheet, left: float, top: float) -> None:
    for n, name in enumerate(("first", "again")):
        y = top - 12.5 - 12.5 * n
        sheet.paper.pen(0.3)
        sheet.paper.rectangle((left, y), across=32, up=8)
        sheet.paper.text((left + 1, y + 8.8), f"{name}, unit", size=6)
        sheet.paper.rectangle((left + 34, y), across=13, up=8)
        sheet.paper.text((left + 35, y + 8.8), "with", size=6)


def _drawn(paper: Paper, key: str, left: float, bottom: float) -> None:
    """Across a circle, round a pattern, or from a straight-edge down to a face."""
    if key.endswith(("circle", "holes", "dowels")):
        _pattern(paper, left + WIDE / 2, bottom + 10)
    elif key.rpartition(".")[2] in _ROUND:
        _across(paper, left + WIDE / 2, bottom + 10)
    else:
        _depth(paper, left, bottom)


def _pattern(paper: Paper, x: float, y: float) -> None:
    paper.pen(0.12, dash=(1.5, 0.8))
    paper.circle((x, y), 17)
    places = [(x + 8.5 * math.cos(n * math.pi / 3), y + 8.5 * math.sin(n * math.pi / 3)) for n in range(6)]  # fmt: skip
    paper.pen(0.35)
    for place in places:
        paper.circle(place, 2.4, fill=(1.0, 1.0, 1.0))
    paper.pen(0.18)
    measured(paper, places[0], places[1])
    measured(paper, places[0], places[3])


def _across(paper: Paper, x: float, y: float) -> None:
    paper.pen(0.4)
    paper.circle((x, y), 16)
    paper.pen(0.18)
    measured(paper, (x - 8, y), (x + 8, y))
    paper.text((x, y + 1), "⌀", size=8, anchor="middle")


def _depth(paper: Paper, left: float, bottom: float) -> None:
    """A straight-edge over two shoulders, the face measured to below it."""
    x, y = left + 2, bottom
    paper.pen(0.3)
    shoulders = ((x, y), (x + 9, y), (x + 9, y + 5), (x + 31, y + 5), (x + 31, y), (x + 40, y), (x + 40, y + 13), (x + 31, y + 13), (x + 31, y + 5), (x + 9, y + 5), (x + 9, y + 13), (x, y + 13))  # fmt: skip
    paper.polygon(shoulders, fill=PALE)
    paper.rectangle((x - 1, y + 13), across=42, up=3.5)
    paper.pen(0.18)
    measured(paper, (x + 20, y + 5), (x + 20, y + 13))
    paper.text((x + 22, y + 8), "from this face", size=5.5)
