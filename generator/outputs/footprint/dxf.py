"""The traced footprint as DXF: outline and openings as closed polylines with bulges, holes as circles, mm.

Layers ``outline``, ``openings`` and ``holes``. Origin and orientation are those of the recipe lines beside it.
"""

from __future__ import annotations

from collections.abc import Iterable

from generator.outline.contour import Point, Vertex
from generator.outline.measure import bounds
from generator.outputs.dxf_document import DxfLayer, write_dxf
from generator.outputs.dxf_frame import drawn_text
from generator.outputs.dxf_pen import DxfCircle, DxfPolyline, Entity
from generator.trace.footprint import Footprint

__all__ = ["HOLES", "OPENINGS", "OUTLINE", "dxf_bytes"]

OUTLINE, OPENINGS, HOLES = "outline", "openings", "holes"
INK, STEEL_BLUE, GREY = 7, 152, 8
"""Colours by number as the DXF reference has them; which is used for what is our own choice."""


def dxf_bytes(footprint: Footprint, name: str) -> bytes:
    """Return the file: the same bytes for the same footprint."""
    openings = "openings that are no circles"
    layers = [
        DxfLayer(OUTLINE, "outline of the original", INK, 35, _drawn(footprint, OUTLINE, [footprint.outline])),
        DxfLayer(OPENINGS, openings, GREY, 25, _drawn(footprint, OPENINGS, footprint.openings)),
        DxfLayer(HOLES, "holes", STEEL_BLUE, 25, _drawn(footprint, HOLES, [(n,) for n in footprint.holes])),
    ]
    return write_dxf(
        [layer for layer in layers if layer.drawn],
        comments=[f"{name}: footprint traced from a picture, mm, y up", footprint.placement.rule],
        properties={"name": name, "unit": "mm", "frame": footprint.placement.rule},
        extent=bounds(footprint.contour(footprint.outline)),
    )


def _drawn(footprint: Footprint, layer: str, loops: Iterable[tuple[int, ...]]) -> str:
    return drawn_text((_entity(footprint, loop) for loop in loops), layer)


def _entity(footprint: Footprint, loop: tuple[int, ...]) -> Entity:
    if len(loop) == 1:
        x, y, r = footprint.feature(loop[0]).primitive.values
        return DxfCircle(Point(x + 0.0, y + 0.0), r)
    return DxfPolyline(tuple(Vertex(v.x + 0.0, v.y + 0.0, v.bulge + 0.0) for v in footprint.vertices(loop)))
