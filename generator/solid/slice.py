"""What a level plane cuts out of the solids of a STEP file, as exact regions of lines and arcs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import tan

from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from generator.outline.clip import FillRule
from generator.outline.combine import regularise
from generator.outline.contour import Contour, Vertex
from generator.outline.region import Region
from generator.solid.facts import box_mm
from generator.solid.step_read import read_shapes

__all__ = ["slice_step"]

BEYOND_MM = 10.0
"""The plane reaches farther than the solid by this."""
PIECES = 64
"""A curve that is neither line nor circle is followed in so many pieces."""


def slice_step(data: bytes, heights: Mapping[str, Sequence[float]]) -> dict[str, dict[float, Region]]:
    """Return, by product and height over the product's lowest place (mm), the region in which a plane there cuts it.

    Raises: ProofError: the bytes cannot be read.
    """
    return {name: {z: _cut(shape, z) for z in heights[name]} for name, shape in read_shapes(data) if name in heights}


def _cut(shape: TopoDS_Shape, height_mm: float) -> Region:
    xmin, ymin, zmin, xmax, ymax, _ = box_mm(shape)
    plane = gp_Pln(gp_Pnt(0.0, 0.0, zmin + height_mm), gp_Dir(0.0, 0.0, 1.0))
    reach = (xmin - BEYOND_MM, xmax + BEYOND_MM, ymin - BEYOND_MM, ymax + BEYOND_MM)
    common = BRepAlgoAPI_Common(shape, BRepBuilderAPI_MakeFace(plane, *reach).Face())
    contours = (_contour(wire, face) for face in _faces(common.Shape()) for wire in _wires(face))
    return regularise(contours, rule=FillRule.EVEN_ODD)


def _faces(shape: TopoDS_Shape) -> Iterator[TopoDS_Face]:
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        yield TopoDS.Face_s(explorer.Current())
        explorer.Next()


def _wires(face: TopoDS_Face) -> Iterator[TopoDS_Wire]:
    explorer = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_WIRE)
    while explorer.More():
        yield TopoDS.Wire_s(explorer.Current())
        explorer.Next()


def _contour(wire: TopoDS_Wire, face: TopoDS_Face) -> Contour:
    vertices: list[Vertex] = []
    explorer = BRepTools_WireExplorer(wire, face)
    while explorer.More():
        vertices += _vertices(explorer.Current())
        explorer.Next()
    return Contour.of(vertices)


def _vertices(edge: TopoDS_Edge) -> list[Vertex]:
    """Return the start of an edge with the bulge that leads to its end; a full circle in two halves."""
    curve = BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    if edge.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
        first, last = last, first
    kind, pieces = curve.GetType(), PIECES
    if kind == GeomAbs_CurveType.GeomAbs_Line:
        pieces = 1
    elif kind == GeomAbs_CurveType.GeomAbs_Circle:
        pieces = 2
    step = (last - first) / pieces
    bulge = 0.0
    if kind == GeomAbs_CurveType.GeomAbs_Circle:
        bulge = tan(step / 4.0) * (1.0 if curve.Circle().Axis().Direction().Z() > 0.0 else -1.0)
    starts = (curve.Value(first + k * step) for k in range(pieces))
    return [Vertex(p.X(), p.Y(), bulge) for p in starts]
