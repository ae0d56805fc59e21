"""Least-squares circle through six points.

Source: Gander, Golub & Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994),
pp. 558–578: the data and both fits from memory; the geometric one worked out again apart from this
program, to five places, with its sum of squares.
"""

from __future__ import annotations

import numpy as np
import pytest

from kb.plane.circle import fit_circle

POINTS = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]
ALGEBRAIC = (5.3794, 7.2532, 3.0370)  # unit-norm coefficients
REGRESSION = (4.74233, 3.83512, 4.10876)  # x² + y² on x and y, computed


def test_geometric_fit() -> None:
    fit = fit_circle(POINTS)
    assert fit.centre == pytest.approx((4.73978, 2.98353), abs=0.5e-5)
    assert fit.radius == pytest.approx(4.71423, abs=0.5e-5)
    assert float(np.sum(fit.residuals**2)) == pytest.approx(1.22760, abs=0.5e-5)


@pytest.mark.parametrize("other", [ALGEBRAIC, REGRESSION], ids=["algebraic", "regression"])
def test_the_algebraic_fits_stand_farther_off(other: tuple[float, float, float]) -> None:
    x, y, radius = other
    apart = np.hypot(*(np.array(POINTS) - (x, y)).T) - radius
    fit = fit_circle(POINTS)
    assert float(np.sum(apart**2)) > 1.02 * float(np.sum(fit.residuals**2))
    assert radius < fit.radius  # drawn to a smaller circle, as the paper shows
