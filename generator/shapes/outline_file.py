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
    """Return the region in the file; the reading is done by whoever draws.

    Raises: GeometryError: the file holds no closed outline.
    """
    if params.layer:
        return context.read_outline(params.file, params.layer)
    return context.read_outline(params.file)


SHAPE = Shape("outline_file", OutlineFile, draw, "An outline read from a DXF file.")
