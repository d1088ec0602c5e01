"""STEP bytes back into facts: every product with its name, volume, validity and holes."""

from __future__ import annotations

from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from generator.part.solid_facts import SolidFacts
from generator.solid.facts import solid_facts
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
    return tuple(solid_facts(name, shape) for name, shape in read_shapes(data))


def _name(label: TDF_Label) -> str:
    attribute = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return ""
    return str(attribute.Get().ToExtString())
