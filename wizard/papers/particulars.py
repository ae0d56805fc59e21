"""The statements of the starting specification, each as a name and what it says.

Every figure comes from the answer; lengths are shown in both unit systems, the shop's first.
A family the answer does not hold gives no rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wizard import words
from wizard.papers.document import DISC, Document, in_words, size_words

Rows = tuple[tuple[str, str], ...]

_CHAIN = (
    "gap", "nose_engagement", "nose_seated", "nose_bottom", "pump_lug_overlap", "heads_to_plate",
    "heads_to_block", "tip_engagement", "tip_bottom", "tip_shoulder", "release_gap",
    "spline_overlap", "disc_hub_clearance", "flange_offset", "pinion_overlap", "pinion_rest_gap",
    "tail_shift",
)  # fmt: skip


def chance(value: float) -> str:
    """A chance in words that never claims to be certain."""
    if value > 0.995:
        return "over 99 %"
    return "under 1 %" if value < 0.005 else f"about {100 * value:.0f} %"


def turn(angle: float) -> str:
    """An angle of the gearbox from upright, + anticlockwise seen from behind."""
    if abs(angle) < 5e-4:
        return "upright, 0°"
    return f"{abs(angle):.3f}° {'anticlockwise' if angle > 0 else 'clockwise'} seen from behind"


# ── sizes ───────────────────────────────────────────────────────────────────────


def plate(doc: Document) -> Rows:
    """Thickness, its limits and what binds them, opening and registers of the plate."""
    return tuple(_plate(doc))


def _plate(doc: Document) -> Iterator[tuple[str, str]]:
    thickness = doc.quantity("plate")
    if thickness is not None:
        yield "thickness", doc.figure("plate", thickness)
    if why := doc.axial.get("why_plate"):
        yield "chosen because", in_words(why)
    limits = doc.axial.get("plate_limits") or {}
    for end, binds, name in (("least", "binds_least", "least that works"), ("most", "binds_most", "most that works")):  # fmt: skip
        if limits.get(end) is not None:
            says = words.label(str(limits[binds])) if limits.get(binds) else "not named"
            yield name, f"{doc.both(limits[end])}; bound by: {says}"
    for part in doc.plates:
        name = str(part["name"])
        about = f"{words.label(name)}: " if len(doc.plates) > 1 else ""
        for what, says in _plate_sizes(doc, name, thick=bool(about)):
            yield about + what, says


def _plate_sizes(doc: Document, name: str, *, thick: bool) -> Iterator[tuple[str, str]]:
    thickness, across, up = (doc.size(name, key) for key in ("thickness", "length", "height"))
    if thick and thickness is not None:
        yield words.label("thickness"), doc.both(thickness)
    if across and up:
        yield "overall", f"{doc.both(across)} wide; {doc.both(up)} high"
    yield from _sizes(doc, name, ("bore", "register", "register_depth", "spigot", "spigot_length", "recess", "recess_depth"))  # fmt: skip
    if doc.size(name, "bore") is None:
        yield words.label("opening"), "not known yet: give it before the plate is cut"


def spacer(doc: Document) -> Rows:
    """Length and how closely it is held, and the sizes of the spacer."""
    rows: list[tuple[str, str]] = []
    length = doc.quantity("spacer")
    if length is not None:
        says = doc.figure("spacer", length) if length else "none: the parts meet without one"
        rows.append(("length, face to face", says))
    if (disc := doc.size(DISC, "thickness")) is not None:
        rows.append(("carrier disc, thickness", doc.both(disc)))
    rows += _sizes(doc, doc.turned, ("length", "outside", "bore", "spigot", "spigot_length", "recess", "recess_depth", "driven_spigot", "driven_spigot_length", "driven_recess", "driven_recess_depth"))  # fmt: skip
    for name, row in doc.table("compared").items():
        rows.append((f"as {words.STYLES[name]}", words.style(row, first=doc.first)))
    return tuple(rows)


def _sizes(doc: Document, part: str, names: Sequence[str]) -> Iterator[tuple[str, str]]:
    for name in names:
        value = doc.size(part, name)
        if value is None:
            continue
        what = size_words(name, of_plate=part.endswith("plate"))
        limits = doc.fit_limits(name, value)
        yield what, doc.both(value) if limits is None else doc.limits(limits)


def axial(doc: Document) -> Rows:
    """Every axial quantity with its ±, and the odds."""
    rows = [
        (words.label(name), doc.figure(name, value))
        for name in _CHAIN
        if (value := doc.quantity(name)) is not None
    ]
    rows += [
        (words.label(name), chance(float(doc.axial[name])))
        for name in ("chance_any", "chance_these")
        if doc.axial.get(name) is not None
    ]
    for row in doc.axial.get("conflict") or ():
        rows.append(("contradiction", f"{words.label(row['check'])}, short by {doc.both(row['short_by'])}"))  # fmt: skip
    return tuple(rows)


def pilot(doc: Document) -> Rows:
    """What centres the nose or carries the tip."""
    given = doc.table("pilot")
    rows: list[tuple[str, str]] = []
    if given.get("carried_by"):
        style = f", {given['style']}" if given.get("style") else ""
        rows.append(("carried by", f"{given['carried_by']}{style}"))
    if given.get("bore"):
        rows.append(("bore", f"⌀ {doc.limits(given['bore'])}"))
    for name, says in (("depth", "depth"), ("engagement", "engagement")):
        if given.get(name) is not None:
            rows.append((says, doc.both(given[name])))
    return tuple(rows)


def registers(doc: Document) -> Rows:
    """Every located joint: class, limits of hole and shaft, play."""
    rows = []
    for fit in doc.rows("fits"):
        low, high = min(fit["play"]), max(fit["play"])
        play = f"play {doc.limits((low, high))}" if low >= 0 else f"interference up to {doc.limits((-high, -low))}"  # fmt: skip
        old = {"hole": ("existing", "to make"), "shaft": ("to make", "existing")}
        hole, shaft = old.get(fit.get("existing", ""), ("", ""))
        rows.append((
            fit["joint"],
            f"{fit['class']}: hole ⌀ {doc.limits(fit['hole'])} {hole}; shaft ⌀"
            f" {doc.limits(fit['shaft'])} {shaft}; {play}{_together(fit)}",
        ))  # fmt: skip
    rows += _sources(doc.rows("fits"))
    for name, value in doc.table("predicted_tir").items():
        rows.append((f"predicted runout, {name.replace('_', ' ')}", f"TIR {doc.both(value)}"))
    return tuple(rows)


def _together(fit: Mapping[str, Any]) -> str:
    """What it takes to put a tight fit together, in words; nothing for a fit with play."""
    says = []
    if fit.get("press_n") is not None:
        force = float(fit["press_n"])
        says.append(f"press in with up to {force / 1000:.1f} kN ({force / LBF:.0f} lbf)")
    if fit.get("warm_k") is not None:
        rise = float(fit["warm_k"])
        what = "cool the part in it" if fit.get("existing") == "hole" else "warm the part round it"
        says.append(f"{what} by {rise:.0f} °C ({rise * 1.8:.0f} °F)")
    return "".join(f"; {one}" if n == 0 else f", or {one}" for n, one in enumerate(says))


LBF = 4.4482216152605  # N, exact by definition


def bolts(doc: Document) -> Rows:
    """Every bolted joint: what to buy and how tight."""
    rows = [(joint["name"], _bolt(doc, joint)) for joint in doc.rows("joints")]
    return (*rows, *_sources(doc.rows("joints")))


def _sources(rows: Sequence[Mapping[str, Any]]) -> Rows:
    """Who says so, once for all rows."""
    said = dict.fromkeys(
        one.strip() for row in rows for one in str(row.get("source", "")).split(";") if one.strip()
    )
    return (("who says so", "; ".join(said)),) if said else ()


def _bolt(doc: Document, joint: Mapping[str, Any]) -> str:
    length = doc.both(joint["length"]) if joint.get("length") else "length not known yet"
    says = f"{joint['count']} off {joint['thread']} × {length}, {joint['head']} head"
    says += f", grade {joint['grade']}" if joint.get("grade") else ""
    tight = (
        doc.torque(joint["torque_nm"]) if joint.get("torque_nm") else "tightening not worked out"
    )
    says += f"; {tight}"
    if joint.get("engagement"):
        says += f"; thread engagement {doc.both(joint['engagement'])}"
    return says


def parts(doc: Document) -> Rows:
    """Every part to make, with its material and mass."""
    rows = []
    for part in doc.rows("parts"):
        mass = part.get("mass_kg")
        weight = f"{mass:.2f} kg ({mass / 0.45359237:.2f} lb)" if mass else "mass not known"
        rows.append((words.label(part["name"]), f"{part.get('quantity', 1)} off, {part['material']}, {weight}"))  # fmt: skip
    return tuple(rows)


# ── line-up ─────────────────────────────────────────────────────────────────────


def fixed_line_up(doc: Document) -> Rows:
    """How the two faces' holes go together at the turn used."""
    given = doc.table("lineup").get("fixed") or {}
    rows = list(_line_up(doc, given))
    for clash in given.get("clashes") or ():
        rows.append((
            "CLASH", f"engine {clash['engine']} with gearbox {clash['gearbox']},"
            f" overlap {doc.both(-clash['wall'])}",
        ))  # fmt: skip
    for one, other in given.get("shared") or ():
        rows.append(("shared by both sides", f"engine {one} and gearbox {other}"))
    out = [f"{row['side']} {row['id']}" for row in given.get("leave_out") or ()]
    if out:
        rows.append(("could be left out", ", ".join(out)))
    return tuple(rows)


def rotating_line_up(doc: Document) -> Rows:
    """How the driving face's holes go with those of the driven part."""
    given = doc.table("lineup").get("rotating") or {}
    if given.get("through"):
        return (("both circles", "the same: one long screw through both"),)
    return tuple(_line_up(doc, given))


def _line_up(doc: Document, given: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    if given.get("clocking") is not None:
        yield "turned", turn(given["clocking"])
    wall, required = given.get("wall"), given.get("required")
    if wall is not None:
        wanted = f"; wanted {doc.both(required)}" if required is not None else ""
        yield words.label("wall"), f"{doc.both(wall)}{wanted}"
    if given.get("dowel_wall") is not None:
        yield words.label("dowel_wall"), doc.both(given["dowel_wall"])
    best = given.get("best") or {}
    if best.get("wall") is not None:
        yield "best turn", f"{turn(best['clocking'])}, wall {doc.both(best['wall'])}"
    windows = given.get("windows") or ()
    if windows:
        spans = ", ".join(f"{low:+.2f}° to {high:+.2f}°" for low, high in windows)
        yield "turns that keep every wall", spans


# ── what is still open ──────────────────────────────────────────────────────────


def remedies(doc: Document) -> Rows:
    """Changed requests that were run again and found to work."""
    rows = []
    for row in doc.rows("remedies"):
        cures = ", ".join(words.label(one) for one in row["cures"])
        costs = f"; costs: {row['costs']}" if row.get("costs") else ""
        rows.append((f"cures: {cures}", f"{row.get('says') or row['change']}{costs}"))
    return tuple(rows)


def measure(doc: Document) -> Rows:
    """Dimensions to measure, and what reading each again would do to the odds."""
    rows = [("", words.heading(key)) for key in doc.texts("measure")]
    named = set(doc.texts("measure"))
    for row in doc.axial.get("measure_next") or ():
        if row["dimension"] not in named and row.get("decides", 0.0) >= 0.005:
            rows.append(("", f"{words.heading(row['dimension'])}: with it known, {chance(row['chance_if_known'])}"))  # fmt: skip
    return tuple(rows)


def settle(doc: Document, stage: str) -> Rows:
    """What is still to settle by a stage, cut or start."""
    rows = doc.table("settle").get(stage) or ()
    return tuple((words.label(row["id"]), in_words(row["says"])) for row in rows)


def questions(doc: Document) -> Rows:
    """Shop questions nobody has answered."""
    return tuple(("", str(row["asks"])) for row in doc.rows("questions") if not row.get("answer"))


def assumed(doc: Document) -> Rows:
    """What was taken for what the sheet left open, gathered by why."""
    by_reason: dict[str, list[Mapping[str, Any]]] = {}
    for row in doc.rows("assumed"):
        by_reason.setdefault(str(row["why"]), []).append(row)
    return tuple((why, _gathered(rows)) for why, rows in by_reason.items())


def _gathered(rows: Sequence[Mapping[str, Any]]) -> str:
    """Keys and values; keys that share a value are named together."""
    by_value: dict[str, list[str]] = {}
    for row in rows:
        by_value.setdefault(str(row["value"]), []).append(words.label(row["key"]))
    return "; ".join(f"{', '.join(names)}: {value}" for value, names in by_value.items())


def not_asked(doc: Document) -> Rows:
    """What the job left out: neither passed nor failed."""
    names = ", ".join(words.label(key) for key in doc.texts("not_asked"))
    return (("", f"Left out of the job, so neither passed nor failed: {names}."),) if names else ()


def cautions(doc: Document) -> Rows:
    """The cautions of the answer."""
    return tuple(("", line) for line in doc.texts("cautions"))
