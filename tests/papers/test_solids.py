"""Solids against closed forms: volumes by hand, holes where the table says, edges shared by two.

Sources: area of an outline by shapely, volumes of cylinder, ring and frustum by the closed form;
the STEP files are read back by Open CASCADE's own reader, the STL by its published layout (80 bytes
of heading, a count, 50 bytes a triangle).
"""

from __future__ import annotations

import math
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Polygon

from kb.model.record import Record
from tests.papers.samples import bare_plate, converter, hole, kept
from wizard.app.solid_view import solid_view
from wizard.making.stuff import outline
from wizard.papers import packet, step
from wizard.papers.bodies import bodies
from wizard.papers.mesh import Mesh, mesh, stl
from wizard.papers.shapes import trace

NAMES = ("automatic-inch", "manual-metric", "standard-housings", "two-plates", "posts")


def shared(made: Mesh) -> set[int]:
    """How many triangles meet at the edges."""
    t = made.triangles
    edges = np.sort(np.vstack([t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]]), axis=1)
    return set(np.unique(edges, axis=0, return_counts=True)[1].tolist())


def read_back(body: bytes, folder: Path) -> Any:
    from OCP.STEPControl import STEPControl_Reader

    path = folder / "part.step"
    path.write_bytes(body)
    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    return reader.OneShape()


def cylinders(shape: Any) -> list[tuple[float, float, float]]:
    """x, y and diameter of every cylindrical face along z."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_Cylinder
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    found, walk = [], TopExp_Explorer(shape, TopAbs_FACE)
    while walk.More():
        surface = BRepAdaptor_Surface(TopoDS.Face(walk.Current()))
        if surface.GetType() == GeomAbs_Cylinder:
            round_ = surface.Cylinder()
            at = round_.Axis().Location()
            found.append((at.X(), at.Y(), 2 * round_.Radius()))
        walk.Next()
    return found


def by_hand(answer: dict[str, Any]) -> float:
    """Volume of a bare plate with plain holes right through: (area − circles) × thickness."""
    (part,) = answer["parts"]
    area = Polygon(trace(outline(part), step=0.05)).area
    bore = part["size"].get("bore") or 0.0
    circles = sum(one["diameter"] ** 2 for one in part["holes"]) + bore**2
    return float((area - math.pi / 4 * circles) * part["size"]["thickness"])


@pytest.mark.parametrize(("size", "count"), [(20, 3), (400, 12), (500, 60), (4000, 60)])
def test_a_plate_has_the_volume_of_the_closed_form(size: float, count: int, tmp_path: Path) -> None:
    answer = bare_plate(width=size, height=size, count=count)
    for one in answer["parts"][0]["holes"]:
        one["depth"], one["counterbore"] = None, None
    (body,) = bodies(answer)
    made = mesh(body)
    wanted = by_hand(answer)
    assert made.volume == pytest.approx(wanted, rel=2e-4)
    assert shared(made) == {2}
    solid = read_back(step.step_file(kept(answer), [body], title="plate"), tmp_path)
    assert step.volume(solid) == pytest.approx(wanted, rel=1e-5)
    seen = cylinders(solid)
    for one in answer["parts"][0]["holes"]:
        at = (one["x"], one["y"], one["diameter"])
        assert any(math.dist(at, cylinder) < 1e-6 for cylinder in seen), one["id"]


def test_seats_cones_and_blind_holes_by_the_closed_form() -> None:
    answer = bare_plate(width=300, height=300, count=3)
    part = answer["parts"][0]
    part["size"]["bore"] = None
    thick = part["size"]["thickness"]
    part["holes"] = [
        hole("1", 60, 60, diameter=10.0, depth=None, counterbore={"diameter": 18.0, "depth": 6.0}, side="gearbox"),
        hole("2", -60, 60, diameter=8.0, depth=9.0, side="engine", counterbore=None),
        hole("3", 0, -70, diameter=10.0, depth=None, counterbore=None, countersink={"diameter": 20.0, "angle": 90.0}, side="gearbox"),
    ]  # fmt: skip
    area = Polygon(trace(outline(part), step=0.05)).area
    cone = (
        math.pi / 3 * 5 * (5**2 + 5 * 10 + 10**2) - math.pi * 25 * 5
    )  # 90°: 5 deep, 10 to 20 wide
    gone = math.pi * 25 * thick * 2 + math.pi * (81 - 25) * 6 + math.pi * 16 * 9 + cone
    (body,) = bodies(answer)
    wanted = area * thick - gone
    assert step.volume(step.solid(body)) == pytest.approx(wanted, rel=1e-6)
    assert mesh(body).volume == pytest.approx(wanted, rel=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_every_part_is_closed_and_weighs_what_the_answer_says(
    name: str, designed: dict[str, Record]
) -> None:
    answer = designed[name].answer
    densities = {"1045": 7870.0, "6061-T6": 2700.0}  # ASM-style handbook figures, from memory
    for body in bodies(answer):
        made = mesh(body)
        assert shared(made) == {2}
        assert step.volume(step.solid(body)) == pytest.approx(made.volume, rel=2e-4)
        part = next(one for one in answer["parts"] if one["name"] == body.name)
        if part["material"] in densities and part.get("mass_kg"):
            mass = made.volume * densities[part["material"]] * 1e-9
            assert mass == pytest.approx(part["mass_kg"], rel=0.012)


def test_posts_stand_where_the_disc_has_their_holes(designed: dict[str, Record]) -> None:
    answer = designed["posts"].answer
    made = {body.name: body for body in bodies(answer)}
    disc = next(part for part in answer["parts"] if part["name"] == "carrier disc")
    seats = {(round(one["x"], 6), round(one["y"], 6)) for one in disc["holes"] if one["for"] == "driven"}  # fmt: skip
    assert {(round(x, 6), round(y, 6)) for x, y, _ in made["post"].places} == seats
    (_, _, z), thick = made["carrier disc"].places[0], disc["size"]["thickness"]
    assert {place[2] for place in made["post"].places} == {z + thick}


def test_the_stl_reads_back_and_repeats() -> None:
    (body, *_) = bodies(converter())
    made = mesh(body)
    raw = stl(made, title="Ω plate")
    assert raw == stl(mesh(body), title="Ω plate")
    (count,) = struct.unpack("<I", raw[80:84])
    assert (count, len(raw)) == (len(made.triangles), 84 + 50 * len(made.triangles))
    rows = np.frombuffer(raw[84:], dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("rest", "<u2")])
    a, b, c = (rows["v"][:, n].astype(float) for n in range(3))
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6
    assert volume == pytest.approx(made.volume, rel=1e-5)
    assert np.einsum("ij,ij->i", np.cross(b - a, c - a), rows["n"]).min() >= 0


@pytest.mark.parametrize("name", ["automatic-inch", "posts"])
def test_the_step_of_the_whole_holds_every_part_at_its_place(
    name: str, designed: dict[str, Record], tmp_path: Path
) -> None:
    record = designed[name]
    parts = list(bodies(record.answer))
    body = step.step_file(record, parts, title=record.title)
    assert body == step.step_file(record, parts, title=record.title)
    assert b"2026-03-02T00:00:00" in body
    for one in parts:
        assert f"PRODUCT('{one.name}'".encode() in body
    whole = read_back(body, tmp_path)
    wanted = sum(step.volume(step.solid(one)) * len(one.places) for one in parts)
    assert step.volume(whole) == pytest.approx(wanted, rel=1e-6)


def test_without_its_library_there_is_no_step_and_the_contents_say_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(step, "available", lambda: False)
    record = kept(converter())
    names = [name for _, name, _ in packet.papers(record)]
    assert any(name.endswith(".stl") for name in names)
    assert not any(name.endswith(".step") for name in names)
    assert ("solid", f"STEP files: {step.INSTALL}") in list(packet.left_out(record))


def test_the_view_shows_each_part_where_it_stands(designed: dict[str, Record]) -> None:
    answer = designed["posts"].answer
    figure = solid_view(answer)
    assert figure is not None
    assert len(figure.data) == sum(len(body.places) for body in bodies(answer))
    assert figure.layout.scene.aspectmode == "data"
    plate = figure.data[0]
    size = next(part for part in answer["parts"] if part["name"] == "adapter plate")["size"]
    assert max(plate.y) - min(plate.y) == pytest.approx(size["length"], abs=0.1)
    assert solid_view({}) is None
