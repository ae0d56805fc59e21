"""A unit typed from a notebook is the unit: against its sheet, closed forms and a second solver."""

from __future__ import annotations

import math
from importlib.resources import files
from pathlib import Path
from threading import Thread

import pytest
from scipy.optimize import least_squares

from kb.errors import InputError
from kb.model.unit import Engine, Gearbox, Unit
from kb.quantity import read_length
from kb.sheets.reading import read_units
from kb.store.catalogue import Catalogue
from kb.store.flat import flatten
from kb.store.place import open_store
from wizard.desk import entry, hole_lines, needed, pairing, units
from wizard.engine.design import design

DEMO = sorted(Path(str(files("data_demo"))).joinpath("units").glob("*.toml"))
NOTEBOOK = {
    "name": "Tarn four", "units": "in", "by": "A. Fenn", "on": "2026-03-02",
    "face.holes": "mark, x, y, size, depth\n1, -5 1/4, 6.125, 3/8-16, 0.9\n2, 5.25, 6 1/8, 3/8-16\n"
    "3, 0, -7, 13/32\naxis, 0.1, 0.2",
    "face.dowels": "D1\t-7.1\t1.0\t0.500",
    "drive.standoff": "0.750 ± .005", "drive.standoff#how": "depth micrometer",
    "drive.circle.count": "6", "drive.circle.diameter": "3 1/2", "drive.circle.thread": "7/16-20",
}  # fmt: skip


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_a_unit_typed_again_is_the_same_unit(file: Path) -> None:
    for unit in read_units(file.read_text(encoding="utf-8")):
        typed = entry.typed_of(unit)
        again = entry.unit_of(typed["kind"], typed, drive=typed.get("drive", ""))
        assert again is not None
        first = {key: taken[0] for key, taken in flatten(unit).lengths.items()}
        typed_again = {key: taken[0] for key, taken in flatten(again).lengths.items()}
        assert first.keys() == typed_again.keys()
        for key, one in first.items():
            other = typed_again[key]
            assert (other.value, other.below, other.above) == (one.value, one.below, one.above), key
        beside = ("bolt", "grade", "through", "socket_room", "hollow")
        facts = {k: f for k, f in flatten(unit).facts.items() if not ("[" in k and k.endswith(beside))}  # fmt: skip
        assert flatten(again).facts == facts


def test_lines_of_a_notebook_are_the_holes() -> None:
    unit = entry.unit_of("engine", NOTEBOOK)
    assert isinstance(unit, Engine)
    assert unit.face is not None
    assert unit.drive is not None
    first, second, third = unit.face.holes
    assert first.x.first.value == pytest.approx(-5.25 * 25.4, abs=1e-12)
    assert second.y.first.value == pytest.approx(6.125 * 25.4, abs=1e-12)
    assert first.thread is not None
    assert third.thread is None
    assert third.hole is not None
    assert third.hole.first.value == pytest.approx(13 / 32 * 25.4, abs=1e-12)
    assert unit.face.origin is not None
    assert unit.face.origin.y.value == pytest.approx(0.2 * 25.4)
    standoff = unit.drive.standoff
    assert standoff is not None
    assert standoff.first.within == pytest.approx(0.005 * 25.4)
    assert (standoff.first.how, standoff.first.by) == ("depth micrometer", "A. Fenn")
    assert str(standoff.first.on) == "2026-03-02"


def test_distances_put_the_holes_where_a_second_solver_puts_them() -> None:
    true = {"1": (-120.0, 90.0), "2": (130.0, 96.0), "3": (104.0, -140.0), "4": (-98.0, -133.0), "5": (6.0, 151.0)}  # fmt: skip
    pairs = [(a, b) for a in true for b in true if a < b]
    read = {pair: round(math.dist(true[pair[0]], true[pair[1]]) * 20) / 20 for pair in pairs}
    rough = "\n".join(f"{mark}, {round(x, -1):g}, {round(y, -1):g}, M10" for mark, (x, y) in true.items())  # fmt: skip
    typed = {
        "name": "Tarn", "units": "mm", "face.way": "distances", "face.holes": rough,
        "face.distances": "\n".join(f"{a}, {b}, {length:.2f}" for (a, b), length in read.items()),
    }  # fmt: skip
    found = hole_lines.read(rough, key="engine.face.holes", unit="mm", typed=typed)
    got = {row["id"]: tuple(read_length(row[c], key=c, units="mm").value for c in "xy") for row in found.rows}  # fmt: skip

    def misfit(z: list[float]) -> list[float]:
        at = {mark: (z[2 * n], z[2 * n + 1]) for n, mark in enumerate(true)}
        return [math.dist(at[a], at[b]) - length for (a, b), length in read.items()]

    start = [c for mark in true for c in true[mark]]
    best = least_squares(misfit, start, xtol=1e-14, ftol=1e-14)
    at = {mark: (best.x[2 * n], best.x[2 * n + 1]) for n, mark in enumerate(true)}
    for a, b in pairs:  # distances say nothing of place and turn, so shapes are compared
        assert math.dist(got[a], got[b]) == pytest.approx(math.dist(at[a], at[b]), abs=2e-4)
    assert got["1"] == pytest.approx((-120.0, 90.0))
    assert math.atan2(got["2"][1] - got["1"][1], got["2"][0] - got["1"][0]) == pytest.approx(
        math.atan2(100 - 90, 130 - -120), abs=1e-6
    )
    assert "±" in found.rows[2]["x"]


def test_what_is_needed_is_enough_for_a_verdict_that_asks_for_no_dimension() -> None:
    """The needed keys are enough: a pairing of two units with nothing else has a whole chain."""
    files_of = {"engine": "engine-quarlend-v8", "gearbox": "gearbox-sorrelgate-three-speed", "flexplate": "flexplate-sorrelgate"}  # fmt: skip
    sheet = []
    for kind, stem in files_of.items():
        text = next(file for file in DEMO if file.stem == stem).read_text(encoding="utf-8")
        typed = entry.typed_of(read_units(text)[0])
        drive = typed.get("drive", "")
        wanted = {
            *needed.NEEDED[kind],
            *needed.NEEDED.get(drive, ()),
            "units",
            "face.way",
            "drive.way",
        }
        bare = {key: text for key, text in typed.items() if key in wanted}
        assert entry.missing(kind, bare, drive=drive)[0] == []
        sheet.append(entry.sheet(kind, bare, drive=drive).partition("\n")[2])
        assert typed.get("units") == "in"
    worked = pairing.read_text('units = "in"\n' + "\n".join(sheet))
    made = design(worked.request)
    assert made.fixed is not None
    assert made.chain is not None
    assert made.chain.spacer is not None
    assert worked.answer["axial"]["gap"] > 0


def test_a_corrected_figure_is_the_first_of_its_readings(tmp_path: Path) -> None:
    with open_store(tmp_path / "s.sqlite") as store:
        entry.keep(store, "engine", NOTEBOOK)
        kept, _ = units.show(store, "tarn FOUR")
        typed = entry.typed_of(kept) | {"drive.standoff": "0.752 ± 0.001 in", "by": "B. Orr"}
        entry.keep(store, "engine", typed)
        again = Catalogue(store).get("engine", "Tarn four")
        assert isinstance(again, Engine)
        assert again.drive is not None
        assert again.drive.standoff is not None
        values = [one.value / 25.4 for one in again.drive.standoff.readings]
        assert values == pytest.approx([0.752, 0.750])
        assert again.drive.circle is not None
        assert len(again.drive.circle.diameter.readings) == 1
        assert Catalogue(store).ref("engine", "Tarn four").revision == 2


def test_what_a_line_has_no_place_for_stays_with_its_mark(tmp_path: Path) -> None:
    sheet = """units = "mm"
[gearbox]
name = "Tarn"
[gearbox.face]
holes = [ { id = "a", x = 1, y = 2, hole = 10, bolt = "M8", through = true }, { id = "b", x = 9, y = 2, hole = 10 } ]
dowels = [ { id = "D", x = 0, y = 0, diameter = 8, hollow = true } ]
"""
    with open_store(tmp_path / "s.sqlite") as store:
        units.add_from_text(store, sheet)
        typed = entry.typed_of(units.show(store, "Tarn")[0])
        lines = typed["face.holes"].splitlines()
        typed |= {"face.holes": "\n".join(reversed(lines)), "drive": "converter"}
        entry.keep(store, "gearbox", typed, drive="converter")
        box = units.show(store, "Tarn")[0]
    assert isinstance(box, Gearbox)
    assert box.face is not None
    b, a = box.face.holes
    assert (a.id, str(a.bolt), a.through, b.id, b.bolt) == ("a", "M8", True, "b", None)
    assert box.face.dowels[0].hollow is True


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"face.holes": "1, -5"}, "engine.face.holes[1]"),
        ({"face.holes": "1,1,1,M8\n1,2,2,M8"}, "engine.face.holes"),
        ({"face.holes": "1,1,1,M8,1,1,1,1"}, "engine.face.holes[1]"),
        ({"face.holes": "1, left, 1, M8"}, "engine.face.holes[1].x"),
        ({"drive.standoff": "about 3/4"}, "engine.drive.standoff"),
        ({"drive.circle.count": "six"}, "engine.drive.circle.count"),
        ({"rotation": "left"}, "engine.rotation"),
        ({"on": "yesterday"}, "engine.face.holes[1].x.on"),
        ({"face.way": "distances", "face.distances": "1,2,300"}, "points."),
        ({"face.register.depth": "5"}, "engine.face.register.form"),
    ],
)
def test_a_slip_is_named(change: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as told:
        entry.unit_of("engine", NOTEBOOK | change)
    assert told.value.field.startswith(field.split(".on")[0])


def test_no_name_is_no_unit_yet() -> None:
    assert entry.unit_of("engine", {"drive.standoff": "12"}) is None
    unnamed: Unit | None = entry.unit_of("clutch", {"name": "  "})
    assert unnamed is None


def test_four_who_keep_one_unit_at_once_lose_no_reading(tmp_path: Path) -> None:
    """Each keeps ten readings of its own; whoever comes second joins the other's to its own."""
    place = tmp_path / "s.sqlite"
    open_store(place).close()
    told: list[BaseException] = []

    def bench(number: int) -> None:
        try:
            with open_store(place, patience_s=60) as store:
                for reading in range(5):
                    typed = {"name": "Tarn", "units": "mm", "drive.standoff": f"{10 + number}.{reading:02d}", "by": f"bench {number}"}  # fmt: skip
                    entry.keep(store, "engine", typed)
        except BaseException as error:
            told.append(error)

    benches = [Thread(target=bench, args=(number,)) for number in range(4)]
    for one in benches:
        one.start()
    for one in benches:
        one.join()
    assert told == []
    with open_store(place) as store:
        assert len(Catalogue(store).history("engine", "Tarn")) == 20
        unit = Catalogue(store).get("engine", "Tarn")
        kept = {one.typed for one in unit.drive.standoff.readings}  # type: ignore[union-attr]
        says = entry.kept_says(store, Catalogue(store).ref("engine", "Tarn"))
    assert kept == {f"{10 + number}.{reading:02d}" for number in range(4) for reading in range(5)}
    assert "Revision 19, kept by bench" in says
    assert "stays readable" in says


def test_a_unit_taken_out_comes_back_as_typed(tmp_path: Path) -> None:
    with open_store(tmp_path / "s.sqlite") as store:
        entry.keep(store, "engine", {"name": "Tarn", "units": "mm", "drive.standoff": "10"})
        units.add_from_text(store, 'units = "mm"\n[gearbox]\nname = "Tarn"\n')
        Catalogue(store).remove("engine", "Tarn")
        ref = entry.keep(store, "engine", {"name": "tarn", "units": "mm", "drive.standoff": "11"})
        assert ref.revision == 2
        unit = Catalogue(store).get("engine", "Tarn")
        assert [one.typed for one in unit.drive.standoff.readings] == ["11"]  # type: ignore[union-attr]
