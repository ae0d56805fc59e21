"""Scans and photos: holes within their stated ±, on pictures drawn with blur, noise, slant, shadow, grain.

Places are compared after the best rigid turn (a scan has no place or turn of its own) with a method
of its own: Kabsch's, by singular values (W. Kabsch, Acta Cryst. A32, 1976, p. 922, from memory).
"""

from __future__ import annotations

import io
import math
import struct
import zlib
from functools import cache

import numpy as np
import pytest
from PIL import Image

from kb.errors import InputError
from kb.exchange.scan import Picture, Scan, overlay, scan
from kb.exchange.scan_scale import fit_scale
from kb.model.measured import Stretch
from kb.quantity import Dimension
from tests.exchange.drawn_scans import HOLES, Drawn, View, draw

PAIRS = ((0, 4), (3, 7), (0, 3), (4, 6), (7, 6), (1, 5), (2, 6))
VIEWS = {
    "flat, 150 to the inch": (View(), 2),
    "flat, 200 to the inch": (View(dpi=200), 2),
    "flat, 75 to the inch": (View(dpi=75), 2),
    "uneven light, shadow, noise": (View(turn=7, light=0.5, shadow=0.35, noise=6, blur=1.5), 3),
    "lighter holes, mottled, JPEG": (View(dark=False, texture=0.12, quality=60, noise=4), 2),
    "a photo askew": (View(slant=(4e-4, -6e-4), turn=-4, blur=1.4), 7),
    "a photo askew, cast iron, JPEG": (
        View(slant=(3e-4, -5e-4), turn=-8, light=0.4, shadow=0.25, texture=0.15, quality=70, blur=1.8, noise=5), 7,
    ),
}  # fmt: skip


def between(*, start: str, end: str, length: float, within: float | None = None) -> Stretch:
    """A distance read between two marks."""
    return Stretch(
        start=start, end=end, reading=Dimension(value=length, below=within, above=within)
    )


@cache
def seen(name: str) -> tuple[Drawn, Picture]:
    drawn = draw(VIEWS[name][0])
    return drawn, Picture(drawn.written)


def numbers(drawn: Drawn, picture: Picture) -> dict[int, str]:
    """Which numbered spot is which drawn hole."""
    found = {}
    for hole, pixel in enumerate(drawn.pixels):
        for number, spot in enumerate(picture.spots, 1):
            if math.dist(spot.centre, pixel) < 6 + spot.radius / 4:
                found[hole] = str(number)
    return found


def stretches(drawn: Drawn, names: dict[int, str], count: int) -> list[Stretch]:
    """Distances as a rule or calliper would give them: rounded to 0.05 mm."""
    made = []
    for a, b in PAIRS[:count]:
        true = math.dist(drawn.holes[a][:2], drawn.holes[b][:2])
        made.append(between(start=names[a], end=names[b], length=round(true * 20) / 20, within=0.1))
    return made


def off_by(found: Scan, drawn: Drawn, names: dict[int, str]) -> tuple[np.ndarray, np.ndarray]:
    """How far each centre stands off, laid over best, and each diameter; over the stated ±."""
    got = {one.id: one for one in found.holes}
    there = np.array([drawn.holes[hole][:2] for hole in names])
    here = np.array([(got[name].x, got[name].y) for name in names.values()])
    there, here = there - there.mean(axis=0), here - here.mean(axis=0)
    left, _, right = np.linalg.svd(here.T @ there)
    away = np.linalg.norm(here @ (left @ right) - there, axis=1)
    within = np.array([got[name].within for name in names.values()])
    sizes = np.array([abs(got[n].diameter - drawn.holes[h][2]) / got[n].diameter_within for h, n in names.items()])  # fmt: skip
    return away / within, sizes


@pytest.mark.parametrize("name", VIEWS)
def test_holes_are_found_and_sized_within_what_is_stated(name: str) -> None:
    drawn, picture = seen(name)
    names = numbers(drawn, picture)
    assert len(names) == len(HOLES) == len(picture.spots)
    found = scan(picture, stretches(drawn, names, VIEWS[name][1]))
    places, sizes = off_by(found, drawn, names)
    assert np.mean(places <= 1) >= 0.95, places
    assert np.mean(sizes <= 1) >= 0.95, sizes
    assert found.scale.slanted == ("askew" in name)
    assert max(one.within for one in found.holes) < 0.5  # and the ± is not empty talk [mm]


def test_a_pixel_is_worth_what_the_resolution_says() -> None:
    drawn, picture = seen("flat, 150 to the inch")
    found = scan(picture, stretches(drawn, numbers(drawn, picture), 2))
    assert found.scale.mm_per_pixel == pytest.approx(25.4 / 150, rel=5e-4)
    assert max(map(abs, found.scale.residuals)) < 0.05


def test_a_misread_distance_is_named() -> None:
    drawn, picture = seen("a photo askew")
    names = numbers(drawn, picture)
    read = stretches(drawn, names, 7)
    wrong = between(
        start=read[4].start, end=read[4].end, length=read[4].reading.value + 5, within=0.1
    )
    found = scan(picture, [*read[:4], wrong, *read[5:], between(start=names[1], end=names[7], length=math.dist(HOLES[1][:2], HOLES[7][:2]), within=0.1)])  # fmt: skip
    assert found.scale.misread == wrong
    assert found.scale.residuals[4] == pytest.approx(-5, abs=0.6)
    places, _ = off_by(found, drawn, names)
    assert np.mean(places <= 1) >= 0.95


def test_of_two_distances_that_contradict_neither_is_believed() -> None:
    drawn, picture = seen("flat, 150 to the inch")
    names = numbers(drawn, picture)
    one, two = stretches(drawn, names, 2)
    with pytest.raises(InputError, match="do not agree"):
        scan(picture, [one, between(start=two.start, end=two.end, length=two.reading.value * 0.98, within=0.1)])  # fmt: skip


def test_a_slant_seen_by_two_distances_only_is_not_taken_for_flat() -> None:
    """Two distances far apart contradict each other on a photo askew: that is said, not averaged."""
    drawn, picture = seen("a photo askew")
    names = numbers(drawn, picture)
    read = [between(start=names[a], end=names[b], length=math.dist(HOLES[a][:2], HOLES[b][:2]), within=0.1) for a, b in ((1, 2), (5, 6))]  # fmt: skip
    with pytest.raises(InputError, match="slanted"):
        scan(picture, read)


def test_one_distance_is_no_check_and_says_so() -> None:
    drawn, picture = seen("flat, 150 to the inch")
    found = scan(picture, stretches(drawn, numbers(drawn, picture), 1))
    assert any("one distance alone" in note for note in found.notes)


def test_a_scale_bar_with_a_piece_broken_off_contradicts_the_calliper() -> None:
    drawn, picture = seen("flat, 150 to the inch")
    names = numbers(drawn, picture)
    read = stretches(drawn, names, 1)
    ends = {"A": (100.0, 60.0), "B": (100.0 + 96.0 / (25.4 / 150), 60.0)}  # 96 mm left of 100
    with pytest.raises(InputError, match="do not agree"):
        scan(picture, [*read, between(start="A", end="B", length=100, within=0.1)], points=ends)


def test_sizes_asked_for_and_spots_left_out() -> None:
    drawn, picture = seen("flat, 150 to the inch")
    names = numbers(drawn, picture)
    found = scan(picture, stretches(drawn, names, 2), most=20, leave_out=[names[1]])
    assert {one.id for one in found.holes} == {n for h, n in names.items() if h not in (1, 8)}
    assert any("not between the diameters" in note for note in found.notes)


def test_a_hole_pointed_at_by_hand_is_the_hole() -> None:
    drawn, picture = seen("flat, 150 to the inch")
    names = numbers(drawn, picture)
    x, y = drawn.pixels[2]
    rough = (x + 3, y - 2, HOLES[2][2] / 25.4 * 150 * 1.1)
    found = scan(picture, stretches(drawn, names, 2), added={"H9": rough})
    by_hand, seen_ = (next(one for one in found.holes if one.id == name) for name in ("H9", names[2]))  # fmt: skip
    assert (by_hand.x, by_hand.y) == pytest.approx((seen_.x, seen_.y), abs=0.01)
    assert by_hand.diameter == pytest.approx(HOLES[2][2], abs=by_hand.diameter_within)


@pytest.mark.parametrize("at", [(300.0, 300.0, 40.0), (-5.0, 10.0, 40.0), (300.0, 300.0, 2.0)])
def test_pointing_at_nothing_is_said(at: tuple[float, float, float]) -> None:
    drawn, picture = seen("flat, 150 to the inch")
    with pytest.raises(InputError, match="no round rim"):
        scan(picture, stretches(drawn, numbers(drawn, picture), 2), added={"H9": at})


def test_the_overlay_is_a_picture_that_differs_where_the_holes_are() -> None:
    _, picture = seen("flat, 150 to the inch")
    with Image.open(io.BytesIO(overlay(picture))) as shown:
        assert shown.size == picture.size
        rgb = np.asarray(shown.convert("RGB")).astype(int)
    coloured = np.abs(rgb[:, :, 0] - rgb[:, :, 2]) > 40
    for spot in picture.spots:
        x, y = (round(c) for c in spot.centre)
        reach = round(spot.radius) + 3
        assert coloured[y - reach : y + reach, x - reach : x + reach].any()


def test_pixels_and_places_are_each_others_inverse() -> None:
    drawn, picture = seen("a photo askew")
    found = scan(picture, stretches(drawn, numbers(drawn, picture), 7))
    pixels = np.array([one.pixel for one in found.holes])
    again = found.scale.to_pixels(found.scale.to_mm(pixels))
    assert again == pytest.approx(pixels, abs=1e-6)


# ── bad pictures, bad marks ─────────────────────────────────────────────────


def png(width: int, height: int, body: bytes = b"") -> bytes:
    """A PNG whose header claims a size."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def plain(width: int = 400, height: int = 300) -> bytes:
    out = io.BytesIO()
    Image.new("L", (width, height), 180).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(
    ("written", "says"),
    [
        (png(30_000, 30_000), "claims too many pixels"),
        (png(12_000, 11_000), "12000 × 11000 pixels"),
        (png(400, 300, b"\x78\x9c\x01"), "damaged or cut short"),
        (draw(View(dpi=75)).written[:2000], "damaged or cut short"),
        (b"GIF89a" + bytes(60), "PNG, JPEG or TIFF"),
        (b"", "PNG, JPEG or TIFF"),
        (b"x,y\n1,2\n", "PNG, JPEG or TIFF"),
        (plain(20, 20), "too small"),
    ],
)
def test_a_picture_that_is_none_is_one_clear_line(written: bytes, says: str) -> None:
    with pytest.raises(InputError, match=says):
        Picture(written)


def test_a_picture_without_holes_says_so() -> None:
    with pytest.raises(InputError, match="no round hole"):
        scan(Picture(plain()), [between(start="1", end="2", length=10)])


def test_a_file_that_is_not_there_says_so() -> None:
    with pytest.raises(InputError, match="no such file"):
        Picture("nowhere.png")


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ([], "give a measured distance"),
        ([between(start="A", end="C", length=10)], "no such mark"),
        ([between(start="A", end="A", length=10)], "coincide"),
        ([between(start="A", end="B", length=0)], "above 0"),
        ([between(start="A", end="D", length=10)], "coincide"),
    ],
)
def test_marks_and_distances_that_cannot_be_used(given: list[Stretch], says: str) -> None:
    marks = {"A": (10.0, 10.0), "B": (300.0, 10.0), "D": (11.0, 10.0)}
    with pytest.raises(InputError, match=says):
        fit_scale(marks, given, size=(400, 300))
