"""Every table kept: its passport complete, its cells filled, its figures in the program's units.

Source: the project's own rules for tables; units by definition (see the test).
"""

from __future__ import annotations

import re

import pytest

from kb.standards import loader
from kb.standards.loader import table

EVERY = loader.names()


@pytest.mark.parametrize("name", EVERY)
def test_passport_is_complete(name: str) -> None:
    passport = table(name).passport
    assert passport.name == name
    assert passport.title
    assert passport.source
    for column in passport.columns.values():
        assert column.unit in loader.UNITS
        assert column.about
        assert column.how in loader.WAYS or column.how[1:] in passport.columns


@pytest.mark.parametrize("name", EVERY)
def test_passport_describes_the_columns_of_the_file(name: str) -> None:
    passport = table(name).passport
    for row in table(name):
        assert list(row.cells) == list(passport.columns)


@pytest.mark.parametrize("name", EVERY)
def test_no_cell_is_blank_unless_declared(name: str) -> None:
    held = table(name)
    assert held.rows
    for column, about in held.passport.columns.items():
        blank = [row.cells for row in held if not row.text(column).strip()]
        assert not blank or about.nullable, (column, blank)
        assert blank or not about.nullable, f"{column} is declared nullable and never blank"


@pytest.mark.parametrize("name", EVERY)
def test_every_figure_is_a_number_with_a_way(name: str) -> None:
    held = table(name)
    for column, about in held.passport.columns.items():
        for row in held:
            assert row.how(column) in loader.WAYS
            if about.unit != "text" and row.text(column):
                assert abs(row.value(column)) < float("inf")


@pytest.mark.parametrize("name", EVERY)
def test_a_source_is_a_standard_or_a_book_and_never_a_host(name: str) -> None:
    held = table(name)
    words = [held.passport.source, held.passport.place, *held.passport.disagreements]
    words += [row.text("source") for row in held if "source" in row.cells]
    assert not [each for each in words if re.search(r"www\.|https?:|\.(com|org|net|io)\b", each)]
    if held.passport.source == "see the row":
        assert all(row.text("source" if "source" in row.cells else "by") for row in held)


def test_tables_are_read_once() -> None:
    assert table("drills") is table("drills")


@pytest.mark.parametrize(
    ("text", "value"),
    [("0.4062", 0.4062), ("13/32", 0.40625), ("1 1/32", 1.03125), ("1-1/32", 1.03125), ("-0.8", -0.8), ("-1 1/2", -1.5)],
)  # fmt: skip
def test_figures_are_read_without_rounding(text: str, value: float) -> None:
    assert float(loader.exact(text)) == value


def test_units_turn_into_the_programs_own() -> None:
    """International inch and pound (exact by definition); 1 ksi = 6.894757 MPa (NIST SP 811, memory)."""
    assert table("bolt_grades_inch").rows[0].value("tensile") == pytest.approx(74 * 6.894757293)
    assert table("clearance_inch").rows[0].value("nominal") == pytest.approx(0.19 * 25.4, abs=1e-12)
    assert table("dowels_inch").rows[0].value("single_shear") == pytest.approx(1600 * 4.4482216153)
    assert table("dowels_metric").rows[0].value("single_shear") == 7400
    assert table("ansi_b41").rows[0].value("hole_upper") == pytest.approx(0.4e-3 * 25.4)
    assert table("materials").rows[0].value("e_from") == 200_000
