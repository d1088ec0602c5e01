"""A STEP file opened by the kernel's own reader, with names and semantic dimensions; read once for all who ask."""

from __future__ import annotations

import io
from functools import lru_cache

from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDocStd import TDocStd_Document

from generator.base.errors import ProofError
from generator.solid.step_write import kernel_settings, silence

__all__ = ["step_document"]


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
        if status != IFSelect_ReturnStatus.IFSelect_RetDone or not reader.Transfer(document):
            raise ProofError("the STEP file cannot be read back", feature="step")
    return document
