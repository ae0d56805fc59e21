"""What a shop would try when a check fails, in the order it would try it: changed requests only."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from kb.errors import NotTabulated
from kb.model.lineup import LineUp, Pattern
from kb.model.record import Design
from kb.quantity import both
from kb.standards.bolts import grades
from wizard.engine.axial.needs import plate_floors, recess_depth, sunk_in_plate
from wizard.engine.clashes import fewest_covers, find_clashes, opened_gap
from wizard.engine.clocking import Pairs, pairs, windows
from wizard.engine.faces import limits_of
from wizard.engine.housed import BETWEEN_SEATS, housed
from wizard.engine.lineup import Array, wanted_walls
from wizard.engine.lineup import line_up as line_up_faces

Change = Mapping[str, object]


@dataclass(frozen=True)
class Proposal:
    """A changed request worth trying: the keys it sets, what it costs, in words what it is."""

    change: Change
    costs: str
    says: str


THICKER = {"in": (1.25, 1.5, 1.75, 2.0), "mm": (30.0, 35.0, 40.0, 50.0, 60.0)}


def proposals(made: Design, fails: frozenset[str]) -> Iterator[Proposal]:
    """What a shop would try, in order, for the checks that fail."""
    thicker: Iterator[Proposal] = iter(())
    if fails & {"hole-clash", "least-wall", "edge-distance"}:
        yield from _by_plane(made)
        yield from _turn(made)
        yield from _share(made)
        yield from _leave_out(made)
        yield from _studs(made)
        yield from _flush_by_plane(made)
        yield from _two_plates(made)
    if fails & {"plate-thickness", "spacer-length", "head-sunk", "thread-engagement", "converter-gap",
                "release-gap", "flange-position", "tip-engagement", "tip-bottoming", "tip-shoulder",
                "spline-overlap", "pinion-overlap", "nose-engagement", "fastener-clears", "dowels"}:  # fmt: skip
        yield from _let_go(made)
        yield from _flush(made)
        thicker = _thicker(made)
    if fails & {"tip-engagement", "tip-bottoming", "tip-shoulder"}:
        yield from _bush(made)
    if "nose-engagement" in fails:
        yield from _nose(made)
    if fails & {"joint-slip", "joint-slip-fixed"}:
        yield from _grade(made)
    yield from thicker
    if fails & {"least-wall", "head-sunk", "thread-engagement"}:
        yield from _steel(made)


def _length(made: Design, size: float) -> str:
    """A length as the sheet would write it."""
    units = made.sides.request.units
    return f"{size / 25.4:.4f} in" if units == "in" else f"{size:.3f} mm"


def _by_plane(made: Design) -> Iterator[Proposal]:
    """Let discs pass each other that lie in different planes of the plate.

    Only where the seats from both sides leave plate between them.
    """
    if made.sides.chosen.keepout == "by plane" or not made.adapter.parts:
        return
    if _leaves_plate_between(made, made.sides.chosen.heads):
        yield Proposal(
            {"choices.keepout": "by plane"}, "seats cut to depth, from the side the drawing says",
            "The holes that seem to clash lie in different planes of the plate.",
        )  # fmt: skip


def _leaves_plate_between(made: Design, heads: str) -> bool:
    """Whether the deepest seats from both sides leave plate between them, heads housed that way."""
    deepest: dict[str, float] = {}
    for one in sunk_in_plate(made.sides):
        assert one.screw is not None
        try:
            depth = housed(one.screw, heads).depth + recess_depth(made.sides, one)
        except NotTabulated:
            return False
        deepest[one.side] = max(deepest.get(one.side, 0.0), depth)
    thickness = made.adapter.parts[0].size.get("thickness", 0.0)
    return sum(deepest.values()) + BETWEEN_SEATS <= thickness


def _turn(made: Design) -> Iterator[Proposal]:
    """Turn the gearbox, as far as oil level and shifter usually allow."""
    sides, found = made.sides, made.fixed
    if found is None or sides.engine_face is None or sides.gearbox_face is None:
        return
    most = sides.rules["fill-angle.most"]
    low, high = min(-most, sides.chosen.clocking[0]), max(most, sides.chosen.clocking[1])
    if (low, high) == sides.chosen.clocking:
        return
    wider = line_up_faces(
        sides.engine_face, sides.gearbox_face, clocking=(low, high), family=_family(made),
        rules=sides.rules, least=sides.chosen.least_wall, share=sides.chosen.share,
        by_plane=sides.chosen.keepout == "by plane",
    )  # fmt: skip
    turn = _tidy(wider.clocking, wider.windows)
    yield Proposal(
        {"choices.clocking": [turn, turn]}, "oil level, lines and shifter to be looked at",
        f"Turn the gearbox {turn:+.2f}° from upright.",
    )  # fmt: skip


def _tidy(turn: float, free: tuple[tuple[float, float], ...]) -> float:
    """A turn that can be read off a protractor, still inside its window."""
    for places in (0, 1, 2):
        for rounded in (
            round(turn, places),
            round(turn, places) + 10**-places,
            round(turn, places) - 10**-places,
        ):
            if any(left <= rounded <= right for left, right in free):
                return round(rounded, places)
    return round(turn, 3)


def _family(made: Design) -> str:
    return limits_of(made.sides.chosen.plate_material, key="choices.plate_material")


def _share(made: Design) -> Iterator[Proposal]:
    """One long screw where two holes coincide."""
    if made.fixed is None or not made.fixed.shared:
        return
    pairs_named = [f"{a}={b}" for a, b in made.fixed.shared]
    yield Proposal(
        {"choices.share": pairs_named}, "longer screws at the shared holes",
        f"Let engine and gearbox share one screw at {', '.join(pairs_named)}.",
    )  # fmt: skip


def _leave_out(made: Design) -> Iterator[Proposal]:
    """Leave out the fewest holes, at the turn and in the choice that opens the narrowest gap."""
    sides = made.sides
    if made.fixed is None or sides.engine_face is None or sides.gearbox_face is None:
        return
    turn, left = _fewest(made)
    if (
        not left
        or len(left) > min(len(sides.engine_face.holes), len(sides.gearbox_face.holes)) // 2
    ):
        return
    kept = [f"{side}:{id}" for side, id in sides.chosen.leave_out]
    names = [*kept, *(f"{side}:{id}" for side, id in left)]
    yield Proposal(
        {"choices.leave_out": names, "choices.clocking": [turn, turn]},
        f"{len(left)} fewer bolts in the joint",
        f"Leave out {', '.join(f'{side} hole {id}' for side, id in left)}"
        + (f" with the gearbox turned {turn:+.2f}°." if turn else "."),
    )  # fmt: skip


Choice = tuple[tuple[str, str], ...]
MOST_CLASHES = 8  # more than these and another way out is the better one
MOST_CHOICES = 12


def _fewest(made: Design) -> tuple[float, Choice]:
    """Turn and holes: no gap too wide if that can be had, then fewest holes, then the best wall.

    What is too close changes only where some pair just keeps the least wall, so one turn
    between each two such turns is enough.
    """
    sides = made.sides
    assert sides.engine_face is not None
    assert sides.gearbox_face is not None
    hard, soft = sides.rules["bolt-gap.fail"], sides.rules["bolt-gap.warn"]
    ranked: dict[Choice, tuple[float, ...]] = {}
    for turn, choice in _choices(made):
        gap = max(_gap(face, choice) for face in (sides.engine_face, sides.gearbox_face))
        rank = (gap > hard, len(choice), gap > soft, round(abs(turn), 6))
        ranked[choice] = min(rank, ranked.get(choice, rank))
    best = sorted(ranked, key=lambda choice: ranked[choice])[:MOST_CHOICES]
    if not best or () in best:
        return made.fixed.clocking if made.fixed else 0.0, ()
    turned = {choice: _reduced(made, choice) for choice in best}

    def order(choice: Choice) -> tuple[float, ...]:
        found = turned[choice]
        return (*ranked[choice][:3], not found.windows, -(found.wall or 0.0))

    choice = min(best, key=order)
    found = turned[choice]
    return _tidy(found.clocking, found.windows), choice


def _choices(made: Design) -> Iterator[tuple[float, Choice]]:
    """At every turn that differs: the fewest holes to leave out for the least wall."""
    sides = made.sides
    assert sides.engine_face is not None
    assert sides.gearbox_face is not None
    engine, gearbox = sides.engine_face.holes, sides.gearbox_face.holes
    every = pairs(engine, gearbox, by_plane=sides.chosen.keepout == "by plane")
    least = sides.rules["least-wall.fail_share"] * wanted_walls(
        engine, gearbox, family=_family(made), rules=sides.rules, least=sides.chosen.least_wall
    )
    for turn in _turns(every, least, sides.chosen.clocking):
        clashes = find_clashes(engine, gearbox, every.walls(turn) - least)
        if len(clashes) <= MOST_CLASHES:
            for choice in fewest_covers(clashes):
                if _bearable(sides.engine_face, choice) and _bearable(sides.gearbox_face, choice):
                    yield turn, choice


def _bearable(face: Pattern, choice: Choice) -> bool:
    """At least half of the face's bolts, and two of them, are left."""
    gone = sum(side == face.side for side, _ in choice)
    every = len(face.holes) + len(face.left_out)
    return len(face.holes) - gone >= max(2, every / 2)


def _reduced(made: Design, choice: Choice) -> LineUp:
    """The line-up with those holes left out."""
    sides = made.sides

    def without(face: Pattern) -> Pattern:
        kept = tuple(one for one in face.holes if (face.side, one.id) not in choice)
        return replace(face, holes=kept)

    assert sides.engine_face is not None
    assert sides.gearbox_face is not None
    return line_up_faces(
        without(sides.engine_face), without(sides.gearbox_face), clocking=sides.chosen.clocking,
        family=_family(made), rules=sides.rules, least=sides.chosen.least_wall,
        share=sides.chosen.share, by_plane=sides.chosen.keepout == "by plane",
    )  # fmt: skip


def _gap(face: Pattern, choice: Choice) -> float:
    ids = {id for side, id in choice if side == face.side}
    gone = [one for one in face.holes if one.id in ids]
    return opened_gap([one for one in face.holes if one.id not in ids], [*gone, *face.left_out])


def _turns(every: Pairs, wall: Array, clocking: tuple[float, float]) -> list[float]:
    """Turns between those at which some pair just keeps its wall, inside the permitted range [°]."""
    low, high = clocking
    edges = {low, high, min(max(0.0, low), high)}
    for one in range(len(every.discs)):
        for window in windows(every.one(one), wall[one : one + 1], low=low, high=high):
            edges |= set(window)
    ordered = sorted(edges)
    return [*ordered, *((a + b) / 2 for a, b in itertools.pairwise(ordered))]


def _studs(made: Design) -> Iterator[Proposal]:
    if made.sides.chosen.heads != "studs":
        yield Proposal(
            {"choices.heads": "studs"}, "studs and sleeve nuts in place of socket screws",
            "Hold the plate with studs and sleeve nuts: their seats are narrower.",
        )  # fmt: skip


def _flush_by_plane(made: Design) -> Iterator[Proposal]:
    """Countersunk heads, low enough to pass each other in a plate too thin for counterbores."""
    sides = made.sides
    if sides.chosen.heads == "flush" or not made.adapter.parts or not sunk_in_plate(sides):
        return
    if _leaves_plate_between(made, sides.chosen.heads) or not _leaves_plate_between(made, "flush"):
        return
    yield Proposal(
        {"choices.heads": "flush", "choices.keepout": "by plane"}, FLUSH_COSTS,
        f"{FLUSH_SAYS} They lie shallow enough for holes that seem to clash to pass each other.",
    )  # fmt: skip


FLUSH_COSTS = "countersunk screws, which hold four fifths of what cap screws hold"
FLUSH_SAYS = "Countersink the plate and use flush screws in place of counterbores and cap screws."


def _flush(made: Design) -> Iterator[Proposal]:
    """Countersunk heads, which a thinner plate can house."""
    if made.sides.chosen.heads != "flush" and sunk_in_plate(made.sides):
        yield Proposal(
            {"choices.heads": "flush"}, FLUSH_COSTS, f"{FLUSH_SAYS} They need less thickness."
        )


def _two_plates(made: Design) -> Iterator[Proposal]:
    if made.sides.chosen.plates == 1 and made.fixed is not None:
        fixed = [key for key in ("choices.plate", "choices.spacer") if key in made.sides.lengths]
        change: dict[str, object] = {"choices.plates": 2} | dict.fromkeys(fixed)
        says = "Use two plates bolted to each other: one on the engine, one on the gearbox."
        if "choices.spacer" in fixed:
            says += f" {ADAPTER_FOLLOWS}"
        yield Proposal(change, "a second plate with screws and dowels of its own", says)


ADAPTER_FOLLOWS = "The rotating adapter's length then follows, whatever was asked for."


def _let_go(made: Design) -> Iterator[Proposal]:
    """Let go of a size the job fixed."""
    sides = made.sides
    for name, words in (("plate", "plate"), ("spacer", "rotating adapter")):
        if f"choices.{name}" in sides.lengths:
            yield Proposal(
                {f"choices.{name}": None}, f"another {words} than the one asked for",
                f"Give up the asked-for {words}: let it follow from what works.",
            )  # fmt: skip
    if {"choices.plate", "choices.spacer"} <= set(sides.lengths):
        yield Proposal(
            {"choices.plate": None, "choices.spacer": None}, "other sizes than asked for",
            "Give up both asked-for sizes: let them follow from what works.",
        )  # fmt: skip


def _thicker(made: Design) -> Iterator[Proposal]:
    """Take thicker stock than is at hand."""
    sides = made.sides
    factor = 25.4 if sides.request.units == "in" else 1.0
    thick = [size * factor for size in THICKER[sides.request.units]]
    for size in (one for one in thick if one > max(sides.chosen.plate_stock)):
        change: dict[str, object] = {"choices.plate": _length(made, size)}
        says = f"Use a plate of {both(size, first=sides.request.units)}."
        if "choices.spacer" in sides.lengths:
            change["choices.spacer"] = None
            says += f" {ADAPTER_FOLLOWS}"
        yield Proposal(change, "thicker stock to be bought", says)


def _bush(made: Design) -> Iterator[Proposal]:
    """Move the bush to where the tip is."""
    sides, chain = made.sides, made.chain
    if chain is None or sides.request.pilot is None or "shaft_end" not in chain.stations:
        return
    tip, carrier = sides.value("gearbox.shaft.tip.length"), chain.stations.get("driven_face")
    if sides.request.pilot.carried_by == "crank":
        carrier = chain.stations.get("driving_face")
    if tip is None or carrier is None:
        return
    clear = sides.rules["tip-shoulder.warn"] + 0.5
    mouth = chain.stations["shaft_end"] + tip - clear - carrier
    depth = max(
        mouth + carrier - chain.stations["shaft_end"] + sides.rules["tip-bottoming.warn"], 1.0
    )
    where = "proud of" if mouth > 0 else "below"
    yield Proposal(
        {"pilot.mouth": _length(made, mouth), "pilot.depth": _length(made, depth)},
        "a bush carrier turned to suit",
        f"Set the bush {both(abs(mouth), first=sides.request.units)} {where} the face that carries it.",
    )  # fmt: skip


def _nose(made: Design) -> Iterator[Proposal]:
    """Lengthen the converter's nose."""
    reach = made.sides.value("gearbox.converter.hub.reach")
    has = made.chain.values.get("nose_engagement") if made.chain else None
    if reach is None or has is None:
        return
    seated = made.chain.values.get("nose_seated", has) if made.chain else has
    short = max(made.sides.rules["nose-engagement.least"] - has, 0.5 - seated) + 1.0
    yield Proposal(
        {"gearbox.converter.hub.reach": _length(made, reach + short)},
        "a sleeve turned and fitted on the converter's nose",
        f"Lengthen the converter's nose by {both(short, first=made.sides.request.units)}.",
    )  # fmt: skip


def _grade(made: Design) -> Iterator[Proposal]:
    """The next stronger grade of screw."""
    families = (("2", "5", "8"), ("8.8", "10.9", "12.9"))
    now = made.sides.chosen.screw_grade
    family = next((one for one in families if now in one), ())
    for grade in family[family.index(now) + 1 :] if family else ():
        if grade in grades():
            yield Proposal(
                {"choices.screw_grade": grade}, "stronger screws, tightened accordingly",
                f"Use screws of grade {grade}.",
            )  # fmt: skip


def _steel(made: Design) -> Iterator[Proposal]:
    if _family(made) != "steel" and plate_floors(made.sides, warn=False):
        yield Proposal(
            {"choices.plate_material": "A36"}, "about three times the plate's weight",
            "Make the plate of steel.",
        )  # fmt: skip
