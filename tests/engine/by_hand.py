"""Closed forms the checks are worked by, written down anew: bolts, rings, posts, holes on circles.

Sources: preload, VDI 2230 Part 1:2003, assembly preload, with the areas and pitch diameters of
ISO 724 and ASME B1.1 (from memory); its table gives 29.6 kN for M10, 8.8, friction 0.12 (from
memory). Rings: Mechanical Engineering Design, 9th ed., rotating rings. Screw shear: the same,
distortion energy. The rest is geometry and statics.
"""

from __future__ import annotations

import math

TIGHTENING = 1.6  # nominal over least preload, torque wrench: common practice, no source
JOINT_FRICTION = 0.10
M10 = (10.0, 1.5)
UNC_3_8 = (9.525, 25.4 / 16)
STRESS_DEPTH = {"metric": 0.938194, "inch": 0.974279}  # of the pitch off the major diameter
YIELD_88, YIELD_G5 = 640.0, 92 * 6.894757  # MPa: ISO 898-1:2013; SAE J429, 92 ksi


def stress_area(size: tuple[float, float], system: str = "metric") -> float:
    """Tensile stress area of a thread [mm²]; M10: 58.0."""
    major, pitch = size
    return math.pi / 4 * (major - STRESS_DEPTH[system] * pitch) ** 2


def preload(size: tuple[float, float], strength: float = YIELD_88, system: str = "metric") -> float:
    """Preload at 90 % of yield, friction 0.12 in the thread [N]."""
    major, pitch = size
    area = stress_area(size, system)
    middle = major - 0.649519 * pitch
    turned = math.atan(pitch / (math.pi * middle)) + math.atan(0.12 / math.cos(math.pi / 6))
    twist = 1.5 * middle / math.sqrt(4 * area / math.pi) * math.tan(turned)
    return 0.9 * strength * area / math.sqrt(1 + 3 * twist**2)


def least_preload(
    size: tuple[float, float], strength: float = YIELD_88, system: str = "metric"
) -> float:
    """What a torque wrench makes sure of [N]."""
    return preload(size, strength, system) / TIGHTENING


def friction_torque(*, screws: int, force: float, radius: float) -> float:
    """Torque that screws on a circle carry by friction [N·mm]."""
    return screws * JOINT_FRICTION * force * radius


def torque(newton_millimetres: float) -> str:
    """A torque as a sheet writes it."""
    return f"{newton_millimetres / 1000:.9f} N·m"


def chord(radius: float, degrees: float) -> float:
    """Distance of two points of one circle so many degrees apart [mm]."""
    return 2 * radius * math.sin(math.radians(degrees) / 2)


def angle_of(radius: float, length: float) -> float:
    """How many degrees apart two points of a circle are for that distance between them."""
    return 2 * math.degrees(math.asin(length / (2 * radius)))


def peak_hoop(
    *, bore: float, outside: float, density: float, poisson: float, speed: float
) -> float:
    """Hoop stress at the bore of a turning ring [MPa]: ρω²/4 · ((3 + ν)·r_o² + (1 − ν)·r_i²)."""
    omega, inner, outer = speed * math.pi / 30, bore / 2000, outside / 2000
    stress = density * omega**2 / 4 * ((3 + poisson) * outer**2 + (1 - poisson) * inner**2)
    return stress / 1e6


def mean_hoop(*, bore: float, outside: float, density: float, speed: float) -> float:
    """Mean hoop stress of a turning ring [MPa]: ρω²·(r_o² + r_o·r_i + r_i²)/3."""
    omega, inner, outer = speed * math.pi / 30, bore / 2000, outside / 2000
    return density * omega**2 * (outer**2 + outer * inner + inner**2) / 3 / 1e6


def disc(diameter: float, depth: float) -> float:
    """Volume of a disc [mm³]."""
    return math.pi / 4 * diameter**2 * depth
