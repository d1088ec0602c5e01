"""STEP bytes back into facts: every product with its name, volume, validity and holes."""

from __future__ import annotations

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepLib import BRepLib
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from generator.part.solid_facts import SolidFacts
from generator.solid.facts import each, solid_facts
from generator.solid.step_open import step_document


def read_shapes(data: bytes) -> list[tuple[str, TopoDS_Shape]]:
    """Return name and shape of every product that is no assembly, in file order, where it stands in the file.

    Raises:
        ProofError: the bytes are no STEP file that the kernel can read.
    """
    roots = TDF_LabelSequence()
    XCAFDoc_DocumentTool.ShapeTool_s(step_document(data).Main()).GetFreeShapes(roots)
    return [found for i in range(1, roots.Length() + 1) for found in _placed(roots.Value(i), TopLoc_Location())]


def _placed(label: TDF_Label, where: TopLoc_Location) -> list[tuple[str, TopoDS_Shape]]:
    """Return the products below a label, each where it stands."""
    if XCAFDoc_ShapeTool.IsReference_s(label):
        product = TDF_Label()
        XCAFDoc_ShapeTool.GetReferredShape_s(label, product)
        return _placed(product, where.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(label)))
    if not XCAFDoc_ShapeTool.IsAssembly_s(label):
        return [(_name(label), XCAFDoc_ShapeTool.GetShape_s(label).Moved(where))]
    parts = TDF_LabelSequence()
    XCAFDoc_ShapeTool.GetComponents_s(label, parts)
    return [found for i in range(1, parts.Length() + 1) for found in _placed(parts.Value(i), where)]


def read_facts(data: bytes) -> tuple[SolidFacts, ...]:
    """Return the facts of every product of a STEP file.

    Raises:
        ProofError: see ``read_shapes``.
    """
    shapes = read_shapes(data)
    for _, shape in shapes:
        _trace_planes(shape)
    return tuple(solid_facts(name, shape) for name, shape in shapes)


def _trace_planes(shape: TopoDS_Shape) -> None:
    """Tell the edges of flat faces their paths in the plane: checks and integrals would find them again every time."""
    for found in each(shape, TopAbs_ShapeEnum.TopAbs_FACE):
        face = TopoDS.Face_s(found)
        if BRepAdaptor_Surface(face, False).GetType() == GeomAbs_SurfaceType.GeomAbs_Plane:
            for edge in each(face, TopAbs_ShapeEnum.TopAbs_EDGE):
                BRepLib.BuildPCurveForEdgeOnPlane_s(TopoDS.Edge_s(edge), face)


def _name(label: TDF_Label) -> str:
    attribute = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return ""
    return str(attribute.Get().ToExtString())
