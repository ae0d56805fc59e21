"""Which plate and which adapter are taken, and what the stage does without a dimension.

Worked by hand at each test. Least adapter 6 mm, stock 10 12 15 20 25 mm, floors of plates, two
plates bolted to each other: common practice, no source. Heads: ISO 4762 and ASME B18.3 (from memory).
"""

from __future__ import annotations

import pytest

from kb.errors import OutOfScope
from kb.sheets.reading import read
from tests.engine.spans import (
    BUSH,
    DEEP,
    FROM_TIP,
    FRONT,
    MOUTH,
    POSITION,
    REAR,
    SEATED,
    SPLINE,
    D,
    F,
    H,
    Job,
    K,
    N,
    Q,
    S,
    W,
    Z,
    sides,
    solved,
)
from wizard.engine.axial.chain import chain
from wizard.engine.axial.stock import floors_of_two, split, thicknesses
from wizard.engine.normalise import normalise

PLATE, SPACER, STOCK = "choices.plate", "choices.spacer", "choices.plate_stock"


def auto(**at: float) -> Job:
    """A converter whose adapter comes out at t + D − z − f − 4."""
    return {Z: at.get("z", 6.0), D: at.get("d", 20.0), F: at.get("f", 8.0)}


# ── thinnest stock ──────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("depth", "plate"), [(28.0, 10), (16.0, 10), (15.0, 10), (12.0, 12), (11.0, 15), (2.0, 25), (0.0, 25)]
)  # fmt: skip
def test_thinnest_stock_that_works(depth: float, plate: float) -> None:
    """L = t + D − 18: 6 or more, or none, at the thinnest; D 15 at 10 mm ⇒ 7; D 12 ⇒ 4, at 12 ⇒ 6."""
    found = solved(auto(d=depth))
    assert found.plate == plate
    assert found.spacer == pytest.approx(plate + depth - 18)


def test_no_adapter_at_all_is_as_good_as_one_that_can_be_made() -> None:
    """D 8: at 10 mm L = 0 exactly: the flexplate goes on the crank itself."""
    found = solved(auto(d=8.0) | {D: "8 ± 0", Z: "6 ± 0", F: "8 ± 0"})
    assert (found.plate, found.spacer) == (10, pytest.approx(0, abs=1e-9))


def test_an_adapter_that_comes_out_thin_is_taken_only_where_nothing_else_is() -> None:
    """The one stock of 10 gives L = 4: taken, and said."""
    found = solved(auto(d=12.0) | {STOCK: [10]})
    assert (found.plate, found.spacer) == (10, pytest.approx(4))
    assert "comes out thin" in found.why_plate
    other = solved(auto(d=12.0) | {STOCK: [10, 12]})
    assert (other.plate, other.spacer) == (12, pytest.approx(6))
    assert "comes out thin" not in other.why_plate


def test_what_works_with_the_readings_off_comes_before_what_works_as_they_stand() -> None:
    """A ± of 0.9 on the flexplate alone is wider than half the band: no robust region is left."""
    sure = solved(auto(d=28.0))
    assert "even if the readings are off" in sure.why_plate
    loose = solved(auto(d=28.0) | {F: "8 ± 0.9"})
    assert loose.plate == 10
    assert loose.robust_region == ()
    assert "as they stand" in loose.why_plate


def test_a_shaft_decides_between_stock_by_what_works_even_if_readings_are_off() -> None:
    """Bottom t − s − L + d_b − z − m ≥ 3: at 15 mm by 0.05, at 20 by 5.05; the ± of 0.3 takes 20."""
    base: Job = {
        Z: "10 ± 0", SPACER: 6, S: "22 ± 0.3", N: 40, MOUTH: 0, BUSH: 18, DEEP: 26.05,
    }  # fmt: skip
    found = solved(base)
    assert found.plate == 20
    assert "even if the readings are off" in found.why_plate
    assert "15.00 mm" in found.why_plate
    exact = solved(dict(base) | {S: "22 ± 0"})
    assert exact.plate == 15


def test_when_no_stock_works_the_nearest_is_taken_and_said() -> None:
    """D −10: even 25 mm is 3 mm of adapter short (L = 25 − 10 − 18)."""
    found = solved(auto(d=-10.0))
    assert found.region == ()
    assert found.plate == 25
    assert "no stock works" in found.why_plate


def test_nearest_by_what_the_plate_must_be_of_itself_first() -> None:
    """A head of M10 wants 15.5 mm in aluminium (10 + 0.5 + 5): stock of 8 and 15 gives 15."""
    text = (
        'units = "mm"\n[engine.face]\nholes = [{ x = 150, y = 0, thread = "M10" }]\n'
        "[choices]\nplate_stock = [8, 15]\n"
    )
    found = chain(normalise(read(text)), draws=10)
    assert found is not None
    assert found.plate == 15
    assert "no stock works" in found.why_plate


def test_stock_may_be_written_in_any_order() -> None:
    assert solved(auto(d=12.0) | {STOCK: [20, 12, 10]}).plate == 12
    assert solved(auto(d=28.0) | {STOCK: [20, 12.5]}).plate == 12.5


def test_inch_sheets_have_inch_stock() -> None:
    text = 'units = "in"\nengine.drive.standoff = 0.25\ngearbox.converter.seat_depth = 1.25\n'
    found = chain(normalise(read(text)), draws=10)
    assert found is not None
    assert found.plate == pytest.approx(9.525)


# ── fixed by the job ────────────────────────────────────────────────────────


@pytest.mark.parametrize("spacer", [None, 9.0, 0.0])
@pytest.mark.parametrize("plate", [None, 13.7, 40.0])
def test_fixed_sizes_are_kept_as_they_are(plate: float | None, spacer: float | None) -> None:
    job = dict(auto(d=20.0))
    job |= {PLATE: plate} if plate is not None else {}
    job |= {SPACER: spacer} if spacer is not None else {}
    found = solved(job)
    if plate is not None:
        assert found.plate == plate
        assert found.why_plate == "fixed by the job"
    if spacer is not None:
        assert found.spacer == spacer
        assert found.values["gap"] == pytest.approx((found.plate or 0) + 20 - 14 - spacer)
    else:
        assert found.spacer == pytest.approx((found.plate or 0) + 20 - 18)


@pytest.mark.parametrize(
    ("spacer", "plate", "why"),
    [
        (12.0, 10, "even if the readings are off"),
        (13.5, 12, "even if the readings are off"),  # gap 4.5, its very limit
        (16.4, 15, "as they stand"),
        (30.0, 25, "no stock works"),
    ],
)
def test_a_fixed_adapter_chooses_its_plate(spacer: float, plate: float, why: str) -> None:
    """Gap t + 6 − L of 3.2 to 4.8, drawn in by three readings of ± 0.1 to 3.5 to 4.5."""
    found = solved(auto(d=20.0) | {SPACER: spacer})
    assert found.plate == plate
    assert found.spacer == spacer
    assert why in found.why_plate
    assert found.values["gap"] == pytest.approx(plate + 6 - spacer)


def test_two_drives_alone_are_an_adapter_for_a_known_span() -> None:
    """Nothing says where the gearbox stands: the length is given, and that is all that is said."""
    found = solved({Z: 12.0, SPACER: 18.0})
    assert (found.plate, found.spacer) == (None, 18)
    assert dict(found.values) == {}
    assert found.stations == {"driving_face": 12, "driven_face": pytest.approx(30)}
    assert found.requirements == ()
    assert chain(sides({Z: 12.0}), draws=10) is None


@pytest.mark.parametrize(
    ("band", "within"),
    [([3.2, 4.8], 0.08), ([3.9, 4.1], 0.02), ([2, 6], 0.10), ([3.3, 4.7], 0.07)],
)
def test_how_closely_the_adapter_is_held(band: list[float], within: float) -> None:
    """A twentieth of the band, not under 0.02 nor over 0.10 mm."""
    found = solved(auto(d=28.0) | {"gearbox.converter.gap": band})
    assert found.spacer_within == pytest.approx(within)


# ── two plates ──────────────────────────────────────────────────────────────

TWO = """
units = "mm"
[engine.face]
holes = [ { id = "1", x = 150, y = 0, thread = "M10" }, { id = "2", x = -150, y = 0, thread = "M10" } ]
[gearbox.face]
holes = [ { id = "1", x = 150, y = 5, hole = 11 }, { id = "2", x = -150, y = 5, hole = 11 } ]
[choices]
plates = 2
plate_material = "A36"
rules = "automatic road car"
"""


def test_two_plates_each_hold_their_own() -> None:
    """Steel, M10: head 10 + 0.5 + 0.4 · 10 = 14.5 in the engine's plate, thread 10 in the gearbox's.

    They are joined by M10 with heads in the gearbox's plate (14.5) and threads of 10 in the engine's:
    14.5 and 14.5. Stock 15 + 15 = 30 is the thinnest pair; one plate alone would do with 15.
    """
    found = normalise(read(TWO))
    assert floors_of_two(found) == pytest.approx((14.5, 14.5))
    assert thicknesses(found) == (30, 35, 40, 45, 50)
    made = chain(found, draws=10)
    assert made is not None
    assert made.plate == 30
    assert split(found, 30) == (15, 15)
    assert split(found, 35) == (15, 20)
    assert split(found, 29.5) == pytest.approx((15, 14.5))
    assert split(found, 29.2) == pytest.approx((14.5, 14.7))
    with pytest.raises(OutOfScope, match="two plates"):
        split(found, 28.9)
    single = chain(normalise(read(TWO.replace("plates = 2", ""))), draws=10)
    assert single is not None
    assert single.plate == 15


# ── what is lacking ─────────────────────────────────────────────────────────

FULL: dict[str, Job] = {
    "converter": {Z: 6.0, D: 28.0, F: 8.0, H: 14.0, SEATED: 16.0, PLATE: 14},
    "shaft": {
        Z: 10.0, Q: 92.0, W: 28.0, K: 60.0, S: 22.0, N: 24.0, MOUTH: 0.0, DEEP: 28.0, BUSH: 18.0,
        FROM_TIP: 34.0, SPLINE: 62.0, FRONT: -3.0, REAR: 19.0, PLATE: 15, SPACER: 5,
    },
    "flange": {Z: 4.0, POSITION: 10.0, PLATE: 12},
}  # fmt: skip
RESTS = [
    ("converter", D, {"gap", "nose_seated", "pump_lug_overlap"}),
    ("converter", F, {"gap", "nose_engagement", "nose_seated", "nose_bottom", "pump_lug_overlap"}),
    ("converter", Z, {"gap", "nose_seated", "pump_lug_overlap"}),
    ("shaft", Q, {"release_gap"}),
    ("shaft", K, {"release_gap"}),
    ("shaft", W, {"release_gap", "spline_overlap"}),
    ("shaft", Z, {"release_gap", "spline_overlap", "tip_engagement", "tip_bottom", "tip_shoulder"}),
    ("shaft", S, {"spline_overlap", "tip_engagement", "tip_bottom", "tip_shoulder"}),
    ("shaft", FROM_TIP, {"spline_overlap"}),
    ("shaft", FRONT, {"spline_overlap"}),
    ("shaft", DEEP, {"tip_bottom"}),
    ("flange", Z, {"flange_offset"}),
    ("flange", POSITION, {"flange_offset"}),
]  # fmt: skip


def without(job: Job, key: str) -> Job:
    """The job less one dimension; the part it belongs to stays in the sheet."""
    stay = {
        F: {"flexplate.thickness": 2.5}, Z: {"engine.drive.outside": 100},
        D: {"gearbox.converter.outside": 280}, W: {"flywheel.outside": 300},
        POSITION: {"gearbox.driven.outside": 300}, Q: {"gearbox.release.travel": 20},
    }.get(key, {})  # fmt: skip
    return {name: value for name, value in job.items() if name != key} | stay


@pytest.mark.parametrize(("kind", "key", "names"), RESTS)
def test_what_lacks_a_dimension_says_so(kind: str, key: str, names: set[str]) -> None:
    """Exactly the quantities that rest on it are missing, each naming it; the others are unchanged."""
    whole, found = solved(FULL[kind]), solved(without(FULL[kind], key))
    assert names <= set(whole.values)
    assert {name for name, lacks in found.lacks.items() if key in lacks} == names
    assert not names & set(found.values)
    assert all(key not in row.line.terms for row in found.requirements)
    fixed = kind == "shaft"  # there the adapter's length is given, so nothing else hangs on the key
    for name, value in found.values.items():
        if fixed:
            assert value == pytest.approx(whole.values[name]), name


@pytest.mark.parametrize(
    ("kind", "key"), [("converter", D), ("converter", F), ("flange", POSITION), ("flange", Z)]
)  # fmt: skip
def test_a_length_that_cannot_be_closed_is_not_invented(kind: str, key: str) -> None:
    found = solved(without(FULL[kind], key))
    assert found.spacer is None
    assert found.spacer_within is None
    assert "driven_face" not in found.stations
    assert found.odds is not None
    assert found.odds.chance_these is None


def test_what_a_quantity_rests_on_is_named() -> None:
    found = solved(FULL["converter"])
    assert set(found.rests_on["gap"]) == {Z, D, F}
    assert set(found.rests_on["nose_engagement"]) == {H, F}
    assert found.uncertain["gap"] == pytest.approx(0.3)  # ± 0.10 mm each, no instrument named
    assert found.uncertain["nose_engagement"] == pytest.approx(0.2)


def test_a_part_the_job_does_not_have_leaves_no_quantity() -> None:
    found = solved({Z: 6.0, D: 28.0, F: 8.0})
    assert set(found.values) == {"gap", "tail_shift"}
    assert found.lacks == {}
    assert "tip_engagement" not in solved(FULL["converter"]).values


def test_a_tip_without_its_bush_lacks_its_place() -> None:
    job = {key: value for key, value in FULL["shaft"].items() if not key.startswith("pilot")}
    found = solved(job)
    assert found.lacks["tip_engagement"] == ("pilot.mouth", "pilot.depth")
    assert found.lacks["tip_shoulder"] == ("pilot.mouth",)
