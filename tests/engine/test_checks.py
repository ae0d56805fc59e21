"""Every check at its limits. Limits: common practice, no source, as the rule sets hold them; the
figures typed here are worked out by hand from the equations.
"""

from __future__ import annotations

import re
from functools import cache

import pytest

from kb.model.check import STATUSES, Check
from kb.model.record import Design
from kb.sheets.reading import read
from tests.engine.jobs import AUTOMATIC, FLANGE, MANUAL
from wizard.engine.checks.case import DUE
from wizard.engine.checks.run import CHECKS
from wizard.engine.design import design

JOBS = {"automatic": AUTOMATIC, "manual": MANUAL, "flange": FLANGE}

# job, what is replaced in it, by what, the check, what it then says
TABLE = [
    ("automatic", "", "", "converter-gap", "pass"),
    # L = 20 + 28.58 − 6.35 − 8 − gap: 30.23 gives 4.0; every mm more of L takes one off the gap
    ("automatic", "plate = 20", "plate = 20\nspacer = 29.42", "converter-gap", "warn"),
    ("automatic", "plate = 20", "plate = 20\nspacer = 34.24", "converter-gap", "fail"),
    ("automatic", "plate = 20", "plate = 20\nspacer = 27.8", "converter-gap", "warn"),
    ("automatic", "pump_lug = { seated = 18, gear = 12 }\n", "", "converter-gap", "pass"),
    ("automatic", 'offset = "8.00 ± 0.03"', "", "converter-gap", "unknown"),
    ("automatic", "", "", "spacer-length", "pass"),
    ("automatic", 'standoff = "6.35 ± 0.02"', "standoff = 34.58", "spacer-length", "warn"),
    ("automatic", 'standoff = "6.35 ± 0.02"', "standoff = 38", "spacer-length", "fail"),
    ("automatic", "", "", "nose-engagement", "pass"),
    ("automatic", 'reach = "16 ± 0.05"', "reach = 11.1", "nose-engagement", "fail"),
    ("automatic", 'reach = "16 ± 0.05"', "reach = 12.1", "nose-engagement", "pass"),
    ("automatic", 'diameter = "40.00 ± 0.01", reach', "reach", "nose-engagement", "unknown"),
    ("automatic", "", "", "nose-bottoming", "pass"),
    ("automatic", "", "", "pump-lug-overlap", "pass"),  # 18 − 4 ≥ 9
    ("automatic", "seated = 18", "seated = 12.9", "pump-lug-overlap", "fail"),
    ("automatic", ", gear = 12", "", "pump-lug-overlap", "unknown"),
    # the land covers from 28.58 + 30 to 28.58 − 4 + 70 = 94.58
    ("automatic", "", "", "hub-covers-seal", "pass"),
    ("automatic", "bush = [60, 72]", "bush = [58, 72]", "hub-covers-seal", "fail"),
    ("automatic", "lip = 64", "lip = 95", "hub-covers-seal", "fail"),
    # heads: 6.35 + 30.23 + 8 − 2.5 − 7 = 35.08 before the plate's 20
    ("automatic", "", "", "fastener-clears", "pass"),
    ("automatic", "bolt_heads = 7", "bolt_heads = 21", "fastener-clears", "fail"),
    ("automatic", "", "", "pinion-overlap", "pass"),
    ("automatic", "engaged = 35", "engaged = 32", "pinion-overlap", "fail"),
    ("automatic", "", "", "pinion-rest-gap", "pass"),  # 26.35 − 23.85 = 2.5
    ("automatic", "home = 23.85", "home = 25.0", "pinion-rest-gap", "warn"),
    ("automatic", "home = 23.85", "home = 25.5", "pinion-rest-gap", "fail"),
    ("automatic", "", "", "tail-shift", "pass"),
    ("automatic", "allowance = 30", "allowance = 19", "tail-shift", "fail"),
    ("automatic", "allowance = 30", "", "tail-shift", "warn"),
    ("automatic", "", "", "plate-thickness", "pass"),
    ("automatic", "plate = 20", "plate = 10", "plate-thickness", "fail"),
    ("automatic", "", "", "hole-clash", "pass"),
    ("automatic", "x = -110, y = 130, hole", "x = 150, y = 100, hole", "hole-clash", "fail"),
    ("automatic", "", "", "least-wall", "pass"),
    # discs of 18 and 10 mm: 14 mm of radii; 18 apart leaves 4, wanted 5 (half an M10, steel)
    ("automatic", "x = -110, y = 130, hole", "x = 150, y = 108, hole", "least-wall", "warn"),
    ("automatic", "x = -110, y = 130, hole", "x = 150, y = 105, hole", "least-wall", "fail"),
    ("automatic", "", "", "thread-engagement", "pass"),
    ("automatic", ", depth = 24", "", "thread-engagement", "unknown"),
    ("automatic", "", "", "head-sunk", "pass"),  # 10 + 0.5 + 6 = 16.5 ≤ 20
    ("automatic", "plate = 20", "plate = 15", "head-sunk", "warn"),
    ("automatic", "plate = 20", "plate = 14", "head-sunk", "fail"),  # 10 + 0.5 + 4 = 14.5
    ("automatic", "", "", "screw-length", "pass"),
    ("automatic", "", "", "dowels", "pass"),
    ("automatic", '  { id = "b", x = 170, y = 0, diameter = 12 },\n', "", "dowels", "warn"),
    ("automatic", "", "", "edge-distance", "pass"),
    ("automatic", "", "", "wrench-access", "pass"),
    ("automatic", "socket_room = 24", "socket_room = 20", "wrench-access", "fail"),
    ("automatic", "", "", "opening-clears", "pass"),
    ("automatic", "outside = 110", "", "opening-clears", "unknown"),
    ("automatic", "", "", "joint-slip-fixed", "warn"),
    ("automatic", "lowest_gear = 2.5\nreverse_gear = -2.0\n", "", "joint-slip-fixed", "unknown"),
    ("automatic", "", "", "overhang", "pass"),
    ("automatic", 'mass = "70 kg"\n', "", "overhang", "unknown"),
    ("automatic", 'mass = "70 kg"', 'mass = "70000 kg"', "overhang", "warn"),
    ("automatic", "", "", "input-cast-in", "pass"),
    ("automatic", "[engine.face]", "[engine.face]\ncast_in = true", "input-cast-in", "fail"),
    ("automatic", "", "", "fill-angle", "pass"),
    ("automatic", "plate = 20", "plate = 20\nclocking = [6, 7]", "fill-angle", "warn"),
    # 340 mm, 80 K: steel 11.7 and aluminium 23.6 on iron 10.5 µm/m·K: 0.03 and 0.36 mm
    ("automatic", "", "", "thermal-growth", "pass"),
    ("automatic", 'plate_material = "A36"', 'plate_material = "6061-T6"', "thermal-growth", "warn"),
    ("automatic", 'temperature_rise = "80 °C"', "", "thermal-growth", "unknown"),
    ("automatic", "", "", "flatness", "pass"),
    ("automatic", "flatness = 0.05", "flatness = 0.2", "flatness", "warn"),
    ("automatic", "flatness = 0.05\n", "", "flatness", "unknown"),
    ("automatic", "", "", "rotating-wall", "pass"),
    ("automatic", "", "", "register-present", "pass"),
    (
        "automatic",
        'register = { form = "spigot", diameter = "50.00 ± 0.01", depth = 6 }\n',
        "",
        "register-present",
        "fail",
    ),
    ("automatic", "", "", "joint-slip", "pass"),
    ("automatic", 'peak_torque = "300 N·m"\n', "", "joint-slip", "unknown"),
    ("automatic", 'peak_torque = "300 N·m"', 'peak_torque = "1200 N·m"', "joint-slip", "fail"),
    ("automatic", "", "", "register-fit", "pass"),
    ("automatic", "", "", "critical-thread", "pass"),
    ("automatic", "depth = 22", "depth = 11", "critical-thread", "fail"),
    ("automatic", "", "", "rotation", "pass"),
    (
        "automatic",
        'name = "G"\nrotation = "ccw"',
        'name = "G"\nrotation = "cw"',
        "rotation",
        "fail",
    ),
    ("automatic", 'name = "G"\nrotation = "ccw"', 'name = "G"', "rotation", "unknown"),
    ("automatic", "", "", "torque-rating", "pass"),
    ("automatic", 'torque_limit = "400 N·m"', 'torque_limit = "299 N·m"', "torque-rating", "fail"),
    ("automatic", "[use]", "[use]\ntorque_factor = 1.5", "torque-rating", "warn"),
    ("automatic", "", "", "speed-rating", "pass"),
    ("automatic", "max_speed = 5000", "max_speed = 3999", "speed-rating", "fail"),
    ("automatic", "max_speed = 5000\n", "", "speed-rating", "unknown"),
    ("automatic", "", "", "balance-kind", "pass"),
    ("automatic", 'balance = "internal"', 'balance = "external"', "balance-kind", "fail"),
    ("automatic", 'balance = "neutral"\n', "", "balance-kind", "unknown"),
    ("automatic", "", "", "converter-circle", "pass"),
    (
        "automatic",
        "converter_circle = { count = 4, diameter = 250",
        "converter_circle = { count = 3, diameter = 250",
        "converter-circle",
        "warn",
    ),
    (
        "automatic",
        "converter_circle = { count = 4, diameter = 250",
        "converter_circle = { count = 4, diameter = 240",
        "converter-circle",
        "warn",
    ),
    (
        "automatic",
        "converter_circle = { count = 4, diameter = 250, hole = 11 }\n",
        "",
        "converter-circle",
        "unknown",
    ),
    ("automatic", "", "", "starter-clears", "not run"),
    (
        "automatic",
        "pinion_width = 12",
        "pinion_width = 12\nbody = 80\ncentre = [-225, 0]",
        "starter-clears",
        "pass",
    ),
    ("automatic", "", "", "starter-hand", "pass"),
    ("automatic", 'hand = "ccw"', 'hand = "cw"', "starter-hand", "fail"),
    ("automatic", 'chamfer = "front"', 'chamfer = "rear"', "starter-hand", "fail"),
    ("automatic", 'hand = "ccw"\n', "", "starter-hand", "unknown"),
    ("automatic", "", "", "ring-pitch", "unknown"),
    (
        "automatic",
        'pinion_teeth = 10\npitch = "module 2.5"',
        'pinion_teeth = 10\npitch = "12 DP"',
        "ring-pitch",
        "fail",
    ),
    # tips to roots: centre − 132·1.25 − 7.5·1.25 = 1.0
    (
        "automatic",
        "pinion_teeth = 10",
        "pinion_teeth = 10\ncentre = [175.375, 0]",
        "ring-pitch",
        "pass",
    ),
    (
        "automatic",
        "pinion_teeth = 10",
        "pinion_teeth = 10\ncentre = [177, 0]",
        "ring-pitch",
        "warn",
    ),
    ("automatic", "", "", "identified-by-measurement", "pass"),
    (
        "automatic",
        'seat_depth = "28.58 ± 0.03"',
        'seat_depth = { value = 28.58, from = "catalogue" }',
        "identified-by-measurement",
        "warn",
    ),
    (
        "automatic",
        'seat_depth = "28.58 ± 0.03"',
        'seat_depth = ["28.58 ± 0.03", "28.60 ± 0.03"]',
        "dimension-agreement",
        "pass",
    ),
    (
        "automatic",
        'seat_depth = "28.58 ± 0.03"',
        'seat_depth = ["28.58 ± 0.03", "28.70 ± 0.03"]',
        "dimension-agreement",
        "fail",
    ),
    ("automatic", "", "", "shield", "pass"),
    ("automatic", 'shield = "not called for"\n', "", "shield", "unknown"),
    ("automatic", "", "", "shop-questions", "pass"),
    ("automatic", 'galleries = "none"\n', "", "shop-questions", "unknown"),
    ("automatic", "", "", "predicted-runout", "warn"),
    ("automatic", "", "", "who-locates", "pass"),
    ("automatic", "", "", "bolts-go-in", "pass"),
    ("automatic", "", "", "overspeed", "pass"),
    ("automatic", "max_speed = 4000", "max_speed = 60000", "overspeed", "fail"),
    ("automatic", "", "", "bolt-shear", "pass"),
    ("automatic", "plate = 20", 'plate = 20\nleave_out = ["engine:1"]', "bolt-gap", "fail"),
    ("automatic", "max_speed = 4000", "max_speed = 100", "balance", "pass"),
    ("automatic", "max_speed = 4000\npeak", "peak", "balance", "unknown"),
    ("manual", "", "", "tip-engagement", "pass"),
    # shaft end 20 − 22 = −2, bush rear 20: overlap min(22, 18, 24, 20) = 18; wanted 12
    ("manual", 'reach = "22 ± 0.05"', "reach = 11", "tip-engagement", "fail"),
    (
        "manual",
        "[pilot]\nmouth = 0\ndepth = 33\nbore = 15.05\nbush_width = 18\n",
        "",
        "tip-engagement",
        "unknown",
    ),
    ("manual", "", "", "tip-bottoming", "pass"),  # −2 − (20 − 33) = 11
    ("manual", "depth = 33", "depth = 25.1", "tip-bottoming", "warn"),
    ("manual", "depth = 33", "depth = 24.9", "tip-bottoming", "fail"),
    ("manual", "", "", "tip-shoulder", "pass"),  # −2 + 24 − 20 = 2
    ("manual", "length = 24", "length = 22.5", "tip-shoulder", "warn"),
    ("manual", "length = 24", "length = 22", "tip-shoulder", "fail"),
    ("manual", "", "", "spline-overlap", "pass"),
    (
        "manual",
        "from_tip = 34",
        "from_tip = 48",
        "spline-overlap",
        "warn",
    ),  # starts at 46, hub 45 to 67
    ("manual", "from_tip = 34", "from_tip = 59", "spline-overlap", "fail"),
    ("manual", "", "", "disc-hub-clears", "pass"),  # 28 − 3 − 20 = 5
    ("manual", "bolt_heads = 20", "bolt_heads = 23.1", "disc-hub-clears", "fail"),
    ("manual", "bolt_heads = 20\n", "", "disc-hub-clears", "unknown"),
    # 20 + 92 − (10 + 10 + 28 + 60) = 4, wanted 2.5 to 5
    ("manual", "", "", "release-gap", "pass"),
    ("manual", 'retracted = "92 ± 0.1"', 'retracted = "94 ± 0.1"', "release-gap", "warn"),
    ("manual", 'retracted = "92 ± 0.1"', 'retracted = "97 ± 0.1"', "release-gap", "fail"),
    ("manual", "wear = 1", "wear = 10", "release-gap", "fail"),
    ("manual", 'retracted = "92 ± 0.1"\n', "", "release-gap", "unknown"),
    ("manual", "", "", "release-travel", "pass"),  # 20 − 2 − 4 − 10 = 4
    ("manual", "stroke = 10", "stroke = 16", "release-travel", "fail"),
    ("manual", "stroke = 10\n", "", "release-travel", "unknown"),
    ("manual", "", "", "spline-identity", "pass"),
    (
        "manual",
        "count = 22, diameter = 28.5 }\nouts",
        "count = 21, diameter = 28.5 }\nouts",
        "spline-identity",
        "fail",
    ),
    (
        "manual",
        "count = 22, diameter = 28.5 }\nouts",
        "count = 22, diameter = 29.5 }\nouts",
        "spline-identity",
        "fail",
    ),
    ("manual", "", "", "retainer-fit", "pass"),
    ("manual", "bore = 80 }", "bore = 80.3 }", "retainer-fit", "fail"),
    ("manual", "bore = 80 }", "bore = 79.8 }", "retainer-fit", "fail"),
    ("manual", "", "", "clutch-clears", "pass"),
    ("manual", "outside = 260", "outside = 297", "clutch-clears", "fail"),
    ("manual", "outside = 260\n", "", "clutch-clears", "unknown"),
    ("flange", "", "", "flange-position", "pass"),
    ("automatic", "", "", "head-bearing", "pass"),
    ("flange", 'plate = "0.75"', 'plate = "0.75"\nspacer = "0.70"', "flange-position", "fail"),
    ("flange", "", "", "posts-bending", "not run"),
]


@cache
def made(text: str) -> Design:
    return design(read(text), draws=500)


def found(design: Design, id: str) -> Check | None:
    return next((check for check in design.checks if check.id == id), None)


@pytest.mark.parametrize(
    ("job", "old", "new", "id", "status"),
    TABLE,
    ids=[f"{r[3]}-{r[4]}-{n}" for n, r in enumerate(TABLE)],
)
def test_the_check_says(job: str, old: str, new: str, id: str, status: str) -> None:
    text = JOBS[job]
    assert old in text
    check = found(made(text.replace(old, new) if old else text), id)
    assert (check.status if check else "not run") == status, check


def test_every_check_is_in_the_table() -> None:
    assert {row[3] for row in TABLE} == set(CHECKS)


def test_every_answer_is_whole() -> None:
    for text in JOBS.values():
        for check in made(text).checks:
            assert check.status in STATUSES
            assert check.due == DUE.get(check.id, "cut")
            assert check.says.endswith((".", "?"))
            assert check.source or check.status == "unknown"
            assert bool(check.unit) == (check.margin is not None)
            if check.status == "unknown":
                assert check.because


@pytest.mark.parametrize("job", JOBS)
def test_what_is_taken_away_never_makes_a_check_pass(job: str) -> None:
    """Every line of the sheet that can go, taken out by itself: no check improves by not knowing."""
    whole = {check.id: check.status for check in made(JOBS[job]).checks}
    for line in re.findall(r"(?m)^[a-z_]+ = [^\[{\n]+\n", JOBS[job]):
        if line.startswith(
            ("title", "units", "name", "face", "drive", "pitch", "form", "plate", "spacer")
        ):
            continue
        try:
            less = made(JOBS[job].replace(line, "", 1))
        except ValueError:
            continue  # the sheet says clearly what is missing
        for check in less.checks:
            if whole.get(check.id) == "fail":
                assert check.status != "pass", (line, check)
