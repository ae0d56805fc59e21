"""What is made, by hand: fits, sizes, screws, masses, the opening; and what the rule sets change.

Sources: ISO 286-1 (H7 of 50 to 80 is +30, g6 −10 to −29; of 30 to 50 H7 +25, G7 +9 to +34, F8 +25
to +64 µm); ANSI B4.1-1967, LC5 of 1.97 to 3.15 in (+1.2, −0.4 to −1.1 thousandths); ISO 4762
(M10 head 10 high) and ASME B18.3 (3/8 head 3/8 high) with their standard lengths; clearance holes
ISO 273 and ASME B18.2.8; volumes are closed form, the plate's hull Shapely's.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from typing import Any

import pytest
from shapely.geometry import Point, Polygon

from tests.engine.altered import INCH, KINDS, design_of
from tests.engine.by_hand import disc
from tests.engine.test_answer import asked

Change = Mapping[str, object]
ALUMINIUM, STEEL, BRONZE = 2700e-9, 7870e-9, 8800e-9  # kg/mm³
CLOSE_TO = 0.005  # of the mass


def answered(kind: str, change: Change | None = None) -> dict[str, Any]:
    return asked(kind, change or {})


def part(found: Mapping[str, Any], name: str) -> dict[str, Any]:
    return next(dict(one) for one in found["parts"] if one["name"] == name)


# ── fits ────────────────────────────────────────────────────────────────────


def fit(found: Mapping[str, Any], joint: str) -> dict[str, Any]:
    return next(dict(one) for one in found["fits"] if one["joint"] == joint)


def test_spacer_in_crank() -> None:
    """H7/g6 on 57.15."""
    change = {"engine.drive.register.diameter": "57.15", "choices.fit": "locating"}
    found = fit(answered("converter", change), "spacer in crank")
    assert (found["class"], found["existing"]) == ("H7/g6", "hole")
    assert found["hole"] == pytest.approx([57.15, 57.18], abs=1e-9)
    assert found["shaft"] == pytest.approx([57.121, 57.14], abs=1e-9)
    assert found["play"] == pytest.approx([0.010, 0.059], abs=1e-9)
    spigot = part(answered("converter", change), "spacer ring")["size"]["spigot"]
    assert spigot == pytest.approx((57.121 + 57.14) / 2, abs=1e-9)


def test_spacer_on_crank_mirrors_it() -> None:
    """On the shaft basis: G7/h6 on 48; what sat on the crank's 48 mm spigot sits on ours."""
    found = answered("shaft", {"choices.fit": "locating"})
    ours = fit(found, "spacer on crank")
    assert (ours["class"], ours["existing"]) == ("G7/h6", "shaft")
    assert ours["hole"] == pytest.approx([48.009, 48.034], abs=1e-9)
    assert ours["shaft"] == [48.0, 48.0]
    assert fit(found, "flywheel on spacer")["class"] == "H7/g6"
    size = part(found, "spacer ring")["size"]
    assert size["recess"] == pytest.approx(48.0215, abs=1e-9)
    assert size["recess_depth"] == pytest.approx(8.5)  # half a millimetre clear of its end
    assert size["driven_spigot_length"] == pytest.approx(6.0)


def test_a_measured_bore_keeps_its_own_limits() -> None:
    """2.2500 +0.0010/−0 as measured; LC5 makes the spigot 0.4 to 1.1 thousandths smaller."""
    change = {"engine.drive.register.diameter": "2.2500 +0.0010/-0 in", "choices.fit": "locating"}
    found = fit(answered("converter", change), "spacer in crank")
    assert found["hole"] == pytest.approx([2.25 * INCH, 2.251 * INCH], abs=1e-6)
    assert found["shaft"] == pytest.approx([2.2489 * INCH, 2.2496 * INCH], abs=1e-6)
    assert found["play"] == pytest.approx([0.0004 * INCH, 0.0021 * INCH], abs=1e-6)


def test_nose_in_its_pilot() -> None:
    """H8/f7 on the shaft basis: F8/h7 of 43; the bore goes through into the crank's recess."""
    found = answered("converter")
    ours = fit(found, "converter nose in its pilot")
    assert ours["class"] == "F8/h7"
    assert ours["hole"] == pytest.approx([43.025, 43.064], abs=1e-9)
    pilot = found["pilot"]
    assert (pilot["carried_by"], pilot["style"]) == ("spacer", "bore")
    assert pilot["bore"] == ours["hole"]
    assert pilot["depth"] == pytest.approx(34 + 15)
    assert pilot["engagement"] == pytest.approx(8)


def test_bush_for_the_tip() -> None:
    """The bore that was stated; outside it a wall of 2.5 mm at least, to the next millimetre.

    Pressed in, p6 of 21: +22 to +35 µm (ISO 286-1).
    """
    found = answered("shaft")
    assert found["pilot"] == {
        "carried_by": "spacer", "style": "bush", "bore": [15.05, 15.05], "depth": 15.0,
        "engagement": pytest.approx(10),
    }  # fmt: skip
    bush = part(found, "pilot bush")
    assert bush["size"] == pytest.approx({"length": 12, "outside": 21.0285, "bore": 15.05})
    mass = (disc(21, 12) - disc(15.05, 12)) * BRONZE
    assert bush["mass_kg"] == pytest.approx(mass, rel=CLOSE_TO, abs=5e-4)


# ── sizes and masses ────────────────────────────────────────────────────────


def test_plate_and_opening() -> None:
    """The widest part turning in it is the 160 mm adapter: 3 mm all round. Dowels at 230, 1.5 d."""
    size = part(answered("converter"), "adapter plate")["size"]
    assert size["thickness"] == 25
    assert size["bore"] == 160 + 2 * 3
    assert size["length"] == pytest.approx(2 * (230 + 1.5 * 12), abs=1e-9)
    assert size["height"] == pytest.approx(size["length"], abs=1e-9)
    light = part(answered("shaft"), "adapter plate")["size"]  # 110 across, 2 mm all round
    assert light["bore"] == 110 + 2 * 2
    heavy = part(answered("flange"), "adapter plate")["size"]  # 12 in across, 5 mm all round
    assert heavy["bore"] == math.ceil(12 * INCH + 2 * 5)


def plate_holes() -> float:
    """What is drilled out of a converter's plate: screws, seats, tapped holes, dowels, opening."""
    screws = 8 * (disc(11, 25) + disc(18, 10.5) - disc(11, 10.5))
    return screws + 8 * disc(8.5, 25) + 4 * disc(12, 25) + disc(166, 25)


def test_mass_of_a_square_plate() -> None:
    corners = [[-260, -260], [260, -260], [260, 260], [-260, 260]]
    request = {"engine.face.outline": corners}
    found = answered("converter", request)
    plate = part(found, "adapter plate")
    assert (plate["size"]["length"], plate["size"]["height"]) == (520, 520)
    mass = (520**2 * 25 - plate_holes()) * ALUMINIUM
    assert plate["mass_kg"] == pytest.approx(mass, rel=CLOSE_TO)


def test_mass_of_the_plate_s_own_outline() -> None:
    """Hull of a disc round every hole: 1.5 diameters, or 3 mm round a seat; 8 mm round the opening."""
    around = [(200 * math.cos(a), 200 * math.sin(a), 16.5) for a in angles(0)]
    around += [(200 * math.cos(a), 200 * math.sin(a), 1.5 * 8.5) for a in angles(22.5)]
    around += [(-230, 0, 18), (230, 0, 18), (0, 230, 18), (0, -230, 18), (0, 0, 83 + 8)]
    discs = [Point(x, y).buffer(r, quad_segs=256) for x, y, r in around]
    hull = functools.reduce(lambda a, b: a.union(b), discs).convex_hull
    assert isinstance(hull, Polygon)
    mass = (hull.area * 25 - plate_holes()) * ALUMINIUM
    found = part(answered("converter"), "adapter plate")["mass_kg"]
    assert found == pytest.approx(mass, rel=CLOSE_TO)


def angles(start: float) -> list[float]:
    return [math.radians(start + 45 * place) for place in range(8)]


def test_ring() -> None:
    """2 · (65 + 1.5 d) across; a spigot short of the recess's bottom; bored for the nose."""
    ring = part(answered("converter"), "spacer ring")
    size = ring["size"]
    assert size["thickness"] == pytest.approx(34)
    assert size["outside"] == 2 * (65 + 15)
    assert size["spigot_length"] == 6
    assert size["length"] == pytest.approx(34 + 6)
    assert size["bore"] == pytest.approx((43.025 + 43.064) / 2, abs=1e-6)
    spigot = disc((59.981 + 60) / 2, 6) - disc(43.0445, 6)
    seats = 6 * (disc(11, 34) + disc(18, 10.5) - disc(11, 10.5))
    volume = disc(160, 34) - disc(43.0445, 34) + spigot - seats - 6 * disc(8.5, 34)
    assert ring["mass_kg"] == pytest.approx(volume * STEEL, rel=CLOSE_TO)


def test_a_shallow_recess_shortens_the_spigot() -> None:
    size = part(answered("converter", {"engine.drive.register.depth": 5}), "spacer ring")["size"]
    assert size["spigot_length"] == pytest.approx(5 - 1.5)


# ── holes and screws ────────────────────────────────────────────────────────


def joint(found: Mapping[str, Any], name: str) -> dict[str, Any]:
    return next(dict(one) for one in found["joints"] if one["name"] == name)


@pytest.mark.parametrize(
    ("kind", "name", "length", "engagement"),
    [
        # under the head 25 − 10.5; 1.5 d wanted; 29.5 is bought as 30
        ("converter", "plate to engine", 30, 15.5),
        # 34 − 10.5 and 1 d: 33.5 is bought as 35
        ("converter", "spacer to engine", 35, 11.5),
        # through 20 and a web of 13, 1 d: 43 is bought as 45
        ("shaft", "spacer to engine", 45, 12),
        # 25.4 − 9.525 − 0.5 and 1.5 d: 29.66 is bought as 1 1/4 in
        ("flange", "plate to engine", 1.25 * INCH, 1.25 * INCH - (25.4 - 9.525 - 0.5)),
        # 25.4 − 10.025 and 1 d: 24.9 is bought as 1 in
        ("flange", "spacer to engine", INCH, INCH - (25.4 - 10.025)),
    ],
)
def test_screw_lengths(kind: str, name: str, length: float, engagement: float) -> None:
    found = joint(answered(kind), name)
    assert found["length"] == pytest.approx(length)
    assert found["engagement"] == pytest.approx(engagement)


def test_screws_stay_clear_of_the_bottom() -> None:
    """Two pitches: a 22 mm hole takes 19, so the seat goes deeper and 25 mm screws do."""
    found = answered("converter", {"engine.face.circle.depth": 18})
    assert joint(found, "plate to engine")["length"] == 25
    hole = next(one for one in part(found, "adapter plate")["holes"] if one["id"] == "E1")
    assert hole["counterbore"] == {"diameter": 18.0, "depth": pytest.approx(15)}


@pytest.mark.parametrize(
    ("layout", "metric", "inch"),
    [("cnc", 10.5, 25 / 64), ("mill", 11, 13 / 32), ("hand", 12, 27 / 64)],
)
def test_clear_holes_by_layout(layout: str, metric: float, inch: float) -> None:
    """M10 fine, medium, coarse (ISO 273); 3/8 close, normal, loose (ASME B18.2.8)."""
    for kind, size in (("converter", metric), ("flange", inch * INCH)):
        plate = part(answered(kind, {"choices.layout": layout}), "adapter plate")
        hole = next(one for one in plate["holes"] if one["id"] == "E1")
        assert hole["diameter"] == pytest.approx(size, abs=1e-6)


def test_holes_of_the_plate() -> None:
    holes = {one["id"]: one for one in part(answered("converter"), "adapter plate")["holes"]}
    screw, thread, pin = holes["E1"], holes["G1"], holes["E-D1"]
    assert (screw["kind"], screw["diameter"], screw["side"]) == ("clearance", 11.0, "gearbox")
    assert screw["counterbore"] == {"diameter": 18.0, "depth": 10.5}
    assert (thread["kind"], thread["thread"], thread["diameter"]) == ("tapped", "M10", 8.5)
    assert (pin["kind"], pin["diameter"]) == ("dowel", 12.0)
    assert pin["limits"][0] < pin["limits"][1]


# ── rule sets ───────────────────────────────────────────────────────────────


RULES = ("light manual", "automatic road car", "heavy industrial")


def told(kind: str, change: Change) -> dict[str, tuple[str, float | None]]:
    return {one.id: (one.status, one.margin) for one in design_of(kind, change).checks}


@pytest.mark.parametrize("rules", RULES)
def test_each_rule_set_changes_answers(rules: str) -> None:
    """Over the whole jobs, each against the rules of its own kind; limits nobody meets are idle."""
    changed = {
        (kind, id)
        for kind in KINDS
        for id, said in told(kind, {"choices.rules": rules}).items()
        if told(kind, {})[id] != said
    }
    assert len({kind for kind, _ in changed}) == 2
    assert len({id for _, id in changed}) >= 5, sorted(changed)


@pytest.mark.parametrize(
    ("rules", "limits"),
    [
        ("light manual", {"register-tir.housing": 0.13, "dowels.apart": 150,
                          "opening-clears.radial": 2, "fill-angle.most": 8,
                          "thread-engagement.aluminium": 1.25, "head-sunk.aluminium_warn": 0.8}),
        ("automatic road car", {"register-tir.housing": 0.20, "dowels.apart": 100,
                                "opening-clears.radial": 3, "fill-angle.most": 5,
                                "thread-engagement.aluminium": 1.5}),
        ("heavy industrial", {"register-tir.housing": 0.25, "nose-engagement.least": 4,
                              "opening-clears.radial": 5, "fill-angle.most": 3,
                              "thread-engagement.aluminium": 2, "torque-rating.factor": 1.5,
                              "joint-slip.warn": 2, "spacer-length.least": 10}),
    ],
)  # fmt: skip
def test_what_each_rule_set_holds(rules: str, limits: Mapping[str, float]) -> None:
    """Common practice, no source, unless the set names one (0.25 mm: SAE J1033, No. 3 housing)."""
    held = design_of("converter", {"choices.rules": rules}).sides.rules
    assert {name: held[name] for name in limits} == limits


def test_a_shop_s_own_limit_counts_and_says_whose_it_is() -> None:
    made = design_of("converter", limits={"converter-gap.low": 3.9})
    assert made.sides.rules.source("converter-gap.low") == "the shop's own limit"
