"""Bench aids for what turns: dial sweeps, spin test, last cut, truing, bolting up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kb.errors import InputError
from kb.model.measured import Point
from kb.standards.materials import material
from wizard.bench import (
    bolt_up,
    correction,
    face_sweep,
    last_cut,
    pairs,
    spin,
    sweep,
    sweep_log,
    swept,
    truing,
)
from wizard.desk.asked import Column, Field
from wizard.engine.formulas.runout import SENSES

Values = Mapping[str, Any]


def _mm(one: Any) -> float | None:
    return None if one is None else float(one.middle)


def _dial(rows: Sequence[tuple[float, Any]]) -> list[sweep.DialReading]:
    return [sweep.DialReading(at=at, reading=reading) for at, reading in rows]


def _sweep(given: Values) -> sweep.Sweep:
    known = sweep.Corrections(sag=given["sag"], sag_on=given["sag_on"] or "bar", lift=given["lift"])
    stock = [one.middle for one in given["stock"]] if given["stock"] else sweep.STOCK
    return sweep.sweep_bore(
        _dial(given["readings"]), sense=given["sense"], corrections=known,
        allowed=_mm(given["limit"]), stock=stock,
    )  # fmt: skip


def _face(given: Values) -> face_sweep.FaceSweep:
    return face_sweep.sweep_face(
        _dial(given["readings"]), radius=given["radius"], sense=given["sense"],
        stands=given["stands"] or "behind", distance=given["distance"],
        allowed=_mm(given["limit"]),
    )  # fmt: skip


def _log(given: Values) -> Any:
    sweeps = []
    for row in given["sweeps"]:
        reading = [(at, row[name]) for at, name in ((0.0, "top"), (90.0, "right"), (180.0, "bottom"), (270.0, "left"))]  # fmt: skip
        taken = sweep.sweep_bore(_dial(reading), sense=given["sense"])
        sweeps.append((row["done"], taken))
    if not sweeps:
        raise InputError("sweeps", "(none)", "give two sweeps or more, in the order taken")
    return sweep_log.Log(steps=sweep_log.log(sweeps))


def _spin(given: Values) -> spin.Spin:
    part = spin.Part(
        mass_kg=given["mass"], length=_mm(given["length"]), diameter=_mm(given["diameter"]),
        speed_rpm=given["speed"], run_up_rpm=given["run_up"], chuck_rpm=given["chuck"],
        grade_mm_s=given["grade"] or 6.3, friction_arm=_mm(given["friction"]) or spin.FRICTION_ARM,
        external=given["external"], assembled=given["assembled"],
    )  # fmt: skip
    return spin.spin(given["stops"], other_way=given["other_way"] or (), part=part)


def _balance(given: Values) -> correction.Correction:
    return correction.drill_away(
        unbalance_gmm=_unbalance(given), heavy_at=given["heavy_at"], radius=given["radius"].middle,
        drill=given["drill"].middle, material=material(given["material"] or "steel"),
        web=_mm(given["web"]), holes=given["holes"],
    )  # fmt: skip


def _unbalance(given: Values) -> float:
    """By what was stated, by clay, or by a swing [g·mm]."""
    if given["unbalance"] is not None:
        return float(given["unbalance"])
    if given["clay"] is not None:
        if given["clay_radius"] is None:
            raise InputError("clay_radius", "(none)", "write how far from the axis the clay sat")
        return correction.by_clay(
            mass_g=given["clay"], radius=given["clay_radius"].middle
        ).unbalance_gmm
    if given["swing"] is None or given["mass"] is None or given["outside"] is None:
        raise InputError(
            "unbalance", "(none)", "write it, or clay and clay_radius, or swing, mass and outside"
        )
    inertia = correction.disc_inertia(
        mass_kg=given["mass"], bore=_mm(given["bore"]) or 0.001, outside=given["outside"].middle
    )
    return correction.by_swing(
        period_s=given["swing"], inertia_kg_mm2=inertia, mass_kg=given["mass"],
        journal=_mm(given["journal"]) or 0.0,
    ).unbalance_gmm  # fmt: skip


def _last_cut(given: Values) -> last_cut.LastCut:
    wanted = [
        last_cut.Wanted(
            name=row["name"], planned=row["planned"], low=_mm(row["low"]), high=_mm(row["high"]),
            grows=last_cut.FOLLOWS[row["follows"] or "crank"],
        )
        for row in given["wanted"] or ()
    ]  # fmt: skip
    return last_cut.last_cut(
        given["target"], given["measured"], cut_within=_mm(given["cut_within"]),
        machine=given["machine"] or given["units"], at=given["at"], circle=given["circle"],
        limit=_mm(given["limit"]), wanted=wanted,
    )  # fmt: skip


def _truing(given: Values) -> truing.Truing:
    rows = given["parts"]
    if len(rows) < 2:
        raise InputError(
            "parts", f"{len(rows)} parts", "give the driver, then what is turned on it"
        )
    driver, *turned = rows
    return truing.truing(
        swept.Part(**_swept(driver)),
        [
            swept.Turned(
                **_swept(row), positions=row["positions"] or 0, step=row["step"] or "bolt",
                onto=row["onto"] or "part before",
            )
            for row in turned
        ],
        bolted=bool(given["bolted"]),
    )  # fmt: skip


def _swept(row: Mapping[str, Any]) -> dict[str, Any]:
    face = heavy = None
    if row["face"] is not None:
        face = swept.FaceSweep(
            reading=row["face"], radius=_mm(row["radius"]) or 0.0, high=row["high"] or 0.0,
            distance=_mm(row["distance"]) or 0.0,
        )  # fmt: skip
    if row["unbalance"] is not None:
        heavy = swept.HeavySide(amount_gmm=row["unbalance"], toward=row["heavy_at"] or 0.0)
    return {
        "name": row["name"], "runout": swept.Runout(reading=row["tir"], toward=row["toward"]),
        "face": face, "heavy": heavy, "mass_kg": row["mass"],
    }  # fmt: skip


def _bolt_up(given: Values) -> bolt_up.BoltUp:
    holes = [
        pairs.Pair(
            id=row["hole"], made=Point(row["x"], row["y"]), hole=row["size"],
            mating=Point(row["mate_x"], row["mate_y"]), screw=row["screw"].middle,
            clear=row["clear"], head=_mm(row["head"]),
        )
        for row in given["holes"]
    ]  # fmt: skip
    blank = None
    if given["wall"] is not None:
        blank = pairs.Blank(
            wall=given["wall"].middle, outside=_mm(given["outside"]), bore=_mm(given["bore"])
        )
    return bolt_up.bolt_up(
        holes, play=_mm(given["play"]), blank=blank, mirrored=bool(given["mirrored"])
    )


# ── what each asks ──────────────────────────────────────────────────────────

READINGS = Field(
    name="readings", label="readings round the turn", kind="at", required=True,
    example="0:0.098,90:0.069,180:-0.098,270:-0.069",
    says="Clock degrees seen from behind, 0 at 12 o'clock, and the dial there.",
)  # fmt: skip
SENSE = Field(
    name="sense", label="the dial reads + as its plunger goes", kind="word", words=SENSES,
    required=True, example="in",
)  # fmt: skip
LIMIT = Field(name="limit", label="greatest TIR allowed", example="0.13")

TURNING: Mapping[str, Mapping[str, Any]] = {
    "sweep": {
        "title": "Dial sweep of a bore",
        "says": "How far and which way a bore is off the crank's axis, and what would cure it.",
        "fields": (
            READINGS, SENSE, LIMIT,
            Field(name="sag", label="sag of the arm at 6 o'clock", example="-0.02"),
            Field(name="sag_on", label="sag proved on", kind="word", words=sweep.SAG_ON,
                  example="bar"),
            Field(name="lift", label="lift of the crank in its bearings", example="0.04"),
            Field(name="stock", label="offset dowels in stock", kind="lengths",
                  example="0.178,0.356,0.533"),
        ),
        "work": _sweep, "extras": ("move_to", "passes"), "cautions": sweep.CAUTIONS,
    },
    "face-sweep": {
        "title": "Dial sweep of a face",
        "says": "Tilt of a face, and where a part on it leans.",
        "fields": (
            READINGS, SENSE,
            Field(name="radius", label="radius the dial ran at", required=True, example="150"),
            Field(name="stands", label="the dial stands", kind="word", words=face_sweep.STANDS,
                  example="behind"),
            Field(name="distance", label="from the face back to where it matters", example="180"),
            LIMIT,
        ),
        "work": _face, "extras": ("leans_to", "drift_to", "passes"), "cautions": sweep.CAUTIONS,
    },
    "sweep-log": {
        "title": "Torque and sweep again",
        "says": "What moved between sweeps as the bolts were drawn up.",
        "fields": (
            Field(name="sweeps", label="sweeps", kind="table", required=True,
                  example="SWEEPS.csv with done,top,right,bottom,left",
                  columns=(Column(name="done", label="what had been done", kind="text"),
                           *(Column(name=name, label=name) for name in ("top", "right", "bottom", "left")))),
            SENSE,
        ),
        "work": _log, "cautions": sweep.CAUTIONS,
    },
    "spin": {
        "title": "Spin test",
        "says": "Whether a part on free bearings or knife edges has a heavy side.",
        "fields": (
            Field(name="stops", label="marks that stood lowest", kind="angles", required=True,
                  example="10,200,35,20,340,15,25,5"),
            Field(name="other_way", label="the same, spun the other way", kind="angles",
                  example="12,18,350,22"),
            Field(name="mass", label="mass, kg", kind="number", example="4.2"),
            Field(name="speed", label="greatest speed, rpm", kind="number", example="4000"),
            Field(name="run_up", label="run up to, rpm", kind="number", example="1500"),
            Field(name="chuck", label="limit of what holds it, rpm", kind="number", example="2500"),
            Field(name="length", label="length", example="60"),
            Field(name="diameter", label="outside diameter", example="180"),
            Field(name="grade", label="balance grade, G", kind="number", example="6.3"),
            Field(name="friction", label="offset that friction hides", example="0.02"),
            Field(name="external", label="must match an externally balanced engine", kind="flag",
                  example="no"),
            Field(name="assembled", label="put together of several pieces", kind="flag",
                  example="no"),
        ),
        "work": _spin, "extras": ("count", "heavy_at", "light_at"), "names": (("count", "n"),),
        "cautions": spin.CAUTIONS,
    },
    "balance-holes": {
        "title": "Drill the heavy side",
        "says": "Size of an unbalance by clay or swing, and the holes that take it away.",
        "fields": (
            Field(name="heavy_at", label="mark of the heavy side", kind="number", required=True,
                  example="35"),
            Field(name="radius", label="radius to drill at", required=True, example="70"),
            Field(name="drill", label="drill", required=True, example="8"),
            Field(name="unbalance", label="unbalance, g·mm", kind="number", example="120"),
            Field(name="clay", label="clay that stopped it, g", kind="number", example="2.4"),
            Field(name="clay_radius", label="where the clay sat, from the axis", example="70"),
            Field(name="swing", label="time of one swing, s", kind="number", example="12"),
            Field(name="mass", label="mass, kg", kind="number", example="4.2"),
            Field(name="outside", label="outside diameter", example="180"),
            Field(name="bore", label="bore", example="60"),
            Field(name="journal", label="journal on the knife edges", example="25"),
            Field(name="material", label="material", kind="material", example="steel"),
            Field(name="web", label="thickness of the metal there", example="20"),
            Field(name="holes", label="holes", kind="count", example="2"),
        ),
        "work": _balance, "cautions": spin.CAUTIONS,
    },
    "last-cut": {
        "title": "Last cut",
        "says": "What to take off each of several parts that must come out alike.",
        "fields": (
            Field(name="target", label="length wanted", required=True, example="78.00"),
            Field(name="measured", label="lengths as measured", kind="lengths", required=True,
                  example="78.31,78.28,78.36"),
            Field(name="cut_within", label="how true the machine cuts, ±", example="0.01"),
            Field(name="machine", label="the machine reads in", kind="word", words=("in", "mm"),
                  example="mm"),
            Field(name="at", label="clock position of each", kind="angles", example="0,120,240"),
            Field(name="circle", label="circle they stand on", example="150"),
            Field(name="limit", label="greatest TIR at the lugs", example="0.13"),
            Field(name="wanted", label="what hangs on their length", kind="table",
                  example="gap,4.0 ± 0.3,3.2,4.8,crank",
                  columns=(
                      Column(name="name", label="gap or engagement", kind="text"),
                      Column(name="planned", label="planned"),
                      Column(name="low", label="least", required=False),
                      Column(name="high", label="most", required=False),
                      Column(name="follows", label="bore carried by", kind="word", required=False,
                             words=tuple(last_cut.FOLLOWS)),
                  )),
        ),
        "work": _last_cut, "extras": ("machine_cuts",), "gives": ("length", "within"),
    },
    "truing": {
        "title": "Turn it until it runs true",
        "says": "Every way bolted parts can go on, ranked by how true they would run.",
        "fields": (
            Field(name="parts", label="parts, the driver first", kind="table", required=True,
                  example="PARTS.csv with name,tir,toward,positions,step",
                  columns=(
                      Column(name="name", label="part", kind="text"),
                      Column(name="tir", label="TIR of its register"),
                      Column(name="toward", label="off toward, clock degrees", kind="number"),
                      Column(name="positions", label="ways it goes on", kind="count",
                             required=False),
                      Column(name="step", label="one of them is a", kind="text", required=False),
                      Column(name="onto", label="bolts into", kind="word", required=False,
                             words=swept.ONTO),
                      Column(name="face", label="TIR of its face", required=False),
                      Column(name="radius", label="dial at radius", required=False),
                      Column(name="high", label="face high at", kind="number", required=False),
                      Column(name="distance", label="from face to hub", required=False),
                      Column(name="mass", label="mass, kg", kind="number", required=False),
                      Column(name="unbalance", label="unbalance, g·mm", kind="number",
                             required=False),
                      Column(name="heavy_at", label="heavy at", kind="number", required=False),
                  )),
            Field(name="bolted", label="swept as bolted up, one after the other", kind="flag",
                  example="no"),
        ),
        "work": _truing, "extras": ("best", "worth_it"), "cautions": truing.CAUTIONS,
    },
    "bolt-up": {
        "title": "Will it bolt up as drilled",
        "says": "Shift and turn that let every screw in, or the least opening that would.",
        "fields": (
            Field(name="holes", label="holes as measured", kind="table", required=True,
                  example="HOLES.csv with hole,x,y,size,mate_x,mate_y,screw",
                  columns=(
                      Column(name="hole", label="mark", kind="text"),
                      Column(name="x", label="x"), Column(name="y", label="y"),
                      Column(name="size", label="hole"),
                      Column(name="mate_x", label="mating x"), Column(name="mate_y", label="mating y"),
                      Column(name="screw", label="screw"),
                      Column(name="clear", label="mating clear hole", required=False),
                      Column(name="head", label="head", required=False),
                  )),
            Field(name="play", label="play of the register", example="0.05",
                  says="Left out where nothing but the screws holds it."),
            Field(name="wall", label="wall wanted", example="3"),
            Field(name="outside", label="outside of the part", example="320"),
            Field(name="bore", label="bore of the part", example="120"),
            Field(name="mirrored", label="mating holes measured on their own face", kind="flag",
                  example="no"),
        ),
        "work": _bolt_up, "extras": ("goes", "sure"),
    },
}  # fmt: skip
