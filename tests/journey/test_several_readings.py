"""A dimension read more than once: combined by weight, tested for agreement, shown where it is seen.

Weighted mean and its ±: JCGM 100:2008, H.5 (independent readings, weights 1/u², from memory).
Chance of the spread: scipy.stats.chi2, a second implementation of the same distribution.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.stats import chi2

from kb.errors import InputError
from kb.model.measured import Measured
from kb.quantity import read_length
from kb.sheets.reading import read_units
from kb.store.catalogue import Catalogue
from kb.store.place import open_store
from tests.journey.command import trialfit
from wizard.desk import entry, portrait, units
from wizard.engine.normalise import disagreement, each_reading, taken

KEY = "engine.drive.standoff"


def measured(*texts: str) -> Measured:
    return Measured(readings=tuple(read_length(text, key=KEY, units="mm") for text in texts))


def test_the_more_certain_reading_weighs_more() -> None:
    found = taken(KEY, measured("10.00 ± 0.10", "10.09 ± 0.05"))
    w = (1 / 0.10**2, 1 / 0.05**2)
    assert found.value == pytest.approx((w[0] * 10.00 + w[1] * 10.09) / sum(w))
    assert found.within == pytest.approx(1 / math.sqrt(sum(w)))
    assert not found.disagree


@pytest.mark.parametrize(
    "texts",
    [("10.00 ± 0.10", "10.09 ± 0.05"), ("10.0 ± 0.1", "10.4 ± 0.1", "10.1 ± 0.05"), ("10 ± 0.2", "10 ± 0.1")],
)  # fmt: skip
def test_the_chance_of_the_spread_is_that_of_chi_squared(texts: tuple[str, ...]) -> None:
    readings = each_reading(KEY, measured(*texts))
    sigma = [one.within / 2 for one in readings]
    mean = sum(one.value / s**2 for one, s in zip(readings, sigma, strict=True)) / sum(1 / s**2 for s in sigma)  # fmt: skip
    square = sum(((one.value - mean) / s) ** 2 for one, s in zip(readings, sigma, strict=True))
    assert disagreement(readings) == pytest.approx(chi2.sf(square, len(texts) - 1), rel=1e-9)


def test_one_reading_or_an_exact_one_has_no_spread() -> None:
    assert disagreement(each_reading(KEY, measured("10 ± 0.1"))) is None


def test_a_disagreement_is_shown_where_the_unit_is(tmp_path: Path) -> None:
    sheet = tmp_path / "u.toml"
    sheet.write_text(
        'units = "mm"\n[engine]\nname = "Marl"\n[engine.drive]\n'
        'standoff = ["12.00 ± 0.02", "12.30 ± 0.02"]\noutside = ["110.0 ± 0.1", "110.1 ± 0.1"]\n',
        encoding="utf-8",
    )
    store = tmp_path / "s.sqlite"
    trialfit("units", "add", sheet, store=store)
    said = trialfit("units", "show", "Marl", store=store).stdout
    assert "from 2 readings, THEY DISAGREE beyond their instruments" in said
    assert "from 2 readings, they agree" in said
    with open_store(store) as opened:
        first, second = portrait.several(units.show(opened, "Marl")[0], first="mm")
    assert (first.agree, second.agree) == (False, True)  # what is wrong stands first


TWO = '["12.00 ± 0.02", "12.30 ± 0.02"]'


def test_one_reading_is_taken_by_hand_and_let_go_again(tmp_path: Path) -> None:
    sheet, store = tmp_path / "u.toml", tmp_path / "s.sqlite"
    sheet.write_text(
        f'units = "mm"\n[engine]\nname = "Marl"\n[engine.drive]\nstandoff = {TWO}\n',
        encoding="utf-8",
    )
    trialfit("units", "add", sheet, store=store)
    said = trialfit("units", "choose", "marl", KEY, 2, store=store).stdout
    assert "reading 2 of 2 is taken, chosen by hand, THEY DISAGREE" in said
    assert "revision 2" in said
    with open_store(store) as opened:
        unit, written = units.show(opened, "Marl")
        assert unit.drive.standoff.first.typed == "12.30 ± 0.02"
        one = taken(KEY, unit.drive.standoff)
        assert (one.value, one.within, one.readings, one.disagree) == (
            12.3,
            pytest.approx(0.02),
            2,
            True,
        )
        assert units.add_from_text(opened, written)[0].revision == 3  # the sheet carries the choice
        assert units.show(opened, "Marl")[0] == unit
        assert units.show(opened, "Marl", revision=1)[0].drive.standoff.chosen == 0
    trialfit("units", "choose", "Marl", KEY, 0, store=store)
    with open_store(store) as opened:
        assert units.show(opened, "Marl")[0].drive.standoff.chosen == 0


@pytest.mark.parametrize(
    ("key", "number", "says"),
    [(KEY, 3, "write 1 to 2, or 0"), (KEY, -1, "write 1 to 2, or 0"), ("engine.drive.face", 1, f"read more than once: {KEY}")],
)  # fmt: skip
def test_a_reading_that_is_not_there_is_refused(
    key: str, number: int, says: str, tmp_path: Path
) -> None:
    with open_store(tmp_path / "s.sqlite") as opened:
        units.add_from_text(
            opened, f'units = "mm"\n[engine]\nname = "Marl"\ndrive.standoff = {TWO}\n'
        )
        with pytest.raises(InputError, match=says):
            units.choose(opened, "Marl", key, number)
        assert len(Catalogue(opened).history("engine", "Marl")) == 1


def test_two_chosen_readings_of_one_length_are_refused() -> None:
    chosen = "{ value = 12, chosen = true }"
    with pytest.raises(InputError, match="choose one reading at most"):
        read_units(f'units = "mm"\n[engine]\nname = "M"\ndrive.standoff = [{chosen}, {chosen}]\n')


def test_a_new_reading_opens_the_choice_again(tmp_path: Path) -> None:
    with open_store(tmp_path / "s.sqlite") as opened:
        units.add_from_text(
            opened, f'units = "mm"\n[engine]\nname = "Marl"\ndrive.standoff = {TWO}\n'
        )
        units.choose(opened, "Marl", KEY, 2)
        unit = units.show(opened, "Marl")[0]
        typed = entry.typed_of(unit)
        assert typed["drive.standoff"] == "12.30 ± 0.02"  # what counts is what is shown
        entry.keep(opened, "engine", typed)
        assert units.show(opened, "Marl")[0].drive.standoff == unit.drive.standoff  # as it was
        entry.keep(opened, "engine", typed | {"drive.standoff": "12.20 ± 0.02"})
        after = units.show(opened, "Marl")[0].drive.standoff
        assert [one.typed for one in after.readings] == [
            "12.20 ± 0.02",
            "12.00 ± 0.02",
            "12.30 ± 0.02",
        ]
        assert after.chosen == 0
