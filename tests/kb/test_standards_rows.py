"""Every row of every table keeps the rule of its table: sizes rise, least is below largest, and so on.

Source: the rules are arithmetic or follow from the name of a column; where one rests on a standard or on a
fact of the trade it says so.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest

from kb.quantity import read_thread
from kb.standards import drills, loader
from kb.standards.loader import Row, Table, table

EVERY = loader.names()
Rule = Callable[[Table], None]


def rising(rows: Table | tuple[Row, ...] | list[Row], *columns: str) -> None:
    """Each column grows from row to row."""
    for column in columns:
        values = [row.value(column) for row in rows]
        assert all(a < b for a, b in pairwise(values)), column


def ordered(row: Row, *columns: str) -> None:
    """Each figure is below the next, in the program's units."""
    values = [row.value(column) for column in columns]
    assert all(a < b for a, b in pairwise(values)), row.cells


def touching(rows: Table | tuple[Row, ...] | list[Row]) -> None:
    """Ranges follow on one another without gap or overlap."""
    for row in rows:
        ordered(row, "over", "to")
    for one, following in pairwise(rows):
        assert one.text("to") == following.text("over")


def groups(rows: Table, column: str) -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(row.text(column), []).append(row)
    return found


# ── one rule for every table ────────────────────────────────────────────────


def threads_inch(rows: Table) -> None:
    for row in rows:
        thread = read_thread(row.text("thread"), key="thread")
        assert thread.major == pytest.approx(row.value("major"), abs=1e-9)
        assert thread.pitch == pytest.approx(25.4 / row.value("threads_per_inch"))
        ordered(row, "minor_internal", "pitch_diameter", "major")
        ordered(row, "minor_area", "stress_area")
        assert drills.named(row.text("tap_drill")).diameter < row.value("pitch_diameter")
        soft, hard = (drills.named(row.text(each)) for each in ("tap_drill", "tap_drill_hard"))
        assert soft.diameter < hard.diameter < row.value("major")
    series = groups(rows, "series")
    assert set(series) == {"coarse", "fine"}
    for each in series.values():
        rising(each, "major", "stress_area")
    assert_fine_is_finer(rows)


def assert_fine_is_finer(rows: Table) -> None:
    """Of one diameter the fine thread has the greater stress area."""
    sizes = groups(rows, "major")
    for same in sizes.values():
        by_series = groups(Table(passport=rows.passport, rows=tuple(same)), "series")
        for fine in by_series.get("fine", []):
            for coarse in by_series["coarse"]:
                assert coarse.value("stress_area") < fine.value("stress_area")


def threads_metric(rows: Table) -> None:
    for row in rows:
        thread = read_thread(row.text("thread"), key="thread")
        assert (thread.major, thread.pitch) == (row.value("major"), row.value("pitch"))
        ordered(row, "minor_external", "minor_internal", "tap_drill", "pitch_diameter", "major")
        hard = row.optional("tap_drill_hard")
        assert hard is None or row.value("tap_drill") < hard < row.value("major")
    for each in groups(rows, "series").values():
        rising(list({row.text("major"): row for row in each}.values()), "major", "stress_area")
    assert_fine_is_finer(rows)


def drills_(rows: Table) -> None:
    sets = groups(rows, "set")
    assert set(sets) == {"number", "letter", "fraction"}
    assert (len(sets["number"]), len(sets["letter"])) == (80, 26)
    for each in sets.values():
        rising(each, "diameter")
    for row in sets["fraction"]:
        assert loader.exact(row.text("size")) == loader.exact(row.text("diameter"))
    assert sets["number"][-1].value("diameter") < sets["letter"][0].value("diameter")


def clearance_metric(rows: Table) -> None:
    rising(rows, "nominal", "close", "normal", "loose")
    for row in rows:
        ordered(row, "nominal", "close", "normal", "loose")


def clearance_inch(rows: Table) -> None:
    rising(rows, "nominal")
    for row in rows:
        for fit in ("close", "normal", "loose"):
            drill = drills.named(row.text(f"{fit}_drill")).diameter
            assert row.value(f"{fit}_min") == pytest.approx(drill, abs=0.0006 * 25.4)
            assert drill < row.value(f"{fit}_max")
            ordered(row, "nominal", f"{fit}_min", f"{fit}_max")
        ordered(row, "close_min", "normal_min", "loose_min")
        ordered(row, "close_max", "normal_max", "loose_max")


def bolt_grades(rows: Table) -> None:
    for row in rows:
        ordered(row, "from", "to")
        ordered(row, "proof", "yield", "tensile")
        assert row.text("from_excluded") in ("yes", "no")
    for grade in groups(rows, "grade").values():
        for one, following in pairwise(grade):
            assert one.value("to") == following.value("from")
            assert following.text("from_excluded") == "yes"


def torque_factors(rows: Table) -> None:
    for row in rows:
        assert 0.05 < row.value("factor") < 0.4


def iso286_grades(rows: Table) -> None:
    touching(rows)
    rising(rows, *(f"it{grade}" for grade in range(5, 15)))
    for row in rows:
        ordered(row, *(f"it{grade}" for grade in range(5, 15)))


def iso286_shafts(rows: Table) -> None:
    touching(rows)
    for row in rows:
        ordered(row, "f", "g")
        assert row.value("g") < 0 <= row.value("k")
        ordered(row, "k", "m", "n", "p", "r", "s")
    for one, following in pairwise(rows):
        for letter in "fg":
            assert following.value(letter) <= one.value(letter)
        for letter in "kmnprs":
            assert following.value(letter) >= one.value(letter)


def ansi_b41(rows: Table) -> None:
    for name, fit in groups(rows, "class").items():
        touching(fit)
        for row in fit:
            ordered(row, "hole_lower", "hole_upper")
            ordered(row, "shaft_lower", "shaft_upper")
            assert row.value("hole_lower") == 0  # basic hole system
            least = row.value("hole_lower") - row.value("shaft_upper")
            most = row.value("hole_upper") - row.value("shaft_lower")
            if name.startswith(("RC", "LC")):
                assert 0 <= least < most
            elif name.startswith("LT"):
                assert least < 0 < most
            else:
                assert least < most <= 1e-9
        for one, following in pairwise(fit):
            assert following.value("hole_upper") >= one.value("hole_upper")


def dowels_with_holes(rows: Table) -> None:
    dowels_iso(rows)
    rising(rows, "single_shear")
    for row in rows:
        ordered(row, "hole_min", "hole_max", "pin_min", "pin_max")  # a press fit
        assert row.value("hole_max") == row.value("nominal")


def dowels_iso(rows: Table) -> None:
    rising(rows, "nominal")
    for row in rows:
        ordered(row, "nominal", "pin_min", "pin_max")
        assert float(loader.exact(row.text("size"))) == float(row.text("nominal"))


def balance_grades(rows: Table) -> None:
    values = [row.value("value") for row in rows]
    assert values == sorted(values, reverse=True)
    for row in rows:
        assert row.text("grade") == f"G{row.value('value'):g}"


def sae_j617(rows: Table) -> None:
    rising(tuple(reversed(rows.rows)), "bore_min", "bore_max", "flange_outside", "bolt_circle")
    for row in rows:
        ordered(row, "bore_min", "bore_max", "bolt_circle", "flange_outside")
        read_thread(row.text("thread"), key="thread")
        assert row.value("first_hole") == 180 / row.count("holes")


def sae_j620(rows: Table) -> None:
    rising(rows, "a", "pilot", "bolt_circle")
    metric = [int(row.text("metric_size")) for row in rows]
    assert metric == sorted(metric)
    for row in rows:
        ordered(row, "a", "bolt_circle", "pilot")
        read_thread(row.text("thread"), key="thread")
        depth = row.optional("ring_depth")
        assert depth is None or 0 < depth < row.value("stop_depth")
        bearing = row.optional("bearing_bore")
        assert bearing is None or bearing < row.value("a")


def socket_screws_inch(rows: Table) -> None:
    rising(rows, "nominal", "head_diameter", "head_height", "counterbore")
    for row in rows:
        ordered(row, "key", "nominal", "head_diameter", "counterbore")


def socket_screws_metric(rows: Table) -> None:
    socket_screws_inch(rows)
    for row in rows:
        ordered(row, "head_diameter", "knurled_diameter", "counterbore")
        bearing = row.optional("bearing")
        assert bearing is None or row.value("nominal") < bearing < row.value("head_diameter")


def countersunk_screws(rows: Table) -> None:
    rising(rows, "nominal", "head_diameter")
    for row in rows:
        ordered(row, "key", "nominal", "head_diameter")
        ordered(row, "head_height", "nominal")


def hex_bolts_inch(rows: Table) -> None:
    rising(rows, "nominal", "across_flats", "across_flats_max", "head_height")
    for row in rows:
        ordered(row, "head_height", "nominal", "across_flats")
        assert row.value("across_flats_max") == pytest.approx(row.value("across_flats"), abs=0.02)


def hex_bolts_metric(rows: Table) -> None:
    rising(rows, "nominal", "across_flats", "head_height", "bearing")
    for row in rows:
        ordered(row, "head_height", "nominal", "bearing", "across_flats")


def washers_inch(rows: Table) -> None:
    washers(rows)
    for row in rows:
        assert 0 < row.value("outside_plus") < 1


def washers(rows: Table) -> None:
    rising(rows, "nominal", "inside", "outside")
    for row in rows:
        ordered(row, "thickness", "thickness_max", "nominal", "inside", "outside")


def wrench_sockets(rows: Table) -> None:
    rising(rows, "across_flats", "outside")
    for row in rows:
        rule = 1.25 * row.value("across_flats") + 3
        assert 0 <= rule - row.value("outside") < 0.1  # cut, not rounded, to 0.1 mm


def screw_lengths_inch(rows: Table) -> None:
    """Steps of 1/8 in to 1 in, then 1/4, 1/2 and 1 in (ASME B18.3, from memory)."""
    rising(rows, "length")
    for row in rows:
        length = loader.exact(row.text("length"))
        step = 8 if length <= 1 else 4 if length <= 3.5 else 2 if length <= 7 else 1
        assert (length * step).denominator == 1


def screw_lengths_metric(rows: Table) -> None:
    """Steps of 5 mm from 20 mm, of 10 mm from 70 mm, of 20 mm from 160 mm (ISO 888, from memory)."""
    rising(rows, "length")
    for row in rows:
        length = row.value("length")
        step = 2 if length < 20 else 5 if length < 70 else 10 if length < 160 else 20
        assert length % step == 0


def materials(rows: Table) -> None:
    names = [row.text("name") for row in rows]
    assert len(set(names)) == len(names)
    typical = {"steel": 7800, "aluminium": 2700, "grey iron": 7200, "ductile iron": 7100}
    for row in rows:
        assert row.value("density") == pytest.approx(typical[row.text("family")], rel=0.05)
        assert 0.2 < row.value("nu") < 0.35
        assert 9e-6 < row.value("cte") < 26e-6
        for lower, upper in (
            ("e_from", "e_to"),
            ("ultimate", "ultimate_to"),
            ("yield", "ultimate"),
        ):
            if row.text(lower) and row.text(upper):
                ordered(row, lower, upper)


def runout(rows: Table) -> None:
    for row in rows:
        assert row.text("basis") in ("tir", "tir per diameter", "tir per radius")
        assert bool(row.text("tir")) == (row.text("basis") == "tir")
        assert bool(row.text("tir")) != bool(row.text("ratio"))
        assert bool(row.text("size")) == (row.text("item") == "flywheel housing")
    keys = [(row.text("item"), row.text("size"), row.text("by")) for row in rows]
    assert len(set(keys)) == len(keys)


RULES: dict[str, Rule] = {
    "ansi_b41": ansi_b41,
    "balance_grades": balance_grades,
    "bolt_grades_inch": bolt_grades,
    "bolt_grades_metric": bolt_grades,
    "clearance_inch": clearance_inch,
    "clearance_metric": clearance_metric,
    "dowels_inch": dowels_with_holes,
    "dowels_iso": dowels_iso,
    "dowels_metric": dowels_with_holes,
    "drills": drills_,
    "hex_bolts_inch": hex_bolts_inch,
    "hex_bolts_metric": hex_bolts_metric,
    "iso286_grades": iso286_grades,
    "iso286_shafts": iso286_shafts,
    "materials": materials,
    "runout": runout,
    "sae_j617": sae_j617,
    "sae_j620": sae_j620,
    "screw_lengths_inch": screw_lengths_inch,
    "screw_lengths_metric": screw_lengths_metric,
    "countersunk_screws_inch": countersunk_screws,
    "countersunk_screws_metric": countersunk_screws,
    "socket_screws_inch": socket_screws_inch,
    "socket_screws_metric": socket_screws_metric,
    "threads_inch": threads_inch,
    "threads_metric": threads_metric,
    "torque_factors": torque_factors,
    "washers_inch": washers_inch,
    "washers_metric": washers,
    "wrench_sockets": wrench_sockets,
}


def test_every_table_has_its_rule() -> None:
    assert set(RULES) == set(EVERY)


@pytest.mark.parametrize("name", EVERY)
def test_rows_keep_their_rule(name: str) -> None:
    RULES[name](table(name))
