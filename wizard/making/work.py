"""The work on each part: settings in their order, each with what is done, to which size, with which tool.

A setting says what the machine must take; which machine of the shop does is decided in `route`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kb.model.shop import Shop
from wizard.engine.formulas.cutting import drill_travel
from wizard.making import held, holding, profile
from wizard.making.buying import FACE, SAW, TURN
from wizard.making.layout import BORE_LEFT, LARGEST_DRILL, steps

Row = Mapping[str, Any]
Step = dict[str, Any]
LEFT = 0.3  # mm left on a face before it is measured and finished (common practice, no source)
SAWN_MM_MIN = 60.0  # mm of profile sawn and dressed to the line in a minute (common practice)
MARKED, DRILLED, SEATED = 1, (2, 3, 4), 6  # places in the order of `layout.steps`
EACH = {5: "ream", 6: "seat", 7: "tap"}  # what is counted of those after the drill
BOUGHT = ("pilot bush",)  # bought to size
CLEAN = 1.0  # mm off a sawn end to clean it (common practice, no source)
_BORED = ("spigot", "recess", "register", "driven_spigot", "driven_recess")


def work(answer: Row, shop: Shop) -> list[dict[str, Any]]:
    """Every setting of every part, in the order it is done.

    Returns:
        Rows of ``part``, ``quantity``, ``kinds`` (of machine that can do it, best first),
        ``needs`` (what the machine must take, by its size [mm]), ``holding`` and ``steps``.
    """
    unit = "in" if answer.get("shop_units") == "in" else "mm"
    found: list[dict[str, Any]] = []
    for part in answer.get("parts", ()):
        if part["name"] in BOUGHT:
            continue
        rows = _plate(part, shop, unit) if part["name"].endswith("plate") else _turned(part, unit)
        found += [{"part": part["name"], "quantity": part.get("quantity", 1), **row} for row in rows]  # fmt: skip
    return found


# ── a plate ─────────────────────────────────────────────────────────────────


def _plate(part: Row, shop: Shop, unit: str) -> Iterator[dict[str, Any]]:
    process = profile.process_of(shop.process) if part.get("outline") else None
    least = profile.least_hole(part, process)
    yield _sawn(part) if process is None else _profile(part, process.name, least)
    bored = list(_bored(part))
    if process is not None and not any(part["size"].get(name) for name in _BORED):
        bored = []  # a plain opening is good enough as it is cut
    if bored:
        yield _on_faceplate(part, bored, is_cut=process is not None)
    done = [
        hole for hole in part.get("holes") or () if process and profile.is_cut(hole, least=least)
    ]
    if steps_left := list(_holes(part, part.get("holes") or (), unit, cut=done)):
        holes = [hole for hole in part["holes"] if hole not in done] or done
        across, up = holding.holes_across(part["holes"])
        yield {
            "kinds": ["mill", "drill press"],
            "needs": {"travel_x": max(across, up), "travel_y": min(across, up), "throat": holding.throat(part), "drill": _largest(holes)},
            "holding": _dialled(part), "steps": steps_left,
        }  # fmt: skip
    yield _bench(part)


def _profile(part: Row, process: str, least: float) -> dict[str, Any]:
    """Cut to its outline elsewhere, by the shop's usual process."""
    length = profile.cut_length(part, least=least)
    marks = [
        str(hole["id"]) for hole in part.get("holes") or () if profile.is_cut(hole, least=least)
    ]
    return {
        "kinds": [], "needs": {}, "outside": "profile metre", "amount": length / 1000,
        "holding": f"by {process}, from the cut file, net size",
        "steps": [_step("outline, opening and plain holes cut; the check square measured first", size=length, marks=marks)],
    }  # fmt: skip


def _sawn(part: Row) -> dict[str, Any]:
    size = part["size"]
    across, up = size.get("length", 0.0) + 2 * SAW, size.get("height", 0.0) + 2 * SAW
    edge = 2 * (across + up)
    return {
        "kinds": ["saw"], "needs": {"blade": min(across, up)}, "holding": "flat on the saw table",
        "steps": [
            _step("blank sawn", sizes=[across, up, size["thickness"]], minutes=edge / 2 / SAWN_MM_MIN),
            _step("outline sawn and dressed to the template", size=edge, minutes=edge / SAWN_MM_MIN),
        ],
    }  # fmt: skip


def _bored(part: Row) -> Iterator[Step]:
    """Bores and registers of a plate, all in one setting: roughed, then to their limits."""
    size = part["size"]
    thick = float(size["thickness"])
    for name in ("bore", *_BORED):
        if diameter := size.get(name):
            deep = float(size.get(f"{name}_length") or size.get(f"{name}_depth") or thick)
            if name == "bore":
                yield _turn(f"opening roughed, {BORE_LEFT:g} mm left", diameter - BORE_LEFT, deep, cut=BORE_LEFT)  # fmt: skip
            yield _turn(f"{name.replace('_', ' ')} to its limits", diameter, deep, cut=BORE_LEFT)
            if name == "spigot":
                wide = float(size.get("outside") or diameter) - diameter
                yield _turn("face round the spigot, spigot left standing", diameter, wide / 2, cut=deep)  # fmt: skip


def _on_faceplate(part: Row, bored: Sequence[Step], *, is_cut: bool) -> dict[str, Any]:
    wide = holding.swing(part, sawn=None if is_cut else SAW)
    fixed = holding.fixing(part)
    if fixed["own"]:
        how = f"screwed to the faceplate through its own holes {' '.join(fixed['own'])}"
    elif fixed["extra"]:
        places = "; ".join(f"X {x:.2f}, Y {y:.2f}" for x, y in fixed["extra"])
        how = f"screwed to the faceplate through three extra holes ⌀ {fixed['diameter']:g} at {places} (clear of every hole and of the edge)"
    else:
        how = "clamped to the faceplate: no room for fixing holes"
    true = f"; dialled true on the crank axis within {held.RING_TRUE:g} mm TIR; bore and registers in this one setting"
    return {
        "kinds": ["lathe", "mill"],
        "needs": {"swing": wide, "faceplate": wide, "travel_x": _most(bored), "travel_y": _most(bored)},
        "holding": how + true, "fixing": fixed, "steps": list(bored),
    }  # fmt: skip


def _most(bored: Sequence[Step]) -> float:
    return max((step["size"] for step in bored), default=0.0)


def _dialled(part: Row) -> str:
    """What the table's origin is taken from before the holes are drilled."""
    return (
        "clamped clear of the holes; origin dialled in on the bore; dowels bored last, in the same setting"
        if (part.get("size") or {}).get("bore")
        else "clamped clear of the holes; origin from the template's centre"
    )


# ── a turned part ───────────────────────────────────────────────────────────


def _turned(part: Row, unit: str) -> Iterator[dict[str, Any]]:
    size = part.get("size") or {}
    outside = float(size.get("outside") or size.get("diameter") or 0.0)
    length = float(size.get("length") or size.get("thickness") or 0.0)
    blank, long = outside + TURN, length + FACE
    yield {
        "kinds": ["saw"], "needs": {"blade": blank}, "holding": "across the vice",
        "steps": [_step("blank sawn", sizes=[blank, long], minutes=blank / SAWN_MM_MIN)],
    }  # fmt: skip
    lathe = {"swing": blank, "chuck": blank, "between": long, "spindle_bore": blank}
    yield {
        "kinds": ["lathe"], "needs": lathe,
        "holding": "in the chuck on the sawn blank; this end, its register and the bore in one setting",
        "steps": list(_first_end(size, outside, length)),
    }  # fmt: skip
    register = next((size[name] for name in ("spigot", "recess", "bore") if size.get(name)), outside)  # fmt: skip
    yield {
        "kinds": ["lathe"], "needs": lathe,
        "holding": f"turned round onto the finished ⌀ {register:.3f} mm, in jaws bored in place or on a stub turned in place; "
        f"dialled within {held.RING_TRUE:g} mm TIR",
        "steps": list(_second_end(size, outside, length)),
    }  # fmt: skip
    if holes := list(part.get("holes") or ()):
        across, up = holding.holes_across(holes)
        yield {
            "kinds": ["mill", "drill press"],
            "needs": {"travel_x": max(across, up), "travel_y": min(across, up), "throat": outside / 2, "drill": _largest(holes)},
            "holding": "face down on parallels, origin dialled in on the register; circle by readout or dividing head",
            "steps": list(_holes(part, holes, unit)),
        }  # fmt: skip
    yield _bench(part)


def _first_end(size: Row, outside: float, length: float) -> Iterator[Step]:
    yield _turn("end faced clean", outside, outside / 2, cut=CLEAN)
    yield from _registers(size, outside, "recess", "spigot")
    if tapped := size.get("bore_depth"):
        yield from _tapped_end(size, float(tapped))
    elif bore := size.get("bore"):
        drill = min(bore - BORE_LEFT, LARGEST_DRILL)
        if drill > 1:
            yield _drill(f"bore drilled ⌀ {drill:.1f} mm, {BORE_LEFT:g} mm or more left", drill, length)  # fmt: skip
        yield _turn("bore to its limits", bore, length, cut=max(bore - max(drill, 0), BORE_LEFT) / 2)  # fmt: skip
    yield _turn("outside turned over its free length", outside, length / 2, cut=TURN / 2)


def _second_end(size: Row, outside: float, length: float) -> Iterator[Step]:
    thick = float(size.get("thickness") or length)
    yield _turn(f"faced to {thick + LEFT:.2f} mm between faces, {LEFT:g} mm left", outside, outside / 2, cut=FACE)  # fmt: skip
    yield _step("measured at four places; the last cut worked out from the next-cut box", size=thick, measures=4)  # fmt: skip
    yield from _registers(size, outside, "driven_recess", "driven_spigot")
    if tapped := size.get("bore_depth"):
        yield from _tapped_end(size, float(tapped))
    yield _turn("final cut to length", outside, outside / 2, cut=LEFT, size=thick)
    yield _turn("outside turned over the rest", outside, length / 2, cut=TURN / 2)


def _registers(size: Row, outside: float, recess: str, spigot: str) -> Iterator[Step]:
    """The registers of one end: a recess bored out of it, a spigot turned down to."""
    for name in (recess, spigot):
        if diameter := size.get(name):
            deep = float(size.get(f"{name}_depth") or size.get(f"{name}_length") or 0.0)
            stock = diameter if name == recess else outside - diameter
            yield _turn(f"{name.replace('_', ' ')} to its limits", diameter, deep, cut=stock / 2)


def _tapped_end(size: Row, deep: float) -> Iterator[Step]:
    """A post is drilled and tapped from either end; its thread stands on the drawing."""
    yield _drill(f"drilled {deep:.0f} mm deep for the thread of the drawing", size["bore"], deep)
    yield _step("tapped from this end", tool="tap", size=size["bore"], each="tap")


# ── both ────────────────────────────────────────────────────────────────────


def _holes(
    part: Row, holes: Sequence[Row], unit: str, *, cut: Sequence[Row] = ()
) -> Iterator[Step]:
    """Every tool of every hole, grouped by tool: marked first, dowels and threads last.

    Of holes that were ``cut`` out with the outline only their seats are left to do.
    """
    drilled = [hole for hole in holes if hole not in cut]
    if drilled:
        marks = [str(hole["id"]) for hole in drilled]
        yield _step("holes marked, or set by the readout", marks=marks, each="mark")
    size = part.get("size") or {}
    thick = float(size.get("thickness") or size.get("length") or 0.0)
    groups: dict[tuple[Any, ...], list[Row]] = {}
    for hole in holes:
        for tool in steps(hole, unit):
            if hole not in cut or tool["order"] == SEATED:
                key = (tool["order"], tool["tool"], tool["name"], round(tool["diameter"], 4))
                groups.setdefault(key, []).append(hole)
    for (order, tool, name, diameter), rows in sorted(groups.items(), key=lambda item: item[0][:4]):
        if order == MARKED:
            continue
        how = None
        if order in DRILLED and diameter:
            depths = [float(hole.get("depth") or thick) for hole in rows]
            travel = sum(drill_travel(depth=deep, diameter=diameter) for deep in depths)
            how = {"tool": "drill", "diameter": diameter, "travel": travel}
        yield _step(
            tool, tool=name, size=diameter or None, marks=[str(hole["id"]) for hole in rows],
            each=EACH.get(order, "hole"), cut=how,
        )  # fmt: skip


def _largest(holes: Sequence[Row]) -> float:
    """The largest drill the holes take [mm]."""
    return max((float(hole["diameter"]) for hole in holes if hole["diameter"] <= LARGEST_DRILL), default=0.0)  # fmt: skip


def _bench(part: Row) -> dict[str, Any]:
    what = "TOP, ENGINE SIDE and the record's number" if part["name"].endswith("plate") else "the record's number and the engine end"  # fmt: skip
    marks = [str(hole["id"]) for hole in part.get("holes") or ()]
    return {
        "kinds": ["bench"], "needs": {}, "holding": "on the bench",
        "steps": [
            _step(f"edges broken {held.PROFILE:g} mm, holes deburred both sides", marks=marks, minutes_of="deburr"),
            _step(f"stamped with {what}", minutes_of="stamp"),
        ],
    }  # fmt: skip


def _turn(does: str, diameter: float, travel: float, *, cut: float, size: float | None = None) -> Step:  # fmt: skip
    """A turned or bored surface; ``cut`` is the stock that comes off its radius or face [mm]."""
    how = {"tool": "turn", "diameter": diameter, "travel": travel, "stock": cut}
    return _step(does, size=diameter if size is None else size, cut=how, each="pass", tool="turning tool")  # fmt: skip


def _drill(does: str, diameter: float, depth: float) -> Step:
    how = {"tool": "drill", "diameter": diameter, "travel": drill_travel(depth=depth, diameter=diameter)}  # fmt: skip
    return _step(does, size=diameter, cut=how, each="hole", tool="drill")


def _step(does: str, **how: Any) -> Step:
    return {"does": does, "tool": "", "size": None, "sizes": [], "marks": [], "each": "", "cut": None, **how}  # fmt: skip
