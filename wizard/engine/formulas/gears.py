"""Ring gear and pinion: spur gears of standard proportions."""

from __future__ import annotations

import math

from wizard.engine.formulas import arguments
from wizard.engine.formulas.arguments import Number

WHOLE_DEPTH = 2.25  # of a full-depth tooth, in modules
INCH = 25.4


def module_of_pitch(*, diametral_pitch: float) -> float:
    """Module of a gear named by its diametral pitch.

    Args:
        diametral_pitch: Teeth per inch of pitch diameter [1/in].
    Returns:
        25.4/P [mm].
    Raises:
        InputError: a pitch not above 0.
    Source:
        Machinery's Handbook, 31st ed., gearing, module and diametral pitch.
    Example:
        >>> round(module_of_pitch(diametral_pitch=12), 4)
        2.1167
    """
    arguments.above_zero(diametral_pitch=diametral_pitch)
    return INCH / diametral_pitch


def gear_pitch_diameter(*, teeth: int, module: float) -> float:
    """Pitch diameter of a spur gear.

    Args:
        teeth: Number of teeth [-].
        module: Module [mm].
    Returns:
        z·m [mm].
    Raises:
        InputError: no tooth, or a module not above 0.
    Source:
        ISO 21771:2007, reference diameter.
    Example:
        >>> gear_pitch_diameter(teeth=146, module=2.5)
        365.0
    """
    arguments.counted(1, teeth=teeth)
    arguments.above_zero(module=module)
    return teeth * module


def root_diameter(*, outside: float, module: float) -> float:
    """Root diameter of an external spur gear from its measured outside diameter.

    Assumptions: full-depth teeth, whatever their profile shift.

    Args:
        outside: Outside diameter [mm].
        module: Module [mm].
    Returns:
        d_a − 2·2.25·m [mm].
    Raises:
        InputError: a value not above 0, or no room for such teeth.
    Source:
        ISO 53:1998, standard basic rack, profile A.
    Example:
        >>> root_diameter(outside=30, module=2.5)
        18.75
    """
    arguments.above_zero(outside=outside, module=module)
    depth = 2 * WHOLE_DEPTH * module
    arguments.ascending(tooth_depth=depth, outside=outside)
    return outside - depth


def centre_distance(*, ring_teeth: int, pinion_teeth: int, module: float) -> float:
    """Centre distance at which ring gear and pinion mesh without added backlash.

    Assumptions: external spur gears without profile shift.

    Args:
        ring_teeth: Teeth of the ring gear [-].
        pinion_teeth: Teeth of the pinion [-].
        module: Module [mm].
    Returns:
        (z₁ + z₂)·m/2 [mm].
    Raises:
        InputError: no tooth, or a module not above 0.
    Source:
        ISO 21771:2007, reference centre distance.
    Example:
        >>> centre_distance(ring_teeth=146, pinion_teeth=10, module=2.5)
        195.0
    """
    arguments.counted(1, ring_teeth=ring_teeth, pinion_teeth=pinion_teeth)
    arguments.above_zero(module=module)
    return (ring_teeth + pinion_teeth) * module / 2


def backlash_change(*, centre_change: Number, pressure_angle: float = 20.0) -> Number:
    """Change of backlash when two meshing gears are moved apart.

    Assumptions: change small beside the module.

    Args:
        centre_change: Change of centre distance, + apart [mm].
        pressure_angle: Pressure angle of the teeth [°].
    Returns:
        2·tan φ·ΔC along the pitch circle [mm].
    Raises:
        InputError: not a number, or an angle outside 10 … 35°.
    Source:
        Involute geometry to first order, closed form; Machinery's Handbook, 31st ed., backlash.
    Example:
        >>> round(backlash_change(centre_change=1.0), 3)
        0.728
    """
    arguments.finite(centre_change=centre_change)
    arguments.between((10, 35), pressure_angle=pressure_angle)
    return 2 * math.tan(math.radians(pressure_angle)) * centre_change


def root_clearance(*, centres: Number, ring_outside: float, pinion_root: float) -> Number:
    """Radial clearance between the ring gear's tips and the pinion's roots.

    Args:
        centres: Centre distance [mm].
        ring_outside: Outside diameter of the ring gear [mm].
        pinion_root: Root diameter of the pinion [mm].
    Returns:
        C − d_a/2 − d_f/2; below 0 the tips foul the roots [mm].
    Raises:
        InputError: a size not above 0.
    Source:
        ISO 21771:2007, bottom clearance.
    Example:
        >>> root_clearance(centres=195.0, ring_outside=370.0, pinion_root=18.75)
        0.625
    """
    arguments.above_zero(centres=centres, ring_outside=ring_outside, pinion_root=pinion_root)
    return centres - (ring_outside + pinion_root) / 2
