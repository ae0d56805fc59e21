"""Looking things up in kb.standards: materials, fits, dowels, balance, housings and runout.

Names people use, the ends of each table, and errors that say what is held.

Source: names and designations of the standards named beside each case; where a rule is a fact of the
trade it says so. Figures are checked in tests/published.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import InputError, NotTabulated
from kb.standards import balance, dowels, fits, housings, materials, runout

INCH = 25.4


# ── materials ──────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("6061-T6", "6061-T6"), ("6061", "6061-T6"), ("6061 t6", "6061-T6"), ("A36", "A36 plate"),
        ("a-36", "A36 plate"), ("1045", "1045 hot rolled"), ("AISI 1045", "1045 hot rolled"),
        ("4140", "4140 annealed"), ("4140 prehard", "4140 quenched and tempered"),
        ("grey iron", "grey iron"), ("Gray Iron", "grey iron"), ("CAST IRON", "grey iron"),
        ("aluminum", "aluminium"), ("cast aluminium", "aluminium"), ("ductile iron", "ductile iron"),
        ("steel", "steel"), ("5083", "5083-O"), ("class 30", "grey iron class 30"),
        ("65-45-12", "ductile iron 65-45-12"),
    ],
)  # fmt: skip
def test_materials_by_the_names_people_write(name: str, held: str) -> None:
    assert materials.material(name).name == held


def test_a_name_without_its_condition_takes_the_weaker_and_says_so() -> None:
    for plain, other in (
        ("1045", "1045 CD"),
        ("1018", "1018 CD"),
        ("4140", "4140 Q&T"),
        ("5083", "5083-H116"),
    ):
        weak, strong = materials.material(plain), materials.material(other)
        assert weak.ultimate_mpa is not None
        assert strong.ultimate_mpa is not None
        assert weak.ultimate_mpa < strong.ultimate_mpa
        assert "weaker" in weak.note


@pytest.mark.parametrize("name", ["steel", "aluminium", "grey iron", "ductile iron"])
def test_an_unnamed_grade_has_no_strength(name: str) -> None:
    held = materials.material(name)
    assert held.yield_mpa is None
    assert held.ultimate_mpa is None
    weakest = materials.weakest(held.family)
    assert weakest.family == held.family
    assert weakest.ultimate_mpa


def test_the_lower_end_of_a_printed_range() -> None:
    """A36 is printed 400–550 MPa, tempered 4140 655–835 and 950–1020 MPa."""
    assert materials.material("A36").ultimate_mpa == 400
    assert materials.material("4140 Q&T").yield_mpa == 655
    assert materials.material("4140 Q&T").ultimate_mpa == 950
    assert "lower strength" in materials.material("A36").note


def test_memory_is_marked() -> None:
    assert materials.material("4140").memory
    assert materials.material("A36").memory  # its expansion
    assert not materials.material("6061").memory
    assert materials.material("grey iron class 30").yield_mpa is None


def test_a_material_not_held_names_the_held_ones() -> None:
    with pytest.raises(NotTabulated, match=r"A36 plate, .*6061-T6, .*grey iron"):
        materials.material("magnesium")
    with pytest.raises(NotTabulated, match="steel, aluminium, grey iron, ductile iron"):
        materials.weakest("brass")


# ── fits ───────────────────────────────────────────────────────────────────────


@given(
    size=st.floats(0.1, 500),
    hole=st.sampled_from(("H", "G", "F", "JS")),
    shaft=st.sampled_from(("f", "g", "h", "js", "k", "m", "n", "p", "r", "s")),
    grade=st.integers(6, 11),
)
def test_play_follows_from_the_limits(size: float, hole: str, shaft: str, grade: int) -> None:
    fit = fits.iso_fit(f"{hole}{grade}/{shaft}{grade - 1}", size)
    assert fit.hole[0] < fit.hole[1]
    assert fit.shaft[0] < fit.shaft[1]
    assert fit.play == pytest.approx(
        (fit.hole[0] - fit.shaft[1], fit.hole[1] - fit.shaft[0]), abs=3e-9
    )


@given(st.floats(0.1, 500), st.integers(5, 14))
def test_a_zone_is_as_wide_as_its_grade(size: float, grade: int) -> None:
    widths = [
        made.upper - made.lower
        for letter in ("H", "JS", "h", "f", "k", "s")
        for made in (fits.zone(f"{letter}{grade}", size),)
    ]
    assert widths == pytest.approx([widths[0]] * len(widths))


def test_a_range_ends_with_its_own_size() -> None:
    """ "Over … up to and including" (ISO 286-1, ANSI B4.1), with a nanometre for sizes from inches."""
    assert fits.zone("H7", 50).upper == 0.025
    assert fits.zone("H7", 50.001).upper == 0.030
    assert fits.zone("H7", 500).upper == 0.063
    assert fits.zone("H7", 3).upper == 0.010
    assert fits.ansi_fit("RC2", 1.97 * INCH).play[1] == pytest.approx(0.0014 * INCH)
    assert fits.ansi_fit("RC2", 1.971 * INCH).play[1] == pytest.approx(0.0016 * INCH)


@pytest.mark.parametrize("name", ["H7/g6", " H7 / g6 ", "H7 /g6"])
def test_a_fit_may_be_spaced(name: str) -> None:
    assert fits.iso_fit(name, 25).name == "H7/g6"


@pytest.mark.parametrize("name", ["g6/H7", "H7g6", "H7/", "7H/6g", "H7/h6/h6", "", "locating"])
def test_what_is_no_fit(name: str) -> None:
    with pytest.raises(InputError, match=r"write a (fit such as H7/g6|zone such as H7)"):
        fits.iso_fit(name, 25)


@pytest.mark.parametrize("name", ["H7/u6", "K7/h6", "P7/h6", "H7/zz6", "H4/g6", "H15/h6", "A11/h6"])
def test_zones_not_held(name: str) -> None:
    with pytest.raises(NotTabulated, match=r"it holds (shafts|grades)"):
        fits.iso_fit(name, 25)


@pytest.mark.parametrize("size", [0, -1.0, float("nan"), float("inf")])
def test_sizes_nobody_can_mean(size: float) -> None:
    for find in (lambda: fits.zone("H7", size), lambda: fits.ansi_fit("RC3", size)):
        with pytest.raises(InputError, match="a nominal size above 0"):
            find()


def test_sizes_beyond_the_tables() -> None:
    with pytest.raises(NotTabulated, match="sizes over 0 to 500 mm"):
        fits.zone("H7", 500.1)
    with pytest.raises(NotTabulated, match=r"sizes over 0\.40 to 19\.69 in"):
        fits.ansi_fit("RC3", 0.4 * INCH)
    with pytest.raises(NotTabulated, match=r"sizes over 0\.40 to 12\.41 in"):
        fits.ansi_fit("FN2", 16 * INCH)
    with pytest.raises(NotTabulated, match=r"sizes over 0\.95 to 12\.41 in"):
        fits.ansi_fit("FN3", 0.5 * INCH)
    with pytest.raises(NotTabulated, match="RC2, RC3, RC4, RC5, LC1"):
        fits.ansi_fit("RC9", 25)


def test_ansi_classes_by_name() -> None:
    assert fits.ansi_fit("rc 3", 38.1) == fits.ansi_fit("RC3", 38.1)


# ── dowels, balance, housings, runout ──────────────────────────────────────────


def test_dowels_by_size() -> None:
    assert dowels.pin(12.7, "inch").source == "ASME B18.8.2-2000"
    assert dowels.pin(12, "metric").source == "ASME B18.8.5M"
    fourteen = dowels.pin(14, "metric")
    assert fourteen.source == "ISO 8734:1997"
    assert fourteen.hole is None
    assert fourteen.single_shear_n is None
    with pytest.raises(NotTabulated, match=r"3\.175, 4\.7625, .*25\.4 mm"):
        dowels.pin(12, "inch")
    with pytest.raises(NotTabulated, match="3, 4, 5, 6, 8, 10, 12, 14, 16, 20 mm"):
        dowels.iso_pin(25)


@pytest.mark.parametrize("name", ["G6.3", "g6.3", "6.3", "G 6.3"])
def test_balance_grades_by_name(name: str) -> None:
    assert balance.grade(name) == 6.3


def test_a_balance_grade_not_held() -> None:
    with pytest.raises(NotTabulated, match=r"G4000, .*G6\.3, G2\.5, G1, G0\.4"):
        balance.grade("G5")


@pytest.mark.parametrize(
    "name", ["3", "No. 3", "no 3", "#3", "SAE 3", "SAE No. 3", "sae j617 no. 3"]
)
def test_housings_by_name(name: str) -> None:
    assert housings.housing(name).name == "3"


@pytest.mark.parametrize("name", ["1/2", "½", "SAE 1/2", "00", "0"])
def test_odd_housing_numbers(name: str) -> None:
    assert housings.housing(name).name in ("1/2", "00", "0")


@pytest.mark.parametrize(
    "name", ["11-1/2", "11 1/2", "11½", "11.5", "11.5 in", "290", "290 mm", "SAE J620 11-1/2"]
)
def test_flywheels_by_name(name: str) -> None:
    assert housings.flywheel(name).name == "11-1/2"


@pytest.mark.parametrize("name", ["21", "24"])
def test_what_a_flywheel_lacks_is_none(name: str) -> None:
    wheel = housings.flywheel(name)
    assert wheel.ring_depth is None
    assert wheel.bearing_bore is None
    assert wheel.how == "memory"


def test_interfaces_not_held() -> None:
    with pytest.raises(NotTabulated, match="00, 0, 1/2, 1, 2, 3, 4, 5, 6"):
        housings.housing("7")
    for name in ("12", "large", "1/0", ""):
        with pytest.raises(NotTabulated, match="6-1/2, 7-1/2, 8, 10, 11-1/2"):
            housings.flywheel(name)
    with pytest.raises(NotTabulated, match="housing, flywheel"):
        housings.names("gearbox")


def test_every_housing_and_flywheel_can_be_had() -> None:
    assert [housings.housing(name).name for name in housings.names()] == list(housings.names())
    held = housings.names("flywheel")
    assert [housings.flywheel(name).name for name in held] == list(held)


def test_runout_limits_name_who_sets_them() -> None:
    for item in runout.items():
        for size in housings.names() if item == runout.HOUSING else ("",):
            held = runout.limits(item, size)
            assert held
            assert all(each.by and each.source for each in held)
    limits = {each.by: each.tir for each in runout.limits("flywheel housing", "3")}
    assert len(limits) == 3
    assert limits[runout.GENERATOR_MAKER] == pytest.approx(0.004 * INCH)


def test_a_limit_that_grows_with_the_diameter() -> None:
    """.0005 in per inch of diameter, or per inch of radius and never over .010 in."""
    by = {each.by: each for each in runout.limits("flywheel face")}
    standard, maker = by["SAE J1857 and J1033"], by[runout.GENERATOR_MAKER]
    assert standard.tir is None
    assert standard.at(14 * INCH) == pytest.approx(0.007 * INCH)
    assert maker.at(14 * INCH) == pytest.approx(0.0035 * INCH)
    assert maker.at(60 * INCH) == pytest.approx(0.010 * INCH)
    assert by["a car maker"].at(300) == pytest.approx(0.003 * INCH)
    with pytest.raises(InputError, match="the diameter swept"):
        standard.at(0)


def test_runout_of_something_else() -> None:
    with pytest.raises(NotTabulated, match=r"flywheel housing, .*gearbox bore"):
        runout.limits("propeller")
    with pytest.raises(NotTabulated, match="it holds 00, 0, 1/2"):
        runout.limits("flywheel housing")
