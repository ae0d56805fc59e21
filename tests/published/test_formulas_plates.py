"""A flat plate's resistance to bending, by a second method: its stresses added up over the thickness.

Plane strain across the strip (theory of thin plates): at height z a curvature κ gives the stress
E·z·κ/(1 − ν²), and the moment per width is the integral of stress times z, by SciPy's quadrature.
"""

from __future__ import annotations

import pytest
from scipy.integrate import quad

from wizard.engine.formulas import stiffness

PROVES = {"stiffness.flexural_rigidity"}


@pytest.mark.parametrize(
    ("thickness", "e_mpa", "poisson"),
    [(19.05, 69e3, 0.33), (12.7, 207e3, 0.29), (6.0, 100e3, 0.0), (25.4, 110e3, 0.5)],
)
def test_plate_bent_to_unit_curvature(thickness: float, e_mpa: float, poisson: float) -> None:
    moment, _ = quad(
        lambda z: e_mpa * z / (1 - poisson**2) * z, -thickness / 2, thickness / 2, epsabs=1e-6
    )
    worked = stiffness.flexural_rigidity(thickness=thickness, e_mpa=e_mpa, poisson=poisson)
    assert worked == pytest.approx(moment, rel=1e-9)
