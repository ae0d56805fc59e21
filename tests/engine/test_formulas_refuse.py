"""What nobody can mean is refused by name, and nothing that is not a number ever comes out.

Source: the project's own law that a value is complete or does not exist. Each formula is called
as in its own example, and then with one argument after another put wrong.
"""

from __future__ import annotations

import ast
import doctest
import importlib
import inspect
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import wizard.engine.formulas
from kb.errors import InputError, OutOfScope
from wizard.engine.formulas import (
    alignment,
    circle,
    fastening,
    gears,
    joints,
    posts,
    press,
    rotating,
    runout,
    stiffness,
    thermal,
    threads,
    tightening,
)

FOLDER = Path(str(wizard.engine.formulas.__file__)).parent
SENSELESS = [math.nan, math.inf, -math.inf, "12 mm", None, 1e300, [], True, object()]
UNLIKELY = [-1e6, -1.0, -1e-9, 0.0, 1e-300, 1e-9, 0.5, 1.0, 7.0, 1e6, 1e12]
FEW_DRAWS = 200


def ordinary() -> Iterator[tuple[str, Callable[..., Any], dict[str, Any]]]:
    """Every formula with the arguments of its own example, the others at their defaults."""
    for path in sorted(FOLDER.glob("*.py")):
        module = importlib.import_module(f"wizard.engine.formulas.{path.stem}")
        for name, formula in vars(module).items():
            own = inspect.isfunction(formula) and formula.__module__ == module.__name__
            if own and not name.startswith("_") and path.stem != "arguments":
                yield f"{path.stem}.{name}", formula, example(formula)


def example(formula: Callable[..., Any]) -> dict[str, Any]:
    """The arguments of the first call in its example."""
    shown = doctest.DocTestParser().get_examples(inspect.getdoc(formula) or "")
    call = next(
        node
        for line in shown
        for node in ast.walk(ast.parse(line.source))
        if isinstance(node, ast.Call) and ast.unparse(node.func) == formula.__name__
    )
    given_here = {
        keyword.arg: eval(ast.unparse(keyword.value), {}, {})
        for keyword in call.keywords
        if keyword.arg
    }
    defaults = {
        name: parameter.default
        for name, parameter in inspect.signature(formula).parameters.items()
        if parameter.default is not inspect.Parameter.empty
    }
    return defaults | given_here | ({"draws": FEW_DRAWS} if "draws" in defaults else {})


FORMULAS = list(ordinary())
NAMES = [name for name, _, _ in FORMULAS]


def finite(result: object) -> bool:
    return bool(np.isfinite(np.asarray(result, dtype=float)).all())


@pytest.mark.parametrize(("name", "formula", "usual"), FORMULAS, ids=NAMES)
def test_the_example_gives_numbers(
    name: str, formula: Callable[..., Any], usual: dict[str, Any]
) -> None:
    assert set(usual) == set(inspect.signature(formula).parameters)
    assert finite(formula(**usual))


@pytest.mark.parametrize(("name", "formula", "usual"), FORMULAS, ids=NAMES)
def test_what_is_no_number_is_refused_by_name(
    name: str, formula: Callable[..., Any], usual: dict[str, Any]
) -> None:
    for argument in usual:
        for senseless in SENSELESS:
            with pytest.raises(InputError) as refused:
                formula(**usual | {argument: senseless})
            assert refused.value.field == argument, senseless


@pytest.mark.parametrize(("name", "formula", "usual"), FORMULAS, ids=NAMES)
def test_a_senseless_number_in_a_row_is_refused(
    name: str, formula: Callable[..., Any], usual: dict[str, Any]
) -> None:
    for argument, value in usual.items():
        if not isinstance(value, list):
            continue
        spoilt = np.array(value, dtype=float)
        spoilt.flat[-1] = math.nan
        for senseless in (spoilt, [value, value], [[*value, 1.0]], "row", [None]):
            with pytest.raises(InputError) as refused:
                formula(**usual | {argument: senseless})
            assert refused.value.field == argument


@pytest.mark.parametrize(("name", "formula", "usual"), FORMULAS, ids=NAMES)
def test_an_unlikely_number_is_refused_or_gives_numbers(
    name: str, formula: Callable[..., Any], usual: dict[str, Any]
) -> None:
    for argument, value in usual.items():
        if isinstance(value, str | list):
            continue
        for unlikely in UNLIKELY:
            try:
                result = formula(**usual | {argument: unlikely})
            except (InputError, OutOfScope):
                continue
            assert finite(result), (argument, unlikely)


@pytest.mark.parametrize(("name", "formula", "usual"), FORMULAS, ids=NAMES)
def test_any_numbers_together_are_refused_or_give_numbers(
    name: str, formula: Callable[..., Any], usual: dict[str, Any]
) -> None:
    plain = {key for key, value in usual.items() if not isinstance(value, str | list | int)}
    any_size = st.one_of(st.floats(-1e12, 1e12), st.floats(0, 100), st.floats(0, 1))

    @settings(max_examples=25, deadline=None, derandomize=True)
    @given(st.fixed_dictionaries(dict.fromkeys(sorted(plain), any_size)))
    def tried(values: dict[str, float]) -> None:
        try:
            result = formula(**usual | values)
        except (InputError, OutOfScope):
            return
        assert finite(result)

    tried()


# ── each refusal of its own ─────────────────────────────────────────────────

RING = {"bore": 100.0, "outside": 300.0, "speed_rpm": 6000.0, "density_kg_m3": 7850.0}
SIZE = {"screw": 10.0, "first_zone": 0.1, "second_zone": 0.1}
SCREW: dict[str, Any] = {
    "major": 10.0, "pitch": 1.5, "system": "metric", "yield_mpa": 640.0, "thread_friction": 0.12,
}  # fmt: skip
REFUSED = [
    ("bore", lambda: rotating.mean_hoop_stress(**RING | {"bore": 300.0})),
    ("poisson", lambda: rotating.peak_hoop_stress(**RING, poisson=0.6)),
    ("radius", lambda: rotating.hoop_stress(**RING, poisson=0.3, radius=40)),
    ("radius", lambda: rotating.radial_stress(**RING, poisson=0.3, radius=np.array([60, 151.0]))),
    ("hole", lambda: stiffness.frustum_stiffness(hole=18, small_end=18, length=5, e_mpa=2e5)),
    ("moduli_mpa", lambda: stiffness.member_stiffness(
        hole=12, head=18, thicknesses=[20, 5], moduli_mpa=[207e3])),
    ("internal_minor", lambda: threads.external_shear_area(
        engagement=10, pitch=1.5, internal_minor=12, external_pitch=9)),
    ("external_major", lambda: threads.internal_shear_area(
        engagement=10, pitch=1.5, external_major=8, internal_pitch=12)),
    ("system", lambda: threads.stress_area(major=10, pitch=1.5, system="whitworth")),
    ("screw", lambda: fastening.most_play_through(hole=9.5, **SIZE)),
    ("screw", lambda: fastening.most_play_tapped(hole=10, **SIZE)),
    ("utilisation", lambda: tightening.preload_at_yield(**SCREW, utilisation=1.01)),
    ("thread_friction", lambda: tightening.preload_at_yield(**SCREW | {"thread_friction": 1.01})),
    ("nut_factor", lambda: tightening.torque_by_nut_factor(
        preload_n=1e4, major=10, nut_factor=1.01)),
    ("nut_factor", lambda: tightening.preload_by_nut_factor(
        torque_nmm=1e4, major=10, nut_factor=1.01)),
    ("friction", lambda: press.push_out_force(
        pressure_mpa=50, diameter=50, length=40, friction=1.01)),
    ("friction", lambda: joints.friction_torque(
        screws=6, friction=1.01, preload_n=1e4, radius=40)),
    ("shaft_poisson", lambda: press.press_pressure(
        interference=0.05, diameter=40, hub_outside=80, hub_e_mpa=2e5, hub_poisson=0.3,
        shaft_e_mpa=2e5, shaft_poisson=0.51)),
    ("pressure_angle", lambda: gears.backlash_change(centre_change=0.1, pressure_angle=9.9)),
    ("step", lambda: circle.chord(diameter=100, holes=6, step=6)),
    ("span", lambda: circle.circle_from_span(span=20, hole=10, holes=6)),
    ("angles", lambda: runout.sweep_offset(readings=[0, 1, 2], angles=[0, 90, 450])),
    ("readings", lambda: runout.sweep_leftover(readings=[0, 1], angles=[0, 90])),
    ("sense", lambda: runout.sweep_offset(readings=[0, 1, 2], angles=[0, 90, 180], sense="+")),
    ("centres", lambda: posts.tops_tilt(
        centres=[(0, 0), (50, 50), (100, 100)], heights=[0, 0, 0])),
    ("driven_end", lambda: posts.base_shear(tangential_n=1, centrifugal_n=1, driven_end="pinned")),
    ("shaft_bore", lambda: press.shaft_hoop_stress(pressure_mpa=10, diameter=30, shaft_bore=30)),
    ("ratio", lambda: joints.reaction_torque(torque_nmm=1e5, ratio=0)),
    ("heights", lambda: joints.overhang_capacity(preloads_n=[1e4, 1e4], heights=[0, 0])),
    ("share", lambda: alignment.stacked_offset(offsets=[0.1], share=1.0)),
    ("place", lambda: alignment.dowel_alignment(
        measure=[0.1, 0.1], place=[0.1], play=[0.1], limit=0.1)),
    ("tooth_depth", lambda: gears.root_diameter(outside=10, module=3)),
    ("rise_k", lambda: thermal.growth(length=100, cte_per_k=1e-5, rise_k=np.array([1.0, math.nan]))),
]  # fmt: skip


@pytest.mark.parametrize(("field", "call"), REFUSED, ids=[field for field, _ in REFUSED])
def test_what_cannot_be_meant_is_named(field: str, call: Callable[[], object]) -> None:
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.field == field
    assert field in str(refused.value)


def test_sensible_values_out_of_reach_name_the_reach_and_its_source() -> None:
    with pytest.raises(OutOfScope, match=r"finer than half the diameter 6 \(ISO 68-1\)"):
        threads.stress_area(major=6, pitch=3, system="metric")
    with pytest.raises(OutOfScope, match="a tenth of the mean radius 100 mm"):
        rotating.thin_ring_stress(bore=150, outside=250, speed_rpm=3000, density_kg_m3=7850)
