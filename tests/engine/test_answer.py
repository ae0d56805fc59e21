"""The answer as a document: every key it promises, nothing it does not have, the same each time.

Contract: the project's own, as its sheet and answer formats say; typed here. Numbers are proven
beside the parts and checks they belong to.
"""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from kb.model.check import STATUSES, VERDICTS
from kb.model.record import Advice, canonical
from kb.sheets.reading import load
from tests.engine.altered import KINDS, design_of, request_of
from tests.engine.test_checks_all import DUE
from wizard.engine.answer import answer
from wizard.engine.remedies import advise
from wizard.engine.verdict import judge

SHEETS = Path(__file__).parent.parent / "data" / "sheets"
WHOLE = {
    "automatic-inch": "converter", "manual-metric": "shaft", "standard-housings": "flange",
    **{kind: kind for kind in KINDS},
}  # fmt: skip
ALWAYS = {
    "format", "units", "title", "stage", "not_asked", "verdict", "because", "assumed", "program",
    "rules", "parts", "fits", "joints", "checks", "remedies", "not_run", "kind", "shop_units",
    "verdict_lines", "measure", "patterns", "lineup", "settle", "cautions", "questions", "lengths",
}  # fmt: skip
HOLE_KEYS = {
    "id", "x", "y", "kind", "diameter", "thread", "depth", "counterbore", "countersink", "side", "for", "limits",
    "punched", "source",
}  # fmt: skip
FIT_KEYS = {"joint", "class", "hole", "shaft", "play", "existing", "source"}
LINED_UP = {"clocking", "wall", "required", "windows", "best", "clashes", "shared", "leave_out"}
OPEN = {
    ("holes", "depth"),
    ("holes", "counterbore"),
    ("holes", "countersink"),
    ("holes", "limits"),
}  # right through, none

STATIONS = {
    "converter": "driving_face driven_face contact lugs_seated pilot_mouth gearbox_face plate_rear",
    "shaft": "driving_face driven_face clutch_face shaft_end fingers bearing pilot_mouth "
    "gearbox_face plate_rear",
    "flange": "driving_face driven_face contact gearbox_face plate_rear",
}
QUANTITIES = {
    "converter": "gap nose_engagement nose_seated nose_bottom tail_shift",
    "shaft": "release_gap tip_engagement tip_bottom tip_shoulder spline_overlap tail_shift",
    "flange": "flange_offset tail_shift",
}
OWN = {"gap", "nose_engagement", "nose_seated", "nose_bottom", "release_gap", "tip_engagement",
       "tip_bottom", "tip_shoulder", "spline_overlap", "flange_offset"}  # fmt: skip


@functools.cache
def document(name: str) -> dict[str, Any]:
    if name in KINDS:
        return answer(advise(request_of(name)))
    return answer(advise(load(SHEETS / f"{name}.toml")))


def asked(kind: str, change: Mapping[str, object]) -> dict[str, Any]:
    """The answer of an altered job, no ways out tried."""
    made = design_of(kind, change)
    return answer(Advice(design=made, remedies=(), verdict=judge(made, ())))


def leaves(node: object, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], object]]:
    """Every value of a document with the names on the way to it, places in lists left out."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from leaves(value, (*path, key))
    elif isinstance(node, list):
        for item in node:
            yield from leaves(item, path)
    else:
        yield path, node


def assert_clean(found: Mapping[str, Any]) -> None:
    """Numbers are finite, nothing is null that has no meaning as null, texts say something."""
    for path, value in leaves(found):
        if isinstance(value, float):
            assert math.isfinite(value), path
        if value is None:
            assert path[-2:] in OPEN or path[:2] == ("remedies", "change"), path
        if path[-1] in ("says", "asks", "why", "lacks"):
            assert value
    text = canonical(found)
    assert json.loads(text) == found
    assert "NaN" not in text
    assert "Infinity" not in text


# ── what is always there ────────────────────────────────────────────────────


@pytest.mark.parametrize("name", WHOLE)
def test_every_promised_key(name: str) -> None:
    found, kind = document(name), WHOLE[name]
    assert set(found) >= ALWAYS
    assert (found["format"], found["units"]) == (1, "mm, deg")
    assert found["kind"] == kind
    assert found["verdict"] in VERDICTS
    assert found["program"].startswith("trialfit ")
    assert found["shop_units"] in ("in", "mm")
    assert 1 <= len(found["verdict_lines"]) <= 7
    fixed = found["lineup"]["fixed"]
    assert LINED_UP <= set(fixed) <= {*LINED_UP, "dowel_wall"}
    assert set(fixed["best"]) == {"clocking", "wall"}
    assert all(set(one) == {"engine", "gearbox", "wall"} for one in fixed["clashes"])
    assert all(set(one) == {"side", "id"} for one in fixed["leave_out"])
    rotating = found["lineup"]["rotating"]
    assert rotating == {"through": True} or {"clocking", "wall", "windows"} <= set(rotating)
    axial = found["axial"]
    assert {"plate", "spacer", "spacer_within", "plate_limits", "region", "robust_region",
            "conflict", "chance_any", "chance_these", "measure_next", "stations"} <= set(axial)  # fmt: skip
    assert set(axial["plate_limits"]) == {"least", "binds_least", "most", "binds_most"}
    assert set(STATIONS[kind].split()) <= set(axial["stations"])
    assert set(QUANTITIES[kind].split()) <= set(axial)
    assert not (OWN - set(QUANTITIES[kind].split())) & set(axial), "what it has not is left out"
    assert all({"dimension", "chance_if_known", "decides"} <= set(row)
               for row in axial["measure_next"])  # fmt: skip
    assert ("pilot" in found) == (kind != "flange")


@pytest.mark.parametrize("name", WHOLE)
def test_lists_are_of_their_kind(name: str) -> None:
    found = document(name)
    for part in found["parts"]:
        assert {"name", "material", "size", "mass_kg", "quantity", "outline", "holes"} <= set(part)
        assert part["mass_kg"] > 0
        assert all(size > 0 for size in part["size"].values())
        for hole in part["holes"]:
            assert set(hole) == HOLE_KEYS
            assert hole["kind"] in ("clearance", "tapped", "dowel", "through screw")
            assert hole["for"] in ("engine", "gearbox", "dowel", "driver", "driven")
            assert (hole["kind"] == "tapped") == bool(hole["thread"])
    for fit in found["fits"]:
        assert FIT_KEYS <= set(fit) <= {*FIT_KEYS, "press_n", "warm_k"}
        low, high = fit["hole"][0] - fit["shaft"][1], fit["hole"][1] - fit["shaft"][0]
        assert fit["play"] == pytest.approx([low, high], abs=1e-6)
    for joint in found["joints"]:
        assert {"name", "count", "thread", "grade", "head", "source"} <= set(joint)
    for check in found["checks"]:
        assert {"id", "status", "due", "says", "because", "source"} <= set(check)
        assert check["status"] in STATUSES
        assert check["due"] == DUE[check["id"]]
    for row in found["not_run"]:
        assert set(row) == {"check", "lacks"}
        assert row["lacks"]
    ids = [one["id"] for one in found["checks"]] + [one["check"] for one in found["not_run"]]
    assert sorted(ids) == sorted(DUE)
    for length in found["lengths"]:
        assert length["low"] <= length["value"] <= length["high"]
    for row in found["assumed"]:
        assert set(row) == {"key", "value", "why"}


@pytest.mark.parametrize("name", WHOLE)
def test_numbers_are_finite_and_it_comes_back_from_json(name: str) -> None:
    assert_clean(document(name))


@pytest.mark.parametrize("name", ["automatic-inch", "manual-metric"])
def test_the_same_sheet_gives_the_same_answer(name: str) -> None:
    again = answer(advise(load(SHEETS / f"{name}.toml")))
    assert canonical(again) == canonical(document(name))


def test_holes_carry_the_ids_of_the_faces() -> None:
    plate, ring = document("converter")["parts"]
    ids = {hole["id"] for hole in plate["holes"]}
    wanted = {f"{side}{n}" for side in "EG" for n in range(1, 9)}
    assert ids == wanted | {"E-D1", "E-D2", "G-E1", "G-E2"}
    assert {hole["id"] for hole in ring["holes"]} == {f"{s}{n}" for s in "DF" for n in range(1, 7)}


def test_the_gearbox_is_shown_turned() -> None:
    """Hole 1 of the gearbox, at 22.5° from its front, is at 157.5° from behind, and 5° further on."""
    for turn in (0.0, 5.0):
        found = asked("converter", {"choices.clocking": [turn, turn]})
        row = next(one for one in found["patterns"]["gearbox"] if one["id"] == "1")
        angle = math.degrees(math.atan2(row["y"], row["x"]))
        assert angle == pytest.approx(157.5 + turn, abs=1e-9)
        hole = next(one for one in found["parts"][0]["holes"] if one["id"] == "G1")
        assert (hole["x"], hole["y"]) == pytest.approx((row["x"], row["y"]), abs=1e-9)


# ── part jobs ───────────────────────────────────────────────────────────────

NO_DRIVES = {
    "engine.drive": None, "engine.starter": None, "gearbox.converter": None, "gearbox.pump": None,
    "flexplate": None,
}  # fmt: skip
NO_FACES = {"engine.face": None, "gearbox.face": None}
KNOWN_SPAN = {**NO_FACES, "gearbox.converter.seat_depth": None, "choices.spacer": 34,
              "choices.plate": None, "engine.starter": None}  # fmt: skip
BLANK = {"engine.face.circle": None, "engine.face.dowels": None, "gearbox.face.circle": None,
         "gearbox.face.dowels": None, "engine.drive.circle": None, "flexplate.circle": None}  # fmt: skip
ENGINE_ONLY = dict.fromkeys(("gearbox", "flexplate", "installation", "answers", "use"))
GEARBOX_ONLY = dict.fromkeys(("engine", "installation", "answers", "use"))

PART_JOBS: dict[str, tuple[Mapping[str, object], set[str], set[str]]] = {
    # change, what is named as not asked, names of the parts made
    "two faces": (NO_DRIVES, {"lineup.rotating", "engine.starter"}, {"adapter plate"}),
    "two drives, span known": (KNOWN_SPAN, {"lineup.fixed", "axial", "engine.starter"},
                               {"spacer ring"}),
    "two drives, span asked": (NO_FACES, {"lineup.fixed"}, {"spacer ring"}),
    "a chain without patterns": (BLANK, {"lineup.fixed", "lineup.rotating"}, {"adapter plate"}),
    "engine only": (ENGINE_ONLY, {"lineup.fixed", "lineup.rotating", "gearbox"},
                    {"adapter plate"}),
    "gearbox only": (GEARBOX_ONLY, {"lineup.fixed", "lineup.rotating", "engine"},
                     {"adapter plate"}),
}  # fmt: skip


@pytest.mark.parametrize("job", PART_JOBS)
def test_what_is_absent_is_left_out_and_named(job: str) -> None:
    change, absent, made = PART_JOBS[job]
    found = asked("converter", change)
    assert_clean(found)
    assert absent <= set(found["not_asked"]) <= absent | {"engine.starter"}
    for name in ("fixed", "rotating"):
        assert (name in found["lineup"]) == (f"lineup.{name}" not in found["not_asked"])
    for name in ("engine", "gearbox"):
        assert (name in found) == (name not in found["not_asked"])
    if "axial" in found["not_asked"]:
        assert not (OWN | {"tail_shift"}) & set(found.get("axial", {}))
    assert {part["name"] for part in found["parts"]} <= made
    assert found["verdict"] in VERDICTS


def test_two_faces_alone_are_answered_in_full() -> None:
    found = asked("converter", NO_DRIVES)
    assert found["verdict"] == "goes"
    assert found["lineup"]["fixed"]["wall"] == document("converter")["lineup"]["fixed"]["wall"]
    assert [part["name"] for part in found["parts"]] == ["adapter plate"]
    assert "spacer" not in found["axial"]
    assert "pilot" not in found


def test_two_drives_with_a_known_span_are_answered_in_full() -> None:
    centred = {"flexplate.register": {"form": "bore", "diameter": "60.00"}}
    found = asked("converter", {**KNOWN_SPAN, **centred})
    assert found["verdict"] == "goes"
    assert found["axial"]["spacer"] == 34
    assert found["axial"]["stations"] == {"driving_face": 5.0, "driven_face": 39.0}
    ring = document("converter")["parts"][1]
    assert [part["size"]["outside"] for part in found["parts"]] == [ring["size"]["outside"]]


def test_a_chain_without_patterns_has_its_sums() -> None:
    found, whole = asked("converter", BLANK)["axial"], document("converter")["axial"]
    for name in ("gap", "spacer", "nose_engagement", "nose_bottom", "stations"):
        assert found[name] == whole[name]


# ── what was assumed ────────────────────────────────────────────────────────

CHOICES: dict[str, object] = {
    "stage": "quote", "plate": 25, "spacer": 34, "packing": 0, "plate_material": "6061-T6",
    "plate_stock": [25], "plate_joint": "tapped", "spacer_material": "1045",
    "rotating_style": "ring", "screw_grade": "8.8", "thread_friction": 0.12, "joint_friction": 0.1,
    "dial_in": False, "rules": "automatic road car", "clocking": [0, 0], "least_wall": 10,
    "layout": "mill", "turning": "one chucking", "fit": "close", "uncertainty": "worst",
    "confidence": 0.95, "heads": "counterbored", "keepout": "through", "plates": 1,
}  # fmt: skip


def assumed(change: Mapping[str, object], kind: str = "converter") -> dict[str, str]:
    return {row["key"]: row["value"] for row in asked(kind, change)["assumed"]}


def test_with_every_choice_made_none_is_assumed() -> None:
    found = assumed({f"choices.{name}": value for name, value in CHOICES.items()})
    assert not {key for key in found if key.startswith("choices.")}


@pytest.mark.parametrize("name", CHOICES)
def test_a_choice_left_out_is_named(name: str) -> None:
    made = {f"choices.{key}": value for key, value in CHOICES.items() if key != name}
    made |= {f"choices.{name}": None} if name in ("plate", "plate_material", "spacer_material",
                                                 "screw_grade", "layout", "fit") else {}  # fmt: skip
    found = assumed(made)
    assert {key for key in found if key.startswith("choices.")} == {f"choices.{name}"}
    assert found[f"choices.{name}"]


@pytest.mark.parametrize(
    ("kind", "key", "value"),
    [
        ("converter", "gearbox.converter.gap", "3.20 mm · 0.126 in to 4.80 mm · 0.189 in"),
        ("shaft", "clutch.release_gap", "3.00 mm · 0.118 in to 4.60 mm · 0.181 in"),
        ("flange", "gearbox.driven.allow", "-0.010 in · -0.25 mm to 0.010 in · 0.25 mm"),
    ],
)
def test_a_wanted_band_left_out_is_named(kind: str, key: str, value: str) -> None:
    assert assumed({key: None} if kind != "shaft" else {}, kind)[key] == value
    given = {"clutch.release_gap": [3, 4]} if kind == "shaft" else {}
    assert key not in assumed(given, kind)


@pytest.mark.parametrize(
    ("kind", "key", "given"),
    [
        ("converter", "gearbox.converter.lug_shims", "0 ± 0"),
        ("shaft", "use.torque_factor", 1.5),
        ("converter", "engine.drive.outside", "120 ± 0.1"),
        ("converter", "gearbox.face.bolt", None),
    ],
)
def test_other_defaults_are_named(kind: str, key: str, given: object) -> None:
    assert key in assumed({}, kind)
    if given is not None:
        assert key not in assumed({key: given}, kind)


def test_what_is_still_to_settle() -> None:
    """What is due later stands under its stage, until that stage is reached."""
    open_ones = {"gearbox.mass": None, "answers.shield": None}
    stages = {stage: asked("converter", {**open_ones, "choices.stage": stage})["settle"]
              for stage in ("quote", "cut", "start")}  # fmt: skip
    told = {s: {k: [row["id"] for row in rows] for k, rows in found.items()}
            for s, found in stages.items()}  # fmt: skip
    assert told == {
        "quote": {"cut": ["overhang"], "start": ["shield"]},
        "cut": {"cut": [], "start": ["shield"]},
        "start": {"cut": [], "start": []},
    }
