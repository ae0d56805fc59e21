"""Hole patterns in and out: lists, spreadsheets and drawings as people hand them over.

Written and read back with openpyxl and ezdxf; places by hand. Units are invented.
"""

from __future__ import annotations

import json
from pathlib import Path

import ezdxf
import openpyxl
import pytest

from kb.quantity import read_length
from tests.journey.command import refused, trialfit
from wizard.desk import patterns, units
from wizard.desk.place import open_store

CSV = "id,x [mm],y [mm],hole [mm],thread\n1,100.0 ± 0.1,0,,M10\n2,0,100,11,\n3,-100,0,,M10\n4,0,-100,11,\n"


def kept(store: Path, name: str, kind: str = "engine") -> dict[str, tuple[float, float]]:
    with open_store(store) as opened:
        unit, _ = units.show(opened, name, kind=kind)
    return {hole.id: (hole.x.first.value, hole.y.first.value) for hole in unit.face.holes}  # type: ignore[union-attr]


def drawing(path: Path, *, unit: int = 4) -> Path:
    """Four holes of 11 on 200, about an opening of 90, its middle at 300, 50."""
    made = ezdxf.new("R2010", units=unit)  # type: ignore[attr-defined]
    made.layers.add("BORE")
    space = made.modelspace()
    space.add_circle((300, 50), 45, dxfattribs={"layer": "BORE"})
    for x, y in ((400, 50), (300, 150), (200, 50), (300, -50)):
        space.add_circle((x, y), 5.5)
    made.saveas(path)
    return path


def test_a_list_is_shown_and_kept_only_when_it_is_confirmed(tmp_path: Path) -> None:
    store, file = tmp_path / "s.sqlite", tmp_path / "face.csv"
    file.write_text(CSV, encoding="utf-8")
    shown = trialfit("units", "import", file, store=store)
    assert shown.exit_code == 0
    assert "Nothing is kept yet" in shown.stdout
    assert not store.exists()
    done = trialfit("units", "import", file, "--as", "Marl four", "--by", "B. Rook", store=store)
    assert "Kept as engine “Marl four”, revision 1" in done.stdout
    assert kept(store, "Marl four") == {
        "1": (100, 0),
        "2": (0, 100),
        "3": (-100, 0),
        "4": (0, -100),
    }


def test_a_drawing_about_its_largest_hole(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    done = trialfit("units", "import", drawing(tmp_path / "f.dxf"), "--axis", "largest", "--as", "Tarn", "--kind", "gearbox", store=store)  # fmt: skip
    assert done.exit_code == 0, done.output
    assert set(kept(store, "Tarn", "gearbox").values()) == {
        (100, 0),
        (0, 100),
        (-100, 0),
        (0, -100),
    }


def test_layers_are_chosen(tmp_path: Path) -> None:
    file = drawing(tmp_path / "f.dxf")
    assert "4 holes" in trialfit("units", "import", file, "--layer", "0").stdout
    assert "only" not in refused(trialfit("units", "import", file, "--layer", "NOWHERE"))


@pytest.mark.parametrize(
    ("axis", "first"),
    [("300,50", (100.0, 0.0)), ("2", (0.0, 0.0)), ("2+4", (100.0, 0.0))],
)
def test_the_axis_is_picked(tmp_path: Path, axis: str, first: tuple[float, float]) -> None:
    """By coordinates, by a hole, by the middle of two."""
    store, file = tmp_path / "s.sqlite", drawing(tmp_path / "f.dxf")
    trialfit("units", "import", file, "--layer", "0", "--axis", axis, "--as", "A", store=store)
    places = kept(store, "A")
    mark = "2" if axis == "2" else "1"
    assert places[mark] == pytest.approx(first, abs=1e-9)


def test_inches_of_a_drawing(tmp_path: Path) -> None:
    store = tmp_path / "s.sqlite"
    trialfit("units", "import", drawing(tmp_path / "f.dxf", unit=1), "--layer", "0", "--as", "A", "--thread", "3/8-16", store=store)  # fmt: skip
    assert kept(store, "A")["1"] == pytest.approx((400 * 25.4, 50 * 25.4))


def test_a_spreadsheet_with_a_title_above_its_heads(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (["Gearbox face, taken 3 March"], [], ["Mark", "X (in)", "Y (in)", "Dia (in)"], ["a", 1.5, "2 5/8", 0.4375], ["b", -3, 4, 0.4375], ["", None, 4, 1]):  # fmt: skip
        sheet.append(row)
    file, store = tmp_path / "f.xlsx", tmp_path / "s.sqlite"
    book.save(file)
    done = trialfit("units", "import", file, "--as", "A", store=store)
    assert "row 6 has no x and y" in done.stdout.lower()
    assert kept(store, "A") == {
        "a": pytest.approx((38.1, 66.675)),
        "b": pytest.approx((-76.2, 101.6)),
    }


@pytest.mark.parametrize("ending", ["csv", "xlsx", "dxf"])
def test_out_and_in_again_loses_nothing(tmp_path: Path, ending: str) -> None:
    store, file = tmp_path / "s.sqlite", tmp_path / "face.csv"
    file.write_text(CSV, encoding="utf-8")
    trialfit("units", "import", file, "--as", "Marl four", store=store)
    out = tmp_path / f"out.{ending}"
    assert "4 holes" in trialfit("units", "export", "Marl four", out, store=store).stdout
    trialfit("units", "import", out, "--as", "Again", store=store)
    assert kept(store, "Again") == kept(store, "Marl four")
    with open_store(store) as opened:
        (first, _), (again, _) = (units.show(opened, name) for name in ("Marl four", "Again"))
    for one, other in zip(first.face.holes, again.face.holes, strict=True):  # type: ignore[union-attr]
        assert (one.thread and one.thread.designation) == (
            other.thread and other.thread.designation
        )
        if ending != "dxf":
            assert one.x.first.typed == other.x.first.typed


def test_a_text_that_looks_like_a_formula_stays_a_text(tmp_path: Path) -> None:
    store, file = tmp_path / "s.sqlite", tmp_path / "face.csv"
    file.write_text("id,x,y,hole\n=1+1,0,10,9\nb,5,5,9\n", encoding="utf-8")
    trialfit("units", "import", file, "--units", "mm", "--as", "A", store=store)
    for out in (tmp_path / "o.csv", tmp_path / "o.xlsx"):
        trialfit("units", "export", "A", out, store=store)
    assert "'=1+1" in (tmp_path / "o.csv").read_text(encoding="utf-8")
    cell = openpyxl.load_workbook(tmp_path / "o.xlsx").active["A2"]
    assert cell.data_type == "s"


# ── what cannot be used ─────────────────────────────────────────────────────


def test_a_drawing_of_splines_alone(tmp_path: Path) -> None:
    made = ezdxf.new("R2010", units=4)  # type: ignore[attr-defined]
    made.modelspace().add_spline([(0, 0), (10, 5), (20, 0)])
    made.saveas(tmp_path / "s.dxf")
    assert "only splines" in refused(trialfit("units", "import", tmp_path / "s.dxf"))


def test_a_drawing_of_no_size(tmp_path: Path) -> None:
    made = ezdxf.new("R2010", units=4)  # type: ignore[attr-defined]
    made.modelspace().add_circle((0, 0), 0)
    made.saveas(tmp_path / "s.dxf")
    assert "no size" in refused(trialfit("units", "import", tmp_path / "s.dxf"))


def test_merged_heads(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["id", "x", "y"])
    sheet.append(["1", 2, 3])
    sheet.merge_cells("B1:B2")
    book.save(tmp_path / "m.xlsx")
    assert "unmerge" in refused(trialfit("units", "import", tmp_path / "m.xlsx", "--units", "mm"))


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("a.csv", b"id,x,y\n1,2,3\n", "write in or mm"),
        ("a.csv", b"id,x [mm],y [mm]\n1,abc,3\n", "hole 1, x"),
        ("a.csv", b"id,x [mm],y [mm]\n1,1,3\n1,4,5\n", "mark of its own"),
        ("a.csv", b"left,right\n1,2\n", "name its columns"),
        ("a.csv", b"id,x [mm],y [mm]\n", "no holes"),
        ("a.csv", b"\xff\xfe\x00", "UTF-8"),
        ("a.xlsx", b"no zip at all", "spreadsheet"),
        ("a.dxf", b"0\nSECTION\n\xff", "DXF"),
        ("a.txt", b"1,2", ".csv"),
        ("a.csv", b"id,x [mm],y [mm],thread\n1,1,3,M10,\n2,5,6,Q7\n", "thread"),
    ],
)  # fmt: skip
def test_bad_files_are_one_clear_line(tmp_path: Path, name: str, content: bytes, says: str) -> None:
    file = tmp_path / name
    file.write_bytes(content)
    assert says in refused(trialfit("units", "import", file))


def test_no_file_no_unit_no_folder(tmp_path: Path) -> None:
    store, file = tmp_path / "s.sqlite", tmp_path / "face.csv"
    assert "no such file" in refused(trialfit("units", "import", tmp_path / "none.csv"))
    file.write_text(CSV, encoding="utf-8")
    assert "as given" in refused(trialfit("units", "import", file, "--axis", "nowhere"))
    trialfit("units", "import", file, "--as", "A", store=store)
    assert "cannot be written" in refused(trialfit("units", "export", "A", tmp_path / "no" / "o.csv", store=store))  # fmt: skip
    assert ".csv" in refused(trialfit("units", "export", "A", tmp_path / "o.step", store=store))


def test_a_spread_written_in_a_list_stays_when_the_axis_is_picked(tmp_path: Path) -> None:
    """Moving the origin to a hole changes no ±: by hand, 3 − 1 in and 4 − 1.5 in."""
    listed = tmp_path / "h.csv"
    listed.write_text("id,x,y,hole\na,1 in,1.5 in,10 mm\nb,3.000 ± 0.004 in,4.0 in,10 mm\n", encoding="utf-8")  # fmt: skip
    found = patterns.propose(listed, unit="in", axis="a")
    moved = read_length(found.rows[1].x, key="x", units="in")
    assert moved.value == pytest.approx(2 * 25.4)
    assert moved.within == pytest.approx(0.004 * 25.4)
    assert read_length(found.rows[1].y, key="y", units="in").within is None


@pytest.mark.parametrize("ending", ["csv", "xlsx", "dxf"])
def test_what_was_exported_is_found_again(ending: str, tmp_path: Path) -> None:
    store, file = tmp_path / "s.sqlite", tmp_path / f"h.{ending}"
    listed = tmp_path / "in.csv"
    listed.write_text("id,x,y,hole\n" + "\n".join(f"h{n},{x},{y},10" for n, (x, y) in enumerate([(-120, 60), (10, 140), (130, 20), (30, -150)])), encoding="utf-8")  # fmt: skip
    trialfit("units", "import", listed, "--units", "mm", "--as", "Tarn", store=store)
    trialfit("units", "export", "Tarn", file, store=store)
    told = json.loads(trialfit("find", "face", "--holes", file, "--json", store=store).stdout)
    assert told["matches"][0]["name"] == "engine Tarn"
    assert told["matches"][0]["rms"] < 1e-3
