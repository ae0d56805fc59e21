"""Screw heads in the plate: counterbored, flush in a countersink, or studs with sleeve nuts.

Sizes: ISO 4762 with DIN 974-1 for M10 (head 16 × 10, counterbore 18); ISO 10642 for M10, from memory (head
22.4 × 6.2, 90°), and DIN 74-1 form F, from memory (its countersinks); ASME B18.3-2003 Table 2A for 3/8 (head
.781 × .234, 82°). Head 0.5 mm and cone 0.2 mm below the face, nuts of one and seats of one and a half diameters:
common practice, no source. Everything else is closed form, written out at each test.
"""

from __future__ import annotations

import csv
import io
import math
from typing import Any

import pytest

from kb.model.parts import PartHole
from kb.model.record import Design
from kb.quantity import read_thread
from tests.engine.altered import check_of, design_of, request_of
from tests.papers.samples import kept
from wizard.engine.answer import answer
from wizard.engine.formulas.tightening import torque_by_friction
from wizard.engine.housed import housed
from wizard.engine.parts import fasteners
from wizard.engine.remedies import advise
from wizard.papers.tables import hole_csv

TEN = read_thread("M10", key="thread")
TAPPED_BOTH: dict[str, object] = {
    "choices.plate": 20, "gearbox.face.circle.hole": None, "gearbox.face.circle.thread": "M10",
    "gearbox.face.circle.depth": 25,
}  # fmt: skip


def first_hole(made: Design, id: str = "E1") -> PartHole:
    return next(one for one in made.adapter.parts[0].holes if one.id == id)


def status(made: Design, id: str) -> str:
    found = check_of(made, id)
    assert found is not None
    return found.status


@pytest.mark.parametrize(
    ("size", "printed"),
    [("M5", 11.47), ("M6", 13.71), ("M8", 18.25), ("M10", 22.73), ("M12", 27.21), ("M16", 33.99),
     ("M20", 40.71)],
)  # fmt: skip
def test_countersinks_are_those_the_trade_cuts(size: str, printed: float) -> None:
    """DIN 74-1 form F, for the same screws: a head just below the face, within 0.1 mm of depth."""
    width = housed(read_thread(size, key="thread"), "flush").width
    assert width == pytest.approx(printed, abs=0.2)


def test_an_inch_countersink() -> None:
    """3/8: .781 in and 0.2 mm deeper at 82°, which is 0.2·2·tan 41° wider."""
    head = housed(read_thread("3/8-16", key="thread"), "flush")
    assert head.angle == 82
    assert head.width == pytest.approx(0.781 * 25.4 + 0.4 * math.tan(math.radians(41)), abs=0.01)
    assert head.depth == pytest.approx(0.234 * 25.4 + 0.2, abs=1e-3)


@pytest.mark.parametrize(
    ("heads", "width", "deep"), [("counterbored", 18, 10.5), ("flush", 22.8, 6.4), ("studs", 15, 10.5)]
)  # fmt: skip
def test_the_plate_must_hold_head_relief_and_floor(heads: str, width: float, deep: float) -> None:
    """The margin is the plate less head, relief and half a diameter of aluminium below it."""
    made = design_of("converter", {"choices.heads": heads, "choices.plate": 25})
    found = check_of(made, "head-sunk")
    assert found is not None
    assert found.margin == pytest.approx(25 - deep - 5)
    hole = first_hole(made)
    assert hole.widest == pytest.approx(width)
    assert made.sides.engine_face is not None
    assert made.sides.engine_face.holes[0].keepout == pytest.approx(width)


def test_flush_heads_are_in_the_hole_table_and_the_weight() -> None:
    """A cone frustum from 22.8 at 90° to the 11 mm hole: depth 5.9, V = π·h/12·(D² + D·d + d²)."""
    flush = design_of("converter", {"choices.heads": "flush"})
    plain = design_of("converter", {"choices.heads": "counterbored"})
    hole, other = first_hole(flush), first_hole(plain)
    assert hole.counterbore is None
    assert hole.countersink is not None
    assert (hole.countersink.diameter, hole.countersink.angle) == (22.8, 90)
    assert hole.diameter == 11
    cone = math.pi * 5.9 / 12 * (22.8**2 + 22.8 * 11 + 11**2) - math.pi / 4 * 11**2 * 5.9
    assert hole.seat_volume_mm3(25) == pytest.approx(cone)
    assert hole.seat_depth == pytest.approx(5.9)
    assert other.counterbore is not None
    flat = math.pi / 4 * (18**2 - 11**2) * other.counterbore.depth
    heavier = 8 * (flat - cone) * 2.7e-6
    masses = [made.adapter.parts[0].mass_kg or 0.0 for made in (flush, plain)]
    face = [made.adapter.parts[0].size["length"] for made in (flush, plain)]
    if face[0] == face[1]:
        assert masses[0] - masses[1] == pytest.approx(heavier, abs=0.002)


def test_countersunk_screws_are_bought_by_their_whole_length() -> None:
    """A 25 mm plate, head 0.2 below: the casting (iron, 1.5 d) wants 15 of thread, 40 long gives 15.2."""
    made = design_of("converter", {"choices.heads": "flush", "choices.plate": 25})
    (joint,) = [one for one in made.adapter.joints if one.name == "plate to engine"]
    assert joint.head == "countersunk"
    assert joint.length == 40
    assert joint.engagement == pytest.approx(40 - 25 + 0.2)


def test_studs_are_cut_to_length() -> None:
    """15 of thread in the casting, through a 25 mm plate, ending 0.5 below its face with the nut."""
    made = design_of("converter", {"choices.heads": "studs", "choices.plate": 25})
    (joint,) = [one for one in made.adapter.joints if one.name == "plate to engine"]
    assert joint.head == "stud and sleeve nut"
    assert joint.length == pytest.approx(15 + 25 - 0.5)
    assert joint.engagement == pytest.approx(15)
    shallow = {"engine.face.circle.depth": 14, "choices.heads": "studs", "choices.plate": 25}
    made = design_of("converter", shallow)
    (joint,) = [one for one in made.adapter.joints if one.name == "plate to engine"]
    assert joint.engagement == pytest.approx(14 - 2 * 1.5)  # two pitches short of the bottom
    assert status(made, "thread-engagement") == "fail"


def test_a_countersunk_head_holds_four_fifths_and_wedges() -> None:
    """ISO 10642 from memory: 80 % of ISO 898-1; friction under a 90° cone counts √2 times."""
    cap = fasteners.tightening(TEN, "8.8", friction=0.12)
    sunk = fasteners.tightening(TEN, "8.8", friction=0.12, heads="flush")
    assert cap is not None
    assert sunk is not None
    assert sunk.preload_n == pytest.approx(0.8 * cap.preload_n, abs=6)
    wanted = torque_by_friction(
        preload_n=sunk.preload_n, major=10, pitch=1.5, thread_friction=0.12,
        head_friction=0.12 * math.sqrt(2), bearing_outside=22.4, hole=11,
    )  # fmt: skip
    assert sunk.torque_nm == pytest.approx(float(wanted) / 1000, abs=0.1)
    assert fasteners.tightening(TEN, "8.8", friction=0.9, heads="flush") is None


def test_heads_without_a_row_are_unknown_and_say_so() -> None:
    """ISO 10642 has no M18."""
    made = design_of(
        "converter", {"choices.heads": "flush", "engine.face.circle.thread": "M18",
                      "engine.face.circle.keepout": 40},
    )  # fmt: skip
    found = check_of(made, "head-sunk")
    assert found is not None
    assert found.status == "unknown"


# ── the floor in shear ──────────────────────────────────────────────────────


@pytest.mark.parametrize(("grade", "wanted"), [("8.8", "warn"), ("10.9", "fail"), ("12.9", "fail")])
def test_the_floor_is_not_punched_out(grade: str, wanted: str) -> None:
    """Preload over the ring round the head, π·d_w·floor, against yield / √3; M10 in 6061-T6 with
    half a diameter left (the bearing face is 15.33 across)."""
    made = design_of("converter", {"choices.plate": 15.5, "choices.screw_grade": grade})
    tight = fasteners.tightening(TEN, grade, friction=0.12)
    assert tight is not None
    stress = tight.preload_n / (math.pi * 15.33 * 5.0)
    share = 276 / math.sqrt(3) / stress
    assert status(made, "head-sunk") == wanted
    assert (share < 1) == (wanted == "fail")
    found = check_of(made, "head-sunk")
    assert found is not None
    assert (f"{share:.1f} times the preload" in found.says) == (share < 1.25)


# ── seats from both sides ───────────────────────────────────────────────────


def meeting(start: float, heads: str, plate: float) -> Design:
    return design_of(
        "converter",
        {**TAPPED_BOTH, "gearbox.face.circle.start": start, "choices.keepout": "by plane",
         "choices.heads": heads, "choices.plate": plate, "choices.clocking": [0, 0],
         "choices.least_wall": 1},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("heads", "plate", "wanted"),
    [("counterbored", 23.9, "fail"), ("counterbored", 24.1, "pass"),
     ("flush", 23.9, "pass"), ("flush", 15.7, "pass")],
)  # fmt: skip
def test_keep_outs_by_plane_hold_only_while_the_seats_stay_apart(
    heads: str, plate: float, wanted: str
) -> None:
    """Two seats of 10.5 and 3 mm between them want 24; holes 17 apart overlap seats of 18."""
    start = math.degrees(2 * math.asin(17 / 400))
    if heads == "flush":
        start = math.degrees(2 * math.asin(20 / 400))
    made = meeting(start, heads, plate)
    assert status(made, "least-wall") == wanted


def test_the_papers_say_countersink() -> None:
    advice = advise(request_of("converter", {"choices.heads": "flush"}))
    found: dict[str, Any] = answer(advice)
    (hole,) = [one for one in found["parts"][0]["holes"] if one["id"] == "E1"]
    assert hole["counterbore"] is None
    assert hole["countersink"] == {"diameter": 22.8, "angle": 90.0}
    assert any("countersunk" in one["head"] for one in found["joints"])
    text = hole_csv(kept(found)).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text.split("\r\n", 1)[1])))
    (row,) = [one for one in rows if one["hole"] == "E1"]
    assert (row["countersink mm"], row["countersink angle °"]) == ("22.8", "90.0")
    assert row["counterbore mm"] == ""
