"""The short tour: offered with the demo, led from screen to screen, ended at will."""

from __future__ import annotations

from pathlib import Path

from tests.app.conftest import Open, press, written
from wizard.app import tour
from wizard.desk import demo
from wizard.desk.place import open_store


def markdown(app: object) -> str:
    return " ".join(one.value for one in app.markdown)  # type: ignore[attr-defined]


def test_without_the_demos_units_there_is_no_tour(screen: Open, shop: Path) -> None:
    assert not [one for one in screen("start").button if one.label == "Take a short tour"]


def test_the_tour_goes_from_screen_to_screen_and_ends(screen: Open, shop: Path) -> None:
    with open_store(shop) as store:
        demo.load(store)
        pair = demo.shown_pair(store)
    assert pair is not None
    walk = tour.stops(*pair)
    app = press(screen("start"), "Take a short tour")
    for number, stop in enumerate(walk, 1):
        assert not app.exception
        assert f"Tour, {number} of {len(walk)}." in markdown(app)
        assert stop.says[:40] in markdown(app)
        if number < len(walk):
            app = press(app, "Next")
    app = press(app, "Back")
    assert f"Tour, {len(walk) - 1} of {len(walk)}." in markdown(app)
    app = press(app, "End the tour")
    assert "Tour," not in markdown(app)
    assert not written(app).count("Tour,")
