"""The route of each part: which machine of the shop takes each setting, how fast, how long.

What no machine takes is outside work and says why; a machine whose size is not written down is
named as not known, never taken for enough.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from kb.model.shop import BENCH, Machine, Shop
from wizard.engine.formulas.cutting import cutting_minutes, spindle_speed
from wizard.making.stuff import family
from wizard.making.work import work

Row = Mapping[str, Any]
# What of a setting's needs each kind of machine has to take.
_TAKES = {
    "lathe": ("swing", ("between", "spindle_bore"), ("chuck", "faceplate")), "mill": ("travel_x", "travel_y", "drill"),
    "drill press": ("throat", "drill"), "saw": ("blade",),
}  # fmt: skip
PROFILE = "profile metre"  # cut to the outline elsewhere
OUTSIDE = {"lathe": "turning", "mill": "milling", "drill press": "milling", "saw": "milling"}


def gauged(route: Sequence[Row], points: Sequence[Row]) -> list[dict[str, Any]]:
    """The route with the inspection points measured at each setting, before the work comes off.

    Holes and what lies between them at the setting that makes them; sizes at the last turned or
    bored setting of the part; what is left at the bench.
    """
    rows = [dict(row, gauge=[]) for row in route]
    for point in points:
        mine = [
            row for row in rows
            if row["part"] == point["part"] and row["kind"] != "saw" and row["outside"] != PROFILE
        ]  # fmt: skip
        of_holes = bool(point.get("hole")) or "centres" in str(point["what"])
        wanted = [
            row
            for row in mine
            if row["steps"] and _makes_holes(row) == of_holes and row["kind"] != BENCH
        ]
        place = (wanted or mine)[-1:] if not of_holes else (wanted[:1] or mine[-1:])
        for row in place:
            row["gauge"].append(str(point["point"]))
    return rows


def _makes_holes(row: Row) -> bool:
    return any(step["marks"] for step in row["steps"])


def route(answer: Row, shop: Shop) -> list[dict[str, Any]]:
    """Every setting with the machine that does it, its speeds and minutes, or why none does.

    Args:
        answer: The answer document. shop: Machines, speeds and times.
    Returns:
        Rows of ``part``, ``quantity``, ``machine``, ``kind``, ``holding``, ``steps`` (each with
        ``speed_rpm`` and ``minutes``), ``minutes`` with the set-up, and ``outside`` with ``why``
        where it is given out.
    """
    materials = {part["name"]: family(part) for part in answer.get("parts", ())}
    return [_placed(setting, materials[setting["part"]], shop) for setting in work(answer, shop)]


def _placed(setting: dict[str, Any], stuff: str, shop: Shop) -> dict[str, Any]:
    if setting.get("outside"):
        return {**_bare(setting), "machine": "outside", "kind": "outside", "why": "cut out elsewhere", "outside": setting["outside"], "amount": round(setting["amount"], 3), "steps": _timed(setting, None, stuff, shop), "minutes": 0.0}  # fmt: skip
    if setting["kinds"] == [BENCH]:
        return _done(setting, None, BENCH, stuff, shop, [])
    refused: list[str] = []
    for kind in setting["kinds"]:
        for machine in shop.machines:
            if machine.kind != kind:
                continue
            short, unknown = _short(machine, setting["needs"])
            if not short:
                return _done(setting, machine, kind, stuff, shop, unknown)
            refused.append(f"{machine.name}: {'; '.join(short)}")
    kind = setting["kinds"][0]
    given_out = _done(setting, None, kind, stuff, shop, [])
    why = "; ".join(refused) or f"the shop has no {' or '.join(setting['kinds'])}"
    hours = round(given_out["minutes"] / 60, 3)
    return {**given_out, "machine": "outside", "kind": "outside", "outside": OUTSIDE[kind], "amount": hours, "why": why, "minutes": 0.0}  # fmt: skip


def _short(machine: Machine, needs: Mapping[str, float]) -> tuple[list[str], list[str]]:
    """What of the needs a machine does not take, and what of it is not known."""
    short, unknown = [], []
    for size in _TAKES[machine.kind]:
        either = (size,) if isinstance(size, str) else size
        asked = [(name, needs[name]) for name in either if needs.get(name)]
        if not asked:
            continue
        has = [(name, need, getattr(machine, name)) for name, need in asked]
        if any(value is not None and value >= need for _, need, value in has):
            continue
        name, need, value = max(has, key=lambda one: one[2] or 0.0)
        says = name.replace("_", " ")
        if any(value is None for _, _, value in has):
            unknown.append(f"{says} not known, {need:.0f} mm needed")
        else:
            short.append(f"{says} {value:.0f} mm, {need:.0f} mm needed")
    return short, unknown


def _bare(setting: dict[str, Any]) -> dict[str, Any]:
    return {"part": setting["part"], "quantity": setting["quantity"], "holding": setting["holding"], "outside": "", "amount": 0.0, "why": "", "unknown": [], "fixing": setting.get("fixing")}  # fmt: skip


def _done(
    setting: dict[str, Any], machine: Machine | None, kind: str, stuff: str, shop: Shop, unknown: list[str]
) -> dict[str, Any]:  # fmt: skip
    steps = _timed(setting, machine, stuff, shop)
    each = shop.minutes.get(kind, 0.0) + sum(step["minutes"] for step in steps)
    return {
        **_bare(setting), "machine": machine.name if machine else kind, "kind": kind, "steps": steps,
        "set_up_minutes": shop.minutes.get(kind, 0.0), "minutes": round(each * setting["quantity"], 2),
        "unknown": unknown,
    }  # fmt: skip


def _timed(setting: dict[str, Any], machine: Machine | None, stuff: str, shop: Shop) -> list[dict[str, Any]]:  # fmt: skip
    return [_time(step, machine, stuff, shop) for step in setting["steps"]]


def _time(step: dict[str, Any], machine: Machine | None, stuff: str, shop: Shop) -> dict[str, Any]:
    """The step with its speed [rpm] and minutes: handling, and the tool in the cut."""
    many = max(len(step["marks"]), 1)
    minutes = float(step.get("minutes") or 0.0)
    minutes += shop.minutes.get(step["each"], 0.0) * many if step["each"] else 0.0
    minutes += shop.minutes.get(step.get("minutes_of") or "", 0.0)
    minutes += shop.minutes.get("measure", 0.0) * step.get("measures", 0)
    speed = None
    if cut := step["cut"]:
        minutes += shop.minutes.get("tool", 0.0)
        speed = _speed(cut, machine, stuff, shop)
        if speed:
            passes = math.ceil(cut.get("stock", 0.0) / shop.feed["depth"]) if "stock" in cut else 1
            feed = shop.feed["drill"] * cut["diameter"] if cut["tool"] == "drill" else shop.feed["turn"]  # fmt: skip
            minutes += cutting_minutes(travel=cut["travel"] * max(passes, 1), feed=feed, speed_rpm=speed)  # fmt: skip
    return {
        "does": step["does"], "tool": step["tool"], "size": step["size"], "sizes": step["sizes"],
        "marks": step["marks"], "speed_rpm": None if speed is None else round(speed),
        "minutes": round(minutes, 2),
    }  # fmt: skip


def _speed(cut: Row, machine: Machine | None, stuff: str, shop: Shop) -> float | None:
    """By the material's cutting speed, no faster than the machine turns [rpm]."""
    by_family = shop.cutting_m_min.get(cut["tool"], {})
    if stuff not in by_family or cut["diameter"] <= 0:
        return None
    speed = spindle_speed(cutting_m_min=by_family[stuff], diameter=cut["diameter"])
    top = machine.top_speed_rpm if machine else None
    return min(speed, top) if top else speed
