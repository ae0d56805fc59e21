"""Two units and what stands between them, as a pairing of the two takes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kb.model.request import Choices, Request
from kb.model.unit import Clutch, Engine, Flexplate, Flywheel, Gearbox

BETWEEN = ("flexplate", "flywheel", "clutch")  # what may stand between the two, by its kind
Between = Flexplate | Flywheel | Clutch


@dataclass(frozen=True)
class Owned:
    """An engine or a gearbox with the flexplate, flywheel and clutch that belong to it, by kind."""

    unit: Engine | Gearbox
    belongs: Mapping[str, Between] = field(default_factory=dict)


def companion_kinds(box: Gearbox) -> tuple[str, ...]:
    """The kinds of part that go between the rotating adapter and that gearbox."""
    if box.converter is not None:
        return ("flexplate",)
    return ("flywheel", "clutch") if box.shaft is not None or box.release is not None else ()


def paired(one: Owned, other: Owned) -> Request:
    """What is asked when two units are paired and nothing else is said.

    What belongs to the gearbox comes before what belongs to the engine.
    """
    engine, box = (one, other) if isinstance(one.unit, Engine) else (other, one)
    assert isinstance(engine.unit, Engine)
    assert isinstance(box.unit, Gearbox)
    held = {**engine.belongs, **box.belongs}
    between = {kind: held[kind] for kind in companion_kinds(box.unit) if kind in held}
    return request_of(engine.unit, box.unit, between)


def request_of(
    engine: Engine, box: Gearbox, between: Mapping[str, Between], *, title: str = "", units: str = "mm"
) -> Request:  # fmt: skip
    """The request of two units and what stands between them."""
    return Request(
        title=title or f"{engine.name} to {box.name}", units=units, engine=engine, gearbox=box,
        choices=Choices(), **between,  # type: ignore[arg-type]
    )  # fmt: skip
