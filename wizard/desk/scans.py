"""A scan or photo of a gasket, face or rubbing: its holes sized by measured distances, ready to be a pattern."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kb import quantity
from kb.errors import InputError
from kb.exchange.holes import Listed, Listing, write_holes
from kb.exchange.scan import Picture as Picture
from kb.exchange.scan import Scan, overlay, scan
from kb.model.measured import Stretch
from kb.quantity import read_length

DISTANCE = "write two marks and the distance between them, such as 1,4,300.05"
ADDED = "write a name, its place and its diameter in pixels, such as H9,640,212,60"
POINT = "write a name and its place in the picture in pixels, such as A,120,80"


@dataclass(frozen=True, kw_only=True, eq=False)
class Scanned:
    """The holes of a picture.

    Attributes:
        scan: As found. says: What came out, in sentences.
    """

    scan: Scan
    says: tuple[str, ...]

    @property
    def listing(self) -> Listing:
        """As a list of holes, to be looked over and kept as a face."""
        rows = tuple(
            Listed(
                id=one.id, x=_place(one.x, one.within), y=_place(one.y, one.within),
                hole=_place(one.diameter, one.diameter_within),
            )
            for one in self.scan.holes
        )  # fmt: skip
        return Listing(rows=rows, unit="mm")

    def document(self) -> dict[str, Any]:
        """As a document for another program [mm, pixels]."""
        scale = self.scan.scale
        return {
            "format": 1, "units": "mm", "says": list(self.says),
            "mm_per_pixel": scale.mm_per_pixel, "slant_taken_out": scale.slanted,
            "distances": [
                {"from": one.start, "to": one.end, "length": one.reading.value, "off": off, "left_out": one is scale.misread}
                for one, off in zip(scale.stretches, scale.residuals, strict=True)
            ],
            "holes": [
                {"id": one.id, "x": one.x, "y": one.y, "within": one.within, "diameter": one.diameter,
                 "diameter_within": one.diameter_within, "pixel": list(one.pixel)}
                for one in self.scan.holes
            ],
        }  # fmt: skip


def _place(value: float, within: float) -> str:
    return f"{value:.3f} ± {within:.3f} mm"


def opened(source: Path | str | bytes) -> Picture:
    """A picture, its holes found once and kept with it.

    Raises:
        InputError: no picture, damaged, too large, or the extra for scans is not installed.
    """
    return Picture(source)


def sized(
    picture: Picture, *, distances: Sequence[str], points: Sequence[str] = (), unit: str = "mm",
    least: str = "", most: str = "", leave_out: Sequence[str] = (), added: Sequence[str] = (),
) -> Scanned:  # fmt: skip
    """The holes of a picture, sized by distances measured on the part.

    Args:
        picture: The picture.
        distances: Lines of two marks and the distance between them; a mark is the number of a
            hole as `numbered` shows it, or the name of a point.
        points: Lines of a name and its place in the picture [pixels].
        unit: Of bare figures, ``"in"`` or ``"mm"``.
        least, most: Diameters of holes to keep.
        leave_out: Numbers of spots that are no holes.
        added: Lines of a name, place and rough diameter of a hole that was not found [pixels].
    Raises:
        InputError: a line that cannot be read, or distances that contradict each other.
    """
    found = scan(
        picture, [_stretch(line, unit) for line in distances if line.strip()],
        points=dict(_point(line) for line in points if line.strip()),
        least=read_length(least, key="least", units=unit).value if least else 0.0,
        most=read_length(most, key="most", units=unit).value if most else float("inf"),
        leave_out=leave_out, added=dict(_added(line) for line in added if line.strip()),
    )  # fmt: skip
    return Scanned(scan=found, says=tuple(_says(found, unit)))


def numbered(picture: Picture, *, found: Scanned | None = None) -> bytes:
    """The picture with its holes ringed and numbered, as a PNG."""
    return overlay(picture, found=None if found is None else found.scan)


def write_numbered(picture: Picture, path: Path, *, found: Scanned | None = None) -> None:
    """Write the numbered picture to a file.

    Raises:
        InputError: it cannot be written.
    """
    try:
        path.write_bytes(numbered(picture, found=found))
    except OSError as error:
        raise InputError("overlay", str(path), f"it cannot be written ({error.strerror})") from None


def write(found: Scanned, path: Path | str) -> None:
    """Write the holes as a list or drawing, as ``trialfit units import`` reads it.

    Raises:
        InputError: a kind of file there is none of, or it cannot be written.
    """
    write_holes(found.listing.rows, path, unit="mm")


def _cells(line: str) -> list[str]:
    part = ";" if ";" in line else ","
    return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=part), [])]


def _stretch(line: str, unit: str) -> Stretch:
    cells = _cells(line)
    if len(cells) != 3 or not all(cells):
        raise InputError("distances", line, DISTANCE)
    read = read_length(cells[2], key="distances", units=unit)
    return Stretch(start=cells[0], end=cells[1], reading=read)


def _point(line: str) -> tuple[str, tuple[float, float]]:
    cells = _cells(line)
    try:
        name, across, down = cells
        return name, (float(across), float(down))
    except ValueError:
        raise InputError("points", line, POINT) from None


def _added(line: str) -> tuple[str, tuple[float, float, float]]:
    cells = _cells(line)
    try:
        name, across, down, wide = cells
        return name, (float(across), float(down), float(wide))
    except ValueError:
        raise InputError("added", line, ADDED) from None


def _says(found: Scan, unit: str) -> list[str]:
    holes, scale = found.holes, found.scale
    widest = max(one.within for one in holes)
    finest = min(one.diameter_within for one in holes)
    says = [
        f"{len(holes)} holes found; a pixel is worth {quantity.both(scale.mm_per_pixel, first=unit)}.",
        f"Centres are known within {quantity.both(widest, first=unit)} against each other, diameters "
        f"within {quantity.both(finest, first=unit)} at best.",
    ]
    if len(scale.residuals) > 1:
        kept = [
            abs(off)
            for one, off in zip(scale.stretches, scale.residuals, strict=True)
            if one is not scale.misread
        ]
        says.append(
            f"The {len(kept)} distances agree to {quantity.both(max(kept), first=unit)}"
            + (", the slant taken out." if scale.slanted else ".")
        )
    return [*says, *found.notes]
