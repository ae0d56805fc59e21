"""Posts: a disc, a spindle and n posts bridge a long gap; each post bends under torque and spin.

The foot of a post is screwed square to the disc. Its driven end either is held square by a rigid
flange ("clamped") or may tilt with a flexplate ("free").
"""

from __future__ import annotations

import math

import numpy as np

from kb.errors import InputError
from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Row, Rows

DRIVEN_ENDS = ("clamped", "free")
_ROUND = 10 / 9  # shear deflection of a full round section over that of its mean shear stress


def post_force(*, torque_nmm: float, posts: int, radius: float) -> float:
    """Sideways force that torque puts on one post.

    Assumptions: all posts share alike.

    Args:
        torque_nmm: Torque [N·mm].
        posts: Number of posts [-].
        radius: Radius of their circle [mm].
    Returns:
        F_t = T/(n·R) [N].
    Raises:
        InputError: no post, or a value not above 0.
    Source:
        Balance of moments, closed form.
    Example:
        >>> post_force(torque_nmm=600e3, posts=6, radius=100)
        1000.0
    """
    arguments.counted(1, posts=posts)
    arguments.above_zero(torque_nmm=torque_nmm, radius=radius)
    return torque_nmm / (posts * radius)


def base_moment(
    *,
    tangential_n: float,
    centrifugal_n: float,
    length: float,
    driven_end: str,
    hung_n: float = 0.0,
) -> float:
    """Bending moment at the foot of a post, torque and spin together.

    Assumptions: slender beam; the pull of torque at its end and of spin stand at right angles;
    the post's own centrifugal force is spread along it and a clamped end does not move outward
    under it; a mass hung on the end pulls there.

    Args:
        tangential_n: Sideways force of torque at the driven end, F_t [N].
        centrifugal_n: Centrifugal force of the post itself, F_c [N].
        length: Length of the post [mm].
        driven_end: How its driven end is held, "clamped" or "free" [word].
        hung_n: Centrifugal force of a mass hung on the driven end [N].
    Returns:
        √(M_t² + M_c²): F_t·h/2 and F_c·h/12 + F_h·h/2 clamped, F_t·h and F_c·h/2 + F_h·h free
        [N·mm].
    Raises:
        InputError: a negative force, a length not above 0, or another way of holding.
    Source:
        Mechanical Engineering Design, 9th ed., Table A-9, beams 1, 3, 14 and 15.
    Example:
        >>> round(base_moment(tangential_n=3000, centrifugal_n=8000, length=60, driven_end="free"))
        300000
    """
    arguments.not_below_zero(tangential_n=tangential_n, centrifugal_n=centrifugal_n, hung_n=hung_n)
    arguments.above_zero(length=length)
    arguments.one_of(DRIVEN_ENDS, driven_end=driven_end)
    if driven_end == "clamped":
        torque, spin = tangential_n / 2, centrifugal_n / 12 + hung_n / 2
    else:
        torque, spin = tangential_n, centrifugal_n / 2 + hung_n
    return length * math.hypot(torque, spin)


def base_shear(
    *, tangential_n: float, centrifugal_n: float, driven_end: str, hung_n: float = 0.0
) -> float:
    """Shear force at the foot of a post, torque and spin together.

    Assumptions: as `base_moment`.

    Args:
        tangential_n: Sideways force of torque at the driven end, F_t [N].
        centrifugal_n: Centrifugal force of the post itself, F_c [N].
        driven_end: How its driven end is held, "clamped" or "free" [word].
        hung_n: Centrifugal force of a mass hung on the driven end [N].
    Returns:
        √(F_t² + (F_c/2 + F_h)²) clamped, √(F_t² + (F_c + F_h)²) free [N].
    Raises:
        InputError: a negative force, or another way of holding.
    Source:
        Mechanical Engineering Design, 9th ed., Table A-9, beams 1, 3, 14 and 15.
    Example:
        >>> base_shear(tangential_n=3000, centrifugal_n=8000, driven_end="clamped")
        5000.0
    """
    arguments.not_below_zero(tangential_n=tangential_n, centrifugal_n=centrifugal_n, hung_n=hung_n)
    arguments.one_of(DRIVEN_ENDS, driven_end=driven_end)
    share = 0.5 if driven_end == "clamped" else 1.0
    return math.hypot(tangential_n, share * centrifugal_n + hung_n)


def _section(*, diameter: float, hole: float) -> None:
    arguments.above_zero(diameter=diameter)
    arguments.not_below_zero(hole=hole)
    arguments.ascending(hole=hole, diameter=diameter)


def bending_stress(*, moment_nmm: float, diameter: float, hole: float = 0.0) -> float:
    """Bending stress at the skin of a post.

    Assumptions: elastic; no stress raiser at the thread or hole.

    Args:
        moment_nmm: Bending moment [N·mm].
        diameter: Diameter of the post [mm].
        hole: Diameter of the hole in its end, 0 if solid [mm].
    Returns:
        M/(π·(d⁴ − d_h⁴)/(32·d)) [MPa].
    Raises:
        InputError: a negative moment, a size not above 0, or a hole as wide as the post.
    Source:
        Mechanical Engineering Design, 9th ed., section 3-10 and Table A-18.
    Example:
        >>> round(bending_stress(moment_nmm=250e3, diameter=30), 1)
        94.3
    """
    arguments.not_below_zero(moment_nmm=moment_nmm)
    _section(diameter=diameter, hole=hole)
    return moment_nmm * 32 * diameter / (math.pi * (diameter**4 - hole**4))


def base_opening_moment(*, preload_n: float, diameter: float, hole: float = 0.0) -> float:
    """Moment at which the foot of a screwed-on post starts to open at its edge.

    Assumptions: the preload acts on the axis; flat foot, elastic pressure straight across it.

    Args:
        preload_n: Least preload of the screw [N].
        diameter: Diameter of the foot [mm].
        hole: Diameter of the hole in its end, 0 if solid [mm].
    Returns:
        F·(d² + d_h²)/(8·d) [N·mm].
    Raises:
        InputError: a value not above 0, or a hole as wide as the post.
    Source:
        Core of a ring section, closed form: preload stress equals bending stress at the edge.
    Example:
        >>> base_opening_moment(preload_n=40000, diameter=30, hole=10)
        166666.66666666666
    """
    arguments.above_zero(preload_n=preload_n)
    _section(diameter=diameter, hole=hole)
    return preload_n * (diameter**2 + hole**2) / (8 * diameter)


def wind_up(
    *,
    tangential_n: float,
    length: float,
    radius: float,
    diameter: float,
    e_mpa: float,
    poisson: float,
    driven_end: str,
) -> float:
    """How far the driven end turns against the driving end under torque.

    Assumptions: solid posts; bending and shear of the post only, the disc rigid.

    Args:
        tangential_n: Sideways force of torque on one post, F_t [N].
        length: Length of the post [mm].
        radius: Radius of the posts' circle [mm].
        diameter: Diameter of the post [mm].
        e_mpa: Young's modulus [MPa].
        poisson: Poisson's ratio, 0 … 0.5 [-].
        driven_end: How the driven end is held, "clamped" or "free" [word].
    Returns:
        (F_t·h³/(12·E·I), free: /(3·E·I), + 10/9·F_t·h/(G·A)) / R [°].
    Raises:
        InputError: a negative force, a value not above 0, ν outside 0 … 0.5, another holding.
    Source:
        Mechanical Engineering Design, 9th ed., Table A-9, beam 1; Roark's Formulas for Stress and
        Strain, 7th ed., section 8.10, shear deflection of a solid round section.
    Example:
        >>> round(wind_up(tangential_n=1000, length=60, radius=100, diameter=25, e_mpa=207e3,
        ...               poisson=0.29, driven_end="free"), 4)
        0.0114
    """
    arguments.not_below_zero(tangential_n=tangential_n)
    arguments.above_zero(length=length, radius=radius, diameter=diameter, e_mpa=e_mpa)
    arguments.between((0, 0.5), poisson=poisson)
    arguments.one_of(DRIVEN_ENDS, driven_end=driven_end)
    bending = e_mpa * math.pi / 64 * diameter**4
    shear = e_mpa / (2 * (1 + poisson)) * math.pi / 4 * diameter**2
    fixity = 12 if driven_end == "clamped" else 3
    sway = tangential_n * (length**3 / (fixity * bending) + _ROUND * length / shear)
    return math.degrees(math.atan(sway / radius))


def tops_tilt(*, centres: Rows, heights: Row) -> tuple[float, float]:
    """Tilt of the plane through the tops of posts (or lugs) of unequal length.

    Assumptions: three tops carry the plane; with more, the plane that fits them best.

    Args:
        centres: Post centres from the axis, shape (n, 2), n ≥ 3 [mm].
        heights: Height of each top above any common plane [mm].
    Returns:
        Slope of the plane [mm per mm], and the direction in which it rises [°].
    Raises:
        InputError: fewer than three posts, all in one line, or rows of unequal length.
    Source:
        Least squares plane, closed form.
    Example:
        >>> slope, toward = tops_tilt(centres=[(100, 0), (-50, 86.6), (-50, -86.6)],
        ...                           heights=[0.03, 0, 0])
        >>> round(slope, 6), round(toward, 3)
        (0.0002, 0.0)
    """
    place = arguments.points("centres", centres, least=3)
    height = arguments.row("heights", heights, least=3)
    arguments.same_length(centres=place, heights=height)
    plan = place - place.mean(axis=0)
    if np.linalg.matrix_rank(plan) < 2:
        raise InputError("centres", "all in one line", "three posts must span a plane")
    rise, *_ = np.linalg.lstsq(plan, height - height.mean(), rcond=None)
    return float(np.hypot(*rise)), float(np.degrees(np.arctan2(rise[1], rise[0])))


def greatest_tilt(*, within: float, posts: int, radius: float) -> float:
    """Greatest tilt that a tolerance on the length of equally spaced posts allows.

    Assumptions: each length anywhere within ±; the plane that fits the tops best.

    Args:
        within: Tolerance on the length, half its width [mm].
        posts: Number of posts, 3 or more [-].
        radius: Radius of their circle [mm].
    Returns:
        Slope 4·δ/(n·R·sin(π/n)), for an odd number 2·δ/(n·R·sin(π/(2n))) [mm per mm].
    Raises:
        InputError: fewer than three posts, a negative tolerance, or a radius not above 0.
    Source:
        Least squares plane at the corners of the tolerances, closed form.
    Example:
        >>> round(greatest_tilt(within=0.01, posts=3, radius=100), 7)
        0.0001333
    """
    arguments.counted(3, posts=posts)
    arguments.not_below_zero(within=within)
    arguments.above_zero(radius=radius)
    corner = math.pi / posts if posts % 2 == 0 else math.pi / (2 * posts)
    share = 2 if posts % 2 == 0 else 1
    return 2 * share * within / (posts * radius * math.sin(corner))
