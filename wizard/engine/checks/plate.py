"""Checks of the plate and the fixed joint."""

from __future__ import annotations

import itertools
import math

import numpy as np

from kb.errors import NotTabulated
from kb.model.lineup import Feature
from kb.model.parts import Part
from kb.quantity import torque
from kb.standards.heads import hex_bolt
from wizard.engine.axial.needs import head_floor, plate_floors, recess_depth, stuff, sunk_in_plate
from wizard.engine.checks.case import Answer, Case, NotRun, answer, graded, unknown
from wizard.engine.faces import material_of
from wizard.engine.formulas.joints import (
    friction_torque,
    overhang_capacity,
    overhang_moment,
    reaction_torque,
    screws_friction_radius,
)
from wizard.engine.parts.outline import distance_to_edge
from wizard.engine.parts.plate import turning_inside

PLATE = "adapter plate"
GRAVITY = 9.80665


def _family(case: Case) -> str:
    name = case.sides.chosen.plate_material
    return stuff(material_of(name, key="choices.plate_material").family)


def _both_faces(case: Case) -> NotRun | None:
    missing = [
        key
        for key, face in (
            ("engine.face", case.sides.engine_face),
            ("gearbox.face", case.sides.gearbox_face),
        )
        if face is None
    ]
    return NotRun(tuple(missing)) if missing else None


def _lacking(case: Case, id: str) -> Answer:
    """A face that is there but cannot be drawn is unknown; one that is not there is not run."""
    sides = case.sides
    for unit, name in (
        (sides.request.engine, "engine.face"),
        (sides.request.gearbox, "gearbox.face"),
    ):
        if unit is not None and unit.face is not None and sides.lacks.get(name):
            return unknown(id, sides.lacks[name])
    return _both_faces(case) or NotRun(("engine.face", "gearbox.face"))


def hole_clash(case: Case) -> Answer:
    """No two bolt holes of the two faces overlap."""
    found = case.fixed
    if found is None:
        return _lacking(case, "hole-clash")
    if found.wall is None:
        return answer("hole-clash", "pass", "Every pair of holes near each other shares its screw.")
    if found.wall >= 0:
        says = f"No holes overlap with the gearbox turned {found.clocking:+.2f}°: the least wall is {case.shown(found.wall)}."
        return answer("hole-clash", "pass", says, margin=found.wall)
    pairs = ", ".join(f"engine {c.engine} with gearbox {c.gearbox}" for c in found.clashes[:4])
    more = f" and {len(found.clashes) - 4} more" if len(found.clashes) > 4 else ""
    says = f"Holes overlap: {pairs}{more}; the worst by {case.shown(-found.wall)}."
    return answer("hole-clash", "fail", says, margin=found.wall)


def least_wall(case: Case) -> Answer:
    """The wall left between holes, and beside dowels, is the wanted one."""
    found = case.fixed
    if found is None:
        return _lacking(case, "least-wall")
    wall, pin = found.wall, found.dowel_wall
    if wall is None and pin is None:
        return answer("least-wall", "pass", "No two holes stand near each other.")
    bolts = math.inf if wall is None else wall
    # the line-up tried every turn for the wanted walls: an open window means all are kept here
    kept = any(a - 1e-9 <= found.clocking <= b + 1e-9 for a, b in found.windows)
    pins = math.inf if pin is None else pin
    margin = min(bolts - found.required, pins)
    if kept:
        status = "pass"
        margin = max(margin, 0.0)
    else:
        status = "fail" if min(bolts, pins) < 0 else "warn"
    says = f"The least wall between holes is {case.shown(min(bolts, pins))}, wanted {case.shown(found.required)} between screws."
    return answer(
        "least-wall", status, says, margin=margin, source=case.source(f"least-wall.{_family(case)}")
    )


def edge_distance(case: Case) -> Answer:
    """Every hole stands far enough from the plate's edge."""
    part = case.part(PLATE)
    if part is None:
        return NotRun(("engine.face", "gearbox.face"))
    holes = [hole for hole in part.holes]
    if not holes:
        return NotRun(("engine.face.holes",))
    inner = part.size.get("bore", 0.0) / 2
    away = distance_to_edge(part.outline, np.array([(hole.x, hole.y) for hole in holes]))
    shares = [
        (
            min(float(edge), math.hypot(hole.x, hole.y) - inner if inner else math.inf)
            / hole.diameter,
            hole,
        )
        for edge, hole in zip(away, holes, strict=True)
    ]
    share, worst = min(shares, key=lambda one: one[0])
    soft, hard = case.limit("edge-distance.warn"), case.limit("edge-distance.fail")
    says = f"Hole {worst.id} stands {share:.2f} of its diameter from the nearest edge, wanted {soft:g}."
    return answer(
        "edge-distance", graded(share, fail=hard, warn=soft - 1e-6), says,
        margin=(share - hard) * worst.diameter, source=case.source("edge-distance.warn"),
    )  # fmt: skip


def thread_engagement(case: Case) -> Answer:
    """Screws that thread into the plate, and those into the castings, engage enough."""
    part, chain = case.part(PLATE), case.chain
    if part is None or chain is None or chain.plate is None:
        return NotRun(("engine.face", "gearbox.face"))
    rows = [(case.chain.plate - recess_depth(case.sides) - floor + recess_depth(case.sides), check)
            for check, floor, _ in plate_floors(case.sides, warn=False)
            if check == "thread-engagement"] if case.chain and case.chain.plate is not None else []  # fmt: skip
    margins = [(room, "the plate") for room, _ in rows]
    for one in case.adapter.joints:
        if one.head == "socket" and one.name.startswith("plate to") and one.length is None:
            return unknown(
                "thread-engagement", (f"{one.name.removeprefix('plate to ')}.face.holes.depth",),
                f"No standard screw fits {one.name}: measure the depth of its threads.",
            )  # fmt: skip
    if not margins and not case.adapter.joints:
        return NotRun(("engine.face.holes",))
    room, where = min(margins, default=(0.0, "the castings"))
    limit = f"thread-engagement.{_family(case)}"
    status = graded(room, fail=0.0)
    says = (
        f"Threads in {where} are {case.shown(abs(room))} {'longer' if room >= 0 else 'shorter'} than wanted."
        if margins
        else "Every screw reaches its wanted engagement in the castings."
    )
    return answer(
        "thread-engagement",
        status,
        says,
        margin=room,
        because=("choices.plate",),
        source=case.source(limit),
    )


def head_sunk(case: Case) -> Answer:
    """Sunk heads leave enough plate below them."""
    chain = case.chain
    ones = sunk_in_plate(case.sides)
    if chain is None or chain.plate is None or not ones:
        return NotRun(("engine.face.holes",))
    family = _family(case)
    hard = [head_floor(case.sides, one, family, warn=False) for one in ones]
    soft = [head_floor(case.sides, one, family, warn=True) for one in ones]
    if any(floor is None for floor in hard):
        odd = next(one for one, floor in zip(ones, hard, strict=True) if floor is None)
        return unknown(
            "head-sunk", (f"{odd.side}.face.holes[{odd.id}].bolt",),
            f"The head of a {odd.screw} socket screw is not tabled: measure one.",
        )  # fmt: skip
    needed = max(floor for floor in hard if floor is not None)
    wished = max(floor for floor in soft if floor is not None)
    status = graded(chain.plate, fail=needed, warn=wished)
    says = f"Sunk heads need a plate of {case.shown(needed)}, better {case.shown(wished)}; it is {case.shown(chain.plate)}."
    return answer(
        "head-sunk", status, says, margin=chain.plate - needed, because=("choices.plate",),
        source=case.source(f"head-sunk.{family}_warn"),
    )  # fmt: skip


def screw_length(case: Case) -> Answer:
    """A standard length engages enough and stays clear of the bottom."""
    ones = [one for one in case.adapter.joints if one.head == "socket"]
    if not ones:
        return NotRun(("engine.face.holes.thread",))
    short = [one for one in ones if one.length is None]
    lacks = _unmeasured_depths(case)
    if lacks:
        return unknown("screw-length", lacks)
    if short:
        names = ", ".join(f"{one.name} ({one.thread})" for one in short)
        return answer(
            "screw-length", "fail", f"No standard screw length fits: {names}.", margin=None
        )
    names = ", ".join(
        f"{one.thread} × {case.shown(one.length or 0.0)} ({one.name})" for one in ones
    )
    return answer(
        "screw-length",
        "pass",
        f"Lengths to buy: {names}.",
        source=case.source("screw-length.bottom_pitches"),
    )


def _unmeasured_depths(case: Case) -> tuple[str, ...]:
    found = []
    for side, face in (("engine", case.sides.engine_face), ("gearbox", case.sides.gearbox_face)):
        holes = face.holes if face else ()
        found += [
            f"{side}.face.holes[{one.id}].depth"
            for one in holes
            if one.kind == "tapped" and one.depth is None
        ]
    return tuple(found)


def dowels(case: Case) -> Answer:
    """Two dowels, far apart, locate each side unless a register does."""
    if case.sides.engine_face is None and case.sides.gearbox_face is None:
        return NotRun(("engine.face", "gearbox.face"))
    apart_least = case.limit("dowels.apart")
    answers: list[tuple[str, str, float | None]] = []
    for side, face in (("engine", case.sides.engine_face), ("gearbox", case.sides.gearbox_face)):
        if face is None:
            continue
        pins = face.dowels
        joint = "plate in the engine's housing" if side == "engine" else "gearbox in the plate"
        if len(pins) < 2:
            located = any(fit.joint == joint for fit in case.adapter.fits)
            if located:
                answers.append(("pass", f"the {side} side is located by its register", None))
            else:
                answers.append(
                    (
                        "warn",
                        f"the {side} side has {len(pins)} dowel{'s' * (len(pins) != 1)} and no register: nothing locates it",
                        None,
                    )
                )
            continue
        apart = max(math.dist((a.x, a.y), (b.x, b.y)) for a, b in itertools.combinations(pins, 2))
        answers.append(
            (
                graded(apart, fail=0.0, warn=apart_least),
                f"the {side}'s dowels stand {case.shown(apart)} apart",
                apart - apart_least,
            )
        )
    worst = max((status for status, *_ in answers), key=("pass", "warn", "fail").index)
    thick = [floor for check, floor, _ in plate_floors(case.sides, warn=False) if check == "dowels"]
    plate = case.chain.plate if case.chain else None
    says = "; ".join(text for _, text, _ in answers)
    if thick and plate is not None and plate < thick[0]:
        worst, says = (
            "fail",
            f"{says}; the plate is too thin to hold a dowel ({case.shown(thick[0])} wanted)",
        )
    margins = [margin for *_, margin in answers if margin is not None]
    return answer(
        "dowels",
        worst,
        says[0].upper() + says[1:] + ".",
        margin=min(margins, default=None),
        source=case.source("dowels.apart"),
    )


def opening_clears(case: Case) -> Answer:
    """Everything that turns within the plate clears its opening and the housing's bore."""
    part, chain = case.part(PLATE), case.chain
    if part is None or chain is None:
        return NotRun(("engine.face", "gearbox.face"))
    if not case.sides.kind and case.sides.driving is None:
        return NotRun(("engine.drive", "gearbox.converter"))
    if chain.spacer is None and case.sides.kind:
        return unknown("opening-clears", _where_lacks(case))
    inside = turning_inside(case.sides, chain)
    lacks = [key for key, size in inside.items() if math.isnan(size)]
    if lacks:
        return unknown("opening-clears", lacks)
    wanted = case.limit("opening-clears.radial")
    if not inside:
        return answer("opening-clears", "pass", "Nothing turns within the plate's thickness.")
    key, widest = max(inside.items(), key=lambda one: one[1])
    room, where = _smallest_room(case, part, widest)
    says = f"The widest part turning within the plate ({case.shown(widest)}) clears {where} by {case.shown(room)} all round."
    return answer(
        "opening-clears",
        graded(room, fail=wanted),
        says,
        margin=room - wanted,
        because=(key,),
        source=case.source("opening-clears.radial"),
    )


def _where_lacks(case: Case) -> tuple[str, ...]:
    assert case.chain is not None
    return tuple(key for lacks in case.chain.lacks.values() for key in lacks) or ("choices.spacer",)


def _smallest_room(case: Case, part: Part, widest: float) -> tuple[float, str]:
    """Radial room against the nearest hole the opening may not reach."""
    edges = [
        (
            math.hypot(hole.x, hole.y)
            - max(hole.diameter, hole.counterbore.diameter if hole.counterbore else 0) / 2,
            f"hole {hole.id}",
        )
        for hole in part.holes
    ]
    edges.append((part.size.get("bore", 0.0) / 2, "the plate's opening"))
    if (housing := case.value("engine.face.opening")) is not None and widest < housing:
        edges.append((housing / 2, "the housing's bore"))
    near, where = min(edges)
    return near - widest / 2, where


def wrench_access(case: Case) -> Answer:
    """A socket swings over the gearbox's bolt heads."""
    face = case.sides.gearbox_face
    measured = (
        [one for one in face.holes if one.socket_room is not None and one.screw] if face else []
    )
    if not measured:
        return NotRun(("gearbox.face.holes.socket_room",))
    rooms = []
    for one in measured:
        assert one.screw is not None
        try:
            socket = hex_bolt(one.screw).socket_outside
        except NotTabulated:
            return unknown("wrench-access", (f"gearbox.face.holes[{one.id}].bolt",))
        assert one.socket_room is not None
        rooms.append((one.socket_room - socket - case.limit("wrench-access.beyond_socket"), one.id))
    room, id = min(rooms)
    says = f"Round bolt {id} a socket has {case.shown(room)} to spare."
    return answer(
        "wrench-access",
        graded(room, fail=0.0),
        says,
        margin=room,
        source=case.source("wrench-access.beyond_socket"),
    )


def bolt_gap(case: Case) -> Answer:
    """No wide gap is opened where holes are left out; the casting's own gaps do not count."""
    left = case.sides.chosen.leave_out
    if not left:
        return NotRun(("choices.leave_out",))
    worst = max((_opened(case, side) for side in {side for side, _ in left}), default=0.0)
    soft, hard = case.limit("bolt-gap.warn"), case.limit("bolt-gap.fail")
    status = "fail" if worst > hard else ("warn" if worst > soft else "pass")
    says = (
        f"Leaving holes out opens a gap of {worst:.0f}° between bolts, usual at most {soft:.0f}°."
    )
    return answer(
        "bolt-gap",
        status,
        says,
        margin=hard - worst,
        unit="°",
        because=("choices.leave_out",),
        source=case.source("bolt-gap.warn"),
    )


def _opened(case: Case, side: str) -> float:
    """Widest angle between remaining neighbours that a left-out hole stood in [°]."""
    face = case.sides.engine_face if side == "engine" else case.sides.gearbox_face
    kept = sorted(_angle(one) for one in face.holes) if face else []
    unit = case.sides.request.engine if side == "engine" else case.sides.request.gearbox
    if len(kept) < 2 or unit is None or unit.face is None:
        return 360.0
    gone = [
        _left_out_angle(case, side, id)
        for where, id in case.sides.chosen.leave_out
        if where == side
    ]
    widest = 0.0
    for a, b in itertools.pairwise([*kept, kept[0] + 360]):
        if any(a < angle < b or a < angle + 360 < b for angle in gone):
            widest = max(widest, b - a)
    return widest


def _angle(one: Feature) -> float:
    return math.degrees(math.atan2(one.y, one.x)) % 360


def _left_out_angle(case: Case, side: str, id: str) -> float:
    """Angle in frame P of a hole that was left out, the gearbox upright."""
    unit = case.sides.request.engine if side == "engine" else case.sides.request.gearbox
    assert unit is not None
    assert unit.face is not None
    face = unit.face
    if face.circle is not None:
        angle = math.radians(face.circle.start + 360 * (int(id) - 1) / face.circle.count)
        x, y = math.cos(angle), math.sin(angle)
    else:
        hole = next(one for one in face.holes if one.id == id)
        x = hole.x.first.value - (face.origin.x.value if face.origin else 0.0)
        y = hole.y.first.value - (face.origin.y.value if face.origin else 0.0)
    return math.degrees(math.atan2(y, -x if side == "gearbox" else x)) % 360


def joint_slip_fixed(case: Case) -> Answer:
    """The housing joint holds the gearbox's reaction by friction."""
    box, engine = case.sides.request.gearbox, case.sides.request.engine
    if box is None or engine is None or case.part(PLATE) is None:
        return NotRun(("engine.face", "gearbox.face"))
    joints = [
        one
        for one in case.adapter.joints
        if one.name.startswith(("gearbox", "plate")) and one.preload_n
    ]
    if engine.peak_torque is None:
        return unknown("joint-slip-fixed", ("engine.peak_torque",))
    if not joints:
        return unknown("joint-slip-fixed", ("choices.screw_grade",))
    held = min(_held(case, side) for side in ("engine", "gearbox"))
    ratios = [ratio for ratio in (box.lowest_gear, box.reverse_gear) if ratio]
    stall = (box.converter.stall_ratio or 1.0) if box.converter else 1.0
    worst = max(
        (
            reaction_torque(torque_nmm=engine.peak_torque.value, ratio=r, stall_ratio=stall)
            for r in ratios
        ),
        default=0.0,
    )
    if not ratios:
        says = f"Not known without the gear ratios; the joint holds at least {torque(held)} by friction."
        return unknown("joint-slip-fixed", ("gearbox.lowest_gear", "gearbox.reverse_gear"), says)
    share = held / worst if worst else math.inf
    soft, hard = case.limit("joint-slip.warn"), case.limit("joint-slip.fail")
    pinned = all(
        len(face.dowels) >= 2 for face in (case.sides.engine_face, case.sides.gearbox_face) if face
    )
    status = graded(share, fail=hard, warn=soft)
    says = f"Friction holds {share:.1f} times the reaction of {torque(worst)}."
    if status == "fail" and pinned:
        status, says = "warn", says + " Below that the dowels carry it in shear."
    return answer(
        "joint-slip-fixed",
        status,
        says,
        margin=share - hard,
        unit="times",
        because=("engine.peak_torque", "gearbox.lowest_gear"),
        source=case.source("joint-slip.warn"),
    )


def _held(case: Case, side: str) -> float:
    """Friction torque of the joint on one side of the plate [N·mm]."""
    face = case.sides.engine_face if side == "engine" else case.sides.gearbox_face
    words = (
        ("plate to engine", "plate from the engine's side")
        if side == "engine"
        else ("gearbox to plate", "plate to gearbox")
    )
    total = 0.0
    for one in case.adapter.joints:
        if one.name in words and one.preload_n and face:
            same = [h for h in face.holes if h.screw]
            radius = screws_friction_radius(centres=[(h.x, h.y) for h in same])
            total += float(friction_torque(screws=one.count, friction=case.sides.chosen.joint_friction,
                                           preload_n=one.preload_n / case.limit("joint-slip.tightening"), radius=radius))  # fmt: skip
    return total


def overhang(case: Case) -> Answer:
    """The joint carries the gearbox hanging behind it, bumps included."""
    box = case.sides.request.gearbox
    face = case.sides.gearbox_face
    if box is None or face is None:
        return NotRun(("gearbox.face",))
    lacks = [
        key
        for key, value in (
            ("gearbox.mass", box.mass),
            ("gearbox.centre_of_mass", box.centre_of_mass),
        )
        if value is None
    ]
    joints = [
        one for one in case.adapter.joints if one.name in ("gearbox to plate", "plate to gearbox")
    ]
    if lacks:
        return unknown("overhang", lacks)
    preloads = [one.preload_n for one in joints if one.preload_n]
    if not preloads or len(face.holes) < 2:
        return unknown("overhang", ("choices.screw_grade",))
    least = min(preloads) / case.limit("joint-slip.tightening")
    heights = [one.y for one in face.holes]
    heights = [height - min(heights) for height in heights]
    assert box.mass is not None
    moment = overhang_moment(
        mass_kg=box.mass.value,
        distance=max(case.value("gearbox.centre_of_mass") or 0.0, 1e-6),
        shock=case.limit("overhang.shock"),
    )
    share = overhang_capacity(preloads_n=[least] * len(heights), heights=heights) / moment
    says = f"The bolts hold {share:.1f} times the moment of the hanging gearbox with bumps of {case.limit('overhang.shock'):g} g."
    status = "pass" if share >= case.limit("overhang.least") else "warn"
    return answer(
        "overhang",
        status,
        says,
        margin=share - case.limit("overhang.least"),
        unit="times",
        because=("gearbox.mass", "gearbox.centre_of_mass"),
        source=case.source("overhang.shock"),
    )


def input_cast_in(case: Case) -> Answer:
    """The engine's bell part is not cast in one with the block."""
    engine = case.sides.request.engine
    if engine is None or engine.face is None:
        return NotRun(("engine.face",))
    if engine.face.cast_in:
        return answer(
            "input-cast-in",
            "fail",
            "The bell is cast in one with the block: a plain plate does not go.",
            because=("engine.face.cast_in",),
        )
    says = (
        "The bell comes off the block."
        if engine.face.cast_in is False
        else "Bolt holes were measured on the joint face, so it was taken to come apart there."
    )
    return answer("input-cast-in", "pass", says, because=("engine.face.cast_in",))


def retainer_fit(case: Case) -> Answer:
    """The front bearing retainer sits in its bore with little play."""
    shaft = case.sides.request.gearbox.shaft if case.sides.request.gearbox else None
    if shaft is None or shaft.retainer is None:
        return NotRun(("gearbox.shaft.retainer",))
    outside, bore = (
        case.value("gearbox.shaft.retainer.diameter"),
        case.value("gearbox.shaft.retainer.bore"),
    )
    if outside is None or bore is None:
        return unknown(
            "retainer-fit",
            tuple(
                f"gearbox.shaft.retainer.{k}"
                for k, v in (("diameter", outside), ("bore", bore))
                if v is None
            ),
        )
    play, most = bore - outside, case.limit("retainer-fit.play")
    status = "pass" if 0 <= play <= most else "fail"
    says = (
        f"The retainer has {case.shown(play)} of play in its bore, at most {case.shown(most)}."
        if play >= 0
        else f"The retainer is {case.shown(-play)} too large for its bore."
    )
    return answer(
        "retainer-fit",
        status,
        says,
        margin=min(play, most - play),
        because=("gearbox.shaft.retainer.diameter", "gearbox.shaft.retainer.bore"),
        source=case.source("retainer-fit.play"),
    )


def clutch_clears(case: Case) -> Answer:
    """The clutch turns clear of the housing and the plate."""
    if case.sides.request.clutch is None:
        return NotRun(("clutch",))
    outside, opening = case.value("clutch.outside"), case.value("gearbox.face.opening")
    if outside is None or opening is None:
        return unknown(
            "clutch-clears",
            tuple(
                k
                for k, v in (("clutch.outside", outside), ("gearbox.face.opening", opening))
                if v is None
            ),
        )
    room, wanted = (opening - outside) / 2, case.limit("clutch-clears.radial")
    says = f"The clutch clears the housing by {case.shown(room)} all round."
    return answer(
        "clutch-clears",
        graded(room, fail=wanted),
        says,
        margin=room - wanted,
        because=("clutch.outside", "gearbox.face.opening"),
        source=case.source("clutch-clears.radial"),
    )


def fill_angle(case: Case) -> Answer:
    """The gearbox is not turned further from upright than its oil and shifter allow."""
    if case.fixed is None:
        return _both_faces(case) or NotRun(("engine.face", "gearbox.face"))
    turn, most = abs(case.fixed.clocking), case.limit("fill-angle.most")
    says = f"The gearbox stands {case.fixed.clocking:+.2f}° from upright, usual at most {most:g}°: watch oil level, lines and shifter."
    return answer(
        "fill-angle",
        graded(most - turn, fail=-math.inf, warn=0.0),
        says,
        margin=most - turn,
        unit="°",
        because=("choices.clocking",),
        source=case.source("fill-angle.most"),
    )


def thermal_growth(case: Case) -> Answer:
    """Plate and block grow alike between the dowels, or nearly."""
    face, use = case.sides.engine_face, case.sides.request.use
    if face is None or len(face.dowels) < 2:
        return NotRun(("engine.face.dowels",))
    engine = case.sides.request.engine
    casting = engine.face.material if engine and engine.face else ""
    if use is None or use.temperature_rise is None or not casting:
        lacks = [
            k
            for k, v in (
                ("use.temperature_rise", use.temperature_rise if use else None),
                ("engine.face.material", casting),
            )
            if not v
        ]
        return unknown("thermal-growth", lacks)
    apart = max(
        math.dist((a.x, a.y), (b.x, b.y)) for a, b in itertools.combinations(face.dowels, 2)
    )
    plate = material_of(case.sides.chosen.plate_material, key="choices.plate_material")
    block = material_of(casting, key="engine.face.material")
    growth = apart * abs(plate.cte_per_k - block.cte_per_k) * use.temperature_rise.value
    most = case.limit("thermal-growth.warn")
    says = f"Hot, plate and block differ by {case.shown(growth)} across the dowels."
    if growth > most:
        says += " Let one dowel slide."
    return answer(
        "thermal-growth",
        "warn" if growth > most else "pass",
        says,
        margin=most - growth,
        because=("use.temperature_rise",),
        source=case.source("thermal-growth.warn"),
    )


def flatness(case: Case) -> Answer:
    """Both joint faces were inspected and are flat."""
    units = (("engine", case.sides.request.engine), ("gearbox", case.sides.request.gearbox))
    faces = [name for name, unit in units if unit is not None and unit.face is not None]
    if not faces:
        return NotRun(("engine.face", "gearbox.face"))
    lacks, worst = [], math.inf
    for name in faces:
        for key, limit in (
            (f"{name}.face.flatness", "flatness.overall"),
            (f"{name}.face.step", "flatness.step"),
        ):
            value = case.value(key)
            if value is None:
                lacks.append(key)
            else:
                worst = min(worst, case.limit(limit) - value)
    if lacks and worst >= 0:
        return unknown(
            "flatness", lacks, "The faces have not been inspected: check them with a straight-edge."
        )
    says = (
        "The faces are flat."
        if worst >= 0
        else f"A face is out by {case.shown(-worst)} more than is usual: skim it."
    )
    return answer(
        "flatness",
        "pass" if worst >= 0 else "warn",
        says,
        margin=worst,
        because=tuple(f"{n}.face.flatness" for n in faces),
        source=case.source("flatness.overall"),
    )


CHECKS = {
    "hole-clash": hole_clash, "least-wall": least_wall, "edge-distance": edge_distance,
    "thread-engagement": thread_engagement, "head-sunk": head_sunk, "screw-length": screw_length,
    "dowels": dowels, "opening-clears": opening_clears, "wrench-access": wrench_access,
    "bolt-gap": bolt_gap, "joint-slip-fixed": joint_slip_fixed, "overhang": overhang,
    "input-cast-in": input_cast_in, "retainer-fit": retainer_fit, "clutch-clears": clutch_clears,
    "fill-angle": fill_angle, "thermal-growth": thermal_growth, "flatness": flatness,
}  # fmt: skip
