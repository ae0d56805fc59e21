"""Routes, order, quote and yard card: by hand, by shapely, and by the closed form of a quote.

Sources: shapely for distances; the plane region of a making order worked by hand; money and minutes
added up by hand from the shop's sheet; the chance of a right quote for one normal reading from
the normal distribution (scipy). Shop figures are shop defaults: common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from scipy.stats import norm
from shapely.geometry import Point, Polygon

from kb.errors import InputError
from kb.model.shop import Machine
from kb.sheets.shop import read_shop, usual_shop, write_shop
from tests.making.test_making import hole, plate
from tests.papers.samples import converter, shaft
from wizard.desk.pairing import read_text
from wizard.engine.axial.region import certificates, half_planes
from wizard.making import buying, holding, layout, order, points, quote, route, yard
from wizard.making.yard import card
from wizard.papers.cut import circles

SHOP = usual_shop()
LATHE = Machine(name="Small lathe", kind="lathe", swing=300, between=500, chuck=130, faceplate=250, top_speed_rpm=2000)  # fmt: skip


def square(side: float) -> list[dict[str, Any]]:
    spots = [(-side / 2, -side / 2), (side / 2, -side / 2), (side / 2, side / 2), (-side / 2, side / 2)]  # fmt: skip
    return [{"kind": "line", "start": list(a), "end": list(b)} for a, b in zip(spots, [*spots[1:], spots[0]], strict=True)]  # fmt: skip


def ring(**rest: Any) -> dict[str, Any]:
    return {"name": "spacer ring", "material": "1045 hot rolled", "quantity": 1, "mass_kg": 2.0, "holes": [],
            "size": {"thickness": 30.0, "length": 35.0, "outside": 120.0, "bore": 40.0, "spigot": 60.0, "spigot_length": 5.0}, **rest}  # fmt: skip


def answer(*parts: dict[str, Any], **rest: Any) -> dict[str, Any]:
    return {"shop_units": "mm", "parts": list(parts), **rest}


# ── holding ─────────────────────────────────────────────────────────────────


def test_a_sawn_blank_swings_on_its_corners() -> None:
    part = plate([], outline=square(300))
    assert holding.swing(part) == pytest.approx(300 * math.sqrt(2))
    assert holding.swing(part, sawn=6) == pytest.approx(312 * math.sqrt(2))


def test_a_hole_in_the_middle_needs_half_the_plate_of_throat() -> None:
    part = plate([hole("1", 0, 0)], outline=square(300))
    assert holding.throat(part) == pytest.approx(150)
    near = plate([hole("1", 0, 130)], outline=square(300))
    assert holding.throat(near) == pytest.approx(20)


@pytest.mark.parametrize("count", [0, 2, 7, 24])
def test_extra_fixing_holes_clear_every_hole_and_the_edge(count: int) -> None:
    seats = {"counterbore": {"diameter": 18.0, "depth": 10.5}}
    holes = [hole(str(n), 360 * n / count + 11, 120 + 20 * (n % 2), **seats) for n in range(count)]
    part = plate(holes, outline=square(360))
    found = holding.fixing(part)
    assert not found["own"]  # sunk heads only: nothing to screw through
    assert len(found["extra"]) == 3
    edge = Polygon([piece["start"] for piece in part["outline"]])
    for x, y in found["extra"]:
        spot = Point(x, y).buffer(found["diameter"] / 2, 64)
        assert edge.exterior.distance(spot) >= holding.WALL - 0.02
        assert spot.distance(Point(0, 0).buffer(60)) >= holding.WALL - 0.02
        for one in holes:
            assert spot.distance(Point(one["x"], one["y"]).buffer(9, 64)) >= holding.WALL - 0.02


def test_its_own_plain_holes_hold_a_plate_when_they_go_all_round() -> None:
    assert len(holding.fixing(plate([hole(str(n), 60 * n, 120) for n in range(6)]))["own"]) == 3
    beside = plate([hole(str(n), 10 * n, 120) for n in range(6)], outline=square(340))
    assert not holding.fixing(beside)["own"]


def test_a_plate_without_room_has_no_fixing_holes() -> None:
    part = plate([], outline=square(130))
    assert holding.fixing(part) == {"own": [], "extra": [], "diameter": holding.FIXING}


# ── route ───────────────────────────────────────────────────────────────────


def test_what_no_machine_takes_is_outside_work_in_the_quote_too() -> None:
    doc = answer(ring(size={"thickness": 30.0, "length": 30.0, "outside": 380.0, "bore": 100.0}))
    shop = replace(SHOP, machines=(LATHE,))
    rows = route.route(doc, shop)
    turned = [row for row in rows if row["outside"] == "turning"]
    assert turned
    assert "swing 300 mm, 385 mm needed" in turned[0]["why"]
    priced = quote.quote(doc, route=rows, buying=[], points=[], shop=shop)
    assert any("outside: spacer ring, turning" in line["heading"] for line in priced["lines"])
    assert not any(line["heading"].startswith("spacer ring, lathe") for line in priced["lines"])


def test_a_size_nobody_wrote_down_is_not_taken_for_enough() -> None:
    bare = Machine(name="Old lathe", kind="lathe")
    rows = route.route(answer(ring()), replace(SHOP, machines=(bare,)))
    on_it = next(row for row in rows if row["machine"] == "Old lathe")
    assert "swing not known, 125 mm needed" in on_it["unknown"]


def test_the_spindle_turns_no_faster_than_the_machine() -> None:
    rows = route.route(answer(plate([hole("1", 0, 100, diameter=4.0)])), SHOP)
    speeds = [step["speed_rpm"] for row in rows for step in row["steps"] if step["speed_rpm"]]
    assert max(speeds) == 3000  # 60 m/min at 4 mm would be 4775
    slow = route.route(answer(plate([hole("1", 0, 100, diameter=12.0)])), SHOP)
    last = [s["speed_rpm"] for row in slow for s in row["steps"] if s["tool"] == "12 mm"]
    assert last == [round(1000 * 60 / (math.pi * 12))]


def test_minutes_of_a_hole_by_hand() -> None:
    """Marked, pilot 3 mm and 11 mm through 15 mm of aluminium: handling, tools, and L/(f·n)."""
    one = answer(plate([hole("1", 0, 100)]))
    (setting,) = [row for row in route.route(one, SHOP) if row["kind"] == "mill"]
    m, by_hand = SHOP.minutes, 0.0
    for drill in (3.0, 11.0):
        speed = min(3000.0, 1000 * 60 / (math.pi * drill))
        travel = 15 + drill / 2 / math.tan(math.radians(59))
        by_hand += m["hole"] + m["tool"] + travel / (0.015 * drill * speed)
    assert setting["minutes"] == pytest.approx(m["mill"] + m["mark"] + by_hand, abs=0.02)


def test_hours_move_when_a_hole_is_added() -> None:
    def hours(count: int) -> float:
        doc = answer(plate([hole(str(n), 360 * n / count, 100) for n in range(count)]))
        rows = route.route(doc, SHOP)
        return float(quote.quote(doc, route=rows, buying=[], points=points.points(doc), shop=SHOP)["hours"][1])  # fmt: skip

    assert hours(6) < hours(7) < hours(12)


def test_a_ring_is_faced_with_stock_left_then_measured_then_finished() -> None:
    says = [step["does"] for row in route.route(answer(ring()), SHOP) for step in row["steps"]]
    left = next(n for n, text in enumerate(says) if text.startswith("faced to 30.30 mm"))
    assert says[left + 1].startswith("measured at four places")
    assert "final cut to length" in says[left + 2 :]


# ── order and made to measure ───────────────────────────────────────────────


def test_the_making_order_by_hand() -> None:
    """A strip L = t + 10 ± 0.5 for t of 10 to 20: free 10 to 20, but ± 0.5 beside a fixed ring."""
    strip = [[10.0, 19.5], [20.0, 29.5], [20.0, 30.5], [10.0, 20.5]]
    doc = answer(
        plate([], outline=square(300)), ring(),
        axial={"plate": 15.0, "spacer": 25.0, "robust_region": strip, "region": strip},
    )  # fmt: skip
    found = order.order(doc, route.route(doc, SHOP), SHOP)
    assert found is not None
    assert (found["first"], found["last"]) == ("adapter plate", "spacer ring")
    assert found["band"] == pytest.approx([10.0, 20.0])
    assert found["alone"] == pytest.approx([14.5, 15.5])
    assert found["looser"] == pytest.approx(9.0)
    assert found["minutes"] < found["other_minutes"]


def test_one_part_has_no_order() -> None:
    assert order.order(answer(ring()), [], SHOP) is None


def test_the_second_half_of_a_fit_follows_the_first_as_measured() -> None:
    """H7/g6 on 40: play 0.009 to 0.050 (ISO 286-1). A bore of 40.012 takes a spigot of 39.962 to 40.003."""
    fit = {"joint": "spacer in crank", "class": "H7/g6", "existing": "hole", "play": [0.009, 0.050], "hole": [40.0, 40.025], "shaft": [39.975, 39.991]}  # fmt: skip
    (row,) = order.follow({"fits": [fit]})
    assert (40.012 + row["low"], 40.012 + row["high"]) == pytest.approx((39.962, 40.003))
    (other,) = order.follow({"fits": [fit | {"existing": "shaft"}]})
    assert (39.98 + other["low"], 39.98 + other["high"]) == pytest.approx((39.989, 40.030))


# ── quote ───────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("make", [converter, shaft])
def test_a_quote_adds_up(make: Any) -> None:
    doc = make()
    rows, bought, asked = route.route(doc, SHOP), buying.buying(doc), points.points(doc)
    found = quote.quote(doc, route=rows, buying=bought, points=asked, shop=SHOP)
    for n in range(3):
        assert found["price"][n] == pytest.approx(sum(line["price"][n] for line in found["lines"]), abs=0.01)  # fmt: skip
    low, likely, high = found["hours"]
    assert (low, high) == pytest.approx((likely * 0.85, likely * 1.5), abs=0.02)
    by_hand = sum(row["minutes"] for row in rows if row["kind"] != "outside") + 1.5 * len(asked)
    assert likely == pytest.approx(by_hand / 60, abs=0.02)


def test_stock_is_priced_by_its_mass_and_margins() -> None:
    (row,) = [{"kind": "stock", "what": "plate", "sizes": [1, 1, 1], "mass_kg": 10.0, "count": 1, "for": "adapter plate", "material": "6061-T6"}]  # fmt: skip
    found = quote.quote(answer(plate([])), route=[], buying=[row], points=[], shop=SHOP)
    (line,) = [one for one in found["lines"] if one["kind"] == "stock"]
    assert line["cost"][1] == 90.0  # 10 kg at 9 a kilogram
    assert line["price"][1] == pytest.approx(90 * 1.2 * 1.15)


def test_stock_nobody_can_price_is_named_not_left_out() -> None:
    row = {"kind": "stock", "what": "plate", "sizes": [], "mass_kg": None, "count": 1, "for": "adapter plate", "material": "whalebone"}  # fmt: skip
    doc = answer(plate([], material="whalebone"))
    found = quote.quote(doc, route=[], buying=[row], points=[], shop=SHOP)
    assert found["unpriced"] == [
        "stock for adapter plate (whalebone)",
        "time in the cut of adapter plate: no cutting speed for its material",
    ]


# ── the card for the yard ───────────────────────────────────────────────────

JOB = """
units = "mm"
[engine]
name = "E"
[engine.drive]
standoff = "{standoff}"
[gearbox]
name = "G"
[gearbox.converter]
seat_depth = "28.58 ± 0.01"
gap = [3.2, 4.8]
[flexplate]
offset = "8.00 ± 0.01"
[choices]
plate_stock = [20, 25]
"""


def test_one_reading_settles_a_job_that_hangs_on_it() -> None:
    """The thickest plate without any ring leaves a gap of 25 + 28.58 − c − 8, wanted 3.2 or more."""
    design = read_text(JOB.format(standoff="42.0 ± 1.6")).advice.design
    found = card(design, wanted=0.95)
    works = norm.cdf((25 + 28.58 - 8 - 3.2 - 42.0) / 0.8)  # ± is two standard deviations
    assert found["now"] == pytest.approx(works, abs=0.02)
    assert [row["key"] for row in found["readings"]] == ["engine.drive.standoff"]
    assert found["after"] > 0.95


def test_a_reading_that_decides_nothing_lifts_nothing() -> None:
    """As likely as not, and only the standoff decides: reading anything else leaves it a toss."""
    design = read_text(JOB.format(standoff="42.38 ± 1.6")).advice.design
    assert design.chain is not None
    keys = list(dict.fromkeys(key for row in design.chain.requirements for key in row.line.terms))
    lengths = [design.sides.lengths[key] for key in keys]
    planes = half_planes(design.chain.requirements, keys)
    trial = yard.Trial(planes, certificates(planes), lengths, design.sides.best_within)
    idle = keys.index("gearbox.converter.seat_depth")
    assert trial.right(()) == pytest.approx(0.5, abs=0.02)
    assert trial.right([idle]) == pytest.approx(0.5, abs=0.03)
    assert trial.right([keys.index("engine.drive.standoff")]) > 0.97


def test_holes_cut_with_the_outline_are_not_drilled_again() -> None:
    """By water jet (0.4 of the thickness and more) a plain 11 mm hole in 15 mm comes finished."""
    holes = [hole(str(n), 60 * n, 120) for n in range(6)]
    holes[0]["counterbore"] = {"diameter": 18.0, "depth": 8.0}
    holes.append(hole("t", 30, 120, kind="tapped", thread="M10", diameter=8.5))
    doc = answer(plate(holes, outline=square(340)))
    rows = route.route(doc, SHOP)
    drilled = {mark for row in rows if row["kind"] == "mill" for step in row["steps"] for mark in step["marks"]}  # fmt: skip
    assert drilled == {"0", "t"}  # the seat, and the thread
    (cut,) = [row for row in rows if row["outside"] == "profile metre"]
    by_hand = 4 * 340 + math.pi * (120 + 6 * 11)
    assert cut["amount"] == pytest.approx(by_hand / 1000, abs=0.001)
    assert set(cut["steps"][0]["marks"]) == {str(n) for n in range(6)}


def test_a_post_is_tapped_from_both_ends_and_a_bush_is_bought() -> None:
    post = {"name": "post", "material": "1045 hot rolled", "quantity": 6, "holes": [], "size": {"length": 60.0, "outside": 30.0, "bore": 8.5, "bore_depth": 20.0}}  # fmt: skip
    bush = {"name": "pilot bush", "material": "sintered bronze", "quantity": 1, "holes": [], "size": {"length": 18.0, "outside": 24.0, "bore": 15.0}}  # fmt: skip
    rows = route.route(answer(post, bush), SHOP)
    assert {row["part"] for row in rows} == {"post"}
    says = [step["does"] for row in rows for step in row["steps"]]
    assert says.count("tapped from this end") == 2
    assert not any("bore to its limits" in one for one in says)


def test_a_job_that_is_sure_needs_no_reading() -> None:
    design = read_text(JOB.format(standoff="6.35 ± 0.05")).advice.design
    found = card(design, wanted=0.95, confirm=["flexplate.offset"])
    assert (found["readings"], found["confirm"]) == ([], ["flexplate.offset"])
    assert found["now"] == pytest.approx(1.0)


# ── the shop's sheet ────────────────────────────────────────────────────────


def test_a_shops_sheet_comes_back_as_it_was_written() -> None:
    shop = replace(
        SHOP, name='Müßig & "Söhne" \\ Ω', address=("Am Wehr 3", "é"), logo=b"\x89PNG\r\n\x1a\nx"
    )
    assert read_shop(write_shop(shop)) == shop


def test_only_what_differs_need_be_written_and_lengths_take_units() -> None:
    shop = read_shop('[[machine]]\nname = "L"\nkind = "lathe"\nswing = "13 in"\n[rates.hour]\nlathe = 81\n')  # fmt: skip
    assert shop.machines[0].swing == pytest.approx(330.2)
    assert shop.rates.hour["lathe"] == 81
    assert shop.rates.hour["mill"] == SHOP.rates.hour["mill"]


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ('[[machine]]\nkind = "latte"', "machine 1.kind"), ('[[machine]]\nkind = "lathe"\nswing = -3', "swing"),
        ("[rates]\nmargin = -1", "rates.margin"), ('[rates.hour]\nmil = 3', "mil"), ("valid_days = 0", "valid_days"),
        ('logo = "zzz"', "logo"), ('logo = "Z2lmODlh"', "logo"), ("rates = 4", "rates"), ("[rates]\nbest = 2", "rates.best"),
        ('process = "teeth"', "process"), ("nonsense = 1", "nonsense"), ('name = "a\\nb"', "name"), ("[minutes]\nlathe = true", "minutes.lathe"),
    ],
)  # fmt: skip
def test_a_shops_sheet_nobody_can_mean_is_refused_by_field(text: str, field: str) -> None:
    with pytest.raises(InputError, match=field):
        read_shop(text)


# ── holes carried over from the mating part ─────────────────────────────────

PUNCHED = """
units = "mm"
[engine]
name = "E"
[engine.face]
holes = [
  { id = "1", x = 100, y = 50, thread = "M10" },
  { id = "2", x = { value = -100, how = "transfer punch" }, y = 50, thread = "M10" },
  { id = "3", x = 0, y = { value = -120, how = "transfer punch" }, hole = 11 },
]
dowels = [ { id = "D1", x = -90, y = -60, diameter = 10 }, { id = "D2", x = 90, y = -60, diameter = 10 } ]
[choices]
plate = 20
"""


def test_holes_taken_with_a_transfer_punch_are_punched_last_and_not_cut() -> None:
    """Through a threaded hole goes a transfer screw, through a clear one a punch of its size."""
    worked = read_text(PUNCHED)
    (part,) = worked.answer["parts"]
    carried = {one["id"]: one["punched"] for one in part["holes"] if one.get("punched")}
    assert set(carried) == {"E2", "E3"}
    assert carried["E2"] == "transfer screw M10"
    assert carried["E3"].startswith("transfer punch ⌀ 11.00 mm")
    (sheet,) = layout.layout(worked.answer)
    assert [row["id"] for row in sheet["holes"]][-2:] == ["E2", "E3"] or [row["id"] for row in sheet["holes"]][-2:] == ["E3", "E2"]  # fmt: skip
    assert all("from" not in row for row in sheet["holes"][-2:])
    marked = [row["tool"] for row in sheet["drills"] if row["order"] == 1]
    assert any(tool.startswith("transfer screw M10") for tool in marked)
    assert {one["id"] for one in part["holes"]} >= carried.keys()
    centres = {centre for centre, _, _ in circles(part)}
    for one in part["holes"]:
        assert ((one["x"], one["y"]) in centres) == (one["id"] not in carried)


def test_points_are_gauged_at_the_setting_that_makes_them() -> None:
    holes = [hole(str(n), 60 * n, 120) for n in range(6)]
    doc = answer(plate([*holes, hole("t", 30, 120, kind="tapped", thread="M10", diameter=8.5)], outline=square(340)), ring())  # fmt: skip
    asked = points.points(doc)
    rows = route.gauged(route.route(doc, SHOP), asked)
    placed = {mark: row for row in rows for mark in row["gauge"]}
    assert len(placed) == len(asked)
    for one in asked:
        row = placed[one["point"]]
        assert row["part"] == one["part"]
        assert row["outside"] != "profile metre"
        if one["hole"] or "centres" in one["what"]:
            assert row["kind"] == "mill"
        elif one["part"] == "spacer ring":
            assert row["kind"] == "lathe"
