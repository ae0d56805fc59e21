"""Swept parts of a bolted stack, written as a fitter would; readings are invented."""

from __future__ import annotations

from typing import Any

from kb.quantity import Dimension, read_length
from wizard.bench.swept import FaceSweep, Part, Runout, Turned

FEW = 400  # draws, where the chances are not looked at


def reading(text: str, units: str = "mm") -> Dimension:
    return read_length(text, key="reading", units=units)


def runout(text: str, toward: float, **more: Any) -> Runout:
    return Runout(reading=reading(text), toward=toward, **more)


def crank(text: str = "0.00 ± 0.002", toward: float = 0.0, **more: Any) -> Part:
    return Part(name="crank", runout=runout(text, toward), **more)


def spacer(text: str, toward: float, positions: int = 6, **more: Any) -> Turned:
    return Turned(name="spacer", runout=runout(text, toward), positions=positions, **more)


def converter(text: str, toward: float, positions: int = 3, **more: Any) -> Turned:
    more = {"step": "lug"} | more
    return Turned(name="converter", runout=runout(text, toward), positions=positions, **more)


def face(tir: str, radius: float, high: float, distance: float) -> FaceSweep:
    return FaceSweep(reading=reading(tir), radius=radius, high=high, distance=distance)
