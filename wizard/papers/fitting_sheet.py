"""The fitting sheet: tried dry, put together in order, tightened by stages, run up, looked at again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kb.model.record import Record
from wizard import words
from wizard.papers.bench_sheet import BenchSheet
from wizard.papers.paper import Paper

BEFORE = (
    "Battery disconnected, starter and ignition dead; the crank is turned by hand only.",
    "Faces, registers and dowel holes clean, burrs off, threads chased and blown out.",
    "Every point of the inspection sheet met, or settled in writing.",
)
AFTER_SPEED = (
    "Nobody stands in the plane of the turning parts; guard on; stop at the first new noise."
)


def fitting_sheet(record: Record) -> Paper:
    """Set the fitting sheet of a record that holds one."""
    sheet = BenchSheet(
        record, "Fitting sheet",
        lead="First everything dry and by hand, then for good. A box is ticked by whoever did it; what does not go "
        "stops the work until it is settled.",
    )  # fmt: skip
    doc = record.content["making"]["fitting"]
    sheet.section("Before anything is lifted")
    sheet.boxes(BEFORE)
    _dry(sheet, doc)
    _order(sheet, doc)
    _swept(sheet, doc)
    _tight(sheet, doc)
    _after(sheet, doc)
    sheet.cautions()
    sheet.signature("Fitted and found right by: ____________________   on: ______________")
    return sheet.paper


def _dry(sheet: BenchSheet, doc: dict[str, Any]) -> None:
    both = sheet.doc.both
    sheet.section("Dry fit: registers, go or no-go")
    rows = []
    for fit in doc["fits"]:
        low, high = fit["play"]
        if fit["tight"]:
            play = f"{sheet.doc.limits((max(-high, 0.0), -low))} tight"
        else:
            play = f"{sheet.doc.limits((low, high))} of play"
        if fit.get("warm_k"):
            play += f"; press with up to {fit['press_n'] / 1000:.1f} kN, or warm the outer part by {fit['warm_k']:.0f} K"
        rows.append((f"{fit['joint']} ({fit['class']})", play, "", ""))
    sheet.table(("joint", "should have", "goes by hand, no rock", "no go: what"), rows, shares=(3, 4, 1.6, 2.4), write=(2,))  # fmt: skip
    sheet.section("Along the axis: measured with everything home")
    gaps = []
    for gap in doc["gaps"]:
        wanted = _wanted(sheet, gap)
        within = f" ± {both(gap['within'])}" if gap.get("within") else ""
        gaps.append((words.heading(gap["name"]), f"{both(gap['value'])}{within}", wanted, "", ""))
    sheet.table(
        ("what", "worked out", "wanted", "measured", "go"),
        gaps,
        shares=(3, 3.6, 2.6, 1.8, 0.8),
        write=(3,),
    )


def _wanted(sheet: BenchSheet, gap: Mapping[str, Any]) -> str:
    """The band, or the least its check asks; what nothing judges is said so."""
    both = sheet.doc.both
    if gap["band"]:
        return f"{both(gap['band'][0])} to {both(gap['band'][1])}"
    least = gap.get("least")
    return "no limit given" if least is None else f"{both(least)} or more" if least else "above 0"


def _order(sheet: BenchSheet, doc: dict[str, Any]) -> None:
    """The order it goes together in, by this job's own parts."""
    names = [str(part["name"]) for part in sheet.doc.rows("parts")]
    joints = {str(joint["name"]): joint for joint in sheet.doc.rows("joints")}
    sheet.section("Put together in this order")
    says = []
    for name in names:
        part = name.removeprefix("adapter ").split()[0]
        bolts = "; ".join(_bolts(joints[j]) for j in joints if j.startswith(f"{part} to"))
        after = f"; then {bolts}, finger tight." if bolts else "."
        says.append(f"{name[:1].upper()}{name[1:]} home, square by feeler all round{after}")
    says += [_with_figures(sheet, row) for row in doc.get("between") or ()]
    box = sheet.doc.table("gearbox").get("name") or "Gearbox"
    bolts = "; ".join(_bolts(joints[j]) for j in joints if j.startswith("gearbox to"))
    says.append(
        f"{box} brought up on guide studs, never drawn home by its bolts; it must meet the plate by hand."
        + (f" Then {bolts}." if bolts else "")
    )
    sheet.boxes(says)


def _with_figures(sheet: BenchSheet, row: Mapping[str, Any]) -> str:
    """What goes between, with the figure it is fitted by; one that is not known is said so."""

    def both(name: str) -> str:
        return sheet.doc.both(row[name]) if row.get(name) is not None else "a depth not known yet"

    if row["what"] == "flexplate":
        return f"Flexplate on, right way round: its pad face {both('offset')} behind its crank side, measured at the pad circle."
    if row["what"] == "converter":
        gap = both("gap") if row.get("gap") is not None else "its wanted gap"
        return (
            f"Converter home in the gearbox, three drops felt: pads {both('seat_depth')} below the gearbox face at three places; "
            f"after bolting up it turns by hand and is pulled forward {gap} to the flexplate."
        )
    if row["what"] == "flywheel":
        return f"Flywheel on, face {both('height')} behind its crank side, swept for face runout."
    if row["what"] == "clutch":
        gap = (
            f"; release gap {both('gap')} with the bearing fully back"
            if row.get("gap") is not None
            else ""
        )
        return f"Disc centred by the pilot, right way round; cover drawn down crosswise: fingers {both('fingers')} above the clutch face{gap}."
    return f"Driven flange {both('position')} from the gearbox face before it is drawn up; no end load afterwards."


def _swept(sheet: BenchSheet, doc: dict[str, Any]) -> None:
    """The sweep log, with what each surface may have at most."""
    sheet.section("Swept from the crank, seen from behind: before and after the last torque")
    most = {what: sheet.doc.both(figure) for what, figure in (doc.get("sweeps") or {}).items()}
    rows = [
        ("housing bore, first", most.get("housing bore", "not given")), ("housing bore, dowelled", most.get("housing bore", "not given")),
        ("driven register", most.get("driven register", "not given")), ("housing face, torqued", "write it down"),
    ]  # fmt: skip
    sheet.table(
        ("surface", "TIR at most", "12", "3", "6", "9", "TIR", "moved or dowel"), [(*row, *[""] * 6) for row in rows],
        shares=(2.2, 2, 1, 1, 1, 1, 1, 1.8), write=(2,),
    )  # fmt: skip


def _bolts(joint: Mapping[str, Any]) -> str:
    return f"{joint['count']} × {joint['thread']} ({joint['name']})"


def _tight(sheet: BenchSheet, doc: dict[str, Any]) -> None:
    sheet.section("Torques, crosswise and by stages")
    rows = []
    for joint in doc["joints"]:
        stages = (
            " · ".join(sheet.doc.torque(one) for one in joint["stages"])
            or "not worked out: ask before it is tightened"
        )
        rows.append(
            (
                f"{joint['joint']}, {joint['count']} × {joint['thread']} {joint['grade']}",
                stages,
                joint["source"],
                "",
            )
        )
    sheet.table(("joint", "stages", "source", "done"), rows, shares=(3, 4.4, 3.4, 0.8))
    sheet.paragraph(
        "Threads and under heads as the friction in the source column says; 0.12 is lightly oiled, and any other "
        f"lubricant wants its own torque (common practice, no source). Torque again {doc['retorque']}."
    )


def _after(sheet: BenchSheet, doc: dict[str, Any]) -> None:
    sheet.section("Turned over and run up (times and steps: common practice, no source)")
    says = [
        "Crank turned two full turns by hand with the gearbox bolted: no tight place, no scrape.",
        "Starter pinion in and out by hand: backlash and rest gap as on the dry fit.",
        f"First start: idle for two minutes. {AFTER_SPEED}",
    ]
    says += [
        f"Held at {speed:.0f} rpm for one minute: no new vibration. {AFTER_SPEED}"
        for speed in doc["speeds"]
    ]
    says.append(
        f"Looked over cold: leaks, fretting at the plate, heads marked and not moved. Torque again {doc['retorque']}."
    )
    sheet.boxes(says)
