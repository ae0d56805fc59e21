"""Faces and drives a sheet calls by the name of a published standard.

Sources: metric columns of SAE J617 (second-hand digest, unverified) and of SAE J620, Table 1, in `tests/published/data`,
which the program does not hold; the hole pattern straddles the vertical by ISO 7648:1987; threads of SAE J617 as
tabulated by a maker; normal clearance drills by ASME B18.2.8-1999 (R2017), Table 1a.
"""

from __future__ import annotations

import pytest

from kb.model.measured import Measured
from kb.model.unit import Circle
from kb.quantity import Dimension
from kb.sheets.reading import load, read
from kb.sheets.writing import write
from tests.kb.examples import SHEETS, sheet
from tests.published.printed import printed


def first(measured: Measured | None) -> Dimension:
    assert measured is not None
    return measured.first


@pytest.mark.parametrize("row", printed("sae_j617_millimetres"), ids=lambda row: row["size"])
def test_a_housing_by_its_number(row: dict[str, str]) -> None:
    """Metric column of SAE J617 (digest), rounded to 0.01 mm; No. 00 to 6."""
    name = f"standard:SAE J617 No. {row['size']}"
    found = read(sheet(f'engine.face = "{name}"\ngearbox.face = "{name}"'))
    face, mating = found.engine.face, found.gearbox.face
    bore = face.register.diameter.first
    assert bore.value == pytest.approx(float(row["bore_min_mm"]), abs=0.0101)
    assert bore.value + bore.above == pytest.approx(float(row["bore_max_mm"]), abs=0.0101)
    assert (bore.below, bore.limits, bore.source, bore.unit) == (0.0, True, "standard", "in")
    assert face.circle.diameter.first.value == pytest.approx(
        float(row["bolt_circle_mm"]), abs=0.0101
    )
    assert face.circle.diameter.first.by == mating.circle.diameter.first.by == name[9:]
    assert (face.register.form, mating.register.form) == ("bore", "spigot")
    assert mating.register.diameter.first.value == bore.value
    assert (face.circle.hole, mating.circle.thread) == (None, None)
    assert mating.circle.bolt == face.circle.thread
    assert mating.circle.diameter == face.circle.diameter
    assert straddles(face.circle)
    assert straddles(mating.circle)


def straddles(circle: Circle) -> bool:
    """Equally spaced each side of the vertical, none on it (ISO 7648:1987)."""
    step = 360 / circle.count
    angles = {round((circle.start + step * number) % 360, 6) for number in range(circle.count)}
    return angles == {(180 - angle) % 360 for angle in angles} and 90 not in angles


@pytest.mark.parametrize(
    ("number", "holes", "thread", "clearance"),
    [("1/2", 12, "1/2-13", "9/16"), ("1", 12, "7/16-14", "15/32"), ("3", 12, "3/8-16", "13/32"), ("6", 8, "3/8-16", "13/32")],
)  # fmt: skip
def test_the_holes_of_a_housing(number: str, holes: int, thread: str, clearance: str) -> None:
    """Holes and threads: SAE J617 by a maker's table; normal clearance drills: ASME B18.2.8, Table 1a."""
    name = f"standard:SAE J617 {number}"
    found = read(sheet(f'engine.face = "{name}"\ngearbox.face = "{name}"'))
    assert found.engine.face.circle.count == holes
    assert str(found.engine.face.circle.thread) == thread
    above, below = map(int, clearance.split("/"))
    drilled = first(found.gearbox.face.circle.hole)
    assert drilled.value == pytest.approx(above / below * 25.4, abs=1e-9)
    assert drilled.source == "standard"


@pytest.mark.parametrize("row", printed("sae_j620_millimetres"), ids=lambda row: row["size"])
def test_a_flywheel_by_its_size(row: dict[str, str]) -> None:
    """Metric columns of SAE J620, Table 1; its depth G lies inside the housing, so minus."""
    name = f"standard:SAE J620 {row['size']}"
    found = read(sheet(f'engine.drive = "{name}"\n[gearbox]\ndriven = "{name}"'))
    drive, driven = found.engine.drive, found.gearbox.driven
    assert (drive.kind, drive.register.form, driven.register.form) == ("flywheel", "bore", "spigot")
    for part in (drive, driven):
        assert first(part.circle.diameter).value == pytest.approx(
            float(row["bolt_circle"]), abs=0.0101
        )
        assert first(part.register.diameter).value == pytest.approx(float(row["pilot"]), abs=0.0101)
        assert straddles(part.circle)
    if row["ring_depth"]:
        assert first(drive.standoff).value == pytest.approx(-float(row["ring_depth"]), abs=0.16)
        assert first(drive.standoff).value == first(driven.position).value
    else:
        assert drive.standoff is driven.position is None
    assert driven.circle.bolt == drive.circle.thread


def test_published_names_agree_with_the_sheet_typed_by_hand() -> None:
    """`standard-housings.toml` was typed from the same standards by other hands."""
    typed = load(next(path for path in SHEETS if path.stem == "standard-housings"))
    named = read(sheet('engine.face = "standard:SAE J617 No. 3"\nengine.drive = "standard:SAE J620 11-1/2"\n'
                       'gearbox.face = "standard:SAE J617 No. 2"\ngearbox.driven = "standard:SAE J620 11-1/2"'))  # fmt: skip
    for one, other in (
        (typed.engine.face, named.engine.face), (typed.engine.drive, named.engine.drive),
        (typed.gearbox.face, named.gearbox.face), (typed.gearbox.driven, named.gearbox.driven),
    ):  # fmt: skip
        assert one.circle.count == other.circle.count
        assert one.circle.thread == other.circle.thread
        assert (one.circle.start - other.circle.start) % (360 / one.circle.count) == 0
        assert first(one.circle.diameter).value == first(other.circle.diameter).value
        assert first(one.register.diameter).value == first(other.register.diameter).value
        assert one.register.form == other.register.form
    assert (
        first(typed.gearbox.face.circle.hole).value == first(named.gearbox.face.circle.hole).value
    )
    assert first(typed.engine.drive.standoff).value == first(named.engine.drive.standoff).value
    assert first(typed.gearbox.driven.position).value == first(named.gearbox.driven.position).value


def test_a_published_name_reads_back_from_what_is_written() -> None:
    found = read(
        sheet(
            'engine.face = "standard:SAE J617 No. 3"\nengine.drive = "standard:SAE J620 14"', "mm"
        )
    )
    assert read(write(found)) == found
