"""The plan shows every hole where the answer puts it, and every clash by shape and by word."""

from __future__ import annotations

import pytest

from kb.model.record import Record
from tests.papers.samples import Answer, converter, shaft
from wizard.papers.plan import SIDE_UP, plan, ring_plan
from wizard.papers.shapes import Circle, Hole, Mark, Outline, Words

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")


@pytest.mark.parametrize("name", NAMES)
def test_holes_of_faces_and_plate_stand_where_the_answer_puts_them(
    name: str, designed: dict[str, Record]
) -> None:
    answer = designed[name].answer
    plates = [part for part in answer["parts"] if part["name"].endswith("plate")]
    for part in plates:
        shown = [s for s in plan(answer, plate=part["name"]) if isinstance(s, Hole)]
        made = {(hole.id, hole.centre, hole.diameter) for hole in shown if hole.made}
        assert made == {(h["id"], (h["x"], h["y"]), h["diameter"]) for h in part["holes"]}
        faces = {(hole.id, hole.centre) for hole in shown if not hole.made}
        rows = [*answer["patterns"]["engine"], *answer["patterns"]["gearbox"]]
        assert faces == {(row["id"], (row["x"], row["y"])) for row in rows}


def test_keepouts_and_kinds_come_along() -> None:
    face = {s.id: s for s in plan(converter()) if isinstance(s, Hole) and not s.made}
    assert (face["1"].keepout, face["1"].kind, face["1"].tag) == (20.6, "tapped", "engine")
    assert face["1"].says == "engine 1: tapped, 7/16-14, keep clear ⌀ 0.811 in · 20.60 mm"
    made = {s.id: s for s in plan(converter()) if isinstance(s, Hole) and s.made}
    assert made["D1"].tag == "dowel"
    assert "counterbore ⌀ 0.811 in · 20.60 mm" in made["A1"].says
    assert made["E1"].says.endswith("0.354 in · 9.00 mm deep")


def test_clashes_are_marked_between_the_two_holes() -> None:
    answer = shaft()
    marks = [s for s in plan(answer) if isinstance(s, Mark)]
    assert [mark.tag for mark in marks] == ["clash", "clash", "shared", "left out"]
    engine = {row["id"]: row for row in answer["patterns"]["engine"]}
    gearbox = {row["id"]: row for row in answer["patterns"]["gearbox"]}
    assert marks[0].at == pytest.approx(
        ((engine["8"]["x"] + gearbox["6"]["x"]) / 2, (engine["8"]["y"] + gearbox["6"]["y"]) / 2)
    )
    assert marks[0].says == "CLASH engine 8 / gearbox 6: overlap 8.87 mm · 0.349 in"


def test_it_says_where_it_is_seen_from_and_which_way_is_up() -> None:
    for shapes in (plan(converter()), ring_plan(converter())):
        assert {s.text for s in shapes if isinstance(s, Words)} == {"TOP", SIDE_UP}


def test_outline_opening_and_registers() -> None:
    answer = shaft()
    shapes = plan(answer)
    (outline,) = (s for s in shapes if isinstance(s, Outline))
    assert len(outline.pieces) == 8
    circles = {s.tag: s.diameter for s in shapes if isinstance(s, Circle)}
    assert circles == {"opening": 270.0, "hidden": 314.3}


def test_without_a_plate_the_faces_are_still_compared() -> None:
    answer = shaft()
    answer["parts"] = []
    shapes = plan(answer)
    assert not [s for s in shapes if isinstance(s, Outline)]
    assert len([s for s in shapes if isinstance(s, Hole)]) == 14
    assert [s for s in shapes if isinstance(s, Mark) and s.tag == "clash"]


def test_without_anything_nothing_is_drawn() -> None:
    empty: Answer = {}
    assert plan(empty) == ()
    assert ring_plan(empty) == ()
