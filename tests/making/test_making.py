"""What the bench is told: chords against the closed form, drills against the tables, limits by hand.

Chord of n equal spaces on a circle: d·sin(π/n) (Machinery's Handbook, 31st ed., Lengths of chords for
spacing off circumferences; the table's own figures for a diameter of one inch, from memory).
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from kb.sheets.shop import usual_shop
from kb.standards import drills
from wizard.making import buying, fitting, held, layout, points
from wizard.making.made import made
from wizard.papers.document import Document
from wizard.papers.notes import drawing_notes


def hole(id: str, angle: float, radius: float, **rest: Any) -> dict[str, Any]:
    at = {"x": radius * math.cos(math.radians(angle)), "y": radius * math.sin(math.radians(angle))}
    return {"id": id, "kind": "clearance", "diameter": 11.0, "thread": "", "depth": None, "counterbore": None,
            "countersink": None, "side": "gearbox", "for": "engine", "limits": None, **at, **rest}  # fmt: skip


def plate(holes: list[dict[str, Any]], **rest: Any) -> dict[str, Any]:
    return {"name": "adapter plate", "material": "6061-T6", "quantity": 1, "mass_kg": 3.0, "holes": holes,
            "size": {"thickness": 15.0, "length": 340.0, "height": 350.0, "bore": 120.0}, **rest}  # fmt: skip


# chords of a circle of diameter 1: 3, 4, 5, 6, 8, 12 spaces
HANDBOOK = {3: 0.866025, 4: 0.707107, 5: 0.587785, 6: 0.5, 8: 0.382683, 12: 0.258819}


@pytest.mark.parametrize("count", HANDBOOK)
def test_dividers_step_round_by_the_handbooks_chord(count: int) -> None:
    holes = [hole(str(n), 360 * n / count + 7, 100) for n in range(count)]
    (part,) = layout.layout({"shop_units": "mm", "parts": [plate(holes)]})
    steps = [row["from"]["chord"] for row in part["holes"][1:]]
    assert steps == pytest.approx([200 * HANDBOOK[count]] * (count - 1), abs=2e-4)
    assert [row["radius"] for row in part["holes"]] == pytest.approx([100] * count)


def test_a_layout_is_proved_by_lengths_straight_across() -> None:
    holes = [hole(str(n), 60 * n, 100) for n in range(6)]
    found = layout.proofs(holes)
    assert len(found) == 3  # three pairs of opposite holes
    assert [one["length"] for one in found] == pytest.approx([200.0] * 3)


@pytest.mark.parametrize(
    ("given", "tools"),
    [  # by hand: tap drill for M10x1.5 is 8.5 (ISO 2306, from memory); web of 0.15 d
        ({"kind": "tapped", "thread": "M10x1.5", "diameter": 8.5}, [("pilot drill", 3.0), ("drill", 8.5), ("tap", 8.5)]),
        ({"diameter": 11.0}, [("pilot drill", 3.0), ("drill", 11.0)]),
        ({"kind": "dowel", "diameter": 12.0, "limits": [11.98, 12.0]}, [("pilot drill", 3.0), ("drill", 11.7), ("ream", 12.0)]),
        ({"diameter": 22.0}, [("pilot drill", 3.3), ("middle drill", 13.2), ("drill", 22.0)]),
        ({"diameter": 40.0}, [("pilot drill", 6.0), ("bore or annular cutter", 40.0)]),
        ({"diameter": 11.0, "counterbore": {"diameter": 18.0, "depth": 10.5}}, [("pilot drill", 3.0), ("drill", 11.0), ("counterbore, gearbox side", 18.0)]),
    ],
)  # fmt: skip
def test_the_tools_of_a_hole_in_their_order(
    given: dict[str, Any], tools: list[tuple[str, float]]
) -> None:
    found = [
        (one["tool"], one["diameter"]) for one in layout.steps(hole("1", 0, 100, **given), "mm")
    ]
    assert found[0][0] == "centre punch and spot"
    names = [name for name, _ in found[1:]]
    assert names == [name for name, _ in tools]
    for (_, size), (_, wanted) in zip(found[1:], tools, strict=True):
        assert size == pytest.approx(wanted, abs=0.31 if wanted in (13.2, 3.3) else 0.02)


@pytest.mark.parametrize("diameter", [4.2, 8.5, 11.0, 15.5, 25.0, 31.5])
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_pilot_clears_the_web_of_the_last_drill(diameter: float, unit: str) -> None:
    found = list(layout.steps(hole("1", 0, 100, diameter=diameter), unit))
    pilot = [one["diameter"] for one in found if one["tool"] == "pilot drill"]
    assert all(size >= 0.15 * diameter for size in pilot)
    assert all(drills.nearest(one["diameter"]).diameter == pytest.approx(one["diameter"], abs=0.26) for one in found if "drill" in one["tool"])  # fmt: skip


def test_a_hole_more_is_marked_drilled_and_proved() -> None:
    few = layout.layout({"parts": [plate([hole(str(n), 90 * n, 100) for n in range(3)])]})[0]
    more = layout.layout({"parts": [plate([hole(str(n), 90 * n, 100) for n in range(4)])]})[0]
    assert len(more["holes"]) == len(few["holes"]) + 1
    assert len(more["drills"][0]["holes"]) == len(few["drills"][0]["holes"]) + 1


# ISO 2768-1:1989, table 1, class m (from memory)
@pytest.mark.parametrize(
    ("nominal", "within"), [(2, 0.1), (5, 0.1), (25, 0.2), (100, 0.3), (350, 0.5), (900, 0.8)]
)
def test_general_limits_are_the_standards(nominal: float, within: float) -> None:
    low, high = held.general(nominal)
    assert (high - low) / 2 == pytest.approx(within)


def test_a_fit_gives_its_own_limits_to_the_part_that_is_made() -> None:
    fits = [
        {
            "joint": "plate in the housing",
            "class": "H7/g6",
            "hole": [314.33, 314.382],
            "shaft": [314.281, 314.313],
            "existing": "hole",
            "play": [0.017, 0.101],
        }
    ]
    part = plate([], size={"thickness": 15.0, "spigot": 314.297})
    found = points.points({"parts": [part], "fits": fits})
    spigot = next(one for one in found if one["what"] == "spigot")
    assert (spigot["low"], spigot["high"]) == (314.281, 314.313)


def test_a_size_that_only_happens_to_lie_in_a_fits_limits_is_not_held_to_it() -> None:
    fits = [{"joint": "a", "class": "H7/g6", "hole": [10.0, 10.02], "shaft": [9.98, 9.99], "existing": "hole", "play": [0.01, 0.04]}]  # fmt: skip
    part = plate([], size={"thickness": 9.985, "spigot": 9.985})
    found = {one["what"]: one for one in points.points({"parts": [part], "fits": fits})}
    assert (found["spigot"]["low"], found["spigot"]["high"]) == (9.98, 9.99)
    assert (found["thickness"]["low"], found["thickness"]["high"]) == held.general(9.985)


def test_between_holes_the_places_of_the_drawing_are_asked() -> None:
    """By hand: each middle within a zone of that diameter, so two of them within their mean radius sum."""
    holes = [
        hole("D1", 0, 100, kind="dowel"),
        hole("D2", 180, 100, kind="dowel"),
        hole("1", 90, 100),
    ]
    found = {one["what"]: one for one in points.points({"parts": [plate(holes)]})}
    dowels = found["D1 to D2, centres"]
    assert (dowels["low"], dowels["high"]) == pytest.approx((200 - 0.05, 200 + 0.05))
    mixed = next(one for what, one in found.items() if what.startswith("1 to D"))
    nominal = math.hypot(100, 100)
    assert (mixed["low"], mixed["high"]) == pytest.approx((nominal - 0.15, nominal + 0.15))


def test_drawing_and_inspection_ask_for_the_same() -> None:
    ring = {"name": "spacer ring", "size": {"thickness": 10.0}, "holes": []}
    found = {one["what"]: one["high"] for one in points.points({"parts": [ring, plate([])]})}
    text = " ".join(drawing_notes(Document({"shop_units": "mm", "parts": [ring, plate([])]})))
    for what in ("registers true to each other, TIR", "faces parallel", "faces flat and parallel"):
        assert f"{found[what]:.3f} mm" in text


def test_a_plate_is_held_to_what_the_chain_allows_beside_the_ring() -> None:
    """A band of 45° in thickness and length: at a ring of 10 mm the plate may be 14.9 to 15.1."""
    corners = [[14.0, 8.9], [14.0, 9.1], [16.0, 11.1], [16.0, 10.9]]
    axial = {
        "spacer": 10.0,
        "spacer_within": 0.08,
        "plate": 15.0,
        "region": corners,
        "robust_region": [],
    }
    ring = {"name": "spacer ring", "size": {"thickness": 10.0}, "holes": []}
    found = points.points({"parts": [plate([]), ring], "axial": axial})
    thick = {one["part"]: one for one in found if one["what"] == "thickness"}
    assert (thick["adapter plate"]["low"], thick["adapter plate"]["high"]) == pytest.approx(
        (14.9, 15.1)
    )
    assert (thick["spacer ring"]["low"], thick["spacer ring"]["high"]) == pytest.approx(
        (9.92, 10.08)
    )


def test_stock_is_the_part_and_its_allowances() -> None:
    rows = buying.buying({"parts": [plate([hole("D", 0, 100, kind="dowel", diameter=12.0)])], "joints": [
        {"name": "plate to engine", "count": 8, "thread": "M10", "grade": "8.8", "length": 25.0, "head": "socket", "engagement": 15.0}]})  # fmt: skip
    stock, screw, dowel = rows
    assert stock["sizes"] == [352, 362, 15.0]
    # 352 × 362 × 15 mm of 2 700 kg/m³ (aluminium, any handbook)
    assert stock["mass_kg"] == pytest.approx(352 * 362 * 15 * 2.7e-6, rel=0.01)
    assert (screw["count"], screw["length"]) == (8, 25.0)
    assert (dowel["count"], dowel["sizes"]) == (1, [12.0])


def test_torque_goes_up_by_stages_to_the_whole() -> None:
    (joint,) = fitting.fitting(
        {"joints": [{"name": "a", "count": 6, "thread": "M10", "torque_nm": 50.0}]}, limits={}
    )["joints"]
    assert joint["stages"] == [15.0, 35.0, 50.0]


def test_an_answer_with_nothing_to_make_gives_empty_sheets_and_no_error() -> None:
    found = made({}, limits={}, shop=usual_shop())
    assert found["layout"] == found["points"] == found["buying"] == []
