"""Stiffness of bolted joints: the screw, the parts it clamps, and how a load divides."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Row

CONE = math.tan(math.radians(30))  # half angle of the pressure cone in the clamped parts


def frustum_stiffness(*, hole: float, small_end: float, length: float, e_mpa: float) -> float:
    """Stiffness of one cone of clamped material.

    Assumptions: pressure spreads at 30° to the axis; one material.

    Args:
        hole: Diameter of the screw's hole, taken as the screw's own [mm].
        small_end: Diameter of the cone's small end [mm].
        length: Height of the cone [mm].
        e_mpa: Young's modulus [MPa].
    Returns:
        k = 0.5774·π·E·d / ln(((1.155·t + D − d)(D + d)) / ((1.155·t + D + d)(D − d))) [N/mm].
    Raises:
        InputError: a value not above 0, or a hole as wide as the small end.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 8-20.
    Example:
        >>> round(frustum_stiffness(hole=12, small_end=18, length=22.5, e_mpa=100e3) / 1e3)
        2074
    """
    arguments.above_zero(hole=hole, small_end=small_end, length=length, e_mpa=e_mpa)
    arguments.ascending(hole=hole, small_end=small_end)
    spread = 2 * CONE * length
    narrow = (spread + small_end + hole) * (small_end - hole)
    # the quotient of the book is 1 + 2·spread·hole/narrow; so written it stands for flat cones too
    return CONE * math.pi * e_mpa * hole / math.log1p(2 * spread * hole / narrow)


def series_stiffness(*, stiffnesses_n_per_mm: Row) -> float:
    """Stiffness of springs one behind the other.

    Assumptions: all carry the same force.

    Args:
        stiffnesses_n_per_mm: Stiffness of each [N/mm].
    Returns:
        1/Σ(1/k) [N/mm].
    Raises:
        InputError: no spring, or a stiffness not above 0.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 8-18.
    Example:
        >>> round(series_stiffness(stiffnesses_n_per_mm=[4470, 52230, 2074]))
        1379
    """
    springs = arguments.row("stiffnesses_n_per_mm", stiffnesses_n_per_mm)
    arguments.above_zero(stiffnesses_n_per_mm=springs)
    return float(1 / (1 / springs).sum())


def member_stiffness(*, hole: float, head: float, thicknesses: Row, moduli_mpa: Row) -> float:
    """Stiffness of a stack of clamped parts, by cones from both ends.

    Assumptions: pressure spreads at 30° from head and nut and the cones meet half-way; for a
    screw in a tapped hole give the stack down to half a diameter below its mouth.

    Args:
        hole: Diameter of the screw's hole, taken as the screw's own [mm].
        head: Diameter of the bearing face at both ends [mm].
        thicknesses: Thickness of each layer, in order [mm].
        moduli_mpa: Young's modulus of each layer, in order [MPa].
    Returns:
        Stiffness of all the frusta in series [N/mm].
    Raises:
        InputError: a value not above 0, rows of unequal length, or a hole as wide as the head.
    Source:
        Mechanical Engineering Design, 9th ed., section 8-5, Eq. 8-18 and 8-20.
    Example:
        >>> round(member_stiffness(hole=12, head=18, thicknesses=[20, 25],
        ...                        moduli_mpa=[207e3, 100e3]) / 1e3)
        1379
    """
    arguments.above_zero(hole=hole, head=head)
    arguments.ascending(hole=hole, head=head)
    layers = arguments.row("thicknesses", thicknesses)
    moduli = arguments.row("moduli_mpa", moduli_mpa)
    arguments.above_zero(thicknesses=layers, moduli_mpa=moduli)
    arguments.same_length(thicknesses=layers, moduli_mpa=moduli)
    half = float(layers.sum()) / 2
    frusta = [
        frustum_stiffness(hole=hole, small_end=head + 2 * CONE * start, length=length, e_mpa=e_mpa)
        for stack, stack_e in ((layers, moduli), (layers[::-1], moduli[::-1]))
        for start, length, e_mpa in _down_to(half, stack.tolist(), stack_e.tolist())
    ]
    return series_stiffness(stiffnesses_n_per_mm=frusta)


def _down_to(
    depth: float, layers: Sequence[float], moduli: Sequence[float]
) -> list[tuple[float, float, float]]:
    """The layers above a depth as (distance of their top, thickness, modulus)."""
    parts, top = [], 0.0
    for thickness, e_mpa in zip(layers, moduli, strict=True):
        length = min(thickness, depth - top)
        if length > 1e-9 * depth:
            parts.append((top, length, e_mpa))
        top += thickness
    return parts


def screw_stiffness(
    *, shank_length: float, shank: float, threaded_length: float, stress_area_mm2: float,
    e_mpa: float,
) -> float:  # fmt: skip
    """Stiffness of a screw within its grip.

    Assumptions: head, nut and engaged thread taken as rigid.

    Args:
        shank_length: Unthreaded length within the grip, 0 if threaded all the way [mm].
        shank: Diameter of the shank [mm].
        threaded_length: Threaded length within the grip [mm].
        stress_area_mm2: Tensile stress area of the thread [mm²].
        e_mpa: Young's modulus [MPa].
    Returns:
        k = A_d·A_t·E/(A_d·l_t + A_t·l_d) [N/mm].
    Raises:
        InputError: a value not above 0, or a negative length.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 8-17.
    Example:
        >>> round(screw_stiffness(shank_length=30, shank=12, threaded_length=15,
        ...                       stress_area_mm2=84.3, e_mpa=207e3) / 1e3, 1)
        467.1
    """
    arguments.not_below_zero(shank_length=shank_length, threaded_length=threaded_length)
    arguments.above_zero(shank=shank, stress_area_mm2=stress_area_mm2, e_mpa=e_mpa)
    arguments.above_zero(grip=shank_length + threaded_length)
    area = math.pi / 4 * shank**2
    return e_mpa / (shank_length / area + threaded_length / stress_area_mm2)


def load_share(*, screw_n_per_mm: float, members_n_per_mm: float) -> float:
    """Share of an outside load that a preloaded screw feels.

    Assumptions: the load acts at the ends of the grip and the joint stays shut.

    Args:
        screw_n_per_mm: Stiffness of the screw [N/mm].
        members_n_per_mm: Stiffness of the clamped parts [N/mm].
    Returns:
        C = k_b/(k_b + k_m) [-].
    Raises:
        InputError: a stiffness not above 0.
    Source:
        Mechanical Engineering Design, 9th ed., section 8-7, Eq. (f).
    Example:
        >>> round(load_share(screw_n_per_mm=466.8e3, members_n_per_mm=1379e3), 3)
        0.253
    """
    arguments.above_zero(screw_n_per_mm=screw_n_per_mm, members_n_per_mm=members_n_per_mm)
    return screw_n_per_mm / (screw_n_per_mm + members_n_per_mm)


def flexural_rigidity(*, thickness: float, e_mpa: float, poisson: float) -> float:
    """Resistance of a flat plate to bending, per width.

    Assumptions: thin, elastic, of one material; holes and opening are not taken off.

    Args:
        thickness: Thickness of the plate [mm].
        e_mpa: Young's modulus [MPa].
        poisson: Poisson's ratio, 0 … 0.5 [-].
    Returns:
        D = E·t³/(12·(1 − ν²)) [N·mm].
    Raises:
        InputError: a value not above 0, or ν outside 0 … 0.5.
    Source:
        Roark's Formulas for Stress and Strain, 7th ed., section 11.1 (from memory).
    Example:
        >>> round(flexural_rigidity(thickness=10, e_mpa=200e3, poisson=0.3))
        18315018
    """
    arguments.above_zero(thickness=thickness, e_mpa=e_mpa)
    arguments.between((0, 0.5), poisson=poisson)
    return e_mpa * thickness**3 / (12 * (1 - poisson**2))
