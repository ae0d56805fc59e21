"""The quote: hours from features, stuff, outside work; low, likely and high; what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kb.model.shop import BENCH, Shop
from wizard.making.stuff import family

Row = Mapping[str, Any]
EXCLUDED = (
    "work on the engine, the gearbox or the vehicle", "driveshaft, mounts and crossmember",
    "shift linkage, cooler lines, wiring and controls", "clutch, flywheel, flexplate and converter",
    "approval for road or racing use, and any certificate",
)  # fmt: skip
_BALANCED = ("warn", "fail", "unknown")


def quote(answer: Row, *, route: Sequence[Row], buying: Sequence[Row], points: Sequence[Row], shop: Shop) -> dict[str, Any]:  # fmt: skip
    """What the job takes and costs, by heading.

    Args:
        answer: The answer document. route, buying, points: Of the same answer.
        shop: Rates, and the shares by which hours may come out.
    Returns:
        ``lines``: heading, hours, ``cost`` (low, likely, high, without margins), ``price`` (the
        same with them); ``hours`` and ``price`` in all; ``unpriced``: what has no price here;
        ``chance``, ``stage``, ``verdict``; ``assumed``, ``excluded``, ``measure``, ``open``;
        ``valid_days``, ``currency``. Money in the shop's currency.
    """
    lines = [
        *_work(route, points, shop),
        *_stuff(answer, buying, shop),
        *_outside(answer, route, shop),
    ]
    axial = answer.get("axial") or {}
    settle = answer.get("settle") or {}
    return {
        "currency": shop.rates.currency, "valid_days": shop.valid_days, "lines": lines,
        "hours": [round(sum(line["hours"][n] for line in lines), 2) for n in range(3)],
        "price": [round(sum(line["price"][n] for line in lines), 2) for n in range(3)],
        "unpriced": list(_unpriced(buying, answer, shop)),
        "verdict": answer.get("verdict", ""), "stage": answer.get("stage", ""),
        "chance": axial.get("chance_these"), "chance_any": axial.get("chance_any"),
        "assumed": [dict(one) for one in answer.get("assumed", ())],
        "excluded": list(EXCLUDED),
        "measure": list(answer.get("measure", ())),
        "settle": [row["says"] for stage in ("quote", "cut") for row in settle.get(stage, ())],
        "open": [row["asks"] for row in answer.get("questions", ()) if not row.get("answer")],
        "source": shop.source,
    }  # fmt: skip


def _work(route: Sequence[Row], points: Sequence[Row], shop: Shop) -> Iterator[dict[str, Any]]:
    """Hours in the shop, one line for each part and kind of machine, and the measuring."""
    found: dict[tuple[str, str], float] = {}
    for row in route:
        if row["kind"] != "outside":
            found[row["part"], row["kind"]] = found.get((row["part"], row["kind"]), 0.0) + row["minutes"]  # fmt: skip
    for (part, kind), minutes in found.items():
        yield _line(f"{part}, {kind}", minutes / 60, shop.rates.hour.get(kind, 0.0), shop)
    if points:
        minutes = len(points) * shop.minutes.get("measure", 0.0)
        yield _line(f"inspection, {len(points)} points", minutes / 60, shop.rates.hour.get(BENCH, 0.0), shop)  # fmt: skip


def _line(heading: str, hours: float, rate: float, shop: Shop) -> dict[str, Any]:
    spread = [hours * share for share in (shop.rates.best, 1.0, shop.rates.worst)]
    cost = [one * rate for one in spread]
    return {
        "heading": heading, "kind": "work", "hours": [round(one, 3) for one in spread],
        "cost": [round(one, 2) for one in cost],
        "price": [round(one * (1 + shop.rates.margin), 2) for one in cost],
    }  # fmt: skip


def _fixed(heading: str, kind: str, cost: float, shop: Shop, *, stuff: bool) -> dict[str, Any]:
    """A line that costs the same however the work goes."""
    price = cost * (1 + (shop.rates.stock_margin if stuff else 0.0)) * (1 + shop.rates.margin)
    return {"heading": heading, "kind": kind, "hours": [0.0] * 3, "cost": [round(cost, 2)] * 3, "price": [round(price, 2)] * 3}  # fmt: skip


def _stuff(answer: Row, buying: Sequence[Row], shop: Shop) -> Iterator[dict[str, Any]]:
    """Stock by its mass, bought parts by the piece."""
    families = {part["name"]: family(part) for part in answer.get("parts", ())}
    for row in buying:
        if row["kind"] == "stock":
            each = shop.rates.kilogram.get(families.get(row["for"], ""))
            if each is not None and row.get("mass_kg") and row["what"] != "bush":
                cost = each * row["mass_kg"] * row.get("count", 1)
                yield _fixed(f"stock for {row['for']}, {row['mass_kg']:.2f} kg", "stock", cost, shop, stuff=True)  # fmt: skip
    for kind in ("screw", "dowel", "bush"):
        many = sum(row["count"] for row in buying if kind in (row["kind"], row["what"]))
        if many:
            cost = many * shop.rates.piece.get(kind, 0.0)
            yield _fixed(f"{many} × {kind}", "bought", cost, shop, stuff=True)


def _outside(answer: Row, route: Sequence[Row], shop: Shop) -> Iterator[dict[str, Any]]:
    for row in route:
        if row["kind"] == "outside":
            each = shop.rates.outside.get(row["outside"], 0.0)
            cost = each * row["amount"] * row["quantity"]
            unit = "m" if row["outside"] == "profile metre" else "h"
            what = "profile cut" if row["outside"] == "profile metre" else row["outside"]
            yield _fixed(f"outside: {row['part']}, {what}, {row['amount']:.2f} {unit}", "outside", cost, shop, stuff=False)  # fmt: skip
    status = {one["id"]: one["status"] for one in answer.get("checks", ())}
    if status.get("balance") in _BALANCED:
        cost = shop.rates.outside.get("balancing", 0.0)
        yield _fixed("outside: balancing of the turning parts", "outside", cost, shop, stuff=False)


def _unpriced(buying: Sequence[Row], answer: Row, shop: Shop) -> Iterator[str]:
    """Stock nobody can price here: its mass or its material's price is not known."""
    families = {part["name"]: family(part) for part in answer.get("parts", ())}
    for row in buying:
        if row["kind"] == "stock" and row["what"] != "bush":
            known = shop.rates.kilogram.get(families.get(row["for"], "")) is not None
            if not known or not row.get("mass_kg"):
                yield f"stock for {row['for']} ({row['material']})"
    for name, stuff in families.items():
        if any(stuff not in speeds for speeds in shop.cutting_m_min.values()):
            yield f"time in the cut of {name}: no cutting speed for its material"
