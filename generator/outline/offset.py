"""Grow and shrink regions: the boundary at a given distance, lines and arcs kept exact."""

from __future__ import annotations

from math import isfinite

from generator.base.errors import OffsetError
from generator.base.units import MODEL, Tolerance
from generator.outline.contour import Contour
from generator.outline.crossings import refuse_crossings
from generator.outline.nearness import Nearness
from generator.outline.pieces import FARTHEST_MM, computable
from generator.outline.rawoffset import raw_offset
from generator.outline.region import EMPTY, Region
from generator.outline.remembered import remembered
from generator.outline.resolve import Task, resolve

__all__ = ["offset_region"]


@remembered
def offset_region(region: Region, distance_mm: float, *, tol: Tolerance = MODEL) -> Region:
    """Return the region grown (positive) or shrunk (negative) by ``distance_mm``.

    Growing adds every point within the distance of the region, so outside corners become round. Shrinking takes
    away every point within the distance of what is not the region. Arcs stay arcs.

    Args:
        region: contours that do not cross.
        distance_mm: signed; 0 gives the region back unchanged.
        tol: named tolerances; the result is right within ``tol.model_mm``, and far better as a rule.

    Returns: the region, empty when nothing survives (that is an answer, not an error).

    Raises:
        OffsetError: the distance or a coordinate is not finite, the region crosses itself or runs the wrong way
            round (the message says where), or no result passed its checks.

    Source: strips and sectors united by winding number (rawoffset.py); docs/kernel.md.
    """
    if not isfinite(distance_mm) or abs(distance_mm) > FARTHEST_MM:
        raise OffsetError(f"the offset distance must be a number of mm below 100 m, found {distance_mm}")
    if distance_mm == 0.0 or not region:
        return region
    contours = computable(region)
    if not contours:
        return EMPTY
    refuse_crossings(contours, tol)
    chains = raw_offset(contours, distance_mm)
    side = -1 if distance_mm > 0.0 else 1
    source = Nearness(contours)

    def deviation(result: list[Contour]) -> float:
        return source.off_distance(result, abs(distance_mm), 2.0 * tol.model_mm)

    return resolve(Task(chains, len(contours), side=side, deviation=deviation), tol)
