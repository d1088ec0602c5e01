"""What a solid says of itself: volume, validity, closedness, faces, holes."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2

from OCP.Bnd import Bnd_Box
from OCP.BndLib import BndLib_Add3dCurve
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape

from generator.outline.contour import Point
from generator.part.solid_facts import UNKNOWN_BOX, Hole, SolidFacts
from generator.solid.round_holes import RoundFace, whole_holes

UPRIGHT_TOL = 1e-9
"""How far an axis may lean from the vertical, radians."""


def solid_facts(product: str, shape: TopoDS_Shape, *, judged: bool = True) -> SolidFacts:
    """Return the facts of a solid or a compound of solids, where it stands.

    Args:
        product: its name.
        shape: the solid.
        judged: whether the kernel is to look for faults, which takes as long as all the rest.
    """
    return SolidFacts(
        product,
        volume_mm3(shape),
        is_valid(shape) if judged else None,
        is_closed(shape),
        count_faces(shape),
        tuple(find_holes(shape)),
        box_mm(shape),
    )


def volume_mm3(shape: TopoDS_Shape) -> float:
    """Return the volume of closed shells, mm³; 0 if none is closed.

    The kernel integrates by Gauss points, which is exact within rounding for planes, cylinders and cones bounded by
    lines and circles; the tests hold it against closed forms.
    """
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, True)
    return float(properties.Mass())


def is_valid(shape: TopoDS_Shape) -> bool:
    """Return True if the kernel finds no fault and there is a solid at all."""
    return _count(shape, TopAbs_ShapeEnum.TopAbs_SOLID) > 0 and bool(BRepCheck_Analyzer(shape).IsValid())


def is_closed(shape: TopoDS_Shape) -> bool:
    """Return True if there is a shell, and every edge of every shell joins two faces."""
    shells = list(each(shape, TopAbs_ShapeEnum.TopAbs_SHELL))
    return bool(shells) and all(BRep_Tool.IsClosed_s(shell) for shell in shells)


def count_faces(shape: TopoDS_Shape) -> int:
    """Return the number of faces."""
    return _count(shape, TopAbs_ShapeEnum.TopAbs_FACE)


def _count(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> int:
    return int(_distinct(shape, kind).Extent())


def _distinct(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> TopTools_IndexedMapOfShape:
    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, kind, found)
    return found


def each(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> Iterator[TopoDS_Shape]:
    """Yield the parts of a shape that are of one kind, those that stand in it twice twice."""
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def box_mm(shape: TopoDS_Shape) -> tuple[float, float, float, float, float, float]:
    """Return the smallest upright box: xmin, ymin, zmin, xmax, ymax, zmax, mm.

    Of bodies with upright or conical walls the edges reach as far as the faces, and boxes of edges are exact.
    """
    box = Bnd_Box()
    edges = _distinct(shape, TopAbs_ShapeEnum.TopAbs_EDGE)
    for i in range(1, edges.Extent() + 1):
        edge = TopoDS.Edge_s(edges.FindKey(i))
        if not BRep_Tool.Degenerated_s(edge):
            BndLib_Add3dCurve.Add_s(BRepAdaptor_Curve(edge), 0.0, box)
    if box.IsVoid():
        return UNKNOWN_BOX
    xmin, ymin, zmin, xmax, ymax, zmax = box.Get()
    return xmin, ymin, zmin, xmax, ymax, zmax


# ------------------------------------------------------------------ holes
def find_holes(shape: TopoDS_Shape) -> list[Hole]:
    """Return every whole upright cylinder with material outside, by position, then height."""
    return whole_holes(r for face in each(shape, TopAbs_ShapeEnum.TopAbs_FACE) if (r := _round(TopoDS.Face_s(face))))


def _round(face: TopoDS_Face) -> RoundFace | None:
    surface = BRepAdaptor_Surface(face, True)
    if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Cylinder:
        return None
    if face.Orientation() != TopAbs_Orientation.TopAbs_REVERSED:
        return None  # the surface's normal points away from the axis: material inside
    cylinder = surface.Cylinder()
    axis, start = cylinder.Axis().Direction(), cylinder.Location()
    if abs(atan2((axis.X() ** 2 + axis.Y() ** 2) ** 0.5, abs(axis.Z()))) > UPRIGHT_TOL:
        return None
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    z0, z1 = sorted((start.Z() + axis.Z() * v0, start.Z() + axis.Z() * v1))
    return RoundFace(Point(start.X(), start.Y()), cylinder.Radius(), z0, z1, abs(u1 - u0))
