"""The drawing as DXF, read back by ezdxf: sound, dimensions that measure what the design says, holes in place."""

from __future__ import annotations

import io
import math

import ezdxf
import pytest
from ezdxf.document import Drawing

from kb.model.record import Record
from wizard.papers.control import controls, strokes
from wizard.papers.document import Document
from wizard.papers.drawing_dxf import drawing_dxf
from wizard.papers.packet import drawings

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")


def back(record: Record, plate: str) -> Drawing:
    return ezdxf.read(io.StringIO(drawing_dxf(record, plate=plate).decode("utf-8")))


def measured(drawing: Drawing) -> list[float]:
    return [float(one.get_measurement()) for one in drawing.modelspace().query("DIMENSION")]


@pytest.mark.parametrize("name", NAMES)
def test_it_is_sound_and_the_same_twice(name: str, designed: dict[str, Record]) -> None:
    for _, plate in drawings(designed[name]):
        drawing = back(designed[name], plate)
        assert not drawing.audit().errors
        assert drawing.header["$INSUNITS"] == 4  # millimetres
        assert drawing_dxf(designed[name], plate=plate) == drawing_dxf(designed[name], plate=plate)


@pytest.mark.parametrize("name", NAMES)
def test_its_dimensions_measure_the_design(name: str, designed: dict[str, Record]) -> None:
    record = designed[name]
    for _, plate in drawings(record):
        doc = Document(record.answer, plate)
        found = measured(back(record, plate))

        def has(size: float | None, found: list[float] = found) -> bool:
            return size is None or any(math.isclose(size, one, abs_tol=1e-6) for one in found)

        for key in ("length", "height", "bore"):
            assert has(doc.size(doc.plate, key)), key
        for part in doc.shown:
            if not part["name"].endswith("plate"):
                assert has(doc.size(part["name"], "outside"))
        for key in ("plate", "spacer"):
            assert has(doc.quantity(key)), key


@pytest.mark.parametrize("name", ["automatic-inch", "manual-metric"])
def test_both_faces_hold_every_hole_and_the_engine_sees_it_turned_over(
    name: str, designed: dict[str, Record]
) -> None:
    record = designed[name]
    ((_, plate),) = drawings(record)
    holes = Document(record.answer, plate).part(plate)["holes"]  # type: ignore[index]
    space = back(record, plate).modelspace()
    bore = Document(record.answer, plate).size(plate, "bore")
    bores = sorted({round(c.dxf.center.x, 6) for c in space.query("CIRCLE") if math.isclose(2 * c.dxf.radius, bore or 0, abs_tol=1e-6) and abs(c.dxf.center.y) < 1e-6})  # fmt: skip
    circles = [(c.dxf.center.x, c.dxf.center.y, 2 * c.dxf.radius) for c in space.query("CIRCLE")]
    for middle, way in zip(bores[:2], (1, -1), strict=True):
        for hole in holes:
            at = (middle + way * hole["x"], hole["y"], hole["diameter"])
            assert any(math.dist(at, one) < 1e-5 for one in circles), (way, hole["id"])


@pytest.mark.parametrize("name", NAMES)
def test_control_frames_ask_what_the_shop_holds(name: str, designed: dict[str, Record]) -> None:
    """Symbols of ISO 1101: form has no datum; place, parallelism and run have at least one."""
    for _, plate in drawings(designed[name]):
        for one in controls(Document(designed[name].answer, plate)):
            assert bool(one.datums) == (one.symbol != "flatness")
            assert one.zone.startswith("⌀") == (one.symbol == "position")
            for line in strokes(one.symbol):
                assert all(0 <= u <= 1 and 0 <= v <= 1 for u, v in line)


def test_names_and_signs_are_lettered_as_they_are_written(designed: dict[str, Record]) -> None:
    text = [one.dxf.text for one in back(designed["automatic-inch"], "adapter plate").modelspace().query("TEXT")]  # fmt: skip
    assert any("J. Müßig" in line for line in text)
    assert any("%%c" in line for line in text)  # the sign of a diameter, as drawing files write it
    assert not any("?" in line for line in text)


def test_the_cut_file_has_no_dimensions_and_the_drawing_has(designed: dict[str, Record]) -> None:
    from wizard.papers.cut import cut_file, plates

    record = designed["automatic-inch"]
    cut = ezdxf.read(io.StringIO(cut_file(record, plates(record)[0]).decode("utf-8")))
    assert not cut.modelspace().query("DIMENSION")
    assert len(measured(back(record, "adapter plate"))) > 10
