"""The bench on a screen: every aid opens, works on what a person types, and gives it to a unit.

Expected figures by hand: four readings of one turn, a chord of six holes. Units are invented.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.conftest import Open, press, written
from wizard.desk import units
from wizard.desk.bench import AIDS
from wizard.desk.place import open_store


@pytest.mark.parametrize("name", list(AIDS))
def test_every_aid_opens_and_asks(name: str, screen: Open, shop: Path) -> None:
    app = screen("bench", aid=name)
    assert AIDS[name].says in written(app)
    asked = [one.label for kind in ("text_input", "text_area", "segmented_control") for one in app.get(kind)]  # fmt: skip
    for one in AIDS[name].fields:
        assert one.label[:1].upper() + one.label[1:] in asked


def test_a_sweep_says_where_to_move_the_housing(screen: Open, shop: Path) -> None:
    app = screen("bench", aid="sweep")
    app.text_area(key="bench.sweep.readings").set_value("0:0.098,90:0.069,180:-0.098,270:-0.069")
    next(one for one in app.segmented_control if "plunger" in one.label).set_value("out")
    press(app, "Work it out")
    said = written(app)
    assert "0.120 mm" in said
    assert "215°" in said
    assert "Turn the crank by hand only" in said
    assert len(app.get("plotly_chart")) == 1


def test_what_cannot_be_used_is_said_and_nothing_is_lost(screen: Open, shop: Path) -> None:
    app = screen("bench", aid="sweep")
    app.text_area(key="bench.sweep.readings").set_value("0:0.098,90")
    next(one for one in app.segmented_control if "plunger" in one.label).set_value("out")
    press(app, "Work it out")
    assert "90:0.05" in written(app)
    assert app.text_area(key="bench.sweep.readings").value == "0:0.098,90"


def test_a_dimension_goes_into_a_unit(screen: Open, shop: Path) -> None:
    app = screen("bench", aid="bolt-circle")
    app.text_input(key="bench.bolt-circle.count").set_value("6")
    app.text_area(key="bench.bolt-circle.gap").set_value("44.45")
    app.text_area(key="bench.bolt-circle.hole").set_value("11.1")
    press(app, "Work it out")
    assert "111.1 mm" in written(app)
    app.selectbox(key="bench.unit").set_value("Marl four").run()
    app.selectbox(key="bench.key.Marl four").set_value("engine.drive.circle.diameter").run()
    app.text_input(key="by").set_value("B. Rook").run()
    press(app, "Put it in")
    assert "revision 2" in written(app)
    with open_store(shop) as store:
        unit, _ = units.show(store, "Marl four")
    newest, before = unit.drive.circle.diameter.readings  # type: ignore[union-attr]
    assert newest.value == pytest.approx(111.1)
    assert "44.45" in newest.how
    assert before.value == 80
