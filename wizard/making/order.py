"""The making order, and what the second part is made to once the first one is measured."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from kb.model.shop import Shop
from wizard.engine.axial.region import lengths_at
from wizard.engine.formulas.cutting import cutting_minutes, spindle_speed
from wizard.making import holding
from wizard.making.stuff import family

Row = Mapping[str, Any]
Corner = tuple[float, float]


def order(answer: Row, route: Sequence[Row], shop: Shop) -> dict[str, Any] | None:
    """Which of plate and rotating adapter is made first, and how much that loosens it.

    The part that is cut last takes up what the first one came out as; the cheaper cut goes last.

    Returns:
        ``first``, ``last``; ``band``: what the first may be when the last one follows it, even
        if the readings are off where that leaves anything; ``alone``: what it may be when the
        last one is as designed; ``looser``: the difference of their widths [mm]; ``minutes``: of
        the last cut, and ``other_minutes`` of the cut it is cheaper than. ``None``: one part only.
    """
    axial = answer.get("axial") or {}
    parts = {str(part["name"]): part for part in answer.get("parts", ())}
    ring = next((name for name in ("spacer ring", "spindle") if name in parts), None)
    plates = [name for name in parts if name.endswith("plate")]
    plate, spacer = axial.get("plate"), axial.get("spacer")
    if ring is None or len(plates) != 1 or plate is None or spacer is None:
        return None
    corners = [
        (float(x), float(y)) for x, y in axial.get("robust_region") or axial.get("region") or ()
    ]
    if len(corners) < 3:
        return None
    cuts = {plates[0]: _skim(parts[plates[0]], shop), ring: _last_cut(route, ring)}
    if not all(map(math.isfinite, cuts.values())):
        return None
    last = min(cuts, key=lambda name: cuts[name])
    first = next(name for name in cuts if name != last)
    along = corners if first == plates[0] else [(y, x) for x, y in corners]
    known = spacer if first == plates[0] else plate
    band = (min(x for x, _ in along), max(x for x, _ in along))
    alone = lengths_at([(y, x) for x, y in along], known) or (0.0, 0.0)
    return {
        "first": first, "last": last, "band": list(band), "alone": list(alone),
        "looser": (band[1] - band[0]) - (alone[1] - alone[0]),
        "minutes": round(cuts[last], 1), "other_minutes": round(cuts[first], 1),
        "sure": bool(axial.get("robust_region")),
    }  # fmt: skip


def _last_cut(route: Sequence[Row], ring: str) -> float:
    """Minutes of facing the ring to its length, with the set-up [min]."""
    for setting in route:
        if setting["part"] == ring:
            cut = [
                step["minutes"] for step in setting["steps"] if step["does"].startswith("final cut")
            ]
            if cut:
                return float(setting.get("set_up_minutes", 0.0) + sum(cut))
    return float("inf")


def _skim(plate: Row, shop: Shop) -> float:
    """Minutes of skimming the whole face of a plate, with the set-up [min]."""
    wide = holding.swing(plate)
    speeds, stuff = shop.cutting_m_min.get("turn", {}), family(plate)
    if not wide or stuff not in speeds:
        return float("inf")
    speed = spindle_speed(cutting_m_min=speeds[stuff], diameter=wide)
    cut = cutting_minutes(travel=wide / 2, feed=shop.feed["turn"], speed_rpm=speed)
    return shop.minutes.get("lathe", 0.0) + cut


def follow(answer: Row) -> list[dict[str, Any]]:
    """For each fit: what is measured first, and what is then taken off or added for the second.

    The fit is kept, not the nominal: the second half follows the first one as it measures.

    Returns:
        ``joint``, ``class``, ``measure`` (``hole`` or ``shaft``) and ``existing`` (whether it is
        there already); the second is measured + ``low`` to measured + ``high`` [mm].
    """
    rows = []
    for fit in answer.get("fits", ()):
        if not fit.get("class") or not fit.get("play"):
            continue
        least, most = fit["play"]
        existing = fit.get("existing") or ""
        first = existing or "hole"  # where both are made the bore, harder to gauge, comes first
        low, high = (-most, -least) if first == "hole" else (least, most)
        rows.append({
            "joint": fit["joint"], "class": fit["class"], "measure": first, "existing": bool(existing),
            "low": low, "high": high,
            "designed": list(fit["shaft"] if first == "hole" else fit["hole"]),
        })  # fmt: skip
    return rows
