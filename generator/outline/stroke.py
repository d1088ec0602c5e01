"""An open path made thick: slots, grooves and hand-drawn lines with round ends."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite

from generator.base.errors import ContourError
from generator.base.units import MODEL, Tolerance
from generator.outline.contour import Contour, Vertex
from generator.outline.offset import offset_region
from generator.outline.region import Region

__all__ = ["stroke"]


def stroke(path: Iterable[tuple[float, ...]], width_mm: float, *, tol: Tolerance = MODEL) -> Region:
    """Return all points within half of ``width_mm`` of an open path of lines and arcs; ends and corners are round.

    Args:
        path: ``(x, y)`` or ``(x, y, bulge)`` in order of travel, mm; the last bulge says nothing. The path may
            cross itself.
        width_mm: positive.
        tol: named tolerances.

    Raises:
        ContourError: fewer than two different points, or a width that is not a positive number.
        OffsetError: no result passed its checks.
    """
    vertices = Contour.of(path).vertices
    if not (isfinite(width_mm) and width_mm > 0.0):
        raise ContourError(f"a stroke needs a positive width in mm, found {width_mm}")
    if len({v[:2] for v in vertices}) < 2:
        raise ContourError("a stroke needs a path of at least two different points")
    # there and back again is a closed contour without area, which grows like any other
    back = [Vertex(vertices[i].x, vertices[i].y, -vertices[i - 1].bulge) for i in range(len(vertices) - 1, 0, -1)]
    return offset_region(Region((Contour((*vertices[:-1], *back)),)), width_mm / 2.0, tol=tol)
