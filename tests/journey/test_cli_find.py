"""`trialfit find face`: holes in a file against the invented catalogue.

The holes are those of invented units, moved by hand: the expected answer is the move undone.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from tests.journey.command import refused, trialfit
from wizard.desk import demo, units
from wizard.desk.place import open_store


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shop") / "store.sqlite"
    with open_store(path) as opened:
        demo.load(opened)
    return path


def listed(shop: Path, tmp_path: Path, *, turn: float, skip: int = 0, scale: float = 1.0) -> tuple[str, Path]:  # fmt: skip
    """The face of an engine with holes of its own, turned and moved, as CSV."""
    with open_store(shop) as opened:
        for row in units.rows(opened, kind="engine"):
            unit, _ = units.show(opened, row.name, kind="engine")
            if unit.face and len(unit.face.holes) >= 6:  # type: ignore[union-attr]
                break
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    lines = ["id,x,y"]
    for n, hole in enumerate(unit.face.holes[skip:]):  # type: ignore[union-attr]
        x, y = hole.x.first.value, hole.y.first.value  # type: ignore[union-attr]
        lines.append(f"h{n},{(c * x - s * y + 120) * scale:.2f},{(s * x + c * y - 45) * scale:.2f}")
    file = tmp_path / "holes.csv"
    file.write_text("\n".join(lines), encoding="utf-8")
    return row.name, file


@pytest.mark.parametrize("skip", [0, 1])
def test_a_turned_face_is_found(shop: Path, tmp_path: Path, skip: int) -> None:
    name, file = listed(shop, tmp_path, turn=25, skip=skip)
    done = trialfit("find", "face", "--holes", file, "--json", store=shop)
    assert done.exit_code == 0, done.output
    best = json.loads(done.stdout)["matches"][0]
    assert best["name"] == f"engine {name}" or f"engine {name}" in json.loads(done.stdout)["alike"]
    assert len(best["missing"]) == skip
    assert best["rms"] < 0.05


def test_it_says_so_in_words(shop: Path, tmp_path: Path) -> None:
    _, file = listed(shop, tmp_path, turn=0, scale=1 / 25.4)
    done = trialfit("find", "face", "--holes", file, store=shop)
    assert "It is the face of" in done.stdout
    assert "inches read as millimetres" in done.stdout


def test_strange_holes_fit_nothing(shop: Path, tmp_path: Path) -> None:
    file = tmp_path / "strange.csv"
    file.write_text("x,y\n0,0\n31,7\n-12,55\n80,-44\n13,99\n", encoding="utf-8")
    assert "None of the" in trialfit("find", "face", "--holes", file, store=shop).stdout


@pytest.mark.parametrize(
    ("text", "says"),
    [("x,y\n1,2\n3,4\n", "3 holes or more"), ("x,y\n1,a\n", "row 1, y"),
     ("x,z\n1,2\n", "name its columns"), ("x,y\n1,2\n1,2\n3,4\n", "one place")],
)  # fmt: skip
def test_bad_lists_are_refused(shop: Path, tmp_path: Path, text: str, says: str) -> None:
    file = tmp_path / "bad.csv"
    file.write_text(text, encoding="utf-8")
    assert says in refused(trialfit("find", "face", "--holes", file, store=shop))


def test_an_empty_catalogue_says_so(tmp_path: Path) -> None:
    file = tmp_path / "holes.csv"
    file.write_text("x,y\n0,0\n10,0\n0,10\n", encoding="utf-8")
    assert "holds no face" in refused(trialfit("find", "face", "--holes", file, store=tmp_path / "e.sqlite"))  # fmt: skip
    assert "no such file" in refused(trialfit("find", "face", "--holes", tmp_path / "none.csv", store=tmp_path / "e.sqlite"))  # fmt: skip
