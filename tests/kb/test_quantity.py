"""A dimension as a shop writes it: read, kept, shown.

Sources: the inch is 25.4 mm exactly (international yard and pound agreement, 1959; NIST SP 811:2008, B.8);
1 lbf = 4.4482216152605 N and 1 lb = 0.45359237 kg exactly (NIST SP 811:2008, B.8, from memory); numbered screw
sizes and tapped threads as printed (Machinery's Handbook, 31st ed., by the table of inch threads); drill sizes in
64ths as printed (ASME B94.11M sizes by the table of drills). What a text means is otherwise worked out in exact
fractions from the whole numbers it was made of (`tests.kb.lengths`).
"""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kb.errors import InputError
from kb.figures import in_parts, shortest
from kb.quantity import (
    Dimension,
    read_length,
)
from kb.standards.loader import Row, table
from tests.kb.lengths import INCH, MARKS, plain_length, scale, width

UNITS = st.sampled_from(("in", "mm"))


def read(text: str | int | float, units: str = "mm") -> Dimension:
    return read_length(text, key="plate", units=units)


# ── reading: generated texts against exact fractions ────────────────────────


@given(st.data(), UNITS)
def test_a_length_means_its_exact_fraction(data: st.DataObject, units: str) -> None:
    written = data.draw(plain_length(units))
    found = read(written.text, units)
    assert found.value == float(written.value)
    assert (found.below, found.above, found.limits) == (None, None, False)
    assert (found.unit, found.typed) == (written.unit, written.text)


@given(st.data(), UNITS, st.sampled_from(("±", " ± ", " +/- ", "+-", "  ±")))
def test_a_stated_width_is_kept(data: st.DataObject, units: str, mark: str) -> None:
    written = data.draw(plain_length(units))
    text, size = data.draw(width())
    found = read(f"{written.text}{mark}{text}", units)
    spread = size * scale(written.unit)
    assert found.value == float(written.value)
    assert found.below == found.above == float(spread)
    assert not found.limits
    assert found.within == pytest.approx(float(spread), rel=1e-15)
    assert found.middle == found.value


@given(st.data(), UNITS)
def test_the_unit_behind_a_width_is_the_unit_of_both(data: st.DataObject, units: str) -> None:
    text, size = data.draw(width())
    spread, most = data.draw(width())
    unit = data.draw(UNITS)
    found = read(f"{text} ± {spread}{data.draw(st.sampled_from(MARKS[unit]))}", units)
    assert found.value == float(size * scale(unit))
    assert found.above == float(most * scale(unit))
    assert found.unit == unit


@given(st.data(), UNITS, st.sampled_from(("/", " / ", " ", ", ", "; ")), st.booleans())
def test_unequal_limits(data: st.DataObject, units: str, between: str, turned: bool) -> None:
    written = data.draw(plain_length(units))
    (up, above), (down, below) = data.draw(width()), data.draw(width())
    pair = (f"-{down}", f"+{up}") if turned else (f"+{up}", f"-{down}")
    found = read(f"{written.text} {between.join(pair)}", units)
    assert found.value == float(written.value)
    assert found.above == float(above * scale(written.unit))
    assert found.below == float(below * scale(written.unit))
    assert found.limits
    assert found.middle == pytest.approx(
        float(written.value + (above - below) * scale(written.unit) / 2), rel=1e-12, abs=1e-12
    )


@given(st.data(), UNITS, st.sampled_from((" .. ", "..", " … ", " to ", " TO ")))
def test_two_limits_of_size(data: st.DataObject, units: str, between: str) -> None:
    one, other = data.draw(plain_length(units)), data.draw(plain_length(units))
    assume(one.unit == other.unit == units and not one.text.endswith("."))
    assume(one.value <= other.value and not other.text.startswith("."))
    found = read(f"{one.text}{between}{other.text}", units)
    assert found.value == float((one.value + other.value) / 2)
    assert found.below == found.above == float((other.value - one.value) / 2)
    assert found.limits


@given(st.integers(0, 9999), st.integers(0, 9999), UNITS)
def test_the_unit_behind_two_limits_is_the_unit_of_both(low: int, more: int, units: str) -> None:
    found = read(f"{low} .. {low + more} mm", units)
    assert (found.value, found.within) == (low + more / 2, more / 2)
    assert found.unit == "mm"


@given(st.integers(-3_900_000, 3_900_000), UNITS)
def test_bare_numbers_mean_what_their_figures_mean(steps: int, units: str) -> None:
    """A float as the nearest thousandth it was typed as, a whole number as itself."""
    assert read(steps / 1000, units).value == float(Fraction(steps, 1000) * scale(units))
    assert read(steps // 1000, units).value == float((steps // 1000) * scale(units))


@given(st.floats(-1e5, 1e5), UNITS)
def test_the_shortest_figures_read_back_to_the_same_length(length: float, unit: str) -> None:
    text = shortest(length, unit=unit)
    assert "e" not in text.lower()
    back = float(Fraction(text) * scale(unit))
    assert back == length


@given(st.integers(-64 * 40, 64 * 40))
def test_parts_of_an_inch_are_the_number_itself(steps: int) -> None:
    """Written as whole inches and 64ths and read again: the same number."""
    size = Fraction(steps, 64)
    assert read(in_parts(size), "in").value == float(size * INCH)
    assert in_parts(size + Fraction(1, 1000)) == ""


@pytest.mark.parametrize(
    ("text", "units", "value", "below", "above"),
    [
        ("0.750", "in", 19.05, None, None),
        ("2 5/8", "in", 66.675, None, None),
        ("2-5/8", "in", 66.675, None, None),
        ("2½", "in", 63.5, None, None),
        ("⅜", "in", 9.525, None, None),
        ("1 ⅞″", "mm", 47.625, None, None),
        ("19.05 mm", "in", 19.05, None, None),
        ("0.750 in", "mm", 19.05, None, None),
        ("18.00 ± 0.10", "mm", 18.0, 0.1, 0.1),
        ("18.00 +/- 0.10", "mm", 18.0, 0.1, 0.1),
        ("2.2500 +0.0005/-0", "in", 57.15, 0.0, 0.0127),
        ("2 5/8 +1/64/-0", "in", 66.675, 0.0, 0.396875),
        ("25 ± .004 in", "mm", 635.0, 0.1016, 0.1016),
        ("25 mm ± .004 in", "mm", 25.0, 0.1016, 0.1016),
        ("57.15 0/-0.03", "mm", 57.15, 0.03, 0.0),
        ("57.15 +0.03 0", "mm", 57.15, 0.0, 0.03),
        ("\u22121.56", "in", -39.624, None, None),
        ("1\u00a05/8", "in", 41.275, None, None),
    ],
)
def test_forms_of_a_length(
    text: str, units: str, value: float, below: float | None, above: float | None
) -> None:
    """Worked by hand: inches × 25.4."""
    found = read(text, units)
    assert (found.value, found.below, found.above) == (value, below, above)


def test_both_limits_may_lie_on_one_side() -> None:
    """6 m6 is +12/+4 µm (ISO 286-2:2010, shafts over 3 to 6 mm): from 6.004 to 6.012."""
    found = read("6 +0.012/+0.004")
    assert (found.below, found.above) == (-0.004, 0.012)
    assert found.middle == pytest.approx(6.008, abs=1e-12)
    assert found.within == pytest.approx(0.004, abs=1e-12)


def test_a_width_in_a_place_of_its_own() -> None:
    found = read_length(
        "18.00", key="k", units="in", within="± 0.10 mm", how="caliper", by="J", on=date(2026, 3, 2)
    )
    assert (found.value, found.below, found.above, found.unit) == (457.2, 0.1, 0.1, "in")
    assert (found.how, found.by, found.on) == ("caliper", "J", date(2026, 3, 2))
    assert read_length("18 mm", key="k", units="in", within=0.25).below == 0.25


@pytest.mark.parametrize(
    "row",
    [row for row in table("drills") if row.text("set") == "fraction"],
    ids=lambda row: row.text("size"),
)
def test_fractions_mean_their_printed_decimals(row: Row) -> None:
    """Printed to four places of an inch, so within half of the last."""
    text, inches = row.text("size"), row.value("diameter") / 25.4
    assert read(text, "in").value / 25.4 == pytest.approx(inches, abs=0.00005001)


# ── refusing ────────────────────────────────────────────────────────────────

NO_LENGTH = (
    "", " ", "-", "+", ".", "in", "mm", "abc", "1 2", "1,5", "1.2.3", "1e9", "1e-3", "nan", "inf", "-inf", "∞",
    "5/0", "2 9/8", "2 8/8", "2.5/8", "2/3/4", "2 -5/8", "2- 5/8", "--1", "+-1", "1--", "0x10", "1_000",
    "12 cm", "12 ft", "12'", "2' 6\"", "12 m", "mm 12", "12 in in", "12 mm in", "twelve", "18 ±", "± 0.1",
    "18 ± -0.1", "18 ± 0.1 ± 0.2", "18 +0.1", "18 -0.1", "2-5/8 -0.01", "18 +0.1/-", "18 +0.1/-0.1/-0.2", "18 +a/-b",
    "2 .. 1", "1 .. ", " .. 2", "1 to", "1 - 2", "57.15-57.18", "100001 mm", "-100001", "1 ± 200000", "9" * 5000,
    "1" * 40 + "/" + "1" * 40 + "/1", "½½", "½/2", "12;5", "12 5", "$12", "12%",
)  # fmt: skip


@pytest.mark.parametrize("text", NO_LENGTH, ids=lambda text: repr(text[:24]))
def test_what_is_no_length_is_refused_by_name(text: str) -> None:
    with pytest.raises(InputError) as refused:
        read(text)
    assert refused.value.field == "plate"
    assert str(refused.value).startswith("plate: cannot use “")
    assert text.strip()[:60] in str(refused.value)
    assert len(str(refused.value)) < 300


@pytest.mark.parametrize(
    "bare", [math.nan, math.inf, -math.inf, 1e9, -1e9, 10**400, True, None, [1], {"value": 1}]
)
def test_what_is_no_bare_length_is_refused(bare: object) -> None:
    with pytest.raises(InputError, match=r"^plate: cannot use"):
        read(bare)  # type: ignore[arg-type]


def read_or_refuse(text: str) -> Dimension | str:
    """The length, or what was said against it."""
    try:
        return read(text)
    except InputError as refused:
        return str(refused)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Never another error, never a length without a finite value."""
    found = read_or_refuse(text)
    if isinstance(found, Dimension):
        assert math.isfinite(found.value)
        assert found.within is None or 0 <= found.within < math.inf
    else:
        assert len(found.splitlines()) == 1


def test_two_widths_are_refused() -> None:
    with pytest.raises(InputError, match=r"^k\.within: cannot use “0\.2”; “18 ± 0\.1” has its ±"):
        read_length("18 ± 0.1", key="k", units="mm", within="0.2")


@pytest.mark.parametrize("text", ["-0.1", "wide", "", "0.1 ± 0.1"])
def test_a_width_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"^k\.within: cannot use"):
        read_length("18", key="k", units="mm", within=text)


def test_an_unknown_source_is_refused() -> None:
    with pytest.raises(InputError, match=r"^k\.from: cannot use “hearsay”; write one of measured"):
        read_length("18", key="k", units="mm", source="hearsay")
