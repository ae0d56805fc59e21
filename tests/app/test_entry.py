"""Entering a unit: what is typed is kept at once, drawn as it grows, and ends in the catalogue."""

from __future__ import annotations

from pathlib import Path

from kb.model.unit import Engine
from tests.app.conftest import Open, press, written
from wizard.desk import drafts, units
from wizard.desk.place import open_store


def box(app: object, label: str) -> object:
    """A box by the start of its label."""
    found = [one for one in (*app.text_input, *app.text_area) if one.label.startswith(label)]  # type: ignore[attr-defined]
    assert len(found) == 1, [one.label for one in found]
    return found[0]


def test_a_unit_is_entered_and_kept(screen: Open, place: Path) -> None:
    app = screen("entry", kind="engine")
    assert "Still needed before it can be paired" in written(app)
    box(app, "Name").set_value("Marl four").run()  # type: ignore[attr-defined]
    box(app, "Bolt holes").set_value("1, -5 1/4, 6.125, 3/8-16\n2, 5.25, 6, 3/8-16").run()  # type: ignore[attr-defined]
    box(app, "Driving face standing proud").set_value("0.750 ± .005 in").run()  # type: ignore[attr-defined]
    with open_store(place) as store:
        (draft,) = drafts.rows(store, drafts.UNIT)
        assert draft.title == "engine, Marl four"
        assert draft.body["drive.standoff"] == "0.750 ± .005 in"
    again = screen("entry", draft=draft.mark)  # as after a reload
    assert box(again, "Name").value == "Marl four"  # type: ignore[attr-defined]
    press(again, "Keep it in the catalogue")
    with open_store(place) as store:
        unit, _ = units.show(store, "Marl four")
        assert drafts.rows(store) == []
    assert isinstance(unit, Engine)
    assert unit.drive is not None
    assert unit.drive.standoff is not None
    assert unit.drive.standoff.first.typed == "0.750 ± .005 in"


def test_what_is_not_on_the_screen_is_not_lost(screen: Open, place: Path) -> None:
    app = screen("entry", kind="engine")
    box(app, "Name").set_value("Marl four").run()  # type: ignore[attr-defined]
    box(app, "Bolt holes").set_value("1, 10, 20, M8").run()  # type: ignore[attr-defined]
    app.radio[0].set_value("circle").run()
    assert not [one for one in app.text_area if one.label.startswith("Bolt holes")]
    app.radio[0].set_value("x-y").run()
    assert box(app, "Bolt holes").value == "1, 10, 20, M8"  # type: ignore[attr-defined]


def test_a_slip_is_said_and_nothing_goes(screen: Open, place: Path) -> None:
    app = screen("entry", kind="engine")
    box(app, "Name").set_value("Marl four").run()  # type: ignore[attr-defined]
    box(app, "Driving face standing proud").set_value("about 3/4").run()  # type: ignore[attr-defined]
    assert "about 3/4" in written(app)
    assert next(one for one in app.button if one.label == "Keep it in the catalogue").disabled
    assert box(app, "Name").value == "Marl four"  # type: ignore[attr-defined]


def test_a_kept_unit_is_opened_for_another_reading(screen: Open, shop: Path) -> None:
    app = screen("entry", kind="engine", unit="Marl four")
    assert box(app, "Driving face standing proud").value == "12.00 ± 0.05"  # type: ignore[attr-defined]
    with open_store(shop) as store:
        assert drafts.rows(store) == []  # nothing has been typed yet
    box(app, "Driving face standing proud").set_value("12.04 ± 0.02").run()  # type: ignore[attr-defined]
    press(app, "Keep it in the catalogue")
    with open_store(shop) as store:
        unit, _ = units.show(store, "Marl four")
    assert isinstance(unit, Engine)
    assert unit.drive is not None
    assert unit.drive.standoff is not None
    assert [one.typed for one in unit.drive.standoff.readings] == ["12.04 ± 0.02", "12.00"]


def test_a_way_that_got_lost_leaves_the_holes_where_they_are(screen: Open, place: Path) -> None:
    """A browser that sends no choice at all: the boxes are those of the usual way, not none."""
    app = screen("entry")
    way = next(one for one in app.radio if one.label == "How the holes are placed")
    app.session_state[way.key] = None
    app.run()
    assert any("Bolt holes (engine face)" in one.label for one in app.text_area)
