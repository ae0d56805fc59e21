"""Sheets nobody should write, through the whole engine: a clear error or a clean answer.

Never a traceback, never a figure that is none. Law: the project's own. Some expected words are
worked by hand where the case has an exact answer; the rest only has to be whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.errors import InputError, NotTabulated, OutOfScope
from kb.model.record import Advice
from kb.sheets.reading import read
from tests.engine.altered import FEW, KINDS, altered, check_of, design_of, whole
from tests.engine.by_hand import M10, least_preload
from tests.engine.test_answer import assert_clean
from wizard.engine.answer import answer
from wizard.engine.design import design
from wizard.engine.verdict import judge

Change = Mapping[str, object]
CLEAR = (InputError, OutOfScope, NotTabulated)


def answered(kind: str, change: Change) -> dict[str, Any]:
    made = design(read(altered(kind, change)), draws=FEW)
    return answer(Advice(design=made, remedies=(), verdict=judge(made, ())))


REFUSED: list[tuple[str, Change, str]] = [  # what the one line of the error names
    ("converter", {"choices.plate_material": "unobtainium"}, "choices.plate_material"),
    ("converter", {"choices.spacer_material": "cheese"}, "choices.spacer_material"),
    ("converter", {"engine.face.material": "moon rock"}, "engine.face.material"),
    ("converter", {"choices.screw_grade": "4.6"}, "choices.screw_grade"),
    ("converter", {"choices.rules": "racing"}, "choices.rules"),
    ("converter", {"choices.clocking": [5, -5]}, "choices.clocking"),
    ("converter", {"choices.clocking": [-720, 720]}, "choices.clocking"),
    ("converter", {"choices.confidence": 1.0}, "choices.confidence"),
    ("converter", {"gearbox.converter.gap": [4.8, 3.2]}, "gearbox.converter.gap"),
    ("converter", {"gearbox.converter.hub.land": [70, 10]}, "gearbox.converter.hub.land"),
    ("shaft", {"clutch.release_gap": [5, 2]}, "clutch.release_gap"),
    ("flange", {"gearbox.driven.allow": [0.01, -0.01]}, "gearbox.driven.allow"),
    ("shaft", {"clutch.disc_hub.rear": -20}, "clutch.disc_hub.rear"),
    ("shaft", {"clutch.disc_hub.rear": -8}, "clutch.disc_hub.rear"),
    ("converter", {"engine.face.dowels[1].x": -230}, "engine.face.dowels[2]"),
    ("converter", {"engine.face.circle": None, "engine.face.holes": [
        {"id": "1", "x": 9, "y": 9, "thread": "M10"}, {"id": "2", "x": 9, "y": 9, "thread": "M10"},
    ]}, "engine.face.holes[2]"),
    ("flange", {"engine.face.circle.thread": "9/16-12", "engine.face.circle.keepout": 1}, "9/16"),
    ("flange", {"engine.drive.circle.thread": "9/16-12", "engine.drive.circle.keepout": 1}, "9/16"),
    ("converter", {"engine.face.circle.thread": "M100", "engine.face.circle.keepout": 150}, "M100"),
    ("converter", {"engine.face.dowels[0].diameter": 700}, "dowel D1"),
    ("converter", {"choices.plates": 2}, "choices.plate"),
    ("converter", {"choices.rotating_style": "posts", "choices.post_diameter": 2},
     "choices.post_diameter"),
    ("converter", {"choices.rotating_style": "posts", "choices.disc": 40},
     "choices.rotating_style"),
    ("flange", {"choices.rotating_style": "posts"}, "choices.rotating_style"),
    ("converter", {"choices.leave_out": [f"engine:{n}" for n in range(1, 9)]}, "engine.face.holes"),
    ("converter", {"choices.leave_out": ["engine:9"]}, "choices.leave_out"),
    ("converter", {"engine.face.outline": [[0, 0], [1, 1]]}, "outline"),
    ("converter", {"engine.face.outline": [[-300, -300], [300, 300], [300, -300], [-300, 300]]},
     "outline"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "change", "named"), REFUSED)
def test_refused_in_one_line_that_names_it(kind: str, change: Change, named: str) -> None:
    with pytest.raises(CLEAR) as refused:
        answered(kind, change)
    assert named in str(refused.value)
    assert "\n" not in str(refused.value)


ONE_HOLE: Change = {"engine.face.circle": None, "engine.face.holes": [
    {"id": "1", "x": 0, "y": 0, "thread": "M10", "depth": 25}]}  # fmt: skip
LEVEL: Change = {"gearbox.face.circle": None, "gearbox.face.holes": [
    {"id": "1", "x": 100, "y": 50, "hole": 10.5}, {"id": "2", "x": -100, "y": 50, "hole": 10.5}]}  # fmt: skip

EXACT: list[tuple[str, Change, str, str, float | None]] = [  # check, status, margin by hand
    ("converter", {"engine.face.circle.count": 1, "gearbox.face.circle.count": 1}, "hole-clash",
     "pass", None),
    # one screw on the axis holds no torque, two at one height hold no tipping
    ("converter", ONE_HOLE, "joint-slip-fixed", "warn", -1.0),
    ("converter", LEVEL, "overhang", "warn", -1.0),
    ("converter", {"engine.drive.circle.count": 1, "engine.drive.circle.diameter": "0.001"},
     "joint-slip", "fail", least_preload(M10) * 0.1 * 0.0005 / 300e3 - 1),
    # straight through, nothing is held back: |1 − 1| of the torque
    ("shaft", {"gearbox.lowest_gear": 1, "gearbox.reverse_gear": 0}, "joint-slip-fixed", "pass",
     None),
    # no wall wanted at all: hole on hole still clashes
    ("converter", {"choices.least_wall": 0, "gearbox.face.circle.start": 0}, "hole-clash", "fail",
     -14.0),
    ("converter", {"choices.least_wall": 500}, "least-wall", "fail", 15 - 500),
    ("converter", {"choices.share": ["1=1"]}, "hole-clash", "fail", None),
    ("converter", {"gearbox.converter.gap": [4, 4]}, "converter-gap", "pass", 0.0),
    ("converter", {"choices.spacer": "0.0001"}, "spacer-length", "warn", -5.9999),
    ("converter", {"choices.spacer": -5}, "spacer-length", "fail", -5.0),
    ("converter", {"choices.spacer": 50000}, "spacer-length", "fail", 300 - 50000),
    ("converter", {"engine.drive.standoff": 90000}, "spacer-length", "fail", 39 - 90000),
    ("converter", {"choices.plate": "0.001"}, "head-sunk", "fail", 0.001 - 15.5),
    ("converter", {"engine.starter.pitch": "0 DP"}, "ring-pitch", "unknown", None),
    ("converter", {"engine.starter.pitch": "1.2.3 DP"}, "ring-pitch", "unknown", None),
    ("converter", {"engine.starter.pitch": "module 0"}, "ring-pitch", "unknown", None),
    ("converter", {"gearbox.converter.hub.diameter": 700}, "opening-clears", "fail", None),
    ("converter", {"engine.drive.register.diameter": "0.0001"}, "register-fit", "not run", None),
    ("flange", {"engine.face.register.diameter": "27.56", "gearbox.face.register.diameter": "27.5",
                "engine.face.circle.diameter": 31, "gearbox.face.circle.diameter": 31},
     "dowels", "warn", None),  # a 700 mm bore: ANSI B4.1 stops at 20 in, ISO 286 at 500 mm
]  # fmt: skip


@pytest.mark.parametrize(("kind", "change", "id", "status", "margin"), EXACT)
def test_extreme_but_exact(
    kind: str, change: Change, id: str, status: str, margin: float | None
) -> None:
    assert_clean(answered(kind, change))
    found = check_of(design_of(kind, change), id)
    assert (found.status if found else "not run") == status
    if margin is not None:
        assert found is not None
        assert found.margin == pytest.approx(margin, abs=1e-6)


WHOLE_ANYWAY: list[tuple[str, Change]] = [
    ("converter", {"choices.clocking": [0, 360]}),
    ("converter", {"engine.face.circle.diameter": 50000}),
    ("converter", {"engine.face.circle.diameter": "0.01"}),
    ("converter", {"choices.plate": 50000}),
    ("converter", {"choices.plate_stock": ["0.01"]}),
    ("converter", {"engine.max_speed": 200000}),
    ("converter", {"engine.peak_torque": "0.001 N·m"}),
    ("converter", {"engine.peak_torque": "9000000 N·m"}),
    ("converter", {"gearbox.mass": "0.0001 kg"}),
    ("converter", {"gearbox.centre_of_mass": -100}),
    ("converter", {"gearbox.face.circle.hole": 2}),
    ("converter", {"gearbox.face.circle.hole": 100}),
    ("converter", {"gearbox.face.circle.keepout": 5000}),
    ("converter", {"engine.drive.circle.count": 60}),
    ("converter", {"engine.face.origin": [5000, 5000]}),
    ("converter", {"engine.face.outline": [[1000, 1000], [1100, 1000], [1100, 1100]]}),
    ("converter", {"engine.starter.centre": [0, 0]}),
    ("converter", {"flexplate.ring.teeth": 1}),
    ("converter", {"choices.rotating_style": "posts", "engine.drive.circle": None}),
    ("converter", {"gearbox.converter.seat_depth": ["30 ± 0.1", "90 ± 0.1"]}),
    ("converter", {"gearbox.converter.seat_depth": "30 ± 0", "engine.drive.standoff": "5 ± 0"}),
    ("converter", {"gearbox.face": {}}),
    ("converter", {"engine": {}, "gearbox": {}}),
    ("shaft", {"pilot.bore": "0.001", "gearbox.shaft.tip.diameter": 500}),
    ("shaft", {"gearbox.shaft.tip.length": "0.001", "pilot.bush_width": "0.001"}),
    ("flange", {"engine.face.circle.thread": "9/16-12"}),
    ("flange", {"gearbox.face.circle.hole": "0.6", "gearbox.face.circle.bolt": "9/16-18"}),
    ("flange", {"gearbox.driven.circle.bolt": "9/16-18"}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "change"), WHOLE_ANYWAY)
def test_extreme_and_whole(kind: str, change: Change) -> None:
    found = answered(kind, change)
    assert_clean(found)
    assert all(part["mass_kg"] >= 0 for part in found["parts"])
    assert all(size > 0 for part in found["parts"] for size in part["size"].values())


def test_readings_that_say_nothing_are_measured_first() -> None:
    """Every check passes at the nominal, and hardly anywhere else in ± 5 m."""
    made = design_of("converter", {"gearbox.converter.seat_depth": "30 ± 5000"})
    assert {check.status for check in made.checks if check.due == "quote"} == {"pass"}
    assert judge(made, ()).word == "measure first"


# ── any figure anywhere ─────────────────────────────────────────────────────

FIGURES = st.sampled_from(
    ["0.0001", "0.5", "25", "250", "5000", "99999", "0", "-0.001", "-40", "-5000", "10 ± 20", None]
)


def figures(node: Mapping[str, Any], path: str = "") -> list[str]:
    """Keys of a whole job that hold one figure, and of the tables that may be left out."""
    found = []
    for name, item in node.items():
        key = f"{path}.{name}" if path else name
        if isinstance(item, dict):
            found += [key, *figures(item, key)]
        elif not isinstance(item, bool | list) and str(item)[:1] in "-0123456789":
            found.append(key)
    return found


KEYS = {kind: figures(whole(kind)) for kind in KINDS}


@st.composite
def jobs(draw: st.DrawFn) -> tuple[str, dict[str, object]]:
    kind = draw(st.sampled_from(KINDS))
    keys = draw(st.lists(st.sampled_from(KEYS[kind]), min_size=1, max_size=3, unique=True))
    apart = [k for k in keys if not any(k != o and k.startswith(f"{o}.") for o in keys)]
    return kind, {key: draw(FIGURES) for key in apart}


@settings(max_examples=50, deadline=None)
@given(job=jobs())
def test_any_figure_anywhere_is_answered_or_refused(job: tuple[str, dict[str, object]]) -> None:
    kind, change = job
    try:
        found = answered(kind, change)
    except CLEAR:
        return  # that it is one line and names its field is shown above
    assert_clean(found)
