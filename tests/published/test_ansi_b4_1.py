"""ANSI B4.1 fits: limits of hole and shaft against the fit columns printed beside them.

Sources: Machinery's Handbook, 31st ed., Tables 8a, 8b, 10, 11 and p.660 Table 12, and 27th ed.,
p.663 Table 11 (ANSI/ASME B4.1-1967); rows marked memory in the data were recalled, not seen.
"""

from __future__ import annotations

from collections import defaultdict

import pytest

from kb.standards import fits
from kb.standards.loader import table
from tests.published.printed import printed

INCH = 25.4
GRADES = {  # ABC symbols at the head of the handbook's columns
    "RC2": ("H6", "g5"), "RC3": ("H7", "f6"), "RC4": ("H8", "f7"), "RC5": ("H8", "e7"),
    "LC1": ("H6", "h5"), "LC2": ("H7", "h6"), "LC3": ("H8", "h7"), "LC4": ("H10", "h9"),
    "LC5": ("H7", "g6"), "LT1": ("H7", "js6"), "LT2": ("H8", "js7"), "LT3": ("H7", "k6"),
    "LT4": ("H8", "k7"), "LT5": ("H7", "n6"), "LN1": ("H6", "n5"), "LN2": ("H7", "p6"),
    "LN3": ("H7", "r6"),
}  # fmt: skip


@pytest.mark.parametrize(
    "row", printed("ansi_b41_printed_fits"), ids=lambda r: f"{r['class']} {r['over_in']}"
)
def test_play_is_the_printed_fit(row: dict[str, str]) -> None:
    least, most = float(row["least_play"]), float(row["largest_play"])
    for inches in (float(row["over_in"]) + 0.001, float(row["to_in"])):
        fit = fits.ansi_fit(row["class"], inches * INCH)
        assert fit.play[0] / INCH * 1000 == pytest.approx(least, abs=0.001)
        assert fit.play[1] / INCH * 1000 == pytest.approx(most, abs=0.001)


def test_zones_of_one_grade_have_one_width() -> None:
    """In one range of sizes every zone of a grade, whatever its table, is as wide as the others.

    Second method: a figure mistyped in one column disagrees with the other columns of its grade.
    Apart stand the js zones, printed as ± figures rounded to 0.1, and LN1's n5 shafts up to
    1.97 in, which are printed 0.1 wider; the fit column printed beside them agrees.
    """
    widths: dict[tuple[str, str], set[float]] = defaultdict(set)
    for row in table("ansi_b41"):
        for part, symbol in zip(("hole", "shaft"), GRADES.get(row.text("class"), ()), strict=False):
            if symbol.startswith("js") or symbol == "n5":
                continue
            grade = symbol.lstrip("Hefghknpr")
            width = row.value(f"{part}_upper") - row.value(f"{part}_lower")
            widths[row.text("over"), grade].add(round(width / INCH * 1000, 4))
    assert len(widths) == 60  # six grades in ten ranges
    assert not {key: found for key, found in widths.items() if len(found) > 1}


def test_shafts_n5_are_a_tenth_wider_in_small_sizes_and_no_more() -> None:
    for row in table("ansi_b41"):
        if row.text("class") == "LN1":
            fine = fits.ansi_fit("LC1", row.value("to")).shaft  # h5
            wider = (row.value("shaft_upper") - row.value("shaft_lower")) - (fine[1] - fine[0])
            expected = 0.1 if row.value("to") <= 1.97 * INCH else 0.0
            assert wider / INCH * 1000 == pytest.approx(expected, abs=1e-4), row.cells


def test_force_fits_bore_the_holes_of_the_locational_ones() -> None:
    """FN1 takes H6, FN2 and FN3 take H7: the holes of LN1 and LN2 at the same size."""
    for row in table("ansi_b41"):
        if row.text("class").startswith("FN"):
            size = row.value("to")
            plain = fits.ansi_fit("LN1" if row.text("class") == "FN1" else "LN2", size)
            assert fits.ansi_fit(row.text("class"), size).hole == plain.hole


@pytest.mark.parametrize(
    ("name", "inches", "hole", "shaft", "play"),
    [
        ("RC3", 1.5, (1.5000, 1.5010), (1.4984, 1.4990), (0.0010, 0.0026)),
        ("LT3", 6.0, (6.0000, 6.0016), (6.0001, 6.0011), (-0.0011, 0.0015)),  # row from memory
        ("FN2", 1.0, (1.0000, 1.0008), (1.0014, 1.0019), (-0.0019, -0.0006)),
        ("FN2", 1.5, (1.5000, 1.5010), (1.5018, 1.5024), (-0.0024, -0.0008)),
    ],
)
def test_worked_fits(
    name: str,
    inches: float,
    hole: tuple[float, float],
    shaft: tuple[float, float],
    play: tuple[float, float],
) -> None:
    fit = fits.ansi_fit(name, inches * INCH)
    assert [size / INCH for size in fit.hole] == pytest.approx(hole, abs=1e-9)
    assert [size / INCH for size in fit.shaft] == pytest.approx(shaft, abs=1e-9)
    assert [size / INCH for size in fit.play] == pytest.approx(play, abs=1e-9)
