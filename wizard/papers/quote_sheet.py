"""The quote: the customer's copy with prices, the shop's copy with hours, costs and margins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kb.model.record import Record
from wizard import words
from wizard.papers.bench_sheet import BenchSheet
from wizard.papers.paper import Paper

Row = Mapping[str, Any]
HEADINGS = {"work": "Work in the shop", "stock": "Stock", "bought": "Bought parts", "outside": "Work given out"}  # fmt: skip

USUAL = ("default of the sheet", "instrument not stated")  # assumptions a customer need not read


def customer_quote(record: Record) -> Paper:
    """Set the customer's copy: what it will be, what it costs, what it rests on."""
    doc = record.content["making"]["quote"]
    sheet = BenchSheet(
        record, "Quote",
        lead=f"For an adapter as described, made to the parts as measured so far. Valid for {doc['valid_days']} days from "
        f"{record.made_on}. Prices in {doc['currency']}, taxes not included.",
    )  # fmt: skip
    _feasible(sheet, doc)
    sheet.section("What it costs")
    rows = [(name, _money(_sum(doc["lines"], kind))) for kind, name in HEADINGS.items() if any(line["kind"] == kind for line in doc["lines"])]  # fmt: skip
    low, likely, high = doc["price"]
    sheet.table(("what", f"likely, {doc['currency']}"), [*rows, ("In all", _money(likely))], shares=(4, 1.5))  # fmt: skip
    sheet.paragraph(
        f"If all goes well {_money(low)}, if it does not {_money(high)}: the hours are an estimate from the features of the parts. "
        "More than that is agreed with you first."
    )
    _rests_on(sheet, doc)
    sheet.cautions()
    sheet.signature("Agreed by the customer: ____________________   on: ______________")
    return sheet.paper


def shop_quote(record: Record) -> Paper:
    """Set the shop's copy: every line with hours, cost and price."""
    doc = record.content["making"]["quote"]
    sheet = BenchSheet(
        record, "Quote, shop's copy",
        lead=f"Hours come from the features of the parts and the shop's own times and rates ({doc['source']} where they were not "
        "changed). Not for the customer: it shows costs.",
    )  # fmt: skip
    rows = [_line(line) for line in doc["lines"]]
    hours, price = doc["hours"], doc["price"]
    cost = [sum(line["cost"][n] for line in doc["lines"]) for n in range(3)]
    total = ("In all", _hours(hours), _three(cost), _three(price), "")
    sheet.table(("what", "hours: low, likely, high", f"cost, {doc['currency']}", f"price, {doc['currency']}", "spent"), [*rows, total], shares=(4, 2.2, 2.6, 2.6, 1.2))  # fmt: skip
    _feasible(sheet, doc)
    _rests_on(sheet, doc, every=True)
    return sheet.paper


def _feasible(sheet: BenchSheet, doc: Row) -> None:
    sheet.section("Does it go?")
    for line in sheet.doc.texts("verdict_lines") or [str(doc["verdict"])]:
        sheet.paragraph(line)
    if doc.get("chance_any") is not None:
        odds = f"Chance that some adapter works: {doc['chance_any']:.0%}"
        odds += f"; that this one does: {doc['chance']:.0%}" if doc.get("chance") is not None else ""  # fmt: skip
        sheet.paragraph(f"{odds}. By the ± of the readings as they stand; a reading taken wrong is not in it.")  # fmt: skip
    else:
        sheet.paragraph("No chance can be given: dimensions along the axis are still missing.")


def _rests_on(sheet: BenchSheet, doc: Row, *, every: bool = False) -> None:
    """Assumed, excluded, still to be measured, still to be answered."""
    if doc["unpriced"]:
        sheet.section("Not priced yet")
        for one in doc["unpriced"]:
            sheet.paragraph(f"– {one}")
    sheet.section("Assumed")
    usual = [one for one in doc["assumed"] if one["why"] in USUAL]
    for one in doc["assumed"]:
        if every or one not in usual:
            sheet.paragraph(f"– {words.label(one['key'])}: {one['value']} ({one['why']})")
    if usual and not every:
        sheet.paragraph(
            f"– and {len(usual)} shop defaults and usual instrument limits, as listed in the starting specification"
        )
    sheet.section("Still to be measured or settled")
    lines = [words.label(_key(one)) for one in doc["measure"]] + list(doc["settle"])
    for one in lines or ["nothing for the quote; every dimension is confirmed on the parts before anything is cut"]:  # fmt: skip
        sheet.paragraph(f"– {one}")
    sheet.section("Not included")
    for one in (*doc["excluded"], *(f"open: {asks}" for asks in doc["open"])):
        sheet.paragraph(f"– {one}")
    sheet.paragraph("If the parts differ from what was measured, the price is worked out again and agreed before work goes on.")  # fmt: skip


def _key(one: object) -> str:
    return str(one["dimension"] if isinstance(one, Mapping) and "dimension" in one else one)


def _sum(lines: Sequence[Row], kind: str) -> float:
    return float(sum(line["price"][1] for line in lines if line["kind"] == kind))


def _line(line: Row) -> tuple[str, ...]:
    return (line["heading"], _hours(line["hours"]) if line["hours"][1] else "", _three(line["cost"]), _three(line["price"]), "")  # fmt: skip


def _three(values: Sequence[float]) -> str:
    low, likely, high = values
    return _money(likely) if low == high else f"{_money(low)} · {_money(likely)} · {_money(high)}"


def _hours(values: Sequence[float]) -> str:
    return " · ".join(f"{one:.1f}" for one in values)


def _money(value: float) -> str:
    return f"{value:.2f}"
