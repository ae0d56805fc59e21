"""Screw threads: their stress area, and how long they must be engaged not to strip."""

from __future__ import annotations

import math

from kb.errors import InputError, OutOfScope
from wizard.engine.formulas import arguments

# how much smaller than the major diameter the stress diameter is, in pitches
STRESS_DEPTH = {"metric": 0.9382, "inch": 0.9743}
SYSTEMS = tuple(STRESS_DEPTH)
_PITCH_DEPTH = 3 * math.sqrt(3) / 8  # 0.649519; ISO 68-1 and ASME B1.1 share the basic profile
_FLANK = 1 / math.sqrt(3)  # 0.57735, tangent of the 30° half angle


def _thread(*, major: float, pitch: float) -> None:
    arguments.above_zero(major=major, pitch=pitch)
    if pitch >= major / 2:
        raise OutOfScope(
            "pitch", pitch, f"the 60° threads, finer than half the diameter {major:g}", "ISO 68-1"
        )


def pitch_diameter(*, major: float, pitch: float) -> float:
    """Basic pitch diameter of a 60° thread.

    Assumptions: basic profile, no tolerance or allowance.

    Args:
        major: Nominal (major) diameter [mm].
        pitch: Pitch, under half the major diameter [mm].
    Returns:
        Basic pitch diameter d₂ = d − 0.649519·P [mm].
    Raises:
        InputError: a diameter or pitch not above 0.   OutOfScope: no 60° thread is so coarse.
    Source:
        ISO 68-1:1998, basic profile; ASME B1.1-2019 has the same one.
    Example:
        >>> round(pitch_diameter(major=12, pitch=1.75), 3)
        10.863
    """
    _thread(major=major, pitch=pitch)
    return major - _PITCH_DEPTH * pitch


def stress_area(*, major: float, pitch: float, system: str) -> float:
    """Tensile stress area of a screw.

    Assumptions: 60° thread of basic profile; the two standards take slightly different depths.

    Args:
        major: Nominal (major) diameter [mm].
        pitch: Pitch, under half the major diameter [mm].
        system: Whose area, "metric" or "inch" [word].
    Returns:
        Stress area π/4·(d − 0.9382·P)² metric, π/4·(d − 0.9743·P)² inch [mm²].
    Raises:
        InputError: a size not above 0, or another system.   OutOfScope: no 60° thread is so coarse.
    Source:
        ISO 898-1:2013, 9.1.6.1; ASME B1.1-2019, nonmandatory appendix B.
    Example:
        >>> round(stress_area(major=12, pitch=1.75, system="metric"), 1)
        84.3
    """
    _thread(major=major, pitch=pitch)
    arguments.one_of(SYSTEMS, system=system)
    return math.pi / 4 * (major - STRESS_DEPTH[system] * pitch) ** 2


def thread_share(*, major: float, pitch: float, bore: float) -> float:
    """How much of the full thread a tap leaves standing in a bore.

    Assumptions: 60° thread; a full thread is as deep on both sides as the handbook takes it.

    Args:
        major: Nominal (major) diameter [mm].
        pitch: Pitch, under half the major diameter [mm].
        bore: Bore tapped [mm].
    Returns:
        (d − bore)/(1.299·P); 0.75 is usual, nought or less leaves none [-].
    Raises:
        InputError: a size not above 0.   OutOfScope: no 60° thread is so coarse.
    Source:
        Machinery's Handbook, 31st ed. (2020), p.2155, per cent of full thread.
    Example:
        >>> round(thread_share(major=12, pitch=1.75, bore=10.3), 2)
        0.75
    """
    _thread(major=major, pitch=pitch)
    arguments.above_zero(bore=bore)
    return (major - bore) / (2 * _PITCH_DEPTH * pitch)


def bore_for_share(*, major: float, pitch: float, share: float) -> float:
    """Bore that leaves a wanted share of the full thread.

    Assumptions: as `thread_share`.

    Args:
        major: Nominal (major) diameter [mm].
        pitch: Pitch, under half the major diameter [mm].
        share: Share of the full thread, 0.4 … 0.9 [-].
    Returns:
        d − 1.299·P·share [mm].
    Raises:
        InputError: a size not above 0, or a share nobody taps.   OutOfScope: no 60° thread is so
        coarse.
    Source:
        Machinery's Handbook, 31st ed. (2020), p.2155, per cent of full thread.
    Example:
        >>> round(bore_for_share(major=12, pitch=1.75, share=0.75), 2)
        10.3
    """
    _thread(major=major, pitch=pitch)
    arguments.between((0.4, 0.9), share=share)
    return major - 2 * _PITCH_DEPTH * pitch * share


# ── stripping ───────────────────────────────────────────────────────────────


def external_shear_area(
    *, engagement: float, pitch: float, internal_minor: float, external_pitch: float
) -> float:
    """Area that shears when the screw's own thread strips.

    Assumptions: 60° thread, every engaged turn carries alike, the nut does not spread.

    Args:
        engagement: Length of engaged full thread [mm].
        pitch: Pitch [mm].
        internal_minor: Greatest minor diameter of the internal thread, Kₙ max [mm].
        external_pitch: Least pitch diameter of the external thread, Eₛ min [mm].
    Returns:
        Shear area Aₛ = π·(L/P)·Kₙ·(P/2 + 0.57735·(Eₛ − Kₙ)) [mm²].
    Raises:
        InputError: a size not above 0, or threads that do not overlap.
    Source:
        Machinery's Handbook, 24th ed., formulas for stress areas and lengths of engagement.
    Example:
        >>> round(external_shear_area(
        ...     engagement=10, pitch=1.75, internal_minor=10.441, external_pitch=10.679), 1)
        189.8
    """
    arguments.above_zero(engagement=engagement, pitch=pitch, internal_minor=internal_minor)
    arguments.above_zero(external_pitch=external_pitch)
    depth = pitch / 2 + _FLANK * (external_pitch - internal_minor)
    if depth <= 0:
        raise InputError("internal_minor", internal_minor, "the threads do not overlap at all")
    return math.pi * engagement / pitch * internal_minor * depth


def internal_shear_area(
    *, engagement: float, pitch: float, external_major: float, internal_pitch: float
) -> float:
    """Area that shears when the tapped thread strips.

    Assumptions: 60° thread, every engaged turn carries alike, thick walls round the hole.

    Args:
        engagement: Length of engaged full thread [mm].
        pitch: Pitch [mm].
        external_major: Least major diameter of the external thread, Dₛ min [mm].
        internal_pitch: Greatest pitch diameter of the internal thread, Eₙ max [mm].
    Returns:
        Shear area Aₙ = π·(L/P)·Dₛ·(P/2 + 0.57735·(Dₛ − Eₙ)) [mm²].
    Raises:
        InputError: a size not above 0, or threads that do not overlap.
    Source:
        Machinery's Handbook, 24th ed., formulas for stress areas and lengths of engagement.
    Example:
        >>> round(internal_shear_area(
        ...     engagement=10, pitch=1.75, external_major=11.701, internal_pitch=11.063), 1)
        261.2
    """
    arguments.above_zero(engagement=engagement, pitch=pitch, external_major=external_major)
    arguments.above_zero(internal_pitch=internal_pitch)
    depth = pitch / 2 + _FLANK * (external_major - internal_pitch)
    if depth <= 0:
        raise InputError("external_major", external_major, "the threads do not overlap at all")
    return math.pi * engagement / pitch * external_major * depth


def stripping_length(
    *, stress_area_mm2: float, pitch: float, internal_minor: float, external_pitch: float
) -> float:
    """Engaged thread at which the screw breaks before its own thread strips.

    Assumptions: shear strength half the tensile strength; screw and nut of like material.

    Args:
        stress_area_mm2: Tensile stress area of the screw [mm²].
        pitch: Pitch [mm].
        internal_minor: Greatest minor diameter of the internal thread, Kₙ max [mm].
        external_pitch: Least pitch diameter of the external thread, Eₛ min [mm].
    Returns:
        Length of engagement Lₑ = 2·Aₜ / (π·Kₙ·(1/2 + 0.57735·(Eₛ − Kₙ)/P)) [mm].
    Raises:
        InputError: a size not above 0, or threads that do not overlap.
    Source:
        Machinery's Handbook, 24th ed., formulas for stress areas and lengths of engagement.
    Example:
        >>> round(stripping_length(
        ...     stress_area_mm2=84.3, pitch=1.75, internal_minor=10.441, external_pitch=10.679), 2)
        8.88
    """
    arguments.above_zero(stress_area_mm2=stress_area_mm2)
    per_mm = external_shear_area(
        engagement=1.0, pitch=pitch, internal_minor=internal_minor, external_pitch=external_pitch
    )
    return 2 * stress_area_mm2 / per_mm


def strength_ratio(
    *,
    external_area_mm2: float,
    internal_area_mm2: float,
    external_tensile_mpa: float,
    internal_tensile_mpa: float,
) -> float:
    """How much stronger the screw's thread is than the tapped one, for the same engagement.

    Assumptions: both shear strengths the same share of their tensile strengths.

    Args:
        external_area_mm2: Shear area of the screw's thread, Aₛ [mm²].
        internal_area_mm2: Shear area of the tapped thread, Aₙ [mm²].
        external_tensile_mpa: Tensile strength of the screw [MPa].
        internal_tensile_mpa: Tensile strength of the tapped part [MPa].
    Returns:
        J = Aₛ·Rₘ(screw) / (Aₙ·Rₘ(tapped)); above 1 the tapped thread strips first [-].
    Raises:
        InputError: a value not above 0.
    Source:
        Machinery's Handbook, 24th ed., formulas for stress areas and lengths of engagement.
    Example:
        >>> round(strength_ratio(external_area_mm2=189.8, internal_area_mm2=261.2,
        ...                      external_tensile_mpa=800, internal_tensile_mpa=310), 3)
        1.875
    """
    arguments.above_zero(external_area_mm2=external_area_mm2, internal_area_mm2=internal_area_mm2)
    arguments.above_zero(external_tensile_mpa=external_tensile_mpa)
    arguments.above_zero(internal_tensile_mpa=internal_tensile_mpa)
    return external_area_mm2 * external_tensile_mpa / (internal_area_mm2 * internal_tensile_mpa)


def required_engagement(
    *,
    stress_area_mm2: float,
    pitch: float,
    internal_minor: float,
    external_pitch: float,
    external_major: float,
    internal_pitch: float,
    external_tensile_mpa: float,
    internal_tensile_mpa: float,
) -> float:
    """Engaged thread at which the screw breaks before either thread strips.

    Assumptions: as `stripping_length`; a tapped part weaker than the screw needs J times as much.

    Args:
        stress_area_mm2: Tensile stress area of the screw [mm²].
        pitch: Pitch [mm].
        internal_minor: Greatest minor diameter of the internal thread, Kₙ max [mm].
        external_pitch: Least pitch diameter of the external thread, Eₛ min [mm].
        external_major: Least major diameter of the external thread, Dₛ min [mm].
        internal_pitch: Greatest pitch diameter of the internal thread, Eₙ max [mm].
        external_tensile_mpa: Tensile strength of the screw [MPa].
        internal_tensile_mpa: Tensile strength of the tapped part [MPa].
    Returns:
        Length of engagement, Lₑ or Q = J·Lₑ, whichever is more [mm].
    Raises:
        InputError: a value not above 0, or threads that do not overlap.
    Source:
        Machinery's Handbook, 24th ed., formulas for stress areas and lengths of engagement.
    Example:
        >>> round(required_engagement(
        ...     stress_area_mm2=84.3, pitch=1.75, internal_minor=10.441, external_pitch=10.679,
        ...     external_major=11.701, internal_pitch=11.063,
        ...     external_tensile_mpa=800, internal_tensile_mpa=310), 1)
        16.7
    """
    length = stripping_length(
        stress_area_mm2=stress_area_mm2, pitch=pitch,
        internal_minor=internal_minor, external_pitch=external_pitch,
    )  # fmt: skip
    ratio = strength_ratio(
        external_area_mm2=external_shear_area(
            engagement=length, pitch=pitch,
            internal_minor=internal_minor, external_pitch=external_pitch,
        ),
        internal_area_mm2=internal_shear_area(
            engagement=length, pitch=pitch,
            external_major=external_major, internal_pitch=internal_pitch,
        ),
        external_tensile_mpa=external_tensile_mpa,
        internal_tensile_mpa=internal_tensile_mpa,
    )  # fmt: skip
    return length * max(1.0, ratio)
