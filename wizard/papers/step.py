"""A body as an exact solid in a STEP file (ISO 10303-21, millimetres); wants the extra ``step``."""

from __future__ import annotations

import itertools
import math
import re
import tempfile
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from kb.errors import StoreError
from kb.model.parts import Segment
from kb.model.record import Record
from wizard.papers.bodies import Body, Column
from wizard.papers.paper import printable

INSTALL = "install trialfit[step] for solids"
_NAME = re.compile(r"FILE_NAME\(.*?\);", re.DOTALL)
_PRODUCT = re.compile(r"\bPRODUCT\('[^']*',\s*'[^']*',\s*'[^']*',")
_OCCURRENCE = re.compile(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('\d+',")


def available() -> bool:
    """Whether the library of solids is installed."""
    return find_spec("OCP") is not None


def step_file(record: Record, parts: Sequence[Body], *, title: str) -> bytes:
    """Solids of some bodies at their places; names and times are the record's.

    Args:
        record: The record. parts: One body for a part's own file, all for the assembly.
        title: What the file is called inside.
    """
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    if len(parts) == 1:
        return _named(_text(solid(parts[0])), record, [title])
    compound, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(compound)
    for body in parts:
        made = solid(body)
        for place in body.places:
            builder.Add(compound, _moved(made, place))
    return _named(_text(compound), record, [title, *(body.name for body in parts)])


def solid(body: Body) -> Any:
    """The exact solid of one body, at its own origin."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse

    made = _column(body.stands[0])
    for one in body.stands[1:]:
        made = BRepAlgoAPI_Fuse(made, _column(one)).Shape()
    for one in body.cuts:
        made = BRepAlgoAPI_Cut(made, _column(one)).Shape()
    return made


def _column(one: Column) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepPrimAPI import (
        BRepPrimAPI_MakeCone,
        BRepPrimAPI_MakeCylinder,
        BRepPrimAPI_MakePrism,
    )
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec

    high = one.high - one.low
    if one.pieces:
        face = BRepBuilderAPI_MakeFace(_wire(one.pieces, one.low)).Face()
        return BRepPrimAPI_MakePrism(face, gp_Vec(0, 0, high)).Shape()
    axis = gp_Ax2(gp_Pnt(*one.centre, one.low), gp_Dir(0, 0, 1))
    if one.top is not None:
        return BRepPrimAPI_MakeCone(axis, one.diameter / 2, one.top / 2, high).Shape()
    return BRepPrimAPI_MakeCylinder(axis, one.diameter / 2, high).Shape()


def _wire(pieces: Sequence[Segment], z: float) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt

    wire = BRepBuilderAPI_MakeWire()
    for piece in pieces:
        start, end = gp_Pnt(*piece.start, z), gp_Pnt(*piece.end, z)
        if piece.kind == "line" or piece.centre is None or not piece.radius:
            wire.Add(BRepBuilderAPI_MakeEdge(start, end).Edge())
            continue
        circle = gp_Circ(gp_Ax2(gp_Pnt(*piece.centre, z), gp_Dir(0, 0, 1 if piece.ccw else -1)), piece.radius)  # fmt: skip
        wire.Add(BRepBuilderAPI_MakeEdge(circle, start, end).Edge())
    return wire.Wire()


def _moved(made: Any, place: tuple[float, float, float]) -> Any:
    from OCP.gp import gp_Trsf, gp_Vec
    from OCP.TopLoc import TopLoc_Location

    move = gp_Trsf()
    move.SetTranslation(gp_Vec(*place))
    return made.Moved(TopLoc_Location(move))


def _text(shape: Any) -> str:
    """The file's text as the library writes it."""
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.Interface import Interface_Static
    from OCP.Message import Message
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    Message.DefaultMessenger_s().ChangePrinters().Clear()  # it would tell of its work on the console
    writer = STEPControl_Writer()
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    writer.Transfer(shape, STEPControl_AsIs)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "part.step"
        if writer.Write(str(path)) != IFSelect_RetDone:
            raise StoreError(f"{folder}: the solid could not be written there")
        return path.read_text(encoding="ascii", errors="replace")


def _named(text: str, record: Record, names: Sequence[str]) -> bytes:
    """The record's name, hand and day for the moment's, the parts' names for counted ones.

    Args:
        names: Of the whole, then of each part, in the order they were put in.
    """
    head = f"FILE_NAME('{_plain(names[0])}','{record.made_on}T00:00:00',('{_plain(record.made_by)}'),(''),'trialfit','trialfit','{record.digest[:16]}');"  # fmt: skip
    text = _NAME.sub(lambda _: head, text, count=1)
    left = iter(names)

    def product(_: re.Match[str]) -> str:
        name = _plain(next(left, names[-1]))
        return f"PRODUCT('{name}','{name}','',"

    text = _PRODUCT.sub(product, text)
    counted = itertools.count(1)
    text = _OCCURRENCE.sub(lambda _: f"NEXT_ASSEMBLY_USAGE_OCCURRENCE('{next(counted)}',", text)
    return text.encode("ascii", "replace")


def _plain(text: str) -> str:
    """A text as ISO 10303-21 writes it: signs beyond ASCII by their number."""
    shown = printable(text).replace("\\", "\\\\").replace("'", "''")
    return "".join(char if ord(char) < 128 else f"\\X2\\{ord(char):04X}\\X0\\" for char in shown)


def volume(made: Any) -> float:
    """Volume of a solid [mm³]."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(made, found)
    return math.fabs(float(found.Mass()))
