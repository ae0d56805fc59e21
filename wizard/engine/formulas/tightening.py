"""Tightening: torque and preload, by the nut factor and by friction."""

from __future__ import annotations

import math

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number
from wizard.engine.formulas.threads import pitch_diameter, stress_area


def torque_by_nut_factor(*, preload_n: Number, major: float, nut_factor: float) -> Number:
    """Tightening torque for a preload, by the nut factor.

    Assumptions: one factor stands for all friction; the preload it gives scatters by about ±30 %.

    Args:
        preload_n: Wanted preload [N].
        major: Nominal diameter of the screw [mm].
        nut_factor: K, from about 0.1 greased to 0.3 dirty [-].
    Returns:
        Tightening torque T = K·d·F [N·mm].
    Raises:
        InputError: a value not above 0, or a nut factor over 1.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 8-27.
    Example:
        >>> torque_by_nut_factor(preload_n=25000, major=10, nut_factor=0.2)
        50000.0
    """
    arguments.above_zero(preload_n=preload_n, major=major, nut_factor=nut_factor)
    arguments.between((0, 1), nut_factor=nut_factor)
    return nut_factor * major * preload_n


def preload_by_nut_factor(*, torque_nmm: Number, major: float, nut_factor: float) -> Number:
    """Preload a tightening torque gives, by the nut factor.

    Assumptions: one factor stands for all friction; the preload it gives scatters by about ±30 %.

    Args:
        torque_nmm: Tightening torque [N·mm].
        major: Nominal diameter of the screw [mm].
        nut_factor: K, from about 0.1 greased to 0.3 dirty [-].
    Returns:
        Preload F = T / (K·d) [N].
    Raises:
        InputError: a value not above 0, or a nut factor over 1.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 8-27.
    Example:
        >>> preload_by_nut_factor(torque_nmm=50000, major=10, nut_factor=0.2)
        25000.0
    """
    arguments.above_zero(torque_nmm=torque_nmm, major=major, nut_factor=nut_factor)
    arguments.between((0, 1), nut_factor=nut_factor)
    return torque_nmm / (nut_factor * major)


def torque_by_friction(
    *,
    preload_n: Number,
    major: float,
    pitch: float,
    thread_friction: float,
    head_friction: float,
    bearing_outside: float,
    hole: float,
) -> Number:
    """Tightening torque for a preload, from the friction in the thread and under the head.

    Assumptions: 60° thread, flat head, friction the same all the way; no prevailing torque.

    Args:
        preload_n: Wanted preload [N].
        major: Nominal diameter of the screw [mm].
        pitch: Pitch [mm].
        thread_friction: Friction coefficient in the thread, μ_G [-].
        head_friction: Friction coefficient under the head, μ_K [-].
        bearing_outside: Outside diameter of the face the head bears on, d_w [mm].
        hole: Diameter of the clear hole under the head, d_h [mm].
    Returns:
        Tightening torque F·(0.16·P + 0.58·d₂·μ_G + (d_w + d_h)/4·μ_K) [N·mm].
    Raises:
        InputError: a size not above 0, friction outside 0 … 1, or a hole as wide as the head.
        OutOfScope: no 60° thread is so coarse.
    Source:
        VDI 2230 Part 1:2003, tightening torque, short form.
    Example:
        >>> round(torque_by_friction(preload_n=31600, major=10, pitch=1.25, thread_friction=0.12,
        ...     head_friction=0.12, bearing_outside=14.6, hole=11) / 1000)
        51
    """
    arguments.above_zero(preload_n=preload_n, bearing_outside=bearing_outside, hole=hole)
    arm = _arm(
        major=major, pitch=pitch, thread_friction=thread_friction, head_friction=head_friction,
        bearing_outside=bearing_outside, hole=hole,
    )  # fmt: skip
    return arm * preload_n


def preload_by_friction(
    *,
    torque_nmm: Number,
    major: float,
    pitch: float,
    thread_friction: float,
    head_friction: float,
    bearing_outside: float,
    hole: float,
) -> Number:
    """Preload a tightening torque gives, from the friction in the thread and under the head.

    Assumptions: 60° thread, flat head, friction the same all the way; no prevailing torque.

    Args:
        torque_nmm: Tightening torque [N·mm].
        major: Nominal diameter of the screw [mm].
        pitch: Pitch [mm].
        thread_friction: Friction coefficient in the thread, μ_G [-].
        head_friction: Friction coefficient under the head, μ_K [-].
        bearing_outside: Outside diameter of the face the head bears on, d_w [mm].
        hole: Diameter of the clear hole under the head, d_h [mm].
    Returns:
        Preload T / (0.16·P + 0.58·d₂·μ_G + (d_w + d_h)/4·μ_K) [N].
    Raises:
        InputError: a size not above 0, friction outside 0 … 1, or a hole as wide as the head.
        OutOfScope: no 60° thread is so coarse.
    Source:
        VDI 2230 Part 1:2003, tightening torque, short form.
    Example:
        >>> round(preload_by_friction(torque_nmm=51000, major=10, pitch=1.25, thread_friction=0.12,
        ...     head_friction=0.12, bearing_outside=14.6, hole=11), -2)
        31700.0
    """
    arguments.above_zero(torque_nmm=torque_nmm, bearing_outside=bearing_outside, hole=hole)
    arm = _arm(
        major=major, pitch=pitch, thread_friction=thread_friction, head_friction=head_friction,
        bearing_outside=bearing_outside, hole=hole,
    )  # fmt: skip
    return torque_nmm / arm


def _arm(
    *,
    major: float,
    pitch: float,
    thread_friction: float,
    head_friction: float,
    bearing_outside: float,
    hole: float,
) -> float:
    """Torque per preload [mm]."""
    arguments.between((0, 1), thread_friction=thread_friction, head_friction=head_friction)
    arguments.ascending(hole=hole, bearing_outside=bearing_outside)
    flank = 0.58 * pitch_diameter(major=major, pitch=pitch) * thread_friction
    return 0.16 * pitch + flank + (bearing_outside + hole) / 4 * head_friction


def preload_at_yield(
    *,
    major: float,
    pitch: float,
    system: str,
    yield_mpa: float,
    thread_friction: float,
    utilisation: float = 0.9,
) -> float:
    """Preload at which tightening uses a given share of the screw's yield.

    Assumptions: tension and the torsion of tightening together by von Mises, the torsion
    spread evenly over the section as when all of it yields; not for waisted shanks. The friction
    angle is added to the lead angle exactly, as the guideline's tables do (its text adds tangents).

    Args:
        major: Nominal diameter of the screw [mm].
        pitch: Pitch [mm].
        system: Whose stress area, "metric" or "inch" [word].
        yield_mpa: Rp0.2 or yield strength of the screw, least [MPa].
        thread_friction: Friction coefficient in the thread, μ_G [-].
        utilisation: Share of yield, 0.9 in the guideline's tables [-].
    Returns:
        Preload ν·Rp0.2·Aₛ / √(1 + 3·(1.5·(d₂/dₛ)·tan(φ + ρ′))²), with tan φ = P/(π·d₂) and
        tan ρ′ = 1.155·μ_G [N].
    Raises:
        InputError: a size not above 0, friction or utilisation outside 0 … 1, another system.
        OutOfScope: no 60° thread is so coarse.
    Source:
        VDI 2230 Part 1:2003, assembly preload, equation behind its preload and torque tables.
    Example:
        >>> round(preload_at_yield(major=10, pitch=1.25, system="metric", yield_mpa=640,
        ...                        thread_friction=0.12) / 1000, 1)
        31.6
    """
    arguments.above_zero(yield_mpa=yield_mpa, utilisation=utilisation)
    arguments.between((0, 1), thread_friction=thread_friction, utilisation=utilisation)
    area = stress_area(major=major, pitch=pitch, system=system)
    stress_diameter = math.sqrt(4 * area / math.pi)
    middle = pitch_diameter(major=major, pitch=pitch)
    lead_angle = math.atan(pitch / (math.pi * middle))
    friction_angle = math.atan(thread_friction / math.cos(math.radians(30)))
    twist = 1.5 * middle / stress_diameter * math.tan(lead_angle + friction_angle)
    return utilisation * yield_mpa * area / math.sqrt(1 + 3 * twist**2)


def preload_at_proof(*, stress_area_mm2: float, proof_mpa: float, share: float = 0.75) -> float:
    """Preload as a share of the proof load.

    Assumptions: a joint that may be taken apart again; 0.90 is used for a permanent one.

    Args:
        stress_area_mm2: Tensile stress area [mm²].
        proof_mpa: Proof strength of the grade [MPa].
        share: Share of the proof load [-].
    Returns:
        Preload 0.75·Aₜ·S_p [N].
    Raises:
        InputError: a value not above 0, or a share over 1.
    Source:
        Mechanical Engineering Design, 9th ed., Eq. 8-31 and 8-32.
    Example:
        >>> round(preload_at_proof(stress_area_mm2=84.3, proof_mpa=600))
        37935
    """
    arguments.above_zero(stress_area_mm2=stress_area_mm2, proof_mpa=proof_mpa, share=share)
    arguments.between((0, 1), share=share)
    return share * stress_area_mm2 * proof_mpa
