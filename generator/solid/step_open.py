"""A STEP file opened by the kernel's own reader, with names and semantic dimensions; read once for all who ask.

By itself the reader mends what it finds wrong, and a fault of the file would not be seen. Here it only finds the paths
of edges on curved faces, which the files leave to the reader, and mends nothing.
"""

from __future__ import annotations

import io
from functools import lru_cache

from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Resource import Resource_DataMapOfAsciiStringAsciiString
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_AsciiString, TCollection_ExtendedString
from OCP.TDocStd import TDocStd_Document

from generator.base.errors import ProofError
from generator.solid.step_write import kernel_settings, silence

__all__ = ["step_document"]

_PATHS = "FixSolid FixShell FixFace FixWire FixEdgeCurves FixAddPCurve FixShifted FixSeam"
"""Steps of the reader's mending that find paths of edges, or lead to these."""

_MENDING = """
FixFreeShell FixFreeFace FixFreeWire FixSameParameter FixShellOrientation CreateOpenSolid FixOrientation
FixAddNaturalBound FixMissingSeam FixSmallAreaWire RemoveSmallAreaFace FixIntersectingWires FixLoopWires FixSplitFace
AutoCorrectPrecision ModifyTopology ModifyGeometry ClosedWire PreferencePCurve FixReorder FixSmall FixConnected
FixDegenerated FixLacking FixSelfIntersection RemoveLoop FixReversed2d FixRemovePCurve FixRemoveCurve3d FixAddCurve3d
FixEdgeSameParameter FixNotchedEdges FixSelfIntersectingEdge FixIntersectingEdges FixNonAdjacentIntersectingEdges
FixTail FixVertexPosition FixVertexTolerance
"""
"""All its other steps."""

_AS_THE_KERNEL_LIKES, _OFF = "-1", "0"


@lru_cache(maxsize=1)  # the facts and the sizes of one file are asked for one after the other
def step_document(data: bytes) -> TDocStd_Document:
    """Return the document of a STEP file; it is only to be looked at.

    Raises: ProofError: the bytes are no STEP file that the kernel can read.
    """
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetGDTMode(True)
    with kernel_settings(), silence():
        status = reader.ReadStream("pack.step", io.BytesIO(data))
        reader.SetShapeFixParameters(_steps())  # only now: before there is a file the reader forgets them
        if status != IFSelect_ReturnStatus.IFSelect_RetDone or not reader.Transfer(document):
            raise ProofError("the STEP file cannot be read back", feature="step")
    return document


def _steps() -> Resource_DataMapOfAsciiStringAsciiString:
    """Return what the reader is to do with what it has read."""
    steps = Resource_DataMapOfAsciiStringAsciiString()
    for names, value in ((_PATHS, _AS_THE_KERNEL_LIKES), (_MENDING, _OFF)):
        for name in names.split():
            steps.Bind(TCollection_AsciiString(f"FixShape.{name}Mode"), TCollection_AsciiString(value))
    return steps
