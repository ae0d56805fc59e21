"""Materials: the millimetre figures against the same source's inch and weight figures.

Source: Mechanical Engineering Design, Table A-5 (unit weights read, moduli in Mpsi from memory) and Table A-20
(strengths in ksi, from memory); ASTM A48 and A536, whose class and grade numbers are strengths in ksi (read);
ASTM A36 (from memory); densities in
lb/in³ (common practice, no source). Thermal growth: closed form, Δα·L·ΔT.
"""

from __future__ import annotations

import pytest

from kb.standards import materials
from tests.published.printed import printed

KSI = 6.894757293168361
GRAVITY = 9.80665


@pytest.mark.parametrize(
    "row", printed("material_figures"), ids=lambda row: f"{row['material']} {row['figure']}"
)
def test_figures_agree_with_their_other_unit(row: dict[str, str]) -> None:
    held, value = materials.material(row["material"]), float(row["value"])
    if row["unit"] == "lb/in³":
        assert held.density_kg_m3 == pytest.approx(27679.905 * value, rel=0.006)
    elif row["figure"] == "density":
        assert held.density_kg_m3 == pytest.approx(1000 * value / GRAVITY, rel=0.002)
    elif row["figure"] == "e":
        assert held.e_mpa == pytest.approx(1000 * KSI * value, rel=0.005)
    else:
        mpa = {"yield": held.yield_mpa, "ultimate": held.ultimate_mpa}[row["figure"]]
        # sources round each unit for itself, to 5 MPa or to 10
        assert mpa == pytest.approx(KSI * value, rel=0.012)


def test_an_aluminium_plate_on_an_iron_block() -> None:
    """400 mm between dowels, 80 K: 0.38 mm for 12e-6 of difference (common practice, no source)."""
    plate, block = materials.material("6061-T6"), materials.material("grey iron")
    growth = (plate.cte_per_k - block.cte_per_k) * 400 * 80
    assert growth == pytest.approx(0.38, abs=0.05)
