"""A DXF document with nothing in it that a clock, a counter or a library's version has put there.

Format AC1024 (2010): old enough for every reader met in a workshop, new enough for custom properties.
Units are millimetres by header ($INSUNITS 4, $MEASUREMENT 1). Everything lies at z = 0 with extrusion (0, 0, 1).
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

from generator.base.frozen_record import frozen_record
from generator.outline.measure import Bounds
from generator.outputs.dxf_frame import ROOM, filled

if TYPE_CHECKING:
    from ezdxf.document import Drawing

__all__ = ["DxfLayer", "document_bytes", "fixed_metadata", "frame_view", "new_document", "one_line", "write_dxf"]

VERSION = "R2010"
MILLIMETRES = 4
METRIC = 1
LAYER_TEXT_MAX = 250
"""A string of group 1000 holds 255 bytes (DXF reference, extended data)."""


_BEGINNING = b"  0\nSECTION\n"
_SAID = re.compile(rb"(  9\n\$CUSTOMPROPERTY\n  1\n|1001\nAcAecLayerStandard\n1000\n[^\n]*\n1000\n)[^\n]*\n")
"""Values of properties, and what is said of layers."""


@frozen_record
class DxfLayer:
    """One layer of a document.

    Attributes:
        name: as it appears in every reader's layer list.
        description: what the layer list shows beside it.
        colour: number of the colour, as the DXF reference has them.
        lineweight: hundredths of a millimetre, one of the values that DXF knows.
        drawn: what is drawn on it, by ``dxf_frame.drawn_text``.
    """

    name: str
    description: str
    colour: int
    lineweight: int
    drawn: str


def write_dxf(
    layers: Sequence[DxfLayer],
    *,
    comments: Sequence[str],
    properties: Mapping[str, str],
    extent: Bounds,
) -> bytes:
    """Return the bytes of a DXF file: the same for the same arguments.

    Args:
        layers: in the order in which they are to be listed; names differ without regard to case.
        comments: lines that stand at the head of the file (group 999), for whoever opens it as text.
        properties: custom properties by name, which drawing programs show as the drawing's properties.
        extent: box of all that is drawn, mm.
    """
    lines = [replace(layer, description=one_line(layer.description)[:LAYER_TEXT_MAX]) for layer in layers]
    said = {one_line(name): one_line(value) for name, value in properties.items()}
    return _head(comments) + filled(lines, said, extent).encode()


def without_texts(data: bytes) -> bytes:
    """Return a file of ``write_dxf`` without comments, properties and what is said of its layers: what is drawn."""
    start = data.index(_BEGINNING) if _BEGINNING in data else 0
    return _SAID.sub(rb"\1", data[start:])


def new_document(properties: Mapping[str, str]) -> Drawing:
    """Return an empty document in mm, with custom properties by name; call it within ``fixed_metadata``."""
    from ezdxf.filemanagement import new

    doc = new(VERSION, setup=False, units=MILLIMETRES)
    doc.header["$MEASUREMENT"] = METRIC
    doc.header["$LASTSAVEDBY"] = "coverplate"
    for key, value in properties.items():
        doc.header.custom_vars.append(key, one_line(value))
    return doc


def document_bytes(doc: Drawing, comments: Sequence[str]) -> bytes:
    """Return a document as bytes with comments at its head (group 999); call it within ``fixed_metadata``."""
    for kind in sorted(doc.entitydb.dxf_types_in_use()):  # the writer would list them in the order of a set
        doc.classes.add_class(kind)
    stream = io.StringIO()
    doc.write(stream)
    return _head(comments) + stream.getvalue().encode("utf-8", errors="dxfreplace")


def _head(comments: Sequence[str]) -> bytes:
    return "".join(f"999\n{one_line(line)}\n" for line in comments).encode()


def frame_view(doc: Drawing, extent: Bounds) -> None:
    """Say where the drawing lies, so that a reader opens it zoomed to the part."""
    space = doc.modelspace()
    space.dxf.extmin = (extent.xmin, extent.ymin, 0.0)
    space.dxf.extmax = (extent.xmax, extent.ymax, 0.0)
    doc.set_modelspace_vport(ROOM * max(extent.width_mm, extent.height_mm, 1.0), center=extent.centre)


@contextmanager
def fixed_metadata() -> Iterator[None]:
    """Have ezdxf write constants for dates, GUIDs and its own version; its setting is put back afterwards."""
    from ezdxf import options  # type: ignore[attr-defined]

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def one_line(text: str) -> str:
    """Return the text without anything that would end a line and be taken for a group code."""
    plain = text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)
    return " ".join(plain.split())
