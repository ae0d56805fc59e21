"""`trialfit scan`, and its holes all the way to a face of the catalogue and back by `find face`."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from tests.exchange.drawn_scans import HOLES, View, draw
from tests.journey.command import refused, trialfit

FACE = HOLES[:8]


def picture(folder: Path) -> Path:
    file = folder / "gasket.png"
    file.write_bytes(draw(View(turn=5, noise=4), FACE).written)
    return file


def test_from_a_scan_to_the_catalogue(tmp_path: Path) -> None:
    file, store = picture(tmp_path), tmp_path / "s.sqlite"
    first = trialfit("scan", file, "--overlay", tmp_path / "o.png", store=store)
    assert "8 round spots" in first.stdout
    assert (tmp_path / "o.png").read_bytes().startswith(b"\x89PNG")
    centres = [tuple(float(c) for c in line.split(" at ")[1].split(" pixels")[0].split(", ")) for line in first.stdout.splitlines() if " pixels" in line]  # fmt: skip
    top = min(range(8), key=lambda n: centres[n][1] + centres[n][0])
    pixels = math.dist(centres[top], centres[(top + 4) % 8])
    length = pixels * 25.4 / 150
    line = f"{top + 1},{(top + 4) % 8 + 1},{length:.2f}"
    found = trialfit("scan", file, "--distance", line, "--holes", tmp_path / "h.csv", "--json", store=store)  # fmt: skip
    told = json.loads(found.stdout)
    assert len(told["holes"]) == 8
    assert told["mm_per_pixel"] * 150 == pytest.approx(25.4, rel=2e-3)
    kept = trialfit("units", "import", tmp_path / "h.csv", "--axis", "as given", "--as", "Gasket", "--kind", "engine", store=store)  # fmt: skip
    assert "Kept as engine" in kept.stdout
    rows = "\n".join(f"{x:.2f},{y:.2f}" for x, y, _ in FACE)
    (tmp_path / "probe.csv").write_text("x,y\n" + rows, encoding="utf-8")
    match = json.loads(trialfit("find", "face", "--holes", tmp_path / "probe.csv", "--json", store=store).stdout)  # fmt: skip
    assert match["matches"][0]["name"] == "engine Gasket"
    assert match["matches"][0]["rms"] < 0.2


def test_a_line_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    file = picture(tmp_path)
    for given, says in (
        ("1,2", "such as 1,4"),
        ("1,99,30", "no such mark"),
        ("1,2,about", "distances"),
    ):
        assert says in refused(
            trialfit("scan", file, "--distance", given, store=tmp_path / "s.sqlite")
        )
    assert "pixels" in refused(trialfit("scan", file, "--distance", "1,A,30", "--point", "A,left,3", store=tmp_path / "s.sqlite"))  # fmt: skip
    assert "no such file" in refused(
        trialfit("scan", tmp_path / "no.png", store=tmp_path / "s.sqlite")
    )
    assert "such as H9" in refused(trialfit("scan", file, "--distance", "1,2,30", "--add", "H9,3", store=tmp_path / "s.sqlite"))  # fmt: skip
