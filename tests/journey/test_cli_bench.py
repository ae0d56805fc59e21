"""`trialfit bench`: readings typed as a person would, answers another program can read.

Expected figures: geometry by hand (chords, sums of cosines); the circle of six points published in
BIT 34 (1994), p.558 (from memory, recomputed). Readings and units are invented.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import click
import pytest

from tests.journey.command import refused, trialfit
from wizard.cli.bench import command
from wizard.desk import units
from wizard.desk.bench import AIDS
from wizard.desk.place import open_store

SWEEP = "0:0.098,90:0.069,180:-0.098,270:-0.069"


def document(*words: object) -> dict[str, Any]:
    done = trialfit("bench", *words, "--json")
    assert done.exit_code == 0, done.output
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_a_dial_sweep() -> None:
    found = document("sweep", "--sense", "out", "--readings", SWEEP)
    assert round(found["offset"], 3) == 0.120
    assert round(found["toward"]) == 35
    assert round(found["move_to"]) == 215
    assert round(found["tir"], 3) == 0.240
    assert found["rms"] == pytest.approx(0, abs=1e-9)
    assert found["closes"] is True
    assert found["typed"] == {"sense": "out", "readings": SWEEP}
    assert [row["reading"]["typed"] for row in found["readings"]] == ["0.098", "0.069", "-0.098", "-0.069"]  # fmt: skip


def test_a_bolt_circle() -> None:
    found = document("bolt-circle", "--count", 6, "--gap", 44.45, "--hole", 11.1)
    assert found["diameter"] == pytest.approx(2 * (44.45 + 11.1))
    assert found["within"] > 0


def test_a_circle_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "points.csv"
    file.write_text("x,y\n1,7\n2,6\n5,8\n7,7\n9,5\n3,7\n", encoding="utf-8")
    found = document("circle", "--points", file)
    assert (found["x"], found["y"]) == pytest.approx((4.73978, 2.98353), abs=6e-6)
    assert found["diameter"] == pytest.approx(9.42846, abs=2e-5)
    assert {"rms", "within"} <= set(found)


def test_a_spin_test() -> None:
    found = document("spin", "--stops", "10,350,25,5,340,15,20,0")
    assert found["n"] == 8
    assert found["verdict"] == "heavy side"
    assert 0 < found["p"] < 0.001
    assert found["light_at"] == pytest.approx((found["heavy_at"] + 180) % 360)
    assert found["cautions"]


def test_a_last_cut() -> None:
    found = document("last-cut", "--target", "78.00", "--measured", "78.31,78.28,78.36")
    assert found["cuts"] == pytest.approx([0.31, 0.28, 0.36])
    assert found["spread"] == pytest.approx(0.08)
    assert found["tilt"] > 0
    assert found["length"] == 78


def test_inches_are_inches() -> None:
    found = document(
        "bolt-circle", "--count", 6, "--gap", "1 3/4", "--hole", "7/16", "--units", "in"
    )
    assert found["diameter"] == pytest.approx(2 * (1.75 + 0.4375) * 25.4)


def test_truing_by_rows() -> None:
    """Two sweeps of 0.10 that stand opposite once one is turned half round: they cancel."""
    found = document("truing", "--parts", "crank,0.00 ± 0.002,0; spacer,0.10 ± 0.01,0,2,bolt; hub,0.10 ± 0.01,0,2,lug")  # fmt: skip
    assert found["best"]["tir"] == pytest.approx(0, abs=1e-9)
    assert len(found["positions"]) == 4


def test_bolting_up_by_rows() -> None:
    """Two holes each 0.35 too far out with 0.5 of room, a third true: they go."""
    rows = "1,50.35,0,11,50,0,10; 2,-50.35,0,11,-50,0,10; 3,0,50,11,0,50,10"
    found = document("bolt-up", "--holes", rows, "--play", "0")
    assert found["goes"] is True
    assert found["worst"] == pytest.approx(0.35 - 0.5, abs=1e-4)


def test_distances_by_rows() -> None:
    """A triangle of 3, 4, 5."""
    found = document(
        "distances", "--points", "A,0,0; B,,0,,4,0; C,,,,0,3",
        "--distances", "A,B,4.00; A,C,3.00; B,C,5.00",
    )  # fmt: skip
    places = {row["name"]: (row["x"], row["y"]) for row in found["holes"]}
    assert places["C"] == pytest.approx((0, 3), abs=1e-6)


def test_every_aid_says_what_it_asks_and_gives_an_example_that_works(tmp_path: Path) -> None:
    """The example under an aid's help is run as it stands, but for those that name a file."""
    for name in AIDS:
        shown = trialfit("bench", name, "--help")
        assert shown.exit_code == 0
        example = shown.stdout.rsplit("Example:", 1)[1]
        assert f"trialfit bench {name}" in example
        if ".csv" in example:
            continue
        words = [one.strip() for one in example.split('"')]
        given = {words[k].split()[-1]: words[k + 1] for k in range(0, len(words) - 1, 2)}
        if name == "bolt-circle":
            given["--hole"], given["--count"] = "11.1", "6"
        if name == "balance-holes":
            given["--unbalance"] = "120"
        done = trialfit("bench", name, *[word for pair in given.items() for word in pair])
        assert done.exit_code == 0, (name, done.output)
        assert done.stdout.strip()


def test_no_aid_asks_twice_for_one_thing() -> None:
    for aid in AIDS.values():
        names = [one.name for one in aid.fields]
        assert len(set(names)) == len(names)
    assert command.list_commands(click.Context(command)) == list(AIDS)


# ── into the catalogue ──────────────────────────────────────────────────────

SHEET = """
units = "mm"
[gearbox]
name = "Oskett 4A"
[gearbox.converter]
seat_depth = "28.60 ± 0.20"
[gearbox.face]
material = "aluminium"
"""


def test_a_dimension_goes_into_a_unit_with_its_readings(tmp_path: Path) -> None:
    store = tmp_path / "shop.sqlite"
    with open_store(store) as opened:
        units.add_from_text(opened, SHEET)
    pads = "41.28,41.31,41.25; 41.30,41.27,41.29"
    done = trialfit(
        "bench", "seating", "--pads", pads, "--straight-edge", "12.70", "--drops", "3",
        "--into", "Oskett 4A", "gearbox.converter.seat_depth", "--by", "B. Rook", store=store,
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    assert "revision 2" in done.stdout
    with open_store(store) as opened:
        unit, _ = units.show(opened, "Oskett 4A")
    readings = unit.converter.seat_depth.readings  # type: ignore[union-attr]
    assert len(readings) == 2
    newest, before = readings
    assert newest.value == pytest.approx(28.5833, abs=1e-3)
    assert newest.within is not None
    assert newest.by == "B. Rook"
    assert "41.28" in newest.how
    assert before.typed == "28.60 ± 0.20"


@pytest.mark.parametrize(
    ("key", "says"),
    [("gearbox.converter.depth", "seat_depth"), ("gearbox.shaft.reach", "no shaft"),
     ("gearbox.name", "one length")],
)  # fmt: skip
def test_into_a_dimension_it_does_not_have_is_refused(tmp_path: Path, key: str, says: str) -> None:
    store = tmp_path / "shop.sqlite"
    with open_store(store) as opened:
        units.add_from_text(opened, SHEET)
    done = trialfit("bench", "seating", "--pads", "41.28,41.31,41.25", "--into", "Oskett 4A", key, store=store)  # fmt: skip
    assert says in refused(done)


# ── bad input ───────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("circle", "--points", "nowhere.csv"), "no such file"),
        (("circle", "--points", "1,2; 3,4"), "point"),
        (("circle", "--points", "0,0; 1,1; 2,2"), "point"),
        (("circle", "--points", "1,2,3; 4,5,6; 7,8,9"), "columns"),
        (("circle", "--points", "x,z\n1,2"), "columns are x, y"),
        (("circle", "--points", "1; 2; 3"), "write the y"),
        (("sweep", "--sense", "out", "--readings", "0:0.1,90"), "90:0.05"),
        (("sweep", "--sense", "out", "--readings", "0:0.1,90:abc,180:0"), "abc"),
        (("sweep", "--sense", "up", "--readings", SWEEP), "in, out"),
        (("sweep", "--sense", "out", "--readings", "0:0.1,0:0.1,0:0.1,0:0.1"), "three places"),
        (("spin", "--stops", "a,b"), "number"),
        (("spin", "--stops", "1,2"), "stops"),
        (("spin", "--stops", "1,2,3,4", "--external", "maybe"), "yes, no"),
        (("bolt-circle", "--count", "six", "--gap", "44"), "whole number"),
        (("bolt-circle", "--gap", "44.45"), "hole"),
        (("last-cut", "--target", "78", "--measured", "abc"), "abc"),
        (("thread-holes", "--thread", "M12.5x9"), "thread"),
        (("seating", "--pads", "41.2,41.3"), "pads"),
        (("truing", "--parts", "crank,0.1,0"), "driver"),
        (("bolt-up", "--holes", "1,0,0,11,0,0,10"), "two holes"),
        (("balance-holes", "--heavy-at", "3", "--radius", "70", "--drill", "8"), "unbalance"),
        (("balance-holes", "--heavy-at", "3", "--radius", "70", "--drill", "8", "--clay", "2"), "clay"),
    ],
)  # fmt: skip
def test_bad_input_is_one_clear_line(words: tuple[str, ...], says: str) -> None:
    assert says in refused(trialfit("bench", *words))


def test_a_file_that_is_no_text_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "points.csv"
    file.write_bytes(b"\xff\xfe\x00x")
    assert "UTF-8" in refused(trialfit("bench", "circle", "--points", file))


def test_no_number_is_ever_missing() -> None:
    """JSON holds no NaN: the command refuses to print one."""
    found = document("sweep", "--sense", "in", "--readings", "0:0,90:0,180:0,270:0")
    assert found["offset"] == 0
    assert not math.isnan(found["tir"])
