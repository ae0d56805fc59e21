"""What a pixel is worth, from distances measured between marks of a picture.

An even scale for a flat scan; where six distances or more say so, the slant of a photo too. All
that distances tell is five figures: scale, shear, aspect and two of the vanishing line; place and
turn are free.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError
from kb.model.measured import Stretch

Array = NDArray[np.float64]
Marks = Mapping[str, tuple[float, float]]
POINTED = 1.0  # pixels: how well a mark is pointed at, 95 %
MEASURED = 0.1  # mm: ± of a distance written without one
SURE = 1.96
ALIKE = 3.0  # normalised misfit above which distances do not agree
LEAST_SLANT = 6  # distances that also tell the slant


@dataclass(frozen=True, kw_only=True, eq=False)
class Scale:
    """What pixels are worth.

    Attributes:
        figures: Scale [mm a pixel], shear, aspect, and the two of the vanishing line, in pixels
            from the middle of the picture.
        covariance: Of the figures that were fitted. middle: Of the picture [pixels].
        slanted: The slant was taken out. stretches: As given.
        residuals: Each distance in the picture less the one measured [mm].
        misread: Which distance does not agree with the rest, if one does not.
    """

    figures: tuple[float, float, float, float, float]
    covariance: Array
    middle: tuple[float, float]
    slanted: bool
    stretches: tuple[Stretch, ...]
    residuals: tuple[float, ...]
    misread: Stretch | None
    notes: tuple[str, ...]

    @property
    def mm_per_pixel(self) -> float:
        """In the middle of the picture."""
        return self.figures[0]

    def to_mm(self, pixels: Array) -> Array:
        """Points of the picture on the part: X to the right, Y up [mm]."""
        return _mapped(np.array(self.figures), pixels, self.middle)

    def to_pixels(self, places: Array) -> Array:
        """Points of the part in the picture."""
        s, k, a, p, q = self.figures
        # x = s (u + k v) / w, y = s a v / w, w = 1 + p u + q v: linear in u and v
        found = []
        for x, y in places:
            matrix = np.array([[s - x * p, s * k - x * q], [-y * p, s * a - y * q]])
            found.append(np.linalg.solve(matrix, np.array([x, y])))
        uv = np.array(found)
        return np.column_stack([uv[:, 0] + self.middle[0], self.middle[1] - uv[:, 1]])

    def places_within(self, pixels: Array) -> Array:
        """± each place has from the scale alone, against the middle of the places, 95 % [mm]."""
        slopes = self._slopes(lambda figures: _centred(_mapped(figures, pixels, self.middle)))
        spread = np.einsum("fij,fg,gij->ij", slopes, self.covariance, slopes)
        found: Array = SURE * np.sqrt(spread.max(axis=1))
        return found

    def sizes_within(self, pixels: Array) -> Array:
        """± of a size at each place from the scale alone, as a share of it, 95 %."""

        def worth(figures: Array) -> Array:
            at = _mapped(figures, pixels, self.middle)
            right = _mapped(figures, pixels + np.array([1.0, 0.0]), self.middle) - at
            up = _mapped(figures, pixels + np.array([0.0, 1.0]), self.middle) - at
            return 0.5 * np.log(np.abs(right[:, 0] * up[:, 1] - right[:, 1] * up[:, 0]))

        slopes = self._slopes(worth)
        found: Array = SURE * np.sqrt(np.einsum("fi,fg,gi->i", slopes, self.covariance, slopes))
        return found

    def _slopes(self, of: object) -> Array:
        """How a figure of the picture changes with each figure that was fitted."""
        assert callable(of)
        count, base = len(self.covariance), np.array(self.figures)
        rows = []
        for at in range(count):
            step = 1e-6 * (abs(base[at]) or 1e-3)
            more, less = base.copy(), base.copy()
            more[at] += step
            less[at] -= step
            rows.append((of(more) - of(less)) / (2 * step))
        return np.array(rows)


def fit_scale(marks: Marks, stretches: Sequence[Stretch], *, size: tuple[int, int]) -> Scale:
    """What a pixel is worth by measured distances.

    Args:
        marks: Marks of the picture by name [pixels from its top left corner].
        stretches: Distances measured between them.
        size: Width and height of the picture [pixels].
    Raises:
        InputError: no distance, a mark there is none of, marks that coincide, or a distance of
            nothing; and distances that contradict each other with nothing to tell which.
    """
    if not stretches:
        raise InputError("distances", "(none)", "give a measured distance between two marks, such as 1,4,300.05")  # fmt: skip
    for one in stretches:
        _refuse(one, marks)
    middle = ((size[0] - 1) / 2, (size[1] - 1) / 2)
    found = _best(marks, stretches, middle)
    if found.worst <= ALIKE:
        return _scale(found, stretches, middle, misread=None)
    without = [(_best(marks, _but(stretches, at), middle), at) for at in range(len(stretches))] if len(stretches) > 2 else []  # fmt: skip
    agreeing = [(one, at) for one, at in without if one.worst <= ALIKE and one.freedom > 0]
    if len(agreeing) == 1:
        fitted, at = agreeing[0]
        return _scale(fitted, stretches, middle, misread=stretches[at], marks=marks)
    off = max(zip(np.abs(found.misfit), stretches, strict=True), key=lambda pair: pair[0])
    says = (
        f"the distances do not agree: {off[1].start} to {off[1].end} stands {off[0]:.2f} mm off; read "
        "them again, measure one more, or give six between four marks where the picture is slanted"
    )
    raise InputError("distances", f"{len(stretches)} distances", says)


@dataclass(frozen=True, eq=False)
class _Fit:
    figures: Array
    covariance: Array
    misfit: Array
    worst: float
    freedom: int


def _refuse(one: Stretch, marks: Marks) -> None:
    if one.edges != "centres":
        raise InputError("distances", one.name, "measure between the middles of marks of a picture")
    for name in (one.start, one.end):
        if name not in marks:
            known = ", ".join(list(marks)[:12])
            raise InputError("distances", name, f"no such mark; there are {known}")
    if not one.reading.value > 0:
        raise InputError("distances", f"{one.reading.value:g}", "a distance is above 0")
    if math.dist(marks[one.start], marks[one.end]) < 3:
        raise InputError("distances", f"{one.start} to {one.end}", "the two marks coincide in the picture")  # fmt: skip


def _best(marks: Marks, stretches: Sequence[Stretch], middle: tuple[float, float]) -> _Fit:
    """An even scale where it agrees, else with the slant where the distances can tell it."""
    even = _fitted(marks, stretches, middle, count=1)
    ends = {name for one in stretches for name in (one.start, one.end)}
    if even.worst <= ALIKE or len(stretches) < LEAST_SLANT or len(ends) < 4:
        return even
    return _fitted(marks, stretches, middle, count=5)


def _fitted(
    marks: Marks, stretches: Sequence[Stretch], middle: tuple[float, float], *, count: int
) -> _Fit:
    from scipy.optimize import least_squares

    starts = np.array([marks[one.start] for one in stretches], dtype=float)
    ends = np.array([marks[one.end] for one in stretches], dtype=float)
    lengths = np.array([one.reading.value for one in stretches])
    spans = np.linalg.norm(starts - ends, axis=1)
    first = float(np.sum(lengths * spans) / np.sum(spans**2))
    within = np.array(
        [MEASURED if one.reading.within is None else one.reading.within for one in stretches]
    )
    sigma = np.hypot(np.maximum(within, 1e-6) / 2, math.sqrt(2) * POINTED / 2 * first)
    size = np.array([first, 0.1, 0.1, 1e-4, 1e-4])[:count]  # what a step of each is worth

    def whole(z: Array) -> Array:
        figures = np.array([first, 0.0, 1.0, 0.0, 0.0])
        figures[:count] += z * size
        return figures

    def misfit(z: Array) -> Array:
        figures = whole(z)
        found = np.linalg.norm(_mapped(figures, starts, middle) - _mapped(figures, ends, middle), axis=1)  # fmt: skip
        return np.asarray((found - lengths) / sigma)

    best = least_squares(misfit, np.zeros(count), xtol=1e-14, ftol=1e-14, gtol=1e-14, method="lm")
    slopes = best.jac / size
    freedom = len(stretches) - count
    tie = np.linalg.pinv(slopes.T @ slopes)
    if freedom > 0:
        tie = tie * max(1.0, float(np.sum(best.fun**2)) / freedom)
    worst = float(np.max(np.abs(best.fun))) if freedom > 0 else 0.0
    return _Fit(whole(best.x), tie, best.fun * sigma, worst, freedom)


def _but(stretches: Sequence[Stretch], at: int) -> list[Stretch]:
    return [one for number, one in enumerate(stretches) if number != at]


def _scale(
    fit: _Fit, stretches: Sequence[Stretch], middle: tuple[float, float], *,
    misread: Stretch | None, marks: Marks | None = None,
) -> Scale:  # fmt: skip
    notes = []
    residuals = list(fit.misfit)
    if misread is not None and marks is not None:
        ends = np.array([marks[misread.start], marks[misread.end]], dtype=float)
        there = _mapped(fit.figures, ends, middle)
        off = float(np.linalg.norm(there[0] - there[1])) - misread.reading.value
        residuals.insert(list(stretches).index(misread), off)
        notes.append(
            f"{misread.start} to {misread.end} was left out: the picture has it {off:+.2f} mm from "
            f"the {misread.reading.value:g} mm written, and the others agree without it."
        )
    elif fit.freedom == 0:
        notes.append("The scale rests on one distance alone: measure a second one, across the first, to check it.")  # fmt: skip
    slanted = len(fit.covariance) > 1
    if not slanted:
        notes.append("Taken as a flat scan, without slant; a photo needs six distances between four marks.")  # fmt: skip
    s, k, a, p, q = (float(figure) for figure in fit.figures)
    return Scale(
        figures=(s, k, a, p, q), covariance=fit.covariance, middle=middle, slanted=slanted,
        stretches=tuple(stretches), residuals=tuple(float(one) for one in residuals),
        misread=misread, notes=tuple(notes),
    )  # fmt: skip


def _mapped(figures: Array, pixels: Array, middle: tuple[float, float]) -> Array:
    s, k, a, p, q = figures
    u, v = pixels[:, 0] - middle[0], middle[1] - pixels[:, 1]
    w = 1 + p * u + q * v
    return np.column_stack([s * (u + k * v) / w, s * a * v / w])


def _centred(places: Array) -> Array:
    return np.asarray(places - places.mean(axis=0))
