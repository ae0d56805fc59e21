"""The ways out: each run again here by itself, from the sheet's text, gives what it claims.

A second method: the change is written into the text of the sheet, read anew, worked out and judged
without the code that made the proposal. What a shop tries, and in which order, is common practice,
no source; the fewest holes to leave out are found again by trying every set.
"""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Mapping

import pytest

from kb.errors import InputError
from kb.model.check import VERDICTS, Remedy
from kb.model.record import Advice, Design
from kb.sheets.reading import read
from kb.sheets.writing import write
from tests.engine.altered import altered, check_of, design_of, request_of, whole
from tests.engine.by_hand import M10, angle_of, friction_torque, least_preload, torque
from wizard.engine.remedies import advise, changed
from wizard.engine.verdict import due_now, judge

Change = Mapping[str, object]
TURNED: Change = {"gearbox.face.circle.start": 2}  # 7 mm from hole to hole, 14 of discs
HELD = friction_torque(screws=6, force=least_preload(M10), radius=45)
STRONG: Change = {"engine.peak_torque": torque(HELD * 1.05), "gearbox.torque_limit": "900 N·m"}
SHORT: Change = {"gearbox.converter.hub.reach": 14}


def apart(distance: float) -> Change:
    """The nearest holes of the two faces so far from centre to centre [mm]."""
    return {"gearbox.face.circle.start": angle_of(200, distance)}


def at(degrees: float) -> dict[str, float]:
    """A hole of the gearbox that stands at that angle seen from behind: x flips."""
    angle = math.radians(degrees)
    return {"x": -200 * math.cos(angle), "y": 200 * math.sin(angle)}


# The gearbox's a and b stand a degree off the engine's 1 and 2, the rest midway between others.
NEIGHBOURS: Change = {
    "gearbox.face.circle": None, "gearbox.face.dowels": None,
    "gearbox.face.holes": [
        {"id": id, **at(degrees), "hole": 10.5}
        for id, degrees in zip("abcdefgh", (1, 46, 110, 155, 205, 245, 290, 335), strict=True)
    ],
}  # fmt: skip

JOBS: dict[str, tuple[str, Change]] = {
    "turn": ("converter", TURNED),
    "share": ("converter", {"gearbox.face.circle.start": 0}),
    "leave out": ("converter", NEIGHBOURS),
    "studs": ("converter", apart(18.5)),  # 4.5 of wall: half of the wanted 10 is asked at least
    "by plane": ("converter", {"choices.plate_joint": "through", **apart(21)}),
    # M16 in aluminium: 16.5 of head and 8 of floor; a countersink is 9 deep
    "flush": ("converter", {"choices.plate": 23, "engine.face.circle.thread": "M16",
                            "engine.face.circle.depth": 40}),
    # both faces tapped: 18 of discs against 11.0 / 2 + 22.8 / 2 by plane, 21 of seats against 12.8,
    # and 3 of plate between them
    "flush by plane": ("converter", {
        "choices.plate": 23.5, "gearbox.face.circle.hole": None, "gearbox.face.circle.thread": "M10",
        "gearbox.face.circle.depth": 25, "choices.clocking": [0, 0], **apart(22.5)}),
    "steel": ("converter", {"choices.clocking": [0, 0], **apart(18)}),
    "two plates": ("shaft", {**TURNED, "choices.plate": None, "installation.allowance": None}),
    "plate": ("shaft", {"choices.plate": 12}),
    "spacer": ("converter", {"choices.spacer": 38}),
    "both sizes": ("converter", {"choices.plate": 14, "choices.spacer": 38}),
    "thicker": ("flange", {"choices.plate": None, "choices.plate_stock": [0.5],
                           "engine.face.circle.depth": 2}),
    "bush": ("shaft", {"gearbox.shaft.reach": -2}),
    "nose": ("converter", SHORT),
    "grade": ("converter", STRONG),
    "two at once": ("converter", {**TURNED, **STRONG}),
    "three at once": ("converter", {**TURNED, **STRONG, **SHORT}),
    "nothing": ("converter", {"gearbox.rotation": "cw"}),
}  # fmt: skip

# The words one of which must stand in the sentence of a remedy that changes a key.
SAID = {
    "choices.clocking": ("turn",), "choices.share": ("share",), "choices.leave_out": ("leave out",),
    "choices.heads": ("studs", "flush"), "choices.keepout": ("planes", "pass each other"), "choices.plates": ("two plates",),
    "choices.plate_material": ("steel",), "choices.plate": ("plate", "both asked-for sizes"),
    "choices.spacer": ("adapter", "both asked-for sizes"), "choices.screw_grade": ("grade",),
    "gearbox.converter.hub.reach": ("nose",), "pilot.mouth": ("bush",), "pilot.depth": ("bush",),
}  # fmt: skip


@functools.cache
def advice_of(job: str) -> Advice:
    kind, change = JOBS[job]
    return advise(request_of(kind, change))


def failing(made: Design) -> set[str]:
    return {check.id for check in due_now(made) if check.status == "fail"}


def failing_ever(made: Design) -> set[str]:
    """What fails, whenever it is due."""
    return {check.id for check in made.checks if check.status == "fail"}


def with_work(job: str, remedy: Remedy) -> tuple[str, Change]:
    """The job with a remedy's keys written over its own; what neither has is not taken out."""
    kind, change = JOBS[job]
    merged = {**change, **remedy.change}
    own = whole(kind)["choices"]
    gone = [key for key, value in merged.items() if value is None and key.startswith("choices.")]
    absent = {key for key in gone if key.removeprefix("choices.") not in own}
    return kind, {key: value for key, value in merged.items() if key not in absent}


def again(job: str, remedy: Remedy) -> Design:
    return design_of(*with_work(job, remedy))


@pytest.mark.parametrize("job", JOBS)
def test_every_remedy_does_what_it_says(job: str) -> None:
    kind, change = JOBS[job]
    before = failing(design_of(kind, change))
    for remedy in advice_of(job).remedies:
        made = again(job, remedy)
        left = failing(made)
        assert set(remedy.cures) == before - left
        assert remedy.cures
        assert failing_ever(made) <= failing_ever(design_of(kind, change)), "it breaks nothing"
        assert remedy.verdict == judge(made, ()).word
        assert remedy.verdict in VERDICTS
        assert remedy.says
        assert remedy.costs


@pytest.mark.parametrize("job", JOBS)
def test_every_change_reads_as_the_sheet_would_write_it(job: str) -> None:
    kind, change = JOBS[job]
    request = request_of(kind, change)
    for remedy in advice_of(job).remedies:
        made = changed(request, remedy.change)
        assert made == read(altered(*with_work(job, remedy)))
        assert read(write(made)) == made


@pytest.mark.parametrize("job", JOBS)
def test_nothing_is_changed_unsaid(job: str) -> None:
    for remedy in advice_of(job).remedies:
        for key in remedy.change:
            upright = key == "choices.clocking" and remedy.change[key] == [0.0, 0.0]
            assert upright or any(word in remedy.says.lower() for word in SAID[key])


@pytest.mark.parametrize(
    ("job", "keys"),
    [
        ("turn", {"choices.clocking"}),
        ("share", {"choices.share"}),
        ("leave out", {"choices.leave_out", "choices.clocking"}),
        ("studs", {"choices.heads"}),
        ("by plane", {"choices.keepout"}),
        ("flush", {"choices.heads"}),
        ("flush by plane", {"choices.heads", "choices.keepout"}),
        ("steel", {"choices.plate_material"}),
        ("two plates", {"choices.plates"}),
        ("plate", {"choices.plate"}),
        ("spacer", {"choices.spacer"}),
        ("both sizes", {"choices.plate", "choices.spacer"}),
        ("thicker", {"choices.plate"}),
        ("bush", {"pilot.mouth", "pilot.depth"}),
        ("nose", {"gearbox.converter.hub.reach"}),
        ("grade", {"choices.screw_grade"}),
        ("two at once", {"choices.clocking", "choices.screw_grade"}),
        ("three at once", {"choices.clocking", "choices.screw_grade",
                           "gearbox.converter.hub.reach"}),
    ],
)  # fmt: skip
def test_each_way_out_is_found_where_it_cures_all(job: str, keys: set[str]) -> None:
    advice = advice_of(job)
    fails = failing(advice.design)
    found = [one for one in advice.remedies if set(one.change) == keys]
    assert found, [one.says for one in advice.remedies]
    assert any(set(one.cures) == fails for one in found)
    assert advice.verdict.word == "goes with work"


def test_what_no_change_cures_has_no_remedy() -> None:
    assert advice_of("nothing").remedies == ()
    assert advice_of("nothing").verdict.word == "does not go"


def test_what_goes_needs_no_remedy() -> None:
    assert advise(request_of("converter")).remedies == ()


def test_several_at_once_only_where_none_alone_cures_all() -> None:
    for job in ("two at once", "three at once"):
        advice = advice_of(job)
        fails = failing(advice.design)
        whole = [one for one in advice.remedies if set(one.cures) == fails]
        assert len(whole) == 1
        assert advice.remedies[0] == whole[0]
        parts = [one for one in advice.remedies if one is not whole[0]]
        assert all(set(one.cures) < fails for one in parts)
        assert all(one.verdict == "does not go" for one in parts)
        assert set(whole[0].change) == set().union(*(set(one.change) for one in parts))


# ── leaving holes out ───────────────────────────────────────────────────────


def gap(kept: list[float], gone: list[float]) -> float:
    """The widest angle between remaining neighbours in which a hole was left out [°]."""
    ordered = sorted(angle % 360 for angle in kept)
    spans = [*itertools.pairwise(ordered), (ordered[-1], ordered[0] + 360)]
    return max(
        (b - a for a, b in spans for g in gone if a < g % 360 < b or a < g % 360 + 360 < b),
        default=0.0,
    )


def test_leaving_out_obeys_the_gap_between_bolts() -> None:
    """Every set of two holes tried: only one leaves no clash and no gap over 90°."""
    made = advice_of("leave out").design
    assert made.sides.engine_face is not None
    assert made.sides.gearbox_face is not None
    faces = {"engine": made.sides.engine_face, "gearbox": made.sides.gearbox_face}
    angle = {
        (side, one.id): math.degrees(math.atan2(one.y, one.x))
        for side, face in faces.items()
        for one in face.holes
    }
    close = [
        (a, b)
        for a, b in itertools.product(*({k for k in angle if k[0] == s} for s in faces))
        if 2 * 200 * abs(math.sin(math.radians(angle[a] - angle[b]) / 2)) - 14 < 5
    ]
    assert len(close) == 2
    able = [
        set(chosen)
        for chosen in itertools.combinations(sorted(angle), 2)
        if all(a in chosen or b in chosen for a, b in close)
        and all(
            gap([v for k, v in angle.items() if k[0] == side and k not in chosen],
                [angle[k] for k in chosen if k[0] == side]) <= 90 + 1e-6
            for side in faces
        )
    ]  # fmt: skip
    assert able == [{("engine", "2"), ("gearbox", "a")}]
    (found,) = [one for one in advice_of("leave out").remedies if "choices.leave_out" in one.change]
    assert set(found.change["choices.leave_out"]) == {"engine:2", "gearbox:a"}  # type: ignore[call-overload]
    left = check_of(again("leave out", found), "bolt-gap")
    assert left is not None
    assert left.status != "fail"


def test_holes_already_left_out_stay_out() -> None:
    kind, change = JOBS["leave out"]
    advice = advise(request_of(kind, {**change, "choices.leave_out": ["engine:5"]}))
    (found,) = [one for one in advice.remedies if "choices.leave_out" in one.change]
    assert "engine:5" in found.change["choices.leave_out"]  # type: ignore[operator]


# ── changed requests ────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("choices.plte", 20), ("engine.face.nothing.at_all", 1), ("pilot.mouth", "1 mm"),
        ("choices.plate", "thick"), ("choices.heads", "glued"), ("choices.clocking", [5, -5]),
        ("choices.plates", 3), ("choices.plate", -5.0), ("choices", 1),
    ],
)  # fmt: skip
def test_a_change_that_cannot_be_meant_is_refused(key: str, value: object) -> None:
    with pytest.raises(InputError) as refused:
        changed(request_of("converter"), {key: value})
    assert key in str(refused.value)


def test_taking_a_key_out_and_setting_it_anew() -> None:
    request = request_of("converter")
    assert changed(request, {"choices.plate": None}) == request_of(
        "converter", {"choices.plate": None}
    )
    assert changed(request, {"choices.plate": 20.0}) == request_of(
        "converter", {"choices.plate": 20}
    )
    assert changed(request, {}) == request
