"""Sizes with limits in a STEP file, as the kernel's reader of semantic dimensions understands them."""

from __future__ import annotations

import io
from collections.abc import Iterator

from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDimTolObjects import XCAFDimTolObjects_DimensionType
from OCP.XCAFDoc import XCAFDoc_Dimension, XCAFDoc_DimTolTool, XCAFDoc_DocumentTool

from generator.base.errors import ProofError
from generator.part.solid_facts import ReadSize
from generator.solid.step_write import kernel_settings, silence

__all__ = ["read_sizes"]

_DIAMETER = XCAFDimTolObjects_DimensionType.XCAFDimTolObjects_DimensionType_Size_Diameter


def read_sizes(data: bytes) -> tuple[ReadSize, ...]:
    """Return the sizes with limits of all products of a STEP file, in its order.

    The kernel gives deviations without their sign.

    Raises:
        ProofError: the bytes are no STEP file that the kernel can read.
    """
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    reader = STEPCAFControl_Reader()
    reader.SetGDTMode(True)
    with kernel_settings(), silence():
        status = reader.ReadStream("pack.step", io.BytesIO(data))
        if status != IFSelect_ReturnStatus.IFSelect_RetDone or not reader.Transfer(document):
            raise ProofError("the STEP file cannot be read back", feature="step")
    return tuple(_sizes(XCAFDoc_DocumentTool.DimTolTool_s(document.Main())))


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
