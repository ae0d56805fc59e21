"""Dial sweeps of bores and faces, and the log of them.

Sources: a bore off by e runs out by 2e and reads e·cos round the turn, geometry; four readings
0, +.003, −.002, +.003 in of a housing bore, TIR .005, half of it the offset: common practice, no
source (read). Offset dowels: common practice, no source. Readings are invented.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kb.errors import InputError
from kb.quantity import read_length
from tests.bench.readings import reading
from wizard.bench.face_sweep import sweep_face, together
from wizard.bench.sweep import Corrections, DialReading, sweep_bore
from wizard.bench.sweep_log import Log, log


def round_bore(
    offset: float, toward: float, *, count: int = 8, sense: str = "out", to: float = 0.005,
    oval: float = 0.0,
) -> list[DialReading]:  # fmt: skip
    """A dial on the crank in a bore whose axis is off: the wall stands farther out toward there."""
    sign = 1 if sense == "out" else -1
    rows = []
    for at in np.arange(count) * 360 / count:
        size = offset * math.cos(math.radians(at - toward)) + oval / 2 * math.cos(2 * math.radians(at))  # fmt: skip
        rows.append(DialReading(at=float(at), reading=reading(sign * size, to=to, within=None)))
    return rows


def test_the_four_readings_of_practice() -> None:
    """.005 in between highest and lowest; one turn fitted through them is .001 off, downward."""
    rows = [DialReading(at=at, reading=read_length(text, key="dial", units="in"))
            for at, text in ((0, "0"), (90, "+.003"), (180, "-.002"), (270, "+.003"))]  # fmt: skip
    found = sweep_bore(rows, sense="in")
    assert found.raw_tir == pytest.approx(0.005 * 25.4)
    assert found.offset == pytest.approx(0.001 * 25.4)
    assert found.closure == pytest.approx(-0.008 * 25.4)
    assert found.closes is False  # 12 + 6 is −.002, 3 + 9 is +.006: not one round bore


@pytest.mark.parametrize("sense", ["in", "out"])
@pytest.mark.parametrize("toward", [0, 35, 90, 200, 315])
def test_offset_and_direction(toward: float, sense: str) -> None:
    found = sweep_bore(round_bore(0.12, toward, sense=sense), sense=sense)
    assert found.offset == pytest.approx(0.12, abs=0.004)
    assert abs((found.toward - toward + 180) % 360 - 180) < 2
    assert found.tir == pytest.approx(2 * found.offset)
    assert (found.move_to - found.toward) % 360 == pytest.approx(180)
    assert found.closes


def test_the_example_of_the_command() -> None:
    rows = [DialReading(at=at, reading=read_length(text, key="dial", units="mm"))
            for at, text in ((0, "0.098"), (90, "0.069"), (180, "-0.098"), (270, "-0.069"))]  # fmt: skip
    found = sweep_bore(rows, sense="out")
    assert found.offset == pytest.approx(math.hypot(0.098, 0.069))
    assert found.toward == pytest.approx(math.degrees(math.atan2(0.069, 0.098)))


def test_sag_is_taken_off() -> None:
    """An arm that reads −0.04 at the bottom of a bar droops as much toward the wall of a bore."""
    rows = [
        DialReading(at=one.at, reading=reading(
            one.reading.value + 0.04 * (1 - math.cos(math.radians(one.at))) / 2, to=0.001, within=None))
        for one in round_bore(0.10, 90, to=0.001)
    ]  # fmt: skip
    bare = sweep_bore(rows, sense="out")
    known = sweep_bore(
        rows, sense="out", corrections=Corrections(sag=reading(0.04, to=0.001), sag_on="ring")
    )
    assert bare.offset > 0.101
    assert known.offset == pytest.approx(0.10, abs=0.001)
    assert known.toward == pytest.approx(90, abs=1)


def test_an_oval_bore_is_told_from_an_offset_one() -> None:
    found = sweep_bore(round_bore(0.10, 60, oval=0.12), sense="out")
    assert found.closes is False
    assert [one.kind for one in found.explained] == ["oval"]
    assert found.offset == pytest.approx(0.10, abs=0.006)


def test_a_swapped_pair_is_named() -> None:
    rows = round_bore(0.15, 20)
    rows[2], rows[5] = (DialReading(at=rows[2].at, reading=rows[5].reading), DialReading(at=rows[5].at, reading=rows[2].reading))  # fmt: skip
    found = sweep_bore(rows, sense="out")
    assert any(one.kind == "swapped" and set(one.places) == {2, 5} for one in found.explained)


@pytest.mark.parametrize("wrong", [1, 4, 6])
def test_a_misread_dial_is_named(wrong: int) -> None:
    rows = round_bore(0.15, 20)
    rows[wrong] = DialReading(at=rows[wrong].at, reading=reading(rows[wrong].reading.value + 0.2, to=0.005, within=None))  # fmt: skip
    found = sweep_bore(rows, sense="out")
    assert found.closes is False
    assert any(wrong in one.places for one in found.explained)
    assert found.offset == pytest.approx(0.15, abs=0.012)


def test_offset_dowels_are_picked_from_stock() -> None:
    """Off by .0095 in with .007, .014, .021 in stock: .007 leaves a TIR of .005 (common practice)."""
    found = sweep_bore(round_bore(0.0095 * 25.4, 130, to=0.0001), sense="out")
    assert found.dowels.size == pytest.approx(0.007 * 25.4)
    assert found.dowels.tir == pytest.approx(0.005 * 25.4, abs=0.002)
    assert abs((found.dowels.toward - 310 + 180) % 360 - 180) < 1


def test_all_readings_equal_is_a_true_bore() -> None:
    found = sweep_bore(round_bore(0.0, 0), sense="out", allowed=0.13)
    assert found.offset == pytest.approx(0, abs=1e-12)
    assert found.passes
    assert any("direction says nothing" in line for line in found.says)


@pytest.mark.parametrize(("allowed", "passes"), [(0.30, True), (0.24, None), (0.15, False)])
def test_a_limit_within_the_readings_says_neither(allowed: float, passes: bool | None) -> None:
    assert sweep_bore(round_bore(0.12, 0), sense="out", allowed=allowed).passes is passes


def test_the_stated_width_holds() -> None:
    """400 sweeps of eight readings read anew: 95 in 100 axes lie as near as is said."""
    random = np.random.default_rng(8)
    held = 0
    for _ in range(400):
        rows = [DialReading(at=one.at, reading=reading(one.reading.value + random.normal(0, 0.005), to=0.001, within=None))
                for one in round_bore(0.1, 40, to=0.001)]  # fmt: skip
        found = sweep_bore(rows, sense="out")
        turn, true = math.radians(found.toward), math.radians(40)
        miss = math.hypot(found.offset * math.sin(turn) - 0.1 * math.sin(true), found.offset * math.cos(turn) - 0.1 * math.cos(true))  # fmt: skip
        held += miss <= found.within
    assert held >= 0.95 * 400 - 10


@pytest.mark.parametrize(
    ("rows", "sense", "field"),
    [
        (round_bore(0.1, 0)[:2], "in", "readings"),
        ([DialReading(at=0, reading=reading(0.1))] * 4, "in", "readings"),
        (round_bore(0.1, 0), "up", "sense"),
        ([DialReading(at=1000, reading=reading(0.1)), *round_bore(0.1, 0)], "in", "readings"),
    ],
)
def test_what_nobody_can_mean_is_refused(rows: list[DialReading], sense: str, field: str) -> None:
    with pytest.raises(InputError) as refused:
        sweep_bore(rows, sense=sense)
    assert refused.value.field == field


# ── faces, and the log ──────────────────────────────────────────────────────


@pytest.mark.parametrize("stands", ["behind", "ahead"])
def test_a_face_leans_away_from_where_it_stands_farthest_back(stands: str) -> None:
    """0.10 over a diameter of 300 leans a third of a thousandth; 180 behind it that is 0.06."""
    sign = 1 if stands == "behind" else -1
    rows = [
        DialReading(at=float(at), reading=reading(sign * 0.05 * math.cos(math.radians(at - 30)), to=0.001, within=None))
        for at in range(0, 360, 45)
    ]  # fmt: skip
    found = sweep_face(rows, radius=reading(150), sense="in", stands=stands, distance=reading(180))
    assert found.tir == pytest.approx(0.10, abs=0.002)
    assert found.slope == pytest.approx(0.10 / 300, rel=0.02)
    assert found.rearmost == pytest.approx(30, abs=2)
    assert found.leans_to == pytest.approx(210, abs=2)
    assert found.drift == pytest.approx(0.06, abs=0.002)


def test_bore_and_face_together_are_a_vector_sum() -> None:
    bore = sweep_bore(round_bore(0.05, 210, to=0.001), sense="out")
    rows = [
        DialReading(at=float(at), reading=reading(0.05 * math.cos(math.radians(at - 30)), to=0.001, within=None))
        for at in range(0, 360, 45)
    ]  # fmt: skip
    face = sweep_face(rows, radius=reading(150), sense="in", distance=reading(180))
    both = together(bore, face)
    assert both is not None
    assert both[0] == pytest.approx(0.05 + 0.06, abs=0.003)


def test_the_log_says_what_moved() -> None:
    """Dry, half torque, full torque: held, then 0.08 to three o'clock."""
    taken = [("dry", sweep_bore(round_bore(0.05, 0), sense="out")),
             ("half torque", sweep_bore(round_bore(0.052, 0), sense="out")),
             ("full torque", sweep_bore(round_bore(math.hypot(0.05, 0.08), math.degrees(math.atan2(0.08, 0.05))), sense="out"))]  # fmt: skip
    steps = log(taken)
    assert [one.held for one in steps] == [None, True, False]
    assert steps[2].moved == pytest.approx(0.08, abs=0.006)
    assert steps[2].moved_to == pytest.approx(90, abs=5)
    assert any("sweep again" in line for line in Log(steps=steps).says)
