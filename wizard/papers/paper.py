"""A printed page, in millimetres from its lower left corner, that keeps account of its lettering.

The same drawing twice gives the same bytes. Every piece of text leaves a `Lettering` behind, so
that a page can be asked whether anything overlaps or runs off it.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

POINT = 25.4 / 72  # mm
PLAIN, BOLD = "DejaVuSans", "DejaVuSans-Bold"
RISE, FALL = 0.80, 0.22  # of the lettering's size, above and below its base line
LANDSCAPE = {"mm": (420.0, 297.0), "in": (431.8, 279.4)}  # ISO 216 A3; ANSI/ASME Y14.1 size B
PORTRAIT = {"mm": (210.0, 297.0), "in": (215.9, 279.4)}  # ISO 216 A4; ANSI/ASME Y14.1 size A
BLACK, GREY, PALE, RED = (0.0, 0.0, 0.0), (0.45,) * 3, (0.90,) * 3, (0.75, 0.0, 0.0)

Colour = tuple[float, ...]
Spot = tuple[float, float]


@dataclass(frozen=True)
class Lettering:
    """Where a piece of text stands on a page [mm]."""

    text: str
    page: int
    left: float
    bottom: float
    right: float
    top: float

    def meets(self, other: Lettering, *, slack: float = 0.05) -> bool:
        """Whether the two overlap by more than ``slack``."""
        return (
            self.page == other.page
            and self.left < other.right - slack
            and other.left < self.right - slack
            and self.bottom < other.top - slack
            and other.bottom < self.top - slack
        )


@cache
def _register() -> TTFont:
    """The two faces, embedded in every paper; returns the plain one."""
    for name in (PLAIN, BOLD):
        path = files("wizard.papers").joinpath("fonts").joinpath(f"{name}.ttf")
        pdfmetrics.registerFont(TTFont(name, io.BytesIO(path.read_bytes())))
    return pdfmetrics.getFont(PLAIN)


def printable(text: object) -> str:
    """The text on one line, with what the lettering cannot show as a replacement sign."""
    glyphs = _register().face.charToGlyph
    shown = []
    for char in str(text):
        if unicodedata.category(char) in ("Mn", "Cf"):
            continue
        plain = " " if char.isspace() or unicodedata.category(char) == "Cc" else char
        shown.append(plain if ord(plain) in glyphs else "\ufffd")
    return " ".join("".join(shown).split())


def width(text: str, *, size: float, bold: bool = False) -> float:
    """How wide a printable text is set at ``size`` points [mm]."""
    _register()
    return float(pdfmetrics.stringWidth(text, BOLD if bold else PLAIN, size)) * POINT


def fitted(text: object, *, size: float, room: float, bold: bool = False) -> str:
    """The text, cut with … where it is wider than ``room`` mm."""
    whole = printable(text)
    if width(whole, size=size, bold=bold) <= room:
        return whole
    low, high = 0, len(whole)
    while low < high:
        middle = (low + high + 1) // 2
        if width(whole[:middle].rstrip() + "…", size=size, bold=bold) <= room:
            low = middle
        else:
            high = middle - 1
    return whole[:low].rstrip() + "…" if low else ""


@lru_cache(maxsize=8192)
def wrapped(
    text: str, *, size: float, room: float, bold: bool = False, most: int | None = None
) -> tuple[str, ...]:
    """The text in lines no wider than ``room`` mm; cut with … after ``most`` lines."""
    lines = [""]
    for word in printable(text).split(" "):
        for piece in _broken(word, size=size, room=room, bold=bold):
            longer = f"{lines[-1]} {piece}".strip()
            if lines[-1] and width(longer, size=size, bold=bold) > room:
                lines.append(piece)
            else:
                lines[-1] = longer
    if most is not None and len(lines) > most:
        rest = " ".join(lines[most - 1 :])
        cut = fitted(rest, size=size, room=room, bold=bold)
        lines = [*lines[: most - 1], cut]
    return tuple(lines)


def _broken(word: str, *, size: float, room: float, bold: bool) -> list[str]:
    """A word too wide for a line, in pieces that fit."""
    pieces = []
    while width(word, size=size, bold=bold) > room and len(word) > 1:
        keep = len(word) - 1
        while keep > 1 and width(word[:keep], size=size, bold=bold) > room:
            keep -= 1
        pieces.append(word[:keep])
        word = word[keep:]
    return [*pieces, word]


class Paper:
    """One or more pages of a size in mm, drawn in mm."""

    def __init__(self, size: Spot, *, title: str, by: str = "") -> None:
        _register()
        self.width, self.height = size
        self.lettering: list[Lettering] = []
        self.page = 1
        self._bytes = io.BytesIO()
        self._canvas = Canvas(
            self._bytes, pagesize=(size[0] / POINT, size[1] / POINT), invariant=1, pageCompression=1
        )
        self._canvas.setTitle(printable(title))
        self._canvas.setAuthor(printable(by))
        self._canvas.setCreator("trialfit")
        self._open()

    def _open(self) -> None:
        self._canvas.scale(1 / POINT, 1 / POINT)
        self._canvas.setLineJoin(1)

    def next_page(self) -> None:
        """Go on to a new page of the same size."""
        self._canvas.showPage()
        self.page += 1
        self._open()

    def finish(self) -> bytes:
        """Close the paper and hand over its bytes."""
        self._canvas.showPage()
        self._canvas.save()
        return self._bytes.getvalue()

    # ── lettering ───────────────────────────────────────────────────────────────

    def text(
        self, at: Spot, text: str, *, size: float, bold: bool = False, anchor: str = "left",
        colour: Colour = BLACK, ground: bool = False, upright: bool = False,
    ) -> Lettering:  # fmt: skip
        """Set one line of printable text with its base line at ``at``.

        Args:
            at: Where it starts, its middle or its end [mm], as ``anchor`` says.
            size: Size of the letters [pt].
            ground: Clear the ground behind it first.
            upright: Read from the right: the base line runs up the page.
        """
        box = self.box(at, text, size=size, bold=bold, anchor=anchor, upright=upright)
        if ground:
            self._canvas.setFillColorRGB(1, 1, 1)
            across, up = box.right - box.left, box.top - box.bottom
            self._canvas.rect(box.left, box.bottom, across, up, stroke=0, fill=1)
        self._canvas.setFillColorRGB(*colour)
        self._canvas.setFont(BOLD if bold else PLAIN, size * POINT)
        self._canvas.saveState()
        self._canvas.translate(at[0] if upright else box.left, box.bottom if upright else at[1])
        self._canvas.rotate(90 if upright else 0)
        self._canvas.drawString(0, 0, text)
        self._canvas.restoreState()
        if text:
            self.lettering.append(box)
        return box

    def box(
        self, at: Spot, text: str, *, size: float, bold: bool = False, anchor: str = "left",
        upright: bool = False,
    ) -> Lettering:  # fmt: skip
        """Where a text would stand."""
        across, high = width(text, size=size, bold=bold), size * POINT
        back = {"left": 0.0, "middle": across / 2, "right": across}[anchor]
        if upright:
            low, base = at[1] - back, at[0]
            return Lettering(
                text, self.page, base - RISE * high, low, base + FALL * high, low + across
            )
        left, base = at[0] - back, at[1]
        return Lettering(
            text, self.page, left, base - FALL * high, left + across, base + RISE * high
        )

    def overlaps(self) -> list[tuple[Lettering, Lettering]]:
        """Pairs of texts that run into each other."""
        found = []
        for index, one in enumerate(self.lettering):
            found += [(one, other) for other in self.lettering[index + 1 :] if one.meets(other)]
        return found

    def outside(self, *, margin: float = 5.0) -> list[Lettering]:
        """Texts nearer than ``margin`` to the edge of the page, or beyond it."""
        return [
            box for box in self.lettering
            if box.left < margin or box.bottom < margin
            or box.right > self.width - margin or box.top > self.height - margin
        ]  # fmt: skip

    def picture(self, corner: Spot, png: bytes, *, up: float) -> None:
        """A PNG picture, its upper right corner at ``corner``, ``up`` mm high."""
        image = ImageReader(io.BytesIO(png))
        wide, high = image.getSize()
        across = up * wide / max(high, 1)
        self._canvas.drawImage(image, corner[0] - across, corner[1] - up, across, up, mask="auto")

    # ── lines ───────────────────────────────────────────────────────────────────

    def pen(self, thick: float, *, colour: Colour = BLACK, dash: Sequence[float] = ()) -> None:
        """Take a pen of ``thick`` mm; ``dash`` in mm of line and gap."""
        self._canvas.setLineWidth(thick)
        self._canvas.setStrokeColorRGB(*colour)
        self._canvas.setDash(list(dash)) if dash else self._canvas.setDash()

    def line(self, start: Spot, end: Spot) -> None:
        """A straight line."""
        self._canvas.line(*start, *end)

    def circle(self, centre: Spot, diameter: float, *, fill: Colour | None = None) -> None:
        """A circle, filled where a colour is given."""
        if fill is not None:
            self._canvas.setFillColorRGB(*fill)
        self._canvas.circle(*centre, diameter / 2, stroke=1, fill=int(fill is not None))

    def polygon(self, points: Sequence[Spot], *, fill: Colour | None = None) -> None:
        """A closed polygon, filled where a colour is given."""
        if fill is not None:
            self._canvas.setFillColorRGB(*fill)
        self._canvas.drawPath(self._path(points), stroke=1, fill=int(fill is not None))

    def rectangle(
        self, corner: Spot, *, across: float, up: float, fill: Colour | None = None
    ) -> None:
        """A rectangle from its lower left corner."""
        x, y = corner
        self.polygon([(x, y), (x + across, y), (x + across, y + up), (x, y + up)], fill=fill)

    def arrow(self, tip: Spot, *, toward: Spot, size: float = 1.8) -> None:
        """A filled arrowhead at ``tip``, coming from ``toward``."""
        away_x, away_y = toward[0] - tip[0], toward[1] - tip[1]
        far = (away_x**2 + away_y**2) ** 0.5 or 1.0
        x, y = away_x / far * size, away_y / far * size
        self.polygon(
            [
                tip,
                (tip[0] + x - y / 6, tip[1] + y + x / 6),
                (tip[0] + x + y / 6, tip[1] + y - x / 6),
            ],
            fill=BLACK,
        )

    def hatch(self, points: Sequence[Spot], *, apart: float, rising: bool) -> None:
        """Lines at 45° inside a polygon, in the pen in hand."""
        left, right = min(p[0] for p in points), max(p[0] for p in points)
        low, high = min(p[1] for p in points), max(p[1] for p in points)
        reach = high - low
        with self.clipped(points):
            steps = int((right - left + reach) / apart) + 1
            for step in range(steps + 1):
                x = left - reach + step * apart
                ends = ((x, low), (x + reach, high)) if rising else ((x, high), (x + reach, low))
                self._canvas.line(*ends[0], *ends[1])

    @contextmanager
    def clipped(self, points: Sequence[Spot]) -> Iterator[None]:
        """Draw only inside a polygon."""
        self._canvas.saveState()
        self._canvas.clipPath(self._path(points), stroke=0, fill=0)
        yield
        self._canvas.restoreState()

    def _path(self, points: Sequence[Spot]) -> object:
        path = self._canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        path.close()
        return path
