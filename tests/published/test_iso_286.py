"""ISO 286 zones and fits.

Sources: ISO 286-1 (standard tolerances, fundamental deviations and the formulas they were
rounded from, the formulas from memory); ISO 286-2 (limits of holes and shafts, from memory);
pressfit 0.1.0 (MIT), ISO 286-1 typed in by other hands; Mechanical Engineering Design,
8th ed., instructor solutions, problems 3-64 and 3-65 (read).
"""

from __future__ import annotations

import math

import pressfit
import pytest

from kb.standards import fits
from kb.standards.loader import Row, table
from tests.published.printed import printed

SIZES = (1, 3, 3.5, 6, 8, 10, 12, 18, 25, 30, 45, 50, 65, 66, 80, 100, 110, 120, 140, 141, 160,
         180, 199, 200, 225, 250, 280, 300, 315, 355, 400, 409.575, 450, 500)  # fmt: skip
SHAFTS = ("f", "g", "h", "js", "k", "m", "n", "p", "s")
UNIT_OF_GRADE = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100}  # IT in tolerance units i


def middle(row: Row) -> float:
    """Geometric mean of a range of sizes [mm], as the formulas of ISO 286-1 take it."""
    return math.sqrt(row.value("over") * row.value("to"))


def grades_at(size: float) -> Row:
    return next(r for r in table("iso286_grades") if r.value("over") < size <= r.value("to"))


@pytest.mark.parametrize("letter", SHAFTS)
@pytest.mark.parametrize("grade", range(5, 12))
def test_hole_basis_fits_agree_with_figures_typed_by_others(letter: str, grade: int) -> None:
    for size in SIZES:
        mine = fits.iso_fit(f"H7/{letter}{grade}", size)
        other = pressfit.fit(f"H7/{letter}{grade}", size)
        assert mine.hole == pytest.approx(other.hole_limits_mm, abs=6e-5)  # it rounds to 0.0001
        assert mine.shaft == pytest.approx(other.shaft_limits_mm, abs=6e-5)
        assert [1000 * play for play in mine.play] == pytest.approx(other.clearance_um, abs=1e-6)


@pytest.mark.parametrize("row", table("iso286_grades").rows[1:], ids=lambda row: row.text("to"))
def test_standard_tolerances_follow_the_tolerance_unit(row: Row) -> None:
    """i = 0.45·∛D + 0.001·D µm; the table rounds it (ISO 286-1; over 3 mm)."""
    unit = 0.45 * middle(row) ** (1 / 3) + 0.001 * middle(row)
    for grade, times in UNIT_OF_GRADE.items():
        tabled = 1000 * row.value(f"it{grade}")
        assert tabled == pytest.approx(times * unit, rel=0.035, abs=0.7)


def test_grades_12_to_14_are_ten_times_those_five_below() -> None:
    """R5 series: ×10 at every fifth grade (ISO 286-1). 180 µm, 270 µm, 430 µm at 12 mm: memory."""
    assert [fits.zone(f"H{grade}", 12).upper for grade in (12, 13, 14)] == [0.18, 0.27, 0.43]
    for row in table("iso286_grades"):
        for grade in (12, 13, 14):
            assert row.value(f"it{grade}") == pytest.approx(10 * row.value(f"it{grade - 5}"))


@pytest.mark.parametrize("row", table("iso286_shafts").rows[1:], ids=lambda row: row.text("to"))
def test_fundamental_deviations_follow_their_formulas(row: Row) -> None:
    """The formulas ISO 286-1 rounded its table from (from memory), over 3 mm, in µm."""
    held = {letter: 1000 * row.value(letter) for letter in "fgkmnprs"}
    tolerance = grades_at(row.value("to"))
    it6, it7, it8 = (1000 * tolerance.value(f"it{grade}") for grade in (6, 7, 8))
    size, own = middle(tolerance), middle(row)
    assert held["f"] == pytest.approx(-5.5 * size**0.41, abs=1)
    assert held["g"] == pytest.approx(-2.5 * size**0.34, abs=1)
    assert held["k"] == pytest.approx(0.6 * size ** (1 / 3), abs=0.5)
    assert held["m"] == it7 - it6
    assert held["n"] == pytest.approx(5 * size**0.34, abs=1)
    assert 0 <= held["p"] - it7 <= 5
    assert held["r"] == pytest.approx(math.sqrt(held["p"] * held["s"]), abs=1.2)
    if row.value("to") <= 50:
        assert 0 < held["s"] - it8 <= 4
    else:
        assert held["s"] == pytest.approx(it7 + 0.4 * own, abs=1)


@pytest.mark.parametrize("side", ["iso_286_2_holes", "iso_286_2_shafts"])
def test_limits_of_holes_and_shafts(side: str) -> None:
    for row in printed(side):
        made = fits.zone(row["zone"], float(row["size_mm"]))
        assert 1000 * made.lower == pytest.approx(float(row["lower_um"])), row
        assert 1000 * made.upper == pytest.approx(float(row["upper_um"])), row


def test_textbook_press_fit_in_millimetres() -> None:
    """Problem 3-64: 40 H7/s6, shaft 40.043–40.059, largest radial interference 0.0295 mm."""
    fit = fits.iso_fit("H7/s6", 40)
    assert fit.hole == (40.0, 40.025)
    assert fit.shaft == (40.043, 40.059)
    assert fit.play == (-0.059, -0.018)
    assert -fit.play[0] / 2 == pytest.approx(0.0295)


def test_textbook_press_fit_in_inches() -> None:
    """Problem 3-65: 1.500 in H7/s6 turned to inches: hole 1.5000–1.5010, shaft 1.5017–1.5023."""
    fit = fits.iso_fit("H7/s6", 1.5 * 25.4)
    assert [round(size / 25.4, 4) for size in fit.hole] == [1.5000, 1.5010]
    assert [round(size / 25.4, 4) for size in fit.shaft] == [1.5017, 1.5023]


@pytest.mark.parametrize(("hole", "shaft"), [("H7/g6", "G7/h6"), ("H8/f7", "F8/h7")])
@pytest.mark.parametrize("size", SIZES)
def test_shaft_basis_mirrors_hole_basis(hole: str, shaft: str, size: float) -> None:
    """Homologous clearance fits have the same play (ISO 286-1)."""
    assert fits.iso_fit(hole, size).play == pytest.approx(fits.iso_fit(shaft, size).play)
