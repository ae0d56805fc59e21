"""Invented units, written out by hand: every kind of field once at least."""

from __future__ import annotations

from datetime import date

from kb.model.measured import Band, Measured, Point
from kb.model.unit import (
    Circle,
    Clutch,
    Converter,
    CrankBore,
    DiscHub,
    Dowel,
    Drive,
    Engine,
    Face,
    Flexplate,
    Flywheel,
    Gearbox,
    Hole,
    Hub,
    PumpLug,
    Register,
    RingGear,
    Starter,
    Unit,
)
from kb.quantity import Dimension, read_amount, read_length, read_thread


def one(text: str, **how: object) -> Dimension:
    """One reading as typed, in inches unless it says otherwise."""
    return read_length(text, key="made", units="in", **how)  # type: ignore[arg-type]


def seen(*texts: str) -> Measured:
    """A length with its readings."""
    return Measured(tuple(one(text) for text in texts))


def engine(name: str = "Harbour diesel 6") -> Engine:
    """An engine with an uneven face, a circle on its crank and a starter."""
    tapped = read_thread("3/8-16", key="made")
    return Engine(
        name=name,
        rotation="ccw",
        max_speed=read_amount("4200", kind="speed", key="made"),
        peak_torque=read_amount("300 lbf·ft", kind="torque", key="made"),
        balance="internal",
        face=Face(
            material="grey iron",
            origin=Point(one("0"), one("-1/8")),
            opening=seen("13 3/4"),
            holes=(
                Hole(id="1", x=seen("-5.2"), y=seen("6.1"), thread=tapped, depth=seen("0.9")),
                Hole(id="2", x=seen("5.2", "132.05 mm"), y=seen("6.1"), thread=tapped),
            ),
            dowels=(
                Dowel(id="D1", x=seen("-7.1"), y=seen("1"), diameter=seen("1/2"), hollow=False),
            ),
            outline=(Point(one("0"), one("1")), Point(one("2"), one("3 mm"))),
            cast_in=False,
        ),
        drive=Drive(
            kind="crank flange",
            standoff=Measured(
                (
                    one(
                        "0.750",
                        within="0.005",
                        how="depth micrometer",
                        by="Ada",
                        on=date(2026, 3, 2),
                    ),
                    one("19.1 mm", how="caliper"),
                )
            ),
            circle=Circle(count=6, diameter=seen("3.500"), start=15.0, thread=tapped),
            register=Register(form="bore", diameter=seen("1.8125 +0.0005/-0")),
            pilot=CrankBore(),
            ring=RingGear(teeth=146, pitch="12 DP"),
        ),
        starter=Starter(mounts_on="engine", home=seen("1.02"), side="left"),
        notes="Ran last in spring.\nBores to be looked at.",
    )


def gearbox(name: str = "Three-speed with converter") -> Gearbox:
    """A gearbox with a converter."""
    return Gearbox(
        name=name,
        torque_limit=read_amount("410 N·m", kind="torque", key="made"),
        lowest_gear=2.5,
        reverse_gear=-2.1,
        mass=read_amount("78 kg", kind="mass", key="made"),
        converter=Converter(
            seat_depth=seen("1.125 ± 0.015"),
            gap=Band(one("0.125"), one("0.188")),
            circle=Circle(count=4, diameter=seen("9.75"), start=45.0, hole=seen("7/16")),
            hub=Hub(diameter=seen("1.703"), land=Band(one("0.1"), one("0.9"))),
            pump_lug=PumpLug(),
            stall_ratio=2.0,
            studs=True,
        ),
    )


def others() -> tuple[Unit, ...]:
    """A part of each kind that is kept by itself."""
    return (
        Flywheel(
            name="Spare wheel", height=seen("0.9"), circle=Circle(count=6, diameter=seen("3.5"))
        ),
        Clutch(name="Dry plate", fingers=seen("2.0"), disc_hub=DiscHub(count=26), discs=1),
        Flexplate(
            name="Thin plate",
            offset=seen("-0.6"),
            converter_circle=Circle(count=3, diameter=seen("11")),
        ),
    )


def every_kind() -> tuple[Unit, ...]:
    """One unit of each kind."""
    return (engine(), gearbox(), *others())
