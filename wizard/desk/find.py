"""Finding: which face of the catalogue a handful of measured holes is."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.exchange.holes import read_holes
from kb.model.unit import Circle, Engine, Gearbox
from kb.quantity import Dimension
from kb.store.catalogue import Catalogue
from kb.store.place import Store
from wizard.desk.asked import Column, Field, values
from wizard.engine.formulas.circle import hole_coordinates
from wizard.search.faces import SLACK, Known, Match, Shelf
from wizard.search.families import Families, families

HOLES = Field(
    name="holes", label="holes", kind="table", required=True, example="HOLES.csv with x,y",
    says="Centres in any coordinates, three or more.",
    columns=(Column(name="x", label="x"), Column(name="y", label="y"),
             Column(name="id", label="mark", kind="text", required=False)),
)  # fmt: skip
CLEARLY = 0.5  # of a match's distances: a runner-up that lies nearer than twice as far is near


@dataclass(frozen=True, kw_only=True)
class Found:
    """What the holes may be.

    Attributes:
        holes: As read, with their marks. matches: The faces they lie on, the best first.
        alike: Names of faces that fit as well as the best: one pattern under several names.
        says: What came out, in sentences.
    """

    holes: tuple[tuple[str, Dimension, Dimension], ...]
    matches: tuple[Match, ...]
    alike: tuple[str, ...]
    says: tuple[str, ...]


def face_of_file(
    store: Store, path: Path | str, *, unit: str = "mm", slack: float = SLACK
) -> Found:
    """As `face`, for a list or drawing of holes: CSV, XLSX or DXF.

    Raises:
        InputError: a file that cannot be read. OutOfScope: fewer than three holes.
    """
    listed = read_holes(path)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([("x", "y", "id"), *((row.x, row.y, row.id) for row in listed.rows)])
    return face(store, out.getvalue(), unit=listed.unit or unit, slack=slack)


def face(store: Store, holes: str, *, unit: str = "mm", slack: float = SLACK) -> Found:
    """The faces of the catalogue that measured holes lie on.

    Args:
        store: The shop's store.
        holes: Rows of x and y, with or without marks, as CSV.
        unit: Of bare figures, ``"in"`` or ``"mm"``.
        slack: How far two centres of one hole may lie apart [mm].
    Raises:
        InputError: rows that cannot be read. OutOfScope: fewer than three holes.
    """
    rows = values([HOLES], {"holes": holes}, units=unit)["holes"]
    read = [(row["id"] or str(n), row["x"], row["y"]) for n, row in enumerate(rows, 1)]
    spots = [(x.middle, y.middle) for _, x, y in read]
    known = _faces(store)
    if not known:
        raise InputError(
            "holes", f"{len(read)} holes", "the catalogue holds no face to compare with"
        )
    matches = Shelf(known).find(spots, slack=slack)
    alike = _alike(matches)
    return Found(
        holes=tuple(read), matches=matches, alike=alike,
        says=tuple(_sentences(read, matches, alike, known)),
    )  # fmt: skip


def _faces(store: Store) -> list[Known]:
    """Every face of engines and gearboxes, as it was measured."""
    catalogue = Catalogue(store)
    found = []
    for row in catalogue.list():
        if row.kind not in ("engine", "gearbox"):
            continue
        unit = catalogue.get(row.kind, row.name, None)
        if isinstance(unit, Engine | Gearbox) and unit.face is not None:
            spots = [(hole.x.first.value, hole.y.first.value) for hole in unit.face.holes if hole.x and hole.y]  # fmt: skip
            if isinstance(unit.face.circle, Circle):
                spots += _on(unit.face.circle)
            if spots:
                found.append(Known.of(f"{row.kind} {row.name}", spots))
    return found


def _on(circle: Circle) -> list[tuple[float, float]]:
    if circle.count is None or circle.diameter is None:
        return []
    spots = hole_coordinates(
        holes=circle.count, diameter=circle.diameter.first.value, start=circle.start or 0.0
    )
    return [(float(x), float(y)) for x, y in spots]


def _alike(matches: Sequence[Match]) -> tuple[str, ...]:
    """Other faces that fit as well as the best."""
    if not matches:
        return ()
    best = matches[0]
    lacking = len(best.missing) + len(best.extra)
    return tuple(
        one.name for one in matches[1:]
        if len(one.missing) + len(one.extra) == lacking and one.scale == best.scale
        and CLEARLY * one.rms <= best.rms + 0.02
    )  # fmt: skip


def _sentences(
    read: Sequence[Any], matches: Sequence[Match], alike: Sequence[str], known: Sequence[Known]
) -> list[str]:
    if not matches:
        return [f"None of the {len(known)} faces kept fits these {len(read)} holes."]
    best = matches[0]
    says = [
        f"It is the face of {best.name}: {len(best.pairs)} of {len(read)} holes lie on it, "
        f"{best.rms:.2f} mm off in the mean, {best.worst:.2f} mm at worst."
    ]
    turned = f"turned {best.turn:+.1f}°" if math.fabs(best.turn) >= 0.05 else "not turned"
    says.append(f"Measured {turned}{', from its other side' if best.mirrored else ''}.")
    if best.scale_says:
        says.append(f"Not true to size: {best.scale_says}.")
    if best.missing:
        says.append(f"{len(best.missing)} of its holes were not measured.")
    if best.extra:
        marks = ", ".join(str(read[place][0]) for place in best.extra)
        says.append(f"Not of that face: {marks}.")
    if alike:
        says.append("The same pattern: " + ", ".join(alike) + ".")
    others = [one for one in matches[1:] if one.name not in alike]
    if others:
        next_ = others[0]
        lacks = len(next_.missing) + len(next_.extra)
        says.append(
            f"Next nearest is {next_.name}: {next_.rms:.2f} mm in the mean, {lacks} holes missing or too many."
        )
    else:
        says.append("No other face comes near.")
    return says


def kinship(store: Store) -> Families:
    """The catalogue's faces by their patterns, and those that ought to agree and do not.

    Raises:
        StoreError: the store cannot be read.
    """
    return families(_faces(store))
