"""Reading the agreed answer: every figure a paper prints is looked up here, none is worked out.

A figure the answer does not hold is ``None``; the paper then leaves it out and says so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kb import quantity
from kb.model.record import Record
from wizard import words
from wizard.making.held import fit_of

PLATE = "adapter plate"
RING = "spacer ring"
DISC, SPINDLE, POST = "carrier disc", "spindle", "post"
_KEY = re.compile(r"\b[a-z_]+(?:\.[a-z_]+)+\b")
_ON_DRIVER = ("spacer ", "spindle ", "disc ", "carrier disc ")
SAME = 5e-4  # mm; limits closer than this print alike


@dataclass(frozen=True)
class Document:
    """An answer, with its lengths by key [mm] and its parts by name.

    ``wanted`` names the plate a paper is about, where there are two.
    """

    answer: Mapping[str, Any]
    wanted: str = PLATE

    @property
    def plates(self) -> Sequence[Mapping[str, Any]]:
        """The plates between the housings, from the engine on."""
        return [part for part in self.rows("parts") if str(part["name"]).endswith("plate")]

    @property
    def plate(self) -> str:
        """Name of the plate this paper is about: the one wanted, else the first there is."""
        names = [str(part["name"]) for part in self.plates]
        return self.wanted if self.wanted in names or not names else names[0]

    @property
    def shown(self) -> Sequence[Mapping[str, Any]]:
        """The parts a drawing of this plate is about: every part but the other plate."""
        others = [part["name"] for part in self.plates if part["name"] != self.plate]
        return [part for part in self.rows("parts") if part["name"] not in others]

    @property
    def turned(self) -> str:
        """Name of the part that carries the registers of the rotating adapter."""
        return RING if self.part(RING) is not None or self.part(SPINDLE) is None else SPINDLE

    @property
    def driver_register(self) -> str:
        """What the driving face has to locate the adapter, ``hole`` or ``shaft``; else nothing."""
        joints = [fit for fit in self.rows("fits") if str(fit["joint"]).startswith(_ON_DRIVER)]
        return str(joints[0].get("existing") or "") if joints else ""

    @property
    def faced(self) -> str:
        """Name of the part that lies on the driving face."""
        return RING if self.part(RING) is not None or self.part(DISC) is None else DISC

    @property
    def first(self) -> str:
        """The unit named first for people, ``"in"`` or ``"mm"``."""
        return "in" if self.answer.get("shop_units") == "in" else "mm"

    @property
    def kind(self) -> str:
        """Kind of drive on the gearbox side: converter, shaft, flange or nothing."""
        return str(self.answer.get("kind") or "")

    def rows(self, key: str) -> Sequence[Mapping[str, Any]]:
        """A list of the answer; empty when it has none."""
        return self.answer.get(key) or ()

    def texts(self, key: str) -> Sequence[str]:
        """A list of sentences or keys of the answer; empty when it has none."""
        return [str(one) for one in self.answer.get(key) or ()]

    def table(self, key: str) -> Mapping[str, Any]:
        """A table of the answer; empty when it has none."""
        return self.answer.get(key) or {}

    @cached_property
    def lengths(self) -> Mapping[str, Mapping[str, Any]]:
        """Every dimension used, by key."""
        return {row["key"]: row for row in self.rows("lengths")}

    def length(self, key: str) -> float | None:
        """A dimension's nominal value [mm]."""
        row = self.lengths.get(key)
        return None if row is None else float(row["value"])

    def within(self, key: str) -> float | None:
        """Half the width of a dimension's limits, or of an axial quantity's ± [mm]."""
        if key in self.lengths:
            row = self.lengths[key]
            if row.get("low") is None or row.get("high") is None:
                return None
            return (float(row["high"]) - float(row["low"])) / 2
        spread = (self.axial.get("uncertain") or {}).get(key)
        return None if spread is None else float(spread)

    @property
    def axial(self) -> Mapping[str, Any]:
        """The axial side of the answer."""
        return self.table("axial")

    def quantity(self, name: str) -> float | None:
        """An axial quantity [mm]."""
        value = self.axial.get(name)
        return None if value is None else float(value)

    @cached_property
    def stations(self) -> Mapping[str, float]:
        """z of every face that is known, from the engine's bare face [mm]."""
        given = self.axial.get("stations") or {}
        known = {name: float(z) for name, z in given.items() if z is not None}
        plate = self.quantity("plate")
        if plate is not None:
            known.setdefault("plate_rear", plate)
            known.setdefault("gearbox_face", plate + (self.quantity("packing") or 0.0))
        if known:
            known.setdefault("engine_face", 0.0)
        return known

    def part(self, name: str) -> Mapping[str, Any] | None:
        """The part of that name; ``None`` when none is made."""
        return next((part for part in self.rows("parts") if part["name"] == name), None)

    def size(self, part: str, name: str) -> float | None:
        """A named size of a part [mm]."""
        made = self.part(part)
        value = (made or {}).get("size", {}).get(name)
        return None if value is None else float(value)

    # ── how figures are shown ───────────────────────────────────────────────────

    def figure(self, key: str, value: float) -> str:
        """A length in both unit systems, at the precision its ± deserves."""
        within = self.quantity("spacer_within") if key == "spacer" else self.within(key)
        return quantity.both(value, within=within or None, first=self.first)

    def both(self, value: float) -> str:
        """A length in both unit systems, without a ±."""
        return quantity.both(float(value), first=self.first)

    def torque(self, torque_nm: float) -> str:
        """A torque in both unit systems."""
        return quantity.torque(1000.0 * float(torque_nm))

    def limits(self, pair: Sequence[float]) -> str:
        """Two limits of size in both unit systems; one figure where they are the same."""
        if max(pair) - min(pair) < SAME:
            places = 4 if self.first == "in" else 3
            return quantity.both(pair[0], first=self.first, places=places)
        return quantity.limits(low=min(pair), high=max(pair), first=self.first)

    def fit_limits(self, name: str, size: float) -> tuple[float, float] | None:
        """Limits of a locating size, where it is part of a fit [mm]."""
        found = self._fit(name, size)
        return None if found is None else (min(found[1]), max(found[1]))

    def girth(self, part: str, name: str) -> str:
        """A diameter of a part: its limits and class where it is part of a fit, else its size."""
        size = self.size(part, name) or 0.0
        found = self._fit(name, size)
        if found is None:
            return f"⌀ {self.both(size)}"
        fit, made = found
        return f"⌀ {self.limits(made)} ({fit['class']})"

    def _fit(self, name: str, size: float) -> tuple[Mapping[str, Any], Sequence[float]] | None:
        """The fit a size is part of, and the limits of the half it belongs to [mm]."""
        return fit_of(self.rows("fits"), name, size)


def numbered(record: Record) -> str:
    """The record's number and issue in words."""
    if not record.number:
        return "not kept as a record"
    return f"record {record.number:04d}, issue {record.issue}"


def size_words(name: str, *, of_plate: bool = False) -> str:
    """What a named size of a part is called."""
    if name == "bore" and of_plate:
        return words.label("opening")
    return words.label("flange_thickness" if name == "flange" else name)


def in_words(says: object) -> str:
    """A sentence of the answer, with dotted keys of the sheet in the trade's words."""
    return _KEY.sub(lambda key: words.label(key[0]) if words.known(key[0]) else key[0], str(says))
