"""Cut to what you have: parts as measured take the place of their spreads, the rest is worked out again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kb.errors import InputError
from kb.quantity import read_length
from kb.store.place import Store
from kb.store.records import Records
from wizard.desk import afterwards, pairing
from wizard.desk.tried import Step, again
from wizard.engine.axial.region import lengths_at

PLATE, RING = "adapter plate", "spacer ring"
READ = 0.01  # mm: ± of a reading written without one, by micrometer (common practice, no source)


@dataclass(frozen=True, kw_only=True)
class NextCut:
    """What to cut next, and to what.

    Attributes:
        part: The part; empty where both are made. target: The middle of what still works [mm].
        low, high: What still works [mm]. sure: Even if the readings are off.
        planned: What the record had [mm]. says: In a sentence or two.
    """

    part: str
    target: float | None
    low: float | None
    high: float | None
    sure: bool
    planned: float | None
    says: str


def next_cut(store: Store, number: int) -> NextCut:
    """The next size to be cut, from the parts measured so far.

    Args:
        store: The shop's store. number: The job.
    Raises:
        InputError: no such job, or one without a plate and a ring whose lengths close a chain.
    """
    record = Records(store).get(number)
    made = {part: _measured(store, number, part) for part in (PLATE, RING)}
    base = pairing.read_text(str(record.content["sheet"]), store=store)
    planned = record.answer.get("axial") or {}
    if planned.get("plate") is None or planned.get("spacer") is None or not planned.get("region"):
        raise InputError(
            "job", number, "it needs a plate and a rotating adapter that close one chain"
        )
    if made[PLATE] and made[RING]:
        return _both(base, made[PLATE], made[RING])
    if made[RING]:
        return _rest(
            base, PLATE, {"choices.spacer": made[RING], "choices.plate": None}, planned.get("plate")
        )
    change: dict[str, object] = {"choices.spacer": None}
    change["choices.plate"] = made[PLATE] or f"{planned['plate']:.4f} mm"
    found = _rest(base, RING, change, planned.get("spacer"))
    if made[PLATE]:
        return found
    limits = planned.get("plate_limits") or {}
    says = "Nothing is measured yet. "
    if order := (record.content.get("making") or {}).get("order"):
        return _first(order, planned, says)
    says += "The plate comes first, as stock, and is measured"
    if found.low is not None and found.high is not None:
        says += f"; the ring is faced to it last: as planned it may then be {found.low:.3f} to {found.high:.3f} mm"
    return NextCut(
        part=PLATE, target=planned["plate"], low=limits.get("least"), high=limits.get("most"), sure=True,
        planned=planned["plate"], says=f"{says}.",
    )  # fmt: skip


def _first(order: Mapping[str, Any], planned: Mapping[str, Any], says: str) -> NextCut:
    """The part the record says comes first, and how much the order loosens it."""
    (low, high), alone = order["band"], order["alone"]
    target = planned["plate"] if order["first"] == PLATE else planned["spacer"]
    return NextCut(
        part=order["first"], target=target, low=low, high=high, sure=order["sure"], planned=target,
        says=f"{says}The {order['first']} comes first and is measured; the {order['last']} is the cheaper cut and follows it "
        f"last. So the {order['first']} may be {low:.3f} to {high:.3f} mm instead of {alone[0]:.3f} to {alone[1]:.3f}: "
        f"{order['looser']:.3f} mm more room.",
    )  # fmt: skip


def _measured(store: Store, number: int, part: str) -> str:
    """The thickness of a part as measured last, with its ±; empty where it is not measured."""
    for one in afterwards.standing(store, number):
        if one.point["part"] == part and one.point["what"] == "thickness" and one.value is not None:
            read = read_length(one.reading, key=part, units="mm")
            return f"{one.value:.4f} ± {read.within if read.within is not None else READ:.4f} mm"
    return ""


def _axial(base: pairing.Worked, change: dict[str, object]) -> dict[str, Any]:
    step = Step(change=change, units="mm", says="")
    found: dict[str, Any] = again(base, (step,), units=base.request.units).answer.get("axial") or {}
    return found


def _rest(
    base: pairing.Worked, part: str, change: dict[str, object], planned: float | None
) -> NextCut:
    """What the part that is left may still be."""
    axial = _axial(base, change)
    for key, sure in (("robust_region", True), ("region", False)):
        corners = [(x, y) for x, y in axial.get(key) or ()]
        known = axial.get("plate") if part == RING else axial.get("spacer")
        if part == PLATE:
            corners = [(y, x) for x, y in corners]
        band = lengths_at(corners, known) if corners and known is not None else None
        if band:
            low, high = band
            middle = (low + high) / 2
            kept = "even if the readings are off" if sure else "with the readings as they stand"
            return NextCut(
                part=part, target=middle, low=low, high=high, sure=sure, planned=planned,
                says=f"Cut the {part} to {middle:.3f} mm: {low:.3f} to {high:.3f} mm still works {kept}.",
            )  # fmt: skip
    return NextCut(
        part=part, target=None, low=None, high=None, sure=False, planned=planned,
        says=f"No {part} works beside the part as measured: make that one again, or change the job.",
    )  # fmt: skip


def _both(base: pairing.Worked, plate: str, ring: str) -> NextCut:
    axial = _axial(base, {"choices.plate": plate, "choices.spacer": ring})
    chance = axial.get("chance_these")
    odds = "" if chance is None else f" The chance that they do is {chance:.0%}."
    return NextCut(
        part="", target=None, low=None, high=None, sure=False, planned=None,
        says=f"Plate and ring are made and measured.{odds}",
    )  # fmt: skip
