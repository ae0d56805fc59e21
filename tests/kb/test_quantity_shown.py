"""Torques, masses, rises and speeds read; lengths shown to people.

Sources: 1 lbf = 4.4482216152605 N, 1 lb = 0.45359237 kg and 1 ft = 304.8 mm exactly, a rise of 1 °F is 5/9 K (NIST SP
811:2008, B.8, from memory); what is shown is measured against the exact length (`tests.kb.lengths`).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import InputError
from kb.figures import in_parts
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
    show,
    torque,
)
from tests.kb.lengths import INCH, scale

UNITS = st.sampled_from(("in", "mm"))

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
    assert limits(low=57.15, high=57.18, first="in") == "2.2500–2.2512 in · 57.150–57.180 mm"
    assert torque(51000) == "51 N·m (38 lbf·ft)"


def measured(text: str, units: str = "mm") -> Dimension:
    return read_length(text, key="plate", units=units)


def test_a_dimension_is_shown_in_the_unit_it_was_typed_in() -> None:
    assert show(measured("2.2500 +0.0005/-0", "in")) == "2.2500–2.2505 in · 57.150–57.163 mm"
    assert show(measured("18.00 ± 0.10")) == "18.0 mm ± 0.1 · 0.709 in"


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
