"""The route sheet: part by part, setting by setting, on which machine, to which size, how fast."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kb.model.record import Record
from wizard import words
from wizard.papers.bench_sheet import BenchSheet
from wizard.papers.paper import Paper

Row = Mapping[str, Any]


def route_sheet(record: Record) -> Paper:
    """Set the route sheet of a record that holds a route."""
    making = record.content["making"]
    sheet = BenchSheet(
        record, "Route sheet",
        lead="Settings in the order they are done. Speeds are for the material and no faster than the machine turns; minutes are "
        "the shop's own rates and only an aid to planning. Guards closed, work held as said, chips and edges are sharp.",
    )  # fmt: skip
    _order(sheet, making.get("order"))
    for part in dict.fromkeys(row["part"] for row in making["route"]):
        rows = [row for row in making["route"] if row["part"] == part]
        many = rows[0]["quantity"]
        sheet.section(f"{words.heading(part)}{f', {many} off' if many > 1 else ''}")
        for number, row in enumerate(rows, 1):
            _setting(sheet, number, row)
    _follow(sheet, making.get("follow") or ())
    sheet.cautions()
    return sheet.paper


def _order(sheet: BenchSheet, order: Row | None) -> None:
    if not order:
        return
    both = sheet.doc.both
    sheet.section("In which order")
    sure = "even if the readings are off" if order["sure"] else "with the readings as they stand"
    sheet.paragraph(
        f"The {order['first']} first, the {order['last']} last: its last cut takes {order['minutes']:.0f} minutes "
        f"against {order['other_minutes']:.0f} for the other. Cut last to the part as measured, it lets the {order['first']} be "
        f"{both(order['band'][0])} to {both(order['band'][1])} {sure}, instead of {both(order['alone'][0])} to "
        f"{both(order['alone'][1])}: {both(order['looser'])} more room. Measure the {order['first']}, then ask for the next cut."
    )  # fmt: skip


def _setting(sheet: BenchSheet, number: int, row: Row) -> None:
    where = "OUTSIDE" if row["kind"] == "outside" else str(row["machine"])
    sheet.paragraph(f"{number}. {where}: {row['holding']}.")
    if row["kind"] == "outside" and row.get("why"):
        sheet.paragraph(f"Given out because: {row['why']}.")
    for unknown in row.get("unknown") or ():
        sheet.paragraph(f"Check first: {unknown}.")
    if marks := row.get("gauge"):
        sheet.paragraph(f"Gauge before it comes off: {' '.join(marks)} of the inspection sheet.")
    rows = [_step(sheet, step) for step in row["steps"]]
    sheet.table(("what", "tool", "size", "holes", "rpm", "min", "done"), rows, shares=(4.2, 1.6, 2.6, 3.2, 0.9, 0.9, 0.8))  # fmt: skip


def _step(sheet: BenchSheet, step: Row) -> tuple[str, ...]:
    both = sheet.doc.both
    sizes = " × ".join(both(one) for one in step["sizes"]) or (both(step["size"]) if step["size"] else "")  # fmt: skip
    speed = f"{step['speed_rpm']:.0f}" if step["speed_rpm"] else ""
    minutes = f"{step['minutes']:.1f}" if step["minutes"] else ""
    return (step["does"], step["tool"], sizes, " ".join(step["marks"]), speed, minutes, "")


def _follow(sheet: BenchSheet, rows: Sequence[Row]) -> None:
    """What is made to what was measured: the fit is kept, not the nominal."""
    if not rows:
        return
    sheet.section("Made to measure: write in the first, work out the second")
    table = []
    for row in rows:
        second = "shaft" if row["measure"] == "hole" else "hole"
        low, high = sheet.doc.limits((abs(row["low"]), abs(row["low"]))), sheet.doc.limits((abs(row["high"]), abs(row["high"])))  # fmt: skip
        signs = ["−" if end < 0 else "+" for end in (row["low"], row["high"])]
        rule = f"measured {signs[0]} {low}  to  measured {signs[1]} {high}"
        there = "there already" if row["existing"] else "made first"
        table.append((f"{row['joint']} ({row['class']})", f"{row['measure']}, {there}", "", f"{second}: {rule}", sheet.doc.limits(row["designed"]), ""))  # fmt: skip
    sheet.table(
        ("fit", "measure first", "measured", "then the other is", "as designed", "made"), table,
        shares=(2.6, 1.6, 1.5, 4.4, 2.6, 1.2), write=(2,),
    )  # fmt: skip
