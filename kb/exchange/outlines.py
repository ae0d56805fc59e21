"""A closed outline out of a DXF drawing: lines and arcs, in millimetres, anticlockwise."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from kb.errors import InputError
from kb.model.parts import Segment

KEY = "outline"
MEET = 0.01  # mm: ends nearer than this are one corner
LEAST = 1.0  # mm: a loop smaller than this is none
LARGEST = 20_000_000  # bytes
DEEPEST = 8  # blocks in blocks
MOST = 20_000  # pieces

Place = tuple[float, float]


def read_outline(path: Path | str, *, units: str = "") -> tuple[Segment, ...]:
    """The largest closed outline of a drawing.

    Args:
        path: A DXF file; lines, arcs, circles, polylines with bulges, and blocks of them.
        units: ``"in"`` or ``"mm"`` where the drawing does not say.
    Returns:
        Its pieces, anticlockwise, each beginning where the last one ended [mm].
    Raises:
        InputError: no file, no DXF, no unit, no closed outline, or one of no size.
    """
    from ezdxf import units as scales

    drawing = _opened(Path(path))
    factor = _factor(drawing, units, scales)
    pieces, odd = _pieces(drawing.modelspace(), factor)
    loops = list(_loops(pieces))
    if not loops:
        raise InputError(KEY, str(path), _why_none(pieces, odd))
    best = max(loops, key=lambda loop: abs(_area(loop)))
    if _across(best) < LEAST:
        raise InputError(KEY, str(path), f"its outline is under {LEAST:g} mm across")
    return tuple(best if _area(best) > 0 else _backward(best))


def _opened(path: Path) -> Any:
    import ezdxf

    if not path.is_file():
        raise InputError(KEY, str(path), "no such file")
    if path.stat().st_size > LARGEST:
        raise InputError(KEY, str(path), f"a drawing of at most {LARGEST // 1_000_000} MB")
    try:
        return ezdxf.readfile(path)  # type: ignore[attr-defined]
    except (OSError, UnicodeDecodeError, ValueError, StopIteration, ezdxf.DXFError):  # type: ignore[attr-defined]
        raise InputError(KEY, str(path), "it cannot be read as a DXF drawing") from None


def _factor(drawing: Any, units: str, scales: Any) -> float:
    """Millimetres to a unit of the drawing."""
    stated = int(drawing.header.get("$INSUNITS", 0))
    if not stated:
        known = {"mm": 1.0, "in": 25.4}
        if units not in known:
            raise InputError(
                KEY, "$INSUNITS 0", "the drawing does not say its unit; write in or mm"
            )
        return known[units]
    try:
        return float(scales.conversion_factor(stated, scales.MM))
    except (KeyError, IndexError, ValueError, TypeError):
        raise InputError(KEY, f"$INSUNITS {stated}", "draw it in inches or millimetres") from None


# ── pieces ──────────────────────────────────────────────────────────────────


def _pieces(space: Any, factor: float) -> tuple[list[Segment], set[str]]:
    """Lines and arcs of the drawing, and the sorts of thing that are neither."""
    found: list[Segment] = []
    odd: set[str] = set()
    for thing in _plain(space, DEEPEST):
        kind = thing.dxftype()
        if kind == "LINE":
            found.append(_line(thing, factor))
        elif kind == "ARC":
            found.append(_arc(thing, factor))
        elif kind == "CIRCLE":
            found += _circle(thing, factor)
        else:
            odd.add(kind.lower())
        if len(found) > MOST:
            raise InputError(KEY, f"over {MOST} lines", "a plain outline of lines and arcs")
    return [one for one in found if _long(one)], odd


def _plain(things: Any, deep: int) -> Iterator[Any]:
    for thing in things:
        if thing.dxftype() in ("INSERT", "LWPOLYLINE", "POLYLINE") and deep:
            yield from _plain(thing.virtual_entities(), deep - 1)
        else:
            yield thing


def _line(thing: Any, factor: float) -> Segment:
    start, end = ((p.x * factor, p.y * factor) for p in (thing.dxf.start, thing.dxf.end))
    return Segment(kind="line", start=start, end=end)


def _arc(thing: Any, factor: float) -> Segment:
    """An arc as drawn; one looked at from below runs the other way round."""
    start, end, middle = (
        (p.x * factor, p.y * factor)
        for p in (thing.start_point, thing.end_point, thing.ocs().to_wcs(thing.dxf.center))
    )
    return Segment(
        kind="arc", start=start, end=end, centre=middle, radius=thing.dxf.radius * factor,
        ccw=thing.dxf.extrusion.z > 0,
    )  # fmt: skip


def _circle(thing: Any, factor: float) -> list[Segment]:
    middle = thing.ocs().to_wcs(thing.dxf.center)
    x, y, radius = middle.x * factor, middle.y * factor, thing.dxf.radius * factor
    right, left = (x + radius, y), (x - radius, y)
    return [
        Segment(kind="arc", start=a, end=b, centre=(x, y), radius=radius)
        for a, b in ((right, left), (left, right))
    ]


def _long(one: Segment) -> bool:
    return one.kind == "arc" or math.dist(one.start, one.end) > MEET


# ── loops ───────────────────────────────────────────────────────────────────


def _loops(pieces: Sequence[Segment]) -> Iterator[list[Segment]]:
    """Chains that close; pieces that lead nowhere are left."""
    left = list(pieces)
    while left:
        chain = [left.pop()]
        while not _meet(chain[-1].end, chain[0].start) or len(chain) == 1:
            following = _next(chain[-1].end, left)
            if following is None:
                break
            chain.append(following)
        if len(chain) > 1 and _meet(chain[-1].end, chain[0].start):
            yield _joined(chain)


def _next(end: Place, left: list[Segment]) -> Segment | None:
    """The piece that goes on from there, taken out of those left."""
    for place, one in enumerate(left):
        for piece in (one, _turned(one)):
            if _meet(end, piece.start):
                left.pop(place)
                return piece
    return None


def _joined(chain: Sequence[Segment]) -> list[Segment]:
    """The chain with every piece beginning just where the last one ended."""
    before = [*chain[-1:], *chain[:-1]]
    return [
        Segment(kind=one.kind, start=last.end, end=one.end, centre=one.centre, radius=one.radius, ccw=one.ccw)
        for last, one in zip(before, chain, strict=True)
    ]  # fmt: skip


def _meet(a: Place, b: Place) -> bool:
    return math.dist(a, b) <= MEET


def _turned(one: Segment) -> Segment:
    return Segment(
        kind=one.kind, start=one.end, end=one.start, centre=one.centre, radius=one.radius,
        ccw=not one.ccw if one.kind == "arc" else one.ccw,
    )  # fmt: skip


def _backward(loop: Sequence[Segment]) -> list[Segment]:
    return [_turned(one) for one in reversed(loop)]


def _area(loop: Sequence[Segment]) -> float:
    """Signed area, + anticlockwise: the polygon of the corners and what the arcs add [mm²]."""
    return sum(
        (one.start[0] * one.end[1] - one.end[0] * one.start[1]) / 2 + _bow(one) for one in loop
    )


def _bow(one: Segment) -> float:
    """Area between an arc and its chord [mm²]."""
    if one.centre is None or one.radius is None:
        return 0.0
    first, last = (
        math.atan2(end[1] - one.centre[1], end[0] - one.centre[0]) for end in (one.start, one.end)
    )
    sweep = (last - first) % (2 * math.pi) if one.ccw else -((first - last) % (2 * math.pi))
    return one.radius**2 / 2 * (sweep - math.sin(sweep))


def _across(loop: Sequence[Segment]) -> float:
    """Widest distance between corners, or the widest arc [mm]."""
    spans = [max(one.start[k] for one in loop) - min(one.start[k] for one in loop) for k in (0, 1)]
    return max(*spans, *(2 * (one.radius or 0.0) for one in loop))


def _why_none(pieces: Sequence[Segment], odd: set[str]) -> str:
    if pieces:
        return f"its lines close no outline; ends must meet within {MEET:g} mm"
    if odd & {"spline", "ellipse"}:
        return "it has splines or ellipses only; save it as lines and arcs"
    return "it has no lines, arcs or circles"
