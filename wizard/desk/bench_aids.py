"""Bench aids for patterns, lengths and threads, with what each asks; turning ones are beside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kb.model.measured import Point, Stretch
from kb.quantity import both, read_thread
from wizard.bench import bolt_circle, circle, distances, finder, network, round_trip, seating
from wizard.desk.asked import Column, Field
from wizard.desk.bench_turning import TURNING

Values = Mapping[str, Any]

# ── patterns ────────────────────────────────────────────────────────────────


def _bolt_circle(given: Values) -> bolt_circle.BoltCircle:
    readings = [
        bolt_circle.Between(kind=kind, reading=reading, step=step)
        for kind in ("gap", "span", "chord")
        for step, reading in given[kind] or ()
    ]
    readings += [bolt_circle.Between(kind="hole", reading=one) for one in given["hole"] or ()]
    return bolt_circle.bolt_circle(readings, count=given["count"])


def _circle(given: Values) -> circle.Circle:
    points = [Point(row["x"], row["y"]) for row in given["points"]]
    tip = given["tip"].middle if given["tip"] else 0.0
    return circle.circle(points, tip=tip, side=given["side"] or "inside")


def _distances(given: Values) -> distances.Distances:
    spots = [
        network.Spot(
            name=row["name"], x=row["x"], y=row["y"], size=row["size"],
            about=_about(row["near_x"], row["near_y"]),
        )
        for row in given["points"]
    ]  # fmt: skip
    stretches = [
        Stretch(start=row["from"], end=row["to"], reading=row["reading"], edges=row["edges"] or "centres")
        for row in given["distances"]
    ]  # fmt: skip
    return distances.place_by_distances(spots, stretches, robust=bool(given["robust"]))


def _about(x: Any, y: Any) -> tuple[float, float] | None:
    return None if x is None or y is None else (x.middle, y.middle)


# ── lengths ─────────────────────────────────────────────────────────────────


def _round_trip(given: Values) -> round_trip.RoundTrip:
    legs: dict[str, list[round_trip.Leg]] = {}
    crank: dict[str, str] = {}
    for row in given["readings"]:
        leg = round_trip.Leg(reading=row["reading"], name=row["what"] or "")
        legs.setdefault(row["route"], []).append(leg)
        crank[row["route"]] = row["crank"] or crank.get(row["route"], "")
    routes = [
        round_trip.Route(name=name, legs=tuple(found), crank=crank[name])
        for name, found in legs.items()
    ]
    asked = round_trip.Asked(
        straight_edge=given["straight_edge"] or "", faces=given["faces"] or "",
        end_float=given["end_float"], grows=GROWS[given["grows"]] if given["grows"] else None,
    )  # fmt: skip
    return round_trip.round_trip(routes, asked)


GROWS = {"longer": 1, "shorter": -1, "not at all": 0}


def _seating(given: Values) -> seating.Seating:
    return seating.seating(
        given["pads"], straight_edge=given["straight_edge"], drops=given["drops"]
    )


# ── threads and drills ──────────────────────────────────────────────────────


def _thread(given: Values) -> finder.ThreadFound:
    return finder.find_thread(
        given["diameter"], part=given["part"] or "screw", count=given["count"], over=given["over"],
        pitch=given["pitch"],
    )  # fmt: skip


def _thread_holes(given: Values) -> finder.ThreadSheet:
    share = given["share"]
    thread = read_thread(given["thread"], key="thread")
    return finder.sheet_of(thread, share=finder.USUAL_SHARE if share is None else share / 100)


def _nearest_drill(given: Values) -> tuple[finder.NearDrill, ...]:
    return finder.near_drills(given["diameter"])


def says_of(name: str, found: Any) -> tuple[str, ...]:
    """What an aid found, in sentences."""
    if name != "nearest-drill":
        return tuple(found.says)
    return tuple(
        f"{one.set}: {one.name}, {both(one.diameter, first='mm', places=3)}, {one.off:+.3f} mm off."
        for one in found
    )


# ── what each asks ──────────────────────────────────────────────────────────

DECLARED: Mapping[str, Mapping[str, Any]] = {
    "bolt-circle": {
        "title": "Bolt circle from calipers",
        "says": "Diameter of a bolt circle from gaps, spans or chords between its holes.",
        "fields": (
            Field(name="count", label="holes in the circle", kind="count", example="6",
                  says="Without it the usual count that alone agrees is taken."),
            Field(name="gap", label="near edge to near edge", kind="stepped", example="44.45",
                  says="Between holes; 2:76.2 is two holes on, across:101.6 straight across."),
            Field(name="span", label="far edge to far edge", kind="stepped", example="66.65",
                  says="Over the outside of two holes, as the gap."),
            Field(name="chord", label="centre to centre", kind="stepped", example="55.55",
                  says="With cone points or pins, as the gap."),
            Field(name="hole", label="hole size", kind="lengths", example="11.1",
                  says="One hole or several."),
        ),
        "work": _bolt_circle, "gives": ("diameter", "within"),
    },
    "circle": {
        "title": "Circle and axis from probed points",
        "says": "Centre, diameter and out-of-round of points probed round a bore or register.",
        "fields": (
            Field(name="points", label="points", kind="table", required=True,
                  example="POINTS.csv with x,y", says="Three or more; six tell a misread one.",
                  columns=(Column(name="x", label="x"), Column(name="y", label="y"))),
            Field(name="tip", label="diameter of the probe's tip", example="3.00"),
            Field(name="side", label="side probed", kind="word", words=circle.SIDES,
                  example="inside"),
        ),
        "work": _circle, "gives": ("diameter", "within"),
    },
    "distances": {
        "title": "Holes placed by distances",
        "says": "Places of holes from distances to known points and from hole to hole.",
        "fields": (
            Field(name="points", label="points and holes", kind="table", required=True,
                  example="POINTS.csv with name,x,y,size",
                  says="x and y only where they are known: one at 0, 0 and the y of another.",
                  columns=(
                      Column(name="name", label="name", kind="text"),
                      Column(name="x", label="x", required=False),
                      Column(name="y", label="y", required=False),
                      Column(name="size", label="hole size", required=False),
                      Column(name="near_x", label="x, roughly", required=False),
                      Column(name="near_y", label="y, roughly", required=False),
                  )),
            Field(name="distances", label="distances", kind="table", required=True,
                  example="DISTANCES.csv with from,to,reading,edges",
                  columns=(
                      Column(name="from", label="first point", kind="text"),
                      Column(name="to", label="second point", kind="text"),
                      Column(name="reading", label="distance"),
                      Column(name="edges", label="edges", kind="word", required=False,
                             words=tuple(network.EDGES)),
                  )),
            Field(name="robust", label="let readings far off count for less", kind="flag",
                  example="yes"),
        ),
        "work": _distances,
    },
    "round-trip": {
        "title": "One length by several routes",
        "says": "A length measured by several routes, held against their instruments.",
        "fields": (
            Field(name="readings", label="readings", kind="table", required=True,
                  example="ROUTES.csv with route,reading,what,crank",
                  says="Readings of one route are added; − takes off.",
                  columns=(
                      Column(name="route", label="route", kind="text"),
                      Column(name="reading", label="reading"),
                      Column(name="what", label="what was read", kind="text", required=False),
                      Column(name="crank", label="crank pushed", kind="word", required=False,
                             words=round_trip.ENDS),
                  )),
            Field(name="straight_edge", label="straight-edge", kind="word", example="taken off",
                  words=round_trip.EDGE_ANSWERS),
            Field(name="faces", label="block plate, gasket and paint", kind="word", example="bare",
                  words=round_trip.FACE_ANSWERS),
            Field(name="end_float", label="end float of the crank", example="0.15"),
            Field(name="grows", label="as the crank goes back it gets", kind="word",
                  words=tuple(GROWS), example="not at all"),
        ),
        "work": _round_trip, "gives": ("value", "within"),
    },
    "seating": {
        "title": "Converter seated",
        "says": "Depth of the converter's pads, three at a time, turned and read again.",
        "fields": (
            Field(name="pads", label="pads", kind="rounds", required=True,
                  example="41.28,41.31,41.25; 41.30,41.27,41.29",
                  says="One round of pads a line; turn the converter by one pad between rounds."),
            Field(name="straight_edge", label="thickness of the straight-edge", example="12.70"),
            Field(name="drops", label="drops felt", kind="count", example="3"),
        ),
        "work": _seating, "gives": ("depth", "within"), "cautions": seating.ROUTINE,
    },
    "thread": {
        "title": "Which thread it is",
        "says": "A thread from calliper reading and pitch count.",
        "fields": (
            Field(name="diameter", label="diameter over or across the crests", required=True,
                  example="11.85"),
            Field(name="part", label="part", kind="word", words=finder.PARTS, example="screw"),
            Field(name="count", label="pitches counted", kind="count", example="10"),
            Field(name="over", label="on a length of", example="17.5"),
            Field(name="pitch", label="pitch by a gauge", example="1.75"),
        ),
        "work": _thread, "extras": ("thread",),
    },
    "thread-holes": {
        "title": "Holes of a thread",
        "says": "Tap drill for a wanted share of thread, clearance holes, counterbore.",
        "fields": (
            Field(name="thread", label="thread", kind="thread", required=True, example="M12"),
            Field(name="share", label="share of full thread, per cent", kind="number", example="75"),
        ),
        "work": _thread_holes,
    },
    "nearest-drill": {
        "title": "Nearest drill",
        "says": "The drill of each set nearest to a diameter.",
        "fields": (Field(name="diameter", label="diameter", required=True, example="10.3"),),
        "work": _nearest_drill,
    },
    **TURNING,
}  # fmt: skip
