"""Stacks of swept parts that nobody can mean are refused by name."""

from __future__ import annotations

import math

import pytest

from kb.errors import InputError, OutOfScope
from tests.bench.stacks import FEW, converter, crank, face, runout, spacer
from wizard.bench.swept import HeavySide, Part, Turned
from wizard.bench.truing import truing

TWICE = [spacer("0.1", 0), spacer("0.1", 0)]


@pytest.mark.parametrize(
    ("driver", "turned", "field"),
    [
        (crank(), [], "parts"),
        (crank(), TWICE, "parts"),
        (crank(), [spacer("0.1", 0)] * 4, "parts"),
        (crank(), [spacer("0.1", 0, 0)], "spacer.positions"),
        (crank(), [spacer("0.1", 0, 61)], "spacer.positions"),
        (crank(), [spacer("0.1", 0, 2.5)], "spacer.positions"),  # type: ignore[arg-type]
        (crank(), [spacer("0.1", 0, True)], "spacer.positions"),
        (crank(), [spacer("0.1", 361)], "spacer.toward"),
        (crank(), [spacer("0.1", math.nan)], "spacer.toward"),
        (crank(), [spacer("-0.1", 0)], "spacer.tir"),
        (crank(), [spacer("0.1", 0, onto="bell")], "spacer.onto"),
        (crank(), [spacer("0.1", 0, step=" ")], "spacer.step"),
        (crank(), [spacer("0.1", 0, mass_kg=0.0)], "spacer.mass"),
        (crank(), [spacer("0.1", 0, mass_kg=math.nan)], "spacer.mass"),
        (crank(), [spacer("0.1", 0, heavy=HeavySide(amount_gmm=-1, toward=0))],
         "spacer.unbalance"),
        (crank(face=face("0.1", 0, 0, 100)), [spacer("0.1", 0)], "crank.face.radius"),
        (crank(face=face("0.1", 50, 0, -1)), [spacer("0.1", 0)], "crank.face.distance"),
        (crank(face=face("0.1", 50, math.inf, 1)), [spacer("0.1", 0)], "crank.face.high"),
        (crank(face=face("-0.1", 50, 0, 1)), [spacer("0.1", 0)], "crank.face"),
        (Part(name="crank", runout=runout("0.1", 0, of="radius")), [spacer("0.1", 0)], "crank.of"),
        (Part(name="crank", runout=runout("0.1", 0, toward_within=181)), [spacer("0.1", 0)],
         "crank.toward"),
    ],
)  # fmt: skip
def test_what_nobody_can_mean_is_refused(driver: Part, turned: list[Turned], field: str) -> None:
    with pytest.raises(InputError) as refused:
        truing(driver, turned, draws=FEW)
    assert refused.value.field == field


def test_a_stack_half_swept_on_its_faces_is_refused() -> None:
    with pytest.raises(InputError, match="every face") as refused:
        truing(crank(face=face("0.1", 50, 0, 100)), [spacer("0.1", 0)], bolted=True)
    assert refused.value.field == "spacer.face"


def test_more_positions_than_anyone_goes_through() -> None:
    with pytest.raises(OutOfScope, match="positions"):
        truing(crank(), [spacer("0.1", 0, 60), converter("0.1", 0, 60), converter_two(2)])


def converter_two(positions: int) -> Turned:
    return Turned(name="drum", runout=runout("0.1", 0), positions=positions)


def test_a_face_that_was_not_swept_is_said_to_be_taken_as_square() -> None:
    made = truing(crank(face=face("0.1", 50, 0, 100)), [spacer("0.1", 0)], draws=FEW)
    assert any(one.key == "spacer, face" and one.value == "square" for one in made.assumed)
