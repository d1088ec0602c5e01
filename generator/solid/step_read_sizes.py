"""Sizes with limits in a STEP file, as the kernel's reader of semantic dimensions understands them."""

from __future__ import annotations

from collections.abc import Iterator

from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.XCAFDimTolObjects import XCAFDimTolObjects_DimensionType
from OCP.XCAFDoc import XCAFDoc_Dimension, XCAFDoc_DimTolTool, XCAFDoc_DocumentTool

from generator.part.solid_facts import ReadSize
from generator.solid.step_open import step_document

__all__ = ["read_sizes"]

_DIAMETER = XCAFDimTolObjects_DimensionType.XCAFDimTolObjects_DimensionType_Size_Diameter


def read_sizes(data: bytes) -> tuple[ReadSize, ...]:
    """Return the sizes with limits of all products of a STEP file, in its order.

    The kernel gives deviations without their sign.

    Raises:
        ProofError: the bytes are no STEP file that the kernel can read.
    """
    return tuple(_sizes(XCAFDoc_DocumentTool.DimTolTool_s(step_document(data).Main())))


def _sizes(tool: XCAFDoc_DimTolTool) -> Iterator[ReadSize]:
    labels = TDF_LabelSequence()
    tool.GetDimensionLabels(labels)
    for i in range(1, labels.Length() + 1):
        yield _size(labels.Value(i))


def _size(label: TDF_Label) -> ReadSize:
    found = XCAFDoc_Dimension.Set_s(label).GetObject()  # gives the one that is there
    first, second = TDF_LabelSequence(), TDF_LabelSequence()
    XCAFDoc_DimTolTool.GetRefShapeLabel_s(label, first, second)
    faces = first.Length() + second.Length()
    is_diameter = found.GetType() == _DIAMETER
    return ReadSize(is_diameter, found.GetValue(), found.GetLowerTolValue(), found.GetUpperTolValue(), faces)
