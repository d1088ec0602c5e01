"""An outline from a DXF file."""

from __future__ import annotations

from dataclasses import dataclass

from generator.base import fields as f
from generator.outline.region import Region
from generator.shapes.shape import Context, Shape


@dataclass(frozen=True, kw_only=True)
class OutlineFile:
    """An outline read from a drawing file beside the recipe."""

    file: str = f.file("DXF file, named relative to the recipe.", example="bracket.dxf")
    layer: str = f.text(
        "Only what lies on this layer of the file; without it, everything.", default="", example="outline"
    )


def draw(params: OutlineFile, context: Context) -> Region:
    """Return the region in the file.

    Raises: GeometryError: the file cannot be read or holds no closed outline.
    """
    from generator.artwork.dxf import read_dxf  # heavy: only who reads a drawing pays for it

    found = read_dxf(context.files.read(params.file), layer=params.layer or None)
    left = "".join(f"; {n} {kind} left out" for kind, n in found.left_out)
    context.files.tell(params.file, found.unit_note + left)
    return found.region


SHAPE = Shape("outline_file", OutlineFile, draw, "An outline read from a DXF file.")
