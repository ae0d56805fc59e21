"""SAE flywheel housings (J617) and flywheels for industrial clutches (J620).

The inch figures are the standard's own and are converted exactly; its metric column is
rounded to 0.01 mm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kb.errors import NotTabulated
from kb.quantity import Thread, plain, read_thread
from kb.standards import runout
from kb.standards.loader import Row, exact, table


@dataclass(frozen=True, kw_only=True)
class Housing:
    """A flywheel housing of SAE J617.

    Attributes:
        name: SAE number, ``"3"``.
        bore: Least and largest bore [mm].
        flange_outside: Outside diameter of the flange [mm].
        bolt_circle: Bolt circle [mm].
        holes: Number of tapped holes, equally spaced.
        thread: Their thread.
        metric_thread: The metric thread a second-hand digest gives instead, or ``None``.
        first_hole: First hole from the vertical [°].
        depth: E, housing face to the stop behind the flywheel's bore [mm].
        tir: Largest runout of bore and of face, each, by SAE J617 and J1033 [mm].
        engine_maker_tir, generator_maker_tir: The same by one engine maker and by one maker of
            single-bearing generators [mm]; ``None`` where they give none.
        source: Who says so.
    """

    name: str
    bore: tuple[float, float]
    flange_outside: float
    bolt_circle: float
    holes: int
    thread: Thread
    metric_thread: Thread | None
    first_hole: float
    depth: float
    tir: float
    engine_maker_tir: float | None
    generator_maker_tir: float | None
    source: str


@dataclass(frozen=True, kw_only=True)
class Flywheel:
    """A flywheel of SAE J620; a dimension the tables found do not give is ``None``.

    Attributes:
        name: Clutch size, ``"11-1/2"``. metric_name: Its metric size, ``"290"``.
        pilot: B, the bore that takes the clutch's driving ring [mm].
        bolt_circle: C [mm].
        holes: Number of tapped holes. thread: Their thread.
        stop_depth: E, housing face to the stop of the pilot bearing [mm].
        ring_depth: G, housing face to the face that carries the driving ring [mm].
        bearing_bore: L, bore of the pilot bearing [mm].
        source: Who says so. how: How the holes and the thread were come by.
    """

    name: str
    metric_name: str
    pilot: float
    bolt_circle: float
    holes: int
    thread: Thread
    stop_depth: float
    ring_depth: float | None
    bearing_bore: float | None
    source: str
    how: str


def housing(name: str) -> Housing:
    """The flywheel housing of an SAE number: ``"3"``, ``"No. 3"``, ``"1/2"``, ``"00"``.

    Raises:
        NotTabulated: another number.
    """
    wanted = re.sub(r"^(sae)?\s*(j617)?\s*(no\.?|number|#)?\s*", "", plain(name).casefold())
    for row in table("sae_j617"):
        if row.text("size") == wanted:
            return _housing(row)
    raise NotTabulated(table("sae_j617").passport.title, name, ", ".join(names("housing")))


def flywheel(name: str) -> Flywheel:
    """The flywheel of a clutch size: ``"11-1/2"``, ``"11 1/2"``, ``"11.5"``, ``"14 in"``, or ``"290"``.

    Raises:
        NotTabulated: another size.
    """
    wanted = _inches(name)
    for row in table("sae_j620"):
        if wanted in (_inches(row.text("size")), _inches(row.text("metric_size"))):
            return _flywheel(row)
    raise NotTabulated(table("sae_j620").passport.title, name, ", ".join(names("flywheel")))


def names(kind: str = "housing") -> tuple[str, ...]:
    """Names held of a kind, ``"housing"`` or ``"flywheel"``, in the order of the standard."""
    held = {"housing": "sae_j617", "flywheel": "sae_j620"}
    if kind not in held:
        raise NotTabulated("SAE interfaces", kind, ", ".join(held))
    return tuple(row.text("size") for row in table(held[kind]))


def _housing(row: Row) -> Housing:
    size, metric = row.text("size"), row.text("metric_thread")
    tirs = {limit.by: limit.tir for limit in runout.limits(runout.HOUSING, size)}
    standard = tirs[runout.SAE]
    assert standard is not None  # every number has its limit, in inches
    return Housing(
        name=size,
        bore=(row.value("bore_min"), row.value("bore_max")),
        flange_outside=row.value("flange_outside"),
        bolt_circle=row.value("bolt_circle"),
        holes=row.count("holes"),
        thread=read_thread(row.text("thread"), key="thread"),
        metric_thread=read_thread(metric, key="thread") if metric else None,
        first_hole=row.value("first_hole"),
        depth=row.value("depth"),
        tir=standard,
        engine_maker_tir=tirs.get(runout.ENGINE_MAKER),
        generator_maker_tir=tirs.get(runout.GENERATOR_MAKER),
        source=row.passport.source,
    )


def _flywheel(row: Row) -> Flywheel:
    return Flywheel(
        name=row.text("size"),
        metric_name=row.text("metric_size"),
        pilot=row.value("pilot"),
        bolt_circle=row.value("bolt_circle"),
        holes=row.count("holes"),
        thread=read_thread(row.text("thread"), key="thread"),
        stop_depth=row.value("stop_depth"),
        ring_depth=row.optional("ring_depth"),
        bearing_bore=row.optional("bearing_bore"),
        source=row.passport.source,
        how=row.how("holes"),
    )


def _inches(name: str) -> object:
    """The size as a number where it is one, else the text."""
    text = re.sub(r"^(sae)?\s*(j620)?\s*", "", plain(name).casefold())
    text = re.sub(r'\s*("|in\.?|inch|mm)$', "", text)
    try:
        return exact(text)
    except (ValueError, ZeroDivisionError):
        return text
