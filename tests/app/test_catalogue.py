"""The catalogue: the list, one unit with its faces and readings, taking in and taking out.

One inch is 25.4 mm exactly (the international yard and pound agreement of 1959).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from kb.model.unit import Engine
from tests.app.conftest import Open, press, written
from wizard.desk import units
from wizard.desk.place import open_store

INCH = 25.4


def linked(app: AppTest) -> list[str]:
    """The names a screen leads on to."""
    return [element.proto.label.replace("\\", "").strip("*") for element in app.get("page_link")]


def test_the_list_is_narrowed_by_kind_and_by_words(screen: Open, shop: Path) -> None:
    app = screen("catalogue")
    assert linked(app) == ["Marl four", "Tarn three-speed", "Tarn flexplate"]
    kind = next(one for one in app.segmented_control if one.label == "Kind")
    kind.set_value("gearbox").run()
    assert linked(app) == ["Tarn three-speed"]
    kind.set_value(None).run()
    app.text_input(key="words").set_value("FOUR").run()
    assert linked(app) == ["Marl four"]
    app.text_input(key="words").set_value("nothing of the kind").run()
    assert "No unit of that kind and name." in written(app)


def test_a_unit_shows_every_reading_in_both_systems(screen: Open, shop: Path) -> None:
    app = screen("catalogue", unit="Marl four", kind="engine")
    assert app.title[0].value == "Marl four"
    said = written(app)
    assert f"12.00 mm ± 0.05 · {12 / INCH:.3f} in" in said
    for piece in ("depth micrometer", "A. Fenn", "2026-03-02", "measured"):
        assert piece in said
    app.segmented_control(key="units").set_value("in").run()
    assert f"{12 / INCH:.3f} in ± .002 · 12.00 mm" in written(app)
    assert {chart.proto.alt for chart in app.get("plotly_chart")} == {
        "engine face of Marl four, to scale",
        "crank flange of Marl four, to scale",
    }


def test_an_unknown_unit_is_answered_with_the_nearest(screen: Open, shop: Path) -> None:
    app = screen("catalogue", unit="Marl for", kind="engine")
    said = written(app)
    assert "Marl for" in said
    assert "nearest: “Marl four”" in said


def test_a_pasted_sheet_is_kept_as_the_next_revision(screen: Open, shop: Path) -> None:
    app = screen("catalogue")
    app.text_area[0].set_value('units = "mm"\n[engine]\nname = "Marl four"\n')
    app = press(app, "Keep it")
    assert "revision 2" in written(app)
    with open_store(shop) as store:
        assert [row.revision for row in units.rows(store, kind="engine")] == [2]


@pytest.mark.parametrize(
    ("sheet", "field", "text"),
    [
        ('units = "mm"\n[engine]\nname = "X"\nrotation = "left"\n', "engine.rotation", "left"),
        ('units = "mm"\n[engine]\nname = "X"\n[engine.drive]\nstandoff = "a bit"\n', "engine.drive.standoff", "a bit"),
        ('units = "mm"\n[engine]\nname = "X"\n[engine.drive]\nstandoff = nan\n', "engine.drive.standoff", "NaN"),
        ('units = "mm"\n', "sheet", "(no unit)"),
        ("", "sheet", "(nothing)"),
        ("no toml at all", "sheet", "no toml at all"),
    ],
)  # fmt: skip
def test_a_sheet_that_cannot_be_used_is_answered_with_field_text_and_what_is_accepted(
    screen: Open, shop: Path, sheet: str, field: str, text: str
) -> None:
    app = screen("catalogue")
    app.text_area[0].set_value(sheet)
    app = press(app, "Keep it")
    refusal = next(e.proto.body for e in app.get("html") if 'class="nb-refused"' in e.proto.body)
    for piece in ("Field", "Stood there", "Accepted", field, text):
        assert piece in refusal
    with open_store(shop) as store:
        assert len(units.rows(store)) == 3


def test_an_uploaded_sheet_must_be_text(screen: Open, shop: Path) -> None:
    app = screen("catalogue")
    app.file_uploader[0].set_value(("unit.toml", b"\xff\xfe\x00", "application/toml"))
    app = press(app, "Keep it")
    assert "byte 1 is not UTF-8" in written(app)


def test_a_unit_is_taken_out_only_when_it_is_confirmed(screen: Open, shop: Path) -> None:
    app = screen("catalogue", unit="Tarn flexplate", kind="flexplate")
    with open_store(shop) as store:
        assert len(units.rows(store, kind="flexplate")) == 1
    app = press(app, "Yes, take it out")
    assert "Tarn flexplate has been taken out." in written(app).replace("\\", "")
    with open_store(shop) as store:
        assert units.rows(store, kind="flexplate") == []


def test_an_engine_leads_on_to_its_pairing(screen: Open, shop: Path) -> None:
    app = press(screen("catalogue", unit="Marl four", kind="engine"), "Pair this engine")
    assert app.title[0].value == "Pairing"
    assert app.selectbox[0].value == "Marl four"


def test_a_reading_is_taken_by_hand(screen: Open, shop: Path) -> None:
    with open_store(shop) as store:
        unit = units.show(store, "Marl four")[0]
        assert isinstance(unit, Engine)
        assert unit.drive is not None
        assert unit.drive.standoff is not None
        other = replace(unit.drive.standoff.first, value=12.4, typed="12.4 ± 0.02", below=0.02, above=0.02, by="B. Ryle")  # fmt: skip
        units.add_reading(store, "Marl four", "engine.drive.standoff", other)
    app = screen("catalogue", unit="Marl four", kind="engine")
    assert "THEY DISAGREE" in written(app)
    take = next(one for one in app.radio if one.label == "Take")
    assert take.options[0] == "all of them, combined"
    assert "12.40 mm" in take.options[1]
    assert "B. Ryle" in take.options[1]
    take.set_value(1).run()
    press(app, "Take it")
    assert "reading 1 of 2 is taken, chosen by hand" in written(app)
    with open_store(shop) as store:
        kept = units.show(store, "Marl four")[0]
        assert isinstance(kept, Engine)
        assert kept.drive is not None
        assert kept.drive.standoff is not None
        assert kept.drive.standoff.first.value == 12.4
