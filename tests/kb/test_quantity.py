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

from kb.designation import GAUGES
from kb.errors import InputError
from kb.figures import in_parts, shortest
from kb.quantity import (
    Dimension,
    both,
    decimals,
    fraction,
    limits,
    number,
    plain,
    read_amount,
    read_length,
    read_thread,
    show,
    torque,
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


@given(st.text(alphabet='0123456789 ./+-±inm"½…to', max_size=24))
def test_what_is_read_can_be_written_and_read_again(text: str) -> None:
    try:
        found = read(text, "in")
    except InputError:
        return
    assert read(found.typed, "in") == found


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


# ── threads ─────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("row", list(table("threads_inch")), ids=lambda row: row.text("thread"))
def test_inch_threads_have_their_printed_size(row: Row) -> None:
    found = read_thread(row.text("thread"), key="k")
    assert found.designation == row.text("thread")
    assert found.major == pytest.approx(row.value("major"), abs=1e-9)
    assert found.pitch is not None
    assert 25.4 / found.pitch == pytest.approx(row.count("threads_per_inch"))


@pytest.mark.parametrize(
    ("number", "major"),
    [(0, 0.060), (1, 0.073), (2, 0.086), (3, 0.099), (4, 0.112), (5, 0.125), (6, 0.138), (8, 0.164),
     (10, 0.190), (12, 0.216)],
)  # fmt: skip
def test_numbered_sizes(number: int, major: float) -> None:
    """ASME B1.1-2003, Table 1, basic major diameters [in] (from memory)."""
    found = read_thread(f"#{number}-56", key="k")
    assert found.major == pytest.approx(major * 25.4, abs=1e-9)
    assert number in GAUGES


@pytest.mark.parametrize(
    ("text", "designation", "major", "pitch"),
    [
        ("M10", "M10", 10.0, None),
        ("m10", "M10", 10.0, None),
        ("M10x1.25", "M10x1.25", 10.0, 1.25),
        ("M 10 × 1,25".replace(",", "."), "M10x1.25", 10.0, 1.25),
        ("M2.5", "M2.5", 2.5, None),
        ("M12x1.50-6g", "M12x1.5", 12.0, 1.5),
        ("M8-5g6g", "M8", 8.0, None),
        ("3/8-16", "3/8-16", 9.525, 1.5875),
        ("⅜-16", "3/8-16", 9.525, 1.5875),
        ("3/8 - 16 UNC", "3/8-16", 9.525, 1.5875),
        ("3/8-16 UNC-2B", "3/8-16", 9.525, 1.5875),
        ("6/16-16", "3/8-16", 9.525, 1.5875),
        (".375-16", "3/8-16", 9.525, 1.5875),
        ("0.190-32", "#10-32", 4.826, 0.79375),
        ("10-32", "#10-32", 4.826, 0.79375),
        ("1-8", "1-8", 25.4, 3.175),
        ("1-1/2-6", "1 1/2-6", 38.1, 25.4 / 6),
        ("1 1/2-12", "1 1/2-12", 38.1, 25.4 / 12),
        ("2-4.5", "2-4.5", 50.8, 25.4 / 4.5),
        ("2-56", "#2-56", 0.086 * 25.4, 25.4 / 56),
        ("4-40", "#4-40", 0.112 * 25.4, 0.635),
    ],
)
def test_forms_of_a_thread(text: str, designation: str, major: float, pitch: float | None) -> None:
    """Sizes × 25.4 by hand. A whole number is a gauge where its threads are too fine for inches:
    in ASME B1.1 #0 to #4 have 40 threads and more, 1 to 4 in at most 32 (from memory)."""
    found = read_thread(text, key="k")
    assert found.designation == str(found) == designation
    assert found.major == pytest.approx(major, rel=1e-12)
    assert found.pitch == (None if pitch is None else pytest.approx(pitch, rel=1e-12))
    assert found.system == ("metric" if designation.startswith("M") else "inch")
    assert read_thread(designation, key="k") == found


@pytest.mark.parametrize(
    "text",
    ["", "M", "10", "3/8", "3/8-0", "3/0-16", "3/8-99.5", "#7-36", "#99-20", "7-20", "5-4", "M0", "M101", "M10x10",
     "M10x0", "M10x1-LH", "3/8-16 LH", "3/8-16-16", "3/8--16", "-3/8-16", "3/8-1", "M10.123", "0.33333333-20",
     "2 9/8-8", "tapped", None, 10, 10.5, ["M10"]],
)  # fmt: skip
def test_what_is_no_thread_is_refused(text: object) -> None:
    with pytest.raises(InputError, match=r"^hole: cannot use “") as refused:
        read_thread(text, key="hole")
    assert str(text) in str(refused.value)
    assert "such as 3/8-16, M10" in str(refused.value)


@given(st.text(alphabet="0123456789Mx#-/. ½UNC", max_size=12))
def test_a_thread_reads_back_from_its_designation(text: str) -> None:
    try:
        found = read_thread(text, key="k")
    except InputError:
        return
    assert read_thread(found.designation, key="k") == found
    assert found.major > 0
    assert found.pitch is None or 0 < found.pitch < found.major / 2 + 1e-9


# ── other quantities ────────────────────────────────────────────────────────

LBF = 4.4482216152605  # N
FOOT = 304.8  # mm


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("300 lbf·ft", "torque", 300 * LBF * FOOT),
        ("300 lb-ft", "torque", 300 * LBF * FOOT),
        ("300 ft-lb", "torque", 300 * LBF * FOOT),
        ("120 lbf·in", "torque", 120 * LBF * 25.4),
        ("410 N·m", "torque", 410e3),
        ("410 N⋅m", "torque", 410e3),
        ("410Nm", "torque", 410e3),
        ("78 kg", "mass", 78.0),
        ("172 lb", "mass", 172 * 0.45359237),
        ("850 g", "mass", 0.85),
        ("80 °C", "rise", 80.0),
        ("144 °F", "rise", 80.0),
        ("80 K", "rise", 80.0),
        ("4200", "speed", 4200.0),
        (4200, "speed", 4200.0),
        ("4200 rpm", "speed", 4200.0),
    ],
)
def test_amounts(text: object, kind: str, value: float) -> None:
    """NIST SP 811:2008, B.8: lbf, lb, foot; a rise of 1 °F is 5/9 K."""
    found = read_amount(text, kind=kind, key="k")
    assert found.value == pytest.approx(value, rel=1e-12)
    assert (found.kind, found.typed) == (kind, str(text))


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("300", "torque"), ("300 lb", "torque"), ("300 MN·m", "torque"), ("99999999 N·m", "torque"),
        ("78", "mass"), ("0 kg", "mass"), ("-3 kg", "mass"), ("78 stone", "mass"), ("1e3 kg", "mass"),
        ("80", "rise"), ("2000 K", "rise"), ("4200 rps", "speed"), ("0", "speed"), ("-1", "speed"),
        ("1000000000", "speed"), ("nan", "speed"), (True, "speed"), (None, "speed"), ("9" * 400, "speed"), ("", "speed"),
    ],
)  # fmt: skip
def test_what_is_no_amount_is_refused(text: object, kind: str) -> None:
    with pytest.raises(InputError, match=r"^engine: cannot use “") as refused:
        read_amount(text, kind=kind, key="engine")
    assert str(text)[:60] in str(refused.value)


# ── showing ─────────────────────────────────────────────────────────────────


@given(st.floats(-5000, 5000), st.floats(0.0005, 50), UNITS)
def test_a_shown_length_is_off_by_less_than_its_width(
    value: float, within: float, unit: str
) -> None:
    """Rounding to the last place shown adds at most half of it, and the ± shown is true to a tenth."""
    places = decimals(within, unit)
    step = float(scale(unit))
    assert abs(float(number(value, unit=unit, places=places)) * step - value) <= max(
        within, 0.5001 * step * 10.0**-places
    )
    if places < (5 if unit == "in" else 4):
        shown = float(number(within, unit=unit, places=places)) * step
        assert shown == pytest.approx(within, rel=0.1001)
    assert (
        places == 0 or abs(round(within / step, places - 1) - within / step) > 0.1 * within / step
    )


@given(st.floats(-5000, 5000), st.floats(0.0005, 50), UNITS)
def test_both_systems_name_one_length(value: float, within: float, first: str) -> None:
    one, other = both(value, within=within, first=first).split(" · ")
    shown = {piece.split()[1]: float(piece.split()[0]) for piece in (one, other)}
    assert one.split()[1] == first
    assert shown["in"] * 25.4 == pytest.approx(value, abs=within * 0.56 + 25.4e-5)
    assert shown["mm"] == pytest.approx(value, abs=within * 0.56 + 1e-4)


def test_shown_lengths() -> None:
    """By hand: 21/32 in = 0.65625 in = 16.66875 mm; ± 0.002 in = 0.0508 mm."""
    assert both(16.66875, within=0.0508, first="in") == "0.656 in (21/32) ± .002 · 16.67 mm"
    assert both(25.4) == "25.40 mm · 1.000 in"
    assert both(0.127, within=0.127) == "0.13 mm ± 0.13 · 0.005 in"
    assert both(19.05, first="in", places=4) == "0.7500 in (3/4) · 19.050 mm"
    assert number(-0.0001, unit="mm", places=2) == "0.00"
    assert limits(57.15, 57.18, first="in") == "2.2500–2.2512 in · 57.150–57.180 mm"
    assert torque(51000) == "51 N·m (38 lbf·ft)"


def test_a_dimension_is_shown_in_the_unit_it_was_typed_in() -> None:
    assert show(read("2.2500 +0.0005/-0", "in")) == "2.2500–2.2505 in · 57.150–57.163 mm"
    assert show(read("18.00 ± 0.10")) == "18.0 mm ± 0.1 · 0.709 in"


@given(st.integers(-64 * 30, 64 * 30))
def test_fractions_shown(steps: int) -> None:
    """A length on a 64th is shown as that fraction in lowest terms; a whole inch as none."""
    text = fraction(float(Fraction(steps, 64) * INCH))
    assert text == ("" if steps % 64 == 0 else in_parts(Fraction(steps, 64)))
    assert fraction(float(Fraction(steps, 64) * INCH) + 0.02) == ""


@pytest.mark.parametrize(
    ("text", "simple"), [("2½", "2 1/2"), ("3⁄8", "3/8"), ("−1", "-1"), ("1\u00a02", "1 2")]
)
def test_typographic_signs_become_keyboard_ones(text: str, simple: str) -> None:
    assert plain(text) == simple
