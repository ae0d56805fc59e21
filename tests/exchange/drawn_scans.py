"""Pictures the tests draw: a face with holes in it, seen flat or slantwise, lit and worn like real ones.

Drawn by covering every pixel many times over (no edge finder's own idea of an edge), seeded. All
invented.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Array = NDArray[np.float64]
SAMPLES = 4  # each way within a pixel

HOLES = [  # x, y, diameter [mm]
    (-150.0, 95.0, 10.5), (-60.0, 128.0, 10.5), (72.0, 124.0, 10.5), (148.0, 88.0, 10.5),
    (156.0, -60.0, 12.7), (40.0, -132.0, 10.5), (-84.0, -126.0, 10.5), (-152.0, -40.0, 12.7),
    (0.0, 0.0, 90.0),
]  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class View:
    """How a part is seen.

    Attributes:
        dpi: Of a flat scan. turn: Of the part on the glass [°].
        slant: The two of the vanishing line, per mm; nought for a flat scan.
        light, shadow: Share by which one side is darker; depth of a hard shadow across.
        blur: Of the lens, standard deviation [pixels]. noise: Standard deviation of the grey.
        dark: The holes are darker than the face; else lighter.
        texture: Depth of a mottled surface, as cast iron or card has. quality: Of JPEG; 0 for PNG.
    """

    dpi: float = 150.0
    turn: float = 0.0
    slant: tuple[float, float] = (0.0, 0.0)
    light: float = 0.0
    shadow: float = 0.0
    blur: float = 0.8
    noise: float = 2.0
    dark: bool = True
    texture: float = 0.0
    quality: int = 0
    seed: int = 1


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A drawn picture, and where every hole truly is in it [pixels]."""

    written: bytes
    pixels: Array
    holes: tuple[tuple[float, float, float], ...]


def draw(view: View, holes: list[tuple[float, float, float]] | None = None) -> Drawn:
    """The picture of a part as a scanner or a phone would take it."""
    holes = HOLES if holes is None else holes
    random = np.random.default_rng(view.seed)
    per_mm = view.dpi / 25.4
    wide, high = round(380 * per_mm), round(330 * per_mm)
    grey = _covered(view, holes, wide, high, per_mm)
    inside, outside = (60.0, 190.0) if view.dark else (235.0, 110.0)
    face = np.full_like(grey, outside)
    if view.texture:
        face *= 1 + view.texture * _mottle(random, grey.shape)
    seen = face * (1 - grey) + inside * grey
    across, down = np.meshgrid(np.linspace(0, 1, wide), np.linspace(0, 1, high))
    seen *= 1 - view.light * (0.7 * across + 0.3 * down)
    if view.shadow:
        edge = 1 / (1 + np.exp(-(across - 0.45 - 0.3 * down) * wide / 6))
        seen *= 1 - view.shadow * edge
    seen = _blurred(seen, view.blur) + random.normal(0, view.noise, seen.shape)
    picture = Image.fromarray(np.clip(np.round(seen), 0, 255).astype(np.uint8))
    out = io.BytesIO()
    if view.quality:
        picture.save(out, "JPEG", quality=view.quality)
    else:
        picture.save(out, "PNG")
    places = np.array([(x, y) for x, y, _ in holes])
    return Drawn(
        written=out.getvalue(),
        pixels=_seen_at(view, places, wide, high, per_mm),
        holes=tuple(holes),
    )


def _seen_at(view: View, places: Array, wide: int, high: int, per_mm: float) -> Array:
    c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
    x, y = c * places[:, 0] - s * places[:, 1], s * places[:, 0] + c * places[:, 1]
    w = 1 + view.slant[0] * x + view.slant[1] * y
    return np.column_stack([x / w * per_mm + (wide - 1) / 2, (high - 1) / 2 - y / w * per_mm])


def _covered(
    view: View, holes: list[tuple[float, float, float]], wide: int, high: int, per_mm: float
) -> Array:
    """How much of each pixel is hole."""
    covered = np.zeros((high, wide))
    offs = (np.arange(SAMPLES) + 0.5) / SAMPLES - 0.5
    c, s = math.cos(math.radians(view.turn)), math.sin(math.radians(view.turn))
    for (x, y, diameter), (u, v) in zip(
        holes,
        _seen_at(view, np.array([(x, y) for x, y, _ in holes]), wide, high, per_mm),
        strict=True,
    ):
        reach = diameter * per_mm * 0.9 + 4
        u0, u1 = max(0, int(u - reach)), min(wide, int(u + reach) + 2)
        v0, v1 = max(0, int(v - reach)), min(high, int(v + reach) + 2)
        uu, vv = np.meshgrid(np.arange(u0, u1), np.arange(v0, v1))
        share = np.zeros(uu.shape)
        for du in offs:
            for dv in offs:
                px, py = (uu + du - (wide - 1) / 2) / per_mm, ((high - 1) / 2 - vv - dv) / per_mm
                # back through the slant: X = px·w, w = 1/(1 − a·px − b·py)
                w = 1 / (1 - view.slant[0] * px - view.slant[1] * py)
                fx, fy = px * w, py * w
                gx, gy = c * fx + s * fy, -s * fx + c * fy
                share += (gx - x) ** 2 + (gy - y) ** 2 <= (diameter / 2) ** 2
        covered[v0:v1, u0:u1] = np.maximum(covered[v0:v1, u0:u1], share / SAMPLES**2)
    return covered


def _blurred(seen: Array, sigma: float) -> Array:
    if sigma <= 0:
        return seen
    reach = max(1, math.ceil(4 * sigma))
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    weights /= weights.sum()
    for axis in (0, 1):
        padded = np.pad(
            seen, [(reach, reach) if axis == at else (0, 0) for at in (0, 1)], mode="edge"
        )
        length = seen.shape[axis]
        seen = sum(
            w * np.take(padded, range(n, n + length), axis=axis) for n, w in enumerate(weights)
        )
    return seen


def _mottle(random: np.random.Generator, shape: tuple[int, ...]) -> Array:
    """Blotches of several sizes, as sand casting, card and grease have."""
    found = np.zeros(shape)
    for size, weight in ((3, 0.4), (9, 0.35), (31, 0.25)):
        coarse = random.normal(0, 1, (shape[0] // size + 2, shape[1] // size + 2))
        found += weight * _blurred(
            np.kron(coarse, np.ones((size, size)))[: shape[0], : shape[1]], size / 2
        )
    return found / found.std()
