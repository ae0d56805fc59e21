"""Holes in a flat scan or photo of a gasket, a face or a paper rubbing: found and sized to part of a pixel.

OpenCV does the seeing (an optional extra, loaded when it is needed); what a pixel is worth is
worked out in `scan_scale` from distances the shop has measured.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError
from kb.exchange.pictures import Gray, bytes_of, unpack, vision_library
from kb.exchange.scan_scale import Scale, fit_scale
from kb.model.measured import Stretch
from kb.plane.circle import fit_circle

Array = NDArray[np.float64]

SEEN_AT = 1600  # pixels of the longer side at which holes are looked for
LEVELS = 14  # brightnesses at which outlines are taken
SMALLEST = 9.0  # pixels across, below which a hole cannot be sized
RAYS = 120
LEAST_RAYS = 0.6  # share of the rim that must be seen
ROUND, SLENDER, SOLID = 0.72, 0.5, 0.93
EDGE = 0.2  # pixels: how far blur and light shift a rim, 95 %; tried on drawn pictures
CLEAR = 0.55  # share of the clearest rim's step: what is fainter is dirt or grain
STEADY = 0.35  # share of the usual step in brightness below which a ray has missed the rim


@dataclass(frozen=True, kw_only=True, eq=False)
class Spot:
    """A round spot of a picture: centre and radius [pixels], and the points found on its rim."""

    centre: tuple[float, float]
    radius: float
    rim: Array
    contrast: float


@dataclass(frozen=True, kw_only=True)
class ScannedHole:
    """One hole in mm: X to the right, Y up, the middle of the picture at nought.

    Attributes:
        within: ± of its centre against the other holes, 95 %. diameter_within: Of its diameter.
        pixel: Where it is in the picture, from its top left corner.
    """

    id: str
    x: float
    y: float
    diameter: float
    within: float
    diameter_within: float
    pixel: tuple[float, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class Scan:
    """What a picture holds.

    Attributes:
        holes: As found and sized. scale: What a pixel is worth, and how well the distances agree.
        notes: What was left out, and what to heed.
    """

    holes: tuple[ScannedHole, ...]
    scale: Scale
    notes: tuple[str, ...]


class Picture:
    """A picture in shades of grey, its size checked before it is unpacked.

    Args:
        source: A file, or its bytes.
    Raises:
        InputError: no picture, too large, damaged, of a kind that is not taken, or the extra
            for scans is not installed.
    """

    def __init__(self, source: Path | str | bytes) -> None:
        named = "(picture)" if isinstance(source, bytes) else str(source)
        self.gray = unpack(bytes_of(source, named), named)

    @property
    def size(self) -> tuple[int, int]:
        """Width and height [pixels]."""
        return self.gray.shape[1], self.gray.shape[0]

    @cached_property
    def spots(self) -> tuple[Spot, ...]:
        """The round spots of the picture, from the top down and from the left."""
        vision = vision_library()
        found: list[Spot] = []
        for rough in _roughly(vision, self.gray):
            spot = _sized(vision, self.gray, rough)
            if spot is not None:
                _take(found, spot)
        clearest = max((one.contrast for one in found), default=0.0)
        clear = [one for one in found if one.contrast >= CLEAR * clearest]
        return tuple(sorted(clear, key=lambda one: (round(one.centre[1] / 40), one.centre[0])))

    def spot_at(self, at: tuple[float, float, float], *, name: str = "added") -> Spot:
        """The hole somebody points at: its rim, found to part of a pixel.

        Args:
            at: Place and diameter, roughly [pixels]. name: What it is called.
        Raises:
            InputError: no round rim is there.
        """
        x, y, across = at
        wide, high = self.size
        inside = 0 <= x < wide and 0 <= y < high and SMALLEST <= across <= 2 * min(wide, high)
        spot = None
        for share in (1.0, 0.9, 1.1, 0.8, 1.2) if inside else ():
            spot = spot or _sized(vision_library(), self.gray, (x, y, share * across / 2, share * across / 2, 0.0))  # fmt: skip
        if spot is None:
            raise InputError(name, f"{x:g}, {y:g}, {across:g}", "no round rim is seen there; point at its middle and write its diameter in pixels")  # fmt: skip
        return spot


def scan(
    picture: Picture,
    stretches: Sequence[Stretch],
    *,
    points: Mapping[str, tuple[float, float]] | None = None,
    least: float = 0.0,
    most: float = math.inf,
    leave_out: Sequence[str] = (),
    added: Mapping[str, tuple[float, float, float]] | None = None,
) -> Scan:
    """Size the holes of a picture by distances that were measured on the part.

    Args:
        picture: The picture.
        stretches: Measured distances between marks: numbers of spots as `overlay` shows them, or
            names of ``points``. One gives the scale; six or more between four marks or more also
            take out the slant of a photo.
        points: Marks of the picture that are no holes, such as the ends of a scale bar [pixels].
        least, most: Diameters of holes to keep [mm].
        leave_out: Numbers of spots that are no holes.
        added: Holes pointed at by hand, where they were not found: place and diameter, roughly
            [pixels]; their rims are then found like the others'.
    Raises:
        InputError: no holes, no rim where one was pointed at, or marks and distances that cannot be used.
    """
    spots = picture.spots
    pointed = {name: picture.spot_at(at, name=name) for name, at in (added or {}).items()}
    if not spots and not pointed:
        raise InputError("picture", "(no holes)", "no round hole was found; scan it flatter, sharper or with more contrast")  # fmt: skip
    names = {str(number): spot for number, spot in enumerate(spots, 1)} | pointed
    for name in leave_out:
        if name not in names:
            raise InputError("leave_out", name, f"write numbers from 1 to {len(spots)}")
    marks = {name: spot.centre for name, spot in names.items()} | dict(points or {})
    scale = fit_scale(marks, stretches, size=picture.size)
    for _ in range(2):  # the middle of a slanted ellipse is not the middle of its hole
        marks |= {name: _middle(spot, scale) for name, spot in names.items()}
        scale = fit_scale(marks, stretches, size=picture.size)
    holes = [_hole(name, spot, scale) for name, spot in names.items() if name not in leave_out]
    kept = [one for one in holes if least <= one.diameter <= most]
    notes = list(scale.notes)
    if dropped := len(holes) - len(kept):
        notes.append(f"{dropped} round spots are not between the diameters asked for.")
    if not kept:
        raise InputError("picture", "(no holes)", "none of its round spots has a diameter asked for")  # fmt: skip
    return Scan(holes=_with_spread(kept, scale), scale=scale, notes=tuple(notes))


def overlay(picture: Picture, *, found: Scan | None = None) -> bytes:
    """The picture with every spot ringed and numbered, as a PNG, to be looked over.

    Args:
        picture: The picture.
        found: Where given, holes that were left out are crossed through.
    """
    vision = vision_library()
    scale = min(1.0, 2400 / max(picture.size))
    small = vision.resize(picture.gray, None, fx=scale, fy=scale, interpolation=vision.INTER_AREA)
    canvas = vision.cvtColor(np.clip(small, 0, 255).astype(np.uint8), vision.COLOR_GRAY2BGR)
    kept = None if found is None else {one.id for one in found.holes}
    pen = max(2, round(max(canvas.shape) / 900))
    for number, spot in enumerate(picture.spots, 1):
        taken = kept is None or str(number) in kept
        colour = (40, 90, 200) if taken else (120, 120, 120)
        at = tuple(round(c * scale) for c in spot.centre)
        radius = max(3, round(spot.radius * scale))
        vision.circle(canvas, at, radius, colour, pen, vision.LINE_AA)
        if not taken:
            vision.line(canvas, (at[0] - radius, at[1] - radius), (at[0] + radius, at[1] + radius), colour, pen)  # fmt: skip
        beside = (at[0] + radius + 2 * pen, at[1] - round(0.3 * radius))
        for ink, width in (((255, 255, 255), 5 * pen), (colour, 2 * pen)):
            vision.putText(canvas, str(number), beside, vision.FONT_HERSHEY_SIMPLEX, 0.65 * pen, ink, width, vision.LINE_AA)  # fmt: skip
    _, written = vision.imencode(".png", canvas)
    return bytes(written.tobytes())


# ── seeing ──────────────────────────────────────────────────────────────────


def _roughly(vision: Any, gray: Gray) -> Iterator[tuple[float, float, float, float, float]]:
    """Round outlines at several brightnesses: centre, half axes and slope [pixels, °]."""
    shrink = min(1.0, SEEN_AT / max(gray.shape))
    small = vision.resize(gray, None, fx=shrink, fy=shrink, interpolation=vision.INTER_AREA)
    small = vision.GaussianBlur(small, (0, 0), 1.2)
    even = small / np.maximum(_light(vision, small), 1.0)
    low, high = np.percentile(even, (1, 99))
    for level in np.linspace(low, high, LEVELS + 2)[1:-1]:
        shape = (even < level).astype(np.uint8)
        outlines, _ = vision.findContours(shape, vision.RETR_LIST, vision.CHAIN_APPROX_NONE)
        for outline in outlines:
            if (rough := _ellipse(vision, outline)) is not None:
                x, y, a, b, slope = rough
                yield (x + 0.5) / shrink - 0.5, (y + 0.5) / shrink - 0.5, a / shrink, b / shrink, slope  # fmt: skip


def _light(vision: Any, small: Gray) -> Gray:
    """How the picture is lit: its brightest places, spread out smoothly."""
    tiny = vision.resize(small, None, fx=0.125, fy=0.125, interpolation=vision.INTER_AREA)
    reach = max(3, round(max(tiny.shape) / 6)) | 1
    spread = vision.dilate(tiny, np.ones((reach, reach), np.uint8))
    smooth = vision.GaussianBlur(spread, (0, 0), reach / 2)
    lit: Gray = vision.resize(smooth, (small.shape[1], small.shape[0]), interpolation=vision.INTER_LINEAR)  # fmt: skip
    return lit


def _ellipse(vision: Any, outline: Any) -> tuple[float, float, float, float, float] | None:
    """The ellipse of an outline that is round enough to be a hole, seen slantwise perhaps."""
    if len(outline) < 14:
        return None
    area, length = vision.contourArea(outline), vision.arcLength(outline, True)
    if length == 0 or 4 * math.pi * area / length**2 < ROUND:
        return None
    if area < SOLID * vision.contourArea(vision.convexHull(outline)):
        return None
    (x, y), (wide, high), slope = vision.fitEllipse(outline)
    if not min(wide, high) > SLENDER * max(wide, high):
        return None
    if abs(math.pi / 4 * wide * high - area) > 0.12 * area + 2 * length / 2:
        return None
    return x, y, wide / 2, high / 2, slope


def _sized(vision: Any, gray: Gray, rough: tuple[float, float, float, float, float]) -> Spot | None:
    """The rim of a spot to part of a pixel: where brightness changes fastest along each ray."""
    x, y, a, b, slope = rough
    if 2 * min(a, b) < SMALLEST:
        return None
    sure, steps = np.zeros((0, 2)), np.zeros(0)
    for _ in range(3):
        rim, steps = _rim(vision, gray, (x, y, a, b, slope))
        sure = _agreeing(rim, steps, (x, y))
        if len(sure) < LEAST_RAYS * RAYS:
            return None
        (x, y), (wide, high), slope = vision.fitEllipse(sure.astype(np.float32).reshape(-1, 1, 2))
        a, b = wide / 2, high / 2
        if not min(a, b) > SLENDER * max(a, b):
            return None
    return Spot(
        centre=(x, y), radius=math.sqrt(a * b), rim=sure, contrast=_step(gray, x, y, min(a, b))
    )


def _step(gray: Gray, x: float, y: float, radius: float) -> float:
    """How much darker or lighter a spot is than what is around it, as a share of the lighter."""
    reach = math.ceil(1.7 * radius) + 2
    top, left = max(0, round(y) - reach), max(0, round(x) - reach)
    around = gray[top : round(y) + reach + 1, left : round(x) + reach + 1]
    down, across = np.ogrid[top : top + around.shape[0], left : left + around.shape[1]]
    away = np.hypot(across - x, down - y)
    inside = float(np.median(around[away < 0.7 * radius]))
    outside = float(np.median(around[(away > 1.25 * radius) & (away < 1.6 * radius + 2)]))
    return abs(inside - outside) / max(inside, outside, 1.0)


def _rim(
    vision: Any, gray: Gray, of: tuple[float, float, float, float, float]
) -> tuple[Array, Array]:
    """The steepest place along each ray from the middle of an ellipse, and how steep it is."""
    x, y, a, b, slope = of
    turn = np.linspace(0, 2 * math.pi, RAYS, endpoint=False)
    c, s = math.cos(math.radians(slope)), math.sin(math.radians(slope))
    out = np.column_stack([a * np.cos(turn) * c - b * np.sin(turn) * s, a * np.cos(turn) * s + b * np.sin(turn) * c])  # fmt: skip
    reach = np.linalg.norm(out, axis=1)
    span = max(4.0, min(0.3 * min(a, b), 14.0))
    steps = np.arange(-span, span + 0.25, 0.25)
    along = 1 + steps[None, :] / reach[:, None]
    across = (x + out[:, :1] * along).astype(np.float32)
    down = (y + out[:, 1:] * along).astype(np.float32)
    seen = vision.remap(gray, across, down, vision.INTER_CUBIC, borderMode=vision.BORDER_REPLICATE)
    smooth = vision.GaussianBlur(seen, (9, 1), 2.0)
    steep = np.gradient(smooth, axis=1)
    rising = np.sign(np.sum(steep)) or 1.0
    steep = steep * rising
    best = np.clip(np.argmax(steep, axis=1), 1, steep.shape[1] - 2)
    rows = np.arange(RAYS)
    before, peak, after = steep[rows, best - 1], steep[rows, best], steep[rows, best + 1]
    bend = before - 2 * peak + after
    shift = np.where(np.abs(bend) > 1e-9, 0.5 * (before - after) / np.where(bend == 0, 1, bend), 0)
    at = 1 + (steps[best] + 0.25 * np.clip(shift, -1, 1)) / reach
    return np.column_stack([x + out[:, 0] * at, y + out[:, 1] * at]), peak


def _agreeing(rim: Array, steps: Array, centre: tuple[float, float]) -> Array:
    """The points of a rim that lie on one smooth round, none where too few of them do."""
    none = np.zeros((0, 2))
    clear = steps > STEADY * np.median(steps)
    if np.median(steps) <= 0 or clear.sum() < LEAST_RAYS * RAYS:
        return none
    points, off, reach = rim[clear], np.zeros(1), np.ones(1)
    for _ in range(3):
        away = points - np.array(centre)
        angle, reach = np.arctan2(away[:, 1], away[:, 0]), np.linalg.norm(away, axis=1)
        waves = np.column_stack([np.ones_like(angle), np.cos(angle), np.sin(angle), np.cos(2 * angle), np.sin(2 * angle)])  # fmt: skip
        fitted, *_ = np.linalg.lstsq(waves, reach, rcond=None)
        off = np.abs(reach - waves @ fitted)
        keep = off <= max(0.3, 3 * 1.4826 * float(np.median(off)))
        if keep.all():
            break
        points = points[keep]
        if len(points) < LEAST_RAYS * RAYS:
            return none
    rough = 1.4826 * float(np.median(off)) > max(0.6, 0.04 * float(np.median(reach)))
    return none if rough else points


def _take(found: list[Spot], spot: Spot) -> None:
    """Add a spot that is not there yet; of two round one middle the one with the clearer rim."""
    for at, other in enumerate(found):
        if math.dist(spot.centre, other.centre) < 0.35 * max(spot.radius, other.radius):
            if spot.contrast > 1.02 * other.contrast:
                found[at] = spot
            return
    found.append(spot)


# ── sizing ──────────────────────────────────────────────────────────────────


def _middle(spot: Spot, scale: Scale) -> tuple[float, float]:
    """Where the true middle of a hole is in the picture [pixels]."""
    circle = fit_circle(scale.to_mm(spot.rim))
    (pixel,) = scale.to_pixels(np.array([circle.centre]))
    return float(pixel[0]), float(pixel[1])


def _hole(name: str, spot: Spot, scale: Scale) -> ScannedHole:
    circle = fit_circle(scale.to_mm(spot.rim))
    worth = circle.radius / spot.radius  # mm a pixel here
    rays = circle.centre_within or 0.0
    return ScannedHole(
        id=name, x=circle.centre[0], y=circle.centre[1], diameter=circle.diameter,
        within=math.hypot(rays, EDGE * worth),
        diameter_within=math.hypot(circle.diameter_within or 0.0, 2 * EDGE * worth),
        pixel=spot.centre,
    )  # fmt: skip


def _with_spread(holes: Sequence[ScannedHole], scale: Scale) -> tuple[ScannedHole, ...]:
    """The holes with what the scale itself is unsure of added to their ±."""
    pixels = np.array([one.pixel for one in holes])
    places = scale.places_within(pixels)
    sizes = scale.sizes_within(pixels)
    return tuple(
        ScannedHole(
            id=one.id, x=one.x, y=one.y, diameter=one.diameter, pixel=one.pixel,
            within=math.hypot(one.within, float(place)),
            diameter_within=math.hypot(one.diameter_within, one.diameter * float(size)),
        )
        for one, place, size in zip(holes, places, sizes, strict=True)
    )  # fmt: skip
