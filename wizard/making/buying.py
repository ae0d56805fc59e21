"""What has to be bought: stock with its allowances, screws by length, dowels, the bush."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from wizard.making.stuff import stuff

Row = Mapping[str, Any]
SAW = 6.0  # mm left all round a flat blank (common practice, no source)
TURN = 5.0  # mm left on the diameter of a turned blank (common practice, no source)
FACE = 3.0  # mm left on its length (common practice, no source)
DENSITY_SHARE = 1e-9


def buying(answer: Row) -> list[dict[str, Any]]:
    """The buying list: what, how many, sizes [mm], mass [kg] and what it is for."""
    return [*_stock(answer), *_screws(answer), *_dowels(answer)]


def _stock(answer: Row) -> Iterator[dict[str, Any]]:
    for part in answer.get("parts", ()):
        size = part.get("size") or {}
        row = {"kind": "stock", "material": part["material"], "count": part.get("quantity", 1), "for": part["name"]}  # fmt: skip
        if part["name"].endswith("plate") and size.get("thickness"):
            across, up = size.get("length", 0) + 2 * SAW, size.get("height", 0) + 2 * SAW
            if across > 2 * SAW and up > 2 * SAW:
                yield {**row, "what": "plate", "sizes": [math.ceil(across), math.ceil(up), size["thickness"]], "mass_kg": _mass(part, across * up * size["thickness"])}  # fmt: skip
        elif part["name"] == "pilot bush":
            yield {**row, "what": "bush", "sizes": [size.get("bore"), size.get("outside"), size.get("length")], "mass_kg": part.get("mass_kg")}  # fmt: skip
        elif diameter := size.get("outside") or size.get("diameter"):
            long = (size.get("length") or size.get("thickness") or 0) + FACE
            volume = math.pi / 4 * (diameter + TURN) ** 2 * long
            yield {**row, "what": "round or sawn disc", "sizes": [math.ceil(diameter + TURN), math.ceil(long)], "mass_kg": _mass(part, volume)}  # fmt: skip


def _mass(part: Row, volume_mm3: float) -> float | None:
    """Mass of the blank [kg], by the material's density."""
    found = stuff(part)
    density = found.density_kg_m3 if found else None
    return None if density is None else round(volume_mm3 * DENSITY_SHARE * density, 3)


def _screws(answer: Row) -> Iterator[dict[str, Any]]:
    for joint in answer.get("joints", ()):
        if joint.get("count"):
            yield {
                "kind": "screw", "what": f"{joint.get('head') or ''} screw".strip(), "count": joint["count"],
                "thread": joint["thread"], "grade": joint.get("grade", ""), "length": joint.get("length"),
                "engagement": joint.get("engagement"), "wanted": joint.get("wanted"),
                "for": joint["name"],
            }  # fmt: skip


def _dowels(answer: Row) -> Iterator[dict[str, Any]]:
    """Dowels of the plate by their diameter, with the holes they go into."""
    for part in answer.get("parts", ()):
        by_size: dict[float, list[str]] = {}
        for hole in part.get("holes") or ():
            if hole["kind"] == "dowel":
                by_size.setdefault(round(hole["diameter"], 4), []).append(str(hole["id"]))
        for diameter, marks in by_size.items():
            yield {"kind": "dowel", "what": "dowel pin", "count": len(marks), "sizes": [diameter], "for": f"{part['name']}, {' '.join(marks)}"}  # fmt: skip
