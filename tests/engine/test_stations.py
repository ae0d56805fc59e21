"""Where the faces stand, by hand from the equations; and small pieces of the axial stage."""

from __future__ import annotations

import pytest

from kb.model.chain import Length
from kb.sheets.reading import read
from tests.engine.jobs import AUTOMATIC, MANUAL
from tests.engine.patterns import feature
from wizard.engine.axial.chain import chain
from wizard.engine.axial.odds import draw
from wizard.engine.axial.region import lengths_at
from wizard.engine.design import design
from wizard.engine.lineup import _shared
from wizard.engine.normalise import normalise


def test_stations_of_an_automatic() -> None:
    """t 20, z_d 6.35, L 30.23 for a gap of 4, f 8, D 28.58, h 16, ring 20 from its carrier."""
    found = design(read(AUTOMATIC), draws=100).chain
    assert found is not None
    z = found.stations
    spacer = 20 + 28.58 - 6.35 - 8 - 4
    assert found.spacer == pytest.approx(spacer)
    assert z["plate_rear"] == z["gearbox_face"] == pytest.approx(20)
    assert z["driving_face"] == pytest.approx(6.35)
    assert z["driven_face"] == z["pilot_mouth"] == pytest.approx(6.35 + spacer)
    assert z["contact"] == pytest.approx(6.35 + spacer + 8)
    assert z["lugs_seated"] == pytest.approx(20 + 28.58)
    assert z["lugs_seated"] - z["contact"] == pytest.approx(4)
    assert z["nose_tip"] == pytest.approx(6.35 + spacer + 8 - 16)
    assert z["ring_front"] == pytest.approx(6.35 + 20)
    assert z["ring_rear"] == pytest.approx(6.35 + 20 + 10)


def test_stations_of_a_manual() -> None:
    found = design(read(MANUAL), draws=100).chain
    assert found is not None
    z = found.stations
    assert z["driven_face"] == pytest.approx(20)
    assert z["clutch_face"] == pytest.approx(48)
    assert z["fingers"] == pytest.approx(108)
    assert z["bearing"] == pytest.approx(112)
    assert z["bearing"] - z["fingers"] == pytest.approx(found.values["release_gap"])
    assert z["shaft_end"] == pytest.approx(-2)
    assert z["pilot_mouth"] == pytest.approx(20)


def test_packing_counts_between_the_faces() -> None:
    thick = design(
        read(AUTOMATIC.replace("plate = 20", "plate = 20\npacking = 1.5")), draws=100
    ).chain
    assert thick is not None
    assert thick.stations["gearbox_face"] == pytest.approx(21.5)
    assert thick.values["tail_shift"] == pytest.approx(21.5)
    assert thick.spacer == pytest.approx(20 + 1.5 + 28.58 - 6.35 - 8 - 4)


def test_the_crank_side_mouth_and_the_spindle() -> None:
    own = AUTOMATIC.replace(
        "outside = 110", "outside = 110\npilot = { diameter = 40.05, depth = 30, mouth = -2 }"
    )
    long = own.replace('reach = "16 ± 0.05"', 'reach = "60 ± 0.05"')
    crank = chain(normalise(read(long)), draws=100)
    assert crank is not None
    assert crank.values["nose_engagement"] == pytest.approx(60 - 8 - 30.23 - 2)
    assert crank.stations["pilot_mouth"] == pytest.approx(6.35 - 2)
    spindle = chain(
        normalise(read(AUTOMATIC.replace("plate = 20", "plate = 20\nspindle_length = 25"))),
        draws=100,
    )
    assert spindle is not None
    assert spindle.values["nose_engagement"] == pytest.approx(16 - 8 - (30.23 - 25))


@pytest.mark.parametrize(
    ("plate", "span"),
    [(0.0, (0.0, 4.0)), (5.0, (2.5, 7.0)), (10.0, (5.0, 10.0)), (10.001, None), (-1.0, None)],
)
def test_lengths_that_work_with_a_plate(plate: float, span: tuple[float, float] | None) -> None:
    """Corners (0,0) (10,5) (10,10) (0,4): straight edges, so by proportion."""
    assert lengths_at([(0, 0), (10, 5), (10, 10), (0, 4)], plate) == (
        None if span is None else pytest.approx(span)
    )


@pytest.mark.parametrize(("apart", "shared"), [(0.2, True), (0.3, False), (-0.2, True)])
def test_one_screw_serves_two_holes_that_coincide(apart: float, shared: bool) -> None:
    """A 10.5 mm hole leaves an M10 a quarter of a millimetre all round."""
    from dataclasses import replace

    from kb.model.lineup import Pattern

    tapped = feature("1", 100, 0, 18)
    clear = replace(feature("2", 100, apart, 10, "gearbox"), kind="clear", diameter=10.5)
    found = _shared(
        Pattern(side="engine", holes=(tapped,)), Pattern(side="gearbox", holes=(clear,)), 0.0
    )
    assert found == ((("1", "2"),) if shared else ())


@pytest.mark.parametrize(
    ("spread", "variance"),
    [("normal", 1 / 4), ("uniform", 1 / 3), ("triangular", 1 / 6), ("exact", 0.0)],
)
def test_draws_have_the_variance_of_their_spread(spread: str, variance: float) -> None:
    """For limits ±1: (1/2)², 1/3 and 1/6, closed forms."""
    one = Length(key="x", value=0.0, low=-1.0, high=1.0, spread=spread, source="measured")
    sample = draw([one], draws=200_000)
    assert sample.var() == pytest.approx(variance, abs=0.005)
    assert sample.mean() == pytest.approx(0.0, abs=0.01)
