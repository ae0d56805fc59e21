"""Which dimensions of a unit are needed before it can be paired, and which answer more questions."""

from __future__ import annotations

# Without these the two sides can be neither laid over each other nor closed along the axis.
NEEDED = {
    "engine": (
        "name", "face.holes", "drive.standoff", "drive.circle.count", "drive.circle.diameter",
        "drive.circle.thread",
    ),
    "gearbox": ("name", "face.holes"),
    "converter": (
        "converter.seat_depth", "converter.circle.count", "converter.circle.diameter",
        "converter.circle.hole",
    ),
    "shaft": ("shaft.reach", "shaft.tip.diameter", "shaft.tip.length", "release.retracted"),
    "driven": (
        "driven.position", "driven.circle.count", "driven.circle.diameter", "driven.circle.hole",
    ),
    "flexplate": (
        "name", "offset", "circle.count", "circle.diameter", "circle.hole",
        "converter_circle.count", "converter_circle.diameter", "converter_circle.hole",
    ),
    "flywheel": ("name", "height", "circle.count", "circle.diameter", "circle.hole"),
    "clutch": ("name", "fingers"),
}  # fmt: skip
# With these more of the questions are answered.
USEFUL = {
    "engine": (
        "rotation", "max_speed", "peak_torque", "balance", "face.material", "face.opening",
        "face.dowels", "face.register_tir", "drive.outside", "drive.register.form",
        "drive.register.diameter", "drive.register.depth", "drive.circle.depth", "drive.circle.start",
        "drive.pilot.diameter", "drive.pilot.depth", "drive.ring.teeth", "drive.ring.face",
        "drive.ring.standoff", "starter.mounts_on", "starter.home", "starter.engaged",
        "starter.pinion_width", "starter.hand",
    ),
    "gearbox": (
        "rotation", "torque_limit", "tail_length", "mass", "centre_of_mass", "face.material",
        "face.dowels", "face.opening", "lowest_gear",
    ),
    "converter": (
        "converter.hub.diameter", "converter.hub.reach", "converter.gap", "converter.outside",
        "converter.pump_lug.seated", "converter.pump_lug.gear", "converter.circle.start",
        "converter.mass",
    ),
    "shaft": (
        "shaft.spline.count", "shaft.spline.diameter", "shaft.spline.from_tip",
        "shaft.spline.length", "shaft.retainer.diameter", "shaft.retainer.bore",
        "release.kind", "release.stroke", "release.travel",
    ),
    "driven": (
        "driven.register.form", "driven.register.diameter", "driven.outside", "driven.allow",
        "driven.mass",
    ),
    "flexplate": (
        "belongs_to", "thickness", "outside", "register.form", "register.diameter", "balance",
        "bolt_heads", "ring.teeth", "ring.face", "ring.standoff",
    ),
    "flywheel": (
        "belongs_to", "register.form", "register.diameter", "ring.teeth", "ring.face",
        "ring.standoff", "mass", "outside", "max_speed", "balance", "material", "thickness",
    ),
    "clutch": (
        "belongs_to", "disc_hub.front", "disc_hub.rear", "disc_hub.count", "disc_hub.diameter",
        "release_gap", "outside", "torque_limit",
    ),
}  # fmt: skip


def need(path: str, kind: str, drive: str = "") -> str:
    """Whether a key is ``needed``, ``useful`` or one of the rest (``more``)."""
    if path in (*NEEDED[kind], *NEEDED.get(drive, ())):
        return "needed"
    return "useful" if path in (*USEFUL[kind], *USEFUL.get(drive, ())) else "more"
